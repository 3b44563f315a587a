#pragma once
/// @file
/// @brief Whether a hand-cut table satisfies a pair of gradient factors, and what carries it.
/// @par Source
/// docs/theory.md, section "Checking a table".

#include <upline/checking/consequences.hpp>
#include <upline/checking/judge.hpp>
#include <upline/checking/pairs.hpp>
#include <upline/checking/proofread.hpp>
#include <upline/checking/readings.hpp>
#include <upline/checking/repair.hpp>
#include <upline/replay.hpp>
#include <upline/table.hpp>
#include <upline/verdict.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace upline {

/// @brief All that is known about a table.
struct Check {
  Table table{};                           ///< What was checked.
  Rules rules;                             ///< Against what.
  TableVerdict verdict{};                  ///< Over all readings; the rest is for the governing.
  std::vector<FollowedRow> rows{};         ///< As they are followed.
  Replay replay;                           ///< The dive they make.
  Repair repair{};                         ///< The minutes that are missing.
  std::optional<FactorPair> at_low{};      ///< With the low factor asked for; nothing: no high
                                           ///< factor up to 1 is satisfied with it.
  std::vector<FactorPair> pairs{};         ///< The front of the pairs it satisfies. Above 1 they
                                           ///< are beyond the published limits of the model.
  std::vector<Consequence> consequences{}; ///< Mishaps, the tightest first.
  std::vector<Finding> findings{};         ///< What is odd in its numbers.
  std::optional<Corrected> corrected{};    ///< Where exactly one number is proposed.
  std::string version{};                   ///< Of the library that computed it.

  /// @brief Whether a caution refuses for another reason than the limit line: oxygen, density.
  /// The verdict is about the line alone.
  [[nodiscard]] bool refused() const {
    return std::any_of(replay.cautions.begin(), replay.cautions.end(), &Check::refuses);
  }

  /// @brief Whether numbers of the table contradict each other: then no missing minutes, pairs or
  /// mishaps are computed for it as it is written.
  [[nodiscard]] bool unsettled() const {
    return std::any_of(findings.begin(), findings.end(),
                       [](const Finding& one) { return one.unsettles(); });
  }

  /// @brief Whether a caution refuses for another reason than the limit line.
  [[nodiscard]] static bool refuses(const Caution& caution) {
    return caution.severity == Severity::refuses && caution.code != CautionCode::limit_exceeded;
  }
};

namespace detail {

/// Whether each row is left when its run time says. Sums of rounded minutes drift: a unit of the
/// coarser column, and half a minute at least.
class RunTimeKeeper {
public:
  explicit RunTimeKeeper(const TableReader& reader)
      : rows_(reader.table().rows), allowed_(std::max({0.5, grid(false), grid(true)}) + 1e-6) {}

  [[nodiscard]] bool keeps(const std::vector<double>& left) const {
    for (std::size_t j = 0; j < rows_.size(); ++j)
      if (rows_[j].minutes && rows_[j].leave_at &&
          std::abs(left[j] - *rows_[j].leave_at) > allowed_)
        return false;
    return true;
  }

private:
  [[nodiscard]] double grid(bool run_times) const {
    std::vector<double> numbers;
    for (const TableRow& row : rows_)
      if (const auto& number = run_times ? row.leave_at : row.minutes) numbers.push_back(*number);
    return grid_of(numbers);
  }

  const std::vector<TableRow>& rows_;
  double allowed_;
};

[[nodiscard]] inline ReadingVerdict judged(const Table& table, const Reading& reading,
                                           const Rules& rules) {
  const TableReader reader(table, reading, rules);
  const Judge judge(reader, rules.factors);
  std::vector<double> left; // run times; each stop is looked at on reaching and on leaving it
  const Follower diver = judge.follow({}, [&, reaching = true](const Follower& now) mutable {
    if (!reaching) left.push_back(now.walk().clock());
    reaching = !reaching;
  });
  const LimitLine line = judge.line_of(diver);
  ReadingVerdict result;
  result.reading = reading;
  result.can_be_followed = !diver.short_of_time();
  result.keeps_run_times = RunTimeKeeper(reader).keeps(left);
  result.first_in_full = diver.first_in_full();
  const Tightest tightest = judge.tightest(diver, line);
  result.margin = -tightest.excess;
  result.tightest = metres(tightest.depth);
  result.surfacing_margin = -judge.at_surface(diver, line).excess;
  result.satisfies = result.margin >= -audit_tolerance;
  result.surfacing_fraction = judge.surfacing_fraction(diver);
  if (line.anchor) result.anchor = metres(*line.anchor);
  result.run_time = minutes(diver.walk().clock());
  return result;
}

/// Readings that cannot be followed, or contradict the table's own run times, are not meant; if
/// all are such, all are kept.
inline void keep_plausible(std::vector<ReadingVerdict>& readings) {
  for (const auto good : {&ReadingVerdict::can_be_followed, &ReadingVerdict::keeps_run_times}) {
    const auto is_good = [&](const ReadingVerdict& one) { return one.*good; };
    if (std::any_of(readings.begin(), readings.end(), is_good))
      std::erase_if(readings, [&](const ReadingVerdict& one) { return !is_good(one); });
  }
}

[[nodiscard]] inline Verdict verdict_of(const std::vector<ReadingVerdict>& readings) {
  const auto yes = [](const ReadingVerdict& one) { return one.satisfies; };
  if (!readings.front().can_be_followed) return Verdict::cannot_tell;
  if (std::all_of(readings.begin(), readings.end(), yes)) return Verdict::satisfies;
  return std::none_of(readings.begin(), readings.end(), yes) ? Verdict::does_not
                                                             : Verdict::cannot_tell;
}

/// The dive a table makes, as a profile.
[[nodiscard]] inline Profile profile_of(const TableReader& reader, const Follower& diver) {
  Profile profile;
  profile.environment = TableReader::environment_of(reader.table(), reader.reading());
  profile.start = reader.table().start;
  const std::vector<Leg>& legs = diver.walk().legs();
  profile.bottom_left = minutes(legs[diver.first_leg()].begins);
  profile.waypoints.push_back({Minutes(), Depth(), legs[1].gas});
  for (std::size_t j = 1; j < legs.size(); ++j) {
    std::optional<Gas> next;
    if (j + 1 < legs.size()) next = legs[j + 1].gas;
    profile.waypoints.push_back({minutes(legs[j].ends), metres(legs[j].to), next});
  }
  return profile;
}

/// A stop as it was made: how many legs were walked when it was reached and when it was left, and
/// what was breathed then.
struct Visit {
  std::size_t reached = 0;
  std::size_t left = 0;
  Gas arrives_on{};
  Gas gas{};
};

/// A table followed once, for everything that is said of its rows.
class FollowedTable {
public:
  explicit FollowedTable(const Judge& judge)
      : reader_(judge.reader()), diver_(followed(judge)), line_(judge.line_of(diver_)) {}

  [[nodiscard]] const Follower& diver() const { return diver_; }

  [[nodiscard]] std::vector<FollowedRow> rows() const {
    std::vector<FollowedRow> rows;
    for (std::size_t j = 0; j < visits_.size(); ++j) rows.push_back(row(j));
    return rows;
  }

private:
  /// Notes its stops; they are told of on reaching and on leaving.
  [[nodiscard]] Follower followed(const Judge& judge) {
    bool reaching = true;
    return judge.follow({}, [&](const Follower& diver) {
      const std::size_t legs = diver.walk().legs().size();
      if (reaching) visits_.push_back({legs, legs, diver.gas(), {}});
      visits_.back().left = legs;
      visits_.back().gas = diver.gas();
      reaching = !reaching;
    });
  }

  [[nodiscard]] FollowedRow row(std::size_t j) const {
    const std::vector<Leg>& legs = diver_.walk().legs();
    const Visit& visit = visits_[j];
    const double depth = reader_.stops()[j].depth;
    const Leg& next = legs[(j + 1 < visits_.size() ? visits_[j + 1].reached : legs.size()) - 1];
    const TwoLeaders leaders = leaders_at(diver_.walk(), next.after, line_, next.to);
    return {.row = j,
            .depth = metres(depth),
            .arrives = minutes(legs[visit.reached - 1].ends),
            .departs = minutes(legs[visit.left - 1].ends),
            .arrives_on = visit.arrives_on,
            .gas = visit.gas,
            .po2 = visit.gas.oxygen * reader_.place().pressure(depth),
            .controlling = leaders.first,
            .runner_up = leaders.second};
  }

  const TableReader& reader_;
  std::vector<Visit> visits_; // before the diver, who fills it
  Follower diver_;
  LimitLine line_;
};

} // namespace detail

/// @brief The verdict alone: every plausible reading judged.
/// @param table What is written.
/// @param rules Factors, model, rates, oxygen limits. The ladder says where a gas without a depth
/// is
///              taken up, and where check() may put in a stop. Rounding is not used.
/// @throws InvalidInput for a table that lacks a number, with the row named.
[[nodiscard]] inline TableVerdict verdict(const Table& table, const Rules& rules) {
  detail::require_rules(rules);
  detail::require_table(table);
  TableVerdict result;
  for (const Reading& reading : detail::ReadingFinder(table).find())
    result.readings.push_back(detail::judged(table, reading, rules));
  detail::keep_plausible(result.readings);
  result.verdict = detail::verdict_of(result.readings);
  const auto least = std::min_element(
      result.readings.begin(), result.readings.end(),
      [](const ReadingVerdict& x, const ReadingVerdict& y) { return x.margin < y.margin; });
  result.governing = static_cast<std::size_t>(least - result.readings.begin());
  return result;
}

namespace detail {

/// A table with the number that a finding proposes.
[[nodiscard]] inline Table with_proposed(Table table, const Finding& finding) {
  TableRow& row = table.rows[finding.row];
  const bool of_depth = finding.oddity == Oddity::order ||
                        finding.oddity == Oddity::not_above_bottom ||
                        finding.oddity == Oddity::depth_off_grid;
  if (of_depth)
    row.depth = *finding.proposed;
  else
    (finding.in_run_time && row.leave_at ? row.leave_at : row.minutes) = *finding.proposed;
  return table;
}

/// What becomes of a table with the number proposed, where there is exactly one.
[[nodiscard]] inline std::optional<Corrected> corrected(const Table& written, const Rules& rules,
                                                        const std::vector<Finding>& findings,
                                                        int most_trials) {
  const auto unsettles = [](const Finding& one) { return one.unsettles(); };
  const auto first = std::find_if(findings.begin(), findings.end(), unsettles);
  if (first == findings.end() || !first->proposed) return {};
  // Two findings may say the same of one number: a depth out of order and off the steps.
  const bool one_number = std::none_of(first, findings.end(), [&](const Finding& other) {
    return other.unsettles() && (other.row != first->row || other.proposed != first->proposed);
  });
  if (!one_number) return {};
  const Table table = with_proposed(written, *first);
  Corrected result{.finding = *first, .verdict = verdict(table, rules)};
  const TableReader reader(table, result.verdict.readings[result.verdict.governing].reading, rules);
  const Judge judge(reader, rules.factors);
  const std::vector<Finding> left = Proofreader(reader, FollowedTable(judge).rows()).findings();
  result.settled = std::none_of(left.begin(), left.end(), unsettles) &&
                   result.verdict.readings.front().can_be_followed;
  if (result.settled) result.repair = RepairSearch(judge, {}, most_trials).find();
  return result;
}

/// All but what is altered on trial: pairs and consequences.
[[nodiscard]] inline Check checked(const Judge& judge, TableVerdict over_all, int most_trials) {
  const TableReader& reader = judge.reader();
  const FollowedTable followed(judge);
  Check result{.rules = reader.rules(),
               .replay = replay(profile_of(reader, followed.diver()), reader.rules())};
  result.rows = followed.rows();
  result.findings = Proofreader(reader, result.rows).findings();
  if (result.unsettled()) {
    result.repair.grid = minutes(grid_of(reader));
    result.repair.added.assign(result.rows.size(), 0.0);
    result.corrected = corrected(reader.table(), reader.rules(), result.findings, most_trials);
  } else {
    result.repair = RepairSearch(judge, {}, most_trials).find();
  }
  for (std::size_t j = 0; j < result.rows.size(); ++j)
    result.rows[j].added = minutes(result.repair.added[j]);
  result.verdict = std::move(over_all);
  result.table = reader.table();
  result.version = version;
  return result;
}

} // namespace detail

/// @brief The verdict, and what lies behind it under the reading with the least margin.
/// @throws InvalidInput as verdict() does.
[[nodiscard]] inline Check check(const Table& table, const Rules& rules) {
  TableVerdict over_all = verdict(table, rules);
  const detail::TableReader reader(table, over_all.readings[over_all.governing].reading, rules);
  const detail::Judge judge(reader, rules.factors);
  constexpr int most_trials = 100'000;
  Check result = detail::checked(judge, std::move(over_all), most_trials);
  if (result.unsettled()) return result;
  result.at_low = detail::PairSearch(reader).with_low(rules.factors.low());
  result.pairs = detail::PairSearch(reader).front(rules.factors.low());
  result.consequences = detail::MishapTrial(judge).all();
  return result;
}

/// @brief What is odd in the numbers of a table, under the reading with the least margin.
/// @throws InvalidInput as verdict() does.
[[nodiscard]] inline std::vector<Finding> proofread(const Table& table, const Rules& rules) {
  const TableVerdict over_all = verdict(table, rules);
  const detail::TableReader reader(table, over_all.readings[over_all.governing].reading, rules);
  const detail::Judge judge(reader, rules.factors);
  return detail::Proofreader(reader, detail::FollowedTable(judge).rows()).findings();
}

} // namespace upline

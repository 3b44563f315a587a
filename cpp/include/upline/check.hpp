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
  std::vector<FactorPair> pairs{};         ///< The front of the pairs it satisfies.
  std::vector<Consequence> consequences{}; ///< Mishaps, the tightest first.
  std::vector<Finding> findings{};         ///< What is odd in its numbers.
  std::string version{};                   ///< Of the library that computed it.
};

namespace detail {

[[nodiscard]] inline ReadingVerdict judged(const Table& table, const Reading& reading,
                                           const Rules& rules) {
  const TableReader reader(table, reading, rules);
  const Judge judge(reader, rules.factors);
  const Follower diver = judge.follow({});
  const LimitLine line = judge.line_of(diver);
  ReadingVerdict result;
  result.reading = reading;
  result.can_be_followed = !diver.short_of_time();
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

/// Readings that cannot be followed are not meant; if none can, all are kept.
inline void keep_plausible(std::vector<ReadingVerdict>& readings) {
  const auto can = [](const ReadingVerdict& one) { return one.can_be_followed; };
  if (std::any_of(readings.begin(), readings.end(), can))
    std::erase_if(readings, [&](const ReadingVerdict& one) { return !can(one); });
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

/// All but what is altered on trial: pairs and consequences.
[[nodiscard]] inline Check checked(const Judge& judge, TableVerdict over_all, int most_trials) {
  const TableReader& reader = judge.reader();
  const FollowedTable followed(judge);
  Check result{.rules = reader.rules(),
               .replay = replay(profile_of(reader, followed.diver()), reader.rules())};
  result.repair = RepairSearch(judge, {}, most_trials).find();
  result.rows = followed.rows();
  for (std::size_t j = 0; j < result.rows.size(); ++j)
    result.rows[j].added = minutes(result.repair.added[j]);
  result.findings = Proofreader(reader, result.rows).findings();
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

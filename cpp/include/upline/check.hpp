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

[[nodiscard]] inline std::vector<FollowedRow>
followed_rows(const Judge& judge, const LimitLine& line, const Repair& repair) {
  const TableReader& reader = judge.reader();
  const Change nothing;
  Follower diver(reader, judge.set(), judge.rates(), nothing);
  diver.reach_and_leave_bottom();
  std::vector<FollowedRow> rows;
  const auto arrived = [&] {
    if (rows.empty()) return;
    const TwoLeaders leaders =
        leaders_at(diver.walk(), diver.walk().tissues(), line, diver.walk().depth_now());
    rows.back().controlling = leaders.first;
    rows.back().runner_up = leaders.second;
  };
  for (std::size_t j = 0; j < reader.stops().size(); ++j) {
    diver.travel_to(j);
    arrived();
    FollowedRow row{.row = j, .depth = metres(reader.stops()[j].depth)};
    row.arrives = minutes(diver.walk().clock());
    row.arrives_on = diver.gas();
    diver.stay_at(j);
    row.departs = minutes(diver.walk().clock());
    row.gas = diver.gas();
    row.po2 = row.gas.oxygen * reader.place().pressure(reader.stops()[j].depth);
    if (j < repair.added.size()) row.added = minutes(repair.added[j]);
    rows.push_back(row);
  }
  diver.surface();
  arrived();
  return rows;
}

} // namespace detail

/// @brief The verdict alone: every plausible reading judged.
/// @param table What is written.
/// @param rules Factors, model, rates, oxygen limits; rounding and ladder are not used.
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

/// @brief The verdict, and what lies behind it under the reading with the least margin.
/// @throws InvalidInput as verdict() does.
[[nodiscard]] inline Check check(Table table, const Rules& rules) {
  TableVerdict over_all = verdict(table, rules);
  const Reading reading = over_all.readings[over_all.governing].reading;
  const detail::TableReader reader(table, reading, rules);
  const detail::Judge judge(reader, rules.factors);
  const detail::Change nothing;
  const detail::Follower diver = judge.follow(nothing);
  Check result{.rules = rules, .replay = replay(detail::profile_of(reader, diver), rules)};
  constexpr int most_trials = 30'000;
  result.repair = detail::RepairSearch(judge, nothing, most_trials).find();
  result.rows = detail::followed_rows(judge, judge.line_of(diver), result.repair);
  result.pairs = detail::PairSearch(reader).front(rules.factors.low());
  result.consequences = detail::MishapTrial(judge).all();
  result.findings = detail::Proofreader(reader).findings();
  result.verdict = std::move(over_all);
  result.table = std::move(table);
  result.version = version;
  return result;
}

/// @brief Checks the cells of a card; the one with the least margin comes first.
/// @return Positions in `cells`, with their verdicts.
/// @throws InvalidInput as verdict() does.
[[nodiscard]] inline std::vector<std::pair<std::size_t, TableVerdict>>
check_card(const std::vector<Table>& cells, const Rules& rules) {
  std::vector<std::pair<std::size_t, TableVerdict>> judged;
  judged.reserve(cells.size());
  for (std::size_t j = 0; j < cells.size(); ++j) judged.emplace_back(j, verdict(cells[j], rules));
  std::stable_sort(judged.begin(), judged.end(), [](const auto& x, const auto& y) {
    return x.second.readings[x.second.governing].margin <
           y.second.readings[y.second.governing].margin;
  });
  return judged;
}

} // namespace upline

#pragma once
/// @file
/// @brief How long the gas lets a team stay: with every reserve kept, and with gases of the ascent
/// lost.
/// @par Source
/// docs/theory.md, section "Reserves".

#include <upline/caution.hpp>
#include <upline/reserve.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace upline {

/// @brief How far beyond the planned bottom time a limit is looked for.
inline constexpr Minutes deadline_search = minutes(60.0);

/// @brief The longest bottom time that gas allows.
struct GasLimit {
  /// The longest at which all closes, there and at every shorter one tried; nothing where it
  /// closes at none.
  std::optional<Minutes> bottom_time{};
  bool ended = false;                 ///< The search ended without finding what does not close.
  std::optional<Requirement> fails{}; ///< What binds at the next bottom time.
  std::string reason{};               ///< Why there is no schedule for the next bottom time.
  Minutes step{};                     ///< Resolution of the rules, of which all are multiples.
  Minutes searched_from{};            ///< The shortest tried.
  Minutes searched_to{};              ///< The longest that would have been tried.
};

/// @brief How long one diver can stay and still get up on what is left.
struct DiverDeadline {
  std::optional<Minutes> leave_by{}; ///< Run time; nothing where the gas closes at none.
  bool ended = false;                ///< The search ended without finding what does not close.
  std::optional<Gas> runs_out{};     ///< Of which gas there is not enough a step later.
  Litres short_by{};                 ///< How much of it is missing then.
  std::string reason{};              ///< Why there is no schedule a step later.
};

/// @brief The same for a team.
struct Deadline {
  std::vector<Gas> lost{};             ///< Known when the bottom is left.
  std::vector<DiverDeadline> divers{}; ///< In the order of the team.

  /// @brief By when all must leave; nothing where that closes at no bottom time.
  [[nodiscard]] std::optional<Minutes> leave_by() const {
    std::optional<Minutes> least = divers.front().leave_by;
    for (const DiverDeadline& one : divers)
      least = least && one.leave_by ? std::optional(std::min(*least, *one.leave_by)) : std::nullopt;
    return least;
  }
  /// @brief Whether the search ended without a limit for anybody.
  [[nodiscard]] bool ended() const {
    return std::all_of(divers.begin(), divers.end(),
                       [](const DiverDeadline& one) { return one.ended; });
  }
};

/// @brief Every deadline of a plan.
struct Deadlines {
  Plan plan;                       ///< As planned.
  std::vector<DiverSupply> team{}; ///< Who dives it.
  ReserveRules rules;              ///< Of the first of them.
  GasLimit with_reserves{};        ///< Nothing lost, every reserve kept.
  std::vector<Deadline> lost{};    ///< Each gas of the ascent, then each pair.
};

namespace detail {

/// Bottom times of one dive on whole steps of its resolution.
class BottomTimes {
public:
  explicit BottomTimes(const Plan& plan)
      : plan_(plan), step_(in_minutes(plan.rules.resolution)),
        first_(whole(std::ceil(earliest() / step_ - slack))) {
    const double most = std::min(in_minutes(plan.bottom_time + deadline_search), 1e5);
    last_ = std::max(first_, whole(std::floor(most / step_ + slack)));
  }

  [[nodiscard]] long first() const { return first_; }
  [[nodiscard]] long last() const { return last_; }
  [[nodiscard]] Minutes at(long k) const { return minutes(static_cast<double>(k) * step_); }

  /// @brief The plan with the last level left then.
  [[nodiscard]] Contingency plan_at(long k, const std::vector<Gas>& lost) const {
    Contingency found;
    try {
      Dive dive = deviating(plan_.dive, Deviation{.lost = lost}, plan_.rules.units);
      dive.levels.back().leave_at = at(k);
      found.plan = upline::plan(std::move(dive), plan_.rules);
      if (const Caution* refusal = found.plan->refusal()) {
        found.reason = caution_text(*refusal, plan_.rules.units);
        found.plan.reset(); // not to be dived, whatever gas there is
      }
    } catch (const Error& error) {
      found.reason = error.what();
    }
    return found;
  }

  /// @brief The last of the moments up to which all that are tried close; one before the first
  /// where that fails.
  ///
  /// Every moment is tried, the shortest first; of more than 128 evenly spaced ones, and then
  /// halving until two neighbours differ.
  template <class Closes>
  [[nodiscard]] long last_closing(Closes&& closes) const {
    constexpr long most_tried = 128;
    const long stride = std::max(1L, (last_ - first_ + most_tried - 1) / most_tried);
    long good = first_ - 1;
    while (good < last_) {
      long bad = good < first_ ? first_ : std::min(last_, good + stride);
      if (closes(bad)) {
        good = bad;
        continue;
      }
      while (bad - good > 1) {
        const long middle = good + (bad - good) / 2;
        (closes(middle) ? good : bad) = middle;
      }
      break;
    }
    return good;
  }

private:
  [[nodiscard]] static long whole(double x) { return static_cast<long>(x); }

  /// When the last level is reached, and the one before it left.
  [[nodiscard]] double earliest() const {
    double reached = 0.0;
    for (const Row& row : plan_.rows)
      if (row.ends <= plan_.bottom_time)
        reached = in_minutes(row.phase == Phase::stay ? row.begins : row.ends);
    const std::vector<Level>& levels = plan_.dive.levels;
    if (levels.size() > 1)
      reached = std::max(reached, in_minutes(levels[levels.size() - 2].leave_at));
    return reached;
  }

  static constexpr double slack = 1e-9; // of a step
  const Plan& plan_;
  double step_;
  long first_ = 0;
  long last_ = 0;
};

/// Whether one diver gets up on a plan, working until the bottom is left and in stress from then
/// on.
[[nodiscard]] inline DiverDeadline own_ascent(const Contingency& found, const DiverSupply& supply) {
  DiverDeadline result;
  result.reason = found.reason;
  if (!found.plan) return result;
  for (const GasUse& use : found.plan->gas) {
    const Drawn given =
        drawn(cylinders_of(supply, use.gas), use.gas,
              draws_of(*found.plan, use.gas, supply.rates, in_minutes(found.plan->bottom_time)));
    if (!(given.short_by > litres(0.0))) continue;
    result.runs_out = use.gas;
    result.short_by = given.short_by;
    return result;
  }
  result.ended = true;
  return result;
}

/// @brief How long each diver may stay if these gases are lost.
[[nodiscard]] inline Deadline deadline(const BottomTimes& times,
                                       const std::vector<DiverSupply>& team,
                                       const std::vector<Gas>& lost) {
  std::map<long, Contingency> plans;
  const auto plan_at = [&](long k) -> const Contingency& {
    const auto known = plans.find(k);
    return known != plans.end() ? known->second : plans[k] = times.plan_at(k, lost);
  };
  Deadline result{lost, {}};
  for (const DiverSupply& supply : team) {
    const long last =
        times.last_closing([&](long k) { return own_ascent(plan_at(k), supply).ended; });
    DiverDeadline one;
    if (last < times.last())
      one = own_ascent(plan_at(last + 1), supply);
    else
      one.ended = true;
    if (last >= times.first()) one.leave_by = times.at(last);
    result.divers.push_back(std::move(one));
  }
  return result;
}

} // namespace detail

/// @brief The longest bottom time at which every requirement of every diver closes.
///
/// Only the time at which the last level is left changes. Bottom times are whole steps of the
/// rules' resolution, from reaching that level to an hour beyond the plan; of more than 128 only
/// some are tried, and those next to the limit.
/// @param plan  The dive.
/// @param team  1 to 12 divers, each with a cylinder for each gas of the plan.
/// @param rules What is kept, and for whom.
/// @throws InvalidInput as reserves() does.
[[nodiscard]] inline GasLimit gas_limit(const Plan& plan, const std::vector<DiverSupply>& team,
                                        const ReserveRules& rules) {
  detail::require_team(plan, team);
  detail::require_reserve_rules(rules);
  const detail::BottomTimes times(plan);
  GasLimit limit;
  limit.step = plan.rules.resolution;
  limit.searched_from = times.at(times.first());
  limit.searched_to = times.at(times.last());
  const auto closes = [&](long k) {
    Contingency found = times.plan_at(k, {});
    limit.reason = found.reason;
    limit.fails.reset();
    if (!found.plan) return false;
    for (const DiverSupply& one : team)
      for (const GasUse& use : found.plan->gas)
        if (detail::cylinders_of(one, use.gas).empty()) {
          limit.reason = "it breathes " + use.gas.spoken() + ", of which " +
                         (one.name.empty() ? std::string("a diver") : one.name) +
                         " has no cylinder";
          return false;
        }
    const Reserves there = detail::ReserveFinder(std::move(*found.plan), team, rules, false).find();
    if (!there.closes()) limit.fails = there.binds();
    return there.closes();
  };
  const long last = times.last_closing(closes);
  limit.ended = last == times.last();
  if (last >= times.first()) limit.bottom_time = times.at(last);
  if (limit.ended)
    limit.fails.reset();
  else
    (void)closes(last + 1); // what binds there
  return limit;
}

/// @brief By when to leave the bottom: with every reserve, and with each gas of the ascent and each
/// pair of them lost.
///
/// With gases lost each diver is alone: nobody shares and nothing is kept. The working rate counts
/// until the bottom is left and the stress rate for the whole ascent, on the schedule that is
/// computed for what is left.
/// @param plan  The dive; its ascent takes up no more than six gases.
/// @param team  1 to 12 divers, each with a cylinder for each gas of the plan.
/// @param rules Of the reserves.
/// @throws InvalidInput as reserves() does, and for too many gases.
[[nodiscard]] inline Deadlines deadlines(const Plan& plan, const std::vector<DiverSupply>& team,
                                         const ReserveRules& rules) {
  constexpr std::size_t most_gases = 6;
  Deadlines result{.plan = plan, .team = team, .rules = rules};
  result.with_reserves = gas_limit(plan, team, rules);
  const std::vector<GasSwitch> changes = detail::switches_of_ascent(plan);
  if (changes.size() > most_gases)
    throw InvalidInput("plan", std::to_string(changes.size()) + " gases taken up on the ascent",
                       "up to " + std::to_string(most_gases), "plan with fewer gases");
  const detail::BottomTimes times(plan);
  for (const GasSwitch& one : changes)
    result.lost.push_back(detail::deadline(times, team, {one.to}));
  for (std::size_t j = 0; j < changes.size(); ++j)
    for (std::size_t k = j + 1; k < changes.size(); ++k)
      result.lost.push_back(detail::deadline(times, team, {changes[j].to, changes[k].to}));
  return result;
}

} // namespace upline

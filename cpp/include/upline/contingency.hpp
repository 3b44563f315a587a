#pragma once
/// @file
/// @brief A planned dive that comes otherwise: deeper, later, a gas lost, switches late, slow
/// ascent.
/// @par Source
/// docs/theory.md, section "Contingencies".

#include <upline/detail/number.hpp>
#include <upline/detail/require.hpp>
#include <upline/dive.hpp>
#include <upline/error.hpp>
#include <upline/plan.hpp>
#include <upline/schedule.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace upline {

/// @brief What comes otherwise than planned; several at once are one deviation.
struct Deviation {
  Depth deeper{};                          ///< The deepest level is deeper by this.
  Minutes later{};                         ///< The bottom is left later by this.
  std::vector<Gas> lost{};                 ///< Not there on the ascent.
  Minutes late_switch{};                   ///< Longer on the old gas at each switch.
  std::optional<TravelRate> ascent_rate{}; ///< No zone of the ascent is faster than this.
  std::optional<Depth> last_stop{};        ///< Another one than planned; not with explicit rungs.

  friend bool operator==(const Deviation&, const Deviation&) = default; ///< Field by field.
};

/// @brief A deviation, and the schedule for it.
struct Contingency {
  Deviation what{};           ///< What comes otherwise.
  std::optional<Plan> plan{}; ///< Nothing where it cannot be dived,
  std::string reason{};       ///< and why.
};

/// @brief A depth at which two schedules may differ.
struct RungChange {
  Depth depth{};                    ///< Of the rung, or of the bottom.
  std::optional<Minutes> planned{}; ///< Run time of leaving it as planned; nothing: not stopped at.
  std::optional<Minutes> otherwise{}; ///< The same in the other schedule.
  std::optional<Gas> planned_gas{};   ///< On which it is left.
  std::optional<Gas> otherwise_gas{}; ///< The same in the other schedule.
};

namespace detail {

/// A rate that no zone exceeds would leave the plan as it is.
inline void require_slower(TravelRate rate, const Rules& rules) {
  require_rate("ascent_rate", rate);
  const double fastest = RateTable(rules.ascent_rates).fastest();
  if (rate.base() < fastest) return;
  const auto both = [](double x) { return in_both(x, "m/min", x / metres_per_foot, "ft/min"); };
  throw InvalidInput("ascent_rate", both(rate.base()),
                     "slower than the plan, " + both(fastest) + " at its fastest",
                     "give the rate of a slower ascent, or plan with a faster one");
}

inline void require_deviation(const Deviation& what, const Plan& plan) {
  require_length("deeper", what.deeper, metres(0.0), metres(100.0), "give how much deeper");
  require_range("later", in_minutes(what.later), 0.0, 1e4, "min", "give how many minutes later");
  require_range("late_switch", in_minutes(what.late_switch), 0.0, 1e3, "min",
                "give how many minutes longer on the old gas");
  if (what.ascent_rate) require_slower(*what.ascent_rate, plan.rules);
  if (what == Deviation{})
    throw InvalidInput("deviation", "nothing that differs from the plan",
                       "deeper, later, lost, late_switch, ascent_rate or last_stop",
                       "say what comes otherwise");
  if (what.last_stop && !plan.rules.ladder.rungs.empty())
    throw InvalidInput("last_stop", length_text(*what.last_stop) + " beside a ladder",
                       "a plan with spacing and last stop", "plan without an explicit ladder");
  if (what.last_stop && *what.last_stop == plan.rules.ladder.last_stop)
    throw InvalidInput("last_stop", length_text(*what.last_stop) + ", as planned",
                       "another one than the plan's", "leave it out");
  const auto& gases = plan.dive.gases;
  for (const Gas& gas : what.lost) {
    if (gas == gases.front().gas)
      throw InvalidInput("lost", gas.text() + ", the bottom gas", "gases for the ascent",
                         "name one of the gases that the ascent goes over to");
    const bool carried = std::any_of(gases.begin(), gases.end(),
                                     [&](const GasChoice& choice) { return choice.gas == gas; });
    if (!carried)
      throw InvalidInput("lost", gas.text() + ", which the dive does not have",
                         "gases for the ascent", "name one of the gases of the plan");
  }
}

/// The dive as it comes.
/// @param units In which depths add up without a rest.
[[nodiscard]] inline Dive deviating(Dive dive, const Deviation& what, Units units) {
  const Depth deepest =
      std::max_element(dive.levels.begin(), dive.levels.end(), [](const Level& a, const Level& b) {
        return a.depth < b.depth;
      })->depth;
  for (Level& level : dive.levels)
    if (level.depth == deepest)
      level.depth = depth_from(depth_in(level.depth, units) + depth_in(what.deeper, units), units);
  dive.levels.back().leave_at = dive.levels.back().leave_at + what.later;
  std::erase_if(dive.gases, [&](const GasChoice& choice) {
    return std::find(what.lost.begin(), what.lost.end(), choice.gas) != what.lost.end();
  });
  return dive;
}

/// The rules as they are kept.
[[nodiscard]] inline Rules deviating(Rules rules, const Deviation& what) {
  rules.switch_time = rules.switch_time + what.late_switch;
  if (what.ascent_rate)
    for (RateZone& zone : rules.ascent_rates) zone.rate = std::min(zone.rate, *what.ascent_rate);
  if (what.last_stop) rules.ladder.last_stop = *what.last_stop;
  return rules;
}

/// What is worse, or better, is said again.
[[nodiscard]] inline bool says_as_much(const Caution& one, const Caution& other) {
  constexpr double rounding = 1e-9;
  const bool same_value = std::isnan(one.value) ? std::isnan(other.value)
                                                : std::abs(one.value - other.value) <= rounding;
  return one.code == other.code && one.severity == other.severity && one.gas == other.gas &&
         same_value;
}

/// The bottom and every stop with the run time of leaving it.
inline void add_changes(std::vector<RungChange>& changes, const Plan& plan,
                        std::optional<Minutes> RungChange::*time,
                        std::optional<Gas> RungChange::*gas) {
  const auto at = [&](Depth depth) -> RungChange& {
    const auto found = std::find_if(changes.begin(), changes.end(),
                                    [&](const RungChange& one) { return one.depth == depth; });
    if (found != changes.end()) return *found;
    changes.emplace_back().depth = depth;
    return changes.back();
  };
  for (const Stop& stop : plan.stops) {
    RungChange& change = at(stop.depth);
    change.*time = stop.departs;
    change.*gas = stop.gas;
  }
}

} // namespace detail

/// @brief The schedules for everything that may come otherwise, in the order given.
///
/// Each is a plan of its own under the same factors, model and limits, computed as if it had been
/// known on leaving the bottom. A deviation that cannot be dived has a reason in place of a plan.
/// @param plan       What was planned.
/// @param deviations 1 to 50.
/// @throws InvalidInput if there is none, for one that differs in nothing, for a gas that the
///         ascent does not have, or for what is out of range.
[[nodiscard]] inline std::vector<Contingency>
contingencies(const Plan& plan, const std::vector<Deviation>& deviations) {
  constexpr std::size_t most = 50;
  if (deviations.empty() || deviations.size() > most)
    throw InvalidInput("deviations", std::to_string(deviations.size()) + " deviations",
                       "1 to 50 deviations", "say what may come otherwise");
  detail::require_own_schedule(plan);
  for (const Deviation& what : deviations) detail::require_deviation(what, plan);
  std::vector<Contingency> found;
  for (const Deviation& what : deviations) {
    Contingency& one = found.emplace_back();
    one.what = what;
    try {
      one.plan = upline::plan(detail::deviating(plan.dive, what, plan.rules.units),
                              detail::deviating(plan.rules, what));
    } catch (const Error& error) {
      one.reason = error.what();
    }
  }
  return found;
}

/// @brief What changes rung by rung, the deepest first.
[[nodiscard]] inline std::vector<RungChange> changes(const Plan& planned, const Plan& otherwise) {
  std::vector<RungChange> found;
  detail::add_changes(found, planned, &RungChange::planned, &RungChange::planned_gas);
  detail::add_changes(found, otherwise, &RungChange::otherwise, &RungChange::otherwise_gas);
  std::sort(found.begin(), found.end(),
            [](const RungChange& a, const RungChange& b) { return a.depth > b.depth; });
  return found;
}

/// @brief The cautions of another schedule, without those that say as much in the plan.
[[nodiscard]] inline std::vector<Caution> added_cautions(const Plan& planned,
                                                         const Plan& otherwise) {
  std::vector<Caution> added;
  for (const Caution& caution : otherwise.cautions)
    if (std::none_of(planned.cautions.begin(), planned.cautions.end(),
                     [&](const Caution& one) { return detail::says_as_much(one, caution); }))
      added.push_back(caution);
  return added;
}

} // namespace upline

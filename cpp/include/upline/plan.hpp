#pragma once
/// @file
/// @brief From a dive and its rules to a plan.
/// @par Source
/// docs/theory.md; every convention named there.

#include <upline/detail/account.hpp>
#include <upline/detail/diver.hpp>
#include <upline/detail/inspector.hpp>
#include <upline/dive.hpp>
#include <upline/schedule.hpp>
#include <upline/version.hpp>

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

namespace upline {

namespace detail {

[[nodiscard]] inline std::vector<Row> rows_of(const std::vector<Leg>& legs) {
  std::vector<Row> rows;
  rows.reserve(legs.size());
  for (const Leg& leg : legs)
    rows.push_back({leg.phase, metres(leg.from), metres(leg.to), minutes(leg.begins),
                    minutes(leg.ends), leg.gas, leg.held_by});
  return rows;
}

/// Sums of this dive, and of the series it belongs to.
[[nodiscard]] inline OxygenDose dose_of(const OxygenExposure& taken, const OxygenHistory& after) {
  const OxygenExposure day = after.sum();
  return {taken.cns, after.cns, day.cns, day.day_share, taken.otu, day.otu};
}

[[nodiscard]] inline State end_state(const Dive& dive, const Rules& rules, const Diver& diver,
                                     OxygenExposure taken) {
  State end;
  end.tissues = diver.tissues();
  end.model = rules.model;
  end.place = diver.place();
  end.clock = diver.clock() + (dive.start ? dive.start->clock : 0.0);
  if (dive.start) end.oxygen = dive.start->oxygen;
  taken.ended = end.clock;
  end.oxygen.cns += taken.cns;
  end.oxygen.last_day.push_back(taken);
  return end;
}

} // namespace detail

/// @brief Computes the schedule of a dive.
/// @param dive  Levels, gases, place, and what an earlier dive left.
/// @param rules Gradient factors, model, rounding, ladder, rates and limits.
/// @return The plan; whatever it goes beyond is among its cautions.
/// @throws InvalidInput for input that cannot be used or a dive that cannot be dived.
/// @throws NoAscent     if a depth cannot be left under these rules.
[[nodiscard]] inline Plan plan(Dive dive, Rules rules) {
  detail::require_rules(rules);
  detail::require_dive(dive);
  Plan result{.dive = std::move(dive), .rules = std::move(rules)};
  detail::Diver diver(result.dive, result.rules);
  diver.dive();
  result.rows = detail::rows_of(diver.legs());
  result.stops = diver.stops();
  result.bottom_time = minutes(diver.bottom_left());
  result.run_time = minutes(diver.clock());
  if (diver.line().anchor) result.anchor = metres(*diver.line().anchor);
  const Place& place = diver.place();
  const Leader leader = leading_fraction(diver.set(), diver.tissues(), place.surface);
  result.surfacing_fraction = leader.value;
  result.surfacing_compartment = leader.compartment;
  result.extremes = detail::extremes_of(diver.legs(), place);
  const OxygenExposure taken = detail::total_exposure(diver.legs(), place);
  result.end = detail::end_state(result.dive, result.rules, diver, taken);
  result.oxygen = detail::dose_of(taken, result.end.oxygen);
  result.gas = detail::gas_use(diver.legs(), place, diver.bottom_left(), result.rules);
  result.version = version;
  std::vector<Caution> cautions;
  detail::Inspector(result, diver, cautions).inspect();
  result.cautions = std::move(cautions);
  return result;
}

/// @brief Longest bottom time for which no rung of the ascent asks for a wait.
///
/// Under the same rules as plan(): limit line, leave test, switches. Solved to 1e-6 min.
/// @param dive Depth in one level; its leave time is not used.
/// @return Minutes from leaving the surface to leaving the bottom; infinite if 100 000 min are not
///         enough to need a wait, 0 if even the shortest stay needs one.
/// @throws InvalidInput as plan() does.
[[nodiscard]] inline double no_stop_limit(Dive dive, const Rules& rules) {
  detail::require_rules(rules);
  detail::require_dive(dive);
  if (dive.levels.size() != 1)
    throw InvalidInput("depth", std::to_string(dive.levels.size()) + " levels", "one depth",
                       "give the depth of the bottom alone");
  constexpr double longest = 1e5;
  dive.levels.front().leave_at = minutes(longest);
  detail::Diver arrived(dive, rules);
  arrived.reach_bottom();
  const auto free = [&](double bottom_time) {
    detail::Diver diver = arrived;
    return diver.rises_freely(bottom_time);
  };
  double last_free = arrived.clock();
  if (!free(last_free)) return 0.0;
  // In small strides first: with helium aboard the answer need not be yes up to a time and no
  // after.
  double stride = 1.0;
  double first_held = last_free + stride;
  constexpr double growth = 1.1;
  while (free(first_held)) {
    if (first_held >= longest) return HUGE_VAL;
    last_free = first_held;
    stride *= growth;
    first_held = std::min(longest, first_held + stride);
  }
  constexpr double resolution = 1e-7;
  while (first_held - last_free > resolution) {
    const double middle = last_free + (first_held - last_free) / 2.0;
    (free(middle) ? last_free : first_held) = middle;
  }
  return last_free;
}

} // namespace upline

#pragma once
/// @file
/// @brief From a dive and its rules to a plan.
/// @par Source
/// docs/theory.md; every convention named there.

#include <upline/dive.hpp>
#include <upline/planning/account.hpp>
#include <upline/planning/diver.hpp>
#include <upline/planning/inspector.hpp>
#include <upline/schedule.hpp>
#include <upline/version.hpp>

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

namespace upline {

namespace detail {

/// @param holds Depths that the ascent does not leave earlier.
[[nodiscard]] inline Plan planned(Dive dive, Rules rules, std::vector<Hold> holds) {
  require_rules(rules);
  require_dive(dive);
  Plan result{.dive = std::move(dive), .rules = std::move(rules)};
  Diver diver(result.dive, result.rules);
  diver.hold_at(std::move(holds));
  diver.dive();
  result.rows = rows_of(diver.legs());
  result.stops = diver.stops();
  result.switches = diver.switches();
  result.bottom_time = minutes(diver.bottom_left());
  result.run_time = minutes(diver.clock());
  if (diver.line().anchor) result.anchor = metres(*diver.line().anchor);
  const Place& place = diver.place();
  const Leader leader = leading_fraction(diver.set(), diver.tissues(), place.surface);
  result.surfacing_fraction = leader.value;
  result.surfacing_compartment = leader.compartment;
  result.extremes = extremes_of(diver.legs(), place);
  const OxygenExposure taken = total_exposure(diver.legs(), place);
  result.end = end_state(result.dive.start, result.rules.model, diver.tissues(), place, taken);
  result.oxygen = dose_of(taken, result.end.oxygen);
  result.gas = gas_use(diver.legs(), place, diver.bottom_left(), result.rules);
  result.version = version;
  std::vector<Caution> cautions;
  Inspector(result, diver, cautions).inspect();
  result.cautions = std::move(cautions);
  return result;
}

} // namespace detail

/// @brief Computes the schedule of a dive.
/// @param dive  Levels, gases, place, and what an earlier dive left.
/// @param rules Gradient factors, model, rounding, ladder, rates and limits.
/// @return The plan; whatever it goes beyond is among its cautions.
/// @throws InvalidInput for input that cannot be used or a dive that cannot be dived.
/// @throws NoAscent     if a depth cannot be left under these rules.
[[nodiscard]] inline Plan plan(Dive dive, Rules rules) {
  return detail::planned(std::move(dive), std::move(rules), {});
}

} // namespace upline

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
  result.switches = diver.switches();
  result.bottom_time = minutes(diver.bottom_left());
  result.run_time = minutes(diver.clock());
  if (diver.line().anchor) result.anchor = metres(*diver.line().anchor);
  const Place& place = diver.place();
  const Leader leader = leading_fraction(diver.set(), diver.tissues(), place.surface);
  result.surfacing_fraction = leader.value;
  result.surfacing_compartment = leader.compartment;
  result.extremes = detail::extremes_of(diver.legs(), place);
  const OxygenExposure taken = detail::total_exposure(diver.legs(), place);
  result.end =
      detail::end_state(result.dive.start, result.rules.model, diver.tissues(), place, taken);
  result.oxygen = detail::dose_of(taken, result.end.oxygen);
  result.gas = detail::gas_use(diver.legs(), place, diver.bottom_left(), result.rules);
  result.version = version;
  std::vector<Caution> cautions;
  detail::Inspector(result, diver, cautions).inspect();
  result.cautions = std::move(cautions);
  return result;
}

} // namespace upline

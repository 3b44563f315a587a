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
  end.oxygen.forget_before(end.clock - day_of_minutes);
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
  result.end = detail::end_state(result.dive, result.rules, diver, taken);
  result.oxygen = detail::dose_of(taken, result.end.oxygen);
  result.gas = detail::gas_use(diver.legs(), place, diver.bottom_left(), result.rules);
  result.version = version;
  std::vector<Caution> cautions;
  detail::Inspector(result, diver, cautions).inspect();
  result.cautions = std::move(cautions);
  return result;
}

} // namespace upline

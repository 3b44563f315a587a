#pragma once
/// @file
/// @brief The tensions a dive begins with.

#include <upline/dive.hpp>

namespace upline::detail {

/// @brief What the earlier dive left, or rest on air at the pressure the diver is used to.
/// @throws InvalidInput if the earlier dive was computed with other half-times.
[[nodiscard]] inline Tissues starting_tissues(const Dive& dive, const CompartmentSet& set) {
  if (!dive.start)
    return equilibrium_with_air(dive.environment.acclimatised_pressure(),
                                in_bar(dive.environment.vapour));
  const CompartmentSet& theirs = compartment_set(dive.start->model);
  if (theirs.nitrogen.half_time != set.nitrogen.half_time)
    throw InvalidInput("start", "a state of " + dive.start->model,
                       "a state of the same half-times as " + std::string(set.name),
                       "plan both dives with one model");
  return dive.start->tissues;
}

} // namespace upline::detail

#pragma once
/// @file
/// @brief The tensions a dive begins with.

#include <upline/environment.hpp>
#include <upline/state.hpp>

#include <optional>
#include <string>

namespace upline::detail {

/// @brief What the earlier dive left, or rest on air at the pressure the diver is used to.
/// @throws InvalidInput if the earlier dive was computed with other half-times.
[[nodiscard]] inline Tissues starting_tissues(const std::optional<State>& start,
                                              const Environment& environment,
                                              const CompartmentSet& set) {
  if (!start)
    return equilibrium_with_air(environment.acclimatised_pressure(), in_bar(environment.vapour));
  const CompartmentSet& theirs = compartment_set(start->model);
  if (theirs.nitrogen.half_time != set.nitrogen.half_time)
    throw InvalidInput("start", "a state of " + start->model,
                       "a state of the same half-times as " + std::string(set.name),
                       "plan both dives with one model");
  return start->tissues;
}

} // namespace upline::detail

#pragma once
/// @file
/// @brief The leave times of one schedule as holds for another diver or another dive.

#include <upline/dive.hpp>
#include <upline/planning/diver.hpp>
#include <upline/schedule.hpp>

#include <cstddef>
#include <vector>

namespace upline::detail {

/// @brief How many levels were left at a run time [min].
[[nodiscard]] inline std::size_t levels_left(const Dive& dive, double run_time) {
  constexpr double rounding = 1e-9;
  std::size_t left = 0;
  while (left < dive.levels.size() && in_minutes(dive.levels[left].leave_at) <= run_time + rounding)
    ++left;
  return left;
}

/// @brief A stop of one dive as a hold of another that has as many levels.
///
/// It counts from leaving the same level, so that an ascent before does not wait for it.
/// @param stop  Of the dive `made`.
/// @param made  In which the stop is.
/// @param other In which it is to hold the diver.
[[nodiscard]] inline Hold hold_of(const Stop& stop, const Dive& made, const Dive& other) {
  const std::size_t left = levels_left(made, in_minutes(stop.arrives));
  const double since = left == 0 ? 0.0 : in_minutes(other.levels[left - 1].leave_at);
  return {.depth = in_metres(stop.depth), .leave_at = in_minutes(stop.departs), .since = since};
}

/// @brief The same for every stop of a plan.
[[nodiscard]] inline std::vector<Hold> holds_of(const Plan& plan, const Dive& other) {
  std::vector<Hold> holds;
  holds.reserve(plan.stops.size());
  for (const Stop& stop : plan.stops) holds.push_back(hold_of(stop, plan.dive, other));
  return holds;
}

} // namespace upline::detail

#pragma once
/// @file
/// @brief The longest bottom time from which the ascent needs no wait.
/// @par Source
/// docs/theory.md, section "Ascent".

#include <upline/dive.hpp>
#include <upline/plan.hpp>
#include <upline/planning/diver.hpp>

#include <algorithm>
#include <cmath>
#include <string>

namespace upline {

/// @brief Longest bottom time for which no rung of the ascent asks for a wait.
///
/// Under the same rules as plan(): limit line, leave test, switches. Solved to 1e-6 min.
/// @param dive  Depth in one level; its leave time is not used.
/// @param rules As for plan().
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
  dive.levels.front().leave_at = minutes(last_free);
  try {
    (void)plan(dive, rules); // a dive that cannot be dived is an error here as there
  } catch (const NoAscent&) {
    return 0.0; // the wait that even the shortest stay needs has no end
  }
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

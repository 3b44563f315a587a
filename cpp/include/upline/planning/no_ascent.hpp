#pragma once
/// @file
/// @brief What is said of a depth that cannot be left.

#include <upline/compartments.hpp>
#include <upline/error.hpp>
#include <upline/gas.hpp>
#include <upline/text.hpp>

#include <cstddef>
#include <string>

namespace upline::detail {

/// @brief An ascent that some compartment forbids.
struct Forbidden {
  double from{};             ///< Depth [m].
  double to{};               ///< Depth [m].
  std::size_t compartment{}; ///< From 0.
  double half_time{};        ///< Of the compartment, for nitrogen [min].
  Gas gas{};                 ///< Breathed.
  std::string factors;       ///< As text.

  /// @brief "compartment 5 (half-time 27 min) leave for 3 m on 50 with gradient factors 40/80".
  [[nodiscard]] std::string text() const {
    return "compartment " + std::to_string(compartment + 1) + " (half-time " +
           trimmed(half_time, 2) + " min) leave for " + length_text(metres(to)) + " on " +
           gas.text() + " with gradient factors " + factors;
  }
};

/// @brief The error where no wait, however long, suffices.
[[nodiscard]] inline NoAscent no_wait_suffices(const Forbidden& ascent) {
  return NoAscent{"no wait at " + length_text(metres(ascent.from)) + " lets " + ascent.text() +
                  ". Remedy: add rungs between the two depths, breathe a richer gas there, or "
                  "shorten the dive."};
}

/// @brief The error where a wait suffices and the longer one that the rounding makes of it does
/// not.
/// @param solved  The least wait [min].
/// @param rounded What min_stop and resolution make of it, switch included [min].
[[nodiscard]] inline NoAscent rounding_overshoots(const Forbidden& ascent, double solved,
                                                  double rounded) {
  return NoAscent{"a wait of " + trimmed(solved, 2) + " min at " +
                  length_text(metres(ascent.from)) + " lets " + ascent.text() + ", but the " +
                  trimmed(rounded, 2) +
                  " min that min_stop and resolution make of it are too long: slow compartments "
                  "take up too much meanwhile. Remedy: a smaller min_stop or resolution, "
                  "rounding \"exact\", or a richer gas there."};
}

/// @brief The error where the diver could leave, but not any more when the hold ends.
/// @param until Run time of its end [min].
[[nodiscard]] inline NoAscent hold_overshoots(const Forbidden& ascent, double until) {
  return NoAscent{"after being held at " + length_text(metres(ascent.from)) + " until run time " +
                  clock_text(until) + " no wait lets " + ascent.text() +
                  ": slow compartments took up too much meanwhile. Remedy: add rungs between the "
                  "two depths, a richer gas there, or no hold so long."};
}

} // namespace upline::detail

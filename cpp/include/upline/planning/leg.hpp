#pragma once
/// @file
/// @brief A leg of a dive, and the ascents made of legs.

#include <upline/gas.hpp>
#include <upline/limit.hpp>
#include <upline/schedule.hpp>
#include <upline/tissue.hpp>

#include <cstddef>
#include <optional>

namespace upline::detail {

/// @brief A stretch on one gas at one rate, with the tensions at its end.
///
/// The tensions at its start are those at the end of the leg before.
struct Leg {
  Phase phase = Phase::stay;
  double from = 0.0; ///< [m]
  double to = 0.0;
  double begins = 0.0; ///< Run time [min]
  double ends = 0.0;
  Gas gas{};
  std::optional<std::size_t> held_by{};
  Tissues after;

  [[nodiscard]] double minutes() const { return ends - begins; }
};

/// @brief An ascent, to a level or to the surface, and the line it is judged on.
struct Climb {
  std::size_t first_leg = 0; ///< Never the first of the dive: what it begins with is known.
  std::size_t end_leg = 0;   ///< One past the last.
  LimitLine line;
};

} // namespace upline::detail

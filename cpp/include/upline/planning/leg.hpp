#pragma once
/// @file
/// @brief A leg of a dive.

#include <upline/gas.hpp>
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

} // namespace upline::detail

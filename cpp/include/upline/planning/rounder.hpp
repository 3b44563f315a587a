#pragma once
/// @file
/// @brief Rounding of the times at which rungs are left.

#include <upline/ladder.hpp>
#include <upline/units.hpp>

#include <algorithm>
#include <cmath>

namespace upline::detail {

/// @brief Rounds times up as the rules say.
class Rounder {
public:
  Rounder(Rounding what, Minutes resolution) : what_(what), resolution_(in_minutes(resolution)) {}

  /// @brief Run time at which a rung is left that is reached at `arrives` and held for `minutes`.
  [[nodiscard]] double departure(double arrives, double minutes) const {
    switch (what_) {
    case Rounding::duration: return arrives + up(minutes);
    case Rounding::departure: return up(arrives + minutes);
    case Rounding::exact: break;
    }
    return arrives + minutes;
  }
  [[nodiscard]] double resolution() const { return resolution_; }

private:
  /// What lies within 1e-9 min above a multiple counts as on it.
  [[nodiscard]] double up(double minutes) const {
    return std::max(minutes, std::ceil((minutes - 1e-9) / resolution_) * resolution_);
  }

  Rounding what_;
  double resolution_;
};

} // namespace upline::detail

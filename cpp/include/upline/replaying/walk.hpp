#pragma once
/// @file
/// @brief Carries a diver along a given path, leg by leg, whatever the limits say.

#include <upline/compartments.hpp>
#include <upline/environment.hpp>
#include <upline/planning/leg.hpp>
#include <upline/tissue.hpp>

#include <vector>

namespace upline::detail {

/// @brief A dive as it was or will be made.
///
/// Its first leg lasts no time and holds the tensions the dive begins with, so that every other
/// leg has one before it.
class Walk {
public:
  Walk(const CompartmentSet& set, const Place& place, const Tissues& start, double depth = 0.0)
      : set_(&set), place_(place) {
    legs_.push_back({Phase::stay, depth, depth, 0.0, 0.0, {}, {}, start});
  }

  /// @brief Goes to a depth in so many minutes; a stretch that lasts no time is left out.
  void go(double depth, double minutes, const Gas& gas) {
    if (!(minutes > 0.0)) return;
    const double from = depth_now();
    Leg leg{phase(from, depth), from, depth, clock(), clock() + minutes, gas, {}, tissues()};
    const double rate = (depth - from) * place_.per_metre / minutes;
    advance(leg.after, *set_, Segment{minutes, place_.pressure(from), rate}, OpenCircuit{gas},
            place_.vapour);
    legs_.push_back(leg);
  }
  /// @brief Stays where the diver is.
  void stay(double minutes, const Gas& gas) { go(depth_now(), minutes, gas); }

  /// @brief Keeps the last leg alone: what was walked before it is forgotten.
  void forget() { legs_.erase(legs_.begin(), legs_.end() - 1); }

  [[nodiscard]] const std::vector<Leg>& legs() const { return legs_; }
  [[nodiscard]] const Tissues& tissues() const { return legs_.back().after; }
  [[nodiscard]] const Place& place() const { return place_; }
  [[nodiscard]] const CompartmentSet& set() const { return *set_; }
  [[nodiscard]] double clock() const { return legs_.back().ends; }
  [[nodiscard]] double depth_now() const { return legs_.back().to; }

private:
  [[nodiscard]] static Phase phase(double from, double to) {
    if (to > from) return Phase::go_down;
    return to < from ? Phase::come_up : Phase::stay;
  }

  const CompartmentSet* set_;
  Place place_;
  std::vector<Leg> legs_;
};

} // namespace upline::detail

#pragma once
/// @file
/// @brief Stops in whole minutes and no-stop limits under the exponential-linear kinetics.
///
/// To be held beside printed tables. For comparison alone: what comes out is not checked as a plan
/// is, and nothing may be dived by it.
/// @par Source
/// docs/theory.md, section "Comparison"; validation/data/vval18_schedules.csv and
/// vval18_no_stop.csv. All depths and pressures in fsw.

#include <upline/detail/number.hpp>
#include <upline/detail/require.hpp>
#include <upline/error.hpp>
#include <upline/linear_washout.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <tuple>
#include <vector>

namespace upline {

/// @brief Where a limit is tested that belongs to going from one stop to the next.
enum class WashoutTest {
  on_leaving, ///< With the tensions on leaving the deeper one.
  on_arrival  ///< With those on reaching the shallower one.
};

/// @brief How a schedule is cut.
struct WashoutRules {
  double descent = 60.0;                      ///< Inside the bottom time [fsw/min].
  double ascent = 30.0;                       ///< [fsw/min]
  WashoutTest test = WashoutTest::on_leaving; ///< Of the limits.
};

/// @brief A stop in whole minutes, from leaving the one before; the first from its arrival.
struct WashoutStop {
  double depth = 0.0;   ///< [fsw]
  double minutes = 0.0; ///< Travel to it included, but for the first.
};

namespace detail {

/// @brief Tensions of a set along one dive on air.
class WashoutDive {
public:
  WashoutDive(const WashoutModel& model, const WashoutRules& rules) : model_(model), rules_(rules) {
    const WashoutConstants& c = model.constants;
    tensions_.fill(c.nitrogen_share * c.surface - c.arterial);
  }

  void reach(double depth, double bottom_time) {
    const double travel = depth / rules_.descent;
    if (travel > bottom_time)
      throw InvalidInput("bottom_time", trimmed(bottom_time, 6) + " min",
                         "at least " + trimmed(travel, 6) + " min, when the depth is reached",
                         "give a longer time or a faster descent");
    carry(tensions_, 0.0, travel, rules_.descent);
    stay(tensions_, depth, bottom_time - travel);
  }

  /// Stops from a depth to the surface.
  [[nodiscard]] std::vector<WashoutStop> climb(double depth) {
    std::vector<WashoutStop> stops;
    while (depth > 0.0) {
      const double next = rung_above(depth);
      if (!passes(tensions_, depth, next)) stops.push_back(wait(depth, next, stops.empty()));
      rise(tensions_, depth, next);
      depth = next;
    }
    return stops;
  }

  /// Whether the ascent from a depth needs no stop.
  [[nodiscard]] bool rises_freely(double depth) const {
    Tensions then = tensions_;
    while (depth > 0.0) {
      const double next = rung_above(depth);
      if (!passes(then, depth, next)) return false;
      rise(then, depth, next);
      depth = next;
    }
    return true;
  }

  /// Whether no compartment holds more than it may on surfacing.
  [[nodiscard]] bool holds_surface_limits() const { return within(tensions_, 0.0); }

private:
  using Tensions = std::array<double, std::tuple_size_v<decltype(WashoutModel::compartments)>>;

  [[nodiscard]] double rung_above(double depth) const {
    return (std::ceil(depth / model_.rung) - 1.0) * model_.rung;
  }

  void carry(Tensions& tensions, double depth, double minutes, double rate) const {
    const WashoutSegment segment{minutes, model_.constants.surface + depth, rate};
    for (std::size_t i = 0; i < tensions.size(); ++i)
      tensions[i] = linear_washout(tensions[i], model_.compartments[i], model_.constants, segment);
  }
  void stay(Tensions& tensions, double depth, double minutes) const {
    carry(tensions, depth, minutes, 0.0);
  }
  void rise(Tensions& tensions, double from, double to) const {
    carry(tensions, from, (from - to) / rules_.ascent, -rules_.ascent);
  }

  /// Against what may be held on coming up to a depth.
  [[nodiscard]] bool within(const Tensions& tensions, double to) const {
    const double added = to / model_.rung * model_.per_rung;
    for (std::size_t i = 0; i < tensions.size(); ++i)
      if (tensions[i] > model_.compartments[i].surfacing + added + rounding) return false;
    return true;
  }

  [[nodiscard]] bool passes(Tensions tensions, double from, double to) const {
    if (rules_.test == WashoutTest::on_arrival) rise(tensions, from, to);
    return within(tensions, to);
  }

  /// Waits until the next stop may be taken; the count of the minutes begins on leaving the stop
  /// before, or here for the first.
  [[nodiscard]] WashoutStop wait(double depth, double next, bool first) {
    const double travel = first ? 0.0 : model_.rung / rules_.ascent;
    constexpr int most = 100000;
    const Tensions arrived = tensions_;
    for (int count = std::max(1, static_cast<int>(std::ceil(travel))); count < most; ++count) {
      const double minutes = count;
      tensions_ = arrived;
      stay(tensions_, depth, minutes - travel);
      if (passes(tensions_, depth, next)) return {depth, minutes};
    }
    throw NoAscent(detail::trimmed(depth, 6) + " fsw cannot be left within 100 000 min");
  }

  static constexpr double rounding = 1e-12; // [fsw]

  const WashoutModel& model_;
  WashoutRules rules_;
  Tensions tensions_{};
};

} // namespace detail

/// @brief Stops of a dive on air in whole minutes under the exponential-linear kinetics.
/// @param model       Kinetics and limits.
/// @param rules       Rates, and where a limit is tested.
/// @param depth       Of the bottom [fsw], 10 to 1000.
/// @param bottom_time From leaving the surface to leaving the bottom [min], up to 100 000.
/// @return Stops, deepest first; none if the ascent is free.
/// @throws InvalidInput for a value out of range.
[[nodiscard]] inline std::vector<WashoutStop> washout_schedule(const WashoutModel& model,
                                                               const WashoutRules& rules,
                                                               double depth, double bottom_time) {
  detail::require_range("depth", depth, 10.0, 1000.0, "fsw", "give the depth of the bottom");
  detail::require_range("bottom_time", bottom_time, 0.0, 1e5, "min", "give the bottom time");
  detail::WashoutDive dive(model, rules);
  dive.reach(depth, bottom_time);
  return dive.climb(depth);
}

namespace detail {

/// @brief Longest bottom time for which `free` holds of a dive that has just been down so long.
template <class Free>
[[nodiscard]] double longest_washout_time(const WashoutModel& model, const WashoutRules& rules,
                                          double depth, const Free& free) {
  require_range("depth", depth, 10.0, 1000.0, "fsw", "give the depth of the bottom");
  const auto free_after = [&](double bottom_time) {
    WashoutDive dive(model, rules);
    dive.reach(depth, bottom_time);
    return free(dive);
  };
  double last_free = depth / rules.descent;
  double first_held = 1e5;
  if (free_after(first_held)) return HUGE_VAL;
  if (!free_after(last_free)) return 0.0;
  constexpr double resolution = 1e-9;
  while (first_held - last_free > resolution) {
    const double middle = last_free + (first_held - last_free) / 2.0;
    (free_after(middle) ? last_free : first_held) = middle;
  }
  return last_free;
}

} // namespace detail

/// @brief Longest bottom time for which washout_schedule() has no stop.
/// @param model Kinetics and limits.
/// @param rules Rates, and where a limit is tested.
/// @param depth Of the bottom [fsw], 10 to 1000.
/// @return Minutes, solved to 1e-9; infinite if 100 000 min need no stop.
/// @throws InvalidInput for a value out of range.
[[nodiscard]] inline double washout_no_stop_limit(const WashoutModel& model,
                                                  const WashoutRules& rules, double depth) {
  return detail::longest_washout_time(model, rules, depth, [&](const detail::WashoutDive& dive) {
    return dive.rises_freely(depth);
  });
}

/// @brief Longest bottom time after which no compartment holds more than it may on surfacing, the
/// ascent left out of account.
/// @param model   Kinetics and limits.
/// @param descent Rate, inside the bottom time [fsw/min].
/// @param depth   Of the bottom [fsw], 10 to 1000.
/// @return Minutes, solved to 1e-9; infinite if 100 000 min are not too long.
/// @throws InvalidInput for a value out of range.
[[nodiscard]] inline double washout_limit_at_bottom(const WashoutModel& model, double descent,
                                                    double depth) {
  WashoutRules rules;
  rules.descent = descent;
  return detail::longest_washout_time(model, rules, depth, [](const detail::WashoutDive& dive) {
    return dive.holds_surface_limits();
  });
}

} // namespace upline

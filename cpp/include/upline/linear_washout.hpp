#pragma once
/// @file
/// @brief Exponential uptake and, above a threshold, linear washout of one inert gas; VVal-18.
///
/// Under the threshold T = p - v a tension follows dP/dt = k (P_a - P); above it
/// dP/dt = s k (P_a - T), where P_a = f p - o is the arterial tension at ambient pressure p. On a
/// segment in which p is linear in time both have closed forms, and the moment at which a
/// compartment goes from one to the other is solved, not stepped. For comparison with printed
/// tables alone: no plan can be made with it.
/// @par Accuracy
/// Moments of crossing to 1e-13 min, tensions to a few roundings.
/// @par Source
/// docs/theory.md, section "Comparison", eq. (30). Thalmann's kinetics and the VVal-18 set: from
/// memory, to be confirmed; validation/data/vval18_limits.csv and vval18_constants.csv. All
/// pressures in fsw.

#include <upline/detail/exponentials.hpp>

#include <boost/math/policies/policy.hpp>
#include <boost/math/tools/toms748_solve.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <numbers>
#include <optional>

namespace upline {

/// @brief A stretch of time in which ambient pressure is linear, in fsw.
struct WashoutSegment {
  double minutes = 0.0; ///< Duration [min], >= 0.
  double ambient = 0.0; ///< Absolute, at its start [fsw].
  double rate = 0.0;    ///< Change of ambient pressure [fsw/min].
};

/// @brief What the kinetics need beside half-times.
struct WashoutConstants {
  double nitrogen_share; ///< f, of air [1].
  double arterial;       ///< o, carbon dioxide in the artery [fsw].
  double venous;         ///< v, oxygen, carbon dioxide and vapour in the vein less the overpressure
                         ///< of bubbles [fsw].
  double surface;        ///< Ambient pressure at the surface [fsw].
};

/// @brief One compartment and what it may hold.
struct WashoutCompartment {
  double half_time; ///< [min]
  double factor;    ///< s, of the linear washout [1].
  double surfacing; ///< Largest tension on leaving the 10-fsw stop for the surface [fsw].
};

/// @brief A published set of nine compartments.
struct WashoutModel {
  WashoutConstants constants;                       ///< Of all compartments.
  std::array<WashoutCompartment, 9> compartments{}; ///< Fastest first.
  double rung = 10.0;                               ///< Distance of the stops [fsw].
  double per_rung = 10.0; ///< What a rung deeper adds to the largest tension [fsw].
};

/// @brief VVal-18 for air.
inline constexpr WashoutModel vval18{
    {0.79, 1.5, 2.3 + 2.0, 33.0},
    {{{5, 1, 120},
      {10, 1, 98},
      {20, 1, 78},
      {40, 1, 56},
      {80, 1, 48.5},
      {120, 1, 45.5},
      {160, 1, 44.5},
      {200, 1, 44},
      {240, 1, 43.5}}},
};

namespace detail {

/// @brief One compartment along one segment.
///
/// The gap g = P - T decides which law holds: the exponential one while g <= 0.
class Washout {
public:
  Washout(const WashoutCompartment& compartment, const WashoutConstants& constants,
          const WashoutSegment& segment)
      : k_(std::numbers::ln2 / compartment.half_time), linear_k_(k_ * compartment.factor),
        f_(constants.nitrogen_share), rate_(segment.rate),
        arterial_(f_ * segment.ambient - constants.arterial),
        threshold_(segment.ambient - constants.venous) {}

  /// Tension at the end of a segment of so many minutes.
  [[nodiscard]] double after(double tension, double minutes) {
    double gap = tension - threshold_;
    bool linear = gap > 0.0 || (gap == 0.0 && exponential_slope(gap) > 0.0);
    constexpr int most_changes = 8;
    for (int change = 0; change < most_changes; ++change) {
      const auto crossing = linear ? leaves_linear(gap, minutes) : leaves_exponential(gap, minutes);
      if (!crossing) break;
      move(*crossing);
      minutes -= *crossing;
      gap = 0.0; // by definition of the moment
      linear = !linear;
    }
    gap = linear ? linear_gap(gap, minutes) : exponential_gap(gap, minutes);
    move(minutes);
    return threshold_ + gap;
  }

private:
  void move(double minutes) {
    arterial_ += f_ * rate_ * minutes;
    threshold_ += rate_ * minutes;
  }

  // ---- linear: dg/dt = s k (P_a - T) - r, itself linear in time ----------------------------

  [[nodiscard]] double linear_slope() const { return linear_k_ * (arterial_ - threshold_) - rate_; }
  /// Half the second derivative.
  [[nodiscard]] double linear_bend() const { return 0.5 * linear_k_ * (f_ - 1.0) * rate_; }
  [[nodiscard]] double linear_gap(double gap, double t) const {
    return gap + t * (linear_slope() + t * linear_bend());
  }

  /// First moment after the start at which the gap falls to 0.
  [[nodiscard]] std::optional<double> leaves_linear(double gap, double minutes) const {
    const double slope = linear_slope();
    const double bend = linear_bend();
    double first = HUGE_VAL;
    const auto offer = [&](double t) {
      if (t > 0.0 && slope + 2.0 * bend * t <= 0.0) first = std::min(first, t);
    };
    if (gap == 0.0) {
      offer(-slope / bend);
    } else {
      const double discriminant = slope * slope - 4.0 * bend * gap;
      if (discriminant < 0.0) return {};
      // Both roots without cancellation; one of them infinite where the law is a straight line.
      const double q = -0.5 * (slope + std::copysign(std::sqrt(discriminant), slope));
      offer(q / bend);
      offer(gap / q);
    }
    return first < minutes ? std::optional(first) : std::nullopt;
  }

  // ---- exponential: dP/dt = k (P_a - P) ------------------------------------------------------

  [[nodiscard]] double exponential_slope(double gap) const {
    return k_ * (arterial_ - threshold_ - gap) - rate_;
  }
  [[nodiscard]] double exponential_gap(double gap, double t) const {
    const auto [phi, psi] = uptake(k_ * t);
    return gap + (arterial_ - threshold_ - gap) * phi + f_ * rate_ * t * psi - rate_ * t;
  }

  /// First moment after the start at which the gap rises above 0.
  ///
  /// The gap is A + B t + C exp(-k t): bent one way throughout, with one extremum at most.
  [[nodiscard]] std::optional<double> leaves_exponential(double gap, double minutes) const {
    const double b = (f_ - 1.0) * rate_;
    const double c = threshold_ + gap - arterial_ + f_ * rate_ / k_;
    const bool turns = b * c > 0.0;
    const double extremum = turns ? std::clamp(std::log(k_ * c / b) / k_, 0.0, minutes) : 0.0;
    // Bent upwards it can cross only behind its least value, bent downwards before its largest.
    const double from = turns && c > 0.0 ? extremum : 0.0;
    const double to = turns && c < 0.0 ? extremum : minutes;
    const double low = exponential_gap(gap, from);
    const double high = exponential_gap(gap, to);
    if (!(to > from) || !(high > 0.0) || !(low < 0.0)) return {};
    using Policy = boost::math::policies::policy<
        boost::math::policies::evaluation_error<boost::math::policies::ignore_error>>;
    const auto f = [&](double t) { return exponential_gap(gap, t); };
    const auto close = [](double x, double y) { return std::abs(y - x) <= 1e-14 * (1.0 + y); };
    std::uintmax_t rounds = 100;
    return boost::math::tools::toms748_solve(f, from, to, low, high, close, rounds, Policy())
        .second;
  }

  double k_;
  double linear_k_;
  double f_;
  double rate_;
  double arterial_;  // at the moment reached
  double threshold_; // as well
};

} // namespace detail

/// @brief Carries a tension over a segment by the exponential-linear kinetics.
/// @param tension     At its start [fsw].
/// @param compartment Half-time and factor.
/// @param constants   Of the breathing gas and the blood.
/// @param segment     Duration and ambient pressure.
/// @return Tension at its end [fsw].
[[nodiscard]] inline double linear_washout(double tension, const WashoutCompartment& compartment,
                                           const WashoutConstants& constants,
                                           const WashoutSegment& segment) {
  return detail::Washout(compartment, constants, segment).after(tension, segment.minutes);
}

} // namespace upline

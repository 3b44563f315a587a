#pragma once
/// @file
/// @brief One compartment's gap to its limit along a stretch of time, and where it crosses zero.
///
/// The gap is f = P - a G - p (G/b - G + 1) with a, b of the mixture: negative inside the limit,
/// positive beyond, and of the sign of (tolerated - ambient) pressure. Ambient pressure p and
/// factor G are linear in time; the tensions are sums of exponentials. The derivative is enclosed
/// over whole intervals, so that a crossing is never missed and never assumed to be the only one.

#include <upline/compartments.hpp>
#include <upline/detail/exponentials.hpp>

#include <boost/math/policies/policy.hpp>
#include <boost/math/tools/toms748_solve.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <optional>

namespace upline::detail {

/// @brief Tension start + swing phi(kt) + ramp t psi(kt) of one gas [bar].
struct GasCourse {
  double start = 0.0;
  double swing = 0.0;
  double ramp = 0.0;
  double rate = 0.0; ///< k [1/min]
};

/// @brief Closed interval.
struct Range {
  double low = 0.0;
  double high = 0.0;

  friend Range operator+(Range x, Range y) { return {x.low + y.low, x.high + y.high}; }
  friend Range operator*(Range x, Range y) {
    const auto ends = std::minmax({x.low * y.low, x.low * y.high, x.high * y.low, x.high * y.high});
    return {ends.first, ends.second};
  }
  friend Range operator*(double s, Range x) { return Range{s, s} * x; }
};

[[nodiscard]] inline Range range_of(double x, double y) { return {std::min(x, y), std::max(x, y)}; }

/// @brief Everything known of a course at one moment.
struct Moment {
  double t = 0.0;
  double nitrogen = 0.0;
  double helium = 0.0;
  double nitrogen_slope = 0.0;
  double helium_slope = 0.0;
  double ambient = 0.0;
  double factor = 0.0;
  double gap = 0.0;
};

/// @brief One compartment over a stretch of linear ambient pressure and factor.
struct Course {
  GasCourse nitrogen;
  GasCourse helium;
  double a = 0.0; ///< Nitrogen's a, and what helium's has more.
  double a_more = 0.0;
  double b = 0.0; ///< Nitrogen's b, and what helium's has more (mostly negative).
  double b_more = 0.0;
  double ambient = 0.0; ///< Ambient pressure at t = 0 [bar], and its rate [bar/min].
  double ambient_rate = 0.0;
  double factor = 0.0; ///< Gradient factor at t = 0, and its rate [1/min].
  double factor_rate = 0.0;

  void take_limits(const CompartmentSet& set, std::size_t i) {
    a = set.nitrogen.a[i];
    a_more = set.helium.a[i] - a;
    b = set.nitrogen.b[i];
    b_more = set.helium.b[i] - b;
  }

  [[nodiscard]] Moment at(double t) const {
    Moment m;
    m.t = t;
    tension_at(nitrogen, t, m.nitrogen, m.nitrogen_slope);
    tension_at(helium, t, m.helium, m.helium_slope);
    m.ambient = ambient + ambient_rate * t;
    m.factor = factor + factor_rate * t;
    m.gap = gap(m);
    return m;
  }

  /// @brief The gap at a moment whose tensions, ambient pressure and factor are set.
  [[nodiscard]] double gap(const Moment& m) const {
    const double total = m.nitrogen + m.helium;
    const double share = total > 0.0 ? m.helium / total : 0.0;
    return total - m.factor * (a + share * a_more) -
           m.ambient * (m.factor / (b + share * b_more) - m.factor + 1.0);
  }

  /// @brief df/dt at a moment.
  [[nodiscard]] double slope(const Moment& m) const {
    const double total = std::max(m.nitrogen + m.helium, tiny);
    const double share = m.helium / total;
    const double inverse_b = 1.0 / (b + share * b_more);
    const double pull = m.factor * (a_more - m.ambient * b_more * inverse_b * inverse_b) / total;
    return (1.0 + share * pull) * m.nitrogen_slope + (1.0 - (1.0 - share) * pull) * m.helium_slope -
           ambient_rate * (1.0 + m.factor * (inverse_b - 1.0)) -
           factor_rate * (a + share * a_more + m.ambient * (inverse_b - 1.0));
  }

  /// @brief Encloses df/dt between two moments.
  [[nodiscard]] Range slope_range(const Moment& l, const Moment& r) const {
    const auto [total, share] = mixture_between(l, r);
    const Range p = range_of(l.ambient, r.ambient);
    const Range g = range_of(l.factor, r.factor);
    const Range mixed_a = range_of(a + share.low * a_more, a + share.high * a_more);
    const Range inverse_b = inverse_b_of(share);
    const Range inverse_total{1.0 / total.high, 1.0 / total.low};
    const Range bend = Range{a_more, a_more} + (-b_more) * (p * inverse_b * inverse_b);
    const Range pull = g * bend * inverse_total;
    const Range by_nitrogen = Range{1.0, 1.0} + share * pull;
    const Range by_helium =
        Range{1.0, 1.0} + (-1.0) * (Range{1.0 - share.high, 1.0 - share.low} * pull);
    const Range excess_b = inverse_b + Range{-1.0, -1.0};
    const Range by_ambient = Range{1.0, 1.0} + g * excess_b;
    const Range by_factor = mixed_a + p * excess_b;
    return by_nitrogen * range_of(l.nitrogen_slope, r.nitrogen_slope) +
           by_helium * range_of(l.helium_slope, r.helium_slope) + (-ambient_rate) * by_ambient +
           (-factor_rate) * by_factor;
  }

  /// @brief Encloses G/b - G + 1, by which the gap is divided to give the excess.
  [[nodiscard]] Range divisors(const Moment& l, const Moment& r) const {
    const Range inverse_b = inverse_b_of(mixture_between(l, r).share);
    return Range{1.0, 1.0} + range_of(l.factor, r.factor) * (inverse_b + Range{-1.0, -1.0});
  }

private:
  static constexpr double tiny = 1e-9; // [bar]; keeps shares finite in an empty compartment

  struct Mixture {
    Range total; ///< [bar]
    Range share; ///< Of helium.
  };

  [[nodiscard]] static Mixture mixture_between(const Moment& l, const Moment& r) {
    const double span = r.t - l.t;
    const Range n = tension_range(l.nitrogen, r.nitrogen, l.nitrogen_slope, r.nitrogen_slope, span);
    const Range h = tension_range(l.helium, r.helium, l.helium_slope, r.helium_slope, span);
    return {{std::max(n.low + h.low, tiny), std::max(n.high + h.high, tiny)},
            {h.low / std::max(n.high + h.low, tiny),
             std::min(1.0, h.high / std::max(n.low + h.high, tiny))}};
  }

  [[nodiscard]] Range inverse_b_of(const Range& share) const {
    return range_of(1.0 / (b + share.low * b_more), 1.0 / (b + share.high * b_more));
  }

  static void tension_at(const GasCourse& gas, double t, double& tension, double& slope) {
    if (gas.ramp == 0.0) { // a stay: no psi, and phi exact to 1e-16 is enough
      const double left = std::exp(-gas.rate * t);
      tension = gas.start + gas.swing * (1.0 - left);
      slope = gas.rate * gas.swing * left;
      return;
    }
    const auto [phi, psi] = uptake(gas.rate * t);
    tension = gas.start + gas.swing * phi + gas.ramp * t * psi;
    slope = gas.rate * gas.swing * (1.0 - phi) + gas.ramp * phi;
  }

  /// The slope of a tension is monotone; where it changes sign the tension turns between the ends.
  static Range tension_range(double l, double r, double l_slope, double r_slope, double span) {
    Range range = range_of(l, r);
    if (l_slope * r_slope < 0.0) {
      const double turn = span * std::min(std::abs(l_slope), std::abs(r_slope));
      range.low -= turn;
      range.high += turn;
    }
    range.low = std::max(range.low, 0.0);
    return range;
  }
};

/// @brief Which side of the limit a crossing leads to.
enum class Crossing { into_limit, beyond_limit };

/// @brief Finds crossings of one course; the sign is chosen so that the search starts positive.
class CrossingSearch {
public:
  CrossingSearch(const Course& course, Crossing crossing)
      : course_(course), sign_(crossing == Crossing::into_limit ? 1.0 : -1.0) {}

  /// @brief First time in [from.t, to] at which the gap changes side; nothing if it never does.
  [[nodiscard]] std::optional<double> first(const Moment& from, double to) const {
    if (value(from) <= 0.0) return from.t;
    if (const auto quick = by_newton(from, to)) return quick;
    return isolate(from, course_.at(to));
  }

private:
  [[nodiscard]] double value(const Moment& m) const { return sign_ * m.gap; }
  [[nodiscard]] Range slopes(const Moment& l, const Moment& r) const {
    return sign_ * course_.slope_range(l, r);
  }

  /// Newton from the left; accepted only if the derivative keeps its sign all the way.
  [[nodiscard]] std::optional<double> by_newton(const Moment& from, double to) const {
    constexpr int most_rounds = 12;
    constexpr double small = 1e-7; // the error after a step is about k/2 times its square
    Moment m = from;
    for (int round = 0; round < most_rounds; ++round) {
      const double slope = sign_ * course_.slope(m);
      if (!(slope < 0.0)) return {};
      const double last = m.t;
      const double next = last - value(m) / slope;
      if (!(next > from.t) || next > to) return {};
      m = course_.at(next);
      if (std::abs(next - last) <= small)
        return slopes(from, m).high < 0.0 ? std::optional(m.t) : std::nullopt;
    }
    return {};
  }

  /// Bisects until the derivative has one sign on every piece, first pieces first.
  [[nodiscard]] std::optional<double> isolate(const Moment& l, const Moment& r) const {
    const Range d = slopes(l, r);
    const double left = value(l);
    const double right = value(r);
    if (left <= 0.0) return l.t;
    if (right <= 0.0 && d.high < 0.0) return root(l, r);
    if (right > 0.0 && lowest_possible(left, right, d, r.t - l.t) > 0.0) return {};
    const double middle = l.t + (r.t - l.t) / 2.0;
    if (r.t - l.t <= 1e-13 * (1.0 + r.t) || middle <= l.t || middle >= r.t)
      return right <= 0.0 ? std::optional(r.t) : std::nullopt;
    const Moment m = course_.at(middle);
    const auto first_half = isolate(l, m);
    return first_half ? first_half : isolate(m, r);
  }

  /// Least value between two positive ends whose slope stays within `d`.
  [[nodiscard]] static double lowest_possible(double left, double right, Range d, double span) {
    if (d.low >= 0.0) return left;
    if (d.high <= 0.0) return right;
    // Down from the left as steeply as allowed, up to the right likewise.
    const double turn = std::clamp((left - right + d.high * span) / (d.high - d.low), 0.0, span);
    return left + d.low * turn;
  }

  [[nodiscard]] double root(const Moment& l, const Moment& r) const {
    using namespace boost::math::policies;
    using Policy = policy<evaluation_error<ignore_error>>;
    if (value(r) == 0.0) return r.t;
    const auto f = [&](double t) { return value(course_.at(t)); };
    const auto close = [](double x, double y) { return std::abs(y - x) <= 1e-14 * (1.0 + y); };
    std::uintmax_t rounds = 100;
    // The end on the far side of the limit is returned: there the test is passed.
    return boost::math::tools::toms748_solve(f, l.t, r.t, value(l), value(r), close, rounds,
                                             Policy())
        .second;
  }

  const Course& course_;
  double sign_;
};

/// @brief The largest excess (tolerated minus ambient pressure) of a course, above a bound.
class WorstMoment {
public:
  /// @param allowed Excesses up to this are of no interest [bar]; below 0 inside the limit.
  WorstMoment(const Course& course, double allowed) : course_(course), best_(allowed) {}

  /// @brief Nothing if the excess stays within the bound; else the moment of the largest, to
  /// 1e-10 bar.
  [[nodiscard]] std::optional<Moment> between(const Moment& l, const Moment& r) {
    consider(l);
    consider(r);
    search(l, r);
    return worst_;
  }

  /// @brief The largest excess found [bar].
  [[nodiscard]] double amount() const { return best_; }

private:
  void consider(const Moment& m) {
    const double excess = m.gap / course_.divisors(m, m).low;
    if (excess <= best_) return;
    best_ = excess;
    worst_ = m;
  }

  void search(const Moment& l, const Moment& r) {
    constexpr double resolution = 1e-10; // [bar]
    constexpr double finest = 1e-9;      // [min]
    const double span = r.t - l.t;
    if (span <= finest || highest_possible(l, r) <= best_ + resolution) return;
    const Moment m = course_.at(l.t + span / 2.0);
    consider(m);
    search(l, m);
    search(m, r);
  }

  /// Upper bound of the excess: the gap over the divisor, which is 1 or more.
  [[nodiscard]] double highest_possible(const Moment& l, const Moment& r) const {
    const double gap = highest_gap(l, r);
    const Range divisor = course_.divisors(l, r);
    return gap / (gap > 0.0 ? divisor.low : divisor.high);
  }

  [[nodiscard]] double highest_gap(const Moment& l, const Moment& r) const {
    const Range d = course_.slope_range(l, r);
    if (d.high <= 0.0) return l.gap;
    if (d.low >= 0.0) return r.gap;
    const double span = r.t - l.t;
    const double turn = std::clamp((r.gap - l.gap - d.low * span) / (d.high - d.low), 0.0, span);
    return l.gap + d.high * turn;
  }

  const Course& course_;
  double best_;
  std::optional<Moment> worst_;
};

} // namespace upline::detail

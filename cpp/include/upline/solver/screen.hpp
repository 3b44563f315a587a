#pragma once
/// @file
/// @brief A cheap proof, for all compartments at once, that a limit is kept inside a segment.
///
/// The gap f of course.hpp changes by (1 + x q) per bar of nitrogen and by 1 - (1 - x) q per bar
/// of helium, with x the share of helium and q = G (a_He - a_N2 + p (b_N2 - b_He) / b^2) / P. With
/// an upper bound of q over the segment, what each gas does bounds what the gap can do. That
/// needs a_He >= a_N2 and b_He <= b_N2, which holds in every set (asserted below).

#include <upline/compartments.hpp>
#include <upline/detail/exponentials.hpp>
#include <upline/tissue.hpp>

#include <algorithm>
#include <cstddef>

namespace upline::detail {

constexpr bool helium_is_tolerated_more(const CompartmentSet& set) {
  for (std::size_t i = 0; i < compartment_count; ++i)
    if (set.helium.a[i] < set.nitrogen.a[i] || set.helium.b[i] > set.nitrogen.b[i]) return false;
  return true;
}
static_assert(std::all_of(compartment_sets.begin(), compartment_sets.end(),
                          helium_is_tolerated_more));

/// @brief A stay or an ascent at one rate, with the limit line linear along it.
struct SegmentEnds {
  double minutes = 0.0;
  double pressure_start = 0.0;
  double pressure_end = 0.0; ///< Not above the start.
  double factor_start = 0.0;
  double factor_end = 0.0; ///< Not below the start.
  Inspired<double> nitrogen;
  Inspired<double> helium;
};

/// @brief Marks the compartments whose gap may exceed a bound inside a segment.
class Screen {
public:
  using Marks = Eigen::Array<bool, static_cast<int>(compartment_count), 1>;

  explicit Screen(const CompartmentSet& set) : set_(set) {
    const LaneArray he_b = view(set.helium.b);
    a_more_ = view(set.helium.a) - view(set.nitrogen.a);
    b_less_ = (view(set.nitrogen.b) - he_b) / he_b.square();
    nitrogen_b_ = 1.0 / view(set.nitrogen.b) - 1.0;
    helium_b_ = 1.0 / he_b - 1.0;
  }

  /// At constant pressure: what each gas gains is all that the gap can gain.
  [[nodiscard]] Marks stay(const SegmentEnds& s, const Tissues& start, const Tissues& end,
                           const Lanes<double>& gap_start, const Lanes<double>& gap_end,
                           double allowed) const {
    const LaneArray pull = strongest_pull(s, start, end);
    const LaneArray against = (pull - 1.0).max(0.0);
    const LaneArray nitrogen = view(end.nitrogen) - view(start.nitrogen);
    const LaneArray helium = view(end.helium) - view(start.helium);
    const LaneArray gain =
        nitrogen.max(0.0) * (1.0 + pull) + helium.max(0.0) - against * helium.min(0.0);
    const LaneArray loss =
        -nitrogen.min(0.0) * (1.0 + pull) - helium.min(0.0) + against * helium.max(0.0);
    return view(gap_start) + gain > allowed && view(gap_end) + loss > allowed;
  }

  /// On the way up: where the gap can only grow, its end decides.
  [[nodiscard]] Marks ascent(const SegmentEnds& s, const Tissues& start, const Tissues& end,
                             const Lanes<double>& gap_end, double allowed) const {
    const double speed = (s.pressure_start - s.pressure_end) / s.minutes;
    const double easing = (s.factor_end - s.factor_start) / s.minutes;
    const LaneArray pull = strongest_pull(s, start, end);
    const LaneArray fall =
        fastest_fall(set_.nitrogen.rate, s.nitrogen, start.nitrogen, s.minutes) * (1.0 + pull) +
        fastest_fall(set_.helium.rate, s.helium, start.helium, s.minutes) +
        fastest_rise(set_.helium.rate, s.helium, start.helium) * (pull - 1.0).max(0.0);
    const LaneArray growth = speed * (1.0 + s.factor_start * nitrogen_b_) -
                             easing * (view(set_.helium.a) + s.pressure_start * helium_b_) - fall;
    return view(gap_end) - s.minutes * growth.min(0.0) > allowed;
  }

private:
  /// Upper bound of q; a tension is least at one of the two ends.
  [[nodiscard]] LaneArray strongest_pull(const SegmentEnds& s, const Tissues& start,
                                         const Tissues& end) const {
    constexpr double empty = 1e-6; // [bar]
    const LaneArray total =
        (view(start.nitrogen).min(view(end.nitrogen)) + view(start.helium).min(view(end.helium)))
            .max(empty);
    return s.factor_end * (a_more_ + s.pressure_start * b_less_) / total;
  }

  /// On an ascent inspired pressure falls, so a tension rises fastest at the start [bar/min].
  static LaneArray fastest_rise(const Lanes<double>& rate, const Inspired<double>& inspired,
                                const Lanes<double>& start) {
    return view(rate) * (inspired.start - view(start)).max(0.0);
  }

  static LaneArray fastest_fall(const Lanes<double>& rate, const Inspired<double>& inspired,
                                const Lanes<double>& start, double minutes) {
    const LaneArray highest = view(start) + minutes * fastest_rise(rate, inspired, start);
    return view(rate) * (highest - inspired.start - inspired.rate * minutes).max(0.0);
  }

  const CompartmentSet& set_;
  LaneArray a_more_;
  LaneArray b_less_;
  LaneArray nitrogen_b_;
  LaneArray helium_b_;
};

} // namespace upline::detail

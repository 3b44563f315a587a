#pragma once
/// @file
/// @brief Oxygen exposure: share of the CNS limits and pulmonary dose, exact on ramps.
/// @par Source
/// docs/theory.md, section "Oxygen". Limits: NOAA Diving Manual, single exposures and 24 h
/// (secondary). 0.5 to 0.6 bar: Baker's line (from memory, to be confirmed). The source states
/// atm; read in bar here, which is stricter by 1.3 %. OTU: Lambertsen and Clark, exponent 5/6.

#include <array>
#include <cmath>
#include <cstddef>

namespace upline {

/// @brief A stretch of time in which oxygen pressure is linear.
template <class T>
struct BasicOxygenSegment {
  T minutes{}; ///< [min], >= 0
  T start{};   ///< po2 at its start [bar]
  T end{};     ///< po2 at its end [bar]
};
/// @brief A stretch in plain numbers.
using OxygenSegment = BasicOxygenSegment<double>;

/// @brief Time a table allows at an oxygen pressure: knots, linear between them.
struct OxygenLimits {
  std::array<double, 12> minutes; ///< Limits at `oxygen_knots` [min].
};

/// @brief Oxygen pressures at which the limits are tabulated [bar].
inline constexpr std::array<double, 12> oxygen_knots{0.5, 0.6, 0.7, 0.8, 0.9, 1.0,
                                                     1.1, 1.2, 1.3, 1.4, 1.5, 1.6};
/// @brief Limits for one exposure.
inline constexpr OxygenLimits single_exposure{
    {900, 720, 570, 450, 360, 300, 240, 210, 180, 150, 120, 45}};
/// @brief Limits for 24 hours.
inline constexpr OxygenLimits day_exposure{
    {900, 720, 570, 450, 360, 300, 270, 240, 210, 180, 180, 150}};

/// @brief The last limit holds up to here [bar]; this library's convention, stated in every plan.
inline constexpr double oxygen_table_end = 1.63;

/// @brief Half-time of the CNS sum at the surface [min]; a convention, not data.
inline constexpr double cns_half_time = 90.0;

namespace detail {

/// Beyond the table limits shorten by this factor's logarithm per bar: 120 to 45 min in 0.1 bar.
inline double beyond_table_slope() { return std::log(120.0 / 45.0) / 0.1; }

/// Mean of 1/x over an interval between two positive values, without cancellation.
template <class T>
[[nodiscard]] T mean_inverse(const T& first, const T& last) {
  using std::log1p;
  const T u = (last - first) / first;
  return u == 0.0 ? T(1.0 / first) : T(log1p(u) / (u * first));
}

/// Mean of exp(s x) between two values.
template <class T>
[[nodiscard]] T mean_exponential(double s, const T& first, const T& last) {
  using std::exp;
  using std::expm1;
  const T u = s * (last - first);
  return u == 0.0 ? T(exp(s * first)) : T(exp(s * first) * expm1(u) / u);
}

/// Mean of limit^-1 while po2 goes linearly through part of one interval of the table.
template <class T>
[[nodiscard]] T mean_share(const OxygenLimits& limits, std::size_t interval, const T& low,
                           const T& high) {
  const std::size_t last = oxygen_knots.size() - 1;
  if (interval > last) { // beyond the table
    const T shift = mean_exponential(beyond_table_slope(), T(low - oxygen_table_end),
                                     T(high - oxygen_table_end));
    return shift / limits.minutes[last];
  }
  if (interval == last) return T(1.0 / limits.minutes[last]);
  const double slope = (limits.minutes[interval + 1] - limits.minutes[interval]) /
                       (oxygen_knots[interval + 1] - oxygen_knots[interval]);
  const auto limit = [&](const T& po2) {
    return T(limits.minutes[interval] + slope * (po2 - oxygen_knots[interval]));
  };
  return mean_inverse(limit(low), limit(high));
}

/// Upper border of an interval of the table, with the flat end and what lies beyond.
[[nodiscard]] inline double interval_end(std::size_t interval) {
  if (interval + 1 < oxygen_knots.size()) return oxygen_knots[interval + 1];
  return interval + 1 == oxygen_knots.size() ? oxygen_table_end : HUGE_VAL;
}

/// Interval of the table that holds a po2 above 0.5 bar.
[[nodiscard]] inline std::size_t interval_of(double po2) {
  std::size_t interval = 0;
  while (po2 > interval_end(interval)) ++interval;
  return interval;
}

} // namespace detail

/// @brief Share of the limit used up: the integral of dt / limit(po2) [1], exact.
///
/// Nothing at or below 0.5 bar. From 1.6 to 1.63 bar the last limit holds; beyond, it shortens as
/// steeply as exp(-(po2 - 1.63) / 0.1 ln(120/45)).
template <class T>
[[nodiscard]] T oxygen_share(const OxygenLimits& limits, const BasicOxygenSegment<T>& segment) {
  const bool rises = segment.end > segment.start;
  const T low = rises ? segment.start : segment.end;
  const T high = rises ? segment.end : segment.start;
  if (!(high > oxygen_knots.front())) return T(0.0);
  if (low == high)
    return segment.minutes *
           detail::mean_share(limits, detail::interval_of(double(high)), high, high);
  T sum(0.0);
  T from = low > oxygen_knots.front() ? low : T(oxygen_knots.front());
  for (std::size_t j = detail::interval_of(double(from)); from < high; ++j) {
    const double end = detail::interval_end(j);
    const T to = high < end ? high : T(end);
    if (to > from) sum += (to - from) * detail::mean_share(limits, j, from, to);
    from = to;
  }
  return sum * segment.minutes / (high - low);
}

/// @brief Pulmonary dose: the integral of ((po2 - 0.5) / 0.5)^(5/6) dt above 0.5 bar [OTU].
template <class T>
[[nodiscard]] T pulmonary_dose(const BasicOxygenSegment<T>& segment) {
  using std::expm1;
  using std::log1p;
  using std::pow;
  constexpr double power = 5.0 / 6.0;
  const bool rises = segment.end > segment.start;
  const T low = ((rises ? segment.start : segment.end) - 0.5) / 0.5;
  const T high = ((rises ? segment.end : segment.start) - 0.5) / 0.5;
  if (!(high > 0.0)) return T(0.0);
  if (low == high) return segment.minutes * pow(high, power);
  const T whole = pow(high, power + 1.0);
  T integral = whole; // of x^power from max(low, 0) to high, times power + 1
  if (low > 0.0) integral = -whole * expm1(T((power + 1.0) * log1p(T((low - high) / high))));
  return segment.minutes * integral / ((power + 1.0) * (high - low));
}

} // namespace upline

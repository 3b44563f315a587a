#pragma once
/// @file
/// @brief The two functions of k t that carry a compartment over a linear segment.
///
/// With x = k t: phi(x) = 1 - exp(-x) and psi(x) = 1 - phi(x) / x. Both lose all their digits
/// near x = 0 when computed as written, so a series serves there.

#include <upline/lanes.hpp>

#include <Eigen/Core>

#include <array>
#include <cmath>
#include <cstddef>

namespace upline::detail {

/// Below this x the series of psi is summed; 12 terms leave less than 1e-17 of it.
inline constexpr double series_below = 0.25;

/// Coefficients of psi(x) = x/2! - x^2/3! + x^3/4! - ..., of x first.
inline constexpr std::array<double, 12> psi_series = [] {
  std::array<double, 12> c{};
  double term = 1.0;
  for (std::size_t j = 0; j < c.size(); ++j) c[j] = term /= (j == 0 ? 2.0 : -(2.0 + double(j)));
  return c;
}();

/// @brief psi for small x, by Horner; `X` is a scalar or an Eigen array.
template <class X>
[[nodiscard]] X psi_by_series(const X& x) {
  X sum = x * psi_series.back() + psi_series[psi_series.size() - 2];
  for (std::size_t j = psi_series.size() - 2; j-- > 0;) sum = sum * x + psi_series[j];
  return sum * x;
}

/// @brief phi and psi of one x >= 0.
template <class T>
struct UptakeOf {
  T phi;
  T psi;
};

template <class T>
[[nodiscard]] UptakeOf<T> uptake(const T& x) {
  using std::exp;
  if (x < series_below) {
    const T psi = psi_by_series<T>(x);
    return {x * (1.0 - psi), psi};
  }
  const T phi = 1.0 - exp(-x);
  return {phi, 1.0 - phi / x};
}

/// @brief phi and psi of every compartment for one duration.
template <class T>
struct UptakeLanes {
  Lanes<T> phi;
  Lanes<T> psi;
};

using LaneArray = Eigen::Array<double, static_cast<int>(compartment_count), 1>;

inline Eigen::Map<const LaneArray> view(const Lanes<double>& lanes) {
  return Eigen::Map<const LaneArray>(lanes.data());
}
inline Eigen::Map<LaneArray> view(Lanes<double>& lanes) {
  return Eigen::Map<LaneArray>(lanes.data());
}

template <class T>
void uptake(const Lanes<double>& rate, const T& minutes, UptakeLanes<T>& out) {
  for (std::size_t i = 0; i < compartment_count; ++i) {
    const auto [phi, psi] = uptake<T>(rate[i] * minutes);
    out.phi[i] = phi;
    out.psi[i] = psi;
  }
}

/// @brief phi alone, all compartments at once; near x = 0 exact to 1e-16, which is enough where it
/// multiplies a tension.
inline void saturation(const Lanes<double>& rate, double minutes, Lanes<double>& phi) {
  view(phi) = 1.0 - (view(rate) * -minutes).exp();
}

/// phi and psi for double, all compartments at once.
inline void uptake(const Lanes<double>& rate, const double& minutes, UptakeLanes<double>& out) {
  const LaneArray x = view(rate) * minutes;
  const LaneArray phi = 1.0 - (-x).exp();
  const LaneArray small = psi_by_series<LaneArray>(x);
  const auto near_zero = x < series_below;
  view(out.phi) = near_zero.select(x * (1.0 - small), phi);
  view(out.psi) = near_zero.select(small, 1.0 - phi / x);
}

} // namespace upline::detail

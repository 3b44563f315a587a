#pragma once
/// @file
/// @brief Inert-gas tensions and their exact update on a segment of constant rate of pressure.
///
/// On a segment in which ambient pressure is linear in time,
/// @f[ P(t) = P_0 + (p_{i0} - P_0)\,\phi(kt) + R\,t\,\psi(kt),\qquad
///     \phi(x) = 1 - e^{-x},\ \psi(x) = 1 - \phi(x)/x, @f]
/// which is the ramp solution of Schreiner and Kelley written without cancellation.
/// @par Accuracy
/// Within 1e-13 of the largest term, or 1e-15 bar, of 50-digit values for k t from 1e-9 to 1e3.
/// @par Source
/// docs/theory.md, section "Loading".

#include <upline/compartments.hpp>
#include <upline/detail/exponentials.hpp>
#include <upline/environment.hpp>
#include <upline/gas.hpp>

#include <algorithm>
#include <array>
#include <cstddef>
#include <variant>

namespace upline {

/// @brief Tensions of nitrogen (argon counted in) and helium in every compartment [bar].
template <class T>
struct BasicTissues {
  Lanes<T> nitrogen{};                                                        ///< [bar]
  Lanes<T> helium{};                                                          ///< [bar]
  friend bool operator==(const BasicTissues&, const BasicTissues&) = default; ///< Field by field.
};
/// @brief Tensions as plain numbers.
using Tissues = BasicTissues<double>;

/// @brief Tensions at rest on air at an ambient pressure [bar].
[[nodiscard]] inline Tissues equilibrium_with_air(double ambient, double vapour) {
  Tissues tissues;
  tissues.nitrogen.fill((ambient - vapour) * Gas().nitrogen());
  return tissues;
}

/// @brief A stretch of time in which ambient pressure is linear.
template <class T>
struct BasicSegment {
  T minutes{};  ///< Duration [min], >= 0.
  T pressure{}; ///< Ambient pressure at its start [bar].
  T rate{};     ///< Change of ambient pressure [bar/min].

  /// @brief Ambient pressure at its end [bar].
  [[nodiscard]] T end_pressure() const { return pressure + rate * minutes; }
};
/// @brief A segment in plain numbers.
using Segment = BasicSegment<double>;

/// @brief Breathing straight from a cylinder.
template <class T>
struct BasicOpenCircuit {
  BasicGas<T> gas; ///< What is breathed.
};
/// @brief Breathing from a loop that holds an oxygen pressure where it can.
template <class T>
struct BasicLoop {
  BasicGas<T> diluent; ///< What is added beside oxygen.
  T set_point{};       ///< [bar]
};
/// @brief One way of breathing or the other.
template <class T>
using BasicBreathing = std::variant<BasicOpenCircuit<T>, BasicLoop<T>>;
/// @brief Open circuit in plain numbers.
using OpenCircuit = BasicOpenCircuit<double>;
/// @brief A loop in plain numbers.
using Loop = BasicLoop<double>;
/// @brief Either of them in plain numbers.
using Breathing = BasicBreathing<double>;

/// @brief Inspired pressure of one inert gas over a segment: at its start and per minute [bar].
template <class T>
struct Inspired {
  T start{}; ///< [bar]
  T rate{};  ///< [bar/min]
};

namespace detail {

template <class T>
void load(Lanes<T>& tension, const UptakeLanes<T>& uptake, const Inspired<T>& inspired,
          const T& minutes) {
  const T climb = inspired.rate * minutes;
  for (std::size_t i = 0; i < compartment_count; ++i)
    tension[i] += (inspired.start - tension[i]) * uptake.phi[i] + climb * uptake.psi[i];
}

/// Shares of nitrogen and helium in the inert part of a mix.
template <class T>
struct InertShares {
  T nitrogen{};
  T helium{};
};

/// Times inside a segment at which a loop starts or stops holding its set-point.
template <class T>
[[nodiscard]] std::array<T, 4> loop_borders(const BasicLoop<T>& loop, const BasicSegment<T>& s,
                                            double vapour) {
  std::array<T, 4> borders{T{}, T{}, s.minutes, s.minutes};
  if (s.rate == 0.0) return borders;
  // Under the first pressure the loop holds oxygen alone. Under the second, diluent would hold
  // less oxygen than the set-point; over it, more, and then the loop holds diluent.
  const T pure = loop.set_point + vapour;
  const T rich = loop.diluent.oxygen > 0.0 ? loop.set_point / loop.diluent.oxygen + vapour : pure;
  const auto when = [&](const T& pressure) {
    return std::clamp<T>((pressure - s.pressure) / s.rate, T{}, s.minutes);
  };
  borders[1] = std::min(when(pure), when(rich));
  borders[2] = std::max(when(pure), when(rich));
  return borders;
}

} // namespace detail

/// @brief Total inspired inert gas on a loop at an ambient pressure [bar].
template <class T>
[[nodiscard]] T inspired_inert(const BasicLoop<T>& loop, const T& ambient, double vapour) {
  const T dry = ambient - vapour;
  const T most = std::max<T>(dry * (1.0 - loop.diluent.oxygen), T{});
  return std::clamp<T>(dry - loop.set_point, T{}, most);
}

/// @brief Carries tensions over a segment on open circuit.
/// @param tissues   Tensions at its start, and then at its end [bar].
/// @param set       Half-times of the compartments.
/// @param segment   Duration and pressure.
/// @param breathing What is breathed.
/// @param vapour    Water vapour in the lungs [bar].
template <class T>
void advance(BasicTissues<T>& tissues, const CompartmentSet& set, const BasicSegment<T>& segment,
             const BasicOpenCircuit<T>& breathing, double vapour) {
  const BasicGas<T>& gas = breathing.gas;
  const T dry = segment.pressure - vapour;
  detail::UptakeLanes<T> uptake;
  detail::uptake(set.nitrogen.rate, segment.minutes, uptake);
  detail::load(tissues.nitrogen, uptake,
               Inspired<T>{dry * gas.nitrogen(), segment.rate * gas.nitrogen()}, segment.minutes);
  detail::uptake(set.helium.rate, segment.minutes, uptake);
  detail::load(tissues.helium, uptake, Inspired<T>{dry * gas.helium, segment.rate * gas.helium},
               segment.minutes);
}

/// @brief Carries tensions over a segment on a loop; split where the set-point is reached.
template <class T>
void advance(BasicTissues<T>& tissues, const CompartmentSet& set, const BasicSegment<T>& segment,
             const BasicLoop<T>& loop, double vapour) {
  const T inert = 1.0 - loop.diluent.oxygen;
  const detail::InertShares<T> share =
      inert > 0.0
          ? detail::InertShares<T>{loop.diluent.nitrogen() / inert, loop.diluent.helium / inert}
          : detail::InertShares<T>{};
  const auto borders = detail::loop_borders(loop, segment, vapour);
  detail::UptakeLanes<T> uptake;
  for (std::size_t j = 0; j + 1 < borders.size(); ++j) {
    const T minutes = borders[j + 1] - borders[j];
    if (!(minutes > 0.0)) continue;
    const T start = inspired_inert(loop, T(segment.pressure + segment.rate * borders[j]), vapour);
    const T end = inspired_inert(loop, T(segment.pressure + segment.rate * borders[j + 1]), vapour);
    const T rate = (end - start) / minutes;
    detail::uptake(set.nitrogen.rate, minutes, uptake);
    detail::load(tissues.nitrogen, uptake,
                 Inspired<T>{start * share.nitrogen, rate * share.nitrogen}, minutes);
    detail::uptake(set.helium.rate, minutes, uptake);
    detail::load(tissues.helium, uptake, Inspired<T>{start * share.helium, rate * share.helium},
                 minutes);
  }
}

/// @brief Carries tensions over a segment in whatever way is breathed.
template <class T>
void advance(BasicTissues<T>& tissues, const CompartmentSet& set, const BasicSegment<T>& segment,
             const BasicBreathing<T>& breathing, double vapour) {
  std::visit([&](const auto& how) { advance(tissues, set, segment, how, vapour); }, breathing);
}

} // namespace upline

#pragma once
/// @file
/// @brief A mix blended into a cylinder from what a fill station has, as real gas.
///
/// The amounts follow from a balance of moles in the cylinder's volume, what the gauge shows after
/// each addition from the equation of state; the ideal answer stands beside it. What cannot be
/// reached is answered with why, and with what can. Arithmetic for qualified blenders.
/// @par Source
/// docs/theory.md, section "Blending".

#include <upline/blending/blender.hpp>
#include <upline/blending/hull.hpp>
#include <upline/fill.hpp>

#include <algorithm>
#include <cstddef>
#include <string>
#include <vector>

namespace upline {

namespace detail {

inline void require_inlet(const FillOrder& order) {
  if (order.method == BlendMethod::in_cylinder) {
    if (order.inlet_limit)
      throw InvalidInput("inlet_limit", "given for a fill in the cylinder",
                         "only where gases are mixed at an inlet",
                         "leave it out, or mix at the inlet");
    return;
  }
  if (!order.inlet_limit)
    throw InvalidInput("inlet_limit", "missing", "a fraction, such as 0.4",
                       "state the most oxygen that the compressor may be fed with");
  require_range("inlet_limit", *order.inlet_limit, 0.21, 1.0, "",
                "state the most oxygen that the compressor may be fed with, as a fraction");
  const auto has = [&](const StationGas& gas) {
    return std::any_of(order.gases.begin(), order.gases.end(),
                       [&](const BankGas& one) { return one.gas == gas; });
  };
  const std::size_t known = static_cast<std::size_t>(has(Gas())) +
                            static_cast<std::size_t>(has(Gas(1.0))) +
                            static_cast<std::size_t>(has(StationGas::helium()));
  if (known != order.gases.size() || !has(Gas()) || !has(Gas(1.0)))
    throw InvalidInput("gases", "not air and oxygen", "air and oxygen, and helium if there is any",
                       "an inlet mixes these; fill other gases in the cylinder");
}

inline void require_gases(const std::vector<BankGas>& gases) {
  constexpr std::size_t most = 3;
  if (gases.empty() || gases.size() > most)
    throw InvalidInput("gases", std::to_string(gases.size()) + " gases", "1 to 3 gases",
                       "name those to fill with, in their order");
  for (const BankGas& one : gases)
    if (one.pressure)
      require_gauge("bank pressure", *one.pressure, bar_gauge(0.0),
                    "give what the gauge of the bank reads, or leave it out");
  const auto point = [&](std::size_t j) { return shares_of(gases[j].gas.fractions()); };
  for (std::size_t j = 0; j < gases.size(); ++j)
    for (std::size_t k = 0; k < j; ++k) {
      const Shares apart = point(j) - point(k);
      if (dot(apart, apart) < 1e-12)
        throw InvalidInput("gases", gases[j].gas.spoken() + " named twice", "each gas once",
                           "leave one of them out");
    }
  if (gases.size() == most && on_a_line(point(0), point(1), point(2)))
    throw InvalidInput("gases",
                       gases[0].gas.spoken() + ", " + gases[1].gas.spoken() + " and " +
                           gases[2].gas.spoken() + ", one of which can be made of the others",
                       "gases that make a mix in one way only", "leave one of them out");
}

inline void require_order(const FillOrder& order) {
  constexpr GaugePressure least = bar_gauge(1.0);
  require_gauge("pressure", order.pressure, least, "give the pressure to fill to");
  if (order.filling_temperature)
    require_gas_temperature("filling_temperature", *order.filling_temperature);
  constexpr double most_tolerance = 0.05;
  if (order.tolerance)
    require_range("tolerance", *order.tolerance, 0.0, most_tolerance, "",
                  "give a fraction: 0.01 is one per cent of the gas");
  require_gases(order.gases);
  require_inlet(order);
}

} // namespace detail

/// @brief Blends a mix into a cylinder.
///
/// One temperature is that of the cylinder, at which its gauge was read and at which the target
/// pressure counts; readings between additions are at the filling temperature. Every fill of the
/// answer makes its mix exactly, amounts do not depend on the order of the gases, and no
/// bank falls while it gives.
/// @param order What is there, and what is wanted.
/// @throws InvalidInput for what is out of range, a gas named twice, three gases of which one is a
///         blend of the others, or a gauge that would read more than 345 bar.
[[nodiscard]] inline Blend blend(const FillOrder& order) {
  detail::require_order(order);
  const detail::Blender blender(order);
  Blend result = blender.answer();
  const auto readable = [](const FillSheet& sheet) {
    for (const Addition& one : sheet.additions)
      detail::require_gauge("pressure at the filling temperature", one.to, bar_gauge(-1.0),
                            "fill cooler, or to a lower pressure");
  };
  if (result.sheet) readable(*result.sheet);
  for (const Alternative& one : result.alternatives) readable(one.sheet);
  return result;
}

} // namespace upline

#pragma once
/// @file
/// @brief What stands in the way of a fill.
/// @par Source
/// docs/theory.md, section "Blending".

#include <upline/blending/hull.hpp>
#include <upline/fill.hpp>

#include <algorithm>
#include <array>
#include <vector>

namespace upline::detail {

/// @brief Fraction of one of the three gases.
[[nodiscard]] inline double share_of(const BasicGas<double>& gas, Component component) {
  switch (component) {
  case Component::oxygen: return gas.oxygen;
  case Component::helium: return gas.helium;
  case Component::nitrogen: return gas.nitrogen();
  }
  return 0.0;
}

inline constexpr std::array all_components{Component::oxygen, Component::helium,
                                           Component::nitrogen};

/// @brief Why an order is not met.
/// @param kept  What is left in the cylinder [mol].
/// @param total What it would hold of the target [mol].
[[nodiscard]] inline std::vector<Obstacle> obstacles_to(const FillOrder& order, double kept,
                                                        double total) {
  if (kept >= total * (1.0 - hull_slack))
    return {{ObstacleCode::residual_too_full,
             {},
             in_bar_gauge(order.cylinder.pressure()),
             in_bar_gauge(order.pressure),
             {}}};
  const Gas& left = order.cylinder.gas();
  std::vector<Obstacle> found;
  constexpr double slack = 1e-9;
  for (const Component one : all_components) {
    const double held = share_of(left, one) * kept / total;
    if (held > share_of(order.target, one) + slack)
      found.push_back(
          {ObstacleCode::residual_holds_too_much, one, held, share_of(order.target, one), {}});
  }
  if (!found.empty()) return found;
  const double part = kept / total;
  const Shares w = (1.0 / (1.0 - part)) * (shares_of(order.target) - part * shares_of(left));
  const BasicGas<double> wanted{w.oxygen, w.helium};
  for (const Component one : all_components) {
    const auto less = [one](const BankGas& x, const BankGas& y) {
      return share_of(x.gas.fractions(), one) < share_of(y.gas.fractions(), one);
    };
    const auto [least, most] = std::minmax_element(order.gases.begin(), order.gases.end(), less);
    const double needed = share_of(wanted, one);
    if (needed > share_of(most->gas.fractions(), one) + slack)
      found.push_back({ObstacleCode::station_lacks, one, needed,
                       share_of(most->gas.fractions(), one), most->gas});
    if (needed < share_of(least->gas.fractions(), one) - slack)
      found.push_back({ObstacleCode::station_holds_too_much, one, needed,
                       share_of(least->gas.fractions(), one), least->gas});
  }
  if (!found.empty()) return found;
  if (order.method == BlendMethod::at_inlet && wanted.oxygen > *order.inlet_limit)
    return {{ObstacleCode::inlet_limit, Component::oxygen, wanted.oxygen, *order.inlet_limit, {}}};
  return {{ObstacleCode::no_combination, Component::oxygen, wanted.oxygen, wanted.helium, {}}};
}

} // namespace upline::detail

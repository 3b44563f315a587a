#pragma once
/// @file
/// @brief Whether what is breathed until the bottom is left stays within the oxygen limit.

#include <upline/detail/number.hpp>
#include <upline/detail/require.hpp>
#include <upline/dive.hpp>
#include <upline/error.hpp>

#include <algorithm>
#include <string>

namespace upline::detail {

/// @brief Judges bottom and travel gas of one dive.
class BottomGasCheck {
public:
  BottomGasCheck(const Dive& dive, const Rules& rules, const Place& place)
      : dive_(dive), rules_(rules), place_(place),
        limit_(in_bar(rules.max_po2) + in_bar(rules.po2_tolerance)) {}

  /// @param depth [m]
  /// @param field For the message.
  /// @throws InvalidInput if the gas is too rich there.
  void require(const Gas& gas, double depth, const char* field) const {
    const double po2 = gas.oxygen * place_.pressure(depth);
    if (po2 <= limit_ + 1e-9) return;
    throw InvalidInput(
        field,
        gas.text() + " at " + length_text(metres(depth)) + ", " + fixed(po2, 2) + " bar of oxygen",
        "up to " + trimmed(limit_, 3) + " bar (max_po2 and po2_tolerance)",
        "use a leaner gas, stay shallower, or name a higher max_po2" + hint_of_swap(gas, depth) +
            hint_of_order(depth) + hint_of_feet(gas, depth));
  }

private:
  /// Helium stands before oxygen where the two would do the other way round.
  [[nodiscard]] std::string hint_of_swap(const Gas& gas, double depth) const {
    if (gas.helium < least_oxygen || gas.helium >= gas.oxygen ||
        gas.helium * place_.pressure(depth) > limit_)
      return "";
    return std::string("; oxygen stands before helium: ")
        .append(Gas(gas.helium, gas.oxygen).text())
        .append(" if that is meant");
  }

  /// Another of the gases would do at this depth.
  [[nodiscard]] std::string hint_of_order(double depth) const {
    const bool would_do =
        std::any_of(dive_.gases.begin() + 1, dive_.gases.end(), [&](const GasChoice& other) {
          return other.gas.oxygen * place_.pressure(depth) <= limit_;
        });
    return would_do ? "; the bottom gas stands first in the list" : "";
  }

  /// A depth that few dive in metres, on a gas that would do for as many feet.
  [[nodiscard]] std::string hint_of_feet(const Gas& gas, double depth) const {
    constexpr double unlikely = 70.0; // [m]; as feet still 21 m
    if (rules_.units != Units::metric || depth < unlikely ||
        gas.oxygen * place_.pressure(depth * metres_per_foot) > limit_)
      return "";
    return "; depths are metres here: for feet state units=\"imperial\"";
  }

  const Dive& dive_;
  const Rules& rules_;
  const Place& place_;
  double limit_; // [bar]
};

} // namespace upline::detail

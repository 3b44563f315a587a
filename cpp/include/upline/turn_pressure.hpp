#pragma once
/// @file
/// @brief Turning by a fraction of the gas where the cylinders of a team are not equal.
/// @par Source
/// docs/theory.md, section "Reserves". Common practice, no source.

#include <upline/consumption.hpp>
#include <upline/detail/require.hpp>
#include <upline/reserving/drawing.hpp>

#include <algorithm>
#include <cstddef>
#include <limits>
#include <string>
#include <utility>
#include <vector>

namespace upline {

/// @brief When one diver turns.
struct TurnPressure {
  std::vector<Cylinder> cylinders{};     ///< Those of the gas as filled, in the order of use.
  std::vector<GaugePressure> readings{}; ///< What each of them reads when the diver turns.
  Litres content{};                      ///< Before the dive.
  Litres left{};                         ///< On turning.
  /// Whether what is left is twice what was used: the way back for two who breathe alike.
  bool brings_two_back = false;
};

/// @brief When each diver of a team turns.
struct TurnPressures {
  std::vector<DiverSupply> team{};    ///< As given.
  Gas gas{};                          ///< Of which a fraction is used.
  double fraction = 0.0;              ///< Of the smallest content in the team.
  Litres used{};                      ///< By each on turning.
  std::vector<TurnPressure> divers{}; ///< In the order of the team.
};

/// @brief The readings at which each diver has used a fraction of the smallest content in the team.
///
/// Each uses the same litres, so that the one with the fullest cylinders does not go farther than
/// the one with the emptiest can come back from. Up to a third, whoever is left brings both back,
/// if the way back is as long and breathed alike. No depth is known here: nothing is counted off
/// for what a cylinder does not give at depth, nor for the stops of an ascent.
/// @param team     1 to 12 divers.
/// @param gas      Of which each has a cylinder with gas in it.
/// @param fraction Above 0, up to one half.
/// @throws InvalidInput for a fraction out of range, no diver or too many, or no such gas.
[[nodiscard]] inline TurnPressures turn_pressures(const std::vector<DiverSupply>& team,
                                                  const Gas& gas, double fraction) {
  constexpr double rounding = 1e-9; // of a content
  if (team.empty() || team.size() > most_in_team)
    throw InvalidInput("divers", std::to_string(team.size()) + " divers",
                       "1 to " + std::to_string(most_in_team) + " divers",
                       "name those who dive together");
  if (!(fraction > 0.0 && fraction <= 0.5))
    throw InvalidInput("fraction", detail::trimmed(fraction, 6), "above 0, up to 0.5",
                       "give the part of the smallest content that is used before turning, such as "
                       "1/3");
  TurnPressures result{team, gas, fraction, litres(std::numeric_limits<double>::infinity()), {}};
  for (const DiverSupply& one : team) {
    TurnPressure& diver = result.divers.emplace_back();
    diver.cylinders = detail::cylinders_of(one, gas);
    diver.content = detail::content_of(diver.cylinders);
    if (!(diver.content > litres(0.0)))
      throw InvalidInput("cylinders",
                         (one.name.empty() ? std::string("a diver") : one.name) + " without " +
                             gas.spoken(),
                         "each diver with gas in a cylinder of that mix",
                         "name the gas that all of them breathe at the bottom");
    result.used = std::min(result.used, diver.content * fraction);
  }
  for (TurnPressure& diver : result.divers) {
    diver.readings = detail::drawn(diver.cylinders, gas, {{result.used, bar_gauge(0.0)}}).left;
    diver.left = diver.content - result.used;
    diver.brings_two_back = diver.left >= result.used * 2.0 * (1.0 - rounding);
  }
  return result;
}

} // namespace upline

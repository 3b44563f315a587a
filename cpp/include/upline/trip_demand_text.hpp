#pragma once
/// @file
/// @brief What a trip takes, for reading.

#include <upline/consumption_text.hpp>
#include <upline/detail/columns.hpp>
#include <upline/detail/number.hpp>
#include <upline/text.hpp>
#include <upline/trip_demand.hpp>
#include <upline/version.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <string>
#include <string_view>
#include <vector>

namespace upline {

/// @brief The columns of a trip's demand, by name.
inline constexpr std::array<std::string_view, 6> demand_columns{
    "gas", "a day", "needed", "at hand", "short by", "runs short"};
/// @brief One line of it: a cell for each of demand_columns.
using DemandLine = std::array<std::string, demand_columns.size()>;

/// @brief The answer as a word: "yes", "no", "cannot tell".
[[nodiscard]] constexpr std::string_view sufficient_name(Sufficient one) {
  switch (one) {
  case Sufficient::yes: return "yes";
  case Sufficient::no: return "no";
  case Sufficient::unknown: return "cannot tell";
  }
  return "";
}

/// @brief The gases as cells: a head, its units, then one line each. Needs are rounded up, what is
/// at hand down.
[[nodiscard]] inline std::vector<DemandLine> demand_table(const TripDemand& trip, Units units) {
  DemandLine head;
  std::copy(demand_columns.begin(), demand_columns.end(), head.begin());
  const std::string unit = volume_name(units);
  std::vector<DemandLine> lines{head, {"", unit, unit, unit, unit, ""}};
  const auto down = [&](Litres x) {
    constexpr double slack = 1e-6;
    const double scale = units == Units::metric ? 1.0 : 10.0;
    return detail::fixed(std::floor(in_litres(x) / volume_unit(units) * scale + slack) / scale,
                         units == Units::metric ? 0 : 1);
  };
  for (const GasDemand& one : trip.gases)
    lines.push_back({one.gas.spoken(), detail::needed_text(one.a_day, units),
                     detail::needed_text(one.needed, units),
                     one.at_hand ? down(*one.at_hand) : "not stated",
                     one.at_hand ? detail::needed_text(one.short_by, units) : "unknown",
                     one.short_on ? "on day " + std::to_string(*one.short_on)
                                  : std::string(one.at_hand ? "no" : "unknown")});
  return lines;
}

/// @brief Whether it suffices, in a sentence; the gas that runs short first stands first.
[[nodiscard]] inline std::string demand_verdict(const TripDemand& trip) {
  std::vector<const GasDemand*> out;
  std::string unknown;
  for (const GasDemand& one : trip.gases) {
    if (one.short_on) out.push_back(&one);
    if (!one.at_hand) unknown += (unknown.empty() ? "" : ", ") + one.gas.spoken();
  }
  std::stable_sort(out.begin(), out.end(), [](const GasDemand* x, const GasDemand* y) {
    return *x->short_on < *y->short_on;
  });
  std::string text;
  for (const GasDemand* one : out)
    text += (text.empty() ? "The station runs short of " : ", of ") + one->gas.spoken() +
            " on day " + std::to_string(*one->short_on);
  if (!text.empty()) text += ".";
  if (!unknown.empty())
    text += (text.empty() ? "Cannot tell: h" : " H") + std::string("ow much is at hand was not ") +
            "stated for " + unknown + ".";
  if (text.empty())
    text = "What is at hand covers the " + std::to_string(trip.days) +
           " days as stated. Nothing is kept back in it, and no fill is lost.";
  return text;
}

/// @brief The conventions behind the numbers, in a line.
[[nodiscard]] inline std::string demand_assumptions(const TripDemand& trip) {
  return "Assumptions: the same use on each of " + std::to_string(trip.days) +
         " days; litres at 1 bar; a bank gives all down to the reading that was stated, which "
         "needs a booster once it reads less than the cylinder; upline " +
         std::string(version) + ".";
}

/// @brief The whole answer as text, with the caution that belongs under it.
[[nodiscard]] inline std::string demand_text(const TripDemand& trip, Units units) {
  constexpr std::array<bool, demand_columns.size()> left{true};
  return detail::wrapped(demand_verdict(trip), "", "") + "\n" +
         detail::aligned(demand_table(trip, units), left) + "\n" +
         detail::wrapped(demand_assumptions(trip), "", "") + "\n" +
         detail::wrapped(schedule_foot, "", "");
}

} // namespace upline

#pragma once
/// @file
/// @brief Oxygen on the boat for reading.

#include <upline/boat_oxygen.hpp>
#include <upline/consumption_text.hpp>
#include <upline/detail/columns.hpp>
#include <upline/detail/number.hpp>
#include <upline/text.hpp>

#include <array>
#include <cmath>
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace upline {

/// @brief The columns of oxygen on a boat, by name.
inline constexpr std::array<std::string_view, 3> boat_oxygen_columns{"oxygen", "volume", "how"};
/// @brief One line of them: a cell for each of boat_oxygen_columns.
using BoatOxygenLine = std::array<std::string, boat_oxygen_columns.size()>;

/// @brief What the answer is not, above the foot that everything carries.
inline constexpr const char* boat_oxygen_foot =
    "Oxygen on the boat is first aid, not treatment: get help under way first. Oxygen that the "
    "dive may need for its decompression must not be counted here a second time. Counted is real "
    "gas until the gauge reads 0; the few bar that a regulator needs, leaks at a mask, and the "
    "1.3 % by which a flow meter's litre exceeds a litre at 1 bar are for the margin.";

namespace detail {

/// How long oxygen lasts, rounded down: "3 h 59 min".
[[nodiscard]] inline std::string lasting_text(Minutes x) {
  constexpr double slack = 1e-9;
  const double whole = std::floor(in_minutes(x) + slack);
  const double hours = std::floor(whole / 60.0);
  const std::string rest = fixed(whole - hours * 60.0, 0) + " min";
  return hours > 0.0 ? fixed(hours, 0) + " h " + rest : rest;
}

[[nodiscard]] inline std::string casualties_text(int count) {
  return std::to_string(count) + (count == 1 ? " casualty" : " casualties");
}

[[nodiscard]] inline std::string flow_text(BreathingRate flow, Units units) {
  return trimmed(flow.base() / volume_unit(units), 3) + " " + volume_name(units) + "/min";
}

/// What was not stated, and is needed for an answer.
[[nodiscard]] inline std::string unstated_text(const BoatOxygen& found) {
  std::string text = found.needed ? "" : "the minutes to treatment are not stated";
  if (!found.there)
    text += std::string(text.empty() ? "" : ", and ") + "no cylinder of oxygen is stated";
  return text;
}

} // namespace detail

/// @brief Needed and there as cells: a head, its units, then a line each.
[[nodiscard]] inline std::vector<BoatOxygenLine> boat_oxygen_table(const BoatOxygen& found,
                                                                   Units units) {
  const BoatOxygenNeed& asked = found.asked;
  BoatOxygenLine head;
  for (std::size_t j = 0; j < head.size(); ++j) head[j] = boat_oxygen_columns[j];
  std::vector<BoatOxygenLine> lines{head, {"", volume_name(units), ""}};
  const std::string time =
      asked.to_treatment ? detail::duration_text(in_minutes(*asked.to_treatment)) : "unknown time";
  lines.push_back({"needed", found.needed ? detail::needed_text(*found.needed, units) : "unknown",
                   detail::casualties_text(asked.casualties) + " x " +
                       detail::flow_text(asked.flow, units) + " x " + time + " x margin " +
                       detail::trimmed(asked.margin, 3)});
  for (const Cylinder& one : asked.cylinders) {
    const double degrees =
        units == Units::metric ? in_celsius(one.temperature()) : in_fahrenheit(one.temperature());
    lines.push_back({"in a cylinder", detail::there_text(one.content(), units),
                     detail::cylinder_text(one, units) + " at " +
                         detail::left_text(one.pressure(), units) + " " +
                         detail::pressure_name(units) + ", " + detail::trimmed(degrees, 1) +
                         (units == Units::metric ? " degrees C" : " degrees F")});
  }
  lines.push_back({"there", found.there ? detail::there_text(*found.there, units) : "unknown",
                   found.there ? "until the gauges read 0" : "no cylinder is stated"});
  return lines;
}

/// @brief Whether it is enough, in a sentence or two.
[[nodiscard]] inline std::string boat_oxygen_verdict(const BoatOxygen& found, Units units) {
  std::string text;
  if (found.enough == Enough::yes)
    text = "Enough by what is stated.";
  else if (found.enough == Enough::no)
    text = "Not enough: " + detail::needed_text(*found.short_by, units) + " " + volume_name(units) +
           " are missing.";
  else
    text = "Whether it is enough cannot be told: " + detail::unstated_text(found) + ".";
  if (found.lasts)
    text += " What is there lasts " + detail::lasting_text(*found.lasts) + " at this flow, or " +
            detail::lasting_text(*found.lasts_with_margin) + " with the margin kept.";
  return text;
}

/// @brief The whole answer as text, with the cautions that belong under it.
[[nodiscard]] inline std::string boat_oxygen_text(const BoatOxygen& found, Units units) {
  return "Oxygen on the boat\n\n" +
         detail::aligned(boat_oxygen_table(found, units), std::array<bool, 3>{true, false, true}) +
         "\n" + detail::wrapped(boat_oxygen_verdict(found, units), "", "") + "\n" +
         detail::wrapped(boat_oxygen_foot, "", "") + "\n" + detail::wrapped(schedule_foot, "", "");
}

} // namespace upline

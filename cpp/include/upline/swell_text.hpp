#pragma once
/// @file
/// @brief Swell at the last stop for reading.

#include <upline/detail/columns.hpp>
#include <upline/swell.hpp>
#include <upline/text.hpp>

#include <algorithm>
#include <array>
#include <string>
#include <string_view>
#include <vector>

namespace upline {

/// @brief The columns of swell at a stop, by name.
inline constexpr std::array<std::string_view, 6> swell_columns{
    "up and down", "between", "po2 between", "margin", "beyond for", "surfacing fraction"};
/// @brief One line of them: a cell for each of swell_columns.
using SwellLine = std::array<std::string, swell_columns.size()>;

/// @brief The bands as cells: a head, its units, then one line for each amplitude.
[[nodiscard]] inline std::vector<SwellLine> swell_table(const std::vector<SwellBand>& bands,
                                                        Units units) {
  std::vector<SwellLine> lines;
  SwellLine head;
  std::copy(swell_columns.begin(), swell_columns.end(), head.begin());
  lines.push_back(head);
  const std::string length(length_name(units));
  lines.push_back({length, length, "bar", "bar", "min", ""});
  const auto depth = [&](Depth x) { return detail::trimmed(depth_in(x, units), 1); };
  for (const SwellBand& band : bands)
    lines.push_back(
        {depth(band.amplitude), depth(band.shallowest) + " to " + depth(band.deepest),
         detail::fixed(band.lowest_po2, 2) + " to " + detail::fixed(band.highest_po2, 2),
         detail::fixed(band.margin, 3), detail::clock_text(in_minutes(band.beyond_for)),
         detail::fixed(band.surfacing_fraction, 3)});
  return lines;
}

/// @brief The stop in a line.
[[nodiscard]] inline std::string swell_title(const Plan& plan) {
  const Units units = plan.rules.units;
  const Stop& stop = plan.stops.back();
  return "Swell at the last stop, " + detail::trimmed(depth_in(stop.depth, units), 1) + " " +
         length_name(units) + " for " + detail::clock_text(in_minutes(stop.minutes_at_depth())) +
         " on " + stop.gas.spoken() + ", factors " + plan.rules.factors.text();
}

/// @brief What the columns mean.
/// @param bands At least one.
[[nodiscard]] inline std::string swell_legend(const std::vector<SwellBand>& bands) {
  return "margin: the least while the stop lasts, in calm water " +
         detail::fixed(bands.front().calm_margin, 3) +
         " bar; beyond for: minutes after arriving until the last crest that is beyond the limit "
         "line. The oxygen table ends at 1.63 bar here.";
}

/// @brief The whole answer as text, with the caution that belongs under it.
/// @param bands At least one.
/// @param plan  Whose last stop it is.
[[nodiscard]] inline std::string swell_text(const std::vector<SwellBand>& bands, const Plan& plan) {
  return detail::wrapped(swell_title(plan), "", "") + "\n" +
         detail::aligned(swell_table(bands, plan.rules.units), std::array<bool, 6>{}) + "\n" +
         detail::wrapped(swell_legend(bands), "", "") + "\n" +
         detail::wrapped(schedule_foot, "", "");
}

} // namespace upline

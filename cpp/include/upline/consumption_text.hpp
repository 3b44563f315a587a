#pragma once
/// @file
/// @brief Gas of one diver for reading: litres and what is left, row by row.

#include <upline/consumption.hpp>
#include <upline/detail/columns.hpp>
#include <upline/detail/number.hpp>
#include <upline/text.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <string>
#include <utility>
#include <vector>

namespace upline {

namespace detail {

/// A run time by which something must be done, rounded down to the second.
[[nodiscard]] inline std::string latest_text(Minutes run_time) {
  constexpr double slack = 1e-6; // [s]
  return clock_text(std::floor(in_minutes(run_time) * 60.0 + slack) / 60.0);
}

/// Pressure that is needed, rounded up.
[[nodiscard]] inline std::string at_least_text(GaugePressure reading, Units units) {
  constexpr double slack = 1e-6;
  const double shown = units == Units::metric ? in_bar_gauge(reading) : in_psi_gauge(reading);
  return fixed(std::max(0.0, std::ceil(shown - slack)), 0);
}

/// A diver's name, or which of the team it is.
[[nodiscard]] inline std::string diver_name(const std::vector<DiverSupply>& team, std::size_t j) {
  return team[j].name.empty() ? "diver " + std::to_string(j + 1) : team[j].name;
}

/// Gas that is needed, rounded up.
[[nodiscard]] inline std::string needed_text(Litres volume, Units units) {
  constexpr double slack = 1e-6; // keeps 3585.0000000001 from reading 3586
  const double scale = units == Units::metric ? 1.0 : 10.0;
  const double shown = std::ceil(in_litres(volume) / volume_unit(units) * scale - slack) / scale;
  return fixed(std::max(0.0, shown), units == Units::metric ? 0 : 1);
}

/// Gas that is there, rounded down.
[[nodiscard]] inline std::string there_text(Litres volume, Units units) {
  constexpr double slack = 1e-6;
  const double scale = units == Units::metric ? 1.0 : 10.0;
  const double shown = std::floor(in_litres(volume) / volume_unit(units) * scale + slack) / scale;
  return fixed(std::max(0.0, shown), units == Units::metric ? 0 : 1);
}

/// Pressure that is there, rounded down.
[[nodiscard]] inline std::string left_text(GaugePressure left, Units units) {
  constexpr double slack = 1e-6;
  const double shown = units == Units::metric ? in_bar_gauge(left) : in_psi_gauge(left);
  return fixed(std::floor(shown + slack), 0);
}

[[nodiscard]] inline const char* pressure_name(Units units) {
  return units == Units::metric ? "bar" : "psi";
}

/// A cylinder in words: "2 x 12 L of 18/45".
[[nodiscard]] inline std::string cylinder_text(const Cylinder& one, Units units) {
  const double each = in_water_litres(one.each()) / volume_unit(units);
  const std::string count = one.joined() == 1 ? "" : std::to_string(one.joined()) + " x ";
  return count + trimmed(each, units == Units::metric ? 1 : 3) + " " + volume_name(units) + " of " +
         one.gas().spoken();
}

/// The mix of a cylinder, with its number where there are several of that mix.
[[nodiscard]] inline std::string cylinder_label(const std::vector<Cylinder>& all, std::size_t j) {
  const auto same = [&](const Cylinder& one) { return one.gas() == all[j].gas(); };
  const auto here = all.begin() + static_cast<std::ptrdiff_t>(j);
  std::string label = all[j].gas().spoken();
  if (std::count_if(all.begin(), all.end(), same) > 1)
    label += " (" + std::to_string(std::count_if(all.begin(), here, same) + 1) + ")";
  return label;
}

/// What a cylinder holds at the end of a row, or that its gas has run out.
[[nodiscard]] inline std::string left_cell(const Consumption& c, const Plan& plan, std::size_t row,
                                           std::size_t cylinder) {
  const auto empty = c.empty_at(c.supply.cylinders[cylinder].gas(), plan, row);
  if (!empty) return left_text(c.rows[row].left[cylinder], plan.rules.units);
  const bool here = c.rows[row].empty_at == empty;
  return here ? "empty at " + clock_text(in_minutes(*empty)) : "empty";
}

/// What a row needs, and what was there where that is less.
[[nodiscard]] inline std::string takes_cell(const RowUse& row, Units units) {
  std::string text = needed_text(row.volume, units);
  if (row.short_by > litres(0.0))
    text += " (" + there_text(row.volume - row.short_by, units) + " there)";
  return text;
}

} // namespace detail

/// @brief Whose gas it is.
[[nodiscard]] inline std::string consumption_title(const Consumption& c) {
  return "Gas of " + (c.supply.name.empty() ? "the diver" : c.supply.name);
}

/// @brief A sentence for each gas that runs out; they stand at the top of the answer.
[[nodiscard]] inline std::vector<std::string> consumption_empty(const Consumption& c,
                                                                const Plan& plan) {
  const Units units = plan.rules.units;
  const auto depth = [&](Depth x) { return detail::trimmed(depth_in(x, units), 1); };
  std::vector<std::string> lines;
  for (std::size_t j = 0; j < c.rows.size(); ++j) {
    if (!c.rows[j].empty_at) continue;
    const Row& row = plan.rows[j];
    lines.push_back("Empty: " + row.gas.spoken() + " at run time " +
                    detail::clock_text(in_minutes(*c.rows[j].empty_at)) + " min, at " +
                    depth(row.from) + (row.from == row.to ? "" : " to " + depth(row.to)) + " " +
                    length_name(units) + ". Nothing is left from then on.");
  }
  return lines;
}

/// @brief Whether it closes, and if not from where on.
[[nodiscard]] inline std::string consumption_verdict(const Consumption& c, const Plan& plan) {
  const Units units = plan.rules.units;
  const auto first = c.first_short();
  if (!first)
    return "The cylinders give all that is breathed. That is no approval: nothing is kept in "
           "reserve here, nobody shares, no gas is lost.";
  const Row& row = plan.rows[*first];
  return detail::needed_text(c.short_by(), units) + " " + volume_name(units) +
         " are missing, first of " + row.gas.spoken() + " between run times " +
         detail::clock_text(in_minutes(row.begins)) + " and " +
         detail::clock_text(in_minutes(row.ends)) +
         " min. This dive does not close on what is carried.";
}

/// @brief The rows as cells: a head, its units, then one line each; a column for each cylinder.
[[nodiscard]] inline std::vector<std::vector<std::string>> consumption_table(const Consumption& c,
                                                                             const Plan& plan) {
  const Units units = plan.rules.units;
  std::vector<std::vector<std::string>> lines{{"depth", "leave at", "breathe", "takes"},
                                              {length_name(units), "min", "", volume_name(units)}};
  for (std::size_t j = 0; j < c.supply.cylinders.size(); ++j) {
    lines[0].push_back("left in " + detail::cylinder_label(c.supply.cylinders, j));
    lines[1].emplace_back(detail::pressure_name(units));
  }
  for (std::size_t j = 0; j < c.rows.size(); ++j) {
    const Row& row = plan.rows[j];
    std::vector<std::string> line{detail::trimmed(depth_in(row.to, units), 1),
                                  detail::clock_text(in_minutes(row.ends)), row.gas.spoken(),
                                  detail::takes_cell(c.rows[j], units)};
    for (std::size_t k = 0; k < c.supply.cylinders.size(); ++k)
      line.push_back(detail::left_cell(c, plan, j, k));
    lines.push_back(std::move(line));
  }
  return lines;
}

/// @brief A line for each cylinder: what is taken, from which pressure to which.
[[nodiscard]] inline std::vector<std::string> consumption_sums(const Consumption& c,
                                                               const Plan& plan) {
  const Units units = plan.rules.units;
  const std::string pressure = std::string(" ") + detail::pressure_name(units);
  std::vector<std::string> lines;
  for (std::size_t j = 0; j < c.supply.cylinders.size(); ++j) {
    const Cylinder& one = c.supply.cylinders[j];
    std::string line = detail::cylinder_text(one, units) + ": " +
                       detail::needed_text(c.taken_from(j), units) + " " + volume_name(units) +
                       " taken, " + detail::left_text(one.pressure(), units);
    if (const auto empty = c.empty_at(one.gas(), plan, c.rows.size()))
      line += pressure + " to empty at run time " + detail::clock_text(in_minutes(*empty)) + " min";
    else
      line += " to " + detail::left_text(c.left_in(j), units) + pressure;
    lines.push_back(std::move(line));
  }
  return lines;
}

/// @brief The rates that count, and from when.
[[nodiscard]] inline std::string consumption_assumptions(const Consumption& c, const Plan& plan) {
  const Units units = plan.rules.units;
  const auto rate = [&](BreathingRate r) {
    return detail::trimmed(r.base() / volume_unit(units), 2);
  };
  std::string text = "real gas; " + rate(c.supply.rates.working) + " " + volume_name(units) +
                     "/min until the bottom is left, " + rate(c.supply.rates.resting) +
                     " from then on";
  if (c.stress_from)
    text += ", " + rate(c.supply.rates.stress) + " from run time " +
            detail::clock_text(in_minutes(*c.stress_from)) + " on";
  else
    text += "; the stress rate of " + rate(c.supply.rates.stress) + " " + volume_name(units) +
            "/min is not used, because no stress_from is given";
  return text + ".";
}

/// @brief What stands beside the line of a cylinder in a picture.
[[nodiscard]] inline std::string content_label(const Consumption& c, const Plan& plan,
                                               std::size_t cylinder) {
  const Gas& gas = c.supply.cylinders[cylinder].gas();
  const std::string name = detail::cylinder_label(c.supply.cylinders, cylinder);
  const std::string label = name + ": ";
  if (const auto empty = c.empty_at(gas, plan, c.rows.size())) {
    // One of several is empty before its mix is.
    if (name != gas.spoken()) return label + "empty";
    return label + "empty at " + detail::clock_text(in_minutes(*empty)) + " min";
  }
  const Litres left =
      c.rows.empty() ? c.supply.cylinders[cylinder].content() : c.rows.back().content[cylinder];
  return label + detail::there_text(left, plan.rules.units) + " " + volume_name(plan.rules.units) +
         " left";
}

/// @brief The whole answer as text, with the caution that belongs under it.
[[nodiscard]] inline std::string consumption_text(const Consumption& c, const Plan& plan) {
  std::string text = consumption_title(c) + "\n\n";
  const auto lines = consumption_table(c, plan);
  std::vector<bool> stands_left(lines.front().size(), false);
  stands_left[2] = true;
  const std::vector<std::string> empty = consumption_empty(c, plan);
  for (const std::string& line : empty) text += line + "\n";
  if (!empty.empty()) text += "\n";
  text += detail::aligned(lines, stands_left) + "\n";
  for (const std::string& line : consumption_sums(c, plan)) text += line + "\n";
  text += "\n" + detail::wrapped(consumption_verdict(c, plan), "", "");
  text += "\n" + detail::wrapped("Assumptions: " + consumption_assumptions(c, plan), "", "");
  return text + "\n" + detail::wrapped(schedule_foot, "", "");
}

} // namespace upline

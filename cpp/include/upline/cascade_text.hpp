#pragma once
/// @file
/// @brief A cascade for reading: what every bank reads after each fill, and how many there are.

#include <upline/blending/wording.hpp>
#include <upline/cascade.hpp>
#include <upline/detail/columns.hpp>
#include <upline/detail/number.hpp>
#include <upline/fill_names.hpp>
#include <upline/text.hpp>
#include <upline/version.hpp>

#include <cstddef>
#include <string>
#include <vector>

namespace upline {

namespace detail {

[[nodiscard]] inline std::string cascade_pressure(GaugePressure x, Units units) {
  return reading_text(x, units) + (units == Units::metric ? " bar" : " psi");
}

/// "1 fill", "12 fills", "at least 200 fills".
[[nodiscard]] inline std::string fills_text(int count) {
  const std::string number = std::to_string(count) + (count == 1 ? " fill" : " fills");
  return count == most_fills ? "at least " + number : number;
}

} // namespace detail

/// @brief What is asked, in a line.
[[nodiscard]] inline std::string cascade_title(const Cascade& c, Units units) {
  const Cylinder& one = c.order.cylinder;
  return std::to_string(c.order.banks.size()) + (c.order.banks.size() == 1 ? " bank" : " banks") +
         " of " + c.order.gas.spoken() + " into cylinders of " +
         detail::trimmed(in_water_litres(one.water_volume()) / volume_unit(units),
                         units == Units::metric ? 1 : 3) +
         " " + volume_name(units) + ", from " + detail::cascade_pressure(one.pressure(), units) +
         " of " + one.gas().spoken() + " to " + detail::cascade_pressure(c.order.pressure, units);
}

/// @brief How many fills there are, in a sentence.
[[nodiscard]] inline std::string cascade_verdict(const Cascade& c, Units units) {
  std::string text = "The banks give " + detail::fills_text(c.full) + " (by the ideal law " +
                     detail::fills_text(c.ideal_full) + ").";
  if (!c.goes_on)
    text +=
        " The next one ends at " + detail::cascade_pressure(c.fills.back().reached, units) + ".";
  return text;
}

/// @brief The fills as cells: a head, its units, the beginning, then one line for each fill.
[[nodiscard]] inline std::vector<std::vector<std::string>> cascade_table(const Cascade& c,
                                                                         Units units) {
  const std::string unit = units == Units::metric ? "bar" : "psi";
  std::vector<std::vector<std::string>> lines{{"fill", "cylinder"}, {"", unit}, {"before", ""}};
  for (std::size_t j = 0; j < c.order.banks.size(); ++j) {
    lines[0].push_back("bank " + std::to_string(j + 1));
    lines[1].push_back(unit);
    lines[2].push_back(detail::reading_text(c.order.banks[j].pressure, units));
  }
  for (std::size_t k = 0; k < c.fills.size(); ++k) {
    const CascadeFill& fill = c.fills[k];
    std::vector<std::string> line{std::to_string(k + 1) + (fill.full ? "" : ", not full"),
                                  detail::reading_text(fill.reached, units)};
    for (const BankFlow& flow : fill.flows)
      line.push_back(detail::reading_text(flow.bank_reads, units));
    lines.push_back(line);
  }
  return lines;
}

/// @brief The conventions behind the numbers, in a line.
[[nodiscard]] inline std::string cascade_assumptions(const Cascade& c, Units units) {
  const Temperature x = c.order.cylinder.temperature();
  return "Assumptions: real gas (GERG-2008), all of it at " +
         (units == Units::metric ? detail::trimmed(in_celsius(x), 1) + " degrees C"
                                 : detail::trimmed(in_fahrenheit(x), 1) + " degrees F") +
         " throughout, which a fill is not unless it is slow; banks opened once each in the order "
         "given; nothing pumped, nothing lost in hoses; upline " +
         std::string(version) + ".";
}

/// @brief The whole answer as text, with the cautions that belong under it.
[[nodiscard]] inline std::string cascade_text(const Cascade& c, Units units) {
  const auto lines = cascade_table(c, units);
  std::vector<bool> left(lines.front().size(), false);
  left[0] = true;
  return detail::wrapped(cascade_title(c, units), "", "") + "\n" +
         detail::wrapped(cascade_verdict(c, units), "", "") + "\n" + detail::aligned(lines, left) +
         "\n" + detail::wrapped(cascade_assumptions(c, units), "", "") +
         detail::wrapped(blending_caution, "", "") + "\n" + detail::wrapped(schedule_foot, "", "");
}

} // namespace upline

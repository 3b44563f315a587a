#pragma once
/// @file
/// @brief Analyses for reading: each gas on its worse side, whether the label holds, what follows.

#include <upline/analysis.hpp>
#include <upline/detail/columns.hpp>
#include <upline/text.hpp>

#include <array>
#include <cmath>
#include <cstddef>
#include <initializer_list>
#include <string>
#include <string_view>
#include <vector>

namespace upline {

/// @brief A remedy in a word or two.
[[nodiscard]] constexpr std::string_view remedy_name(Remedy remedy) {
  switch (remedy) {
  case Remedy::accept: return "accept";
  case Remedy::relabel: return "relabel";
  case Remedy::plan_lean: return "plan lean";
  case Remedy::reblend: return "re-blend";
  }
  return "";
}

/// @brief The columns of analysed gases, by name.
inline constexpr std::array<std::string_view, 8> analysis_columns{
    "label", "read", "deepest", "MOD", "of the label", "po2", "density", "narcotic depth"};
/// @brief One line of them: a cell for each of analysis_columns.
using AnalysisLine = std::array<std::string, analysis_columns.size()>;

namespace detail {

/// Per cent, with what may be added or taken away.
[[nodiscard]] inline std::string with_error(double share, double error) {
  return trimmed(share * 100.0, 2) + " +/- " + trimmed(error * 100.0, 2);
}

[[nodiscard]] inline std::string reading_text(const Analysis& one) {
  std::string text = with_error(one.reading.oxygen, one.oxygen_error);
  if (one.reading.helium > 0.0 || one.helium_error > 0.0)
    text += " / " + with_error(one.reading.helium, one.helium_error);
  return text + " %";
}

/// A depth that may not be exceeded: rounded down.
[[nodiscard]] inline std::string depth_down(Depth depth, Units units) {
  return fixed(std::floor(depth_in(depth, units) + 1e-9), 0);
}

/// A depth that is a load: rounded up.
[[nodiscard]] inline std::string depth_up(Depth depth, Units units) {
  return fixed(std::ceil(depth_in(depth, units) - 1e-9), 0);
}

[[nodiscard]] inline std::string po2_up(double po2) {
  return fixed(std::ceil(po2 * 100.0 - 1e-9) / 100.0, 2);
}

/// What is against a label, gas by gas.
[[nodiscard]] inline std::vector<std::string> oxygen_faults(const AnalysedPlan& found,
                                                            Units units) {
  std::vector<std::string> faults;
  const std::string length(length_name(units));
  const auto joined = [](std::initializer_list<std::string_view> parts) {
    std::string text;
    for (const std::string_view part : parts) text += part;
    return text;
  };
  for (const AnalysedGas& gas : found.gases) {
    const std::string name = gas.analysis.label.spoken();
    if (!gas.within_oxygen_limit())
      faults.push_back(
          joined({name, " may hold so much oxygen that it has ", po2_up(gas.highest_po2),
                  " bar at ", trimmed(depth_in(gas.deepest, units), 1), " ", length, ", above ",
                  trimmed(gas.po2_limit, 2), " bar; breathe it no deeper than ",
                  depth_down(gas.operating_depth, units), " ", length, "."}));
    if (!gas.oxygen_suffices())
      faults.push_back(
          joined({name, " may hold so little oxygen that it must not be breathed above ",
                  depth_up(gas.minimum_depth, units), " ", length, "."}));
  }
  return faults;
}

[[nodiscard]] inline std::string mixes_text(const std::vector<Gas>& mixes) {
  std::string text;
  for (const Gas& gas : mixes) text += (text.empty() ? "" : ", ") + gas.text();
  return text;
}

[[nodiscard]] inline std::string trial_text(const MixTrial& trial, const std::string& whose,
                                            const GradientFactors& factors, double allowance) {
  const GradientFactors raised(factors.low() + allowance, factors.high() + allowance);
  return whose + (trial.holds ? " satisfies " : " does not satisfy ") + raised.text() +
         " on every mix tried within the errors (" + std::to_string(trial.mixes) + "): margin " +
         fixed(std::floor(trial.margin * 1000.0) / 1000.0, 3) + " bar, surfacing fraction up to " +
         fixed(std::ceil(trial.surfacing_fraction * 1000.0 - 1e-6) / 1000.0, 3) + ", worst on " +
         mixes_text(trial.worst) + ".";
}

} // namespace detail

/// @brief Cells of analysed gases, one line each, below a line of units.
[[nodiscard]] inline std::vector<AnalysisLine> analysis_table(const AnalysedPlan& found,
                                                              Units units) {
  const std::string length(length_name(units));
  std::vector<AnalysisLine> lines{
      {"", "oxygen / helium", length, length, length, "bar", "g/L", length}};
  for (const AnalysedGas& gas : found.gases)
    lines.push_back({gas.analysis.label.spoken(), detail::reading_text(gas.analysis),
                     detail::trimmed(depth_in(gas.deepest, units), 1),
                     detail::depth_down(gas.operating_depth, units),
                     detail::depth_down(gas.label_depth, units), detail::po2_up(gas.highest_po2),
                     detail::fixed(std::ceil(gas.density * 100.0 - 1e-9) / 100.0, 2),
                     detail::depth_up(gas.narcotic_depth, units)});
  return lines;
}

/// @brief What was found, sentence by sentence: the remedy first.
[[nodiscard]] inline std::vector<std::string> analysis_findings(const AnalysedPlan& found,
                                                                const Plan& plan) {
  const Units units = plan.rules.units;
  std::vector<std::string> lines;
  switch (found.remedy) {
  case Remedy::accept: lines.emplace_back("Accept: the labels hold for this dive."); break;
  case Remedy::relabel:
    lines.emplace_back("Relabel: it must not be dived as labelled; plan it with what was read.");
    break;
  case Remedy::plan_lean:
    lines.emplace_back("Plan on the lean side: even with the readings as labels, the error of the "
                       "analysis alone takes such a schedule beyond its line.");
    break;
  case Remedy::reblend:
    lines.emplace_back("Re-blend: with what was read this dive cannot be made.");
    break;
  }
  for (std::string& fault : detail::oxygen_faults(found, units)) lines.push_back(std::move(fault));
  lines.push_back(detail::trial_text(found.label, "The schedule of the labels", plan.rules.factors,
                                     found.allowance));
  if (found.as_read_trial)
    lines.push_back(detail::trial_text(*found.as_read_trial, "A schedule planned with the readings",
                                       plan.rules.factors, found.allowance));
  const auto longer = [&](const Plan& other) {
    return detail::clock_text(in_minutes(other.run_time)) + " min instead of " +
           detail::clock_text(in_minutes(plan.run_time)) + " min";
  };
  if (found.as_read && found.as_read->refused())
    lines.push_back("A plan with the readings is refused: " + found.reason);
  else if (found.as_read)
    lines.push_back("Planned with the readings the dive takes " + longer(*found.as_read) + ".");
  else
    lines.push_back("It cannot be planned with the readings: " + found.reason);
  if (found.leanest)
    lines.push_back("With every oxygen at the low end of its error it takes " +
                    longer(*found.leanest) + ".");
  return lines;
}

/// @brief The whole judgement as text.
[[nodiscard]] inline std::string analysis_text(const AnalysedPlan& found, const Plan& plan) {
  std::vector<AnalysisLine> lines(1);
  for (std::size_t j = 0; j < analysis_columns.size(); ++j)
    lines.front()[j] = std::string(analysis_columns[j]);
  for (AnalysisLine& line : analysis_table(found, plan.rules.units)) lines.push_back(line);
  std::string text = "Analysed: " + schedule_title(plan) + "\n";
  text += detail::aligned(lines, std::array{true, true, false, false, false, false, false, false});
  text += "\n";
  for (const std::string& line : analysis_findings(found, plan))
    text += detail::wrapped(line, "", "  ");
  return text + "\n" +
         detail::wrapped("Each number is on the side of the error on which it is worse. The mixes "
                         "tried are the ends and middles of the errors.",
                         "", "") +
         detail::wrapped("Assumptions: " + assumptions_text(plan), "", "") +
         detail::wrapped(no_time_to_fly, "", "") + "\n" + detail::wrapped(schedule_foot, "", "");
}

} // namespace upline

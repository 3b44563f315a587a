#pragma once
/// @file
/// @brief Decision deadlines and turn pressures for reading.

#include <upline/deadline.hpp>
#include <upline/detail/columns.hpp>
#include <upline/reserving/words.hpp>
#include <upline/turn_pressure.hpp>

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace upline {

namespace detail {

/// Writes decision deadlines in words and cells.
class DeadlineText {
public:
  explicit DeadlineText(const Deadlines& deadlines)
      : d_(deadlines), units_(deadlines.plan.rules.units) {}

  [[nodiscard]] std::string whole() const {
    std::string text =
        wrapped("Latest run times of leaving the bottom: " + schedule_title(d_.plan), "", "") +
        "\n";
    for (const std::string& one : sentences()) text += wrapped(one, "", "  ");
    text += "\n" + aligned(table(), std::vector<bool>{true, true, false, true}) + "\n" +
            wrapped(legend(), "", "");
    if (!d_.plan.cautions.empty())
      text += "\nCautions of the plan\n" + caution_lines(d_.plan.cautions, units_);
    return text + answer_foot(assumptions());
  }

  [[nodiscard]] std::string assumptions() const {
    return "real gas; reserves: " + rules_text(d_.rules) + "; " + rates_text(d_.team, units_) +
           "; " + plan_assumptions(d_.plan);
  }

  /// A sentence for each row, for a slate.
  [[nodiscard]] std::vector<std::string> sentences() const {
    std::vector<std::string> all{
        sentence("With every reserve kept", d_.with_reserves.bottom_time, d_.with_reserves.ended)};
    for (const Deadline& one : d_.lost)
      all.push_back(sentence(lost_name(one), one.leave_by(), one.ended()));
    return all;
  }

  /// "If the 50 % and the oxygen are lost".
  [[nodiscard]] static std::string lost_name(const Deadline& one) {
    std::string text;
    for (const Gas& gas : one.lost) text += (text.empty() ? "If the " : " and the ") + gas.spoken();
    return text + (one.lost.size() == 1 ? " is lost" : " are lost");
  }

  /// A head, units, and a line for each row and diver.
  [[nodiscard]] std::vector<std::vector<std::string>> table() const {
    std::vector<std::vector<std::string>> lines{{"", "diver", "leave by", "what ends it"},
                                                {"", "", "min", ""}};
    const GasLimit& limit = d_.with_reserves;
    std::string why =
        limit.fails ? lack_text(*limit.fails, d_.team, d_.rules, units_) : limit.reason;
    lines.push_back(
        {"every reserve kept", "all", time(limit.bottom_time), limit.ended ? no_limit() : why});
    for (const Deadline& one : d_.lost)
      for (std::size_t j = 0; j < one.divers.size(); ++j)
        lines.push_back({lost_name(one), diver_name(d_.team, j), time(one.divers[j].leave_by),
                         ends(one.divers[j])});
    for (std::size_t k = 3; k < lines.size(); ++k) lines[k][0].replace(0, 1, "i");
    return lines;
  }

  /// What was tried, and what is assumed where gas is lost.
  [[nodiscard]] std::string legend() const {
    const GasLimit& limit = d_.with_reserves;
    return "Bottom times tried: whole steps of " + duration_text(in_minutes(limit.step)) +
           " from " + duration_text(in_minutes(limit.searched_from)) + " to " +
           duration_text(in_minutes(limit.searched_to)) +
           "; what ends it stands for the step after. Where gas is lost the loss is known when the "
           "bottom is left, each diver is alone, nothing is kept, and the stress rate counts for "
           "the whole ascent.";
  }

private:
  [[nodiscard]] static std::string time(const std::optional<Minutes>& found) {
    return found ? latest_text(*found) : "never";
  }

  [[nodiscard]] std::string no_limit() const {
    return "no limit found by run time " + latest_text(d_.with_reserves.searched_to);
  }

  [[nodiscard]] std::string sentence(const std::string& when, const std::optional<Minutes>& found,
                                     bool ended) const {
    if (ended) return when + ": " + no_limit() + " min.";
    if (!found) return when + ": the gas closes at no bottom time.";
    return when + ": leave by run time " + latest_text(*found) + " min at the latest.";
  }

  [[nodiscard]] std::string ends(const DiverDeadline& one) const {
    if (one.ended) return no_limit();
    if (!one.runs_out) return one.reason;
    return with_volume(needed_text(one.short_by, units_), units_) + " of " +
           one.runs_out->spoken() + " short";
  }

  const Deadlines& d_;
  Units units_;
};

inline constexpr const char* turn_legend =
    "Brings two back: what is left is twice what was used, which is the way back for two if it is "
    "as long, as deep and breathed alike. No depth and no stops are known here; gas that a "
    "cylinder "
    "does not give at depth is not counted off. Common practice, no source.";

/// After how much gas everybody turns.
[[nodiscard]] inline std::string turn_title(const TurnPressures& turns, Units units) {
  return "Each diver turns after using " + trimmed(turns.fraction, 4) +
         " of the smallest content of " + turns.gas.spoken() +
         " in the team: " + with_volume(there_text(turns.used, units), units) + ".";
}

} // namespace detail

/// @brief A sentence for each deadline.
[[nodiscard]] inline std::vector<std::string> deadline_sentences(const Deadlines& deadlines) {
  return detail::DeadlineText(deadlines).sentences();
}

/// @brief The deadlines as cells: a head, its units, then a line for each row and diver.
[[nodiscard]] inline std::vector<std::vector<std::string>>
deadline_table(const Deadlines& deadlines) {
  return detail::DeadlineText(deadlines).table();
}

/// @brief The whole answer as text, with the cautions of the plan.
[[nodiscard]] inline std::string deadline_text(const Deadlines& deadlines) {
  return detail::DeadlineText(deadlines).whole();
}

/// @brief Turn pressures as cells: a head, its units, then one line for each cylinder.
/// @param turns What turn_pressures() found.
/// @param units In which they are read.
[[nodiscard]] inline std::vector<std::vector<std::string>> turn_table(const TurnPressures& turns,
                                                                      Units units) {
  const char* volume = volume_name(units);
  const char* pressure = detail::pressure_name(units);
  std::vector<std::vector<std::string>> lines{
      {"diver", "cylinder", "filled", "turn at", "content", "left", "two back, by litres"},
      {"", "", pressure, pressure, volume, volume, ""}};
  for (std::size_t j = 0; j < turns.divers.size(); ++j) {
    const TurnPressure& one = turns.divers[j];
    for (std::size_t k = 0; k < one.cylinders.size(); ++k)
      lines.push_back(
          {detail::diver_name(turns.team, j), detail::cylinder_text(one.cylinders[k], units),
           detail::left_text(one.cylinders[k].pressure(), units),
           detail::at_least_text(one.readings[k], units), detail::there_text(one.content, units),
           detail::there_text(one.left, units), one.brings_two_back ? "yes" : "no"});
  }
  return lines;
}

/// @brief Turn pressures as text, with what they do not promise.
/// @param turns What turn_pressures() found.
/// @param units In which they are read.
[[nodiscard]] inline std::string turn_text(const TurnPressures& turns, Units units) {
  const std::vector<bool> left{true, true, false, false, false, false, true};
  return detail::wrapped(detail::turn_title(turns, units), "", "") + "\n" +
         detail::aligned(turn_table(turns, units), left) + "\n" +
         detail::wrapped(detail::turn_legend, "", "") + "\n" +
         detail::wrapped(schedule_foot, "", "");
}

} // namespace upline

#pragma once
/// @file
/// @brief A choice from stock for reading: the sets that none beats, what was dropped and why.

#include <upline/detail/columns.hpp>
#include <upline/detail/number.hpp>
#include <upline/stock.hpp>
#include <upline/text.hpp>

#include <array>
#include <cmath>
#include <cstddef>
#include <map>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace upline {

/// @brief The columns of sets, by name.
inline constexpr std::array<std::string_view, 7> stock_columns{
    "bottom gas", "for the ascent",  "to surface",          "bar minutes",
    "CNS",        "oxygen handling", "saved by carrying it"};
/// @brief One line of them: a cell for each of stock_columns.
using StockLine = std::array<std::string, stock_columns.size()>;

namespace detail {

[[nodiscard]] inline std::string spoken_choice(const GasChoice& choice, Units units) {
  std::string text = choice.gas.spoken();
  if (choice.switch_depth)
    text += " from " + trimmed(depth_in(*choice.switch_depth, units), 1) + " " +
            std::string(length_name(units));
  return text;
}

/// The gases of the ascent, or all of them where `first` is 0.
[[nodiscard]] inline std::string spoken_gases(const std::vector<GasChoice>& gases,
                                              std::size_t first, Units units) {
  std::string text;
  for (std::size_t j = first; j < gases.size(); ++j)
    text += (text.empty() ? "" : ", ") + spoken_choice(gases[j], units);
  return text;
}

[[nodiscard]] inline std::string worth_text(const GasSet& set) {
  std::string text;
  for (const GasWorth& one : set.worth) {
    if (!text.empty()) text += ", ";
    text += one.gas.spoken() + ": ";
    text += one.saves ? clock_text(in_minutes(*one.saves)) : std::string("no dive without it");
  }
  return text;
}

/// What an error says, without its remedy: there are other sets.
[[nodiscard]] inline std::string without_remedy(const std::string& reason) {
  return reason.substr(0, reason.find(" Remedy: "));
}

/// Why a set was dropped, without naming its gases: sets that share the words stand together.
[[nodiscard]] inline std::string dropped_phrase(const DroppedSet& set, Units units) {
  const std::string length = " " + std::string(length_name(units));
  const auto depth = [&](double metres_deep) {
    return trimmed(depth_in(metres(metres_deep), units), 1) + length;
  };
  const auto percent = [](double share) { return trimmed(share * 100.0, 1) + " %"; };
  switch (set.why) {
  case Dropped::oxygen_handling:
    return set.gas.spoken() + " needs oxygen handling above " + percent(set.limit);
  case Dropped::too_narcotic:
    return "as narcotic on the bottom as air at " + depth(set.value) + ", above " +
           depth(set.limit);
  case Dropped::too_dense:
    return set.gas.spoken() + " is " + fixed(set.value, 2) + " g/L at its deepest, above " +
           trimmed(set.limit, 2) + " g/L";
  case Dropped::nitrogen_rises:
    return "on going over to " + set.gas.spoken() + " nitrogen rises by " + percent(set.value) +
           " of the helium that goes, above " + percent(set.limit);
  case Dropped::not_taken_up: return set.gas.spoken() + " would not be breathed on this dive";
  case Dropped::refused: return "refused: " + set.reason;
  case Dropped::no_schedule: return "no schedule: " + without_remedy(set.reason);
  }
  return "";
}

} // namespace detail

/// @brief Cells of sets, one line each.
[[nodiscard]] inline std::vector<StockLine> stock_table(const std::vector<GasSet>& sets,
                                                        Units units) {
  std::vector<StockLine> lines;
  for (const GasSet& set : sets) {
    std::string handling = "not judged";
    if (set.oxygen_handling) handling = *set.oxygen_handling ? "needed" : "not needed";
    const std::string ascent = detail::spoken_gases(set.gases, 1, units);
    lines.push_back({set.gases.front().gas.spoken(), ascent.empty() ? "none" : ascent,
                     detail::clock_text(in_minutes(set.time_to_surface)),
                     detail::fixed(std::ceil(set.bar_minutes - 1e-9), 0),
                     detail::fixed(std::ceil(set.cns * 100.0 - 1e-9), 0) + " %", handling,
                     detail::worth_text(set)});
  }
  return lines;
}

/// @brief Why sets were dropped, and how many by each reason; the first reason met first.
[[nodiscard]] inline std::vector<std::pair<std::string, std::string>>
dropped_table(const std::vector<DroppedSet>& dropped, Units units) {
  constexpr std::size_t most_named = 3;
  std::vector<std::string> reasons;
  std::map<std::string, std::vector<std::string>> sets;
  for (const DroppedSet& one : dropped) {
    const std::string reason = detail::dropped_phrase(one, units);
    if (!sets.contains(reason)) reasons.push_back(reason);
    sets[reason].push_back(detail::spoken_gases(one.gases, 0, units));
  }
  std::vector<std::pair<std::string, std::string>> lines;
  for (const std::string& reason : reasons) {
    const std::vector<std::string>& named = sets[reason];
    std::string text;
    for (std::size_t j = 0; j < std::min(named.size(), most_named); ++j)
      text += (text.empty() ? "" : "; ") + named[j];
    if (named.size() > most_named)
      text += "; and " + std::to_string(named.size() - most_named) + " more";
    lines.emplace_back(text, reason);
  }
  return lines;
}

/// @brief What was judged, in a sentence.
inline constexpr std::string_view stock_criteria =
    "A set stands here if no other is as good in time to surface, number of gases, bar-minutes, "
    "CNS share and oxygen handling, and better in one of them. None of them is the best: choose.";

/// @brief The dive in a line: "Gases for 45 m, left at 25 min (40/80, ZH-L16C)".
[[nodiscard]] inline std::string stock_title(const Dive& dive, const Rules& rules) {
  std::string text = "Gases for ";
  for (const Level& level : dive.levels)
    text += (&level == &dive.levels.front() ? "" : ", then ") +
            detail::trimmed(depth_in(level.depth, rules.units), 1) + " " +
            std::string(length_name(rules.units)) + " until " +
            detail::clock_text(in_minutes(level.leave_at)) + " min";
  return text + " (" + rules.factors.text() + ", " + rules.model + ")";
}

/// @brief The sets that no other beats.
[[nodiscard]] inline std::vector<GasSet> unbeaten_sets(const StockChoice& choice) {
  std::vector<GasSet> unbeaten;
  for (const GasSet& set : choice.sets)
    if (set.unbeaten) unbeaten.push_back(set);
  return unbeaten;
}

/// @brief The whole choice as text.
/// @param choice What was found.
/// @param dive   On which.
/// @param rules  By which.
[[nodiscard]] inline std::string stock_text(const StockChoice& choice, const Dive& dive,
                                            const Rules& rules) {
  const std::vector<GasSet> unbeaten = unbeaten_sets(choice);
  const Units units = rules.units;
  std::string text = stock_title(dive, rules) + "\n\n";
  if (unbeaten.empty()) {
    text += "No set of these gases makes this dive.\n";
  } else {
    std::vector<StockLine> lines(1);
    for (std::size_t j = 0; j < stock_columns.size(); ++j)
      lines.front()[j] = std::string(stock_columns[j]);
    for (StockLine& line : stock_table(unbeaten, units)) lines.push_back(std::move(line));
    text += detail::aligned(lines, std::array{true, true, false, false, false, true, true});
    text += "\n" + detail::wrapped(stock_criteria, "", "");
    text += detail::wrapped(std::to_string(choice.sets.size()) + " sets are admissible; " +
                                std::to_string(unbeaten.size()) + " are shown.",
                            "", "");
  }
  if (!choice.dropped.empty()) text += "\nDropped\n";
  for (const auto& [sets, reason] : dropped_table(choice.dropped, units)) {
    std::string line = sets;
    line += ": ";
    line += reason;
    text += detail::wrapped(line, "  ", "    ");
  }
  return text + "\n" + detail::wrapped(no_time_to_fly, "", "") + "\n" +
         detail::wrapped(schedule_foot, "", "");
}

} // namespace upline

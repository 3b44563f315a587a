#pragma once
/// @file
/// @brief Wrong mouthpieces for reading: which pair is worst, then place by place.

#include <upline/detail/columns.hpp>
#include <upline/text.hpp>
#include <upline/wrong_gas.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace upline {

/// @brief The weight of a mistake in words.
[[nodiscard]] constexpr std::string_view harm_name(Harm harm) {
  switch (harm) {
  case Harm::life: return "danger to life";
  case Harm::beyond_limit: return "beyond a limit";
  case Harm::shortfall: return "decompression falls short";
  case Harm::none: return "within the limits";
  }
  return "";
}

/// @brief A hazard in a word or two.
[[nodiscard]] constexpr std::string_view hazard_name(Hazard hazard) {
  switch (hazard) {
  case Hazard::hypoxia: return "hypoxia";
  case Hazard::beyond_table: return "beyond the oxygen table";
  case Hazard::above_oxygen_limit: return "oxygen limit";
  case Hazard::dense: return "density";
  case Hazard::little_oxygen: return "little oxygen";
  case Hazard::more_narcotic: return "narcosis";
  case Hazard::less_oxygen: return "less oxygen";
  }
  return "";
}

/// @brief A hazard in a phrase.
[[nodiscard]] constexpr std::string_view hazard_phrase(Hazard hazard) {
  switch (hazard) {
  case Hazard::hypoxia: return "too little oxygen, consciousness can be lost without warning";
  case Hazard::beyond_table: return "beyond the oxygen table, convulsion possible at any moment";
  case Hazard::above_oxygen_limit: return "above the plan's oxygen limit";
  case Hazard::dense: return "denser than 6.2 g/L";
  case Hazard::little_oxygen: return "little reserve against hypoxia";
  case Hazard::more_narcotic: return "more narcotic than anything in the plan";
  case Hazard::less_oxygen: return "less oxygen than meant";
  }
  return "";
}

/// @brief What a mistake means: its weight, then every hazard in a word or two.
[[nodiscard]] inline std::string harm_text(const WrongGas& wrong) {
  std::string text(harm_name(wrong.harm()));
  for (const Hazard hazard : wrong.hazards) {
    text += hazard == wrong.hazards.front() ? ": " : ", ";
    text += hazard_name(hazard);
  }
  return text;
}

/// @brief The columns of wrong mouthpieces, by name.
inline constexpr std::array<std::string_view, 8> wrong_gas_columns{
    "depth", "meant", "taken", "po2", "CNS limit", "density", "narcotic depth", "what it means"};
/// @brief One line of them: a cell for each of wrong_gas_columns.
using WrongGasLine = std::array<std::string, wrong_gas_columns.size()>;

namespace detail {

inline constexpr std::array<bool, 8> wrong_gas_stands_left{false, true,  true,  false,
                                                           false, false, false, true};

/// Minutes of a single exposure at an oxygen pressure, rounded down. Nothing where there is too
/// little oxygen, or more than the table reaches: no number there is a permission.
[[nodiscard]] inline std::string exposure_text(const WrongGas& wrong) {
  if (!wrong.hazards.empty() && wrong.harm() == Harm::life) return "";
  if (std::isinf(wrong.oxygen_minutes)) return "no limit";
  return trimmed(std::floor(wrong.oxygen_minutes), 0);
}

/// A pair in a sentence.
[[nodiscard]] inline std::string pair_text(const ConfusedPair& pair, Units units) {
  const WrongGas& worst = pair.worst;
  std::string text = worst.taken.spoken() + " taken for " + worst.meant.spoken() + ": worst at " +
                     trimmed(depth_in(worst.depth, units), 1) + " " + length_name(units) + ", " +
                     fixed(worst.po2, 2) + " bar of oxygen, " +
                     std::string(harm_name(worst.harm()));
  for (const Hazard hazard : worst.hazards) {
    text += hazard == worst.hazards.front() ? ": " : "; ";
    text += hazard_phrase(hazard);
  }
  return text + ".";
}

} // namespace detail

/// @brief The mistakes as cells: a head, its units, then one line each.
[[nodiscard]] inline std::vector<WrongGasLine>
wrong_gas_table(const std::vector<WrongGas>& mistakes, Units units) {
  std::vector<WrongGasLine> lines;
  WrongGasLine head;
  std::copy(wrong_gas_columns.begin(), wrong_gas_columns.end(), head.begin());
  lines.push_back(head);
  const std::string length(length_name(units));
  lines.push_back({length, "", "", "bar", "min", "g/L", length, ""});
  const double unit = length_unit(units);
  for (const WrongGas& wrong : mistakes)
    lines.push_back({detail::trimmed(depth_in(wrong.depth, units), 1), wrong.meant.spoken(),
                     wrong.taken.spoken(), detail::fixed(wrong.po2, 2),
                     detail::exposure_text(wrong), detail::fixed(wrong.density, 1),
                     detail::fixed(std::max(wrong.narcotic_depth, 0.0) / unit, 0),
                     harm_text(wrong)});
  return lines;
}

/// @brief The whole answer as text, with the caution that belongs under it.
[[nodiscard]] inline std::string wrong_gas_text(const std::vector<WrongGas>& mistakes,
                                                const Plan& plan) {
  const Units units = plan.rules.units;
  std::string text = "If the wrong mouthpiece is taken\n";
  const std::string foot = "\n" + detail::wrapped(schedule_foot, "", "");
  if (mistakes.empty()) return text + "  Only one gas is carried.\n" + foot;
  for (const ConfusedPair& pair : confused_pairs(mistakes))
    text += detail::wrapped(detail::pair_text(pair, units), "  ", "    ");
  text += "\n" + detail::aligned(wrong_gas_table(mistakes, units), detail::wrong_gas_stands_left);
  text += "\n" +
          detail::wrapped(
              "CNS limit: single-exposure minutes at that oxygen pressure, empty where the table "
              "does not reach; density at 0 degrees C; narcotic depth with oxygen "
              "counted. That nothing is named says only that no limit above is "
              "broken.",
              "", "");
  return text + foot;
}

} // namespace upline

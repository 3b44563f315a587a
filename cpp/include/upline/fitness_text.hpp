#pragma once
/// @file
/// @brief Verdicts on kit for reading: what is not fit first, then what is unknown, then the rest.

#include <upline/consumption_text.hpp>
#include <upline/detail/columns.hpp>
#include <upline/detail/number.hpp>
#include <upline/fitness.hpp>
#include <upline/fitting/kit_phrases.hpp>
#include <upline/text.hpp>

#include <array>
#include <cmath>
#include <cstddef>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace upline {

/// @brief What a verdict is not.
inline constexpr std::string_view kit_caution =
    "Nothing was inspected; this certifies no equipment.";

/// @brief The verdict in words.
[[nodiscard]] constexpr std::string_view kit_verdict_name(KitVerdict verdict) {
  switch (verdict) {
  case KitVerdict::fit: return "fit";
  case KitVerdict::unknown: return "unknown";
  case KitVerdict::not_fit: return "not fit";
  }
  return "";
}

/// @brief The verdict as the sentence that must stand with it.
[[nodiscard]] inline std::string kit_verdict_sentence(KitVerdict verdict) {
  std::string caution(kit_caution);
  switch (verdict) {
  case KitVerdict::fit: return "Fit by the ratings you entered and the rule you chose. " + caution;
  case KitVerdict::not_fit:
    return "Not fit by the ratings you entered and the rule you chose. " + caution;
  case KitVerdict::unknown: return "Unknown: what is not known is never taken for fit. " + caution;
  }
  return caution;
}

/// @brief The code of a piece of advice as a word.
[[nodiscard]] constexpr std::string_view advice_name(AdviceCode code) {
  switch (code) {
  case AdviceCode::turning_outlet: return "turning_outlet";
  case AdviceCode::hose_length: return "hose_length";
  case AdviceCode::three_cues: return "three_cues";
  case AdviceCode::full_gauge: return "full_gauge";
  case AdviceCode::label: return "label";
  case AdviceCode::label_agrees: return "label_agrees";
  }
  return "";
}

/// @brief One finding in a paragraph: item, rule, what was found, whose rule, remedy.
[[nodiscard]] inline std::string kit_finding_text(const SetFitness& set, const KitFinding& one,
                                                  const FitnessChoice& choice) {
  return detail::KitFindingText(set, choice).sentence(one);
}

/// @brief One piece of advice in a line.
[[nodiscard]] inline std::string advice_text(const KitAdvice& one, Units units) {
  return std::string(detail::followed_name(one.followed)) + ": " + detail::advice_words(one, units);
}

/// @brief The columns of findings, by name.
inline constexpr std::array<std::string_view, 7> kit_finding_columns{
    "set", "item", "verdict", "rule", "found", "whose rule", "remedy"};
/// @brief One line of them: a cell for each of kit_finding_columns.
using KitFindingLine = std::array<std::string, kit_finding_columns.size()>;

/// @brief The findings as cells: a head, then one line each, the worst of each set first.
[[nodiscard]] inline std::vector<KitFindingLine> fitness_table(const Fitness& found) {
  std::vector<KitFindingLine> lines(1);
  for (std::size_t j = 0; j < kit_finding_columns.size(); ++j) lines[0][j] = kit_finding_columns[j];
  for (const SetFitness& set : found.sets) {
    const detail::KitFindingText words(set, found.choice);
    for (const KitVerdict verdict : {KitVerdict::not_fit, KitVerdict::unknown, KitVerdict::fit})
      for (const KitFinding& one : set.findings)
        if (one.verdict == verdict)
          lines.push_back({set.set.name, words.of(one), std::string(kit_verdict_name(verdict)),
                           std::string(rule_name(one.rule)), words.because(one),
                           authority_text(one.authority), detail::KitFindingText::remedy(one)});
  }
  return lines;
}

namespace detail {

/// What a set was judged at: gas, pressure, depths.
[[nodiscard]] inline std::string judged_at(const SetFitness& one, const FitnessChoice& choice) {
  const Units units = choice.units;
  const KitSet& set = one.set;
  const auto range = [&](const std::optional<DepthRange>& depths) {
    if (!depths) return std::string("unknown");
    return trimmed(depth_in(depths->shallowest, units), 1) + " to " +
           trimmed(depth_in(depths->deepest, units), 1) + " " + length_name(units);
  };
  std::string text = set.gas.spoken();
  if (one.share > set.gas.oxygen + fit_slack)
    text += ", judged at the " + kit_share_text(one.share) + " that was analysed";
  text += set.fill_pressure
              ? " at " + left_text(*set.fill_pressure, units) + " " + pressure_name(units)
              : std::string(" at an unknown pressure");
  text += set.filling == Filling::premixed       ? ", premixed"
          : set.filling == Filling::oxygen_added ? ", oxygen added in the cylinder"
                                                 : ", filled nobody knows how";
  text += "; breathed " + range(set.breathed) + ", carried " + range(set.carried);
  text += set.going_down == GoingDown::open   ? ", with the valve open on the way down"
          : set.going_down == GoingDown::shut ? ", charged and shut on the way down"
                                              : ", open or shut on the way down unknown";
  return text + ".";
}

/// The rules that an item keeps, by name.
[[nodiscard]] inline std::string kept_text(const SetFitness& set, std::size_t item) {
  std::string text;
  for (const KitFinding& one : set.findings)
    if (one.item == item && one.verdict == KitVerdict::fit)
      text += (text.empty() ? "" : ", ") + std::string(rule_name(one.rule));
  return text;
}

[[nodiscard]] inline std::string set_text(const SetFitness& set, const FitnessChoice& choice) {
  const KitFindingText words(set, choice);
  std::string text =
      wrapped(set.set.name + ": " + std::string(kit_verdict_name(set.verdict())), "", "") +
      wrapped(judged_at(set, choice), "  ", "  ") +
      wrapped(oxygen_line_text(set.share, choice.line) + ".", "  ", "  ");
  const std::array<std::pair<KitVerdict, const char*>, 2> parts{
      {{KitVerdict::not_fit, "  Not fit\n"}, {KitVerdict::unknown, "  Unknown\n"}}};
  for (const auto& [verdict, head] : parts) {
    std::string lines;
    for (const KitFinding& one : set.findings)
      if (one.verdict == verdict) lines += wrapped(words.sentence(one), "    ", "      ");
    if (!lines.empty()) text += head + lines;
  }
  std::string kept;
  for (std::size_t j = 0; j < set.set.items.size(); ++j) {
    const std::string rules = kept_text(set, j);
    if (!rules.empty()) kept += wrapped(set.set.items[j].name + ": " + rules, "    ", "      ");
  }
  const std::string whole = kept_text(set, whole_set);
  if (!whole.empty()) kept += wrapped("the whole set: " + whole, "    ", "      ");
  if (!kept.empty()) text += "  Fit\n" + kept;
  text += "  Advice, which changes no verdict\n";
  for (const KitAdvice& one : set.advice)
    text += wrapped(advice_text(one, choice.units), "    ", "      ");
  return text + wrapped(kit_verdict_sentence(set.verdict()), "  ", "  ");
}

} // namespace detail

/// @brief By what was judged, in a line.
[[nodiscard]] inline std::string fitness_assumptions(const FitnessChoice& choice) {
  const auto every = [](const char* what, const std::optional<Interval>& interval) {
    return std::string(", ") + what + " " +
           (interval ? "every " + detail::interval_text(*interval) : "interval unknown");
  };
  const bool metric = choice.units == Units::metric;
  std::string water = "unknown";
  if (choice.water_temperature)
    water = detail::trimmed(metric ? in_celsius(*choice.water_temperature)
                                   : in_fahrenheit(*choice.water_temperature),
                            1) +
            (metric ? " degrees C" : " F");
  const std::string line = detail::kit_share_text(share_of(choice.line));
  return "oxygen service above " + line + ", a rule of " +
         authority_text(oxygen_lines[static_cast<std::size_t>(choice.line)].authority) +
         "; dived on " + detail::date_text(choice.day) + "; water " + water +
         "; EN 144-3 followed for outlets: " +
         (choice.outlet_en_144_3 == Answer::yes  ? "yes"
          : choice.outlet_en_144_3 == Answer::no ? "no"
                                                 : "unknown") +
         every("cleaning", choice.cleaning_every) + every("service", choice.service_every) +
         every("intermediate pressure", choice.intermediate_every) +
         every("leaks", choice.leak_every) + every("cylinder test", choice.cylinder_test_every);
}

/// @brief The whole answer as text, with the cautions that belong under it.
[[nodiscard]] inline std::string fitness_text(const Fitness& found) {
  std::string text = "Kit: " + std::string(kit_verdict_name(found.verdict())) + "\n\n";
  for (const SetFitness& one : found.sets) text += detail::set_text(one, found.choice) + "\n";
  return text + detail::wrapped("Assumptions: " + fitness_assumptions(found.choice) + ".", "", "") +
         "\n" + detail::wrapped(std::string(schedule_foot), "", "");
}

} // namespace upline

#pragma once
/// @file
/// @brief Words for one finding and for one piece of advice.

#include <upline/consumption_text.hpp>
#include <upline/detail/number.hpp>
#include <upline/fitness.hpp>

#include <cmath>
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace upline::detail {

/// Words for findings in one system of units.
class KitFindingText {
public:
  KitFindingText(const SetFitness& one, const FitnessChoice& choice) : set_(one), choice_(choice) {}

  /// What was found, without verdict, authority and remedy.
  [[nodiscard]] std::string because(const KitFinding& one) const {
    if (one.verdict == KitVerdict::unknown) return unknown(one);
    const KitRule& rule = rule_of(one.rule);
    return filled(one.verdict == KitVerdict::fit ? rule.fit : rule.not_fit, one);
  }

  [[nodiscard]] static std::string remedy(const KitFinding& one) {
    if (one.verdict == KitVerdict::fit) return "";
    return std::string(one.verdict == KitVerdict::not_fit ? rule_of(one.rule).remedy
                                                          : entry_of(one.missing).remedy);
  }

  /// Which item, or the set as a whole.
  [[nodiscard]] std::string of(const KitFinding& one) const {
    return one.item == whole_set ? "the whole set" : set_.set.items[one.item].name;
  }

  /// All of it in one paragraph.
  [[nodiscard]] std::string sentence(const KitFinding& one) const {
    std::string text = of(one) + ", " + std::string(rule_name(one.rule)) + ": " + because(one) +
                       ". Whose rule: " + authority_text(one.authority) + ".";
    const std::string what = remedy(one);
    if (!what.empty()) text += " Remedy: " + what + ".";
    return text;
  }

private:
  [[nodiscard]] std::string unknown(const KitFinding& one) const {
    if (one.missing == KitField::item)
      return "no " + std::string(item_kind_name(one.kind)) + " is listed";
    const FieldEntry& field = entry_of(one.missing);
    std::string text =
        "not stated: " + std::string(field.words) + " (" + std::string(field.name) + ")";
    if (one.rule == RuleCode::oxygen_line)
      text = oxygen_line_text(one.share, choice_.line) + "; " + text;
    return text;
  }

  [[nodiscard]] std::string filled(std::string_view words, const KitFinding& one) const {
    std::string text;
    for (std::size_t at = 0; at < words.size();) {
      const auto open = words.find('{', at);
      text += words.substr(at, open - at);
      if (open == std::string_view::npos) break;
      const auto close = words.find('}', open);
      text += value_of(words.substr(open + 1, close - open - 1), one);
      at = close + 1;
    }
    return text;
  }

  [[nodiscard]] std::string value_of(std::string_view name, const KitFinding& one) const {
    if (name == "share") return kit_share_text(one.share);
    if (name == "lines") return oxygen_line_text(one.share, choice_.line);
    const bool limit = name == "limit";
    if (rule_of(one.rule).measure == Measure::date)
      return date_text(limit ? one.due.value_or(Date()) : one.done.value_or(Date()));
    return measured(rule_of(one.rule).measure, limit ? one.limit : one.found, limit);
  }

  [[nodiscard]] std::string measured(Measure measure, double x, bool limit) const {
    if (!std::isfinite(x)) return limit ? "any, as the maker sets no limit" : "what is not known";
    const bool metric = choice_.units == Units::metric;
    switch (measure) {
    case Measure::share: return kit_share_text(x);
    case Measure::pressure:
      return trimmed(metric ? x : x / bar_per_psi, metric ? 1 : 0) + " " +
             pressure_name(choice_.units);
    case Measure::depth:
      return trimmed(depth_in(metres(x), choice_.units), 1) + " " + length_name(choice_.units);
    case Measure::temperature:
      return trimmed(metric ? x : in_fahrenheit(celsius(x)), 1) + (metric ? " degrees C" : " F");
    case Measure::nothing:
    case Measure::date: break;
    }
    return "";
  }

  const SetFitness& set_;
  const FitnessChoice& choice_;
};

[[nodiscard]] constexpr std::string_view followed_name(Answer followed) {
  switch (followed) {
  case Answer::yes: return "followed";
  case Answer::no: return "not followed";
  case Answer::unknown: return "unknown";
  }
  return "";
}

/// A hose in the unit of the plan.
[[nodiscard]] inline std::string hose_text(double x, Units units) {
  return trimmed(depth_in(metres(x), units), 2) + " " + length_name(units);
}

/// What is advised, and what stands against it.
[[nodiscard]] inline std::string advice_words(const KitAdvice& one, Units units) {
  const bool known = std::isfinite(one.found);
  switch (one.code) {
  case AdviceCode::turning_outlet:
    return "an outlet that turns, so that the hose stows along the cylinder and still feeds from "
           "above";
  case AdviceCode::hose_length:
    return "a hose long enough for either side, measured on the diver" +
           (known && std::isfinite(one.limit)
                ? ": " + hose_text(one.found, units) + " for " + hose_text(one.limit, units)
                : std::string());
  case AdviceCode::three_cues:
    return "lean and rich told apart by at least three independent cues, colour never alone and "
           "chosen by the team" +
           (known ? ": " + trimmed(one.found, 0) + " counted" : std::string());
  case AdviceCode::full_gauge:
    return "a full gauge on a short hose, up to " + hose_text(one.limit, units) +
           (known ? ": " + hose_text(one.found, units) : std::string());
  case AdviceCode::label: return "a label with mix, depth, date and analyst, in one unit";
  case AdviceCode::label_agrees:
    return "a label that agrees within " + percent_text(one.limit) +
           " % of oxygen with an analysis of the day" +
           (known ? ": " + trimmed(one.found * 100.0, 1) + " % apart" : std::string());
  }
  return "";
}

} // namespace upline::detail

#pragma once
/// @file
/// @brief What one rule says of one item, and what the person chose for all of them.

#include <upline/detail/require.hpp>
#include <upline/kit.hpp>
#include <upline/kit_fields.hpp>
#include <upline/kit_rules.hpp>

#include <algorithm>
#include <array>
#include <cstddef>
#include <limits>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace upline {

/// @brief What a rule says, from the best to the worst.
enum class KitVerdict {
  fit,     ///< Every rule that is asked is kept.
  unknown, ///< Something that would decide is not known.
  not_fit  ///< A rule is broken.
};

/// @brief What the person chooses. Neither line nor day has a default.
struct FitnessChoice {
  OxygenLine line;                                ///< Of oxygen service.
  Date day;                                       ///< Of the dive.
  std::optional<Temperature> water_temperature{}; ///< The coldest.
  std::optional<Interval> cleaning_every{};       ///< Cleaning for oxygen.
  std::optional<Interval> service_every{};        ///< Service.
  std::optional<Interval> intermediate_every{};   ///< Intermediate pressure.
  std::optional<Interval> leak_every{};           ///< Leaks.
  std::optional<Interval> cylinder_test_every{};  ///< Test of a cylinder.
  Answer outlet_en_144_3{};    ///< Is EN 144-3 followed here for the outlet of a valve?
  Units units = Units::metric; ///< For thresholds in whole feet, and for printing.
  friend bool operator==(const FitnessChoice&, const FitnessChoice&) = default; ///< By field.
};

/// @brief Place of a finding that concerns no single item.
inline constexpr std::size_t whole_set = std::numeric_limits<std::size_t>::max();

/// @brief What one rule says of one item. Numbers that do not apply are NaN.
struct KitFinding {
  RuleCode rule{};              ///< The rule.
  KitVerdict verdict{};         ///< What it says.
  std::size_t item = whole_set; ///< Place in the items of the set, or whole_set.
  ItemKind kind{};              ///< Of the item; or the kind that is not listed.
  double share{};               ///< Of oxygen that it is judged at [1].
  double found = std::numeric_limits<double>::quiet_NaN(); ///< In the measure of the rule: [1],
                                                           ///< [bar], [m], [degrees C].
  double limit = std::numeric_limits<double>::quiet_NaN(); ///< What it was held against.
  std::optional<Date> done{};                              ///< When it was done ...
  std::optional<Date> due{};                               ///< ... and to when that is good.
  KitField missing = KitField::nothing;                    ///< Where unknown: what would decide it.
  Authority authority{};                                   ///< Whose rule.
};

/// @brief The worst of several findings; unknown where there are none.
[[nodiscard]] inline KitVerdict worst(const std::vector<KitFinding>& findings) {
  KitVerdict verdict = findings.empty() ? KitVerdict::unknown : KitVerdict::fit;
  for (const KitFinding& one : findings) verdict = std::max(verdict, one.verdict);
  return verdict;
}

/// @brief What advice is about; advice_name() gives the word, which does not change.
enum class AdviceCode {
  turning_outlet, ///< The hose stows along the cylinder and still feeds from above.
  hose_length,    ///< The hose reaches from either side.
  three_cues,     ///< Lean and rich are told apart without colour.
  full_gauge,     ///< A full gauge on a short hose.
  label,          ///< What stands on the cylinder.
  label_agrees    ///< With the analysis of the day.
};

/// @brief One piece of advice, and whether it is followed. It changes no verdict.
struct KitAdvice {
  AdviceCode code{};                                       ///< What it is about.
  Answer followed{};                                       ///< Yes, no, or nobody knows.
  double found = std::numeric_limits<double>::quiet_NaN(); ///< Length [m], cues, or share [1].
  double limit = std::numeric_limits<double>::quiet_NaN(); ///< What it was held against.
};

inline constexpr Depth short_hose = metres(0.3); ///< To a gauge (common practice, no source).
inline constexpr std::size_t least_cues = 3;     ///< Common practice, no source.
inline constexpr double analysis_agrees = 0.01;  ///< Share of oxygen [1] (common practice).

namespace detail {

/// Of the gas that was meant and the one that was analysed, the richer.
[[nodiscard]] inline double share_judged(const KitSet& set) {
  return std::max(set.gas.oxygen, set.analysed.value_or(0.0));
}

inline void check_choice(const FitnessChoice& choice) {
  require_date("day", choice.day);
  if (choice.water_temperature)
    require_range("water_temperature", in_celsius(*choice.water_temperature), -4.0, 45.0,
                  "degrees C", "give the coldest water of the dive");
  const std::array<std::pair<const char*, const std::optional<Interval>*>, 5> every{
      {{"cleaning_every", &choice.cleaning_every},
       {"service_every", &choice.service_every},
       {"intermediate_every", &choice.intermediate_every},
       {"leak_every", &choice.leak_every},
       {"cylinder_test_every", &choice.cylinder_test_every}}};
  for (const auto& [field, interval] : every)
    if (*interval) require_interval(field, **interval);
}

} // namespace detail
} // namespace upline

#pragma once
/// @file
/// @brief Cautions as data, and their text.

#include <upline/detail/number.hpp>
#include <upline/detail/require.hpp>
#include <upline/gas.hpp>
#include <upline/units.hpp>

#include <array>
#include <cmath>
#include <cstddef>
#include <limits>
#include <string>
#include <string_view>

namespace upline {

/// @brief How much a caution weighs. A plan that refuses is given, but no slate is made of it.
enum class Severity {
  note,    ///< Informs.
  caution, ///< Asks for a decision.
  refuses  ///< Not to be made into something to dive by.
};

/// @brief What a caution is about; code_name() gives the word, which does not change.
enum class CautionCode {
  po2_in_tolerance,       ///< Above an oxygen limit, within its tolerance.
  po2_above_limit,        ///< Beyond the tolerance as well.
  low_po2,                ///< Little oxygen.
  beyond_oxygen_table,    ///< Beyond the last row of the oxygen table.
  cns,                    ///< Single-exposure oxygen limits.
  cns_without_recovery,   ///< The same, kept only by crediting recovery at the surface.
  oxygen_day,             ///< 24-h oxygen limits.
  oxygen_without_break,   ///< Long at high oxygen pressure.
  density,                ///< Dense gas.
  nitrogen_rise,          ///< Nitrogen rises at a switch.
  gas_unused,             ///< A gas is not breathed.
  switch_at_bottom,       ///< A stated switch depth is not above the bottom.
  short_switch,           ///< Little time at a switch.
  just_arrived,           ///< Arrival at altitude is assumed.
  place_changed,          ///< The earlier dive ended at another pressure.
  oxygen_history_unknown, ///< No state of an earlier dive.
  may_be_nitrox,          ///< Oxygen and helium alone, perhaps meant as nitrox.
  fast_ascent,            ///< The stated way up is faster than is usual.
  fast_descent,           ///< The stated way down is.
  factor_above_one,       ///< High gradient factor above 1.
  limit_exceeded          ///< Beyond the limit line.
};

/// @brief Why a gas is not breathed.
enum class Unused {
  never_qualifies, ///< At no rung within the oxygen limit.
  not_richer       ///< No more oxygen than the gas in use.
};

/// @brief One caution. Fields that do not apply are NaN or left at their defaults.
struct Caution {
  CautionCode code{};                                          ///< What it is about.
  Severity severity = Severity::caution;                       ///< How much it weighs.
  double value = std::numeric_limits<double>::quiet_NaN();     ///< What was found.
  double limit = std::numeric_limits<double>::quiet_NaN();     ///< What it was held against.
  double depth = std::numeric_limits<double>::quiet_NaN();     ///< [m]
  double run_time = std::numeric_limits<double>::quiet_NaN();  ///< [min]
  Gas gas{};                                                   ///< The gas concerned.
  Gas old_gas{};                                               ///< At a switch.
  std::size_t compartment = 0;                                 ///< For limit_exceeded, from 0 ...
  double half_time = std::numeric_limits<double>::quiet_NaN(); ///< ... and its half-time [min].
  Unused reason{};                                             ///< For gas_unused.
};

namespace detail {

struct CodeName {
  CautionCode code;
  std::string_view name;
};
inline constexpr std::array caution_names{
    CodeName{CautionCode::po2_in_tolerance, "po2_in_tolerance"},
    CodeName{CautionCode::po2_above_limit, "po2_above_limit"},
    CodeName{CautionCode::low_po2, "low_po2"},
    CodeName{CautionCode::beyond_oxygen_table, "beyond_oxygen_table"},
    CodeName{CautionCode::cns, "cns"},
    CodeName{CautionCode::cns_without_recovery, "cns_without_recovery"},
    CodeName{CautionCode::oxygen_day, "oxygen_day"},
    CodeName{CautionCode::oxygen_without_break, "oxygen_without_break"},
    CodeName{CautionCode::density, "density"},
    CodeName{CautionCode::nitrogen_rise, "nitrogen_rise"},
    CodeName{CautionCode::gas_unused, "gas_unused"},
    CodeName{CautionCode::switch_at_bottom, "switch_at_bottom"},
    CodeName{CautionCode::short_switch, "short_switch"},
    CodeName{CautionCode::just_arrived, "just_arrived"},
    CodeName{CautionCode::place_changed, "place_changed"},
    CodeName{CautionCode::oxygen_history_unknown, "oxygen_history_unknown"},
    CodeName{CautionCode::may_be_nitrox, "may_be_nitrox"},
    CodeName{CautionCode::fast_ascent, "fast_ascent"},
    CodeName{CautionCode::fast_descent, "fast_descent"},
    CodeName{CautionCode::factor_above_one, "factor_above_one"},
    CodeName{CautionCode::limit_exceeded, "limit_exceeded"}};

/// Text of one caution in one system of units.
class CautionText {
public:
  CautionText(const Caution& caution, Units units) : c_(caution), units_(units) {}

  [[nodiscard]] std::string operator()() const {
    switch (c_.code) {
    case CautionCode::po2_in_tolerance:
      return mix() + " at " + depth() + " is " + beyond(2) +
             " bar, inside the stated tolerance above " + limit() + " bar.";
    case CautionCode::po2_above_limit:
      return "The oxygen pressure of " + c_.gas.spoken() + " at " + depth() + " is " + beyond(2) +
             " bar, above " + limit() +
             " bar and its tolerance. Switch shallower, or breathe a leaner gas.";
    case CautionCode::low_po2:
      return "The oxygen pressure of " + c_.gas.spoken() + " at " + depth() + " is " +
             fixed(c_.value, 3) + " bar, below " + limit() + " bar: " +
             (c_.severity == Severity::refuses ? "hypoxia" : "little reserve against hypoxia") +
             ". Use a richer gas there.";
    case CautionCode::beyond_oxygen_table:
      return "The oxygen pressure of " + c_.gas.spoken() + " at " + depth() + " is " + beyond(2) +
             " bar, beyond the last row of the oxygen table (read up to " + limit() +
             " bar); the dose there is extrapolated. Stay shallower.";
    case CautionCode::cns:
      return "CNS share is " + percent_beyond() + " %, above " + percent(c_.limit) +
             " % of the single-exposure limits. Use less oxygen, a shallower last stop or a "
             "shorter "
             "dive.";
    case CautionCode::cns_without_recovery:
      return "CNS share of the last 24 h is " + percent_beyond() + " %, above " +
             percent(c_.limit) +
             " % of the single-exposure limits, unless recovery at the surface is credited: "
             "halving "
             "it every 90 min is a convention without data. Rest longer, or use less oxygen.";
    case CautionCode::oxygen_day:
      return "The 24-h oxygen sum is " + percent_beyond() + " %, above " + percent(c_.limit) +
             " % of the 24-h limits. Rest, or use less oxygen.";
    case CautionCode::oxygen_without_break:
      return "Oxygen pressure is at or above 1.4 bar for " + duration_text(c_.value) +
             " without a break, more than " + limit() + " min, from run time " +
             clock_text(c_.run_time) +
             ". Breaks are not planned here; shorten the dive or use less oxygen.";
    case CautionCode::density:
      return mix() + " at " + depth() + " is " + beyond(2) + " g/L (at 0 degrees C), above " +
             limit() + " g/L. Use more helium or stay shallower.";
    case CautionCode::nitrogen_rise:
      return "Switch from " + c_.old_gas.spoken() + " to " + c_.gas.spoken() + " at " + depth() +
             ": nitrogen rises by " + percent(c_.value) +
             " %, more than a fifth of the helium fall (" + percent(c_.limit) +
             " %). Common practice, disputed; the inner ear is not modelled. Keep helium in the "
             "new "
             "gas, or switch shallower.";
    case CautionCode::gas_unused: return mix() + " is not breathed: " + why_unused();
    case CautionCode::switch_at_bottom:
      return mix() + " has the switch depth " + length(c_.value) + ", not above the bottom at " +
             length(c_.limit) + ": it is taken up on leaving the bottom. Check that this is meant.";
    case CautionCode::short_switch:
      return duration_text(c_.value) + " are spent at the switch to " + c_.gas.spoken() + " at " +
             depth() + ", less than " + limit() + " min. Plan time for the switch.";
    case CautionCode::just_arrived:
      return "The surface pressure is " + fixed(c_.value, 3) +
             " bar and acclimatised_to was not stated: the diver is taken to have just arrived "
             "from sea level. State where the diver has lived for the last days.";
    case CautionCode::place_changed:
      return "The earlier dive ended at a surface pressure of " + fixed(c_.limit, 3) +
             " bar; this one begins at " + fixed(c_.value, 3) +
             " bar at once. Rest in the new environment first if time passed there.";
    case CautionCode::oxygen_history_unknown:
      return "Oxygen history is unknown: no dive in the last 24 h is assumed. Hand on the state "
             "of an earlier dive if there was one.";
    case CautionCode::may_be_nitrox: return nitrox_question(c_.gas);
    case CautionCode::fast_ascent: return fast("ascent");
    case CautionCode::fast_descent: return fast("descent");
    case CautionCode::factor_above_one:
      return "The high gradient factor is " + percent(c_.value) +
             " %, above 100 %: the schedule goes beyond the published limits of the model. Choose "
             "factors up to 100.";
    case CautionCode::limit_exceeded:
      return "The limit line is exceeded by " + fixed(c_.value, c_.value < 1e-4 ? 9 : 4) +
             " bar (allowed: 0) at " + depth() + ", run time " + clock_text(c_.run_time) +
             ", in the " + trimmed(c_.half_time, 1) +
             "-min compartment. Stay longer before, shorten the pauses at switches, take no gas "
             "that "
             "brings helium back, or choose other factors.";
    }
    return "";
  }

  [[nodiscard]] static std::string nitrox_question(const Gas& gas) {
    const std::string oxygen = percent_text(gas.oxygen);
    return gas.text() + " is read as " + oxygen + " % oxygen and " + rest_text(gas.helium) +
           " % helium, no nitrogen. If " + oxygen + " % oxygen and the rest nitrogen was meant, " +
           "write " + oxygen + ".";
  }

private:
  /// A rate that is usual for the other unit was probably meant in it.
  [[nodiscard]] std::string fast(const char* way) const {
    const bool metric = units_ == Units::metric;
    const auto rate = [&](double x) { return trimmed(metric ? x : x / metres_per_foot, 1); };
    const std::string unit = metric ? " m/min" : " ft/min";
    std::string text = "The ";
    text += way;
    text.append(" rate of ").append(rate(c_.value)).append(unit).append(" is above ");
    text.append(rate(c_.limit)).append(unit).append(" (common practice, no source). ");
    if (!metric) return text + "Travel slower.";
    return text + "Travel slower; if feet were meant, " + trimmed(c_.value, 1) + " ft/min are " +
           trimmed(c_.value * metres_per_foot, 1) + " m/min.";
  }
  /// At the beginning of a sentence.
  [[nodiscard]] std::string mix() const {
    std::string name = c_.gas.spoken();
    if (name == "oxygen") name = "Oxygen";
    if (name == "air") name = "Air";
    return name;
  }
  [[nodiscard]] std::string length(double m) const {
    return trimmed(depth_in(metres(m), units_), units_ == Units::metric ? 2 : 1) + " " +
           length_name(units_);
  }
  [[nodiscard]] std::string depth() const {
    return c_.depth == 0.0 ? std::string("the surface") : length(c_.depth);
  }
  [[nodiscard]] static std::string percent(double x) { return trimmed(x * 100.0, 1); }
  [[nodiscard]] std::string limit() const { return trimmed(c_.limit, 2); }
  /// The value with so many decimals that it does not read like the limit it is beyond.
  [[nodiscard]] std::string beyond(int digits) const { return unlike(c_.value, c_.limit, digits); }
  /// A dose is rounded up, here as in the sums of a plan.
  [[nodiscard]] std::string percent_beyond() const {
    return fixed(std::ceil(c_.value * 100.0 - 1e-9), 0);
  }
  [[nodiscard]] static std::string unlike(double value, double limit, int digits) {
    constexpr int most = 9;
    while (digits < most && fixed(value, digits) == fixed(limit, digits)) ++digits;
    return fixed(value, digits);
  }
  [[nodiscard]] std::string why_unused() const {
    if (c_.reason == Unused::never_qualifies)
      return "at no rung of the ladder is it within " + trimmed(c_.limit, 2) +
             " bar of oxygen. Give its switch depth, or a ladder with shallower rungs.";
    return "it holds no more oxygen than " + c_.old_gas.spoken() +
           ", which is in use then. Give its switch depth if it is meant.";
  }

  const Caution& c_;
  Units units_;
};

} // namespace detail

/// @brief The code as a word: "limit_exceeded".
[[nodiscard]] constexpr std::string_view code_name(CautionCode code) {
  for (const detail::CodeName& entry : detail::caution_names)
    if (entry.code == code) return entry.name;
  return "";
}

/// @brief The severity as a word.
[[nodiscard]] constexpr std::string_view severity_name(Severity severity) {
  switch (severity) {
  case Severity::note: return "note";
  case Severity::caution: return "caution";
  case Severity::refuses: return "refuses";
  }
  return "";
}

/// @brief What a mix of oxygen and helium alone is read as, where nitrox may have been meant; empty
/// for any other.
[[nodiscard]] inline std::string nitrox_question(const Gas& gas) {
  return may_mean_nitrox(gas) ? detail::CautionText::nitrox_question(gas) : std::string();
}

/// @brief The caution in words: what, where, value, limit, remedy.
[[nodiscard]] inline std::string caution_text(const Caution& caution, Units units = Units::metric) {
  return detail::CautionText(caution, units)();
}

} // namespace upline

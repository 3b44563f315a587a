#pragma once
/// @file
/// @brief Words and numbers that the answers about reserves share.

#include <upline/caution.hpp>
#include <upline/consumption_text.hpp>
#include <upline/detail/columns.hpp>
#include <upline/detail/number.hpp>
#include <upline/reserve.hpp>
#include <upline/text.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <string>
#include <variant>
#include <vector>

namespace upline::detail {

[[nodiscard]] inline std::string with_volume(const std::string& number, Units units) {
  return number + " " + volume_name(units);
}

/// What a requirement is for, in a few words.
[[nodiscard]] inline std::string purpose_text(const Requirement& one, const ReserveRules& rules) {
  switch (one.what) {
  case ReserveFor::planned_dive: return "the dive as planned";
  case ReserveFor::sharing:
    return one.gone ? "sharing with the " + one.gone->spoken() + " gone" : "sharing";
  case ReserveFor::decompression: break;
  }
  if (const auto* kept = std::get_if<KeptFraction>(&rules.decompression))
    return trimmed(kept->value * 100.0, 1) + " % of it kept";
  return one.gone ? "loss of the " + one.gone->spoken() : "no loss: nothing comes after it";
}

/// What a requirement lacks: "Ada's 18/45 for sharing: 59 L short".
[[nodiscard]] inline std::string lack_text(const Requirement& one,
                                           const std::vector<DiverSupply>& team,
                                           const ReserveRules& rules, Units units) {
  const std::string what = diver_name(team, one.diver) + ", " + one.gas.spoken() + ", " +
                           purpose_text(one, rules) + ": ";
  if (!one.needed) return what + "unknown, because " + one.reason;
  if (!one.closes()) return what + with_volume(needed_text(one.short_by, units), units) + " short";
  return what + with_volume(there_text(one.available - *one.needed, units), units) + " left over";
}

/// Cautions in lines, or nothing.
[[nodiscard]] inline std::string caution_lines(const std::vector<Caution>& cautions, Units units) {
  std::string text;
  for (const Caution& one : cautions)
    text += wrapped(std::string(severity_name(one.severity)) + ": " + caution_text(one, units),
                    "  ", "    ");
  return text;
}

/// What stands under every answer.
[[nodiscard]] inline std::string answer_foot(const std::string& assumed) {
  return "\n" + wrapped("Assumptions: " + assumed, "", "") + wrapped(no_time_to_fly, "", "") +
         "\n" + wrapped(schedule_foot, "", "");
}

/// The breathing rates of a team.
[[nodiscard]] inline std::string rates_text(const std::vector<DiverSupply>& team, Units units) {
  const auto rate = [&](BreathingRate r) { return trimmed(r.base() / volume_unit(units), 2); };
  std::string text;
  for (std::size_t j = 0; j < team.size(); ++j)
    text += (j == 0 ? "" : ", ") + diver_name(team, j) + " " + rate(team[j].rates.working) + ", " +
            rate(team[j].rates.resting) + ", " + rate(team[j].rates.stress);
  return "working, resting and stress rates in " + std::string(volume_name(units)) +
         "/min: " + text;
}

/// What the plan assumes but for its own breathing rates, which do not count here.
[[nodiscard]] inline std::string plan_assumptions(const Plan& plan) {
  std::string text = assumptions_text(plan);
  const auto from = text.find("; breathing ");
  return text.erase(from, text.find("; upline ") - from);
}

/// The rules of the reserve.
[[nodiscard]] inline std::string rules_text(const ReserveRules& rules) {
  std::string text = rules.sharing == 1 ? "one diver alone at the stress rate"
                                        : std::to_string(rules.sharing) +
                                              " at their stress rates from one diver's supply";
  text += ", " + duration_text(in_minutes(rules.minutes_at_depth)) +
          " at depth before the ascent, the next gas " +
          (rules.next_gas_gone ? "gone" : "at hand") + "; decompression gases: ";
  if (const auto* kept = std::get_if<KeptFraction>(&rules.decompression))
    return text + trimmed(kept->value * 100.0, 1) + " % of the content kept";
  return text +
         "each covers loss of the next gas, at the stress rate from the moment at which that "
         "gas would be taken up";
}

} // namespace upline::detail

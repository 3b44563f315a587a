#pragma once
/// @file
/// @brief Reserves for reading: what limits the dive, each requirement, the ways of sharing.

#include <upline/contingency.hpp>
#include <upline/deadline.hpp>
#include <upline/detail/columns.hpp>
#include <upline/reserve.hpp>
#include <upline/reserving/words.hpp>

#include <algorithm>
#include <cstddef>
#include <string>
#include <vector>

namespace upline {

namespace detail {

/// Writes reserves in words and cells.
class ReserveText {
public:
  ReserveText(const Reserves& reserves, const GasLimit& limit)
      : r_(reserves), limit_(limit), units_(reserves.plan.rules.units) {}

  [[nodiscard]] std::string whole() const {
    const std::vector<bool> left{true, true, true, false, false, false, false, false};
    std::string text = wrapped("Reserves: " + schedule_title(r_.plan), "", "") + "\n" +
                       wrapped(sentence(), "", "") + "\n" + aligned(table(), left);
    if (const std::string lines = unknown(); !lines.empty()) text += "\nUnknown\n" + lines;
    text += "\nSharing\n";
    for (const std::string& line : ways()) text += wrapped(line, "  ", "    ");
    text += "\n" + wrapped(legend(), "", "");
    text += cautions();
    return text + answer_foot(assumptions());
  }

  [[nodiscard]] std::string assumptions() const {
    return "real gas; " + rules_text(r_.rules) + "; " + rates_text(r_.team, units_) + "; " +
           plan_assumptions(r_.plan);
  }

  /// Whether gas limits the dive, and up to which bottom time it closes.
  [[nodiscard]] std::string sentence() const {
    std::string text = verdict() + " " + longest() +
                       (r_.closes() ? " Least left over as planned: " : " Binds as planned: ") +
                       lack_text(r_.binds(), r_.team, r_.rules, units_) + ".";
    return r_.plan.refused()
               ? "The plan itself is refused, whatever its gas: see its cautions. " + text
               : text;
  }

  /// A head, units, and a line for each requirement.
  [[nodiscard]] std::vector<std::vector<std::string>> table() const {
    const char* volume = volume_name(units_);
    std::vector<std::vector<std::string>> lines{
        {"diver", "gas", "for", "needs", "there", "short", "reads at least", "at run time"},
        {"", "", "", volume, volume, volume, pressure_name(units_), "min"}};
    for (const Requirement& one : r_.requirements) lines.push_back(line(one));
    return lines;
  }

  /// The way that rules and the other, then what each diver must have for them.
  [[nodiscard]] std::vector<std::string> ways() const {
    std::vector<std::string> lines{way(r_.way(), true)};
    for (const Requirement& one : r_.requirements)
      if (one.what == ReserveFor::sharing) lines.push_back(turn(one));
    if (!r_.without_next) return lines;
    lines.push_back(way(r_.rules.next_gas_gone ? r_.with_next : *r_.without_next, false));
    for (const Requirement& one : r_.other_sharing) lines.push_back(turn(one));
    return lines;
  }

  /// How the table is to be read.
  [[nodiscard]] std::string legend() const {
    std::string text =
        "Litres needed are those breathed; what a cylinder does not give below the pressure of the "
        "water is in the reading and not in them. The sharing reserve is that of leaving the last "
        "level and ends where the next gas is first breathed: what follows is each diver's own, "
        "and "
        "longer than planned. ";
    if (units_ == Units::imperial) text.replace(0, 6, "Volumes");
    if (r_.plan.dive.levels.size() > 1)
      text += "At an earlier level, which may need more, it was not computed. ";
    return text + "That gas is there is no approval of a dive.";
  }

private:
  [[nodiscard]] std::string verdict() const {
    if (r_.closes())
      return "Gas does not limit this dive as planned: every reserve asked for is there.";
    const bool known =
        std::any_of(r_.requirements.begin(), r_.requirements.end(),
                    [](const Requirement& one) { return one.needed && !one.closes(); });
    if (!known)
      return "Whether the gas of this dive suffices is unknown, which counts as not enough.";
    return "Gas and not decompression limits this dive: at its bottom time of " +
           at(r_.plan.bottom_time) + " it does not close.";
  }

  [[nodiscard]] static std::string at(Minutes time) { return duration_text(in_minutes(time)); }
  [[nodiscard]] static std::string clock(Minutes time) { return clock_text(in_minutes(time)); }
  [[nodiscard]] std::string depth(Depth d) const {
    return trimmed(depth_in(d, units_), 1) + " " + length_name(units_);
  }

  [[nodiscard]] std::string longest() const {
    const std::string grid = "Bottom times tried: whole steps of " + at(limit_.step) + " from " +
                             at(limit_.searched_from) + " to " + at(limit_.searched_to) + ".";
    if (!limit_.bottom_time)
      return "It closes at no bottom time, not even at the shortest. " + next() + grid;
    const std::string longest = latest_text(*limit_.bottom_time) + " min";
    if (limit_.ended)
      return "It closes at every bottom time tried, the last being " + longest +
             "; no limit was found. " + grid;
    return "The longest bottom time that closes is " + longest + ". " + next() + grid;
  }

  /// What fails a step later.
  [[nodiscard]] std::string next() const {
    const Minutes then =
        limit_.bottom_time ? *limit_.bottom_time + limit_.step : limit_.searched_from;
    std::string why = limit_.reason;
    if (limit_.fails) why = lack_text(*limit_.fails, r_.team, r_.rules, units_) + ".";
    return "At " + at(then) + ": " + why + " ";
  }

  [[nodiscard]] std::vector<std::string> line(const Requirement& one) const {
    std::vector<std::string> cells{diver_name(r_.team, one.diver), one.gas.spoken(),
                                   purpose_text(one, r_.rules)};
    if (one.needed) {
      cells.push_back(needed_text(*one.needed, units_));
      cells.push_back(there_text(one.available, units_));
      cells.push_back(one.closes() ? "" : needed_text(one.short_by, units_));
      cells.push_back(reading(one));
    } else {
      cells.insert(cells.end(), {"unknown", "", "unknown", "unknown"});
    }
    cells.push_back(clock(one.at));
    return cells;
  }

  [[nodiscard]] std::string reading(const Requirement& one) const {
    return one.reading ? at_least_text(*one.reading, units_)
                       : "over " + left_text(highest_gauge_pressure, units_);
  }

  [[nodiscard]] std::string unknown() const {
    std::string text;
    for (const Requirement& one : r_.requirements)
      if (!one.needed)
        text += wrapped(lack_text(one, r_.team, r_.rules, units_) + ".", "  ", "    ");
    return text;
  }

  [[nodiscard]] std::string way(const SharingWay& one, bool rules) const {
    std::string text = one.without       ? "With the " + one.without->spoken() + " gone"
                       : r_.without_next ? "With the next gas at hand"
                                         : "There is no next gas";
    text += rules ? " (this is what must close): " : " (for comparison): ";
    if (!one.plan) return text + "no schedule. " + one.reason;
    text += "up from " + depth(r_.plan.dive.levels.back().depth) + " at " +
            clock(one.plan->bottom_time) + ", ";
    for (const Stop& stop : one.plan->stops)
      if (stop.arrives < one.ends && !(one.leads_to && stop.depth == one.to))
        text += "leave " + depth(stop.depth) + " at " + clock(stop.departs) + ", ";
    text += one.leads_to ? one.leads_to->spoken() + " at " + depth(one.to) : "the surface";
    text += " from " + clock(one.ends) + " on; " + at(one.ends - r_.plan.bottom_time) + " in all.";
    if (one.plan->refused()) text += " That schedule is refused: see the cautions.";
    return text;
  }

  [[nodiscard]] std::string turn(const Requirement& one) const {
    std::string text = diver_name(r_.team, one.diver) + ": ";
    if (!one.needed) return text + "unknown, because " + one.reason;
    const BreathingRate rate = shared_rate(r_.team, one.diver, r_.rules.sharing);
    text += with_volume(needed_text(*one.needed, units_), units_) + " of " + one.gas.spoken() +
            " at " + with_volume(trimmed(rate.base() / volume_unit(units_), 2), units_) + "/min; ";
    if (!one.reading)
      return text + "these cylinders cannot hold it, at whatever pressure up to " +
             left_text(highest_gauge_pressure, units_) + " " + pressure_name(units_) + ".";
    return text + "turn pressure " + at_least_text(*one.reading, units_) + " " +
           pressure_name(units_) + " in every cylinder of it, to leave the bottom at run time " +
           latest_text(one.at) + " min.";
  }

  [[nodiscard]] std::string cautions() const {
    std::string text;
    const auto section = [&](const std::string& head, const std::vector<Caution>& all) {
      if (!all.empty()) text += "\n" + head + "\n" + caution_lines(all, units_);
    };
    section("Cautions of the plan", r_.plan.cautions);
    if (r_.with_next.plan)
      section("Cautions when sharing with the next gas at hand",
              added_cautions(r_.plan, *r_.with_next.plan));
    if (r_.without_next && r_.without_next->plan)
      section("Cautions when sharing with it gone",
              added_cautions(r_.plan, *r_.without_next->plan));
    return text;
  }

  const Reserves& r_;
  const GasLimit& limit_;
  Units units_;
};

} // namespace detail

/// @brief Whether gas limits a dive, in sentences.
[[nodiscard]] inline std::string reserve_verdict(const Reserves& reserves, const GasLimit& limit) {
  return detail::ReserveText(reserves, limit).sentence();
}

/// @brief The requirements as cells: a head, its units, then one line each.
[[nodiscard]] inline std::vector<std::vector<std::string>> reserve_table(const Reserves& reserves,
                                                                         const GasLimit& limit) {
  return detail::ReserveText(reserves, limit).table();
}

/// @brief The whole answer as text, with the cautions that belong to it.
[[nodiscard]] inline std::string reserve_text(const Reserves& reserves, const GasLimit& limit) {
  return detail::ReserveText(reserves, limit).whole();
}

} // namespace upline

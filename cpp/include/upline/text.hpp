#pragma once
/// @file
/// @brief A plan for reading: the table, its cautions, its assumptions and its foot.

#include <upline/caution.hpp>
#include <upline/detail/columns.hpp>
#include <upline/detail/number.hpp>
#include <upline/schedule.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <optional>
#include <ostream>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace upline {

/// @brief What stands under every schedule.
inline constexpr std::string_view schedule_foot =
    "This is what a mathematical model allows. It does not make a dive safe: decompression "
    "illness and oxygen convulsions happen inside every published limit. For divers trained, "
    "equipped and supported for this dive. Local codes, licensed practice and the team's "
    "procedures come first. Have a second person recompute it before it is dived.";

/// @brief What a schedule does not answer.
inline constexpr std::string_view no_time_to_fly = "No time to fly is computed here.";

/// @brief What stands before the table of a plan that is refused.
inline constexpr std::string_view schedule_refusal =
    "Refused: make no slate of this. It goes beyond what may be planned; the first of the cautions "
    "say how.";

/// @brief The columns of a schedule, by name.
inline constexpr std::array<std::string_view, 6> schedule_columns{"depth",   "leave at", "stay",
                                                                  "breathe", "po2",      "held by"};
/// @brief One line of a schedule: a cell for each of schedule_columns.
using ScheduleLine = std::array<std::string, schedule_columns.size()>;

namespace detail {

/// A column of text stands left, a column of numbers right.
inline constexpr std::array<bool, schedule_columns.size()> stands_left{false, false, false,
                                                                       true,  false, false};

/// Writes one plan in words.
class PlanText {
public:
  explicit PlanText(const Plan& plan) : p_(plan), units_(plan.rules.units) {}

  [[nodiscard]] std::string whole() const {
    std::string text = title() + "\n";
    if (p_.refused()) text += "\n" + wrapped(schedule_refusal, "", "");
    text += "\n" + aligned(table(), stands_left) + "\n" + sums();
    if (!p_.cautions.empty()) text += "\nCautions\n" + cautions();
    return text + "\n" + wrapped("Assumptions: " + assumptions(), "", "") +
           wrapped(no_time_to_fly, "", "") + "\n" + wrapped(schedule_foot, "", "");
  }

  [[nodiscard]] std::string assumptions() const {
    const Rules& rules = p_.rules;
    std::string text = rules.model + ", " + rules.factors.text();
    text += p_.anchor ? " anchored at " + length(*p_.anchor, 1)
                      : ", no anchor: the direct ascent touches no limit";
    text += "; " + depths_and_surface() + "; " + rates() + "; " + ladder() + "; " +
            span(rules.switch_time) + " at each switch on the old gas";
    if (rules.min_stop > Minutes()) text += ", stops of " + span(rules.min_stop) + " or more";
    if (p_.dive.travel)
      text += "; going down on " + p_.dive.travel->gas.spoken() + " to " +
              length(p_.dive.travel->to, 3);
    text += p_.dive.start ? "; residual load and oxygen of earlier dives counted"
                          : "; no dive in the last 24 h";
    if (p_.common) text += "; stops wait for other members of a team";
    text += "; " + rounding() + "; oxygen up to " + trimmed(in_bar(rules.max_po2), 2) +
            " bar at the bottom, " + trimmed(in_bar(rules.max_deco_po2), 2) +
            " on the ascent, tolerance " + trimmed(in_bar(rules.po2_tolerance), 3) + ", at least " +
            trimmed(in_bar(rules.min_po2), 3) + "; vapour " + trimmed(p_.end.place.vapour, 4) +
            " bar; oxygen limits read in bar, CNS half-time 90 min at the surface; " + breathing() +
            "; upline " + p_.version;
    return text;
  }

  /// Depths and times: "57 m for 25 min".
  [[nodiscard]] std::string levels() const {
    std::string text;
    const bool several = p_.dive.levels.size() > 1;
    for (const Level& level : p_.dive.levels)
      text += (text.empty() ? "" : ", ") + length(level.depth, 3) +
              (several ? " until " : " for ") +
              (several ? minutes_text(level.leave_at) : span(level.leave_at));
    return text;
  }

  [[nodiscard]] std::string title() const {
    std::string text = levels() + " on " + p_.dive.gases.front().gas.spoken();
    if (p_.dive.travel)
      text += ", going down on " + p_.dive.travel->gas.spoken() + " to " +
              length(p_.dive.travel->to, 3);
    for (const GasSwitch& change : p_.switches)
      if (!change.going_down)
        text += ", then " + change.to.spoken() + " from " + length(change.depth, 3);
    return text + (p_.rules.units == Units::metric ? " (metric schedule)" : " (imperial schedule)");
  }

  [[nodiscard]] std::vector<ScheduleLine> table() const {
    std::vector<ScheduleLine> lines;
    ScheduleLine head;
    std::copy(schedule_columns.begin(), schedule_columns.end(), head.begin());
    lines.push_back(head);
    lines.push_back({length_name(units_), "min", "min", "", "bar", "half-time"});
    double left = 0.0; // run time at which the line before was left
    for (const Station& station : stations()) {
      lines.push_back({number(station.depth), minutes_text(station.leaves),
                       clock_text(in_minutes(station.leaves) - left), station.breathe(),
                       fixed(station.po2, 2), station.held_by ? half_time(*station.held_by) : ""});
      left = in_minutes(station.leaves);
    }
    lines.push_back({"0", minutes_text(p_.run_time), clock_text(in_minutes(p_.run_time) - left),
                     "surface", "", ""});
    return lines;
  }

  [[nodiscard]] std::string sums() const {
    std::string text = "Run time " + span(p_.run_time) + ", time to surface " +
                       span(p_.time_to_surface()) + ". Surfacing fraction " +
                       fixed(p_.surfacing_fraction, 3) + " of " +
                       trimmed(p_.rules.factors.high(), 4) + " allowed, led by the " +
                       half_time(p_.surfacing_compartment) + " compartment.";
    text += "\n" + oxygen() + "\nGas:";
    for (const GasUse& use : p_.gas) {
      text += (&use == &p_.gas.front() ? " " : ", ") + use.gas.spoken() + ": " +
              rounded_up(use.bar_minutes) + " bar min";
      if (use.volume)
        text += " (" + rounded_up(use.volume->base() / volume_unit(units_)) + " " +
                volume_name(units_) + ")";
    }
    return text + ".\n";
  }

  /// A line of the table but for the surface.
  struct Station {
    Depth depth{};
    Minutes leaves{};
    Gas gas{}; ///< On which it is left.
    bool switches = false;
    double po2 = 0.0;
    std::optional<std::size_t> held_by{};

    [[nodiscard]] std::string breathe() const {
      return (switches ? "switch to " : "") + gas.spoken();
    }
  };

  /// Levels, stops, and switches that take no time, in order.
  [[nodiscard]] std::vector<Station> stations() const {
    std::vector<Station> found;
    for (const Level& level : p_.dive.levels) {
      const Gas gas = gas_at_end_of(level.leave_at);
      found.push_back({level.depth, level.leave_at, gas, false, po2(gas, level.depth), {}});
    }
    for (const Stop& stop : p_.stops)
      found.push_back({stop.depth, stop.departs, stop.gas, !(stop.gas == stop.arrives_on), stop.po2,
                       stop.held_by});
    for (const GasSwitch& change : p_.switches)
      if (change.spent == Minutes())
        found.push_back(
            {change.depth, change.at, change.to, true, po2(change.to, change.depth), {}});
    std::stable_sort(found.begin(), found.end(),
                     [](const Station& x, const Station& y) { return x.leaves < y.leaves; });
    return found;
  }

private:
  /// Doses are rounded up, as what is used up is, and the line says so: a plan's number may be 0.66
  /// where 67 % stands here.
  [[nodiscard]] std::string oxygen() const {
    const OxygenDose& dose = p_.oxygen;
    const std::string day = ", 24-h sum " + percent(dose.day_share) + " %, ";
    if (!p_.dive.start)
      return "Oxygen, rounded up: CNS " + percent(dose.cns) + " %" + day + rounded_up(dose.otu) +
             " OTU.";
    return "Oxygen, rounded up: CNS " + percent(dose.cns) + " % in this dive, " +
           percent(dose.cns_total) + " % with earlier dives (" +
           percent(dose.cns_total_without_recovery) + " % without recovery)" + day +
           rounded_up(dose.otu) + " OTU in this dive, " + rounded_up(dose.otu_day) + " in 24 h.";
  }
  [[nodiscard]] std::string length(Depth d, int digits) const {
    return trimmed(depth_in(d, units_), digits) + " " + length_name(units_);
  }
  [[nodiscard]] std::string number(Depth d) const { return trimmed(depth_in(d, units_), 3); }
  [[nodiscard]] std::string rate(TravelRate r) const {
    return trimmed(r.base() / length_unit(units_), 2) + " " + length_name(units_) + "/min";
  }
  [[nodiscard]] std::string length(Depth d) const { return length(d, 3); }
  [[nodiscard]] static std::string minutes_text(Minutes m) { return clock_text(in_minutes(m)); }
  [[nodiscard]] static std::string span(Minutes m) { return duration_text(in_minutes(m)); }
  [[nodiscard]] std::string half_time(std::size_t compartment) const {
    return trimmed(compartment_set(p_.rules.model).nitrogen.half_time[compartment], 1) + " min";
  }

  [[nodiscard]] double po2(const Gas& gas, Depth depth) const {
    return gas.oxygen * p_.end.place.pressure(in_metres(depth));
  }

  [[nodiscard]] Gas gas_at_end_of(Minutes run_time) const {
    Gas gas = p_.dive.gases.front().gas;
    for (const Row& row : p_.rows)
      if (in_minutes(row.begins) < in_minutes(run_time) - 1e-9) gas = row.gas;
    return gas;
  }

  /// Rounded up to a whole number, but for a last bit.
  [[nodiscard]] static std::string rounded_up(double x) { return fixed(std::ceil(x - 1e-9), 0); }
  [[nodiscard]] static std::string percent(double share) { return rounded_up(share * 100.0); }

  [[nodiscard]] std::string cautions() const {
    std::string text;
    for (const Caution& caution : p_.cautions)
      text += wrapped(std::string(severity_name(caution.severity)) + ": " +
                          caution_text(caution, units_),
                      "  ", "    ");
    return text;
  }

public: // parts of the assumptions that a slate has on lines of their own
  [[nodiscard]] std::string depths_and_surface() const {
    const Place& place = p_.end.place;
    std::string text;
    if (p_.dive.environment.water_density)
      text = std::string("true ") + (units_ == Units::metric ? "metres" : "feet") +
             " of water of " + trimmed(*p_.dive.environment.water_density, 1) + " kg/m3";
    else
      text = units_ == Units::metric ? "gauge metres" : "gauge feet";
    text += ", " + trimmed(place.surface, 5) + " bar";
    if (p_.dive.start) return text;
    const auto& stated = p_.dive.environment.acclimatised_to;
    if (const auto* height = std::get_if<Altitude>(&stated))
      text += ", used to " + length(*height, 0) + " above the sea";
    else if (std::holds_alternative<AcclimatisedHere>(stated))
      text += ", used to this height";
    else if (p_.dive.environment.just_arrived_assumed())
      text += ", just arrived from sea level";
    return text;
  }

  [[nodiscard]] std::string ascent_rates() const {
    std::string text;
    for (const RateZone& zone : p_.rules.ascent_rates) {
      text += (text.empty() ? "" : ", ") + rate(zone.rate);
      if (p_.rules.ascent_rates.size() > 1) text += " deeper than " + length(zone.deeper_than);
    }
    return text;
  }

  [[nodiscard]] std::string ladder() const {
    const Ladder& ladder = p_.rules.ladder;
    if (ladder.rungs.empty())
      return "rungs every " + length(ladder.spacing) + ", last stop " + length(ladder.last_stop);
    std::vector<Depth> rungs = ladder.rungs;
    std::sort(rungs.begin(), rungs.end());
    std::string text = "rungs";
    for (const Depth rung : rungs) text += " " + number(rung);
    return text + " " + length_name(units_);
  }

  [[nodiscard]] std::string rates() const {
    return "down " + rate(p_.rules.descent_rate) + ", up " + ascent_rates() +
           (p_.rules.surfacing_rate ? ", last ascent " + rate(*p_.rules.surfacing_rate)
                                    : std::string());
  }

private:
  [[nodiscard]] std::string rounding() const {
    if (p_.rules.rounding == Rounding::exact) return "nothing rounded";
    const std::string what =
        p_.rules.rounding == Rounding::departure ? "leave times" : "times at a stop";
    const double resolution = in_minutes(p_.rules.resolution);
    return what + " rounded up" +
           (resolution == 1.0 ? std::string() : " to " + duration_text(resolution));
  }

  [[nodiscard]] std::string breathing() const {
    if (!p_.rules.rmv) return "breathing rate not stated, so litres unknown";
    const auto shown = [&](BreathingRate r) {
      return trimmed(r.base() / volume_unit(units_), 3) + " " + volume_name(units_) + "/min";
    };
    if (!p_.rules.deco_rmv) return "breathing " + shown(*p_.rules.rmv) + " throughout";
    return "breathing " + shown(*p_.rules.rmv) + ", " + shown(*p_.rules.deco_rmv) +
           " from leaving the bottom";
  }

  const Plan& p_;
  Units units_;
};

} // namespace detail

/// @brief One line that names every convention behind the numbers of a plan.
[[nodiscard]] inline std::string assumptions_text(const Plan& plan) {
  return detail::PlanText(plan).assumptions();
}

/// @brief What the schedule is of: depths, times, gases, system of units.
[[nodiscard]] inline std::string schedule_title(const Plan& plan) {
  return detail::PlanText(plan).title();
}

/// @brief The cells of the printed table: the names of the columns, their units, then one line
/// for each depth that is left, down to the surface.
[[nodiscard]] inline std::vector<ScheduleLine> schedule_table(const Plan& plan) {
  return detail::PlanText(plan).table();
}

/// @brief What stands under the table: times and surfacing fraction, oxygen, gas; a line each.
[[nodiscard]] inline std::string schedule_sums(const Plan& plan) {
  return detail::PlanText(plan).sums();
}

/// @brief The plan as text: table, sums, cautions, assumptions, foot.
[[nodiscard]] inline std::string text_of(const Plan& plan) {
  return detail::PlanText(plan).whole();
}

/// @brief Writes text_of() of the plan.
inline std::ostream& operator<<(std::ostream& out, const Plan& plan) {
  return out << text_of(plan);
}

} // namespace upline

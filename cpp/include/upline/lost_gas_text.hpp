#pragma once
/// @file
/// @brief Lost gas for reading: what does not close first, then a table for each diver.

#include <upline/caution.hpp>
#include <upline/consumption_text.hpp>
#include <upline/detail/columns.hpp>
#include <upline/detail/number.hpp>
#include <upline/lost_gas.hpp>
#include <upline/planning/thresholds.hpp>
#include <upline/text.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace upline {

namespace detail {

/// Writes lost gas in words and cells.
class LostGasText {
public:
  LostGasText(const LostGas& found, const Plan& plan)
      : found_(found), plan_(plan), units_(plan.rules.units) {}

  [[nodiscard]] std::string whole() const {
    std::string text = wrapped(title(), "", "") + "\n";
    if (plan_.refused()) text += wrapped(schedule_refusal, "", "") + "\n";
    text += listed("Does not close", open_losses());
    if (found_.closes()) text += wrapped(all_close(), "", "") + "\n";
    for (std::size_t diver = 0; diver < found_.divers.size(); ++diver)
      text += name_of(diver) + "\n" + aligned(table(diver), left_columns()) + "\n";
    text += listed("Limits broken on the way up", broken());
    text += listed(reserves_title, reserves());
    text += listed(sequels_title, sequels());
    return text + wrapped(assumed(), "", "") +
           wrapped("Assumptions: " + assumptions_text(plan_), "", "") +
           wrapped(no_time_to_fly, "", "") + "\n" + wrapped(schedule_foot, "", "");
  }

  static constexpr const char* reserves_title =
      "What would make it close on own gas, in the cylinders at the moment of loss";
  static constexpr const char* sequels_title = "The ascent after the worst loss, on own gas";

  [[nodiscard]] std::string title() const {
    return "A lost gas at every moment: " + schedule_title(plan_);
  }

  [[nodiscard]] static std::string all_close() {
    return "Every loss closes on own or shared gas at every moment tried. That is no approval: "
           "nothing is kept in reserve, and handing a cylinder over takes no time here.";
  }

  /// Cells of one diver: a head, its units, then a line for each loss.
  [[nodiscard]] std::vector<std::vector<std::string>> table(std::size_t diver) const {
    std::vector<std::vector<std::string>> lines{
        {"lost", "own gas closes until", "shared closes until", "worst at", "depth", "short by",
         "of", "time to surface then"},
        {"", "min", "min", "min", length_name(units_), volume_name(units_), "", "min"}};
    for (const LostCylinders& loss : found_.losses)
      if (loss.diver == diver) lines.push_back(line(loss));
    return lines;
  }

  /// What closes neither on own nor on shared gas, or nobody knows.
  [[nodiscard]] std::vector<std::string> open_losses() const {
    std::vector<std::string> lines;
    for (const LostCylinders& loss : found_.losses) {
      if (loss.closes()) continue;
      const bool alone = found_.divers.size() == 1;
      std::string text = whose(loss) + ": not " + (alone ? "on own gas " : "even on shared gas ") +
                         open_spans(loss);
      if (alone) text += "; on shared gas unknown, nobody else is given";
      const auto& worst = alone ? loss.own_worst : loss.shared_worst;
      if (worst) text += ". Worst " + moment_text(*worst);
      lines.push_back(text + ".");
    }
    return lines;
  }

  [[nodiscard]] std::vector<std::string> broken() const {
    std::vector<std::string> lines;
    for (const LostCylinders& loss : found_.losses) {
      if (loss.highest_cns > 1.0)
        lines.push_back(whose(loss) + " at " + clock(loss.highest_cns_at) + ": CNS share " +
                        percent(loss.highest_cns) +
                        " %, above 100 % of the single-exposure limits.");
      if (loss.highest_density > highest_density)
        lines.push_back(whose(loss) + " at " + clock(loss.highest_density_at) + ": gas of " +
                        fixed(loss.highest_density, 2) + " g/L, above " +
                        trimmed(highest_density, 1) + " g/L.");
      for (const auto* worst : {&loss.own_worst, &loss.shared_worst})
        if (*worst)
          for (const Caution& one : (*worst)->refusals)
            lines.push_back("refuses: " + whose(loss) + " at " + clock((*worst)->at) + ": " +
                            caution_text(one, units_));
    }
    return lines;
  }

  [[nodiscard]] std::vector<std::string> reserves() const {
    std::vector<std::string> lines;
    for (const LostCylinders& loss : found_.losses) {
      if (!loss.own_worst) continue;
      std::string text;
      for (const GasReserve& one : loss.reserves)
        text += (text.empty() ? "" : ", and ") + reserve_text(loss, one);
      if (!loss.reserves_close)
        text += (text.empty() ? "no amount closes every moment: "
                              : "; no amount closes every moment: ") +
                why_no_reserve(loss);
      lines.push_back(whose(loss) + ": " + text + ".");
    }
    return lines;
  }

  /// Every one says what it lacks before it says what it does.
  [[nodiscard]] std::vector<std::string> sequels() const {
    std::vector<std::string> lines;
    for (const LostCylinders& loss : found_.losses) {
      if (!loss.own_worst || !loss.own_worst->reason.empty()) continue;
      const LossMoment& worst = *loss.own_worst;
      lines.push_back(whose(loss) + " " + moment_text(worst) + ": " + schedule(worst) + ".");
    }
    return lines;
  }

  [[nodiscard]] std::string assumed() const {
    std::string text = "Each cylinder and each pair is lost every " +
                       trimmed(in_minutes(found_.rules.every) * 60.0, 3) +
                       " s, and where a row of the plan ends. From the loss on stress rates for " +
                       duration_text(in_minutes(found_.rules.stress_for)) + ", then resting ones (";
    for (std::size_t j = 0; j < found_.divers.size(); ++j)
      text += (j == 0 ? "" : "; ") + rates_text(j);
    text += "). Last stop " + last_stops() +
            ". Who shares breathes from any cylinder of the others; the time to pass one over is "
            "not counted. Real gas; nothing is kept in reserve.";
    return text;
  }

private:
  [[nodiscard]] static std::vector<bool> left_columns() {
    return {true, false, false, false, false, false, true, false};
  }

  [[nodiscard]] static std::string listed(const std::string& title,
                                          const std::vector<std::string>& lines) {
    if (lines.empty()) return "";
    std::string text = title + "\n";
    for (const std::string& one : lines) text += wrapped(one, "  ", "    ");
    return text + "\n";
  }

  // ---- names and numbers -------------------------------------------------------------------

  [[nodiscard]] std::string name_of(std::size_t diver) const {
    return diver_name(found_.divers, diver);
  }

  [[nodiscard]] std::string lost_text(const LostCylinders& loss) const {
    std::string text;
    for (const std::size_t j : loss.cylinders)
      text +=
          (text.empty() ? "" : " and ") + cylinder_label(found_.divers[loss.diver].cylinders, j);
    return text;
  }

  [[nodiscard]] std::string whose(const LostCylinders& loss) const {
    return name_of(loss.diver) + ", " + lost_text(loss) + " lost";
  }

  [[nodiscard]] static std::string clock(Minutes x) { return clock_text(in_minutes(x)); }
  [[nodiscard]] static std::string percent(double share) {
    constexpr double slack = 1e-9;
    return fixed(std::ceil(share * 100.0 - slack), 0);
  }
  [[nodiscard]] std::string number(Depth d) const { return trimmed(depth_in(d, units_), 1); }
  [[nodiscard]] std::string length(Depth d) const { return number(d) + " " + length_name(units_); }
  [[nodiscard]] std::string volume(Litres x) const {
    return needed_text(x, units_) + " " + volume_name(units_);
  }
  [[nodiscard]] std::string rates_text(std::size_t diver) const {
    const BreathingRates& rates = found_.divers[diver].rates;
    const auto rate = [&](BreathingRate r) { return trimmed(r.base() / volume_unit(units_), 2); };
    return name_of(diver) + " " + rate(rates.stress) + " and " + rate(rates.resting) + " " +
           volume_name(units_) + "/min, working " + rate(rates.working);
  }
  [[nodiscard]] std::string last_stops() const {
    std::string text = plan_.rules.ladder.rungs.empty() ? length(plan_.rules.ladder.last_stop)
                                                        : std::string("that of the ladder");
    for (const Depth depth : found_.rules.last_stops) text += " or " + length(depth);
    return text;
  }

  // ---- cells and lines ---------------------------------------------------------------------

  /// @param enough Whether an answer counts as closing.
  template <class F>
  [[nodiscard]] static std::string until(const LostCylinders& loss,
                                         const std::optional<Minutes>& moment, F&& enough) {
    if (std::all_of(loss.spans.begin(), loss.spans.end(), enough)) return "the end";
    return moment ? latest_text(*moment) : "never";
  }

  [[nodiscard]] std::vector<std::string> line(const LostCylinders& loss) const {
    const auto own = [](const ClosureSpan& span) { return span.closure == Closure::own; };
    const auto either = [](const ClosureSpan& span) {
      return span.closure == Closure::own || span.closure == Closure::shared;
    };
    std::vector<std::string> cells{lost_text(loss), until(loss, loss.own_until, own),
                                   found_.divers.size() == 1
                                       ? std::string("unknown")
                                       : until(loss, loss.shared_until, either)};
    if (!loss.own_worst) {
      cells.resize(8);
      return cells;
    }
    const LossMoment& worst = *loss.own_worst;
    cells.push_back(clock(worst.at));
    cells.push_back(number(worst.depth));
    if (!worst.reason.empty()) {
      cells.insert(cells.end(), {"no ascent", "", ""});
      return cells;
    }
    cells.push_back(needed_text(worst.short_by(), units_));
    cells.push_back(gases(worst));
    cells.push_back(clock(worst.time_to_surface));
    return cells;
  }

  [[nodiscard]] static std::string gases(const LossMoment& moment) {
    std::string text;
    for (const GasShort& one : moment.short_of)
      text += (text.empty() ? "" : ", ") + one.gas.spoken();
    return text;
  }

  [[nodiscard]] static std::string open_spans(const LostCylinders& loss) {
    std::string text;
    for (const ClosureSpan& span : loss.spans)
      if (span.closure == Closure::no || span.closure == Closure::unknown)
        text +=
            (text.empty() ? "from " : ", from ") + latest_text(span.from) + " to " + clock(span.to);
    return text;
  }

  /// "at 25:00, 57 m: 281 L of 18/45 short".
  [[nodiscard]] std::string moment_text(const LossMoment& moment) const {
    std::string text = "at " + clock(moment.at) + ", " + length(moment.depth) + ": ";
    if (!moment.reason.empty()) {
      std::string reason = moment.reason;
      while (!reason.empty() && reason.back() == '.') reason.pop_back();
      return text + reason;
    }
    std::string lacking;
    for (const GasShort& one : moment.short_of)
      lacking += (lacking.empty() ? "" : " and ") + volume(one.volume) + " of " + one.gas.spoken();
    return text + lacking + " short";
  }

  [[nodiscard]] std::string schedule(const LossMoment& moment) const {
    std::string text = "with that gas on " + moment.breathed.spoken();
    Gas gas = moment.breathed;
    for (const Stop& stop : moment.stops) {
      text += (&stop == &moment.stops.front() ? ", leave " : ", ") + length(stop.depth) + " at " +
              clock(stop.departs);
      if (!(stop.gas == gas)) text += " on " + stop.gas.spoken();
      gas = stop.gas;
    }
    return text + ", surface at " + clock(moment.at + moment.time_to_surface) + " (" +
           clock(moment.time_to_surface) + " from the loss), CNS share " + percent(moment.cns) +
           " %";
  }

  [[nodiscard]] std::string reserve_text(const LostCylinders& loss, const GasReserve& one) const {
    std::string text = volume(one.volume) + " of " + one.gas.spoken();
    const auto& carried = found_.divers[loss.diver].cylinders;
    std::string in;
    for (const std::size_t j : one.cylinders)
      in += (in.empty() ? "" : " and ") + cylinder_text(carried[j], units_);
    if (!one.pressure) return text + ", more than " + in + " can hold";
    text += " (" + at_least_text(*one.pressure, units_) + " " + pressure_name(units_) + " in " +
            in + ")";
    text += ", for which before the dive " + volume(one.filled);
    if (!one.fill_pressure) return text + " are more than they hold";
    return text + " (" + at_least_text(*one.fill_pressure, units_) + " " + pressure_name(units_) +
           ")";
  }

  [[nodiscard]] std::string why_no_reserve(const LostCylinders& loss) const {
    const LossMoment& worst = *loss.own_worst;
    if (!worst.reason.empty()) return moment_text(worst);
    for (const GasReserve& one : loss.reserves)
      if (!one.pressure) return "these cylinders do not hold it";
    return "some moments have no ascent, or gas is missing before them";
  }

  const LostGas& found_;
  const Plan& plan_;
  Units units_;
};

} // namespace detail

/// @brief The whole answer as text, with the caution that belongs under it.
/// @param found What lost_gas() found.
/// @param plan  The plan it was asked about.
[[nodiscard]] inline std::string lost_gas_text(const LostGas& found, const Plan& plan) {
  return detail::LostGasText(found, plan).whole();
}

} // namespace upline

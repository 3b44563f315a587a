#pragma once
/// @file
/// @brief Contingencies for reading: one row each, run times by depth, then gas, oxygen, cautions.

#include <upline/caution.hpp>
#include <upline/contingency.hpp>
#include <upline/detail/columns.hpp>
#include <upline/text.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <functional>
#include <string>
#include <utility>
#include <vector>

namespace upline {

/// @brief A deviation as people name it: "if 3 m deeper, 5 min late", "if the 50 % is lost".
[[nodiscard]] inline std::string deviation_name(const Deviation& what, Units units) {
  std::string text;
  const auto add = [&](const std::string& part) { text += (text.empty() ? "if " : ", ") + part; };
  const std::string length = length_name(units);
  if (what.deeper > Depth())
    add(detail::trimmed(depth_in(what.deeper, units), 1) + " " + length + " deeper");
  if (what.later > Minutes()) add(detail::duration_text(in_minutes(what.later)) + " late");
  if (!what.lost.empty()) {
    std::string lost;
    for (const Gas& gas : what.lost) lost += (lost.empty() ? "the " : " and the ") + gas.spoken();
    add(lost + (what.lost.size() == 1 ? " is lost" : " are lost"));
  }
  if (what.late_switch > Minutes())
    add("each switch " + detail::duration_text(in_minutes(what.late_switch)) + " late");
  if (what.ascent_rate)
    add("coming up at " + detail::trimmed(what.ascent_rate->base() / length_unit(units), 1) + " " +
        length + "/min");
  if (what.last_stop)
    add("the last stop at " + detail::trimmed(depth_in(*what.last_stop, units), 1) + " " + length);
  return text;
}

namespace detail {

/// Writes contingencies in words and cells.
class ContingencyText {
public:
  ContingencyText(const Plan& plan, const std::vector<Contingency>& found)
      : plan_(plan), found_(found), units_(plan.rules.units) {
    add(plan.refused() ? "as planned, refused" : "as planned", &plan);
    for (const Contingency& one : found)
      add(deviation_name(one.what, units_),
          one.plan && !one.plan->refused() ? &*one.plan : nullptr);
  }

  [[nodiscard]] std::string whole() const {
    std::string text = wrapped("If it comes otherwise: " + schedule_title(plan_), "", "") +
                       "\nLeave at (run time), by depth\n" + grid(times()) +
                       "\nAscent, oxygen and gas\n" + grid(doses()) + "\n" + unusable() +
                       wrapped("Between two rows take the deeper and the longer. Each row reaches "
                               "to its depth, leaving by its time, on the gases named, and no "
                               "further; each was computed as if it had been known on leaving the "
                               "bottom.",
                               "", "");
    text += cautions();
    return text + "\n" + wrapped("Assumptions: " + assumptions_text(plan_), "", "") +
           wrapped(no_time_to_fly, "", "") + "\n" + wrapped(schedule_foot, "", "");
  }

  /// The run times: a head, then a row each; a stop that a row does not make is empty.
  [[nodiscard]] std::vector<std::vector<std::string>> times() const {
    const std::vector<Depth> rungs = all_rungs();
    std::vector<std::string> head{"", "to " + std::string(length_name(units_)), "leave by"};
    for (const Depth rung : rungs) head.push_back(number(rung));
    head.emplace_back("surface");
    std::vector<std::vector<std::string>> lines{head};
    for (const auto& [name, plan] : rows_) {
      if (plan == nullptr) continue;
      std::vector<std::string> line{name, number(deepest_level(plan->dive)),
                                    clock(plan->bottom_time)};
      for (const Depth rung : rungs) line.push_back(leaving(*plan, rung));
      line.push_back(clock(plan->run_time));
      lines.push_back(std::move(line));
    }
    return lines;
  }

  /// Time to surface, oxygen, and every gas: bar min, or its volume where a rate is stated.
  [[nodiscard]] std::vector<std::vector<std::string>> doses() const {
    std::vector<std::string> head{"", "time to surface", "CNS %", "OTU"};
    for (const GasChoice& choice : plan_.dive.gases)
      head.push_back(choice.gas.spoken() + (plan_.rules.rmv ? " " + std::string(volume_name(units_))
                                                            : std::string(" bar min")));
    head.emplace_back("switches");
    std::vector<std::vector<std::string>> lines{head};
    for (const auto& [name, plan] : rows_) {
      if (plan == nullptr) continue;
      std::vector<std::string> line{name, clock(plan->time_to_surface()),
                                    up(plan->oxygen.cns_total * 100.0), up(plan->oxygen.otu)};
      for (const GasChoice& choice : plan_.dive.gases) line.push_back(used(*plan, choice.gas));
      line.push_back(switches(*plan));
      lines.push_back(std::move(line));
    }
    return lines;
  }

private:
  void add(std::string name, const Plan* plan) { rows_.emplace_back(std::move(name), plan); }

  [[nodiscard]] static std::string clock(Minutes x) { return clock_text(in_minutes(x)); }
  [[nodiscard]] static std::string up(double x) { return fixed(std::ceil(x - 1e-9), 0); }
  [[nodiscard]] std::string number(Depth d) const { return trimmed(depth_in(d, units_), 1); }

  [[nodiscard]] std::vector<Depth> all_rungs() const {
    std::vector<Depth> rungs;
    for (const auto& [name, plan] : rows_)
      if (plan != nullptr)
        for (const Stop& stop : plan->stops) rungs.push_back(stop.depth);
    std::sort(rungs.begin(), rungs.end(), std::greater<>());
    rungs.erase(std::unique(rungs.begin(), rungs.end()), rungs.end());
    return rungs;
  }

  [[nodiscard]] static std::string leaving(const Plan& plan, Depth rung) {
    for (const Stop& stop : plan.stops)
      if (stop.depth == rung) return clock(stop.departs);
    return "";
  }

  [[nodiscard]] std::string used(const Plan& plan, const Gas& gas) const {
    for (const GasUse& use : plan.gas)
      if (use.gas == gas)
        return up(use.volume ? use.volume->base() / volume_unit(units_) : use.bar_minutes);
    return "";
  }

  [[nodiscard]] std::string switches(const Plan& plan) const {
    std::string text;
    for (const GasSwitch& change : plan.switches)
      if (!change.going_down)
        text += (text.empty() ? "" : ", ") + change.to.spoken() + " at " + number(change.depth);
    return text;
  }

  /// What cannot be dived or must not be, and why.
  [[nodiscard]] std::string unusable() const {
    std::string text;
    for (const Contingency& one : found_) {
      const std::string name = deviation_name(one.what, units_);
      if (!one.plan) text += wrapped("No schedule " + name + ": " + one.reason, "  ", "    ");
      if (one.plan && one.plan->refused())
        text += wrapped("Refused " + name + ": " + refusals(*one.plan), "  ", "    ");
    }
    return text.empty() ? text : text + "\n";
  }

  [[nodiscard]] std::string refusals(const Plan& plan) const {
    std::string text;
    for (const Caution& caution : plan.cautions)
      if (caution.severity == Severity::refuses)
        text += (text.empty() ? "" : " ") + caution_text(caution, units_);
    return text;
  }

  /// Those of the plan, then what each row adds to them.
  [[nodiscard]] std::string cautions() const {
    std::string text;
    for (const auto& [name, plan] : rows_) {
      if (plan == nullptr) continue;
      std::string lines;
      for (const Caution& caution : plan == &plan_ ? plan_.cautions : added_cautions(plan_, *plan))
        lines += wrapped(std::string(severity_name(caution.severity)) + ": " +
                             caution_text(caution, units_),
                         "  ", "    ");
      if (!lines.empty()) text.append("\nCautions ").append(name).append("\n").append(lines);
    }
    return text;
  }

  /// Names and the last column stand left, numbers right.
  [[nodiscard]] static std::string grid(const std::vector<std::vector<std::string>>& lines) {
    std::vector<bool> left(lines.front().size(), false);
    left.front() = true;
    if (lines.front().back() == "switches") left.back() = true;
    return aligned(lines, left);
  }

  const Plan& plan_;
  const std::vector<Contingency>& found_;
  Units units_;
  std::vector<std::pair<std::string, const Plan*>> rows_; // no plan: not to be dived
};

} // namespace detail

/// @brief The whole answer as text, with the cautions of every row.
[[nodiscard]] inline std::string contingency_text(const Plan& plan,
                                                  const std::vector<Contingency>& found) {
  return detail::ContingencyText(plan, found).whole();
}

} // namespace upline

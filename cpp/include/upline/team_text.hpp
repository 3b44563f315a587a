#pragma once
/// @file
/// @brief A team's common schedule for reading: the table, the gases, who waits for whom, cautions.

#include <upline/caution.hpp>
#include <upline/detail/columns.hpp>
#include <upline/detail/number.hpp>
#include <upline/team.hpp>
#include <upline/text.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <string>
#include <vector>

namespace upline {

namespace detail {

/// Writes a common schedule in words and cells.
class TeamText {
public:
  using Table = std::vector<std::vector<std::string>>;

  explicit TeamText(const CommonSchedule& schedule)
      : c_(schedule), first_(schedule.members.front().plan), units_(first_.rules.units) {}

  [[nodiscard]] std::string whole() const {
    std::string text = wrapped(title(), "", "");
    for (const std::string& line : refusals()) text += "\n" + wrapped(line, "", "");
    text += "\n" + aligned(schedule(), schedule_left()) + "\nGases as analysed\n" +
            aligned(gases(), left(gases(), gases().front().size())) +
            "\nReady to leave (run time), after the stops above it\n" +
            aligned(ready(), left(ready(), 0)) + "\nMembers, doses rounded up\n" +
            aligned(sums(), left(sums(), 1)) + "\n" + wrapped(legend(), "", "");
    for (const CommonMember& one : c_.members) text += cautions(one);
    text += "\n";
    for (const CommonMember& one : c_.members)
      text += wrapped("Assumptions for " + one.name + ": " + assumptions_text(one.plan), "", "");
    return text + wrapped(no_time_to_fly, "", "") + "\n" + wrapped(schedule_foot, "", "");
  }

  [[nodiscard]] std::string title() const {
    std::string names;
    for (std::size_t m = 0; m < c_.members.size(); ++m) {
      const char* between = m == 0 ? "" : m + 1 == c_.members.size() ? " and " : ", ";
      names += between + c_.members[m].name;
    }
    return "Common schedule of " + names + ": " + PlanText(first_).levels() +
           (units_ == Units::metric ? " (metric schedule)" : " (imperial schedule)");
  }

  /// What stands before the table where somebody is refused.
  [[nodiscard]] std::vector<std::string> refusals() const {
    std::vector<std::string> lines;
    if (!c_.refused()) return lines;
    lines.emplace_back(schedule_refusal);
    for (const CommonMember& one : c_.members)
      for (const Caution& caution : one.plan.cautions)
        if (caution.severity == Severity::refuses)
          lines.push_back("Refused for " + one.name + ": " + caution_text(caution, units_));
    return lines;
  }

  /// What is followed under water: a head, its units, then a line for each depth that is left.
  [[nodiscard]] Table schedule() const {
    Table lines{{"depth", "leave at", "stay", "breathe", "po2 up to", "waits for"},
                {length_name(units_), "min", "min", "", "bar", ""}};
    std::vector<std::vector<PlanText::Station>> stations;
    for (const CommonMember& one : c_.members) stations.push_back(PlanText(one.plan).stations());
    double last = 0.0;
    for (std::size_t i = 0; i < stations.front().size(); ++i) {
      const PlanText::Station& station = stations.front()[i];
      double po2 = 0.0;
      for (const auto& own : stations) po2 = std::max(po2, own[i].po2);
      lines.push_back({number(station.depth), clock(station.leaves),
                       clock_text(in_minutes(station.leaves) - last), breathe(stations, i),
                       fixed(std::ceil(po2 * 100.0 - 1e-9) / 100.0, 2),
                       waits_for(station.depth, station.leaves)});
      last = in_minutes(station.leaves);
    }
    lines.push_back(
        {"0", clock(c_.run_time), clock_text(in_minutes(c_.run_time) - last), "surface", "", ""});
    return lines;
  }

  /// Every gas of every member, and where it is taken up.
  [[nodiscard]] Table gases() const {
    std::vector<std::string> head{""};
    for (const CommonMember& one : c_.members) head.push_back(one.name);
    head.emplace_back("taken up at");
    Table lines{head};
    for (std::size_t j = 0; j < first_.dive.gases.size(); ++j) {
      std::vector<std::string> line{"gas " + std::to_string(j + 1)};
      for (const CommonMember& one : c_.members)
        line.push_back(one.plan.dive.gases[j].gas.spoken());
      line.push_back(taken_up(j));
      lines.push_back(std::move(line));
    }
    if (!first_.dive.travel) return lines;
    std::vector<std::string> line{"travel"};
    for (const CommonMember& one : c_.members) line.push_back(one.plan.dive.travel->gas.spoken());
    line.push_back("surface, to " + length(first_.dive.travel->to));
    lines.push_back(std::move(line));
    return lines;
  }

  /// When each could leave each stop; last the surface, as each alone would reach it.
  [[nodiscard]] Table ready() const {
    std::vector<std::string> head{length_name(units_), "together"};
    for (const CommonMember& one : c_.members) head.push_back(one.name);
    Table lines{head};
    for (const CommonStop& stop : c_.stops) {
      std::vector<std::string> line{number(stop.depth), clock(stop.departs)};
      for (const Minutes ready : stop.ready) line.push_back(clock(ready));
      lines.push_back(std::move(line));
    }
    std::vector<std::string> line{"0", clock(c_.run_time)};
    for (const CommonMember& one : c_.members) line.push_back(clock(one.alone.run_time));
    lines.push_back(std::move(line));
    return lines;
  }

  /// Run time alone, surfacing fraction and oxygen of each.
  [[nodiscard]] Table sums() const {
    Table lines{{"", "run time alone", "surfacing fraction", "slack", "CNS %", "OTU"}};
    for (const CommonMember& one : c_.members)
      lines.push_back({one.name, clock(one.alone.run_time), fixed(one.plan.surfacing_fraction, 3),
                       fixed(one.slack(), 3), up(one.plan.oxygen.cns_total * 100.0),
                       up(one.plan.oxygen.otu)});
    return lines;
  }

  /// What the columns mean.
  [[nodiscard]] static std::string legend() {
    return "Whom a stop waits for would have to stay as long after the stops above it, whoever "
           "else is there; where nobody is named, only the switch takes the time. The last line of "
           "ready to leave is the surface, as each alone would reach it, on switch depths of "
           "their own. Slack: what is left of the high gradient factor at the surface.";
  }

private:
  [[nodiscard]] static std::string clock(Minutes x) { return clock_text(in_minutes(x)); }
  [[nodiscard]] static std::string up(double x) { return fixed(std::ceil(x - 1e-9), 0); }
  [[nodiscard]] std::string number(Depth d) const { return trimmed(depth_in(d, units_), 3); }
  [[nodiscard]] std::string length(Depth d) const { return number(d) + " " + length_name(units_); }

  /// The mix where it is that of every member, else its place among the gases.
  [[nodiscard]] std::string breathe(const std::vector<std::vector<PlanText::Station>>& stations,
                                    std::size_t i) const {
    const PlanText::Station& station = stations.front()[i];
    const bool same = std::all_of(stations.begin(), stations.end(),
                                  [&](const auto& own) { return own[i].gas == station.gas; });
    if (same) return station.breathe();
    std::size_t j = 0;
    while (j < first_.dive.gases.size() && !(first_.dive.gases[j].gas == station.gas)) ++j;
    const std::string name = j < first_.dive.gases.size() ? "gas " + std::to_string(j + 1)
                                                          : std::string("the travel gas");
    return (station.switches ? "switch to " : "") + name;
  }

  [[nodiscard]] std::string waits_for(Depth depth, Minutes leaves) const {
    std::string names;
    for (const CommonStop& stop : c_.stops)
      if (stop.depth == depth && stop.departs == leaves)
        for (const std::size_t m : stop.bound_by)
          names += (names.empty() ? "" : ", ") + c_.members[m].name;
    return names;
  }

  [[nodiscard]] std::string taken_up(std::size_t j) const {
    if (j == 0) return "bottom";
    for (const CommonSwitch& change : c_.switches) {
      if (change.gas != j) continue;
      std::string others;
      for (std::size_t m = 0; m < change.own.size(); ++m)
        if (!(change.own[m] == change.depth))
          others += (others.empty() ? " (alone: " : ", ") + c_.members[m].name + " " +
                    length(change.own[m]);
      return length(change.depth) + others + (others.empty() ? "" : ")");
    }
    return "not taken up";
  }

  [[nodiscard]] std::string cautions(const CommonMember& member) const {
    if (member.plan.cautions.empty()) return "";
    std::string text = "\nCautions for " + member.name + "\n";
    for (const Caution& caution : member.plan.cautions)
      text += wrapped(std::string(severity_name(caution.severity)) + ": " +
                          caution_text(caution, units_),
                      "  ", "    ");
    return text;
  }

  [[nodiscard]] static std::vector<bool> schedule_left() {
    return {false, false, false, true, false, true};
  }

  /// The first columns stand left.
  [[nodiscard]] static std::vector<bool> left(const Table& lines, std::size_t columns) {
    std::vector<bool> flags(lines.front().size(), false);
    std::fill_n(flags.begin(), columns, true);
    return flags;
  }

  const CommonSchedule& c_;
  const Plan& first_;
  Units units_;
};

} // namespace detail

/// @brief The common schedule as text, with the cautions and assumptions of every member.
/// @param schedule As common_schedule() gives it.
[[nodiscard]] inline std::string team_text(const CommonSchedule& schedule) {
  return detail::TeamText(schedule).whole();
}

} // namespace upline

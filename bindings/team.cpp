#include "arguments.hpp"
#include "results.hpp"

#include <upline/team.hpp>
#include <upline/team_text.hpp>

#include <pybind11/stl.h>

#include <cstddef>
#include <utility>
#include <vector>

namespace upline::python {
namespace {

/// Pairs of a name and a plan.
std::vector<TeamMember> members_of(const py::list& given) {
  constexpr const char* allowed = "a dict of names and plans";
  constexpr const char* remedy = "write {\"Ada\": upline.plan(...), \"Ben\": upline.plan(...)}";
  std::vector<TeamMember> members;
  for (const py::handle one : given) {
    const auto pair = one.cast<py::tuple>();
    if (!is_a<Plan>(pair[1]))
      throw WrongType("members", shown(pair[1]) + " in it", allowed, remedy);
    members.push_back({text(pair[0], "members", allowed, remedy), pair[1].cast<const Plan&>()});
  }
  return members;
}

py::tuple lengths(const std::vector<Depth>& depths, double unit) {
  py::list found;
  for (const Depth depth : depths) found.append(result_in(in_metres(depth), unit));
  py::tuple tuple(found);
  return tuple;
}

py::list stops_of(const CommonSchedule& found, double unit) {
  py::list stops;
  for (const CommonStop& stop : found.stops) {
    py::list ready;
    for (const Minutes one : stop.ready) ready.append(in_minutes(one));
    py::list names;
    for (const std::size_t m : stop.bound_by) names.append(found.members[m].name);
    py::dict d;
    d["depth"] = result_in(in_metres(stop.depth), unit);
    d["arrives"] = in_minutes(stop.arrives);
    d["departs"] = in_minutes(stop.departs);
    d["stay"] = in_minutes(stop.stay);
    d["ready"] = py::tuple(ready);
    d["waits_for"] = py::tuple(names);
    stops.append(d);
  }
  return stops;
}

py::list switches_of(const CommonSchedule& found, double unit) {
  py::list switches;
  for (const CommonSwitch& one : found.switches) {
    py::list gases;
    for (const CommonMember& member : found.members)
      gases.append(py::cast(member.plan.dive.gases[one.gas].gas));
    py::dict d;
    d["number"] = one.gas + 1;
    d["gases"] = py::tuple(gases);
    d["depth"] = result_in(in_metres(one.depth), unit);
    d["alone"] = lengths(one.own, unit);
    switches.append(d);
  }
  return switches;
}

py::dict found(const py::list& given) {
  CommonSchedule schedule = common_schedule(members_of(given));
  const detail::TeamText words(schedule);
  const Units units = schedule.members.front().plan.rules.units;
  const double unit = length_unit(units);
  py::dict d;
  d["title"] = words.title();
  d["text"] = words.whole();
  d["refusals"] = py::cast(words.refusals());
  d["schedule"] = py::cast(words.schedule());
  d["gases"] = py::cast(words.gases());
  d["ready"] = py::cast(words.ready());
  d["sums"] = py::cast(words.sums());
  d["legend"] = detail::TeamText::legend();
  d["units"] = units_name(units);
  d["bottom_time"] = in_minutes(schedule.bottom_time);
  d["run_time"] = in_minutes(schedule.run_time);
  d["stops"] = stops_of(schedule, unit);
  d["switches"] = switches_of(schedule, unit);
  py::list members;
  for (CommonMember& one : schedule.members) {
    py::dict member;
    member["name"] = one.name;
    member["slack"] = one.slack();
    member["plan"] = py::cast(std::move(one.plan));
    members.append(member);
  }
  d["members"] = members;
  return d;
}

} // namespace

void register_team(py::module_& module) { module.def("common_schedule", &found); }

} // namespace upline::python

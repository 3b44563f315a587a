#include "replay.hpp"

#include "arguments.hpp"
#include "dive.hpp"
#include "results.hpp"

#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace upline::python {
namespace {

double half_time(const Replay& replay, std::size_t compartment) {
  return compartment_set(replay.rules.model).nitrogen.half_time[compartment];
}

py::dict margin_of(const Replay& replay, const Margin& m, Units units) {
  py::dict d;
  d["pressure"] = m.pressure;
  d["fraction"] = m.fraction;
  d["length"] = result_in(m.metres, length_unit(units));
  d["run_time"] = in_minutes(m.at);
  d["depth"] = result_in(in_metres(m.depth), length_unit(units));
  d["half_time"] = half_time(replay, m.compartment);
  d["gas"] = m.gas;
  return d;
}

py::dict stop_of(const Replay& replay, const StopLoad& s, Units units) {
  py::dict d;
  d["depth"] = result_in(in_metres(s.depth), length_unit(units));
  d["arrives"] = in_minutes(s.arrives);
  d["departs"] = in_minutes(s.departs);
  d["gas"] = s.gas;
  d["held_by"] = half_time(replay, s.controlling.compartment);
  d["margin"] = s.controlling.value;
  d["runner_up"] = half_time(replay, s.runner_up.compartment);
  d["gap"] = s.gap();
  return d;
}

/// Waypoints as (run time, depth, mix or None).
std::vector<Waypoint> waypoints_of(py::handle value, Units units) {
  const char* allowed = "(run time, depth) or (run time, depth, mix)";
  const char* remedy = "write [(0, 0, \"18/45\"), (3, 57), (25, 57), (30, 0)]";
  std::vector<Waypoint> waypoints;
  for (const py::object& one : items(value, "profile", allowed, remedy)) {
    const auto parts = items(one, "profile", allowed, remedy);
    if (parts.size() < 2 || parts.size() > 3)
      throw InvalidInput("profile", std::to_string(parts.size()) + " items in a waypoint", allowed,
                         remedy);
    std::optional<Gas> gas;
    if (parts.size() == 3 && !parts[2].is_none()) gas = gas_of(parts[2], "profile gas");
    waypoints.push_back({minutes(number(parts[0], "profile run time", "min")),
                         depth_of(parts[1], "profile depth", units), gas});
  }
  return waypoints;
}

/// @param given Arguments of plan(): place, state and rules are taken from them.
py::dict replayed(py::handle points, py::handle bottom_left, const py::args& given) {
  Asked asked = asked_without_time(given);
  const Units units = asked.rules.units;
  Profile profile;
  profile.waypoints = waypoints_of(points, units);
  profile.environment = asked.dive.environment;
  profile.start = asked.dive.start;
  if (!profile.waypoints.empty() && !profile.waypoints.front().gas)
    profile.waypoints.front().gas = asked.dive.gases.front().gas;
  if (!bottom_left.is_none())
    profile.bottom_left = minutes(number(bottom_left, "bottom_left", "min"));
  return findings_of(replay(std::move(profile), std::move(asked.rules)), units);
}

} // namespace

py::dict findings_of(const Replay& r, Units units) {
  py::dict d;
  d["margin"] = r.margin();
  d["tightest"] = margin_of(r, r.tightest, units);
  d["surfacing"] = margin_of(r, r.surfacing, units);
  d["surfacing_fraction"] = r.surfacing_fraction;
  d["surfacing_half_time"] = half_time(r, r.surfacing_compartment);
  d["anchor"] = py::none();
  if (r.anchor) d["anchor"] = result_in(in_metres(*r.anchor), length_unit(units));
  d["judged_from"] = in_minutes(r.judged_from);
  d["run_time"] = in_minutes(r.run_time);
  py::list stops;
  for (const StopLoad& stop : r.stops) stops.append(stop_of(r, stop, units));
  d["stops"] = stops;
  d["oxygen"] = r.oxygen;
  d["cautions"] = shown_cautions(r.cautions, units);
  py::tuple notes(r.notes.size());
  for (std::size_t j = 0; j < r.notes.size(); ++j) notes[j] = r.notes[j];
  d["notes"] = notes;
  d["end"] = r.end;
  d["units"] = units_name(units);
  d["version"] = r.version;
  return d;
}

void register_replay(py::module_& module) {
  module.def("replay", [](const py::object& points, const py::object& bottom_left,
                          const py::args& given) { return replayed(points, bottom_left, given); });
}

} // namespace upline::python

#include "replay.hpp"

#include "arguments.hpp"
#include "dive.hpp"
#include "results.hpp"

#include <upline/detail/number.hpp>
#include <upline/replaying/taken_up.hpp>

#include <pybind11/stl.h>

#include <algorithm>
#include <cstddef>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace upline::python {
namespace {

/// A path that was replayed, kept to be sampled.
struct KeptPath {
  Replay replay;
  Units units = Units::metric;
};

/// Moments of a path, each with the compartment that is closest to the line then.
struct Moments {
  std::vector<double> depth;     ///< [m or ft]
  std::vector<double> ambient;   ///< [bar]
  std::vector<double> ceiling;   ///< [m or ft]
  std::vector<double> factor;    ///< Allowed there [1].
  std::vector<double> margin;    ///< [bar]
  std::vector<double> fraction;  ///< Supersaturation fraction of that compartment [1].
  std::vector<double> half_time; ///< Of that compartment [min].
  std::vector<std::size_t> row;  ///< Of the path, from 0.
};

/// Follows a path and looks at it at run times in ascending order.
class Sampler {
public:
  explicit Sampler(const KeptPath& kept)
      : r_(kept.replay), unit_(length_unit(kept.units)), set_(compartment_set(r_.rules.model)),
        place_(r_.end.place), line_{r_.rules.factors, {}},
        tissues_(detail::starting_tissues(r_.profile.start, r_.profile.environment, set_)) {
    if (r_.anchor) line_.anchor = in_metres(*r_.anchor);
  }

  [[nodiscard]] Moments at(const std::vector<double>& run_times) {
    for (const double t : run_times) {
      while (row_ + 1 < r_.rows.size() && t > in_minutes(row().ends)) {
        tissues_ = tissues_at(in_minutes(row().ends));
        ++row_;
      }
      look(t);
    }
    return std::move(found_);
  }

private:
  [[nodiscard]] const Row& row() const { return r_.rows[row_]; }
  [[nodiscard]] double rate() const { // [m/min]
    const double minutes = in_minutes(row().ends - row().begins);
    return minutes > 0.0 ? in_metres(row().to - row().from) / minutes : 0.0;
  }

  [[nodiscard]] Tissues tissues_at(double run_time) const {
    Tissues then = tissues_;
    const double from = place_.pressure(in_metres(row().from));
    advance(then, set_,
            Segment{run_time - in_minutes(row().begins), from, rate() * place_.per_metre},
            OpenCircuit{row().gas}, place_.vapour);
    return then;
  }

  void look(double t) {
    const double begins = in_minutes(row().begins);
    const double ends = in_minutes(row().ends);
    t = std::clamp(t, begins, ends);
    // Ends are exact, so that the surface is the surface.
    const double depth =
        t >= ends ? in_metres(row().to) : in_metres(row().from) + rate() * (t - begins);
    const Tissues then = tissues_at(t);
    const double ambient = place_.pressure(depth);
    const double factor = line_.factor_at(depth);
    double tolerated = 0.0;
    double ceiling = 0.0;
    std::size_t least = 0;
    for (std::size_t i = 0; i < compartment_count; ++i) {
      const double n2 = then.nitrogen[i];
      const double he = then.helium[i];
      const double needs = tolerated_pressure(set_, i, n2, he, factor);
      if (i == 0 || needs > tolerated) {
        tolerated = needs;
        least = i;
      }
      // Only one that is not yet within the line at the ceiling found so far can move it.
      if (tolerated_pressure(set_, i, n2, he, line_.factor_at(ceiling)) > place_.pressure(ceiling))
        ceiling = std::max(ceiling, detail::ceiling_of(set_, i, place_, line_, n2, he));
    }
    found_.depth.push_back(result_in(depth, unit_));
    found_.ambient.push_back(ambient);
    found_.ceiling.push_back(result_in(ceiling, unit_));
    found_.factor.push_back(factor);
    found_.margin.push_back(ambient - tolerated);
    found_.fraction.push_back(
        supersaturation_fraction(set_, least, then.nitrogen[least], then.helium[least], ambient));
    found_.half_time.push_back(set_.nitrogen.half_time[least]);
    found_.row.push_back(row_);
  }

  const Replay& r_;
  double unit_;
  const CompartmentSet& set_;
  const Place& place_;
  LimitLine line_;
  Tissues tissues_; // where the row begins
  std::size_t row_ = 0;
  Moments found_{};
};

template <class T>
py::array array_of(const std::vector<T>& values) {
  return py::array_t<T>(static_cast<py::ssize_t>(values.size()), values.data());
}

/// @param times Run times in ascending order [min].
py::dict moments_of(const KeptPath& kept, const std::vector<double>& times) {
  Moments found;
  {
    py::gil_scoped_release others; // a long log takes a second
    found = Sampler(kept).at(times);
  }
  py::dict d;
  d["depth"] = array_of(found.depth);
  d["ambient"] = array_of(found.ambient);
  d["ceiling"] = array_of(found.ceiling);
  d["factor"] = array_of(found.factor);
  d["margin"] = array_of(found.margin);
  d["fraction"] = array_of(found.fraction);
  d["half_time"] = array_of(found.half_time);
  d["row"] = array_of(found.row);
  return d;
}

/// Corners of a path: when and where its rows end, its beginning first.
py::dict corners_of(const KeptPath& kept) {
  const double unit = length_unit(kept.units);
  std::vector<double> time{0.0};
  std::vector<double> depth{result_in(in_metres(kept.replay.rows.front().from), unit)};
  for (const Row& row : kept.replay.rows) {
    time.push_back(in_minutes(row.ends));
    depth.push_back(result_in(in_metres(row.to), unit));
  }
  py::dict d;
  d["time"] = array_of(time);
  d["depth"] = array_of(depth);
  return d;
}

/// Stretches on one mix as (first row, run time of its beginning, of its end, mix).
py::list gases_of(const KeptPath& kept) {
  const std::vector<Row>& rows = kept.replay.rows;
  py::list found;
  for (std::size_t j = 0; j < rows.size();) {
    std::size_t end = j;
    while (end < rows.size() && rows[end].gas == rows[j].gas) ++end;
    found.append(
        py::make_tuple(j, in_minutes(rows[j].begins), in_minutes(rows[end - 1].ends), rows[j].gas));
    j = end;
  }
  return found;
}

/// What is breathed from where on, in one line.
std::string breathed_of(const KeptPath& kept) {
  const std::vector<Row>& rows = kept.replay.rows;
  std::string text;
  for (std::size_t j = 0; j < rows.size(); ++j) {
    if (j > 0 && rows[j].gas == rows[j - 1].gas) continue;
    if (!text.empty()) text += ", ";
    const double depth = result_in(in_metres(rows[j].from), length_unit(kept.units));
    text += rows[j].gas.spoken() + " from " +
            (depth > 0.0 ? detail::trimmed(depth, 1) + " " + length_name(kept.units)
                         : std::string("the surface")) +
            " at " + detail::clock_text(in_minutes(rows[j].begins)) + " min";
  }
  return text;
}

/// One line that names the conventions behind the numbers.
std::string assumptions_of(const Replay& r, Units units) {
  const Place& place = r.end.place;
  std::string text = r.rules.model + ", " + r.rules.factors.text();
  text += r.anchor ? " anchored at " +
                         detail::trimmed(result_in(in_metres(*r.anchor), length_unit(units)), 1) +
                         " " + length_name(units)
                   : ", no anchor: the direct ascent touches no limit";
  text += "; " + detail::trimmed(place.per_metre, 6) + " bar per metre, " +
          detail::trimmed(place.surface, 5) +
          " bar at the surface; the margin counts from run time " +
          detail::clock_text(in_minutes(r.judged_from)) + " min; ";
  text += r.profile.start ? "residual load of earlier dives counted" : "no dive in the last 24 h";
  return text + "; vapour " + detail::trimmed(place.vapour, 4) + " bar; upline " + r.version;
}

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
  constexpr std::size_t most = 200'000; // as many as a log may have
  if (!PyList_Check(value.ptr())) throw WrongType("profile", shown(value), allowed, remedy);
  const auto given = py::reinterpret_borrow<py::list>(value);
  if (given.size() > most)
    throw InvalidInput("profile", std::to_string(given.size()) + " waypoints", "up to 200 000",
                       "thin it out");
  std::vector<Waypoint> waypoints;
  waypoints.reserve(given.size());
  for (const py::handle one : given) {
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

/// Takes the gases up along a path that names none; what is no path is refused by replay().
std::vector<std::string> written_gases(Profile& profile, const std::vector<GasChoice>& gases,
                                       const Rules& rules) {
  Profile alone = profile;
  if (!alone.waypoints.empty() && !alone.waypoints.front().gas)
    alone.waypoints.front().gas = gases.front().gas;
  detail::require_rules(rules);
  detail::require_profile(alone);
  return detail::GasesAlongPath(profile, gases, rules).write();
}

/// @param given Arguments of plan(): place, state and rules are taken from them.
py::dict replayed(py::handle points, py::handle bottom_left, const py::args& given) {
  Asked asked = asked_without_time(given);
  const Units units = asked.rules.units;
  Profile profile;
  profile.waypoints = waypoints_of(points, units);
  profile.environment = asked.dive.environment;
  profile.start = asked.dive.start;
  if (!bottom_left.is_none())
    profile.bottom_left = minutes(number(bottom_left, "bottom_left", "min"));
  const std::vector<GasChoice>& gases = asked.dive.gases;
  if (gases.empty() || gases.front().switch_depth)
    throw InvalidInput("gases",
                       gases.empty() ? std::string("an empty list")
                                     : gases.front().gas.text() + " with a switch depth",
                       "the bottom gas first, without one", "put the bottom gas first");
  std::vector<std::string> notes = written_gases(profile, gases, asked.rules);
  Replay found = replay(std::move(profile), std::move(asked.rules));
  found.notes.insert(found.notes.begin(), notes.begin(), notes.end());
  return findings_of(found, units);
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
  d["assumptions"] = assumptions_of(r, units);
  d["path"] = KeptPath{r, units};
  return d;
}

void register_replay(py::module_& module) {
  py::class_<KeptPath> kept(module, "KeptPath", py::is_final());
  made_only_by(kept, "upline.replay(...)");
  kept.def("moments", &moments_of)
      .def("corners", &corners_of)
      .def("gases", &gases_of)
      .def("breathed", &breathed_of);
  module.def("replay", [](const py::object& points, const py::object& bottom_left,
                          const py::args& given) { return replayed(points, bottom_left, given); });
}

} // namespace upline::python

#include "arguments.hpp"
#include "results.hpp"

#include <upline/compartments.hpp>
#include <upline/detail/number.hpp>

#include <pybind11/stl.h>

#include <optional>
#include <string>

namespace upline::python {
namespace {

constexpr const char* stop_doc = R"(A depth at which the ascent pauses.

Attributes
----------
depth : float
    [m or ft]
minutes : float
    Spent at the depth [min], a switch of gas included.
stay : float
    From leaving the last stop, or the bottom, to leaving this one: travel included [min].
arrives, departs : float
    Run times [min].
arrives_on, gas : Gas
    Breathed on arrival, and on leaving.
po2 : float
    Of the gas on which it is left [bar].
held_by : float or None
    Half-time of the compartment that asked for the wait [min]; None where nothing did.
units : "metric" or "imperial"
)";

constexpr const char* row_doc = R"(A stretch of the dive on one gas at one rate.

Attributes
----------
phase : "go down", "stay", "come up" or "switch"
from_depth, to_depth : float
    [m or ft]
begins, ends, minutes : float
    Run times and duration [min].
gas : Gas
    Breathed meanwhile; during a switch the old one.
po2_begins, po2_ends : float
    [bar]
held_by : float or None
    Half-time of the compartment that asked for the wait [min].
units : "metric" or "imperial"
)";

constexpr const char* switch_doc = R"(A change of the gas that is breathed.

Attributes
----------
depth : float
    [m or ft]
run_time : float
    At which the new gas is first breathed [min].
minutes : float
    Spent at this depth, pause and wait together [min].
old_gas, gas : Gas
going_down : bool
    From travel to bottom gas, or back to it.
on_leaving_bottom : bool
    Because the depth stated for it is not above the bottom.
stated_depth : float or None
    Switch depth as given [m or ft]; None where the rule found it.
units : "metric" or "imperial"
)";

constexpr const char* extreme_doc =
    R"(The largest or least value of something, and where it was reached.

Attributes
----------
value : float
    In the unit of the quantity.
depth : float
    [m or ft]
run_time : float
    [min]
gas : Gas
units : "metric" or "imperial"
)";

constexpr const char* extremes_doc = R"(Extremes over the whole dive.

Attributes
----------
highest_po2, lowest_po2 : Extreme
    [bar]
highest_density : Extreme
    [g/L] at 0 degrees C.
narcotic_depth : Extreme
    Equivalent narcotic depth with oxygen counted [m or ft].
narcotic_depth_nitrogen : Extreme
    The same for nitrogen alone [m or ft].
)";

constexpr const char* dose_doc = R"(Oxygen taken in.

Shares are fractions in full precision, 1 the whole limit. Where a plan is printed they are rounded
up to whole per cent, and OTU to whole numbers: the safe side.

Attributes
----------
cns : float
    This dive: share of the single-exposure limits.
cns_total : float
    With what earlier dives left, halved every 90 min at the surface (a convention).
cns_total_without_recovery : float
    Plain sum over the last 24 h.
day_share : float
    Share of the 24-h limits over the last 24 h.
otu, otu_day : float
    Pulmonary dose of this dive and of the last 24 h [OTU].
)";

struct ShownStop {
  double depth, minutes, stay, arrives, departs;
  Gas arrives_on, gas;
  double po2;
  std::optional<double> held_by;
  Units units;
  friend bool operator==(const ShownStop&, const ShownStop&) = default;
};

struct ShownRow {
  std::string phase;
  double from_depth, to_depth, begins, ends, minutes;
  Gas gas;
  double po2_begins, po2_ends;
  std::optional<double> held_by;
  Units units;
  friend bool operator==(const ShownRow&, const ShownRow&) = default;
};

struct ShownSwitch {
  double depth, run_time, minutes;
  Gas old_gas, gas;
  bool going_down, on_leaving_bottom;
  std::optional<double> stated_depth;
  Units units;
  friend bool operator==(const ShownSwitch&, const ShownSwitch&) = default;
};

struct ShownExtreme {
  double value, depth, run_time;
  Gas gas;
  Units units;
  friend bool operator==(const ShownExtreme&, const ShownExtreme&) = default;
};

struct ShownExtremes {
  ShownExtreme highest_po2, lowest_po2, highest_density, narcotic_depth, narcotic_depth_nitrogen;
  friend bool operator==(const ShownExtremes&, const ShownExtremes&) = default;
};

double length_in(Depth depth, Units units) { return result_in(depth.base(), length_unit(units)); }

std::optional<double> half_time_of(const Plan& plan, std::optional<std::size_t> compartment) {
  if (!compartment) return {};
  return half_time(plan, *compartment);
}

ShownExtreme shown_extreme(const Extreme& e, Units units, double unit_of_value = 1.0) {
  return {result_in(e.value, unit_of_value), length_in(e.depth, units), in_minutes(e.at), e.gas,
          units};
}

/// Equality by all fields, units among them; no order and no sum, so that feet never meet metres.
template <class Shown>
bool equal(const Shown& x, py::handle other) {
  return is_a<Shown>(other) && x == other.cast<const Shown&>();
}

template <class Shown>
const char* units_of_shown(const Shown& x) {
  return units_name(x.units);
}

std::string measured(double depth, Units units) {
  return detail::trimmed(depth, 1) + " " + length_name(units);
}

void register_stop(py::module_& module) {
  py::class_<ShownStop> type(module, "Stop", stop_doc, py::is_final());
  made_only_by(type, "upline.plan(...)");
  type.def_readonly("depth", &ShownStop::depth)
      .def_readonly("minutes", &ShownStop::minutes)
      .def_readonly("stay", &ShownStop::stay)
      .def_readonly("arrives", &ShownStop::arrives)
      .def_readonly("departs", &ShownStop::departs)
      .def_readonly("arrives_on", &ShownStop::arrives_on)
      .def_readonly("gas", &ShownStop::gas)
      .def_readonly("po2", &ShownStop::po2)
      .def_readonly("held_by", &ShownStop::held_by)
      .def_property_readonly("units", &units_of_shown<ShownStop>)
      .def("__eq__", &equal<ShownStop>)
      .def("__repr__", [](const ShownStop& s) {
        return "<upline.Stop " + measured(s.depth, s.units) + ", leave at " +
               detail::clock_text(s.departs) + ", on " + s.gas.spoken() + ">";
      });
}

void register_switch(py::module_& module) {
  py::class_<ShownSwitch> type(module, "Switch", switch_doc, py::is_final());
  made_only_by(type, "upline.plan(...)");
  type.def_readonly("depth", &ShownSwitch::depth)
      .def_readonly("run_time", &ShownSwitch::run_time)
      .def_readonly("minutes", &ShownSwitch::minutes)
      .def_readonly("old_gas", &ShownSwitch::old_gas)
      .def_readonly("gas", &ShownSwitch::gas)
      .def_readonly("going_down", &ShownSwitch::going_down)
      .def_readonly("on_leaving_bottom", &ShownSwitch::on_leaving_bottom)
      .def_readonly("stated_depth", &ShownSwitch::stated_depth)
      .def_property_readonly("units", &units_of_shown<ShownSwitch>)
      .def("__eq__", &equal<ShownSwitch>)
      .def("__repr__", [](const ShownSwitch& s) {
        return "<upline.Switch to " + s.gas.spoken() + " at " + measured(s.depth, s.units) +
               ", run time " + detail::clock_text(s.run_time) + ">";
      });
}

void register_row(py::module_& module) {
  py::class_<ShownRow> type(module, "Row", row_doc, py::is_final());
  made_only_by(type, "upline.plan(...)");
  type.def_readonly("phase", &ShownRow::phase)
      .def_readonly("from_depth", &ShownRow::from_depth)
      .def_readonly("to_depth", &ShownRow::to_depth)
      .def_readonly("begins", &ShownRow::begins)
      .def_readonly("ends", &ShownRow::ends)
      .def_readonly("minutes", &ShownRow::minutes)
      .def_readonly("gas", &ShownRow::gas)
      .def_readonly("po2_begins", &ShownRow::po2_begins)
      .def_readonly("po2_ends", &ShownRow::po2_ends)
      .def_readonly("held_by", &ShownRow::held_by)
      .def_property_readonly("units", &units_of_shown<ShownRow>)
      .def("__eq__", &equal<ShownRow>)
      .def("__repr__", [](const ShownRow& r) {
        const std::string where = r.from_depth == r.to_depth
                                      ? "at " + measured(r.to_depth, r.units)
                                      : "to " + measured(r.to_depth, r.units);
        return "<upline.Row " + r.phase + " " + where + ", until " + detail::clock_text(r.ends) +
               ", on " + r.gas.spoken() + ">";
      });
}

void register_extremes(py::module_& module) {
  py::class_<ShownExtreme> one(module, "Extreme", extreme_doc, py::is_final());
  made_only_by(one, "upline.plan(...)");
  one.def_readonly("value", &ShownExtreme::value)
      .def_readonly("depth", &ShownExtreme::depth)
      .def_readonly("run_time", &ShownExtreme::run_time)
      .def_readonly("gas", &ShownExtreme::gas)
      .def_property_readonly("units", &units_of_shown<ShownExtreme>)
      .def("__eq__", &equal<ShownExtreme>)
      .def("__repr__", [](const ShownExtreme& e) {
        return "<upline.Extreme " + detail::trimmed(e.value, 3) + " at " +
               measured(e.depth, e.units) + ", run time " + detail::clock_text(e.run_time) +
               ", on " + e.gas.spoken() + ">";
      });
  py::class_<ShownExtremes> all(module, "Extremes", extremes_doc, py::is_final());
  made_only_by(all, "upline.plan(...)");
  all.def_readonly("highest_po2", &ShownExtremes::highest_po2)
      .def_readonly("lowest_po2", &ShownExtremes::lowest_po2)
      .def_readonly("highest_density", &ShownExtremes::highest_density)
      .def_readonly("narcotic_depth", &ShownExtremes::narcotic_depth)
      .def_readonly("narcotic_depth_nitrogen", &ShownExtremes::narcotic_depth_nitrogen)
      .def("__eq__", &equal<ShownExtremes>);
}

void register_dose(py::module_& module) {
  py::class_<OxygenDose> type(module, "OxygenDose", dose_doc, py::is_final());
  made_only_by(type, "upline.plan(...)");
  type.def_readonly("cns", &OxygenDose::cns)
      .def_readonly("cns_total", &OxygenDose::cns_total)
      .def_readonly("cns_total_without_recovery", &OxygenDose::cns_total_without_recovery)
      .def_readonly("day_share", &OxygenDose::day_share)
      .def_readonly("otu", &OxygenDose::otu)
      .def_readonly("otu_day", &OxygenDose::otu_day)
      .def("__repr__", [](const OxygenDose& d) {
        return "<upline.OxygenDose CNS " + detail::fixed(d.cns, 3) + ", 24-h share " +
               detail::fixed(d.day_share, 3) + ", " + detail::fixed(d.otu, 1) + " OTU>";
      });
}

} // namespace

double half_time(const Plan& plan, std::size_t compartment) {
  return compartment_set(plan.rules.model).nitrogen.half_time[compartment];
}

py::tuple stops_of(const Plan& plan) {
  const Units units = plan.rules.units;
  py::tuple stops(plan.stops.size());
  std::size_t j = 0;
  for (const Stop& s : plan.stops)
    stops[j++] = ShownStop{length_in(s.depth, units),
                           in_minutes(s.minutes_at_depth()),
                           in_minutes(s.stay),
                           in_minutes(s.arrives),
                           in_minutes(s.departs),
                           s.arrives_on,
                           s.gas,
                           s.po2,
                           half_time_of(plan, s.held_by),
                           units};
  return stops;
}

py::tuple switches_of(const Plan& plan) {
  const Units units = plan.rules.units;
  py::tuple switches(plan.switches.size());
  std::size_t j = 0;
  for (const GasSwitch& s : plan.switches) {
    std::optional<double> stated;
    if (s.stated) stated = length_in(*s.stated, units);
    switches[j++] = ShownSwitch{length_in(s.depth, units),
                                in_minutes(s.at),
                                in_minutes(s.spent),
                                s.from,
                                s.to,
                                s.going_down,
                                s.on_leaving_bottom,
                                stated,
                                units};
  }
  return switches;
}

py::tuple rows_of(const Plan& plan) {
  const Units units = plan.rules.units;
  const auto po2 = [&](const Row& row, Depth depth) {
    return row.gas.oxygen * plan.end.place.pressure(in_metres(depth));
  };
  py::tuple rows(plan.rows.size());
  std::size_t j = 0;
  for (const Row& r : plan.rows)
    rows[j++] = ShownRow{phase_name(r.phase),
                         length_in(r.from, units),
                         length_in(r.to, units),
                         in_minutes(r.begins),
                         in_minutes(r.ends),
                         in_minutes(r.ends - r.begins),
                         r.gas,
                         po2(r, r.from),
                         po2(r, r.to),
                         half_time_of(plan, r.held_by),
                         units};
  return rows;
}

py::object extremes_of(const Plan& plan) {
  const Units units = plan.rules.units;
  const Extremes& e = plan.extremes;
  const double length = length_unit(units);
  return py::cast(ShownExtremes{
      shown_extreme(e.highest_po2, units), shown_extreme(e.lowest_po2, units),
      shown_extreme(e.highest_density, units), shown_extreme(e.narcotic_depth, units, length),
      shown_extreme(e.narcotic_depth_nitrogen, units, length)});
}

void register_schedule(py::module_& module) {
  register_stop(module);
  register_switch(module);
  register_row(module);
  register_extremes(module);
  register_dose(module);
}

} // namespace upline::python

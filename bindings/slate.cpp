#include "arguments.hpp"
#include "contingency.hpp"
#include "results.hpp"

#include <upline/slate.hpp>
#include <upline/slate_text.hpp>

#include <pybind11/stl.h>

#include <array>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace upline::python {
namespace {

std::optional<Pressure> pressure_of(py::handle value, const char* field, Units units) {
  if (value.is_none()) return {};
  const bool metric = units == Units::metric;
  const double given = number(value, field, metric ? "bar" : "psi");
  return metric ? bar(given) : psi(given);
}

/// Mix, per cent of oxygen and per cent of helium or None.
GasReading reading_of(const py::tuple& given) {
  GasReading reading{.gas = gas_of(given[0], "analysis")};
  reading.oxygen = number(given[1], "analysis", "%") / 100.0;
  if (!given[2].is_none()) reading.helium = number(given[2], "analysis", "%") / 100.0;
  return reading;
}

/// The keyword arguments of slate() in Python; texts are clean.
SlateStatement statement_of(const py::dict& given, Units units) {
  SlateStatement said;
  said.dive = given["dive"].cast<std::string>();
  said.date = given["date"].cast<std::string>();
  said.team = given["team"].cast<std::string>();
  said.input_code = given["input_code"].cast<std::string>();
  constexpr std::array support{SurfaceSupport::unknown, SurfaceSupport::yes, SurfaceSupport::no};
  said.surface_support =
      support[choice(given["surface_support"], "surface_support", {"unknown", "yes", "no"})];
  said.turn_pressure = pressure_of(given["turn_pressure"], "turn_pressure", units);
  said.reserve = pressure_of(given["reserve"], "reserve", units);
  for (const py::handle one : given["analysis"])
    said.readings.push_back(reading_of(one.cast<py::tuple>()));
  return said;
}

py::dict schedule_of(const SlateSchedule& schedule, Units units) {
  py::list rows;
  for (const SlateRow& row : schedule.rows) {
    py::dict d;
    d["depth"] = result_in(in_metres(row.depth), length_unit(units));
    d["leave_at"] = row.leave_at;
    d["stay"] = row.stay;
    d["gas"] = row.gas;
    d["switching"] = row.switching;
    rows.append(d);
  }
  py::dict d;
  d["rows"] = rows;
  d["surface"] = schedule.surface;
  d["valid_to"] = schedule.valid_to;
  d["leave_by"] = schedule.leave_by;
  d["recomputed"] = schedule.recomputed;
  return d;
}

py::list gases_of(const Slate& slate) {
  py::list gases;
  for (const SlateGas& one : slate.gases) {
    py::dict d;
    d["gas"] = one.gas;
    d["oxygen"] = py::none();
    d["helium"] = py::none();
    if (one.reading) {
      d["oxygen"] = one.reading->oxygen;
      d["helium"] = one.reading->helium;
    }
    d["deepest"] = one.deepest;
    d["po2"] = one.po2;
    d["shallowest"] = one.shallowest;
    gases.append(d);
  }
  return gases;
}

py::list contingencies_of(const Slate& slate, Units units) {
  py::list rows;
  for (const SlateContingency& one : slate.contingencies) {
    py::dict d;
    d["name"] = deviation_name(one.what, units);
    d["reason"] = one.reason;
    d["cautions"] = shown_cautions(one.cautions, units);
    d["schedule"] = py::none();
    if (one.schedule) d["schedule"] = schedule_of(*one.schedule, units);
    rows.append(d);
  }
  return rows;
}

/// Words and cells by name.
py::dict parts_of(const Slate& slate) {
  const detail::SlateText words(slate);
  py::list blocks;
  for (const SlateBlock& one : words.blocks()) {
    py::dict d;
    d["title"] = one.title;
    d["depths"] = one.depths;
    d["leaves"] = one.leaves;
    d["words"] = one.words;
    d["cautions"] = one.cautions;
    blocks.append(d);
  }
  py::dict d;
  d["heading"] = words.heading();
  d["valid"] = words.valid();
  d["way_down"] = words.way_down();
  d["table"] = words.table();
  d["legend"] = slate_legend;
  d["pressures"] = words.pressures();
  d["blocks"] = blocks;
  d["rule"] = slate_rule;
  d["gases"] = words.gases();
  d["facts"] = words.facts();
  d["cautions"] = words.cautions();
  d["signatures"] = words.signatures();
  d["caution"] = slate_caution;
  return d;
}

py::dict found(py::handle asked, const py::list& deviations, const py::dict& said) {
  const Plan& plan = plan_of(asked);
  const Units units = plan.rules.units;
  const Slate made = slate(plan, deviations_of(deviations, units), statement_of(said, units));
  py::dict d;
  d["schedule"] = schedule_of(made.schedule, units);
  d["contingencies"] = contingencies_of(made, units);
  d["gases"] = gases_of(made);
  d["cautions"] = shown_cautions(made.schedule.plan.cautions, units);
  d["parts"] = parts_of(made);
  d["text"] = slate_text(made);
  d["units"] = units_name(units);
  return d;
}

} // namespace

void register_slate(py::module_& module) { module.def("slate", &found); }

} // namespace upline::python

#include "contingency.hpp"

#include "arguments.hpp"
#include "results.hpp"

#include <upline/contingency_text.hpp>

#include <pybind11/stl.h>

#include <optional>
#include <string>
#include <type_traits>
#include <utility>
#include <vector>

namespace upline::python {
namespace {

/// One gas or several.
std::vector<Gas> gases_of(py::handle value, const char* field) {
  if (PyUnicode_Check(value.ptr()) || is_a<Gas>(value)) return {gas_of(value, field)};
  std::vector<Gas> gases;
  for (const py::object& one : items(value, field, "a gas or a list of gases", "write [\"50\"]"))
    gases.push_back(gas_of(one, field));
  return gases;
}

/// The same as a tuple.
py::tuple gases_as_tuple(py::handle value, const std::string& field) {
  return py::cast(gases_of(value, field.c_str()));
}

/// The fields of a Deviation in Python, in the order of its definition.
Deviation deviation_of(const py::tuple& given, Units units) {
  Deviation what;
  what.deeper = depth_of(given[0], "deeper", units);
  what.later = minutes(number(given[1], "later", "min"));
  what.lost = gases_of(given[2], "lost");
  what.late_switch = minutes(number(given[3], "late_switch", "min"));
  if (!given[4].is_none()) what.ascent_rate = rate_of(given[4], "ascent_rate", units);
  if (!given[5].is_none()) what.last_stop = depth_of(given[5], "last_stop", units);
  return what;
}

template <class Value>
py::object or_none(const std::optional<Value>& value) {
  if (!value) return py::none();
  if constexpr (std::is_same_v<Value, Minutes>)
    return py::float_(in_minutes(*value));
  else
    return py::cast(*value);
}

py::list changes_of(const Plan& planned, const Plan& otherwise) {
  const double unit = length_unit(planned.rules.units);
  py::list rungs;
  for (const RungChange& change : changes(planned, otherwise)) {
    py::dict d;
    d["depth"] = result_in(in_metres(change.depth), unit);
    d["planned"] = or_none(change.planned);
    d["otherwise"] = or_none(change.otherwise);
    d["planned_gas"] = or_none(change.planned_gas);
    d["otherwise_gas"] = or_none(change.otherwise_gas);
    rungs.append(d);
  }
  return rungs;
}

py::dict found(py::handle asked, const py::list& given) {
  const Plan& plan = plan_of(asked);
  const Units units = plan.rules.units;
  std::vector<Contingency> contingencies_found = contingencies(plan, deviations_of(given, units));
  py::dict d;
  const detail::ContingencyText words(plan, contingencies_found);
  d["text"] = words.whole();
  d["times"] = py::cast(words.times());
  d["doses"] = py::cast(words.doses());
  d["units"] = units_name(units);
  py::list rows;
  for (Contingency& one : contingencies_found) {
    py::dict row;
    row["name"] = deviation_name(one.what, units);
    row["reason"] = one.reason;
    row["changes"] = py::list();
    row["cautions"] = py::tuple();
    row["plan"] = py::none();
    if (one.plan) {
      row["changes"] = changes_of(plan, *one.plan);
      row["cautions"] = shown_cautions(added_cautions(plan, *one.plan), units);
      row["plan"] = py::cast(std::move(*one.plan));
    }
    rows.append(row);
  }
  d["rows"] = rows;
  return d;
}

} // namespace

std::vector<Deviation> deviations_of(const py::list& given, Units units) {
  std::vector<Deviation> deviations;
  for (const py::handle one : given)
    deviations.push_back(deviation_of(one.cast<py::tuple>(), units));
  return deviations;
}

void register_contingency(py::module_& module) {
  module.def("contingencies", &found);
  module.def("gases", &gases_as_tuple);
}

} // namespace upline::python

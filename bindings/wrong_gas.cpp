#include "arguments.hpp"

#include <upline/wrong_gas.hpp>
#include <upline/wrong_gas_text.hpp>

#include <pybind11/stl.h>

#include <algorithm>
#include <cstddef>
#include <string>
#include <vector>

namespace upline::python {
namespace {

/// The cylinders that are named, each once; None: those of the dive.
std::vector<Gas> carried_of(py::handle value, const Plan& plan) {
  if (value.is_none()) return gases_carried(plan.dive);
  std::vector<Gas> carried;
  for (const py::object& one : items(value, "carried", "a list of gases",
                                     "name every cylinder, such as [\"18/45\", \"50\"]")) {
    const Gas gas = gas_of(one, "carried");
    if (std::find(carried.begin(), carried.end(), gas) == carried.end()) carried.push_back(gas);
  }
  return carried;
}

py::dict mistake_of(const WrongGas& wrong, Units units) {
  const double unit = length_unit(units);
  py::dict d;
  d["depth"] = result_in(in_metres(wrong.depth), unit);
  d["run_time"] = in_minutes(wrong.run_time);
  d["meant"] = wrong.meant;
  d["taken"] = wrong.taken;
  d["po2"] = wrong.po2;
  d["oxygen_minutes"] = wrong.oxygen_minutes;
  d["density"] = wrong.density;
  d["narcotic_depth"] = result_in(wrong.narcotic_depth, unit);
  d["harm"] = harm_name(wrong.harm());
  py::tuple hazards(wrong.hazards.size());
  for (std::size_t j = 0; j < wrong.hazards.size(); ++j) hazards[j] = hazard_name(wrong.hazards[j]);
  d["hazards"] = hazards;
  return d;
}

py::dict found(py::handle asked, py::handle carried) {
  const Plan& plan = plan_of(asked);
  const Units units = plan.rules.units;
  const std::vector<WrongGas> mistakes = wrong_gases(plan, carried_of(carried, plan));
  py::list all;
  for (const WrongGas& wrong : mistakes) all.append(mistake_of(wrong, units));
  py::list pairs;
  for (const ConfusedPair& pair : confused_pairs(mistakes)) {
    py::dict d;
    d["worst"] = mistake_of(pair.worst, units);
    d["cases"] = pair.cases;
    d["text"] = detail::pair_text(pair, units);
    pairs.append(d);
  }
  py::list table;
  for (const WrongGasLine& line : wrong_gas_table(mistakes, units))
    table.append(py::tuple(py::cast(line)));
  py::dict d;
  d["mistakes"] = all;
  d["pairs"] = pairs;
  d["table"] = table;
  d["text"] = wrong_gas_text(mistakes, plan);
  d["units"] = units_name(units);
  return d;
}

} // namespace

void register_wrong_gas(py::module_& module) { module.def("wrong_gases", &found); }

} // namespace upline::python

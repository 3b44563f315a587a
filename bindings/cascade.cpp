#include "station.hpp"

#include <upline/cascade.hpp>
#include <upline/cascade_text.hpp>

#include <pybind11/stl.h>

#include <string>
#include <vector>

namespace upline::python {
namespace {

const StatedCylinder& cylinder_of(py::handle value) {
  if (!is_a<StatedCylinder>(value))
    throw WrongType("cylinder", shown(value), "a Cylinder",
                    "write upline.Cylinder(12, 40, \"32\", 20): one as it comes in");
  return value.cast<const StatedCylinder&>();
}

py::dict fill_of(const CascadeFill& fill, Units units) {
  const auto reading = [&](GaugePressure x) {
    return result_in(in_bar_gauge(x), pressure_unit(units));
  };
  py::tuple moved(fill.flows.size());
  py::tuple banks(fill.flows.size());
  py::tuple cylinder(fill.flows.size());
  for (std::size_t j = 0; j < fill.flows.size(); ++j) {
    moved[j] = in_moles(fill.flows[j].moved);
    banks[j] = reading(fill.flows[j].bank_reads);
    cylinder[j] = reading(fill.flows[j].cylinder_reads);
  }
  py::dict d;
  d["full"] = fill.full;
  d["reached"] = reading(fill.reached);
  d["oxygen"] = fill.mix.oxygen;
  d["helium"] = fill.mix.helium;
  d["moles"] = moved;
  d["banks"] = banks;
  d["cylinder"] = cylinder;
  return d;
}

py::dict found(py::handle gas, py::handle banks, py::handle cylinder, py::handle pressure) {
  const StatedCylinder& stated = cylinder_of(cylinder);
  const Units units = stated.units;
  const Cascade c = cascade({.gas = station_gas_of(gas, "gas"),
                             .banks = banks_of(banks, units),
                             .cylinder = stated.value,
                             .pressure = gauge_of(pressure, "pressure", units)});
  py::tuple fills(c.fills.size());
  for (std::size_t k = 0; k < c.fills.size(); ++k) fills[k] = fill_of(c.fills[k], units);
  py::list table;
  for (const std::vector<std::string>& line : cascade_table(c, units))
    table.append(py::tuple(py::cast(line)));
  py::dict d;
  d["fills"] = fills;
  d["full"] = c.full;
  d["ideal_full"] = c.ideal_full;
  d["goes_on"] = c.goes_on;
  d["table"] = py::tuple(table);
  d["title"] = cascade_title(c, units);
  d["verdict"] = cascade_verdict(c, units);
  d["assumptions"] = cascade_assumptions(c, units);
  d["text"] = cascade_text(c, units);
  d["units"] = units_name(units);
  return d;
}

} // namespace

void register_cascade(py::module_& module) { module.def("cascade", &found); }

} // namespace upline::python

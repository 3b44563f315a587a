#include "station.hpp"

#include <upline/blend.hpp>
#include <upline/blend_text.hpp>

#include <pybind11/stl.h>

#include <optional>
#include <string>
#include <vector>

namespace upline::python {
namespace {

const StatedCylinder& cylinder_of(py::handle value) {
  if (!is_a<StatedCylinder>(value))
    throw WrongType("cylinder", shown(value), "a Cylinder",
                    "write upline.Cylinder(12, 50, \"air\", 20): what is left in it");
  return value.cast<const StatedCylinder&>();
}

std::vector<BankGas> bank_gases_of(py::handle value, Units units) {
  const char* allowed = "a list of mixes, or of pairs of a mix and what its bank reads";
  const char* remedy = "write gases=[\"He\", (\"O2\", 150), \"air\"]";
  std::vector<BankGas> gases;
  for (const py::object& one : items(value, "gases", allowed, remedy)) {
    if (!is_sequence(one)) {
      gases.push_back({station_gas_of(one, "gases")});
      continue;
    }
    const std::vector<py::object> pair = items(one, "gases", allowed, remedy);
    if (pair.size() != 2) throw WrongType("gases", shown(one), allowed, remedy);
    gases.push_back({station_gas_of(pair[0], "gases"), gauge_of(pair[1], "bank pressure", units)});
  }
  return gases;
}

FillOrder order_of(const StatedCylinder& cylinder, py::handle target, py::handle pressure,
                   py::handle gases, py::handle inlet_limit, py::handle filling_temperature,
                   py::handle tolerance) {
  FillOrder order{.cylinder = cylinder.value,
                  .target = gas_of(target, "target"),
                  .pressure = gauge_of(pressure, "pressure", cylinder.units),
                  .gases = bank_gases_of(gases, cylinder.units)};
  if (!inlet_limit.is_none()) {
    order.method = BlendMethod::at_inlet;
    order.inlet_limit = number(inlet_limit, "inlet_limit", "");
  }
  if (!filling_temperature.is_none()) {
    const bool metric = cylinder.units == Units::metric;
    const double given =
        number(filling_temperature, "filling_temperature", metric ? "degrees C" : "degrees F");
    order.filling_temperature = metric ? celsius(given) : fahrenheit(given);
  }
  if (!tolerance.is_none()) order.tolerance = number(tolerance, "tolerance", "");
  return order;
}

/// The answer in the units of the cylinder.
class Shown {
public:
  Shown(const Blend& blend, Units units) : b_(blend), units_(units) {}

  [[nodiscard]] py::dict whole() const {
    py::dict d;
    d["target"] = b_.order.target;
    d["reachable"] = b_.reachable();
    d["sheet"] = py::none();
    if (b_.sheet) d["sheet"] = sheet(*b_.sheet);
    py::list obstacles;
    for (const Obstacle& one : b_.obstacles) obstacles.append(obstacle(one));
    d["obstacles"] = obstacles;
    py::list alternatives;
    for (const Alternative& one : b_.alternatives) alternatives.append(alternative(one));
    d["alternatives"] = alternatives;
    d["title"] = blend_title(b_, units_);
    d["verdict"] = blend_verdict(b_, units_);
    d["cautions"] = py::tuple(py::cast(blend_cautions(b_, units_)));
    d["assumptions"] = blend_assumptions(b_, units_);
    d["text"] = blend_text(b_, units_);
    d["units"] = units_name(units_);
    return d;
  }

private:
  [[nodiscard]] double reading(GaugePressure x) const {
    return result_in(in_bar_gauge(x), pressure_unit(units_));
  }

  [[nodiscard]] py::dict obstacle(const Obstacle& one) const {
    const bool pressure =
        one.code == ObstacleCode::bank_pressure || one.code == ObstacleCode::residual_too_full;
    const auto value = [&](double x) { return pressure ? reading(bar_gauge(x)) : x; };
    py::dict d;
    d["code"] = std::string(code_name(one.code));
    d["component"] = py::none();
    if (!pressure && one.code != ObstacleCode::no_combination)
      d["component"] = std::string(component_name(one.component));
    d["value"] = value(one.value);
    d["limit"] = value(one.limit);
    d["gas"] = py::none();
    if (one.gas) d["gas"] = one.gas->spoken();
    d["text"] = obstacle_text(one, b_, units_);
    return d;
  }

  [[nodiscard]] py::dict alternative(const Alternative& one) const {
    py::dict d;
    d["kind"] = std::string(instead_name(one.kind));
    d["sheet"] = sheet(one.sheet);
    d["keep"] = py::none();
    if (one.keep) d["keep"] = reading(*one.keep);
    d["text"] = alternative_text(one, b_, units_);
    return d;
  }

  [[nodiscard]] py::dict sheet(const FillSheet& s) const {
    py::dict d;
    d["start"] = reading(s.start);
    d["pressure"] = reading(s.pressure);
    d["oxygen"] = s.mix.oxygen;
    d["helium"] = s.mix.helium;
    d["residual_moles"] = in_moles(s.residual);
    d["moles"] = in_moles(s.amount);
    py::list additions;
    for (const Addition& one : s.additions) additions.append(addition(one));
    d["additions"] = additions;
    d["inlet"] = py::none();
    if (s.inlet) d["inlet"] = py::make_tuple(s.inlet->air, s.inlet->oxygen, s.inlet->helium);
    d["ideal_oxygen"] = py::none();
    d["ideal_helium"] = py::none();
    if (s.ideal_gives) {
      d["ideal_oxygen"] = s.ideal_gives->oxygen;
      d["ideal_helium"] = s.ideal_gives->helium;
    }
    py::list table;
    for (const FillLine& line : fill_table(s, b_, units_)) table.append(py::tuple(py::cast(line)));
    d["table"] = py::tuple(table);
    d["notes"] = py::tuple(py::cast(fill_notes(s, b_, units_)));
    return d;
  }

  [[nodiscard]] py::dict addition(const Addition& one) const {
    py::dict d;
    d["gas"] = one.gas.spoken();
    d["oxygen"] = one.gas.fractions().oxygen;
    d["helium"] = one.gas.fractions().helium;
    d["moles"] = in_moles(one.amount);
    d["volume"] = result_in(in_litres(one.volume), volume_unit(units_));
    d["from_pressure"] = reading(one.from);
    d["to_pressure"] = reading(one.to);
    d["ideal_to"] = py::none();
    if (one.ideal_to) d["ideal_to"] = reading(*one.ideal_to);
    d["bank"] = py::none();
    if (one.bank) d["bank"] = reading(*one.bank);
    return d;
  }

  const Blend& b_;
  Units units_;
};

py::dict found(py::handle cylinder, py::handle target, py::handle pressure, py::handle gases,
               py::handle inlet_limit, py::handle filling_temperature, py::handle tolerance) {
  const StatedCylinder& stated = cylinder_of(cylinder);
  const Blend answer =
      blend(order_of(stated, target, pressure, gases, inlet_limit, filling_temperature, tolerance));
  return Shown(answer, stated.units).whole();
}

} // namespace

void register_blend(py::module_& module) {
  module.def("blend", &found);
  module.attr("blending_caution") = std::string(blending_caution);
}

} // namespace upline::python

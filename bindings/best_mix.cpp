#include "arguments.hpp"

#include <upline/best_mix.hpp>
#include <upline/best_mix_text.hpp>

#include <pybind11/stl.h>

#include <optional>
#include <string>

namespace upline::python {
namespace {

MixLimits limits_of(const py::dict& given, Units units) {
  MixLimits limits{.depth = depth_of(given["depth"], "depth", units),
                   .max_po2 = bar(number(given["max_po2"], "max_po2", "bar")),
                   .min_po2 = bar(number(given["min_po2"], "min_po2", "bar")),
                   .environment = environment_of(given["environment"], units)};
  if (const py::handle depth = given["narcotic_depth"]; !depth.is_none())
    limits.narcotic_depth = depth_of(depth, "narcotic_depth", units);
  if (const py::handle counted = given["oxygen_narcotic"]; !counted.is_none())
    limits.narcotic =
        truth(counted, "oxygen_narcotic") ? Narcotic::nitrogen_and_oxygen : Narcotic::nitrogen;
  if (limits.narcotic_depth.has_value() != limits.narcotic.has_value())
    throw InvalidInput("oxygen_narcotic",
                       limits.narcotic ? "given without narcotic_depth"
                                       : "missing beside narcotic_depth",
                       "True or False, together with narcotic_depth",
                       "say whether oxygen counts as narcotic: the two conventions give "
                       "different mixes");
  if (const py::handle density = given["max_density"]; !density.is_none())
    limits.max_density = number(density, "max_density", "g/L");
  limits.density_temperature =
      celsius(number(given["density_temperature"], "density_temperature", "degrees C"));
  if (const py::handle next = given["next_gas"]; !next.is_none())
    limits.next = gas_of(next, "next_gas");
  return limits;
}

py::object share_or_none(const std::optional<double>& share) {
  return share ? py::object(py::float_(*share)) : py::object(py::none());
}

py::object gas_or_none(const std::optional<Gas>& gas) {
  return gas ? py::cast(*gas) : py::object(py::none());
}

py::dict found(const py::dict& given) {
  const Units units = units_of(given["units"]);
  const BestMix f = best_mix(limits_of(given, units));
  py::dict d;
  d["mix"] = gas_or_none(f.mix);
  d["exact"] = gas_or_none(f.exact);
  d["most_oxygen"] = f.most_oxygen;
  d["oxygen_by"] = std::string(mix_limit_name(f.oxygen_by));
  d["helium_for_narcosis"] = share_or_none(f.helium_for_narcosis);
  d["helium_for_density"] = share_or_none(f.helium_for_density);
  d["helium_by"] = std::string(mix_limit_name(f.helium_by));
  d["shallowest"] = py::none();
  if (f.mix) d["shallowest"] = result_in(in_metres(f.shallowest()), length_unit(units));
  d["nitrogen_rise"] = py::none();
  d["helium_fall"] = py::none();
  d["within_one_fifth"] = py::none();
  if (f.change) {
    d["nitrogen_rise"] = f.change->nitrogen_rise;
    d["helium_fall"] = f.change->helium_fall;
    d["within_one_fifth"] = f.change->within();
  }
  py::list table;
  for (const MixLimitLine& line : best_mix_table(f, units)) table.append(py::tuple(py::cast(line)));
  d["table"] = py::tuple(table);
  d["title"] = best_mix_title(f, units);
  d["verdict"] = best_mix_verdict(f, units);
  d["notes"] = py::tuple(py::cast(best_mix_notes(f, units)));
  d["assumptions"] = best_mix_assumptions(f, units);
  d["text"] = best_mix_text(f, units);
  d["units"] = units_name(units);
  return d;
}

} // namespace

void register_best_mix(py::module_& module) { module.def("best_mix", &found); }

} // namespace upline::python

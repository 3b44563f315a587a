#include "arguments.hpp"
#include "results.hpp"

#include <upline/caution.hpp>

#include <cmath>
#include <string>
#include <vector>

namespace upline::python {
namespace {

constexpr const char* caution_doc = R"(Something about a plan that deserves attention.

Attributes
----------
code : str
    What it is, such as "limit_exceeded"; see the reference for the list.
severity : "note", "caution" or "refuses"
    A plan that "refuses" is given, but is not to be dived.
text : str
    In words: what, where, value, limit, remedy.
value, limit : float or None
    In the unit of the quantity: bar, g/L, min or OTU; a fraction for shares and factors; m or ft
    for the switch depth of "switch_at_bottom".
depth : float or None
    [m or ft]
run_time : float or None
    [min]
gas, old_gas : Gas or None
    The gas concerned, and at a switch the one before it.
half_time : float or None
    Of the compartment concerned [min].
units : "metric" or "imperial"
)";

struct ShownCaution {
  Caution caution;
  Units units;
};

bool names_gas(CautionCode code) {
  switch (code) {
  case CautionCode::po2_in_tolerance:
  case CautionCode::po2_above_limit:
  case CautionCode::low_po2:
  case CautionCode::beyond_oxygen_table:
  case CautionCode::density:
  case CautionCode::nitrogen_rise:
  case CautionCode::gas_unused:
  case CautionCode::switch_at_bottom:
  case CautionCode::may_be_nitrox:
  case CautionCode::short_switch: return true;
  case CautionCode::cns:
  case CautionCode::oxygen_day:
  case CautionCode::cns_without_recovery:
  case CautionCode::oxygen_without_break:
  case CautionCode::just_arrived:
  case CautionCode::place_changed:
  case CautionCode::oxygen_history_unknown:
  case CautionCode::fast_ascent:
  case CautionCode::fast_descent:
  case CautionCode::factor_above_one:
  case CautionCode::limit_exceeded: return false;
  }
  return false;
}

bool names_old_gas(const Caution& caution) {
  return caution.code == CautionCode::nitrogen_rise ||
         (caution.code == CautionCode::gas_unused && caution.reason == Unused::not_richer);
}

py::object known(double x) {
  if (std::isnan(x)) return py::none();
  return py::float_(x);
}

py::object quantity(const ShownCaution& c, double x) {
  const CautionCode code = c.caution.code;
  const bool is_length = code == CautionCode::switch_at_bottom ||
                         code == CautionCode::fast_ascent || code == CautionCode::fast_descent;
  if (is_length) x = result_in(x, length_unit(c.units));
  return known(x);
}

py::object gas_if(bool named, const Gas& gas) {
  if (!named) return py::none();
  return py::cast(gas);
}

} // namespace

py::tuple shown_cautions(const std::vector<Caution>& found, Units units) {
  py::tuple cautions(found.size());
  std::size_t j = 0;
  for (const Caution& one : found) cautions[j++] = ShownCaution{one, units};
  return cautions;
}

py::tuple cautions_of(const Plan& plan) { return shown_cautions(plan.cautions, plan.rules.units); }

void register_caution(py::module_& module) {
  using Shown = ShownCaution;
  py::class_<Shown> type(module, "Caution", caution_doc, py::is_final());
  made_only_by(type, "upline.plan(...)");
  type.def_property_readonly("code",
                             [](const Shown& c) { return std::string(code_name(c.caution.code)); })
      .def_property_readonly(
          "severity", [](const Shown& c) { return std::string(severity_name(c.caution.severity)); })
      .def_property_readonly("text",
                             [](const Shown& c) { return caution_text(c.caution, c.units); })
      .def_property_readonly("value", [](const Shown& c) { return quantity(c, c.caution.value); })
      .def_property_readonly("limit", [](const Shown& c) { return quantity(c, c.caution.limit); })
      .def_property_readonly(
          "depth",
          [](const Shown& c) { return known(result_in(c.caution.depth, length_unit(c.units))); })
      .def_property_readonly("run_time", [](const Shown& c) { return known(c.caution.run_time); })
      .def_property_readonly(
          "gas", [](const Shown& c) { return gas_if(names_gas(c.caution.code), c.caution.gas); })
      .def_property_readonly(
          "old_gas",
          [](const Shown& c) { return gas_if(names_old_gas(c.caution), c.caution.old_gas); })
      .def_property_readonly("half_time", [](const Shown& c) { return known(c.caution.half_time); })
      .def_property_readonly("units", [](const Shown& c) { return units_name(c.units); })
      .def("__str__", [](const Shown& c) { return caution_text(c.caution, c.units); })
      .def("__repr__", [](const Shown& c) {
        return "<upline.Caution " + std::string(code_name(c.caution.code)) + ", " +
               std::string(severity_name(c.caution.severity)) + ">";
      });
}

} // namespace upline::python

#include "diver.hpp"

#include <upline/boat_oxygen.hpp>
#include <upline/boat_oxygen_text.hpp>

#include <pybind11/stl.h>

#include <cmath>
#include <optional>
#include <string>
#include <vector>

namespace upline::python {
namespace {

int casualties_of(py::handle value) {
  const double given = number(value, "casualties", "");
  const double whole = std::round(given);
  if (whole != given || !(given >= 1.0 && given <= detail::most_casualties))
    throw InvalidInput("casualties", std::isnan(given) ? "not a number" : detail::trimmed(given, 6),
                       "a whole number, 1 to " + std::to_string(detail::most_casualties),
                       "give how many may have to breathe oxygen at the same time");
  return static_cast<int>(whole);
}

BoatOxygenNeed need_of(py::handle casualties, py::handle flow, py::handle time, py::handle margin,
                       py::handle cylinders, Units units) {
  const char* rate = units == Units::metric ? "L/min" : "cu ft/min";
  BoatOxygenNeed need{.casualties = casualties_of(casualties),
                      .flow = BreathingRate(number(flow, "flow", rate) * volume_unit(units)),
                      .margin = number(margin, "margin", "")};
  if (!time.is_none()) need.to_treatment = minutes(number(time, "minutes_to_treatment", "min"));
  if (!cylinders.is_none()) need.cylinders = cylinders_of(cylinders, units);
  return need;
}

template <class Quantity>
py::object known(const std::optional<Quantity>& found, double unit) {
  if (!found) return py::none();
  return py::float_(result_in(found->base(), unit));
}

const char* enough_name(Enough enough) {
  switch (enough) {
  case Enough::yes: return "yes";
  case Enough::no: return "no";
  case Enough::unknown: break;
  }
  return "unknown";
}

py::dict found(py::handle casualties, py::handle flow, py::handle time, py::handle margin,
               py::handle cylinders, py::handle system) {
  const Units units = units_of(system);
  const BoatOxygen answer = boat_oxygen(need_of(casualties, flow, time, margin, cylinders, units));
  py::tuple carried(answer.asked.cylinders.size());
  for (std::size_t j = 0; j < answer.asked.cylinders.size(); ++j)
    carried[j] = py::cast(StatedCylinder{answer.asked.cylinders[j], units});
  py::list table;
  for (const BoatOxygenLine& line : boat_oxygen_table(answer, units))
    table.append(py::tuple(py::cast(line)));
  py::dict d;
  d["casualties"] = answer.asked.casualties;
  d["flow"] = given_in(answer.asked.flow.base(), volume_unit(units));
  d["minutes_to_treatment"] = known(answer.asked.to_treatment, 1.0);
  d["margin"] = answer.asked.margin;
  d["cylinders"] = carried;
  d["needed"] = known(answer.needed, volume_unit(units));
  d["there"] = known(answer.there, volume_unit(units));
  d["lasts"] = known(answer.lasts, 1.0);
  d["lasts_with_margin"] = known(answer.lasts_with_margin, 1.0);
  d["short_by"] = known(answer.short_by, volume_unit(units));
  d["enough"] = enough_name(answer.enough);
  d["table"] = py::tuple(table);
  d["verdict"] = boat_oxygen_verdict(answer, units);
  d["text"] = boat_oxygen_text(answer, units);
  d["units"] = units_name(units);
  return d;
}

} // namespace

void register_boat_oxygen(py::module_& module) {
  module.attr("boat_oxygen_foot") = boat_oxygen_foot;
  module.def("boat_oxygen", &found);
}

} // namespace upline::python

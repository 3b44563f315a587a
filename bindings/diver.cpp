#include "diver.hpp"

#include <cstddef>
#include <string>

namespace upline::python {
namespace {

constexpr const char* cylinders_allowed = "a list of cylinders";
constexpr const char* cylinders_remedy =
    "write cylinders=[upline.Cylinder(12, 200, \"18/45\", 20, joined=2), ...]";

std::vector<py::object> listed_cylinders(py::handle value) {
  std::vector<py::object> cylinders =
      items(value, "cylinders", cylinders_allowed, cylinders_remedy);
  for (const py::object& one : cylinders)
    if (!is_a<StatedCylinder>(one))
      throw WrongType("cylinders", "given with " + shown(one), cylinders_allowed, cylinders_remedy);
  if (cylinders.size() > most_cylinders)
    throw InvalidInput("cylinders", std::to_string(cylinders.size()),
                       "up to " + std::to_string(most_cylinders), "name those of one diver");
  return cylinders;
}

BreathingRate breathing_of(py::handle value, const char* field, Units units) {
  const char* unit = units == Units::metric ? "L/min" : "cu ft/min";
  return BreathingRate(number(value, field, unit) * volume_unit(units));
}

std::string name_of(py::handle value) {
  constexpr std::size_t longest = 60;
  const char* allowed = "a name of up to 60 characters, on one line";
  std::string name = text(value, "name", allowed, "give the diver's name");
  if (name.empty() || name.size() > longest || name.find_first_of("\n\r") != std::string::npos)
    throw InvalidInput("name", shown(value), allowed, "give a shorter name, on one line");
  return name;
}

/// What the fields of a Diver are, whatever plan they will stand beside.
py::tuple checked_fields(py::handle name, py::handle cylinders, py::handle working,
                         py::handle resting, py::handle stress) {
  const std::vector<py::object> listed = listed_cylinders(cylinders);
  py::tuple kept(listed.size());
  for (std::size_t j = 0; j < listed.size(); ++j) kept[j] = listed[j];
  return py::make_tuple(name_of(name), kept, number(working, "working", ""),
                        number(resting, "resting", ""), number(stress, "stress", ""));
}

} // namespace

std::vector<Cylinder> cylinders_of(py::handle value, Units units) {
  std::vector<Cylinder> cylinders;
  for (const py::object& one : listed_cylinders(value)) {
    const auto& stated = one.cast<const StatedCylinder&>();
    if (stated.units != units)
      throw InvalidInput("cylinders",
                         std::string("stated with units=\"") + units_name(stated.units) +
                             "\" beside a plan in \"" + units_name(units) + "\"",
                         "one system of units",
                         std::string("write Cylinder(..., units=\"") + units_name(units) + "\")");
    cylinders.push_back(stated.value);
  }
  return cylinders;
}

DiverSupply diver_of(const py::tuple& fields, Units units) {
  return {name_of(fields[0]),
          {breathing_of(fields[2], "working", units), breathing_of(fields[3], "resting", units),
           breathing_of(fields[4], "stress", units)},
          cylinders_of(fields[1], units)};
}

void register_diver(py::module_& module) { module.def("diver", &checked_fields); }

} // namespace upline::python

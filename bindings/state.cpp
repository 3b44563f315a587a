#include "arguments.hpp"

#include <upline/detail/number.hpp>
#include <upline/state.hpp>

#include <optional>
#include <string>

namespace upline::python {
namespace {

constexpr const char* state_doc =
    R"(What a dive leaves behind: tissues, oxygen sums, clock, place and model.

A state comes from ``plan(...).end``, from `rest` or from a saved one; hand it on as
``plan(..., start=state)``. It is immutable and has no units but bar and minutes, so that a metric
plan may follow an imperial one.

Attributes
----------
nitrogen, helium : ndarray, shape (16,)
    Tensions [bar]; read-only views.
model : str
    Parameter set the tensions belong to.
clock : float
    Minutes since the first dive of the series began.
surface_pressure, pressure_per_metre, vapour : float
    Of the place [bar, bar/m, bar].
cns : float
    Share of the single-exposure oxygen limits, halved every 90 min at the surface (a convention).
cns_without_recovery, day_share, otu : float
    Plain sums over the last 24 h: of that share, of the 24-h limits, pulmonary dose [OTU].
exposures : tuple of (float, float, float, float)
    Of each exposure of the last 24 h: clock at its end [min], the two shares, dose [OTU].
)";

py::tuple exposures_of(const State& state) {
  py::tuple exposures(state.oxygen.last_day.size());
  std::size_t j = 0;
  for (const OxygenExposure& one : state.oxygen.last_day)
    exposures[j++] = py::make_tuple(one.ended, one.cns, one.day_share, one.otu);
  return exposures;
}

OxygenExposure exposure_of(py::handle value) {
  const char* allowed = "4 numbers: clock at the end, two shares and a dose";
  const char* remedy = "hand on a state that to_dict or to_json gave";
  const auto parts = items(value, "state exposures", allowed, remedy);
  constexpr std::size_t count = 4;
  if (parts.size() != count)
    throw InvalidInput("state exposures", std::to_string(parts.size()) + " numbers", allowed,
                       remedy);
  const auto part = [&](std::size_t j) { return number(parts[j], "state exposures", ""); };
  return {part(0), part(1), part(2), part(3)};
}

State made(py::handle nitrogen, py::handle helium, py::handle model, py::handle surface_pressure,
           py::handle pressure_per_metre, py::handle vapour, py::handle clock, py::handle cns,
           py::handle exposures) {
  State state;
  state.tissues = {tensions_of(nitrogen, "state nitrogen"), tensions_of(helium, "state helium")};
  state.model = text(model, "state model", "the name of a parameter set",
                     "hand on a state that to_dict or to_json gave");
  state.place = {number(surface_pressure, "state surface_pressure", "bar"),
                 number(pressure_per_metre, "state pressure_per_metre", "bar/m"),
                 number(vapour, "state vapour", "bar")};
  state.clock = number(clock, "state clock", "min");
  state.oxygen.cns = number(cns, "state cns", "");
  for (const py::object& one : items(exposures, "state exposures", "a list of exposures",
                                     "hand on a state that to_dict or to_json gave"))
    state.oxygen.last_day.push_back(exposure_of(one));
  require_valid(state);
  return state;
}

/// A state has no units, so that a place stated in either system will do.
std::optional<Environment> place_of_rest(py::handle environment) {
  if (environment.is_none()) return {};
  if (!is_a<StatedEnvironment>(environment))
    throw WrongType("environment", shown(environment), "an Environment or None",
                    "write environment=upline.Environment(altitude=640)");
  return environment.cast<const StatedEnvironment&>().value;
}

State rested(py::handle state, py::handle time, py::handle gas, py::handle environment) {
  if (!is_a<State>(state))
    throw WrongType("state", shown(state), "a State", "hand on plan(...).end");
  return rest(state.cast<const State&>(), minutes(number(time, "minutes", "min")),
              gas_of(gas, "gas"), place_of_rest(environment));
}

template <auto Gas>
py::array_t<double> tensions(py::handle self) {
  return view_of(self.cast<const State&>().tissues.*Gas, self);
}

std::string repr_of(const State& state) {
  return "<upline.State " + detail::duration_text(state.clock) + " after the series began, " +
         state.model + ", CNS " + detail::fixed(state.oxygen.cns, 3) + ">";
}

} // namespace

void register_state(py::module_& module) {
  py::class_<State> type(module, "State", state_doc, py::is_final());
  made_only_by(type, "upline.plan(...).end");
  type.def_property_readonly("nitrogen", &tensions<&Tissues::nitrogen>)
      .def_property_readonly("helium", &tensions<&Tissues::helium>)
      .def_property_readonly("model", [](const State& s) { return s.model; })
      .def_property_readonly("clock", [](const State& s) { return s.clock; })
      .def_property_readonly("surface_pressure", [](const State& s) { return s.place.surface; })
      .def_property_readonly("pressure_per_metre", [](const State& s) { return s.place.per_metre; })
      .def_property_readonly("vapour", [](const State& s) { return s.place.vapour; })
      .def_property_readonly("cns", [](const State& s) { return s.oxygen.cns; })
      .def_property_readonly("cns_without_recovery",
                             [](const State& s) { return s.oxygen.sum().cns; })
      .def_property_readonly("day_share", [](const State& s) { return s.oxygen.sum().day_share; })
      .def_property_readonly("otu", [](const State& s) { return s.oxygen.sum().otu; })
      .def_property_readonly("exposures", &exposures_of)
      .def("to_dict", written_in_python("upline._record", "state_to_dict", "State.to_dict"),
           "to_dict(self)\n--\n\nThe state as plain data, exact; `from_dict` reads it back.")
      .def("to_json", written_in_python("upline._record", "state_to_json", "State.to_json"),
           "to_json(self)\n--\n\nThe state as JSON text, exact; `from_json` reads it back.")
      .def_static("from_dict",
                  static_in_python("upline._record", "state_from_dict", "State.from_dict"),
                  "from_dict(data)\n--\n\nThe state that `to_dict` described.\n\n"
                  "Raises\n------\nInvalidInput\n    For anything else.")
      .def_static("from_json",
                  static_in_python("upline._record", "state_from_json", "State.from_json"),
                  "from_json(text)\n--\n\nThe state that `to_json` described.\n\n"
                  "Raises\n------\nInvalidInput\n    For anything else.")
      .def("__repr__", &repr_of)
      .def("__eq__",
           [](const State& state, py::handle other) {
             return is_a<State>(other) && state == other.cast<const State&>();
           })
      .def("__reduce__", [](py::handle self) {
        return py::make_tuple(py::module_::import("upline._record").attr("state_from_dict"),
                              py::make_tuple(self.attr("to_dict")()));
      });
  module.def("make_state", &made);
  module.def("rest", &rested);
}

} // namespace upline::python

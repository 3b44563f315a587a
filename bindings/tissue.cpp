#include "arguments.hpp"

#include <upline/compartments.hpp>
#include <upline/tissue.hpp>

namespace upline::python {
namespace {

// Wide enough for every use, narrow enough that nothing overflows.
constexpr double longest = 1e9;       // [min]
constexpr double highest = 1e6;       // [bar]
constexpr double fastest = 1e6;       // [bar/min]
constexpr double most_vapour = 0.1;   // [bar]
constexpr double highest_loop = 10.0; // [bar]

double vapour_of(py::handle value) {
  return number_within(value, "vapour", "bar", 0.0, most_vapour,
                       "use 0.0627, 0.0567 or 0.0493, the published conventions");
}

py::tuple pair_of(const Tissues& tissues) {
  return py::make_tuple(new_array(tissues.nitrogen), new_array(tissues.helium));
}

Breathing breathing_of(py::handle gas, py::handle set_point) {
  const Gas mix = gas_of(gas, "gas");
  if (set_point.is_none()) return OpenCircuit{mix};
  return Loop{mix, number_within(set_point, "set_point", "bar", 0.0, highest_loop,
                                 "give the oxygen pressure that the loop holds, or None")};
}

py::tuple advanced(py::handle nitrogen, py::handle helium, py::handle minutes, py::handle pressure,
                   py::handle rate, py::handle gas, py::handle model, py::handle vapour,
                   py::handle set_point) {
  Tissues tissues{tensions_of(nitrogen, "nitrogen"), tensions_of(helium, "helium")};
  const Segment segment{
      number_within(minutes, "minutes", "min", 0.0, longest, "give a duration"),
      number_within(pressure, "pressure", "bar", 0.0, highest, "give the ambient pressure"),
      number_within(rate, "rate", "bar/min", -fastest, fastest,
                    "give the change of ambient pressure per minute")};
  const CompartmentSet& set = compartment_set(
      text(model, "model", "the name of a parameter set", "choose a name from upline.models"));
  advance(tissues, set, segment, breathing_of(gas, set_point), vapour_of(vapour));
  return pair_of(tissues);
}

py::tuple at_rest(py::handle ambient, py::handle vapour) {
  return pair_of(equilibrium_with_air(
      number_within(ambient, "ambient", "bar", 0.0, highest, "give the ambient pressure"),
      vapour_of(vapour)));
}

} // namespace

void register_tissue(py::module_& module) {
  module.def("advance", &advanced);
  module.def("equilibrium_with_air", &at_rest);
}

} // namespace upline::python

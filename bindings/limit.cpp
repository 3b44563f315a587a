#include "arguments.hpp"

#include <upline/compartments.hpp>
#include <upline/limit.hpp>

namespace upline::python {
namespace {

struct Asked {
  Tissues tissues;
  const CompartmentSet& set;
};

Asked asked(py::handle nitrogen, py::handle helium, py::handle model) {
  return {{tensions_of(nitrogen, "nitrogen"), tensions_of(helium, "helium")},
          compartment_set(text(model, "model", "the name of a parameter set",
                               "choose a name from upline.models"))};
}

py::array_t<double> tolerated(py::handle nitrogen, py::handle helium, py::handle factor,
                              py::handle model) {
  const Asked one = asked(nitrogen, helium, model);
  constexpr double highest = 1.5;
  const double g =
      number_within(factor, "factor", "", 0.0, highest, "give a gradient factor as a fraction");
  Lanes<double> result{};
  for (std::size_t i = 0; i < compartment_count; ++i)
    result[i] = tolerated_pressure(one.set, i, one.tissues.nitrogen[i], one.tissues.helium[i], g);
  return new_array(result);
}

py::array_t<double> fraction(py::handle nitrogen, py::handle helium, py::handle ambient,
                             py::handle model) {
  const Asked one = asked(nitrogen, helium, model);
  constexpr double highest = 1e6;
  const double p =
      number_within(ambient, "ambient", "bar", 0.0, highest, "give the ambient pressure");
  Lanes<double> result{};
  for (std::size_t i = 0; i < compartment_count; ++i)
    result[i] =
        supersaturation_fraction(one.set, i, one.tissues.nitrogen[i], one.tissues.helium[i], p);
  return new_array(result);
}

} // namespace

void register_limit(py::module_& module) {
  module.def("tolerated_pressure", &tolerated);
  module.def("supersaturation_fraction", &fraction);
}

} // namespace upline::python

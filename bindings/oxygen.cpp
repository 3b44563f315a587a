#include "arguments.hpp"

#include <upline/oxygen.hpp>

namespace upline::python {
namespace {

OxygenSegment segment_of(py::handle minutes, py::handle start_po2, py::handle end_po2) {
  constexpr double longest = 1e9;  // [min]
  constexpr double highest = 10.0; // [bar]
  return {number_within(minutes, "minutes", "min", 0.0, longest, "give a duration"),
          number_within(start_po2, "start_po2", "bar", 0.0, highest, "give an oxygen pressure"),
          number_within(end_po2, "end_po2", "bar", 0.0, highest, "give an oxygen pressure")};
}

double share(py::handle minutes, py::handle start_po2, py::handle end_po2, py::handle limits) {
  const bool single = choice(limits, "limits", {"single", "day"}) == 0;
  return oxygen_share(single ? single_exposure : day_exposure,
                      segment_of(minutes, start_po2, end_po2));
}

double dose(py::handle minutes, py::handle start_po2, py::handle end_po2) {
  return pulmonary_dose(segment_of(minutes, start_po2, end_po2));
}

} // namespace

void register_oxygen(py::module_& module) {
  module.def("cns_share", &share);
  module.def("pulmonary_dose", &dose);
}

} // namespace upline::python

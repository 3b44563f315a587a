// A diver as Python hands it over.
#pragma once
#include "cylinder.hpp"

#include <upline/consumption.hpp>

#include <vector>

namespace upline::python {

/// Cylinders of one diver, each stated in `units`.
[[nodiscard]] std::vector<Cylinder> cylinders_of(py::handle value, Units units);

/// The fields of a Diver in Python, in the order of its definition.
/// @param units Of the plan: cylinders must be stated in them, and rates are read in them.
[[nodiscard]] DiverSupply diver_of(const py::tuple& fields, Units units);

} // namespace upline::python

// Deviations as Python hands them over.
#pragma once
#include "bindings.hpp"

#include <upline/contingency.hpp>

#include <vector>

namespace upline::python {

/// @param given Tuples of the fields of a Deviation, in the order of its definition in Python.
[[nodiscard]] std::vector<Deviation> deviations_of(const py::list& given, Units units);

} // namespace upline::python

// Parts of a plan as Python sees them: numbers already in the plan's units.
#pragma once
#include "bindings.hpp"

#include <upline/schedule.hpp>

#include <vector>

namespace upline::python {

[[nodiscard]] py::tuple stops_of(const Plan& plan);
[[nodiscard]] py::tuple switches_of(const Plan& plan);
[[nodiscard]] py::tuple rows_of(const Plan& plan);
[[nodiscard]] py::tuple cautions_of(const Plan& plan);
[[nodiscard]] py::tuple shown_cautions(const std::vector<Caution>& found, Units units);
[[nodiscard]] py::object extremes_of(const Plan& plan);

/// Half-time of a compartment for nitrogen, by which it is known [min].
[[nodiscard]] double half_time(const Plan& plan, std::size_t compartment);

/// The keyword arguments of plan() that ask for this plan again.
[[nodiscard]] py::dict arguments_of(const Plan& plan);

} // namespace upline::python

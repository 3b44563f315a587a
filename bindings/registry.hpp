// What each room puts into the module. Only module.cpp reads this: a new room is no news to the
// others.
#pragma once
#include "bindings.hpp"

namespace upline::python {

void register_errors(py::module_& module);
void register_environment(py::module_& module);
void register_gas(py::module_& module);
void register_compartments(py::module_& module);
void register_tissue(py::module_& module);
void register_limit(py::module_& module);
void register_oxygen(py::module_& module);
void register_state(py::module_& module);
void register_caution(py::module_& module);
void register_schedule(py::module_& module);
void register_plan(py::module_& module);
void register_text(py::module_& module);
void register_trace(py::module_& module);
void register_replay(py::module_& module);
void register_check(py::module_& module);
void register_card(py::module_& module);
void register_supply(py::module_& module);
void register_diver(py::module_& module);
void register_consumption(py::module_& module);
void register_contingency(py::module_& module);
void register_lost_gas(py::module_& module);
void register_wrong_gas(py::module_& module);
void register_slate(py::module_& module);
void register_swell(py::module_& module);
void register_blend(py::module_& module);
void register_best_mix(py::module_& module);
void register_cascade(py::module_& module);
void register_trip_demand(py::module_& module);
void register_stock(py::module_& module);
void register_analysis(py::module_& module);
void register_boat_oxygen(py::module_& module);
void register_reserve(py::module_& module);
void register_team(py::module_& module);
void register_row_choice(py::module_& module);
void register_kit(py::module_& module);
void register_fitness(py::module_& module);
void register_historic(py::module_& module);

} // namespace upline::python

#include "registry.hpp"

#include <upline/version.hpp>

#include <string>

PYBIND11_MODULE(_core, module, py::mod_gil_not_used()) {
  // Docstrings carry their signature in the form that inspect.signature reads.
  py::options options;
  options.disable_function_signatures();

  module.doc() = "Compiled part of upline; import the names from `upline` instead.";
  module.attr("__version__") = std::string(upline::version);

  using namespace upline::python;
  register_errors(module); // first: all others may raise them
  register_environment(module);
  register_gas(module);
  register_compartments(module);
  register_tissue(module);
  register_limit(module);
  register_oxygen(module);
  register_state(module);
  register_caution(module);
  register_schedule(module);
  register_plan(module);
  register_text(module);  // adds to Plan
  register_trace(module); // as well
  register_replay(module);
  register_check(module);
  register_card(module);
  register_supply(module);
  register_diver(module);
  register_consumption(module);
  register_contingency(module);
  register_lost_gas(module);
  register_wrong_gas(module);
  register_swell(module);
  register_stock(module);
  register_analysis(module);
  register_boat_oxygen(module);
  register_slate(module);
  register_reserve(module);
  register_team(module);
  register_row_choice(module);
  register_blend(module);
  register_best_mix(module);
  register_cascade(module);
  register_trip_demand(module);
  register_kit(module);
  register_fitness(module);
  register_historic(module);
}

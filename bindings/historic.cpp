#include "arguments.hpp"

#include <upline/historic_schedule.hpp>
#include <upline/washout_schedule.hpp>

#include <string>

// Not public under `upline`: what these compute is for comparison with printed tables, by the
// report of validation/, and is no plan.
namespace upline::python {
namespace {

struct Asked {
  HistoricModel model;
  HistoricRules rules;
};

HistoricModel model_of(py::handle model) {
  return historic_model(
      text(model, "model", "the name of a historic model", "choose a name from historic_models"));
}

/// @param surface Ambient pressure at the surface [bar], or None for the model's own.
/// @param added   Share of the depth and depth that are counted in addition.
Asked asked_by(py::handle model, py::handle rates, py::handle rung, py::handle added,
               py::handle surface) {
  Asked asked{model_of(model), {}};
  const auto numbers = [](py::handle pair, const char* field) {
    const auto found = items(pair, field, "two numbers", "give a pair");
    if (found.size() != 2) throw InvalidInput(field, shown(pair), "two numbers", "give a pair");
    return std::pair(number(found[0], field, ""), number(found[1], field, ""));
  };
  const auto [to_first_stop, between_stops] = numbers(rates, "rates");
  const auto [added_share, added_depth] = numbers(added, "added");
  asked.rules = {.rung = number(rung, "rung", ""),
                 .to_first_stop = to_first_stop,
                 .between_stops = between_stops,
                 .added_share = added_share,
                 .added_depth = added_depth};
  if (!surface.is_none()) asked.model.surface = number(surface, "surface", "bar");
  return asked;
}

py::tuple scheduled(py::handle model, py::handle rates, py::handle rung, py::handle added,
                    py::handle surface, py::handle depth, py::handle bottom_time) {
  const Asked asked = asked_by(model, rates, rung, added, surface);
  const HistoricSchedule schedule =
      historic_schedule(asked.model, asked.rules, number(depth, "depth", ""),
                        number(bottom_time, "bottom_time", "min"));
  py::tuple stops(schedule.stops.size());
  for (std::size_t j = 0; j < schedule.stops.size(); ++j) {
    const HistoricStop& stop = schedule.stops[j];
    stops[j] =
        py::make_tuple(stop.depth, stop.minutes, asked.model.set.nitrogen.half_time[stop.held_by]);
  }
  return stops;
}

double limited(py::handle model, py::handle rates, py::handle rung, py::handle added,
               py::handle surface, py::handle depth) {
  const Asked asked = asked_by(model, rates, rung, added, surface);
  return historic_no_stop_limit(asked.model, asked.rules, number(depth, "depth", ""));
}

/// Half-time, tension allowed on surfacing in the model's unit of depth, and slope.
py::tuple limits_of(py::handle name) {
  const HistoricModel model = model_of(name);
  py::tuple rows(model.set.count);
  for (std::size_t i = 0; i < model.set.count; ++i) {
    const InertGasParameters& gas = model.set.nitrogen;
    const SurfacingLimit limit = surfacing_limit({gas.a[i], gas.b[i]}, model.surface);
    rows[i] = py::make_tuple(gas.half_time[i], limit.surfacing / model.per_unit, limit.slope);
  }
  return rows;
}

WashoutRules washout_rules(py::handle descent, py::handle ascent, py::handle test) {
  constexpr double slowest = 1.0;
  constexpr double fastest = 1000.0;
  const auto rate = [&](py::handle value, const char* field) {
    return number_within(value, field, "fsw/min", slowest, fastest, "give a rate of travel");
  };
  return {rate(descent, "descent"), rate(ascent, "ascent"),
          choice(test, "test", {"on leaving", "on arrival"}) == 0 ? WashoutTest::on_leaving
                                                                  : WashoutTest::on_arrival};
}

py::tuple washout_scheduled(py::handle descent, py::handle ascent, py::handle test,
                            py::handle depth, py::handle bottom_time) {
  const auto stops =
      washout_schedule(vval18, washout_rules(descent, ascent, test), number(depth, "depth", "fsw"),
                       number(bottom_time, "bottom_time", "min"));
  py::tuple result(stops.size());
  for (std::size_t j = 0; j < stops.size(); ++j)
    result[j] = py::make_tuple(stops[j].depth, stops[j].minutes);
  return result;
}

double washout_limited(py::handle descent, py::handle ascent, py::handle test, py::handle depth) {
  return washout_no_stop_limit(vval18, washout_rules(descent, ascent, test),
                               number(depth, "depth", "fsw"));
}

double washout_at_bottom(py::handle descent, py::handle depth) {
  const WashoutRules rules =
      washout_rules(descent, py::float_(WashoutRules{}.ascent), py::str("on leaving"));
  return washout_limit_at_bottom(vval18, rules.descent, number(depth, "depth", "fsw"));
}

} // namespace

void register_historic(py::module_& module) {
  py::tuple models(historic_models.size());
  for (std::size_t j = 0; j < historic_models.size(); ++j)
    models[j] = std::string(historic_models[j].set.name);
  module.attr("historic_models") = models;
  module.def("historic_limits", &limits_of);
  module.def("historic_schedule", &scheduled);
  module.def("historic_no_stop_limit", &limited);
  module.def("washout_schedule", &washout_scheduled);
  module.def("washout_no_stop_limit", &washout_limited);
  module.def("washout_limit_at_bottom", &washout_at_bottom);
}

} // namespace upline::python

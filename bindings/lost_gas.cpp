#include "diver.hpp"
#include "results.hpp"

#include <upline/lost_gas.hpp>
#include <upline/lost_gas_text.hpp>

#include <pybind11/stl.h>

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace upline::python {
namespace {

py::object minutes_or_none(const std::optional<Minutes>& moment) {
  if (!moment) return py::none();
  return py::float_(in_minutes(*moment));
}

std::vector<Depth> depths_of(py::handle value, Units units) {
  std::vector<Depth> depths;
  if (value.is_none()) return depths;
  for (const py::object& one :
       items(value, "last_stops", "a list of depths", "write last_stops=[3, 6]"))
    depths.push_back(depth_of(one, "last_stops", units));
  return depths;
}

py::dict moment_of(const LossMoment& moment, const Plan& plan) {
  const Units units = plan.rules.units;
  const double length = length_unit(units);
  py::dict d;
  d["at"] = in_minutes(moment.at);
  d["depth"] = result_in(in_metres(moment.depth), length);
  d["reason"] = moment.reason;
  d["short_by"] = result_in(in_litres(moment.short_by()), volume_unit(units));
  py::list short_of;
  for (const GasShort& one : moment.short_of)
    short_of.append(py::make_tuple(one.gas, result_in(in_litres(one.volume), volume_unit(units))));
  d["short_of"] = py::tuple(short_of);
  const bool up = moment.reason.empty();
  d["breathed"] = up ? py::cast(moment.breathed) : py::none();
  d["last_stop"] =
      up ? py::object(py::float_(result_in(in_metres(moment.last_stop), length))) : py::none();
  py::list stops;
  for (const Stop& stop : moment.stops)
    stops.append(py::make_tuple(result_in(in_metres(stop.depth), length), in_minutes(stop.departs),
                                stop.gas));
  d["stops"] = py::tuple(stops);
  d["time_to_surface"] =
      up ? py::object(py::float_(in_minutes(moment.time_to_surface))) : py::none();
  d["cns"] = up ? py::object(py::float_(moment.cns)) : py::none();
  d["refusals"] = shown_cautions(moment.refusals, units);
  return d;
}

py::object moment_or_none(const std::optional<LossMoment>& moment, const Plan& plan) {
  if (!moment) return py::none();
  return moment_of(*moment, plan);
}

py::dict reserve_of(const GasReserve& reserve, Units units) {
  py::dict d;
  d["gas"] = reserve.gas;
  d["volume"] = result_in(in_litres(reserve.volume), volume_unit(units));
  d["there"] = result_in(in_litres(reserve.there), volume_unit(units));
  d["at"] = in_minutes(reserve.at);
  d["cylinders"] = py::tuple(py::cast(reserve.cylinders));
  d["pressure"] = py::none();
  if (reserve.pressure)
    d["pressure"] = result_in(in_bar_gauge(*reserve.pressure), pressure_unit(units));
  d["filled"] = result_in(in_litres(reserve.filled), volume_unit(units));
  d["fill_pressure"] = py::none();
  if (reserve.fill_pressure)
    d["fill_pressure"] = result_in(in_bar_gauge(*reserve.fill_pressure), pressure_unit(units));
  return d;
}

py::dict loss_of(const LostCylinders& loss, const LostGas& found, const Plan& plan) {
  const DiverSupply& diver = found.divers[loss.diver];
  py::dict d;
  d["diver"] = diver.name;
  d["cylinders"] = py::tuple(py::cast(loss.cylinders));
  py::list gases;
  for (const std::size_t j : loss.cylinders) gases.append(diver.cylinders[j].gas());
  d["gases"] = py::tuple(gases);
  py::list spans;
  for (const ClosureSpan& span : loss.spans)
    spans.append(
        py::make_tuple(in_minutes(span.from), in_minutes(span.to), closure_name(span.closure)));
  d["spans"] = py::tuple(spans);
  d["closes"] = loss.closes();
  d["own_until"] = minutes_or_none(loss.own_until);
  d["shared_until"] = minutes_or_none(loss.shared_until);
  d["own_worst"] = moment_or_none(loss.own_worst, plan);
  d["shared_worst"] = moment_or_none(loss.shared_worst, plan);
  py::list reserves;
  for (const GasReserve& one : loss.reserves) reserves.append(reserve_of(one, plan.rules.units));
  d["reserves"] = reserves;
  d["reserves_close"] = loss.reserves_close;
  d["highest_cns"] = loss.highest_cns;
  d["highest_cns_at"] = in_minutes(loss.highest_cns_at);
  return d;
}

py::tuple lines_of(const std::vector<std::string>& lines) {
  py::tuple tuple(py::cast(lines));
  return tuple;
}

py::dict found(py::handle asked, const py::list& divers, py::handle stress_for,
               py::handle last_stops, py::handle every) {
  const Plan& plan = plan_of(asked);
  const Units units = plan.rules.units;
  std::vector<DiverSupply> team;
  for (const py::handle one : divers) team.push_back(diver_of(one.cast<py::tuple>(), units));
  constexpr double seconds = 60.0; // in a minute
  const LossRules rules{.stress_for = minutes(number(stress_for, "stress_for", "min")),
                        .last_stops = depths_of(last_stops, units),
                        .every = minutes(number(every, "every", "s") / seconds)};
  const LostGas answer = [&] {
    const py::gil_scoped_release others_may_run;
    return lost_gas(plan, team, rules);
  }();
  const detail::LostGasText words(answer, plan);
  py::list losses;
  for (const LostCylinders& loss : answer.losses) losses.append(loss_of(loss, answer, plan));
  py::list tables;
  for (std::size_t j = 0; j < team.size(); ++j) {
    py::list table;
    for (const std::vector<std::string>& line : words.table(j)) table.append(lines_of(line));
    tables.append(py::tuple(table));
  }
  py::dict d;
  d["losses"] = losses;
  d["closes"] = answer.closes();
  d["tables"] = py::tuple(tables);
  d["title"] = words.title();
  d["said"] = lines_of(words.open_losses());
  d["broken"] = lines_of(words.broken());
  d["reserve_lines"] = lines_of(words.reserves());
  d["sequel_lines"] = lines_of(words.sequels());
  d["assumed"] = words.assumed();
  d["text"] = words.whole();
  d["units"] = units_name(units);
  return d;
}

} // namespace

void register_lost_gas(py::module_& module) {
  module.def("lost_gas", &found);
  module.attr("lost_gas_all_close") = detail::LostGasText::all_close();
  module.attr("lost_gas_reserves") = detail::LostGasText::reserves_title;
  module.attr("lost_gas_sequels") = detail::LostGasText::sequels_title;
}

} // namespace upline::python

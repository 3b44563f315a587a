#include "diver.hpp"

#include <upline/consumption.hpp>
#include <upline/consumption_text.hpp>
#include <upline/content_trace.hpp>

#include <pybind11/stl.h>

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace upline::python {
namespace {

/// A number for each cylinder.
template <class F>
py::tuple for_each_cylinder(std::size_t count, F&& number_of) {
  py::tuple all(count);
  for (std::size_t j = 0; j < count; ++j) all[j] = py::float_(number_of(j));
  return all;
}

py::dict row_of(const Consumption& c, const Plan& plan, std::size_t k) {
  const Units units = plan.rules.units;
  const double volume = volume_unit(units);
  const double pressure = pressure_unit(units);
  const Row& row = plan.rows[k];
  const RowUse& use = c.rows[k];
  const std::size_t count = c.supply.cylinders.size();
  const auto before = [&](std::size_t j) {
    return k == 0 ? c.supply.cylinders[j].pressure() : c.rows[k - 1].left[j];
  };
  py::dict d;
  d["phase"] = phase_name(row.phase);
  d["from_depth"] = result_in(in_metres(row.from), length_unit(units));
  d["to_depth"] = result_in(in_metres(row.to), length_unit(units));
  d["begins"] = in_minutes(row.begins);
  d["ends"] = in_minutes(row.ends);
  d["gas"] = row.gas;
  d["volume"] = result_in(in_litres(use.volume), volume);
  d["short_by"] = result_in(in_litres(use.short_by), volume);
  d["empty_at"] = py::none();
  if (use.empty_at) d["empty_at"] = in_minutes(*use.empty_at);
  d["taken"] = for_each_cylinder(
      count, [&](std::size_t j) { return result_in(in_litres(use.taken[j]), volume); });
  d["drop"] = for_each_cylinder(count, [&](std::size_t j) {
    return result_in(in_bar_gauge(before(j) - use.left[j]), pressure);
  });
  d["left"] = for_each_cylinder(
      count, [&](std::size_t j) { return result_in(in_bar_gauge(use.left[j]), pressure); });
  d["content"] = for_each_cylinder(
      count, [&](std::size_t j) { return result_in(in_litres(use.content[j]), volume); });
  return d;
}

Consumption drawn(const Plan& plan, const py::tuple& diver, py::handle stress_from) {
  const DiverSupply supply = diver_of(diver, plan.rules.units);
  std::optional<Minutes> moment;
  if (!stress_from.is_none()) moment = minutes(number(stress_from, "stress_from", "min"));
  return consumption(plan, supply, moment);
}

py::tuple texts(const std::vector<std::string>& lines) {
  py::tuple tuple(py::cast(lines));
  return tuple;
}

/// What each cylinder holds at the moments where its line bends, and what stands beside the line.
py::dict traced(py::handle asked, const py::tuple& diver, py::handle stress_from) {
  const Plan& plan = plan_of(asked);
  const double volume = volume_unit(plan.rules.units);
  const Consumption c = drawn(plan, diver, stress_from);
  const ContentTrace trace = content_trace(c, plan);
  py::list times;
  for (const Minutes at : trace.run_time) times.append(in_minutes(at));
  py::list contents;
  py::list labels;
  for (std::size_t j = 0; j < c.supply.cylinders.size(); ++j) {
    py::list content;
    for (const std::vector<Litres>& moment : trace.content)
      content.append(result_in(in_litres(moment[j]), volume));
    contents.append(content);
    labels.append(content_label(c, plan, j));
  }
  py::dict d;
  d["run_time"] = times;
  d["contents"] = contents;
  d["labels"] = labels;
  return d;
}

py::dict found(py::handle asked, const py::tuple& diver, py::handle stress_from) {
  const Plan& plan = plan_of(asked);
  const Units units = plan.rules.units;
  const Consumption c = drawn(plan, diver, stress_from);
  py::tuple rows(c.rows.size());
  for (std::size_t k = 0; k < c.rows.size(); ++k) rows[k] = row_of(c, plan, k);
  py::list table;
  for (const std::vector<std::string>& line : consumption_table(c, plan))
    table.append(py::tuple(py::cast(line)));
  const std::vector<Cylinder>& cylinders = c.supply.cylinders;
  const std::size_t count = cylinders.size();
  py::tuple carried(count);
  for (std::size_t j = 0; j < count; ++j)
    carried[j] = py::cast(StatedCylinder{cylinders[j], units});
  py::dict d;
  d["rows"] = rows;
  d["cylinders"] = carried;
  d["taken"] = for_each_cylinder(count, [&](std::size_t j) {
    return result_in(in_litres(c.taken_from(j)), volume_unit(units));
  });
  d["left"] = for_each_cylinder(count, [&](std::size_t j) {
    return result_in(in_bar_gauge(c.left_in(j)), pressure_unit(units));
  });
  d["content"] = for_each_cylinder(count, [&](std::size_t j) {
    return result_in(in_litres(cylinders[j].content()), volume_unit(units));
  });
  d["volume"] = result_in(in_litres(c.volume()), volume_unit(units));
  d["short_by"] = result_in(in_litres(c.short_by()), volume_unit(units));
  d["closes"] = c.closes();
  d["table"] = py::tuple(table);
  d["title"] = consumption_title(c);
  d["empty"] = texts(consumption_empty(c, plan));
  d["sums"] = texts(consumption_sums(c, plan));
  d["verdict"] = consumption_verdict(c, plan);
  d["breathing"] = consumption_assumptions(c, plan);
  d["text"] = consumption_text(c, plan);
  d["units"] = units_name(units);
  return d;
}

} // namespace

void register_consumption(py::module_& module) {
  module.def("consumption", &found);
  module.def("content_trace", &traced);
}

} // namespace upline::python

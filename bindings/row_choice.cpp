#include "arguments.hpp"
#include "results.hpp"

#include <upline/row_choice.hpp>
#include <upline/row_choice_text.hpp>

#include <pybind11/stl.h>

#include <cmath>
#include <cstddef>
#include <optional>
#include <utility>
#include <vector>

namespace upline::python {
namespace {

constexpr const char* weights_allowed = "a list for each value of deeper";
constexpr const char* weights_remedy = "write [[4, 2], [2, 1]] for two values of each";

DeviationBox box_of(py::handle deeper, py::handle later, py::handle weights, Units units) {
  DeviationBox box;
  for (const py::object& one :
       items(deeper, "deeper", "a list of lengths", "write it as [0, 3, 6]"))
    box.deeper.push_back(depth_of(one, "deeper", units));
  for (const py::object& one : items(later, "later", "a list of minutes", "write it as [0, 5]"))
    box.later.push_back(minutes(number(one, "later", "min")));
  if (weights.is_none()) return box;
  const std::vector<py::object> lines = items(weights, "weights", weights_allowed, weights_remedy);
  if (lines.size() != box.deeper.size())
    throw InvalidInput("weights", std::to_string(lines.size()) + " lists",
                       std::to_string(box.deeper.size()) + ", one for each value of deeper",
                       weights_remedy);
  for (const py::object& line : lines) {
    const std::vector<py::object> row =
        items(line, "weights", "a number for each value of later", weights_remedy);
    if (row.size() != box.later.size())
      throw InvalidInput("weights", std::to_string(row.size()) + " numbers in a list",
                         std::to_string(box.later.size()) + ", one for each value of later",
                         weights_remedy);
    for (const py::object& one : row) box.weights.push_back(number(one, "weights", ""));
  }
  return box;
}

std::size_t rows_of(py::handle given) {
  constexpr const char* remedy = "say how many rows the slate has, that of the plan among them";
  const double rows = number_within(given, "rows", "", 2.0, 8.0, remedy);
  if (rows != std::floor(rows))
    throw InvalidInput("rows", detail::trimmed(rows, 6), "a whole number, 2 to 8", remedy);
  return static_cast<std::size_t>(rows);
}

py::object minutes_or_none(const std::optional<Minutes>& value) {
  if (!value) return py::none();
  return py::float_(in_minutes(*value));
}

py::list cells_of(const RowChoice& choice, Units units) {
  py::list cells;
  for (const BoxCell& one : choice.cells) {
    py::dict d;
    d["deeper"] = result_in(in_metres(one.what.deeper), length_unit(units));
    d["later"] = in_minutes(one.what.later);
    d["weight"] = one.weight;
    d["name"] = row_name(one.what, units);
    d["run_time"] = minutes_or_none(one.run_time);
    d["row"] = one.row ? py::object(py::int_(*one.row)) : py::object(py::none());
    d["extra"] = one.row ? py::object(py::float_(in_minutes(one.extra))) : py::object(py::none());
    d["reason"] = one.reason;
    cells.append(d);
  }
  return cells;
}

py::list chosen_rows(RowChoice& choice, Units units) {
  py::list rows;
  for (ChosenRow& one : choice.rows) {
    py::dict d;
    d["name"] = row_name(one.what, units);
    d["deeper"] = result_in(in_metres(one.what.deeper), length_unit(units));
    d["later"] = in_minutes(one.what.later);
    d["plan"] = py::cast(std::move(one.plan));
    d["cells"] = py::tuple(py::cast(one.cells));
    d["largest_extra"] = in_minutes(one.largest_extra);
    rows.append(d);
  }
  return rows;
}

py::dict found(py::handle asked, py::handle deeper, py::handle later, py::handle rows,
               py::handle weights) {
  const Plan& plan = plan_of(asked);
  const Units units = plan.rules.units;
  const DeviationBox box = box_of(deeper, later, weights, units);
  RowChoice choice = choose_rows(plan, box, rows_of(rows));
  const detail::RowChoiceText words(choice);
  py::dict d;
  d["title"] = words.title();
  d["verdict"] = words.verdict();
  d["row_table"] = py::cast(words.rows());
  d["dive_table"] = py::cast(words.which());
  d["unserved"] = py::cast(words.unserved());
  d["legend"] = detail::RowChoiceText::legend();
  d["text"] = words.whole();
  d["units"] = units_name(units);
  d["total_extra"] = in_minutes(choice.total_extra);
  d["largest_extra"] = in_minutes(choice.largest_extra);
  d["proved"] = choice.proved;
  d["least_total"] = in_minutes(choice.least_total);
  d["one_more_saves"] = minutes_or_none(choice.one_more);
  d["one_more_serves"] = choice.one_more_cells;
  d["cells"] = cells_of(choice, units);
  d["rows"] = chosen_rows(choice, units); // last: it takes the plans
  return d;
}

} // namespace

void register_row_choice(py::module_& module) { module.def("choose_rows", &found); }

} // namespace upline::python

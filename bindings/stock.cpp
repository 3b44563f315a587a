#include "arguments.hpp"
#include "dive.hpp"

#include <upline/stock.hpp>
#include <upline/stock_text.hpp>

#include <pybind11/stl.h>

#include <array>
#include <cstddef>
#include <string>
#include <utility>
#include <vector>

namespace upline::python {
namespace {

constexpr std::array dropped_names{"oxygen handling", "too narcotic", "too dense",
                                   "nitrogen rises",  "not taken up", "refused",
                                   "no schedule"};

std::size_t whole_of(py::handle value, const char* field) {
  const double given = number_within(value, field, "gases", 0.0, 3.0,
                                     "say how many gases may be carried beside the bottom gas");
  if (given != static_cast<double>(static_cast<std::size_t>(given)))
    throw InvalidInput(field, shown(value), "0, 1, 2 or 3", "give a whole number");
  return static_cast<std::size_t>(given);
}

/// In the order in which python/upline/_stock.py hands them on.
StockLimits limits_of(const py::tuple& given, Units units) {
  StockLimits limits;
  limits.most_ascent_gases = whole_of(given[0], "most_ascent_gases");
  if (!given[1].is_none())
    limits.oxygen_handling_above = number(given[1], "oxygen_handling_above", "fraction");
  limits.without_oxygen_handling = truth(given[2], "without_oxygen_handling");
  if (!given[3].is_none()) limits.narcotic_depth = depth_of(given[3], "narcotic_depth", units);
  limits.narcotic = choice(given[4], "narcotic", {"nitrogen and oxygen", "nitrogen"}) == 0
                        ? Narcotic::nitrogen_and_oxygen
                        : Narcotic::nitrogen;
  if (!given[5].is_none()) limits.density = number(given[5], "density", "g/L");
  if (!given[6].is_none()) limits.nitrogen_rise = number(given[6], "nitrogen_rise", "share");
  return limits;
}

py::tuple gases_of(const std::vector<GasChoice>& gases) {
  py::tuple all(gases.size());
  for (std::size_t j = 0; j < gases.size(); ++j) all[j] = py::cast(gases[j].gas);
  return all;
}

py::dict set_of(const GasSet& set) {
  py::dict d;
  d["gases"] = gases_of(set.gases);
  d["time_to_surface"] = in_minutes(set.time_to_surface);
  d["run_time"] = in_minutes(set.run_time);
  d["bar_minutes"] = set.bar_minutes;
  d["cns"] = set.cns;
  d["otu"] = set.otu;
  d["oxygen_handling"] = py::cast(set.oxygen_handling);
  d["unbeaten"] = set.unbeaten;
  d["cautions"] = set.cautions;
  py::dict saves;
  for (const GasWorth& one : set.worth) {
    py::object minutes_saved = py::none();
    if (one.saves) minutes_saved = py::float_(in_minutes(*one.saves));
    saves[py::str(one.gas.text())] = minutes_saved;
  }
  d["saves"] = saves;
  return d;
}

py::dict dropped_of(const DroppedSet& set, Units units) {
  py::dict d;
  d["gases"] = gases_of(set.gases);
  d["why"] = dropped_names[static_cast<std::size_t>(set.why)];
  d["text"] = detail::dropped_phrase(set, units);
  return d;
}

py::dict found(const py::tuple& limits, const py::args& given) {
  const Asked asked = asked_by(given); // the stock stands in the place of the gases
  const Units units = asked.rules.units;
  Dive dive = asked.dive;
  const std::vector<GasChoice> stock = std::exchange(dive.gases, {});
  const StockLimits wanted = limits_of(limits, units);
  StockChoice choice;
  {
    const py::gil_scoped_release others_may_run;
    choice = choose_gases(dive, asked.rules, stock, wanted);
  }
  py::list sets;
  for (const GasSet& set : choice.sets) sets.append(set_of(set));
  py::list dropped;
  for (const DroppedSet& set : choice.dropped) dropped.append(dropped_of(set, units));
  py::list table;
  table.append(py::tuple(py::cast(stock_columns)));
  for (const StockLine& line : stock_table(unbeaten_sets(choice), units))
    table.append(py::tuple(py::cast(line)));
  py::dict d;
  d["sets"] = sets;
  d["dropped"] = dropped;
  d["table"] = py::tuple(table);
  d["reasons"] = py::tuple(py::cast(dropped_table(choice.dropped, units)));
  d["title"] = stock_title(dive, asked.rules);
  d["text"] = stock_text(choice, dive, asked.rules);
  d["units"] = units_name(units);
  return d;
}

} // namespace

void register_stock(py::module_& module) {
  module.def("choose_gases", &found);
  module.attr("stock_criteria") = std::string(stock_criteria);
}

} // namespace upline::python

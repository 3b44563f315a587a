#include "diver.hpp"
#include "results.hpp"

#include <upline/deadline.hpp>
#include <upline/deadline_text.hpp>
#include <upline/reserve.hpp>
#include <upline/reserve_text.hpp>
#include <upline/turn_pressure.hpp>

#include <pybind11/stl.h>

#include <array>
#include <cmath>
#include <cstddef>
#include <optional>
#include <string>
#include <type_traits>
#include <vector>

namespace upline::python {
namespace {

/// The fields of each Diver in Python.
std::vector<DiverSupply> team_of(const py::list& divers, Units units) {
  std::vector<DiverSupply> team;
  for (const py::handle one : divers) team.push_back(diver_of(one.cast<py::tuple>(), units));
  return team;
}

ReserveRules rules_of(py::handle sharing, py::handle at_depth, py::handle gone,
                      py::handle decompression) {
  constexpr const char* remedy = "give how many breathe from one diver's supply, that one too";
  const double count = number_within(sharing, "sharing", "divers", 1.0, 6.0, remedy);
  if (count != std::floor(count))
    throw InvalidInput("sharing", shown(sharing), "a whole number, 1 to 6", remedy);
  ReserveRules rules{static_cast<int>(count), minutes(number(at_depth, "minutes_at_depth", "min")),
                     truth(gone, "next_gas_gone"), CoversLossOfNext{}};
  if (PyUnicode_Check(decompression.ptr()))
    (void)choice(decompression, "decompression", {"covers loss of the next gas"},
                 ", or the fraction kept as a number");
  else
    rules.decompression = KeptFraction{number(decompression, "decompression", "")};
  return rules;
}

template <class Value, class Number>
py::object or_none(const std::optional<Value>& value, Number&& number_of) {
  if (!value) return py::none();
  auto number = number_of(*value);
  if constexpr (std::is_base_of_v<py::object, decltype(number)>)
    return number;
  else
    return py::cast(number);
}

py::object gas_or_none(const std::optional<Gas>& gas) {
  return or_none(gas, [](const Gas& one) { return one; });
}

py::object minutes_or_none(const std::optional<Minutes>& time) {
  return or_none(time, [](Minutes one) { return in_minutes(one); });
}

py::tuple tuples_of(const std::vector<std::vector<std::string>>& lines) {
  py::list table;
  for (const std::vector<std::string>& line : lines) table.append(py::tuple(py::cast(line)));
  py::tuple tuple(table);
  return tuple;
}

py::dict requirement_of(const Requirement& one, const std::vector<DiverSupply>& team,
                        const ReserveRules& rules, Units units) {
  const auto volume = [&](Litres x) { return result_in(in_litres(x), volume_unit(units)); };
  constexpr std::array names{"planned dive", "sharing", "decompression"};
  py::dict d;
  d["diver"] = detail::diver_name(team, one.diver);
  d["gas"] = one.gas;
  d["what"] = names.at(static_cast<std::size_t>(one.what));
  d["purpose"] = detail::purpose_text(one, rules);
  d["gone"] = gas_or_none(one.gone);
  d["needed"] = or_none(one.needed, volume);
  d["planned"] = volume(one.planned);
  d["available"] = volume(one.available);
  d["short_by"] = volume(one.short_by);
  d["reading"] = or_none(one.reading, [&](GaugePressure x) {
    return result_in(in_bar_gauge(x), pressure_unit(units));
  });
  d["at"] = in_minutes(one.at);
  d["closes"] = one.closes();
  d["reason"] = one.reason;
  return d;
}

py::object way_of(const SharingWay& one, Minutes leaves, Units units) {
  py::dict d;
  d["without"] = gas_or_none(one.without);
  d["leads_to"] = gas_or_none(one.leads_to);
  d["to_depth"] = result_in(in_metres(one.to), length_unit(units));
  d["ends"] = one.plan ? py::object(py::float_(in_minutes(one.ends))) : py::none();
  d["minutes"] = one.plan ? py::object(py::float_(in_minutes(one.ends - leaves))) : py::none();
  d["plan"] = or_none(one.plan, [](const Plan& plan) { return plan; });
  d["reason"] = one.reason;
  return d;
}

py::dict limit_of(const GasLimit& limit, const std::vector<DiverSupply>& team,
                  const ReserveRules& rules, Units units) {
  py::dict d;
  d["bottom_time"] = minutes_or_none(limit.bottom_time);
  d["ended"] = limit.ended;
  d["fails"] = or_none(
      limit.fails, [&](const Requirement& one) { return requirement_of(one, team, rules, units); });
  d["reason"] = limit.reason;
  d["step"] = in_minutes(limit.step);
  d["searched_from"] = in_minutes(limit.searched_from);
  d["searched_to"] = in_minutes(limit.searched_to);
  return d;
}

py::dict reserves_of(py::handle asked, const py::list& divers, py::handle sharing,
                     py::handle at_depth, py::handle gone, py::handle decompression) {
  const Plan& plan = plan_of(asked);
  const Units units = plan.rules.units;
  const std::vector<DiverSupply> team = team_of(divers, units);
  const ReserveRules rules = rules_of(sharing, at_depth, gone, decompression);
  const Reserves found = reserves(plan, team, rules);
  const GasLimit limit = gas_limit(plan, team, rules);
  const auto listed = [&](const std::vector<Requirement>& all) {
    py::list lines;
    for (const Requirement& one : all) lines.append(requirement_of(one, team, rules, units));
    return lines;
  };
  py::dict d;
  d["requirements"] = listed(found.requirements);
  d["other_sharing"] = listed(found.other_sharing);
  d["binds"] = requirement_of(found.binds(), team, rules, units);
  d["closes"] = found.closes();
  d["with_next"] = way_of(found.with_next, plan.bottom_time, units);
  d["without_next"] = or_none(found.without_next, [&](const SharingWay& one) {
    return way_of(one, plan.bottom_time, units);
  });
  d["limit"] = limit_of(limit, team, rules, units);
  const detail::ReserveText words(found, limit);
  d["verdict"] = words.sentence();
  d["table"] = tuples_of(words.table());
  d["ways"] = py::tuple(py::cast(words.ways()));
  d["legend"] = words.legend();
  d["assumptions"] = words.assumptions();
  d["text"] = words.whole();
  d["units"] = units_name(units);
  return d;
}

py::dict deadline_of(const Deadline& one, const std::vector<DiverSupply>& team, Units units) {
  py::list divers;
  for (std::size_t j = 0; j < one.divers.size(); ++j) {
    const DiverDeadline& own = one.divers[j];
    py::dict d;
    d["diver"] = detail::diver_name(team, j);
    d["leave_by"] = minutes_or_none(own.leave_by);
    d["ended"] = own.ended;
    d["runs_out"] = gas_or_none(own.runs_out);
    d["short_by"] = result_in(in_litres(own.short_by), volume_unit(units));
    d["reason"] = own.reason;
    divers.append(d);
  }
  py::dict d;
  d["name"] = detail::DeadlineText::lost_name(one);
  d["lost"] = py::tuple(py::cast(one.lost));
  d["leave_by"] = minutes_or_none(one.leave_by());
  d["ended"] = one.ended();
  d["divers"] = divers;
  return d;
}

py::dict deadlines_of(py::handle asked, const py::list& divers, py::handle sharing,
                      py::handle at_depth, py::handle gone, py::handle decompression) {
  const Plan& plan = plan_of(asked);
  const Units units = plan.rules.units;
  const Deadlines found =
      deadlines(plan, team_of(divers, units), rules_of(sharing, at_depth, gone, decompression));
  py::dict d;
  d["with_reserves"] = limit_of(found.with_reserves, found.team, found.rules, units);
  py::list lost;
  for (const Deadline& one : found.lost) lost.append(deadline_of(one, found.team, units));
  d["lost"] = lost;
  const detail::DeadlineText words(found);
  d["sentences"] = py::tuple(py::cast(words.sentences()));
  d["table"] = tuples_of(words.table());
  d["legend"] = words.legend();
  d["assumptions"] = words.assumptions();
  d["text"] = words.whole();
  d["units"] = units_name(units);
  return d;
}

py::dict turns_of(const py::list& divers, py::handle gas, py::handle fraction, py::handle system) {
  const Units units = units_of(system);
  const TurnPressures found =
      turn_pressures(team_of(divers, units), gas_of(gas, "gas"), number(fraction, "fraction", ""));
  const auto volume = [&](Litres x) { return result_in(in_litres(x), volume_unit(units)); };
  py::list each;
  for (std::size_t j = 0; j < found.divers.size(); ++j) {
    const TurnPressure& one = found.divers[j];
    py::tuple readings(one.readings.size());
    for (std::size_t k = 0; k < one.readings.size(); ++k)
      readings[k] = result_in(in_bar_gauge(one.readings[k]), pressure_unit(units));
    py::dict d;
    d["diver"] = detail::diver_name(found.team, j);
    d["readings"] = readings;
    d["content"] = volume(one.content);
    d["left"] = volume(one.left);
    d["brings_two_back"] = one.brings_two_back;
    each.append(d);
  }
  py::dict d;
  d["gas"] = found.gas;
  d["fraction"] = found.fraction;
  d["used"] = volume(found.used);
  d["divers"] = each;
  d["table"] = tuples_of(turn_table(found, units));
  d["title"] = detail::turn_title(found, units);
  d["legend"] = detail::turn_legend;
  d["text"] = turn_text(found, units);
  d["units"] = units_name(units);
  return d;
}

} // namespace

void register_reserve(py::module_& module) {
  module.def("reserves", &reserves_of);
  module.def("deadlines", &deadlines_of);
  module.def("turn_pressures", &turns_of);
}

} // namespace upline::python

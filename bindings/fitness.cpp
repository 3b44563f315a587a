#include "kit.hpp"

#include <upline/fitness.hpp>
#include <upline/fitness_text.hpp>

#include <pybind11/stl.h>

#include <cmath>
#include <cstddef>
#include <string>
#include <utility>
#include <vector>

namespace upline::python {
namespace {

std::optional<Interval> interval_from(const py::dict& given, const char* field) {
  const py::object value = given[field];
  if (value.is_none()) return {};
  return detail::interval_of(field, text(value, field, detail::interval_allowed,
                                         "write \"24 months\", \"7 days\" or \"5 years\""));
}

FitnessChoice choice_of(const py::dict& given, Units units) {
  const py::object line = given["oxygen_line"];
  const py::object day = given["day"];
  FitnessChoice choice{oxygen_line_at(number(line, "oxygen_line", "%")), date_from(day, "day")};
  choice.units = units;
  const py::object water = given["water_temperature"];
  if (!water.is_none()) {
    const bool metric = units == Units::metric;
    const double degrees = number(water, "water_temperature", metric ? "degrees C" : "degrees F");
    choice.water_temperature = metric ? celsius(degrees) : fahrenheit(degrees);
  }
  choice.cleaning_every = interval_from(given, "cleaning_every");
  choice.service_every = interval_from(given, "service_every");
  choice.intermediate_every = interval_from(given, "intermediate_every");
  choice.leak_every = interval_from(given, "leak_every");
  choice.cylinder_test_every = interval_from(given, "cylinder_test_every");
  const py::object outlet = given["outlet_en_144_3"];
  choice.outlet_en_144_3 = answer_of(outlet, "outlet_en_144_3");
  return choice;
}

/// A number in the unit of a measure; None where there is none.
py::object measured(double x, Measure measure, Units units) {
  if (!std::isfinite(x)) return py::none();
  switch (measure) {
  case Measure::pressure: return py::float_(result_in(x, pressure_unit(units)));
  case Measure::depth: return py::float_(result_in(x, length_unit(units)));
  case Measure::temperature: return py::float_(temperature_in(celsius(x), units));
  default: return py::float_(x);
  }
}

py::dict finding_of(const SetFitness& set, const KitFinding& one, const FitnessChoice& choice) {
  const detail::KitFindingText words(set, choice);
  const Measure measure = rule_of(one.rule).measure;
  py::dict d;
  d["item"] = words.of(one);
  d["kind"] = one.item == whole_set ? std::string_view("set") : item_kind_name(one.kind);
  d["rule"] = rule_name(one.rule);
  d["verdict"] = kit_verdict_name(one.verdict);
  d["share"] = one.share;
  d["found"] = measured(one.found, measure, choice.units);
  d["limit"] = measured(one.limit, measure, choice.units);
  d["done"] = shown_date(one.done);
  d["due"] = shown_date(one.due);
  d["missing"] =
      one.missing == KitField::nothing ? py::object(py::none()) : py::cast(field_name(one.missing));
  d["because"] = words.because(one);
  d["whose"] = authority_text(one.authority);
  d["remedy"] = detail::KitFindingText::remedy(one);
  return d;
}

py::object range_of(const std::optional<DepthRange>& range, Units units) {
  if (!range) return py::none();
  return py::make_tuple(result_in(in_metres(range->shallowest), length_unit(units)),
                        result_in(in_metres(range->deepest), length_unit(units)));
}

py::dict set_of(const SetFitness& set, const FitnessChoice& choice) {
  py::dict d;
  d["name"] = set.set.name;
  d["gas"] = set.set.gas;
  d["share"] = set.share;
  d["verdict"] = kit_verdict_name(set.verdict());
  d["sentence"] = kit_verdict_sentence(set.verdict());
  d["line"] = oxygen_line_text(set.share, choice.line);
  d["judged_at"] = detail::judged_at(set, choice);
  d["breathed"] = range_of(set.set.breathed, choice.units);
  d["carried"] = range_of(set.set.carried, choice.units);
  py::list items;
  for (std::size_t j = 0; j < set.set.items.size(); ++j) {
    const KitItem& item = set.set.items[j];
    items.append(
        py::make_tuple(item.name, item_kind_name(item.kind), kit_verdict_name(set.verdict(j))));
  }
  d["items"] = py::tuple(items);
  py::list findings;
  for (const KitFinding& one : set.findings) findings.append(finding_of(set, one, choice));
  d["findings"] = findings;
  py::list advice;
  for (const KitAdvice& one : set.advice)
    advice.append(py::make_tuple(advice_name(one.code), detail::followed_name(one.followed),
                                 detail::advice_words(one, choice.units)));
  d["advice"] = advice;
  return d;
}

/// @param given Sets as kit_set_of() reads them, each checked before.
py::dict found(const py::list& given, const py::dict& chosen, py::handle plan, py::handle system) {
  const Units units = units_of(system);
  const FitnessChoice choice = choice_of(chosen, units);
  std::vector<KitSet> sets;
  for (const py::handle one : given)
    sets.push_back(kit_set_of(py::reinterpret_borrow<py::dict>(one), units));
  const auto judge = [&] {
    if (plan.is_none()) return fitness(std::move(sets), choice);
    const Plan& made = plan_of(plan);
    if (made.rules.units != units)
      throw InvalidInput("units",
                         std::string("\"") + units_name(units) + "\" beside a plan in \"" +
                             units_name(made.rules.units) + "\"",
                         "one system of units", "state the kit in the units of the plan");
    return fitness(std::move(sets), choice, made);
  };
  const Fitness answer = judge();
  py::dict d;
  d["verdict"] = kit_verdict_name(answer.verdict());
  py::list shown_sets;
  for (const SetFitness& one : answer.sets) shown_sets.append(set_of(one, choice));
  d["sets"] = shown_sets;
  py::list table;
  for (const KitFindingLine& line : fitness_table(answer)) table.append(py::tuple(py::cast(line)));
  d["table"] = table;
  d["text"] = fitness_text(answer);
  d["assumptions"] = fitness_assumptions(choice);
  d["units"] = units_name(units);
  return d;
}

/// Every rule: code, threshold in its unit, whose, how sure, what it asks.
py::list rules(py::handle system) {
  const Units units = units_of(system);
  py::list all;
  for (const KitRule& one : kit_rules) {
    const double limit = threshold(one.code, units);
    py::dict d;
    d["rule"] = one.name;
    d["threshold"] = measured(limit, one.measure, units);
    d["whose"] = authority_text(one.authority);
    d["asks"] = one.asks;
    all.append(d);
  }
  return all;
}

} // namespace

void register_fitness(py::module_& module) {
  module.def("fitness", &found);
  module.def("kit_rules", &rules);
}

} // namespace upline::python

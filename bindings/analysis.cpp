#include "arguments.hpp"

#include <upline/analysis.hpp>
#include <upline/analysis_text.hpp>

#include <pybind11/stl.h>

#include <string>
#include <utility>
#include <vector>

namespace upline::python {
namespace {

/// The fields of an Analysis in Python, in the order of its definition.
Analysis analysis_of(const py::tuple& given) {
  return {gas_of(given[0], "label"), gas_of(given[1], "reading"),
          number(given[2], "oxygen_error", "fraction"),
          number(given[3], "helium_error", "fraction")};
}

/// The same for Python to keep.
py::tuple checked_analysis(py::handle label, py::handle reading, py::handle oxygen_error,
                           py::handle helium_error) {
  return py::make_tuple(gas_of(label, "label"), gas_of(reading, "reading"),
                        number(oxygen_error, "oxygen_error", "fraction"),
                        number(helium_error, "helium_error", "fraction"));
}

py::dict gas_found(const AnalysedGas& gas, Units units) {
  const auto length = [&](Depth depth) { return result_in(in_metres(depth), length_unit(units)); };
  py::dict d;
  d["label"] = gas.analysis.label;
  d["reading"] = gas.analysis.reading;
  d["deepest"] = length(gas.deepest);
  d["shallowest"] = length(gas.shallowest);
  d["operating_depth"] = length(gas.operating_depth);
  d["label_depth"] = length(gas.label_depth);
  d["minimum_depth"] = length(gas.minimum_depth);
  d["highest_po2"] = gas.highest_po2;
  d["po2_limit"] = gas.po2_limit;
  d["density"] = gas.density;
  d["narcotic_depth"] = length(gas.narcotic_depth);
  d["narcotic_depth_nitrogen"] = length(gas.narcotic_depth_nitrogen);
  d["within_oxygen_limit"] = gas.within_oxygen_limit();
  d["oxygen_suffices"] = gas.oxygen_suffices();
  return d;
}

py::dict trial_found(const MixTrial& trial) {
  py::dict d;
  d["mixes"] = trial.mixes;
  d["surfacing_fraction"] = trial.surfacing_fraction;
  d["margin"] = trial.margin;
  d["worst"] = py::tuple(py::cast(trial.worst));
  d["holds"] = trial.holds;
  return d;
}

py::dict found(py::handle asked, const py::list& given, py::handle allowance) {
  const Plan& plan = plan_of(asked);
  const Units units = plan.rules.units;
  std::vector<Analysis> analyses;
  for (const py::handle one : given) analyses.push_back(analysis_of(one.cast<py::tuple>()));
  AnalysedPlan judged = analysed(plan, analyses, number(allowance, "allowance", "fraction"));
  py::dict d;
  py::list gases;
  for (const AnalysedGas& gas : judged.gases) gases.append(gas_found(gas, units));
  py::list table;
  table.append(py::tuple(py::cast(analysis_columns)));
  for (const AnalysisLine& line : analysis_table(judged, units))
    table.append(py::tuple(py::cast(line)));
  d["gases"] = gases;
  d["table"] = py::tuple(table);
  d["findings"] = py::tuple(py::cast(analysis_findings(judged, plan)));
  d["text"] = analysis_text(judged, plan);
  d["remedy"] = remedy_name(judged.remedy);
  d["label"] = trial_found(judged.label);
  d["as_read_trial"] = py::none();
  if (judged.as_read_trial) d["as_read_trial"] = trial_found(*judged.as_read_trial);
  d["reason"] = judged.reason;
  d["units"] = units_name(units);
  d["as_read"] = py::none();
  d["leanest"] = py::none();
  if (judged.as_read) d["as_read"] = py::cast(std::move(*judged.as_read));
  if (judged.leanest) d["leanest"] = py::cast(std::move(*judged.leanest));
  return d;
}

} // namespace

void register_analysis(py::module_& module) {
  module.def("analysis", &checked_analysis);
  module.def("gas_has_helium",
             [](py::handle reading) { return gas_of(reading, "reading").helium > 0.0; });
  module.def("judge_analyses", &found);
}

} // namespace upline::python

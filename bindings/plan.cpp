#include "arguments.hpp"
#include "dive.hpp"
#include "results.hpp"

#include <upline/detail/number.hpp>
#include <upline/no_stop.hpp>
#include <upline/plan.hpp>
#include <upline/text.hpp>

#include <algorithm>
#include <string>

namespace upline::python {
namespace {

constexpr const char* plan_doc =
    R"(A decompression schedule with everything that was computed along with it.

`plan` makes one; ``print`` shows it as a table with its cautions, assumptions and foot. It is
immutable. Lengths are in metres or feet and gas in litres or cubic feet, as `units` says; times
in minutes, pressures in bar. Two plans are equal if they were computed from the same input by the
same version; plans in two systems of units never are.

Attributes
----------
stops : tuple of Stop
switches : tuple of Switch
rows : tuple of Row
    Every stretch of the dive, the way down included.
run_time, bottom_time, time_to_surface : float
    [min]
anchor : float or None
    Depth at which the limit line begins to open [m or ft]; None where the direct ascent touches
    no limit.
surfacing_fraction : float
    Largest supersaturation fraction on reaching the surface; 1 is the published limit.
surfacing_half_time : float
    Half-time of the compartment that has it [min].
oxygen : OxygenDose
bar_minutes : dict of str to float
    Per gas: integral of ambient pressure over time [bar min].
gas_use : dict of str to float, or None
    Per gas [L or cu ft at 1 bar]; None without a breathing rate.
extremes : Extremes
cautions : tuple of Caution
refused : bool
    Whether a caution refuses the plan: it is not to be dived.
end : State
    What the dive leaves behind; hand it to `rest` and on to the next `plan`.
assumptions : str
    One line that names every convention behind the numbers.
arguments : dict
    Keyword arguments of `plan`, complete: ``plan(**p.arguments) == p``.
units : "metric" or "imperial"
version : str
    Of the library that computed it.
)";

constexpr const char* to_dict_doc = R"(to_dict(self)
--

The plan as plain data that JSON can hold, in full precision, with its complete input.

Returns
-------
dict
    With ``"schema": 1``; `from_dict` reads it back.
)";

constexpr const char* from_dict_doc = R"(from_dict(data)
--

The plan that `to_dict` described, computed afresh from the input in it.

Raises
------
InvalidInput
    If `data` is no such record, its schema is unknown, or a number in it differs from the one
    computed now by more than 1e-9 of it.
)";

constexpr const char* to_frame_doc = R"(to_frame(self, of="rows")
--

The plan as a pandas DataFrame, in full precision, units in the names of the columns.

Parameters
----------
of : "rows" or "stops"
    Every stretch of the dive, or the stops alone.

Returns
-------
pandas.DataFrame

Raises
------
Error
    If pandas is missing: ``pip install pandas``.
)";

// The lock of the interpreter is kept: a plan takes some ten microseconds, less than it costs to
// hand the lock over and get it back. Many dives at once are another entry point's matter.
Plan planned(const py::args& given) {
  Asked asked = asked_by(given);
  return plan(std::move(asked.dive), std::move(asked.rules));
}

double limit_of(const py::args& given) {
  Asked asked = asked_without_time(given);
  return no_stop_limit(std::move(asked.dive), asked.rules);
}

py::object anchor_of(const Plan& p) {
  if (!p.anchor) return py::none();
  return py::float_(result_in(in_metres(*p.anchor), length_unit(p.rules.units)));
}

py::dict bar_minutes_of(const Plan& p) {
  py::dict result;
  for (const GasUse& use : p.gas) result[py::str(use.gas.text())] = use.bar_minutes;
  return result;
}

py::object gas_use_of(const Plan& p) {
  if (!p.rules.rmv) return py::none();
  py::dict result;
  for (const GasUse& use : p.gas)
    if (use.volume)
      result[py::str(use.gas.text())] = use.volume->base() / volume_unit(p.rules.units);
  return result;
}

std::string repr_of(const Plan& p) {
  const Units units = p.rules.units;
  const std::string deepest =
      detail::trimmed(depth_in(p.dive.levels.back().depth, units), 1) + " " + length_name(units);
  return "<upline.Plan " + deepest + " left at " + detail::clock_text(in_minutes(p.bottom_time)) +
         ", " + std::to_string(p.stops.size()) + " stops, run time " +
         detail::duration_text(in_minutes(p.run_time)) + ", " + std::to_string(p.cautions.size()) +
         " cautions" + (p.refused() ? ", refused>" : ">");
}

/// The rest follows from these; leave times do not where a team waits for somebody.
bool equal(const Plan& p, py::handle other) {
  if (!is_a<Plan>(other)) return false;
  const auto& q = other.cast<const Plan&>();
  return p.dive == q.dive && p.rules == q.rules && p.version == q.version &&
         std::equal(p.stops.begin(), p.stops.end(), q.stops.begin(), q.stops.end(),
                    [](const Stop& x, const Stop& y) { return x.departs == y.departs; });
}

} // namespace

void register_plan(py::module_& module) {
  py::class_<Plan> type(module, "Plan", plan_doc, py::is_final());
  made_only_by(type, "upline.plan(...)");
  type.def_property_readonly("stops", &stops_of)
      .def_property_readonly("switches", &switches_of)
      .def_property_readonly("rows", &rows_of)
      .def_property_readonly("run_time", [](const Plan& p) { return in_minutes(p.run_time); })
      .def_property_readonly("bottom_time", [](const Plan& p) { return in_minutes(p.bottom_time); })
      .def_property_readonly("time_to_surface",
                             [](const Plan& p) { return in_minutes(p.time_to_surface()); })
      .def_property_readonly("anchor", &anchor_of)
      .def_readonly("surfacing_fraction", &Plan::surfacing_fraction)
      .def_property_readonly("surfacing_half_time",
                             [](const Plan& p) { return half_time(p, p.surfacing_compartment); })
      .def_readonly("oxygen", &Plan::oxygen)
      .def_property_readonly("bar_minutes", &bar_minutes_of)
      .def_property_readonly("gas_use", &gas_use_of)
      .def_property_readonly("extremes", &extremes_of)
      .def_property_readonly("cautions", &cautions_of)
      .def_property_readonly("refused", &Plan::refused)
      .def_readonly("end", &Plan::end)
      .def_property_readonly("assumptions", [](const Plan& p) { return assumptions_text(p); })
      .def_property_readonly("arguments", &arguments_of)
      .def_property_readonly("units", [](const Plan& p) { return units_name(p.rules.units); })
      .def_readonly("version", &Plan::version)
      .def("to_dict", written_in_python("upline._record", "plan_to_dict", "Plan.to_dict"),
           to_dict_doc)
      .def("to_json", written_in_python("upline._record", "plan_to_json", "Plan.to_json"),
           "to_json(self)\n--\n\nWhat `to_dict` gives, as JSON text.")
      .def_static("from_dict",
                  static_in_python("upline._record", "plan_from_dict", "Plan.from_dict"),
                  from_dict_doc)
      .def_static("from_json",
                  static_in_python("upline._record", "plan_from_json", "Plan.from_json"),
                  "from_json(text)\n--\n\nAs `from_dict`, from JSON text.")
      .def("to_frame", written_in_python("upline._frame", "plan_to_frame", "Plan.to_frame"),
           to_frame_doc)
      .def("__str__", [](const Plan& p) { return text_of(p); })
      .def("__repr__", &repr_of)
      .def("__eq__", &equal)
      .def("__reduce__", [](py::handle self) {
        return py::make_tuple(py::module_::import("upline._record").attr("plan_from_dict"),
                              py::make_tuple(self.attr("to_dict")()));
      });
  py::tuple names(argument_names.size());
  for (std::size_t j = 0; j < argument_names.size(); ++j) names[j] = argument_names[j];
  module.attr("plan_arguments") = names;
  module.def("plan", &planned);
  module.def("no_stop_limit", &limit_of);
}

} // namespace upline::python

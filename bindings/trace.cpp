#include "arguments.hpp"
#include "results.hpp"

#include <upline/compartments.hpp>
#include <upline/limit.hpp>
#include <upline/text.hpp>
#include <upline/trace.hpp>

#include <cstddef>
#include <string>
#include <utility>
#include <vector>

namespace upline::python {
namespace {

constexpr const char* trace_doc = R"(A plan moment by moment; `Plan.trace` makes one.

There are m samples in order of time and 16 compartments, fastest first. The arrays are read-only
views: they cost no copy and keep what they show alive. Lengths are in metres or feet as `units`
says, pressures in bar.

Attributes
----------
time : ndarray, shape (m,)
    Run time [min].
depth : ndarray, shape (m,)
    [m or ft]
ambient : ndarray, shape (m,)
    Pressure [bar].
ceiling : ndarray, shape (m,)
    Shallowest depth that the limit line allows [m or ft]; 0 where the surface is allowed. Until
    the last level is left it is drawn on the line of the last ascent, whose anchor follows from
    that ascent alone.
factor : ndarray, shape (m,)
    Gradient factor that the line allows at the depth of the sample [1].
nitrogen, helium : ndarray, shape (m, 16)
    Tensions [bar].
tolerated : ndarray, shape (m, 16)
    Least ambient pressure tolerated at `factor` [bar]; beyond the limit where above `ambient`.
allowed : ndarray, shape (m, 16)
    Sum of the tensions that is just tolerated at `ambient` and `factor` [bar].
fraction : ndarray, shape (m, 16)
    Supersaturation fraction [1]: 1 at the published limit, negative below saturation.
half_time : ndarray, shape (16,)
    Half-times of the compartments for nitrogen, by which they are known [min].
assumptions : str
    One line that names every convention behind the numbers.
units : "metric" or "imperial"

Notes
-----
Each row of the plan is followed from its start by the exact solution, so that no error adds up
along it. Equations and sources: docs/theory.md.

Examples
--------
>>> import upline
>>> p = upline.plan(57, 25, ["18/45", "50", "O2"], gf="40/80", last_stop=6)
>>> t = p.trace()
>>> t.nitrogen.shape == (len(t), 16)
True
>>> round(float(t.fraction[-1].max()), 3), round(p.surfacing_fraction, 3)
(0.778, 0.778)
)";

constexpr const char* plan_trace_doc = R"(trace(self, step=1.0)
--

The plan moment by moment.

Parameters
----------
step : float
    Between samples [min], 1/60 or more; the ends of every row are sampled besides, so that no
    corner of the profile is cut. At most 100 000 steps.

Returns
-------
Trace
    Arrays of time, depth, pressures, tensions and what they tolerate.

Raises
------
InvalidInput
    For a step out of range.
)";

constexpr const char* to_frame_doc = R"(to_frame(self)
--

The trace as a pandas DataFrame, in full precision, units in the names of the columns.

Compartments are numbered from 1, fastest first; ``frame.attrs["half_time_min"]`` has their
half-times for nitrogen.

Returns
-------
pandas.DataFrame
    One line for each sample.

Raises
------
Error
    If pandas is missing: ``pip install pandas``.
)";

/// A trace in the units of its plan, with what reads it.
struct ShownTrace {
  Trace trace{};
  const CompartmentSet* set = nullptr; ///< A constant of the library.
  Units units = Units::metric;
  std::string assumptions{};
};

ShownTrace shown_trace(const Plan& plan, Minutes step) {
  ShownTrace shown;
  shown.trace = trace(plan, step);
  shown.set = &compartment_set(plan.rules.model);
  shown.units = plan.rules.units;
  shown.assumptions = assumptions_text(plan);
  Trace& t = shown.trace;
  const double unit = length_unit(shown.units);
  for (double& depth : t.depth) depth = result_in(depth, unit);
  for (double& ceiling : t.ceiling) ceiling = result_in(ceiling, unit);
  return shown;
}

ShownTrace trace_of(const Plan& plan, const py::args& args, const py::kwargs& kwargs) {
  const auto [given] = arguments_for<1>({"Plan.trace", {"step"}}, args, kwargs);
  const Minutes step = minutes(given ? number(given, "step", "min") : 1.0);
  py::gil_scoped_release others; // a long trace takes a second; no Python object is touched here
  return shown_trace(plan, step);
}

py::array_t<double> read_only(py::array_t<double> view) {
  view.attr("setflags")(py::arg("write") = false);
  return view;
}

/// View of one number for each sample.
py::array_t<double> view_of(const std::vector<double>& values, py::handle owner) {
  return read_only(
      py::array_t<double>(static_cast<py::ssize_t>(values.size()), values.data(), owner));
}

/// View of one number for each sample and compartment; std::array has no padding.
py::array_t<double> view_of(const std::vector<Lanes<double>>& rows, py::handle owner) {
  static_assert(sizeof(Lanes<double>) == compartment_count * sizeof(double));
  const py::array::ShapeContainer shape{static_cast<py::ssize_t>(rows.size()),
                                        static_cast<py::ssize_t>(compartment_count)};
  // Never empty: the start is sampled.
  return read_only(py::array_t<double>(shape, rows.front().data(), owner));
}

template <auto Column>
py::array_t<double> of_trace(py::handle self) {
  return view_of(self.cast<const ShownTrace&>().trace.*Column, self);
}

py::array_t<double> half_times(py::handle self) {
  return upline::python::view_of(self.cast<const ShownTrace&>().set->nitrogen.half_time, self);
}

std::string repr_of(const ShownTrace& shown) {
  return "<upline.Trace " + std::to_string(shown.trace.run_time.size()) +
         " samples, run time 0 to " + detail::duration_text(shown.trace.run_time.back()) +
         ", depth in " + length_name(shown.units) + ">";
}

} // namespace

void register_trace(py::module_& module) {
  py::class_<ShownTrace> type(module, "Trace", trace_doc, py::is_final());
  made_only_by(type, "upline.plan(...).trace()");
  type.def_property_readonly("time", &of_trace<&Trace::run_time>)
      .def_property_readonly("depth", &of_trace<&Trace::depth>)
      .def_property_readonly("ambient", &of_trace<&Trace::ambient>)
      .def_property_readonly("ceiling", &of_trace<&Trace::ceiling>)
      .def_property_readonly("factor", &of_trace<&Trace::factor>)
      .def_property_readonly("nitrogen", &of_trace<&Trace::nitrogen>)
      .def_property_readonly("helium", &of_trace<&Trace::helium>)
      .def_property_readonly("tolerated", &of_trace<&Trace::tolerated>)
      .def_property_readonly("allowed", &of_trace<&Trace::allowed>)
      .def_property_readonly("fraction", &of_trace<&Trace::fraction>)
      .def_property_readonly("half_time", &half_times)
      .def_readonly("assumptions", &ShownTrace::assumptions)
      .def_property_readonly("units", [](const ShownTrace& t) { return units_name(t.units); })
      .def("to_frame", written_in_python("upline._trace", "trace_to_frame", "Trace.to_frame"),
           to_frame_doc)
      .def("__len__", [](const ShownTrace& t) { return t.trace.run_time.size(); })
      .def("__repr__", &repr_of);

  // Plan is registered before; this room adds to it.
  py::class_<Plan> plan = module.attr("Plan");
  plan.def("trace", &trace_of, plan_trace_doc);
}

} // namespace upline::python

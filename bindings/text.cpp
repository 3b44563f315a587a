#include "bindings.hpp"

#include <upline/detail/number.hpp>
#include <upline/text.hpp>

#include <pybind11/stl.h>

#include <string>

namespace upline::python {
namespace {

constexpr const char* plot_doc = R"(plot(self, ax=None)
--

Draw the profile with its ceiling, and the margin below it.

One line is the profile, the hatched region the ceiling, above which the limit line does not allow
to go (until the last level is left: the line of the last ascent). The gas stands along the line;
a tick marks each switch. Below, the largest supersaturation fraction reached stands against the
one that the limit line allows at that depth: what lies between them is the margin. Nothing is told
by colour alone, and the colours are those of the style in use, light or dark.

Parameters
----------
ax : matplotlib.axes.Axes, optional
    Where to draw. Then only the profile is drawn, without the margin, and room is needed below it
    for the caution (``plt.subplots(layout="constrained")`` makes it). Without it a new figure is
    made.

Returns
-------
matplotlib.axes.Axes
    Of the profile; the margin is ``ax.figure.axes[1]`` of a new figure.

Raises
------
Error
    If matplotlib is missing: ``pip install matplotlib``.
WrongType
    If `ax` is no Axes.
)";

constexpr const char* plot_compartments_doc = R"(plot_compartments(self, run_time=None, ax=None)
--

Draw the tension in each compartment against its half-time at one moment.

The sum of the tensions stands against the sum that is just tolerated at the depth and the factor
of the moment. Both gases, their sum and what is allowed are told apart by line style.

Parameters
----------
run_time : float, optional
    The moment [min], 1/60 or more up to the run time of the plan, or 0; on surfacing if left out.
ax : matplotlib.axes.Axes, optional
    Where to draw; room is needed below it for the caution, as for `plot`. Without it a new figure
    is made.

Returns
-------
matplotlib.axes.Axes

Raises
------
InvalidInput
    For a run time that is not within the dive.
Error
    If matplotlib is missing: ``pip install matplotlib``.
WrongType
    If `ax` is no Axes.
)";

} // namespace

void register_text(py::module_& module) {
  module.attr("foot") = std::string(schedule_foot);
  module.attr("no_time_to_fly") = std::string(no_time_to_fly);
  module.attr("refusal") = std::string(schedule_refusal);
  module.def("schedule_title", &schedule_title);
  module.def("schedule_table", &schedule_table);
  module.def("schedule_sums", &schedule_sums);
  module.def("clock_text", &detail::clock_text);

  // Plan is registered before; this room adds to it.
  py::class_<Plan> plan = module.attr("Plan");
  plan.def("_repr_html_", written_in_python("upline._html", "plan_to_html", "Plan._repr_html_"),
           "_repr_html_(self)\n--\n\nThe schedule as a fragment of HTML, for notebooks.")
      .def("plot", written_in_python("upline._plot", "plot_plan", "Plan.plot"), plot_doc)
      .def("plot_compartments",
           written_in_python("upline._plot", "plot_compartments", "Plan.plot_compartments"),
           plot_compartments_doc);
}

} // namespace upline::python

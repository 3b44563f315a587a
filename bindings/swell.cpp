#include "arguments.hpp"

#include <upline/swell.hpp>
#include <upline/swell_text.hpp>

#include <pybind11/stl.h>

#include <vector>

namespace upline::python {
namespace {

py::dict band_of(const SwellBand& band, Units units) {
  const double unit = length_unit(units);
  py::dict d;
  d["amplitude"] = result_in(in_metres(band.amplitude), unit);
  d["shallowest"] = result_in(in_metres(band.shallowest), unit);
  d["deepest"] = result_in(in_metres(band.deepest), unit);
  d["lowest_po2"] = band.lowest_po2;
  d["highest_po2"] = band.highest_po2;
  d["margin"] = band.margin;
  d["calm_margin"] = band.calm_margin;
  d["beyond_for"] = in_minutes(band.beyond_for);
  d["surfacing_fraction"] = band.surfacing_fraction;
  return d;
}

py::dict found(py::handle asked, py::handle amplitudes, py::handle period) {
  const Plan& plan = plan_of(asked);
  const Units units = plan.rules.units;
  std::vector<Depth> heights;
  for (const py::object& one :
       items(amplitudes, "amplitudes", "a list of lengths", "write them as [0.5, 1.0]"))
    heights.push_back(depth_of(one, "amplitudes", units));
  const std::vector<SwellBand> bands =
      swell_at_last_stop(plan, heights, minutes(number(period, "period", "s") / 60.0));
  py::list shown_bands;
  for (const SwellBand& band : bands) shown_bands.append(band_of(band, units));
  py::list table;
  for (const SwellLine& line : swell_table(bands, units)) table.append(py::tuple(py::cast(line)));
  py::dict d;
  d["bands"] = shown_bands;
  d["table"] = table;
  d["title"] = swell_title(plan);
  d["legend"] = swell_legend(bands);
  d["text"] = swell_text(bands, plan);
  d["units"] = units_name(units);
  return d;
}

} // namespace

void register_swell(py::module_& module) { module.def("swell", &found); }

} // namespace upline::python

#include "arguments.hpp"

#include <upline/caution.hpp>
#include <upline/detail/number.hpp>
#include <upline/detail/require.hpp>

#include <string>

namespace upline::python {
namespace {

constexpr const char* gas_doc = R"(Gas(text=None, *, oxygen=None, helium=0.0)
--

A breathing mix; what is neither oxygen nor helium counts as nitrogen.

Parameters
----------
text : str, optional
    Per cent of oxygen, or of oxygen and helium: "air", "32", "EAN50", "50 %", "18/45", "O2".
oxygen, helium : float
    Or the fractions, 0.04 to 1 and 0 to 1 - oxygen.

Raises
------
InvalidInput
    For a text that names no mix, a mix under 4 % oxygen, or fractions that exceed 1.

Notes
-----
Immutable, hashable, equal by fractions; ``str(gas)`` is the shortest text that is read back.
Depths are gauge metres at sea level unless an `Environment` says otherwise. None of the depths
is rounded.

Examples
--------
>>> trimix = Gas("18/45")
>>> trimix == Gas(oxygen=0.18, helium=0.45)
True
>>> round(trimix.mod(1.4), 2), round(trimix.end(57), 2), round(trimix.density(57), 2)
(67.65, 26.79, 5.3)
)";

constexpr const char* mod_doc =
    R"(mod(self, po2, environment=None, units="metric")
--

Maximum operating depth: the deepest at which oxygen stays at or below `po2` bar.

Parameters
----------
po2 : float
    Oxygen pressure [bar], 0.05 to 4.
environment : Environment, optional
units : "metric" or "imperial"

Returns
-------
float
    Depth [m or ft], not rounded; negative where even the surface holds more.
)";

constexpr const char* min_depth_doc =
    R"(min_depth(self, po2=0.18, environment=None, units="metric")
--

Shallowest depth [m or ft] at which the mix holds at least `po2` bar of oxygen; 0 or more.
)";

constexpr const char* end_doc =
    R"(end(self, depth, oxygen_narcotic=True, environment=None, units="metric")
--

Equivalent narcotic depth [m or ft]: where air is as narcotic as the mix at `depth`.

With `oxygen_narcotic` all but helium counts; without it nitrogen alone. The two conventions
give different answers, so say which was used.
)";

constexpr const char* ead_doc =
    R"(ead(self, depth, environment=None, units="metric")
--

Equivalent air depth [m or ft]: where air has the nitrogen pressure of the mix at `depth`.
)";

constexpr const char* density_doc =
    R"(density(self, depth, temperature=0.0, environment=None, units="metric")
--

Density of the mix at `depth` [g/L] at a reference temperature [degrees C].

The published limits of 5.2 and 6.2 g/L belong to 0 degrees C.
)";

constexpr const char* po2_doc =
    R"(po2(self, depth, environment=None, units="metric")
--

Oxygen pressure of the mix at `depth` [bar].
)";

Gas make(const py::args& args, const py::kwargs& kwargs) {
  const auto [written, oxygen, helium] =
      arguments_for<3>({"Gas", {"text", "oxygen", "helium"}, 1}, args, kwargs);
  if (written && !written.is_none()) {
    if (oxygen || helium)
      throw InvalidInput("Gas", "given a text and fractions", "one of the two",
                         "leave out oxygen and helium, or the text");
    if (!PyUnicode_Check(written.ptr()))
      throw WrongType("gas", shown(written), "a text in per cent, such as \"32\"",
                      "put quotes around it, or write Gas(oxygen=0.32)");
    return gas_of(written, "gas");
  }
  if (!oxygen || oxygen.is_none())
    throw InvalidInput("gas oxygen fraction", "missing", "0.04 to 1",
                       "write Gas(\"32\") or Gas(oxygen=0.32)");
  return Gas(number(oxygen, "gas oxygen fraction", ""),
             helium ? number(helium, "gas helium fraction", "") : 0.0);
}

/// A depth at a place, and the units in which lengths go in and out.
struct Where {
  Place place;
  Units units;

  /// Null handles: not given.
  Where(py::handle environment, py::handle in) : place(), units(in ? units_of(in) : Units::metric) {
    place = environment_of(environment ? environment : py::handle(Py_None), units).place();
  }
  [[nodiscard]] double metres_of(py::handle depth) const {
    const Depth given = depth_of(depth, "depth", units);
    constexpr double deepest = 350.0;
    upline::detail::require_length("depth", given, metres(0.0), metres(deepest),
                                   "give a depth at or below the surface");
    return in_metres(given);
  }
  [[nodiscard]] double shown(double depth) const { return result_in(depth, length_unit(units)); }
};

double mod(const Gas& gas, const py::args& args, const py::kwargs& kwargs) {
  const auto [po2, environment, units] =
      arguments_for<3>({"Gas.mod", {"po2", "environment", "units"}, 3, 1}, args, kwargs);
  const Where where(environment, units);
  return where.shown(maximum_operating_depth(gas, number(po2, "po2", "bar"), where.place));
}

double least_depth(const Gas& gas, const py::args& args, const py::kwargs& kwargs) {
  const auto [po2, environment, units] =
      arguments_for<3>({"Gas.min_depth", {"po2", "environment", "units"}}, args, kwargs);
  constexpr double usual = 0.18; // [bar]
  const Where where(environment, units);
  return where.shown(minimum_depth(gas, po2 ? number(po2, "po2", "bar") : usual, where.place));
}

double end(const Gas& gas, const py::args& args, const py::kwargs& kwargs) {
  const auto [depth, oxygen_narcotic, environment, units] = arguments_for<4>(
      {"Gas.end", {"depth", "oxygen_narcotic", "environment", "units"}, 4, 1}, args, kwargs);
  const Where where(environment, units);
  const bool counted = !oxygen_narcotic || truth(oxygen_narcotic, "oxygen_narcotic");
  return where.shown(equivalent_narcotic_depth(
      gas, where.metres_of(depth), counted ? Narcotic::nitrogen_and_oxygen : Narcotic::nitrogen,
      where.place));
}

double ead(const Gas& gas, const py::args& args, const py::kwargs& kwargs) {
  const auto [depth, environment, units] =
      arguments_for<3>({"Gas.ead", {"depth", "environment", "units"}, 3, 1}, args, kwargs);
  const Where where(environment, units);
  return where.shown(equivalent_air_depth(gas, where.metres_of(depth), where.place));
}

double density_at(const Gas& gas, const py::args& args, const py::kwargs& kwargs) {
  const auto [depth, temperature, environment, units] = arguments_for<4>(
      {"Gas.density", {"depth", "temperature", "environment", "units"}, 4, 1}, args, kwargs);
  const Where where(environment, units);
  return density(gas, where.metres_of(depth), where.place,
                 temperature ? number(temperature, "temperature", "degrees C") : 0.0);
}

double po2_at(const Gas& gas, const py::args& args, const py::kwargs& kwargs) {
  const auto [depth, environment, units] =
      arguments_for<3>({"Gas.po2", {"depth", "environment", "units"}, 3, 1}, args, kwargs);
  const Where where(environment, units);
  return gas.oxygen * where.place.pressure(where.metres_of(depth));
}

} // namespace

void register_gas(py::module_& module) {
  py::class_<Gas> type(module, "Gas", gas_doc, py::is_final());
  show_as_public(type);
  made_when_allocated(type, &make);
  type.def(py::init(&make),
           "__init__(self, text=None, *, oxygen=None, helium=0.0)\n--\n\nSee the class.")
      .def_property_readonly(
          "oxygen", [](const Gas& gas) { return gas.oxygen; }, "Fraction of oxygen.")
      .def_property_readonly(
          "helium", [](const Gas& gas) { return gas.helium; }, "Fraction of helium.")
      .def_property_readonly(
          "nitrogen", [](const Gas& gas) { return gas.nitrogen(); },
          "Fraction of all the rest, argon counted as nitrogen.")
      .def_property_readonly("spoken", &Gas::spoken,
                             "For reading aloud: \"air\", \"32 %\", \"18/45\", \"oxygen\".")
      .def("mod", &mod, mod_doc)
      .def("min_depth", &least_depth, min_depth_doc)
      .def("end", &end, end_doc)
      .def("ead", &ead, ead_doc)
      .def("density", &density_at, density_doc)
      .def("po2", &po2_at, po2_doc)
      .def("__str__", &Gas::text)
      .def("__repr__", [](const Gas& gas) { return "Gas('" + gas.text() + "')"; })
      .def("__hash__",
           [](const Gas& gas) { return py::hash(py::make_tuple(gas.oxygen, gas.helium)); })
      .def("__eq__",
           [](const Gas& gas, py::handle other) {
             return is_a<Gas>(other) && gas == other.cast<const Gas&>();
           })
      .def("__reduce__", [](py::handle self) {
        const Gas& gas = self.cast<const Gas&>();
        return py::make_tuple(py::module_::import("upline._record").attr("gas_from_fractions"),
                              py::make_tuple(gas.oxygen, gas.helium));
      });
  module.def("nitrox_question", [](const Gas& gas) { return nitrox_question(gas); });
}

} // namespace upline::python

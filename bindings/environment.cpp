#include "arguments.hpp"

#include <upline/detail/number.hpp>
#include <upline/detail/require.hpp>

#include <string>

namespace upline::python {
namespace {

constexpr const char* environment_doc =
    R"(Environment(*, altitude=None, acclimatised_to=None, surface_pressure=None, water=None, vapour=0.0627, units="metric")
--

Where a dive is: the pressure at the surface, and how it grows with depth.

Parameters
----------
altitude : float, optional
    Height of the water above sea level [m, or ft if imperial], -500 to 6000 m; sea level if
    neither this nor `surface_pressure` is given.
acclimatised_to : "here" or float, optional
    Where the diver's tissues are at rest: at the place itself, or at a height [m or ft]. Left
    out: the place itself up to 300 m, sea level for any higher place (and a caution says so).
surface_pressure : float, optional
    Absolute pressure at the surface [bar], 0.4 to 1.2; not together with `altitude`.
water : "fresh", "sea" or float, optional
    Depths are then true metres of water of 1000 or 1025 kg/m3 or of this density [kg/m3]. Left
    out: gauge metres, 0.1 bar each (EN 13319).
vapour : float
    Water vapour in the lungs [bar]; published conventions are 0.0627, 0.0567 and 0.0493.
units : "metric" or "imperial"
    System of `altitude`, of `acclimatised_to` and of the depths that the methods take and
    return. A plan takes only an environment whose lengths are stated in its own system.

Raises
------
InvalidInput
    For a value out of range, or both `altitude` and `surface_pressure`.

Notes
-----
Immutable and hashable. Altitude is turned into pressure by the ISA troposphere (ISO 2533).

Examples
--------
>>> quarry = Environment(altitude=640, acclimatised_to="here", water="fresh")
>>> round(quarry.surface, 5)
0.93869
)";

enum Given : std::size_t { altitude, acclimatised_to, surface_pressure, water, vapour, units };
constexpr Signature<6> constructor{
    "Environment",
    {"altitude", "acclimatised_to", "surface_pressure", "water", "vapour", "units"},
    0};

bool present(py::handle value) { return value && !value.is_none(); }

double density_of(py::handle value) {
  if (!PyUnicode_Check(value.ptr())) return number(value, "water", "kg/m3");
  constexpr const char* fresh = "\"fresh\"";
  constexpr const char* sea = "\"sea\"";
  return choice(value, "water", {"fresh", "sea"}, ", or a density [kg/m3]",
                {{"freshwater", fresh},
                 {"sweet", fresh},
                 {"lake", fresh},
                 {"salt", sea},
                 {"salty", sea},
                 {"saltwater", sea},
                 {"seawater", sea},
                 {"ocean", sea}}) == 0
             ? fresh_water
             : sea_water;
}

StatedEnvironment make(const py::args& args, const py::kwargs& kwargs) {
  const auto given = arguments_for(constructor, args, kwargs);
  StatedEnvironment made;
  if (given[units]) made.units = units_of(given[units]);
  Environment& e = made.value;
  if (present(given[altitude])) e.altitude = depth_of(given[altitude], "altitude", made.units);
  if (present(given[surface_pressure]))
    e.surface_pressure = bar(number(given[surface_pressure], "surface_pressure", "bar"));
  if (present(given[water])) e.water_density = density_of(given[water]);
  if (given[vapour]) e.vapour = bar(number(given[vapour], "vapour", "bar"));
  if (present(given[acclimatised_to])) {
    const py::handle where = given[acclimatised_to];
    if (PyUnicode_Check(where.ptr())) {
      constexpr const char* sea = "0, the height of the sea";
      (void)choice(where, "acclimatised_to", {"here"}, ", or a height above the sea",
                   {{"sea", sea}, {"sealevel", sea}, {"sea-level", sea}, {"sea_level", sea}});
      e.acclimatised_to = AcclimatisedHere{};
    } else {
      e.acclimatised_to = depth_of(where, "acclimatised_to", made.units);
    }
  }
  (void)e.acclimatised_pressure(); // checks every value
  // Sea level is what is meant without an altitude, so that the two are equal.
  if (e.altitude && in_metres(*e.altitude) == 0.0) e.altitude.reset();
  return made;
}

double pressure_at(const StatedEnvironment& e, const py::args& args, const py::kwargs& kwargs) {
  const auto [depth] = arguments_for<1>({"Environment.pressure", {"depth"}, 1, 1}, args, kwargs);
  constexpr double deepest = 350.0;
  const Depth given = depth_of(depth, "depth", e.units);
  detail::require_length("depth", given, metres(0.0), metres(deepest),
                         "give a depth at or below the surface");
  return e.value.place().pressure(in_metres(given));
}

double depth_at(const StatedEnvironment& e, const py::args& args, const py::kwargs& kwargs) {
  const auto [pressure] = arguments_for<1>({"Environment.depth", {"pressure"}, 1, 1}, args, kwargs);
  return result_in(e.value.place().depth(number_within(pressure, "pressure", "bar", 0.0, 100.0,
                                                       "give an absolute pressure")),
                   length_unit(e.units));
}

py::object altitude_of(const StatedEnvironment& e) {
  if (e.value.surface_pressure) return py::none();
  return py::float_(given_in(e.value.altitude.value_or(metres(0.0)).base(), length_unit(e.units)));
}

py::object acclimatised_of(const StatedEnvironment& e) {
  if (const auto* height = std::get_if<Altitude>(&e.value.acclimatised_to))
    return py::float_(given_in(height->base(), length_unit(e.units)));
  if (std::holds_alternative<AcclimatisedHere>(e.value.acclimatised_to)) return py::str("here");
  return py::none();
}

py::object surface_pressure_of(const StatedEnvironment& e) {
  if (!e.value.surface_pressure) return py::none();
  return py::float_(in_bar(*e.value.surface_pressure));
}

py::object water_of(const StatedEnvironment& e) {
  if (!e.value.water_density) return py::none();
  if (*e.value.water_density == fresh_water) return py::str("fresh");
  if (*e.value.water_density == sea_water) return py::str("sea");
  return py::float_(*e.value.water_density);
}

/// What would make this environment again; what was left out is left out.
py::dict arguments_of(const StatedEnvironment& e) {
  py::dict arguments;
  if (e.value.altitude) arguments["altitude"] = altitude_of(e);
  if (py::object where = acclimatised_of(e); !where.is_none()) arguments["acclimatised_to"] = where;
  if (e.value.surface_pressure) arguments["surface_pressure"] = surface_pressure_of(e);
  if (e.value.water_density) arguments["water"] = water_of(e);
  if (e.value.vapour != Environment{}.vapour) arguments["vapour"] = in_bar(e.value.vapour);
  if (e.units != Units::metric) arguments["units"] = units_name(e.units);
  return arguments;
}

std::string repr_of(const StatedEnvironment& e) {
  std::string text;
  for (const auto& [key, value] : arguments_of(e))
    text +=
        (text.empty() ? "" : ", ") + std::string(py::str(key)) + "=" + std::string(py::repr(value));
  return "Environment(" + text + ")";
}

py::ssize_t hash_of(const StatedEnvironment& e) {
  return py::hash(py::make_tuple(e.value.altitude.value_or(metres(0.0)).base(), acclimatised_of(e),
                                 surface_pressure_of(e), water_of(e), in_bar(e.value.vapour)));
}

} // namespace

void register_environment(py::module_& module) {
  py::class_<StatedEnvironment> type(module, "Environment", environment_doc, py::is_final());
  show_as_public(type);
  made_when_allocated(type, &make);
  type.def(py::init(&make),
           "__init__(self, *, altitude=None, acclimatised_to=None, surface_pressure=None, "
           "water=None, vapour=0.0627, units=\"metric\")\n--\n\nSee the class.")
      .def_property_readonly("altitude", &altitude_of,
                             "Height of the water [m or ft]; None where a pressure is stated.")
      .def_property_readonly("acclimatised_to", &acclimatised_of,
                             "As given: \"here\", a height [m or ft] or None.")
      .def_property_readonly("surface_pressure", &surface_pressure_of,
                             "As given [bar], or None. The pressure itself is `surface`.")
      .def_property_readonly("water", &water_of,
                             "\"fresh\", \"sea\", a density [kg/m3], or None for gauge metres.")
      .def_property_readonly(
          "vapour", [](const StatedEnvironment& e) { return in_bar(e.value.vapour); },
          "Water vapour in the lungs [bar].")
      .def_property_readonly(
          "units", [](const StatedEnvironment& e) { return units_name(e.units); },
          "System of the lengths: \"metric\" or \"imperial\".")
      .def_property_readonly(
          "surface", [](const StatedEnvironment& e) { return e.value.place().surface; },
          "Absolute pressure at the surface [bar].")
      .def_property_readonly(
          "acclimatised_pressure",
          [](const StatedEnvironment& e) { return e.value.acclimatised_pressure(); },
          "Surface pressure at which the diver's tissues are at rest [bar].")
      .def_property_readonly("arguments", &arguments_of,
                             "Keyword arguments that make this environment again.")
      .def("pressure", &pressure_at,
           "pressure(self, depth)\n--\n\nAbsolute pressure [bar] at a depth of 0 to 350 m.")
      .def("depth", &depth_at,
           "depth(self, pressure)\n--\n\nDepth [m or ft] at which an absolute pressure of 0 to 100 "
           "bar "
           "prevails; negative above the surface.")
      .def("__repr__", &repr_of)
      .def("__hash__", &hash_of)
      .def("__eq__",
           [](const StatedEnvironment& e, py::handle other) {
             return is_a<StatedEnvironment>(other) && e == other.cast<const StatedEnvironment&>();
           })
      .def("__reduce__", [](py::handle self) {
        return py::make_tuple(
            py::module_::import("upline._record").attr("environment_from_arguments"),
            py::make_tuple(self.attr("arguments")));
      });
}

} // namespace upline::python

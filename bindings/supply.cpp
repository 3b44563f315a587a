#include "cylinder.hpp"

#include <upline/detail/number.hpp>

#include <cmath>
#include <string>

namespace upline::python {
namespace {

constexpr const char* cylinder_doc =
    R"(Cylinder(water_volume=None, pressure=None, gas=None, temperature=None, *, joined=1, rated=None, rating=None, units="metric")
--

A cylinder, or several equal ones joined by a manifold, with the gas in it.

Parameters
----------
water_volume : float
    Water volume of one cylinder [L, or cu ft if imperial], 0.1 to 500 L. Or give `rated`.
pressure : float
    What the gauge reads [bar, or psi if imperial], 0 to 345 bar (5000 psi).
gas : str or Gas
    The mix.
temperature : float
    Of the gas when the gauge was read [degrees C, or F if imperial], -20 to 70 degrees C.
joined : int
    How many equal cylinders the manifold joins, 1 to 16. Cylinders that nothing joins are a
    `Cylinder` each.
rated : (float, float), optional
    Instead of the water volume: cubic feet of free air and the psi at which one cylinder holds
    them, whatever `units` says.
rating : "real" or "ideal"
    How the rated volume was arrived at; needed with `rated`. Real: air as it is. Ideal: as an
    ideal gas. At 3000 psi the water volumes differ by 3 %.
units : "metric" or "imperial"
    System of every number in and out, but for `rated`.

Attributes
----------
water_volume, joined, pressure, gas, temperature, units
    As given; of a rated cylinder the water volume that follows.
content : float
    What leaves it until the gauge reads 0 [L or cu ft], counted at 1 bar and at the temperature
    of the cylinder, as a plan counts what is breathed.
ideal_content : float
    The same if the gas were ideal: water volume times the gauge's bar.
compressibility : float
    Compressibility factor of the gas as it is.
amount : float
    All that is inside [mol], what stays at the end included.

Raises
------
InvalidInput
    For a value that is missing or out of range.

Notes
-----
Immutable and hashable. Nothing has a default but `joined` and `units`: what a cylinder holds
depends on all of it. Real gas is that of GERG-2008, within 1 % of reference equations up to 300 bar
from 0 to 50 degrees C (mixes of helium and oxygen alone: 1.2 %). A gauge reads above 1.01325 bar.
Content says what a rigid vessel holds, not how much of it a diver may use.

Examples
--------
Ada's twin cylinders (invented):

>>> twin = Cylinder(12, 200, "18/45", 20, joined=2)
>>> round(twin.content), round(twin.ideal_content)
(4312, 4800)
>>> round(twin.pressure_for(2000))
87
)";

constexpr const char* content_at_doc =
    R"(content_at(self, pressure)
--

Content [L or cu ft] at another reading of the gauge [bar or psi], at the same temperature.
)";

constexpr const char* ideal_content_at_doc =
    R"(ideal_content_at(self, pressure)
--

The same if the gas were ideal.
)";

constexpr const char* pressure_for_doc =
    R"(pressure_for(self, content)
--

Reading of the gauge [bar or psi] at which the cylinder has this content [L or cu ft].

Raises
------
InvalidInput
    For a content below 0, or one that needs more than 345 bar.
)";

constexpr const char* ideal_pressure_for_doc =
    R"(ideal_pressure_for(self, content)
--

The same if the gas were ideal.
)";

constexpr const char* at_pressure_doc =
    R"(at_pressure(self, pressure)
--

The cylinder with another reading of its gauge [bar or psi], at the same temperature.

Returns
-------
Cylinder
)";

constexpr const char* at_temperature_doc =
    R"(at_temperature(self, temperature)
--

The closed cylinder once its gas has come to another temperature [degrees C or F].

The amount stays, so that pressure and content fall when it cools.

Returns
-------
Cylinder

Raises
------
InvalidInput
    Also where the gauge would read less than 0 or more than 345 bar.
)";

int joined_of(py::handle value) {
  if (!value) return 1;
  const double given = number(value, "joined", "");
  const double whole = std::round(given);
  constexpr double most = most_joined;
  if (whole != given || !(given >= 1.0 && given <= most))
    throw InvalidInput("joined", std::isnan(given) ? "not a number" : detail::trimmed(given, 6),
                       "a whole number, 1 to " + std::to_string(most_joined),
                       "give how many equal cylinders the manifold joins");
  return static_cast<int>(whole);
}

bool present(py::handle value) { return value && !value.is_none(); }

WaterVolume rated_of(py::handle rated, py::handle rating) {
  const char* allowed = "a pair of cubic feet and psi";
  const char* remedy = "write rated=(77.4, 3000)";
  const auto parts = items(rated, "rated", allowed, remedy);
  if (parts.size() != 2)
    throw WrongType("rated", std::to_string(parts.size()) + " items", allowed, remedy);
  if (!present(rating))
    throw InvalidInput("rating", "missing", "\"real\", \"ideal\"",
                       "say whether the rated volume is of air as it is or of an ideal gas");
  const bool real = choice(rating, "rating", {"real", "ideal"}) == 0;
  return rated_water_volume(number(parts[0], "rated volume", "cu ft"),
                            psi_gauge(number(parts[1], "rated pressure", "psi")),
                            real ? Rating::real_gas : Rating::ideal_gas);
}

WaterVolume water_volume_of(py::handle stated, py::handle rated, py::handle rating, Units units) {
  if (present(stated) && present(rated))
    throw InvalidInput("Cylinder", "given a water volume and a rating", "one of the two",
                       "leave out water_volume, or rated");
  if (present(rated)) return rated_of(rated, rating);
  if (present(rating))
    throw InvalidInput("rating", "given without rated", "rated and rating together",
                       "write rated=(77.4, 3000), or leave out rating");
  if (!present(stated))
    throw InvalidInput("water_volume", "missing", "0.1 to 500 L",
                       "give the water volume of one cylinder, or what it is rated for");
  if (PyUnicode_Check(stated.ptr()))
    throw WrongType("water_volume", shown(stated), "one number [L], or [cu ft] if imperial",
                    "give the water volume of one cylinder as a number; two of 12 L with a "
                    "manifold are Cylinder(12, 200, \"18/45\", 20, joined=2)");
  const double given = number(stated, "water_volume", volume_name(units));
  const WaterVolume volume(given * volume_unit(units));
  if (units == Units::imperial && volume > largest_water_volume)
    throw InvalidInput(
        "water_volume", detail::trimmed(given, 3) + " cu ft",
        "the volume of the empty cylinder, up to " +
            detail::trimmed(largest_water_volume.base() / volume_unit(units), 1) + " cu ft",
        "for a cylinder named by the free air it holds write rated=(" + detail::trimmed(given, 3) +
            ", 3000) with its own pressure in psi, and rating=\"real\" or "
            "\"ideal\"");
  return volume;
}

/// Asks about a very large cylinder that is nearly empty: 200, 12 is 12 L at 200 bar turned round.
void refuse_swapped(WaterVolume each, GaugePressure reading) {
  constexpr double large = 50.0;  // [L]
  constexpr double little = 50.0; // [bar]
  const double litres_given = in_water_litres(each);
  const double bar_given = in_bar_gauge(reading);
  if (!(litres_given > large && bar_given < little && bar_given >= 0.1)) return;
  const std::string volume = detail::trimmed(litres_given, 3);
  const std::string pressure = detail::trimmed(bar_given, 3);
  throw InvalidInput("Cylinder",
                     std::string("given ").append(volume) + " L at " + pressure + " bar",
                     "the water volume first, then the pressure",
                     "write " + pressure + ", " + volume + " if " + pressure + " L at " + volume +
                         " bar is meant; a large cylinder that is nearly empty is Cylinder(" +
                         volume + ", 50, ...).at_pressure(" + pressure + ")");
}

void require_given(py::handle value, const char* field, const char* remedy) {
  if (!present(value)) throw InvalidInput(field, "missing", "a value of your own", remedy);
}

enum Given : std::size_t { water_volume, pressure, gas, temperature, joined, rated, rating, units };
constexpr Signature<8> constructor{
    "Cylinder",
    {"water_volume", "pressure", "gas", "temperature", "joined", "rated", "rating", "units"},
    4};

StatedCylinder make(const py::args& args, const py::kwargs& kwargs) {
  const auto given = arguments_for(constructor, args, kwargs);
  const Units in = given[units] ? units_of(given[units]) : Units::metric;
  const WaterVolume each = water_volume_of(given[water_volume], given[rated], given[rating], in);
  require_given(given[pressure], "pressure", "give what the gauge reads");
  require_given(given[gas], "gas", "give the mix, such as \"32\" or \"18/45\"");
  require_given(given[temperature], "temperature", detail::gas_temperature_remedy);
  const GaugePressure reading = gauge_of(given[pressure], "pressure", in);
  if (in == Units::metric && present(given[water_volume])) refuse_swapped(each, reading);
  return {Cylinder(each, reading, gas_of(given[gas], "gas"), temperature_of(given[temperature], in),
                   joined_of(given[joined])),
          in};
}

double gas_volume_in(const StatedCylinder& c, Litres volume) {
  return result_in(in_litres(volume), volume_unit(c.units));
}

double gauge_in(const StatedCylinder& c, GaugePressure reading) {
  return result_in(in_bar_gauge(reading), pressure_unit(c.units));
}

template <class Answer>
double at_reading(const StatedCylinder& c, const char* callee, Answer answer, const py::args& args,
                  const py::kwargs& kwargs) {
  const auto [reading] = arguments_for<1>({callee, {"pressure"}, 1, 1}, args, kwargs);
  return gas_volume_in(c, (c.value.*answer)(gauge_of(reading, "pressure", c.units)));
}

template <class Answer>
double for_content(const StatedCylinder& c, const char* callee, Answer answer, const py::args& args,
                   const py::kwargs& kwargs) {
  const auto [content] = arguments_for<1>({callee, {"content"}, 1, 1}, args, kwargs);
  const Litres wanted(number(content, "content", volume_name(c.units)) * volume_unit(c.units));
  return gauge_in(c, (c.value.*answer)(wanted));
}

StatedCylinder at_pressure(const StatedCylinder& c, const py::args& args,
                           const py::kwargs& kwargs) {
  const auto [reading] =
      arguments_for<1>({"Cylinder.at_pressure", {"pressure"}, 1, 1}, args, kwargs);
  return {c.value.at_pressure(gauge_of(reading, "pressure", c.units)), c.units};
}

StatedCylinder at_temperature(const StatedCylinder& c, const py::args& args,
                              const py::kwargs& kwargs) {
  const auto [degrees] =
      arguments_for<1>({"Cylinder.at_temperature", {"temperature"}, 1, 1}, args, kwargs);
  return {c.value.at_temperature(temperature_of(degrees, c.units)), c.units};
}

double given_water_volume(const StatedCylinder& c) {
  return given_in(in_water_litres(c.value.each()), volume_unit(c.units));
}

double given_pressure(const StatedCylinder& c) {
  return given_in(in_bar_gauge(c.value.pressure()), pressure_unit(c.units));
}

std::string repr_of(const StatedCylinder& c) {
  const auto plain = [](double x) { return std::string(py::str(py::float_(x))); };
  std::string text = "Cylinder(" + plain(given_water_volume(c)) + ", " + plain(given_pressure(c)) +
                     ", '" + c.value.gas().text() + "', " +
                     plain(temperature_in(c.value.temperature(), c.units));
  if (c.value.joined() != 1) text += ", joined=" + std::to_string(c.value.joined());
  if (c.units != Units::metric) text += std::string(", units='") + units_name(c.units) + "'";
  return text + ")";
}

/// What a cylinder is, in base units, for its hash and for its record.
py::tuple base_of(const StatedCylinder& c) {
  return py::make_tuple(in_water_litres(c.value.each()), in_bar_gauge(c.value.pressure()),
                        c.value.gas(), in_celsius(c.value.temperature()), c.value.joined(),
                        units_name(c.units));
}

StatedCylinder from_base(double each, double reading, const Gas& mix, double degrees,
                         int joined_count, py::handle in) {
  return {Cylinder(water_litres(each), bar_gauge(reading), mix, celsius(degrees), joined_count),
          units_of(in)};
}

void define_numbers(py::class_<StatedCylinder>& type) {
  type.def_property_readonly("water_volume", &given_water_volume,
                             "Water volume of one cylinder [L or cu ft].")
      .def_property_readonly(
          "joined", [](const StatedCylinder& c) { return c.value.joined(); },
          "How many equal cylinders the manifold joins.")
      .def_property_readonly("pressure", &given_pressure, "What the gauge reads [bar or psi].")
      .def_property_readonly(
          "gas", [](const StatedCylinder& c) { return c.value.gas(); }, "The mix.")
      .def_property_readonly(
          "temperature",
          [](const StatedCylinder& c) { return temperature_in(c.value.temperature(), c.units); },
          "Temperature of the gas [degrees C or F].")
      .def_property_readonly(
          "units", [](const StatedCylinder& c) { return units_name(c.units); },
          "System of the numbers: \"metric\" or \"imperial\".")
      .def_property_readonly(
          "content", [](const StatedCylinder& c) { return gas_volume_in(c, c.value.content()); },
          "What leaves it until the gauge reads 0 [L or cu ft].")
      .def_property_readonly(
          "ideal_content",
          [](const StatedCylinder& c) { return gas_volume_in(c, c.value.ideal_content()); },
          "The same if the gas were ideal.")
      .def_property_readonly(
          "compressibility", [](const StatedCylinder& c) { return c.value.compressibility(); },
          "Compressibility factor of the gas as it is.")
      .def_property_readonly(
          "amount", [](const StatedCylinder& c) { return in_moles(c.value.amount()); },
          "All that is inside [mol].");
}

/// For the table that holds this library against reference equations: nobody breathes nitrogen.
double compressibility_of(double oxygen, double helium, double absolute_bar, double degrees) {
  BasicGas<double> gas;
  gas.oxygen = oxygen;
  gas.helium = helium;
  return compressibility(gas, bar(absolute_bar), celsius(degrees));
}

} // namespace

void register_supply(py::module_& module) {
  py::class_<StatedCylinder> type(module, "Cylinder", cylinder_doc, py::is_final());
  show_as_public(type);
  made_when_allocated(type, &make);
  define_numbers(type);
  using Given = const py::args&;
  using Named = const py::kwargs&;
  type.def(py::init(&make),
           "__init__(self, water_volume=None, pressure=None, gas=None, temperature=None, *, "
           "joined=1, rated=None, rating=None, units=\"metric\")\n--\n\nSee the class.")
      .def(
          "content_at",
          [](const StatedCylinder& c, Given args, Named kwargs) {
            return at_reading(c, "Cylinder.content_at", &Cylinder::content_at, args, kwargs);
          },
          content_at_doc)
      .def(
          "ideal_content_at",
          [](const StatedCylinder& c, Given args, Named kwargs) {
            return at_reading(c, "Cylinder.ideal_content_at", &Cylinder::ideal_content_at, args,
                              kwargs);
          },
          ideal_content_at_doc)
      .def(
          "pressure_for",
          [](const StatedCylinder& c, Given args, Named kwargs) {
            return for_content(c, "Cylinder.pressure_for", &Cylinder::pressure_for, args, kwargs);
          },
          pressure_for_doc)
      .def(
          "ideal_pressure_for",
          [](const StatedCylinder& c, Given args, Named kwargs) {
            return for_content(c, "Cylinder.ideal_pressure_for", &Cylinder::ideal_pressure_for,
                               args, kwargs);
          },
          ideal_pressure_for_doc)
      .def("at_pressure", &at_pressure, at_pressure_doc)
      .def("at_temperature", &at_temperature, at_temperature_doc)
      .def("__repr__", &repr_of)
      .def("__hash__", [](const StatedCylinder& c) { return py::hash(base_of(c)); })
      .def("__eq__",
           [](const StatedCylinder& c, py::handle other) {
             return is_a<StatedCylinder>(other) && c == other.cast<const StatedCylinder&>();
           })
      .def("__reduce__", [](py::handle self) {
        return py::make_tuple(py::module_::import("upline._record").attr("cylinder_from_base"),
                              base_of(self.cast<const StatedCylinder&>()));
      });
  module.def("cylinder_from_base", &from_base);
  module.def("compressibility", &compressibility_of);
}

} // namespace upline::python

// A cylinder as Python sees it, and what is read and written with it.
#pragma once
#include "arguments.hpp"

#include <upline/supply.hpp>

#include <cmath>

namespace upline::python {

/// A cylinder with the system in which its numbers go in and out.
struct StatedCylinder {
  Cylinder value;
  Units units;
  friend bool operator==(const StatedCylinder&, const StatedCylinder&) = default;
};

/// One unit of pressure: bar or psi [bar].
[[nodiscard]] inline double pressure_unit(Units units) {
  return units == Units::metric ? 1.0 : bar_per_psi;
}

[[nodiscard]] inline GaugePressure gauge_of(py::handle value, const char* field, Units units) {
  return GaugePressure(number(value, field, units == Units::metric ? "bar" : "psi") *
                       pressure_unit(units));
}

[[nodiscard]] inline Temperature temperature_of(py::handle value, Units units) {
  if (units == Units::metric) return celsius(number(value, "temperature", "degrees C"));
  return fahrenheit(number(value, "temperature", "degrees F"));
}

/// Degrees, Celsius or Fahrenheit, that make the temperature again.
[[nodiscard]] inline double temperature_in(Temperature value, Units units) {
  if (units == Units::metric) return in_celsius(value);
  // Fahrenheit is no product with a unit, so that its rounding is that of some 500 degrees.
  constexpr double decimals = 1e9;
  constexpr double rounding = 1e-12;
  const double given = in_fahrenheit(value);
  const double near = std::round(given * decimals) / decimals;
  return std::abs(near - given) <= rounding ? near : given;
}

} // namespace upline::python

#pragma once
/// @file
/// @brief How a mix of nitrogen, oxygen and helium departs from the ideal gas.
///
/// Against the reference equation of each gas, and of air, the compressibility factor is within
/// 0.2 % at 1 to 300 bar and 0 to 50 degrees C, and so are mixes of nitrogen and oxygen; with
/// helium it is within 0.5 % where at least a fifth is nitrogen. Helium and oxygen alone are the
/// least certain (1.2 %): no measurements stood behind that pair (docs/theory.md).
/// @par Source
/// GERG-2008, Kunz and Wagner 2012: docs/theory.md, section "Real gas".

#include <upline/detail/require.hpp>
#include <upline/gas.hpp>
#include <upline/supplying/isotherm.hpp>
#include <upline/units.hpp>

#include <string>

namespace upline {

inline constexpr Pressure highest_real_pressure = bar(350.0);         ///< Absolute.
inline constexpr Temperature lowest_gas_temperature = celsius(-20.0); ///< Of gas in a cylinder.
inline constexpr Temperature highest_gas_temperature = celsius(70.0); ///< Of gas in a cylinder.

namespace detail {

inline constexpr const char* gas_temperature_remedy =
    "give the temperature of the gas in the cylinder";

/// @brief A temperature in degrees Celsius and Fahrenheit.
[[nodiscard]] inline std::string temperature_text(Temperature x) {
  return in_both(in_celsius(x), "degrees C", in_fahrenheit(x), "degrees F");
}

/// @brief Throws InvalidInput for a temperature at which the equation is not asked; NaN too.
inline void require_gas_temperature(const char* field, Temperature x) {
  if (x >= lowest_gas_temperature && x <= highest_gas_temperature) return;
  throw InvalidInput(field, temperature_text(x),
                     temperature_text(lowest_gas_temperature) + " to " +
                         temperature_text(highest_gas_temperature),
                     gas_temperature_remedy);
}

inline void require_fractions(const BasicGas<double>& gas) {
  require_range("gas oxygen fraction", gas.oxygen, 0.0, 1.0, "", "give a fraction");
  require_range("gas helium fraction", gas.helium, 0.0, 1.0, "", "give a fraction");
  constexpr double rounding = 1e-9;
  require_range("gas oxygen and helium together", gas.oxygen + gas.helium, 0.0, 1.0 + rounding, "",
                "lower one of the two");
}

} // namespace detail

/// @brief Molar density [mol/L].
/// @param gas         Any fractions from 0 to 1: pure gases as well as mixes.
/// @param pressure    Absolute, above 0 and up to 350 bar.
/// @param temperature -20 to 70 degrees C.
/// @throws InvalidInput if one of them is out of range.
[[nodiscard]] inline double molar_density(const BasicGas<double>& gas, Pressure pressure,
                                          Temperature temperature) {
  detail::require_fractions(gas);
  constexpr double vacuum = 1e-6; // [bar]
  detail::require_range("pressure", in_bar(pressure), vacuum, in_bar(highest_real_pressure), "bar",
                        "give an absolute pressure");
  detail::require_gas_temperature("temperature", temperature);
  return detail::Isotherm(gas, in_kelvin(temperature)).density(in_bar(pressure));
}

/// @brief Compressibility factor: pressure over that of an ideal gas of the same density [1].
///
/// Parameters and errors as in molar_density().
[[nodiscard]] inline double compressibility(const BasicGas<double>& gas, Pressure pressure,
                                            Temperature temperature) {
  const double density = molar_density(gas, pressure, temperature);
  return in_bar(pressure) / (density * detail::gas_constant * in_kelvin(temperature));
}

} // namespace upline

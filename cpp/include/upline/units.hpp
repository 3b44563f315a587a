#pragma once
/// @file
/// @brief Quantities with a dimension and the makers that name their unit.
///
/// A metre never adds to a bar: each dimension is a type of its own around one number kept in
/// the base unit (metre, minute, bar, litre at 1 bar). There is no implicit way in or out; a
/// maker (`metres(57)`) names the unit on the way in, a reader (`in_feet(d)`) on the way out.
/// What a gauge reads and what is there, water in a cylinder and gas out of it, are different
/// dimensions here.
/// @par Source
/// Foot, pound and gallon are exact by definition (international yard and pound, 1959). The fsw
/// is 0.030643 bar as the US Navy states it (secondary source); the msw is 0.1 bar. A gauge
/// pressure is above the standard atmosphere of 1.01325 bar, whatever the place.

#include <compare>

namespace upline {

/// @brief A number of base units of one dimension, of scalar type `T`.
template <class Dimension, class T = double>
class Quantity {
public:
  constexpr Quantity() = default;
  /// @param base The number in the base unit of the dimension.
  constexpr explicit Quantity(T base) : base_(base) {}

  /// @brief The number in the base unit of the dimension.
  [[nodiscard]] constexpr T base() const { return base_; }

  /// @brief Sum of two quantities of one dimension.
  friend constexpr Quantity operator+(Quantity x, Quantity y) {
    return Quantity(x.base_ + y.base_);
  }
  /// @brief Difference of two quantities of one dimension.
  friend constexpr Quantity operator-(Quantity x, Quantity y) {
    return Quantity(x.base_ - y.base_);
  }
  /// @brief The quantity `s` times.
  friend constexpr Quantity operator*(Quantity x, T s) { return Quantity(x.base_ * s); }
  /// @brief The quantity `s` times.
  friend constexpr Quantity operator*(T s, Quantity x) { return Quantity(s * x.base_); }
  /// @brief Ratio of two quantities of one dimension, a plain number.
  friend constexpr T operator/(Quantity x, Quantity y) { return x.base_ / y.base_; }
  /// @brief Order of two quantities of one dimension.
  friend constexpr auto operator<=>(Quantity x, Quantity y) = default;

private:
  T base_{};
};

namespace dimension {
struct Length;
struct Time;
struct Pressure;
struct Speed;
struct Volume;
struct Flow;
struct GaugePressure;
struct Temperature;
struct Capacity;
struct Amount;
} // namespace dimension

using Depth = Quantity<dimension::Length>;       ///< Base unit metre.
using Altitude = Depth;                          ///< Metres above sea level.
using Minutes = Quantity<dimension::Time>;       ///< Base unit minute.
using Pressure = Quantity<dimension::Pressure>;  ///< Base unit bar, absolute.
using TravelRate = Quantity<dimension::Speed>;   ///< Base unit metre per minute.
using Litres = Quantity<dimension::Volume>;      ///< Base unit litre at 1 bar.
using BreathingRate = Quantity<dimension::Flow>; ///< Base unit litre per minute.

using GaugePressure = Quantity<dimension::GaugePressure>; ///< Base unit bar above 1.01325 bar.
using Temperature = Quantity<dimension::Temperature>;     ///< Base unit degree Celsius.
using WaterVolume = Quantity<dimension::Capacity>;        ///< Base unit litre of water held.
using Moles = Quantity<dimension::Amount>;                ///< Base unit mole.

inline constexpr double metres_per_foot = 0.3048;             ///< Exact [m].
inline constexpr double bar_per_psi = 0.0689475729316836;     ///< [bar]
inline constexpr double bar_per_fsw = 0.030643;               ///< A pressure, not a length [bar].
inline constexpr double bar_per_msw = 0.1;                    ///< Exact [bar].
inline constexpr double litres_per_cubic_foot = 28.316846592; ///< Exact [L].
inline constexpr double bar_per_atmosphere = 1.01325;         ///< Standard atmosphere, exact [bar].
inline constexpr double kelvin_at_zero_celsius = 273.15;      ///< Exact [K].
inline constexpr double kelvin_per_fahrenheit = 5.0 / 9.0;    ///< Exact [K].

/// @brief Depth from metres.
[[nodiscard]] constexpr Depth metres(double x) { return Depth(x); }
/// @brief Depth from feet.
[[nodiscard]] constexpr Depth feet(double x) { return Depth(x * metres_per_foot); }
/// @brief Time from minutes.
[[nodiscard]] constexpr Minutes minutes(double x) { return Minutes(x); }
/// @brief Time from seconds.
[[nodiscard]] constexpr Minutes seconds(double x) { return Minutes(x / 60.0); }
/// @brief Pressure from bar.
[[nodiscard]] constexpr Pressure bar(double x) { return Pressure(x); }
/// @brief Pressure from pounds per square inch.
[[nodiscard]] constexpr Pressure psi(double x) { return Pressure(x * bar_per_psi); }
/// @brief Pressure from metres of sea water, 0.1 bar each.
[[nodiscard]] constexpr Pressure msw(double x) { return Pressure(x * bar_per_msw); }
/// @brief Pressure from feet of sea water, 0.030643 bar each.
[[nodiscard]] constexpr Pressure fsw(double x) { return Pressure(x * bar_per_fsw); }
/// @brief Rate of travel from metres per minute.
[[nodiscard]] constexpr TravelRate metres_per_minute(double x) { return TravelRate(x); }
/// @brief Rate of travel from feet per minute.
[[nodiscard]] constexpr TravelRate feet_per_minute(double x) {
  return TravelRate(x * metres_per_foot);
}
/// @brief Gas volume from litres at 1 bar.
[[nodiscard]] constexpr Litres litres(double x) { return Litres(x); }
/// @brief Gas volume from cubic feet at 1 bar.
[[nodiscard]] constexpr Litres cubic_feet(double x) { return Litres(x * litres_per_cubic_foot); }
/// @brief Breathing rate from litres per minute at 1 bar.
[[nodiscard]] constexpr BreathingRate litres_per_minute(double x) { return BreathingRate(x); }
/// @brief Breathing rate from cubic feet per minute at 1 bar.
[[nodiscard]] constexpr BreathingRate cubic_feet_per_minute(double x) {
  return BreathingRate(x * litres_per_cubic_foot);
}
/// @brief Pressure of a gauge from bar.
[[nodiscard]] constexpr GaugePressure bar_gauge(double x) { return GaugePressure(x); }
/// @brief Pressure of a gauge from pounds per square inch.
[[nodiscard]] constexpr GaugePressure psi_gauge(double x) { return GaugePressure(x * bar_per_psi); }
/// @brief What a gauge that reads `x` stands for.
[[nodiscard]] constexpr Pressure absolute(GaugePressure x) {
  return Pressure(x.base() + bar_per_atmosphere);
}
/// @brief What a gauge reads at an absolute pressure.
[[nodiscard]] constexpr GaugePressure gauge(Pressure x) {
  return GaugePressure(x.base() - bar_per_atmosphere);
}
/// @brief Temperature from kelvin.
[[nodiscard]] constexpr Temperature kelvin(double x) {
  return Temperature(x - kelvin_at_zero_celsius);
}
/// @brief Temperature from degrees Celsius.
[[nodiscard]] constexpr Temperature celsius(double x) { return Temperature(x); }
/// @brief Temperature from degrees Fahrenheit.
[[nodiscard]] constexpr Temperature fahrenheit(double x) {
  return celsius((x - 32.0) * kelvin_per_fahrenheit);
}
/// @brief Water volume of a cylinder from litres.
[[nodiscard]] constexpr WaterVolume water_litres(double x) { return WaterVolume(x); }
/// @brief Water volume of a cylinder from cubic feet.
[[nodiscard]] constexpr WaterVolume water_cubic_feet(double x) {
  return WaterVolume(x * litres_per_cubic_foot);
}

/// @brief Depth in metres.
[[nodiscard]] constexpr double in_metres(Depth x) { return x.base(); }
/// @brief Depth in feet.
[[nodiscard]] constexpr double in_feet(Depth x) { return x.base() / metres_per_foot; }
/// @brief Time in minutes.
[[nodiscard]] constexpr double in_minutes(Minutes x) { return x.base(); }
/// @brief Pressure in bar.
[[nodiscard]] constexpr double in_bar(Pressure x) { return x.base(); }
/// @brief Pressure in pounds per square inch.
[[nodiscard]] constexpr double in_psi(Pressure x) { return x.base() / bar_per_psi; }
/// @brief Gas volume in litres at 1 bar.
[[nodiscard]] constexpr double in_litres(Litres x) { return x.base(); }
/// @brief Gas volume in cubic feet at 1 bar.
[[nodiscard]] constexpr double in_cubic_feet(Litres x) { return x.base() / litres_per_cubic_foot; }
/// @brief Pressure of a gauge in bar.
[[nodiscard]] constexpr double in_bar_gauge(GaugePressure x) { return x.base(); }
/// @brief Pressure of a gauge in pounds per square inch.
[[nodiscard]] constexpr double in_psi_gauge(GaugePressure x) { return x.base() / bar_per_psi; }
/// @brief Temperature in kelvin.
[[nodiscard]] constexpr double in_kelvin(Temperature x) {
  return x.base() + kelvin_at_zero_celsius;
}
/// @brief Temperature in degrees Celsius.
[[nodiscard]] constexpr double in_celsius(Temperature x) { return x.base(); }
/// @brief Temperature in degrees Fahrenheit.
[[nodiscard]] constexpr double in_fahrenheit(Temperature x) {
  return in_celsius(x) / kelvin_per_fahrenheit + 32.0;
}
/// @brief Water volume of a cylinder in litres.
[[nodiscard]] constexpr double in_water_litres(WaterVolume x) { return x.base(); }
/// @brief Water volume of a cylinder in cubic feet.
[[nodiscard]] constexpr double in_water_cubic_feet(WaterVolume x) {
  return x.base() / litres_per_cubic_foot;
}
/// @brief Amount in moles.
[[nodiscard]] constexpr double in_moles(Moles x) { return x.base(); }

/// @brief The system in which a person gives and reads numbers.
enum class Units {
  metric,  ///< Metres, litres.
  imperial ///< Feet, cubic feet.
};

/// @brief Length of one unit of depth: metre or foot [m].
[[nodiscard]] constexpr double length_unit(Units u) {
  return u == Units::metric ? 1.0 : metres_per_foot;
}
/// @brief Volume of one unit of gas: litre or cubic foot [L].
[[nodiscard]] constexpr double volume_unit(Units u) {
  return u == Units::metric ? 1.0 : litres_per_cubic_foot;
}
/// @brief Short name of the unit of depth.
[[nodiscard]] constexpr const char* length_name(Units u) { return u == Units::metric ? "m" : "ft"; }
/// @brief Short name of the unit of gas volume.
[[nodiscard]] constexpr const char* volume_name(Units u) {
  return u == Units::metric ? "L" : "cu ft";
}

/// @brief Depth from a number in the given system.
[[nodiscard]] constexpr Depth depth_from(double x, Units u) { return Depth(x * length_unit(u)); }
/// @brief Depth as a number in the given system.
[[nodiscard]] constexpr double depth_in(Depth x, Units u) { return x.base() / length_unit(u); }

} // namespace upline

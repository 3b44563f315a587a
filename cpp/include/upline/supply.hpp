#pragma once
/// @file
/// @brief What a cylinder holds: real gas, the ideal answer beside it, and the way back.
///
/// Content is what leaves the cylinder until its gauge reads nothing at sea level, in litres at 1
/// bar and at the temperature of the cylinder, counted as the ideal gas in which a plan counts
/// what is breathed. Cooling therefore keeps the amount and lowers both pressure and content.
/// The vessel is rigid: that steel or aluminium gives under pressure is left out.
/// @par Source
/// docs/theory.md, section "Real gas".

#include <upline/detail/require.hpp>
#include <upline/gas.hpp>
#include <upline/real_gas.hpp>
#include <upline/supplying/isotherm.hpp>
#include <upline/units.hpp>

#include <algorithm>
#include <cmath>
#include <string>

namespace upline {

inline constexpr GaugePressure highest_gauge_pressure = bar_gauge(345.0); ///< Of a cylinder.
inline constexpr WaterVolume smallest_water_volume = water_litres(0.1);   ///< Of one cylinder.
inline constexpr WaterVolume largest_water_volume = water_litres(500.0);  ///< Of one cylinder.
inline constexpr int most_joined = 16; ///< Equal cylinders joined by a manifold.

namespace detail {

[[nodiscard]] inline std::string gauge_text(GaugePressure x) {
  return in_both(in_bar_gauge(x), "bar", in_psi_gauge(x), "psi");
}

/// @brief Throws InvalidInput unless `low <= x <= highest_gauge_pressure`; NaN is refused too.
inline void require_gauge(const char* field, GaugePressure x, GaugePressure low,
                          const char* remedy) {
  if (x >= low && x <= highest_gauge_pressure) return;
  throw InvalidInput(field, gauge_text(x),
                     gauge_text(low) + " to " + gauge_text(highest_gauge_pressure), remedy);
}

inline constexpr const char* gauge_remedy = "give what the gauge reads";

[[nodiscard]] inline std::string volume_text(double litres, int digits) {
  if (!std::isfinite(litres)) return in_both(litres, "L", litres, "cu ft");
  const double cubic_feet = litres / litres_per_cubic_foot;
  return trimmed(litres, digits) + " L (" + trimmed(cubic_feet, cubic_feet < 1.0 ? 4 : 2) +
         " cu ft)";
}

inline void require_water_volume(const char* field, WaterVolume x, const char* remedy) {
  if (x >= smallest_water_volume && x <= largest_water_volume) return;
  throw InvalidInput(field, volume_text(in_water_litres(x), 3),
                     volume_text(in_water_litres(smallest_water_volume), 3) + " to " +
                         volume_text(in_water_litres(largest_water_volume), 3),
                     remedy);
}

inline void require_content(Litres content, Litres most) {
  if (content >= litres(0.0) && content <= most) return;
  throw InvalidInput("content", volume_text(in_litres(content), 2),
                     "0 to " + volume_text(in_litres(most), 2) + " at " +
                         gauge_text(highest_gauge_pressure),
                     "give what this cylinder can hold, or a larger cylinder");
}

} // namespace detail

/// @brief A cylinder, or several equal ones joined by a manifold, with its gas.
class Cylinder {
public:
  /// @param each        Water volume of one cylinder, 0.1 to 500 L.
  /// @param pressure    What the gauge reads, 0 to 345 bar (5000 psi).
  /// @param gas         The mix.
  /// @param temperature Of the gas when the gauge was read, -20 to 70 degrees C.
  /// @param joined      How many equal cylinders the manifold joins, 1 to 16; 1 for a single one.
  /// @throws InvalidInput if one of them is out of range.
  Cylinder(WaterVolume each, GaugePressure pressure, const Gas& gas, Temperature temperature,
           int joined = 1);

  /// @brief Water volume of one cylinder.
  [[nodiscard]] WaterVolume each() const { return each_; }
  /// @brief How many equal cylinders are joined.
  [[nodiscard]] int joined() const { return joined_; }
  /// @brief Water volume of all that is joined.
  [[nodiscard]] WaterVolume water_volume() const { return each_ * static_cast<double>(joined_); }
  /// @brief What the gauge reads.
  [[nodiscard]] GaugePressure pressure() const { return pressure_; }
  /// @brief The mix.
  [[nodiscard]] const Gas& gas() const { return gas_; }
  /// @brief Temperature of the gas.
  [[nodiscard]] Temperature temperature() const { return temperature_; }

  /// @brief Compressibility factor of the gas as it is [1].
  [[nodiscard]] double compressibility() const {
    return isotherm().compressibility(molar_density());
  }

  /// @brief All that is inside, what stays at the end included.
  [[nodiscard]] Moles amount() const {
    return Moles(molar_density() * in_water_litres(water_volume()));
  }

  /// @brief What leaves it until the gauge reads 0.
  [[nodiscard]] Litres content() const { return content_at(pressure_); }

  /// @brief The same if the gas were ideal: water volume times the gauge's bar.
  [[nodiscard]] Litres ideal_content() const { return ideal_content_at(pressure_); }

  /// @brief Content at another reading of the gauge, at the same temperature.
  /// @throws InvalidInput for a pressure out of range.
  [[nodiscard]] Litres content_at(GaugePressure pressure) const;

  /// @brief The same if the gas were ideal.
  /// @throws InvalidInput for a pressure out of range.
  [[nodiscard]] Litres ideal_content_at(GaugePressure pressure) const;

  /// @brief Reading of the gauge at which the cylinder has this content.
  ///
  /// Inverts content_at() to a few roundings.
  /// @throws InvalidInput for a negative content or one that needs more than 345 bar.
  [[nodiscard]] GaugePressure pressure_for(Litres content) const;

  /// @brief The same if the gas were ideal.
  /// @throws InvalidInput for a negative content or one that needs more than 345 bar.
  [[nodiscard]] GaugePressure ideal_pressure_for(Litres content) const;

  /// @brief The cylinder with another reading of its gauge, at the same temperature.
  /// @throws InvalidInput for a pressure out of range.
  [[nodiscard]] Cylinder at_pressure(GaugePressure pressure) const {
    return {each_, pressure, gas_, temperature_, joined_};
  }

  /// @brief The closed cylinder once its gas has come to another temperature.
  ///
  /// The amount stays; after a hot fill this is what is left of the pressure in cold water.
  /// @throws InvalidInput for a temperature out of range, or one at which the gauge would read
  ///         less than 0 or more than 345 bar.
  [[nodiscard]] Cylinder at_temperature(Temperature temperature) const;

  friend bool operator==(const Cylinder&, const Cylinder&) = default; ///< Field by field.

private:
  [[nodiscard]] detail::Isotherm isotherm() const { return {gas_, in_kelvin(temperature_)}; }
  [[nodiscard]] double molar_density() const {
    return isotherm().density(in_bar(absolute(pressure_)));
  }
  /// What an ideal content of 1 bar in the water volume is [L].
  [[nodiscard]] double litres_per_bar() const { return in_water_litres(water_volume()); }

  WaterVolume each_;
  GaugePressure pressure_;
  Gas gas_;
  Temperature temperature_;
  int joined_;
};

/// @brief How a cylinder sold by the gas it delivers came by that number.
enum class Rating {
  real_gas, ///< Air as it is, measured.
  ideal_gas ///< Reckoned as an ideal gas.
};

/// @brief Water volume of a cylinder that is stated as cubic feet of air at a pressure.
///
/// The rated volume is air at 1 atm and 70 degrees F (common practice, no source), delivered from
/// the rated pressure until the gauge reads 0.
/// @param cubic_feet Rated volume of free air [cu ft], 1 to 5000.
/// @param at         Rated pressure, 34 to 345 bar (500 to 5000 psi).
/// @param rating     Real or ideal; the two differ by 3 % at 3000 psi.
/// @throws InvalidInput if one of them is out of range, or the water volume that results is.
[[nodiscard]] inline WaterVolume rated_water_volume(double cubic_feet, GaugePressure at,
                                                    Rating rating) {
  constexpr double most = 5000.0; // [cu ft]
  constexpr GaugePressure least = bar_gauge(34.0);
  detail::require_range("rated volume", cubic_feet, 1.0, most, "cu ft",
                        "give the free air that the cylinder is rated for");
  detail::require_gauge("rated pressure", at, least, "give the pressure of the rating");
  const double free_air = cubic_feet * litres_per_cubic_foot * bar_per_atmosphere; // at 1 bar [L]
  double per_litre = in_bar_gauge(at);                                             // ideal
  if (rating == Rating::real_gas)
    per_litre = Cylinder(water_litres(1.0), at, Gas(), fahrenheit(70.0)).content().base(); // [L/L]
  const WaterVolume volume = water_litres(free_air / per_litre);
  detail::require_water_volume("water volume of the rating", volume,
                               "check the rated volume and pressure");
  return volume;
}

// ---- definitions -----------------------------------------------------------------------------

inline Cylinder::Cylinder(WaterVolume each, GaugePressure pressure, const Gas& gas,
                          Temperature temperature, int joined)
    : each_(each), pressure_(pressure), gas_(gas), temperature_(temperature), joined_(joined) {
  detail::require_water_volume("water_volume", each, "give the water volume of one cylinder");
  detail::require_gauge("pressure", pressure, bar_gauge(0.0), detail::gauge_remedy);
  detail::require_gas_temperature("temperature", temperature);
  detail::require_range("joined", joined, 1, most_joined, "cylinders",
                        "give how many equal cylinders the manifold joins");
}

inline Litres Cylinder::content_at(GaugePressure pressure) const {
  detail::require_gauge("pressure", pressure, bar_gauge(0.0), detail::gauge_remedy);
  const detail::Isotherm gas = isotherm();
  const double full = gas.density(in_bar(absolute(pressure)));
  const double empty = gas.density(bar_per_atmosphere);
  return litres(litres_per_bar() * gas.ideal() * (full - empty));
}

inline Litres Cylinder::ideal_content_at(GaugePressure pressure) const {
  detail::require_gauge("pressure", pressure, bar_gauge(0.0), detail::gauge_remedy);
  return litres(litres_per_bar() * in_bar_gauge(pressure));
}

inline GaugePressure Cylinder::pressure_for(Litres content) const {
  detail::require_content(content, content_at(highest_gauge_pressure));
  const detail::Isotherm gas = isotherm();
  const double density =
      gas.density(bar_per_atmosphere) + in_litres(content) / (litres_per_bar() * gas.ideal());
  const GaugePressure found = gauge(bar(gas.pressure(density)));
  // Rounding must not take it out of the range of a cylinder.
  return std::clamp(found, bar_gauge(0.0), highest_gauge_pressure);
}

inline GaugePressure Cylinder::ideal_pressure_for(Litres content) const {
  detail::require_content(content, ideal_content_at(highest_gauge_pressure));
  return bar_gauge(in_litres(content) / litres_per_bar());
}

inline Cylinder Cylinder::at_temperature(Temperature temperature) const {
  detail::require_gas_temperature("temperature", temperature);
  if (temperature == temperature_) return *this;
  const detail::Isotherm there(gas_, in_kelvin(temperature));
  const GaugePressure reads = gauge(bar(there.pressure(molar_density())));
  detail::require_gauge("pressure at the new temperature", reads, bar_gauge(0.0),
                        "give a temperature that the cylinder stands, or its present pressure");
  return {each_, reads, gas_, temperature, joined_};
}

} // namespace upline

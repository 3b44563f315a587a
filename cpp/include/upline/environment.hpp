#pragma once
/// @file
/// @brief Where the dive is: pressure at the surface, and pressure at a depth.
/// @par Source
/// docs/theory.md, section "Pressure". Gauge metres: EN 13319 (0.1 bar a metre). Altitude: ISA
/// troposphere, ISO 2533. Vapour pressure 0.0627 bar at 37 degrees C: Buehlmann's convention.

#include <upline/detail/require.hpp>
#include <upline/units.hpp>

#include <cmath>
#include <optional>
#include <variant>

namespace upline {

inline constexpr double standard_gravity = 9.80665;          ///< [m/s2], exact by convention.
inline constexpr double standard_surface_pressure = 1.01325; ///< One atmosphere [bar].
inline constexpr double fresh_water = 1000.0;                ///< Density [kg/m3].
inline constexpr double sea_water = 1025.0;                  ///< Density [kg/m3].

/// @brief Up to here the diver counts as living at the height of the water [m].
inline constexpr Altitude acclimatised_below = metres(300.0);

/// @brief ISA surface pressure at a height above sea level [bar].
[[nodiscard]] inline Pressure pressure_at_altitude(Altitude height) {
  return bar(standard_surface_pressure *
             std::pow(1.0 - 0.0065 * in_metres(height) / 288.15, 5.255876));
}

/// @brief The pressures of a place as plain numbers, ready for arithmetic.
struct Place {
  double surface = standard_surface_pressure; ///< Ambient pressure at the surface [bar].
  double per_metre = 0.1;                     ///< Pressure of one metre of depth [bar/m].
  double vapour = 0.0627;                     ///< Water vapour in the lungs [bar].

  /// @brief Absolute pressure at `depth` metres [bar].
  template <class T>
  [[nodiscard]] constexpr T pressure(const T& depth) const {
    return surface + depth * per_metre;
  }
  /// @brief Depth at which `pressure` bar prevails [m]; negative above the surface.
  template <class T>
  [[nodiscard]] constexpr T depth(const T& pressure) const {
    return (pressure - surface) / per_metre;
  }
  friend constexpr bool operator==(const Place&, const Place&) = default; ///< Field by field.
};

/// @brief The diver's body is used to the place of the dive.
struct AcclimatisedHere {
  friend constexpr bool operator==(AcclimatisedHere,
                                   AcclimatisedHere) = default; ///< Field by field.
};

/// @brief What a person states about the place; `place()` checks it and turns it into numbers.
struct Environment {
  std::optional<Altitude> altitude{}; ///< Height of the water; sea level where neither is given.
  std::optional<Pressure> surface_pressure{}; ///< Or the pressure itself, never both.
  std::optional<double> water_density{};      ///< [kg/m3]; without it depths are gauge metres.
  /// Where the diver's tissues are at rest; nothing: see acclimatised_pressure().
  std::variant<std::monostate, AcclimatisedHere, Altitude> acclimatised_to{};
  Pressure vapour = bar(0.0627); ///< Water vapour in the lungs.

  /// @brief Pressures of the place.
  /// @throws InvalidInput for a value out of range, or altitude and surface pressure together.
  [[nodiscard]] Place place() const;

  /// @brief Surface pressure at which the diver's tissues are in equilibrium [bar].
  ///
  /// Where it is not stated: the place itself up to 300 m, sea level for any higher place.
  /// @throws InvalidInput as place() does.
  [[nodiscard]] double acclimatised_pressure() const;

  /// @brief Whether the arrival from sea level is this library's assumption, not a statement.
  [[nodiscard]] bool just_arrived_assumed() const {
    return std::holds_alternative<std::monostate>(acclimatised_to) &&
           place().surface < in_bar(pressure_at_altitude(acclimatised_below)) - 1e-12;
  }

  friend bool operator==(const Environment&, const Environment&) = default; ///< Field by field.
};

namespace detail {
inline double checked_altitude_pressure(const char* field, Altitude height) {
  require_length(field, height, metres(-500.0), metres(6000.0),
                 "give the height above sea level, or surface_pressure instead");
  return in_bar(pressure_at_altitude(height));
}
} // namespace detail

inline Place Environment::place() const {
  if (altitude && surface_pressure)
    throw InvalidInput("surface_pressure",
                       detail::trimmed(in_bar(*surface_pressure), 6) + " bar beside altitude " +
                           detail::length_text(*altitude),
                       "one of the two", "leave out altitude or surface_pressure");
  Place result;
  if (altitude) result.surface = detail::checked_altitude_pressure("altitude", *altitude);
  if (surface_pressure) {
    detail::require_range("surface_pressure", in_bar(*surface_pressure), 0.4, 1.2, "bar",
                          "give the absolute pressure at the surface");
    result.surface = in_bar(*surface_pressure);
  }
  if (water_density) {
    detail::require_range("water", *water_density, 900.0, 1300.0, "kg/m3",
                          "give \"fresh\", \"sea\" or a density");
    result.per_metre = *water_density * standard_gravity * 1e-5;
  }
  detail::require_range("vapour", in_bar(vapour), 0.0, 0.1, "bar",
                        "use 0.0627, 0.0567 or 0.0493, the published conventions");
  result.vapour = in_bar(vapour);
  return result;
}

inline double Environment::acclimatised_pressure() const {
  if (const auto* height = std::get_if<Altitude>(&acclimatised_to))
    return detail::checked_altitude_pressure("acclimatised_to", *height);
  return just_arrived_assumed() ? standard_surface_pressure : place().surface;
}

} // namespace upline

#pragma once
/// @file
/// @brief The forms in which a limit that is linear in ambient pressure was published.
///
/// One unit of pressure throughout, whichever is chosen: bar, msw, fsw.
/// @par Source
/// docs/theory.md, section "Comparison", eq. (29). Workman 1965; Baker, Understanding M-values
/// (secondary).

namespace upline {

/// @brief Tension allowed at ambient pressure p: a + p / b.
struct PressureLimit {
  double a = 0.0; ///< [pressure]
  double b = 1.0; ///< [1]

  /// @brief Tension allowed at an ambient pressure [pressure].
  [[nodiscard]] constexpr double tension(double ambient) const { return a + ambient / b; }
};

/// @brief Tension allowed on reaching the surface, and how it grows with depth.
struct SurfacingLimit {
  double surfacing = 0.0; ///< At depth 0 [pressure].
  double slope = 1.0;     ///< Per unit of pressure of depth [1].

  /// @brief Tension allowed at a depth, itself a pressure [pressure].
  [[nodiscard]] constexpr double tension(double depth) const { return surfacing + slope * depth; }
};

/// @brief From surface value and slope to a and b.
/// @param limit   As published.
/// @param surface Ambient pressure at the surface for which it was [pressure].
[[nodiscard]] constexpr PressureLimit pressure_limit(const SurfacingLimit& limit, double surface) {
  return {limit.surfacing - limit.slope * surface, 1.0 / limit.slope};
}

/// @brief From a and b to surface value and slope.
/// @param limit   As published.
/// @param surface Ambient pressure at the surface for which it is wanted [pressure].
[[nodiscard]] constexpr SurfacingLimit surfacing_limit(const PressureLimit& limit, double surface) {
  return {limit.tension(surface), 1.0 / limit.b};
}

/// @brief The limit of a ratio of tension to absolute ambient pressure.
[[nodiscard]] constexpr PressureLimit ratio_limit(double ratio) { return {0.0, 1.0 / ratio}; }

} // namespace upline

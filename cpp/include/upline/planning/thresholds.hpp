#pragma once
/// @file
/// @brief Values beyond which a breathing gas is remarked on.
/// @par Source
/// Density: Anthony and Mitchell 2016 (from memory, to be confirmed), at 0 degrees C. 0.18 bar:
/// common practice, no source.

namespace upline::detail {

inline constexpr double recommended_density = 5.2; ///< [g/L]
inline constexpr double highest_density = 6.2;     ///< [g/L]
inline constexpr double little_po2 = 0.18;         ///< Below it the reserve is small [bar].

} // namespace upline::detail

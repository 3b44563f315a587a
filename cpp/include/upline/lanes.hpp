#pragma once
/// @file
/// @brief One value per compartment.

#include <array>
#include <cstddef>

namespace upline {

/// @brief Number of compartments in every set.
inline constexpr std::size_t compartment_count = 16;

/// @brief One number per compartment, fastest first.
template <class T>
using Lanes = std::array<T, compartment_count>;

} // namespace upline

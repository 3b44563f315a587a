#pragma once
/// @file
/// @brief Range checks that throw the one kind of message the library gives.

#include <upline/detail/number.hpp>
#include <upline/error.hpp>
#include <upline/units.hpp>

#include <string>

namespace upline::detail {

/// @brief A length in both systems, so that nobody has to guess which was meant.
[[nodiscard]] inline std::string length_text(Depth x) {
  return trimmed(in_metres(x), 3) + " m (" + trimmed(in_feet(x), 2) + " ft)";
}

/// @brief Throws InvalidInput unless `low <= x <= high`; NaN is refused too.
inline void require_range(const char* field, double x, double low, double high, const char* unit,
                          const char* remedy) {
  if (x >= low && x <= high) return;
  const std::string tail = *unit != '\0' ? std::string(" ") + unit : std::string();
  throw InvalidInput(field, trimmed(x, 6) + tail,
                     trimmed(low, 6) + " to " + trimmed(high, 6) + tail, remedy);
}

/// @brief Throws InvalidInput unless `low <= x <= high`; the message gives metres and feet.
inline void require_length(const char* field, Depth x, Depth low, Depth high, const char* remedy) {
  if (x >= low && x <= high) return;
  throw InvalidInput(field, length_text(x), length_text(low) + " to " + length_text(high), remedy);
}

} // namespace upline::detail

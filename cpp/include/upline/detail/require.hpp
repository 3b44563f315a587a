#pragma once
/// @file
/// @brief Range checks that throw the one kind of message the library gives.

#include <upline/detail/number.hpp>
#include <upline/error.hpp>
#include <upline/units.hpp>

#include <cmath>
#include <string>

namespace upline::detail {

/// @brief A value in the unit of either system, so that nobody has to guess which was meant.
///
/// The second is there to be recognised, not to be typed: one decimal, two below 1. What is no
/// number has no unit.
[[nodiscard]] inline std::string in_both(double metric, const char* metric_unit, double other,
                                         const char* other_unit) {
  if (std::isnan(metric)) return "not a number";
  if (std::isinf(metric)) return metric > 0.0 ? "infinite" : "minus infinite";
  return trimmed(metric, 3) + " " + metric_unit + " (" +
         trimmed(other, std::abs(other) < 1.0 ? 2 : 1) + " " + other_unit + ")";
}

/// @brief A length in metres and feet.
[[nodiscard]] inline std::string length_text(Depth x) {
  return in_both(in_metres(x), "m", in_feet(x), "ft");
}

/// @brief Throws InvalidInput unless `low <= x <= high`; NaN is refused too.
inline void require_range(const char* field, double x, double low, double high, const char* unit,
                          const char* remedy) {
  if (x >= low && x <= high) return;
  const std::string tail = *unit != '\0' ? std::string(" ") + unit : std::string();
  throw InvalidInput(field, std::isnan(x) ? "not a number" : trimmed(x, 6) + tail,
                     trimmed(low, 6) + " to " + trimmed(high, 6) + tail, remedy);
}

/// @brief Throws InvalidInput unless `low <= x <= high`; the message gives metres and feet.
inline void require_length(const char* field, Depth x, Depth low, Depth high, const char* remedy) {
  if (x >= low && x <= high) return;
  throw InvalidInput(field, length_text(x), length_text(low) + " to " + length_text(high), remedy);
}

} // namespace upline::detail

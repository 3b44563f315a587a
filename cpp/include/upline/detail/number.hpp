#pragma once
/// @file
/// @brief Numbers as text, whatever the locale.

#include <array>
#include <charconv>
#include <cmath>
#include <cstddef>
#include <string>
#include <system_error>

namespace upline::detail {

/// @brief `x` with exactly `digits` decimals; "nan" and "inf" as such.
[[nodiscard]] inline std::string fixed(double x, int digits) {
  std::array<char, 400> buffer{};
  const auto [end, error] = std::to_chars(buffer.data(), buffer.data() + buffer.size(), x,
                                          std::chars_format::fixed, digits);
  return error == std::errc{} ? std::string(buffer.data(), end) : std::string("a number too long");
}

/// @brief `x` with at most `digits` decimals, without trailing zeros.
[[nodiscard]] inline std::string trimmed(double x, int digits) {
  if (!std::isfinite(x) || std::abs(x) >= 1e15) {
    std::array<char, 64> buffer{};
    const auto end = std::to_chars(buffer.data(), buffer.data() + buffer.size(), x).ptr;
    return {buffer.data(), end};
  }
  std::string text = fixed(x, digits);
  if (text.find('.') != std::string::npos) {
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
  }
  return text == "-0" ? "0" : text;
}

/// @brief Minutes for paper: whole, or m:ss with the second rounded up so that none is lost.
[[nodiscard]] inline std::string clock_text(double minutes) {
  constexpr double slack = 1e-6; // seconds; keeps 28.333.. min from reading 28:21
  const double total = std::ceil(minutes * 60.0 - slack);
  if (total <= 0.0) return "0"; // not the "-0" of a rounded-up trifle
  const double whole = std::floor(total / 60.0);
  const double rest = total - whole * 60.0;
  if (rest == 0.0) return fixed(whole, 0);
  return fixed(whole, 0) + (rest < 10.0 ? ":0" : ":") + fixed(rest, 0);
}

/// @brief A span of time for a sentence, with its units: "20 min", "20 min 55 s", "30 s"; the
/// second is rounded up as in clock_text().
[[nodiscard]] inline std::string duration_text(double minutes) {
  const std::string clock = clock_text(minutes);
  const auto colon = clock.find(':');
  if (colon == std::string::npos) return clock + " min";
  const std::size_t tens = clock[colon + 1] == '0' ? 1 : 0; // "5 s", not "05 s"
  const std::string rest = clock.substr(colon + 1 + tens) + " s";
  return colon == 1 && clock[0] == '0' ? rest : clock.substr(0, colon) + " min " + rest;
}

} // namespace upline::detail

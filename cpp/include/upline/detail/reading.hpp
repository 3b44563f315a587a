#pragma once
/// @file
/// @brief Small pieces for reading what people type.

#include <cctype>
#include <charconv>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <system_error>

namespace upline::detail {

/// @brief Text without white space, in lower case.
[[nodiscard]] inline std::string squeezed_lower(std::string_view text) {
  std::string result;
  for (const char c : text)
    if (std::isspace(static_cast<unsigned char>(c)) == 0)
      result += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return result;
}

/// @brief Whether a blank stands inside a number: "1 8" is not 18.
[[nodiscard]] inline bool splits_a_number(std::string_view text) {
  constexpr std::string_view digits = "0123456789.";
  constexpr std::string_view blanks = " \t\n\r\f\v";
  for (auto at = text.find_first_of(blanks); at != std::string_view::npos;) {
    const auto end = text.find_first_not_of(blanks, at);
    if (end == std::string_view::npos) return false;
    if (at > 0 && digits.find(text[at - 1]) != std::string_view::npos &&
        digits.find(text[end]) != std::string_view::npos)
      return true;
    at = text.find_first_of(blanks, end);
  }
  return false;
}

/// @brief A number in plain decimal form that fills the whole text.
[[nodiscard]] inline std::optional<double> plain_number(std::string_view text) {
  double value = 0.0;
  const auto [end, error] =
      std::from_chars(text.data(), text.data() + text.size(), value, std::chars_format::fixed);
  if (text.empty() || error != std::errc{} || end != text.data() + text.size()) return {};
  return value;
}

/// @brief The fraction that a plain number of per cent states, correctly rounded.
[[nodiscard]] inline std::optional<double> percent_number(std::string_view text) {
  if (!plain_number(text)) return {};
  const std::string scaled = std::string(text) + "e-2"; // dividing by 100 would round twice
  double value = 0.0;
  const auto error = std::from_chars(scaled.data(), scaled.data() + scaled.size(), value).ec;
  return error == std::errc{} ? std::optional(value) : std::nullopt;
}

/// @brief Longer texts are no mix and no factor pair.
inline constexpr std::size_t longest_text = 200;

/// @brief Foreign text in quotes, cut short and in ASCII: a message stays readable and valid UTF-8
/// whatever was typed.
[[nodiscard]] inline std::string quoted(std::string_view text) {
  constexpr std::size_t longest = 40;
  std::string shown = "\"";
  for (const char c : text.substr(0, longest)) shown += c >= ' ' && c <= '~' ? c : '?';
  return shown + (text.size() > longest ? "...\"" : "\"");
}

} // namespace upline::detail

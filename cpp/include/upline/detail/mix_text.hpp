#pragma once
/// @file
/// @brief The ways people write a mix, and what a text that is none was probably meant to be.

#include <upline/detail/number.hpp>
#include <upline/detail/reading.hpp>
#include <upline/error.hpp>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

namespace upline::detail {

inline constexpr double least_oxygen = 0.04; // nobody breathes less, and "1" is not oxygen

/// Per cent in the fewest digits that percent_number() reads back as the same fraction.
inline std::string percent_text(double fraction) {
  std::array<char, 32> buffer{};
  const auto end = std::to_chars(buffer.data(), buffer.data() + buffer.size(), fraction,
                                 std::chars_format::scientific)
                       .ptr;
  const std::string_view shown(buffer.data(), static_cast<std::size_t>(end - buffer.data()));
  const auto e = shown.find('e');
  std::string digits(shown.substr(0, e));
  std::erase(digits, '.');
  int point = 0; // digits before the decimal point of the fraction, less one
  const bool negative = shown[e + 1] == '-';
  std::from_chars(shown.data() + e + 2, shown.data() + shown.size(), point);
  point = (negative ? -point : point) + 3; // of the per cent
  std::string text;
  if (point <= 0) {
    text.append("0.").append(static_cast<std::size_t>(-point), '0').append(digits);
    return text;
  }
  const auto before = static_cast<std::size_t>(point);
  if (digits.size() < before) digits.resize(before, '0');
  text.append(digits, 0, before);
  if (digits.size() > before) text.append(1, '.').append(digits, before);
  return text;
}

/// Per cent of a helium that is all that oxygen leaves, in the fewest digits within rounding.
inline std::string rest_text(double helium) {
  constexpr double rounding = 5e-10; // half of what the constructor of a mix allows
  constexpr int most = 9;
  int digits = 0;
  while (digits < most && std::abs(percent_number(trimmed(helium * 100.0, digits)).value_or(-1.0) -
                                   helium) > rounding)
    ++digits;
  return trimmed(helium * 100.0, digits);
}

/// A name that may stand before the numbers, and whether it promises helium.
struct MixName {
  std::string_view name;
  bool helium;
};
/// Common practice, no source. Where one begins like another the longer stands first.
inline constexpr std::array<MixName, 6> mix_names{{{"eanx", false},
                                                   {"ean", false},
                                                   {"nitrox", false},
                                                   {"trimix", true},
                                                   {"tmx", true},
                                                   {"tx", true}}};

/// Fractions as stated, not checked.
struct StatedMix {
  double oxygen = 0.21;
  double helium = 0.0;
};

/// The fractions that a text states, which may be out of range.
[[nodiscard]] inline std::optional<StatedMix> stated_fractions(std::string_view text) {
  if (splits_a_number(text)) return {};
  const std::string squeezed = squeezed_lower(text);
  std::string_view rest = squeezed;
  if (rest == "air") return StatedMix{};
  if (rest == "o2" || rest == "oxygen") return StatedMix{1.0, 0.0};
  const auto* known = std::find_if(mix_names.begin(), mix_names.end(),
                                   [&](const MixName& one) { return rest.starts_with(one.name); });
  if (known != mix_names.end()) rest.remove_prefix(known->name.size());
  if (rest.ends_with('%')) rest.remove_suffix(1);
  const auto slash = rest.find('/');
  const bool two = slash != std::string_view::npos;
  if (known != mix_names.end() && known->helium != two) return {}; // the name says otherwise
  const auto oxygen = percent_number(rest.substr(0, slash));
  const auto helium = two ? percent_number(rest.substr(slash + 1)) : std::optional(0.0);
  if (!oxygen || !helium) return {};
  return StatedMix{*oxygen, *helium};
}

/// Whether a text is a mix of at least so much oxygen.
[[nodiscard]] inline bool names_a_mix(std::string_view text, double least = least_oxygen) {
  constexpr double rounding = 1e-9;
  const auto stated = stated_fractions(text);
  return stated && stated->oxygen >= least && stated->helium >= 0.0 &&
         stated->oxygen + stated->helium <= 1.0 + rounding;
}

/// The mixes of a text that holds several, between quotes; nothing if a part is none.
[[nodiscard]] inline std::string several_mixes(std::string_view text, double least = least_oxygen) {
  std::string list;
  std::size_t count = 0;
  for (std::size_t at = 0; at < text.size();) {
    const auto begin = std::min(text.find_first_not_of(" ,;+", at), text.size());
    at = std::min(text.find_first_of(" ,;+", begin), text.size());
    if (begin == at) break;
    const std::string_view part = text.substr(begin, at - begin);
    if (!names_a_mix(part, least)) return {};
    list += (count++ == 0 ? "" : ", ") + quoted(part);
  }
  return count > 1 ? list : std::string();
}

/// What a text that is no mix was probably meant to be, as an imperative.
[[nodiscard]] inline std::string remedy_for_gas(std::string_view text) {
  constexpr std::size_t longest = 40; // what stands whole in a message
  constexpr const char* usual = "write the mix in one of these forms";
  if (text.size() > longest) return usual;
  const std::string squeezed = squeezed_lower(text);
  for (const MixName& one : mix_names)
    if (squeezed == one.name)
      return "write the numbers in the same text: \"" + squeezed +
             (one.helium ? "18/45\"" : "32\"");
  std::string remedy;
  const auto propose = [&](char wrong, char right, const char* how) {
    std::string other(text);
    std::replace(other.begin(), other.end(), wrong, right);
    if (remedy.empty() && other != text && names_a_mix(other))
      remedy = "write " + quoted(other) + how;
  };
  propose(',', '.', ", with a decimal point");
  for (const char wrong : {'-', ':', ';', '\\', ' '}) propose(wrong, '/', "");
  constexpr double usual_least = 0.1; // "32,5" is not a list of 32 % and 5 %
  const double least = remedy.empty() ? least_oxygen : usual_least;
  if (const std::string list = several_mixes(text, least); !list.empty())
    remedy += (remedy.empty() ? "" : "; or, if several are meant, ") +
              ("give each mix by itself: " + list);
  return remedy.empty() ? usual : remedy;
}

/// What a mix out of range was probably meant to be.
[[nodiscard]] inline std::string remedy_for_range(const StatedMix& stated, std::string_view text) {
  const std::string squeezed = squeezed_lower(text);
  constexpr std::size_t glued = 4; // 1845
  if (squeezed.size() == glued && squeezed.find_first_not_of("0123456789") == std::string::npos) {
    const std::string parted = squeezed.substr(0, 2) + "/" + squeezed.substr(2);
    if (names_a_mix(parted))
      return std::string("write ").append(quoted(parted)).append(" if that is meant");
  }
  const double oxygen = 100.0 * stated.oxygen; // as if it were a fraction; 1 may be 1 %
  const double helium = 100.0 * stated.helium;
  if (oxygen < least_oxygen || oxygen >= 1.0 || helium < 0.0 || oxygen + helium > 1.0)
    return "write per cent; pure oxygen is O2 or 100";
  std::string meant = trimmed(oxygen * 100.0, 4);
  if (helium > 0.0) meant.append("/").append(trimmed(helium * 100.0, 4));
  return std::string("write per cent: ").append(quoted(meant));
}

[[noreturn]] inline void throw_unreadable_gas(std::string_view text) {
  throw InvalidInput("gas", quoted(text),
                     "air, O2 or oxygen; per cent of oxygen (32, 32 %, EAN32, nitrox 32); "
                     "oxygen/helium (18/45, Tx18/45, trimix 18/45)",
                     remedy_for_gas(text));
}

} // namespace upline::detail

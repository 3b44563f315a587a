#pragma once
/// @file
/// @brief What a compartment tolerates: mixed-gas limit, gradient factors, the limit line.
/// @par Source
/// docs/theory.md, section "Limit". Mixing rule and a, b: Buehlmann et al. 2002. Gradient factors:
/// Baker, Understanding M-values (secondary).

#include <upline/compartments.hpp>
#include <upline/detail/exponentials.hpp>
#include <upline/detail/number.hpp>
#include <upline/detail/reading.hpp>
#include <upline/error.hpp>
#include <upline/tissue.hpp>

#include <algorithm>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace upline {

/// @brief The a [bar] and b [1] of a compartment that holds a mixture.
template <class T>
struct MixedLimit {
  T a{}; ///< [bar]
  T b{}; ///< [1]
};

/// @brief Coefficients weighted by the tensions of the two gases; nitrogen's where both are 0.
template <class T>
[[nodiscard]] MixedLimit<T> mixed_limit(const CompartmentSet& set, std::size_t compartment,
                                        const T& nitrogen, const T& helium) {
  const T total = nitrogen + helium;
  const T share = total > 0.0 ? T(helium / total) : T(0.0);
  const double n2_a = set.nitrogen.a[compartment];
  const double n2_b = set.nitrogen.b[compartment];
  return {n2_a + share * (set.helium.a[compartment] - n2_a),
          n2_b + share * (set.helium.b[compartment] - n2_b)};
}

/// @brief Least ambient pressure tolerated at gradient factor `factor` [bar].
template <class T>
[[nodiscard]] T tolerated_pressure(const CompartmentSet& set, std::size_t compartment,
                                   const T& nitrogen, const T& helium, const T& factor) {
  const auto [a, b] = mixed_limit(set, compartment, nitrogen, helium);
  return (nitrogen + helium - a * factor) / (factor / b - factor + 1.0);
}

/// @brief The gradient factor at which `ambient` is just tolerated [1]; negative below saturation.
template <class T>
[[nodiscard]] T supersaturation_fraction(const CompartmentSet& set, std::size_t compartment,
                                         const T& nitrogen, const T& helium, const T& ambient) {
  const auto [a, b] = mixed_limit(set, compartment, nitrogen, helium);
  return (nitrogen + helium - ambient) / (a + ambient / b - ambient);
}

/// @brief Sum of tensions at which `ambient` is just tolerated at gradient factor `factor` [bar].
///
/// For the mixture held now: supersaturation_fraction() solved for the tensions.
template <class T>
[[nodiscard]] T allowed_tension(const CompartmentSet& set, std::size_t compartment,
                                const T& nitrogen, const T& helium, const T& ambient,
                                const T& factor) {
  const auto [a, b] = mixed_limit(set, compartment, nitrogen, helium);
  return ambient + factor * (a + ambient / b - ambient);
}

/// @brief A compartment and a value that belongs to it.
struct Leader {
  std::size_t compartment = 0; ///< From 0, fastest first.
  double value = 0.0;          ///< In the unit of what was asked for.
};

/// @brief The compartment with the largest supersaturation fraction at `ambient` bar.
[[nodiscard]] inline Leader leading_fraction(const CompartmentSet& set, const Tissues& tissues,
                                             double ambient) {
  Leader leader{0, -1e300};
  for (std::size_t i = 0; i < compartment_count; ++i) {
    const double fraction =
        supersaturation_fraction(set, i, tissues.nitrogen[i], tissues.helium[i], ambient);
    if (fraction > leader.value) leader = {i, fraction};
  }
  return leader;
}

/// @brief The two gradient factors of a dive, low first, as fractions.
class GradientFactors {
public:
  /// @throws InvalidInput unless 0 < low <= high <= 1.5.
  GradientFactors(double low_fraction, double high_fraction);

  /// @brief Reads per cent: "40/80".
  /// @throws InvalidInput for any other text.
  [[nodiscard]] static GradientFactors parse(std::string_view text);

  /// @brief The factor at and below the anchor [1].
  [[nodiscard]] double low() const noexcept { return low_; }
  /// @brief The factor at the surface [1].
  [[nodiscard]] double high() const noexcept { return high_; }

  /// @brief Per cent, as people write it: "40/80".
  [[nodiscard]] std::string text() const {
    return detail::trimmed(low_ * 100.0, 6) + "/" + detail::trimmed(high_ * 100.0, 6);
  }
  friend bool operator==(const GradientFactors&,
                         const GradientFactors&) = default; ///< Field by field.

private:
  double low_;
  double high_;
};

/// @brief The factor allowed at each depth of an ascent.
///
/// Low at and below the anchor, linear from there to high at the surface. Where the direct
/// ascent touches no limit there is no anchor: low at every depth, high at the surface.
struct LimitLine {
  GradientFactors factors;        ///< Its two ends.
  std::optional<double> anchor{}; ///< [m]

  /// @brief The factor allowed at a depth in metres [1].
  [[nodiscard]] double factor_at(double depth) const {
    if (depth <= 0.0) return factors.high();
    if (!anchor || depth >= *anchor) return factors.low();
    return factors.high() + slope() * depth;
  }
  /// @brief Change of the factor per metre of depth above the anchor [1/m]; 0 without one.
  [[nodiscard]] double slope() const {
    return anchor && *anchor > 0.0 ? (factors.low() - factors.high()) / *anchor : 0.0;
  }
};

namespace detail {

inline constexpr const char* usual_factors =
    "write per cent as \"40/80\" or fractions as (0.40, 0.80)";

[[noreturn]] inline void throw_bad_factors(const std::string& shown,
                                           const std::string& remedy = usual_factors) {
  throw InvalidInput("gf", shown,
                     "low/high in per cent (40/80), or two fractions; above 0 and up to 150 per "
                     "cent, low not above high",
                     remedy);
}

/// The numbers in a text of factors, whatever stands around and between them.
[[nodiscard]] inline std::vector<std::string> numbers_in(std::string_view text) {
  constexpr std::string_view digits = "0123456789.";
  std::vector<std::string> numbers;
  for (auto at = text.find_first_of(digits); at != std::string_view::npos;) {
    const auto end = std::min(text.find_first_not_of(digits, at), text.size());
    numbers.emplace_back(text.substr(at, end - at));
    at = text.find_first_of(digits, end);
  }
  return numbers;
}

/// Two numbers in per cent as they ought to be written, the lower one first; nothing if they are
/// out of range.
[[nodiscard]] inline std::optional<std::string> as_factors(const std::string& one,
                                                           const std::string& other) {
  constexpr double least = 1.5; // below it looks like a fraction
  constexpr double most = 150.0;
  const auto x = plain_number(one);
  const auto y = plain_number(other);
  if (!x || !y || std::min(*x, *y) <= least || std::max(*x, *y) > most) return {};
  return detail::quoted((*x <= *y ? one : other) + "/" + (*x <= *y ? other : one));
}

/// For a pair of numbers that look like per cent.
[[nodiscard]] inline std::string remedy_for_per_cent(double low, double high) {
  if (!as_factors(trimmed(low, 6), trimmed(high, 6)) || low > high) return usual_factors;
  return "write per cent as \"" + trimmed(low, 6) + "/" + trimmed(high, 6) +
         "\" or fractions as (" + trimmed(low / 100.0, 8) + ", " + trimmed(high / 100.0, 8) + ")";
}

/// For a text of numbers that look like fractions.
[[nodiscard]] inline std::string remedy_for_fractions(double low, double high) {
  const auto meant = as_factors(trimmed(low * 100.0, 6), trimmed(high * 100.0, 6));
  return meant ? "write per cent: " + *meant : usual_factors;
}

/// Throws for a text that is no pair of factors, with what it was probably meant to be.
[[noreturn]] inline void throw_unreadable_factors(std::string_view text) {
  const std::vector<std::string> numbers =
      text.size() <= longest_text ? numbers_in(text) : std::vector<std::string>();
  if (numbers.size() == 1)
    throw_bad_factors(detail::quoted(text) + ", one number",
                      "write both factors, low and high, in the form \"40/80\"");
  const auto meant = numbers.size() == 2 ? as_factors(numbers[0], numbers[1]) : std::nullopt;
  if (meant) throw_bad_factors(detail::quoted(text), "write " + *meant);
  throw_bad_factors(detail::quoted(text));
}

/// Tolerated minus ambient pressure of every compartment [bar]: positive beyond the limit.
inline void excess(const CompartmentSet& set, const Tissues& tissues, double factor, double ambient,
                   Lanes<double>& out) {
  const LaneArray total = view(tissues.nitrogen) + view(tissues.helium);
  const LaneArray share = (total > 0.0).select(view(tissues.helium) / total, LaneArray::Zero());
  const LaneArray a = view(set.nitrogen.a) + share * (view(set.helium.a) - view(set.nitrogen.a));
  const LaneArray b = view(set.nitrogen.b) + share * (view(set.helium.b) - view(set.nitrogen.b));
  // (P - a G) / (G/b - G + 1), with one division less.
  view(out) = (total - factor * a) * b / (factor + (1.0 - factor) * b) - ambient;
}

/// Whether every compartment tolerates `ambient` bar; without divisions, for it is asked most.
[[nodiscard]] inline bool tolerated(const CompartmentSet& set, const Tissues& tissues,
                                    double factor, double ambient) {
  const LaneArray n2 = view(tissues.nitrogen);
  const LaneArray he = view(tissues.helium);
  const LaneArray total = n2 + he;
  // a = weighted_a / total and b = weighted_b / total, both sides times total times weighted_b.
  const LaneArray weighted_a = view(set.nitrogen.a) * n2 + view(set.helium.a) * he;
  const LaneArray weighted_b = view(set.nitrogen.b) * n2 + view(set.helium.b) * he;
  const LaneArray square = total.square();
  return ((square - factor * weighted_a) * weighted_b <=
          ambient * (factor * square + (1.0 - factor) * total * weighted_b))
      .all();
}

} // namespace detail

inline GradientFactors::GradientFactors(double low_fraction, double high_fraction)
    : low_(low_fraction), high_(high_fraction) {
  constexpr double highest = 1.5;
  if (low_ > 0.0 && low_ <= high_ && high_ <= highest) return;
  const std::string low = detail::trimmed(low_, 6);
  const std::string high = detail::trimmed(high_, 6);
  const std::string shown = "(" + low + ", " + high + ")";
  if (std::max(low_, high_) > highest)
    detail::throw_bad_factors(shown + ", which looks like per cent",
                              detail::remedy_for_per_cent(low_, high_));
  if (low_ > high_ && high_ > 0.0)
    detail::throw_bad_factors(shown + ", the low one above the high one",
                              "write the low one first: (" + high + ", " + low + ")");
  detail::throw_bad_factors(shown);
}

inline GradientFactors GradientFactors::parse(std::string_view text) {
  const std::string squeezed =
      text.size() <= detail::longest_text ? detail::squeezed_lower(text) : std::string();
  const std::string_view rest = squeezed;
  const auto slash = rest.find('/');
  if (slash == std::string_view::npos || detail::splits_a_number(text))
    detail::throw_unreadable_factors(text);
  const std::string first(rest.substr(0, slash));
  const std::string second(rest.substr(slash + 1));
  const auto low = detail::plain_number(first);
  const auto high = detail::plain_number(second);
  if (!low || !high) detail::throw_unreadable_factors(text);
  if (*low <= 1.5 || *high <= 1.5)
    detail::throw_bad_factors(detail::quoted(text) + ", which looks like fractions",
                              detail::remedy_for_fractions(*low, *high));
  const auto ordered = detail::as_factors(first, second);
  if (!ordered) detail::throw_bad_factors(detail::quoted(text));
  if (*low > *high)
    detail::throw_bad_factors(detail::quoted(text) + ", the low one above the high one",
                              "write the low one first: " + *ordered);
  return {*low / 100.0, *high / 100.0};
}

} // namespace upline

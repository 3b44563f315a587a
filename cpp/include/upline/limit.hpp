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

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

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

[[noreturn]] inline void throw_bad_factors(const std::string& shown) {
  throw InvalidInput("gf", shown, "low and high above 0 and up to 1.5, low not above high",
                     "write per cent as \"40/80\" or fractions as (0.40, 0.80)");
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
  if (!(low_ > 0.0 && low_ <= high_ && high_ <= highest))
    detail::throw_bad_factors("(" + detail::trimmed(low_, 6) + ", " + detail::trimmed(high_, 6) +
                              ")" + (high_ > highest ? ", which looks like per cent" : ""));
}

inline GradientFactors GradientFactors::parse(std::string_view text) {
  const std::string squeezed =
      text.size() <= detail::longest_text ? detail::squeezed_lower(text) : std::string();
  const std::string_view rest = squeezed;
  const auto slash = rest.find('/');
  if (slash == std::string_view::npos) detail::throw_bad_factors(detail::quoted(text));
  const auto low = detail::plain_number(rest.substr(0, slash));
  const auto high = detail::plain_number(rest.substr(slash + 1));
  if (!low || !high) detail::throw_bad_factors(detail::quoted(text));
  if (*low <= 1.5 || *high <= 1.5)
    detail::throw_bad_factors(detail::quoted(text) + ", which looks like fractions");
  return {*low / 100.0, *high / 100.0};
}

} // namespace upline

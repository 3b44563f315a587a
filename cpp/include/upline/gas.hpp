#pragma once
/// @file
/// @brief A breathing mix, the ways people write it, and what it does at a depth.
/// @par Source
/// docs/theory.md, section "Gas". MOD, EAD and END: NOAA Diving Manual forms. Unit densities at
/// 0 degrees C and 1 atm: handbook values, from memory, to be confirmed.

#include <upline/detail/mix_text.hpp>
#include <upline/detail/reading.hpp>
#include <upline/environment.hpp>

#include <cmath>
#include <optional>
#include <string>
#include <string_view>

namespace upline {

/// @brief Fractions of a mix; what is neither oxygen nor helium counts as nitrogen.
template <class T>
struct BasicGas {
  T oxygen{0.21}; ///< [1]
  T helium{0.0};  ///< [1]

  /// @brief Fraction of all the rest [1].
  [[nodiscard]] constexpr T nitrogen() const { return 1.0 - oxygen - helium; }
  friend bool operator==(const BasicGas&, const BasicGas&) = default; ///< Field by field.
};

/// @brief A mix as a person names it, with fractions checked.
class Gas : public BasicGas<double> {
public:
  /// @brief Air.
  constexpr Gas() = default;

  /// @param oxygen Fraction of oxygen, 0.04 to 1.
  /// @param helium Fraction of helium, 0 to 1 - oxygen.
  /// @throws InvalidInput if a fraction is out of range or the two exceed 1.
  explicit Gas(double oxygen, double helium = 0.0);

  /// @brief Reads "air", "O2", "oxygen"; per cent of oxygen: "32", "32 %", "EAN32", "EANx32",
  /// "nitrox 32"; oxygen and helium: "18/45", "Tx18/45", "trimix 18/45". Blanks and capitals do not
  /// matter.
  /// @throws InvalidInput for any other text, or fractions out of range.
  [[nodiscard]] static Gas parse(std::string_view text);

  /// @brief The shortest form that parse() reads back: "air", "32", "18/45", "O2".
  [[nodiscard]] std::string text() const;

  /// @brief The form for reading aloud and for slates: "air", "32 %", "18/45", "oxygen".
  [[nodiscard]] std::string spoken() const;

  friend bool operator==(const Gas&, const Gas&) = default; ///< Field by field.
};

/// @brief A gas and, where the person fixed it, the depth at which the ascent goes over to it.
struct GasChoice {
  Gas gas;                           ///< Air if nothing else is said.
  std::optional<Depth> switch_depth; ///< Nothing: the rule of the ascent finds it.

  GasChoice() = default;
  /// @brief A mix, with its switch depth where it is fixed.
  GasChoice(const Gas& mix, std::optional<Depth> depth = {}) : gas(mix), switch_depth(depth) {}
  /// @brief Reads a mix, with its switch depth behind an at sign: "50", "50@21", "50@70ft".
  /// @throws InvalidInput as Gas::parse, or if the depth is no number.
  GasChoice(const char* text) : GasChoice(parse(text)) {}
  /// @brief Reads a mix, with its switch depth behind an at sign, in a system of units.
  /// @param text  As in the constructor: "50", "50@21", "50@70ft".
  /// @param units Unit of a depth that names none.
  /// @throws InvalidInput as Gas::parse, or if the depth is no number.
  [[nodiscard]] static GasChoice parse(std::string_view text, Units units = Units::metric);

  friend bool operator==(const GasChoice&, const GasChoice&) = default; ///< Field by field.
};

/// @brief Whether a mix of oxygen and helium alone may have been meant as oxygen and nitrogen: at
/// 40 per cent of oxygen and more, "50/50" is how some write nitrox.
[[nodiscard]] inline bool may_mean_nitrox(const Gas& gas) {
  constexpr double least = 0.4;
  return gas.helium > 0.0 && gas.oxygen >= least && gas.helium == 1.0 - gas.oxygen;
}

/// @brief Deepest depth at which the mix stays at or below `po2` bar [m], not rounded.
[[nodiscard]] inline double maximum_operating_depth(const Gas& gas, double po2,
                                                    const Place& place = {}) {
  detail::require_range("po2", po2, 0.05, 4.0, "bar", "give the oxygen pressure in bar");
  return place.depth(po2 / gas.oxygen);
}

/// @brief Shallowest depth at which the mix holds at least `po2` bar of oxygen [m], 0 or more.
[[nodiscard]] inline double minimum_depth(const Gas& gas, double po2, const Place& place = {}) {
  return std::fmax(0.0, maximum_operating_depth(gas, po2, place));
}

/// @brief Depth at which air has the nitrogen pressure of the mix at `depth` [m].
[[nodiscard]] inline double equivalent_air_depth(const Gas& gas, double depth,
                                                 const Place& place = {}) {
  return place.depth(place.pressure(depth) * gas.nitrogen() / 0.79);
}

/// @brief What counts as narcotic besides nitrogen.
enum class Narcotic {
  nitrogen_and_oxygen, ///< All but helium.
  nitrogen             ///< Nitrogen alone.
};

/// @brief Depth at which air is as narcotic as the mix at `depth` [m].
///
/// With oxygen counted: depth at which the pressure of all but helium would prevail. Nitrogen
/// alone: the equivalent air depth.
[[nodiscard]] inline double
equivalent_narcotic_depth(const Gas& gas, double depth,
                          Narcotic counted = Narcotic::nitrogen_and_oxygen,
                          const Place& place = {}) {
  if (counted == Narcotic::nitrogen) return equivalent_air_depth(gas, depth, place);
  return place.depth(place.pressure(depth) * (1.0 - gas.helium));
}

/// @brief Density of the mix at a depth [g/L].
/// @param gas   The mix.
/// @param depth [m]
/// @param place Pressures of the place.
/// @param temperature Reference temperature [degrees C]; the published limits of 5.2 and 6.2 g/L
///        belong to 0 degrees C.
[[nodiscard]] inline double density(const Gas& gas, double depth, const Place& place = {},
                                    double temperature = 0.0) {
  constexpr double oxygen = 1.429;
  constexpr double nitrogen = 1.251;
  constexpr double helium = 0.1786;
  detail::require_range("temperature", temperature, -50.0, 100.0, "degrees C",
                        "give the reference temperature of the gas");
  const double unit = gas.oxygen * oxygen + gas.helium * helium + gas.nitrogen() * nitrogen;
  return unit * place.pressure(depth) / standard_surface_pressure * 273.15 / (273.15 + temperature);
}

// ---- text ------------------------------------------------------------------------------------

inline Gas::Gas(double oxygen_fraction, double helium_fraction)
    : BasicGas<double>{oxygen_fraction, helium_fraction} {
  detail::require_range("gas oxygen fraction", oxygen, detail::least_oxygen, 1.0, "", // NOLINT
                        "give a fraction (0.32) or a text in per cent (\"32\")");
  detail::require_range("gas helium fraction", helium, 0.0, 1.0, "",
                        "give a fraction (0.45) or a text in per cent (\"18/45\")");
  constexpr double rounding = 1e-9;
  if (oxygen + helium > 1.0 + rounding)
    throw InvalidInput(
        "gas", detail::trimmed(oxygen, 6) + " oxygen and " + detail::trimmed(helium, 6) + " helium",
        "fractions that sum to at most 1", "lower one of the two");
  if (helium < rounding) helium = 0.0; // no analyser sees less than a billionth
  if (nitrogen() >= rounding) return;
  if (helium > 0.0)
    helium = 1.0 - oxygen;
  else
    oxygen = 1.0;
}

inline Gas Gas::parse(std::string_view text) {
  if (text.size() > detail::longest_text) detail::throw_unreadable_gas(text);
  const auto stated = detail::stated_fractions(text);
  if (!stated) detail::throw_unreadable_gas(text);
  if (!(stated->oxygen >= detail::least_oxygen && stated->oxygen <= 1.0))
    throw InvalidInput("gas", detail::quoted(text), "4 to 100 per cent oxygen",
                       detail::remedy_for_range(*stated, text));
  return Gas(stated->oxygen, stated->helium);
}

inline std::string Gas::text() const {
  const std::string percent = detail::percent_text(oxygen);
  if (helium > 0.0) {
    const bool is_rest = helium == 1.0 - oxygen; // read back so whatever its last digits
    return percent + "/" + (is_rest ? detail::rest_text(helium) : detail::percent_text(helium));
  }
  if (oxygen == 1.0) return "O2";
  return *this == Gas() ? "air" : percent;
}

inline std::string Gas::spoken() const {
  if (oxygen == 1.0) return "oxygen";
  const std::string written = text();
  return helium > 0.0 || *this == Gas() ? written : written + " %";
}

inline GasChoice GasChoice::parse(std::string_view text, Units units) {
  const auto at = text.find('@');
  GasChoice choice(Gas::parse(text.substr(0, at)));
  if (at == std::string_view::npos) return choice;
  if (text.size() > detail::longest_text) detail::throw_unreadable_gas(text);
  std::string stated = detail::squeezed_lower(text.substr(at + 1));
  if (stated.ends_with("ft")) {
    units = Units::imperial;
    stated.resize(stated.size() - 2);
  } else if (stated.ends_with("m")) {
    units = Units::metric;
    stated.pop_back();
  }
  const auto depth = detail::plain_number(stated);
  if (!depth)
    throw InvalidInput("gas switch depth", detail::quoted(text), "a number behind the at sign",
                       "write \"50@21\" for a switch to 50 % at 21");
  choice.switch_depth = depth_from(*depth, units);
  return choice;
}

} // namespace upline

#pragma once
/// @file
/// @brief A fill as it is asked for and as it is answered: gases, readings, obstacles.
/// @par Source
/// docs/theory.md, section "Blending".

#include <upline/supply.hpp>

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace upline {

/// @brief A gas at a fill station: any breathing mix, or helium.
class StationGas {
public:
  /// @param mix A breathing mix.
  StationGas(const Gas& mix) : fractions_(mix) {}

  /// @brief Helium alone, which nobody breathes.
  [[nodiscard]] static StationGas helium() { return StationGas(BasicGas<double>{0.0, 1.0}); }
  /// @brief Any fractions, unchecked: what goes through an inlet.
  [[nodiscard]] static StationGas of(const BasicGas<double>& fractions) {
    return StationGas(fractions);
  }
  /// @brief Reads "He", "helium", or a mix as Gas::parse does.
  /// @throws InvalidInput as Gas::parse.
  [[nodiscard]] static StationGas parse(std::string_view text);

  /// @brief Fractions of oxygen and helium; the rest is nitrogen.
  [[nodiscard]] const BasicGas<double>& fractions() const { return fractions_; }
  /// @brief For reading: "helium", "oxygen", "air", "32 %", "18/45"; per cent to two decimals.
  [[nodiscard]] std::string spoken() const;

  friend bool operator==(const StationGas&, const StationGas&) = default; ///< By fractions.

private:
  explicit StationGas(const BasicGas<double>& fractions) : fractions_(fractions) {}
  BasicGas<double> fractions_;
};

/// @brief A gas to fill with, and what its bank reads.
struct BankGas {
  StationGas gas;                          ///< The mix.
  std::optional<GaugePressure> pressure{}; ///< Nothing: not stated, so nothing is said of it.
};

/// @brief How the gases get into the cylinder.
enum class BlendMethod {
  in_cylinder, ///< One after the other, each to a pressure.
  at_inlet     ///< All together, mixed with air at the inlet of the compressor.
};

/// @brief What is asked of a fill.
struct FillOrder {
  Cylinder cylinder;          ///< As it is: pressure and mix of what is left, and temperature.
  Gas target;                 ///< The mix that is wanted ...
  GaugePressure pressure;     ///< ... and its pressure, at the temperature of the cylinder.
  std::vector<BankGas> gases; ///< One to three, in the order in which they are filled.
  BlendMethod method = BlendMethod::in_cylinder; ///< Of the fill.
  std::optional<double> inlet_limit{};           ///< Most oxygen at the inlet [1]; needed at_inlet.
  /// Of the gas while the gauge is read between additions; that of the cylinder if not given.
  std::optional<Temperature> filling_temperature{};
  std::optional<double> tolerance{}; ///< By how much an analysis may differ [1]; none by default.
};

/// @brief One gas that goes into the cylinder.
struct Addition {
  StationGas gas;                          ///< Which.
  Moles amount{};                          ///< How much.
  Litres volume{};                         ///< The same at 1 bar and the cylinder's temperature.
  GaugePressure from{};                    ///< What the gauge reads before ...
  GaugePressure to{};                      ///< ... and after, at the filling temperature.
  std::optional<GaugePressure> ideal_to{}; ///< After, if all were ideal gas; nothing: no such fill.
  std::optional<GaugePressure> bank{};     ///< What its bank reads, where that is stated.
};

/// @brief What flows into an inlet, as shares of the whole [1].
struct InletFlow {
  double air = 0.0;    ///< [1]
  double oxygen = 0.0; ///< Beside that of the air [1].
  double helium = 0.0; ///< [1]
};

/// @brief One way to fill, gauge reading by gauge reading.
struct FillSheet {
  GaugePressure start{};             ///< What is left in the cylinder, at its temperature.
  Moles residual{};                  ///< The same as an amount, below gauge 0 included.
  GaugePressure pressure{};          ///< At the end, at the temperature of the cylinder.
  BasicGas<double> mix{};            ///< What is in it then.
  Moles amount{};                    ///< How much of it, residual included.
  std::vector<Addition> additions{}; ///< In their order; gases that are not needed are left out.
  std::optional<InletFlow> inlet{};  ///< Where the gases are mixed before.
  /// What the real gases would become if each were filled to its ideal reading.
  std::optional<BasicGas<double>> ideal_gives{};
};

/// @brief Why a target is not reached.
enum class ObstacleCode {
  residual_too_full,       ///< No room is left for anything.
  residual_holds_too_much, ///< What is left holds more of a gas than the target may.
  station_lacks,           ///< No gas at hand holds as much of it as has to be added.
  station_holds_too_much,  ///< Each gas at hand holds more of it than may be added.
  no_combination,          ///< Each gas within bounds, but no mix of those at hand does it.
  inlet_limit,             ///< More oxygen at the inlet than was allowed.
  bank_pressure            ///< A bank reads less than the fill needs.
};

/// @brief One of the three gases.
enum class Component { oxygen, helium, nitrogen };

/// @brief One reason.
struct Obstacle {
  ObstacleCode code{};             ///< Which.
  Component component{};           ///< Of which gas; for most codes.
  double value = 0.0;              ///< What it would take: a share [1], or a reading [bar].
  double limit = 0.0;              ///< What there is: a share [1], or a reading [bar].
  std::optional<StationGas> gas{}; ///< For bank_pressure, and the nearest gas of the station.
};

/// @brief What can be done instead.
enum class Instead {
  bleed,         ///< The target, once some of the residual has been let out.
  nearest_mix,   ///< Another mix, the nearest in oxygen and helium, at the pressure asked for.
  other_order,   ///< The target, the gases in another order.
  lower_pressure ///< The target, to a lower pressure.
};

/// @brief A fill that can be done instead.
struct Alternative {
  Instead kind{};    ///< What differs from what was asked.
  FillSheet sheet{}; ///< The fill.
  /// Where it is to be bled: the least that has to stay in, because the station lacks what is in
  /// it.
  std::optional<GaugePressure> keep{};
};

/// @brief The answer to a FillOrder.
struct Blend {
  FillOrder order;                         ///< What was asked.
  std::optional<FillSheet> sheet{};        ///< The fill; nothing where the target is not reached.
  std::vector<Obstacle> obstacles{};       ///< Why not.
  std::vector<Alternative> alternatives{}; ///< What can be done instead; may be empty.

  /// @brief Whether what was asked can be filled.
  [[nodiscard]] bool reachable() const { return sheet.has_value(); }
};

// ---- text ------------------------------------------------------------------------------------

inline StationGas StationGas::parse(std::string_view text) {
  if (text.size() <= detail::longest_text) {
    const std::string squeezed = detail::squeezed_lower(text);
    if (squeezed == "he" || squeezed == "helium") return helium();
  }
  return {Gas::parse(text)};
}

inline std::string StationGas::spoken() const {
  const BasicGas<double>& f = fractions_;
  constexpr double shown = 5e-5; // two decimals of a per cent
  const auto percent = [](double x) { return detail::trimmed(x * 100.0, 2); };
  if (f.helium > 1.0 - shown) return "helium";
  if (f.oxygen > 1.0 - shown) return "oxygen";
  if (f.helium >= shown) return percent(f.oxygen) + "/" + percent(f.helium);
  return f == BasicGas<double>(Gas()) ? "air" : percent(f.oxygen) + " %";
}

} // namespace upline

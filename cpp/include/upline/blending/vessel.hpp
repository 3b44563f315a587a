#pragma once
/// @file
/// @brief What is in a vessel while it is filled: amounts of three gases, and the pressure they
/// make.
/// @par Source
/// docs/theory.md, sections "Real gas" and "Blending".

#include <upline/gas.hpp>
#include <upline/supplying/isotherm.hpp>

#include <boost/math/policies/policy.hpp>
#include <boost/math/tools/toms748_solve.hpp>

#include <cstdint>

namespace upline::detail {

/// @brief Whether a gas departs from the ideal one.
enum class GasLaw { real, ideal };

/// @brief Amounts of nitrogen, oxygen and helium [mol].
struct Amounts {
  double nitrogen = 0.0;
  double oxygen = 0.0;
  double helium = 0.0;

  [[nodiscard]] double total() const { return nitrogen + oxygen + helium; }
  [[nodiscard]] BasicGas<double> mix() const { return {oxygen / total(), helium / total()}; }
  /// @brief With so much of a gas added.
  [[nodiscard]] Amounts with(const BasicGas<double>& gas, double amount) const {
    return {nitrogen + gas.nitrogen() * amount, oxygen + gas.oxygen * amount,
            helium + gas.helium * amount};
  }
};

/// @brief A rigid vessel at one temperature.
class Vessel {
public:
  /// @param volume      [L]
  /// @param temperature [K]
  Vessel(double volume, double temperature, GasLaw law)
      : volume_(volume), temperature_(temperature), law_(law) {}

  /// @brief Absolute pressure [bar].
  [[nodiscard]] double pressure(const Amounts& inside) const {
    const double density = inside.total() / volume_;
    if (law_ == GasLaw::ideal) return density * ideal();
    return Isotherm(inside.mix(), temperature_).pressure(density);
  }

  /// @brief Amount of one mix that makes a pressure [mol].
  /// @param pressure Absolute [bar].
  [[nodiscard]] double amount(const BasicGas<double>& gas, double pressure) const {
    if (law_ == GasLaw::ideal) return volume_ * pressure / ideal();
    return volume_ * Isotherm(gas, temperature_).density(pressure);
  }

  /// @brief How much of a gas brings what is inside to a pressure [mol]; 0 where it is there.
  [[nodiscard]] double to_add(const Amounts& inside, const BasicGas<double>& gas,
                              double wanted) const {
    using namespace boost::math::policies;
    using Policy = policy<evaluation_error<ignore_error>>;
    const auto beyond = [&](double added) { return pressure(inside.with(gas, added)) - wanted; };
    if (beyond(0.0) >= 0.0) return 0.0;
    constexpr double least_compressibility = 0.7; // as in Isotherm::density()
    const double most = volume_ * wanted / (ideal() * least_compressibility);
    const auto close = [](double x, double y) { return y - x <= 1e-15 * y; };
    std::uintmax_t rounds = 80;
    const auto [low, high] =
        boost::math::tools::toms748_solve(beyond, 0.0, most, close, rounds, Policy());
    return low + (high - low) / 2.0;
  }

private:
  [[nodiscard]] double ideal() const { return gas_constant * temperature_; } // [L bar/mol]

  double volume_;
  double temperature_;
  GasLaw law_;
};

} // namespace upline::detail

#pragma once
/// @file
/// @brief A mix at one temperature: pressure from density by the equation of state, and back.
/// @par Source
/// docs/theory.md, section "Real gas", equations (21) to (24).

#include <upline/gas.hpp>
#include <upline/supplying/equation.hpp>

#include <boost/math/policies/policy.hpp>
#include <boost/math/tools/toms748_solve.hpp>

#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <span>

namespace upline::detail {

/// @brief Critical point that stands for a mix.
/// @param x Fractions of nitrogen, oxygen and helium.
[[nodiscard]] inline CriticalPoint reducing_point(const std::array<double, 3>& x) {
  double temperature = 0.0;
  double volume = 0.0;
  for (std::size_t i = 0; i < 3; ++i) {
    temperature += x[i] * x[i] * critical_points[i].temperature;
    volume += x[i] * x[i] / critical_points[i].density;
  }
  const auto add = [&](std::size_t i, std::size_t j, const PairParameters& pair) {
    if (!(x[i] > 0.0 && x[j] > 0.0)) return;
    const CriticalPoint& a = critical_points[i];
    const CriticalPoint& b = critical_points[j];
    const auto weight = [&](double beta, double gamma) {
      return 2.0 * x[i] * x[j] * beta * gamma * (x[i] + x[j]) / (beta * beta * x[i] + x[j]);
    };
    const double width = 1.0 / std::cbrt(a.density) + 1.0 / std::cbrt(b.density);
    temperature += weight(pair.beta_temperature, pair.gamma_temperature) *
                   std::sqrt(a.temperature * b.temperature);
    volume += weight(pair.beta_volume, pair.gamma_volume) * width * width * width / 8.0;
  };
  add(0, 1, nitrogen_oxygen);
  add(0, 2, nitrogen_helium);
  add(1, 2, oxygen_helium);
  return {temperature, 1.0 / volume};
}

/// @brief The equation of state of one mix at one temperature.
class Isotherm {
public:
  /// @param gas         Fractions within [0, 1].
  /// @param temperature [K]
  Isotherm(const BasicGas<double>& gas, double temperature)
      : ideal_(gas_constant * temperature), weights_() {
    const std::array<double, 3> x{gas.nitrogen(), gas.oxygen, gas.helium};
    const CriticalPoint reducing = reducing_point(x);
    density_ = reducing.density;
    const double log_tau = std::log(reducing.temperature / temperature);
    std::size_t k = 0;
    const auto weigh = [&](double fraction, std::span<const EnergyTerm> terms) {
      for (const EnergyTerm& term : terms)
        weights_[k++] = fraction * term.n * std::exp(term.t * log_tau);
    };
    weigh(x[0], nitrogen_terms);
    weigh(x[1], oxygen_terms);
    weigh(x[2], helium_terms);
  }

  /// @brief Gas constant times temperature [L bar/mol].
  [[nodiscard]] double ideal() const { return ideal_; }

  /// @brief Compressibility factor at a density [mol/L].
  [[nodiscard]] double compressibility(double density) const {
    const double delta = density / density_;
    std::array<double, 8> powers{1.0};
    for (std::size_t j = 1; j < powers.size(); ++j) powers[j] = powers[j - 1] * delta;
    std::array<double, 7> damped{1.0}; // exp(-delta^c); without a c, 1
    for (const std::size_t c : {1U, 2U, 3U, 6U}) damped[c] = std::exp(-powers[c]);
    double sum = 1.0;
    std::size_t k = 0;
    const auto add = [&](std::span<const EnergyTerm> terms) {
      for (const EnergyTerm& term : terms) {
        const auto c = static_cast<std::size_t>(term.c);
        const double slope = term.c == 0 ? term.d : term.d - term.c * powers[c];
        sum += weights_[k++] * powers[static_cast<std::size_t>(term.d)] * damped[c] * slope;
      }
    };
    add(nitrogen_terms);
    add(oxygen_terms);
    add(helium_terms);
    return sum;
  }

  /// @brief Absolute pressure at a density of 0 or more [mol/L] [bar].
  [[nodiscard]] double pressure(double density) const {
    return density * ideal_ * compressibility(density);
  }

  /// @brief Density at an absolute pressure above 0 [bar] [mol/L].
  ///
  /// The compressibility lies well within the bracket, 0.7 to 1.4, wherever the equation is asked:
  /// up to 360 bar and from -25 to 75 degrees C it goes from 0.84 to 1.27 over all mixes.
  [[nodiscard]] double density(double pressure_bar) const {
    using namespace boost::math::policies;
    using Policy = policy<evaluation_error<ignore_error>>;
    const double guess = pressure_bar / ideal_;
    const auto beyond = [&](double x) { return pressure(x) - pressure_bar; };
    const auto close = [](double x, double y) { return y - x <= 1e-15 * y; };
    std::uintmax_t rounds = 60;
    const auto [low, high] = boost::math::tools::toms748_solve(beyond, guess / 1.4, guess / 0.7,
                                                               close, rounds, Policy());
    return low + (high - low) / 2.0;
  }

private:
  double ideal_;
  double density_{};
  std::array<double, energy_term_count> weights_;
};

} // namespace upline::detail

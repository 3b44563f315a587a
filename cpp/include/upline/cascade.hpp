#pragma once
/// @file
/// @brief Bank cylinders that fill one cylinder after another, their pressures falling as they do.
///
/// Gas flows from one bank at a time until the pressures are equal or the cylinder has what was
/// asked for; real gas, everything at one temperature, nothing pumped.
/// @par Source
/// docs/theory.md, section "Blending". A balance of moles and the equation of state.

#include <upline/blending/vessel.hpp>
#include <upline/fill.hpp>
#include <upline/supply.hpp>

#include <boost/math/policies/policy.hpp>
#include <boost/math/tools/toms748_solve.hpp>

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <string>
#include <utility>
#include <vector>

namespace upline {

inline constexpr std::size_t most_banks = 12; ///< In one cascade.
inline constexpr int most_fills = 200;        ///< That are counted.

/// @brief A bank cylinder.
struct Bank {
  WaterVolume water_volume; ///< Of all that is joined, 0.1 to 500 L.
  GaugePressure pressure;   ///< What its gauge reads.
};

/// @brief Banks of one mix, and the cylinders that come to be filled from them, all alike.
struct CascadeOrder {
  StationGas gas;          ///< In the banks.
  std::vector<Bank> banks; ///< In the order in which they are opened.
  Cylinder cylinder;       ///< As each comes in; its temperature is that of the banks as well.
  GaugePressure pressure;  ///< To fill to.
};

/// @brief What one bank gives to one fill.
struct BankFlow {
  std::size_t bank = 0;           ///< Its place in the order, from 0.
  Moles moved{};                  ///< 0 where it reads no more than the cylinder.
  GaugePressure bank_reads{};     ///< Afterwards.
  GaugePressure cylinder_reads{}; ///< Afterwards.
};

/// @brief One cylinder filled from all the banks.
struct CascadeFill {
  std::vector<BankFlow> flows{}; ///< One for each bank.
  GaugePressure reached{};       ///< By the cylinder.
  BasicGas<double> mix{};        ///< In it then.
  bool full = false;             ///< Whether that is what was asked for.
};

/// @brief Fills one after the other.
struct Cascade {
  CascadeOrder order;               ///< What was asked.
  std::vector<CascadeFill> fills{}; ///< All that are full, then the first that is not.
  int full = 0;                     ///< How many are.
  int ideal_full = 0;               ///< How many would be, if the gas were ideal.
  bool goes_on = false;             ///< Whether the count was stopped at most_fills.
};

namespace detail {

/// Banks as they empty.
class BankRow {
public:
  BankRow(const CascadeOrder& order, GasLaw law)
      : order_(order), gas_(order.gas.fractions()), law_(law),
        kelvin_(in_kelvin(order.cylinder.temperature())),
        target_(in_bar(absolute(order.pressure))) {
    for (const Bank& bank : order.banks)
      held_.push_back(vessel(bank.water_volume).amount(gas_, in_bar(absolute(bank.pressure))));
  }

  /// Fills one cylinder.
  [[nodiscard]] CascadeFill fill() {
    const Cylinder& c = order_.cylinder;
    const Vessel cylinder = vessel(c.water_volume());
    Amounts inside =
        Amounts{}.with(c.gas(), cylinder.amount(c.gas(), in_bar(absolute(c.pressure()))));
    CascadeFill done;
    for (std::size_t j = 0; j < held_.size(); ++j) {
      const Vessel bank = vessel(order_.banks[j].water_volume);
      const double moved = flow(bank, held_[j], cylinder, inside);
      held_[j] -= moved;
      inside = inside.with(gas_, moved);
      done.flows.push_back({j, Moles(moved),
                            gauge(bar(bank.pressure(Amounts{}.with(gas_, held_[j])))),
                            gauge(bar(cylinder.pressure(inside)))});
    }
    done.reached = done.flows.back().cylinder_reads;
    done.mix = inside.mix();
    constexpr double rounding = 1e-9; // [bar]
    done.full = done.reached >= order_.pressure - bar_gauge(rounding);
    return done;
  }

private:
  [[nodiscard]] Vessel vessel(WaterVolume volume) const {
    return {in_water_litres(volume), kelvin_, law_};
  }

  /// Moles until the pressures are equal, or the cylinder reads what was asked for.
  [[nodiscard]] double flow(const Vessel& bank, double held, const Vessel& cylinder,
                            const Amounts& inside) const {
    using namespace boost::math::policies;
    using Policy = policy<evaluation_error<ignore_error>>;
    const auto above = [&](double moved) {
      return cylinder.pressure(inside.with(gas_, moved)) -
             bank.pressure(Amounts{}.with(gas_, held - moved));
    };
    if (above(0.0) >= 0.0) return 0.0;
    const double wanted = cylinder.to_add(inside, gas_, target_);
    if (wanted < held && above(wanted) <= 0.0) return wanted;
    constexpr double nearly_all = 1.0 - 1e-9; // an empty vessel has no mix
    const double most = std::min(wanted, held * nearly_all);
    const auto close = [](double x, double y) { return y - x <= 1e-15 * y; };
    std::uintmax_t rounds = 80;
    const auto [low, high] =
        boost::math::tools::toms748_solve(above, 0.0, most, close, rounds, Policy());
    return low + (high - low) / 2.0;
  }

  const CascadeOrder& order_;
  BasicGas<double> gas_;
  GasLaw law_;
  double kelvin_;
  double target_; // absolute [bar]
  std::vector<double> held_{};
};

inline void require_banks(const std::vector<Bank>& banks) {
  if (banks.empty() || banks.size() > most_banks)
    throw InvalidInput("banks", std::to_string(banks.size()) + " banks",
                       "1 to " + std::to_string(most_banks) + " banks",
                       "name them in the order in which they are opened");
  for (const Bank& bank : banks) {
    require_water_volume("banks", bank.water_volume, "give the water volume of each bank");
    require_gauge("bank pressure", bank.pressure, bar_gauge(0.0), gauge_remedy);
  }
}

inline void require_cascade(const CascadeOrder& order) {
  require_banks(order.banks);
  require_gauge("pressure", order.pressure, bar_gauge(1.0), "give the pressure to fill to");
  if (!(order.pressure > order.cylinder.pressure()))
    throw InvalidInput("pressure", gauge_text(order.pressure),
                       "above what the cylinder reads, " + gauge_text(order.cylinder.pressure()),
                       "give the pressure to fill to, and what is left in the cylinder");
}

} // namespace detail

/// @brief Fills cylinders from banks until one is no longer full.
///
/// Each cylinder comes in as the first did. A bank is opened only once, until its pressure and the
/// cylinder's are equal or the cylinder has what was asked for.
/// @param order Banks, cylinder, pressure.
/// @throws InvalidInput for what is out of range.
[[nodiscard]] inline Cascade cascade(const CascadeOrder& order) {
  detail::require_cascade(order);
  Cascade result{.order = order};
  detail::BankRow real(order, detail::GasLaw::real);
  detail::BankRow ideal(order, detail::GasLaw::ideal);
  while (result.full < most_fills) {
    result.fills.push_back(real.fill());
    if (!result.fills.back().full) break;
    ++result.full;
  }
  result.goes_on = result.full == most_fills;
  while (result.ideal_full < most_fills && ideal.fill().full) ++result.ideal_full;
  return result;
}

} // namespace upline

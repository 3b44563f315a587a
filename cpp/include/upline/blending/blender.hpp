#pragma once
/// @file
/// @brief The balance of moles behind a fill, the gauge readings, what stands in the way.
/// @par Source
/// docs/theory.md, section "Blending".

#include <upline/blending/hull.hpp>
#include <upline/blending/obstacles.hpp>
#include <upline/blending/vessel.hpp>
#include <upline/fill.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <iterator>
#include <optional>
#include <utility>
#include <vector>

namespace upline::detail {

/// @brief Fills of one order: the balance, the gauge readings, what stands in the way.
class Blender {
public:
  explicit Blender(const FillOrder& order)
      : order_(order), kelvin_(in_kelvin(order.cylinder.temperature())),
        gauge_kelvin_(in_kelvin(order.filling_temperature.value_or(order.cylinder.temperature()))),
        hull_(corners()) {}

  [[nodiscard]] Blend answer() const {
    Blend result{.order = order_};
    const Balance exact = balance(GasLaw::real, order_.pressure, order_.cylinder.pressure());
    if (!exact.hits) return refused(std::move(result), exact);
    const FillSheet sheet = sheet_of(exact, order_.gases);
    if (fits(sheet)) {
      result.sheet = sheet;
      return result;
    }
    for (const Addition& one : sheet.additions)
      if (one.bank && one.to > *one.bank)
        result.obstacles.push_back({ObstacleCode::bank_pressure,
                                    {},
                                    in_bar_gauge(one.to),
                                    in_bar_gauge(*one.bank),
                                    one.gas});
    add_within_banks(result, exact);
    return result;
  }

private:
  /// Amounts that make a mix at a pressure, or come nearest to it.
  struct Balance {
    GasLaw law{};
    GaugePressure start{};
    GaugePressure pressure{};
    Amounts residual{};
    double total = 0.0; // [mol]
    Shares mix{};       // that is reached
    Shares added{};     // mix of all that is added
    bool room = false;  // for anything at all
    bool hits = false;  // whether the mix is the target
  };

  [[nodiscard]] std::vector<Shares> corners() const {
    const auto point = [](const BankGas& one) { return shares_of(one.gas.fractions()); };
    std::vector<Shares> all;
    if (order_.method == BlendMethod::in_cylinder) {
      std::transform(order_.gases.begin(), order_.gases.end(), std::back_inserter(all), point);
      return all;
    }
    const double most = *order_.inlet_limit;
    const Shares air = shares_of(Gas());
    const bool with_helium = order_.gases.size() == 3;
    if (most <= air.oxygen)
      all = {air};
    else
      all = {air, Shares{most, 0.0}};
    if (!with_helium) return all;
    if (most > air.oxygen && most < 1.0) all.push_back(Shares{most, 1.0 - most});
    all.push_back(Shares{0.0, 1.0});
    return all;
  }

  [[nodiscard]] Vessel vessel(GasLaw law, double kelvin) const {
    return {in_water_litres(order_.cylinder.water_volume()), kelvin, law};
  }

  [[nodiscard]] Balance balance(GasLaw law, GaugePressure pressure, GaugePressure start) const {
    return balance_for(shares_of(order_.target), law, pressure, start);
  }

  /// The total depends on the mix and the mix that is reached on the total; both settle at once
  /// where the target itself is reached, and within a few rounds where not.
  [[nodiscard]] Balance balance_for(Shares target, GasLaw law, GaugePressure pressure,
                                    GaugePressure start) const {
    const Vessel inside = vessel(law, kelvin_);
    const Gas& left = order_.cylinder.gas();
    Balance found{.law = law, .start = start, .pressure = pressure};
    const double kept = inside.amount(left, in_bar(absolute(start)));
    found.residual = Amounts{}.with(left, kept);
    found.mix = target;
    constexpr int most = 60;
    for (int round = 0; round < most; ++round) {
      found.total = inside.amount({found.mix.oxygen, found.mix.helium}, in_bar(absolute(pressure)));
      const double part = kept / found.total;
      found.room = part < 1.0 - hull_slack;
      if (!found.room) {
        constexpr double rounding = 1e-9;                            // of a pressure
        found.hits = left == order_.target && part < 1.0 + rounding; // it is there
        return found;
      }
      const Shares wanted = (1.0 / (1.0 - part)) * (target - part * shares_of(left));
      found.hits = hull_.holds(wanted);
      found.added = hull_.nearest(wanted);
      if (found.hits && round == 0) return found;
      found.hits = false;
      const Shares reached = part * shares_of(left) + (1.0 - part) * found.added;
      const Shares moved = reached - found.mix;
      found.mix = reached;
      if (dot(moved, moved) < 1e-30) break;
    }
    return found;
  }

  /// Each addition to the reading of the gauge, in an order.
  [[nodiscard]] FillSheet sheet_of(const Balance& b, const std::vector<BankGas>& gases) const {
    FillSheet sheet;
    sheet.start = b.start;
    sheet.pressure = b.pressure;
    sheet.residual = Moles(b.residual.total());
    sheet.additions = additions_of(b, gases);
    Amounts inside = b.residual;
    const Vessel gauge_view = vessel(b.law, gauge_kelvin_);
    const double ideal = gas_constant * kelvin_;
    GaugePressure reads = gauge(bar(gauge_view.pressure(inside)));
    for (Addition& one : sheet.additions) {
      one.from = reads;
      inside = inside.with(one.gas.fractions(), in_moles(one.amount));
      reads = gauge(bar(gauge_view.pressure(inside)));
      one.to = reads;
      one.volume = litres(in_moles(one.amount) * ideal);
    }
    sheet.amount = Moles(inside.total());
    sheet.mix = inside.mix();
    if (order_.method == BlendMethod::at_inlet && b.room) {
      const std::vector<double> parts = parts_of(b.added, station_points());
      InletFlow flow{.air = parts[0], .oxygen = parts[1]};
      if (parts.size() > 2) flow.helium = parts[2];
      sheet.inlet = flow;
    }
    if (b.law == GasLaw::real) add_ideal(sheet, gases);
    return sheet;
  }

  /// The gases of a fill at an inlet: air, oxygen, and helium where it is at hand.
  [[nodiscard]] std::vector<Shares> station_points() const {
    std::vector<Shares> points{shares_of(Gas()), {1.0, 0.0}};
    if (order_.gases.size() == 3) points.push_back({0.0, 1.0});
    return points;
  }

  [[nodiscard]] std::vector<Addition> additions_of(const Balance& b,
                                                   const std::vector<BankGas>& gases) const {
    std::vector<Addition> all;
    if (!b.room) return all;
    const double added = b.total - b.residual.total();
    if (order_.method == BlendMethod::at_inlet) {
      all.push_back(
          {.gas = StationGas::of({b.added.oxygen, b.added.helium}), .amount = Moles(added)});
      return all;
    }
    std::vector<Shares> points;
    points.reserve(gases.size());
    for (const BankGas& one : gases) points.push_back(shares_of(one.gas.fractions()));
    const std::vector<double> parts = parts_of(b.added, points);
    for (std::size_t j = 0; j < gases.size(); ++j)
      if (parts[j] > 0.0)
        all.push_back(
            {.gas = gases[j].gas, .amount = Moles(parts[j] * added), .bank = gases[j].pressure});
    return all;
  }

  /// The readings of the ideal fill to the same mix, and what they would make of real gas.
  void add_ideal(FillSheet& sheet, const std::vector<BankGas>& gases) const {
    const Balance b = balance_for(shares_of(sheet.mix), GasLaw::ideal, sheet.pressure, sheet.start);
    const Shares miss = b.mix - shares_of(sheet.mix);
    if (!b.room || !(dot(miss, miss) < 1e-18)) return;
    const FillSheet ideal = sheet_of(b, gases);
    const Vessel real = vessel(GasLaw::real, gauge_kelvin_);
    Amounts inside = Amounts{}.with(order_.cylinder.gas(), in_moles(sheet.residual));
    for (const Addition& one : ideal.additions) {
      const double more = real.to_add(inside, one.gas.fractions(), in_bar(absolute(one.to)));
      inside = inside.with(one.gas.fractions(), more);
      for (Addition& same : sheet.additions)
        if (same.gas == one.gas || order_.method == BlendMethod::at_inlet) same.ideal_to = one.to;
    }
    sheet.ideal_gives = inside.mix();
  }

  [[nodiscard]] static bool fits(const FillSheet& sheet) {
    return std::none_of(sheet.additions.begin(), sheet.additions.end(),
                        [](const Addition& one) { return one.bank && one.to > *one.bank; });
  }

  /// A sheet within the banks: in the order asked for, else in any other.
  [[nodiscard]] std::optional<FillSheet> within_banks(const Balance& b) const {
    const FillSheet asked = sheet_of(b, order_.gases);
    if (fits(asked)) return asked;
    std::vector<std::size_t> places(order_.gases.size());
    for (std::size_t j = 0; j < places.size(); ++j) places[j] = j;
    while (std::next_permutation(places.begin(), places.end())) {
      std::vector<BankGas> gases;
      gases.reserve(places.size());
      for (const std::size_t j : places) gases.push_back(order_.gases[j]);
      const FillSheet sheet = sheet_of(b, gases);
      if (fits(sheet)) return sheet;
    }
    return {};
  }

  void add_within_banks(Blend& result, const Balance& exact) const {
    if (const auto sheet = within_banks(exact)) {
      result.alternatives.push_back({Instead::other_order, *sheet});
      return;
    }
    // Above the least pressure at which the mix is reached, the readings rise with the pressure.
    double low = in_bar_gauge(order_.cylinder.pressure());
    double high = in_bar_gauge(order_.pressure);
    const auto sheet_at = [&](double pressure) -> std::optional<FillSheet> {
      const Balance b = balance(GasLaw::real, bar_gauge(pressure), order_.cylinder.pressure());
      return b.hits ? within_banks(b) : std::optional<FillSheet>();
    };
    const auto reached = [&](double pressure) {
      return balance(GasLaw::real, bar_gauge(pressure), order_.cylinder.pressure()).hits;
    };
    constexpr int halvings = 50;
    double least = high; // at which the mix is reached
    for (int j = 0; j < halvings; ++j) {
      const double middle = (low + least) / 2.0;
      (reached(middle) ? least : low) = middle;
    }
    std::optional<FillSheet> best = sheet_at(least);
    if (!best) return;
    low = least;
    for (int j = 0; j < halvings; ++j) {
      const double middle = (low + high) / 2.0;
      if (const auto sheet = sheet_at(middle)) {
        best = sheet;
        low = middle;
      } else {
        high = middle;
      }
    }
    if (!best->additions.empty()) result.alternatives.push_back({Instead::lower_pressure, *best});
  }

  [[nodiscard]] Blend refused(Blend result, const Balance& nearest) const {
    const Vessel inside = vessel(GasLaw::real, kelvin_);
    result.obstacles =
        obstacles_to(order_, nearest.residual.total(),
                     inside.amount(order_.target, in_bar(absolute(order_.pressure))));
    if (const auto stretch = bleed_to()) {
      const Balance b = balance(GasLaw::real, order_.pressure, stretch->most);
      if (const auto sheet = b.hits ? within_banks(b) : std::optional<FillSheet>())
        result.alternatives.push_back({Instead::bleed, *sheet, stretch->keep});
    }
    if (nearest.room)
      if (const auto sheet = within_banks(nearest))
        result.alternatives.push_back({Instead::nearest_mix, *sheet});
    return result;
  }

  /// What may be left in the cylinder.
  struct Left {
    GaugePressure most{};
    std::optional<GaugePressure> keep{};
  };

  /// With a share s of residual the additions are t + k (t - c), k = s / (1 - s), and have to be a
  /// mix of the gases at hand. Nothing where that asks for more than there is, or for a vacuum.
  [[nodiscard]] std::optional<Left> bleed_to() const {
    const Shares target = shares_of(order_.target);
    const Gas& left = order_.cylinder.gas();
    const auto found = hull_.stretch(target, target - shares_of(left));
    if (!found) return {};
    const Vessel inside = vessel(GasLaw::real, kelvin_);
    const double total = inside.amount(order_.target, in_bar(absolute(order_.pressure)));
    const double present = inside.amount(left, in_bar(absolute(order_.cylinder.pressure())));
    const auto kept = [&](double k) { return std::isinf(k) ? total : total * k / (1.0 + k); };
    const double most = kept(found->second);
    if (!(most > 0.0) || most >= present) return {};
    const auto reading = [&](double amount) {
      return gauge(bar(inside.pressure(Amounts{}.with(left, amount))));
    };
    Left result{.most = reading(most)};
    if (result.most < bar_gauge(0.0)) return {};
    if (const double least = kept(found->first); least > 0.0) {
      const GaugePressure reads = reading(least);
      if (reads > bar_gauge(0.0)) result.keep = reads;
    }
    return result;
  }

  const FillOrder& order_;
  double kelvin_;
  double gauge_kelvin_;
  Hull hull_;
};

} // namespace upline::detail

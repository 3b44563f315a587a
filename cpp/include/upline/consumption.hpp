#pragma once
/// @file
/// @brief What a diver breathes in each row of a plan, from which cylinder, and what is left.
///
/// Litres are breathing rate times mean pressure times minutes, exact on ramps, and are taken from
/// the cylinders as real gas. Nothing is kept back and nobody shares: that it closes says only that
/// the gas is there.
/// @par Source
/// docs/theory.md, sections "Gas" and "Real gas".

#include <upline/dive.hpp>
#include <upline/schedule.hpp>
#include <upline/supply.hpp>

#include <algorithm>
#include <cstddef>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace upline {

inline constexpr std::size_t most_in_team = 12;   ///< Who dive together.
inline constexpr std::size_t most_cylinders = 20; ///< That one diver carries or meets.
inline constexpr WaterVolume largest_carried = water_litres(50.0); ///< Of one of them.
inline constexpr Temperature coldest_water = celsius(-2.0);        ///< That salt water may have.
inline constexpr Temperature warmest_water = celsius(36.0);        ///< That anybody dives in.

/// @brief What a diver breathes a minute; all three are the diver's own and none has a default.
struct BreathingRates {
  BreathingRate working; ///< Until the bottom is left.
  BreathingRate resting; ///< From then on.
  BreathingRate stress;  ///< Once something has gone wrong.
};

/// @brief A diver, how much they breathe, and what they carry or have waiting for them.
struct DiverSupply {
  std::string name{};                ///< For messages; may be empty.
  BreathingRates rates;              ///< Stated, each 1 to 200 L/min.
  std::vector<Cylinder> cylinders{}; ///< Those of one mix are emptied in this order.
};

/// @brief What one row takes.
struct RowUse {
  double bar_minutes = 0.0;          ///< Mean ambient pressure times minutes [bar min].
  Litres volume{};                   ///< What the diver breathes.
  Litres short_by{};                 ///< The part of it that no cylinder gives.
  std::vector<Litres> taken{};       ///< From each cylinder.
  std::vector<GaugePressure> left{}; ///< Of each cylinder at the end of the row.
  std::vector<Litres> content{};     ///< The same as what leaves it until its gauge reads 0.
  /// Run time at which the last cylinder of the gas is empty; nothing where it gives all.
  std::optional<Minutes> empty_at{};
};

/// @brief Gas of one diver over one plan.
struct Consumption {
  DiverSupply supply;                   ///< What was asked.
  std::optional<Minutes> stress_from{}; ///< Run time from which the stress rate counts.
  std::vector<RowUse> rows{};           ///< One for each row of the plan.

  /// @brief All that is breathed.
  [[nodiscard]] Litres volume() const { return sum(&RowUse::volume); }
  /// @brief All that no cylinder gives.
  [[nodiscard]] Litres short_by() const { return sum(&RowUse::short_by); }
  /// @brief Whether the cylinders give all that is breathed; no more than that.
  [[nodiscard]] bool closes() const { return !first_short(); }
  /// @brief The first row in which gas is missing.
  [[nodiscard]] std::optional<std::size_t> first_short() const {
    for (std::size_t j = 0; j < rows.size(); ++j)
      if (rows[j].short_by > litres(0.0)) return j;
    return {};
  }
  /// @brief Run time at which a gas runs out; nothing where it does not.
  /// @param gas  The mix.
  /// @param plan What was drawn from the cylinders.
  /// @param row  The last row that counts, from 0.
  [[nodiscard]] std::optional<Minutes> empty_at(const Gas& gas, const Plan& plan,
                                                std::size_t row) const {
    for (std::size_t j = 0; j <= row && j < rows.size(); ++j)
      if (rows[j].empty_at && plan.rows[j].gas == gas) return rows[j].empty_at;
    return {};
  }
  /// @brief All that one cylinder gives.
  [[nodiscard]] Litres taken_from(std::size_t cylinder) const {
    Litres total;
    for (const RowUse& row : rows) total = total + row.taken[cylinder];
    return total;
  }
  /// @brief What the gauge of one cylinder reads at the end.
  [[nodiscard]] GaugePressure left_in(std::size_t cylinder) const {
    return rows.empty() ? supply.cylinders[cylinder].pressure() : rows.back().left[cylinder];
  }

private:
  [[nodiscard]] Litres sum(Litres RowUse::*part) const {
    Litres total;
    for (const RowUse& row : rows) total = total + row.*part;
    return total;
  }
};

namespace detail {

/// A bank may hold more; what a diver carries does not, and it comes to the temperature of the
/// water. Both numbers are easily given in another unit.
inline void require_carried(const Cylinder& one) {
  if (!(one.each() <= largest_carried))
    throw InvalidInput("water_volume of a diver's cylinder",
                       volume_text(in_water_litres(one.each()), 2),
                       "up to " + volume_text(in_water_litres(largest_carried), 2),
                       "give the water volume of one cylinder, not the gas it is rated for");
  if (one.temperature() >= coldest_water && one.temperature() <= warmest_water) return;
  const auto both = [](Temperature x) {
    return trimmed(in_celsius(x), 1) + " degrees C (" + trimmed(in_fahrenheit(x), 1) +
           " degrees F)";
  };
  throw InvalidInput("temperature of a diver's cylinder", both(one.temperature()),
                     both(coldest_water) + " to " + both(warmest_water) + ", as water is",
                     "give pressure and temperature in the water of the dive; at_temperature cools "
                     "a warm cylinder");
}

inline void require_supply(const Plan& plan, const DiverSupply& supply) {
  require_breathing("working", supply.rates.working);
  require_breathing("resting", supply.rates.resting);
  require_breathing("stress", supply.rates.stress);
  const BreathingRate most = std::max(supply.rates.working, supply.rates.resting);
  if (supply.rates.stress < most) {
    const auto both = [](BreathingRate rate) {
      return in_both(rate.base(), "L/min", rate.base() / litres_per_cubic_foot, "cu ft/min");
    };
    throw InvalidInput("stress", both(supply.rates.stress),
                       "no less than the working and the resting rate, " + both(most),
                       "state what this diver breathes once something has gone wrong");
  }
  for (const Cylinder& one : supply.cylinders) require_carried(one);
  if (supply.cylinders.size() > most_cylinders)
    throw InvalidInput("cylinders", std::to_string(supply.cylinders.size()),
                       "up to " + std::to_string(most_cylinders), "name those of one diver");
  for (const Row& row : plan.rows) {
    const auto holds = [&](const Cylinder& one) { return one.gas() == row.gas; };
    if (std::any_of(supply.cylinders.begin(), supply.cylinders.end(), holds)) continue;
    std::string gases;
    for (const GasUse& use : plan.gas) {
      if (!gases.empty()) gases += ", ";
      gases += use.gas.spoken();
    }
    throw InvalidInput("cylinders", "given without one of " + row.gas.spoken(),
                       "at least one for each gas that the plan breathes: " + gases,
                       "add a cylinder of " + row.gas.spoken() + ", or plan without that gas");
  }
}

/// @brief Bar-minutes of a row before and after a run time.
[[nodiscard]] inline std::pair<double, double> parted_bar_minutes(const Row& row,
                                                                  const Place& place, double at) {
  const double begins = in_minutes(row.begins);
  const double ends = in_minutes(row.ends);
  const double from = place.pressure(in_metres(row.from));
  const double to = place.pressure(in_metres(row.to));
  const double whole = (ends - begins) * (from + to) / 2.0;
  if (at <= begins) return {0.0, whole};
  if (at >= ends) return {whole, 0.0};
  const double between = from + (to - from) * (at - begins) / (ends - begins);
  return {(at - begins) * (from + between) / 2.0, (ends - at) * (between + to) / 2.0};
}

/// @brief The rate of a row in which all goes well.
[[nodiscard]] inline BreathingRate calm_rate(const Plan& plan, const Row& row,
                                             const BreathingRates& rates) {
  return row.ends <= plan.bottom_time ? rates.working : rates.resting;
}

/// @brief Litres that a row takes until a run time [L].
class Breathing {
public:
  /// @param stressed Run time from which the stress rate counts [min].
  Breathing(const Row& row, const Place& place, double calm_rate, double stress_rate,
            double stressed)
      : row_(row), place_(place), calm_rate_(calm_rate), stress_rate_(stress_rate),
        stressed_(stressed) {}

  [[nodiscard]] double until(double run_time) const {
    const double calm = parted_bar_minutes(row_, place_, std::min(run_time, stressed_)).first;
    return calm * calm_rate_ +
           (parted_bar_minutes(row_, place_, run_time).first - calm) * stress_rate_;
  }

  /// @brief Run time at which so much of the row is breathed [min].
  [[nodiscard]] double moment_of(double volume) const {
    double early = in_minutes(row_.begins);
    double late = in_minutes(row_.ends);
    constexpr int halvings = 60; // to the last digit of a run time
    for (int j = 0; j < halvings; ++j) {
      const double middle = (early + late) / 2.0;
      (until(middle) < volume ? early : late) = middle;
    }
    return early;
  }

private:
  const Row& row_;
  const Place& place_;
  double calm_rate_;
  double stress_rate_;
  double stressed_;
};

/// @brief Cylinders as they empty: litres, and what their gauges read only where that is asked.
class Cellar {
public:
  explicit Cellar(const std::vector<Cylinder>& cylinders) : cylinders_(&cylinders) {
    for (const Cylinder& one : cylinders) {
      content_.push_back(one.content());
      left_.push_back(one.pressure());
    }
  }

  /// @brief Takes a row's volume from the cylinders of its gas, in their order.
  /// @param floor What a cylinder does not give there: the pressure of the water around it.
  void take(const Gas& gas, GaugePressure floor, RowUse& row) {
    row.taken.assign(cylinders_->size(), litres(0.0));
    row.short_by = row.volume;
    if (has_run_out(gas)) return;
    for (std::size_t j = 0; j < cylinders_->size(); ++j) {
      const Cylinder& one = (*cylinders_)[j];
      if (!(one.gas() == gas) || !(row.short_by > litres(0.0))) continue;
      const Litres usable = std::max(litres(0.0), content_[j] - one.content_at(floor));
      row.taken[j] = std::min(usable, row.short_by);
      row.short_by = row.short_by - row.taken[j];
      content_[j] = content_[j] - row.taken[j];
    }
    if (row.short_by > litres(0.0)) spent_.push_back(gas);
  }

  /// @brief Reads the gauges after a row that was taken.
  void read(RowUse& row) {
    for (std::size_t j = 0; j < cylinders_->size(); ++j)
      if (row.taken[j] > litres(0.0))
        left_[j] =
            std::min(left_[j], (*cylinders_)[j].pressure_for(std::max(litres(0.0), content_[j])));
    row.left = left_;
    row.content = content_;
  }

  /// @brief What is left in each.
  [[nodiscard]] const std::vector<Litres>& contents() const { return content_; }

  [[nodiscard]] bool has_run_out(const Gas& gas) const {
    return std::find(spent_.begin(), spent_.end(), gas) != spent_.end();
  }

private:
  const std::vector<Cylinder>* cylinders_;
  // The few breaths that shallower water gives back from an empty cylinder are not counted on.
  std::vector<Gas> spent_;
  std::vector<Litres> content_;
  std::vector<GaugePressure> left_;
};

/// @brief What a cylinder does not give at a depth [m]: the pressure of the water around it.
[[nodiscard]] inline GaugePressure floor_at(double depth, const Place& place) {
  return std::max(bar_gauge(0.0), gauge(bar(place.pressure(depth))));
}

/// @brief The same in a row, at its deepest point.
[[nodiscard]] inline GaugePressure floor_in(const Row& row, const Place& place) {
  return floor_at(in_metres(std::max(row.from, row.to)), place);
}

} // namespace detail

/// @brief What a diver breathes in each row of a plan, from which cylinder, and what is left.
///
/// The working rate counts until the bottom is left and the resting rate from then on; from
/// `stress_from` on, the stress rate. A cylinder gives nothing below the pressure of the water at
/// the deepest point of the row; the few bar that a first stage needs above it are not counted. A
/// gas that has run out gives nothing more.
/// Content is that at the cylinder's temperature: give the cylinders at the temperature of the
/// water.
/// @param plan        The dive.
/// @param supply      The diver; a cylinder for each gas of the plan.
/// @param stress_from Run time, 0 to that of the plan; nothing where all goes well.
/// @throws InvalidInput for a rate out of range, a gas without a cylinder, more than 20 of them, or
///         a run time out of range.
[[nodiscard]] inline Consumption consumption(const Plan& plan, const DiverSupply& supply,
                                             std::optional<Minutes> stress_from = {}) {
  detail::require_supply(plan, supply);
  if (stress_from)
    detail::require_range("stress_from", in_minutes(*stress_from), 0.0, in_minutes(plan.run_time),
                          "min", "give a run time of this plan");
  Consumption result{.supply = supply, .stress_from = stress_from};
  const Place place = plan.dive.environment.place();
  detail::Cellar cellar(result.supply.cylinders);
  const double stressed = in_minutes(stress_from.value_or(plan.run_time));
  for (const Row& row : plan.rows) {
    const auto [calm, hurried] = detail::parted_bar_minutes(row, place, stressed);
    const BreathingRate rate = detail::calm_rate(plan, row, supply.rates);
    RowUse use;
    use.bar_minutes = calm + hurried;
    use.volume = litres(calm * rate.base() + hurried * supply.rates.stress.base());
    cellar.take(row.gas, detail::floor_in(row, place), use);
    cellar.read(use);
    if (use.short_by > litres(0.0) && !result.empty_at(row.gas, plan, result.rows.size())) {
      const detail::Breathing breathing(row, place, rate.base(), supply.rates.stress.base(),
                                        stressed);
      use.empty_at = minutes(breathing.moment_of(in_litres(use.volume - use.short_by)));
    }
    result.rows.push_back(std::move(use));
  }
  return result;
}

} // namespace upline

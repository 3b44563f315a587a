#pragma once
/// @file
/// @brief What a team has left at a moment of its plan, and whether that carries an ascent.

#include <upline/consumption.hpp>
#include <upline/losing/branch.hpp>
#include <upline/losing/moment.hpp>

#include <algorithm>
#include <array>
#include <cstddef>
#include <limits>
#include <vector>

namespace upline::detail {

inline constexpr std::size_t most_mixes = 32; ///< A dive has 20, and a travel gas.

/// @brief Litres by mix.
using ByMix = std::array<double, most_mixes>;

/// @brief The cylinders of one diver along a plan, until a moment.
class Holdings {
public:
  Holdings(const PlanWalk& walk, const DiverSupply& supply)
      : walk_(walk), supply_(supply), at_row_(supply.cylinders), now_(at_row_) {}

  /// @brief Later moments only.
  void move_to(const PlanMoment& moment) {
    for (; row_ < moment.row; ++row_) take(at_row_, in_row_, in_minutes(rows()[row_].ends));
    now_ = at_row_;
    missing_ = in_row_;
    take(now_, missing_, moment.run_time);
  }

  [[nodiscard]] double content(std::size_t cylinder) const {
    return in_litres(now_.contents()[cylinder]);
  }
  [[nodiscard]] bool has_run_out(const Gas& gas) const { return now_.has_run_out(gas); }
  /// @brief What no cylinder gave until then.
  [[nodiscard]] const ByMix& missing() const { return missing_; }

private:
  [[nodiscard]] const std::vector<Row>& rows() const { return walk_.plan().rows; }

  /// Takes the row in hand until a run time, as consumption() does.
  void take(Cellar& cellar, ByMix& missing, double until) const {
    const Row& row = rows()[row_];
    const BreathingRate rate = calm_rate(walk_.plan(), row, supply_.rates);
    RowUse use;
    use.volume = litres(parted_bar_minutes(row, walk_.place(), until).first * rate.base());
    cellar.take(row.gas, floor_in(row, walk_.place()), use);
    missing[walk_.breathed(row_)] += in_litres(use.short_by);
  }

  const PlanWalk& walk_;
  const DiverSupply& supply_;
  Cellar at_row_; // at the start of the row in hand
  Cellar now_;
  ByMix in_row_{}; // missing at the start of the row in hand
  ByMix missing_{};
  std::size_t row_ = 0;
};

/// @brief A cylinder that still gives something where the team is.
struct HeldCylinder {
  std::size_t number = 0; ///< Among all of the team.
  std::size_t mix = 0;
  double content = 0.0; ///< [L]
};

/// @brief Cylinders that may be breathed from, at given rates.
struct Store {
  std::vector<HeldCylinder> cylinders{};
  double hurried = 0.0; ///< Of all who breathe together [L/min].
  double calm = 0.0;
  ByMix missing{}; ///< Before the moment.

  [[nodiscard]] Mixes mixes() const {
    Mixes left = 0;
    for (const HeldCylinder& one : cylinders) left |= Mixes{1} << one.mix;
    return left;
  }
};

/// @brief What an ascent asks of a store.
struct Demand {
  ByMix wanted{};  ///< Content that the cylinders of a mix must have together.
  ByMix there{};   ///< What they have.
  ByMix lacking{}; ///< By how much they have too little, and what was missing before.
  double short_by = 0.0;
  bool closes = false;
};

/// @brief Whether a store carries an ascent.
///
/// Cylinders of a mix give their content down to what the water keeps back; on an ascent that
/// becomes less, so that their order does not count.
[[nodiscard]] inline Demand demand_of(const Branch& branch, const Store& store,
                                      const Floors& floors) {
  Demand demand;
  ByMix used{};
  for (const Stretch& stretch : branch.stretches) {
    double& sum = used[stretch.mix];
    sum += stretch.hurried * store.hurried + stretch.calm * store.calm;
    double with_rest = sum;
    for (const HeldCylinder& one : store.cylinders)
      if (one.mix == stretch.mix) with_rest += floors.kept_back(one.number, stretch.floor);
    demand.wanted[stretch.mix] = std::max(demand.wanted[stretch.mix], with_rest);
  }
  for (const HeldCylinder& one : store.cylinders) demand.there[one.mix] += one.content;
  for (std::size_t mix = 0; mix < most_mixes; ++mix) {
    if (used[mix] > 0.0 && !(demand.wanted[mix] <= demand.there[mix]))
      demand.lacking[mix] = demand.wanted[mix] - demand.there[mix];
    demand.lacking[mix] += store.missing[mix];
    demand.short_by += demand.lacking[mix];
  }
  demand.closes = branch.reason.empty() && demand.short_by == 0.0;
  return demand;
}

} // namespace upline::detail

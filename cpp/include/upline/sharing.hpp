#pragma once
/// @file
/// @brief The ascents that a reserve must last for: later than planned, or with a gas gone.
/// @par Source
/// docs/theory.md, section "Reserves".

#include <upline/contingency.hpp>
#include <upline/plan.hpp>
#include <upline/reserving/drawing.hpp>
#include <upline/schedule.hpp>

#include <algorithm>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace upline {

/// @brief The way from leaving the bottom to the next gas, for those who share.
struct SharingWay {
  std::optional<Gas> without{};  ///< The gas that is gone.
  std::optional<Plan> plan{};    ///< That is followed; nothing where it cannot be dived,
  std::string reason{};          ///< and why.
  std::optional<Gas> leads_to{}; ///< The gas that ends it; nothing: the surface does.
  Depth to{};                    ///< Where it ends.
  Minutes ends{};                ///< Run time at which it ends.
};

namespace detail {

/// @brief A plan with the bottom left later or with gases gone, or why there is none.
[[nodiscard]] inline Contingency otherwise(const Plan& plan, Minutes later, std::vector<Gas> lost) {
  Contingency found;
  found.what.later = later;
  found.what.lost = std::move(lost);
  try {
    found.plan = upline::plan(deviating(plan.dive, found.what, plan.rules.units), plan.rules);
  } catch (const Error& error) {
    found.reason = error.what();
  }
  return found;
}

/// @brief The gas breathed when the bottom is left.
[[nodiscard]] inline Gas gas_at_leaving(const Plan& plan) {
  Gas gas = plan.dive.gases.front().gas;
  for (const Row& row : plan.rows)
    if (row.ends <= plan.bottom_time) gas = row.gas;
  return gas;
}

/// @brief The changes of gas after leaving the bottom.
[[nodiscard]] inline std::vector<GasSwitch> switches_of_ascent(const Plan& plan) {
  std::vector<GasSwitch> found;
  for (const GasSwitch& one : plan.switches)
    if (!one.going_down && one.at >= plan.bottom_time) found.push_back(one);
  return found;
}

/// @brief Follows the ascent up to its first change of gas.
[[nodiscard]] inline SharingWay sharing_way(const Plan& plan, Minutes at_depth,
                                            std::optional<Gas> without) {
  SharingWay way;
  way.without = without;
  Contingency found =
      otherwise(plan, at_depth, without ? std::vector<Gas>{*without} : std::vector<Gas>{});
  way.reason = found.reason;
  way.plan = std::move(found.plan);
  if (!way.plan) return way;
  const std::vector<GasSwitch> changes = switches_of_ascent(*way.plan);
  way.ends = way.plan->run_time;
  if (changes.empty()) return way;
  way.leads_to = changes.front().to;
  way.to = changes.front().depth;
  way.ends = changes.front().at;
  return way;
}

/// @brief What is drawn on a way from the planned leaving of the bottom on.
[[nodiscard]] inline std::vector<Draw> draws_of(const SharingWay& way, Minutes leaves,
                                                BreathingRate rate) {
  const Place place = way.plan->dive.environment.place();
  std::vector<Draw> draws;
  for (const Row& row : way.plan->rows) {
    if (row.ends <= leaves) continue;
    if (way.leads_to && row.begins >= way.ends) break;
    const double bar_minutes = parted_bar_minutes(row, place, in_minutes(leaves)).second;
    draws.push_back({litres(bar_minutes * rate.base()), floor_in(row, place)});
  }
  return draws;
}

} // namespace detail
} // namespace upline

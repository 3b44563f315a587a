#pragma once
/// @file
/// @brief What the cylinders of one gas give to a series of draws, and from which reading on all of
/// it.

#include <upline/consumption.hpp>
#include <upline/schedule.hpp>
#include <upline/supply.hpp>

#include <algorithm>
#include <cstddef>
#include <optional>
#include <vector>

namespace upline::detail {

/// @brief A stretch in which one gas is breathed.
struct Draw {
  Litres volume{};
  GaugePressure floor{}; ///< What a cylinder does not give there.
};

/// @brief What came of a series of draws.
struct Drawn {
  Litres needed{};
  Litres short_by{};                 ///< What no cylinder gives.
  Litres spare{};                    ///< What is still to be had in the draw that leaves least.
  std::vector<GaugePressure> left{}; ///< Of each cylinder of the gas.

  [[nodiscard]] Litres given() const { return needed - short_by; }
};

/// @brief The cylinders of one mix, in their order.
[[nodiscard]] inline std::vector<Cylinder> cylinders_of(const DiverSupply& supply, const Gas& gas) {
  std::vector<Cylinder> found;
  for (const Cylinder& one : supply.cylinders)
    if (one.gas() == gas) found.push_back(one);
  return found;
}

[[nodiscard]] inline Litres content_of(const std::vector<Cylinder>& cylinders) {
  Litres total;
  for (const Cylinder& one : cylinders) total = total + one.content();
  return total;
}

/// @brief The same cylinders at other readings.
[[nodiscard]] inline std::vector<Cylinder> at_readings(const std::vector<Cylinder>& cylinders,
                                                       const std::vector<GaugePressure>& readings) {
  std::vector<Cylinder> found;
  for (std::size_t j = 0; j < cylinders.size(); ++j)
    found.push_back(cylinders[j].at_pressure(readings[j]));
  return found;
}

/// @brief What cylinders at these readings give where the water has this pressure.
[[nodiscard]] inline Litres usable(const std::vector<Cylinder>& cylinders,
                                   const std::vector<GaugePressure>& readings,
                                   GaugePressure floor) {
  Litres total;
  for (std::size_t j = 0; j < cylinders.size(); ++j)
    if (readings[j] > floor)
      total = total + (cylinders[j].content_at(readings[j]) - cylinders[j].content_at(floor));
  return total;
}

/// @brief Draws from cylinders that all hold one mix.
[[nodiscard]] inline Drawn drawn(const std::vector<Cylinder>& cylinders, const Gas& gas,
                                 const std::vector<Draw>& draws) {
  Cellar cellar(cylinders);
  Drawn result{.spare = content_of(cylinders)};
  for (const Cylinder& one : cylinders) result.left.push_back(one.pressure());
  for (const Draw& draw : draws) {
    RowUse use;
    use.volume = draw.volume;
    cellar.take(gas, draw.floor, use);
    cellar.read(use);
    result.needed = result.needed + use.volume;
    result.short_by = result.short_by + use.short_by;
    result.left = use.left;
    const bool out = result.short_by > litres(0.0);
    result.spare =
        out ? litres(0.0) : std::min(result.spare, usable(cylinders, use.left, draw.floor));
  }
  return result;
}

/// @brief The lowest reading, the same in all cylinders, from which all draws are given; nothing
/// where no reading up to the highest does.
///
/// More in every cylinder never leaves less in one after a draw, so that halving finds it.
[[nodiscard]] inline std::optional<GaugePressure>
lowest_reading(const std::vector<Cylinder>& cylinders, const Gas& gas,
               const std::vector<Draw>& draws) {
  constexpr double fine = 1e-7; // [bar]
  const auto closes = [&](double reading) {
    const std::vector<GaugePressure> same(cylinders.size(), bar_gauge(reading));
    return !(drawn(at_readings(cylinders, same), gas, draws).short_by > litres(0.0));
  };
  double low = 0.0;
  double high = in_bar_gauge(highest_gauge_pressure);
  if (!closes(high)) return {};
  if (closes(low)) return bar_gauge(low);
  while (high - low > fine) {
    const double middle = (low + high) / 2.0;
    (closes(middle) ? high : low) = middle;
  }
  return bar_gauge(high);
}

/// @brief What a diver breathes of one gas in a plan, row by row.
/// @param stressed Run time from which the stress rate counts [min].
/// @param ends     Run time up to which rows count [min].
[[nodiscard]] inline std::vector<Draw> draws_of(const Plan& plan, const Gas& gas,
                                                const BreathingRates& rates, double stressed,
                                                double ends) {
  const Place place = plan.dive.environment.place();
  std::vector<Draw> draws;
  for (const Row& row : plan.rows) {
    if (!(row.gas == gas) || in_minutes(row.ends) > ends) continue;
    const auto [calm, hurried] = parted_bar_minutes(row, place, stressed);
    const BreathingRate rate = row.ends <= plan.bottom_time ? rates.working : rates.resting;
    draws.push_back(
        {litres(calm * rate.base() + hurried * rates.stress.base()), floor_in(row, place)});
  }
  return draws;
}

/// @brief The same over the whole plan.
[[nodiscard]] inline std::vector<Draw> draws_of(const Plan& plan, const Gas& gas,
                                                const BreathingRates& rates, double stressed) {
  return draws_of(plan, gas, rates, stressed, in_minutes(plan.run_time));
}

} // namespace upline::detail

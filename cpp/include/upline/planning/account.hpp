#pragma once
/// @file
/// @brief What a dive costs and leaves: oxygen, gas and extremes, summed over its legs.

#include <upline/dive.hpp>
#include <upline/planning/leg.hpp>
#include <upline/schedule.hpp>

#include <algorithm>
#include <limits>
#include <optional>
#include <string>
#include <vector>

namespace upline::detail {

/// @brief The legs as a person reads them.
[[nodiscard]] inline std::vector<Row> rows_of(const std::vector<Leg>& legs) {
  std::vector<Row> rows;
  rows.reserve(legs.size());
  for (const Leg& leg : legs)
    rows.push_back({leg.phase, metres(leg.from), metres(leg.to), minutes(leg.begins),
                    minutes(leg.ends), leg.gas, leg.held_by});
  return rows;
}

/// @brief po2 over one leg.
[[nodiscard]] inline OxygenSegment oxygen_of(const Leg& leg, const Place& place) {
  return {leg.minutes(), leg.gas.oxygen * place.pressure(leg.from),
          leg.gas.oxygen * place.pressure(leg.to)};
}

/// @brief Oxygen of the whole dive.
[[nodiscard]] inline OxygenExposure total_exposure(const std::vector<Leg>& legs,
                                                   const Place& place) {
  OxygenExposure total;
  for (const Leg& leg : legs) {
    const OxygenExposure one = exposure(oxygen_of(leg, place), leg.ends);
    total.ended = leg.ends;
    total.cns += one.cns;
    total.day_share += one.day_share;
    total.otu += one.otu;
  }
  return total;
}

/// @brief Sums of this dive, and of the series it belongs to.
[[nodiscard]] inline OxygenDose dose_of(const OxygenExposure& taken, const OxygenHistory& after) {
  const OxygenExposure day = after.sum();
  return {taken.cns, after.cns, day.cns, day.day_share, taken.otu, day.otu};
}

/// @brief What a dive leaves behind.
/// @param taken What the dive added; its end is the run time, and becomes the clock's.
[[nodiscard]] inline State end_state(const std::optional<State>& start, const std::string& model,
                                     const Tissues& tissues, const Place& place,
                                     OxygenExposure taken) {
  State end;
  end.tissues = tissues;
  end.model = model;
  end.place = place;
  end.clock = taken.ended + (start ? start->clock : 0.0);
  if (start) end.oxygen = start->oxygen;
  taken.ended = end.clock;
  end.oxygen.cns += taken.cns;
  end.oxygen.last_day.push_back(taken);
  end.oxygen.forget_before(end.clock - day_of_minutes);
  return end;
}

/// @brief Gas per mix in order of first use.
[[nodiscard]] inline std::vector<GasUse> gas_use(const std::vector<Leg>& legs, const Place& place,
                                                 double bottom_left, const Rules& rules) {
  std::vector<GasUse> uses;
  for (const Leg& leg : legs) {
    auto use = std::find_if(uses.begin(), uses.end(),
                            [&](const GasUse& known) { return known.gas == leg.gas; });
    if (use == uses.end()) use = uses.insert(uses.end(), GasUse{.gas = leg.gas, .volume = {}});
    const double bar_minutes =
        leg.minutes() * (place.pressure(leg.from) + place.pressure(leg.to)) / 2.0;
    use->bar_minutes += bar_minutes;
    if (leg.ends <= bottom_left) use->bar_minutes_at_bottom += bar_minutes;
  }
  if (!rules.rmv) return uses;
  const double rmv = rules.rmv->base();
  const double deco_rmv = rules.deco_rmv.value_or(*rules.rmv).base();
  for (GasUse& use : uses)
    use.volume = litres(rmv * use.bar_minutes_at_bottom +
                        deco_rmv * (use.bar_minutes - use.bar_minutes_at_bottom));
  return uses;
}

/// @brief Keeps the first of the largest (or least) values offered.
class ExtremeKeeper {
public:
  ExtremeKeeper(Extreme& kept, double sign) : kept_(kept), sign_(sign) {}
  void offer(double value, double depth, double run_time, const Gas& gas) {
    constexpr double rounding = 1e-12;
    if (sign_ * value <= sign_ * kept_.value + rounding) return;
    kept_ = {value, metres(depth), minutes(run_time), gas};
  }
  void begin() { kept_.value = -sign_ * std::numeric_limits<double>::infinity(); }

private:
  Extreme& kept_;
  double sign_;
};

/// @brief Extremes over the ends of the legs, where all of them lie.
[[nodiscard]] inline Extremes extremes_of(const std::vector<Leg>& legs, const Place& place) {
  Extremes result;
  ExtremeKeeper richest(result.highest_po2, 1.0);
  ExtremeKeeper leanest(result.lowest_po2, -1.0);
  ExtremeKeeper densest(result.highest_density, 1.0);
  ExtremeKeeper narcotic(result.narcotic_depth, 1.0);
  ExtremeKeeper by_nitrogen(result.narcotic_depth_nitrogen, 1.0);
  for (ExtremeKeeper* keeper : {&richest, &leanest, &densest, &narcotic, &by_nitrogen})
    keeper->begin();
  const auto offer = [&](const Gas& gas, double depth, double run_time) {
    const double po2 = gas.oxygen * place.pressure(depth);
    richest.offer(po2, depth, run_time, gas);
    leanest.offer(po2, depth, run_time, gas);
    densest.offer(density(gas, depth, place), depth, run_time, gas);
    narcotic.offer(equivalent_narcotic_depth(gas, depth, Narcotic::nitrogen_and_oxygen, place),
                   depth, run_time, gas);
    by_nitrogen.offer(equivalent_narcotic_depth(gas, depth, Narcotic::nitrogen, place), depth,
                      run_time, gas);
  };
  for (const Leg& leg : legs) {
    offer(leg.gas, leg.from, leg.begins);
    offer(leg.gas, leg.to, leg.ends);
  }
  return result;
}

/// @brief A run of time at or above an oxygen pressure.
struct OxygenSpell {
  double begins = 0.0;
  double minutes = 0.0;
};

/// @brief The longest spell at or above `po2` bar without a break.
[[nodiscard]] inline OxygenSpell longest_spell(const std::vector<Leg>& legs, const Place& place,
                                               double po2) {
  OxygenSpell longest;
  OxygenSpell now;
  for (const Leg& leg : legs) {
    const OxygenSegment s = oxygen_of(leg, place);
    const bool starts = s.start >= po2;
    const bool ends = s.end >= po2;
    const double share = starts == ends ? 1.0 : (po2 - s.start) / (s.end - s.start);
    if (!starts) now = {leg.begins + (ends ? share * leg.minutes() : 0.0), 0.0};
    if (starts || ends)
      now.minutes +=
          starts && ends ? leg.minutes() : leg.minutes() * (starts ? share : 1.0 - share);
    if (now.minutes > longest.minutes) longest = now;
    if (!ends) now = {leg.ends, 0.0};
  }
  return longest;
}

} // namespace upline::detail

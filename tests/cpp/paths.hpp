#pragma once
// What the tests of replays and of checked tables share: drawn dives, their plans as profiles and
// as tables, and sampled margins of a replay.

#include "support.hpp"

#include <upline/check.hpp>
#include <upline/replay.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <initializer_list>
#include <limits>
#include <optional>
#include <random>
#include <utility>
#include <vector>

namespace support {

/// A dive with ordinary gases (no switch raises helium) in an ordinary or a high place.
inline upline::Dive drawn_dive(std::mt19937& random) {
  std::uniform_real_distribution<double> unit(0.0, 1.0);
  const double depth = 25.0 + 35.0 * unit(random);
  const double most = std::floor(140.0 / (1.01325 + depth / 10.0)) / 100.0;
  const double oxygen = std::clamp(most, 0.19, 0.32);
  upline::Dive dive = single_level(depth, depth / 18.0 + 10.0 + 40.0 * unit(random), {});
  dive.gases.emplace_back(upline::Gas(oxygen, unit(random) < 0.4 ? 0.0 : 0.5 * (1.0 - oxygen)));
  if (random() % 4 != 0) dive.gases.emplace_back("50");
  if (random() % 2 != 0) dive.gases.emplace_back("O2");
  if (random() % 3 == 0) dive.environment.altitude = upline::metres(1400.0 * unit(random));
  if (random() % 3 == 0) dive.environment.water_density = upline::fresh_water;
  return dive;
}

inline upline::Rules drawn_rules(std::mt19937& random) {
  std::uniform_real_distribution<double> unit(0.0, 1.0);
  const double high = 0.6 + 0.35 * unit(random);
  upline::Rules rules = bare_rules(0.2 + 0.6 * (high - 0.2) * unit(random), high);
  if (random() % 2 == 0) rules.ladder.last_stop = upline::metres(6.0);
  return rules;
}

/// Nothing where no wait brings the diver up.
inline std::optional<upline::Plan> plan_if_any(const upline::Dive& dive,
                                               const upline::Rules& rules) {
  try {
    return upline::plan(dive, rules);
  } catch (const upline::NoAscent&) {
    return {};
  }
}

/// So many drawn plans that have to wait somewhere. Dives that no wait brings up are passed over.
inline std::vector<upline::Plan> drawn_plans(unsigned seed, std::size_t count,
                                             upline::Rounding rounding = upline::Rounding::exact) {
  std::mt19937 random(seed);
  std::vector<upline::Plan> plans;
  while (plans.size() < count) {
    const upline::Dive dive = drawn_dive(random);
    upline::Rules rules = drawn_rules(random);
    rules.rounding = rounding;
    const auto made = plan_if_any(dive, rules);
    if (made && !made->stops.empty()) plans.push_back(*made);
  }
  return plans;
}

/// The path of a plan as a recorder writes it: every second and at each corner, nobody said what
/// they mean.
inline upline::Profile log_of(const upline::Plan& plan) {
  upline::Profile log = upline::profile_of(plan);
  log.bottom_left.reset();
  log.waypoints.resize(1);
  for (const upline::Row& row : plan.rows) {
    const double begins = row.begins.base();
    const double length = row.ends.base() - begins;
    for (double t = 0.0; t < length - 1e-3; t += 1.0 / 60.0)
      log.waypoints.push_back(
          {upline::minutes(begins + t),
           upline::metres(row.from.base() + (row.to - row.from).base() * t / length), row.gas});
    log.waypoints.push_back({row.ends, row.to, row.gas});
  }
  return log;
}

/// A table of stops that says all of itself: minutes without travel, bottom time from the surface,
/// metres, gas on arrival.
inline upline::Table plain_table(double depth, double bottom_time,
                                 std::vector<upline::TableGas> gases) {
  upline::Table table;
  table.depth = depth;
  table.bottom_time = bottom_time;
  table.gases = std::move(gases);
  table.water_said = true;
  table.units = upline::Units::metric;
  table.minutes = upline::MinutesMean::without_travel;
  table.bottom_from = upline::BottomTimeFrom::surface;
  table.switch_minute = upline::SwitchMinute::on_arrival;
  return table;
}

/// A plan made without time for switches, as such a table.
inline upline::Table table_of(const upline::Plan& plan) {
  upline::Table table = plain_table(plan.dive.levels.front().depth.base(), plan.bottom_time.base(),
                                    {{plan.dive.gases.front().gas, {}}});
  table.environment = plan.dive.environment;
  for (const upline::GasSwitch& one : plan.switches)
    table.gases.push_back({one.to, one.depth.base()});
  for (const upline::Stop& stop : plan.stops)
    table.rows.push_back({stop.depth.base(), stop.minutes_at_depth().base(), {}, {}});
  return table;
}

/// The same as run times of leaving.
inline upline::Table leave_table_of(const upline::Plan& plan) {
  upline::Table table = table_of(plan);
  table.minutes = upline::MinutesMean::leave_at;
  for (std::size_t j = 0; j < table.rows.size(); ++j)
    table.rows[j] = {table.rows[j].depth, {}, plan.stops[j].departs.base(), {}};
  return table;
}

/// Rows of depth and minutes.
inline void add_rows(upline::Table& table,
                     const std::initializer_list<std::pair<double, double>>& rows) {
  for (const auto& [depth, time] : rows) table.rows.push_back({depth, time, {}, {}});
}

inline std::vector<upline::TableGas> quince_gases() {
  return {{upline::Gas::parse("18/45"), {}},
          {upline::Gas::parse("50"), {}},
          {upline::Gas::parse("O2"), {}}};
}

/// A table cut by hand for the Quince Blossom (invented). It has no stop at 27 m.
inline upline::Table hand_cut() {
  upline::Table table = plain_table(57.0, 25.0, quince_gases());
  add_rows(table, {{24, 2}, {21, 1}, {18, 2}, {15, 2}, {12, 4}, {9, 5}, {6, 20}});
  return table;
}

inline upline::Rules factors_40_80() { return bare_rules(0.4, 0.8); }

/// Largest tolerated minus ambient pressure before the surface and at it.
struct SampledReplay {
  Real before = -std::numeric_limits<Real>::infinity();
  Real at_surface = -std::numeric_limits<Real>::infinity();
};

/// Looks at a replay's rows anew, in long double.
class Sampler {
public:
  explicit Sampler(const upline::Replay& r)
      : r_(r), line_{r.rules.factors, {}}, place_(r.profile.environment.place()) {
    if (r.anchor) line_.anchor = r.anchor->base();
  }

  /// @param from, to Run times between which is sampled.
  [[nodiscard]] SampledReplay worst(Real step, Real from = 0.0L, Real to = 1e9L) const {
    SampledReplay found;
    const LongWalk end = walk([&](const upline::Row& row, const LongWalk& before) {
      if (row.begins < r_.judged_from || row.begins.base() > to || row.ends.base() < from) return;
      const Real length = (row.ends - row.begins).base();
      const auto pieces = std::max(1L, std::lround(std::ceil(length / step)));
      for (long j = 0; j <= pieces; ++j) {
        const Real t = length * Real(j) / Real(pieces);
        const Real at = row.begins.base() + t;
        if (at >= from && at <= to && (j < pieces || row.to.base() > 0.0))
          found.before = std::max(found.before, beyond(row, before, t));
      }
    });
    found.at_surface = end.beyond(0.0L, Real(r_.rules.factors.high()));
    return found;
  }

  /// At one run time, on the line as it is just below the surface where that is at the surface.
  [[nodiscard]] Real beyond_at(Real at) const {
    Real found = -std::numeric_limits<Real>::infinity();
    walk([&](const upline::Row& row, const LongWalk& before) {
      if (row.begins.base() <= at && at <= Real(row.ends.base()))
        found = std::max(found, beyond(row, before, at - row.begins.base()));
    });
    return found;
  }

  /// The tissues then.
  [[nodiscard]] LongWalk tissues_at(Real at) const {
    LongWalk then = start();
    for (const upline::Row& row : r_.rows) {
      const Real t = std::min(at, Real(row.ends.base())) - row.begins.base();
      then.move(row.gas, row.from.base(), depth(row, t), t);
    }
    return then;
  }

private:
  [[nodiscard]] LongWalk start() const {
    if (r_.profile.start)
      return {upline::compartment_set(r_.rules.model), place_, r_.profile.start->tissues};
    return {upline::compartment_set(r_.rules.model), place_,
            upline::equilibrium_with_air(r_.profile.environment.acclimatised_pressure(),
                                         place_.vapour)};
  }

  template <class F>
  LongWalk walk(F&& look) const {
    LongWalk walk = start();
    for (const upline::Row& row : r_.rows) {
      look(row, walk);
      walk.move(row.gas, row.from.base(), row.to.base(), (row.ends - row.begins).base());
    }
    return walk;
  }

  [[nodiscard]] static Real depth(const upline::Row& row, Real t) {
    return row.from.base() + (row.to - row.from).base() * t / (row.ends - row.begins).base();
  }

  [[nodiscard]] Real beyond(const upline::Row& row, LongWalk then, Real t) const {
    const Real there = depth(row, t);
    then.move(row.gas, row.from.base(), there, t);
    return then.beyond(there, line_.factor_at(std::max(1e-12, static_cast<double>(there))));
  }

  const upline::Replay& r_;
  upline::LimitLine line_;
  upline::Place place_;
};

} // namespace support

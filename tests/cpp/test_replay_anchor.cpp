#include "paths.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>
#include <random>
#include <utility>
#include <vector>

// Source: this project's definition, docs/theory.md, section "Replay": of a log the anchor is the
// greatest over the moments at which the diver is not yet beyond the low factor. Here it is sought
// in long double, by steps and halving.

namespace {

using namespace upline;
using support::bare_rules;
using support::LongWalk;
using support::off;
using support::Real;

/// Tries direct ascents from moments of a replayed path.
class AnchorTrial {
public:
  explicit AnchorTrial(const Replay& r) : r_(r), low_(r.rules.factors.low()) {
    Place place = r.profile.environment.place();
    LongWalk walk(compartment_set(r.rules.model), place,
                  r.profile.start ? r.profile.start->tissues
                                  : equilibrium_with_air(place.surface, place.vapour));
    for (const Row& row : r.rows) {
      before_.push_back(walk);
      walk.move(row.gas, row.from.base(), row.to.base(), (row.ends - row.begins).base());
    }
  }

  /// The greatest anchor before the low factor is passed for the first time under water [m].
  [[nodiscard]] Real greatest() const {
    Real best = 0.0L;
    bool inside = false;
    for (std::size_t j = 0; j < r_.rows.size(); ++j) {
      const Real length = (r_.rows[j].ends - r_.rows[j].begins).base();
      if (!inside && gap(j, 0.0L) > 0.0L) continue;
      inside = true;
      const Real until = first_beyond(j, length).value_or(length);
      best = std::max(best, peak(j, until));
      if (until < length) return std::max(best, depth(j, until));
    }
    return best;
  }

private:
  [[nodiscard]] Real depth(std::size_t j, Real t) const {
    const Row& row = r_.rows[j];
    return row.from.base() + (row.to - row.from).base() * t / (row.ends - row.begins).base();
  }
  [[nodiscard]] LongWalk at(std::size_t j, Real t) const {
    LongWalk walk = before_[j];
    walk.move(r_.rows[j].gas, r_.rows[j].from.base(), depth(j, t), t);
    return walk;
  }
  [[nodiscard]] Real gap(std::size_t j, Real t) const { return at(j, t).beyond(depth(j, t), low_); }

  [[nodiscard]] std::optional<Real> first_beyond(std::size_t j, Real length) const {
    const long pieces = std::max(1L, std::lround(std::ceil(length / 0.05L)));
    for (long k = 1; k <= pieces; ++k) {
      if (!(gap(j, length * Real(k) / Real(pieces)) > 0.0L)) continue;
      Real low = length * Real(k - 1) / Real(pieces);
      Real high = length * Real(k) / Real(pieces);
      for (int halved = 0; halved < 60; ++halved) {
        const Real middle = (low + high) / 2.0L;
        (gap(j, middle) > 0.0L ? high : low) = middle;
      }
      return low;
    }
    return {};
  }

  /// By steps, and by finer ones around the greatest.
  [[nodiscard]] Real peak(std::size_t j, Real until) const {
    Real from = 0.0L;
    Real to = until;
    Real best = 0.0L;
    Real where = 0.0L;
    for (int finer = 0; finer < 10; ++finer) {
      const long pieces = finer == 0 ? std::max(2L, std::lround(std::ceil(until / 0.2L))) : 16L;
      for (long k = 0; k <= pieces; ++k) {
        const Real t = from + (to - from) * Real(k) / Real(pieces);
        const Real anchor = direct(j, t);
        if (anchor <= best) continue;
        best = anchor;
        where = t;
      }
      const Real step = (to - from) / Real(pieces);
      from = std::max(0.0L, where - step);
      to = std::min(until, where + step);
    }
    return best;
  }

  /// Where the direct ascent begun then touches the low factor; 0 where it does not [m].
  [[nodiscard]] Real direct(std::size_t j, Real t) const {
    LongWalk walk = at(j, t);
    Real here = depth(j, t);
    Gas gas = r_.rows[j].gas;
    std::vector<std::pair<Real, Gas>> later; // each no deeper than the one before
    for (std::size_t k = j + 1; k < r_.rows.size(); ++k) {
      if (r_.rows[k].gas == r_.rows[k - 1].gas) continue;
      const Real from = r_.rows[k].from.base();
      if (from <= (later.empty() ? here : later.back().first) + 1e-9L)
        later.emplace_back(from, r_.rows[k].gas);
    }
    later.emplace_back(0.0L, gas);
    for (const auto& [switched, next] : later) {
      while (here > switched + 1e-12L) {
        const Real above = std::max(switched, here - 0.5L);
        const auto risen = [&](Real to) {
          LongWalk then = walk;
          then.move(gas, here, to, (here - to) / 9.0L);
          return then;
        };
        if (risen(above).beyond(above, low_) >= 0.0L) {
          Real deep = here;
          Real shallow = above;
          for (int halved = 0; halved < 50; ++halved) {
            const Real middle = (deep + shallow) / 2.0L;
            (risen(middle).beyond(middle, low_) >= 0.0L ? shallow : deep) = middle;
          }
          return deep;
        }
        walk = risen(above);
        here = above;
      }
      gas = next;
    }
    return 0.0L;
  }

  const Replay& r_;
  Real low_;
  std::vector<LongWalk> before_;
};

Profile path(const std::vector<std::pair<double, double>>& points, const Gas& gas) {
  Profile profile;
  for (const auto& [at, depth] : points) profile.waypoints.push_back({minutes(at), metres(depth)});
  profile.waypoints.front().gas = gas;
  return profile;
}

TEST_SUITE("anchor of a log") {
  TEST_CASE("it is the greatest of the direct ascents, wherever that begins") {
    std::mt19937 random(75);
    std::uniform_real_distribution<double> unit(0.0, 1.0);
    int in_the_middle = 0;
    for (int j = 0; j < 24; ++j) {
      CAPTURE(j);
      // Up slowly from the bottom, so that the anchor rises and falls on the way; in every third
      // down again, and in every second on another gas from some depth on.
      const double bottom = 30.0 + 25.0 * unit(random);
      double clock = bottom / 18.0 + 6.0 + 14.0 * unit(random);
      std::vector<std::pair<double, double>> points{
          {0, 0}, {bottom / 18.0, bottom}, {clock, bottom}};
      const double pause = bottom * (0.35 + 0.3 * unit(random));
      points.emplace_back(clock += (bottom - pause) / (0.8 + 3.0 * unit(random)), pause);
      points.emplace_back(clock += 3.0 * unit(random), pause);
      if (j % 3 == 0) {
        points.emplace_back(clock += 1.0, pause + 5.0);
        points.emplace_back(clock += 2.0 + 6.0 * unit(random), pause + 5.0);
      }
      points.emplace_back(clock += 2.0 + 3.0 * unit(random), 4.0);
      points.emplace_back(clock += 6.0, 4.0);
      points.emplace_back(clock += 1.0, 0.0);
      Profile log = path(points, Gas(0.21, j % 4 == 1 ? 0.3 : 0.0));
      if (j % 2 == 0) log.waypoints[4].gas = Gas(0.36, 0.0);
      const Replay r = replay(log, bare_rules(0.15 + 0.4 * unit(random), 0.9));
      REQUIRE(r.anchor.has_value());
      const Real sought = AnchorTrial(r).greatest();
      CHECK(off(r.anchor->base(), static_cast<double>(sought)) <= 1e-6);
      // Not the one of leaving the bottom.
      log.bottom_left = minutes(points[2].first);
      const Replay told = replay(log, r.rules);
      in_the_middle += r.anchor->base() > told.anchor.value_or(Depth()).base() + 1e-3 ? 1 : 0;
    }
    CHECK(in_the_middle >= 8);
  }

  TEST_CASE("what comes after the low factor was passed does not count") {
    std::mt19937 random(76);
    std::uniform_real_distribution<double> unit(0.0, 1.0);
    int deeper_after = 0;
    for (int j = 0; j < 8; ++j) {
      CAPTURE(j);
      const double bottom = 26.0 + 14.0 * unit(random);
      const double again = bottom * (0.85 + 0.1 * unit(random));
      // Up and beyond, and for longer down again.
      const Profile log = path({{0, 0},
                                {2, bottom},
                                {14, bottom},
                                {14 + (bottom - 3.0) / 9.0, 3},
                                {20, 3},
                                {22, again},
                                {70 + 20.0 * unit(random), again},
                                {96, 3},
                                {120, 3},
                                {121, 0}},
                               Gas(0.21, 0.0));
      const Replay r = replay(log, bare_rules(0.15 + 0.15 * unit(random), 0.9));
      REQUIRE(r.anchor.has_value());
      CHECK(off(r.anchor->base(), static_cast<double>(AnchorTrial(r).greatest())) <= 1e-6);
      Profile second = log;
      second.bottom_left = log.waypoints[6].at;
      deeper_after += replay(second, r.rules).anchor.value_or(Depth()) > *r.anchor ? 1 : 0;
    }
    CHECK(deeper_after >= 3);
  }

  TEST_CASE("a direct ascent takes up the gases that come later and shallower") {
    std::mt19937 random(77);
    std::uniform_real_distribution<double> unit(0.0, 1.0);
    for (int j = 0; j < 10; ++j) {
      CAPTURE(j);
      const double bottom = 34.0 + 8.0 * unit(random);
      const double first = 14.0 + 4.0 * unit(random);
      const double lower = first + 3.0 + 8.0 * unit(random);
      // Nitrox at the first pause, then down and back to air, then up: air is taken up deeper than
      // the nitrox, and no direct ascent from above meets it.
      Profile log = path({{0, 0},
                          {2, bottom},
                          {12, bottom},
                          {12 + (bottom - first) / (1.5 + 3.0 * unit(random)), first},
                          {30, first},
                          {32, lower},
                          {33 + 2.0 * unit(random), lower},
                          {40, 5},
                          {70, 5},
                          {71, 0}},
                         Gas(0.28, 0.0));
      log.waypoints[3].gas = Gas(0.6, 0.0);
      log.waypoints[5].gas = j % 2 == 0 ? Gas(0.21, 0.0) : Gas(0.18, 0.6);
      log.waypoints[7].gas = Gas(0.8, 0.0);
      const Replay r = replay(log, bare_rules(0.2 + 0.2 * unit(random), 0.9));
      REQUIRE(r.anchor.has_value());
      CHECK(off(r.anchor->base(), static_cast<double>(AnchorTrial(r).greatest())) <= 1e-6);
    }
  }

  TEST_CASE("what an earlier dive left does not end the search before it began") {
    // At the surface more than the low factor is left; a dive is made all the same.
    const Rules rules = bare_rules(0.2, 0.9);
    const Plan first = plan(support::single_level(36.0, 30.0, {"21"}), rules);
    REQUIRE(first.surfacing_fraction > 0.5);
    for (const double bottom : {18.0, 27.0}) {
      Profile log = path({{0, 0},
                          {bottom / 18.0, bottom},
                          {20, bottom},
                          {20 + (bottom - 6.0) / 9.0, 6},
                          {40, 6},
                          {41, 0}},
                         Gas(0.21, 0.0));
      log.start = first.end;
      const Replay r = replay(log, rules);
      REQUIRE(r.anchor.has_value());
      CHECK(off(r.anchor->base(), static_cast<double>(AnchorTrial(r).greatest())) <= 1e-6);
      CHECK(r.anchor->base() > 3.0);
      log.bottom_left = minutes(20.0);
      CHECK(off(r.anchor->base(), replay(log, rules).anchor.value().base()) <= 1e-6);
    }
  }
}

} // namespace

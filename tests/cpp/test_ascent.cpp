#include "support.hpp"

#include <upline/ascent.hpp>

#include <algorithm>
#include <cmath>
#include <functional>
#include <optional>
#include <random>
#include <string>
#include <utility>
#include <vector>

// Source of every rule here: this project's definition, docs/theory.md, sections "Limit" and
// "Ascent". What it is compared with is the replay of support.hpp, which shares no code with it.

namespace {

using namespace upline;
using support::bare_rules;
using support::LongWalk;
using support::off;
using support::Real;
using support::single_level;

// ---- functions of time -------------------------------------------------------------------------

/// A compartment with random gases, limits, ambient pressure and factor.
detail::Course random_course(std::mt19937& random) {
  std::uniform_real_distribution<double> unit(0.0, 1.0);
  const CompartmentSet& set = compartment_sets[static_cast<std::size_t>(6.0 * unit(random))];
  const auto i = static_cast<std::size_t>(16.0 * unit(random));
  const auto gas = [&](double rate) {
    const double start = 5.0 * unit(random);
    const double inspired = 5.0 * unit(random);
    const double ramp = unit(random) < 0.5 ? 0.0 : 0.8 * (unit(random) - 0.7);
    return detail::GasCourse{start, inspired - start, ramp, rate};
  };
  detail::Course course;
  course.nitrogen = gas(set.nitrogen.rate[i]);
  course.helium = gas(set.helium.rate[i]);
  if (unit(random) < 0.2) course.helium = {0.0, 0.0, 0.0, set.helium.rate[i]};
  course.take_limits(set, i);
  course.ambient = 1.0 + 5.0 * unit(random);
  course.factor = 0.1 + 0.9 * unit(random);
  if (unit(random) < 0.5) {
    course.ambient_rate = -0.9 * unit(random);
    course.factor_rate = 0.05 * unit(random);
  }
  return course;
}

/// As long as ambient pressure stays above 0.5 bar and tensions positive.
double span_of(const detail::Course& course) {
  double span = 300.0;
  if (course.ambient_rate < 0.0) span = (course.ambient - 0.5) / -course.ambient_rate;
  for (const detail::GasCourse* gas : {&course.nitrogen, &course.helium})
    if (gas->ramp < 0.0) span = std::min(span, 0.9 * (gas->start + gas->swing) / -gas->ramp);
  return std::max(span, 1e-3);
}

// ---- independent direct ascent and leave test
// ----------------------------------------------------

struct Taken {
  double depth;
  Gas gas;
};

/// Switches of the ascent of a plan, read off its rows.
std::vector<Taken> switches_of(const Plan& plan) {
  std::vector<Taken> switches;
  const Row* last = nullptr;
  for (const Row& row : plan.rows) {
    const bool ascent = row.begins.base() >= plan.bottom_time.base();
    if (last != nullptr && ascent && !(row.gas == last->gas))
      switches.push_back({row.from.base(), row.gas});
    last = &row;
  }
  return switches;
}

/// The replay at the moment the bottom is left.
LongWalk at_bottom(const Plan& plan) {
  LongWalk replay(compartment_set(plan.rules.model), plan.dive.environment.place(),
                  support::start_of(plan));
  for (const Row& row : plan.rows)
    if (row.begins.base() < plan.bottom_time.base())
      replay.move(row.gas, row.from.base(), row.to.base(), row.ends.base() - row.begins.base());
  return replay;
}

/// First touch of the direct ascent at one rate, by steps of 2 cm and bisection within one.
std::optional<double> touched(const Plan& plan) {
  const std::vector<Taken> switches = switches_of(plan);
  const Real factor = plan.rules.factors.low();
  const Real rate = plan.rules.ascent_rates.front().rate.base();
  LongWalk replay = at_bottom(plan);
  Gas gas = plan.dive.gases.front().gas;
  Real depth = plan.dive.levels.back().depth.base();
  if (replay.beyond(depth, factor) > 0.0L) return static_cast<double>(depth);
  std::size_t next = 0;
  while (depth > 0.0L) {
    while (next < switches.size() && switches[next].depth >= depth - 1e-9L)
      gas = switches[next++].gas;
    Real end = std::max(0.0L, depth - 0.02L);
    if (next < switches.size()) end = std::max(end, Real(switches[next].depth));
    const auto beyond = [&](Real to) {
      LongWalk then = replay;
      then.move(gas, depth, to, (depth - to) / rate);
      return then.beyond(to, factor) > 0.0L;
    };
    if (beyond(end)) {
      Real deep = depth;
      Real shallow = end;
      for (int halving = 0; halving < 70; ++halving) {
        const Real middle = (deep + shallow) / 2.0L;
        (beyond(middle) ? shallow : deep) = middle;
      }
      return static_cast<double>(shallow);
    }
    replay.move(gas, depth, end, (depth - end) / rate);
    depth = end;
  }
  return {};
}

/// A dive with ordinary gases: no switch raises helium. Deep enough to need stops.
Dive ordinary_dive(std::mt19937& random) {
  std::uniform_real_distribution<double> unit(0.0, 1.0);
  const double depth = 20.0 + 70.0 * unit(random);
  const double po2 = 1.0 + 0.4 * unit(random);
  const double oxygen =
      std::clamp(std::floor(100.0 * po2 / (1.01325 + depth / 10.0)) / 100.0, 0.16, 0.4);
  const double helium =
      unit(random) < 0.4 ? 0.0 : std::floor(100.0 * unit(random) * (0.9 - oxygen)) / 100.0;
  Dive dive = single_level(depth, depth / 18.0 + 5.0 + 50.0 * unit(random), {});
  dive.gases.emplace_back(Gas(oxygen, helium));
  if (unit(random) < 0.7) dive.gases.emplace_back("50");
  if (unit(random) < 0.5) dive.gases.emplace_back("O2");
  return dive;
}

GradientFactors random_factors(std::mt19937& random) {
  std::uniform_real_distribution<double> unit(0.0, 1.0);
  const double high = 0.5 + 0.5 * unit(random);
  return {0.1 + (high - 0.1) * unit(random), high};
}

} // namespace

TEST_SUITE("ascent") {
  // ---- courses ---------------------------------------------------------------------------------

  TEST_CASE("slopes of a gap are its derivative and stay inside their enclosure") {
    std::mt19937 random(41);
    double worst = 0.0;
    std::size_t outside = 0;
    constexpr int draws = 3000;
    for (int j = 0; j < draws; ++j) {
      const detail::Course course = random_course(random);
      const double span = span_of(course);
      const detail::Moment l = course.at(0.2 * span);
      const detail::Moment r = course.at(0.9 * span);
      const detail::Range range = course.slope_range(l, r);
      constexpr int samples = 40;
      for (int k = 0; k <= samples; ++k) {
        const double t = l.t + (r.t - l.t) * k / samples;
        const double slope = course.slope(course.at(t));
        const double h = 1e-5 * (1.0 + t);
        const double central = (course.at(t + h).gap - course.at(t - h).gap) / (2.0 * h);
        worst = std::max(worst, off(slope, central) / (1.0 + std::abs(slope)));
        const double rounding = 1e-12 * (1.0 + std::abs(slope));
        if (slope < range.low - rounding || slope > range.high + rounding) ++outside;
      }
    }
    CHECK(worst <= 1e-7); // central differences: h^2 times curvature, and rounding over h
    CHECK(outside == 0);
  }

  TEST_CASE("the gap has the sign of tolerated minus ambient pressure") {
    std::mt19937 random(42);
    std::size_t wrong = 0;
    constexpr int draws = 3000;
    for (int j = 0; j < draws; ++j) {
      const detail::Course course = random_course(random);
      const detail::Moment m = course.at(0.5 * span_of(course));
      const double total = m.nitrogen + m.helium;
      const double share = total > 0.0 ? m.helium / total : 0.0;
      const double a = course.a + share * course.a_more;
      const double b = course.b + share * course.b_more;
      const double tolerated = (total - a * m.factor) / (m.factor / b - m.factor + 1.0);
      const double beyond = tolerated - m.ambient;
      if (std::abs(beyond) > 1e-12 && (beyond > 0.0) != (m.gap > 0.0)) ++wrong;
      if (std::abs(m.gap) < std::abs(beyond) - 1e-12) ++wrong; // nor is it the smaller of the two
    }
    CHECK(wrong == 0);
  }

  TEST_CASE("the first crossing is found and none is invented") {
    std::mt19937 random(43);
    int crossings = 0;
    std::size_t wrong = 0;
    constexpr int draws = 2000;
    for (int j = 0; j < draws; ++j) {
      const detail::Course course = random_course(random);
      const double span = span_of(course);
      const detail::Moment start = course.at(0.0);
      if (start.gap == 0.0) continue;
      const auto direction =
          start.gap > 0.0 ? detail::Crossing::into_limit : detail::Crossing::beyond_limit;
      const double sign = start.gap > 0.0 ? 1.0 : -1.0;
      const auto found = detail::CrossingSearch(course, direction).first(start, span);
      crossings += found ? 1 : 0;
      // Before the crossing found, or anywhere if none was: no sample on the other side.
      const double until = found.value_or(span);
      constexpr int samples = 2000;
      for (int k = 0; k < samples; ++k)
        if (sign * course.at(until * k / samples).gap < -1e-12) ++wrong;
      if (found && std::abs(course.at(*found).gap) > 1e-11) ++wrong;
    }
    CHECK(wrong == 0);
    CHECK(crossings > draws / 10);
  }

  TEST_CASE("two crossings close together are both seen") {
    // The gap dips below zero for a moment: its lowest value is shifted to just below 0.
    std::mt19937 random(44);
    int dips = 0;
    constexpr int draws = 4000;
    for (int j = 0; j < draws; ++j) {
      detail::Course course = random_course(random);
      course.ambient_rate = course.factor_rate = 0.0;
      course.nitrogen.ramp = course.helium.ramp = 0.0;
      constexpr int samples = 2000;
      double lowest = course.at(0.0).gap;
      double where = 0.0;
      for (int k = 1; k <= samples; ++k) {
        const double t = 100.0 * k / samples;
        if (course.at(t).gap < lowest) {
          lowest = course.at(t).gap;
          where = t;
        }
      }
      if (where <= 0.5 || where >= 99.5) continue; // no dip inside
      // Ambient pressure enters the gap with the weight G (1/b - 1) + 1 at the dip.
      const detail::Moment dip = course.at(where);
      const double share = dip.helium / (dip.nitrogen + dip.helium);
      const double weight = course.factor * (1.0 / (course.b + share * course.b_more) - 1.0) + 1.0;
      course.ambient += (lowest + 1e-9) / weight;
      if (!(course.at(0.0).gap > 1e-6) || course.ambient < 0.5) continue;
      if (course.at(where).gap > -5e-10 || course.at(where).gap < -2e-9) continue;
      ++dips;
      const auto found =
          detail::CrossingSearch(course, detail::Crossing::into_limit).first(course.at(0.0), 1e5);
      if (!found)
        FAIL_CHECK("a dip at " << where << " is missed");
      else
        CHECK(*found <= where);
    }
    CHECK(dips >= 20);
  }

  // ---- anchor ----------------------------------------------------------------------------------

  TEST_CASE("the anchor is where the independent direct ascent first touches") {
    std::mt19937 random(45);
    double worst = 0.0;
    int with_anchor = 0;
    constexpr int draws = 120;
    for (int j = 0; j < draws; ++j) {
      Dive dive = ordinary_dive(random);
      Rules rules{.factors = random_factors(random)};
      rules.rounding = Rounding::exact;
      rules.switch_time = minutes(0.0);
      rules.po2_tolerance = bar(0.2);
      const Plan made = plan(dive, rules);
      const auto wanted = touched(made);
      CAPTURE(j);
      REQUIRE(made.anchor.has_value() == wanted.has_value());
      if (!wanted) continue;
      ++with_anchor;
      worst = std::max(worst, off(made.anchor->base(), *wanted));
    }
    CHECK(worst <= 1e-11); // solved to 1e-12 m; tensions carry about as much
    CHECK(with_anchor > draws / 2);
  }

  TEST_CASE("a dive that may come straight up at the low factor has no anchor and no stop") {
    const Plan made = plan(single_level(15.0, 10.0, {"32"}), bare_rules(0.4, 0.85));
    CHECK_FALSE(made.anchor.has_value());
    CHECK(made.stops.empty());
    CHECK_FALSE(touched(made).has_value());
  }

  TEST_CASE("the anchor may lie shallower than every rung") {
    const Plan made = plan(single_level(30.0, 25.0, {"air"}), bare_rules(1.0, 1.0));
    REQUIRE(made.anchor);
    CHECK(made.anchor->base() > 0.0);
    CHECK(made.anchor->base() < 3.0);
    CHECK(off(made.anchor->base(), touched(made).value()) <= 1e-11);
  }

  TEST_CASE("the anchor is the bottom where the limit is exceeded there already") {
    // The climb to the level ends on a line of its own, with a higher factor there.
    Dive dive = single_level(57.0, 25.0, {"18/45"});
    dive.levels.push_back({metres(12.0), minutes(44.0)});
    const Plan made = plan(dive, bare_rules(0.2, 0.9));
    REQUIRE(made.anchor);
    CHECK(made.anchor->base() == 12.0);
    CHECK(at_bottom(made).beyond(12.0L, 0.2L) > 0.0L);
    REQUIRE_FALSE(made.stops.empty());
  }

  TEST_CASE("the anchor belongs to the dive and not to the ladder") {
    Dive dive = single_level(57.0, 25.0, {"18/45", "50@21", "O2@6"});
    std::vector<double> anchors;
    for (const double spacing : {3.0, 1.0, 2.5, 10.0, 20.0}) {
      Rules rules = bare_rules(0.4, 0.8);
      rules.ladder.spacing = metres(spacing);
      rules.ladder.last_stop = metres(4.0);
      anchors.push_back(plan(dive, rules).anchor.value().base());
    }
    for (const double anchor : anchors) CHECK(off(anchor, 24.911484) <= 5e-7);
  }

  TEST_CASE("the anchor moves continuously with the bottom time") {
    Dive dive = support::quince();
    const Rules rules = support::quince_rules();
    const auto anchor = [&](double bottom_time) {
      dive.levels.front().leave_at = minutes(bottom_time);
      return plan(dive, rules).anchor.value().base();
    };
    for (double t = 20.0; t < 40.0; t += 0.37) {
      CAPTURE(t);
      CHECK(off(anchor(t), anchor(t + 1e-6)) <= 1e-5);
      CHECK(anchor(t + 1.0) > anchor(t));
    }
  }

  TEST_CASE("the direct ascent breathes the gas of each depth") {
    const Rules rules = bare_rules(0.2, 0.8);
    const Plan lean = plan(single_level(57.0, 25.0, {"18/45"}), rules);
    const Plan rich = plan(single_level(57.0, 25.0, {"18/45", "28/25@45", "50"}), rules);
    CHECK(lean.anchor.value().base() != rich.anchor.value().base());
    CHECK(off(lean.anchor->base(), touched(lean).value()) <= 1e-11);
    CHECK(off(rich.anchor->base(), touched(rich).value()) <= 1e-11);
  }

  // ---- leave test and least wait
  // -----------------------------------------------------------------

  TEST_CASE("every wait is the least one") {
    std::mt19937 random(46);
    int waits = 0;
    std::size_t wrong = 0;
    constexpr int draws = 60;
    for (int j = 0; j < draws; ++j) {
      const Dive dive = ordinary_dive(random);
      Rules rules{.factors = random_factors(random)};
      rules.rounding = Rounding::exact;
      rules.switch_time = minutes(j % 2 == 0 ? 0.0 : 1.5);
      rules.po2_tolerance = bar(0.2);
      const Plan made = plan(dive, rules);
      LongWalk replay = at_bottom(made);
      for (const Row& row : made.rows) {
        if (row.begins.base() < made.bottom_time.base()) continue;
        if (row.held_by) {
          const std::vector<double> rungs =
              detail::rungs_between(rules.ladder, row.from.base(), 0.0);
          const double next = rungs.empty() ? 0.0 : rungs.front();
          const Real factor = support::line_factor(made, next);
          const auto beyond = [&](Real wait) {
            LongWalk then = replay;
            then.move(row.gas, row.from.base(), row.from.base(), wait);
            then.move(row.gas, row.from.base(), next, (row.from.base() - Real(next)) / 9.0L);
            return then.beyond(next, factor);
          };
          const Real wait = Real(row.ends.base()) - row.begins.base();
          ++waits;
          if (beyond(wait) > 2e-12L) ++wrong;
          constexpr int samples = 200;
          for (int k = 0; k < samples; ++k) // up to just before it: the tolerance is 1e-12 bar
            if (beyond((wait - 1e-6L) * k / samples) <= 0.0L) ++wrong;
        }
        replay.move(row.gas, row.from.base(), row.to.base(), row.ends.base() - row.begins.base());
      }
    }
    CHECK(wrong == 0);
    CHECK(waits > 100);
  }

  TEST_CASE("a rung without a wait passes its leave test at once") {
    const Plan made = plan(support::quince(), support::quince_rules());
    LongWalk replay = at_bottom(made);
    double depth = 57.0;
    // 54 to 30 m are passed; the ascent to 27 m is one row.
    for (double rung = 54.0; rung >= 27.0; rung -= 3.0) {
      CAPTURE(rung);
      replay.move(Gas(0.18, 0.45), depth, rung, (depth - rung) / 9.0);
      depth = rung;
      CHECK(replay.beyond(rung, support::line_factor(made, rung)) <= 1e-12L);
    }
    CHECK(made.stops.front().depth.base() == 27.0);
  }

  // ---- windows ---------------------------------------------------------------------------------

  // Off helium onto air at 36 m with no rung until 9 m: helium leaves faster than nitrogen enters,
  // so that the ascent is allowed for some minutes and then no more.
  struct Window {
    Dive dive = single_level(60.0, 30.0, {"16/84", "air@36"});
    Rules rules = bare_rules(0.85, 0.85);
    Window() {
      for (const double rung : {36.0, 9.0, 6.0, 3.0}) rules.ladder.rungs.push_back(metres(rung));
    }
  };

  TEST_CASE("a leave test that passes only for a while is met at its beginning") {
    const Window window;
    const Plan made = plan(window.dive, window.rules);
    const Stop& stop = made.stops.front();
    REQUIRE(stop.depth.base() == 36.0);
    LongWalk replay = at_bottom(made);
    replay.move(Gas(0.16, 0.84), 60.0L, 36.0L, 24.0L / 9.0L);
    const auto beyond = [&](Real wait) {
      LongWalk then = replay;
      then.move(Gas(), 36.0L, 36.0L, wait);
      then.move(Gas(), 36.0L, 9.0L, 3.0L);
      return then.beyond(9.0L, 0.85L);
    };
    const Real wait = stop.minutes_at_depth().base();
    CHECK(beyond(0.0L) > 0.0L);
    CHECK(beyond(wait - 1e-9L) > 0.0L);
    CHECK(beyond(wait) <= 1e-12L);
    CHECK(beyond(wait + 3.0L) < 0.0L);
    CHECK(beyond(wait + 10.0L) > 0.0L); // closed again,
    for (Real later = wait + 10.0L; later < 20000.0L; later *= 1.1L)
      if (beyond(later) <= 0.0L) FAIL_CHECK("open again after " << static_cast<double>(later));
  }

  TEST_CASE("a stop prolonged past the window is no ascent and inside it is kept") {
    Window window;
    window.rules.min_stop = minutes(45.0);
    const Plan made = plan(window.dive, window.rules);
    CHECK(off(made.stops.front().minutes_at_depth().base(), 45.0) <= 1e-12);
    window.rules.min_stop = minutes(50.0);
    const auto error = support::thrown<NoAscent>([&] { (void)plan(window.dive, window.rules); });
    REQUIRE(error);
    const std::string message = error->what();
    CHECK(support::holds(message, "a wait of 42.6"));
    CHECK(support::holds(message, "but the 50 min that min_stop and resolution make of it"));
    CHECK(support::holds(message, "Remedy: a smaller min_stop or resolution"));
    window.rules.min_stop = minutes(0.0);
    window.rules.rounding = Rounding::duration;
    window.rules.resolution = minutes(10.0); // 42.6 min become 50
    CHECK_THROWS_AS((void)plan(window.dive, window.rules), NoAscent);
    window.rules.resolution = minutes(5.0);
    CHECK(off(plan(window.dive, window.rules).stops.front().minutes_at_depth().base(), 45.0) <=
          1e-9);
  }

  TEST_CASE("a compartment by itself opens and closes where sampling says") {
    const CompartmentSet& set = compartment_set("ZH-L16C");
    const Place place{};
    Tissues tissues = equilibrium_with_air(place.surface, place.vapour);
    for (std::size_t i = 0; i < compartment_count; ++i)
      tissues.helium[i] = i < 4 ? 2.0 : i == 4 ? 4.2 : 1.2;
    detail::Loading loading(set, place);
    const detail::RateTable rates(9.0);
    detail::LeaveTest test(loading, rates, Gas(), 33.0, 9.0, 0.9);
    const auto passes = [&](double wait) {
      LongWalk replay(set, place, tissues);
      replay.move(Gas(), 33.0L, 33.0L, wait);
      replay.move(Gas(), 33.0L, 9.0L, 24.0L / 9.0L);
      return replay.beyond(9.0L, 0.9L) <= 0.0L;
    };
    Tissues held = tissues;
    const detail::Wait wait = test.least_wait(held);
    REQUIRE(wait.possible);
    CHECK(wait.compartment == 4);
    CHECK_FALSE(passes(wait.minutes - 1e-9));
    CHECK(passes(wait.minutes + 1e-9));
    CHECK(passes(60.0));
    CHECK_FALSE(passes(70.0));
    // Asked again inside the window there is nothing to wait for, after it nothing helps.
    Tissues inside = tissues;
    loading.stay(inside, Gas(), 33.0, 60.0);
    const detail::Wait none = test.least_wait(inside);
    CHECK(none.possible);
    CHECK(none.minutes == 0.0);
    Tissues after = tissues;
    loading.stay(after, Gas(), 33.0, 70.0);
    CHECK_FALSE(test.least_wait(after).possible);
    // From 33 m straight to 6 m no moment will do.
    detail::LeaveTest farther(loading, rates, Gas(), 33.0, 6.0, 0.9);
    Tissues never = tissues;
    CHECK_FALSE(farther.least_wait(never).possible);
  }

  TEST_CASE("least wait carries the tissues over the wait it returns") {
    const CompartmentSet& set = compartment_set("ZH-L16C");
    const Place place{};
    Tissues tissues = equilibrium_with_air(place.surface, place.vapour);
    detail::Loading loading(set, place);
    loading.stay(tissues, Gas(), 30.0, 40.0);
    const detail::RateTable rates(9.0);
    detail::LeaveTest test(loading, rates, Gas(), 6.0, 3.0, 0.7);
    Tissues held = tissues;
    const detail::Wait wait = test.least_wait(held);
    REQUIRE(wait.possible);
    REQUIRE(wait.minutes > 0.0);
    Tissues wanted = tissues;
    loading.stay(wanted, Gas(), 6.0, wait.minutes);
    CHECK(held == wanted);
    Tissues arrived = held;
    loading.travel(arrived, Gas(), 6.0, 3.0, 3.0 / 9.0);
    for (std::size_t i = 0; i < compartment_count; ++i)
      CHECK(off(test.arrival().nitrogen[i], arrived.nitrogen[i]) <= 1e-15);
  }

  // ---- no ascent -------------------------------------------------------------------------------

  TEST_CASE("where no wait helps the error names compartment and depth") {
    Dive dive = single_level(60.0, 25.0, {"18/45"});
    Rules rules = bare_rules(0.4, 0.8);
    rules.ladder.rungs = {metres(30.0)}; // saturated at 30 m nobody surfaces
    const auto error = support::thrown<NoAscent>([&] { (void)plan(dive, rules); });
    REQUIRE(error);
    const std::string message = error->what();
    CHECK(support::holds(message, "30 m (98.4 ft)"));
    CHECK(support::holds(message, "0 m"));
    CHECK(support::holds(message, "18/45"));
    CHECK(support::holds(message, "40/80"));
    CHECK(support::holds(message, "Remedy: add rungs"));
    // The compartment named is one that fails however long it waits.
    std::size_t named = 0;
    const CompartmentSet& set = compartment_set(rules.model);
    for (std::size_t i = 0; i < compartment_count; ++i)
      if (support::holds(message, "compartment " + std::to_string(i + 1) + " (half-time"))
        named = i;
    REQUIRE(support::holds(message, "compartment " + std::to_string(named + 1) + " "));
    dive.levels.front().leave_at = minutes(25.0);
    LongWalk replay(set, Place{}, equilibrium_with_air(1.01325, 0.0627));
    const Gas gas(0.18, 0.45);
    replay.move(gas, 0.0L, 60.0L, 60.0L / 18.0L);
    replay.move(gas, 60.0L, 60.0L, 25.0L - 60.0L / 18.0L);
    replay.move(gas, 60.0L, 30.0L, 30.0L / 9.0L);
    std::size_t passes = 0;
    for (Real wait = 0.0L; wait < 1e5L; wait = wait * 1.02L + 0.05L) {
      LongWalk then = replay;
      then.move(gas, 30.0L, 30.0L, wait);
      then.move(gas, 30.0L, 0.0L, 30.0L / 9.0L);
      if (then.tolerated(named, 0.8L) <= then.pressure(0.0L)) ++passes;
    }
    CHECK(passes == 0);
  }
}

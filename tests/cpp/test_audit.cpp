#include "support.hpp"

#include <upline/planning/audit.hpp>
#include <upline/solver/screen.hpp>

#include <algorithm>
#include <cmath>
#include <random>
#include <utility>

// Source: this project's definition, docs/theory.md: a finished plan is checked whole, stays and
// travel, and what is beyond the line by more than 1e-9 bar is a caution. Compared with sampling.

namespace {

using namespace upline;
using support::bare_rules;
using support::caution_of;
using support::off;
using support::Sampled;
using support::single_level;

constexpr double allowed = detail::audit_tolerance;

/// A segment of an ascent, one way or another.
struct Case {
  const CompartmentSet* set = nullptr;
  Tissues start;
  Tissues end;
  detail::SegmentEnds s;
};

Case case_of(std::mt19937& random, double from, double to, double minutes, const Gas& gas,
             const Tissues& start) {
  std::uniform_real_distribution<double> unit(0.0, 1.0);
  const Place place{};
  Case c;
  c.set = &compartment_sets[random() % compartment_sets.size()];
  const double factor_from = 0.1 + 0.8 * unit(random);
  const double factor_to = from == to ? factor_from : factor_from + 0.3 * unit(random);
  c.s = detail::segment_ends(place, gas, from, to, minutes, factor_from, factor_to);
  c.start = c.end = start;
  advance(c.end, *c.set,
          Segment{minutes, c.s.pressure_start, (c.s.pressure_end - c.s.pressure_start) / minutes},
          OpenCircuit{gas}, place.vapour);
  return c;
}

/// Any tensions whatever.
Case random_case(std::mt19937& random) {
  std::uniform_real_distribution<double> unit(0.0, 1.0);
  const double from = 1.0 + 60.0 * unit(random);
  const bool stay = unit(random) < 0.5;
  const double to = stay ? from : from * unit(random);
  const double minutes =
      stay ? 30.0 * unit(random) + 0.01 : (from - to) / (1.0 + 17.0 * unit(random));
  const double oxygen = 0.05 + 0.95 * unit(random);
  const Gas gas(oxygen, unit(random) < 0.3 ? 0.0 : (1.0 - oxygen) * unit(random));
  Tissues start;
  for (std::size_t i = 0; i < compartment_count; ++i) {
    start.nitrogen[i] = unit(random) < 0.05 ? 0.0 : 5.0 * unit(random);
    start.helium[i] = unit(random) < 0.3 ? 0.0 : 5.0 * unit(random);
  }
  return case_of(random, from, to, minutes, gas, start);
}

/// Slow, long, and on much of one gas with little in the tissues: they load on the way up, and the
/// fast ones empty again, so that the worst moment lies inside.
Case loading_case(std::mt19937& random) {
  std::uniform_real_distribution<double> unit(0.0, 1.0);
  const double from = 10.0 + 50.0 * unit(random);
  const double to = from * (0.1 + 0.8 * unit(random));
  const double minutes = (from - to) / std::pow(10.0, unit(random) - 1.5); // 0.03 to 0.3 m/min
  const double oxygen = 0.05 + 0.2 * unit(random);
  const Gas gas(oxygen, random() % 2 == 0 ? 0.0 : 1.0 - oxygen);
  const double load = std::pow(10.0, 2.0 * unit(random) - 2.0); // 0.01 to 1 bar
  Tissues start;
  for (std::size_t i = 0; i < compartment_count; ++i) {
    start.nitrogen[i] = load * (0.5 + 0.5 * unit(random));
    start.helium[i] = random() % 2 == 0 ? 0.0 : load * unit(random);
  }
  return case_of(random, from, to, minutes, gas, start);
}

/// Tolerated minus ambient pressure of one compartment a share of the way through.
double beyond(const Case& c, std::size_t i, double share) {
  const double t = share * c.s.minutes;
  const auto tension = [&](double start, const Inspired<double>& inspired, double half_time) {
    const double k = std::log(2.0) / half_time;
    const double phi = -std::expm1(-k * t);
    return start + (inspired.start - start) * phi + inspired.rate * (t - phi / k);
  };
  const double nitrogen = tension(c.start.nitrogen[i], c.s.nitrogen, c.set->nitrogen.half_time[i]);
  const double helium = tension(c.start.helium[i], c.s.helium, c.set->helium.half_time[i]);
  const double factor = c.s.factor_start + share * (c.s.factor_end - c.s.factor_start);
  return tolerated_pressure(*c.set, i, nitrogen, helium, factor) -
         (c.s.pressure_start + share * (c.s.pressure_end - c.s.pressure_start));
}

std::pair<double, double> worst_of(const Case& c, std::size_t i) {
  constexpr int samples = 300;
  std::pair<double, double> worst{-1e300, 0.0};
  for (int k = 0; k <= samples; ++k)
    worst = std::max(worst, {beyond(c, i, double(k) / samples), double(k) / samples});
  return worst;
}

/// Raises ambient pressure until the worst of compartment i is beyond the limit by `amount`. What
/// is inspired stays as it is, so that the tensions do too.
void shift_to(Case& c, std::size_t i, double amount) {
  const double shift = worst_of(c, i).first - amount;
  c.s.pressure_start += shift;
  c.s.pressure_end += shift;
}

detail::Screen::Marks marks_of(const Case& c) {
  const detail::Screen screen(*c.set);
  Lanes<double> at_start{};
  Lanes<double> at_end{};
  detail::excess(*c.set, c.start, c.s.factor_start, c.s.pressure_start, at_start);
  detail::excess(*c.set, c.end, c.s.factor_end, c.s.pressure_end, at_end);
  return c.s.pressure_start == c.s.pressure_end
             ? screen.stay(c.s, c.start, c.end, at_start, at_end, allowed)
             : screen.ascent(c.s, c.start, c.end, at_end, allowed);
}

bool marked(const detail::Screen::Marks& marks, std::size_t i) {
  return marks[static_cast<Eigen::Index>(i)];
}

/// A dive that needs stops, on a bottom gas and two more.
Dive dive_of(std::mt19937& random) {
  std::uniform_real_distribution<double> unit(0.0, 1.0);
  const double depth = 20.0 + 60.0 * unit(random);
  const double most = std::floor(140.0 / (1.01325 + depth / 10.0)) / 100.0;
  const double oxygen = std::clamp(most, 0.16, 0.4);
  Dive dive = single_level(depth, depth / 18.0 + 5.0 + 60.0 * unit(random), {});
  dive.gases.emplace_back(Gas(oxygen, unit(random) < 0.4 ? 0.0 : 0.5 * (1.0 - oxygen)));
  return dive;
}

Rules rules_of(std::mt19937& random) {
  std::uniform_real_distribution<double> unit(0.0, 1.0);
  const double high = 0.5 + 0.5 * unit(random);
  Rules rules = bare_rules(0.1 + (high - 0.1) * unit(random), high);
  rules.po2_tolerance = bar(0.2);
  rules.ladder.spacing = metres(1.0 + 3.0 * unit(random));
  return rules;
}

/// No switch raises helium.
Dive ordinary_dive(std::mt19937& random) {
  Dive dive = dive_of(random);
  if (random() % 4 != 0) dive.gases.emplace_back("50");
  if (random() % 2 != 0) dive.gases.emplace_back("O2");
  return dive;
}

/// Gases of the ascent that bring helium, and often more than is breathed at the bottom.
Dive odd_dive(std::mt19937& random) {
  std::uniform_real_distribution<double> unit(0.0, 1.0);
  Dive dive = dive_of(random);
  const double first = dive.gases.front().gas.oxygen + 0.02;
  dive.gases.emplace_back(Gas(first, (1.0 - first) * unit(random)));
  dive.gases.emplace_back(Gas(0.6, 0.4 * unit(random)));
  return dive;
}

} // namespace

TEST_SUITE("audit") {
  TEST_CASE("the screen never hides a compartment that goes beyond the limit") {
    std::mt19937 random(51);
    std::size_t hidden = 0;
    int near_ones = 0;
    constexpr int draws = 4000;
    for (int j = 0; j < draws; ++j) {
      const bool loads = j % 2 == 0;
      Case c = loads ? loading_case(random) : random_case(random);
      const std::size_t near = random() % (loads ? 5 : compartment_count);
      // Beyond by a little in one compartment, wherever the others are.
      shift_to(c, near, j % 3 == 0 ? 1e-7 : 2e-9);
      const detail::Screen::Marks marks = marks_of(c);
      near_ones += marked(marks, near) ? 1 : 0;
      for (std::size_t i = 0; i < compartment_count; ++i) {
        if (marked(marks, i)) continue;
        if (worst_of(c, i).first > allowed * (1.0 + 1e-3)) ++hidden;
      }
    }
    CHECK(hidden == 0);
    CHECK(near_ones == draws);
  }

  TEST_CASE("the screen lets most compartments within the limit go") {
    std::mt19937 random(52);
    int let_go = 0;
    int within = 0;
    constexpr int draws = 500;
    for (int j = 0; j < draws; ++j) {
      Case c = random_case(random);
      shift_to(c, static_cast<std::size_t>(j) % compartment_count, -0.3);
      const detail::Screen::Marks marks = marks_of(c);
      for (std::size_t i = 0; i < compartment_count; ++i) {
        if (worst_of(c, i).first > -0.3) continue;
        ++within;
        let_go += marked(marks, i) ? 0 : 1;
      }
    }
    CHECK(within > draws);
    CHECK(let_go > within / 2); // else it would be no screen
  }

  TEST_CASE("the worst moment is the worst of all samples") {
    std::mt19937 random(53);
    double missed = 0.0;
    int inside = 0;
    constexpr int draws = 1500;
    for (int j = 0; j < draws; ++j) {
      Case c = j % 3 == 0 ? loading_case(random) : random_case(random);
      const auto i = static_cast<std::size_t>(j) % compartment_count;
      shift_to(c, i, 0.001);
      const detail::Course course = detail::course_of_segment(*c.set, c.start, c.s, i);
      const auto found =
          detail::WorstMoment(course, allowed).between(course.at(0.0), course.at(c.s.minutes));
      REQUIRE(found.has_value());
      const auto [amount, share] = worst_of(c, i);
      if (share > 0.0 && share < 1.0) ++inside;
      const double at_found = beyond(c, i, found->t / c.s.minutes);
      missed = std::max(missed, amount - at_found);
    }
    CHECK(missed <= 1e-9);
    CHECK(inside > 10); // not only at the ends
  }

  TEST_CASE("no moment is reported where the gap stays within the bound") {
    std::mt19937 random(54);
    std::size_t invented = 0;
    constexpr int draws = 500;
    for (int j = 0; j < draws; ++j) {
      Case c = random_case(random);
      const auto i = static_cast<std::size_t>(j) % compartment_count;
      shift_to(c, i, -1e-5);
      const detail::Course course = detail::course_of_segment(*c.set, c.start, c.s, i);
      if (detail::WorstMoment(course, allowed).between(course.at(0.0), course.at(c.s.minutes)))
        ++invented;
    }
    CHECK(invented == 0);
  }

  TEST_CASE("with ordinary gases and no pause nothing is beyond the line in samples of a second") {
    std::mt19937 random(55);
    double worst = -1.0;
    std::size_t cautions = 0;
    constexpr int draws = 120;
    for (int j = 0; j < draws; ++j) {
      const Dive dive = ordinary_dive(random);
      const Plan made = plan(dive, rules_of(random));
      worst = std::max(worst, static_cast<double>(support::sampled_worst(made).beyond));
      cautions += caution_of(made, CautionCode::limit_exceeded) != nullptr ? 1 : 0;
    }
    CHECK(worst <= 1e-9);
    CHECK(worst > -1e-9); // stops are left on the line, not before it
    CHECK(cautions == 0);
  }

  TEST_CASE("the caution is there where sampling exceeds the line and only there") {
    std::mt19937 random(56);
    int exceeded = 0;
    int kept = 0;
    double off_amount = 0.0;
    double off_time = 0.0;
    constexpr int draws = 250;
    for (int j = 0; j < draws; ++j) {
      const Dive dive = odd_dive(random);
      Rules rules = rules_of(random);
      rules.switch_time = minutes(static_cast<double>(j % 6));
      if (j % 3 == 0) rules.surfacing_rate = metres_per_minute(1.0 + j % 8);
      CAPTURE(j);
      Plan made{.rules = rules};
      try {
        made = plan(dive, rules);
      } catch (const Error&) { // no ascent, or two gases for one rung
        continue;
      }
      const Caution* caution = caution_of(made, CautionCode::limit_exceeded);
      const Sampled sampled = support::sampled_worst(made);
      const double amount = static_cast<double>(sampled.beyond);
      if (caution == nullptr) {
        ++kept;
        CHECK(amount <= 1e-9 + 1e-13);
        continue;
      }
      ++exceeded;
      CHECK(caution->value > 1e-9);
      CHECK(caution->value <= 10.0); // bar
      CHECK((caution->severity == Severity::refuses) == (caution->value > 0.02));
      // Never less than a sample; more only by what lies between two samples of a second.
      off_amount = std::max(off_amount, amount - caution->value);
      CHECK(caution->value - amount <= 1e-4);
      if (amount > 1e-3) {
        const double apart = off(caution->run_time, static_cast<double>(sampled.run_time));
        // A flat top, or two stops as bad as each other, may be anywhere; the amounts agree then.
        if (off(caution->value, amount) > 1e-6) off_time = std::max(off_time, apart);
      }
      // What it says of itself is true: that compartment, there and then.
      const CompartmentSet& set = compartment_set(rules.model);
      support::LongWalk replay(set, Place{}, support::start_of(made));
      for (const Row& row : made.rows) {
        const double until = std::min(row.ends.base(), caution->run_time);
        if (until <= row.begins.base()) break;
        const double share = (until - row.begins.base()) / (row.ends - row.begins).base();
        const double depth = row.from.base() + share * (row.to - row.from).base();
        replay.move(row.gas, row.from.base(), depth, until - row.begins.base());
      }
      const auto factor = support::line_factor(made, std::max(caution->depth, 1e-12));
      const auto there =
          replay.tolerated(caution->compartment, factor) - replay.pressure(caution->depth);
      CHECK(off(static_cast<double>(there), caution->value) <= 1e-9);
    }
    CHECK(exceeded >= 10);
    CHECK(kept >= 10);
    CHECK(off_amount <= 1e-9);
    CHECK(off_time <= 0.05);
  }

  TEST_CASE("a long pause at a deep switch exceeds a line drawn without it and says so") {
    // The pause counts as no bottom time: the anchor, drawn without any pause, stays near the
    // surface, and the ascent from the last rung touches the limit deeper than that.
    Dive dive = single_level(31.0, 19.0, {"34/8", "41/3@23"});
    Rules rules = bare_rules(0.44, 0.93);
    CHECK(caution_of(plan(dive, rules), CautionCode::limit_exceeded) == nullptr);
    rules.switch_time = minutes(17.0);
    const Plan made = plan(dive, rules);
    const Caution* caution = caution_of(made, CautionCode::limit_exceeded);
    REQUIRE(caution != nullptr);
    CHECK(caution->severity == Severity::caution);
    CHECK_FALSE(made.refused());
    CHECK(caution->value > 0.005);
    CHECK(caution->value < 0.02);
    CHECK(off(caution->depth, made.anchor.value().base()) <= 1e-6);
    CHECK(off(caution->value, static_cast<double>(support::sampled_worst(made).beyond)) <= 1e-9);
  }

  TEST_CASE("an ascent between levels is checked on its own line") {
    Dive dive = single_level(31.0, 19.0, {"34/8", "41/3@23"});
    Rules rules = bare_rules(0.44, 0.93);
    rules.switch_time = minutes(17.0);
    const Plan alone = plan(dive, rules);
    dive.levels.push_back({metres(1.0), minutes(80.0)}); // the same ascent, to 1 m
    const Plan made = plan(dive, rules);
    const Caution* caution = caution_of(made, CautionCode::limit_exceeded);
    REQUIRE(caution != nullptr);
    const Caution* wanted = caution_of(alone, CautionCode::limit_exceeded);
    REQUIRE(wanted != nullptr);
    CHECK(off(caution->value, wanted->value) <= 1e-9);
    CHECK(off(caution->depth, wanted->depth) <= 1e-6);
    CHECK(caution->run_time < 80.0);
    rules.switch_time = minutes(0.0);
    CHECK(caution_of(plan(dive, rules), CautionCode::limit_exceeded) == nullptr);
  }

  TEST_CASE("beyond the line by more than 0.02 bar a plan is refused") {
    const Dive dive = single_level(41.0, 12.0, {"27/6", "30@36"});
    Rules rules = bare_rules(0.82, 0.88);
    rules.switch_time = minutes(1.0);
    const Plan made = plan(dive, rules);
    const Caution* caution = caution_of(made, CautionCode::limit_exceeded);
    REQUIRE(caution != nullptr);
    CHECK(caution->value > 0.02);
    CHECK(caution->severity == Severity::refuses);
    CHECK(made.refused());
    CHECK(off(caution->value, static_cast<double>(support::sampled_worst(made).beyond)) <= 1e-9);
  }

  TEST_CASE("the amount reported is the largest of tolerated minus ambient pressure") {
    // Helium comes back at the switch, and the worst moment lies inside the stay.
    const Dive dive = single_level(50.0, 67.0, {"23", "26/66"});
    Rules rules = bare_rules(0.19, 0.85);
    rules.switch_time = minutes(3.0);
    const Plan made = plan(dive, rules);
    const Caution* caution = caution_of(made, CautionCode::limit_exceeded);
    REQUIRE(caution != nullptr);
    const Sampled sampled = support::sampled_worst(made);
    CHECK(off(caution->depth, static_cast<double>(sampled.depth)) <= 1e-6);
    const double amount = static_cast<double>(sampled.beyond);
    CHECK(amount - caution->value <= 1e-9); // no sample is worse,
    CHECK(caution->value - amount <= 1e-6); // and a second from the flat top little better
  }

  TEST_CASE("slow surfacing is not credited and what it loads is seen") {
    // Tested at 9 m/min, made at 0.5: the ascent takes 12 min from 6 m.
    Dive dive = single_level(57.0, 25.0, {"18/45", "50"});
    Rules rules = support::quince_rules();
    const Plan fast = plan(dive, rules);
    rules.surfacing_rate = metres_per_minute(0.5);
    const Plan slow = plan(dive, rules);
    REQUIRE(slow.stops.size() == fast.stops.size());
    for (std::size_t j = 0; j < slow.stops.size(); ++j)
      CHECK(slow.stops[j].departs == fast.stops[j].departs);
    CHECK(off((slow.run_time - fast.run_time).base(), 6.0 / 0.5 - 6.0 / 9.0) <= 1e-12);
    CHECK(slow.surfacing_fraction < fast.surfacing_fraction);
  }
}

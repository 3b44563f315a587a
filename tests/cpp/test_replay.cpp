#include "paths.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <random>
#include <string>
#include <utility>
#include <vector>

// Source: this project's definition, docs/theory.md, section "Replay". Compared with the planner's
// own plans and with sampling by an independent replay.

namespace {

using namespace upline;
using support::bare_rules;
using support::caution_of;
using support::holds;
using support::off;

/// Waypoints as (run time, depth), on one gas.
Profile path(const std::vector<std::pair<double, double>>& points, const Gas& gas) {
  Profile profile;
  for (const auto& [at, depth] : points) profile.waypoints.push_back({minutes(at), metres(depth)});
  profile.waypoints.front().gas = gas;
  return profile;
}

/// A way up that nobody planned: crawls, rushes, stretches down again, stops too short.
Profile careless(std::mt19937& random) {
  std::uniform_real_distribution<double> unit(0.0, 1.0);
  const double bottom = 20.0 + 50.0 * unit(random);
  // Those who crawl leave the bottom soon, and what they take up on the way makes the worst moment.
  const bool crawls = random() % 2 == 0;
  double clock = bottom / 18.0 + (crawls ? 1.0 : 40.0) * unit(random) + 1.0;
  std::vector<std::pair<double, double>> points{
      {0.0, 0.0}, {bottom / 18.0, bottom}, {clock, bottom}};
  double depth = bottom;
  for (int j = 0; depth > 0.0; ++j) {
    double next = depth * unit(random) - 2.0;
    if (j % 4 == 2) next = std::min(bottom, depth + 6.0 * unit(random));
    if (next < 1.0 || j > 8) next = 0.0;
    if (crawls && j == 0) next = bottom * (0.1 + 0.3 * unit(random));
    const double rate = std::pow(10.0, crawls && j == 0 ? unit(random) - 1.0 : 1.4 * unit(random));
    clock += std::abs(depth - next) / rate + 1e-3;
    points.emplace_back(clock, next);
    depth = next;
    if (depth > 0.0 && j % 3 == 1) points.emplace_back(clock += 6.0 * unit(random) + 1e-3, depth);
  }
  const double oxygen = 0.18 + 0.1 * unit(random);
  Profile profile =
      path(points, Gas(oxygen, random() % 2 == 0 ? 0.0 : (1.0 - oxygen) * unit(random)));
  const std::size_t leaves = 2;
  if (random() % 2 == 0) profile.bottom_left = profile.waypoints[leaves].at;
  if (!crawls) profile.waypoints[leaves + 1].gas = Gas(0.5, 0.0);
  return profile;
}

TEST_SUITE("replay") {
  TEST_CASE("an exact plan lies on its own line and has its own anchor") {
    double worst = 0.0;
    double anchors = 0.0;
    double fractions = 0.0;
    for (const Plan& made : support::drawn_plans(71, 60)) {
      const Replay r = replay(profile_of(made), made.rules);
      worst = std::max(worst, std::abs(r.margin()));
      fractions = std::max(fractions, off(r.surfacing_fraction, made.surfacing_fraction));
      CHECK(r.surfacing_compartment == made.surfacing_compartment);
      REQUIRE(r.anchor.has_value());
      anchors = std::max(anchors, off(r.anchor->base(), made.anchor.value().base()));
      CHECK(off(r.judged_from.base(), made.bottom_time.base()) <= 1e-9);
      CHECK(off(r.run_time.base(), made.run_time.base()) <= 1e-9);
      CHECK(off(r.oxygen.cns, made.oxygen.cns) <= 1e-12);
      CHECK(r.notes.empty());
      CHECK(caution_of(r, CautionCode::limit_exceeded) == nullptr);
    }
    CHECK(worst <= 1e-9);
    CHECK(anchors <= 1e-9);
    CHECK(fractions <= 1e-12);
  }

  TEST_CASE("a log of every second has the same anchor without being told the bottom time") {
    double anchors = 0.0;
    double margins = 0.0;
    for (const Plan& made : support::drawn_plans(72, 6)) {
      const Replay r = replay(support::log_of(made), made.rules);
      REQUIRE(r.anchor.has_value());
      anchors = std::max(anchors, off(r.anchor->base(), made.anchor.value().base()));
      margins = std::max(margins, std::abs(r.margin()));
      CHECK(off(r.judged_from.base(), made.bottom_time.base()) <= 1e-9);
    }
    CHECK(anchors <= 1e-6);
    CHECK(margins <= 1e-6);
  }

  TEST_CASE("no sample of a careless ascent is worse than the extremum, which is true of itself") {
    std::mt19937 random(73);
    double missed = -1.0;
    double invented = 0.0;
    int broken = 0;
    int inside = 0;
    for (int j = 0; j < 100; ++j) {
      CAPTURE(j);
      const Rules rules = bare_rules(0.3 + 0.01 * (j % 30), 0.6 + 0.01 * (j % 30));
      const Replay r = replay(careless(random), rules);
      const support::Sampler sampler(r);
      const support::SampledReplay whole = sampler.worst(1.0L / 60.0L);
      const support::Real worst = std::max(whole.before, whole.at_surface);
      missed = std::max(missed, r.margin() + static_cast<double>(worst));
      CHECK(off(r.surfacing.pressure, -static_cast<double>(whole.at_surface)) <= 1e-10);
      // Around the moment it names, in steps so fine that a flat top cannot hide.
      const support::Real at = r.tightest.at.base();
      const support::SampledReplay near =
          sampler.worst(1.0L / 6000.0L, at - 1.0L / 60.0L, at + 1.0L / 60.0L);
      if (r.tightest.pressure <= r.surfacing.pressure)
        missed = std::max(missed, r.tightest.pressure + static_cast<double>(near.before));
      const double claimed = -r.tightest.pressure;
      invented = std::max(invented, off(static_cast<double>(sampler.beyond_at(at)), claimed));
      inside += std::none_of(r.rows.begin(), r.rows.end(), [&](const Row& row) {
        return off(row.begins.base(), r.tightest.at.base()) <= 1e-3 ||
               off(row.ends.base(), r.tightest.at.base()) <= 1e-3;
      });
      broken += r.margin() < -1e-3 ? 1 : 0;
      const Caution* caution = caution_of(r, CautionCode::limit_exceeded);
      REQUIRE((caution != nullptr) == (r.margin() < -1e-9));
      if (caution == nullptr) continue;
      CHECK(off(caution->value, -r.margin()) <= 1e-15);
      CHECK((caution->severity == Severity::refuses) == (caution->value > 0.02));
    }
    CHECK(missed <= 1e-9);
    CHECK(invented <= 1e-9);
    CHECK(broken >= 20);
    CHECK(inside >= 3);
  }

  TEST_CASE("metres of ceiling and fraction are those of the tightest moment") {
    // Air to 40 m for 20 min and straight up: supersaturated at the surface, and beyond.
    const Replay r =
        replay(path({{0, 0}, {2, 40}, {20, 40}, {24, 4}, {25, 3}, {30, 0}}, Gas(0.21, 0.0)),
               bare_rules(0.3, 0.7));
    REQUIRE(r.anchor.has_value());
    const LimitLine line{r.rules.factors, r.anchor->base()};
    const Place place{};
    const support::LongWalk walk = support::Sampler(r).tissues_at(r.tightest.at.base());
    const double depth = r.tightest.depth.base();
    const std::size_t i = r.tightest.compartment;
    const CompartmentSet& set = compartment_set(r.rules.model);
    const double fraction =
        supersaturation_fraction(set, i, static_cast<double>(walk.nitrogen(i)),
                                 static_cast<double>(walk.helium(i)), place.pressure(depth));
    CHECK(off(r.tightest.fraction, line.factor_at(depth) - fraction) <= 1e-9);
    // The ceiling is where the worst compartment just meets the line: it tolerates no more there.
    const double ceiling = depth - r.tightest.metres;
    CHECK(ceiling > depth);
    CHECK(off(static_cast<double>(walk.beyond(ceiling, line.factor_at(ceiling))), 0.0) <= 1e-9);
    const auto at_surface = leading_fraction(set, r.end.tissues, place.surface);
    CHECK(r.surfacing_fraction == at_surface.value);
    CHECK(off(r.surfacing.fraction,
              0.7 - supersaturation_fraction(set, r.surfacing.compartment,
                                             r.end.tissues.nitrogen[r.surfacing.compartment],
                                             r.end.tissues.helium[r.surfacing.compartment],
                                             place.surface)) <= 1e-12);
  }

  TEST_CASE("the load of a stop names the two compartments nearest to the line at the next") {
    const Plan made = plan(support::quince(), support::quince_rules());
    const Replay r = replay(profile_of(made), made.rules);
    REQUIRE(r.stops.size() == made.stops.size());
    const LimitLine line{r.rules.factors, r.anchor.value().base()};
    for (std::size_t j = 0; j < r.stops.size(); ++j) {
      const StopLoad& stop = r.stops[j];
      CAPTURE(j);
      CHECK(stop.depth == made.stops[j].depth);
      CHECK(off(stop.arrives.base(), made.stops[j].arrives.base()) <= 1e-9);
      CHECK(off(stop.departs.base(), made.stops[j].departs.base()) <= 1e-9);
      CHECK(stop.gas == made.stops[j].gas);
      const bool last = j + 1 == r.stops.size();
      const double depth = last ? 0.0 : made.stops[j + 1].depth.base();
      const Minutes arrives = last ? made.run_time : made.stops[j + 1].arrives;
      const support::LongWalk walk = support::Sampler(r).tissues_at(arrives.base());
      std::array<std::pair<double, std::size_t>, compartment_count> margins;
      for (std::size_t i = 0; i < compartment_count; ++i)
        margins[i] = {
            static_cast<double>(walk.pressure(depth) - walk.tolerated(i, line.factor_at(depth))),
            i};
      std::sort(margins.begin(), margins.end());
      CHECK(stop.controlling.compartment == margins[0].second);
      CHECK(off(stop.controlling.value, margins[0].first) <= 1e-9);
      CHECK(stop.runner_up.compartment == margins[1].second);
      CHECK(off(stop.runner_up.value, margins[1].first) <= 1e-9);
      CHECK(off(stop.gap(), margins[1].first - margins[0].first) <= 1e-9);
    }
  }

  TEST_CASE("what breaks a limit is reported and never refused") {
    const Rules rules = bare_rules(0.4, 0.8);
    const auto severity = [&](const Profile& profile, CautionCode code) {
      const Replay r = replay(profile, rules);
      const Caution* caution = caution_of(r, code);
      REQUIRE(caution != nullptr);
      return caution->severity;
    };
    const auto there_and_back = [](double depth, double time) {
      return std::vector<std::pair<double, double>>{
          {0, 0}, {depth / 18.0, depth}, {time, depth}, {time + depth / 9.0, 0}};
    };
    CHECK(severity(path(there_and_back(30, 10), Gas(1.0, 0.0)), CautionCode::po2_above_limit) ==
          Severity::refuses);
    CHECK(severity(path(there_and_back(60, 10), Gas(0.1, 0.7)), CautionCode::low_po2) ==
          Severity::refuses);
    CHECK(severity(path(there_and_back(45, 40), Gas(0.21, 0.0)), CautionCode::limit_exceeded) ==
          Severity::refuses);
    // Oxygen taken up too deep on the way.
    Profile rich = path({{0, 0}, {2, 36}, {10, 36}, {12, 18}, {14, 18}, {16, 0}}, Gas(0.3, 0.0));
    rich.waypoints[3].gas = Gas(1.0, 0.0);
    CHECK(severity(rich, CautionCode::po2_above_limit) == Severity::refuses);
    // Nothing of the kind where nothing is broken.
    const Replay sound = replay(path(there_and_back(12, 20), Gas(0.32, 0.0)), rules);
    for (const Caution& caution : sound.cautions) CHECK(caution.severity != Severity::refuses);
    CHECK(sound.margin() > 0.1);
  }

  TEST_CASE("a waypoint that cannot be is named") {
    const Rules rules = bare_rules(0.4, 0.8);
    const auto error_of = [&](const Profile& profile) {
      const auto error = support::thrown<InvalidInput>([&] { (void)replay(profile, rules); });
      REQUIRE(error.has_value());
      return std::string(error->what());
    };
    const Gas air(0.21, 0.0);
    CHECK(holds(error_of(path({{0, 0}, {2, 30}, {1.5, 30}, {9, 0}}, air)), "waypoint 3"));
    CHECK(holds(error_of(path({{0, 0}, {2, 30}, {2, 20}, {9, 0}}, air)), "waypoint 3"));
    CHECK(holds(error_of(path({{0, 0}, {2, 351}, {9, 0}}, air)), "waypoint 2 depth"));
    CHECK(holds(error_of(path({{0, 0}, {2, 30}, {9, -1.5}}, air)), "waypoint 3 depth"));
    CHECK(holds(error_of(path({{-1, 0}, {2, 30}, {9, 0}}, air)), "waypoint 1 run time"));
    CHECK(holds(error_of(path({{0, 0}, {std::nan(""), 30}, {9, 0}}, air)), "waypoint 2 run time"));
    CHECK(holds(error_of(path({{0, 0}, {2, std::nan("")}, {9, 0}}, air)), "waypoint 2 depth"));
    CHECK(holds(error_of(path({{0, 0}}, air)), "1 waypoints"));
    Profile nameless = path({{0, 0}, {2, 30}, {9, 0}}, air);
    nameless.waypoints.front().gas.reset();
    CHECK(holds(error_of(nameless), "gas"));
    Profile left = path({{0, 0}, {2, 30}, {9, 0}}, air);
    left.bottom_left = minutes(9.0);
    CHECK(holds(error_of(left), "bottom_left"));
  }

  TEST_CASE("what a log lacks at its ends is added and said") {
    const Rules rules = bare_rules(0.4, 0.8);
    const Gas air(0.21, 0.0);
    const auto said = [&](const Profile& profile) {
      const Replay r = replay(profile, rules);
      REQUIRE(r.notes.size() == 1);
      return std::pair(r, r.notes.front());
    };
    const auto [late, late_note] = said(path({{3, 27}, {20, 27}, {23, 0}}, air));
    CHECK(holds(late_note, "begins at 27 m"));
    CHECK(late.rows.front().from == metres(0.0));
    CHECK(late.rows.front().ends == minutes(3.0));
    const auto [begun, begun_note] = said(path({{0, 27}, {20, 27}, {23, 0}}, air));
    CHECK(holds(begun_note, "run time 0"));
    CHECK(begun.rows.front().from == metres(27.0));
    const auto [open, open_note] = said(path({{0, 0}, {2, 27}, {20, 27}, {22, 9}}, air));
    CHECK(holds(open_note, "ends at 9 m"));
    CHECK(off(open.run_time.base(), 23.0) <= 1e-12);
    CHECK(open.rows.back().to == metres(0.0));
    const auto [flown, flown_note] = said(path({{0, -0.3}, {2, 27}, {20, 27}, {23, 0}}, air));
    CHECK(holds(flown_note, "above the surface"));
  }

  TEST_CASE("a path with no ascent, or hardly any, is replayed") {
    const Rules rules = bare_rules(0.4, 0.8);
    const Gas air(0.21, 0.0);
    const Replay swim = replay(path({{0, 0}, {5, 0}}, air), rules);
    CHECK(swim.margin() > 0.0);
    CHECK(swim.surfacing_fraction < 0.0); // at rest
    CHECK_FALSE(swim.anchor.has_value());
    Profile late = path({{0, 0}, {2, 30}, {60, 30}, {64, 0}}, air);
    late.bottom_left = minutes(64.0 - 1e-10); // nothing is left after it
    CHECK(replay(late, rules).judged_from == minutes(60.0));
    const auto error = support::thrown<InvalidInput>([&] {
      (void)replay(path({{0, 0}, {0, 0}}, air), rules);
    });
    REQUIRE(error.has_value());
    CHECK(holds(error->what(), "run time 0"));
  }

  TEST_CASE("the bottom may be left inside a stretch") {
    const Rules rules = bare_rules(0.3, 0.7);
    const Gas air(0.21, 0.0);
    Profile whole = path({{0, 0}, {2, 30}, {28, 30}, {32, 0}}, air);
    whole.bottom_left = minutes(22.5);
    const Replay inside = replay(whole, rules);
    Profile split = path({{0, 0}, {2, 30}, {22.5, 30}, {28, 30}, {32, 0}}, air);
    split.bottom_left = minutes(22.5);
    const Replay at_point = replay(split, rules);
    CHECK(inside.judged_from == minutes(22.5));
    REQUIRE(inside.anchor.has_value());
    CHECK(off(inside.anchor->base(), at_point.anchor.value().base()) <= 1e-9);
    CHECK(off(inside.margin(), at_point.margin()) <= 1e-12);
    // A later direct ascent has a deeper anchor.
    whole.bottom_left = minutes(28.0);
    CHECK(replay(whole, rules).anchor.value() > inside.anchor.value());
  }
}

} // namespace

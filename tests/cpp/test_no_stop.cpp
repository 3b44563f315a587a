#include "support.hpp"

#include <upline/no_stop.hpp>

#include <algorithm>
#include <cmath>
#include <random>
#include <string>

// Sources: validation/data/reference_no_stop.csv; the rule is this project's definition,
// docs/theory.md, section "Ascent".

namespace {

using namespace upline;
using support::bare_rules;
using support::off;
using support::single_level;

/// Whether the plan of a bottom time has a wait anywhere.
bool waits(Dive dive, const Rules& rules, double bottom_time) {
  dive.levels.front().leave_at = minutes(bottom_time);
  const Plan made = plan(dive, rules);
  return std::any_of(made.rows.begin(), made.rows.end(),
                     [](const Row& row) { return row.held_by.has_value(); });
}

} // namespace

TEST_SUITE("no_stop") {
  TEST_CASE("reference limits") {
    for (const support::Record& row : support::table("reference_no_stop")) {
      CAPTURE(row.text("depth_m"));
      Dive dive = single_level(row.number("depth_m"), 0.0, {});
      dive.gases.push_back(GasChoice::parse(row.text("gas")));
      const Rules rules{.factors = GradientFactors::parse(row.text("gf_percent"))};
      CHECK(off(no_stop_limit(dive, rules), row.number("limit_min")) <= row.number("tol_min"));
    }
  }

  TEST_CASE("at the limit no wait is needed and just after it one is") {
    std::mt19937 random(71);
    std::uniform_real_distribution<double> unit(0.0, 1.0);
    constexpr int draws = 60;
    int finite = 0;
    for (int j = 0; j < draws; ++j) {
      CAPTURE(j);
      const double depth = 12.0 + 40.0 * unit(random);
      const double oxygen = std::floor(140.0 / (1.01325 + depth / 10.0)) / 100.0;
      Dive dive = single_level(depth, 0.0, {});
      dive.gases.emplace_back(Gas(std::clamp(oxygen, 0.2, 0.6), random() % 3 == 0 ? 0.3 : 0.0));
      if (random() % 2 == 0) dive.gases.emplace_back("80");
      const double high = 0.6 + 0.4 * unit(random);
      Rules rules = bare_rules(0.2 + (high - 0.2) * unit(random), high);
      rules.switch_time = minutes(random() % 2 == 0 ? 0.0 : 2.0);
      const double limit = no_stop_limit(dive, rules);
      if (limit == 0.0) {
        CHECK(waits(dive, rules, depth / 18.0));
        continue;
      }
      if (std::isinf(limit)) continue;
      ++finite;
      CHECK(limit >= depth / 18.0);
      CHECK_FALSE(waits(dive, rules, limit));
      CHECK(waits(dive, rules, limit + 2e-6));
    }
    CHECK(finite > draws / 2);
  }

  TEST_CASE("shallow enough there is no limit") {
    const Rules rules = bare_rules(0.4, 0.85);
    CHECK(std::isinf(no_stop_limit(single_level(5.0, 0.0, {"air"}), rules)));
    CHECK(no_stop_limit(single_level(5.0, 0.0, {"air"}), rules) > 0.0);
    CHECK(std::isinf(no_stop_limit(single_level(6.0, 0.0, {"O2"}), [] {
      Rules rich = bare_rules(0.4, 0.85);
      rich.max_po2 = bar(1.6);
      return rich;
    }())));
  }

  TEST_CASE("where even the shortest stay needs a wait the limit is zero") {
    Dive dive = single_level(60.0, 40.0, {"18/45"});
    const Rules rules = bare_rules(0.2, 0.6);
    dive.start = plan(dive, rules).end; // straight down again
    CHECK(no_stop_limit(dive, rules) == 0.0);
  }

  TEST_CASE("the limit falls with depth and rises with the factor and with oxygen") {
    const auto limit = [](double depth, const GasChoice& gas, double factor) {
      return no_stop_limit(single_level(depth, 0.0, {gas}), bare_rules(0.3, factor));
    };
    CHECK(limit(20.0, "32", 0.85) > limit(21.0, "32", 0.85));
    CHECK(limit(20.0, "32", 0.90) > limit(20.0, "32", 0.85));
    CHECK(limit(20.0, "36", 0.85) > limit(20.0, "32", 0.85));
  }

  TEST_CASE("the leave time of the dive is not used and rounding plays no part") {
    Dive dive = single_level(30.0, 0.0, {"32"});
    Rules rules = bare_rules(0.4, 0.85);
    const double limit = no_stop_limit(dive, rules);
    dive.levels.front().leave_at = minutes(500.0);
    CHECK(no_stop_limit(dive, rules) == limit);
    rules.rounding = Rounding::departure;
    rules.resolution = minutes(10.0);
    CHECK(no_stop_limit(dive, rules) == limit);
  }

  TEST_CASE("the gas in use named again costs no pause here either") {
    Rules rules = bare_rules(0.4, 0.85);
    rules.switch_time = minutes(5.0);
    CHECK(off(no_stop_limit(single_level(30.0, 0.0, {"32", "32@10"}), rules),
              no_stop_limit(single_level(30.0, 0.0, {"32"}), rules)) <= 2e-6);
  }

  TEST_CASE("what cannot be planned has no limit either") {
    const Rules rules = bare_rules(0.4, 0.85);
    Dive two = single_level(30.0, 20.0, {"32"});
    two.levels.push_back({metres(20.0), minutes(40.0)});
    CHECK_THROWS_AS((void)no_stop_limit(two, rules), InvalidInput);
    CHECK_THROWS_AS((void)no_stop_limit(single_level(45.0, 0.0, {"32"}), rules), InvalidInput);
    CHECK_THROWS_AS((void)no_stop_limit(single_level(10.0, 0.0, {"10/70"}), rules), InvalidInput);
    CHECK_THROWS_AS((void)no_stop_limit(single_level(-1.0, 0.0, {"32"}), rules), InvalidInput);
    CHECK_THROWS_AS((void)no_stop_limit(single_level(30.0, 0.0, {}), rules), InvalidInput);
  }
}

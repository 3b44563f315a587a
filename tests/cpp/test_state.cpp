#include "support.hpp"

#include <upline/plan.hpp>
#include <upline/state.hpp>

#include <algorithm>
#include <cmath>
#include <string>

// Sources: this project's definition, docs/theory.md, sections "Loading" and "Oxygen". The 90-min
// half-time of the CNS sum at the surface is common practice, no source (NOAA itself sums over 24
// h). The second dive of reference_rows.csv is checked in test_plan.cpp.

namespace {

using namespace upline;
using support::bare_rules;
using support::off;
using support::quince;
using support::quince_rules;
using support::single_level;

const Plan& demo() {
  static const Plan made = plan(quince(), quince_rules());
  return made;
}

double largest_difference(const Tissues& x, const Tissues& y) {
  double largest = 0.0;
  for (std::size_t i = 0; i < compartment_count; ++i)
    largest = std::max({largest, off(x.nitrogen[i], y.nitrogen[i]), off(x.helium[i], y.helium[i])});
  return largest;
}

template <class F>
std::string refused_field(F&& change) {
  State state = demo().end;
  change(state);
  const auto error = support::thrown<InvalidInput>([&] { (void)rest(state, minutes(10.0)); });
  return error ? error->field() : "nothing thrown";
}

} // namespace

TEST_SUITE("state") {
  TEST_CASE("a plan ends in the state that the independent replay ends in") {
    support::LongWalk replay(compartment_set("ZH-L16C"), Place{}, support::start_of(demo()));
    for (const Row& row : demo().rows)
      replay.move(row.gas, row.from.base(), row.to.base(), (row.ends - row.begins).base());
    for (std::size_t i = 0; i < compartment_count; ++i) {
      CAPTURE(i);
      CHECK(off(demo().end.tissues.nitrogen[i], static_cast<double>(replay.nitrogen(i))) <= 1e-12);
      CHECK(off(demo().end.tissues.helium[i], static_cast<double>(replay.helium(i))) <= 1e-12);
    }
  }

  TEST_CASE("no rest changes nothing") { CHECK(rest(demo().end, minutes(0.0)) == demo().end); }

  TEST_CASE("a rest in two parts is the rest") {
    const State once = rest(demo().end, minutes(90.0));
    const State twice = rest(rest(demo().end, minutes(31.0)), minutes(59.0));
    CHECK(largest_difference(once.tissues, twice.tissues) <= 1e-14);
    CHECK(off(once.oxygen.cns, twice.oxygen.cns) <= 1e-15);
    CHECK(off(once.clock, twice.clock) <= 1e-12);
    CHECK(once.oxygen.last_day == twice.oxygen.last_day);
  }

  TEST_CASE("rest ends at equilibrium with air") {
    State state = rest(demo().end, minutes(100000.0));
    const Tissues at_rest = equilibrium_with_air(1.01325, 0.0627);
    CHECK(largest_difference(state.tissues, at_rest) <= 1e-12);
    // And the same dive after it is the first dive again.
    Dive again = quince();
    again.start = state;
    const Plan made = plan(again, quince_rules());
    CHECK(off(made.run_time.base(), demo().run_time.base()) <= 1e-9);
    CHECK(off(made.oxygen.cns_total, demo().oxygen.cns) <= 1e-12);
  }

  TEST_CASE("a dive after a short rest is longer and after a longer one shorter") {
    double last = 1e9;
    for (const double interval : {0.0, 30.0, 90.0, 300.0, 1440.0}) {
      CAPTURE(interval);
      Dive second = quince();
      second.start = rest(demo().end, minutes(interval));
      const double run_time = plan(second, quince_rules()).run_time.base();
      CHECK(run_time < last);
      CHECK(run_time > demo().run_time.base());
      last = run_time;
    }
  }

  TEST_CASE("the CNS sum halves every 90 min at the surface and the plain sum does not") {
    const double cns = demo().oxygen.cns;
    const State state = rest(demo().end, minutes(90.0));
    CHECK(off(state.oxygen.cns, cns / 2.0) <= 1e-15);
    CHECK(state.oxygen.sum().cns == cns);
    // exp(-0.0077 t), as practice writes it, is the same to its two digits.
    CHECK(off(std::exp2(-1.0 / cns_half_time), std::exp(-0.0077)) <= 5e-5);
    Dive second = quince();
    second.start = state;
    const Plan made = plan(second, quince_rules());
    CHECK(off(made.oxygen.cns_total, cns / 2.0 + made.oxygen.cns) <= 1e-14);
    CHECK(off(made.oxygen.cns_total_without_recovery, cns + made.oxygen.cns) <= 1e-14);
    CHECK(off(made.oxygen.otu_day, demo().oxygen.otu + made.oxygen.otu) <= 1e-11);
    double day_share = demo().oxygen.day_share; // and what the rows of this dive add
    for (const Row& row : made.rows)
      day_share += oxygen_share(
          day_exposure, OxygenSegment{(row.ends - row.begins).base(),
                                      row.gas.oxygen * made.end.place.pressure(row.from.base()),
                                      row.gas.oxygen * made.end.place.pressure(row.to.base())});
    CHECK(off(made.oxygen.day_share, day_share) <= 1e-13);
  }

  TEST_CASE("what is a day old is forgotten and nothing younger") {
    CHECK(rest(demo().end, minutes(1439.9)).oxygen.last_day.size() == 1);
    CHECK(rest(demo().end, minutes(1440.0)).oxygen.last_day.empty());
    // A dive that ends after the day is over forgets too.
    Dive second = single_level(30.0, 100.0, {"28", "50"});
    second.start = rest(demo().end, minutes(1400.0));
    REQUIRE(second.start->oxygen.last_day.size() == 1);
    const Plan made = plan(second, quince_rules());
    CHECK(made.end.oxygen.last_day.size() == 1);
    CHECK(made.oxygen.cns_total_without_recovery == made.oxygen.cns);
  }

  TEST_CASE("oxygen at the surface empties faster and counts as a dose") {
    const State air = rest(demo().end, minutes(60.0));
    const State rich = rest(demo().end, minutes(60.0), Gas(1.0));
    for (std::size_t i = 0; i < compartment_count; ++i)
      CHECK(rich.tissues.nitrogen[i] < air.tissues.nitrogen[i]);
    CHECK(largest_difference(rich.tissues, air.tissues) > 0.1);
    // 60 min at 1.01325 bar: 60 / (300 - 60 x 0.1325) of the limit, and no recovery meanwhile.
    CHECK(off(rich.oxygen.cns - demo().end.oxygen.cns, 60.0 / (300.0 - 600.0 * 0.01325)) <= 1e-14);
    CHECK(rich.oxygen.last_day.size() == 2);
    CHECK(rich.oxygen.last_day.back().otu > 60.0);
    CHECK(rich.oxygen.last_day.back().ended == rich.clock);
  }

  TEST_CASE("a rest at another place breathes that place's pressure") {
    Environment high;
    high.altitude = metres(2000.0);
    const State moved = rest(demo().end, minutes(100000.0), Gas(), high);
    CHECK(moved.place == high.place());
    CHECK(largest_difference(moved.tissues, equilibrium_with_air(high.place().surface, 0.0627)) <=
          1e-12);
    Dive dive = single_level(30.0, 20.0, {"28"});
    dive.environment = high;
    dive.start = moved;
    CHECK(support::caution_of(plan(dive, bare_rules(0.4, 0.8)), CautionCode::place_changed) ==
          nullptr);
  }

  TEST_CASE("the clock of a series runs on") {
    const State state = rest(demo().end, minutes(90.0));
    CHECK(off(state.clock, demo().run_time.base() + 90.0) <= 1e-12);
    Dive second = quince();
    second.start = state;
    const Plan made = plan(second, quince_rules());
    CHECK(off(made.end.clock, state.clock + made.run_time.base()) <= 1e-12);
    CHECK(made.rows.front().begins.base() == 0.0); // run times are those of the dive
    CHECK(made.end.oxygen.last_day.back().ended == made.end.clock);
  }

  TEST_CASE("a state goes with other limits but not with other half-times") {
    Dive second = quince();
    second.start = rest(demo().end, minutes(90.0));
    Rules rules = quince_rules();
    rules.model = "ZH-L16B";
    CHECK_NOTHROW((void)plan(second, rules));
    rules.model = "ZH-L16C/5min";
    const auto error = support::thrown<InvalidInput>([&] { (void)plan(second, rules); });
    REQUIRE(error);
    CHECK(error->field() == "start");
    CHECK(support::holds(error->value(), "ZH-L16C"));
    CHECK(support::holds(error->allowed(), "ZH-L16C/5min"));
  }

  TEST_CASE("a state that cannot be meant is refused by its field") {
    const double nan = std::nan("");
    CHECK(refused_field([](State&) {}) == "nothing thrown");
    CHECK(refused_field([](State& s) { s.model = "ours"; }) == "model");
    CHECK(refused_field([&](State& s) { s.tissues.nitrogen[3] = nan; }) == "state tension");
    CHECK(refused_field([](State& s) { s.tissues.helium[15] = -0.1; }) == "state tension");
    CHECK(refused_field([](State& s) { s.clock = -1.0; }) == "state clock");
    CHECK(refused_field([](State& s) { s.place.surface = 0.3; }) == "state surface pressure");
    CHECK(refused_field([](State& s) { s.place.per_metre = 1.0; }) == "state pressure of a metre");
    CHECK(refused_field([](State& s) { s.place.vapour = -0.1; }) == "state vapour");
    CHECK(refused_field([&](State& s) { s.oxygen.cns = nan; }) == "state CNS sum");
    CHECK(refused_field([](State& s) { s.oxygen.last_day.front().otu = -1.0; }) ==
          "state oxygen exposure");
    Dive dive = quince();
    dive.start = demo().end;
    dive.start->tissues.nitrogen[0] = nan;
    CHECK_THROWS_AS((void)plan(dive, quince_rules()), InvalidInput);
    for (const double interval : {-1.0, 100001.0, nan})
      CHECK_THROWS_AS((void)rest(demo().end, minutes(interval)), InvalidInput);
  }

  TEST_CASE("a state that a plan returned is one that rest accepts") {
    // Even after oxygen far beyond its table, which only a named limit makes possible.
    Rules rules = bare_rules(0.4, 0.8);
    rules.max_po2 = bar(3.0);
    const Plan made = plan(single_level(18.0, 1000.0, {"O2"}), rules);
    CHECK(made.refused());
    CHECK(made.oxygen.cns > 1e6);
    CHECK_NOTHROW((void)rest(made.end, minutes(60.0)));
  }
}

// Contingencies. Each must be the very plan that is computed for the dive as it comes; that plan
// itself is tested elsewhere.
#include "support.hpp"

#include <upline/contingency.hpp>
#include <upline/contingency_text.hpp>

#include <string>
#include <vector>

using namespace upline;

namespace {

Plan demo() {
  Rules rules = support::quince_rules();
  rules.rounding = Rounding::departure;
  rules.switch_time = minutes(1.0);
  return plan(support::quince(), rules);
}

Plan schedule_for(const Plan& planned, const Deviation& what) {
  const std::vector<Contingency> found = contingencies(planned, {what});
  REQUIRE(found.size() == 1);
  CHECK(found.front().what == what);
  REQUIRE_MESSAGE(found.front().plan.has_value(), found.front().reason);
  return *found.front().plan;
}

} // namespace

TEST_SUITE("contingency") {
  TEST_CASE("deeper and later are the plan of the deeper and longer dive") {
    const Plan planned = demo();
    const Plan found = schedule_for(planned, {.deeper = metres(3.0), .later = minutes(5.0)});
    Dive dive = planned.dive;
    dive.levels = {{metres(60.0), minutes(30.0)}};
    const Plan wanted = plan(dive, planned.rules);
    CHECK(found.dive == wanted.dive);
    CHECK(found.rules == wanted.rules);
    CHECK(found.run_time == wanted.run_time);
    CHECK(found.run_time > planned.run_time);
  }

  TEST_CASE("of levels the deepest is deeper, and the last is left later") {
    Plan planned = demo();
    planned.dive.levels = {{metres(57.0), minutes(20.0)}, {metres(42.0), minutes(35.0)}};
    const Plan base = plan(planned.dive, planned.rules);
    const Plan found = schedule_for(base, {.deeper = metres(3.0), .later = minutes(5.0)});
    CHECK(found.dive.levels ==
          std::vector<Level>{{metres(60.0), minutes(20.0)}, {metres(42.0), minutes(40.0)}});
  }

  TEST_CASE("a gas that is lost is not breathed, and the rest of the dive is the same") {
    const Plan planned = demo();
    const Plan found = schedule_for(planned, {.lost = {Gas(0.5)}});
    CHECK(found.dive.gases == std::vector<GasChoice>{{"18/45"}, {"O2"}});
    CHECK(found.dive.levels == planned.dive.levels);
    for (const Row& row : found.rows) CHECK_FALSE(row.gas == Gas(0.5));
    CHECK(found.run_time > planned.run_time);
  }

  TEST_CASE("with both gases lost a shallower last stop takes about half as long") {
    const Plan planned = demo();
    const std::vector<Gas> both{Gas(0.5), Gas(1.0)};
    const Plan deep = schedule_for(planned, {.lost = both});
    const Plan shallow = schedule_for(planned, {.lost = both, .last_stop = metres(3.0)});
    CHECK(shallow.rules.ladder.last_stop == metres(3.0));
    const double ratio = deep.time_to_surface().base() / shallow.time_to_surface().base();
    CAPTURE(ratio);
    CHECK(ratio > 1.8);
    CHECK(ratio < 2.4);
  }

  TEST_CASE("late switches and a slow ascent are rules kept otherwise") {
    const Plan planned = demo();
    const Plan late = schedule_for(planned, {.late_switch = minutes(3.0)});
    CHECK(late.rules.switch_time == minutes(4.0));
    for (const GasSwitch& change : late.switches) CHECK(change.spent >= minutes(4.0));
    Rules zones = planned.rules;
    zones.ascent_rates = {{metres(21.0), metres_per_minute(9.0)},
                          {metres(0.0), metres_per_minute(3.0)}};
    const Plan slow =
        schedule_for(plan(planned.dive, zones), {.ascent_rate = metres_per_minute(5.0)});
    CHECK(slow.rules.ascent_rates == std::vector<RateZone>{{metres(21.0), metres_per_minute(5.0)},
                                                           {metres(0.0), metres_per_minute(3.0)}});
  }

  TEST_CASE("what cannot be dived says why, and the rest goes on") {
    const std::vector<Contingency> found =
        contingencies(demo(), {{.deeper = metres(20.0)}, {.later = minutes(5.0)}});
    REQUIRE(found.size() == 2);
    CHECK_FALSE(found[0].plan.has_value());
    CHECK(support::holds(found[0].reason, "bottom gas is 18/45 at 77 m"));
    CHECK(found[1].plan.has_value());
  }

  TEST_CASE("what changes: every rung of either schedule once, the deepest first") {
    const Plan planned = demo();
    const Plan longer = schedule_for(planned, {.deeper = metres(3.0), .later = minutes(5.0)});
    const std::vector<RungChange> found = changes(planned, longer);
    REQUIRE(found.front().depth == metres(30.0));
    CHECK_FALSE(found.front().planned.has_value());
    CHECK(*found.front().otherwise == longer.stops.front().departs);
    CHECK(found.back().depth == metres(6.0));
    CHECK(*found.back().planned == planned.stops.back().departs);
    CHECK(*found.back().otherwise_gas == Gas(1.0));
    for (std::size_t j = 1; j < found.size(); ++j) CHECK(found[j].depth < found[j - 1].depth);
    std::size_t made = 0;
    for (const RungChange& one : found) made += one.otherwise.has_value() ? 1 : 0;
    CHECK(made == longer.stops.size());
  }

  TEST_CASE("names") {
    CHECK(deviation_name({.deeper = metres(3.0), .later = minutes(5.0)}, Units::metric) ==
          "if 3 m deeper, 5 min late");
    CHECK(deviation_name({.lost = {Gas(0.5), Gas(1.0)}, .last_stop = metres(3.0)}, Units::metric) ==
          "if the 50 % and the oxygen are lost, the last stop at 3 m");
    CHECK(deviation_name({.deeper = feet(10.0), .ascent_rate = feet_per_minute(15.0)},
                         Units::imperial) == "if 10 ft deeper, coming up at 15 ft/min");
  }

  TEST_CASE("bad input is named") {
    const Plan planned = demo();
    const auto message = [&](const Deviation& what) {
      const auto error =
          support::thrown<InvalidInput>([&] { (void)contingencies(planned, {what}); });
      return error ? std::string(error->what()) : std::string("no error");
    };
    CHECK(support::holds(message({}), "deviation is nothing that differs"));
    CHECK(support::holds(message({.deeper = metres(-3.0)}), "deeper is -3 m"));
    CHECK(support::holds(message({.later = minutes(-1.0)}), "later is -1 min"));
    CHECK(
        support::holds(message({.lost = {Gas(0.32)}}), "lost is 32, which the dive does not have"));
    CHECK(support::holds(message({.lost = {Gas(0.18, 0.45)}}), "lost is 18/45, the bottom gas"));
    CHECK(support::holds(message({.ascent_rate = metres_per_minute(9.0)}),
                         "ascent_rate is 9 m/min (29.5 ft/min); allowed: slower than the plan"));
    CHECK(support::holds(message({.last_stop = metres(6.0)}), "last_stop is 6 m"));
    CHECK_THROWS_AS((void)contingencies(planned, {}), InvalidInput);
    Rules rungs = planned.rules;
    rungs.ladder.rungs = {metres(30.0), metres(21.0), metres(9.0), metres(6.0)};
    const Plan on_rungs = plan(planned.dive, rungs);
    CHECK_THROWS_AS((void)contingencies(on_rungs, {{.last_stop = metres(3.0)}}), InvalidInput);
  }

  TEST_CASE("the text has a row each, the cautions of each, and the rule between rows") {
    const Plan planned = demo();
    const std::string text = contingency_text(
        planned, contingencies(planned, {{.later = minutes(5.0)}, {.deeper = metres(20.0)}}));
    CHECK(support::holds(text, "  as planned "));
    CHECK(support::holds(text, "  if 5 min late "));
    CHECK(support::holds(text, "86:40")); // run time of 57 m for 30 min by the same rules
    CHECK(support::holds(text, "No schedule if 20 m deeper: bottom gas is 18/45"));
    CHECK(support::holds(text, "Between two rows take the deeper and the longer."));
    CHECK(support::holds(text, "Cautions if 5 min late\n  caution: CNS share is 85 %"));
    CHECK(support::holds(text, "It does not make a dive safe"));
  }

  TEST_CASE("a caution that the plan has too is repeated where it got worse") {
    const Plan planned = demo();
    const std::string text =
        contingency_text(planned, contingencies(planned, {{.deeper = metres(5.0)}}));
    const auto at = text.find("Cautions if 5 m deeper");
    REQUIRE(at != std::string::npos);
    CHECK(support::holds(text.substr(at), "18/45 at 62 m is "));
    CHECK_FALSE(support::holds(text.substr(at), "nitrogen rises")); // as before
  }

  TEST_CASE("a row that is refused says so, and is no row to copy") {
    const Plan planned = demo();
    const std::string text =
        contingency_text(planned, contingencies(planned, {{.later = minutes(15.0)}}));
    CHECK(support::holds(text, "Refused if 15 min late: CNS share is "));
    CHECK_FALSE(support::holds(text, "  if 15 min late ")); // no row that could be copied
  }
}

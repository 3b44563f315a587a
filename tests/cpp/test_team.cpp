// A team's common schedule, recomputed minute by minute in long double by a walk of its own.
#include "support.hpp"

#include <upline/team.hpp>
#include <upline/team_text.hpp>

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <random>
#include <string>
#include <vector>

using namespace upline;

namespace {

using support::LongWalk;
using support::Real;

Rules rules() {
  Rules rules{.factors = GradientFactors(0.4, 0.8)};
  rules.ladder.last_stop = metres(6.0);
  return rules;
}

Plan on(const std::vector<GasChoice>& gases, std::optional<State> start = {}) {
  Dive dive = support::quince();
  dive.gases = gases;
  dive.start = start;
  return plan(dive, rules());
}

/// What a dive of the morning leaves.
State morning() {
  const Plan first = plan(support::single_level(42.0, 30.0, {"21/35", "50"}), rules());
  return rest(first.end, minutes(120.0));
}

/// Ada, Ben and Cleo (invented): analysed mixes, and a load of Cleo's.
std::vector<TeamMember> team() {
  return {{"Ada", on({"18/45", "49.2", "O2"})},
          {"Ben", on({"17.6/43.8", "50.6", "99"})},
          {"Cleo", on({"18.2/45", "50", "O2"}, morning())}};
}

LongWalk start_of(const Plan& plan) {
  return {compartment_set(plan.rules.model), plan.dive.environment.place(),
          support::start_of(plan)};
}

/// Where a member is just before leaving a stop of the plan `early` minutes before its time, and
/// whether the next depth may be reached then: tolerated minus ambient pressure on arrival [bar].
Real beyond_if_left(const Plan& plan, std::size_t stop, Real early) {
  LongWalk walk = start_of(plan);
  const Stop& here = plan.stops[stop];
  const Real depth = here.depth.base();
  for (const Row& row : plan.rows) {
    if (row.begins >= here.departs) break;
    const Real ends = std::min(Real(row.ends.base()), Real(here.departs.base()) - early);
    walk.move(row.gas, row.from.base(), row.to.base(), ends - Real(row.begins.base()));
  }
  const bool last = stop + 1 == plan.stops.size();
  const Real next = last ? Real(0) : depth - Real(3); // rungs of 3 m: every one is a stop here
  walk.move(here.gas, depth, next == 3.0L ? 0.0L : next, (depth - next) / 9.0L);
  return walk.beyond(next, support::line_factor(plan, next));
}

/// The least whole minutes at which every member may go on, found by trying each minute.
std::vector<Real> minute_by_minute(const CommonSchedule& c, const std::vector<Real>& rungs) {
  std::vector<LongWalk> walks;
  std::vector<Gas> gas;
  for (const CommonMember& one : c.members) {
    walks.push_back(start_of(one.plan));
    gas.push_back(one.plan.dive.gases.front().gas);
    walks.back().move(gas.back(), 0, 57, 57.0L / 18.0L);
    walks.back().move(gas.back(), 57, 57, 25.0L - 57.0L / 18.0L);
  }
  std::vector<Real> left;
  Real clock = 25;
  Real depth = 57;
  for (std::size_t i = 0; i < rungs.size(); ++i) {
    const Real arrives = clock + (depth - rungs[i]) / 9.0L;
    bool switches = false;
    for (std::size_t m = 0; m < walks.size(); ++m) {
      walks[m].move(gas[m], depth, rungs[i], arrives - clock);
      for (const CommonSwitch& change : c.switches)
        if (std::abs(Real(change.depth.base()) - rungs[i]) < 1e-9L) {
          walks[m].move(gas[m], rungs[i], rungs[i], 1);
          gas[m] = c.members[m].plan.dive.gases[change.gas].gas;
          switches = true;
        }
    }
    depth = rungs[i];
    clock = arrives + (switches ? 1.0L : 0.0L);
    const Real next = i + 1 < rungs.size() ? rungs[i + 1] : 0.0L;
    const auto pass_at = [&](Real leaves) {
      for (std::size_t m = 0; m < walks.size(); ++m) {
        LongWalk then = walks[m];
        then.move(gas[m], depth, depth, leaves - clock);
        then.move(gas[m], depth, next, (depth - next) / 9.0L);
        if (then.beyond(next, support::line_factor(c.members[m].plan, next)) > 1e-9L) return false;
      }
      return true;
    };
    Real leaves = clock;
    if (switches || !pass_at(clock)) {
      leaves = std::ceil(clock - 1e-9L);
      while (!pass_at(leaves)) leaves += 1;
    }
    for (std::size_t m = 0; m < walks.size(); ++m)
      walks[m].move(gas[m], depth, depth, leaves - clock);
    clock = leaves;
    left.push_back(clock);
  }
  return left;
}

/// Compares every rung of the ladder with that.
void check_by_minutes(const CommonSchedule& c) {
  std::vector<Real> rungs;
  for (int depth = 54; depth >= 6; depth -= 3) rungs.push_back(depth);
  const std::vector<Real> wanted = minute_by_minute(c, rungs);
  for (std::size_t i = 0; i < rungs.size(); ++i) {
    const auto stop = std::find_if(c.stops.begin(), c.stops.end(), [&](const CommonStop& one) {
      return std::abs(Real(one.depth.base()) - rungs[i]) < 1e-9L;
    });
    CAPTURE(static_cast<double>(rungs[i]));
    if (stop == c.stops.end()) {
      const Real before = i == 0 ? Real(25) : wanted[i - 1];
      const Real travel = (i == 0 ? Real(3) : rungs[i - 1] - rungs[i]) / 9.0L;
      CHECK(static_cast<double>(support::off(wanted[i], before + travel)) <= 1e-6);
    } else {
      CHECK(static_cast<double>(support::off(wanted[i], Real(stop->departs.base()))) <= 1e-6);
    }
  }
}

std::string message_of(const std::vector<TeamMember>& members) {
  const auto error = support::thrown<Error>([&] { (void)common_schedule(members); });
  return error ? error->what() : "no error";
}

} // namespace

TEST_SUITE("team") {
  TEST_CASE("all follow the same times, and nobody goes beyond their own line") {
    const CommonSchedule c = common_schedule(team());
    REQUIRE(c.members.size() == 3);
    for (const CommonMember& one : c.members) {
      CAPTURE(one.name);
      REQUIRE(one.plan.stops.size() == c.stops.size());
      for (std::size_t j = 0; j < c.stops.size(); ++j) {
        CHECK(one.plan.stops[j].depth == c.stops[j].depth);
        CHECK(one.plan.stops[j].arrives == c.stops[j].arrives);
        CHECK(one.plan.stops[j].departs == c.stops[j].departs);
      }
      CHECK(one.plan.run_time == c.run_time);
      CHECK(one.plan.run_time >= one.alone.run_time);
      CHECK(static_cast<double>(support::sampled_worst(one.plan).beyond) <= 1e-9);
      const Replay followed = replay(profile_of(one.plan), one.plan.rules);
      CHECK(followed.margin() >= -1e-9);
      CHECK(one.slack() == doctest::Approx(0.8 - followed.surfacing_fraction).epsilon(1e-12));
      CHECK(one.slack() >= 0.0);
    }
  }

  TEST_CASE("no minute can be taken from a stop without failing whoever it waits for") {
    const CommonSchedule c = common_schedule(team());
    std::size_t bound = 0;
    for (std::size_t j = 0; j < c.stops.size(); ++j)
      for (const std::size_t m : c.stops[j].bound_by) {
        CAPTURE(in_metres(c.stops[j].depth));
        CAPTURE(c.members[m].name);
        CHECK(static_cast<double>(beyond_if_left(c.members[m].plan, j, 0.0L)) <= 1e-9);
        CHECK(static_cast<double>(beyond_if_left(c.members[m].plan, j, 1.0L)) > 0.0);
        CHECK(c.stops[j].ready[m] == c.stops[j].departs);
        ++bound;
      }
    CHECK(bound > c.stops.size() / 2);
    CHECK(c.stops.back().bound_by == std::vector<std::size_t>{2});
    CHECK(c.stops.back().ready[0] < c.stops.back().departs);
  }

  TEST_CASE("trying every minute of every rung for all of them gives the same schedule") {
    check_by_minutes(common_schedule(team()));
    std::mt19937 random(20261125);
    const auto between = [&](double low, double high) {
      return low + (high - low) * static_cast<double>(random()) / 4294967295.0;
    };
    for (int trial = 0; trial < 20; ++trial) {
      std::vector<TeamMember> drawn;
      for (const char* name : {"Ada", "Ben", "Cleo"}) {
        const std::vector<GasChoice> gases{GasChoice(Gas(between(0.17, 0.19), between(0.40, 0.5))),
                                           GasChoice(Gas(between(0.47, 0.53))),
                                           GasChoice(Gas(between(0.96, 1.0)))};
        std::optional<State> start;
        if (between(0.0, 1.0) < 0.5) start = morning();
        drawn.push_back({name, on(gases, start)});
      }
      CAPTURE(trial);
      check_by_minutes(common_schedule(drawn));
    }
  }

  TEST_CASE("a team of equals follows the plan of each, and waits for all") {
    const Plan same = on({"18/45", "50", "O2"});
    const CommonSchedule c = common_schedule({{"Ada", same}, {"Ben", same}});
    CHECK(c.run_time == same.run_time);
    REQUIRE(c.stops.size() == same.stops.size());
    for (std::size_t j = 0; j < c.stops.size(); ++j) {
      CHECK(c.stops[j].departs == same.stops[j].departs);
      CHECK(c.stops[j].stay == same.stops[j].stay);
      CHECK(c.stops[j].bound_by.size() == (same.stops[j].held_by ? 2 : 0));
    }
  }

  TEST_CASE("where only the switch takes time nobody is waited for") {
    Dive dive = support::single_level(30.0, 18.0, {"32", "50"});
    const Plan first = plan(dive, rules());
    REQUIRE(first.stops.front().depth == metres(21.0));
    REQUIRE_FALSE(first.stops.front().held_by);
    dive.gases = {"31.5", "50"};
    const CommonSchedule c = common_schedule({{"Ada", first}, {"Ben", plan(dive, rules())}});
    CHECK(c.stops.front().depth == metres(21.0));
    CHECK(c.stops.front().bound_by.empty());
  }

  TEST_CASE("a gas is taken up at the shallowest of the members' own depths") {
    const CommonSchedule c =
        common_schedule({{"Ada", on({"18/45", "50", "O2"})}, {"Ben", on({"18/45", "55", "O2"})}});
    REQUIRE(c.switches.size() == 2);
    CHECK(c.switches[0].gas == 1);
    CHECK(c.switches[0].depth == metres(18.0));
    CHECK(c.switches[0].own == std::vector<Depth>{metres(21.0), metres(18.0)});
    CHECK(c.members[0].plan.dive.gases[1].switch_depth == metres(18.0));
    CHECK_FALSE(c.members[1].plan.dive.gases[1].switch_depth.has_value());
    for (const CommonMember& one : c.members) {
      REQUIRE(one.plan.switches.size() == 2);
      CHECK(one.plan.switches[0].depth == metres(18.0));
      CHECK(one.plan.switches[1].depth == metres(6.0));
    }
    check_by_minutes(c);
  }

  TEST_CASE("on a day of high pressure a depth that the rule finds is kept") {
    Dive dive = support::quince();
    dive.environment.surface_pressure = bar(1.04);
    const Plan ada = plan(dive, rules());
    dive.gases[1] = "49";
    const CommonSchedule c = common_schedule({{"Ada", ada}, {"Ben", plan(dive, rules())}});
    CHECK(c.switches[1].depth == metres(6.0));
  }

  TEST_CASE("each of several ascents is made in common") {
    Dive dive;
    dive.levels = {{metres(57.0), minutes(30.0)},
                   {metres(15.0), minutes(60.0)},
                   {metres(24.0), minutes(70.0)},
                   {metres(9.0), minutes(130.0)}};
    dive.gases = {"21/20", "50@12"};
    const Plan ada = plan(dive, rules());
    dive.gases = {"20.5/50", "49.5@12"};
    dive.start = morning();
    const Plan ben = plan(dive, rules());
    const CommonSchedule c = common_schedule({{"Ada", ada}, {"Ben", ben}});
    bool before_a_level = false;
    for (const CommonStop& stop : c.stops)
      before_a_level =
          before_a_level || (stop.departs < minutes(60.0) && stop.ready[0] < stop.departs);
    CHECK(before_a_level);
    CHECK(c.run_time == ben.run_time);
    for (const CommonMember& one : c.members) {
      CHECK(one.plan.run_time == c.run_time);
      CHECK(support::caution_of(one.plan, CautionCode::limit_exceeded) == nullptr);
    }
  }

  TEST_CASE("what is refused for one is refused for all") {
    std::vector<TeamMember> members = team();
    CHECK_FALSE(common_schedule(members).refused());
    State spent = morning();
    spent.oxygen.cns = 0.5;
    members[1].alone = on({"17.6/43.8", "50.6", "99"}, spent);
    const CommonSchedule c = common_schedule(members);
    CHECK(c.refused());
    const std::string text = team_text(c);
    CHECK(support::holds(text, "Refused: make no slate of this."));
    CHECK(support::holds(text, "Refused for Ben: CNS share is "));
    CHECK_FALSE(support::holds(text, "Refused for Ada"));
  }

  TEST_CASE("what must be common is named with the member who differs") {
    const std::vector<GasChoice> gases{"18/45", "50", "O2"};
    const auto with = [&](auto change) {
      Dive dive = support::quince();
      Rules how = rules();
      change(dive, how);
      return message_of({{"Ada", on(gases)}, {"Ben", plan(dive, how)}});
    };
    const auto names = [&](auto change, const std::string& field) {
      return support::holds(with(change), "Ben's " + field + " is not that of Ada");
    };
    CHECK(names([](Dive& d, Rules&) { d.levels[0].depth = metres(56.0); }, "levels"));
    CHECK(names([](Dive& d, Rules&) { d.environment.surface_pressure = bar(1.0); }, "environment"));
    CHECK(names([](Dive& d, Rules&) { d.environment.water_density = 1025.0; }, "environment"));
    CHECK(names([](Dive& d, Rules&) { d.travel = TravelGas{Gas(0.32), metres(30.0)}; }, "travel"));
    CHECK(names([](Dive& d, Rules&) { d.gases[1] = "50@20"; }, "switch depth of gas 2"));
    CHECK(names([](Dive&, Rules& r) { r.factors = GradientFactors(0.4, 0.85); }, "gf"));
    CHECK(names([](Dive&, Rules& r) { r.model = "ZH-L16B"; }, "model"));
    CHECK(names([](Dive&, Rules& r) { r.ladder.last_stop = metres(3.0); }, "last_stop"));
    CHECK(names([](Dive&, Rules& r) { r.ladder.spacing = metres(1.0); }, "spacing"));
    CHECK(names([](Dive&, Rules& r) { r.switch_time = minutes(2.0); }, "switch_time"));
    CHECK(names([](Dive&, Rules& r) { r.max_deco_po2 = bar(1.5); }, "max_deco_po2"));
    CHECK(names([](Dive&, Rules& r) { r.rounding = Rounding::exact; }, "rounding"));
    CHECK(support::holds(with([](Dive& d, Rules&) { d.gases.pop_back(); }),
                         "Ben's gases is 2 gases; allowed: 3 gases, as Ada's"));
    CHECK(support::holds(with([](Dive& d, Rules&) { std::swap(d.gases[1], d.gases[2]); }),
                         "Ben's gases is O2 before 50; allowed: the order of Ada's"));
    CHECK(with([](Dive&, Rules& r) { r.rmv = litres_per_minute(15.0); }) == "no error");
    CHECK(with([](Dive& d, Rules&) { d.environment.acclimatised_to = AcclimatisedHere{}; }) ==
          "no error");
  }

  TEST_CASE("a gas too rich at a depth stated for all names member, gas and oxygen pressure") {
    // Ben's plan was made with a leaner gas; the team is given his analysis afterwards.
    std::vector<TeamMember> members{{"Ada", on({"18/45", "50@21", "O2"})},
                                    {"Ben", on({"18/45", "50@21", "O2"})}};
    members[1].alone.dive.gases[1].gas = Gas(0.56);
    CHECK(support::holds(message_of(members),
                         "Ben's gas switch depth is 56 at 21 m (68.9 ft), 1.74 bar of oxygen"));
  }

  TEST_CASE("who cannot wait for another is named") {
    // Ada could leave 21 m at once; on her lean gas the wait for Ben loads her beyond the next
    // rung.
    Rules far{.factors = GradientFactors(0.5, 0.9)};
    far.ladder.rungs = {metres(21.0), metres(3.0)};
    const Plan ada = plan(support::single_level(39.0, 8.0, {"air", "22@21"}), far);
    const Plan ben = plan(support::single_level(39.0, 8.0, {"21/70", "50@21"}), far);
    const Plan before = plan(support::single_level(30.0, 30.0, {"air"}),
                             Rules{.factors = GradientFactors(0.9, 0.9)});
    Dive loaded = ben.dive;
    loaded.start = rest(before.end, minutes(15.0));
    const std::string message = message_of({{"Ada", ada}, {"Ben", plan(loaded, far)}});
    CHECK(support::holds(message, "Ada: after being held at 21 m (68.9 ft) until run time "));
    CHECK(support::holds(message, "slow compartments took up too much meanwhile"));
  }

  TEST_CASE("a gas that only some take up, a name twice, a team of one") {
    Rules shallow = rules();
    shallow.max_deco_po2 = bar(1.57);
    Dive dive = support::quince();
    dive.gases = {"18/45", "50", "98"};
    const Plan with = plan(dive, shallow);
    dive.gases = {"18/45", "50", "O2"};
    const Plan without = plan(dive, shallow);
    REQUIRE(with.switches.size() == 2);
    REQUIRE(without.switches.size() == 1);
    CHECK(support::holds(message_of({{"Ada", with}, {"Ben", without}}),
                         "Ben's gas 3 is O2, which their ascent leaves alone and that of Ada"));
    const Plan one = on({"18/45", "50", "O2"});
    CHECK(support::holds(message_of({{"Ada", one}}), "members is 1 divers"));
    CHECK(support::holds(message_of({{"Ada", one}, {"Ada", one}}), "two divers named Ada"));
    CHECK(support::holds(message_of({{"Ada", one}, {"", one}}), "a name of 0 bytes"));
    CHECK(support::holds(message_of({{"Ada", one}, {"a\nb", one}}), "a name of 3 bytes"));
  }

  TEST_CASE("the text has every member, who is waited for, and what it does not promise") {
    const std::string text = team_text(common_schedule(team()));
    for (const char* words :
         {"Common schedule of Ada, Ben and Cleo: 57 m for 25 min (metric schedule)", "waits for",
          "switch to gas 2", "17.6/43.8", "Cautions for Ben", "Assumptions for Cleo", "slack",
          "It does not make a dive safe", "No time to fly is computed here."})
      CHECK(support::holds(text, words));
  }
}

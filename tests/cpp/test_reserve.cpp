#include "support.hpp"

#include <upline/deadline.hpp>
#include <upline/deadline_text.hpp>
#include <upline/reserve.hpp>
#include <upline/reserve_text.hpp>
#include <upline/turn_pressure.hpp>

#include <algorithm>
#include <cstddef>
#include <limits>
#include <optional>
#include <random>
#include <string>
#include <vector>

// Sharing reserves are checked by hand, by the drawing they promise, and by trying every bottom
// time. What a cylinder holds is checked in test_supply.cpp, what a row takes in
// test_consumption.cpp.

namespace {

using namespace upline;
using support::holds;
using support::off;

/// Ada's rates (invented).
BreathingRates rates(double stress) {
  return {litres_per_minute(20.0), litres_per_minute(15.0), litres_per_minute(stress)};
}

Cylinder cylinder(const char* mix, double each, double pressure, int joined = 1) {
  return {water_litres(each), bar_gauge(pressure), Gas::parse(mix), celsius(10.0), joined};
}

DiverSupply diver(const char* name, double stress, double pressure, double deco = 180.0) {
  return {
      name,
      rates(stress),
      {cylinder("18/45", 12.0, pressure, 2), cylinder("50", 7.0, deco), cylinder("O2", 5.0, deco)}};
}

const ReserveRules pair_rules{2, minutes(2.0), false, KeptFraction{0.2}};
const ReserveRules covering{2, minutes(2.0), false, CoversLossOfNext{}};

const Requirement& one_of(const Reserves& r, ReserveFor what, std::size_t nth = 0) {
  for (const Requirement& each : r.requirements)
    if (each.what == what && nth-- == 0) return each;
  throw std::runtime_error("no such requirement");
}

template <class F>
std::string refusal_of(F&& call) {
  try {
    (void)call();
  } catch (const InvalidInput& error) {
    return error.what();
  }
  return "nothing was refused";
}

/// The same diver with every cylinder of one mix at readings.
DiverSupply at(DiverSupply supply, const char* mix, GaugePressure reading) {
  for (Cylinder& each : supply.cylinders)
    if (each.gas() == Gas::parse(mix)) each = each.at_pressure(reading);
  return supply;
}

} // namespace

TEST_SUITE("reserve") {
  TEST_CASE("two at 35 L/min, 2 min at 51 m and up to 21 m at 9 m/min, by hand") {
    Rules rules = support::bare_rules(0.95, 0.95);
    rules.switch_time = minutes(0.0);
    const Plan p = plan(support::single_level(51.0, 8.0, {"18/45", "50"}), rules);
    const std::vector<DiverSupply> team{diver("Ada", 35.0, 200.0), diver("Ben", 35.0, 200.0)};
    const Reserves r = reserves(p, team, pair_rules);
    REQUIRE(r.with_next.plan);
    REQUIRE(r.with_next.leads_to == Gas::parse("50"));
    REQUIRE(r.with_next.to == metres(21.0));
    REQUIRE(off(in_minutes(r.with_next.ends), 10.0 + 30.0 / 9.0) <= 1e-9); // no stop on the way
    // Gauge metres at sea level: 6.11325 bar at 51 m, 3.11325 bar at 21 m.
    const double at_depth = 2.0 * 35.0 * 2.0 * 6.11325;
    const double up = 2.0 * 35.0 * (30.0 / 9.0) * (6.11325 + 3.11325) / 2.0;
    CHECK(off(at_depth, 856.0) <= 0.5); // "about 850 L", common practice, no source
    CHECK(off(up, 1076.0) <= 0.5);      // "about 1100 L"
    const Requirement& shared = one_of(r, ReserveFor::sharing);
    CHECK(off(in_litres(*shared.needed), at_depth + up) <= 1e-6);
    // What stays in a twin 12 at the pressure of 51 m is in the reading.
    const Cylinder twin = team[0].cylinders[0];
    const double stays = in_litres(twin.content_at(bar_gauge(5.1)));
    CHECK(off(in_litres(twin.content_at(*shared.reading)), at_depth + up + stays) <= 1e-3);
  }

  TEST_CASE("as planned it is what consumption() finds, litre by litre") {
    const Plan p = plan(support::quince(), support::quince_rules());
    for (const double filled : {120.0, 165.0, 168.0, 169.0, 230.0}) {
      const DiverSupply ada = diver("Ada", 40.0, filled);
      const Reserves r = reserves(p, {ada}, pair_rules);
      const Consumption c = consumption(p, ada);
      double missing = 0.0;
      bool closes = true;
      for (std::size_t j = 0; j < 3; ++j) {
        const Requirement& own = one_of(r, ReserveFor::planned_dive, j);
        missing += in_litres(own.short_by);
        closes = closes && own.closes();
        if (own.closes()) CHECK(off(in_litres(*own.needed), in_litres(c.taken_from(j))) <= 1e-9);
        CHECK(off(in_litres(own.available - *own.needed),
                  own.closes() ? in_litres(own.available) - in_litres(*own.needed)
                               : -in_litres(own.short_by)) <= 1e-9);
      }
      CHECK(off(missing, in_litres(c.short_by())) <= 1e-9);
      CHECK(closes == c.closes());
    }
  }

  TEST_CASE("every reading closes its drawing, and one per cent of the litres less does not") {
    std::mt19937 random(20261127);
    std::uniform_real_distribution<double> unit(0.0, 1.0);
    int checked = 0;
    for (int j = 0; j < 12; ++j) {
      const double depth = 35.0 + 20.0 * unit(random);
      const Plan p =
          plan(support::single_level(depth, std::ceil(depth / 18.0 + 4.0 + 10.0 * unit(random)),
                                     {"18/45", "50", "O2"}),
               support::bare_rules(0.4, 0.8));
      const double stress = 20.0 + 30.0 * unit(random);
      std::vector<DiverSupply> team{diver("Ada", stress, 200.0), diver("Ben", 30.0, 180.0)};
      team[0].cylinders.push_back(cylinder("18/45", 3.0 + 9.0 * unit(random), 150.0));
      const ReserveRules rules{2, minutes(3.0 * unit(random)), j % 2 == 0, CoversLossOfNext{}};
      const Reserves r = reserves(p, team, rules);
      const SharingWay& way = r.way();
      REQUIRE(way.plan);
      const Requirement& shared = one_of(r, ReserveFor::sharing);
      if (!shared.reading) continue;
      ++checked;
      // Drawn again from the plan that is followed, by consumption(): all at the shared rate.
      const double rate = stress + 30.0;
      const std::vector<Cylinder> held = detail::cylinders_of(team[0], r.bottom_gas);
      const auto missing = [&](double litres_less) {
        const Place place = p.dive.environment.place();
        std::vector<Cylinder> now;
        for (const Cylinder& one : held) now.push_back(one.at_pressure(*shared.reading));
        // Taken out of the larger cylinder, which is far from empty.
        now.front() = now.front().at_pressure(
            now.front().pressure_for(now.front().content() - litres(litres_less)));
        detail::Cellar cellar(now);
        double total = 0.0;
        for (const Row& row : way.plan->rows) {
          if (row.ends <= p.bottom_time || row.begins >= way.ends) continue;
          const double from = std::max(in_minutes(row.begins), in_minutes(p.bottom_time));
          const double mean =
              (place.pressure(in_metres(row.from)) + place.pressure(in_metres(row.to))) / 2.0;
          RowUse use;
          use.volume = litres(rate * mean * (in_minutes(row.ends) - from));
          const double deepest = place.pressure(std::max(in_metres(row.from), in_metres(row.to)));
          cellar.take(r.bottom_gas, gauge(bar(deepest)), use);
          total += in_litres(use.short_by);
        }
        return total;
      };
      CHECK(missing(0.0) <= 1e-6);
      CHECK(missing(0.01 * in_litres(*shared.needed)) > 0.0);
      // The others by asking again.
      for (const Requirement& each : r.requirements) {
        if (each.what == ReserveFor::sharing || each.diver != 0 || !each.reading) continue;
        const auto again = [&](GaugePressure reading) {
          std::vector<DiverSupply> other = team;
          other[0] = at(other[0], each.gas.text().c_str(), reading);
          const Reserves found = reserves(p, other, rules);
          for (const Requirement& one : found.requirements)
            if (one.diver == 0 && one.what == each.what && one.gas == each.gas) return one;
          throw std::runtime_error("lost");
        };
        CHECK(again(*each.reading).closes());
        CHECK_FALSE(again(bar_gauge(in_bar_gauge(*each.reading) * 0.99 - 0.01)).closes());
      }
    }
    CHECK(checked >= 6);
  }

  TEST_CASE("the bottom time that closes, by trying every minute") {
    int ended = 0, limited = 0, none = 0;
    for (const double depth : {12.0, 40.0, 57.0})
      for (const double filled : {60.0, 150.0, 232.0}) {
        const Plan p = plan(support::single_level(depth, 12.0, {"18/45", "50", "O2"}),
                            support::quince_rules());
        const std::vector<DiverSupply> team{diver("Ada", 35.0, filled),
                                            diver("Ben", 40.0, filled + 20.0)};
        const GasLimit limit = gas_limit(p, team, covering);
        std::optional<double> longest;
        double time = std::ceil(depth / 18.0);
        CHECK(in_minutes(limit.searched_from) == time);
        CHECK(in_minutes(limit.searched_to) == 72.0);
        for (; time <= 72.0; ++time) {
          const Reserves there =
              reserves(plan(support::single_level(depth, time, {"18/45", "50", "O2"}),
                            support::quince_rules()),
                       team, covering);
          if (!there.closes()) {
            REQUIRE(limit.fails);
            CHECK(limit.fails->gas == there.binds().gas);
            CHECK(limit.fails->what == there.binds().what);
            CHECK(limit.fails->short_by == there.binds().short_by);
            break;
          }
          longest = time;
        }
        CHECK(limit.bottom_time.has_value() == longest.has_value());
        if (longest && limit.bottom_time) CHECK(in_minutes(*limit.bottom_time) == *longest);
        CHECK(limit.ended == (time > 72.0));
        (limit.ended ? ended : longest ? limited : none) += 1;
      }
    CHECK(limited >= 3);
    CHECK(none >= 1);
    CHECK(ended >= 1);
  }

  TEST_CASE("a fine grid is searched by halving and closes there and not a step later") {
    Rules rules = support::quince_rules();
    rules.resolution = seconds(1.0);
    const Plan p = plan(support::quince(), rules);
    const std::vector<DiverSupply> team{diver("Ada", 40.0, 200.0)};
    const GasLimit limit = gas_limit(p, team, pair_rules);
    REQUIRE(limit.bottom_time);
    const auto closes = [&](Minutes time) {
      Dive dive = support::quince();
      dive.levels.back().leave_at = time;
      return reserves(plan(dive, rules), team, pair_rules).closes();
    };
    CHECK(closes(*limit.bottom_time));
    CHECK_FALSE(closes(*limit.bottom_time + seconds(1.0)));
  }

  TEST_CASE("deadlines equal trying every minute with consumption()") {
    const Plan p = plan(support::quince(), support::quince_rules());
    const std::vector<DiverSupply> team{diver("Ada", 40.0, 200.0), diver("Ben", 30.0, 220.0)};
    const Deadlines found = deadlines(p, team, pair_rules);
    REQUIRE(found.lost.size() == 3);
    CHECK(found.lost[2].lost.size() == 2);
    for (const Deadline& one : found.lost)
      for (std::size_t j = 0; j < team.size(); ++j) {
        std::optional<double> longest;
        for (double time = 4.0; time <= 85.0; ++time) {
          Dive dive = detail::deviating(p.dive, Deviation{.lost = one.lost}, Units::metric);
          dive.levels.back().leave_at = minutes(time);
          if (!consumption(plan(dive, p.rules), team[j], minutes(time)).closes()) break;
          longest = time;
        }
        REQUIRE(longest);
        REQUIRE(one.divers[j].leave_by);
        CHECK(in_minutes(*one.divers[j].leave_by) == *longest);
        CHECK_FALSE(one.divers[j].ended);
        CHECK(one.divers[j].short_by > litres(0.0));
        CHECK(*one.leave_by() <= *one.divers[j].leave_by);
      }
    const DiverSupply rich{"Cleo",
                           rates(25.0),
                           {cylinder("18/45", 50.0, 300.0, 16), cylinder("50", 50.0, 200.0, 16),
                            cylinder("O2", 50.0, 200.0, 16)}};
    // Gas for everything, until a caution refuses the dive.
    const Deadlines refused_first = deadlines(p, {rich}, pair_rules);
    CHECK_FALSE(refused_first.with_reserves.ended);
    CHECK(holds(refused_first.with_reserves.reason, "CNS share"));
    const Plan shallow =
        plan(support::single_level(18.0, 25.0, {"18/45", "50", "O2"}), support::quince_rules());
    const Deadlines plenty = deadlines(shallow, {rich}, pair_rules);
    CHECK(plenty.with_reserves.ended);
    CHECK(plenty.lost[0].ended());
    CHECK(holds(deadline_text(plenty), "no limit found by run time 85"));
    const Deadlines nothing = deadlines(p, {diver("Ada", 40.0, 20.0)}, pair_rules);
    CHECK_FALSE(nothing.lost[0].leave_by());
    CHECK(holds(deadline_text(nothing), "the gas closes at no bottom time"));
  }

  TEST_CASE("what a deeper level before the last asks is unknown, and does not close") {
    Dive dive = support::quince();
    dive.levels = {{metres(57.0), minutes(12.0)}, {metres(30.0), minutes(20.0)}};
    const DiverSupply rich{"Cleo",
                           rates(25.0),
                           {cylinder("18/45", 50.0, 300.0, 16), cylinder("50", 50.0, 200.0, 16),
                            cylinder("O2", 50.0, 200.0, 16)}};
    const Reserves found = reserves(plan(dive, support::quince_rules()), {rich}, pair_rules);
    CHECK_FALSE(found.closes());
    CHECK(holds(found.binds().reason, "an earlier level is deeper"));
    std::swap(dive.levels[0].depth, dive.levels[1].depth);
    CHECK(reserves(plan(dive, support::quince_rules()), {rich}, pair_rules).closes());
  }

  TEST_CASE("who shares, and what is missing in the team") {
    const std::vector<DiverSupply> team{diver("Ada", 30.0, 200.0), diver("Ben", 50.0, 200.0),
                                        diver("Cleo", 40.0, 200.0)};
    CHECK(detail::shared_rate(team, 0, 1) == litres_per_minute(30.0));
    CHECK(detail::shared_rate(team, 0, 2) == litres_per_minute(80.0));
    CHECK(detail::shared_rate(team, 1, 2) == litres_per_minute(90.0));
    CHECK(detail::shared_rate(team, 2, 3) == litres_per_minute(120.0));
    CHECK(detail::shared_rate(team, 2, 5) == litres_per_minute(200.0)); // 40 again, twice
    CHECK(detail::shared_rate({team[0]}, 0, 2) == litres_per_minute(60.0));
  }

  TEST_CASE("without a next gas the surface ends the sharing, its stops included") {
    const Plan p =
        plan(support::single_level(40.0, 20.0, {"21/35"}), support::bare_rules(0.4, 0.8));
    const DiverSupply ada{"Ada", rates(40.0), {cylinder("21/35", 12.0, 230.0, 2)}};
    const Reserves r = reserves(p, {ada}, {2, minutes(1.0), true, CoversLossOfNext{}});
    CHECK_FALSE(r.without_next);
    CHECK_FALSE(r.with_next.leads_to);
    CHECK(r.with_next.ends == r.with_next.plan->run_time);
    CHECK(r.with_next.plan->bottom_time == minutes(21.0));
    CHECK(r.with_next.plan->stops.size() >= 2);
    CHECK(holds(reserve_text(r, gas_limit(p, {ada}, r.rules)), "There is no next gas"));
  }

  TEST_CASE("what cannot be computed is unknown and does not close") {
    // 12/60 cannot be breathed at the surface: without the next gas there is no way up.
    Dive dive = support::single_level(80.0, 10.0, {"12/60", "50"});
    dive.travel = TravelGas{Gas::parse("50"), metres(17.0)};
    const Plan p = plan(dive, support::quince_rules());
    const DiverSupply ada{
        "Ada", rates(40.0), {cylinder("12/60", 40.0, 300.0, 4), cylinder("50", 40.0, 200.0)}};
    const Reserves r = reserves(p, {ada}, {2, minutes(2.0), true, CoversLossOfNext{}});
    const Requirement& shared = one_of(r, ReserveFor::sharing);
    CHECK_FALSE(shared.needed);
    CHECK_FALSE(shared.closes());
    CHECK_FALSE(shared.reason.empty());
    CHECK_FALSE(r.closes());
    CHECK(r.binds().what == ReserveFor::sharing);
    const GasLimit limit = gas_limit(p, {ada}, r.rules);
    CHECK_FALSE(limit.bottom_time);
    const std::string text = reserve_text(r, limit);
    CHECK(holds(text, "unknown"));
    CHECK(holds(text, "counts as not enough"));
    CHECK_FALSE(deadlines(p, {ada}, r.rules).lost[0].leave_by());
  }

  TEST_CASE("decompression gas: a fraction kept, or the loss of the next") {
    const Plan p = plan(support::quince(), support::quince_rules());
    const DiverSupply ada = diver("Ada", 40.0, 200.0);
    const Consumption c = consumption(p, ada);
    const Reserves kept = reserves(p, {ada}, pair_rules);
    const Requirement& fifty = one_of(kept, ReserveFor::decompression);
    CHECK(off(in_litres(*fifty.needed), in_litres(c.taken_from(1))) <= 1e-9);
    CHECK(off(in_litres(fifty.available), 0.8 * in_litres(ada.cylinders[1].content())) <= 1e-9);
    CHECK(off(0.8 * in_litres(ada.cylinders[1].content_at(*fifty.reading)),
              in_litres(*fifty.needed)) <= 1e-3);
    const Reserves lost = reserves(p, {ada}, covering);
    const Requirement& covers = one_of(lost, ReserveFor::decompression);
    Dive without = support::quince();
    without.gases.pop_back();
    const Plan longer = plan(without, support::quince_rules());
    DiverSupply plenty = at(ada, "50", bar_gauge(345.0));
    plenty.cylinders.push_back(cylinder("50", 20.0, 300.0));
    const Consumption used = consumption(longer, plenty, p.switches.back().at);
    CHECK(off(in_litres(*covers.needed), in_litres(used.taken_from(1) + used.taken_from(3))) <=
          1e-9);
    CHECK(covers.gone == Gas::parse("O2"));
    const Requirement& last = one_of(lost, ReserveFor::decompression, 1);
    CHECK_FALSE(last.gone);
    CHECK(holds(reserve_text(lost, gas_limit(p, {ada}, covering)), "nothing comes after it"));
  }

  TEST_CASE("the demo is limited by gas, and the text says so") {
    const Plan p = plan(support::quince(), support::quince_rules());
    const std::vector<DiverSupply> team{diver("Ada", 40.0, 200.0), diver("Ben", 40.0, 200.0)};
    const Reserves r = reserves(p, team, pair_rules);
    const GasLimit limit = gas_limit(p, team, pair_rules);
    REQUIRE(limit.bottom_time);
    std::string text = reserve_text(r, limit);
    std::replace(text.begin(), text.end(), '\n', ' ');
    CHECK(holds(text, "Gas and not decompression limits this dive"));
    CHECK(holds(text, "The longest bottom time that closes is " +
                          detail::clock_text(in_minutes(*limit.bottom_time)) + " min"));
    CHECK(holds(text, "recompute it before it is dived"));
    CHECK_FALSE(holds(text, "breathing rate not stated"));
  }

  TEST_CASE("turning by a fraction: the fuller partner brings both back") {
    std::mt19937 random(20261128);
    std::uniform_real_distribution<double> unit(0.0, 1.0);
    for (int j = 0; j < 50; ++j) {
      std::vector<DiverSupply> team;
      for (const char* name : {"Ada", "Ben", "Cleo"}) {
        DiverSupply& one = team.emplace_back(DiverSupply{name, rates(40.0), {}});
        for (std::size_t k = 0; k < 1 + random() % 2; ++k)
          one.cylinders.push_back(
              cylinder("32", 3.0 + 12.0 * unit(random), 20.0 + 300.0 * unit(random)));
      }
      const double fraction = 0.05 + 0.45 * unit(random);
      const TurnPressures t = turn_pressures(team, Gas::parse("32"), fraction);
      double smallest = std::numeric_limits<double>::infinity();
      double fullest = 0.0;
      for (const TurnPressure& one : t.divers) {
        double content = 0.0, left = 0.0;
        for (std::size_t k = 0; k < one.cylinders.size(); ++k) {
          content += in_litres(one.cylinders[k].content());
          left += in_litres(one.cylinders[k].content_at(one.readings[k]));
        }
        CHECK(off(content - left, in_litres(t.used)) <= 1e-6);
        CHECK(off(left, in_litres(one.left)) <= 1e-6);
        CHECK(one.brings_two_back == (left >= 2.0 * in_litres(t.used) - 1e-5));
        smallest = std::min(smallest, content);
        fullest = std::max(fullest, left);
      }
      CHECK(off(in_litres(t.used), fraction * smallest) <= 1e-9);
      if (fraction <= 1.0 / 3.0) CHECK(fullest >= 2.0 * in_litres(t.used));
    }
  }

  TEST_CASE("bad input is refused by name") {
    const Plan p = plan(support::quince(), support::quince_rules());
    const DiverSupply ada = diver("Ada", 40.0, 200.0);
    const auto with = [&](ReserveRules rules) {
      return refusal_of([&] { return reserves(p, {ada}, rules); });
    };
    constexpr double nan = std::numeric_limits<double>::quiet_NaN();
    CHECK(holds(with({0, minutes(2.0), false, KeptFraction{0.2}}), "sharing is 0 divers"));
    CHECK(holds(with({7, minutes(2.0), false, KeptFraction{0.2}}), "allowed: 1 to 6 divers"));
    CHECK(holds(with({2, minutes(-1.0), false, KeptFraction{0.2}}), "minutes_at_depth is -1 min"));
    CHECK(holds(with({2, minutes(nan), false, KeptFraction{0.2}}), "minutes_at_depth is not a"));
    CHECK(holds(with({2, minutes(61.0), false, KeptFraction{0.2}}), "0 to 60 min"));
    CHECK(holds(with({2, minutes(2.0), false, KeptFraction{0.91}}), "decompression is 0.91"));
    CHECK(
        holds(with({2, minutes(2.0), false, KeptFraction{nan}}), "decompression is not a number"));
    const auto team_of = [&](std::vector<DiverSupply> team) {
      return refusal_of([&] { return gas_limit(p, team, pair_rules); });
    };
    CHECK(holds(team_of({}), "divers is 0 divers"));
    CHECK(holds(team_of(std::vector<DiverSupply>(13, ada)), "1 to 12 divers"));
    DiverSupply lacking = ada;
    lacking.cylinders.pop_back();
    CHECK(holds(team_of({ada, lacking}), "given without one of oxygen"));
    DiverSupply breathless = ada;
    breathless.rates.stress = litres_per_minute(0.0);
    CHECK(holds(team_of({breathless}), "stress is 0 L/min"));
    CHECK(holds(refusal_of([&] { return deadlines(p, {}, pair_rules); }), "divers is 0 divers"));
    const auto turns = [&](double fraction, const char* gas) {
      return refusal_of([&] { return turn_pressures({ada}, Gas::parse(gas), fraction); });
    };
    CHECK(holds(turns(0.0, "50"), "fraction is 0; allowed: above 0, up to 0.5"));
    CHECK(holds(turns(0.51, "50"), "fraction is 0.51"));
    CHECK(holds(turns(nan, "50"), "fraction is nan"));
    CHECK(holds(turns(0.3, "air"), "Ada without air"));
    CHECK(holds(refusal_of([] { return turn_pressures({}, Gas(), 0.3); }), "divers is 0 divers"));
  }
}

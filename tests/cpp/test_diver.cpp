#include "support.hpp"

#include <upline/plan.hpp>
#include <upline/planning/diver.hpp>

#include <doctest/doctest.h>

#include <cstddef>
#include <vector>

namespace {

using namespace upline;

/// The Quince Blossom (invented).
Dive quince() {
  return {.levels = {{metres(57.0), minutes(25.0)}},
          .gases = {{Gas::parse("18/45"), {}}, {Gas::parse("50"), {}}, {Gas::parse("O2"), {}}}};
}

Rules rules() {
  Rules rules{.factors = GradientFactors(0.4, 0.8)};
  rules.ladder.last_stop = metres(6.0);
  return rules;
}

detail::Diver dived(const Dive& dive, const Rules& how) {
  detail::Diver diver(dive, how);
  diver.dive();
  return diver;
}

/// The end of a leg, for a diver who goes on from there.
detail::Underway end_of(const detail::Leg& leg, std::optional<LimitLine> line) {
  return {leg.ends, leg.to, leg.gas, leg.after, line};
}

TEST_SUITE("diver") {
  TEST_CASE("an ascent from the moment at which the bottom is left is that of the plan") {
    const Dive dive = quince();
    const Rules how = rules();
    const detail::Diver whole = dived(dive, how);
    detail::Diver again(dive, how);
    again.surface_from(end_of(whole.legs()[1], {}));
    REQUIRE(again.stops().size() == whole.stops().size());
    for (std::size_t j = 0; j < whole.stops().size(); ++j)
      CHECK(again.stops()[j].departs == whole.stops()[j].departs);
    CHECK(again.clock() == whole.clock());
    CHECK(again.line().anchor == whole.line().anchor);
  }

  TEST_CASE("an ascent from any leg of a plan, on its line and gases, ends when the plan does") {
    const Dive dive = quince();
    const Rules how = rules();
    const detail::Diver whole = dived(dive, how);
    std::size_t tried = 0;
    for (std::size_t j = 2; j < whole.legs().size(); ++j) {
      const detail::Leg& leg = whole.legs()[j];
      if (leg.phase != Phase::come_up || leg.to == 0.0) continue;
      detail::Diver again(dive, how);
      again.surface_from(end_of(leg, whole.line()));
      CAPTURE(leg.to);
      CHECK(again.clock() == whole.clock());
      ++tried;
    }
    CHECK(tried > 4);
  }

  TEST_CASE("without the gas in use the ascent goes on with what is left") {
    Dive dive = quince();
    const Rules how = rules();
    const detail::Diver whole = dived(dive, how);
    const detail::Leg* at_nine = nullptr;
    for (const detail::Leg& leg : whole.legs())
      if (leg.to == 9.0 && leg.phase == Phase::come_up) at_nine = &leg;
    REQUIRE(at_nine != nullptr);
    REQUIRE(at_nine->gas == Gas::parse("50"));
    dive.gases.erase(dive.gases.begin() + 1);
    detail::Underway moment = end_of(*at_nine, whole.line());
    moment.gas = Gas::parse("18/45");
    detail::Diver left(dive, how);
    left.surface_from(moment);
    CHECK(left.clock() > whole.clock());
    REQUIRE(left.switches().size() == 1);
    CHECK(left.switches().front().to == Gas::parse("O2"));
    CHECK(left.legs().front().gas == Gas::parse("18/45"));
  }

  TEST_CASE("a depth is not left before its hold, and its own times change nothing") {
    const Plan free = plan(quince(), rules());
    std::vector<detail::Hold> own;
    for (const Stop& stop : free.stops)
      own.push_back({in_metres(stop.depth), in_minutes(stop.departs)});
    const Plan same = detail::planned(quince(), rules(), own);
    CHECK(same.run_time == free.run_time);
    CHECK(same.stops.size() == free.stops.size());
    own.assign({{12.0, 50.0}, {30.0, 29.5}});
    const Plan held = detail::planned(quince(), rules(), own);
    for (const Stop& stop : held.stops) {
      CAPTURE(in_metres(stop.depth));
      if (stop.depth == metres(12.0)) CHECK(stop.departs == minutes(50.0));
      if (stop.depth == metres(30.0)) {
        CHECK(stop.departs == minutes(29.5));
        CHECK_FALSE(stop.held_by);
      }
    }
    CHECK(held.stops.front().depth == metres(30.0));
    CHECK(held.surfacing_fraction <= 0.8 + 1e-9);
    CHECK(held.run_time > free.run_time);
  }

  TEST_CASE("a hold counts from its moment on, not for an ascent before") {
    Dive dive = quince();
    dive.gases = {{Gas::parse("21/35"), {}}, {Gas::parse("50"), metres(12.0)}};
    dive.levels = {{metres(45.0), minutes(15.0)},
                   {metres(15.0), minutes(40.0)},
                   {metres(30.0), minutes(50.0)}};
    const Plan free = plan(dive, rules());
    const Plan held =
        detail::planned(dive, rules(), {{.depth = 21.0, .leave_at = 60.0, .since = 50.0}});
    CHECK(held.run_time > free.run_time);
    std::size_t at_21 = 0;
    for (const Stop& stop : held.stops) {
      if (!(stop.depth == metres(21.0))) continue;
      if (stop.arrives > minutes(50.0)) CHECK(stop.departs == minutes(60.0));
      ++at_21;
    }
    CHECK(at_21 > 0);
    CHECK_THROWS_AS((void)detail::planned(dive, rules(), {{.depth = 21.0, .leave_at = 60.0}}),
                    InvalidInput);
  }
}

} // namespace

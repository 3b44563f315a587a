#include "support.hpp"

#include <upline/trip_demand.hpp>
#include <upline/trip_demand_text.hpp>

#include <limits>
#include <string>
#include <vector>

// Sums; no value from outside is needed. Content of banks is checked against Cylinder, whose real
// gas is checked in test_supply.cpp.

namespace {

using namespace upline;
using support::off;

const StationGas helium = StationGas::helium();

template <class F>
std::string refusal_of(F&& call) {
  try {
    (void)call();
  } catch (const InvalidInput& error) {
    return error.what();
  }
  return "nothing was refused";
}

} // namespace

TEST_SUITE("trip demand") {
  TEST_CASE("a team of three, two dives a day: the day on which it runs short") {
    // 3 x 2 x 500 = 3000 L of oxygen a day; 12 000 L are four whole days, and short on the fifth.
    const std::vector<DailyUse> uses{{Gas(1.0), litres(500.0), 3, 2}};
    const auto trip = [&](double at_hand, int days) {
      return trip_demand(uses, {{Gas(1.0), litres(at_hand)}}, days);
    };
    CHECK(trip(12000.0, 4).suffices() == Sufficient::yes);
    CHECK(!trip(12000.0, 4).gases.front().short_on);
    CHECK(trip(11999.0, 4).gases.front().short_on == 4);
    CHECK(trip(12000.0, 6).gases.front().short_on == 5);
    CHECK(in_litres(trip(12000.0, 6).gases.front().short_by) == 6000.0);
    CHECK(trip(0.0, 6).gases.front().short_on == 1);
    CHECK(trip(12000.0, 6).suffices() == Sufficient::no);
  }

  TEST_CASE("uses of one gas add up, and what is not stated never suffices") {
    const std::vector<DailyUse> uses{{Gas(0.5), litres(300.0), 3, 1},
                                     {helium, litres(1000.0), 3, 1},
                                     {Gas(0.5), litres(100.0), 2, 1}};
    const TripDemand trip = trip_demand(uses, {{Gas(0.5), litres(1e5)}}, 6);
    REQUIRE(trip.gases.size() == 2);
    CHECK(in_litres(trip.gases[0].a_day) == 1100.0);
    CHECK(!trip.gases[1].at_hand);
    CHECK(trip.suffices() == Sufficient::unknown);
    CHECK(demand_verdict(trip).rfind("Cannot tell: how much is at hand was not stated for helium",
                                     0) == 0);
    const TripDemand known =
        trip_demand(uses, {{Gas(0.5), litres(5000.0)}, {helium, litres(6500.0)}}, 6);
    CHECK(demand_verdict(known) == "The station runs short of helium on day 3, of 50 % on day 5.");
    CHECK(demand_text(known, Units::metric).find("It does not make a dive safe") !=
          std::string::npos);
    CHECK(demand_table(known, Units::metric).size() == 4);
  }

  TEST_CASE("what banks give is what cylinders like them give") {
    const auto content = [](double reads, double down_to) {
      return in_litres(usable_content(Gas(0.32), {{water_litres(50.0), bar_gauge(reads)}},
                                      bar_gauge(down_to), celsius(15.0)));
    };
    const Cylinder same(water_litres(50.0), bar_gauge(200.0), Gas(0.32), celsius(15.0));
    CHECK(off(content(200.0, 0.0), in_litres(same.content())) <= 1e-9 * content(200.0, 0.0));
    CHECK(off(content(200.0, 60.0), in_litres(same.content() - same.content_at(bar_gauge(60.0)))) <=
          1e-8);
    CHECK(content(60.0, 60.0) == 0.0);
    CHECK(content(50.0, 60.0) == 0.0);
    // Helium takes more room than an ideal gas.
    CHECK(in_litres(usable_content(helium, {{water_litres(50.0), bar_gauge(200.0)}}, bar_gauge(0.0),
                                   celsius(20.0))) < 50.0 * 200.0);
  }

  TEST_CASE("what is out of range is refused by name") {
    const auto refuse = [](auto change) {
      std::vector<DailyUse> uses{{Gas(1.0), litres(500.0), 3, 2}};
      std::vector<StationStock> stock{{Gas(1.0), litres(500.0)}};
      int days = 6;
      change(uses, stock, days);
      return refusal_of([&] { return trip_demand(uses, stock, days); });
    };
    const auto begins = [](const std::string& text, const std::string& start) {
      CAPTURE(text);
      CHECK(text.rfind(start, 0) == 0);
    };
    begins(refuse([](auto&, auto&, int& days) { days = 0; }), "days is 0 days");
    begins(refuse([](auto& uses, auto&, int&) { uses.clear(); }), "uses is 0 uses");
    begins(refuse([](auto& uses, auto&, int&) { uses[0].divers = 0; }), "divers is 0");
    begins(refuse([](auto& uses, auto&, int&) { uses[0].dives = 11; }), "dives is 11");
    begins(refuse([](auto& uses, auto&, int&) { uses[0].volume = litres(-1.0); }), "volume is -1");
    begins(refuse([](auto&, auto& stock, int&) {
             stock[0].at_hand = litres(std::numeric_limits<double>::quiet_NaN());
           }),
           "stock is not a number");
    begins(refuse([](auto&, auto& stock, int&) { stock.push_back(stock[0]); }),
           "stock is oxygen named twice");
  }
}

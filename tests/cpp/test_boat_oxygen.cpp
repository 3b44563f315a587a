// Oxygen on the boat: arithmetic that is done here by hand, and what stays unknown. What a cylinder
// holds is checked in test_supply.cpp.
#include "support.hpp"

#include <upline/boat_oxygen.hpp>
#include <upline/boat_oxygen_text.hpp>

#include <limits>
#include <string>
#include <vector>

using namespace upline;

namespace {

Cylinder oxygen(double each, double pressure) {
  return {water_litres(each), bar_gauge(pressure), Gas::parse("O2"), celsius(15.0)};
}

/// Two casualties on 15 L/min each, two hours from treatment.
BoatOxygenNeed two() {
  return {.casualties = 2,
          .flow = litres_per_minute(15.0),
          .margin = 1.25,
          .to_treatment = minutes(120.0),
          .cylinders = {oxygen(20.0, 190.0), oxygen(10.0, 150.0)}};
}

std::string refusal_of(const BoatOxygenNeed& need) {
  try {
    (void)boat_oxygen(need);
  } catch (const InvalidInput& error) {
    return error.what();
  }
  return "nothing was refused";
}

} // namespace

TEST_SUITE("boat_oxygen") {
  TEST_CASE("needed is casualties times flow times time times margin") {
    BoatOxygenNeed need = two();
    CHECK(*boat_oxygen(need).needed == litres(2 * 15.0 * 120.0 * 1.25));
    need = {.casualties = 1, .flow = litres_per_minute(15.0), .to_treatment = minutes(240.0)};
    CHECK(*boat_oxygen(need).needed == litres(3600.0));
  }

  TEST_CASE("what is there lasts as long as it flows") {
    const BoatOxygen found = boat_oxygen(two());
    const double there = in_litres(oxygen(20.0, 190.0).content() + oxygen(10.0, 150.0).content());
    CHECK(support::off(in_litres(*found.there), there) <= 1e-9);
    CHECK(support::off(in_minutes(*found.lasts) * 30.0, there) <= 1e-9);
    CHECK(support::off(in_minutes(*found.lasts_with_margin) * 30.0 * 1.25, there) <= 1e-9);
    CHECK(found.enough == Enough::yes);
    CHECK(*found.short_by == litres(0.0));
  }

  TEST_CASE("enough ends where a litre is missing") {
    BoatOxygenNeed need = two();
    const BoatOxygen found = boat_oxygen(need);
    need.to_treatment = minutes(in_minutes(*found.lasts_with_margin) * (1.0 - 1e-9));
    CHECK(boat_oxygen(need).enough == Enough::yes);
    need.to_treatment = minutes(in_minutes(*found.lasts_with_margin) + 0.1);
    const BoatOxygen later = boat_oxygen(need);
    CHECK(later.enough == Enough::no);
    CHECK(support::off(in_litres(*later.short_by), 0.1 * 30.0 * 1.25) <= 1e-6);
  }

  TEST_CASE("what is not stated never becomes enough") {
    BoatOxygenNeed need = two();
    need.to_treatment = {};
    CHECK(boat_oxygen(need).enough == Enough::unknown);
    CHECK_FALSE(boat_oxygen(need).needed);
    CHECK(boat_oxygen(need).lasts);
    need = two();
    need.cylinders.clear();
    CHECK(boat_oxygen(need).enough == Enough::unknown);
    CHECK(boat_oxygen(need).needed);
    CHECK_FALSE(boat_oxygen(need).there);
    CHECK_FALSE(boat_oxygen(need).short_by);
    need.to_treatment = {};
    const std::string text = boat_oxygen_verdict(boat_oxygen(need), Units::metric);
    CHECK(text == "Whether it is enough cannot be told: the minutes to treatment are not stated, "
                  "and no cylinder of oxygen is stated.");
  }

  TEST_CASE("another gas is refused by its name") {
    BoatOxygenNeed need = two();
    need.cylinders.emplace_back(water_litres(7.0), bar_gauge(180.0), Gas::parse("50"),
                                celsius(15.0));
    CHECK(refusal_of(need) ==
          "cylinders is given with one of 50 %; allowed: cylinders of oxygen. Remedy: leave that "
          "cylinder out: it is no oxygen for first aid.");
  }

  TEST_CASE("what is out of range is refused") {
    const double nan = std::numeric_limits<double>::quiet_NaN();
    for (const int casualties : {0, -1, 51}) {
      BoatOxygenNeed need = two();
      need.casualties = casualties;
      CHECK(refusal_of(need).starts_with("casualties is "));
    }
    for (const double flow : {0.0, 0.5, 201.0, nan}) {
      BoatOxygenNeed need = two();
      need.flow = litres_per_minute(flow);
      CHECK(refusal_of(need).starts_with("flow is "));
    }
    for (const double margin : {0.99, 5.1, nan}) {
      BoatOxygenNeed need = two();
      need.margin = margin;
      CHECK(refusal_of(need).starts_with("margin is "));
    }
    for (const double time : {0.0, 10001.0, nan}) {
      BoatOxygenNeed need = two();
      need.to_treatment = minutes(time);
      CHECK(refusal_of(need).starts_with("minutes_to_treatment is "));
    }
    BoatOxygenNeed need = two();
    need.cylinders.assign(101, oxygen(1.0, 100.0));
    CHECK(refusal_of(need).starts_with("cylinders is 101"));
  }

  TEST_CASE("numbers are rounded against the casualty") {
    BoatOxygenNeed need = two();
    need.margin = 1.0;
    need.to_treatment = minutes(60.01);
    need.cylinders = {oxygen(10.0, 150.0)};
    const BoatOxygen found = boat_oxygen(need);
    const auto lines = boat_oxygen_table(found, Units::metric);
    CHECK(lines[2][1] == "1801"); // of 1800.3
    CHECK(std::stod(lines[3][1]) <= in_litres(*found.there));
    const std::string verdict = boat_oxygen_verdict(found, Units::metric);
    CHECK(verdict.starts_with("Not enough: "));
    CHECK(detail::lasting_text(minutes(119.99)) == "1 h 59 min");
    CHECK(detail::lasting_text(minutes(120.0)) == "2 h 0 min");
    CHECK(detail::lasting_text(minutes(9.9)) == "9 min");
    const std::string text = boat_oxygen_text(found, Units::metric);
    CHECK(text.find("first aid, not treatment") != std::string::npos);
    CHECK(text.find("second time") != std::string::npos);
    CHECK(text.find("does not make a dive safe") != std::string::npos);
  }
}

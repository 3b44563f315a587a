#include "support.hpp"

#include <upline/error.hpp>
#include <upline/plan.hpp>

#include <cmath>
#include <functional>
#include <stdexcept>
#include <string>
#include <type_traits>
#include <utility>
#include <vector>

// Source: this project's definition; ranges as in docs/theory.md. Every message names field, value,
// allowed range and remedy.

namespace {

using namespace upline;
using support::holds;
using support::quince;
using support::quince_rules;

const double not_a_number = std::nan("");

/// A change to the demo dive or its rules that must be refused, and the field that is named.
struct Refusal {
  std::string field;
  std::function<void(Dive&, Rules&)> change;
};

void check_message(const InvalidInput& error) {
  const std::string message = error.what();
  CAPTURE(message);
  CHECK_FALSE(error.field().empty());
  CHECK_FALSE(error.value().empty());
  CHECK_FALSE(error.allowed().empty());
  CHECK_FALSE(error.remedy().empty());
  for (const std::string& part : {error.field(), error.value(), error.allowed(), error.remedy()})
    CHECK(holds(message, part));
  CHECK(holds(message, "allowed: "));
  CHECK(holds(message, "Remedy: "));
}

} // namespace

TEST_SUITE("errors") {
  TEST_CASE("every error is an upline error and a standard one") {
    CHECK(std::is_base_of_v<std::runtime_error, Error>);
    CHECK(std::is_base_of_v<Error, InvalidInput>);
    CHECK(std::is_base_of_v<InvalidInput, WrongType>);
    CHECK(std::is_base_of_v<Error, NoAscent>);
    CHECK_FALSE(std::is_base_of_v<InvalidInput, NoAscent>);
  }

  TEST_CASE("a message is one sentence of four parts") {
    const InvalidInput error("depth", "-3 m", "0.01 m to 350 m", "give a depth below the surface");
    CHECK(std::string(error.what()) == "depth is -3 m; allowed: 0.01 m to 350 m. Remedy: give a "
                                       "depth below the surface.");
    check_message(error);
  }

  TEST_CASE("every field out of its range is refused by its name") {
    const std::vector<Refusal> refusals{
        {"resolution", [](Dive&, Rules& r) { r.resolution = minutes(0.0); }},
        {"resolution", [](Dive&, Rules& r) { r.resolution = minutes(0.016); }},
        {"resolution", [](Dive&, Rules& r) { r.resolution = minutes(10.1); }},
        {"resolution", [](Dive&, Rules& r) { r.resolution = minutes(not_a_number); }},
        {"min_stop", [](Dive&, Rules& r) { r.min_stop = minutes(-1.0); }},
        {"min_stop", [](Dive&, Rules& r) { r.min_stop = minutes(not_a_number); }},
        {"switch_time", [](Dive&, Rules& r) { r.switch_time = minutes(-0.1); }},
        {"switch_time", [](Dive&, Rules& r) { r.switch_time = minutes(1001.0); }},
        {"descent_rate", [](Dive&, Rules& r) { r.descent_rate = metres_per_minute(0.4); }},
        {"descent_rate", [](Dive&, Rules& r) { r.descent_rate = metres_per_minute(101.0); }},
        {"surfacing_rate", [](Dive&, Rules& r) { r.surfacing_rate = metres_per_minute(0.0); }},
        {"surfacing_rate",
         [](Dive&, Rules& r) { r.surfacing_rate = metres_per_minute(not_a_number); }},
        {"ascent_rate", [](Dive&, Rules& r) { r.ascent_rates.clear(); }},
        {"ascent_rate", [](Dive&, Rules& r) { r.ascent_rates[0].rate = metres_per_minute(-9.0); }},
        {"ascent_rate border",
         [](Dive&, Rules& r) { r.ascent_rates[0].deeper_than = metres(6.0); }},
        {"spacing", [](Dive&, Rules& r) { r.ladder.spacing = metres(0.0); }},
        {"last_stop", [](Dive&, Rules& r) { r.ladder.last_stop = metres(0.2); }},
        {"ladder",
         [](Dive&, Rules& r) {
           r.ladder.rungs = {metres(6.0), metres(0.0)};
         }},
        {"max_po2", [](Dive&, Rules& r) { r.max_po2 = bar(0.1); }},
        {"max_po2", [](Dive&, Rules& r) { r.max_po2 = bar(not_a_number); }},
        {"max_deco_po2", [](Dive&, Rules& r) { r.max_deco_po2 = bar(3.1); }},
        {"po2_tolerance", [](Dive&, Rules& r) { r.po2_tolerance = bar(-0.01); }},
        {"po2_tolerance", [](Dive&, Rules& r) { r.po2_tolerance = bar(0.21); }},
        {"min_po2", [](Dive&, Rules& r) { r.min_po2 = bar(0.04); }},
        {"min_po2", [](Dive&, Rules& r) { r.min_po2 = bar(0.22); }},
        {"rmv", [](Dive&, Rules& r) { r.rmv = litres_per_minute(0.0); }},
        {"deco_rmv",
         [](Dive&, Rules& r) {
           r.rmv = litres_per_minute(20.0);
           r.deco_rmv = litres_per_minute(201.0);
         }},
        {"rmv", [](Dive&, Rules& r) { r.deco_rmv = litres_per_minute(15.0); }},
        {"model", [](Dive&, Rules& r) { r.model = "ZH-L12"; }},
        {"levels", [](Dive& d, Rules&) { d.levels.clear(); }},
        {"levels",
         [](Dive& d, Rules&) {
           d.levels.assign(1001, {metres(20.0), minutes(60.0)});
         }},
        {"gases", [](Dive& d, Rules&) { d.gases.clear(); }},
        {"gases", [](Dive& d, Rules&) { d.gases.assign(21, GasChoice("18/45")); }},
        {"gases", [](Dive& d, Rules&) { d.gases[0].switch_depth = metres(57.0); }},
        {"depth", [](Dive& d, Rules&) { d.levels[0].depth = metres(0.0); }},
        {"depth", [](Dive& d, Rules&) { d.levels[0].depth = metres(-57.0); }},
        {"depth", [](Dive& d, Rules&) { d.levels[0].depth = metres(350.1); }},
        {"depth", [](Dive& d, Rules&) { d.levels[0].depth = metres(not_a_number); }},
        {"bottom_time", [](Dive& d, Rules&) { d.levels[0].leave_at = minutes(-1.0); }},
        {"bottom_time", [](Dive& d, Rules&) { d.levels[0].leave_at = minutes(100001.0); }},
        {"bottom_time", [](Dive& d, Rules&) { d.levels[0].leave_at = minutes(not_a_number); }},
        {"bottom_time", [](Dive& d, Rules&) { d.levels[0].leave_at = minutes(2.0); }},
        {"gas switch depth", [](Dive& d, Rules&) { d.gases[1].switch_depth = metres(0.0); }},
        {"gas switch depth",
         [](Dive& d, Rules&) { d.gases[1].switch_depth = metres(not_a_number); }},
        {"gas switch depth", [](Dive& d, Rules&) { d.gases[1].switch_depth = metres(30.0); }},
        {"travel",
         [](Dive& d, Rules&) {
           d.travel = TravelGas{Gas(0.5), metres(0.0)};
         }},
        {"travel",
         [](Dive& d, Rules&) {
           d.travel = TravelGas{Gas(0.5), metres(58.0)};
         }},
        {"travel",
         [](Dive& d, Rules&) {
           d.travel = TravelGas{Gas(1.0), metres(6.0)};
         }},
        {"bottom gas", [](Dive& d, Rules&) { d.gases[0] = "28"; }},
        {"gas", [](Dive& d, Rules&) { d.gases[0] = "15/55"; }},
        {"altitude", [](Dive& d, Rules&) { d.environment.altitude = metres(6500.0); }},
        {"surface_pressure", [](Dive& d, Rules&) { d.environment.surface_pressure = bar(1.5); }},
        {"water", [](Dive& d, Rules&) { d.environment.water_density = 1.025; }},
        {"vapour", [](Dive& d, Rules&) { d.environment.vapour = bar(0.5); }},
        {"acclimatised_to",
         [](Dive& d, Rules&) { d.environment.acclimatised_to = metres(9000.0); }},
    };
    CHECK_NOTHROW((void)plan(quince(), quince_rules())); // without a change
    for (std::size_t j = 0; j < refusals.size(); ++j) {
      CAPTURE(j);
      CAPTURE(refusals[j].field);
      Dive dive = quince();
      Rules rules = quince_rules();
      refusals[j].change(dive, rules);
      const auto error = support::thrown<InvalidInput>([&] { (void)plan(dive, rules); });
      REQUIRE(error);
      CHECK(error->field() == refusals[j].field);
      check_message(*error);
    }
  }

  TEST_CASE("the borders of the ranges are inside") {
    Dive dive = quince();
    Rules rules = quince_rules();
    for (const double resolution : {1.0 / 60.0, 10.0}) {
      rules.resolution = minutes(resolution);
      CHECK_NOTHROW((void)plan(dive, rules));
    }
    rules.descent_rate = metres_per_minute(100.0);
    CHECK_NOTHROW((void)plan(dive, rules));
    dive = support::single_level(0.01, 100000.0, {"air"});
    CHECK_NOTHROW((void)plan(dive, quince_rules()));
    dive = support::single_level(350.0, 30.0, {"4/95"});
    rules = support::bare_rules(0.4, 0.8);
    rules.max_po2 = bar(1.6);
    rules.min_po2 = bar(0.05);
    dive.travel = TravelGas{Gas(0.20, 0.50), metres(55.0)};
    dive.gases.emplace_back(Gas(0.08, 0.80));
    dive.gases.emplace_back(Gas(0.14, 0.70));
    dive.gases.emplace_back(Gas(0.25, 0.50));
    dive.gases.emplace_back("50");
    CHECK_NOTHROW((void)plan(dive, rules));
  }

  TEST_CASE("lengths are shown in metres and in feet") {
    Dive dive = quince();
    dive.levels[0].depth = metres(400.0);
    const auto error = support::thrown<InvalidInput>([&] { (void)plan(dive, quince_rules()); });
    REQUIRE(error);
    CHECK(error->value() == "400 m (1312.3 ft)");
    CHECK(error->allowed() == "0.01 m (0.03 ft) to 350 m (1148.3 ft)");
    CHECK(support::holds(error->remedy(), "metres unless units are imperial"));
  }

  TEST_CASE("what is no number is said to be none, and not converted") {
    Dive dive = quince();
    Rules rules = quince_rules();
    const auto value_of = [&] {
      const auto error = support::thrown<InvalidInput>([&] { (void)plan(dive, rules); });
      return error ? error->value() : std::string();
    };
    dive.levels[0].depth = metres(not_a_number);
    CHECK(value_of() == "not a number");
    dive.levels[0].depth = metres(HUGE_VAL);
    CHECK(value_of() == "infinite");
    dive.levels[0].depth = metres(-HUGE_VAL);
    CHECK(value_of() == "minus infinite");
    dive = quince();
    rules.descent_rate = metres_per_minute(not_a_number);
    CHECK(value_of() == "not a number");
    rules = quince_rules();
    rules.rmv = litres_per_minute(not_a_number);
    CHECK(value_of() == "not a number");
    rules = quince_rules();
    rules.resolution = minutes(not_a_number);
    CHECK(value_of() == "not a number");
  }

  TEST_CASE("ladders in feet are whole feet, those in metres are free") {
    const auto refusal = [](const std::function<void(Rules&)>& change) {
      Rules rules = Rules::imperial({0.4, 0.8});
      change(rules);
      return support::thrown<InvalidInput>([&] { (void)plan(quince(), rules); });
    };
    CHECK_FALSE(refusal([](Rules& r) {
      r.ladder.spacing = feet(7.0);
      r.ladder.last_stop = feet(23.0);
    }));
    const auto spacing = refusal([](Rules& r) { r.ladder.spacing = feet(10.5); });
    REQUIRE(spacing);
    CHECK(std::string(spacing->what()) ==
          "spacing is 10.5 ft; allowed: whole feet. Remedy: round it to whole feet, or state the "
          "dive in metres.");
    CHECK(refusal([](Rules& r) { r.ladder.spacing = feet(10.000000001); }));
    const auto last = refusal([](Rules& r) { r.ladder.last_stop = metres(6.0); });
    REQUIRE(last);
    CHECK(last->field() == "last_stop");
    const auto rung = refusal([](Rules& r) {
      r.ladder.rungs = {feet(20.0), feet(30.25)};
      r.ladder.spacing = feet(0.5); // not looked at beside rungs
    });
    REQUIRE(rung);
    CHECK(rung->field() == "ladder");
    for (double depth = 2.0; depth < 1148.0; ++depth) {
      CAPTURE(depth);
      Rules rules = Rules::imperial({0.4, 0.8});
      rules.ladder.rungs = {feet(depth), metres(depth * metres_per_foot)};
      CHECK_NOTHROW(detail::require_rules(rules));
    }
    Rules rules = quince_rules();
    rules.ladder.spacing = metres(2.75);
    CHECK_NOTHROW((void)plan(quince(), rules));
  }

  TEST_CASE("a bottom gas that does not stand first is suspected where another would do") {
    const auto remedy = [](std::vector<GasChoice> gases) {
      Dive dive = quince();
      dive.gases = std::move(gases);
      const auto error = support::thrown<InvalidInput>([&] { (void)plan(dive, quince_rules()); });
      REQUIRE(error);
      return error->remedy();
    };
    const std::string hint = "the bottom gas stands first";
    CHECK(holds(remedy({"50", "18/45", "O2"}), hint));
    CHECK_FALSE(holds(remedy({"32", "50", "O2"}), hint));
  }

  TEST_CASE("feet read as metres are suspected where that is plausible") {
    const auto remedy = [](double depth, const std::string& mix, Units units) {
      Dive dive = quince();
      dive.levels[0].depth = depth_from(depth, units);
      dive.gases = {GasChoice(mix.c_str())};
      Rules rules = quince_rules();
      if (units == Units::imperial) rules = Rules::imperial({0.4, 0.8});
      const auto error = support::thrown<InvalidInput>([&] { (void)plan(dive, rules); });
      REQUIRE(error);
      return error->remedy();
    };
    const std::string hint = "for feet state units=\"imperial\"";
    CHECK(holds(remedy(190.0, "18/45", Units::metric), hint));
    CHECK_FALSE(holds(remedy(57.0, "32", Units::metric), hint));    // 57 ft is no such dive
    CHECK_FALSE(holds(remedy(190.0, "50", Units::metric), hint));   // too rich in feet as well
    CHECK_FALSE(holds(remedy(300.0, "32", Units::imperial), hint)); // feet already
  }

  TEST_CASE("numbers in messages do not depend on the locale and never show minus zero") {
    CHECK(detail::trimmed(1234.5, 6) == "1234.5");
    CHECK(detail::trimmed(-0.0001, 2) == "0");
    CHECK(detail::trimmed(2.50, 2) == "2.5");
    CHECK(detail::trimmed(100.0, 0) == "100");
    CHECK(detail::trimmed(1e20, 2) == "1e+20");
    CHECK(detail::trimmed(not_a_number, 2) == "nan");
    CHECK(detail::trimmed(HUGE_VAL, 2) == "inf");
    CHECK(detail::fixed(1.005, 3) == "1.005");
    CHECK(detail::fixed(0.125, 2) == "0.12"); // ties to even, as the standard library rounds
  }
}

#include "paths.hpp"

#include <cmath>
#include <string>
#include <utility>

// Source: this project's definition, docs/theory.md, section "Checking a table": what a table does
// not say is read in every plausible way, and what it says in that way alone.

namespace {

using namespace upline;
using support::add_rows;
using support::factors_40_80;
using support::hand_cut;
using support::holds;
using support::off;
using support::plain_table;
using support::quince_gases;

/// What is not said is tried: nothing but the depths is said of this one.
Table unsaid(Table table) {
  table.water_said = false;
  table.units.reset();
  table.minutes.reset();
  table.bottom_from.reset();
  table.switch_minute.reset();
  return table;
}

TEST_SUITE("readings") {
  TEST_CASE("what a table does not say is tried and what it says is not") {
    const Rules rules = factors_40_80();
    const auto count = [&](const Table& table) { return verdict(table, rules).readings.size(); };
    Table table = unsaid(hand_cut());
    CHECK(count(table) == 36); // 3 waters, 2 bottom times, 2 minutes, 3 switch minutes
    const Reading usual{.depth_of = DepthOf::gauge};
    CHECK(verdict(table, rules).readings.front().reading == usual);
    table.water_said = true;
    CHECK(count(table) == 12);
    table.minutes = MinutesMean::with_travel;
    CHECK(count(table) == 6);
    table.bottom_from = BottomTimeFrom::arrival;
    CHECK(count(table) == 3);
    table.switch_time = minutes(2.0); // takes time, so it goes somewhere
    CHECK(count(table) == 2);
    table.switch_time = minutes(0.0);
    CHECK(count(table) == 1);
    table.switch_time.reset();
    table.switch_minute = SwitchMinute::before;
    const TableVerdict one = verdict(table, rules);
    REQUIRE(one.readings.size() == 1);
    const Reading said{MinutesMean::with_travel, BottomTimeFrom::arrival, SwitchMinute::before,
                       DepthOf::stated, Units::metric};
    CHECK(one.readings.front().reading == said);
    Table one_gas = unsaid(plain_table(30.0, 30.0, {{Gas::parse("28"), {}}}));
    add_rows(one_gas, {{6, 3}, {3, 12}});
    CHECK(count(one_gas) == 12); // no switch
  }

  TEST_CASE("readings that disagree leave it open") {
    Rules rules = factors_40_80();
    rules.rounding = Rounding::duration;
    Table table = support::table_of(plan(support::quince(), rules));
    CHECK(verdict(table, rules).verdict == Verdict::satisfies);
    table.minutes.reset();
    const TableVerdict open = verdict(table, rules);
    REQUIRE(open.readings.size() == 2);
    CHECK(open.readings[0].satisfies);
    CHECK_FALSE(open.readings[1].satisfies);
    CHECK(open.verdict == Verdict::cannot_tell);
    CHECK(open.governing == 1);
  }

  TEST_CASE("run times and feet are recognised") {
    // A plan of 190 ft and 25 min in feet, rounded to whole run times, with nothing said.
    Rules rules = Rules::imperial({0.4, 0.8});
    rules.ladder.last_stop = feet(20.0);
    rules.switch_time = minutes(0.0);
    Table table = unsaid(plain_table(190.0, 25.0, quince_gases()));
    table.water_said = true;
    table.switch_time = minutes(0.0);
    add_rows(table,
             {{90, 29}, {80, 32}, {70, 33}, {60, 35}, {50, 38}, {40, 42}, {30, 48}, {20, 70}});
    const TableVerdict found = verdict(table, rules);
    // Were the bottom time from arrival, 90 ft could not be left at 29.
    REQUIRE(found.readings.size() == 1);
    CHECK(found.readings[0].reading.units == Units::imperial);
    CHECK(found.readings[0].reading.minutes == MinutesMean::leave_at);
    CHECK(found.readings[0].reading.bottom_from == BottomTimeFrom::surface);
    CHECK(found.verdict == Verdict::satisfies);
    CHECK(off(found.readings[0].anchor.value().base(), 25.435302) <= 1e-6);
    CHECK(off(found.readings[0].run_time.base(), 70.0 + 2.0 / 3.0) <= 1e-9);
    table.rows.back().minutes = 69.0;
    CHECK(verdict(table, rules).verdict == Verdict::does_not);
    // Tens and a shallow bottom may be either.
    Table either = unsaid(plain_table(40.0, 10.0, {{Gas::parse("28"), {}}}));
    add_rows(either, {{20, 1}, {10, 3}});
    bool metric = false;
    bool imperial = false;
    for (const ReadingVerdict& one : verdict(either, rules).readings)
      (one.reading.units == Units::metric ? metric : imperial) = true;
    CHECK(metric);
    CHECK(imperial);
  }

  TEST_CASE("a row without a number is asked for by name") {
    const Rules rules = factors_40_80();
    const auto error_of = [&](const Table& table) {
      const auto error = support::thrown<InvalidInput>([&] { (void)verdict(table, rules); });
      REQUIRE(error.has_value());
      return std::string(error->what());
    };
    Table table = hand_cut();
    table.rows[2].minutes.reset();
    CHECK(holds(error_of(table), "row 3"));
    table.rows[2].leave_at = 33.0;
    CHECK(holds(error_of(table), "row 3 minutes"));
    table = hand_cut();
    table.rows[4].depth = std::nan("");
    CHECK(holds(error_of(table), "row 5 depth"));
    table = hand_cut();
    table.rows[4].minutes = -1.0;
    CHECK(holds(error_of(table), "row 5 minutes"));
    table.rows.clear();
    CHECK(holds(error_of(table), "0 rows"));
  }
}

} // namespace

#include "paths.hpp"

#include <algorithm>
#include <cmath>
#include <random>
#include <string>
#include <utility>
#include <vector>

// Source: this project's definition, docs/theory.md, section "Checking a table". Compared with the
// planner's own plans, with an independent replay, and with trials of every smaller addition.

namespace {

using namespace upline;
using support::bare_rules;
using support::factors_40_80;
using support::hand_cut;
using support::off;
using support::table_of;

bool satisfies(const Table& table, const Rules& rules) {
  const TableVerdict found = verdict(table, rules);
  REQUIRE(found.readings.size() == 1);
  return found.verdict == Verdict::satisfies;
}

/// With the minutes of a repair in its rows, and the stops that it puts in.
Table repaired(Table table, const Repair& repair) {
  for (std::size_t j = 0; j < repair.added.size(); ++j)
    table.rows[j].minutes = *table.rows[j].minutes + repair.added[j];
  std::size_t put_in = 0;
  for (const NewStop& stop : repair.new_stops)
    table.rows.insert(table.rows.begin() + static_cast<std::ptrdiff_t>(stop.before_row + put_in++),
                      {stop.depth.base(), stop.minutes.base(), {}, {}});
  return table;
}

/// Whether so many units or fewer, given to any rows, make a table satisfy.
bool some_addition(Table& table, std::size_t row, int units, const Rules& rules) {
  if (row == table.rows.size()) return satisfies(table, rules);
  const double written = *table.rows[row].minutes;
  bool found = false;
  for (int given = 0; given <= units && !found; ++given) {
    table.rows[row].minutes = written + given;
    found = some_addition(table, row + 1, units - given, rules);
  }
  table.rows[row].minutes = written;
  return found;
}

TEST_SUITE("check") {
  TEST_CASE("an exact plan's own table is satisfied, and asks for the pair it was made for") {
    double margins = 0.0;
    double highs = 0.0;
    for (const Plan& made : support::drawn_plans(81, 60)) {
      CAPTURE(made.dive.levels.front().depth.base());
      const Check found = check(table_of(made), made.rules);
      CHECK(found.verdict.verdict == Verdict::satisfies);
      margins = std::max(margins, std::abs(found.verdict.readings.front().margin));
      CHECK(off(found.replay.margin(), found.verdict.readings.front().margin) <= 1e-9);
      CHECK(found.repair.missing == minutes(0.0));
      CHECK(found.findings.empty());
      REQUIRE(found.at_low.has_value());
      CHECK(found.at_low->low == made.rules.factors.low());
      highs = std::max(highs, off(found.at_low->high, made.rules.factors.high()));
      CHECK(std::is_sorted(found.pairs.begin(), found.pairs.end(),
                           [](const FactorPair& x, const FactorPair& y) { return x.low < y.low; }));
    }
    CHECK(margins <= 1e-9);
    CHECK(highs <= 1e-7);
  }

  TEST_CASE("a little taken from any waited stop fails it, and the repair gives it back") {
    int cut = 0;
    for (const Plan& made : support::drawn_plans(82, 40)) {
      const Table whole = table_of(made);
      for (std::size_t row = 0; row < whole.rows.size(); ++row) {
        if (!made.stops[row].held_by) continue;
        CAPTURE(made.dive.levels.front().depth.base());
        CAPTURE(row);
        Table table = whole;
        const double taken = std::min(0.1, *table.rows[row].minutes);
        table.rows[row].minutes = *table.rows[row].minutes - taken;
        ++cut;
        CHECK_FALSE(satisfies(table, made.rules));
        const Repair repair = check_cell(table, made.rules).check.repair;
        REQUIRE(repair.missing.has_value());
        const double grid = repair.grid.base();
        CHECK(repair.missing->base() <= grid * std::ceil(taken / grid - 1e-9) + 1e-9);
        CHECK(satisfies(repaired(table, repair), made.rules));
      }
    }
    CHECK(cut >= 200);
  }

  TEST_CASE("a hand-cut table without a first stop that is needed") {
    // Gas on arrival, gauge metres, bottom time from the surface: only the travel is open.
    Table table = hand_cut();
    table.minutes.reset();
    const Rules rules = factors_40_80();
    const TableVerdict found = verdict(table, rules);
    REQUIRE(found.readings.size() == 2);
    CHECK(found.readings[0].reading.minutes == MinutesMean::without_travel);
    CHECK(found.readings[1].reading.minutes == MinutesMean::with_travel);
    CHECK(found.verdict == Verdict::does_not);
    CHECK(found.governing == 1);
    // Own computation: down, along the bottom, up to 24 m, held against the line that is anchored
    // where the plan's is; then row by row to the surface.
    const double anchor = plan(support::quince(), support::quince_rules()).anchor.value().base();
    const LimitLine line{rules.factors, anchor};
    const Gas bottom = Gas::parse("18/45");
    for (const ReadingVerdict& one : found.readings) {
      const bool with_travel = one.reading.minutes == MinutesMean::with_travel;
      const CompartmentSet& set = compartment_set(rules.model);
      support::LongWalk diver(set, Place{}, equilibrium_with_air(Place{}.surface, Place{}.vapour));
      diver.move(bottom, 0.0L, 57.0L, 57.0L / 18.0L);
      diver.move(bottom, 57.0L, 57.0L, 25.0L - 57.0L / 18.0L);
      Gas gas = bottom;
      support::Real depth = 57.0L;
      support::Real worst = -1.0L;
      for (const TableRow& row : table.rows) {
        diver.move(gas, depth, row.depth, (depth - row.depth) / 9.0L);
        const support::Real here = diver.beyond(row.depth, line.factor_at(row.depth));
        if (row.depth == 24.0) CHECK(off(static_cast<double>(here), 0.0418) <= 5e-5);
        worst = std::max(worst, here);
        if (row.depth == 21.0) gas = Gas::parse("50");
        if (row.depth == 6.0) gas = Gas::parse("O2");
        // The first two minutes cannot hold 3:40 of travel.
        const bool less = with_travel && row.depth < 24.0;
        diver.move(gas, row.depth, row.depth,
                   *row.minutes - (less ? (depth - row.depth) / 9.0L : 0.0L));
        depth = row.depth;
      }
      diver.move(gas, depth, 0.0L, depth / 9.0L);
      CHECK(off(one.margin, -static_cast<double>(worst)) <= 1e-9);
      CHECK(off(one.surfacing_margin, -static_cast<double>(diver.beyond(0.0L, 0.8L))) <= 1e-9);
      CHECK(off(one.anchor.value().base(), anchor) <= 1e-9);
      CHECK(off(one.surfacing_fraction, with_travel ? 0.829 : 0.797) <= 5e-4);
    }
    CHECK(off(found.readings[0].tightest.base(), 24.0) <= 1e-6);
    const Check whole = check(table, rules);
    REQUIRE(whole.repair.new_stops.size() == 1);
    CHECK(whole.repair.new_stops[0].depth == metres(27.0));
    CHECK(whole.repair.new_stops[0].before_row == 0);
  }

  TEST_CASE("a stop that is lacking is put in and no smaller addition suffices") {
    const Table table = hand_cut();
    const Rules rules = factors_40_80();
    const Repair repair = check(table, rules).repair;
    REQUIRE(repair.minimal());
    REQUIRE(repair.new_stops.size() == 1);
    CHECK(satisfies(repaired(table, repair), rules));
    CHECK_FALSE(repair.at_last_stop.has_value()); // nothing given to 6 m mends 24 m
    Table with_stop = table;
    with_stop.rows.insert(with_stop.rows.begin(), {27.0, 0.0, {}, {}});
    const int missing = static_cast<int>(std::lround(repair.missing->base()));
    CHECK_FALSE(some_addition(with_stop, 0, missing - 1, rules));
    CHECK(some_addition(with_stop, 0, missing, rules));
  }

  TEST_CASE("where an addition is called the least every smaller one fails") {
    std::mt19937 random(83);
    int least = 0;
    for (int j = 0; j < 12; ++j) {
      CAPTURE(j);
      Dive dive = support::single_level(38.0 + j, 22.0, {"21"});
      if (j % 2 == 0) dive.gases.emplace_back("50");
      Rules rules = bare_rules(0.4 + 0.02 * j, 0.85);
      rules.rounding = Rounding::duration;
      Table table = table_of(plan(dive, rules));
      REQUIRE(!table.rows.empty());
      for (int k = 0; k < 3; ++k) {
        TableRow& row = table.rows[random() % table.rows.size()];
        row.minutes = std::max(0.0, *row.minutes - 1.0);
      }
      const Repair repair = check(table, rules).repair;
      REQUIRE(repair.missing.has_value());
      CHECK(repair.grid == minutes(1.0));
      CHECK(repair.new_stops.empty());
      CHECK(satisfies(repaired(table, repair), rules));
      const int missing = static_cast<int>(std::lround(repair.missing->base()));
      if (repair.at_last_stop) {
        CHECK(repair.at_last_stop->base() >= missing);
        Table last = table;
        last.rows.back().minutes = *last.rows.back().minutes + repair.at_last_stop->base();
        CHECK(satisfies(last, rules));
      }
      if (missing == 0) continue;
      REQUIRE(repair.minimal());
      ++least;
      CHECK_FALSE(some_addition(table, 0, missing - 1, rules));
    }
    CHECK(least >= 6);
  }

  TEST_CASE("minutes added to a row of run times move those after it as well") {
    Rules rules = factors_40_80();
    rules.rounding = Rounding::departure;
    const Table table = support::leave_table_of(plan(support::quince(), rules));
    CHECK(satisfies(table, rules));
    for (const std::size_t row : {std::size_t{4}, std::size_t{5}, table.rows.size() - 1}) {
      CAPTURE(row);
      Table cut = table; // all the rest of the ascent two minutes sooner
      for (std::size_t j = row; j < table.rows.size(); ++j)
        cut.rows[j].leave_at = *cut.rows[j].leave_at - 2.0;
      CHECK_FALSE(satisfies(cut, rules));
      const Repair repair = check(cut, rules).repair;
      REQUIRE(repair.missing.has_value());
      CHECK(*repair.missing <= minutes(2.0));
      CHECK(repair.new_stops.empty());
      double moved = 0.0;
      for (std::size_t j = 0; j < table.rows.size(); ++j)
        cut.rows[j].leave_at = *cut.rows[j].leave_at + (moved += repair.added[j]);
      CHECK(satisfies(cut, rules));
    }
  }

  TEST_CASE("a stop that is lacking is put in at a rung of the ladder of the rules") {
    const Table table = hand_cut(); // beyond the line on the way from 57 to 24 m
    Rules rules = factors_40_80();
    for (const double rung : {25.0, 26.5, 29.0}) {
      CAPTURE(rung);
      rules.ladder.rungs = {metres(3.0), metres(6.0), metres(12.0), metres(rung), metres(40.0)};
      const Repair repair = check(table, rules).repair;
      REQUIRE(repair.missing.has_value());
      REQUIRE(repair.new_stops.size() == 1);
      CHECK(repair.new_stops[0].depth == metres(rung));
      CHECK(satisfies(repaired(table, repair), rules));
    }
    rules.ladder.rungs = {metres(3.0), metres(6.0), metres(12.0)}; // none there
    const Check none = check(table, rules);
    CHECK_FALSE(none.repair.missing.has_value());
    CHECK(support::holds(text_of(none), "nor stops put between them at the rungs"));
  }

  TEST_CASE("the text says of what the minutes are the least") {
    const Rules rules = factors_40_80();
    Table table = hand_cut();
    CHECK(support::holds(text_of(check(table, rules)), "(no fewer suffice at these stops)"));
    for (TableRow& row : table.rows) row.minutes = 0.0; // more than can be tried
    const Check found = check(table, rules);
    REQUIRE(found.repair.missing.has_value());
    REQUIRE_FALSE(found.repair.minimal());
    CHECK(found.repair.at_least < *found.repair.missing);
    CHECK(support::holds(text_of(found), "min are missing at most (at these stops at least "));
    const bool bound = std::any_of(found.consequences.begin(), found.consequences.end(),
                                   [](const Consequence& one) { return !one.minimal; });
    CHECK(bound);
    CHECK(support::holds(text_of(found), ", at most "));
  }

  TEST_CASE("a gas without a depth is taken up where a plan takes it up") {
    std::mt19937 random(84);
    int switches = 0;
    const auto compare = [&](const Dive& dive, const Rules& rules) {
      const auto made = support::plan_if_any(dive, rules);
      if (!made || made->stops.empty()) return;
      Table told = table_of(*made); // each gas with the depth at which the plan takes it up
      Table untold = told;
      untold.gases.clear();
      for (const GasChoice& one : dive.gases) {
        untold.gases.push_back({one.gas, {}});
        if (one.switch_depth) untold.gases.back().depth = one.switch_depth->base();
      }
      CHECK(verdict(untold, rules).readings.front().margin ==
            verdict(told, rules).readings.front().margin);
      CHECK(verdict(untold, rules).readings.front().surfacing_fraction ==
            verdict(told, rules).readings.front().surfacing_fraction);
      switches += static_cast<int>(made->switches.size());
    };
    for (int j = 0; j < 30; ++j) {
      Dive dive = support::drawn_dive(random);
      const Rules rules = support::drawn_rules(random);
      compare(dive, rules);
      // A depth that another gas was given is not its own; one no richer is left alone.
      dive = support::single_level(45.0, 30.0, {"25", "50@6", "O2"});
      dive.gases[1].switch_depth = metres(j % 2 == 0 ? 6.0 : 9.0);
      compare(dive, rules);
      dive = support::single_level(30.0, 40.0, {"25", "60", "40"});
      dive.gases[1].switch_depth = metres(15.0);
      Rules shallow = rules; // 40 % qualifies at 12 m, where 60 % is breathed already
      shallow.ladder.rungs = {metres(3.0), metres(6.0), metres(9.0), metres(12.0)};
      compare(dive, shallow);
      const auto made = support::plan_if_any(dive, shallow);
      REQUIRE(made.has_value());
      CHECK(made->switches.size() == 1);
    }
    CHECK(switches >= 60);
  }
}

} // namespace

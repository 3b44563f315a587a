#include "paths.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <utility>
#include <vector>

// Source: this project's definition, docs/theory.md, section "Checking a table". What goes wrong on
// a dive is laid out by hand here and replayed; what is wrong in a table is put there by hand.

namespace {

using namespace upline;
using support::factors_40_80;
using support::off;
using support::plain_table;

// ---- dives made by hand ------------------------------------------------------------------------

/// A stop as the diver makes it.
struct Made {
  double depth = 0.0;
  double until_or_for = 0.0; ///< Run time of leaving, or minutes.
  std::optional<Gas> takes{};
  double late = 0.0; ///< Minutes after arrival at which the gas is taken up.
};

struct DiveMade {
  double bottom = 0.0;
  double leaves_bottom = 0.0;
  Gas gas{};
  std::vector<Made> stops{};
  bool leave_at = false;
};

/// Down at 18 m/min, up at 9. Gases are taken up wherever the diver is at their moment.
Profile profile_of(const DiveMade& dive) {
  std::vector<std::pair<double, double>> points{
      {0.0, 0.0}, {dive.bottom / 18.0, dive.bottom}, {dive.leaves_bottom, dive.bottom}};
  std::vector<std::pair<double, Gas>> changes{{0.0, dive.gas}};
  const auto go = [&](double depth) {
    points.emplace_back(points.back().first + (points.back().second - depth) / 9.0, depth);
  };
  for (const Made& stop : dive.stops) {
    go(stop.depth);
    const double arrives = points.back().first;
    if (stop.takes && std::isfinite(stop.late))
      changes.emplace_back(arrives + stop.late, *stop.takes);
    const double leaves = dive.leave_at ? stop.until_or_for : arrives + stop.until_or_for;
    points.emplace_back(std::max(arrives, leaves), stop.depth);
  }
  go(0.0);
  Profile profile;
  profile.bottom_left = minutes(dive.leaves_bottom);
  for (std::size_t j = 0; j < points.size(); ++j) {
    const auto [at, depth] = points[j];
    std::optional<Gas> gas;
    for (const auto& [when, which] : changes) {
      if (j > 0 && when > points[j - 1].first + 1e-9 && when < at - 1e-9) {
        const auto [before, from] = points[j - 1];
        profile.waypoints.push_back(
            {minutes(when), metres(from + (depth - from) * (when - before) / (at - before)),
             which});
      }
      if (off(when, at) <= 1e-9) gas = which;
    }
    profile.waypoints.push_back({minutes(at), metres(depth), gas});
  }
  return profile;
}

/// 57 m for 25 min on the Quince Blossom (invented), followed to the letter.
DiveMade as_written(bool leave_at) {
  const Gas fifty = Gas::parse("50");
  const Gas oxygen = Gas::parse("O2");
  if (leave_at)
    return {57.0,
            25.0,
            Gas::parse("18/45"),
            {{27, 29},
             {24, 31},
             {21, 33, fifty},
             {18, 34},
             {15, 37},
             {12, 41},
             {9, 47},
             {6, 68, oxygen}},
            true};
  return {57.0,
          25.0,
          Gas::parse("18/45"),
          {{27, 1}, {24, 2}, {21, 2, fifty}, {18, 2}, {15, 3}, {12, 4}, {9, 6}, {6, 21, oxygen}}};
}

Table table_of(const DiveMade& dive) {
  Table table = plain_table(dive.bottom, dive.leaves_bottom, {{dive.gas, {}}});
  if (dive.leave_at) table.minutes = MinutesMean::leave_at;
  Gas in_use = dive.gas;
  for (const Made& stop : dive.stops) {
    in_use = stop.takes.value_or(in_use);
    table.rows.push_back({stop.depth, stop.until_or_for, {}, in_use});
    if (dive.leave_at) std::swap(table.rows.back().minutes, table.rows.back().leave_at);
  }
  return table;
}

DiveMade with(DiveMade dive, const Consequence& one) {
  switch (one.mishap) {
  case Mishap::row_left_out:
    dive.stops.erase(dive.stops.begin() + static_cast<std::ptrdiff_t>(*one.row));
    break;
  case Mishap::minute_short: dive.stops[*one.row].until_or_for -= one.amount; break;
  case Mishap::switch_missed:
    dive.stops[*one.row].late = std::numeric_limits<double>::infinity();
    break;
  case Mishap::switch_late: dive.stops[*one.row].late = one.amount; break;
  case Mishap::leaves_late: dive.leaves_bottom += one.amount; break;
  case Mishap::deeper: dive.bottom += one.amount; break;
  }
  return dive;
}

TEST_SUITE("mishaps") {
  TEST_CASE("each mishap is the dive that it says") {
    for (const bool leave_at : {false, true}) {
      CAPTURE(leave_at);
      const DiveMade dive = as_written(leave_at);
      const Table table = table_of(dive);
      const Rules rules = factors_40_80();
      const Replay whole = replay(profile_of(dive), rules);
      const Check found = check(table, rules);
      CHECK(off(found.verdict.readings.front().margin, whole.margin()) <= 1e-9);
      CHECK(found.consequences.size() == 8 * 2 + 2 * 6 + 3);
      double last = -1e9;
      for (const Consequence& one : found.consequences) {
        CAPTURE(static_cast<int>(one.mishap));
        CAPTURE(one.row.value_or(99));
        CAPTURE(one.amount);
        const Replay made = replay(profile_of(with(dive, one)), rules);
        CHECK(off(one.surfacing_fraction, made.surfacing_fraction) <= 1e-9);
        CHECK(off(one.margin, made.margin()) <= 1e-9);
        CHECK(one.margin >= last); // the tightest first
        last = one.margin;
        CHECK(one.missing.value_or(minutes(1.0)).base() >= (one.margin < -1e-9 ? 1e-9 : 0.0));
      }
    }
  }

  TEST_CASE("a minute lost at one row is waited for at the next where run times are followed") {
    const DiveMade dive = as_written(true);
    const Check found = check(table_of(dive), factors_40_80());
    const auto at = [&](std::size_t row) {
      const auto one = std::find_if(
          found.consequences.begin(), found.consequences.end(),
          [&](const Consequence& c) { return c.mishap == Mishap::minute_short && c.row == row; });
      REQUIRE(one != found.consequences.end());
      return *one;
    };
    // Only at the last row does it shorten the dive.
    const double written = found.verdict.readings.front().surfacing_fraction;
    const double early = at(4).surfacing_fraction - written;
    const double end = at(7).surfacing_fraction - written;
    CHECK(std::abs(early) < 0.1 * end);
    CHECK(end > 0.0);
  }

  TEST_CASE("minutes missing after a mishap are those missing from the table that has it") {
    Rules rules = factors_40_80();
    rules.rounding = Rounding::duration;
    const Table table = support::table_of(plan(support::single_level(38.0, 20.0, {"28"}), rules));
    REQUIRE(table.rows.size() >= 3);
    const Check whole = check(table, rules);
    CHECK(whole.verdict.verdict == Verdict::satisfies);
    int compared = 0;
    for (const Consequence& one : whole.consequences) {
      Table changed = table;
      if (one.mishap == Mishap::row_left_out)
        changed.rows.erase(changed.rows.begin() + static_cast<std::ptrdiff_t>(*one.row));
      if (one.mishap == Mishap::minute_short)
        changed.rows[*one.row].minutes = *changed.rows[*one.row].minutes - 1.0;
      if (one.mishap == Mishap::leaves_late) changed.bottom_time += one.amount;
      if (one.mishap == Mishap::deeper) changed.depth += one.amount;
      const Repair wanted = check(changed, rules).repair;
      CAPTURE(static_cast<int>(one.mishap));
      CAPTURE(one.row.value_or(99));
      CAPTURE(one.amount);
      REQUIRE(one.missing.has_value());
      REQUIRE(wanted.missing.has_value());
      CHECK(*one.missing >= *wanted.missing); // it may be a bound
      CHECK((*one.missing - *wanted.missing).base() <= 2.0);
      compared += *one.missing > minutes(0.0) ? 1 : 0;
    }
    CHECK(compared >= 5);
  }

  TEST_CASE("a table of one row can lose it") {
    Table table = plain_table(30.0, 25.0, {{Gas::parse("28"), {}}});
    table.rows.push_back({3.0, 8.0, {}, {}});
    const Check found = check(table, factors_40_80());
    const auto one =
        std::find_if(found.consequences.begin(), found.consequences.end(),
                     [](const Consequence& c) { return c.mishap == Mishap::row_left_out; });
    REQUIRE(one != found.consequences.end());
    CHECK(one->margin < 0.0);
    CHECK(one->missing.value_or(minutes(0.0)) >= minutes(1.0));
  }
}

} // namespace

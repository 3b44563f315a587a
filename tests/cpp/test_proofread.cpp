#include "paths.hpp"

#include <algorithm>
#include <cstddef>
#include <initializer_list>
#include <optional>
#include <utility>
#include <vector>

// Source: this project's definition, docs/theory.md, section "Checking a table". What is wrong in a
// table is put there by hand, or drawn.

namespace {

using namespace upline;
using support::factors_40_80;
using support::off;
using support::plain_table;

Table doctored(std::initializer_list<std::pair<double, double>> rows) {
  Table table = plain_table(
      57.0, 25.0, {{Gas::parse("18/45"), {}}, {Gas::parse("50"), 21.0}, {Gas::parse("O2"), 6.0}});
  for (const auto& [depth, time] : rows) table.rows.push_back({depth, time, {}, {}});
  return table;
}

Table sound() {
  return doctored({{27, 1}, {24, 2}, {21, 2}, {18, 2}, {15, 3}, {12, 4}, {9, 6}, {6, 21}});
}

/// The same dive as run times of leaving, each row with its gas.
Table run_times() {
  Table table = plain_table(57.0, 25.0, {{Gas::parse("18/45"), {}}});
  table.minutes = MinutesMean::leave_at;
  for (const auto& [depth, leaves] :
       {std::pair(27.0, 29.0), {24, 31}, {21, 33}, {18, 34}, {15, 37}, {12, 41}, {9, 47}, {6, 68}})
    table.rows.push_back({depth,
                          {},
                          leaves,
                          Gas::parse(depth > 21.0  ? "18/45"
                                     : depth > 6.0 ? "50"
                                                   : "O2")});
  return table;
}

std::vector<Finding> findings_of(const Table& table) {
  return check(table, factors_40_80()).findings;
}

/// The only finding there is.
Finding finding_of(const Table& table) {
  const std::vector<Finding> found = findings_of(table);
  REQUIRE(found.size() == 1);
  return found.front();
}

TEST_SUITE("proofreading") {
  TEST_CASE("every oddity put into a sound table is found, with what was meant") {
    CHECK(findings_of(sound()).empty());
    const auto expect = [](const Table& table, Oddity oddity, std::size_t row, double value,
                           std::optional<double> proposed) {
      const Finding found = finding_of(table);
      CAPTURE(static_cast<int>(oddity));
      CHECK(found.oddity == oddity);
      CHECK(found.row == row);
      CHECK(off(found.value, value) <= 1e-9);
      REQUIRE(found.proposed.has_value() == proposed.has_value());
      if (proposed) CHECK(off(*found.proposed, *proposed) <= 1e-9);
    };
    Table table = sound();
    table.rows[1].depth = 42.0; // digits of 24
    expect(table, Oddity::order, 1, 42.0, 24.0);
    table = sound();
    table.rows[0].depth = 72.0;
    expect(table, Oddity::not_above_bottom, 0, 72.0, 27.0);
    table = sound();
    table.rows[3].depth = 17.0;
    expect(table, Oddity::depth_off_grid, 3, 17.0, 18.0);
    table = sound();
    table.rows.erase(table.rows.begin() + 4);
    expect(table, Oddity::row_missing, 4, 12.0, 15.0);
    table = sound();
    table.gases[1].depth = 22.0;
    expect(table, Oddity::switch_off_rows, detail::no_row, 22.0, {});
    table = sound();
    table.rows[5].minutes = 41.0;
    expect(table, Oddity::minutes_off, 5, 41.0, 4.0);
    table = sound();
    table.rows[7].minutes = 21.0;
    table.gases[2].depth = 9.0;
    expect(table, Oddity::gas_too_rich, 6, 1.01325 + 0.9, 6.0);
    table = plain_table(57.0, 25.0, {{Gas::parse("10/50"), {}}});
    for (const auto& [depth, time] : {std::pair(9.0, 20.0), {6.0, 30.0}, {3.0, 60.0}})
      table.rows.push_back({depth, time, {}, {}});
    expect(table, Oddity::gas_too_lean, 2, 0.1 * (1.01325 + 0.3), {});
  }

  TEST_CASE("run times that fall and columns that disagree are found") {
    Table table = run_times();
    CHECK(findings_of(table).empty());
    table.rows[5].leave_at = 14.0; // digits of 41
    Finding found = finding_of(table);
    CHECK(found.oddity == Oddity::run_time_falls);
    CHECK(found.row == 5);
    CHECK(found.proposed == 41.0);
    // Both columns: minutes with the travel to the stop.
    table = run_times();
    double left = 25.0;
    for (TableRow& row : table.rows) {
      row.minutes = *row.leave_at - left;
      left = *row.leave_at;
    }
    CHECK(findings_of(table).empty());
    const Table both = table;
    table.rows[7].minutes = 12.0; // digits of 21
    table.minutes = MinutesMean::leave_at;
    found = finding_of(table);
    CHECK(found.oddity == Oddity::times_disagree);
    CHECK(found.row == 7);
    CHECK_FALSE(found.in_run_time);
    CHECK(found.proposed == 21.0);
    table = both;
    table.rows[4].leave_at = 39.0; // 37
    found = finding_of(table);
    CHECK(found.oddity == Oddity::times_disagree);
    CHECK(found.row == 4);
    CHECK(found.in_run_time);
    CHECK(found.proposed == 37.0);
  }

  TEST_CASE("nothing is odd about rounded plans") {
    // Rungs passed without a wait among them, and switches made on passing.
    for (const Plan& made : support::drawn_plans(91, 500, Rounding::duration)) {
      CAPTURE(made.dive.levels.front().depth.base());
      CHECK(proofread(support::table_of(made), made.rules).empty());
    }
    for (const Plan& made : support::drawn_plans(92, 1000, Rounding::departure)) {
      CAPTURE(made.dive.levels.front().depth.base());
      Table table = support::leave_table_of(made);
      CHECK(proofread(table, made.rules).empty());
      for (std::size_t j = 0; j < table.rows.size(); ++j)
        table.rows[j].minutes = made.stops[j].stay.base(); // with travel
      CHECK(proofread(table, made.rules).empty());
    }
  }

  TEST_CASE("two digits of a run time in the other order are found in its row") {
    int out_of_order = 0;
    int mended = 0;
    int named = 0;
    int rising = 0;
    int mended_though_rising = 0;
    int wrongly_though_rising = 0;
    for (const Plan& made : support::drawn_plans(93, 300, Rounding::departure)) {
      const Table sound = support::leave_table_of(made);
      for (std::size_t row = 0; row < sound.rows.size(); ++row)
        for (const double written : detail::digits_exchanged(*sound.rows[row].leave_at)) {
          Table table = sound;
          table.rows[row].leave_at = written;
          double last = table.bottom_time;
          const bool rises =
              std::all_of(table.rows.begin(), table.rows.end(), [&](const auto& one) {
                return *one.leave_at > std::exchange(last, *one.leave_at);
              });
          std::vector<Finding> found = proofread(table, made.rules);
          std::erase_if(found, [](const Finding& one) { return !one.in_run_time; });
          REQUIRE(found.size() <= 1);
          REQUIRE((rises || found.size() == 1)); // one that is out of order is never passed over
          const bool here = !found.empty() && found[0].row == row && found[0].value == written;
          const bool right = here && found[0].proposed == *sound.rows[row].leave_at;
          (rises ? rising : out_of_order) += 1;
          named += !rises && here ? 1 : 0;
          (rises ? mended_though_rising : mended) += right ? 1 : 0;
          wrongly_though_rising += rises && !found.empty() && !right ? 1 : 0;
        }
    }
    CAPTURE(out_of_order);
    CAPTURE(mended);
    CAPTURE(rising);
    CAPTURE(mended_though_rising);
    CAPTURE(wrongly_though_rising);
    // Of six times a thousand plans 99.2 to 99.7 % were mended. The rest have another exchange that
    // gives as smooth an ascent.
    CHECK(out_of_order >= 1000);
    CHECK(mended >= 0.985 * out_of_order);
    CHECK(named >= mended);
    // Where run times still rise, an eighth is seen by the stays; hardly any is seen wrongly.
    CHECK(mended_though_rising >= 0.08 * rising);
    CHECK(wrongly_though_rising <= 0.02 * rising);
  }

  TEST_CASE("a run time too large is not put down to the rows after it") {
    // The Quince Blossom (invented): 29 31 33 34 37 41 47 68.
    const Table sound = run_times();
    const auto expect = [&](std::size_t row, double written, std::optional<double> meant) {
      Table table = sound;
      table.rows[row].leave_at = written;
      const Finding found = finding_of(table);
      CAPTURE(written);
      CHECK(found.oddity == Oddity::run_time_falls);
      CHECK(found.row == row);
      CHECK(found.value == written);
      CHECK(found.proposed == meant);
    };
    expect(3, 43.0, 34.0);
    expect(4, 73.0, 37.0);
    expect(6, 74.0, 47.0); // 86 for the 68 after it would be in order too
    expect(4, 57.0, {});   // no exchange of digits
    // In a column that nobody named.
    Table table = sound;
    table.minutes.reset();
    for (TableRow& row : table.rows) std::swap(row.minutes, row.leave_at);
    CHECK(findings_of(table).empty());
    table.rows[4].minutes = 73.0;
    const std::vector<Finding> found = findings_of(table);
    REQUIRE(!found.empty());
    CHECK(found.front().oddity == Oddity::run_time_falls);
    CHECK(found.front().row == 4);
    CHECK(found.front().proposed == 37.0);
    // Both columns: the digits are known although the minutes are rounded.
    table = sound;
    double left = 25.0;
    for (TableRow& row : table.rows)
      row.minutes = *row.leave_at - std::exchange(left, *row.leave_at);
    table.rows[4].minutes = *table.rows[4].minutes - 1.0;
    table.rows[4].leave_at = 73.0;
    const Finding both = finding_of(table);
    CHECK(both.oddity == Oddity::times_disagree);
    CHECK(both.row == 4);
    CHECK(both.proposed == 37.0);
  }

  TEST_CASE("digits are exchanged two by two") {
    using detail::digits_exchanged;
    CHECK(digits_exchanged(7.0).empty());
    CHECK(digits_exchanged(33.0).empty());
    CHECK(digits_exchanged(20.0).empty()); // 02 is not written
    CHECK(digits_exchanged(45.5).empty());
    CHECK(digits_exchanged(45.0) == std::vector<double>{54.0});
    CHECK(digits_exchanged(123.0) == std::vector<double>{132.0, 213.0, 321.0});
  }

  TEST_CASE("a rung without a row is named only where the line is left for it") {
    Table table = sound();
    table.rows.erase(table.rows.begin() + 4); // 15 m, where 3 min are spent
    CHECK(finding_of(table).oddity == Oddity::row_missing);
    table.rows[3].minutes = 12.0; // at 18 m: the rung at 15 m asks for nothing now
    const std::vector<Finding> found = findings_of(table);
    CHECK(std::none_of(found.begin(), found.end(),
                       [](const Finding& one) { return one.oddity == Oddity::row_missing; }));
    // A switch at a rung is no oddity; one between rungs is.
    table = doctored({{27, 1}, {24, 8}, {18, 2}, {15, 3}, {12, 4}, {9, 6}, {6, 21}});
    const auto off_rows = [](const Table& one) {
      const std::vector<Finding> all = findings_of(one);
      return std::count_if(all.begin(), all.end(),
                           [](const Finding& f) { return f.oddity == Oddity::switch_off_rows; });
    };
    CHECK(off_rows(table) == 0);
    table.gases[1].depth = 20.0;
    CHECK(off_rows(table) == 1);
  }
}

} // namespace

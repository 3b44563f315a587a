#include "paths.hpp"

#include <upline/card_text.hpp>
#include <upline/check_text.hpp>

#include <algorithm>
#include <cstddef>
#include <string>
#include <vector>

// Source: this project's definition, docs/theory.md, section "Checking a table": what refuses is
// said first, run times decide between readings, and nothing is computed from a number that
// contradicts others.

namespace {

using namespace upline;
using support::add_rows;
using support::factors_40_80;
using support::holds;
using support::plain_table;
using support::quince_gases;

/// On one line, so that a phrase is found wherever it was broken.
std::string flat(std::string text) {
  for (char& c : text) c = c == '\n' ? ' ' : c;
  for (std::size_t at = 0; (at = text.find("  ", at)) != std::string::npos;) text.erase(at, 1);
  return text;
}

/// Run times of a plan for the Quince Blossom (invented), whole minutes.
Table run_times(const Gas& at_nine) {
  Table table = plain_table(57.0, 25.0, {{Gas::parse("18/45"), {}}});
  table.minutes = MinutesMean::leave_at;
  add_rows(table, {{27, 29}, {24, 31}, {21, 33}, {18, 35}, {15, 37}, {12, 41}, {9, 47}, {6, 70}});
  table.rows[2].gas = Gas::parse("50");
  table.rows[6].gas = at_nine;
  table.rows[7].gas = Gas::parse("O2");
  return table;
}

/// Minutes beside run times, both in whole minutes, without a word on what they mean.
Table both_columns() {
  Table table = plain_table(57.0, 25.0, quince_gases());
  table.minutes.reset();
  table.bottom_from.reset();
  table.rows = {{27, 1.0, 29.0, {}}, {24, 2.0, 31.0, {}}, {21, 2.0, 33.0, {}}, {18, 2.0, 35.0, {}},
                {15, 2.0, 37.0, {}}, {12, 4.0, 41.0, {}}, {9, 6.0, 47.0, {}},  {6, 22.0, 69.0, {}}};
  return table;
}

bool has(const TableVerdict& found, MinutesMean mean, BottomTimeFrom from) {
  return std::any_of(found.readings.begin(), found.readings.end(), [&](const ReadingVerdict& one) {
    return one.reading.minutes == mean && one.reading.bottom_from == from;
  });
}

TEST_SUITE("verdict text") {
  TEST_CASE("what refuses comes before what the limit line says") {
    const Rules rules = factors_40_80();
    const Check lethal = check(run_times(Gas::parse("O2")), rules);
    CHECK(lethal.verdict.verdict == Verdict::satisfies); // the verdict is about the line
    CHECK(lethal.refused());
    const std::string text = verdict_text(lethal);
    // 1.01325 + 0.9 bar; the share is that of test_oxygen's own sums.
    CHECK(text.rfind("Refused: oxygen at 9 m is 1.91 bar, CNS ", 0) == 0);
    CHECK(holds(text, "%. As to the limit line alone: satisfies 40/80"));
    CHECK(holds(flat(text_of(lethal)), "oxygen at 9 m is 1.91 bar: not deeper than 6 m."));
    const Check sound = check(run_times(Gas::parse("50")), rules);
    CHECK(sound.verdict.verdict == Verdict::satisfies);
    CHECK_FALSE(sound.refused());
    CHECK(verdict_text(sound).rfind("Satisfies 40/80", 0) == 0);
    // Beyond the line alone is no other reason.
    Table shallow = run_times(Gas::parse("50"));
    shallow.rows.back().leave_at = shallow.rows.back().minutes = 55.0;
    const Check beyond = check(shallow, rules);
    CHECK(beyond.verdict.verdict == Verdict::does_not);
    CHECK_FALSE(beyond.refused());
  }

  TEST_CASE("a card leads with the cell that is refused") {
    const Card card =
        check_card({run_times(Gas::parse("50")), run_times(Gas::parse("O2"))}, factors_40_80());
    REQUIRE(card.cells.size() == 2);
    CHECK(card.refused());
    CHECK(card.verdict() == Verdict::satisfies);
    CHECK(card.cells.front().position == 1);
    CHECK(card_table(card)[2][2] == "refused; line: satisfies");
    CHECK(card_table(card)[3][2] == "satisfies");
    const std::string text = flat(text_of(card));
    CHECK(text.rfind("1 cell is refused whatever the limit line says", 0) == 0);
    CHECK(holds(text, "57 m, 25 min: Refused: oxygen at 9 m is 1.91 bar, CNS "));
  }

  TEST_CASE("readings that contradict the run times of the table are not meant") {
    const Rules rules = factors_40_80();
    const TableVerdict found = verdict(both_columns(), rules);
    // Without travel row 8 would be left at 71:40; from arrival row 1 at 32:30.
    CHECK(has(found, MinutesMean::with_travel, BottomTimeFrom::surface));
    CHECK(has(found, MinutesMean::leave_at, BottomTimeFrom::surface));
    CHECK(found.readings.size() == 2);
    CHECK_FALSE(found.times_disagree());
    // Two tenths of rounding are no contradiction, a minute and a half are.
    Table near = both_columns();
    for (TableRow& row : near.rows) row.minutes = *row.minutes - 0.3;
    CHECK(has(verdict(near, rules), MinutesMean::without_travel, BottomTimeFrom::surface));
    CHECK_FALSE(has(verdict(near, rules), MinutesMean::with_travel, BottomTimeFrom::surface));
  }

  TEST_CASE("where every reading contradicts them all are kept and it is said") {
    const Rules rules = factors_40_80();
    Table table = both_columns();
    table.bottom_from = BottomTimeFrom::arrival;
    table.minutes = MinutesMean::without_travel;
    const Check found = check(table, rules);
    CHECK(found.verdict.readings.size() == 1);
    CHECK(found.verdict.times_disagree());
    CHECK(holds(flat(text_of(found)), "run times disagree by more than rounding in every reading"));
  }

  TEST_CASE("no minutes are computed on a number that contradicts others") {
    const Rules rules = factors_40_80();
    Table table = run_times(Gas::parse("50"));
    table.rows[5].minutes = 14.0; // 41
    const Check found = check(table, rules);
    CHECK(found.unsettled());
    CHECK_FALSE(found.repair.missing.has_value());
    CHECK(found.pairs.empty());
    CHECK(found.consequences.empty());
    REQUIRE(found.corrected.has_value());
    CHECK(found.corrected->verdict.verdict == Verdict::satisfies);
    CHECK(found.corrected->repair.missing == minutes(0.0));
    const std::string text = flat(text_of(found));
    CHECK(holds(verdict_text(found), "with 41 in place of 14 in row 6 (12 m) it satisfies 40/80."));
    CHECK(holds(text, "No minutes are computed for it as it is written until that is settled. With "
                      "41 in place of 14 in row 6 (12 m): No minutes are missing."));
    CHECK_FALSE(holds(text, "more at"));
    CHECK_FALSE(holds(text, "Pairs that"));
    // With two numbers wrong nothing is computed for either.
    table.rows[1].depth = 42.0;
    const Check two = check(table, rules);
    CHECK_FALSE(two.corrected.has_value());
    CHECK(holds(verdict_text(two),
                "Its numbers contradict each other: see what is odd in its numbers."));
    // One that is mended and short says by how much.
    table = support::hand_cut();
    table.rows[4].minutes = 14.0;
    const Check mended = check(table, rules);
    REQUIRE(mended.corrected.has_value());
    CHECK(
        holds(verdict_text(mended), " A number of it is probably miscopied; with 4 in place of "));
    CHECK(mended.corrected->repair.missing == check(support::hand_cut(), rules).repair.missing);
    CHECK(card_table(check_card({table}, rules))[2][6] == "unsettled");
  }

  TEST_CASE("the pairs lead with the low factor asked for and stop at 100") {
    Table table = support::hand_cut();
    table.rows.insert(table.rows.begin(), {27.0, 2.0, {}, {}});
    table.rows.back().minutes = 17.0;
    const Rules rules = factors_40_80();
    const Check found = check(table, rules);
    REQUIRE(found.at_low.has_value());
    CHECK(found.at_low->low == 0.4);
    CHECK(found.at_low->high > 0.8);
    Rules at_it = rules;
    at_it.factors = GradientFactors(0.4, found.at_low->high + 1e-6);
    CHECK(verdict(table, at_it).verdict == Verdict::satisfies);
    at_it.factors = GradientFactors(0.4, found.at_low->high - 1e-4);
    CHECK(verdict(table, at_it).verdict == Verdict::does_not);
    CHECK(holds(flat(text_of(found)), "With low 40 it needs high "));
    table.rows.back().minutes = 10.0; // surfaces beyond the published limit
    const Check beyond = check(table, rules);
    CHECK_FALSE(beyond.at_low.has_value());
    REQUIRE_FALSE(beyond.pairs.empty());
    CHECK(beyond.pairs.back().high > 1.0); // data
    CHECK(holds(flat(text_of(beyond)), "With low 40 no high factor up to 100 suffices. Pairs that "
                                       "it satisfies: none up to 100/100."));
  }

  TEST_CASE("no pair of the front is dominated by another") {
    for (const double last : {3.0, 8.0, 12.0, 20.0, 40.0}) {
      Table table = support::hand_cut();
      table.rows.insert(table.rows.begin(), {27.0, 2.0, {}, {}});
      table.rows.back().minutes = last;
      const std::vector<FactorPair> pairs = check(table, factors_40_80()).pairs;
      REQUIRE(!pairs.empty());
      for (std::size_t j = 1; j < pairs.size(); ++j) {
        CAPTURE(last);
        CHECK(pairs[j].low > pairs[j - 1].low);
        CHECK(pairs[j].high < pairs[j - 1].high);
      }
    }
  }

  TEST_CASE("what cannot be told ends with how to answer") {
    const Rules rules = factors_40_80();
    Table table = plain_table(57.0, 25.0, quince_gases());
    add_rows(table, {{27, 1}, {24, 2}, {21, 1}, {18, 2}, {15, 2}, {12, 4}, {9, 6}, {6, 21}});
    table.minutes.reset();
    const Check found = check(table, rules);
    REQUIRE(found.verdict.verdict == Verdict::cannot_tell);
    const std::string text = verdict_text(found);
    CHECK(holds(text, "it does (surfacing 0."));
    CHECK(holds(text, "Ask whoever cut it, then say so: minutes=\"without travel\""));
    CHECK(holds(text, "--minutes"));
    CHECK(holds(flat(text_of(found)), "(not to the first one, which is too short for it)"));
  }

  TEST_CASE("questions that decide together are named together") {
    // Found by trying last stops: the usual reading satisfies, no single answer turns it.
    const Rules rules = factors_40_80();
    int together = 0;
    for (double last = 15.0; last <= 30.0; last += 0.1) {
      Table table = plain_table(57.0, 25.0, quince_gases());
      add_rows(table, {{27, 2}, {24, 2}, {21, 2}, {18, 2}, {15, 3}, {12, 5}, {9, 7}, {6, last}});
      table.switch_minute.reset();
      table.water_said = false;
      const Check found = check_cell(table, rules).check;
      if (found.verdict.verdict != Verdict::cannot_tell) continue;
      const std::string text = verdict_text(found);
      CHECK(holds(text, "then say so: "));
      if (holds(text, "It fails 40/80 ")) {
        ++together;
        CHECK(holds(text, " and "));
        CHECK(holds(text, "environment=Environment(water=\"sea\")"));
        CHECK(holds(text, "switch_minute="));
        CHECK(holds(text, "as it is usually read it satisfies it (surfacing "));
      }
    }
    CHECK(together > 0);
  }

  TEST_CASE("additions lie on whole minutes where one column of the table does") {
    Table table = both_columns();
    table.minutes = MinutesMean::without_travel;
    table.bottom_from = BottomTimeFrom::surface;
    for (TableRow& row : table.rows) row.minutes = *row.minutes - 0.3;
    table.rows.back().minutes = 15.7;
    table.rows.back().leave_at = 63.0;
    const Repair repair = check(table, factors_40_80()).repair;
    CHECK(repair.grid == minutes(1.0));
    for (TableRow& row : table.rows) row.leave_at.reset();
    CHECK(check(table, factors_40_80()).repair.grid.base() == doctest::Approx(0.1)); // its own
  }
}

} // namespace

#include "paths.hpp"

#include <cmath>
#include <cstddef>
#include <string>
#include <vector>

// Source: this project's definition, docs/theory.md, section "Checking a table": a card is its
// tables, each as check() sees it.

namespace {

using namespace upline;
using support::factors_40_80;
using support::hand_cut;
using support::holds;

/// The table of the Quince Blossom (invented) with so many minutes at its last stop.
Table with_last(double minutes) {
  Table table = hand_cut();
  table.rows.insert(table.rows.begin(), {27.0, 2.0, {}, {}});
  table.rows.back().minutes = minutes;
  return table;
}

TEST_SUITE("card") {
  TEST_CASE("the worst cell comes first and each is as check() sees it") {
    const Rules rules = factors_40_80();
    const std::vector<Table> cells{with_last(20), with_last(5), with_last(30), with_last(12)};
    const Card card = check_card(cells, rules);
    std::vector<std::size_t> order;
    for (const CardCell& one : card.cells) order.push_back(one.position);
    CHECK(order == std::vector<std::size_t>{1, 3, 0, 2});
    CHECK(card.broken.empty());
    CHECK(card.verdict() == Verdict::does_not);
    for (const CardCell& cell : card.cells) {
      const Check whole = check(cells[cell.position], rules);
      CHECK(cell.check.verdict.verdict == whole.verdict.verdict);
      CHECK(cell.margin() == whole.verdict.readings.front().margin);
      CHECK(cell.check.replay.margin() == whole.replay.margin());
      REQUIRE(cell.check.repair.missing.has_value());
      CHECK(*cell.check.repair.missing >= *whole.repair.missing);
      CHECK(cell.check.repair.at_least <= whole.repair.at_least);
      CHECK(cell.check.findings.size() == whole.findings.size());
      CHECK(cell.check.rows.size() == whole.rows.size());
    }
  }

  TEST_CASE("the verdict of a card is that of its worst cell") {
    const Rules rules = factors_40_80();
    CHECK(check_card({with_last(40), with_last(30)}, rules).verdict() == Verdict::satisfies);
    Table open = with_last(22);
    open.minutes.reset();
    REQUIRE(verdict(open, rules).verdict == Verdict::cannot_tell);
    CHECK(check_card({with_last(40), open}, rules).verdict() == Verdict::cannot_tell);
    CHECK(check_card({with_last(5), open}, rules).verdict() == Verdict::does_not);
    Table broken = with_last(40);
    broken.rows[2].minutes = std::nan("");
    CHECK(check_card({with_last(40), broken}, rules).verdict() == Verdict::cannot_tell);
    CHECK(check_card({}, rules).verdict() == Verdict::cannot_tell);
  }

  TEST_CASE("a cell with which nothing can be done is told of and the rest goes on") {
    const Rules rules = factors_40_80();
    std::vector<Table> cells{with_last(30), with_last(5), with_last(20)};
    cells[1].rows[2].minutes.reset();
    const Card card = check_card(cells, rules);
    REQUIRE(card.cells.size() == 2);
    CHECK(card.cells[0].position == 2);
    REQUIRE(card.broken.size() == 1);
    CHECK(card.broken[0].position == 1);
    CHECK(holds(card.broken[0].error, "row 3"));
    const std::string text = text_of(card);
    CHECK(holds(text, "Of 3 cells 1 satisfies 40/80 (ZH-L16C), 1 does not, 1 cannot be checked."));
    CHECK(holds(text, "cell 2: row 3"));
    Rules none = rules;
    none.max_deco_po2 = bar(-1.0);
    CHECK(support::thrown<InvalidInput>([&] { (void)check_card(cells, none); }).has_value());
  }

  TEST_CASE("the text has a line for each cell, what is wrong, what is odd and the foot") {
    std::vector<Table> cells{with_last(40), with_last(12)};
    cells[0].rows[1].depth = 42.0; // digits of 24
    const Card card = check_card(cells, factors_40_80());
    const std::vector<CardLine> lines = card_table(card);
    REQUIRE(lines.size() == 4);
    CHECK(lines[0][2] == "verdict");
    CHECK(lines[1][0] == "m");
    for (std::size_t j = 0; j < 2; ++j) {
      CHECK(lines[2 + j][0] == "57");
      CHECK(lines[2 + j][1] == "25");
    }
    std::string text = text_of(card);
    for (char& c : text) c = c == '\n' ? ' ' : c;
    for (std::size_t at = 0; (at = text.find("  ", at)) != std::string::npos;) text.erase(at, 1);
    CHECK(holds(text, "What is wrong"));
    CHECK(holds(text, verdict_text(card.cells[0].check)));
    CHECK(holds(text, "Odd in their numbers"));
    CHECK(holds(text, "24 meant?"));
    CHECK(holds(text, "It does not make a dive safe"));
    CHECK(holds(text, "No time to fly"));
    CHECK(holds(text, "Assumptions"));
  }
}

} // namespace

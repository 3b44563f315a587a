#include "support.hpp"

#include <upline/text.hpp>

#include <algorithm>
#include <cmath>
#include <sstream>
#include <string>
#include <vector>

// Source of columns, wording and foot: this project's own design. Times on paper are whole minutes
// or m:ss, rounded up so that no second is lost.

namespace {

using namespace upline;
using support::bare_rules;
using support::holds;
using support::quince;
using support::quince_rules;
using support::single_level;

std::vector<std::string> lines_of(const std::string& text) { return support::split(text, '\n'); }

/// Cells of a table line; columns stand at least two blanks apart.
std::vector<std::string> cells_of(const std::string& line) {
  std::vector<std::string> cells;
  std::string cell;
  std::size_t blanks = 2;
  for (const char c : line) {
    if (c == ' ') {
      ++blanks;
      continue;
    }
    if (blanks >= 2) {
      if (!cell.empty()) cells.push_back(cell);
      cell.clear();
    } else if (blanks == 1) {
      cell += ' ';
    }
    blanks = 0;
    cell += c;
  }
  if (!cell.empty()) cells.push_back(cell);
  return cells;
}

/// The lines of the table below its two heads, as cells.
std::vector<std::vector<std::string>> table_of(const std::string& text) {
  std::vector<std::vector<std::string>> rows;
  bool inside = false;
  for (const std::string& line : lines_of(text)) {
    if (holds(line, "leave at")) inside = true;
    if (inside && line.empty()) break;
    if (inside) rows.push_back(cells_of(line));
  }
  REQUIRE(rows.size() > 2);
  CHECK(rows[0] ==
        std::vector<std::string>{"depth", "leave at", "stay", "breathe", "po2", "held by"});
  rows.erase(rows.begin(), rows.begin() + 2);
  return rows;
}

/// A sentence of the text, whatever its lines.
std::string joined(const std::string& text) {
  std::string result = text;
  std::replace(result.begin(), result.end(), '\n', ' ');
  std::string squeezed;
  for (const char c : result)
    if (c != ' ' || squeezed.empty() || squeezed.back() != ' ') squeezed += c;
  return squeezed;
}

/// Minutes of "28:38" or "25".
double clock_of(const std::string& text) {
  const std::vector<std::string> parts = support::split(text, ':');
  return std::stod(parts[0]) + (parts.size() > 1 ? std::stod(parts[1]) / 60.0 : 0.0);
}

} // namespace

TEST_SUITE("text") {
  TEST_CASE("a clock is whole minutes or minutes and seconds rounded up") {
    CHECK(detail::clock_text(25.0) == "25");
    CHECK(detail::clock_text(0.0) == "0");
    CHECK(detail::clock_text(28.0 + 1.0 / 3.0) == "28:20"); // not 28:21 for a last bit
    CHECK(detail::clock_text(28.333334) == "28:21");
    CHECK(detail::clock_text(0.5) == "0:30");
    CHECK(detail::clock_text(1.0 + 1.0 / 60.0) == "1:01");
    CHECK(detail::clock_text(59.0 / 60.0 + 0.001) == "1"); // 59.06 s
    CHECK(detail::clock_text(-0.1) == "0");
    CHECK(detail::clock_text(1000.25) == "1000:15");
  }

  TEST_CASE("the table has a line for every level and stop and for the surface") {
    const Plan made = plan(quince(), quince_rules());
    const auto rows = table_of(text_of(made));
    REQUIRE(rows.size() == made.stops.size() + 2);
    CHECK(rows.front() == std::vector<std::string>{"57", "25", "25", "18/45", "1.21"});
    for (std::size_t j = 0; j < made.stops.size(); ++j) {
      const Stop& stop = made.stops[j];
      const std::vector<std::string>& row = rows[j + 1];
      CAPTURE(row[0]);
      REQUIRE(row.size() == 6);
      CHECK(std::stod(row[0]) == stop.depth.base());
      CHECK(clock_of(row[1]) >= stop.departs.base() - 1e-7);
      CHECK(clock_of(row[1]) < stop.departs.base() + 1.0 / 60.0);
      CHECK(clock_of(row[2]) >= stop.stay.base() - 1e-7);
      CHECK(clock_of(row[2]) < stop.stay.base() + 1.0 / 60.0);
      CHECK(row[4] == detail::fixed(stop.po2, 2));
      CHECK(holds(row[5], " min"));
    }
    CHECK(rows[3][3] == "switch to 50 %");
    CHECK(rows[4][3] == "50 %");
    CHECK(rows[8][3] == "switch to oxygen");
    CHECK(rows.back()[0] == "0");
    CHECK(rows.back()[3] == "surface");
    CHECK(rows.back()[1] == "67:09");
  }

  TEST_CASE("rounded to whole minutes no line shows a fraction of one") {
    Rules rules = quince_rules();
    rules.rounding = Rounding::departure;
    const auto rows = table_of(text_of(plan(quince(), rules)));
    for (std::size_t j = 0; j + 1 < rows.size(); ++j) CHECK_FALSE(holds(rows[j][1], ":"));
    for (const auto& row : rows) {
      CHECK_FALSE(holds(row[1], ".")); // never decimals of a minute
      CHECK_FALSE(holds(row[2], "."));
    }
  }

  TEST_CASE("stops and switches between levels are in the table in order of time") {
    Dive dive = single_level(57.0, 20.0, {"18/45", "50@21"});
    dive.levels.push_back({metres(10.0), minutes(90.0)});
    const Plan made = plan(dive, bare_rules(0.4, 0.8));
    const auto rows = table_of(text_of(made));
    CHECK(rows.size() == made.stops.size() + 3); // two levels and the surface
    std::vector<std::string> depths;
    double last = 0.0;
    for (const auto& row : rows) {
      depths.push_back(row[0]);
      CHECK(clock_of(row[1]) > last);
      last = clock_of(row[1]);
    }
    CHECK(depths == std::vector<std::string>{"57", "24", "21", "18", "15", "12", "10", "0"});
    CHECK(rows[2][3] == "switch to 50 %");
  }

  TEST_CASE("a switch that takes no time has its line too") {
    Rules rules = bare_rules(0.4, 0.85);
    const Plan made = plan(single_level(30.0, 10.0, {"32", "50@20"}), rules);
    REQUIRE(made.stops.empty());
    const auto rows = table_of(text_of(made));
    REQUIRE(rows.size() == 3);
    CHECK(rows[1][0] == "20");
    CHECK(rows[1][3] == "switch to 50 %");
  }

  TEST_CASE("every schedule carries the caution and the sentence about flying") {
    for (const Plan& made : {plan(quince(), quince_rules()),
                             plan(single_level(12.0, 10.0, {"32"}), bare_rules(0.4, 0.8))}) {
      const std::string text = joined(text_of(made));
      CHECK(holds(text, std::string(schedule_foot)));
      CHECK(holds(text, std::string(no_time_to_fly)));
      CHECK(holds(text, "Assumptions: "));
      CHECK(holds(text, "upline " + made.version));
    }
    CHECK(holds(std::string(schedule_foot), "does not make a dive safe"));
  }

  TEST_CASE("every caution stands in the text with its severity") {
    Dive dive = quince();
    dive.levels.front().leave_at = minutes(45.0);
    const Plan made = plan(dive, quince_rules());
    const std::string text = joined(text_of(made));
    for (const Caution& caution : made.cautions)
      CHECK(holds(text, std::string(severity_name(caution.severity)) + ": " +
                            joined(caution_text(caution))));
    CHECK(holds(text, "Refused: make no slate of this."));
    CHECK_FALSE(holds(text_of(plan(quince(), quince_rules())), "Refused"));
  }

  TEST_CASE("the assumptions name every convention") {
    const std::string plain = assumptions_text(plan(quince(), quince_rules()));
    for (const std::string piece :
         {"ZH-L16C", "40/80 anchored at 24.9 m", "gauge metres", "1.01325 bar", "down 18", "up 9",
          "rungs every 3 m, last stop 6 m", "0 min at each switch on the old gas",
          "no dive in the last 24 h", "nothing rounded", "1.4 bar at the bottom",
          "1.6 on the ascent", "tolerance 0.03", "vapour 0.0627 bar", "limits read in bar",
          "half-time 90 min", "litres unknown"}) {
      CAPTURE(piece);
      CHECK(holds(plain, piece));
    }
    Dive dive = quince();
    dive.environment.altitude = metres(640.0);
    dive.environment.water_density = fresh_water;
    dive.travel = TravelGas{Gas(0.5), metres(15.0)};
    Rules rules = quince_rules();
    rules.model = "ZH-L16B/5min";
    rules.rounding = Rounding::duration;
    rules.resolution = minutes(0.5);
    rules.min_stop = minutes(2.0);
    rules.switch_time = minutes(1.5);
    rules.surfacing_rate = metres_per_minute(3.0);
    rules.ascent_rates = {{metres(21.0), metres_per_minute(9.0)},
                          {metres(0.0), metres_per_minute(6.0)}};
    rules.ladder.rungs = {metres(21.0), metres(30.0), metres(12.0), metres(9.0), metres(6.0)};
    rules.rmv = litres_per_minute(20.0);
    rules.deco_rmv = litres_per_minute(15.0);
    const std::string busy = assumptions_text(plan(dive, rules));
    for (const std::string piece :
         {"ZH-L16B/5min", "true metres of water of 1000 kg/m3", "just arrived from sea level",
          "down 18 m/min, up 9 m/min deeper than 21 m, 6 m/min deeper than 0 m",
          "last ascent 3 m/min", "rungs 6 9 12 21 30 m", "1 min 30 s at each switch",
          "stops of 2 min or more", "going down on 50 % to 15 m",
          "times at a stop rounded up to 30 s", "breathing 20 L/min, 15 L/min from leaving"}) {
      CAPTURE(piece);
      CHECK(holds(busy, piece));
    }
    dive = quince();
    dive.start = rest(plan(quince(), quince_rules()).end, minutes(90.0));
    CHECK(holds(assumptions_text(plan(dive, quince_rules())), "earlier dives counted"));
    const std::string free =
        assumptions_text(plan(single_level(12.0, 10.0, {"32"}), bare_rules(0.4, 0.8)));
    CHECK(holds(free, "no anchor: the direct ascent touches no limit"));
  }

  TEST_CASE("an imperial schedule shows feet and cubic feet") {
    Rules rules = Rules::imperial({0.4, 0.8});
    rules.ladder.last_stop = feet(20.0);
    rules.switch_time = minutes(0.0);
    rules.rmv = cubic_feet_per_minute(0.7);
    Dive dive = quince();
    dive.levels.front().depth = feet(190.0);
    const Plan made = plan(dive, rules);
    const std::string text = text_of(made);
    CHECK(holds(lines_of(text).front(), "190 ft for 25 min"));
    CHECK(holds(lines_of(text).front(), "imperial schedule"));
    const auto rows = table_of(text);
    CHECK(rows[1][0] == "90");
    CHECK(rows[1][1] == "29");
    CHECK(holds(text, "cu ft"));
    CHECK(holds(joined(text), "gauge feet"));
    CHECK(holds(joined(text), "down 60 ft/min, up 30 ft/min; rungs every 10 ft, last stop 20 ft"));
    CHECK_FALSE(holds(text, " m)"));
    CHECK_FALSE(holds(text, " L)"));
    CHECK(holds(lines_of(text_of(plan(quince(), quince_rules()))).front(), "metric schedule"));
  }

  TEST_CASE("what is used up is rounded up and not down") {
    Rules rules = quince_rules();
    rules.rmv = litres_per_minute(20.0);
    rules.deco_rmv = litres_per_minute(15.0);
    const std::string text = text_of(plan(quince(), rules));
    // 0.65118 and, of row 1's references, 3585.25, 511.34 and 502.84 bar-litres.
    CHECK(holds(text, "Oxygen, rounded up: CNS 66 %"));
    CHECK(holds(text, " 94 OTU.")); // 93.249
    CHECK(holds(text, "(3586 L)"));
    CHECK(holds(text, "(512 L)"));
    CHECK(holds(text, "(503 L)"));
    CHECK(holds(text, "Surfacing fraction 0.800 of 0.8 allowed"));
  }

  TEST_CASE("the oxygen of a second dive says which number is of what") {
    Dive dive = quince();
    const Plan first = plan(dive, quince_rules());
    dive.start = rest(first.end, minutes(180.0));
    const Plan second = plan(dive, quince_rules());
    const OxygenDose& dose = second.oxygen;
    const auto up = [](double share) { return std::to_string(int(std::ceil(share * 100.0))); };
    const std::string expected = "Oxygen, rounded up: CNS " + up(dose.cns) + " % in this dive, " +
                                 up(dose.cns_total) + " % with earlier dives (" +
                                 up(dose.cns_total_without_recovery) + " % without recovery), ";
    CHECK(holds(text_of(second), expected));
    CHECK(holds(text_of(second), " OTU in this dive, "));
    CHECK(holds(text_of(second), " in 24 h."));
    CHECK(dose.cns < dose.cns_total);
    CHECK(dose.cns_total < dose.cns_total_without_recovery);
    CHECK_FALSE(holds(text_of(first), "in this dive"));
  }

  TEST_CASE("spans of time carry their units") {
    CHECK(detail::duration_text(20.0) == "20 min");
    CHECK(detail::duration_text(20.0 + 55.0 / 60.0) == "20 min 55 s");
    CHECK(detail::duration_text(69.0 + 40.0 / 60.0) == "69 min 40 s");
    CHECK(detail::duration_text(0.5) == "30 s");
    CHECK(detail::duration_text(1.0 + 4.5 / 60.0) == "1 min 5 s"); // up
    CHECK(detail::duration_text(10.5) == "10 min 30 s");
    CHECK(detail::duration_text(0.0) == "0 min");
    CHECK(holds(text_of(plan(quince(), quince_rules())), "Run time 67 min 9 s, time to surface"));
  }

  TEST_CASE("depths off the rungs of tradition are not rounded in a schedule") {
    // A table that shows another depth than the plan's is another table.
    Rules rules = bare_rules(0.4, 0.8);
    rules.ladder.spacing = metres(1.25);
    const Plan made = plan(single_level(57.25, 25.0, {"18/45", "50"}), rules);
    const auto rows = table_of(text_of(made));
    CHECK(rows.front()[0] == "57.25");
    REQUIRE(rows.size() == made.stops.size() + 2);
    for (std::size_t j = 0; j < made.stops.size(); ++j)
      CHECK(std::stod(rows[j + 1][0]) == made.stops[j].depth.base());
    CHECK(holds(assumptions_text(made), "rungs every 1.25"));
  }

  TEST_CASE("paragraphs are broken at blanks and lose no word") {
    const std::string paragraph(schedule_foot);
    const std::string wrapped = detail::wrapped(paragraph, "  ", "    ", 60);
    for (const std::string& line : lines_of(wrapped)) CHECK(line.size() <= 60);
    CHECK(joined(wrapped).substr(1) == paragraph + " ");
    CHECK(lines_of(wrapped).front().starts_with("  This"));
    const std::string endless(200, 'x');
    CHECK(detail::wrapped(endless, "", "", 60) == endless + "\n"); // nothing to break at
    CHECK(detail::wrapped("", "", "", 60) == "\n");
  }

  TEST_CASE("a stream takes the same text") {
    const Plan made = plan(quince(), quince_rules());
    std::ostringstream out;
    out << made;
    CHECK(out.str() == text_of(made));
  }

  TEST_CASE("phases are words") {
    CHECK(std::string(phase_name(Phase::go_down)) == "go down");
    CHECK(std::string(phase_name(Phase::stay)) == "stay");
    CHECK(std::string(phase_name(Phase::come_up)) == "come up");
    CHECK(std::string(phase_name(Phase::switch_gas)) == "switch");
  }
}

#include "support.hpp"

#include <upline/plan.hpp>

#include <algorithm>
#include <cmath>
#include <map>
#include <random>
#include <string>
#include <utility>
#include <vector>

// Sources: validation/data/reference_rows.csv and reference_exposure.csv; every rule is this
// project's definition, docs/theory.md.

namespace {

using namespace upline;
using support::bare_rules;
using support::caution_of;
using support::off;
using support::quince;
using support::quince_rules;
using support::Record;
using support::single_level;
using support::split;

// ---- reference rows ----------------------------------------------------------------------------

Units units_of(const Record& row) {
  return row.text("length_unit") == "ft" ? Units::imperial : Units::metric;
}

double number(const std::string& text) { return std::stod(text); }

std::vector<std::pair<double, double>> pairs(const std::string& cell) {
  std::vector<std::pair<double, double>> result;
  for (const std::string& piece : split(cell, ' ')) {
    const std::vector<std::string> two = split(piece, ':');
    result.emplace_back(number(two.at(0)), number(two.at(1)));
  }
  return result;
}

Dive dive_of(const Record& row) {
  Dive dive;
  for (const auto& [depth, leave_at] : pairs(row.text("levels")))
    dive.levels.push_back({depth_from(depth, units_of(row)), minutes(leave_at)});
  for (const std::string& gas : split(row.text("gases"), ' '))
    dive.gases.push_back(GasChoice::parse(gas, units_of(row)));
  if (row.has("altitude_m")) dive.environment.altitude = metres(row.number("altitude_m"));
  if (row.text("acclimatised_to") == "here") dive.environment.acclimatised_to = AcclimatisedHere{};
  if (row.has("water_kg_per_m3")) dive.environment.water_density = row.number("water_kg_per_m3");
  return dive;
}

Rules rules_of(const Record& row) {
  Rules rules{.factors = GradientFactors::parse(row.text("gf_percent"))};
  rules.units = units_of(row);
  const double unit = length_unit(rules.units);
  const std::map<std::string, Rounding> roundings{{"exact", Rounding::exact},
                                                  {"duration", Rounding::duration},
                                                  {"departure", Rounding::departure}};
  rules.rounding = roundings.at(row.text("rounding"));
  rules.min_stop = minutes(row.number("min_stop_min"));
  rules.switch_time = minutes(row.number("switch_time_min"));
  if (row.has("spacing")) rules.ladder.spacing = metres(row.number("spacing") * unit);
  if (row.has("last_stop")) rules.ladder.last_stop = metres(row.number("last_stop") * unit);
  if (row.has("descent_rate_per_min"))
    rules.descent_rate = TravelRate(row.number("descent_rate_per_min") * unit);
  if (row.has("ascent_rates_per_min")) {
    rules.ascent_rates.clear();
    for (const auto& [border, rate] : pairs(row.text("ascent_rates_per_min")))
      rules.ascent_rates.push_back({metres(border * unit), TravelRate(rate * unit)});
  }
  if (row.has("surfacing_rate_per_min"))
    rules.surfacing_rate = TravelRate(row.number("surfacing_rate_per_min") * unit);
  if (row.has("max_po2_bar")) rules.max_po2 = bar(row.number("max_po2_bar"));
  return rules;
}

/// The plan of a row, after the dive before it where there is one.
Plan plan_of(const std::vector<Record>& rows, const std::string& id) {
  const auto row = std::find_if(rows.begin(), rows.end(),
                                [&](const Record& one) { return one.text("id") == id; });
  REQUIRE(row != rows.end());
  Dive dive = dive_of(*row);
  if (row->has("before"))
    dive.start = rest(plan_of(rows, row->text("before")).end, minutes(row->number("rest_min")));
  return plan(dive, rules_of(*row));
}

// ---- what a plan must be -----------------------------------------------------------------------

std::vector<double> depths_of(const std::vector<Stop>& stops) {
  std::vector<double> depths;
  for (const Stop& stop : stops) depths.push_back(stop.depth.base());
  return depths;
}

const Stop& stop_at(const Plan& plan, double depth) {
  for (const Stop& stop : plan.stops)
    if (off(stop.depth.base(), depth) <= 1e-9) return stop;
  throw std::runtime_error("no stop at " + std::to_string(depth));
}

/// Rows that fit together from the surface to the surface, and stops that stand in them.
void require_whole(const Plan& made) {
  double clock = 0.0;
  double depth = 0.0;
  for (const Row& row : made.rows) {
    CHECK(off(row.begins.base(), clock) <= 1e-12 * (1.0 + clock));
    CHECK(off(row.from.base(), depth) <= 1e-9);
    CHECK(row.ends.base() > row.begins.base());
    const double travelled = row.to.base() - row.from.base();
    CHECK((row.phase == Phase::go_down) == (travelled > 0.0));
    CHECK((row.phase == Phase::come_up) == (travelled < 0.0));
    clock = row.ends.base();
    depth = row.to.base();
  }
  CHECK(depth == 0.0);
  CHECK(made.run_time.base() == clock);
  for (const Stop& stop : made.stops) {
    CHECK(stop.departs.base() > stop.arrives.base());
    CHECK(stop.stay.base() >= stop.minutes_at_depth().base());
    CHECK(off(stop.po2, stop.gas.oxygen * made.end.place.pressure(stop.depth.base())) <= 1e-15);
  }
}

std::vector<double> gas_depths(const Plan& made) {
  std::vector<double> depths;
  for (std::size_t j = 1; j < made.rows.size(); ++j)
    if (!(made.rows[j].gas == made.rows[j - 1].gas)) depths.push_back(made.rows[j].from.base());
  return depths;
}

Dive random_dive(std::mt19937& random) {
  std::uniform_real_distribution<double> unit(0.0, 1.0);
  const double depth = 15.0 + 75.0 * unit(random);
  const double most = std::floor(140.0 / (1.01325 + depth / 10.0)) / 100.0;
  const double oxygen = std::clamp(most, 0.16, 0.4);
  Dive dive = single_level(depth, depth / 18.0 + 5.0 + 60.0 * unit(random), {});
  dive.gases.emplace_back(Gas(oxygen, unit(random) < 0.4 ? 0.0 : 0.5 * (1.0 - oxygen)));
  dive.gases.emplace_back("50");
  if (random() % 2 != 0) dive.gases.emplace_back("O2");
  if (random() % 4 == 0) dive.environment.altitude = metres(3000.0 * unit(random));
  if (random() % 4 == 0) dive.environment.water_density = fresh_water;
  return dive;
}

Rules random_rules(std::mt19937& random) {
  std::uniform_real_distribution<double> unit(0.0, 1.0);
  const double high = 0.5 + 0.5 * unit(random);
  Rules rules = bare_rules(0.1 + (high - 0.1) * unit(random), high);
  rules.po2_tolerance = bar(0.2);
  rules.min_po2 = bar(0.05); // a lean bottom gas is breathed from a high surface on
  if (random() % 3 == 0) rules.ladder.last_stop = metres(6.0);
  if (random() % 3 == 0) rules.ladder.spacing = metres(1.0 + 3.0 * unit(random));
  return rules;
}

} // namespace

TEST_SUITE("plan") {
  // ---- reference -------------------------------------------------------------------------------

  TEST_CASE("every reference row to all printed digits") {
    const std::vector<Record> rows = support::table("reference_rows");
    int checked = 0;
    for (const Record& row : rows) {
      if (!row.has("stops")) continue;
      CAPTURE(row.text("id"));
      const Plan made = plan_of(rows, row.text("id"));
      require_whole(made);
      const auto wanted = pairs(row.text("stops"));
      std::vector<Stop> stops;
      for (const Stop& stop : made.stops)
        if (stop.arrives >= made.bottom_time) stops.push_back(stop);
      REQUIRE(stops.size() == wanted.size());
      for (std::size_t j = 0; j < stops.size(); ++j) {
        const double depth = wanted[j].first;
        const double value = wanted[j].second;
        CAPTURE(depth);
        CHECK(off(depth_in(stops[j].depth, units_of(row)), depth) <= 1e-9);
        const double got = row.text("stops_give") == "leave_at"
                               ? stops[j].departs.base()
                               : stops[j].minutes_at_depth().base();
        CHECK(off(got, value) <= row.number("stop_tol_min"));
        ++checked;
      }
      if (row.has("anchor_m"))
        CHECK(off(made.anchor.value().base(), row.number("anchor_m")) <=
              row.number("anchor_tol_m"));
      CHECK(off(made.run_time.base(), row.number("run_time_min")) <=
            row.number("run_time_tol_min"));
    }
    CHECK(checked == 8 + 8 + 8 + 1 + 6 + 6 + 7 + 8 + 8 + 4);
  }

  TEST_CASE("oxygen and gas and surfacing fraction of the first row") {
    Rules rules = quince_rules();
    rules.rmv = litres_per_minute(20.0);
    rules.deco_rmv = litres_per_minute(15.0);
    const Plan made = plan(quince(), rules);
    std::map<std::string, double> got{{"cns", made.oxygen.cns},
                                      {"otu", made.oxygen.otu},
                                      {"surfacing_fraction", made.surfacing_fraction}};
    for (const GasUse& use : made.gas) got["gas " + use.gas.text()] = use.volume.value().base();
    for (const Record& row : support::table("reference_exposure")) {
      CAPTURE(row.text("quantity"));
      CHECK(off(got.at(row.text("quantity")), row.number("value")) <= row.number("tol"));
    }
    CHECK(made.gas.size() == 3);
    CHECK(made.oxygen.cns_total == made.oxygen.cns); // the first dive of a series
    CHECK(made.oxygen.cns_total_without_recovery == made.oxygen.cns);
    CHECK(made.oxygen.otu_day == made.oxygen.otu);
  }

  TEST_CASE("gas without a breathing rate is bar-minutes and litres are unknown") {
    Rules rules = quince_rules();
    const Plan silent = plan(quince(), rules);
    for (const GasUse& use : silent.gas) CHECK_FALSE(use.volume.has_value());
    rules.rmv = litres_per_minute(20.0);
    const Plan one_rate = plan(quince(), rules);
    for (std::size_t j = 0; j < silent.gas.size(); ++j) {
      CHECK(one_rate.gas[j].bar_minutes == silent.gas[j].bar_minutes);
      CHECK(off(one_rate.gas[j].volume.value().base(), 20.0 * silent.gas[j].bar_minutes) <= 1e-10);
    }
    // Bar-minutes are the integral of pressure over time, a trapezium on every row.
    std::map<std::string, double> wanted;
    for (const Row& row : silent.rows) {
      const double mean = silent.end.place.pressure((row.from + row.to).base() / 2.0);
      wanted[row.gas.text()] += mean * (row.ends - row.begins).base();
    }
    for (const GasUse& use : silent.gas)
      CHECK(off(use.bar_minutes, wanted.at(use.gas.text())) <= 1e-10);
  }

  TEST_CASE("extremes of the demo dive") {
    const Plan made = plan(quince(), quince_rules());
    const Place place{};
    CHECK(off(made.extremes.highest_po2.value, place.pressure(6.0)) <= 1e-15); // oxygen at 6 m
    CHECK(made.extremes.highest_po2.gas == Gas(1.0));
    CHECK(made.extremes.highest_po2.depth.base() == 6.0);
    CHECK(off(made.extremes.lowest_po2.value, 0.18 * 1.01325) <= 1e-16);
    CHECK(made.extremes.lowest_po2.at.base() == 0.0);
    CHECK(off(made.extremes.highest_density.value, 5.3034) <= 5e-5); // 0.80046 x 6.71325 / 1.01325
    CHECK(made.extremes.highest_density.depth.base() == 57.0);
    // END (57 + 10.1325) 0.55 - 10.1325, oxygen counted; and by nitrogen alone 0.37/0.79.
    CHECK(off(made.extremes.narcotic_depth.value, 67.1325 * 0.55 - 10.1325) <= 1e-12);
    CHECK(off(made.extremes.narcotic_depth_nitrogen.value, 67.1325 * 0.37 / 0.79 - 10.1325) <=
          1e-12);
  }

  // ---- switches --------------------------------------------------------------------------------

  TEST_CASE(
      "a gas is taken up at the deepest rung where its oxygen is within limit and tolerance") {
    const Plan made = plan(quince(), quince_rules());
    // 0.5 x (1.01325 + 2.1) = 1.557, at 24 m it would be 1.707; 1.613 at 6 m, 1.913 at 9 m.
    CHECK(gas_depths(made) == std::vector<double>{21.0, 6.0});
    Rules strict = quince_rules();
    strict.po2_tolerance = bar(0.0); // 1.61 is more than 1.6
    strict.ladder.last_stop = metres(3.0);
    CHECK(gas_depths(plan(quince(), strict)) == std::vector<double>{21.0, 3.0});
  }

  TEST_CASE("neither the bottom nor another gas's given depth is an automatic switch depth") {
    const Dive shallow = single_level(21.0, 90.0, {"28", "50"});
    CHECK(gas_depths(plan(shallow, bare_rules(0.3, 0.7))) == std::vector<double>{18.0});
    const Dive taken = single_level(57.0, 25.0, {"18/45", "50", "40@21"});
    CHECK(gas_depths(plan(taken, bare_rules(0.4, 0.8))) == std::vector<double>{21.0, 18.0});
  }

  TEST_CASE("a given depth is a rung of its own") {
    const Dive dive = single_level(57.0, 25.0, {"18/45", "50@20", "O2@4.5"});
    const Plan made = plan(dive, bare_rules(0.4, 0.8));
    CHECK(gas_depths(made) == std::vector<double>{20.0, 4.5});
    const std::vector<double> depths = depths_of(made.stops);
    CHECK(std::find(depths.begin(), depths.end(), 4.5) != depths.end());
    CHECK(std::find(depths.begin(), depths.end(), 3.0) != depths.end());
  }

  TEST_CASE("a given depth at or below the bottom is taken up on leaving it") {
    for (const double depth : {21.0, 23.0}) {
      CAPTURE(depth);
      Dive dive = single_level(21.0, 60.0, {"28"});
      dive.gases.emplace_back(Gas(0.5), metres(depth));
      Rules rules = bare_rules(0.4, 0.8);
      rules.switch_time = minutes(2.0);
      const Plan made = plan(dive, rules);
      CHECK(gas_depths(made) == std::vector<double>{21.0});
      REQUIRE_FALSE(made.stops.empty());
      CHECK(made.stops.front().depth.base() == 21.0);
      CHECK(made.stops.front().arrives == made.bottom_time); // run time, not bottom time
      CHECK(made.stops.front().minutes_at_depth().base() >= 2.0);
      const Caution* caution = caution_of(made, CautionCode::switch_at_bottom);
      REQUIRE(caution != nullptr);
      CHECK(caution->gas == Gas(0.5));
      CHECK(caution->depth == 21.0);
    }
  }

  TEST_CASE("two gases at one depth are an error that names both") {
    struct Pair {
      std::string first;
      std::string second;
    };
    for (const Pair& two : {Pair{"50", "51"}, Pair{"50@18", "40@18"}, Pair{"50", "50"}}) {
      CAPTURE(two.second);
      Dive dive = single_level(57.0, 25.0, {"18/45"});
      dive.gases.push_back(GasChoice::parse(two.first));
      dive.gases.push_back(GasChoice::parse(two.second));
      const auto error = support::thrown<InvalidInput>([&] { (void)plan(dive, quince_rules()); });
      REQUIRE(error);
      CHECK(error->field() == "gases");
      CHECK(support::holds(error->value(), two.first.substr(0, 2) + " and "));
      CHECK(support::holds(error->value(), " and " + two.second.substr(0, 2)));
      CHECK(support::holds(error->allowed(), "one gas at each depth"));
    }
  }

  TEST_CASE("a gas that never qualifies or is no richer is not breathed and the caution says why") {
    Dive dive = quince();
    Rules rules = quince_rules();
    rules.ladder.last_stop = metres(9.0); // oxygen would be 1.91 bar
    const Plan never = plan(dive, rules);
    const Caution* caution = caution_of(never, CautionCode::gas_unused);
    REQUIRE(caution != nullptr);
    CHECK(caution->gas == Gas(1.0));
    CHECK(caution->reason == Unused::never_qualifies);
    CHECK(gas_depths(never) == std::vector<double>{21.0});
    dive.gases = {"28", "50", "24", "28/10"};
    dive.levels.front().depth = metres(40.0);
    const Plan lean = plan(dive, bare_rules(0.4, 0.8));
    const auto unused = support::cautions_of(lean, CautionCode::gas_unused);
    REQUIRE(unused.size() == 2);
    for (const Caution* one : unused) CHECK(one->reason == Unused::not_richer);
    CHECK(unused[0]->gas == Gas(0.24));
    CHECK(unused[1]->gas == Gas(0.28, 0.10));
    CHECK(gas_depths(lean) == std::vector<double>{21.0});
    // Leaner than what a given depth put before it.
    dive = single_level(57.0, 25.0, {"18/45", "60@15", "50"});
    rules = quince_rules();
    rules.ladder.rungs.clear(); // every 3 m, but neither 21 nor 18
    for (const double rung : {45.0, 36.0, 30.0, 27.0, 24.0, 15.0, 12.0, 9.0, 6.0, 3.0})
      rules.ladder.rungs.push_back(metres(rung));
    const Plan put_before = plan(dive, rules);
    REQUIRE(caution_of(put_before, CautionCode::gas_unused) != nullptr);
    CHECK(caution_of(put_before, CautionCode::gas_unused)->gas == Gas(0.5));
    CHECK(caution_of(put_before, CautionCode::gas_unused)->old_gas == Gas(0.6));
  }

  TEST_CASE("a leaner gas is breathed where its depth was given") {
    const Dive dive = single_level(40.0, 30.0, {"28", "25/20@30", "50"});
    const Plan made = plan(dive, bare_rules(0.4, 0.8));
    CHECK(gas_depths(made) == std::vector<double>{30.0, 21.0});
    CHECK(caution_of(made, CautionCode::gas_unused) == nullptr);
  }

  TEST_CASE("a given depth too deep for its gas is an error wherever it is passed") {
    Dive dive = single_level(57.0, 25.0, {"18/45", "50@24"});
    auto error = support::thrown<InvalidInput>([&] { (void)plan(dive, quince_rules()); });
    REQUIRE(error);
    CHECK(error->field() == "gas switch depth");
    CHECK(support::holds(error->value(), "1.71 bar"));
    CHECK(support::holds(error->allowed(), "1.63 bar"));
    // On the way to a level, though the last level lies far shallower than the depth given.
    dive = single_level(57.0, 20.0, {"18/45", "50@32"});
    dive.levels.push_back({metres(10.0), minutes(90.0)});
    error = support::thrown<InvalidInput>([&] { (void)plan(dive, quince_rules()); });
    REQUIRE(error);
    CHECK(support::holds(error->value(), "2.11 bar"));
  }

  TEST_CASE("a switch pauses on the old gas and counts as run time") {
    Rules rules = quince_rules();
    rules.switch_time = minutes(1.5);
    const Plan made = plan(quince(), rules);
    int pauses = 0;
    for (std::size_t j = 0; j < made.rows.size(); ++j) {
      const Row& row = made.rows[j];
      if (row.phase != Phase::switch_gas) continue;
      ++pauses;
      CHECK(off((row.ends - row.begins).base(), 1.5) <= 1e-12);
      CHECK(row.gas == made.rows[j - 1].gas);
      CHECK_FALSE(row.gas == made.rows[j + 1].gas);
      CHECK(stop_at(made, row.from.base()).arrives_on == row.gas);
      CHECK(stop_at(made, row.from.base()).minutes_at_depth().base() >= 1.5 - 1e-12);
    }
    CHECK(pauses == 2);
    CHECK(made.bottom_time.base() == 25.0);
  }

  TEST_CASE("the switches of a plan are those of its rows") {
    Dive dive = single_level(57.0, 25.0, {"14/60", "20/45@40", "50", "O2"});
    dive.travel = TravelGas{Gas(0.32), metres(30.0)};
    Rules rules = quince_rules();
    rules.switch_time = minutes(1.0);
    const Plan made = plan(dive, rules);
    REQUIRE(made.switches.size() == 4);
    CHECK(made.switches[0].going_down);
    CHECK(made.switches[0].depth.base() == 30.0);
    CHECK(made.switches[0].spent.base() == 0.0);
    std::size_t next = 0;
    for (std::size_t j = 1; j < made.rows.size(); ++j) {
      if (made.rows[j].gas == made.rows[j - 1].gas) continue;
      const GasSwitch& change = made.switches[next++];
      CHECK(change.at == made.rows[j].begins);
      CHECK(change.depth == made.rows[j].from);
      CHECK(change.from == made.rows[j - 1].gas);
      CHECK(change.to == made.rows[j].gas);
      CHECK_FALSE(change.on_leaving_bottom);
      if (!change.going_down)
        CHECK(change.spent == stop_at(made, change.depth.base()).minutes_at_depth());
    }
    CHECK(next == made.switches.size());
    CHECK(made.switches[1].stated.value().base() == 40.0);
    CHECK_FALSE(made.switches[2].stated.has_value()); // found by the rule
  }

  TEST_CASE("the gas in use named again costs no switch") {
    Dive twice = single_level(30.0, 40.0, {"32", "32@15"});
    Rules rules = bare_rules(0.4, 0.8);
    rules.switch_time = minutes(3.0);
    const Plan named = plan(twice, rules);
    rules.ladder.rungs.clear();
    const Plan plain = plan(single_level(30.0, 40.0, {"32"}), rules);
    CHECK(off(named.run_time.base(), plain.run_time.base()) <= 1e-11);
    CHECK(gas_depths(named).empty());
  }

  // ---- rounding --------------------------------------------------------------------------------

  TEST_CASE("departure rounds up run times and duration rounds up times at a rung") {
    Rules rules = quince_rules();
    const Plan exact = plan(quince(), rules);
    for (const double resolution : {1.0, 0.5, 1.0 / 60.0, 2.0, 10.0}) {
      CAPTURE(resolution);
      rules.resolution = minutes(resolution);
      const auto over = [&](double minutes) { // how far above a multiple
        return minutes - std::floor(minutes / resolution + 1e-9) * resolution;
      };
      rules.rounding = Rounding::departure;
      const Plan departs = plan(quince(), rules);
      for (const Stop& stop : departs.stops) CHECK(std::abs(over(stop.departs.base())) <= 1e-8);
      rules.rounding = Rounding::duration;
      const Plan lasts = plan(quince(), rules);
      for (const Stop& stop : lasts.stops)
        CHECK(std::abs(over(stop.minutes_at_depth().base())) <= 1e-8);
      CHECK(departs.run_time >= exact.run_time);
      CHECK(lasts.run_time >= exact.run_time);
      CHECK(departs.anchor == exact.anchor); // which belongs to the dive
    }
  }

  TEST_CASE("a minimum stop holds where a wait is needed and nowhere else") {
    Rules rules = quince_rules();
    rules.min_stop = minutes(3.0);
    const Plan made = plan(quince(), rules);
    for (const Stop& stop : made.stops) CHECK(stop.minutes_at_depth().base() >= 3.0 - 1e-12);
    CHECK(off(made.stops.front().minutes_at_depth().base(), 3.0) <= 1e-12); // 0.296 was needed
    rules.switch_time = minutes(0.3); // time at a rung is pause and wait together
    const Plan pausing = plan(quince(), rules);
    CHECK(stop_at(pausing, 21.0).held_by.has_value());
    CHECK(off(stop_at(pausing, 21.0).minutes_at_depth().base(), 3.0) <= 1e-12);
    rules.switch_time = minutes(2.0);
    // No wait: the minimum does not make a stop out of a pause.
    Dive free = single_level(30.0, 12.0, {"32", "50@15"});
    const Plan passing = plan(free, rules);
    REQUIRE(passing.stops.size() == 1);
    CHECK(off(passing.stops.front().minutes_at_depth().base(), 2.0) <= 1e-12);
    CHECK_FALSE(passing.stops.front().held_by.has_value());
  }

  TEST_CASE("a time just above a multiple counts as on it") {
    const detail::Rounder rounder(Rounding::departure, minutes(1.0));
    CHECK(rounder.departure(28.0, 0.0) == 28.0);
    CHECK(off(rounder.departure(27.5, 0.5 + 5e-10), 28.0) <= 6e-10);
    CHECK(rounder.departure(27.5, 0.5 + 5e-10) > 28.0); // never before it is due
    CHECK(rounder.departure(27.5, 0.5 + 5e-9) == 29.0);
    const detail::Rounder lasting(Rounding::duration, minutes(0.5));
    CHECK(lasting.departure(27.3, 0.6) == 27.3 + 1.0);
    CHECK(lasting.departure(27.3, 0.5) == 27.3 + 0.5);
    const detail::Rounder exact(Rounding::exact, minutes(1.0));
    CHECK(exact.departure(27.3, 0.6) == 27.3 + 0.6);
  }

  // ---- rates and ladders -----------------------------------------------------------------------

  TEST_CASE("zones are travelled at their rates and the last ascent at its own") {
    Rules rules = quince_rules();
    rules.ascent_rates = {{metres(21.0), metres_per_minute(9.0)},
                          {metres(6.0), metres_per_minute(6.0)},
                          {metres(0.0), metres_per_minute(3.0)}};
    rules.surfacing_rate = metres_per_minute(1.0);
    const Plan made = plan(quince(), rules);
    for (const Row& row : made.rows) {
      if (row.phase != Phase::come_up) continue;
      const double rate = (row.from - row.to).base() / (row.ends - row.begins).base();
      CAPTURE(row.from.base());
      const double wanted = row.from.base() <= 6.0 ? 1.0 : row.from.base() <= 21.0 ? 6.0 : 9.0;
      CHECK(off(rate, wanted) <= 1e-9);
    }
  }

  TEST_CASE("a surfacing rate faster than every zone never exceeds the limit unsaid") {
    // The last ascent is tested at the fastest zone's rate, so one made faster may surface beyond.
    Rules rules = quince_rules();
    rules.surfacing_rate = metres_per_minute(60.0);
    const Plan made = plan(quince(), rules);
    const bool said = caution_of(made, CautionCode::limit_exceeded) != nullptr;
    CHECK(said == (made.surfacing_fraction > 0.8 + 1e-9));
  }

  TEST_CASE("any ladder may be climbed") {
    Rules rules = quince_rules();
    rules.ladder.rungs = {metres(40.0), metres(28.0), metres(21.0), metres(12.5),
                          metres(7.0),  metres(6.0),  metres(2.0)};
    const Plan made = plan(quince(), rules);
    require_whole(made);
    for (const double depth : depths_of(made.stops))
      CHECK(std::count(rules.ladder.rungs.begin(), rules.ladder.rungs.end(), metres(depth)) == 1);
    CHECK(static_cast<double>(support::sampled_worst(made).beyond) <= 1e-9);
  }

  TEST_CASE("a ladder named rung by rung is the regular one") {
    Rules rules = quince_rules();
    const Plan regular = plan(quince(), rules);
    for (double rung = 54.0; rung >= 6.0; rung -= 3.0) rules.ladder.rungs.push_back(metres(rung));
    const Plan named = plan(quince(), rules);
    CHECK(named.run_time == regular.run_time);
    CHECK(depths_of(named.stops) == depths_of(regular.stops));
  }

  TEST_CASE("a ladder in metres that are whole feet is the ladder in feet") {
    Rules feet_rules = Rules::imperial({0.4, 0.8});
    feet_rules.rounding = Rounding::exact;
    feet_rules.switch_time = minutes(0.0);
    Rules metre_rules = bare_rules(0.4, 0.8);
    metre_rules.ladder.spacing = metres(3.048);
    metre_rules.ladder.last_stop = metres(3.048);
    metre_rules.descent_rate = metres_per_minute(18.288);
    metre_rules.ascent_rates = {{metres(0.0), metres_per_minute(9.144)}};
    Dive dive = quince();
    dive.levels.front().depth = feet(190.0);
    const Plan in_ft = plan(dive, feet_rules);
    dive.levels.front().depth = metres(57.912);
    const Plan in_m = plan(dive, metre_rules);
    CHECK(off(in_ft.run_time.base(), in_m.run_time.base()) <= 1e-9);
    REQUIRE(in_ft.stops.size() == in_m.stops.size());
    for (std::size_t j = 0; j < in_ft.stops.size(); ++j)
      CHECK(off(in_ft.stops[j].departs.base(), in_m.stops[j].departs.base()) <= 1e-9);
  }

  // ---- levels ----------------------------------------------------------------------------------

  TEST_CASE("splitting a level in two changes nothing") {
    Dive whole = quince();
    Dive parts = quince();
    parts.levels = {{metres(57.0), minutes(9.25)}, {metres(57.0), minutes(25.0)}};
    for (const Rounding rounding : {Rounding::exact, Rounding::departure}) {
      Rules rules = quince_rules();
      rules.rounding = rounding;
      const Plan one = plan(whole, rules);
      const Plan two = plan(parts, rules);
      CHECK(off(one.run_time.base(), two.run_time.base()) <= 1e-11);
      CHECK(off(one.anchor.value().base(), two.anchor.value().base()) <= 1e-11);
      CHECK(one.rows.size() == two.rows.size());
      CHECK(depths_of(one.stops) == depths_of(two.stops));
      CHECK(off(one.oxygen.cns, two.oxygen.cns) <= 1e-14);
    }
  }

  TEST_CASE("levels go up and down and stops between them count inside the next one's time") {
    Dive dive = single_level(57.0, 25.0, {"18/45", "50", "O2"});
    dive.levels.push_back({metres(12.0), minutes(70.0)});
    dive.levels.push_back({metres(30.0), minutes(85.0)});
    const Plan made = plan(dive, quince_rules());
    require_whole(made);
    CHECK(made.bottom_time.base() == 85.0);
    int between = 0;
    for (const Stop& stop : made.stops)
      if (stop.arrives.base() < 70.0) {
        ++between;
        CHECK(stop.depth.base() > 12.0);
        CHECK(stop.gas == Gas(0.18, 0.45)); // no automatic switch before the last level is left
      }
    CHECK(between >= 3);
    CHECK(gas_depths(made) == std::vector<double>{21.0, 6.0});
    for (const Row& row : made.rows) // the level is left when it was said
      if (off(row.ends.base(), 70.0) <= 1e-9) CHECK(row.to.base() == 12.0);
  }

  TEST_CASE("a given switch on the way to a level is made there and not again") {
    Dive dive = single_level(57.0, 20.0, {"18/45", "50@21"});
    dive.levels.push_back({metres(10.0), minutes(90.0)});
    Rules rules = bare_rules(0.4, 0.8);
    rules.switch_time = minutes(1.0);
    const Plan made = plan(dive, rules);
    CHECK(gas_depths(made) == std::vector<double>{21.0});
    CHECK(caution_of(made, CautionCode::switch_at_bottom) == nullptr);
    dive.gases.insert(dive.gases.begin() + 1, GasChoice("25/30@40"));
    CHECK(gas_depths(plan(dive, rules)) == std::vector<double>{40.0, 21.0});
  }

  TEST_CASE("going down again is on the bottom gas") {
    Dive dive = single_level(40.0, 20.0, {"25/20", "50@18"});
    dive.levels.push_back({metres(12.0), minutes(40.0)});
    dive.levels.push_back({metres(30.0), minutes(50.0)});
    const Plan made = plan(dive, bare_rules(0.4, 0.8));
    for (const Row& row : made.rows)
      if (row.phase == Phase::go_down) CHECK(row.gas == Gas(0.25, 0.20));
    CHECK(gas_depths(made) == std::vector<double>{18.0, 12.0, 18.0});
  }

  TEST_CASE("a level reached too late is an error with the earliest time") {
    Dive dive = single_level(57.0, 25.0, {"18/45", "50"});
    dive.levels.push_back({metres(12.0), minutes(30.0)});
    const auto error = support::thrown<InvalidInput>([&] { (void)plan(dive, quince_rules()); });
    REQUIRE(error);
    CHECK(error->field() == "levels");
    // At the time it names the dive can be planned, a little earlier it cannot.
    const std::string allowed = error->allowed();
    REQUIRE(support::holds(allowed, "at least "));
    const double earliest = std::stod(allowed.substr(std::string("at least ").size()));
    dive.levels.back().leave_at = minutes(earliest);
    CHECK_NOTHROW((void)plan(dive, quince_rules()));
    dive.levels.back().leave_at = minutes(earliest - 2e-6);
    CHECK_THROWS_AS((void)plan(dive, quince_rules()), InvalidInput);
  }

  TEST_CASE("a bottom time shorter than the descent is an error and equal to it is none") {
    const double descent = 57.0 / 18.0;
    const auto error = support::thrown<InvalidInput>(
        [&] { (void)plan(single_level(57.0, 3.0, {"18/45"}), quince_rules()); });
    REQUIRE(error);
    CHECK(error->field() == "bottom_time");
    CHECK(support::holds(error->allowed(), "3.166667 min"));
    const Plan made = plan(single_level(57.0, descent, {"18/45"}), quince_rules());
    CHECK(made.bottom_time.base() == descent);
    CHECK(made.stops.empty());
  }

  // ---- travel gas ------------------------------------------------------------------------------

  TEST_CASE("a travel gas is breathed to its depth and makes a lean bottom gas possible") {
    Dive dive = single_level(80.0, 20.0, {"12/65", "50", "O2"});
    CHECK_THROWS_AS((void)plan(dive, quince_rules()), InvalidInput); // 0.12 bar at the surface
    dive.travel = TravelGas{Gas(0.5), metres(17.0)};
    const Plan made = plan(dive, quince_rules());
    CHECK(made.rows.front().gas == Gas(0.5));
    CHECK(made.rows.front().to.base() == 17.0);
    CHECK(made.rows[1].gas == Gas(0.12, 0.65));
    CHECK(made.rows[1].to.base() == 80.0);
    CHECK(off(made.rows[1].ends.base(), 80.0 / 18.0) <= 1e-12); // no pause on the way down
    CHECK(made.bottom_time.base() == 20.0);
  }

  TEST_CASE("travel and bottom gas obey the stricter limit") {
    Dive dive = single_level(80.0, 20.0, {"12/65", "50"});
    dive.travel = TravelGas{Gas(0.5), metres(21.0)}; // 1.56 bar, fine only on the ascent
    auto error = support::thrown<InvalidInput>([&] { (void)plan(dive, quince_rules()); });
    REQUIRE(error);
    CHECK(error->field() == "travel");
    CHECK(support::holds(error->value(), "1.56 bar"));
    error = support::thrown<InvalidInput>(
        [] { (void)plan(single_level(42.0, 20.0, {"28"}), bare_rules(0.4, 0.8)); });
    REQUIRE(error);
    CHECK(error->field() == "bottom gas");
    CHECK(support::holds(error->value(), "1.46 bar"));
    CHECK(support::holds(error->remedy(), "max_po2"));
    Rules rules = bare_rules(0.4, 0.8);
    rules.max_po2 = bar(1.5);
    CHECK_NOTHROW((void)plan(single_level(42.0, 20.0, {"28"}), rules));
    // Every level counts, not only the last.
    Dive levels = single_level(42.0, 20.0, {"28"});
    levels.levels.push_back({metres(20.0), minutes(60.0)});
    CHECK_THROWS_AS((void)plan(levels, bare_rules(0.4, 0.8)), InvalidInput);
  }

  TEST_CASE("nothing is breathed below the least oxygen pressure") {
    const auto error = support::thrown<InvalidInput>([] {
      (void)plan(single_level(60.0, 15.0, {"15/55", "50"}), bare_rules(0.4, 0.8));
    });
    REQUIRE(error);
    CHECK(support::holds(error->value(), "0.152 bar"));
    CHECK(support::holds(error->allowed(), "0.16 bar (min_po2)"));
    Rules rules = bare_rules(0.4, 0.8);
    rules.min_po2 = bar(0.15);
    const Plan made = plan(single_level(60.0, 15.0, {"15/55", "50"}), rules);
    REQUIRE(caution_of(made, CautionCode::low_po2) != nullptr);
  }

  // ---- place -----------------------------------------------------------------------------------

  TEST_CASE("higher means longer and just arrived longer still") {
    Dive dive = single_level(30.0, 40.0, {"28", "50"});
    const Rules rules = bare_rules(0.4, 0.8);
    const double sea = plan(dive, rules).run_time.base();
    dive.environment.altitude = metres(2000.0);
    dive.environment.acclimatised_to = AcclimatisedHere{};
    const double here = plan(dive, rules).run_time.base();
    dive.environment.acclimatised_to = std::monostate{};
    const double arrived = plan(dive, rules).run_time.base();
    CHECK(here > sea);
    CHECK(arrived > here);
  }

  TEST_CASE("fresh water weighs less than gauge metres and sea water more") {
    Dive dive = single_level(42.0, 35.0, {"25", "50"});
    const Rules rules = bare_rules(0.4, 0.8);
    const double gauge = plan(dive, rules).run_time.base();
    dive.environment.water_density = fresh_water;
    const double fresh = plan(dive, rules).run_time.base();
    dive.environment.water_density = sea_water;
    const double sea = plan(dive, rules).run_time.base();
    CHECK(fresh < gauge);
    CHECK(sea > gauge);
  }

  // ---- provenance ------------------------------------------------------------------------------

  TEST_CASE("a plan says what it was made of") {
    const Plan made = plan(quince(), quince_rules());
    CHECK(made.dive == quince());
    CHECK(made.rules == quince_rules());
    CHECK(made.version == version);
    CHECK(made.end.model == "ZH-L16C");
    CHECK(made.end.place == Place{});
    CHECK(made.end.clock == made.run_time.base());
    CHECK(off(made.time_to_surface().base(), made.run_time.base() - 25.0) <= 1e-12);
    CHECK(off(made.surfacing_fraction,
              leading_fraction(compartment_set("ZH-L16C"), made.end.tissues, 1.01325).value) ==
          0.0);
    CHECK_FALSE(made.refused());
  }

  TEST_CASE("every set of compartments gives a plan of its own") {
    std::vector<double> run_times;
    for (const CompartmentSet& set : compartment_sets) {
      Rules rules = quince_rules();
      rules.model = std::string(set.name);
      run_times.push_back(plan(quince(), rules).run_time.base());
    }
    // C is the strictest of the three, A the least strict; sets in the order C, B, A.
    CHECK(run_times[0] > run_times[2]);
    CHECK(run_times[2] > run_times[4]);
    CHECK(run_times[1] > run_times[3]);
    CHECK(run_times[3] > run_times[5]);
  }

  // ---- properties over drawn dives
  // ---------------------------------------------------------------

  TEST_CASE("plans of drawn dives fit together and rounding never shortens them") {
    std::mt19937 random(61);
    constexpr int draws = 150;
    for (int j = 0; j < draws; ++j) {
      CAPTURE(j);
      const Dive dive = random_dive(random);
      Rules rules = random_rules(random);
      const Plan exact = plan(dive, rules);
      require_whole(exact);
      CHECK(exact.surfacing_fraction <= rules.factors.high() + 1e-9);
      rules.rounding = Rounding::departure;
      const Plan departure = plan(dive, rules);
      require_whole(departure);
      CHECK(departure.run_time.base() >= exact.run_time.base() - 1e-9);
      CHECK(departure.surfacing_fraction <= rules.factors.high() + 1e-9);
      rules.rounding = Rounding::duration;
      CHECK(plan(dive, rules).run_time.base() >= exact.run_time.base() - 1e-9);
    }
  }

  TEST_CASE("the exact run time never falls when the bottom time grows") {
    std::mt19937 random(62);
    double worst = 0.0;
    constexpr int draws = 100;
    for (int j = 0; j < draws; ++j) {
      Dive dive = random_dive(random);
      const Rules rules = random_rules(random);
      const double bottom_time = dive.levels.front().leave_at.base();
      double last = plan(dive, rules).run_time.base();
      for (const double more : {1e-6, 1e-3, 0.1, 1.0, 7.0}) {
        dive.levels.front().leave_at = minutes(bottom_time + more);
        const double next = plan(dive, rules).run_time.base();
        worst = std::max(worst, last - next);
        last = next;
      }
    }
    CHECK(worst <= 1e-10);
  }

  TEST_CASE("lower factors never make a shorter ascent") {
    std::mt19937 random(63);
    double worst = 0.0;
    constexpr int draws = 100;
    for (int j = 0; j < draws; ++j) {
      const Dive dive = random_dive(random);
      Rules rules = random_rules(random);
      const double first = plan(dive, rules).run_time.base();
      rules.factors = {rules.factors.low(), rules.factors.high() + 0.1};
      worst = std::max(worst, plan(dive, rules).run_time.base() - first);
    }
    CHECK(worst <= 1e-10);
  }
}

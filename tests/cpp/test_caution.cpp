#include "support.hpp"

#include <upline/caution.hpp>
#include <upline/plan.hpp>

#include <algorithm>
#include <cmath>
#include <set>
#include <string>
#include <string_view>
#include <vector>

// Sources of the limits. Density 5.2 and 6.2 g/L: Anthony and Mitchell 2016 (from memory, to be
// confirmed). CNS and 24-h limits: NOAA Diving Manual (secondary). A fifth of the helium fall, 20
// min on oxygen, a minute at a switch, 0.18 bar, 0.8 of the CNS limit: common practice, no source.
// 0.02 bar beyond the limit line: this project's definition, docs/theory.md.

namespace {

using namespace upline;
using support::bare_rules;
using support::caution_of;
using support::cautions_of;
using support::holds;
using support::off;
using support::quince;
using support::quince_rules;
using support::single_level;

/// The caution of a code, checked for severity, value and limit, with its text holding every piece.
Caution expect(const Plan& made, CautionCode code, Severity severity, double value, double limit,
               const std::vector<std::string>& pieces) {
  const Caution* caution = caution_of(made, code);
  REQUIRE(caution != nullptr);
  CHECK(caution->severity == severity);
  CHECK(off(caution->value, value) <= 1e-12 * (1.0 + std::abs(value)));
  CHECK(off(caution->limit, limit) <= 1e-12);
  const std::string text = caution_text(*caution);
  CAPTURE(text);
  for (const std::string& piece : pieces) {
    CAPTURE(piece);
    CHECK(holds(text, piece));
  }
  CHECK(text.back() == '.');
  return *caution;
}

const Plan& demo() {
  static const Plan made = plan(quince(), quince_rules());
  return made;
}

} // namespace

TEST_SUITE("caution") {
  TEST_CASE("po2 inside the tolerance is a note") {
    const Plan made = demo();
    const Caution caution =
        expect(made, CautionCode::po2_in_tolerance, Severity::note, 1.61325, 1.6, {});
    CHECK(caution_text(caution) ==
          "Oxygen at 6 m is 1.61 bar, inside the stated tolerance above 1.6 bar.");
    CHECK(caution.depth == 6.0);
    CHECK(cautions_of(made, CautionCode::po2_in_tolerance).size() == 1); // once a gas
    // The bottom gas has the stricter limit.
    const Plan bottom = plan(single_level(34.0, 20.0, {"32"}), bare_rules(0.4, 0.8));
    expect(bottom, CautionCode::po2_in_tolerance, Severity::note, 0.32 * 4.41325, 1.4,
           {"32 % at 34 m", "1.41 bar", "above 1.4 bar"});
    const Plan inside = plan(single_level(33.0, 20.0, {"32"}), bare_rules(0.4, 0.8));
    CHECK(caution_of(inside, CautionCode::po2_in_tolerance) == nullptr);
  }

  TEST_CASE("a high surface pressure takes a gas above limit and table") {
    Dive dive = quince();
    dive.environment.surface_pressure = bar(1.15);
    const Plan made = plan(dive, quince_rules());
    const Caution caution =
        expect(made, CautionCode::po2_above_limit, Severity::caution, 1.75, 1.6,
               {"oxygen at 6 m", "1.75 bar", "above 1.6 bar", "Switch shallower"});
    CHECK(caution.gas == Gas(1.0));
    expect(made, CautionCode::beyond_oxygen_table, Severity::caution, 1.75, 1.63,
           {"oxygen at 6 m", "1.75 bar", "1.63 bar", "extrapolated"});
    CHECK(caution_of(demo(), CautionCode::po2_above_limit) == nullptr);
    CHECK(caution_of(demo(), CautionCode::beyond_oxygen_table) == nullptr);
  }

  TEST_CASE("a lean gas at the surface") {
    const Plan made = plan(single_level(60.0, 20.0, {"17/50", "50"}), bare_rules(0.4, 0.8));
    const Caution caution =
        expect(made, CautionCode::low_po2, Severity::caution, 0.17 * 1.01325, 0.18,
               {"17/50", "surface", "0.172 bar", "below 0.18 bar", "richer gas"});
    CHECK(caution.depth == 0.0);
    CHECK(caution_of(demo(), CautionCode::low_po2) == nullptr); // 18 % is 0.182 bar
  }

  TEST_CASE("CNS above 0.8 is a caution and above 1 refuses") {
    CHECK(caution_of(demo(), CautionCode::cns) == nullptr); // 0.651
    Dive dive = quince();
    dive.levels.front().leave_at = minutes(30.0);
    Plan made = plan(dive, quince_rules());
    REQUIRE(made.oxygen.cns > 0.8);
    REQUIRE(made.oxygen.cns < 1.0);
    expect(made, CautionCode::cns, Severity::caution, made.oxygen.cns, 0.8,
           {"CNS", "above 80 %", "single-exposure"});
    CHECK_FALSE(made.refused());
    dive.levels.front().leave_at = minutes(45.0);
    made = plan(dive, quince_rules());
    REQUIRE(made.oxygen.cns > 1.0);
    expect(made, CautionCode::cns, Severity::refuses, made.oxygen.cns, 1.0,
           {"CNS", "above 100 %", "Use less oxygen"});
    CHECK(made.refused());
    CHECK(cautions_of(made, CautionCode::cns).size() == 1);
    // What an earlier dive left counts.
    Dive second = quince();
    second.start = rest(demo().end, minutes(60.0));
    made = plan(second, quince_rules());
    CHECK(made.oxygen.cns < 1.0);
    expect(made, CautionCode::cns, Severity::refuses, made.oxygen.cns_total, 1.0, {"CNS"});
  }

  TEST_CASE("CNS above 1 but for the recovery that is credited") {
    Dive second = quince();
    second.start = rest(demo().end, minutes(180.0));
    const Plan made = plan(second, quince_rules());
    REQUIRE(made.oxygen.cns_total < 1.0);
    REQUIRE(made.oxygen.cns_total_without_recovery > 1.0);
    expect(made, CautionCode::cns_without_recovery, Severity::caution,
           made.oxygen.cns_total_without_recovery, 1.0,
           {"CNS share of the last 24 h", "above 100 %", "unless recovery", "Rest longer"});
    CHECK_FALSE(made.refused());
    // Above 1 with recovery as well: the one that refuses says it all.
    second.start = rest(demo().end, minutes(60.0));
    CHECK(caution_of(plan(second, quince_rules()), CautionCode::cns_without_recovery) == nullptr);
    CHECK(caution_of(demo(), CautionCode::cns_without_recovery) == nullptr);
    // After a day the first dive is forgotten.
    second.start = rest(demo().end, minutes(1500.0));
    CHECK(caution_of(plan(second, quince_rules()), CautionCode::cns_without_recovery) == nullptr);
  }

  TEST_CASE("the 24-h sum above its limits") {
    Dive dive = quince();
    Plan made = demo();
    int dives = 1;
    while (made.oxygen.day_share <= 1.0) {
      CHECK(caution_of(made, CautionCode::oxygen_day) == nullptr);
      dive.start = rest(made.end, minutes(180.0));
      made = plan(dive, quince_rules());
      REQUIRE(++dives < 9);
    }
    CHECK(dives > 1);
    expect(made, CautionCode::oxygen_day, Severity::caution, made.oxygen.day_share, 1.0,
           {"24-h oxygen sum", "above 100 %", "Rest"});
  }

  TEST_CASE("oxygen for more than 20 min without a break") {
    const Plan made = demo();
    // At 6 m from 46.2 min on, then up to 1.4 bar: (1.61325 - 1.4) / 0.9 min of the ascent.
    const double at_stop = made.stops.back().minutes_at_depth().base();
    const double spell = at_stop + (1.61325 - 1.4) / 0.9;
    const Caution caution =
        expect(made, CautionCode::oxygen_without_break, Severity::caution, spell, 20.0,
               {"1.4 bar", "20 min 29 s", "more than 20 min", "without a break"});
    CHECK(off(caution.run_time, made.stops.back().arrives.base()) <= 1e-9);
    Dive shorter = quince();
    shorter.levels.front().leave_at = minutes(24.0);
    CHECK(caution_of(plan(shorter, quince_rules()), CautionCode::oxygen_without_break) == nullptr);
    // Several gases in a row count as one spell: 50 % at 21 and 18 m, 80 % from 9 m.
    const std::vector<detail::Leg> legs = [] {
      detail::Leg rich;
      rich.gas = Gas(1.0);
      rich.from = rich.to = 6.0;
      rich.ends = 15.0;
      detail::Leg next = rich;
      next.gas = Gas(0.8);
      next.from = next.to = 9.0;
      next.begins = 15.0;
      next.ends = 25.0;
      return std::vector<detail::Leg>{rich, next};
    }();
    const detail::OxygenSpell both = detail::longest_spell(legs, Place{}, 1.4);
    CHECK(both.minutes == 25.0);
    CHECK(both.begins == 0.0);
  }

  TEST_CASE("density above 5.2 g/L is a caution and above 6.2 refuses") {
    // Unit density of 18/45 by handbook values: 0.800460 g/L at 1.01325 bar.
    const double at_57 = (0.18 * 1.429 + 0.45 * 0.1786 + 0.37 * 1.251) * 6.71325 / 1.01325;
    const Caution caution =
        expect(demo(), CautionCode::density, Severity::caution, at_57, 5.2,
               {"18/45 at 57 m", "5.30 g/L", "0 degrees C", "above 5.2 g/L", "helium"});
    CHECK(caution.gas == Gas(0.18, 0.45));
    const Plan air = plan(single_level(40.0, 15.0, {"air"}), bare_rules(0.4, 0.8));
    expect(air, CautionCode::density, Severity::refuses,
           (0.21 * 1.429 + 0.79 * 1.251) * 5.01325 / 1.01325, 6.2,
           {"Air at 40 m", "6.37 g/L", "above 6.2 g/L"});
    CHECK(air.refused());
    const Plan light = plan(single_level(30.0, 15.0, {"32"}), bare_rules(0.4, 0.8));
    CHECK(light.extremes.highest_density.value > 5.1);
    CHECK(caution_of(light, CautionCode::density) == nullptr);
  }

  TEST_CASE("nitrogen that rises by more than a fifth of the helium fall") {
    // 18/45 to 50 %: nitrogen 0.37 to 0.50, helium 0.45 to 0: the fall's fifth is 0.09.
    const Plan made = demo();
    const Caution caution =
        expect(made, CautionCode::nitrogen_rise, Severity::caution, 0.13, 0.09,
               {"18/45", "50 %", "21 m", "13 %", "9 %", "disputed", "inner ear"});
    CHECK(caution.old_gas == Gas(0.18, 0.45));
    CHECK(caution.gas == Gas(0.5));
    CHECK(cautions_of(made, CautionCode::nitrogen_rise).size() == 1); // not 50 % to oxygen
    // 18/45 to 25/25 fails too: 0.13 over a fall of 0.20.
    const Plan lesser =
        plan(single_level(57.0, 25.0, {"18/45", "25/25@40", "50/10"}), bare_rules(0.4, 0.8));
    expect(lesser, CautionCode::nitrogen_rise, Severity::caution, 0.13, 0.04, {"25/25"});
    // Helium kept: nitrogen may rise by a fifth exactly.
    const Plan kept = plan(single_level(57.0, 25.0, {"18/45", "38/20@25"}), bare_rules(0.4, 0.8));
    CHECK(off(0.42 - 0.37, (0.45 - 0.20) / 5.0) <= 1e-15);
    CHECK(caution_of(kept, CautionCode::nitrogen_rise) == nullptr);
    // No helium, no rule.
    const Plan nitrox = plan(single_level(40.0, 25.0, {"28", "21@30", "50"}), bare_rules(0.4, 0.8));
    CHECK(caution_of(nitrox, CautionCode::nitrogen_rise) == nullptr);
  }

  TEST_CASE("a switch between levels is inspected like any other") {
    Dive dive = single_level(57.0, 20.0, {"18/45", "50@21"});
    dive.levels.push_back({metres(10.0), minutes(90.0)});
    const Plan made = plan(dive, bare_rules(0.4, 0.8));
    CHECK(caution_of(made, CautionCode::nitrogen_rise) != nullptr);
    CHECK(caution_of(made, CautionCode::short_switch) != nullptr);
  }

  TEST_CASE("a gas that is not breathed and why") {
    Rules rules = quince_rules();
    rules.ladder.last_stop = metres(9.0);
    const Plan never = plan(quince(), rules);
    expect(never, CautionCode::gas_unused, Severity::caution, 1.0, 1.63,
           {"Oxygen is not breathed", "1.63 bar", "shallower rungs"});
    const Plan lean = plan(single_level(40.0, 30.0, {"28", "25"}), bare_rules(0.4, 0.8));
    expect(lean, CautionCode::gas_unused, Severity::caution, 0.25, 1.63,
           {"25 % is not breathed", "no more oxygen than 28 %", "Give its switch depth"});
    CHECK(caution_of(demo(), CautionCode::gas_unused) == nullptr);
  }

  TEST_CASE("a switch depth that is not above the bottom") {
    const Plan made = plan(single_level(20.0, 60.0, {"28", "50@22"}), bare_rules(0.4, 0.8));
    const Caution caution =
        expect(made, CautionCode::switch_at_bottom, Severity::caution, 22.0, 20.0,
               {"50 %", "22 m", "bottom at 20 m", "on leaving the bottom"});
    CHECK(caution.depth == 20.0);
    const Plan above = plan(single_level(20.0, 60.0, {"28", "50@19"}), bare_rules(0.4, 0.8));
    CHECK(caution_of(above, CautionCode::switch_at_bottom) == nullptr);
  }

  TEST_CASE("less than a minute at a switch") {
    const Plan made = demo();
    const double spent = made.stops[2].minutes_at_depth().base(); // 21 m, 0.8466 min
    const Caution caution = expect(made, CautionCode::short_switch, Severity::caution, spent, 1.0,
                                   {"50 %", "21 m", "51 s are spent", "less than 1 min"});
    CHECK(caution.depth == 21.0);
    CHECK(cautions_of(made, CautionCode::short_switch).size() == 1); // oxygen has 20 min
    Rules rules = quince_rules();
    rules.switch_time = minutes(1.0);
    CHECK(caution_of(plan(quince(), rules), CautionCode::short_switch) == nullptr);
    // On the way down, from travel to bottom gas, nobody stops for it.
    Dive travelled = quince();
    travelled.travel = TravelGas{Gas(0.32), metres(30.0)};
    CHECK(caution_of(plan(travelled, rules), CautionCode::short_switch) == nullptr);
    // A stop at the same depth on another ascent is no time at this switch.
    Dive dive = single_level(57.0, 25.0, {"18/45", "50"});
    dive.levels.push_back({metres(12.0), minutes(80.0)});
    dive.levels.push_back({metres(30.0), minutes(95.0)});
    const Plan levels = plan(dive, bare_rules(0.4, 0.8));
    expect(levels, CautionCode::short_switch, Severity::caution, 0.0, 1.0, {"21 m"});
  }

  TEST_CASE("the arrival from sea level is assumed and said") {
    Dive dive = single_level(30.0, 20.0, {"28"});
    dive.environment.altitude = metres(640.0);
    const Plan made = plan(dive, bare_rules(0.4, 0.8));
    expect(made, CautionCode::just_arrived, Severity::caution, made.end.place.surface, 1.01325,
           {"0.939 bar", "acclimatised_to", "sea level"});
    dive.environment.acclimatised_to = AcclimatisedHere{};
    CHECK(caution_of(plan(dive, bare_rules(0.4, 0.8)), CautionCode::just_arrived) == nullptr);
    dive.environment = {};
    dive.environment.altitude = metres(300.0);
    CHECK(caution_of(plan(dive, bare_rules(0.4, 0.8)), CautionCode::just_arrived) == nullptr);
  }

  TEST_CASE("a dive at another place than the earlier one") {
    Dive dive = single_level(30.0, 20.0, {"28"});
    const Plan first = plan(dive, bare_rules(0.4, 0.8));
    dive.start = rest(first.end, minutes(120.0));
    CHECK(caution_of(plan(dive, bare_rules(0.4, 0.8)), CautionCode::place_changed) == nullptr);
    dive.environment.altitude = metres(640.0);
    const Plan moved = plan(dive, bare_rules(0.4, 0.8));
    expect(moved, CautionCode::place_changed, Severity::note, moved.end.place.surface, 1.01325,
           {"1.013 bar", "0.939 bar", "Rest"});
    CHECK(caution_of(moved, CautionCode::just_arrived) == nullptr); // tissues are known
  }

  TEST_CASE("an unknown oxygen history is a note of the first dive") {
    const Plan first = demo();
    const Caution* caution = caution_of(first, CautionCode::oxygen_history_unknown);
    REQUIRE(caution != nullptr);
    CHECK(caution->severity == Severity::note);
    CHECK(std::isnan(caution->value));
    CHECK(std::isnan(caution->limit));
    CHECK(holds(caution_text(*caution), "last 24 h"));
    CHECK(holds(caution_text(*caution), "Hand on the state"));
    Dive second = quince();
    second.start = rest(first.end, minutes(600.0));
    CHECK(caution_of(plan(second, quince_rules()), CautionCode::oxygen_history_unknown) == nullptr);
  }

  TEST_CASE("a high factor above one refuses") {
    Rules rules = quince_rules();
    rules.factors = {0.4, 1.2};
    const Plan made = plan(quince(), rules);
    expect(made, CautionCode::factor_above_one, Severity::refuses, 1.2, 1.0,
           {"120 %", "above 100 %", "Choose factors up to 100"});
    CHECK(made.refused());
    rules.factors = {0.4, 1.0};
    CHECK(caution_of(plan(quince(), rules), CautionCode::factor_above_one) == nullptr);
  }

  TEST_CASE("beyond the limit line with amount and depth and run time and compartment") {
    // More of it in test_audit.cpp.
    Rules rules = bare_rules(0.44, 0.93);
    rules.switch_time = minutes(17.0);
    const Plan made = plan(single_level(31.0, 19.0, {"34/8", "41/3@23"}), rules);
    const Caution* caution = caution_of(made, CautionCode::limit_exceeded);
    REQUIRE(caution != nullptr);
    CHECK(caution->severity == Severity::caution);
    CHECK(caution->limit == 1e-9);
    CHECK(caution->half_time ==
          compartment_set("ZH-L16C").nitrogen.half_time[caution->compartment]);
    const std::string text = caution_text(*caution);
    CAPTURE(text);
    CHECK(holds(text, "exceeded by 0.0067 bar"));
    CHECK(holds(text, "3.1 m"));
    CHECK(holds(text, "run time 40:15"));
    CHECK(holds(text, "-min compartment"));
    CHECK(holds(text, "choose other factors"));
  }

  TEST_CASE("what refuses stands first and notes stand last") {
    Dive dive = quince();
    dive.levels.front().leave_at = minutes(45.0);
    const Plan made = plan(dive, quince_rules());
    REQUIRE(made.cautions.size() > 3);
    for (std::size_t j = 1; j < made.cautions.size(); ++j)
      CHECK(made.cautions[j - 1].severity >= made.cautions[j].severity);
    CHECK(made.cautions.front().severity == Severity::refuses);
    CHECK(made.cautions.back().severity == Severity::note);
  }

  TEST_CASE("a caution speaks the units it is asked for") {
    const Plan made = demo();
    const Caution* caution = caution_of(made, CautionCode::density);
    REQUIRE(caution != nullptr);
    CHECK(holds(caution_text(*caution, Units::imperial), "187 ft"));
    CHECK_FALSE(holds(caution_text(*caution, Units::imperial), " m "));
  }

  TEST_CASE("every code and severity has a name and a text of its own") {
    std::set<std::string_view> names;
    std::set<std::string> texts;
    for (const detail::CodeName& entry : detail::caution_names) {
      CHECK(code_name(entry.code) == entry.name);
      names.insert(entry.name);
      Caution caution;
      caution.code = entry.code;
      caution.value = 0.5;
      caution.limit = 0.25;
      caution.depth = 6.0;
      caution.run_time = 20.0;
      texts.insert(caution_text(caution));
    }
    CHECK(names.size() == detail::caution_names.size());
    CHECK(texts.size() == detail::caution_names.size());
    CHECK(names.size() == static_cast<std::size_t>(CautionCode::limit_exceeded) + 1);
    CHECK(severity_name(Severity::note) == "note");
    CHECK(severity_name(Severity::caution) == "caution");
    CHECK(severity_name(Severity::refuses) == "refuses");
  }

  TEST_CASE("a value beyond its limit never reads like the limit") {
    Caution caution;
    caution.code = CautionCode::density;
    caution.gas = Gas();
    caution.depth = 31.0;
    caution.value = 5.2 + 1e-6;
    caution.limit = 5.2;
    CHECK(holds(caution_text(caution), "5.200001 g/L"));
  }
}

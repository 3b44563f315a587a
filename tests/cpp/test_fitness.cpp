// Fitness of kit. The verdicts expected, and whose rule each is, stand in
// validation/data/fitness_cases.csv.
#include "kit_cases.hpp"

#include <upline/fitness.hpp>
#include <upline/fitness_text.hpp>

#include <algorithm>
#include <set>
#include <string>
#include <vector>

using namespace upline;
using support::fit_case;
using support::KitCase;

namespace {

Fitness judged(const KitCase& one) { return fitness({one.set}, one.choice); }

/// What a rule says of the first item of a kind, or of the whole set.
std::string said(const SetFitness& found, const std::string& rule, const std::string& kind) {
  for (const KitFinding& one : found.findings) {
    if (rule_name(one.rule) != rule) continue;
    if (kind == "whole set" ? one.item == whole_set
                            : one.item != whole_set && item_kind_name(one.kind) == kind)
      return std::string(kit_verdict_name(one.verdict));
  }
  return "not asked";
}

KitItem& item_of(KitCase& one, ItemKind kind) {
  const auto found = std::find_if(one.set.items.begin(), one.set.items.end(),
                                  [&](const KitItem& item) { return item.kind == kind; });
  REQUIRE(found != one.set.items.end());
  return *found;
}

std::string refusal(const KitCase& one) {
  try {
    static_cast<void>(judged(one));
  } catch (const InvalidInput& error) {
    return error.what();
  }
  return "";
}

bool holds(const std::string& text, const char* part) {
  return text.find(part) != std::string::npos;
}

/// The text without its line breaks.
std::string flat(const std::string& text) {
  std::string joined;
  for (const char c : text)
    if (c != '\n' && (c != ' ' || (!joined.empty() && joined.back() != ' ')))
      joined += c;
    else if (!joined.empty() && joined.back() != ' ')
      joined += ' ';
  return joined;
}

} // namespace

TEST_SUITE("fitness") {
  TEST_CASE("every case of the table") {
    const std::vector<support::Record> rows = support::table("fitness_cases");
    CHECK(rows.size() >= 220);
    std::set<std::string> rules;
    for (const support::Record& row : rows) {
      CAPTURE(row.text("case"));
      CAPTURE(row.text("changes"));
      REQUIRE(row.has("source"));
      KitCase one = fit_case();
      support::KitChanger(one).change(row.text("changes"), row.text("kind"));
      const Fitness found = judged(one);
      CHECK(said(found.sets[0], row.text("rule"), row.text("kind")) == row.text("verdict"));
      CHECK(kit_verdict_name(found.sets[0].verdict()) == row.text("set_verdict"));
      CHECK(found.verdict() == found.sets[0].verdict());
      rules.insert(row.text("rule"));
    }
    for (const KitRule& rule : kit_rules) CHECK(rules.count(std::string(rule.name)) == 1);
  }

  TEST_CASE("what makes the table hard to pass: each rule is seen fit, not fit and unknown") {
    std::set<std::string> seen;
    for (const support::Record& row : support::table("fitness_cases"))
      seen.insert(row.text("rule") + " " + row.text("verdict"));
    for (const KitRule& rule : kit_rules)
      for (const char* verdict : {" fit", " not fit", " unknown"})
        if (rule.code != RuleCode::complete || std::string(verdict) != " not fit")
          CHECK(seen.count(std::string(rule.name) + verdict) == 1);
  }

  TEST_CASE("forgetting anything never makes an unfit set fit, and a fit one at most unknown") {
    // Every field that a rule reads, forgotten one at a time in a set that is fit: no verdict gets
    // better, and none becomes "not fit".
    const std::vector<std::string> fields{"largest_oxygen",
                                          "largest_pressure",
                                          "largest_depth",
                                          "lowest_temperature",
                                          "materials",
                                          "oxygen_clean",
                                          "cleaned_by",
                                          "ordinary_air_since",
                                          "balanced",
                                          "connector",
                                          "adapter",
                                          "intermediate_pressure",
                                          "slow_opening",
                                          "mouthpiece_retained",
                                          "service",
                                          "intermediate_check",
                                          "leak_check",
                                          "cylinder_test",
                                          "fill_pressure",
                                          "filling",
                                          "breathed",
                                          "carried",
                                          "going_down",
                                          "water_temperature",
                                          "cleaning_every",
                                          "service_every",
                                          "intermediate_every",
                                          "leak_every",
                                          "within",
                                          "cylinder_test_every",
                                          "outlet_en_144_3"};
    for (const char* gas : {"50", "32", "air"})
      for (const std::string& field : fields)
        for (const std::string_view kind : item_kind_names) {
          KitCase bad = fit_case(); // not fit: nobody tied the mouthpiece on
          support::KitChanger(bad).change(std::string("gas=") + gas, "valve");
          KitCase good = bad;
          item_of(bad, ItemKind::second_stage).mouthpiece_retained = Answer::no;
          CHECK(judged(good).verdict() == KitVerdict::fit);
          CHECK(judged(bad).verdict() == KitVerdict::not_fit);
          const std::string change = field + "=unknown";
          support::KitChanger(good).change(change, std::string(kind));
          support::KitChanger(bad).change(change, std::string(kind));
          CAPTURE(change);
          CHECK(judged(good).verdict() != KitVerdict::not_fit);
          if (field != "mouthpiece_retained" || kind != "second stage")
            CHECK(judged(bad).verdict() == KitVerdict::not_fit);
        }
  }

  TEST_CASE("a kit is as fit as its worst set") {
    KitCase one = fit_case();
    KitCase unknown = one;
    unknown.set.fill_pressure.reset();
    KitCase unfit = one;
    item_of(unfit, ItemKind::second_stage).mouthpiece_retained = Answer::no;
    CHECK(fitness({one.set, one.set}, one.choice).verdict() == KitVerdict::fit);
    CHECK(fitness({one.set, unknown.set}, one.choice).verdict() == KitVerdict::unknown);
    CHECK(fitness({unfit.set, unknown.set}, one.choice).verdict() == KitVerdict::not_fit);
    const SetFitness found = judged(unfit).sets[0];
    std::size_t unfit_items = 0;
    for (std::size_t j = 0; j < found.set.items.size(); ++j)
      if (found.verdict(j) != KitVerdict::fit) ++unfit_items;
    CHECK(unfit_items == 1);
    CHECK(Fitness{one.choice, {}}.verdict() == KitVerdict::unknown);
    CHECK(worst({}) == KitVerdict::unknown);
  }

  TEST_CASE("neighbours of the line are printed, and the choice is the diver's") {
    CHECK(oxygen_line_text(0.32, OxygenLine::above_40) ==
          "32 %: fit under the 40 % rule (your choice); above the 22 %, 23.5 % and 25 % lines");
    CHECK(oxygen_line_text(0.24, OxygenLine::above_25) ==
          "24 %: fit under the 25 % rule (your choice); above the 22 % and 23.5 % lines; not above "
          "the 40 % line");
    CHECK(oxygen_line_text(0.21, OxygenLine::above_22) ==
          "21 %: fit under the 22 % rule (your choice); not above the 23.5 %, 25 % and 40 % lines");
    CHECK(oxygen_line_text(0.32, OxygenLine::above_25) ==
          "32 %: above the 25 % line (your choice), in oxygen service; above the 22 % and 23.5 % "
          "lines; not above the 40 % line");
    CHECK(oxygen_line_at(23.5) == OxygenLine::above_23_5);
    CHECK_THROWS_AS(static_cast<void>(oxygen_line_at(30.0)), InvalidInput);
    CHECK_THROWS_AS(static_cast<void>(oxygen_line_at(0.40)), InvalidInput);
    CHECK_THROWS_AS(static_cast<void>(oxygen_line_at(std::nan(""))), InvalidInput);
  }

  TEST_CASE("a plan says where a set is breathed and carried") {
    const Plan plan = upline::plan(support::quince(), support::quince_rules());
    const auto rich = depths_breathed(plan, Gas(0.5));
    REQUIRE(rich);
    CHECK(rich->deepest == metres(21.0));
    CHECK(rich->shallowest == metres(6.0));
    CHECK(depths_carried(plan) == DepthRange{metres(0.0), metres(57.0)});
    CHECK_FALSE(depths_breathed(plan, Gas(0.32)));

    KitCase one = fit_case();
    one.set.breathed.reset();
    one.set.carried.reset();
    CHECK(judged(one).verdict() == KitVerdict::unknown);
    const Fitness found = fitness({one.set}, one.choice, plan);
    CHECK(found.verdict() == KitVerdict::fit);
    CHECK(found.sets[0].set.breathed == rich);
    KitCase unplanned = one;
    unplanned.set.breathed.reset();
    Dive dive = support::quince();
    dive.gases.front() = "21/20"; // denser than 6.2 g/L
    const Plan refused = upline::plan(dive, support::quince_rules());
    REQUIRE(refused.refused());
    CHECK_THROWS_AS(static_cast<void>(fitness({unplanned.set}, unplanned.choice, refused)),
                    InvalidInput);
    one.set.gas = Gas(0.32);
    CHECK_THROWS_AS(static_cast<void>(fitness({one.set}, one.choice, plan)), InvalidInput);
  }

  TEST_CASE("whole feet where a team works in feet") {
    KitCase one = fit_case();
    one.set.gas = Gas(1.0);
    one.set.breathed = DepthRange{metres(0.0), feet(20.0)};
    CHECK(said(judged(one).sets[0], "oxygen_depth", "whole set") == "not fit"); // 6.096 m
    one.choice.units = Units::imperial;
    CHECK(said(judged(one).sets[0], "oxygen_depth", "whole set") == "fit");
    CHECK(holds(flat(fitness_text(judged(one))),
                "oxygen at 2610 psi, premixed; breathed 0 to 20 ft"));
    one.set.breathed->deepest = feet(20.1);
    CHECK(said(judged(one).sets[0], "oxygen_depth", "whole set") == "not fit");
  }

  TEST_CASE("intervals run by the calendar") {
    const auto until = [](const char* day, const char* every) {
      return detail::date_text(
          detail::due(support::day(day), detail::interval_of("interval", every)));
    };
    CHECK(until("2026-01-31", "1 month") == "2026-02-28");
    CHECK(until("2024-02-29", "1 year") == "2025-02-28");
    CHECK(until("2025-11-25", "12 months") == "2026-11-25");
    CHECK(until("2026-12-30", "7 days") == "2027-01-06");
    for (const char* bad : {"", "12", "months", "1 2 months", "0 days", "12 moons", "99999 days"})
      CHECK_THROWS_AS(static_cast<void>(detail::interval_of("interval", bad)), InvalidInput);
    for (const char* bad : {"", "2026-13-01", "2026-02-29", "26-11-25", "2026/11/25", "1800-01-01"})
      CHECK_THROWS_AS(static_cast<void>(detail::date_of("day", bad)), InvalidInput);
  }

  TEST_CASE("ratings that cannot be are refused with a remedy") {
    const auto with = [](const char* changes, const char* kind) {
      KitCase one = fit_case();
      support::KitChanger(one).change(changes, kind);
      return refusal(one);
    };
    CHECK(holds(with("largest_oxygen=40", "valve"), "give a share, 0.40 for 40 %"));
    CHECK(holds(with("largest_oxygen=0.01", "valve"), "largest_oxygen of"));
    CHECK(holds(with("largest_oxygen=0.4", "valve"), "100 % beside a largest_oxygen of 40 %"));
    CHECK(holds(with("largest_pressure=190", "valve"), "beside a largest_pressure of 190 bar"));
    CHECK(holds(with("largest_pressure=-1", "valve"), "1 bar"));
    CHECK(holds(with("largest_depth=-5", "valve"), "largest_depth of"));
    CHECK(holds(with("lowest_temperature=60", "gauge"), "lowest_temperature of"));
    CHECK(holds(with("intermediate_pressure=9.5", "gauge"), "only for first stage"));
    CHECK(holds(with("mouthpiece_retained=yes", "valve"), "only for second stage"));
    CHECK(holds(with("within=seals", "seals"), "say in which item they are"));
    CHECK(holds(with("service=2026-11-26", "first stage"), "after the dive on 2026-11-25"));
    CHECK(holds(with("breathed=6:60", "valve"), "widen carried"));
    CHECK(holds(with("breathed=21:6", "valve"), "write the shallower one first"));
    CHECK(holds(with("carried=0:400", "valve"), "350 m"));
    CHECK(holds(with("fill_pressure=400", "valve"), "fill_pressure is 400 bar"));
    CHECK(holds(with("analysed=50", "valve"), "analysed is 50"));
    CHECK(holds(with("without=gauge", "valve"), "leave one of them out"));
    CHECK(holds(with("drop=valve;without=valve", "gauge"), "list the item"));
    CHECK(holds(with("water_temperature=60", "valve"), "water_temperature is 60"));

    KitCase twice = fit_case();
    item_of(twice, ItemKind::valve).oxygen_pressures = {{0.4, bar_gauge(150.0)},
                                                        {1.0, bar_gauge(180.0)}};
    CHECK(holds(refusal(twice), "no more pressure with more oxygen"));
    item_of(twice, ItemKind::valve).oxygen_pressures = {{1.0, bar_gauge(180.0)},
                                                        {1.0, bar_gauge(180.0)}};
    CHECK(holds(refusal(twice), "each share once"));
    KitCase empty = fit_case();
    item_of(empty, ItemKind::valve).materials = std::vector<std::size_t>{};
    CHECK(holds(refusal(empty), "name all that gas wets"));
    item_of(empty, ItemKind::valve).materials = {{known_materials.size()}};
    CHECK(holds(refusal(empty), "name a known material"));
    KitCase bare = fit_case();
    bare.set.items.clear();
    CHECK(holds(refusal(bare), "1 to 40 items"));
    KitCase nameless = fit_case();
    nameless.set.name.clear();
    CHECK(holds(refusal(nameless), "give a name"));
    CHECK_THROWS_AS(static_cast<void>(fitness({}, nameless.choice)), InvalidInput);
  }
}

TEST_SUITE("fitness advice and text") {
  TEST_CASE("advice is followed or not, and never changes a verdict") {
    KitCase one = fit_case();
    const auto followed = [](const KitCase& with, AdviceCode code) {
      const Fitness found = judged(with);
      CHECK(found.verdict() == KitVerdict::fit);
      for (const KitAdvice& advice : found.sets[0].advice)
        if (advice.code == code) return advice.followed;
      return Answer::unknown;
    };
    for (const auto code :
         {AdviceCode::turning_outlet, AdviceCode::hose_length, AdviceCode::three_cues,
          AdviceCode::full_gauge, AdviceCode::label, AdviceCode::label_agrees})
      CHECK(followed(one, code) == Answer::unknown);

    item_of(one, ItemKind::first_stage).turning_outlet = Answer::yes;
    CHECK(followed(one, AdviceCode::turning_outlet) == Answer::yes);
    item_of(one, ItemKind::first_stage).turning_outlet = Answer::no;
    CHECK(followed(one, AdviceCode::turning_outlet) == Answer::no);

    one.set.hose_needed = metres(1.0);
    CHECK(followed(one, AdviceCode::hose_length) == Answer::unknown);
    item_of(one, ItemKind::low_pressure_hose).hose_length = metres(1.0);
    CHECK(followed(one, AdviceCode::hose_length) == Answer::yes);
    item_of(one, ItemKind::low_pressure_hose).hose_length = metres(0.99);
    CHECK(followed(one, AdviceCode::hose_length) == Answer::no);

    item_of(one, ItemKind::gauge).gauge_kind = GaugeKind::full;
    item_of(one, ItemKind::high_pressure_hose).hose_length = metres(0.3);
    CHECK(followed(one, AdviceCode::full_gauge) == Answer::yes);
    item_of(one, ItemKind::high_pressure_hose).hose_length = metres(0.31);
    CHECK(followed(one, AdviceCode::full_gauge) == Answer::no);
    item_of(one, ItemKind::high_pressure_hose).hose_length = metres(0.3);
    item_of(one, ItemKind::gauge).gauge_kind = GaugeKind::small;
    CHECK(followed(one, AdviceCode::full_gauge) == Answer::no);
  }

  TEST_CASE("three cues, and colour never alone") {
    KitCase one = fit_case();
    const auto followed = [&](std::vector<Cue> cues, Answer by_team) {
      one.set.cues = std::move(cues);
      one.set.colour_by_team = by_team;
      return judged(one).sets[0].advice[2];
    };
    CHECK(followed({Cue::side, Cue::touch, Cue::depth_marking}, Answer::unknown).followed ==
          Answer::yes);
    CHECK(followed({Cue::side, Cue::touch}, Answer::yes).followed == Answer::no);
    CHECK(followed({Cue::side, Cue::touch, Cue::touch}, Answer::yes).found == 2.0);
    CHECK(followed({Cue::side, Cue::touch, Cue::colour}, Answer::yes).followed == Answer::yes);
    CHECK(followed({Cue::side, Cue::touch, Cue::colour}, Answer::no).followed == Answer::no);
    CHECK(followed({Cue::side, Cue::touch, Cue::colour}, Answer::unknown).followed ==
          Answer::unknown);
    CHECK(followed({Cue::colour}, Answer::yes).followed == Answer::no);
    CHECK(followed({}, Answer::yes).followed == Answer::no);
  }

  TEST_CASE("a label is whole, and agrees with the analysis of the day") {
    KitCase one = fit_case();
    one.set.label =
        KitLabel{Gas(0.5), metres(21.0), support::day("2026-11-24"), "Ada", Answer::yes};
    one.set.analysed = 0.51;
    one.set.analysed_on = support::day("2026-11-25");
    const auto advice = [&](std::size_t j) { return judged(one).sets[0].advice[j].followed; };
    CHECK(advice(4) == Answer::yes);
    CHECK(advice(5) == Answer::yes);
    one.set.analysed = 0.511;
    CHECK(advice(5) == Answer::no);
    one.set.analysed = 0.49;
    CHECK(advice(5) == Answer::yes);
    one.set.analysed_on = support::day("2026-11-24");
    CHECK(advice(5) == Answer::no);
    one.set.analysed_on.reset();
    CHECK(advice(5) == Answer::unknown);
    one.set.label->analyst.clear();
    CHECK(advice(4) == Answer::no);
    one.set.label->analyst = "Ada";
    one.set.label->one_unit = Answer::unknown;
    CHECK(advice(4) == Answer::unknown);
    one.set.label->mix.reset();
    CHECK(advice(4) == Answer::no);
    CHECK(advice(5) == Answer::unknown);
  }

  TEST_CASE("text names the rule, whose it is, the remedy, and what it does not certify") {
    KitCase one = fit_case();
    std::string text = flat(fitness_text(judged(one)));
    CHECK(holds(text, "Fit by the ratings you entered and the rule you chose. Nothing was "
                      "inspected; this certifies no equipment."));
    CHECK(holds(text, "It does not make a dive safe"));
    CHECK(holds(text, "46 CFR 197.326"));
    item_of(one, ItemKind::first_stage).oxygen_pressures = {{1.0, bar_gauge(150.0)}};
    item_of(one, ItemKind::gauge).materials.reset();
    text = flat(fitness_text(judged(one)));
    CHECK(holds(text, "50 % (invented): not fit"));
    CHECK(holds(text, "first stage (invented), inlet_pressure: sees 180 bar, may see no more than "
                      "150 bar at 50 %. Whose rule: the plate as entered. Remedy: fill to less"));
    CHECK(holds(text, "not stated: the materials that gas wets (materials)"));
    CHECK(holds(text, "Nothing was inspected; this certifies no equipment."));
    const std::vector<KitFindingLine> table = fitness_table(judged(one));
    CHECK(table[1][2] == "not fit");
    CHECK(table[2][2] == "unknown");
    CHECK(table.size() == judged(one).sets[0].findings.size() + 1);
  }

  TEST_CASE("no placeholder is left in any sentence of any case") {
    for (const support::Record& row : support::table("fitness_cases")) {
      KitCase one = fit_case();
      support::KitChanger(one).change(row.text("changes"), row.text("kind"));
      const Fitness found = judged(one);
      for (const KitFinding& finding : found.sets[0].findings) {
        const std::string text = kit_finding_text(found.sets[0], finding, found.choice);
        CHECK(text.find_first_of("{}") == std::string::npos);
        CHECK_FALSE(holds(text, "nan"));
        CHECK_FALSE(holds(text, "inf "));
        CHECK(holds(text, finding.verdict == KitVerdict::fit ? "Whose rule: " : "Remedy: "));
      }
    }
  }

  TEST_CASE("tables stand in the order of their codes") {
    for (std::size_t j = 0; j < kit_rules.size(); ++j)
      CHECK(static_cast<std::size_t>(kit_rules[j].code) == j);
    for (std::size_t j = 0; j < authorities.size(); ++j)
      CHECK(static_cast<std::size_t>(authorities[j].authority) == j);
    for (std::size_t j = 0; j < oxygen_lines.size(); ++j)
      CHECK(static_cast<std::size_t>(oxygen_lines[j].line) == j);
  }
}

// Slates. What is cut must keep the limit line by the project's own check of a table cut by hand,
// which shares no rounding with it, and no stop may be shorter than planned.
#include "support.hpp"

#include <upline/slate.hpp>
#include <upline/slate_text.hpp>

#include <algorithm>
#include <cmath>
#include <random>
#include <string>
#include <vector>

using namespace upline;

namespace {

Rules demo_rules() {
  Rules rules{.factors = {0.4, 0.8}};
  rules.ladder.last_stop = metres(6.0);
  return rules;
}

Plan demo() { return plan(support::quince(), demo_rules()); }

/// The lines of a slate as somebody would hand them in for a check.
Table cut_table(const Slate& made, const Plan& planned) {
  const Units units = planned.rules.units;
  Table table;
  table.depth = depth_in(planned.dive.levels.front().depth, units);
  table.bottom_time = in_minutes(planned.bottom_time);
  for (const GasChoice& choice : planned.dive.gases) table.gases.push_back({choice.gas, {}});
  table.environment = planned.dive.environment;
  table.water_said = true;
  table.units = units;
  table.minutes = MinutesMean::leave_at;
  table.bottom_from = BottomTimeFrom::surface;
  table.switch_minute = SwitchMinute::inside;
  table.switch_time = planned.rules.switch_time;
  const auto& rows = made.schedule.rows;
  for (std::size_t j = made.schedule.bottom + 1; j < rows.size(); ++j)
    table.rows.push_back(
        {depth_in(rows[j].depth, units), {}, static_cast<double>(*rows[j].leave_at), rows[j].gas});
  return table;
}

/// Dives and rules without any order, under every rounding.
class DrawnPlans {
public:
  [[nodiscard]] std::optional<Plan> next() {
    const double low = number(0.2, 0.6);
    const GradientFactors factors{low, number(low, 0.95)};
    const bool feet_are_used = pick(4) == 0;
    Rules rules = feet_are_used ? Rules::imperial(factors) : Rules{.factors = factors};
    rules.rounding = static_cast<Rounding>(pick(3));
    constexpr std::array resolutions{1.0 / 60.0, 0.25, 0.5, 1.0, 1.5, 2.0, 3.7};
    rules.resolution = minutes(resolutions[pick(resolutions.size())]);
    rules.switch_time = minutes(static_cast<double>(pick(3)));
    if (pick(3) == 0) rules.min_stop = minutes(2.0);
    if (!feet_are_used && pick(2) == 0) rules.ladder.last_stop = metres(pick(2) == 0 ? 6.0 : 4.5);
    if (pick(4) == 0)
      rules.ascent_rates = {{metres(21.0), metres_per_minute(9.0)},
                            {metres(0.0), metres_per_minute(3.0)}};
    double depth = number(20.0, 66.0);
    if (feet_are_used) depth = in_metres(feet(std::round(in_feet(metres(depth)))));
    const double time = pick(2) == 0 ? number(8.0, 50.0) : std::round(number(8.0, 50.0));
    std::vector<GasChoice> gases{depth < 40.0 ? "28" : "18/45"};
    if (pick(2) == 0) gases.emplace_back("50");
    if (pick(2) == 0) gases.emplace_back("O2");
    Dive dive = support::single_level(depth, time, gases);
    if (pick(5) == 0) dive.environment.altitude = metres(number(300.0, 2500.0));
    try {
      Plan found = plan(dive, rules);
      if (!found.refused() && !found.stops.empty()) return found;
    } catch (const Error&) { // drawn without regard to what can be dived
    }
    return {};
  }

private:
  double number(double low, double high) {
    return std::uniform_real_distribution<>(low, high)(draw_);
  }
  std::size_t pick(std::size_t many) {
    return std::uniform_int_distribution<std::size_t>(0, many - 1)(draw_);
  }
  std::mt19937_64 draw_{5}; // NOLINT(cert-msc51-cpp): the same dives each time
};

const Stop* stop_at(const Plan& plan, Depth depth) {
  for (const Stop& stop : plan.stops)
    if (stop.depth == depth) return &stop;
  return nullptr;
}

std::string refusal(const Plan& plan, const SlateStatement& said = {}) {
  const auto error = support::thrown<InvalidInput>([&] { (void)slate(plan, {}, said); });
  return error ? error->what() : "no error";
}

std::string on_one_line(std::string text) {
  std::replace(text.begin(), text.end(), '\n', ' ');
  return text;
}

} // namespace

TEST_SUITE("slate") {
  TEST_CASE("a plan in whole minutes is cut as it is") {
    const Plan planned = demo();
    const Slate made = slate(planned);
    CHECK_FALSE(made.schedule.recomputed);
    CHECK(made.schedule.valid_to == 57);
    CHECK(made.schedule.leave_by == 25);
    REQUIRE(made.schedule.rows.size() == planned.stops.size() + 1);
    for (std::size_t j = 0; j < planned.stops.size(); ++j) {
      const SlateRow& row = made.schedule.rows[j + 1];
      const Stop& stop = planned.stops[j];
      CHECK(row.depth == stop.depth);
      CHECK(static_cast<double>(*row.leave_at) == in_minutes(stop.departs));
      CHECK(static_cast<double>(*row.stay) == in_minutes(stop.stay));
      CHECK(row.gas == stop.gas);
      CHECK(row.switching == !(stop.gas == stop.arrives_on));
    }
    CHECK(made.schedule.surface == 70); // 69:40, rounded up
  }

  TEST_CASE("drawn plans: what is cut keeps the line, and no stop is shorter than planned") {
    DrawnPlans drawn;
    int cut = 0;
    int computed_again = 0;
    for (int k = 0; k < 1200; ++k) {
      const std::optional<Plan> planned = drawn.next();
      if (!planned) continue;
      std::optional<Slate> made;
      try {
        made = slate(*planned);
      } catch (const InvalidInput& error) { // longer stops may take too much oxygen
        CHECK(support::holds(error.what(), "refused (cns)"));
        continue;
      }
      ++cut;
      computed_again += made->schedule.recomputed ? 1 : 0;
      for (const Stop& stop : planned->stops) {
        const Stop* again = stop_at(made->schedule.plan, stop.depth);
        REQUIRE(again != nullptr);
        CHECK(in_minutes(again->minutes_at_depth()) >= in_minutes(stop.minutes_at_depth()) - 1e-9);
        CHECK(in_minutes(again->departs) >= in_minutes(stop.departs) - 1e-9);
      }
      for (const SlateRow& row : made->schedule.rows) CHECK(*row.stay >= 0);
      CHECK(static_cast<double>(made->schedule.surface) >= in_minutes(planned->run_time) - 1e-6);
      CHECK(static_cast<double>(made->schedule.leave_by) <=
            in_minutes(planned->bottom_time) + 1e-6);
      const TableVerdict found = verdict(cut_table(*made, *planned), planned->rules);
      const ReadingVerdict& governing = found.readings[found.governing];
      // A pause at a switch may exceed the line by millibars, which the plan says of itself.
      const Caution* said = support::caution_of(made->schedule.plan, CautionCode::limit_exceeded);
      CAPTURE(schedule_title(*planned));
      CHECK(governing.can_be_followed);
      CHECK(governing.margin >= -(said != nullptr ? said->value : 0.0) - 1e-9);
      if (said == nullptr) CHECK(found.verdict == Verdict::satisfies);
    }
    CHECK(cut > 500);
    CHECK(computed_again > 300);
  }

  TEST_CASE("rounding leave times up one by one would shorten a stop; a slate does not") {
    Rules exact = demo_rules();
    exact.rounding = Rounding::exact;
    const Plan planned = plan(support::quince(), exact);
    bool shorter = false;
    double left = in_minutes(planned.bottom_time);
    for (const Stop& stop : planned.stops) {
      const double leaves = std::ceil(in_minutes(stop.departs));
      shorter = shorter || leaves - left < in_minutes(stop.stay);
      left = leaves;
    }
    CHECK(shorter); // else this dive shows nothing
    const Slate made = slate(planned);
    CHECK(made.schedule.recomputed);
    CHECK(support::holds(on_one_line(slate_text(made)), "no stop is shorter than planned"));
  }

  TEST_CASE("depth and bottom time are rounded down, the schedule is that of the whole dive") {
    const Plan planned =
        plan(support::single_level(57.9, 25.9, {"18/45", "50", "O2"}), demo_rules());
    const Slate made = slate(planned);
    CHECK(made.schedule.valid_to == 57);
    CHECK(made.schedule.leave_by == 25);
    CHECK(static_cast<double>(*made.schedule.rows.back().leave_at) ==
          in_minutes(planned.stops.back().departs));
    CHECK(support::holds(slate_text(made), "Valid to 57 m and leaving by 25 min"));
  }

  TEST_CASE("a switch that takes no time is a stop of its own on a slate") {
    Rules rules = demo_rules();
    rules.switch_time = minutes(0.0);
    Dive dive = support::quince();
    dive.gases = {"18/45", "32@33"};
    const Plan planned = plan(dive, rules);
    REQUIRE(stop_at(planned, metres(33.0)) == nullptr);
    const Slate made = slate(planned);
    const SlateRow& row = made.schedule.rows[1];
    CHECK(row.depth == metres(33.0));
    CHECK(row.switching);
    CHECK(*row.leave_at == 28); // 25 and 24 m at 9 m/min are 27:40
  }

  TEST_CASE(
      "levels: left early for a shallower one, late for a deeper one; travel gas has a line") {
    Dive dive = support::quince();
    dive.levels = {{metres(45.0), minutes(10.4)},
                   {metres(57.0), minutes(20.4)},
                   {metres(42.0), minutes(30.4)}};
    dive.travel = TravelGas{Gas::parse("50"), metres(17.0)};
    const Slate made = slate(plan(dive, demo_rules()));
    const auto& rows = made.schedule.rows;
    CHECK_FALSE(rows[0].leave_at.has_value());
    CHECK(rows[0].switching);
    CHECK(rows[0].depth == metres(17.0));
    CHECK(*rows[1].leave_at == 11);
    CHECK(*rows[2].leave_at == 20);
    CHECK(*rows[3].leave_at == 30);
    CHECK(made.schedule.bottom == 3);
    const std::string text = slate_text(made);
    CHECK(support::holds(text, "Go down on 50 %."));
    CHECK(support::holds(on_one_line(text), "Valid to 57 m and leaving 42 m by 30 min"));
  }

  TEST_CASE("no slate of what is refused, and the caution is named") {
    Rules rules = demo_rules();
    rules.factors = {0.4, 1.2};
    CHECK(support::holds(refusal(plan(support::quince(), rules)), "refused (factor_above_one)"));
    const auto later = slate(demo(), {{.later = minutes(15.0)}, {.deeper = metres(20.0)}});
    REQUIRE(later.contingencies.size() == 2);
    CHECK_FALSE(later.contingencies[0].schedule.has_value());
    CHECK(support::holds(later.contingencies[0].reason, "refused (cns): CNS share is "));
    CHECK(support::holds(later.contingencies[1].reason, "bottom gas is 18/45 at 77 m"));
    const std::string text = on_one_line(slate_text(later));
    CHECK(support::holds(text, "If 15 min late No schedule: refused (cns)"));
    CHECK_FALSE(support::holds(text, "depth m")); // no times that could be copied
  }

  TEST_CASE("a contingency is cut in whole minutes as well") {
    Rules rules = demo_rules();
    rules.rounding = Rounding::exact;
    const Plan planned = plan(support::quince(), rules);
    const Slate made = slate(planned, {{.later = minutes(5.0)}});
    const SlateSchedule& row = made.contingencies.front().schedule.value();
    CHECK(row.recomputed);
    CHECK(row.leave_by == 30);
    for (const Stop& stop : row.plan.stops) CHECK(detail::is_whole(stop.departs));
  }

  TEST_CASE("depths of gases are whole and never too deep") {
    // 1.6 bar of oxygen are 5.9 m; it is breathed at 6 m, inside the tolerance.
    const Slate made = slate(demo());
    REQUIRE(made.gases.size() == 3);
    CHECK(made.gases[0].deepest == 67); // 1.4 / 0.18 - 1.01325 bar are 67.6 m
    CHECK(made.gases[1].deepest == 21); // 1.6 / 0.5 - 1.01325 bar are 21.9 m
    CHECK(made.gases[2].deepest == 6);
    CHECK(made.gases[2].po2 == doctest::Approx(1.61325).epsilon(1e-9));
    CHECK(support::holds(slate_text(made), "6 m (1.61 bar)"));
    Rules feet_rules = Rules::imperial({0.4, 0.8});
    Dive dive = support::quince();
    dive.levels = {{feet(187.0), minutes(25.0)}};
    const Slate in_feet = slate(plan(dive, feet_rules));
    CHECK(in_feet.gases[2].deepest == 20); // breathed at 20 ft
    CHECK(support::holds(slate_text(in_feet), "20 ft (1.62 bar)"));
  }

  TEST_CASE("a lean bottom gas says how far up it may be breathed") {
    Dive dive = support::single_level(70.0, 20.0, {"12/60", "50", "O2"});
    dive.travel = TravelGas{Gas::parse("50"), metres(18.0)};
    // 0.16 / 0.12 - 1.01325 bar are 3.2 m.
    CHECK(support::holds(slate_text(slate(plan(dive, demo_rules()))), "12/60: not above 4 m."));
  }

  TEST_CASE("the richer of mix and reading decides how deep a gas may go") {
    SlateStatement said;
    said.readings = {{Gas(0.5), 0.508}, {Gas(0.18, 0.45), 0.175, 0.452}};
    const Slate made = slate(demo(), {}, said);
    CHECK(made.gases[1].deepest == 21); // 1.6 / 0.508 - 1.01325 bar are 21.4 m
    CHECK(made.gases[0].deepest == 67);
    CHECK(support::holds(slate_text(made), "17.5/45.2"));
    said.readings = {{Gas(0.5), 0.52}};
    CHECK(support::holds(refusal(demo(), said), "analysis of 50 is 52 % oxygen; allowed: 49 to"));
    said.readings = {{Gas(0.32), 0.32}};
    CHECK(support::holds(refusal(demo(), said), "which the dive does not have"));
    said.readings = {{Gas(0.5), 0.50}, {Gas(0.5), 0.501}};
    CHECK(support::holds(refusal(demo(), said), "50 twice"));
    Rules strict = demo_rules();
    strict.po2_tolerance = bar(0.0);
    strict.ladder.last_stop = metres(3.0);
    said.readings = {{Gas(0.5), 0.51}}; // 3.11325 bar times 0.51 are 1.588: at 21 m it may be
    CHECK_NOTHROW((void)slate(plan(support::quince(), strict), {}, said));
    strict.max_deco_po2 = bar(1.57);
    CHECK(support::holds(refusal(plan(support::quince(), strict), said),
                         "analysis is 51 % oxygen in 50 %: 1.59 bar at 21 m"));
  }

  TEST_CASE("pressures are rounded up, and blanks where they are not said") {
    SlateStatement said;
    said.turn_pressure = bar(110.2);
    const std::string text = slate_text(slate(demo(), {}, said));
    CHECK(support::holds(text, "Turn pressure, 18/45: 111 bar\n"));
    CHECK(support::holds(text, "Reserve, 18/45: ________ bar\n"));
    said.reserve = bar(120.0);
    CHECK(support::holds(refusal(demo(), said), "turn_pressure is 110.2 bar"));
    said.turn_pressure = bar(-3.0);
    CHECK(support::holds(refusal(demo(), said), "turn_pressure is -3 bar"));
  }

  TEST_CASE("the text has everything that a slate is to carry, in forty columns of ASCII") {
    SlateStatement said;
    said.dive = "Quince Blossom (invented), along the keel";
    said.date = "2026-11-28";
    said.team = "Ada, Ben, Cleo (invented)";
    said.surface_support = SurfaceSupport::yes;
    said.input_code = "3FA9 12BC";
    const std::string text = slate_text(slate(
        demo(), {{.deeper = metres(3.0), .later = minutes(5.0)}, {.lost = {Gas(0.5)}}}, said));
    for (const char* piece :
         {"FRONT", "BACK", "Ada, Ben, Cleo (invented)", "depth  leave at  stay   breathe",
          "   57        25    25   18/45\n", "   21        33     2   SWITCH to 50 %\n",
          "    0        70         surface\n", "depth m  30 27 24 21 18 15 12  9  6\n",
          "leave at 35 37 39 42 44 48 54 62 92\n", "Gradient factors 40/80, ZH-L16C."})
      CHECK_MESSAGE(support::holds(text, piece), piece);
    const std::string whole = on_one_line(text);
    for (const char* piece :
         {"If 3 m deeper, 5 min late: to 60 m, leaving by 30 min", "Surface at 93.",
          "SWITCH at 6 m to oxygen.", "Between two rows take the deeper and the longer.",
          "Surface support: yes.", "gauge metres, 1.01325 bar", "First dive: none in the last 24 h",
          "Down 18 m/min, up 9 m/min.", "Made by ___", "Checked by ___", "Input code 3FA9 12BC",
          "MODEL ONLY, NO GUARANTEE. TRAINED TEAM ONLY. THIS DIVE, THIS DATE.",
          "It does not make a dive safe", "nitrogen rises by 13 %"})
      CHECK_MESSAGE(support::holds(whole, piece), piece);
    for (const std::string& line : support::split(text, '\n')) {
      CHECK_MESSAGE(line.size() <= 40, line);
      CHECK(std::all_of(line.begin(), line.end(), [](char c) { return c >= ' ' && c <= '~'; }));
    }
  }

  TEST_CASE("long words and many digits stay within the width") {
    SlateStatement said;
    said.dive = std::string(150, 'x');
    Dive dive = support::single_level(57.0, 25.0, {});
    dive.gases = {GasChoice(Gas(0.18512, 0.45123)), GasChoice(Gas(0.50444))};
    const std::string text = slate_text(slate(plan(dive, demo_rules()), {}, said));
    for (const std::string& line : support::split(text, '\n'))
      CHECK_MESSAGE(line.size() <= 40, line);
    CHECK(support::holds(text, "18.5/45.1"));
    said.dive = std::string(201, 'x');
    CHECK(support::holds(refusal(demo(), said), "dive is 201 characters"));
  }

  TEST_CASE("less than a metre or a minute is no dive for a slate") {
    const Plan shallow = plan(support::single_level(0.9, 20.0, {"air"}), demo_rules());
    CHECK(support::holds(refusal(shallow), "depth is less than one whole metre"));
    const Plan brief = plan(support::single_level(5.0, 0.9, {"air"}), demo_rules());
    CHECK(support::holds(refusal(brief), "bottom_time is less than one whole minute"));
  }
}

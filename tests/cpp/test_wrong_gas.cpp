// A wrong mouthpiece. What is expected follows from the oxygen pressure by hand, with the limits of
// the NOAA single-exposure table as in validation/data/oxygen_limits.csv.
#include "support.hpp"

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

using namespace upline;

namespace {

Plan quince_plan() { return upline::plan(support::quince(), support::quince_rules()); }

WrongGas mistake(const std::vector<WrongGas>& all, double depth, const char* meant,
                 const char* taken) {
  const auto found = std::find_if(all.begin(), all.end(), [&](const WrongGas& wrong) {
    return std::abs(wrong.depth.base() - depth) < 1e-9 && wrong.meant == Gas::parse(meant) &&
           wrong.taken == Gas::parse(taken);
  });
  REQUIRE(found != all.end());
  return *found;
}

bool has(const WrongGas& wrong, Hazard hazard) {
  return std::find(wrong.hazards.begin(), wrong.hazards.end(), hazard) != wrong.hazards.end();
}

} // namespace

TEST_SUITE("wrong gas") {
  TEST_CASE("every place and every other cylinder of the demo dive") {
    const Plan plan = quince_plan();
    const std::vector<WrongGas> all = wrong_gases(plan);
    // Surface before and after, bottom, and every stop; at each two of the three gases are wrong.
    CHECK(all.size() == 2 * (plan.stops.size() + 3));
    for (const WrongGas& wrong : all) CHECK_FALSE(wrong.meant == wrong.taken);
    CHECK(std::is_sorted(all.begin(), all.end(), [](const WrongGas& a, const WrongGas& b) {
      return a.run_time < b.run_time;
    }));
  }

  TEST_CASE("oxygen at the bottom is beyond every table") {
    const WrongGas worst = mistake(wrong_gases(quince_plan()), 57.0, "18/45", "O2");
    CHECK(support::off(worst.po2, 1.01325 + 5.7) <= 1e-12);
    CHECK(has(worst, Hazard::beyond_table));
    CHECK_FALSE(has(worst, Hazard::above_oxygen_limit)); // said once, by the worse of the two
    CHECK(has(worst, Hazard::dense));                    // 1.429 g/L times 6.6
    CHECK(worst.harm() == Harm::life);
    CHECK(worst.oxygen_minutes < 0.01);
  }

  TEST_CASE("50 % at 21 m in place of trimix is what the plan itself allows there") {
    const Plan plan = quince_plan();
    const WrongGas early = mistake(wrong_gases(plan), 24.0, "18/45", "50");
    CHECK(support::off(early.po2, 0.5 * 3.41325) <= 1e-12);
    CHECK(early.hazards.front() == Hazard::beyond_table); // 1.707 bar
    const WrongGas lean = mistake(wrong_gases(plan), 21.0, "50", "18/45");
    CHECK(lean.hazards == std::vector<Hazard>{Hazard::less_oxygen});
    CHECK(lean.harm() == Harm::shortfall);
    // 0.18 of 3.11325 bar: 0.56039; the table says 900 min at 0.5 and 720 at 0.6.
    CHECK(support::off(lean.oxygen_minutes, 900.0 - 180.0 * (0.18 * 3.11325 - 0.5) / 0.1) <= 1e-9);
  }

  TEST_CASE("a bottom gas at the surface") {
    const std::vector<WrongGas> all = wrong_gases(quince_plan());
    const WrongGas after = mistake(all, 0.0, "O2", "18/45");
    CHECK(support::off(after.po2, 0.18 * 1.01325) <= 1e-12); // 0.182 bar: above both borders
    CHECK(after.hazards.empty());
    CHECK(after.harm() == Harm::none);
    const std::vector<WrongGas> lean = wrong_gases(quince_plan(), {Gas(0.17, 0.5), Gas(0.10, 0.7)});
    CHECK(mistake(lean, 0.0, "O2", "17/50").hazards.front() == Hazard::little_oxygen); // 0.172 bar
    CHECK(mistake(lean, 0.0, "O2", "10/70").hazards.front() == Hazard::hypoxia);       // 0.101 bar
    CHECK(mistake(lean, 0.0, "O2", "10/70").harm() == Harm::life);
    CHECK(std::isinf(mistake(lean, 0.0, "O2", "10/70").oxygen_minutes));
  }

  TEST_CASE("the limit until the bottom is left is the stricter one") {
    Dive dive = quince_plan().dive;
    dive.levels = {{metres(18.0), minutes(30.0)}};
    dive.gases = {{Gas(0.32), {}}, {Gas(0.5), {}}};
    const Plan plan = upline::plan(dive, Rules{.factors = GradientFactors(0.4, 0.8)});
    const WrongGas wrong = mistake(wrong_gases(plan, {Gas(0.5), Gas(0.54)}), 18.0, "32", "54");
    CHECK(support::off(wrong.po2, 0.54 * 2.81325) <= 1e-12); // 1.519 bar
    CHECK(wrong.hazards == std::vector<Hazard>{Hazard::above_oxygen_limit});
    CHECK(mistake(wrong_gases(plan, {Gas(0.5)}), 18.0, "32", "50").hazards.empty()); // 1.407 bar
  }

  TEST_CASE("more nitrogen than planned is more narcotic") {
    const WrongGas air = mistake(wrong_gases(quince_plan(), {Gas()}), 57.0, "18/45", "air");
    CHECK(has(air, Hazard::more_narcotic));
    CHECK(support::off(air.narcotic_depth, 57.0) <= 1e-9); // air is as narcotic as air
    CHECK(has(air, Hazard::dense));                        // 1.293 g/L times 6.63
  }

  TEST_CASE("pairs: each once, the worst place of both ways, the worst pair first") {
    const std::vector<WrongGas> all = wrong_gases(quince_plan());
    const std::vector<ConfusedPair> pairs = confused_pairs(all);
    REQUIRE(pairs.size() == 3);
    std::size_t cases = 0;
    for (const ConfusedPair& pair : pairs) cases += pair.cases;
    CHECK(cases == all.size());
    CHECK(pairs.front().worst.taken == Gas(1.0));
    CHECK(pairs.front().worst.depth == metres(57.0));
    for (const WrongGas& wrong : all) CHECK_FALSE(worse(wrong, pairs.front().worst));
  }

  TEST_CASE("travel gas and gases never breathed are carried too") {
    Dive dive = quince_plan().dive;
    dive.gases = {{Gas(0.10, 0.70), {}}, {Gas(0.5), {}}, {Gas(0.08), {}}};
    dive.travel = TravelGas{Gas(0.5), metres(18.0)};
    const std::vector<Gas> carried = gases_carried(dive);
    CHECK(carried == std::vector<Gas>{Gas(0.10, 0.70), Gas(0.5), Gas(0.08)});
    dive.gases.pop_back();
    const Plan plan = upline::plan(dive, Rules{.factors = GradientFactors(0.4, 0.8)});
    CHECK(mistake(wrong_gases(plan), 0.0, "50", "10/70").harm() == Harm::life); // before descending
    CHECK(mistake(wrong_gases(plan), 18.0, "10/70", "50").po2 < 1.43); // where the way down changes
  }

  TEST_CASE("no cylinder at all is an error that says so") {
    const auto error = support::thrown<InvalidInput>([] { (void)wrong_gases(quince_plan(), {}); });
    REQUIRE(error);
    CHECK(support::holds(error->what(), "carried is 0 gases"));
    CHECK_THROWS_AS((void)wrong_gases(quince_plan(), std::vector<Gas>(21)), InvalidInput);
  }

  TEST_CASE("the text: worst pair first, every mistake, the caution") {
    const Plan plan = quince_plan();
    const std::vector<WrongGas> all = wrong_gases(plan);
    const std::string text = wrong_gas_text(all, plan);
    CHECK(support::holds(
        text, "oxygen taken for 18/45: worst at 57 m, 6.71 bar of oxygen, danger to life"));
    CHECK(support::holds(text, "It does not make a dive safe"));
    CHECK(wrong_gas_table(all, Units::metric).size() == all.size() + 2);
    const std::vector<WrongGasLine> feet = wrong_gas_table(all, Units::imperial);
    CHECK(feet[1].front() == "ft");
    CHECK(feet[4].front() == "187"); // 57 m
    for (std::size_t j = 0; j < all.size(); ++j) {
      const std::string& minutes = feet[j + 2][4];
      CHECK(minutes.empty() == (all[j].harm() == Harm::life));
      if (std::isinf(all[j].oxygen_minutes) && all[j].harm() != Harm::life)
        CHECK(minutes == "no limit");
    }
  }
}

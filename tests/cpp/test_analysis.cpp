#include "support.hpp"

#include <upline/analysis.hpp>
#include <upline/analysis_text.hpp>

#include <doctest/doctest.h>

#include <random>
#include <string>
#include <vector>

namespace {

using namespace upline;

Plan quince() {
  Rules rules{.factors = GradientFactors(0.4, 0.8)};
  rules.ladder.last_stop = metres(6.0);
  return plan({.levels = {{metres(57.0), minutes(25.0)}},
               .gases = {{Gas::parse("18/45")}, {Gas::parse("50")}, {Gas::parse("O2")}}},
              rules);
}

Analysis of(const char* label, const char* reading, double oxygen_error,
            double helium_error = 0.0) {
  return {Gas::parse(label), Gas::parse(reading), oxygen_error, helium_error};
}

std::string message_of(const Plan& plan, const std::vector<Analysis>& analyses, double allowance) {
  try {
    (void)analysed(plan, analyses, allowance);
  } catch (const InvalidInput& error) {
    return error.what();
  }
  return {};
}

TEST_SUITE("analysis") {
  TEST_CASE("each number is on the side of the error on which it is worse") {
    // By hand, gauge metres: 57 m are 6.71325 bar, 21 m 3.11325 bar. 18/45 read with 1 % each way.
    const AnalysedPlan found =
        analysed(quince(), {of("18/45", "18/45", 0.01, 0.01), of("50", "50", 0.01)}, 0.02);
    const AnalysedGas& bottom = found.gases[0];
    CHECK(bottom.highest_po2 == doctest::Approx(0.19 * 6.71325));
    CHECK(in_metres(bottom.operating_depth) == doctest::Approx((1.4 / 0.19 - 1.01325) * 10.0));
    CHECK(bottom.density ==
          doctest::Approx((0.19 * 1.429 + 0.44 * 0.1786 + 0.37 * 1.251) * 6.71325 / 1.01325));
    CHECK(in_metres(bottom.narcotic_depth) == doctest::Approx((6.71325 * 0.56 - 1.01325) * 10.0));
    CHECK(in_metres(bottom.narcotic_depth_nitrogen) ==
          doctest::Approx((6.71325 * 0.39 / 0.79 - 1.01325) * 10.0));
    CHECK(in_metres(bottom.minimum_depth) == doctest::Approx(0.0)); // 0.17 bar at the surface
    // Oxygen is breathed inside the tolerance, and no deeper than that.
    const AnalysedPlan oxygen = analysed(quince(), {of("O2", "99.5", 0.005)}, 0.02);
    CHECK(in_metres(oxygen.gases[0].operating_depth) == 6.0);
    const AnalysedGas& rich = found.gases[1];
    CHECK(in_metres(rich.deepest) == 21.0);
    CHECK(rich.highest_po2 == doctest::Approx(0.51 * 3.11325));
    CHECK(in_metres(rich.operating_depth) == doctest::Approx((1.6 / 0.51 - 1.01325) * 10.0));
  }

  TEST_CASE("a right label with no error is accepted, and changes nothing") {
    const Plan plan = quince();
    const AnalysedPlan found =
        analysed(plan, {of("18/45", "18/45", 0.0), of("50", "50", 0.0)}, 0.0);
    CHECK(found.label.mixes == 1);
    CHECK(found.label.holds);
    CHECK(found.label.surfacing_fraction == doctest::Approx(plan.surfacing_fraction));
    CHECK(found.remedy == Remedy::accept);
    REQUIRE(found.as_read);
    CHECK(found.as_read->run_time == plan.run_time);
    REQUIRE(found.leanest);
    CHECK(found.leanest->run_time == plan.run_time);
  }

  TEST_CASE("less oxygen than the label says breaks the schedule, and a new label mends it") {
    const Plan plan = quince();
    const AnalysedPlan found = analysed(plan, {of("18/45", "16.5/45", 0.0)}, 0.0);
    CHECK_FALSE(found.label.holds);
    CHECK(found.label.margin < 0.0);
    CHECK(found.label.surfacing_fraction > 0.8);
    CHECK(found.remedy == Remedy::relabel);
    REQUIRE(found.as_read);
    CHECK(found.as_read->run_time > plan.run_time);
    REQUIRE(found.as_read_trial);
    CHECK(found.as_read_trial->holds);
    // With allowance enough the label passes.
    CHECK(analysed(plan, {of("18/45", "16.5/45", 0.0)}, 0.1).remedy == Remedy::accept);
  }

  TEST_CASE("more oxygen than a switch depth allows asks for another label") {
    const AnalysedPlan found = analysed(quince(), {of("50", "53", 0.005)}, 0.05);
    CHECK(found.label.holds);
    CHECK_FALSE(found.gases[0].within_oxygen_limit());
    CHECK(found.remedy == Remedy::relabel);
    REQUIRE(found.as_read);
    CHECK(found.as_read->switches.front().depth == metres(18.0));
  }

  TEST_CASE("an error larger than the slack of any schedule asks for the lean side") {
    const AnalysedPlan found = analysed(quince(), {of("18/45", "18/45", 0.02, 0.02)}, 0.0);
    CHECK_FALSE(found.label.holds);
    REQUIRE(found.as_read_trial);
    CHECK_FALSE(found.as_read_trial->holds);
    CHECK(found.remedy == Remedy::plan_lean);
    REQUIRE(found.leanest);
    CHECK(found.leanest->run_time > quince().run_time);
  }

  TEST_CASE("a mix that cannot be dived is blended again") {
    const AnalysedPlan found = analysed(quince(), {of("18/45", "24/45", 0.01)}, 0.05);
    CHECK_FALSE(found.as_read); // 1.61 bar at 57 m
    CHECK(found.reason.find("bottom gas") != std::string::npos);
    CHECK(found.remedy == Remedy::reblend);
    // Less helium than labelled: the line holds, the density does not.
    const AnalysedPlan dense = analysed(quince(), {of("18/45", "18/20", 0.0)}, 0.1);
    CHECK(dense.label.holds);
    REQUIRE(dense.as_read);
    CHECK(dense.as_read->refused());
    CHECK(dense.reason.find("g/L") != std::string::npos);
    CHECK(dense.remedy == Remedy::reblend);
    const AnalysedPlan lean = analysed(quince(), {of("18/45", "12/45", 0.0)}, 0.05);
    CHECK_FALSE(lean.gases[0].oxygen_suffices());
    CHECK(lean.remedy == Remedy::reblend);
  }

  TEST_CASE("no mix drawn within the errors is worse than the worst of those tried") {
    std::mt19937 random(6);
    const auto draw = [&](double error) {
      return std::uniform_real_distribution<double>(-error, error)(random);
    };
    const Plan plan = quince();
    const AnalysedPlan found =
        analysed(plan, {of("18/45", "18/45", 0.02, 0.02), of("50", "50", 0.02)}, 0.0);
    for (int k = 0; k < 300; ++k) {
      Profile path = profile_of(plan);
      const Gas bottom(0.18 + draw(0.02), 0.45 + draw(0.02));
      const Gas deco(0.5 + draw(0.02), 0.0);
      for (Waypoint& point : path.waypoints)
        if (point.gas == Gas::parse("18/45"))
          point.gas = bottom;
        else if (point.gas == Gas::parse("50"))
          point.gas = deco;
      const Replay seen = replay(path, plan.rules);
      CHECK(seen.margin() >= found.label.margin - 1e-4);
      CHECK(seen.surfacing_fraction <= found.label.surfacing_fraction + 1e-4);
    }
  }

  TEST_CASE("the text says the remedy first, every fault, and the caution") {
    const Plan plan = quince();
    const std::string text = analysis_text(
        analysed(plan, {of("50", "53", 0.005), of("18/45", "18/45", 0.0)}, 0.05), plan);
    CHECK(text.find("Relabel:") < text.find("The schedule of the labels"));
    CHECK(text.find("53 +/- 0.5 %") != std::string::npos);
    CHECK(text.find("above 1.63 bar") != std::string::npos);
    CHECK(text.find("does not make a dive safe") != std::string::npos);
  }

  TEST_CASE("what makes no sense is refused with its field") {
    const Plan plan = quince();
    CHECK(message_of(plan, {}, 0.0).find("analyses") == 0);
    CHECK(message_of(plan, {of("32", "32", 0.01)}, 0.0).find("does not breathe") !=
          std::string::npos);
    CHECK(message_of(plan, {of("50", "50", 0.01), of("50", "49", 0.01)}, 0.0)
              .find("analysed twice") != std::string::npos);
    CHECK(message_of(plan, {of("50", "50", 1.0)}, 0.0).find("oxygen_error") == 0);
    CHECK(message_of(plan, {of("50", "50", 0.01, -0.1)}, 0.0).find("helium_error") == 0);
    CHECK(message_of(plan, {of("50", "50", 0.01)}, 1.0).find("allowance") == 0);
  }
}

} // namespace

#include "support.hpp"

#include <upline/limit.hpp>

#include <cmath>
#include <map>
#include <random>
#include <string>

// Sources: validation/data/limit_values.csv (mpmath at 50 digits), closed_form_cases.csv,
// worked_examples.csv. Mixing rule: Buehlmann et al. 2002; gradient factors: Baker, Understanding
// M-values (secondary); the limit line: this project's definition, docs/theory.md.

namespace {

using namespace upline;
using support::off;

double worked(const std::string& name, double* tol) {
  for (const support::Record& row : support::table("worked_examples"))
    if (row.text("case") == name) {
      *tol = row.number("tol");
      return row.number("value");
    }
  throw std::runtime_error("no worked example " + name);
}

} // namespace

TEST_SUITE("limit") {
  TEST_CASE("mixed limits agree with 50 digits in every compartment") {
    const CompartmentSet& set = compartment_set("ZH-L16C");
    for (const support::Record& row : support::table("limit_values")) {
      CAPTURE(row.text("compartment"));
      CAPTURE(row.text("nitrogen_bar"));
      CAPTURE(row.text("helium_bar"));
      const auto i = static_cast<std::size_t>(row.number("compartment")) - 1;
      const double nitrogen = row.number("nitrogen_bar");
      const double helium = row.number("helium_bar");
      const double factor = row.number("factor");
      const double ambient = row.number("ambient_bar");
      const auto [a, b] = mixed_limit(set, i, nitrogen, helium);
      const double tol = row.number("tol");
      CHECK(off(a, row.number("a_bar")) <= tol);
      CHECK(off(b, row.number("b")) <= tol);
      CHECK(off(tolerated_pressure(set, i, nitrogen, helium, factor),
                row.number("tolerated_bar")) <= tol);
      CHECK(off(supersaturation_fraction(set, i, nitrogen, helium, ambient),
                row.number("fraction")) <= tol);
    }
  }

  TEST_CASE("the worked number of a mixture, trimix 18/50 in compartment 1") {
    const CompartmentSet& set = compartment_set("ZH-L16C");
    const auto [a, b] = mixed_limit(set, 0, 0.32, 0.50);
    double tol = 0.0;
    CHECK(off(a, worked("mixed_a", &tol)) <= tol);
    CHECK(off(b, worked("mixed_b", &tol)) <= tol);
  }

  TEST_CASE("the tolerated pressure of an explanatory article") {
    const CompartmentSet& set = compartment_set("ZH-L16A"); // a 0.6667, b 0.8126: compartment 5
    const double tension = 0.79 + (3.16 - 0.79) * (1.0 - std::exp2(-10.0 / 27.0));
    double tol = 0.0;
    const double wanted = worked("article_tolerated", &tol);
    CHECK(off(tolerated_pressure(set, 4, tension, 0.0, 1.0), wanted) <= tol);
  }

  TEST_CASE("tolerated pressures from closed forms") {
    const CompartmentSet& set = compartment_set("ZH-L16C");
    std::map<std::string, double> wanted;
    for (const support::Record& row : support::table("closed_form_cases"))
      wanted[row.text("case")] = row.number("value_bar");
    constexpr double half_unit = 5e-7;
    // From full-precision tensions; the table's own six decimals would cost half a digit.
    const double rest = 0.79 * (1.0 - 0.0627);
    const double air_at_30 = 0.79 * (4.0 - 0.0627);
    const double square = air_at_30 + (rest - air_at_30) * std::exp2(-20.0 / 8.0);
    CHECK(off(square, wanted.at("square")) <= half_unit);
    const auto at = [&](double factor) { return tolerated_pressure(set, 1, square, 0.0, factor); };
    CHECK(off(at(1.0), wanted.at("tolerated_100")) <= half_unit);
    CHECK(off(at(0.3), wanted.at("tolerated_30")) <= half_unit);
    CHECK(off(at(0.7), wanted.at("tolerated_70")) <= half_unit);
    CHECK(off(at(0.85), wanted.at("tolerated_85")) <= half_unit);
    const double helium = 0.45 * (7.0 - 0.0627) * (1.0 - std::exp2(-15.0 / 3.02));
    const double n2_inspired = 0.37 * (7.0 - 0.0627);
    const double nitrogen = n2_inspired + (rest - n2_inspired) * std::exp2(-15.0 / 8.0);
    const auto [a, b] = mixed_limit(set, 1, nitrogen, helium);
    CHECK(off(a, wanted.at("mixed_a")) <= half_unit);
    CHECK(off(b, wanted.at("mixed_b")) <= half_unit);
    CHECK(off(tolerated_pressure(set, 1, nitrogen, helium, 1.0), wanted.at("mixed_tolerated")) <=
          half_unit);
  }

  TEST_CASE("at factor 1 the tolerated pressure is (P - a) b and at factor 0 the tension itself") {
    const CompartmentSet& set = compartment_set("ZH-L16C");
    for (std::size_t i = 0; i < compartment_count; ++i) {
      CAPTURE(i);
      const double tension = 3.0;
      CHECK(off(tolerated_pressure(set, i, tension, 0.0, 1.0),
                (tension - set.nitrogen.a[i]) * set.nitrogen.b[i]) <= 1e-15);
      CHECK(off(tolerated_pressure(set, i, tension, 0.0, 0.0), tension) == 0.0);
    }
  }

  TEST_CASE("the fraction is the factor at which the pressure is just tolerated") {
    std::mt19937 random(21);
    std::uniform_real_distribution<double> unit(0.0, 1.0);
    double worst = 0.0;
    constexpr int draws = 5000;
    for (int j = 0; j < draws; ++j) {
      const CompartmentSet& set = compartment_sets[static_cast<std::size_t>(j) % 6];
      const auto i = static_cast<std::size_t>(16.0 * unit(random));
      const double nitrogen = 6.0 * unit(random);
      const double helium = j % 4 == 0 ? 0.0 : 6.0 * unit(random);
      const double factor = 0.01 + 1.49 * unit(random);
      const double ambient = tolerated_pressure(set, i, nitrogen, helium, factor);
      const double back = supersaturation_fraction(set, i, nitrogen, helium, ambient);
      worst = std::max(worst, off(back, factor));
    }
    CHECK(worst <= 2e-14 * 10.0); // relative to 12 bar over a denominator of at least 0.2
  }

  TEST_CASE("the tolerated pressure falls with the factor and rises with the tension") {
    const CompartmentSet& set = compartment_set("ZH-L16C");
    for (std::size_t i = 0; i < compartment_count; ++i) {
      CAPTURE(i);
      CHECK(tolerated_pressure(set, i, 2.0, 1.0, 0.4) > tolerated_pressure(set, i, 2.0, 1.0, 0.8));
      CHECK(tolerated_pressure(set, i, 2.1, 1.0, 0.8) > tolerated_pressure(set, i, 2.0, 1.0, 0.8));
    }
  }

  TEST_CASE("all compartments at once are each compartment by itself") {
    std::mt19937 random(22);
    std::uniform_real_distribution<double> unit(0.0, 1.0);
    const CompartmentSet& set = compartment_set("ZH-L16A/5min");
    double worst = 0.0;
    constexpr int draws = 200;
    for (int j = 0; j < draws; ++j) {
      Tissues tissues;
      for (std::size_t i = 0; i < compartment_count; ++i) {
        tissues.nitrogen[i] = 5.0 * unit(random);
        tissues.helium[i] = j % 3 == 0 ? 0.0 : 5.0 * unit(random);
      }
      if (j == 1) tissues = {}; // empty: nitrogen's coefficients
      const double factor = 0.1 + unit(random);
      const double ambient = 1.0 + 4.0 * unit(random);
      Lanes<double> beyond{};
      detail::excess(set, tissues, factor, ambient, beyond);
      for (std::size_t i = 0; i < compartment_count; ++i)
        worst = std::max(worst, off(beyond[i], tolerated_pressure(set, i, tissues.nitrogen[i],
                                                                  tissues.helium[i], factor) -
                                                   ambient));
    }
    CHECK(worst <= 1e-14);
  }

  TEST_CASE("the leading compartment has the largest fraction") {
    const CompartmentSet& set = compartment_set("ZH-L16C");
    Tissues tissues = equilibrium_with_air(1.01325, 0.0627);
    tissues.nitrogen[6] = 1.9;
    const Leader leader = leading_fraction(set, tissues, 1.01325);
    CHECK(leader.compartment == 6);
    CHECK(leader.value == supersaturation_fraction(set, 6, 1.9, 0.0, 1.01325));
    // At rest nobody leads by being supersaturated.
    CHECK(leading_fraction(set, equilibrium_with_air(1.01325, 0.0627), 1.01325).value < 0.0);
  }

  TEST_CASE("gradient factors are read as per cent and kept as fractions") {
    const GradientFactors factors = GradientFactors::parse(" 40 / 80 ");
    CHECK(factors == GradientFactors(0.4, 0.8));
    CHECK(factors.text() == "40/80");
    CHECK(GradientFactors::parse("62.5/100").text() == "62.5/100");
    CHECK_NOTHROW((void)GradientFactors(1.5, 1.5));
    CHECK_NOTHROW((void)GradientFactors(1e-3, 1e-3));
    CHECK(GradientFactors(0.35, 0.75).text() == "35/75");
  }

  TEST_CASE("gradient factors that mean nothing are refused") {
    for (const std::string text :
         {"", "/", "40", "40/", "/80", "80/40", "0/80", "40/160", "0.4/0.8", "forty/eighty",
          "40/80/90", "-40/80", "nan/nan", "40/nan", "40\\80"}) {
      CAPTURE(text);
      const auto error = support::thrown<InvalidInput>([&] { (void)GradientFactors::parse(text); });
      REQUIRE(error);
      CHECK(error->field() == "gf");
      CHECK(support::holds(error->remedy(), "40/80"));
    }
    struct Case {
      std::string text;
      std::string value;
      std::string remedy;
    };
    const std::string usual = "write per cent as \"40/80\" or fractions as (0.40, 0.80)";
    for (const Case& c :
         {Case{"85/35", "the low one above the high one", "write the low one first: \"35/85\""},
          Case{"35-85", "", "write \"35/85\""}, Case{"35 85", "", "write \"35/85\""},
          Case{"GF 35/85", "", "write \"35/85\""}, Case{"85,35", "", "write \"35/85\""},
          Case{"35", "one number", "write both factors, low and high, in the form \"40/80\""},
          Case{"0.35/0.85", "looks like fractions", "write per cent: \"35/85\""},
          Case{"3 5/85", "", usual}, Case{"35/850", "", usual}, Case{"35-850", "", usual}}) {
      CAPTURE(c.text);
      const auto error =
          support::thrown<InvalidInput>([&] { (void)GradientFactors::parse(c.text); });
      REQUIRE(error);
      CHECK(support::holds(error->value(), c.value));
      CHECK(error->remedy() == c.remedy);
    }
    const auto turned = support::thrown<InvalidInput>([] { (void)GradientFactors(0.85, 0.35); });
    REQUIRE(turned);
    CHECK(support::holds(turned->value(), "the low one above the high one"));
    CHECK(turned->remedy() == "write the low one first: (0.35, 0.85)");
    const double nan = std::nan("");
    CHECK_THROWS_AS((void)GradientFactors(0.8, 0.4), InvalidInput);
    CHECK_THROWS_AS((void)GradientFactors(0.0, 0.8), InvalidInput);
    CHECK_THROWS_AS((void)GradientFactors(nan, 0.8), InvalidInput);
    CHECK_THROWS_AS((void)GradientFactors(0.4, nan), InvalidInput);
    const auto per_cent = support::thrown<InvalidInput>([] { (void)GradientFactors(40.0, 80.0); });
    REQUIRE(per_cent);
    CHECK(support::holds(per_cent->value(), "looks like per cent"));
    CHECK(per_cent->remedy() == "write per cent as \"40/80\" or fractions as (0.4, 0.8)");
    const auto fractions =
        support::thrown<InvalidInput>([] { (void)GradientFactors::parse("0.4/0.8"); });
    REQUIRE(fractions);
    CHECK(support::holds(fractions->value(), "looks like fractions"));
  }

  TEST_CASE("the limit line is low at the anchor and linear above it and high at the surface") {
    const LimitLine line{GradientFactors(0.4, 0.8), 24.0};
    CHECK(line.factor_at(57.0) == 0.4);
    CHECK(line.factor_at(24.0) == 0.4);
    CHECK(off(line.factor_at(12.0), 0.6) <= 1.2e-16);
    CHECK(off(line.factor_at(6.0), 0.7) <= 1.2e-16);
    CHECK(line.factor_at(0.0) == 0.8);
    CHECK(off(line.factor_at(24.0 - 1e-9), 0.4) <= 1e-10); // no jump at the anchor
    CHECK(off(line.factor_at(1e-12), 0.8) <= 1e-12);       // nor at the surface
    CHECK(off(line.slope(), -0.4 / 24.0) <= 1e-17);
  }

  TEST_CASE("without an anchor the line is low everywhere and high at the surface alone") {
    const LimitLine line{GradientFactors(0.4, 0.8), {}};
    CHECK(line.factor_at(57.0) == 0.4);
    CHECK(line.factor_at(1e-9) == 0.4);
    CHECK(line.factor_at(0.0) == 0.8);
    CHECK(line.slope() == 0.0);
    // An anchor at the very surface is the same line.
    const LimitLine at_surface{GradientFactors(0.4, 0.8), 0.0};
    CHECK(at_surface.factor_at(1e-9) == 0.4);
    CHECK(at_surface.factor_at(0.0) == 0.8);
  }
}

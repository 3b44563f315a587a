#include "support.hpp"

#include <upline/gas.hpp>

#include <algorithm>
#include <random>
#include <string>
#include <vector>

// Sources: validation/data/operating_depth.csv, equivalent_air_depth.csv,
// equivalent_depth_examples.csv, gas_density.csv, gas_density_by_depth.csv. The forms in which
// mixes are written are common practice, no source.

namespace {

using namespace upline;
using support::off;

/// 1 bar at the surface and 10 m a bar, the convention of the tables; in metres.
constexpr Place round_metres{1.0, 0.1, 0.0627};
/// 33 ft an atm, in feet and atm.
constexpr Place feet_and_atm{1.0, 1.0 / 33.0, 0.0627};

/// Tables end in a half unit now and then; what the arithmetic adds to it is far below a digit.
constexpr double arithmetic = 1e-9;

/// Density of a mix at 0 degrees C and 1 atm [g/L].
double unit_density(const Gas& gas) { return density(gas, 0.0); }

/// Depth at which a mix reaches a density [m], from the library's own density by its linearity.
double depth_of_density(const Gas& gas, double wanted, double temperature) {
  const double at_surface = density(gas, 0.0, round_metres, temperature);
  return (wanted / at_surface - 1.0) * 10.0;
}

} // namespace

TEST_SUITE("gas") {
  TEST_CASE("maximum operating depths are those of the formula") {
    for (const support::Record& row : support::table("operating_depth")) {
      CAPTURE(row.text("oxygen"));
      const Gas gas(row.number("oxygen"));
      const auto mod = [&](double po2, const Place& place) {
        return maximum_operating_depth(gas, po2, place);
      };
      CHECK(off(mod(1.4, round_metres), row.number("mod_m_1.4")) <= 5e-3 + arithmetic);
      CHECK(off(mod(1.6, round_metres), row.number("mod_m_1.6")) <= 5e-3 + arithmetic);
      CHECK(off(mod(1.4, feet_and_atm), row.number("mod_ft_1.4")) <= 0.05 + arithmetic);
      CHECK(off(mod(1.6, feet_and_atm), row.number("mod_ft_1.6")) <= 0.05 + arithmetic);
    }
  }

  TEST_CASE("operating and minimum depth hold the oxygen pressure they are asked for") {
    const Place place = Environment{}.place();
    for (const std::string mix : {"10/70", "18/45", "32", "50", "O2"}) {
      CAPTURE(mix);
      const Gas gas = Gas::parse(mix);
      const double mod = maximum_operating_depth(gas, 1.4);
      CHECK(off(gas.oxygen * place.pressure(mod), 1.4) <= 1e-14);
    }
    CHECK(minimum_depth(Gas::parse("32"), 0.18) == 0.0); // breathable at the surface
    // 10 % holds 0.18 bar at 1.8 bar absolute.
    CHECK(off(minimum_depth(Gas::parse("10/70"), 0.18), (1.8 - 1.01325) * 10.0) <= 1e-13);
    CHECK_THROWS_AS((void)maximum_operating_depth(Gas(), 0.0), InvalidInput);
    CHECK_THROWS_AS((void)maximum_operating_depth(Gas(), std::nan("")), InvalidInput);
  }

  TEST_CASE("equivalent air depths of the two banked mixes") {
    const Place fsw_place{33.0, 1.0, 0.0}; // depths and pressures in fsw
    for (const support::Record& row : support::table("equivalent_air_depth")) {
      CAPTURE(row.text("depth_ft"));
      const double depth = row.number("depth_ft");
      const auto ead = [&](double oxygen) {
        return equivalent_air_depth(Gas(oxygen), depth, fsw_place);
      };
      CHECK(off(ead(0.32), row.number("ead_32_ft")) <= 0.05 + arithmetic);
      CHECK(off(ead(0.36), row.number("ead_36_ft")) <= 0.05 + arithmetic);
    }
  }

  TEST_CASE("equivalent depths of the examples read in texts") {
    for (const support::Record& row : support::table("equivalent_depth_examples")) {
      CAPTURE(row.text("gas"));
      const Place place =
          row.text("length_unit") == "m" ? round_metres : Place{1.0, 1.0 / 33.0, 0.0};
      const Narcotic counted =
          row.text("counted") == "nitrogen" ? Narcotic::nitrogen : Narcotic::nitrogen_and_oxygen;
      const double got = equivalent_narcotic_depth(Gas::parse(row.text("gas")), row.number("depth"),
                                                   counted, place);
      const double difference = off(got, row.number("equivalent_depth"));
      if (row.has("known_difference")) {
        // Cut off, not rounded, in print; see the table's head.
        CHECK(difference > row.number("tol"));
        CHECK(off(difference, row.number("known_difference")) <= 5e-5);
      } else {
        CHECK(difference <= row.number("tol") + arithmetic);
      }
    }
  }

  TEST_CASE("air is its own equivalent at every depth") {
    for (const double depth : {0.0, 18.0, 40.0}) {
      CAPTURE(depth);
      CHECK(off(equivalent_air_depth(Gas(), depth), depth) <= 1e-13);
      CHECK(off(equivalent_narcotic_depth(Gas(), depth), depth) <= 1e-13);
    }
  }

  TEST_CASE("air of the handbooks holds argon and is 0.36 per cent denser than 21/79") {
    // 0.21 x 1.429 + 0.79 x 1.251 = 1.28838 g/L by the unit densities of the table; printed: 1.293.
    CHECK(off(unit_density(Gas()), 1.28838) <= 1e-12);
    const double printed = support::table("gas_density").front().number("density_0C_1atm_g_per_L");
    CHECK(off(printed / unit_density(Gas()) - 1.0, 0.0036) <= 5e-5);
  }

  TEST_CASE("densities of mixes and the depths at which they reach the limits") {
    for (const support::Record& row : support::table("gas_density")) {
      const std::string& mix = row.text("mix");
      CAPTURE(mix);
      const Gas gas = Gas::parse(mix);
      const double printed = row.number("density_0C_1atm_g_per_L");
      // The row of air is that of real air (see the case above): same formula, its own density.
      const double scale = mix == "air" ? printed / unit_density(gas) : 1.0;
      CHECK(off(unit_density(gas) * scale, printed) <= 5e-5 + arithmetic);
      const auto depth = [&](double limit, double temperature) {
        return depth_of_density(gas, limit / scale, temperature);
      };
      CHECK(off(depth(5.2, 0.0), row.number("depth_at_5.2_m")) <= 0.05);
      CHECK(off(depth(6.2, 0.0), row.number("depth_at_6.2_m")) <= 0.05);
      CHECK(off(depth(5.2, 20.0), row.number("depth_at_5.2_if_20C_m")) <= 0.05);
      CHECK(off(depth(6.2, 20.0), row.number("depth_at_6.2_if_20C_m")) <= 0.05);
    }
  }

  TEST_CASE("densities at depth") {
    constexpr double handbook_air = 1.2930;
    for (const support::Record& row : support::table("gas_density_by_depth"))
      for (const std::string mix : {"air", "18/35", "18/45", "15/55", "10/70"}) {
        CAPTURE(row.text("depth_m"));
        CAPTURE(mix);
        const Gas gas = Gas::parse(mix);
        const double scale = gas == Gas() ? handbook_air / unit_density(gas) : 1.0;
        const double got = density(gas, row.number("depth_m"), round_metres) * scale;
        CHECK(off(got, row.number(std::string(mix) + "_g_per_L")) <= 5e-3);
      }
  }

  TEST_CASE("the reference temperature of a density is checked") {
    CHECK_THROWS_AS((void)density(Gas(), 30.0, Place{}, 101.0), InvalidInput);
    CHECK_THROWS_AS((void)density(Gas(), 30.0, Place{}, std::nan("")), InvalidInput);
  }

  TEST_CASE("the forms in which people write mixes are read") {
    struct Case {
      std::string text;
      double oxygen;
      double helium;
    };
    for (const Case& c : {Case{"air", 0.21, 0.0},
                          Case{"Air", 0.21, 0.0},
                          Case{"21", 0.21, 0.0},
                          Case{"32", 0.32, 0.0},
                          Case{"EAN50", 0.50, 0.0},
                          Case{"eanx32", 0.32, 0.0},
                          Case{"50 %", 0.50, 0.0},
                          Case{" 18 / 45 ", 0.18, 0.45},
                          Case{"18/45", 0.18, 0.45},
                          Case{"20.9", 0.209, 0.0},
                          Case{"O2", 1.0, 0.0},
                          Case{"oxygen", 1.0, 0.0},
                          Case{"100", 1.0, 0.0},
                          Case{"4/96", 0.04, 0.96},
                          Case{"4", 0.04, 0.0},
                          Case{"Tx18/45", 0.18, 0.45},
                          Case{"TX 18/45", 0.18, 0.45},
                          Case{"tmx 18/45", 0.18, 0.45},
                          Case{"Trimix 18 / 45", 0.18, 0.45},
                          Case{"Nitrox 32", 0.32, 0.0},
                          Case{"nitrox32%", 0.32, 0.0},
                          Case{"EAN 36", 0.36, 0.0},
                          Case{"Oxygen", 1.0, 0.0}}) {
      CAPTURE(c.text);
      const Gas gas = Gas::parse(c.text);
      CHECK(gas.oxygen == c.oxygen);
      CHECK(off(gas.helium, c.helium) <= 1e-16);
      CHECK(gas.nitrogen() >= 0.0);
    }
    CHECK(Gas::parse("21") == Gas());
    CHECK(Gas::parse("100") == Gas::parse("O2"));
    CHECK_FALSE(Gas::parse("18/45") == Gas::parse("18/44"));
  }

  TEST_CASE("what is no mix is refused and shown in quotes") {
    for (const std::string text :
         {"", " ", "air2", "1", "3.9", "0", "-32", "+32", "101", "18/", "/45", "18/45/37", "18/-5",
          "60/50", "3e1", "nan", "inf", "18/nan", "0x20", "50@21", "32%%", "thirty two",
          // The name says otherwise, or a blank makes two numbers of one.
          "nitrox 18/45", "EAN18/45", "trimix 32", "tx", "nitrox", "air 32", "3 2", "1 8/45"}) {
      CAPTURE(text);
      const auto error = support::thrown<InvalidInput>([&] { (void)Gas::parse(text); });
      REQUIRE(error);
      CHECK_FALSE(error->allowed().empty());
      CHECK_FALSE(error->remedy().empty());
    }
    const std::string endless(100000, '3');
    const auto error = support::thrown<InvalidInput>([&] { (void)Gas::parse(endless); });
    REQUIRE(error);
    CHECK(error->value().size() < 60); // a message stays readable
    const auto foreign = support::thrown<InvalidInput>([] { (void)Gas::parse("\xff\xfe 32"); });
    REQUIRE(foreign);
    CHECK(support::holds(foreign->value(), "??"));
  }

  TEST_CASE("a refusal names every form, and what was probably meant") {
    const auto error = support::thrown<InvalidInput>([] { (void)Gas::parse("abc"); });
    REQUIRE(error);
    for (const std::string form :
         {"air", "O2", "oxygen", "32 %", "EAN32", "nitrox 32", "18/45", "Tx18/45", "trimix 18/45"})
      CHECK(support::holds(error->allowed(), form));
    struct Case {
      std::string text;
      std::string remedy;
    };
    for (const Case& c :
         {Case{"18,5/45", "write \"18.5/45\", with a decimal point"},
          Case{"32,5", "write \"32.5\", with a decimal point"}, Case{"18-45", "write \"18/45\""},
          Case{"Tx18-45", "write \"Tx18/45\""},
          Case{"18/45,50,O2", "give each mix by itself: \"18/45\", \"50\", \"O2\""},
          Case{"18/45 50 oxygen", "give each mix by itself: \"18/45\", \"50\", \"oxygen\""},
          Case{"18 45", "write \"18/45\"; or, if several are meant, give each mix by itself: "
                        "\"18\", \"45\""},
          Case{"0.32", "write per cent: \"32\""}, Case{"0.18/0.45", "write per cent: \"18/45\""},
          Case{"Nitrox", "write the numbers in the same text: \"nitrox32\""},
          Case{"trimix", "write the numbers in the same text: \"trimix18/45\""},
          Case{"1", "write per cent; pure oxygen is O2 or 100"},
          Case{"18-45-37", "write the mix in one of these forms"}}) {
      CAPTURE(c.text);
      const auto refused = support::thrown<InvalidInput>([&] { (void)Gas::parse(c.text); });
      REQUIRE(refused);
      CHECK(refused->remedy() == c.remedy);
    }
  }

  TEST_CASE("fractions are checked") {
    CHECK_NOTHROW((void)Gas(0.04, 0.96));
    CHECK_THROWS_AS((void)Gas(0.039), InvalidInput);
    CHECK_THROWS_AS((void)Gas(1.01), InvalidInput);
    CHECK_THROWS_AS((void)Gas(0.5, 0.51), InvalidInput);
    CHECK_THROWS_AS((void)Gas(0.5, -0.01), InvalidInput);
    CHECK_THROWS_AS((void)Gas(std::nan("")), InvalidInput);
    CHECK_THROWS_AS((void)Gas(0.5, std::nan("")), InvalidInput);
  }

  TEST_CASE("text is what parse reads back") {
    std::mt19937 random(7);
    std::uniform_real_distribution<double> fraction(0.04, 1.0);
    std::vector<Gas> gases{Gas(),           Gas(1.0),        Gas(0.32),          Gas(0.18, 0.45),
                           Gas(0.209),      Gas(0.125, 0.5), Gas(1.0 / 3.0),     Gas(0.04, 0.96),
                           Gas(0.29, 0.07), Gas(0.57, 0.43), Gas(0.1, 0.2 / 3.0)};
    constexpr int draws = 2000;
    for (int j = 0; j < draws; ++j) {
      const double oxygen = fraction(random);
      gases.emplace_back(oxygen, std::max(0.0, fraction(random) - oxygen));
    }
    std::size_t failures = 0;
    for (const Gas& gas : gases)
      if (!(Gas::parse(gas.text()) == gas)) ++failures;
    CHECK(failures == 0);
    CHECK(Gas().text() == "air");
    CHECK(Gas(1.0).text() == "O2");
    CHECK(Gas(0.32).text() == "32");
    CHECK(Gas(0.18, 0.45).text() == "18/45");
    CHECK(Gas(0.209).text() == "20.9");
    CHECK(Gas(0.052, 0.7).text() == "5.2/70"); // 5.2 / 100 is not the double nearest to 0.052
    CHECK(Gas::parse("5.2/70") == Gas(0.052, 0.7));
  }

  TEST_CASE("a mix without helium does not gain any by rounding") {
    const Gas nearly_pure(1.0 - 1e-10);
    CHECK(nearly_pure.helium == 0.0);
  }

  TEST_CASE("spoken forms") {
    CHECK(Gas().spoken() == "air");
    CHECK(Gas(0.5).spoken() == "50 %");
    CHECK(Gas(0.18, 0.45).spoken() == "18/45");
    CHECK(Gas(1.0).spoken() == "oxygen");
  }

  TEST_CASE("a switch depth stands behind an at sign") {
    CHECK(GasChoice("50@21").gas == Gas(0.5));
    CHECK(in_metres(GasChoice("50@21").switch_depth.value()) == 21.0);
    CHECK(in_metres(GasChoice("18/45 @ 40.5").switch_depth.value()) == 40.5);
    CHECK_FALSE(GasChoice("50").switch_depth.has_value());
    // A unit named goes before the one assumed.
    CHECK(in_metres(GasChoice::parse("50@21m", Units::imperial).switch_depth.value()) == 21.0);
    CHECK(off(in_feet(GasChoice("50@70 ft").switch_depth.value()), 70.0) <= 1e-13);
    CHECK(off(in_feet(GasChoice::parse("50@70", Units::imperial).switch_depth.value()), 70.0) <=
          1e-13);
    for (const std::string text :
         {"50@", "50@deep", "@21", "50@21@6", "50@21km", "50@m", "50@21 mft"}) {
      CAPTURE(text);
      CHECK_THROWS_AS((void)GasChoice::parse(text), InvalidInput);
    }
  }

  TEST_CASE("a mix without nitrogen is written as it was, and read back") {
    for (const std::string text : {"80/20", "55/45", "70/30", "50/50", "12.3/87.7"}) {
      CAPTURE(text);
      CHECK(Gas::parse(text).text() == text);
      CHECK(Gas::parse(Gas::parse(text).text()) == Gas::parse(text));
    }
    CHECK(may_mean_nitrox(Gas::parse("50/50")));
    CHECK(may_mean_nitrox(Gas::parse("40/60")));
    CHECK_FALSE(may_mean_nitrox(Gas::parse("39/61")));
    CHECK_FALSE(may_mean_nitrox(Gas::parse("50/40")));
    CHECK_FALSE(may_mean_nitrox(Gas::parse("O2")));
  }
}

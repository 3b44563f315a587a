#include "support.hpp"

#include <upline/real_gas.hpp>
#include <upline/supply.hpp>

#include <array>
#include <cmath>
#include <limits>
#include <map>
#include <random>
#include <set>
#include <string>

// Sources: validation/data/compressibility.csv and compressibility_handbook.csv, each row with its
// own. The properties of content and pressure are arithmetic.

namespace {

using namespace upline;
using support::off;

constexpr double no_number = std::numeric_limits<double>::quiet_NaN();

BasicGas<double> pure_or_mix(const std::string& name) {
  if (name == "nitrogen") return {0.0, 0.0};
  if (name == "oxygen") return {1.0, 0.0};
  if (name == "helium") return {0.0, 1.0};
  return Gas::parse(name);
}

/// Two joined cylinders of the Quince Blossom (invented), at 20 degrees C.
Cylinder twin(const char* mix = "18/45", double pressure = 200.0) {
  return {water_litres(12.0), bar_gauge(pressure), Gas::parse(mix), celsius(20.0), 2};
}

Cylinder drawn_cylinder(std::mt19937& random) {
  std::uniform_real_distribution<double> unit(0.0, 1.0);
  const double oxygen = 0.04 + 0.96 * unit(random);
  const double helium = random() % 3 == 0 ? 0.0 : (1.0 - oxygen) * unit(random);
  return {water_litres(1.0 + 20.0 * unit(random)), bar_gauge(300.0 * unit(random)),
          Gas(oxygen, helium), celsius(-20.0 + 90.0 * unit(random)),
          1 + static_cast<int>(random() % 2)};
}

template <class F>
std::string refusal_of(F&& call) {
  try {
    (void)call();
  } catch (const InvalidInput& error) {
    return error.what();
  }
  return "nothing was refused";
}

} // namespace

TEST_SUITE("supply") {
  TEST_CASE("every row of the reference equations is met within 1 %, but for those that say so") {
    std::map<std::string, int> rows;
    std::map<std::string, double> worst;
    int known = 0;
    for (const support::Record& row : support::table("compressibility")) {
      const std::string& name = row.text("gas");
      CAPTURE(name);
      CAPTURE(row.text("temperature_C"));
      CAPTURE(row.text("pressure_bar"));
      const BasicGas<double> gas{row.number("oxygen"), row.number("helium")};
      CHECK(gas == pure_or_mix(name));
      const double got = compressibility(gas, bar(row.number("pressure_bar")),
                                         celsius(row.number("temperature_C")));
      const double relative = got / row.number("z") - 1.0;
      if (row.has("known_off")) {
        ++known;
        CHECK(name == "20/80"); // no other mix is beyond the tolerance
        CHECK(std::abs(relative) > row.number("tol_rel"));
        CHECK(off(relative, row.number("known_off")) <= 5e-5 + 1e-6);
      } else {
        CHECK(std::abs(relative) <= row.number("tol_rel"));
      }
      ++rows[name];
      worst[name] = std::max(worst[name], std::abs(relative));
    }
    CHECK(known == 9);
    REQUIRE(rows.size() == 16);
    for (const auto& entry : rows) {
      CAPTURE(entry.first);
      CHECK(entry.second == 8 * 15); // temperatures times pressures
    }
    // What docs/theory.md and real_gas.hpp state, in per cent.
    for (const char* name : {"nitrogen", "oxygen", "helium", "32", "36", "50", "80"})
      CHECK(worst[name] <= 0.0018);
    CHECK(worst["air"] <= 0.0022); // with argon in the reference
    for (const char* name : {"21/35", "18/45", "15/55", "10/70", "25/25", "50/25"})
      CHECK(worst[name] <= 0.0036);
    CHECK(worst["50/50"] <= 0.0065);
    CHECK(worst["20/80"] <= 0.0117);
  }

  TEST_CASE("every row of the handbooks and of the recalled equations is met") {
    int rows = 0;
    for (const support::Record& row : support::table("compressibility_handbook")) {
      CAPTURE(row.text("gas"));
      CAPTURE(row.text("temperature_C"));
      CAPTURE(row.text("pressure_bar"));
      const double got =
          compressibility(pure_or_mix(row.text("gas")), bar(row.number("pressure_bar")),
                          celsius(row.number("temperature_C")));
      CHECK(off(got, row.number("z")) <= row.number("tol"));
      ++rows;
    }
    CHECK(rows == 57);
  }

  TEST_CASE("a real gas becomes ideal as it gets thin") {
    for (const char* mix : {"air", "50", "O2", "18/45", "10/70", "20/80"}) {
      CAPTURE(mix);
      for (const double t : {-20.0, 20.0, 70.0}) {
        const Gas gas = Gas::parse(mix);
        CHECK(off(compressibility(gas, bar(1.0), celsius(t)), 1.0) <= 2e-3);
        CHECK(off(compressibility(gas, bar(1e-3), celsius(t)), 1.0) <= 2e-6);
        CHECK(off(compressibility(gas, bar(1e-6), celsius(t)), 1.0) <= 2e-9);
      }
      const Cylinder thin = twin(mix, 0.01);
      CHECK(off(thin.content() / thin.ideal_content(), 1.0) <= 2e-3);
    }
  }

  TEST_CASE("the order in which two gases are named does not matter, and a trace changes little") {
    const auto z = [](double oxygen, double helium) {
      return compressibility({oxygen, helium}, bar(250.0), celsius(10.0));
    };
    CHECK(off(z(0.21, 1e-9), z(0.21, 0.0)) <= 1e-8);
    CHECK(off(z(1e-9, 0.5), z(0.0, 0.5)) <= 1e-8);
    CHECK(off(z(1.0 - 1e-9, 0.0), z(1.0, 0.0)) <= 1e-8);
  }

  TEST_CASE("content and pressure invert each other") {
    std::mt19937 random(20261125);
    for (int j = 0; j < 300; ++j) {
      const Cylinder c = drawn_cylinder(random);
      CAPTURE(c.gas().text());
      CAPTURE(in_bar_gauge(c.pressure()));
      CHECK(off(in_bar_gauge(c.pressure_for(c.content())), in_bar_gauge(c.pressure())) <= 1e-10);
      CHECK(off(in_bar_gauge(c.ideal_pressure_for(c.ideal_content())),
                in_bar_gauge(c.pressure())) <= 1e-12 * 345.0);
      const Litres some = litres(0.37 * in_litres(c.content()));
      CHECK(off(in_litres(c.content_at(c.pressure_for(some))), in_litres(some)) <=
            1e-11 * in_litres(c.content()) + 1e-9);
    }
    CHECK(in_bar_gauge(twin().pressure_for(litres(0.0))) == doctest::Approx(0.0).epsilon(1e-12));
    CHECK(in_litres(twin("air", 0.0).content()) == 0.0);
    const Litres most = twin().content_at(highest_gauge_pressure);
    CHECK(off(in_bar_gauge(twin().pressure_for(most)), 345.0) <= 1e-10);
  }

  TEST_CASE("more pressure is more gas") {
    for (const char* mix : {"air", "32", "80", "O2", "21/35", "18/45", "10/70", "20/80"}) {
      CAPTURE(mix);
      for (const double t : {-20.0, 20.0, 70.0}) {
        const Cylinder c(water_litres(1.0), bar_gauge(0.0), Gas::parse(mix), celsius(t));
        double before = -1.0;
        for (int p = 0; p <= 345; ++p) {
          const double now = in_litres(c.content_at(bar_gauge(p)));
          CHECK(now > before);
          before = now;
        }
      }
    }
  }

  TEST_CASE("content is that of the density, in the litres of a plan") {
    const Cylinder c = twin();
    const double full = molar_density(c.gas(), absolute(c.pressure()), c.temperature());
    const double rest = molar_density(c.gas(), bar(1.01325), c.temperature());
    const double ideal_litres_per_mole = 8.314472e-2 * 293.15; // at 1 bar
    CHECK(off(in_litres(c.content()), 24.0 * (full - rest) * ideal_litres_per_mole) <= 1e-9);
    CHECK(off(in_moles(c.amount()), 24.0 * full) <= 1e-9);
    CHECK(in_litres(c.ideal_content()) == 4800.0);
    CHECK(off(c.compressibility(),
              compressibility(c.gas(), absolute(c.pressure()), celsius(20.0))) <= 1e-12);
  }

  TEST_CASE("real against ideal is what others found") {
    // Derived by others from tabulated compressibility, in whole per cent and with neither
    // temperature nor gauge or absolute pressure named: half a unit, and half for these.
    const auto share = [](const char* mix, double p) {
      const Cylinder c = twin(mix, p);
      return 100.0 * (c.content() / c.ideal_content() - 1.0);
    };
    CHECK(off(share("air", 232.0), -5.0) <= 1.0);
    CHECK(off(share("air", 300.0), -9.5) <= 1.0);
    CHECK(off(share("80", 200.0), 3.0) <= 1.0);
  }

  TEST_CASE("factors of the pure gases, added up, overstate what a mix with helium holds") {
    // Added up they give about 6 % less than ideal for 21/35 at 232 bar and 7 % for 15/55; the
    // reference rows of mixes say about 11 and 12 %.
    const auto less = [](const char* mix, bool added_up) {
      const Gas gas = Gas::parse(mix);
      const auto z = [](const BasicGas<double>& g) {
        return compressibility(g, bar(232.0), celsius(20.0));
      };
      const double sum =
          gas.nitrogen() * z({0.0, 0.0}) + gas.oxygen * z({1.0, 0.0}) + gas.helium * z({0.0, 1.0});
      return 100.0 * (1.0 - 1.0 / (added_up ? sum : z(gas)));
    };
    CHECK(off(less("21/35", true), 6.0) <= 0.5);
    CHECK(off(less("15/55", true), 7.0) <= 0.5);
    CHECK(less("21/35", false) > less("21/35", true) + 4.0);
    CHECK(less("15/55", false) > less("15/55", true) + 4.0);
  }

  TEST_CASE("joined cylinders hold what they hold one by one") {
    const Cylinder one(water_litres(12.0), bar_gauge(200.0), Gas::parse("32"), celsius(20.0));
    const Cylinder two(water_litres(12.0), bar_gauge(200.0), Gas::parse("32"), celsius(20.0), 2);
    CHECK(off(two.content() / one.content(), 2.0) <= 1e-14);
    CHECK(off(two.amount() / one.amount(), 2.0) <= 1e-14);
    CHECK(in_water_litres(two.water_volume()) == 24.0);
    CHECK(one != two);
    CHECK(two.at_pressure(bar_gauge(150.0)).content() == two.content_at(bar_gauge(150.0)));
  }

  TEST_CASE("a closed cylinder keeps its amount when it cools") {
    std::mt19937 random(5);
    for (int j = 0; j < 100; ++j) {
      const Cylinder drawn = drawn_cylinder(random).at_pressure(bar_gauge(180.0));
      const Cylinder hot(drawn.each(), drawn.pressure(), drawn.gas(), celsius(45.0),
                         drawn.joined());
      const Cylinder cold = hot.at_temperature(celsius(8.0));
      CAPTURE(hot.gas().text());
      CHECK(off(cold.amount() / hot.amount(), 1.0) <= 1e-12);
      CHECK(cold.pressure() < hot.pressure());
      CHECK(cold.content() < hot.content());
      CHECK(off(in_bar_gauge(cold.at_temperature(celsius(45.0)).pressure()), 180.0) <= 1e-9);
    }
    const Cylinder c = twin();
    CHECK(c.at_temperature(celsius(20.0)) == c);
    // Thin gas follows its temperature: absolute pressure over kelvin stays.
    const Cylinder warm = twin("air", 0.0).at_temperature(celsius(50.0));
    CHECK(off(in_bar(absolute(warm.pressure())), 1.01325 * 323.15 / 293.15) <= 5e-4);
  }

  TEST_CASE("a rated volume becomes a water volume by either convention, and back") {
    const GaugePressure at = psi_gauge(3000.0);
    const WaterVolume real = rated_water_volume(77.4, at, Rating::real_gas);
    const WaterVolume ideal = rated_water_volume(77.4, at, Rating::ideal_gas);
    // 1 atm over 3000 psi, by definition of the two.
    CHECK(off(in_water_litres(ideal), 77.4 * 28.316846592 * 14.695948775513 / 3000.0) <= 1e-9);
    const Cylinder full(real, at, Gas(), fahrenheit(70.0));
    CHECK(off(in_cubic_feet(full.content()) / 1.01325, 77.4) <= 1e-9);
    CHECK(off(real / ideal, 1.034) <= 1e-3); // air does not quite fit
  }

  TEST_CASE("units of cylinders") {
    CHECK(off(in_bar_gauge(psi_gauge(3000.0)), 206.8427) <= 5e-5);
    CHECK(in_psi_gauge(psi_gauge(2900.0)) == doctest::Approx(2900.0).epsilon(1e-15));
    CHECK(in_bar(absolute(bar_gauge(0.0))) == 1.01325);
    CHECK(in_bar_gauge(gauge(bar(1.01325))) == 0.0);
    CHECK(off(in_celsius(fahrenheit(32.0)), 0.0) <= 1e-13);
    CHECK(off(in_celsius(fahrenheit(212.0)), 100.0) <= 1e-12);
    CHECK(off(in_fahrenheit(celsius(-40.0)), -40.0) <= 1e-12);
    CHECK(in_kelvin(celsius(20.0)) == 293.15);
    CHECK(off(in_celsius(kelvin(300.0)), 26.85) <= 1e-12);
    CHECK(off(in_water_litres(water_cubic_feet(1.0)), 28.316846592) <= 1e-12);
    CHECK(off(in_water_cubic_feet(water_litres(28.316846592)), 1.0) <= 1e-15);
  }

  TEST_CASE("what no cylinder can be is refused with field, value, range and remedy") {
    const auto made = [](double each, double pressure, double temperature, int joined = 1) {
      return refusal_of([=] {
        return Cylinder(water_litres(each), bar_gauge(pressure), Gas(), celsius(temperature),
                        joined);
      });
    };
    CHECK(made(0.0, 200.0, 20.0) ==
          "water_volume is 0 L (0 cu ft); allowed: 0.1 L (0.0035 cu ft) to 500 L (17.66 cu ft). "
          "Remedy: give the water volume of one cylinder.");
    CHECK(made(no_number, 200.0, 20.0).starts_with("water_volume is not a number; allowed: "));
    CHECK(made(12.0, -1.0, 20.0) ==
          "pressure is -1 bar (-14.5 psi); allowed: 0 bar (0 psi) to 345 bar (5003.8 psi). "
          "Remedy: give what the gauge reads.");
    CHECK(made(12.0, 346.0, 20.0).starts_with("pressure is 346 bar (5018.3 psi); allowed: "));
    CHECK(made(12.0, no_number, 20.0).starts_with("pressure is not a number; allowed: "));
    CHECK(made(12.0, 200.0, 71.0) ==
          "temperature is 71 degrees C (159.8 degrees F); allowed: -20 degrees C (-4 degrees F) to "
          "70 degrees C (158 degrees F). Remedy: give the temperature of the gas in the cylinder.");
    CHECK(made(12.0, 200.0, no_number).starts_with("temperature is not a number; allowed: "));
    CHECK(made(12.0, 200.0, 20.0, 0).starts_with("joined is 0 cylinders; allowed: 1 to 16"));
    CHECK(made(12.0, 200.0, 20.0, 17).starts_with("joined is 17 cylinders; allowed: 1 to 16"));
  }

  TEST_CASE("what a cylinder cannot hold is refused") {
    const Cylinder c = twin();
    for (const double p : {-0.1, 345.1, no_number}) {
      CAPTURE(p);
      CHECK_THROWS_AS((void)c.content_at(bar_gauge(p)), InvalidInput);
      CHECK_THROWS_AS((void)c.ideal_content_at(bar_gauge(p)), InvalidInput);
      CHECK_THROWS_AS((void)c.at_pressure(bar_gauge(p)), InvalidInput);
    }
    for (const double v : {-0.1, 1e4, no_number}) {
      CAPTURE(v);
      CHECK_THROWS_AS((void)c.pressure_for(litres(v)), InvalidInput);
      CHECK_THROWS_AS((void)c.ideal_pressure_for(litres(v)), InvalidInput);
    }
    CHECK(refusal_of([&] { return c.ideal_pressure_for(litres(1e4)); }) ==
          "content is 10000 L (353.15 cu ft); allowed: 0 to 8280 L (292.41 cu ft) at 345 bar "
          "(5003.8 psi). Remedy: give what this cylinder can hold, or a larger cylinder.");
    CHECK(refusal_of([] {
            return twin("air", 340.0).at_temperature(celsius(60.0));
          }).starts_with("pressure at the new temperature is "));
    CHECK_THROWS_AS((void)twin("air", 0.0).at_temperature(celsius(0.0)), InvalidInput);
    CHECK_THROWS_AS((void)c.at_temperature(celsius(no_number)), InvalidInput);
  }

  TEST_CASE("no rating and no gas beyond what is known is accepted") {
    const auto rated = [](double cubic_feet, double psi_of_rating) {
      return refusal_of([=] {
        return rated_water_volume(cubic_feet, psi_gauge(psi_of_rating), Rating::real_gas);
      });
    };
    CHECK(rated(0.5, 3000.0).starts_with("rated volume is 0.5 cu ft; allowed: 1 to 5000 cu ft"));
    CHECK(rated(80.0, 300.0).starts_with("rated pressure is 20.684 bar (300 psi); allowed: "));
    CHECK(rated(80.0, 6000.0).starts_with("rated pressure is "));
    CHECK(rated(no_number, 3000.0).starts_with("rated volume is not a number"));
    CHECK(rated(5000.0, 500.0).starts_with("water volume of the rating is "));
    const auto z = [](double oxygen, double helium, double p, double t) {
      return refusal_of([=] { return compressibility({oxygen, helium}, bar(p), celsius(t)); });
    };
    CHECK(z(-0.1, 0.0, 100.0, 20.0).starts_with("gas oxygen fraction is -0.1; "));
    CHECK(z(0.2, 1.1, 100.0, 20.0).starts_with("gas helium fraction is 1.1; "));
    CHECK(z(0.6, 0.6, 100.0, 20.0).starts_with("gas oxygen and helium together is 1.2; "));
    CHECK(z(0.2, 0.0, 0.0, 20.0).starts_with("pressure is 0 bar; "));
    CHECK(z(0.2, 0.0, 351.0, 20.0).starts_with("pressure is 351 bar; "));
    CHECK(z(0.2, 0.0, no_number, 20.0).starts_with("pressure is not a number; "));
    CHECK(z(0.2, 0.0, 100.0, -21.0).starts_with("temperature is -21 degrees C (-5.8 degrees F); "));
  }
}

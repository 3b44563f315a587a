#include "support.hpp"

#include <upline/environment.hpp>
#include <upline/tissue.hpp>

// Sources: validation/data/standard_atmosphere.csv and initial_nitrogen.csv; the gauge metre is EN
// 13319's; the rule of who counts as acclimatised is this project's definition, docs/theory.md.

namespace {

using namespace upline;
using support::off;

Environment at(double altitude) {
  Environment environment;
  environment.altitude = metres(altitude);
  return environment;
}

Environment at_pressure(double surface) {
  Environment environment;
  environment.surface_pressure = bar(surface);
  return environment;
}

} // namespace

TEST_SUITE("environment") {
  TEST_CASE("surface pressure follows the standard atmosphere") {
    for (const support::Record& row : support::table("standard_atmosphere")) {
      CAPTURE(row.text("height_m"));
      const double got = at(row.number("height_m")).place().surface;
      CHECK(off(got, row.number("pressure_bar")) <= 5e-6);
      CHECK(off(got * 1000.0, row.number("pressure_hPa")) <= 5e-3);
      CHECK(off(got / standard_surface_pressure, row.number("pressure_atm")) <= 5e-6);
    }
  }

  TEST_CASE("without a statement the place is sea level in gauge metres") {
    const Place place = Environment{}.place();
    CHECK(place.surface == 1.01325);
    CHECK(place.per_metre == 0.1);
    CHECK(place.vapour == 0.0627);
    CHECK(place == Place{});
    CHECK(off(place.pressure(57.0), 6.71325) <= 1e-15);
  }

  TEST_CASE("a water makes true metres of it") {
    Environment environment;
    environment.water_density = fresh_water;
    CHECK(off(environment.place().per_metre, 0.0980665) <= 1e-16);
    environment.water_density = sea_water;
    CHECK(off(environment.place().per_metre, 0.1005181625) <= 1e-16); // 1025 x 9.80665e-5
  }

  TEST_CASE("depth and pressure are inverse") {
    Environment environment = at(640.0);
    environment.water_density = 1012.5;
    const Place place = environment.place();
    CHECK(place.pressure(0.0) == place.surface);
    CHECK(place.depth(place.surface) == 0.0);
    for (const double depth : {0.01, 3.0, 42.0, 350.0}) {
      CAPTURE(depth);
      CHECK(off(place.depth(place.pressure(depth)), depth) <= 1e-13);
    }
    CHECK(place.depth(place.surface - 0.1) < 0.0); // above the surface
  }

  TEST_CASE("nitrogen at rest under the three conventions of vapour") {
    for (const support::Record& row : support::table("initial_nitrogen")) {
      CAPTURE(row.text("surface_bar"));
      CAPTURE(row.text("vapour_bar"));
      Environment environment = at_pressure(row.number("surface_bar"));
      environment.vapour = bar(row.number("vapour_bar"));
      const Tissues tissues =
          equilibrium_with_air(environment.place().surface, environment.place().vapour);
      for (const double tension : tissues.nitrogen)
        CHECK(off(tension, row.number("tension_bar")) <= row.number("tol_bar"));
      for (const double tension : tissues.helium) CHECK(tension == 0.0);
    }
  }

  TEST_CASE("up to 300 m the diver counts as acclimatised and above as just arrived") {
    const double sea_level = 1.01325;
    CHECK(at(300.0).acclimatised_pressure() == at(300.0).place().surface);
    CHECK_FALSE(at(300.0).just_arrived_assumed());
    CHECK(at(300.5).acclimatised_pressure() == sea_level);
    CHECK(at(300.5).just_arrived_assumed());
    CHECK(at(-400.0).acclimatised_pressure() == at(-400.0).place().surface);
    CHECK_FALSE(at(-400.0).just_arrived_assumed());
    // A stated surface pressure is judged by the same pressure.
    CHECK_FALSE(at_pressure(0.98).just_arrived_assumed());
    CHECK(at_pressure(0.90).just_arrived_assumed());
    CHECK(at_pressure(0.90).acclimatised_pressure() == sea_level);
    CHECK(at_pressure(0.98).acclimatised_pressure() == 0.98);
  }

  TEST_CASE("a statement of where the diver lives goes before the rule") {
    Environment here = at(640.0);
    here.acclimatised_to = AcclimatisedHere{};
    CHECK_FALSE(here.just_arrived_assumed());
    CHECK(here.acclimatised_pressure() == here.place().surface);
    Environment elsewhere = at(2000.0);
    elsewhere.acclimatised_to = metres(1000.0);
    CHECK_FALSE(elsewhere.just_arrived_assumed());
    CHECK(elsewhere.acclimatised_pressure() == in_bar(pressure_at_altitude(metres(1000.0))));
  }

  TEST_CASE("altitude and surface pressure together are an error") {
    Environment both = at(640.0);
    both.surface_pressure = bar(0.95);
    const auto error = support::thrown<InvalidInput>([&] { (void)both.place(); });
    REQUIRE(error);
    CHECK(error->field() == "surface_pressure");
    CHECK(support::holds(error->value(), "0.95"));
    CHECK(support::holds(error->value(), "640"));
  }

  TEST_CASE("values out of range are refused and their borders are not") {
    for (const double altitude : {-500.0, 6000.0}) CHECK_NOTHROW((void)at(altitude).place());
    for (const double altitude : {-500.1, 6000.1, std::nan("")})
      CHECK_THROWS_AS((void)at(altitude).place(), InvalidInput);
    for (const double pressure : {0.4, 1.2}) CHECK_NOTHROW((void)at_pressure(pressure).place());
    for (const double pressure : {0.39, 1.21, std::nan("")})
      CHECK_THROWS_AS((void)at_pressure(pressure).place(), InvalidInput);
    Environment environment;
    for (const double density : {899.0, 1301.0, std::nan("")}) {
      environment.water_density = density;
      CHECK_THROWS_AS((void)environment.place(), InvalidInput);
    }
    environment = {};
    for (const double vapour : {-0.001, 0.101, std::nan("")}) {
      environment.vapour = bar(vapour);
      CHECK_THROWS_AS((void)environment.place(), InvalidInput);
    }
    environment = {};
    environment.acclimatised_to = metres(6001.0);
    CHECK_THROWS_AS((void)environment.acclimatised_pressure(), InvalidInput);
  }
}

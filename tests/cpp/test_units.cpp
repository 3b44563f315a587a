#include "support.hpp"

#include <upline/units.hpp>

#include <map>
#include <string>
#include <type_traits>

// Sources: validation/data/pressure_units.csv, water_density.csv and depth_pressures.csv.

namespace {

using namespace upline;
using support::off;

template <class X, class Y>
concept Addable = requires(X x, Y y) {
  x + y;
};
template <class X, class Y>
concept Comparable = requires(X x, Y y) {
  x < y;
};

constexpr double kilopascals_per_bar = 100.0;

// Each unit in the base unit of its dimension, by the maker that names it.
double base_of(const std::string& unit) {
  const std::map<std::string, double> known{
      {"fsw", fsw(1.0).base()},
      {"msw", msw(1.0).base()},
      {"bar", bar(1.0).base()},
      {"psi", psi(1.0).base()},
      {"kPa", bar(1.0 / kilopascals_per_bar).base()},
      {"atm", bar(standard_surface_pressure).base()},
      {"ft", feet(1.0).base()},
      {"m", metres(1.0).base()},
      {"cu ft", cubic_feet(1.0).base()},
      {"L", litres(1.0).base()},
  };
  return known.at(unit);
}

} // namespace

TEST_SUITE("units") {
  TEST_CASE("units relate as their sources state") {
    for (const support::Record& row : support::table("pressure_units")) {
      CAPTURE(row.text("unit"));
      CAPTURE(row.text("other_unit"));
      const double got =
          row.number("amount") * base_of(row.text("unit")) / base_of(row.text("other_unit"));
      const double rounding = 4e-16 * row.number("equals"); // of a definition
      CHECK(off(got, row.number("equals")) <= row.number("tol") + rounding);
    }
  }

  TEST_CASE("water densities are those of the handbooks") {
    constexpr double kg_per_lb = 0.45359237;                       // by definition, 1959
    constexpr double cubic_metres_per_cubic_foot = 0.028316846592; // 0.3048^3
    for (const support::Record& row : support::table("water_density")) {
      const std::string& water = row.text("water");
      CAPTURE(water);
      const double printed = row.number("kg_per_m3");
      const double tol = row.number("tol_kg_per_m3");
      if (water == "EN 13319") {
        // The density at which 10 m are 1 bar; the library has the 0.1 bar themselves.
        CHECK(off(0.1 / (standard_gravity * 1e-5), printed) <= tol);
        CHECK(Environment{}.place().per_metre == 0.1);
        continue;
      }
      CHECK((water == "sea" ? sea_water : fresh_water) == printed);
      CHECK(off(row.number("lb_per_cu_ft") * kg_per_lb / cubic_metres_per_cubic_foot, printed) <=
            tol);
    }
  }

  TEST_CASE("absolute pressures of depths in fsw are as printed") {
    for (const support::Record& row : support::table("depth_pressures")) {
      CAPTURE(row.text("depth_fsw"));
      const double got = in_bar(bar(standard_surface_pressure) + fsw(row.number("depth_fsw"))) *
                         kilopascals_per_bar;
      const double difference = off(got, row.number("pressure_kPa"));
      if (row.has("known_difference_kPa")) {
        // The source's own unit does not give the printed digit; see the table's head.
        CHECK(difference > row.number("tol_kPa"));
        CHECK(off(difference, row.number("known_difference_kPa")) <= 5e-4);
      } else {
        CHECK(difference <= row.number("tol_kPa"));
      }
    }
  }

  TEST_CASE("a metre never adds to a bar and a number is no quantity") {
    static_assert(Addable<Depth, Depth>);
    static_assert(!Addable<Depth, Pressure>);
    static_assert(!Addable<Depth, Minutes>);
    static_assert(!Addable<Depth, double>);
    static_assert(!Comparable<Depth, Pressure>);
    static_assert(!Comparable<Depth, double>);
    static_assert(!std::is_convertible_v<double, Depth>);
    static_assert(!std::is_convertible_v<Depth, double>);
    static_assert(!std::is_constructible_v<Depth, Pressure>);
    static_assert(!std::is_same_v<TravelRate, BreathingRate>);
    CHECK(std::is_same_v<Altitude, Depth>); // both are lengths
  }

  TEST_CASE("a quantity costs what its number costs") {
    CHECK(sizeof(Depth) == sizeof(double));
    CHECK(std::is_trivially_copyable_v<Pressure>);
    static_assert(in_metres(metres(3.0) + metres(4.0)) == 7.0); // and works at compile time
  }

  TEST_CASE("arithmetic stays in one dimension") {
    CHECK((metres(10.0) - metres(4.0)).base() == 6.0);
    CHECK((metres(10.0) * 2.0).base() == 20.0);
    CHECK((2.0 * minutes(3.0)).base() == 6.0);
    CHECK(metres(10.0) / metres(4.0) == 2.5); // a ratio is a number
    CHECK(metres(3.0) < metres(4.0));
    CHECK(metres(3.0) >= metres(3.0));
    CHECK(bar(1.0) == bar(1.0));
    CHECK(Depth{}.base() == 0.0);
  }

  TEST_CASE("makers and readers are inverse") {
    for (const double x : {0.0, 0.5, 57.0, 190.0, 1013.25}) {
      CAPTURE(x);
      CHECK(off(in_metres(metres(x)), x) == 0.0);
      CHECK(off(in_feet(feet(x)), x) <= 4e-16 * x);
      CHECK(off(in_psi(psi(x)), x) <= 4e-16 * x);
      CHECK(off(in_cubic_feet(cubic_feet(x)), x) <= 4e-16 * x);
      CHECK(in_minutes(minutes(x)) == x);
      CHECK(in_litres(litres(x)) == x);
      CHECK(in_bar(bar(x)) == x);
    }
    CHECK(off(in_minutes(seconds(90.0)), 1.5) == 0.0);
    CHECK(metres_per_minute(9.0).base() == 9.0);
    CHECK(off(feet_per_minute(30.0).base(), 9.144) <= 2e-15); // 30 ft of 0.3048 m
    CHECK(litres_per_minute(20.0).base() == 20.0);
    CHECK(off(cubic_feet_per_minute(1.0).base(), 28.316846592) == 0.0);
  }

  TEST_CASE("a system of units names itself") {
    CHECK(in_metres(depth_from(57.0, Units::metric)) == 57.0);
    CHECK(off(in_metres(depth_from(190.0, Units::imperial)), 57.912) <= 1e-14);
    CHECK(off(depth_in(feet(190.0), Units::imperial), 190.0) <= 1e-13);
    CHECK(depth_in(metres(57.0), Units::metric) == 57.0);
    CHECK(std::string(length_name(Units::metric)) == "m");
    CHECK(std::string(length_name(Units::imperial)) == "ft");
    CHECK(std::string(volume_name(Units::metric)) == "L");
    CHECK(std::string(volume_name(Units::imperial)) == "cu ft");
    CHECK(length_unit(Units::metric) == 1.0);
    CHECK(volume_unit(Units::imperial) == litres_per_cubic_foot);
  }
}

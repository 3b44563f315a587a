#include "support.hpp"

#include <upline/best_mix.hpp>
#include <upline/best_mix_text.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
#include <random>
#include <string>
#include <tuple>
#include <utility>

// Sources: validation/data/operating_depth.csv, equivalent_depth_examples.csv and gas_density.csv,
// each row with its own, read backwards: the depth printed for a mix must give the mix again.

namespace {

using namespace upline;
using support::off;

MixLimits at(double depth, double max_po2 = 1.4) {
  return {.depth = metres(depth), .max_po2 = bar(max_po2)};
}

/// The surface of the printed tables: 1 bar.
Environment one_bar() { return {.surface_pressure = bar(1.0)}; }

/// The text on one line.
std::string flat(const BestMix& found) {
  std::string text = best_mix_text(found, Units::metric);
  std::replace(text.begin(), text.end(), '\n', ' ');
  for (std::size_t at = text.find("  "); at != std::string::npos; at = text.find("  "))
    text.erase(at, 1);
  return text;
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

TEST_SUITE("best mix") {
  TEST_CASE("every drawn mix keeps its limits, and one per cent more or less does not") {
    std::mt19937 random(20261125);
    std::uniform_real_distribution<double> unit(0.0, 1.0);
    int tight_oxygen = 0;
    int tight_helium = 0;
    for (int j = 0; j < 3000; ++j) {
      MixLimits limits = at(5.0 + 145.0 * unit(random), 1.0 + 0.6 * unit(random));
      if (j % 3 != 0) {
        limits.narcotic_depth = metres(15.0 + 30.0 * unit(random));
        limits.narcotic = j % 2 == 0 ? Narcotic::nitrogen : Narcotic::nitrogen_and_oxygen;
      }
      if (j % 5 != 0) limits.max_density = 4.5 + 2.0 * unit(random);
      const BestMix found = best_mix(limits);
      CAPTURE(in_metres(limits.depth));
      REQUIRE(found.mix);
      const double depth = in_metres(limits.depth);
      const Place place = limits.environment.place();
      const auto keeps = [&](double oxygen, double helium) {
        if (oxygen + helium > 1.0 + 1e-9 || helium < 0.0 || oxygen > 1.0) return false;
        const Gas gas(oxygen, helium);
        constexpr double slack = 1e-6;
        return gas.oxygen * place.pressure(depth) <= in_bar(limits.max_po2) + slack &&
               (!limits.narcotic_depth ||
                equivalent_narcotic_depth(gas, depth, *limits.narcotic, place) <=
                    in_metres(*limits.narcotic_depth) + slack) &&
               (!limits.max_density || density(gas, depth, place) <= *limits.max_density + slack);
      };
      CHECK(keeps(found.mix->oxygen, found.mix->helium));
      CHECK(keeps(found.exact->oxygen, found.exact->helium));
      if (found.mix->oxygen < 0.995) { // with any helium at all
        bool richer = false;
        for (int he = 0; he <= 100; ++he)
          richer = richer || keeps(found.mix->oxygen + 0.01, he / 100.0);
        CHECK(!richer);
        ++tight_oxygen;
      }
      if (found.mix->helium > 0.005) {
        CHECK(!keeps(found.mix->oxygen, found.mix->helium - 0.01));
        ++tight_helium;
      }
    }
    CHECK(tight_oxygen > 2000);
    CHECK(tight_helium > 1000);
  }

  TEST_CASE("every printed operating depth gives its mix again") {
    int rows = 0;
    for (const support::Record& row : support::table("operating_depth"))
      for (const auto& [column, po2] : {std::pair("mod_m_1.4", 1.4), std::pair("mod_m_1.6", 1.6)}) {
        MixLimits limits = at(row.number(column), po2);
        limits.environment = one_bar();
        const double share = row.number("oxygen");
        CAPTURE(share);
        // Half a digit of the depth, as a share of the pressure there.
        const double digit = 0.000501 / (1.0 + row.number(column) / 10.0);
        CHECK(off(best_mix(limits).most_oxygen, share) <= share * digit);
        ++rows;
      }
    CHECK(rows >= 28);
  }

  TEST_CASE("every narcotic depth read in texts gives its helium again") {
    int rows = 0;
    for (const support::Record& row : support::table("equivalent_depth_examples")) {
      const Gas gas = Gas::parse(row.text("gas"));
      if (!(gas.helium > 0.0) || row.text("length_unit") != "m") continue;
      CAPTURE(gas.text());
      const double pressure = 1.0 + row.number("depth") / 10.0;
      MixLimits limits = at(row.number("depth"), gas.oxygen * pressure);
      limits.environment = one_bar();
      limits.narcotic_depth = metres(row.number("equivalent_depth"));
      const bool alone = row.text("counted") == "nitrogen";
      limits.narcotic = alone ? Narcotic::nitrogen : Narcotic::nitrogen_and_oxygen;
      const BestMix found = best_mix(limits);
      CHECK(found.helium_by == MixLimit::narcotic_depth);
      CHECK(found.oxygen_by == MixLimit::po2);
      const double known = row.has("known_difference") ? row.number("known_difference") : 0.0;
      const double digit = (row.number("tol") + known) / 10.0 / pressure * (alone ? 0.79 : 1.0);
      CHECK(off(*found.helium_for_narcosis, gas.helium) <= digit + 1e-12);
      ++rows;
    }
    CHECK(rows >= 3);
  }

  TEST_CASE("every printed depth at a density gives its helium again") {
    int rows = 0;
    for (const support::Record& row : support::table("gas_density")) {
      const Gas gas = Gas::parse(row.text("mix"));
      if (!(gas.helium > 0.0)) continue;
      CAPTURE(gas.text());
      for (const auto& [column, limit, degrees] :
           {std::tuple("depth_at_5.2_m", 5.2, 0.0), std::tuple("depth_at_6.2_m", 6.2, 0.0),
            std::tuple("depth_at_5.2_if_20C_m", 5.2, 20.0),
            std::tuple("depth_at_6.2_if_20C_m", 6.2, 20.0)}) {
        const double pressure = 1.0 + row.number(column) / 10.0;
        MixLimits limits = at(row.number(column), gas.oxygen * pressure);
        limits.environment = one_bar();
        limits.max_density = limit;
        limits.density_temperature = celsius(degrees);
        const BestMix found = best_mix(limits);
        CHECK(found.helium_by == MixLimit::density);
        // Half a digit of the depth changes the unit density by that share of it; helium instead
        // of nitrogen saves 1.251 - 0.1786 g/L at 1 atm and 0 degrees C.
        const double unit = row.number("density_0C_1atm_g_per_L");
        CHECK(off(*found.helium_for_density, gas.helium) <=
              unit * 0.00501 / pressure / (1.251 - 0.1786));
        ++rows;
      }
    }
    CHECK(rows >= 16);
  }

  TEST_CASE("the larger of the two decides, and both conventions differ") {
    MixLimits limits = at(57.0);
    limits.narcotic_depth = metres(30.0);
    limits.narcotic = Narcotic::nitrogen_and_oxygen;
    const BestMix counted = best_mix(limits);
    CHECK(counted.mix->text() == "20/41");
    CHECK(counted.helium_by == MixLimit::narcotic_depth);
    limits.narcotic = Narcotic::nitrogen;
    const BestMix alone = best_mix(limits);
    CHECK(alone.mix->helium < counted.mix->helium + 0.005);
    limits.max_density = 5.2;
    const BestMix dense = best_mix(limits);
    CHECK(dense.helium_by == MixLimit::density);
    CHECK(*dense.helium_for_density > *dense.helium_for_narcosis);
    limits.density_temperature = celsius(20.0); // a warmer reference asks for less
    CHECK(*best_mix(limits).helium_for_density < *dense.helium_for_density);
  }

  TEST_CASE("oxygen is decided by narcosis or density where those are stricter") {
    MixLimits limits = at(10.0, 1.6);
    limits.narcotic_depth = metres(3.0);
    limits.narcotic = Narcotic::nitrogen_and_oxygen;
    const BestMix narcotic = best_mix(limits);
    CHECK(narcotic.oxygen_by == MixLimit::narcotic_depth);
    CHECK(narcotic.exact->nitrogen() <= 1e-12);
    CHECK(best_mix(at(3.0, 1.6)).mix->text() == "O2");
    CHECK(best_mix(at(3.0, 1.6)).oxygen_by == MixLimit::nothing);
    limits = at(300.0);
    limits.max_density = 5.2;
    const BestMix none = best_mix(limits);
    CHECK(!none.mix);
    CHECK(none.oxygen_by == MixLimit::density);
    CHECK(flat(none).find("No mix keeps these limits: the density") != std::string::npos);
  }

  TEST_CASE("hypoxic at the surface, and where it is not") {
    MixLimits limits = at(90.0);
    const BestMix lean = best_mix(limits);
    CHECK(lean.mix->text() == "13");
    CHECK(lean.hypoxic_at_surface());
    CHECK(off(in_metres(lean.shallowest()), (0.18 / 0.13 - 1.01325) * 10.0) <= 1e-9);
    CHECK(flat(lean).find("not to be breathed above 3.8 m") != std::string::npos);
    CHECK(!best_mix(at(57.0)).hypoxic_at_surface());
  }

  TEST_CASE("the change to the next gas in numbers") {
    // 18/45 to 50 %: nitrogen up by 13, helium down by 45, a fifth 9: beyond (derived from the
    // rule, which is general practice and secondary).
    const IsobaricChange change{Gas(0.5).nitrogen() - Gas(0.18, 0.45).nitrogen(), 0.45};
    CHECK(off(change.nitrogen_rise, 0.13) <= 1e-12);
    CHECK(off(change.allowed(), 0.09) <= 1e-12);
    CHECK(!change.within());
    // 18/45 to 25/25: helium down by 20, a fifth 4.
    const IsobaricChange less{0.13, 0.20};
    CHECK(off(less.allowed(), 0.04) <= 1e-12);
    CHECK(!less.within());
    CHECK(IsobaricChange{0.09, 0.45}.within());
    CHECK(!IsobaricChange{0.0901, 0.45}.within());
    CHECK(IsobaricChange{-0.1, -0.2}.within());
    MixLimits limits = at(57.0);
    limits.narcotic_depth = metres(30.0);
    limits.narcotic = Narcotic::nitrogen_and_oxygen;
    limits.next = Gas(0.5);
    const std::string text = flat(best_mix(limits));
    CHECK(text.find("beyond the rule of one fifth (common practice, no source") !=
          std::string::npos);
    CHECK(text.find("It does not make a dive safe") != std::string::npos);
  }

  TEST_CASE("what is out of range is refused by name") {
    const auto refuse = [](auto change) {
      MixLimits limits = at(57.0);
      change(limits);
      return refusal_of([&] { return best_mix(limits); });
    };
    using L = MixLimits&;
    const auto begins = [](const std::string& text, const std::string& start) {
      CAPTURE(text);
      CHECK(text.rfind(start, 0) == 0);
    };
    begins(refuse([](L l) { l.depth = Depth(); }), "depth is 0 m");
    begins(refuse([](L l) { l.depth = metres(400.0); }), "depth is 400 m");
    begins(refuse([](L l) { l.max_po2 = bar(14.0); }), "max_po2 is 14 bar");
    begins(refuse([](L l) { l.max_po2 = bar(std::numeric_limits<double>::quiet_NaN()); }),
           "max_po2 is not a number");
    begins(refuse([](L l) { l.min_po2 = bar(1.0); }), "min_po2 is 1 bar");
    begins(refuse([](L l) { l.narcotic_depth = metres(30.0); }), "narcotic is missing");
    begins(refuse([](L l) { l.narcotic = Narcotic::nitrogen; }), "narcotic is given without");
    begins(refuse([](L l) { l.max_density = -1.0; }), "max_density is -1 g/L");
    begins(refuse([](L l) { l.density_temperature = celsius(300.0); }), "density_temperature is");
  }
}

#include "support.hpp"

#include <upline/solver/loading.hpp>
#include <upline/tissue.hpp>

#include <algorithm>
#include <cmath>
#include <map>
#include <random>
#include <string>

// Sources: validation/data/segment_values.csv (mpmath at 50 digits), closed_form_cases.csv,
// worked_examples.csv; the update itself is Schreiner and Kelley 1971 (secondary), derived again in
// docs/theory.md.

namespace {

using namespace upline;
using support::off;
using support::Real;

constexpr double vapour = 0.0627;

/// A set whose compartments all have one rate, for rates that no published set has.
CompartmentSet set_of_rate(double k) {
  CompartmentSet set = compartment_set("ZH-L16C");
  set.nitrogen.rate.fill(k);
  set.helium.rate.fill(k);
  return set;
}

/// Half nitrogen, half helium and different in every compartment.
Tissues mixed_start() {
  Tissues tissues;
  for (std::size_t i = 0; i < compartment_count; ++i) {
    tissues.nitrogen[i] = 0.75 + 0.11 * static_cast<double>(i);
    tissues.helium[i] = 2.4 - 0.13 * static_cast<double>(i);
  }
  return tissues;
}

double largest_difference(const Tissues& x, const Tissues& y) {
  double largest = 0.0;
  for (std::size_t i = 0; i < compartment_count; ++i)
    largest = std::max({largest, off(x.nitrogen[i], y.nitrogen[i]), off(x.helium[i], y.helium[i])});
  return largest;
}

/// Tensions after a segment on a loop by the midpoint rule on the convolution integral; knows
/// nothing of where the clamps switch.
Tissues integrated(const Tissues& start, const CompartmentSet& set, const Segment& s,
                   const Loop& loop, int pieces) {
  const double inert = 1.0 - loop.diluent.oxygen;
  const double n2_share = inert > 0.0 ? loop.diluent.nitrogen() / inert : 0.0;
  const double he_share = inert > 0.0 ? loop.diluent.helium / inert : 0.0;
  const double h = s.minutes / pieces;
  Tissues end;
  for (std::size_t i = 0; i < compartment_count; ++i) {
    const double n2_k = std::log(2.0) / set.nitrogen.half_time[i];
    const double he_k = std::log(2.0) / set.helium.half_time[i];
    double n2_sum = 0.0;
    double he_sum = 0.0;
    // exp(-k (T - t)) by recurrence from the far end.
    double n2_weight = std::exp(-n2_k * h / 2.0);
    double he_weight = std::exp(-he_k * h / 2.0);
    for (int j = pieces; j-- > 0;) {
      const double t = (j + 0.5) * h;
      const double dry = s.pressure + s.rate * t - vapour;
      const double total =
          std::clamp(dry - loop.set_point, 0.0, std::max(0.0, dry * (1.0 - loop.diluent.oxygen)));
      n2_sum += total * n2_share * n2_weight;
      he_sum += total * he_share * he_weight;
      n2_weight *= std::exp(-n2_k * h);
      he_weight *= std::exp(-he_k * h);
    }
    end.nitrogen[i] = start.nitrogen[i] * std::exp(-n2_k * s.minutes) + n2_k * h * n2_sum;
    end.helium[i] = start.helium[i] * std::exp(-he_k * s.minutes) + he_k * h * he_sum;
  }
  return end;
}

} // namespace

TEST_SUITE("tissue") {
  TEST_CASE("one segment at 50 digits for k t from 0 to 1000") {
    for (const support::Record& row : support::table("segment_values")) {
      CAPTURE(row.text("case"));
      CAPTURE(row.text("kt"));
      const CompartmentSet set = set_of_rate(row.number("k_per_min"));
      const double fraction = row.number("fraction");
      const double start = row.number("start_bar");
      const double wanted = row.number("tension_bar");
      const Segment segment{row.number("minutes"), row.number("pressure_bar"),
                            row.number("pressure_rate_bar_per_min")};
      // The gas once as nitrogen, once as helium; the other inert gas fills the rest.
      Tissues as_nitrogen;
      as_nitrogen.nitrogen.fill(start);
      advance(as_nitrogen, set, segment, OpenCircuit{{0.0, 1.0 - fraction}},
              row.number("vapour_bar"));
      Tissues as_helium;
      as_helium.helium.fill(start);
      advance(as_helium, set, segment, OpenCircuit{{0.0, fraction}}, row.number("vapour_bar"));
      double worst = 0.0;
      for (std::size_t i = 0; i < compartment_count; ++i)
        worst = std::max(
            {worst, off(as_nitrogen.nitrogen[i], wanted), off(as_helium.helium[i], wanted)});
      CHECK(worst <= row.number("tol_bar"));
    }
  }

  TEST_CASE("short exposures from closed forms") {
    const Place place{1.0, 0.1, vapour};
    const CompartmentSet& five = compartment_set("ZH-L16C/5min");
    const Gas air;
    Tissues fast = equilibrium_with_air(place.surface, vapour);
    std::map<std::string, double> got{{"start", fast.nitrogen[0]}};
    advance(fast, five, Segment{1.5, place.pressure(0.0), 2.0}, OpenCircuit{air}, vapour);
    got["descent"] = fast.nitrogen[0];
    advance(fast, five, Segment{20.0, place.pressure(30.0), 0.0}, OpenCircuit{air}, vapour);
    got["bottom"] = fast.nitrogen[0];
    advance(fast, five, Segment{1.5, place.pressure(30.0), -1.0}, OpenCircuit{air}, vapour);
    got["ascent"] = fast.nitrogen[0];
    Tissues square = equilibrium_with_air(place.surface, vapour);
    advance(square, five, Segment{20.0, place.pressure(30.0), 0.0}, OpenCircuit{air}, vapour);
    got["square"] = square.nitrogen[1];
    Tissues trimix = equilibrium_with_air(place.surface, vapour);
    advance(trimix, five, Segment{15.0, place.pressure(60.0), 0.0}, OpenCircuit{Gas(0.18, 0.45)},
            vapour);
    got["helium"] = trimix.helium[1];
    got["nitrogen"] = trimix.nitrogen[1];
    int checked = 0;
    for (const support::Record& row : support::table("closed_form_cases")) {
      const auto value = got.find(row.text("case"));
      if (value == got.end()) continue; // tolerated pressures: test_limit.cpp
      CAPTURE(row.text("case"));
      CHECK(off(value->second, row.number("value_bar")) <= row.number("tol_bar"));
      ++checked;
    }
    CHECK(checked == 7);
  }

  TEST_CASE("the single compartment of an explanatory article") {
    for (const support::Record& row : support::table("worked_examples")) {
      if (row.text("case") != "article_tension") continue;
      CompartmentSet set = set_of_rate(std::log(2.0) / 27.0);
      Tissues tissues = equilibrium_with_air(1.0, 0.0);
      advance(tissues, set, Segment{10.0, 4.0, 0.0}, OpenCircuit{Gas()}, 0.0);
      CHECK(off(tissues.nitrogen[4], row.number("value")) <= row.number("tol"));
    }
  }

  TEST_CASE("no time changes nothing at all") {
    const CompartmentSet& set = compartment_set("ZH-L16C");
    const Tissues start = mixed_start();
    Tissues tissues = start;
    advance(tissues, set, Segment{0.0, 6.7, -0.9}, OpenCircuit{Gas(0.18, 0.45)}, vapour);
    CHECK(tissues == start);
    advance(tissues, set, Segment{0.0, 6.7, -0.9}, Loop{Gas(0.18, 0.45), 1.3}, vapour);
    CHECK(tissues == start);
    detail::Loading loading(set, Place{});
    loading.stay(tissues, Gas(0.5), 21.0, 0.0);
    loading.travel(tissues, Gas(0.5), 21.0, 21.0, 0.0);
    CHECK(tissues == start);
  }

  TEST_CASE("rest on air at the surface changes nothing and the start is what it says") {
    const CompartmentSet& set = compartment_set("ZH-L16C");
    const Tissues start = equilibrium_with_air(1.01325, vapour);
    CHECK(off(start.nitrogen[0], 0.79 * (1.01325 - vapour)) <= 1e-16);
    Tissues tissues = start;
    advance(tissues, set, Segment{600.0, 1.01325, 0.0}, OpenCircuit{Gas()}, vapour);
    CHECK(largest_difference(tissues, start) <= 2e-16);
  }

  TEST_CASE("a segment in two parts is the segment") {
    std::mt19937 random(11);
    std::uniform_real_distribution<double> unit(0.0, 1.0);
    const CompartmentSet& set = compartment_set("ZH-L16C");
    double worst = 0.0;
    constexpr int draws = 2000;
    for (int j = 0; j < draws; ++j) {
      const double minutes = std::pow(10.0, 6.0 * unit(random) - 3.0); // 0.001 to 1000
      const double from = 1.0 + 9.0 * unit(random);
      const double to = j % 3 == 0 ? from : 1.0 + 9.0 * unit(random);
      const double oxygen = unit(random);
      const OpenCircuit mix{{oxygen, (1.0 - oxygen) * unit(random)}};
      const Segment whole{minutes, from, (to - from) / minutes};
      const double share = unit(random);
      const Segment first{minutes * share, from, whole.rate};
      const Segment second{minutes - first.minutes, first.end_pressure(), whole.rate};
      Tissues once = mixed_start();
      advance(once, set, whole, mix, vapour);
      Tissues twice = mixed_start();
      advance(twice, set, first, mix, vapour);
      advance(twice, set, second, mix, vapour);
      worst = std::max(worst, largest_difference(once, twice));
    }
    CHECK(worst <= 1e-13 * 10.0); // of the largest term, 10 bar
  }

  TEST_CASE("the textbook form in long double agrees on whole profiles") {
    std::mt19937 random(12);
    std::uniform_real_distribution<double> unit(0.0, 1.0);
    const Place place{};
    double worst = 0.0;
    constexpr int draws = 200;
    for (int j = 0; j < draws; ++j) {
      const CompartmentSet& set = compartment_sets[static_cast<std::size_t>(j) % 6];
      Tissues tissues = equilibrium_with_air(place.surface, vapour);
      support::LongWalk replay(set, place, tissues);
      double depth = 0.0;
      constexpr int legs = 12;
      for (int leg = 0; leg < legs; ++leg) {
        const double next = leg % 2 == 0 ? 90.0 * unit(random) : depth;
        const double minutes = 0.01 + 40.0 * unit(random);
        const double oxygen = 0.1 + 0.9 * unit(random);
        const Gas gas(oxygen, (1.0 - oxygen) * unit(random));
        const Segment s{minutes, place.pressure(depth), (next - depth) * place.per_metre / minutes};
        advance(tissues, set, s, OpenCircuit{gas}, vapour);
        replay.move(gas, depth, next, minutes);
        depth = next;
      }
      for (std::size_t i = 0; i < compartment_count; ++i) {
        worst = std::max(worst,
                         static_cast<double>(off<Real>(tissues.nitrogen[i], replay.nitrogen(i))));
        worst =
            std::max(worst, static_cast<double>(off<Real>(tissues.helium[i], replay.helium(i))));
      }
    }
    CHECK(worst <= 1e-13 * 10.0);
  }

  TEST_CASE("stays and travel with remembered exponentials are the same update") {
    const CompartmentSet& set = compartment_set("ZH-L16B");
    Environment environment;
    environment.water_density = fresh_water;
    const Place place = environment.place();
    const Gas gas(0.18, 0.45);
    detail::Loading loading(set, place);
    double worst = 0.0;
    constexpr int rungs = 40; // more than it keeps room for, and some of them twice
    for (int j = 0; j < rungs; ++j) {
      const double from = 60.0 - j;
      const double minutes = 0.1 * (1 + j % 20);
      Tissues by_advance = mixed_start();
      advance(by_advance, set,
              Segment{minutes, place.pressure(from), -3.0 * place.per_metre / minutes},
              OpenCircuit{gas}, place.vapour);
      Tissues by_loading = mixed_start();
      loading.travel(by_loading, gas, from, from - 3.0, minutes);
      worst = std::max(worst, largest_difference(by_advance, by_loading));
      advance(by_advance, set, Segment{minutes, place.pressure(from - 3.0), 0.0}, OpenCircuit{gas},
              place.vapour);
      loading.stay(by_loading, gas, from - 3.0, minutes);
      worst = std::max(worst, largest_difference(by_advance, by_loading));
    }
    CHECK(worst <= 5e-14);
  }

  TEST_CASE("travel as a map chains") {
    const CompartmentSet& set = compartment_set("ZH-L16C");
    detail::Loading loading(set, Place{});
    const Gas gas(0.5);
    detail::TravelMap both;
    detail::TravelMap then;
    loading.set_map(both, gas, 21.0, 12.0, 1.0);
    loading.set_map(then, gas, 12.0, 9.0, 0.5);
    both.then(then);
    Tissues by_map;
    both.apply(mixed_start(), by_map);
    Tissues by_legs = mixed_start();
    loading.travel(by_legs, gas, 21.0, 12.0, 1.0);
    loading.travel(by_legs, gas, 12.0, 9.0, 0.5);
    CHECK(largest_difference(by_map, by_legs) <= 2e-15);
  }

  // Loop: inspired inert gas is clamp(p - vapour - set-point, 0, (p - vapour) (1 - f_O2)), this
  // project's definition, docs/theory.md.

  TEST_CASE("inspired inert gas on a loop is clamped on both sides") {
    const Loop loop{Gas(0.18, 0.45), 1.3};
    CHECK(inspired_inert(loop, 1.2, vapour) == 0.0); // all oxygen
    CHECK(off(inspired_inert(loop, 4.0, vapour), 4.0 - vapour - 1.3) <= 1e-15);
    const double deep = 10.0; // 18 % of it is more than the set-point
    CHECK(off(inspired_inert(loop, deep, vapour), (deep - vapour) * 0.82) <= 1e-14);
    CHECK(inspired_inert(loop, 0.05, vapour) == 0.0); // thinner than the vapour itself
  }

  TEST_CASE("a loop on ramps across both clamps agrees with a fine integration") {
    struct Case {
      std::string what;
      Loop loop;
      Segment segment;
    };
    const Gas trimix(0.18, 0.45);
    for (const Case& c : {
             Case{"down across both", {trimix, 1.3}, {8.0, 1.01325, 1.2}},
             Case{"up across both", {trimix, 1.3}, {10.0, 10.5, -0.94}},
             Case{"up across the upper", {trimix, 1.3}, {5.0, 9.0, -0.7}},
             Case{"up across the lower", {trimix, 0.7}, {5.0, 1.6, -0.14}},
             Case{"a stay between them", {trimix, 1.3}, {30.0, 5.0, 0.0}},
             Case{"a stay below", {trimix, 1.3}, {30.0, 1.2, 0.0}},
             Case{"a stay above", {trimix, 1.3}, {30.0, 9.5, 0.0}},
             Case{"a border at the start", {trimix, 1.3}, {5.0, 1.3 + vapour, 0.4}},
             Case{"pure oxygen as diluent", {Gas(1.0), 1.3}, {8.0, 1.01325, 1.2}},
             Case{"no oxygen in the diluent", {{0.0, 1.0}, 1.3}, {8.0, 1.01325, 1.2}},
             Case{"a set-point of nothing", {trimix, 0.0}, {8.0, 1.01325, 1.2}},
         }) {
      CAPTURE(c.what);
      const CompartmentSet& set = compartment_set("ZH-L16C");
      Tissues exact = mixed_start();
      advance(exact, set, c.segment, c.loop, vapour);
      const auto pieces = static_cast<int>(c.segment.minutes / 5e-4);
      const Tissues numeric = integrated(mixed_start(), set, c.segment, c.loop, pieces);
      // Midpoint rule with h = 5e-4 min: (k h)^2 / 24 is 2e-9 of 10 bar in the fastest compartment.
      CHECK(largest_difference(exact, numeric) <= 3e-8);
      CHECK(largest_difference(exact, mixed_start()) > 1e-3);
    }
  }

  TEST_CASE("the integration it is compared with converges to it") {
    const CompartmentSet& set = compartment_set("ZH-L16C");
    const Loop loop{Gas(0.18, 0.45), 1.3};
    const Segment up{10.0, 10.5, -0.94};
    Tissues exact = mixed_start();
    advance(exact, set, up, loop, vapour);
    const double coarse = largest_difference(exact, integrated(mixed_start(), set, up, loop, 1000));
    const double fine = largest_difference(exact, integrated(mixed_start(), set, up, loop, 16000));
    CHECK(fine < coarse / 100.0); // 256 for a second-order rule on a smooth integrand
  }

  TEST_CASE("a loop segment in two parts is the segment") {
    const CompartmentSet& set = compartment_set("ZH-L16C");
    const Loop loop{Gas(0.18, 0.45), 1.3};
    const Segment whole{10.0, 10.5, -0.94};
    Tissues once = mixed_start();
    advance(once, set, whole, loop, vapour);
    for (const double share : {0.01, 0.3, 0.355, 0.5, 0.97}) {
      CAPTURE(share);
      const Segment first{whole.minutes * share, whole.pressure, whole.rate};
      Tissues twice = mixed_start();
      advance(twice, set, first, loop, vapour);
      advance(twice, set, Segment{whole.minutes - first.minutes, first.end_pressure(), whole.rate},
              loop, vapour);
      CHECK(largest_difference(once, twice) <= 1e-13);
    }
  }

  TEST_CASE("either way of breathing goes through one call") {
    const CompartmentSet& set = compartment_set("ZH-L16C");
    const Segment s{7.0, 5.0, -0.3};
    const OpenCircuit open{Gas(0.18, 0.45)};
    const Loop loop{Gas(0.18, 0.45), 1.3};
    Tissues direct = mixed_start();
    advance(direct, set, s, open, vapour);
    Tissues chosen = mixed_start();
    advance(chosen, set, s, Breathing{open}, vapour);
    CHECK(chosen == direct);
    direct = mixed_start();
    advance(direct, set, s, loop, vapour);
    chosen = mixed_start();
    advance(chosen, set, s, Breathing{loop}, vapour);
    CHECK(chosen == direct);
  }
}

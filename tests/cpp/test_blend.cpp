#include "support.hpp"

#include <upline/blend.hpp>
#include <upline/blend_text.hpp>
#include <upline/real_gas.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <map>
#include <optional>
#include <random>
#include <set>
#include <string>
#include <utility>
#include <vector>

// Sources: validation/data/blending_examples.csv, each row with its own. The rest is conservation
// of moles, and a fill made a second time here from the readings of the sheet alone.

namespace {

using namespace upline;
using support::off;

const StationGas helium = StationGas::helium();
const StationGas oxygen{Gas(1.0)};
const StationGas air{Gas()};

/// A cylinder of the Quince Blossom's station (invented), at 20 degrees C.
Cylinder holding(const char* mix, double pressure, double degrees = 20.0) {
  return {water_litres(12.0), bar_gauge(pressure), Gas::parse(mix), celsius(degrees), 2};
}

FillOrder asked(const Cylinder& cylinder, const char* target, double pressure,
                std::vector<BankGas> gases) {
  return {.cylinder = cylinder,
          .target = Gas::parse(target),
          .pressure = bar_gauge(pressure),
          .gases = std::move(gases)};
}

FillOrder at_inlet(const Cylinder& cylinder, const char* target, double pressure,
                   std::vector<BankGas> gases, double limit) {
  FillOrder order = asked(cylinder, target, pressure, std::move(gases));
  order.method = BlendMethod::at_inlet;
  order.inlet_limit = limit;
  return order;
}

/// Oxygen, helium and all of it [mol].
using Held = std::array<double, 3>;

Held of(const BasicGas<double>& gas, double amount) {
  return {gas.oxygen * amount, gas.helium * amount, amount};
}

/// What is in the cylinder once each gas has been filled to its reading, found by halving with the
/// public equation of state alone.
BasicGas<double> filled(const FillOrder& order, const FillSheet& sheet) {
  const double volume = in_water_litres(order.cylinder.water_volume());
  const Temperature cold = order.cylinder.temperature();
  const Temperature warm = order.filling_temperature.value_or(cold);
  const Gas& left = order.cylinder.gas();
  Held inside = of(left, volume * molar_density(left, absolute(sheet.start), cold));
  for (const Addition& one : sheet.additions) {
    const auto after = [&](double x) {
      const Held more = of(one.gas.fractions(), x);
      return Held{inside[0] + more[0], inside[1] + more[1], inside[2] + more[2]};
    };
    double low = 0.0;
    double high = 2.0 * volume * 20.0;
    for (int j = 0; j < 200; ++j) {
      const double middle = (low + high) / 2.0;
      const Held then = after(middle);
      const BasicGas<double> mix{then[0] / then[2], then[1] / then[2]};
      // Amount at the reading, were the mix this: more than there is while too little was added.
      const double room = volume * molar_density(mix, absolute(one.to), warm);
      (room > then[2] ? low : high) = middle;
    }
    inside = after((low + high) / 2.0);
  }
  return {inside[0] / inside[2], inside[1] / inside[2]};
}

void check_conserves(const FillSheet& sheet, const Gas& left) {
  Held sum = of(left, in_moles(sheet.residual));
  for (const Addition& one : sheet.additions) {
    CHECK(in_moles(one.amount) > 0.0);
    const Held more = of(one.gas.fractions(), in_moles(one.amount));
    for (std::size_t j = 0; j < 3; ++j) sum[j] += more[j];
  }
  const double all = in_moles(sheet.amount);
  const Held wanted = of(sheet.mix, all);
  for (std::size_t j = 0; j < 3; ++j) CHECK(off(sum[j], wanted[j]) <= 1e-12 * all);
}

void check_sheet(const FillOrder& order, const FillSheet& sheet, const BasicGas<double>& target) {
  check_conserves(sheet, order.cylinder.gas());
  CHECK(off(sheet.mix.oxygen, target.oxygen) <= 1e-9);
  CHECK(off(sheet.mix.helium, target.helium) <= 1e-9);
  const BasicGas<double> analysed = filled(order, sheet);
  CHECK(off(analysed.oxygen, target.oxygen) <= 1e-9);
  CHECK(off(analysed.helium, target.helium) <= 1e-9);
  // The amount is what the cylinder holds of the mix at the pressure.
  const double holds =
      in_water_litres(order.cylinder.water_volume()) *
      molar_density(sheet.mix, absolute(sheet.pressure), order.cylinder.temperature());
  CHECK(off(in_moles(sheet.amount), holds) <= 1e-11 * holds);
}

struct Drawn {
  FillOrder order;
  double least = 0.0; // smallest part of a gas
};

/// An order that can be met: the target is made of what is drawn.
Drawn drawn(std::mt19937& random) {
  std::uniform_real_distribution<double> unit(0.0, 1.0);
  const double share = 0.04 + 0.96 * unit(random);
  const Gas left(share, random() % 2 == 0 ? 0.0 : (1.0 - share) * unit(random));
  const double start = random() % 4 == 0 ? 0.0 : 120.0 * unit(random);
  const double degrees = 50.0 * unit(random);
  const Cylinder cylinder(water_litres(1.0 + 20.0 * unit(random)), bar_gauge(start), left,
                          celsius(degrees), 1 + static_cast<int>(random() % 2));
  const std::array<StationGas, 5> tops{air, StationGas(Gas(0.32)), StationGas(Gas(0.36)),
                                       StationGas(Gas(0.18, 0.45)), StationGas(Gas(0.25, 0.25))};
  std::vector<BankGas> gases{{helium}, {oxygen}, {tops[random() % tops.size()]}};
  std::shuffle(gases.begin(), gases.end(), random);
  const std::array<double, 3> weights{unit(random) + 0.02, unit(random) + 0.02,
                                      unit(random) + 0.02};
  const double sum = weights[0] + weights[1] + weights[2];
  const double pressure = start + 20.0 + (280.0 - start) * unit(random);
  // A part of the final moles, roughly; the target is made exact by the fractions themselves.
  const double kept = (start + 1.0) / (pressure + 1.0) * 0.5;
  double o = kept * left.oxygen;
  double h = kept * left.helium;
  for (std::size_t j = 0; j < 3; ++j) {
    o += (1.0 - kept) * weights[j] / sum * gases[j].gas.fractions().oxygen;
    h += (1.0 - kept) * weights[j] / sum * gases[j].gas.fractions().helium;
  }
  return {{.cylinder = cylinder,
           .target = Gas(std::clamp(o, 0.04, 1.0), std::min(h, 1.0 - std::clamp(o, 0.04, 1.0))),
           .pressure = bar_gauge(pressure),
           .gases = gases}};
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

bool says(const Blend& b, ObstacleCode code) {
  return std::any_of(b.obstacles.begin(), b.obstacles.end(),
                     [&](const Obstacle& one) { return one.code == code; });
}

const Alternative* instead(const Blend& b, Instead kind) {
  for (const Alternative& one : b.alternatives)
    if (one.kind == kind) return &one;
  return nullptr;
}

} // namespace

TEST_SUITE("blend") {
  TEST_CASE("every fill conserves moles, and its own readings make the target") {
    std::mt19937 random(20261125);
    int reached = 0;
    int bled = 0;
    for (int j = 0; j < 400; ++j) {
      const Drawn d = drawn(random);
      CAPTURE(j);
      const Blend b = blend(d.order);
      if (b.sheet) {
        ++reached;
        check_sheet(d.order, *b.sheet, d.order.target);
      } else {
        CHECK(!b.obstacles.empty());
      }
      for (const Alternative& one : b.alternatives) {
        check_conserves(one.sheet, d.order.cylinder.gas());
        if (one.kind == Instead::nearest_mix) continue;
        ++bled;
        check_sheet(d.order, one.sheet, d.order.target);
        CHECK(one.sheet.start < d.order.cylinder.pressure());
      }
    }
    CHECK(reached > 200);
    CHECK(bled > 10);
  }

  TEST_CASE("the order of the gases moves the readings and not the amounts") {
    std::mt19937 random(7);
    int moved = 0;
    for (int j = 0; j < 100; ++j) {
      Drawn d = drawn(random);
      const Blend first = blend(d.order);
      std::map<std::string, double> amounts;
      if (first.sheet)
        for (const Addition& one : first.sheet->additions)
          amounts[one.gas.spoken()] = in_moles(one.amount);
      for (int k = 0; k < 3; ++k) {
        std::rotate(d.order.gases.begin(), d.order.gases.begin() + 1, d.order.gases.end());
        const Blend again = blend(d.order);
        REQUIRE(again.reachable() == first.reachable());
        if (!again.sheet) continue;
        const double all = in_moles(again.sheet->amount);
        REQUIRE(again.sheet->additions.size() == amounts.size());
        for (const Addition& one : again.sheet->additions)
          CHECK(off(in_moles(one.amount), amounts.at(one.gas.spoken())) <= 1e-12 * all);
        if (again.sheet->additions.front().to != first.sheet->additions.front().to) ++moved;
      }
    }
    CHECK(moved > 50);
  }

  TEST_CASE("half oxygen to 200 bar: by the ideal law it ends about 1 point high") {
    // Computed beside this library from tabulated compressibility, and kept as a figure of the
    // trade: "about 1 point". To half of its last digit.
    const Blend b = blend(asked(holding("air", 0.0), "50", 200.0, {{oxygen}, {air}}));
    REQUIRE(b.sheet);
    REQUIRE(b.sheet->ideal_gives);
    const double points = (b.sheet->ideal_gives->oxygen - 0.5) * 100.0;
    CHECK(points > 0.5);
    CHECK(points < 1.5);
    CHECK(off(points, 1.16) <= 0.005); // of this library's own making, as docs/theory.md prints
    CHECK(*b.sheet->additions.front().ideal_to > b.sheet->additions.front().to);
  }

  TEST_CASE("every fill worked by hand is met by the ideal readings") {
    int rows = 0;
    for (const support::Record& row : support::table("blending_examples")) {
      CAPTURE(row.text("target"));
      CAPTURE(row.text("gas"));
      const bool metric = row.text("unit") == "bar";
      const double unit = metric ? 1.0 : bar_per_psi;
      const double a = row.number("air_oxygen");
      const Gas target = Gas::parse(row.text("target"));
      const double start = row.number("start");
      const double end = row.number("pressure");
      const double r = row.number("start_oxygen");
      // What is added of a gas, from pressures that count as amounts.
      const auto by_hand = [&](double from, double to) {
        const double he = target.helium * to;
        const double o2 = (target.oxygen * to - r * from - a * (to - from - he)) / (1.0 - a);
        if (row.text("gas") == "helium") return he;
        return row.text("gas") == "oxygen" ? o2 : to - from - he - o2;
      };
      const double printed = row.number("added");
      const double known = row.has("known_off") ? row.number("known_off") : 0.0;
      CHECK(off(by_hand(start, end), printed + known) <=
            (row.has("known_off") ? 0.005 : row.number("tol")));
      const Blend b = blend({.cylinder = Cylinder(water_litres(12.0), GaugePressure(start * unit),
                                                  Gas(r), celsius(20.0)),
                             .target = target,
                             .pressure = GaugePressure(end * unit),
                             .gases = {{helium}, {oxygen}, {Gas(a)}}});
      REQUIRE(b.sheet);
      std::optional<double> added;
      GaugePressure from(start * unit);
      for (const Addition& one : b.sheet->additions) {
        const std::string name = one.gas == StationGas(Gas(a)) ? "air" : one.gas.spoken();
        if (name == row.text("gas")) added = in_bar_gauge(*one.ideal_to - from) / unit;
        from = *one.ideal_to;
      }
      REQUIRE(added);
      const double atmosphere = bar_per_atmosphere / unit;
      CHECK(off(*added, by_hand(start + atmosphere, end + atmosphere)) <= 1e-9 * end);
      ++rows;
    }
    CHECK(rows == 9);
    // 50 bar of 32 % to 200 bar of 36 %: topped with 37 %, printed whole (secondary).
    const Blend top = blend(at_inlet(holding("32", 50.0), "36", 200.0, {{air}, {oxygen}}, 0.4));
    REQUIRE(top.sheet);
    CHECK(off(top.sheet->additions.front().gas.fractions().oxygen, 0.37) <= 0.005);
  }

  TEST_CASE("a bank mix on top, a residual of any mix, and a warm fill") {
    FillOrder order = asked(holding("21/35", 70.0), "23/25", 220.0, {{helium}, {Gas(0.32)}, {air}});
    order.filling_temperature = celsius(38.0);
    const Blend b = blend(order);
    REQUIRE(b.sheet);
    check_sheet(order, *b.sheet, order.target);
    CHECK(b.sheet->additions.back().to > bar_gauge(230.0));
    CHECK(b.sheet->additions.front().from > bar_gauge(74.0));
    // Once it has cooled, the gauge reads what was asked for.
    const Cylinder warm(water_litres(12.0), b.sheet->additions.back().to, order.target,
                        celsius(38.0), 2);
    CHECK(off(in_bar_gauge(warm.at_temperature(celsius(20.0)).pressure()), 220.0) <= 1e-9);
  }

  TEST_CASE("at the inlet: one mix, its parts, and the limit at, below and above") {
    const auto order = [](double limit) {
      return at_inlet(holding("air", 50.0), "32", 200.0, {{oxygen}, {air}}, limit);
    };
    const Blend b = blend(order(0.4));
    REQUIRE(b.sheet);
    check_sheet(order(0.4), *b.sheet, Gas(0.32));
    REQUIRE(b.sheet->inlet);
    const double needed = b.sheet->additions.front().gas.fractions().oxygen;
    CHECK(needed > 0.35);
    CHECK(off(0.21 * b.sheet->inlet->air + b.sheet->inlet->oxygen, needed) <= 1e-12);
    CHECK(blend(order(needed + 1e-9)).reachable());
    const Blend less = blend(order(needed - 1e-6));
    CHECK(!less.reachable());
    CHECK(says(less, ObstacleCode::inlet_limit));
    REQUIRE(instead(less, Instead::nearest_mix));
    const FillSheet& near = instead(less, Instead::nearest_mix)->sheet;
    CHECK(off(near.additions.front().gas.fractions().oxygen, needed - 1e-6) <= 1e-12);
    CHECK(near.mix.oxygen < 0.32);
    // With helium, where the limit cuts a corner off.
    const FillOrder trimix =
        at_inlet(holding("air", 0.0), "50/30", 200.0, {{air}, {helium}, {oxygen}}, 0.4);
    const Blend cut = blend(trimix);
    CHECK(says(cut, ObstacleCode::inlet_limit));
    REQUIRE(instead(cut, Instead::nearest_mix));
    const BasicGas<double> most =
        instead(cut, Instead::nearest_mix)->sheet.additions.front().gas.fractions();
    CHECK(off(most.oxygen, 0.4) <= 1e-12);
    const FillOrder lean =
        at_inlet(holding("32", 30.0), "18/45", 200.0, {{air}, {helium}, {oxygen}}, 0.4);
    const Blend mixed = blend(lean);
    REQUIRE(mixed.sheet);
    check_sheet(lean, *mixed.sheet, lean.target);
    const InletFlow& flow = *mixed.sheet->inlet;
    CHECK(off(flow.air + flow.oxygen + flow.helium, 1.0) <= 1e-12);
    CHECK(flow.oxygen >= 0.0);
  }

  TEST_CASE("a residual too rich is bled: as far as it is enough, and no further") {
    const FillOrder order = asked(holding("50", 150.0), "32", 200.0, {{oxygen}, {air}});
    const Blend b = blend(order);
    CHECK(!b.reachable());
    CHECK(says(b, ObstacleCode::residual_holds_too_much));
    const Alternative* bleed = instead(b, Instead::bleed);
    REQUIRE(bleed);
    CHECK(!bleed->keep);
    check_sheet(order, bleed->sheet, order.target);
    const auto after = [&](double change) {
      FillOrder other = order;
      other.cylinder =
          order.cylinder.at_pressure(bar_gauge(in_bar_gauge(bleed->sheet.start) + change));
      return blend(other).reachable();
    };
    CHECK(after(-1e-6));
    CHECK(!after(1e-6));
    CHECK(instead(b, Instead::nearest_mix)->sheet.mix.oxygen > 0.32);
    // Helium inside that the target has not got: no bleeding down to gauge 0 takes it all out.
    const Blend none = blend(asked(holding("18/45", 60.0), "32", 200.0, {{oxygen}, {air}}));
    CHECK(says(none, ObstacleCode::residual_holds_too_much));
    CHECK(none.obstacles.front().component == Component::helium);
    CHECK(!instead(none, Instead::bleed));
    REQUIRE(instead(none, Instead::nearest_mix));
    CHECK(instead(none, Instead::nearest_mix)->sheet.mix.helium > 0.05);
  }

  TEST_CASE("helium that only the residual has: bled to one pressure, no more and no less") {
    const FillOrder order = asked(holding("18/45", 180.0), "25/25", 220.0, {{oxygen}, {air}});
    const Blend b = blend(order);
    CHECK(!b.reachable());
    const Alternative* bleed = instead(b, Instead::bleed);
    REQUIRE(bleed);
    REQUIRE(bleed->keep);
    CHECK(off(in_bar_gauge(*bleed->keep), in_bar_gauge(bleed->sheet.start)) <= 1e-6);
    check_sheet(order, bleed->sheet, order.target);
    CHECK(alternative_text(*bleed, b, Units::metric).find("exactly, because") != std::string::npos);
  }

  TEST_CASE("no room, nothing to add, and a bank without helium") {
    const Blend full = blend(asked(holding("32", 200.0), "32", 180.0, {{oxygen}, {air}}));
    CHECK(says(full, ObstacleCode::residual_too_full));
    REQUIRE(instead(full, Instead::bleed));
    CHECK(off(in_bar_gauge(instead(full, Instead::bleed)->sheet.start), 180.0) <= 1e-6);
    const Blend there = blend(asked(holding("32", 200.0), "32", 200.0, {{oxygen}, {air}}));
    REQUIRE(there.sheet);
    CHECK(there.sheet->additions.empty());
    const Blend lacks = blend(asked(holding("air", 0.0), "18/45", 200.0, {{oxygen}, {air}}));
    CHECK(says(lacks, ObstacleCode::station_lacks));
    REQUIRE(instead(lacks, Instead::nearest_mix));
    CHECK(instead(lacks, Instead::nearest_mix)->sheet.mix.helium == 0.0);
    const Blend rich = blend(asked(holding("air", 0.0), "28", 200.0, {{Gas(0.32)}}));
    CHECK(says(rich, ObstacleCode::station_holds_too_much));
    // A lean bank mix and helium hold every share needed, but not together.
    const Blend apart =
        blend(asked(holding("air", 0.0), "40/20", 200.0, {{Gas(0.5)}, {Gas(0.18, 0.45)}}));
    CHECK(!apart.reachable());
    CHECK(!apart.obstacles.empty());
  }

  TEST_CASE("the nearest mix is not beaten by any other fill") {
    std::mt19937 random(11);
    std::uniform_real_distribution<double> unit(0.0, 1.0);
    int tried = 0;
    double least = 2.0; // distance of another fill over that of the answer
    for (int j = 0; j < 800; ++j) {
      FillOrder order = drawn(random).order;
      const double oxygen_wanted = 0.05 + 0.95 * unit(random);
      order.target = Gas(oxygen_wanted, (1.0 - oxygen_wanted) * unit(random));
      const Blend b = blend(order);
      if (!instead(b, Instead::nearest_mix)) continue;
      ++tried;
      const FillSheet& near = instead(b, Instead::nearest_mix)->sheet;
      const auto miss = [&](const BasicGas<double>& got) {
        return std::hypot(got.oxygen - order.target.oxygen, got.helium - order.target.helium);
      };
      const double volume = in_water_litres(order.cylinder.water_volume());
      const Gas& left = order.cylinder.gas();
      for (int k = 0; k < 60; ++k) {
        // On the edges as often as inside.
        std::array<double, 3> parts{unit(random), unit(random), unit(random)};
        if (k % 2 == 0) parts[static_cast<std::size_t>(k / 2) % 3] = 0.0;
        const double sum = parts[0] + parts[1] + parts[2];
        BasicGas<double> added{0.0, 0.0};
        for (std::size_t g = 0; g < 3; ++g) {
          added.oxygen += parts[g] / sum * order.gases[g].gas.fractions().oxygen;
          added.helium += parts[g] / sum * order.gases[g].gas.fractions().helium;
        }
        BasicGas<double> mixed = near.mix;
        for (int round = 0; round < 12; ++round) { // the amount depends a little on the mix
          const double part =
              in_moles(near.residual) / (volume * molar_density(mixed, absolute(order.pressure),
                                                                order.cylinder.temperature()));
          mixed.oxygen = part * left.oxygen + (1.0 - part) * added.oxygen;
          mixed.helium = part * left.helium + (1.0 - part) * added.helium;
        }
        // The share of what is left moves a little with the density of the mix, which is not
        // minimised over: docs/theory.md states one per cent of the distance.
        least = std::min(least, (miss(mixed) + 1e-9) / (miss(near.mix) + 1e-9));
      }
    }
    CHECK(tried > 300);
    CHECK(least >= 0.99);
    CHECK(least <= 1.05); // and others come near
  }

  TEST_CASE("banks that read too little: another order, else a lower pressure") {
    const std::vector<BankGas> low{{air, bar_gauge(230.0)}, {oxygen, bar_gauge(100.0)}};
    const FillOrder order = asked(holding("air", 0.0), "50", 200.0, low);
    const Blend b = blend(order);
    CHECK(says(b, ObstacleCode::bank_pressure));
    const Alternative* turned = instead(b, Instead::other_order);
    REQUIRE(turned);
    CHECK(turned->sheet.additions.front().gas == oxygen);
    check_sheet(order, turned->sheet, order.target);
    const FillOrder poor =
        asked(holding("air", 0.0), "80", 200.0, {{oxygen, bar_gauge(100.0)}, {air}});
    const Alternative* lower = nullptr;
    const Blend less = blend(poor);
    lower = instead(less, Instead::lower_pressure);
    REQUIRE(lower);
    check_sheet(poor, lower->sheet, poor.target);
    CHECK(off(in_bar_gauge(lower->sheet.additions.front().to), 100.0) <= 1e-6);
    // At the bank's reading it is still possible, above it not.
    FillOrder just = poor;
    just.pressure = lower->sheet.pressure;
    CHECK(blend(just).reachable());
    just.pressure = lower->sheet.pressure + bar_gauge(0.001);
    CHECK(!blend(just).reachable());
  }

  TEST_CASE("what is out of range is refused by name") {
    const Cylinder empty = holding("air", 0.0);
    const auto refuse = [&](auto change) {
      FillOrder order = asked(empty, "32", 200.0, {{oxygen}, {air}});
      change(order);
      return refusal_of([&] { return blend(order); });
    };
    using Order = FillOrder&;
    const auto begins = [](const std::string& text, const std::string& start) {
      return text.rfind(start, 0) == 0;
    };
    CHECK(begins(refuse([](Order o) { o.pressure = bar_gauge(-5.0); }), "pressure is -5 bar"));
    CHECK(begins(refuse([](Order o) { o.pressure = bar_gauge(400.0); }), "pressure is 400 bar"));
    CHECK(begins(
        refuse([](Order o) { o.pressure = bar_gauge(std::numeric_limits<double>::quiet_NaN()); }),
        "pressure is not a number"));
    CHECK(begins(refuse([](Order o) { o.gases.clear(); }), "gases is 0 gases"));
    CHECK(begins(refuse([](Order o) {
                   o.gases = {{air}, {oxygen}, {helium}, {Gas(0.32)}};
                 }),
                 "gases is 4 gases"));
    CHECK(begins(refuse([](Order o) { o.gases = {{air}, {air}}; }), "gases is air named twice"));
    CHECK(begins(refuse([](Order o) {
                   o.gases = {{air}, {Gas(0.32)}, {oxygen}};
                 }),
                 "gases is air, 32 % and oxygen, one of which"));
    CHECK(begins(refuse([](Order o) { o.gases[0].pressure = bar_gauge(-1.0); }),
                 "bank pressure is -1 bar"));
    CHECK(begins(refuse([](Order o) { o.tolerance = 1.0; }), "tolerance is 1;"));
    CHECK(begins(refuse([](Order o) { o.filling_temperature = celsius(90.0); }),
                 "filling_temperature is 90"));
    CHECK(begins(refuse([](Order o) { o.inlet_limit = 0.4; }), "inlet_limit is given for"));
    CHECK(begins(refuse([](Order o) { o.method = BlendMethod::at_inlet; }),
                 "inlet_limit is missing"));
    CHECK(begins(refuse([](Order o) {
                   o.method = BlendMethod::at_inlet;
                   o.inlet_limit = 1.4;
                 }),
                 "inlet_limit is 1.4"));
    CHECK(begins(refuse([](Order o) {
                   o.method = BlendMethod::at_inlet;
                   o.inlet_limit = 0.4;
                   o.gases = {{Gas(0.32)}, {oxygen}};
                 }),
                 "gases is not air and oxygen"));
    CHECK(begins(refuse([](Order o) {
                   o.pressure = bar_gauge(340.0);
                   o.filling_temperature = celsius(45.0);
                 }),
                 "pressure at the filling temperature is"));
    CHECK(begins(refusal_of([] { return StationGas::parse("1"); }), "gas is \"1\""));
    CHECK(StationGas::parse(" Helium ") == helium);
    CHECK(StationGas::parse("O2").spoken() == "oxygen");
  }

  TEST_CASE("the text says what is asked, what to watch, and what it is not") {
    FillOrder order = asked(holding("32", 60.0), "18/45", 232.0, {{helium}, {oxygen}, {air}});
    const Blend b = blend(order);
    const std::string text = blend_text(b, Units::metric);
    const auto holds = [&](const std::string& part) {
      CAPTURE(part);
      CHECK(text.find(part) != std::string::npos);
    };
    holds("18/45 to 232 bar into 2 x 12 L from 60 bar of 32 %");
    holds("No tolerance was stated");
    holds("whether it reads enough is unknown");
    holds("40 % (46 CFR 197.326)");
    holds("Arithmetic for qualified blenders. Analyse every fill before it is labelled");
    holds("It does not make a dive safe");
    order.tolerance = 0.01;
    CHECK(blend_text(blend(order), Units::metric).find("17.0 to 19.0 % oxygen") !=
          std::string::npos);
    CHECK(blend_text(b, Units::imperial).find("psi") != std::string::npos);
    CHECK(blend_title(b, Units::imperial).find(" bar") == std::string::npos);
  }
}

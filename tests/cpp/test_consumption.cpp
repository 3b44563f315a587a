#include "support.hpp"

#include <upline/consumption.hpp>
#include <upline/consumption_text.hpp>

#include <algorithm>
#include <cmath>
#include <limits>
#include <random>
#include <string>
#include <vector>

// The sums are arithmetic: a breathing rate times pressure times minutes, and a balance. What a
// cylinder holds is checked in test_supply.cpp.

namespace {

using namespace upline;
using support::off;

/// Ada's rates (invented).
const BreathingRates rates{litres_per_minute(20.0), litres_per_minute(15.0),
                           litres_per_minute(40.0)};

Cylinder cylinder(const char* mix, double each, double pressure, int joined = 1) {
  return {water_litres(each), bar_gauge(pressure), Gas::parse(mix), celsius(10.0), joined};
}

DiverSupply ada() {
  return {
      "Ada",
      rates,
      {cylinder("18/45", 12.0, 200.0, 2), cylinder("50", 7.0, 180.0), cylinder("O2", 5.0, 150.0)}};
}

Plan quince_plan() {
  Rules rules = support::quince_rules();
  rules.rmv = rates.working;
  rules.deco_rmv = rates.resting;
  return plan(support::quince(), rules);
}

double total(const std::vector<Litres>& parts) {
  double sum = 0.0;
  for (const Litres part : parts) sum += in_litres(part);
  return sum;
}

/// Every litre that is breathed comes out of a cylinder or is missing, row by row and altogether.
void check_balance(const Consumption& c) {
  double all = 0.0;
  for (const RowUse& row : c.rows) {
    CHECK(off(total(row.taken) + in_litres(row.short_by), in_litres(row.volume)) <= 1e-9);
    all += in_litres(row.volume);
  }
  CHECK(off(all, in_litres(c.volume())) <= 1e-9);
  for (std::size_t j = 0; j < c.supply.cylinders.size(); ++j) {
    const Cylinder& one = c.supply.cylinders[j];
    const double gone = in_litres(one.content()) - in_litres(one.content_at(c.left_in(j)));
    CHECK(off(gone, in_litres(c.taken_from(j))) <= 1e-9 * in_litres(one.content()) + 1e-9);
  }
}

/// The text with its lines joined.
std::string unbroken(std::string text) {
  std::replace(text.begin(), text.end(), '\n', ' ');
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

TEST_SUITE("consumption") {
  TEST_CASE("litres per gas are the plan's own, and the balance closes") {
    const Plan p = quince_plan();
    const Consumption c = consumption(p, ada());
    REQUIRE(c.rows.size() == p.rows.size());
    REQUIRE(p.gas.size() == 3);
    for (std::size_t j = 0; j < 3; ++j) {
      CHECK(off(in_litres(c.taken_from(j)), in_litres(*p.gas[j].volume)) <= 1e-9);
      double bar_minutes = 0.0;
      for (std::size_t k = 0; k < c.rows.size(); ++k)
        if (p.rows[k].gas == p.gas[j].gas) bar_minutes += c.rows[k].bar_minutes;
      CHECK(off(bar_minutes, p.gas[j].bar_minutes) <= 1e-9);
    }
    CHECK(c.closes());
    CHECK(in_litres(c.short_by()) == 0.0);
    check_balance(c);
  }

  TEST_CASE("the balance closes over drawn dives and supplies") {
    std::mt19937 random(20261126);
    std::uniform_real_distribution<double> unit(0.0, 1.0);
    int short_of = 0;
    for (int j = 0; j < 40; ++j) {
      const double depth = 20.0 + 35.0 * unit(random);
      const Plan p = plan(
          support::single_level(depth, depth / 18.0 + 5.0 + 20.0 * unit(random), {"21/35", "50"}),
          support::bare_rules(0.4, 0.8));
      DiverSupply supply{"Ben", rates, {}};
      for (int k = 0; k < 2; ++k) {
        supply.cylinders.push_back(cylinder("21/35", 12.0, 230.0 * unit(random)));
        supply.cylinders.push_back(cylinder("50", 7.0, 200.0 * unit(random)));
      }
      std::optional<Minutes> stress;
      if (random() % 2 == 0) stress = minutes(in_minutes(p.run_time) * unit(random));
      const Consumption c = consumption(p, supply, stress);
      check_balance(c);
      CHECK(c.closes() == (in_litres(c.short_by()) == 0.0));
      short_of += c.closes() ? 0 : 1;
    }
    CHECK(short_of > 5);
    CHECK(short_of < 35);
  }

  TEST_CASE("gauges only fall, and only that of the gas breathed") {
    const Plan p = quince_plan();
    const Consumption c = consumption(p, ada());
    for (std::size_t k = 0; k < c.rows.size(); ++k)
      for (std::size_t j = 0; j < 3; ++j) {
        const GaugePressure before =
            k == 0 ? c.supply.cylinders[j].pressure() : c.rows[k - 1].left[j];
        if (c.supply.cylinders[j].gas() == p.rows[k].gas)
          CHECK(c.rows[k].left[j] < before);
        else
          CHECK(c.rows[k].left[j] == before);
      }
  }

  TEST_CASE("stress counts from its moment on, also within a row") {
    const Plan p = quince_plan();
    const auto volume = [&](std::optional<Minutes> from) {
      return in_litres(consumption(p, ada(), from).volume());
    };
    const double calm = volume({});
    CHECK(volume(p.run_time) == calm);
    double bar_minutes = 0.0;
    for (const GasUse& use : p.gas) bar_minutes += use.bar_minutes;
    CHECK(off(volume(minutes(0.0)), 40.0 * bar_minutes) <= 1e-9);
    // Ten minutes before the bottom is left, at 57 m, the way up then at the stress rate as well.
    const double pressure = 1.01325 + 5.7;
    double up = 0.0;
    for (const GasUse& use : p.gas) up += use.bar_minutes - use.bar_minutes_at_bottom;
    CHECK(off(volume(minutes(15.0)) - calm, 10.0 * pressure * 20.0 + up * 25.0) <= 1e-9);
    // One minute into the descent: the mean of the pressures at 18 m and at 57 m, 39 m of 18 m/min.
    const double middle = 1.01325 + (1.8 + 5.7) / 2.0;
    const double descent = 39.0 / 18.0 * middle;
    const double bottom = (25.0 - 57.0 / 18.0) * pressure;
    CHECK(off(volume(minutes(1.0)) - calm, (descent + bottom) * 20.0 + up * 25.0) <= 1e-9);
    // Over all of it, no moment takes more than an earlier one.
    double before = volume(minutes(0.0));
    for (double t = 0.5; t < in_minutes(p.run_time); t += 0.5) {
      const double now = volume(minutes(t));
      CHECK(now < before);
      before = now;
    }
  }

  TEST_CASE("cylinders of one mix are emptied in their order") {
    const Plan p = quince_plan();
    DiverSupply supply = ada();
    supply.cylinders.insert(supply.cylinders.begin(), cylinder("18/45", 3.0, 200.0));
    const Consumption c = consumption(p, supply);
    CHECK(c.closes());
    check_balance(c);
    // The first gives until it is down to the pressure of the water at 57 m, and again what that
    // leaves where the water is shallower, the last time on leaving 24 m.
    CHECK(off(in_bar_gauge(c.rows[1].left[0]), 5.7) <= 1e-9);
    CHECK(off(in_bar_gauge(c.left_in(0)), 2.4) <= 1e-9);
    CHECK(c.taken_from(1) < consumption(p, ada()).taken_from(0));
    const auto head = consumption_table(c, p).front();
    CHECK(head[4] == "left in 18/45 (1)");
    CHECK(head[5] == "left in 18/45 (2)");
    CHECK(head[6] == "left in 50 %");
    CHECK(off(in_litres(c.taken_from(0)) + in_litres(c.taken_from(1)),
              in_litres(*p.gas[0].volume)) <= 1e-9);
  }

  TEST_CASE("what no cylinder gives is missing, and said") {
    const Plan p = quince_plan();
    DiverSupply supply = ada();
    supply.cylinders[1] = cylinder("50", 7.0, 40.0);
    const Consumption c = consumption(p, supply);
    CHECK_FALSE(c.closes());
    REQUIRE(c.first_short());
    CHECK(p.rows[*c.first_short()].gas == Gas::parse("50"));
    check_balance(c);
    const double usable = in_litres(supply.cylinders[1].content());
    CHECK(in_litres(c.short_by()) > in_litres(*p.gas[1].volume) - usable - 1e-9);
    CHECK(unbroken(consumption_text(c, p)).find("This dive does not close on what is carried.") !=
          std::string::npos);
    // An empty cylinder gives nothing; all of its gas is missing.
    supply.cylinders[1] = cylinder("50", 7.0, 0.0);
    CHECK(off(in_litres(consumption(p, supply).short_by()), in_litres(*p.gas[1].volume)) <= 1e-9);
  }

  TEST_CASE("1 % more than it takes is enough, 1 % less is not") {
    const Plan p = quince_plan();
    // Oxygen is breathed from 6 m up, so that 0.6 bar stay in its cylinder.
    const Cylinder oxygen = cylinder("O2", 5.0, 150.0);
    const Litres stays = oxygen.content_at(bar_gauge(0.6));
    const auto closes = [&](double share) {
      DiverSupply supply = ada();
      supply.cylinders[2] =
          oxygen.at_pressure(oxygen.pressure_for(stays + share * *p.gas[2].volume));
      return consumption(p, supply).closes();
    };
    CHECK(closes(1.01));
    CHECK_FALSE(closes(0.99));
  }

  TEST_CASE("the text rounds against the diver and carries the caution") {
    const Plan p = quince_plan();
    const Consumption c = consumption(p, ada());
    const std::string text = unbroken(consumption_text(c, p));
    CHECK(text.starts_with("Gas of Ada "));
    const std::string left = std::to_string(std::lround(std::floor(in_bar_gauge(c.left_in(0)))));
    CHECK(text.find("2 x 12 L of 18/45: 3586 L taken, 200 to " + left + " bar") !=
          std::string::npos); // 3585.25 L
    CHECK(text.find("That is no approval: nothing is kept in reserve here") != std::string::npos);
    CHECK(text.find("Have a second person recompute it before it is dived.") != std::string::npos);
    CHECK(text.find("20 L/min until the bottom is left, 15 from then on; the stress rate of 40 "
                    "L/min is not used, because no stress_from is given.") != std::string::npos);
    const std::string stressed =
        unbroken(consumption_text(consumption(p, ada(), minutes(20.0)), p));
    CHECK(stressed.find("40 from run time 20 on") != std::string::npos);
    const auto table = consumption_table(c, p);
    REQUIRE(table.size() == p.rows.size() + 2);
    for (std::size_t k = 0; k < p.rows.size(); ++k) {
      REQUIRE(table[k + 2].size() == 7);
      const double shown = std::stod(table[k + 2][3]);
      const double volume = in_litres(c.rows[k].volume);
      CHECK(shown >= volume - 2e-6);
      CHECK(shown < volume + 1.0);
      for (std::size_t j = 0; j < 3; ++j)
        CHECK(std::stod(table[k + 2][4 + j]) <= in_bar_gauge(c.rows[k].left[j]) + 2e-6);
    }
  }

  TEST_CASE("an unknown rate and a gas without a cylinder are refused") {
    const Plan p = quince_plan();
    const auto refused = [&](const BreathingRates& r) {
      DiverSupply supply = ada();
      supply.rates = r;
      return refusal_of([&] { return consumption(p, supply); });
    };
    const BreathingRate no_rate = litres_per_minute(std::numeric_limits<double>::quiet_NaN());
    CHECK(refused({litres_per_minute(0.0), rates.resting, rates.stress})
              .starts_with("working is 0 L/min (0 cu ft/min); allowed: 1 L/min"));
    CHECK(refused({rates.working, no_rate, rates.stress}).starts_with("resting is not a number"));
    CHECK(refused({rates.working, rates.resting, litres_per_minute(201.0)})
              .starts_with("stress is 201 L/min"));
    CHECK(refused({rates.working, rates.resting, litres_per_minute(10.0)})
              .starts_with("stress is 10 L/min (0.35 cu ft/min); allowed: no less than"));
    DiverSupply supply = ada();
    supply.cylinders.front() = cylinder("18/45", 80.0, 200.0);
    CHECK(refusal_of([&] {
            return consumption(p, supply);
          }).starts_with("water_volume of a diver's cylinder is 80 L"));
    for (const double degrees : {-13.0, 46.0}) {
      supply.cylinders.front() =
          Cylinder(water_litres(12.0), bar_gauge(200.0), Gas::parse("18/45"), celsius(degrees), 2);
      CHECK(refusal_of([&] {
              return consumption(p, supply);
            }).starts_with("temperature of a diver's cylinder is "));
    }
    supply = ada();
    supply.cylinders.pop_back();
    CHECK(refusal_of([&] { return consumption(p, supply); }) ==
          "cylinders is given without one of oxygen; allowed: at least one for each gas that the "
          "plan breathes: 18/45, 50 %, oxygen. Remedy: add a cylinder of oxygen, or plan without "
          "that gas.");
    supply.cylinders.assign(21, cylinder("18/45", 12.0, 200.0));
    CHECK(refusal_of([&] {
            return consumption(p, supply);
          }).starts_with("cylinders is 21; allowed: up to 20"));
    for (const double t : {-1.0, 1000.0, std::numeric_limits<double>::quiet_NaN()})
      CHECK(refusal_of([&] {
              return consumption(p, ada(), minutes(t));
            }).starts_with("stress_from "));
  }
}

#include "support.hpp"

#include <upline/cascade.hpp>
#include <upline/cascade_text.hpp>
#include <upline/real_gas.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <random>
#include <string>
#include <vector>

// No published example of a cascade was found. What is checked is conservation of moles with the
// public equation of state, equal pressures, and the ideal count, which is school arithmetic.

namespace {

using namespace upline;
using support::off;

Cylinder holding(double volume, const char* mix, double pressure, double degrees = 20.0) {
  return {water_litres(volume), bar_gauge(pressure), Gas::parse(mix), celsius(degrees)};
}

Bank bank(double volume, double pressure) { return {water_litres(volume), bar_gauge(pressure)}; }

double moles(const Cylinder& one, GaugePressure reads) {
  return in_water_litres(one.water_volume()) *
         molar_density(one.gas(), absolute(reads), one.temperature());
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

TEST_SUITE("cascade") {
  TEST_CASE("moles are conserved, and a bank stops at the cylinder's pressure") {
    std::mt19937 random(20261125);
    std::uniform_real_distribution<double> unit(0.0, 1.0);
    int equal = 0;
    int full = 0;
    for (int j = 0; j < 60; ++j) {
      const char* mix = j % 3 == 0 ? "O2" : j % 3 == 1 ? "18/45" : "32";
      const double degrees = 5.0 + 30.0 * unit(random);
      std::vector<Cylinder> banks;
      CascadeOrder order{.gas = Gas::parse(mix),
                         .banks = {},
                         .cylinder = holding(12.0, mix, 60.0 * unit(random), degrees),
                         .pressure = bar_gauge(100.0 + 100.0 * unit(random))};
      for (int k = 0; k < 3; ++k) {
        order.banks.push_back(bank(20.0 + 40.0 * unit(random), 250.0 * unit(random)));
        banks.push_back(holding(in_water_litres(order.banks.back().water_volume), mix,
                                in_bar_gauge(order.banks.back().pressure), degrees));
      }
      const Cascade c = cascade(order);
      REQUIRE(!c.fills.empty());
      CHECK(c.full == static_cast<int>(c.fills.size()) - (c.goes_on ? 0 : 1));
      std::vector<GaugePressure> before;
      for (const Cylinder& one : banks) before.push_back(one.pressure());
      for (const CascadeFill& fill : c.fills) {
        double given = 0.0;
        for (const BankFlow& flow : fill.flows) {
          const Cylinder& one = banks[flow.bank];
          const double left = moles(one, before[flow.bank]) - moles(one, flow.bank_reads);
          CHECK(off(left, in_moles(flow.moved)) <= 1e-10 * moles(one, one.pressure()));
          given += in_moles(flow.moved);
          const double apart = in_bar_gauge(flow.bank_reads - flow.cylinder_reads);
          if (in_moles(flow.moved) > 0.0) {
            const bool level = std::abs(apart) <= 1e-9;
            const bool done =
                off(in_bar_gauge(flow.cylinder_reads), in_bar_gauge(order.pressure)) <= 1e-9;
            CHECK((level || (done && apart > 0.0)));
            equal += static_cast<int>(level);
            full += static_cast<int>(done);
          } else {
            CHECK(apart <= 1e-9 + (fill.full ? 1e9 : 0.0));
          }
          before[flow.bank] = flow.bank_reads;
        }
        const double taken =
            moles(order.cylinder, fill.reached) - moles(order.cylinder, order.cylinder.pressure());
        CHECK(off(given, taken) <= 1e-10 * moles(order.cylinder, fill.reached));
        CHECK(fill.full == (in_bar_gauge(order.pressure - fill.reached) <= 1e-8));
      }
    }
    CHECK(equal > 20);
    CHECK(full > 20);
  }

  TEST_CASE("by the ideal law the count is what is reckoned by hand") {
    // 50 L at 200 bar into 10 L from 0 to 100 bar: each takes 1000 bar L, 20 bar of the bank, and
    // the bank has to read 100 at the end: 200, 180, 160, 140, 120, 100: five.
    const Cascade c = cascade({.gas = Gas(0.32),
                               .banks = {bank(50.0, 200.0)},
                               .cylinder = holding(10.0, "32", 0.0),
                               .pressure = bar_gauge(100.0)});
    CHECK(c.ideal_full == 5);
    // One bar more to fill to, and the fifth is not full.
    const Cascade more = cascade({.gas = Gas(0.32),
                                  .banks = {bank(50.0, 200.0)},
                                  .cylinder = holding(10.0, "32", 0.0),
                                  .pressure = bar_gauge(101.0)});
    CHECK(more.ideal_full == 4);
  }

  TEST_CASE("the low bank first gives more fills than the high bank first") {
    const Bank high = bank(50.0, 220.0);
    const Bank low = bank(50.0, 120.0);
    const auto fills = [&](const Bank& first, const Bank& second) {
      return cascade({.gas = Gas(0.32),
                      .banks = {first, second},
                      .cylinder = holding(12.0, "32", 30.0),
                      .pressure = bar_gauge(150.0)});
    };
    const Cascade rising = fills(low, high);
    const Cascade falling = fills(high, low);
    CHECK(rising.full > falling.full);
    CHECK(rising.full >= 3);
    CHECK(!rising.fills.back().full);
  }

  TEST_CASE("what is left of another mix is told in the mix") {
    const Cascade c = cascade({.gas = Gas(1.0),
                               .banks = {bank(50.0, 200.0)},
                               .cylinder = holding(12.0, "50", 40.0),
                               .pressure = bar_gauge(150.0)});
    CHECK(c.fills.front().mix.oxygen > 0.8);
    CHECK(c.fills.front().mix.oxygen < 0.9);
    CHECK(c.fills.front().mix.helium == 0.0);
    const Cascade helium = cascade({.gas = StationGas::helium(),
                                    .banks = {bank(50.0, 200.0), bank(50.0, 150.0)},
                                    .cylinder = holding(24.0, "32", 60.0),
                                    .pressure = bar_gauge(150.0)});
    CHECK(helium.fills.front().full);
    CHECK(helium.fills.front().mix.helium > 0.5);
  }

  TEST_CASE("a large bank is counted to the end of counting") {
    const Cascade c = cascade({.gas = Gas(0.32),
                               .banks = std::vector<Bank>(12, bank(500.0, 300.0)),
                               .cylinder = holding(3.0, "32", 140.0),
                               .pressure = bar_gauge(150.0)});
    CHECK(c.goes_on);
    CHECK(c.full == most_fills);
    CHECK(cascade_text(c, Units::metric).find("at least 200 fills") != std::string::npos);
  }

  TEST_CASE("what is out of range is refused by name") {
    const CascadeOrder fine{.gas = Gas(0.32),
                            .banks = {bank(50.0, 200.0)},
                            .cylinder = holding(12.0, "32", 0.0),
                            .pressure = bar_gauge(180.0)};
    const auto refuse = [&](auto change) {
      CascadeOrder order = fine;
      change(order);
      return refusal_of([&] { return cascade(order); });
    };
    using Order = CascadeOrder&;
    const auto begins = [](const std::string& text, const std::string& start) {
      CAPTURE(text);
      CHECK(text.rfind(start, 0) == 0);
    };
    begins(refuse([](Order o) { o.banks.clear(); }), "banks is 0 banks");
    begins(refuse([](Order o) { o.banks.assign(13, o.banks.front()); }), "banks is 13 banks");
    begins(refuse([](Order o) { o.banks.push_back(bank(50.0, -1.0)); }), "bank pressure is -1 bar");
    begins(refuse([](Order o) { o.banks.push_back(bank(5000.0, 200.0)); }), "banks is 5000 L");
    begins(refuse([](Order o) { o.pressure = bar_gauge(500.0); }), "pressure is 500 bar");
    begins(refuse([](Order o) { o.cylinder = holding(12.0, "32", 190.0); }), "pressure is 180 bar");
  }
}

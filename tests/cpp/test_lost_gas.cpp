#include "lost_gas_again.hpp"
#include "support.hpp"

#include <upline/contingency.hpp>
#include <upline/lost_gas.hpp>
#include <upline/lost_gas_text.hpp>

#include <algorithm>
#include <cmath>
#include <limits>
#include <random>
#include <string>
#include <vector>

// The second implementation is in lost_gas_again.hpp.

namespace {

using namespace upline;
using support::off;

Cylinder cylinder(const char* mix, double each, double pressure, int joined = 1) {
  return {water_litres(each), bar_gauge(pressure), Gas::parse(mix), celsius(10.0), joined};
}

/// Invented rates.
BreathingRates rates(double working, double resting, double stress) {
  return {litres_per_minute(working), litres_per_minute(resting), litres_per_minute(stress)};
}

/// Ada, Ben and Cleo (invented).
std::vector<DiverSupply> team() {
  const auto diver = [](const char* name, const BreathingRates& r, double twin) {
    return DiverSupply{name,
                       r,
                       {cylinder("18/45", twin, 200.0, 2), cylinder("50", 7.0, 180.0),
                        cylinder("O2", 5.0, 150.0)}};
  };
  return {diver("Ada", rates(20.0, 15.0, 40.0), 12.0), diver("Ben", rates(22.0, 16.0, 45.0), 12.0),
          diver("Cleo", rates(16.0, 13.0, 35.0), 10.0)};
}

std::vector<DiverSupply> ada() { return {team().front()}; }

Rules rules(double last_stop = 6.0) {
  Rules rules{.factors = GradientFactors(0.4, 0.8)};
  rules.ladder.last_stop = metres(last_stop);
  return rules;
}

Plan quince() { return plan(support::quince(), rules()); }

LossRules asked(double every = 1.0, std::vector<Depth> last_stops = {metres(3.0)}) {
  return {.stress_for = minutes(5.0),
          .last_stops = std::move(last_stops),
          .every = minutes(every / 60.0)};
}

Closure at(const LostCylinders& loss, double t) {
  for (const ClosureSpan& span : loss.spans)
    if (t >= in_minutes(span.from) - 1e-9 && t <= in_minutes(span.to) + 1e-9) return span.closure;
  throw std::runtime_error("no span holds this moment");
}

/// Holds every loss at every moment against brute force; how many answers of each kind there were.
std::array<int, 4> compare(const Plan& p, const std::vector<DiverSupply>& divers,
                           const LossRules& how) {
  const LostGas found = lost_gas(p, divers, how);
  const again::BruteForce brute(p, divers, how);
  std::array<int, 4> seen{};
  int wrong = 0;
  for (int j = 1; j * in_minutes(how.every) < in_minutes(p.run_time) - 1e-9; ++j) {
    const double t = j * in_minutes(how.every);
    for (const LostCylinders& loss : found.losses) {
      const Closure wanted = brute.closure(t, loss.diver, loss.cylinders);
      const Closure got = at(loss, t);
      ++seen[static_cast<std::size_t>(wanted)];
      if (got == wanted) continue;
      ++wrong;
      if (wrong < 5) {
        CAPTURE(t);
        CAPTURE(loss.diver);
        CAPTURE(loss.cylinders.size());
        CAPTURE(loss.cylinders.front());
        CHECK(std::string(closure_name(got)) == closure_name(wanted));
      }
    }
  }
  CHECK(wrong == 0);
  return seen;
}

const LostCylinders& loss_of(const LostGas& found, const std::vector<std::size_t>& cylinders,
                             std::size_t diver = 0) {
  for (const LostCylinders& loss : found.losses)
    if (loss.diver == diver && loss.cylinders == cylinders) return loss;
  throw std::runtime_error("no such loss");
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

std::string unbroken(std::string text) {
  std::replace(text.begin(), text.end(), '\n', ' ');
  std::string once;
  for (const char c : text)
    if (c != ' ' || once.empty() || once.back() != ' ') once += c;
  return once;
}

} // namespace

TEST_SUITE("lost gas") {
  TEST_CASE("closure is that of brute force at every second: Ada alone") {
    const auto seen = compare(quince(), ada(), asked(1.0));
    CHECK(seen[static_cast<std::size_t>(Closure::own)] > 1000);
    CHECK(seen[static_cast<std::size_t>(Closure::unknown)] > 1000);
  }

  TEST_CASE("closure is that of brute force: the team") {
    const auto seen = compare(quince(), team(), asked(20.0));
    CHECK(seen[static_cast<std::size_t>(Closure::own)] > 100);
    CHECK(seen[static_cast<std::size_t>(Closure::shared)] > 100);
    CHECK(seen[static_cast<std::size_t>(Closure::no)] > 100);
  }

  TEST_CASE("closure is that of brute force: levels, two cylinders of one mix, rounded stays") {
    Dive dive;
    dive.levels = {{metres(38.0), minutes(15.0)},
                   {metres(24.0), minutes(20.0)},
                   {metres(30.0), minutes(35.0)}};
    dive.gases = {"28", "50"};
    Rules how = rules(3.0);
    how.rounding = Rounding::duration;
    how.min_stop = minutes(2.0);
    const std::vector<DiverSupply> two{
        {"Ada",
         rates(20.0, 15.0, 40.0),
         {cylinder("28", 12.0, 210.0), cylinder("28", 12.0, 190.0), cylinder("50", 7.0, 120.0)}},
        {"Ben",
         rates(22.0, 16.0, 45.0),
         {cylinder("28", 12.0, 220.0, 2), cylinder("50", 7.0, 190.0)}}};
    const auto seen = compare(plan(dive, how), two, asked(15.0, {metres(6.0)}));
    for (const Closure one : {Closure::own, Closure::shared, Closure::no})
      CHECK(seen[static_cast<std::size_t>(one)] > 10);
  }

  TEST_CASE("closure is that of brute force: travel gas, hypoxic bottom gas") {
    for (const bool among_gases : {true, false}) {
      CAPTURE(among_gases);
      Dive dive = support::single_level(66.0, 15.0, {"12/60", "50", "O2"});
      dive.travel = TravelGas{Gas::parse(among_gases ? "50" : "32"), metres(17.0)};
      const Plan p = plan(dive, rules());
      std::vector<DiverSupply> two{{"Ada",
                                    rates(20.0, 15.0, 40.0),
                                    {cylinder("12/60", 12.0, 220.0, 2), cylinder("50", 11.0, 180.0),
                                     cylinder("O2", 7.0, 180.0)}}};
      if (!among_gases) two[0].cylinders.push_back(cylinder("32", 11.0, 200.0));
      two.push_back(two.front());
      two[1].name = "Ben";
      const auto seen = compare(p, two, asked(20.0));
      for (const Closure one : {Closure::own, Closure::shared, Closure::no})
        CHECK(seen[static_cast<std::size_t>(one)] > 10);
    }
  }

  TEST_CASE("closure is that of brute force: feet") {
    Rules how = Rules::imperial(GradientFactors(0.4, 0.8));
    Dive dive;
    dive.levels = {{feet(190.0), minutes(25.0)}};
    dive.gases = {"18/45", "50", "O2"};
    how.ladder.last_stop = feet(20.0);
    const auto seen = compare(plan(dive, how), ada(), asked(20.0, {feet(10.0)}));
    CHECK(seen[static_cast<std::size_t>(Closure::own)] > 50);
    CHECK(seen[static_cast<std::size_t>(Closure::unknown)] > 50);
  }

  TEST_CASE(
      "closure is that of brute force: drawn dives, some with too little gas from the start") {
    std::mt19937 random(20261125);
    std::uniform_real_distribution<double> unit(0.0, 1.0);
    std::array<int, 4> all{};
    for (int j = 0; j < 12; ++j) {
      CAPTURE(j);
      const double depth = 25.0 + 30.0 * unit(random);
      Rules how = j % 3 == 0 ? support::bare_rules(0.3, 0.85) : rules(j % 2 == 0 ? 3.0 : 6.0);
      const Plan p = plan(support::single_level(depth, depth / 18.0 + 5.0 + 20.0 * unit(random),
                                                {"21/35", "50", "O2"}),
                          how);
      std::vector<DiverSupply> divers;
      for (int d = 0; d < 1 + j % 3; ++d) {
        DiverSupply one{"", rates(15.0 + 10.0 * unit(random), 12.0 + 6.0 * unit(random), 45.0), {}};
        one.cylinders = {cylinder("21/35", 12.0, 80.0 + 150.0 * unit(random), 2),
                         cylinder("50", 7.0, 200.0 * unit(random)),
                         cylinder("O2", 5.0, 200.0 * unit(random))};
        if (j % 4 == 1) one.cylinders.push_back(cylinder("50", 3.0, 200.0 * unit(random)));
        divers.push_back(one);
      }
      const auto seen = compare(p, divers, asked(45.0, {metres(4.5)}));
      for (std::size_t k = 0; k < all.size(); ++k) all[k] += seen[k];
    }
    for (const int count : all) CHECK(count > 20);
  }

  TEST_CASE("on leaving the bottom the ascent is that of a contingency") {
    const Plan p = quince();
    for (const auto& [cylinders, mixes] :
         {std::pair(std::vector<std::size_t>{1}, std::vector<Gas>{Gas::parse("50")}),
          std::pair(std::vector<std::size_t>{1, 2},
                    std::vector<Gas>{Gas::parse("50"), Gas::parse("O2")})}) {
      const LostGas found = lost_gas(p, ada(), asked(60.0, {}));
      const LostCylinders& loss = loss_of(found, cylinders);
      REQUIRE(loss.own_worst);
      REQUIRE(loss.own_worst->at == p.bottom_time);
      const auto one = contingencies(p, {Deviation{.lost = mixes}}).front();
      REQUIRE(one.plan);
      REQUIRE(loss.own_worst->stops.size() == one.plan->stops.size());
      for (std::size_t j = 0; j < one.plan->stops.size(); ++j) {
        CHECK(loss.own_worst->stops[j].depth == one.plan->stops[j].depth);
        CHECK(off(in_minutes(loss.own_worst->stops[j].departs),
                  in_minutes(one.plan->stops[j].departs)) <= 1e-9);
      }
      CHECK(off(in_minutes(loss.own_worst->time_to_surface),
                in_minutes(one.plan->time_to_surface())) <= 1e-9);
      CHECK(off(loss.own_worst->cns, one.plan->oxygen.cns_total) <= 1e-9);
    }
  }

  TEST_CASE("another last stop is taken where it is the better one") {
    const LostGas six = lost_gas(quince(), ada(), asked(60.0, {}));
    const LostGas either = lost_gas(quince(), ada(), asked(60.0));
    const LossMoment& deep = *loss_of(six, {1, 2}).own_worst;
    const LossMoment& shallow = *loss_of(either, {1, 2}).own_worst;
    CHECK(deep.last_stop == metres(6.0));
    CHECK(shallow.last_stop == metres(3.0));
    CHECK(in_minutes(deep.time_to_surface) / in_minutes(shallow.time_to_surface) > 1.7);
    CHECK(deep.short_by() > shallow.short_by());
  }

  TEST_CASE("the reserve that would make it close does, one per cent less does not") {
    std::mt19937 random(5);
    std::uniform_real_distribution<double> unit(0.0, 1.0);
    int tried = 0;
    for (int j = 0; j < 10; ++j) {
      const double depth = 45.0 + 12.0 * unit(random);
      const Plan p = plan(
          support::single_level(depth, 15.0 + 10.0 * unit(random), {"18/45", "50", "O2"}), rules());
      std::vector<DiverSupply> one = ada();
      one[0].cylinders[0] = cylinder("18/45", 18.0, 130.0 + 60.0 * unit(random), 2);
      one[0].cylinders[1] = cylinder("50", 11.0, 60.0 + 60.0 * unit(random));
      if (j % 2 == 0) one[0].cylinders.push_back(cylinder("50", 7.0, 180.0));
      const LossRules how = asked(45.0);
      const LostGas found = lost_gas(p, one, how);
      for (const LostCylinders& loss : found.losses) {
        if (loss.reserves.size() != 1) continue;
        const GasReserve& reserve = loss.reserves.front();
        CAPTURE(j);
        CAPTURE(in_minutes(reserve.at));
        // So much more in the cylinders from the beginning is so much more at the moment.
        const auto with = [&](double volume) {
          std::vector<DiverSupply> more = one;
          double content = 0.0;
          for (const std::size_t k : reserve.cylinders)
            content += in_litres(more[0].cylinders[k].content());
          const double share = (content + volume - in_litres(reserve.there)) / content;
          for (const std::size_t k : reserve.cylinders) {
            const Cylinder& c = more[0].cylinders[k];
            more[0].cylinders[k] = c.at_pressure(c.pressure_for(c.content() * share));
          }
          return at(loss_of(lost_gas(p, more, how), loss.cylinders), in_minutes(reserve.at));
        };
        try {
          CHECK(with(in_litres(reserve.volume) * (1.0 + 1e-9)) == Closure::own);
        } catch (const InvalidInput&) {
          continue; // the cylinders cannot hold it from the beginning
        }
        CHECK(with(in_litres(reserve.volume) * 0.99) == Closure::unknown);
        ++tried;
      }
    }
    CHECK(tried >= 10);
  }

  TEST_CASE("filled as asked for, a loss closes at every moment; one per cent less does not") {
    const Plan p = quince();
    const std::vector<DiverSupply> as_filled = ada();
    const LostGas found = lost_gas(p, as_filled, asked(10.0));
    for (const std::vector<std::size_t>& lost :
         {std::vector<std::size_t>{1}, std::vector<std::size_t>{2}}) {
      const LostCylinders& loss = loss_of(found, lost);
      REQUIRE(loss.reserves.size() == 1);
      CHECK(loss.reserves_close);
      const GasReserve& reserve = loss.reserves.front();
      REQUIRE(reserve.cylinders.size() == 1);
      REQUIRE(reserve.fill_pressure);
      CHECK(reserve.filled > reserve.volume);
      const auto closes = [&](double share) {
        std::vector<DiverSupply> more = as_filled;
        Cylinder& one = more[0].cylinders[reserve.cylinders.front()];
        one = one.at_pressure(one.pressure_for(reserve.filled * share));
        return loss_of(lost_gas(p, more, asked(10.0)), lost).closes();
      };
      CHECK(closes(1.0 + 1e-9));
      CHECK_FALSE(closes(0.99));
    }
  }

  TEST_CASE("the bottom gas lost at depth leaves nothing to breathe") {
    const LostGas alone = lost_gas(quince(), ada(), asked(10.0));
    const LostCylinders& loss = loss_of(alone, {0});
    REQUIRE(loss.own_worst);
    CHECK(loss.own_worst->reason == "nothing that may be breathed at 57 m is left");
    CHECK(loss.own_worst->stops.empty());
    CHECK_FALSE(loss.reserves_close);
    CHECK(at(loss, 20.0) == Closure::unknown);
    const LostGas shared = lost_gas(quince(), team(), asked(10.0));
    CHECK(at(loss_of(shared, {0}), 15.0) == Closure::shared);
  }

  TEST_CASE("a hypoxic gas alone does not lead to the surface") {
    Dive dive = support::single_level(66.0, 15.0, {"12/60", "50", "O2"});
    dive.travel = TravelGas{Gas::parse("50"), metres(17.0)};
    const Plan p = plan(dive, rules());
    const std::vector<DiverSupply> one{{"Ada",
                                        rates(20.0, 15.0, 40.0),
                                        {cylinder("12/60", 18.0, 230.0, 2),
                                         cylinder("50", 12.0, 200.0), cylinder("O2", 7.0, 180.0)}}};
    const LostCylinders loss = loss_of(lost_gas(p, one, asked(30.0)), {1, 2});
    REQUIRE(loss.own_worst);
    // 0.16 bar of 12 % are 1.333 bar, at 3.2 m
    CHECK(loss.own_worst->reason == "no breathable gas above 4 m");
    CHECK(loss.own_worst->depth == metres(66.0));
    CHECK(at(loss, 10.0) == Closure::unknown);
  }

  TEST_CASE("a cylinder lost is no gas lost where another of the mix is left") {
    std::vector<DiverSupply> one = ada();
    one[0].cylinders.push_back(cylinder("50", 7.0, 180.0));
    const LostGas found = lost_gas(quince(), one, asked(30.0));
    CHECK(found.losses.size() == 10);
    CHECK(loss_of(found, {1}).closes());
    CHECK_FALSE(loss_of(found, {1, 3}).closes());
    CHECK(support::holds(lost_gas_text(found, quince()), "50 % (1) and 50 % (2)"));
  }

  TEST_CASE("gas that is missing before a loss never closes") {
    std::vector<DiverSupply> one = ada();
    one[0].cylinders[0] = cylinder("18/45", 10.0, 150.0, 2);
    const LostGas found = lost_gas(quince(), one, asked(30.0));
    REQUIRE_FALSE(consumption(quince(), one[0]).closes());
    for (const LostCylinders& loss : found.losses) {
      CHECK(at(loss, 60.0) == Closure::unknown);
      CHECK_FALSE(loss.closes());
    }
  }

  TEST_CASE("what a loss costs in oxygen is said where it is above the limit") {
    Rules how = rules();
    how.max_deco_po2 = bar(1.6);
    const Plan p = plan(support::single_level(57.0, 45.0, {"18/45", "50", "O2"}), how);
    std::vector<DiverSupply> one = ada();
    one[0].cylinders[0] = cylinder("18/45", 40.0, 230.0, 2);
    const LostGas found = lost_gas(p, one, asked(120.0, {}));
    const LostCylinders& loss = loss_of(found, {1});
    CHECK(loss.highest_cns > 1.0);
    const std::string text = unbroken(lost_gas_text(found, p));
    CHECK(support::holds(text, "above 100 % of the single-exposure limits"));
    REQUIRE(loss.own_worst);
    CHECK(loss.own_worst->cns > 1.0);
    CHECK_FALSE(loss.own_worst->refusals.empty());
  }

  TEST_CASE("what is printed says first what does not close, and carries the caution") {
    const Plan p = quince();
    const std::string text = unbroken(lost_gas_text(lost_gas(p, team(), asked(30.0)), p));
    CHECK(text.find("Does not close") < text.find("own gas closes until"));
    CHECK(support::holds(text, "the time to pass one over is not counted"));
    CHECK(support::holds(text, "It does not make a dive safe"));
    CHECK(support::holds(text, "lost every 30 s"));
    const std::string alone = unbroken(lost_gas_text(lost_gas(p, ada(), asked(30.0)), p));
    CHECK(support::holds(alone, "on shared gas unknown, nobody else is given"));
    CHECK(support::holds(alone, "no amount closes every moment"));
  }

  TEST_CASE("spans cover every moment tried, in order") {
    const LostGas found = lost_gas(quince(), team(), asked(30.0));
    for (const LostCylinders& loss : found.losses) {
      CHECK(loss.spans.front().from == minutes(0.5));
      for (std::size_t j = 1; j < loss.spans.size(); ++j) {
        CHECK(loss.spans[j - 1].to < loss.spans[j].from);
        CHECK(loss.spans[j - 1].closure != loss.spans[j].closure);
      }
      if (loss.own_until) CHECK(at(loss, in_minutes(*loss.own_until)) == Closure::own);
    }
  }

  TEST_CASE("what cannot be used is named") {
    const Plan p = quince();
    const auto refused = [&](const std::vector<DiverSupply>& divers, const LossRules& how) {
      return refusal_of([&] { return lost_gas(p, divers, how); });
    };
    std::vector<DiverSupply> lacking = ada();
    lacking[0].cylinders.pop_back();
    CHECK(support::holds(refused(lacking, asked()), "given without one of oxygen"));
    CHECK(support::holds(refused({}, asked()), "divers is 0 divers"));
    LossRules how = asked();
    how.stress_for = minutes(-1.0);
    CHECK(support::holds(refused(ada(), how), "stress_for"));
    how.stress_for = minutes(std::numeric_limits<double>::quiet_NaN());
    CHECK(support::holds(refused(ada(), how), "stress_for"));
    CHECK(support::holds(refused(ada(), asked(0.5)), "every"));
    CHECK(support::holds(refused(ada(), asked(601.0)), "every"));
    CHECK(support::holds(refused(ada(), asked(1.0, {metres(0.1)})), "last_stops"));
    CHECK(support::holds(refused(ada(), asked(1.0, std::vector<Depth>(11, metres(3.0)))),
                         "last_stops"));
    Rules with_ladder = rules();
    for (int j = 1; j < 19; ++j) with_ladder.ladder.rungs.push_back(metres(3.0 * j));
    const Plan laddered = plan(support::quince(), with_ladder);
    CHECK(support::holds(refusal_of([&] { return lost_gas(laddered, ada(), asked()); }),
                         "last_stops is given beside a ladder"));
    CHECK(lost_gas(laddered, ada(), asked(60.0, {})).losses.size() == 6);
    const Plan day = plan(support::single_level(10.0, 700.0, {"32"}), rules());
    const std::vector<DiverSupply> much{
        {"Ada", rates(20.0, 15.0, 40.0), {cylinder("32", 50.0, 200.0, 8)}}};
    CHECK(support::holds(refusal_of([&] { return lost_gas(day, much, asked()); }), "at least 3 s"));
  }
}

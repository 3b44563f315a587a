// Rows for a box of deviations. The choice is compared with all choices, and what a row serves with
// a walk in long double that knows nothing of holds.
#include "support.hpp"

#include <upline/row_choice.hpp>
#include <upline/row_choice_text.hpp>

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
#include <optional>
#include <random>
#include <string>
#include <utility>
#include <vector>

using namespace upline;

namespace {

using support::Real;

Plan demo(double low = 0.4, double high = 0.8) {
  Rules rules{.factors = GradientFactors(low, high)};
  rules.ladder.last_stop = metres(6.0);
  return plan(support::quince(), rules);
}

Plan shallow() {
  return plan(support::single_level(45.0, 15.0, {"21/35", "50"}),
              Rules{.factors = GradientFactors(0.3, 0.85)});
}

DeviationBox box(const std::vector<double>& deeper, const std::vector<double>& later) {
  DeviationBox found;
  for (const double d : deeper) found.deeper.push_back(metres(d));
  for (const double t : later) found.later.push_back(minutes(t));
  return found;
}

struct Best {
  std::size_t unserved = std::numeric_limits<std::size_t>::max();
  double cost = std::numeric_limits<double>::infinity();
};

/// All sets of `rows` rows that hold the first.
Best brute_force(const detail::ServingCosts& costs, std::size_t rows) {
  Best best;
  for (std::size_t set = 1; set < (std::size_t{1} << costs.rows); set += 2) {
    if (static_cast<std::size_t>(__builtin_popcountll(set)) > rows) continue;
    Best here{0, 0.0};
    for (std::size_t j = 0; j < costs.cells; ++j) {
      double least = std::numeric_limits<double>::infinity();
      for (std::size_t i = 0; i < costs.rows; ++i)
        if ((set >> i) & 1U) least = std::min(least, costs.at(i, j));
      if (std::isinf(least))
        ++here.unserved;
      else
        here.cost += least;
    }
    if (std::pair(here.unserved, here.cost) < std::pair(best.unserved, best.cost)) best = here;
  }
  return best;
}

detail::ServingCosts drawn(std::mt19937& random, std::size_t rows, std::size_t cells) {
  detail::ServingCosts costs(rows, cells);
  const bool whole = random() % 2 == 0;
  for (double& cost : costs.cost) {
    if (random() % 3 == 0) continue;
    cost = static_cast<double>(random() % 1000) * (whole ? 1.0 : 0.037);
  }
  return costs;
}

/// Follows a row's leave times on another dive: the worst moment beyond that dive's own line [bar].
std::optional<Real> followed(const Plan& row, const Plan& own) {
  support::LongWalk walk(compartment_set(own.rules.model), own.dive.environment.place(),
                         support::start_of(own));
  Real clock = 0;
  for (const Row& leg : own.rows) {
    if (leg.begins >= own.bottom_time) break;
    walk.move(leg.gas, leg.from.base(), leg.to.base(), Real((leg.ends - leg.begins).base()));
    clock = leg.ends.base();
  }
  Real depth = own.dive.levels.back().depth.base();
  Real worst = -std::numeric_limits<Real>::infinity();
  const auto look = [&](Real at) {
    worst = std::max(worst, walk.beyond(at, support::line_factor(own, at)));
  };
  const auto move = [&](const Gas& gas, Real to, Real minutes) {
    constexpr int pieces = 60;
    for (int j = 0; j < pieces; ++j) {
      const Real next = depth + (to - depth) / Real(pieces - j);
      walk.move(gas, depth, next, minutes / pieces);
      depth = next;
      if (depth > 0.0L) look(depth);
    }
    clock += minutes;
  };
  Gas gas = own.dive.gases.front().gas;
  for (const Stop& stop : row.stops) {
    const Real at = stop.depth.base();
    if (at >= depth) return {};
    move(gas, at, (depth - at) / 9.0L);
    if (!(stop.gas == gas)) {
      move(gas, at, 1);
      gas = stop.gas;
    }
    if (clock > Real(stop.departs.base()) + 1e-9L) return {};
    move(gas, at, Real(stop.departs.base()) - clock);
  }
  move(gas, 0, depth / 9.0L);
  look(0);
  return worst;
}

std::string message_of(const Plan& plan, const DeviationBox& asked, std::size_t rows = 4) {
  const auto error = support::thrown<InvalidInput>([&] { (void)choose_rows(plan, asked, rows); });
  return error ? error->what() : "no error";
}

} // namespace

TEST_SUITE("row_choice") {
  TEST_CASE("the selection is the best of all, and says so") {
    std::mt19937 random(7);
    for (int trial = 0; trial < 300; ++trial) {
      const std::size_t rows = 1 + random() % 10;
      const auto costs = drawn(random, rows, 1 + random() % 12);
      const std::size_t most = 1 + random() % 5;
      const Best wanted = brute_force(costs, most);
      const detail::Selection found = detail::Selector(costs, most).find();
      CAPTURE(trial);
      CHECK(found.proved);
      CHECK(found.unserved == wanted.unserved);
      CHECK(found.cost == doctest::Approx(wanted.cost).epsilon(1e-9));
      CHECK(found.least == found.cost);
      CHECK(found.rows.size() <= most);
      CHECK(found.rows.front() == 0);
    }
  }

  TEST_CASE("a search cut short gives a bound that the best does not go below") {
    std::mt19937 random(11);
    std::size_t cut = 0;
    for (int trial = 0; trial < 200; ++trial) {
      const auto costs = drawn(random, 12, 30);
      const Best wanted = brute_force(costs, 4);
      const detail::Selection found = detail::Selector(costs, 4).find(3);
      if (found.proved) continue;
      ++cut;
      if (found.unserved != wanted.unserved) continue;
      CHECK(found.least <= wanted.cost + 1e-6);
      CHECK(found.cost >= wanted.cost - 1e-6);
    }
    CHECK(cut > 20);
  }

  TEST_CASE("what a row serves is what a walk along its times finds within the line") {
    for (const Plan& base : {demo(), demo(0.2, 0.9), shallow()}) {
      std::vector<Plan> plans;
      for (const double deeper : {0.0, 2.0, 3.0, 6.0})
        for (const double later : {0.0, 1.0, 5.0, 7.0}) {
          Dive dive = base.dive;
          dive.levels[0].depth = dive.levels[0].depth + metres(deeper);
          dive.levels[0].leave_at = dive.levels[0].leave_at + minutes(later);
          plans.push_back(plan(dive, base.rules));
        }
      std::size_t served = 0;
      for (const Plan& row : plans)
        for (const Plan& own : plans) {
          const auto beyond = followed(row, own);
          const bool within = beyond && *beyond <= 1e-7L;
          CAPTURE(in_metres(own.dive.levels[0].depth));
          CAPTURE(in_minutes(own.bottom_time));
          CAPTURE(in_metres(row.dive.levels[0].depth));
          CAPTURE(in_minutes(row.bottom_time));
          const bool deeper = row.dive.levels[0].depth >= own.dive.levels[0].depth &&
                              row.bottom_time >= own.bottom_time;
          if (!deeper || own.refused() || row.refused()) continue;
          CHECK(detail::serves(row, own) == within);
          served += within ? 1 : 0;
        }
      CHECK(served > 16);
    }
  }

  TEST_CASE("a schedule that is too short, or has another switch, serves nobody else") {
    const Plan base = demo();
    Dive dive = base.dive;
    dive.levels[0].leave_at = minutes(30.0);
    const Plan longer = plan(dive, base.rules);
    CHECK(detail::serves(longer, base));
    CHECK_FALSE(detail::serves(base, longer));
    dive.gases[1] = "50@18";
    CHECK_FALSE(detail::serves(plan(dive, base.rules), base));
  }

  TEST_CASE("the rows of small boxes are the best of all choices") {
    for (const Plan& base : {demo(), shallow()})
      for (std::size_t rows = 2; rows <= 5; ++rows) {
        const DeviationBox asked = box({0.0, 3.0, 6.0}, {0.0, 3.0, 5.0, 10.0});
        const RowChoice found = choose_rows(base, asked, rows);
        std::vector<Plan> plans;
        for (const BoxCell& cell : found.cells) {
          Dive dive = base.dive;
          dive.levels[0].depth = dive.levels[0].depth + cell.what.deeper;
          dive.levels[0].leave_at = dive.levels[0].leave_at + cell.what.later;
          const Plan one = plan(dive, base.rules);
          CHECK(one.refused() == !cell.run_time.has_value());
          if (!one.refused()) plans.push_back(one);
        }
        detail::ServingCosts costs(plans.size(), plans.size());
        for (std::size_t i = 0; i < plans.size(); ++i)
          for (std::size_t j = 0; j < plans.size(); ++j) {
            const auto beyond = followed(plans[i], plans[j]);
            const bool deeper = plans[i].dive.levels[0].depth >= plans[j].dive.levels[0].depth &&
                                plans[i].bottom_time >= plans[j].bottom_time;
            if (deeper && beyond && *beyond <= 1e-7L)
              costs.at(i, j) = in_minutes(plans[i].run_time - plans[j].run_time);
          }
        const Best wanted = brute_force(costs, rows);
        CAPTURE(rows);
        CHECK(found.proved);
        CHECK(in_minutes(found.total_extra) == doctest::Approx(wanted.cost).epsilon(1e-9));
        CHECK(found.rows.front().what == Deviation{});
        CHECK(found.rows.size() <= rows);
        const Best more = brute_force(costs, rows + 1);
        REQUIRE(found.one_more.has_value());
        CHECK(in_minutes(*found.one_more) == doctest::Approx(wanted.cost - more.cost));
      }
  }

  TEST_CASE("every dive stands in one row, with what that costs") {
    const RowChoice found = choose_rows(demo(), box({0.0, 3.0, 6.0}, {0.0, 3.0, 5.0}), 4);
    double total = 0.0;
    double largest = 0.0;
    for (std::size_t i = 0; i < found.rows.size(); ++i)
      for (const std::size_t cell : found.rows[i].cells) {
        CHECK(found.cells[cell].row == i);
        const double extra = in_minutes(found.rows[i].plan.run_time - *found.cells[cell].run_time);
        CHECK(in_minutes(found.cells[cell].extra) == extra);
        total += extra;
        largest = std::max(largest, extra);
      }
    CHECK(in_minutes(found.total_extra) == doctest::Approx(total));
    CHECK(in_minutes(found.largest_extra) == largest);
    const auto rows = contingencies(found.planned, found.deviations());
    REQUIRE(rows.size() + 1 == found.rows.size());
    for (std::size_t i = 0; i < rows.size(); ++i)
      CHECK(rows[i].plan->run_time == found.rows[i + 1].plan.run_time);
  }

  TEST_CASE("a dive that weighs much gets a row of its own") {
    DeviationBox asked = box({0.0, 3.0, 6.0}, {0.0, 5.0});
    const RowChoice plain = choose_rows(shallow(), asked, 3);
    REQUIRE(*plain.cells[1].row != 0);
    REQUIRE(in_minutes(plain.cells[1].extra) > 0.0);
    asked.weights = {1.0, 1000.0, 1.0, 1.0, 1.0, 1.0};
    const RowChoice weighed = choose_rows(shallow(), asked, 3);
    CHECK(in_minutes(weighed.cells[1].extra) == 0.0);
    CHECK(weighed.cells[1].weight == 1000.0);
  }

  TEST_CASE("as many rows as dives cost nothing, and rows without a dive are left out") {
    const RowChoice found = choose_rows(shallow(), box({0.0, 3.0}, {0.0, 5.0}), 8);
    CHECK(in_minutes(found.total_extra) == 0.0);
    CHECK(found.rows.size() == 4);
    CHECK_FALSE(found.one_more.has_value());
  }

  TEST_CASE("what cannot be dived, or is refused, has no row and says why") {
    const RowChoice found = choose_rows(demo(), box({0.0, 20.0}, {0.0, 15.0}), 4);
    CHECK(found.cells[0].row == 0);
    for (const std::size_t j : {std::size_t{1}, std::size_t{2}, std::size_t{3}}) {
      CHECK_FALSE(found.cells[j].row.has_value());
      CHECK_FALSE(found.cells[j].run_time.has_value());
    }
    CHECK(support::holds(found.cells[1].reason, "CNS share is "));
    CHECK(support::holds(found.cells[2].reason, "bottom gas is 18/45 at 77 m"));
    const std::string text = row_choice_text(found);
    CHECK(support::holds(text, "1 row for 1 of 4 dives"));
    CHECK(support::holds(text, "No row if 20 m deeper: bottom gas is 18/45"));
  }

  TEST_CASE("several levels: the deepest is deeper, the last is left later") {
    Rules rules{.factors = GradientFactors(0.4, 0.8)};
    Dive dive = support::quince();
    dive.levels = {{metres(57.0), minutes(15.0)}, {metres(30.0), minutes(35.0)}};
    const RowChoice found = choose_rows(plan(dive, rules), box({0.0, 3.0}, {0.0, 5.0}), 2);
    REQUIRE(found.rows.size() == 2);
    CHECK(found.rows[1].plan.dive.levels ==
          std::vector<Level>{{metres(60.0), minutes(15.0)}, {metres(30.0), minutes(40.0)}});
    CHECK(found.rows[1].cells.size() == 3);
  }

  TEST_CASE("bad input is named") {
    const Plan base = demo();
    CHECK(support::holds(message_of(base, box({0.0}, {0.0})), "deeper is 0 alone"));
    CHECK(support::holds(message_of(base, box({3.0}, {0.0})), "deeper is a list without 0"));
    CHECK(support::holds(message_of(base, box({0.0}, {})), "later is 0 values"));
    CHECK(support::holds(message_of(base, box({0.0, 3.0, 3.0}, {0.0})), "a value twice"));
    CHECK(support::holds(message_of(base, box({0.0, -3.0}, {0.0})), "deeper is -3 m"));
    CHECK(
        support::holds(message_of(base, box({0.0}, {0.0, std::nan("")})), "later is not a number"));
    CHECK(
        support::holds(message_of(base, box({0.0}, {0.0, 5.0}), 1), "rows is 1; allowed: 2 to 8"));
    CHECK(support::holds(message_of(base, box({0.0}, {0.0, 5.0}), 9), "rows is 9"));
    DeviationBox weighed = box({0.0}, {0.0, 5.0});
    weighed.weights = {1.0};
    CHECK(support::holds(message_of(base, weighed), "weights is 1 numbers"));
    weighed.weights = {1.0, 0.0};
    CHECK(support::holds(message_of(base, weighed), "weights is 0"));
    Dive dive = base.dive;
    dive.levels[0].leave_at = minutes(40.0);
    CHECK(support::holds(message_of(plan(dive, base.rules), box({0.0}, {0.0, 5.0})),
                         "plan is refused"));
  }

  TEST_CASE("the text names rows, dives and what was checked") {
    std::string text =
        row_choice_text(choose_rows(demo(), box({0.0, 3.0, 6.0}, {0.0, 3.0, 5.0}), 4));
    std::replace(text.begin(), text.end(), '\n', ' ');
    for (const char* words :
         {"Rows for a slate: 57 m for 25 min", "No other choice", "as planned", "3 m deeper",
          "5 min late", "were not checked", "It does not make a dive safe"}) {
      CAPTURE(words);
      CHECK(support::holds(text, words));
    }
  }
}

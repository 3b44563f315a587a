// What cylinders hold at any moment: held against litres added up in small steps.
#include "support.hpp"

#include <upline/content_trace.hpp>

#include <algorithm>
#include <cstddef>
#include <optional>
#include <vector>

using namespace upline;

namespace {

Cylinder cylinder(const char* mix, double each, double pressure, int joined = 1) {
  return {water_litres(each), bar_gauge(pressure), Gas::parse(mix), celsius(10.0), joined};
}

/// Ben (invented), with two single cylinders for the bottom.
DiverSupply ben(double first, double second) {
  return {"Ben",
          {litres_per_minute(22.0), litres_per_minute(15.0), litres_per_minute(40.0)},
          {cylinder("18/45", 12.0, first), cylinder("18/45", 12.0, second),
           cylinder("50", 7.0, 180.0), cylinder("O2", 7.0, 150.0)}};
}

Plan quince_plan() { return plan(support::quince(), support::quince_rules()); }

/// Litres that Ben breathes of a gas until a run time, in steps of a thousandth of a row.
double breathed(const Plan& made, const Gas& gas, double until, double stressed) {
  const Place place = made.dive.environment.place();
  double sum = 0.0;
  for (const Row& row : made.rows) {
    const double begins = in_minutes(row.begins);
    const double span = in_minutes(row.ends) - begins;
    if (row.gas != gas || !(span > 0.0)) continue;
    constexpr int steps = 1000;
    for (int j = 0; j < steps; ++j) {
      const double share = (j + 0.5) / steps;
      const double at = begins + share * span;
      if (at > until) break;
      const double depth = in_metres(row.from) + share * (in_metres(row.to) - in_metres(row.from));
      double rate = row.ends <= made.bottom_time ? 22.0 : 15.0;
      if (at > stressed) rate = 40.0;
      sum += rate * place.pressure(depth) * span / steps;
    }
  }
  return sum;
}

} // namespace

TEST_SUITE("content_trace") {
  TEST_CASE("at the end of every row it is the content of that row") {
    const Plan made = quince_plan();
    const Consumption c = consumption(made, ben(200.0, 180.0));
    const ContentTrace trace = content_trace(c, made);
    CHECK(std::is_sorted(trace.run_time.begin(), trace.run_time.end()));
    for (std::size_t j = 0; j < 4; ++j)
      CHECK(trace.content.front()[j] == c.supply.cylinders[j].content());
    for (std::size_t k = 0; k < made.rows.size(); ++k) {
      const auto at = std::find(trace.run_time.begin(), trace.run_time.end(), made.rows[k].ends);
      REQUIRE(at != trace.run_time.end());
      const auto place = static_cast<std::size_t>(at - trace.run_time.begin());
      for (std::size_t j = 0; j < 4; ++j) {
        CHECK(trace.content[place][j] == c.rows[k].content[j]);
        const Cylinder& one = c.supply.cylinders[j];
        CHECK(support::off(in_litres(one.content_at(c.rows[k].left[j])),
                           in_litres(c.rows[k].content[j])) <= 1e-6);
      }
    }
  }

  TEST_CASE("between them it is what a sum of small steps leaves") {
    const Plan made = quince_plan();
    for (const double stressed : {1e9, 12.0}) {
      CAPTURE(stressed);
      std::optional<Minutes> moment;
      if (stressed < 1e9) moment = minutes(stressed);
      const DiverSupply diver = ben(232.0, 232.0);
      const Consumption c = consumption(made, diver, moment);
      const ContentTrace trace = content_trace(c, made);
      CHECK(trace.run_time.size() > made.rows.size() + 20);
      const Gas bottom = Gas::parse("18/45");
      const double there = in_litres(trace.content[0][0]) + in_litres(trace.content[0][1]);
      const auto empty = c.empty_at(bottom, made, made.rows.size());
      for (std::size_t k = 0; k < trace.run_time.size(); ++k) {
        const double at = in_minutes(trace.run_time[k]);
        if (empty && at > in_minutes(*empty)) break;
        const double left = in_litres(trace.content[k][0]) + in_litres(trace.content[k][1]);
        // Half a step at the stress rate and 57 m, and one where the stress begins.
        CHECK(support::off(there - left, breathed(made, bottom, at, stressed)) <= 15.0);
      }
    }
  }

  TEST_CASE("cylinders of one mix are emptied one after the other") {
    const Plan made = quince_plan();
    const Consumption c = consumption(made, ben(120.0, 180.0));
    const ContentTrace trace = content_trace(c, made);
    const Litres rest = c.supply.cylinders[0].content_at(bar_gauge(5.7)); // at 57 m
    std::size_t touched = 0;
    for (std::size_t k = 0; k < trace.run_time.size(); ++k) {
      const bool first_gives = trace.content[k][0] > rest + litres(1e-6);
      const bool second_full = trace.content[k][1] == c.supply.cylinders[1].content();
      CHECK_FALSE((first_gives && !second_full));
      if (!first_gives && second_full) ++touched;
    }
    CHECK(touched == 1); // the moment at which the first is empty is in the trace, once
  }

  TEST_CASE("an empty gas stays as it is") {
    const Plan made = quince_plan();
    const Consumption c = consumption(made, ben(100.0, 60.0));
    const ContentTrace trace = content_trace(c, made);
    const auto empty = c.empty_at(Gas::parse("18/45"), made, made.rows.size());
    REQUIRE(empty);
    std::size_t found = 0;
    for (std::size_t k = 0; k < trace.run_time.size(); ++k) {
      if (support::off(in_minutes(trace.run_time[k]), in_minutes(*empty)) <= 1e-6) ++found;
      if (trace.run_time[k] > *empty) CHECK(trace.content[k][1] == trace.content.back()[1]);
    }
    CHECK(found == 1);
  }
}

#include "support.hpp"

#include <upline/washout_schedule.hpp>

#include <cmath>
#include <map>
#include <string>
#include <vector>

// Sources: vval18_limits.csv, vval18_constants.csv, vval18_no_stop.csv, vval18_schedules.csv,
// usnavy_no_stop.csv and test_schedule_facts.csv in validation/data, each row with its confidence.
// The equations are Thalmann's (from memory, to be confirmed); here they are integrated a second
// time, in small steps.

namespace {

using namespace upline;
using support::off;
using support::Real;
using support::Record;

/// dP/dt as the equations state it.
Real change(Real tension, Real ambient, const WashoutCompartment& c, const WashoutConstants& k) {
  const Real rate = std::log(2.0L) / Real(c.half_time);
  const Real arterial = Real(k.nitrogen_share) * ambient - Real(k.arterial);
  const Real threshold = ambient - Real(k.venous);
  return tension > threshold ? Real(c.factor) * rate * (arterial - threshold)
                             : rate * (arterial - tension);
}

/// Runge and Kutta, in steps so short that a change of law inside one hardly shows.
Real integrated(Real tension, const WashoutCompartment& c, const WashoutConstants& k,
                const WashoutSegment& s) {
  constexpr int steps = 20000;
  const Real h = Real(s.minutes) / steps;
  for (int j = 0; j < steps; ++j) {
    const Real p = Real(s.ambient) + Real(s.rate) * h * j;
    const Real half = p + Real(s.rate) * h / 2;
    const Real k1 = change(tension, p, c, k);
    const Real k2 = change(tension + h / 2 * k1, half, c, k);
    const Real k3 = change(tension + h / 2 * k2, half, c, k);
    const Real k4 = change(tension + h * k3, p + Real(s.rate) * h, c, k);
    tension += h / 6 * (k1 + 2 * k2 + 2 * k3 + k4);
  }
  return tension;
}

const std::vector<WashoutSegment> segments{{5.0, 33.0, 20.0},  // down
                                           {60.0, 133.0, 0.0}, // at depth
                                           {3.0, 133.0, -30.0}, {90.0, 43.0, 0.0},
                                           {500.0, 33.0, 0.0},  {30.0, 133.0, -3.0},
                                           {100.0, 133.0, -1.0}};

WashoutTest test_of(const Record& row) {
  const std::string& tested = row.text("tested");
  REQUIRE((tested == "on leaving" || tested == "on arrival"));
  return tested == "on leaving" ? WashoutTest::on_leaving : WashoutTest::on_arrival;
}

} // namespace

TEST_SUITE("record, linear washout") {
  TEST_CASE("VVal-18 has the tabulated limits and constants") {
    const std::vector<Record> rows = support::table("vval18_limits");
    REQUIRE(rows.size() == vval18.compartments.size());
    for (std::size_t i = 0; i < rows.size(); ++i) {
      const WashoutCompartment& compartment = vval18.compartments[i];
      CHECK(compartment.half_time == rows[i].number("half_time_min"));
      CHECK(compartment.factor == rows[i].number("linear_factor"));
      CHECK(compartment.surfacing == rows[i].number("surfacing_fsw"));
      CHECK(vval18.per_rung == rows[i].number("per_10fsw_fsw"));
    }
    std::map<std::string, double> constants;
    for (const Record& row : support::table("vval18_constants"))
      constants[row.text("constant")] = row.number("value");
    CHECK(constants.size() == 8);
    CHECK(vval18.rung == 10.0);
    CHECK(vval18.constants.nitrogen_share == constants.at("nitrogen_share"));
    CHECK(vval18.constants.arterial == constants.at("PACO2"));
    CHECK(vval18.constants.venous == constants.at("PVO2") + constants.at("PVCO2") +
                                         constants.at("PH2O") - constants.at("PBOVP"));
    CHECK(vval18.constants.surface == constants.at("surface_pressure"));
  }

  TEST_CASE("the update is what stepping through the equations comes to") {
    const WashoutCompartment steep{15.0, 0.6, 0.0};
    const WashoutCompartment flat{40.0, 1.5, 0.0};
    int both_laws = 0;
    for (const WashoutCompartment& c :
         {vval18.compartments[0], vval18.compartments[4], steep, flat})
      for (const WashoutSegment& s : segments)
        for (const double start : {20.0, 24.57, 38.7, 60.0, 128.7, 140.0}) {
          CAPTURE(c.half_time);
          CAPTURE(s.minutes);
          CAPTURE(s.rate);
          CAPTURE(start);
          const double ours = linear_washout(start, c, vval18.constants, s);
          const auto stepped = static_cast<double>(integrated(Real(start), c, vval18.constants, s));
          // What stepping over a change of law costs: with factor 1 the second derivative jumps
          // inside one step, else the first.
          CHECK(off(ours, stepped) <= (c.factor == 1.0 ? 2e-6 : 5e-4));
          const double end = s.ambient + s.rate * s.minutes - vval18.constants.venous;
          both_laws += (start > s.ambient - vval18.constants.venous) != (ours > end);
        }
    CHECK(both_laws >= 20);
  }

  TEST_CASE("two halves of a segment are the whole") {
    for (const WashoutCompartment& c : vval18.compartments)
      for (const WashoutSegment& s : segments)
        for (const double start : {24.57, 38.7, 60.0, 140.0})
          for (const double share : {0.1, 0.5, 0.83}) {
            const double t = share * s.minutes;
            const WashoutSegment first{t, s.ambient, s.rate};
            const WashoutSegment second{s.minutes - t, s.ambient + s.rate * t, s.rate};
            const double middle = linear_washout(start, c, vval18.constants, first);
            CHECK(off(linear_washout(middle, c, vval18.constants, second),
                      linear_washout(start, c, vval18.constants, s)) <= 1e-11);
          }
  }

  TEST_CASE("under the threshold the washout is the exponential one") {
    const CompartmentSet& set = compartment_set("ZH-L16C");
    WashoutConstants plain{0.79, 0.0, -1000.0, 33.0}; // the threshold out of reach
    for (std::size_t i = 0; i < compartment_count; ++i)
      for (const WashoutSegment& s : segments) {
        Tissues tissues;
        tissues.nitrogen.fill(40.0);
        advance(tissues, set, Segment{s.minutes, s.ambient, s.rate}, OpenCircuit{Gas()}, 0.0);
        const WashoutCompartment c{set.nitrogen.half_time[i], 1.0, 0.0};
        CHECK(off(linear_washout(40.0, c, plain, s), tissues.nitrogen[i]) <= 1e-12);
      }
  }

  TEST_CASE("no-stop limits of VVal-18 as calculated before") {
    const std::vector<Record> rows = support::table("vval18_no_stop");
    CHECK(rows.size() == 18);
    for (const Record& row : rows) {
      const double depth = row.number("depth_fsw");
      CAPTURE(depth);
      if (row.has("closed_form_min"))
        CHECK(off(washout_limit_at_bottom(vval18, 75.0, depth), row.number("closed_form_min")) <=
              0.05);
      if (!row.has("with_ascent_min")) continue;
      const WashoutRules rules{75.0, 30.0, WashoutTest::on_arrival};
      CHECK(std::floor(washout_no_stop_limit(vval18, rules, depth)) ==
            row.number("with_ascent_min"));
    }
  }

  TEST_CASE("no-stop limits of revision 7 from 25 to 90 fsw within 2 min") {
    int compared = 0;
    for (const Record& row : support::table("usnavy_no_stop")) {
      const double depth = row.number("depth_fsw");
      const double given = row.number("revision_7_min");
      CAPTURE(depth);
      if (depth == 20.0) {
        CHECK(washout_no_stop_limit(vval18, {}, depth) == HUGE_VAL);
        CHECK(std::isinf(given));
      } else if (depth <= 90.0) {
        CHECK(off(washout_limit_at_bottom(vval18, 75.0, depth), given) <= 2.0);
        // With the ascent at 30 fsw/min counted in as well, 1102 min at 25 fsw among them.
        CHECK(off(std::floor(washout_no_stop_limit(vval18, {75.0}, depth)), given) <= 2.0);
        ++compared;
      }
    }
    CHECK(compared == 8);
  }

  TEST_CASE("170 fsw for 30 min: 174 min of stops, and each stop as calculated before") {
    const std::vector<Record> rows = support::table("vval18_schedules");
    CHECK(rows.size() == 6);
    for (const Record& row : rows) {
      const double descent = row.number("descent_fsw_per_min");
      CAPTURE(descent);
      CAPTURE(row.text("tested"));
      const auto stops = washout_schedule(vval18, {descent, 30.0, test_of(row)}, 170.0, 30.0);
      REQUIRE(stops.size() == 4);
      double sum = 0.0;
      for (const WashoutStop& stop : stops) {
        const auto depth = std::to_string(std::lround(stop.depth));
        CHECK(stop.minutes == row.number("stop_" + depth + "fsw_min"));
        sum += stop.minutes;
      }
      CHECK(sum == row.number("total_min"));
    }
    double total = 0.0;
    double first = 0.0;
    for (const Record& row : support::table("test_schedule_facts")) {
      if (row.text("schedule") != "gas content") continue;
      if (row.text("what") == "total stop time [min]") total = row.number("value");
      if (row.text("what") == "first stop [fsw]") first = row.number("value");
    }
    double sum = 0.0;
    const auto stops = washout_schedule(vval18, {57.0, 30.0, WashoutTest::on_leaving}, 170.0, 30.0);
    for (const WashoutStop& stop : stops) sum += stop.minutes;
    CHECK(sum == total);
    CHECK(stops.front().depth == first);
  }

  TEST_CASE("which limits of VVal-18 the given values see, to half a fsw") {
    // A wrong digit where they see nothing is caught by the transcription alone.
    const std::map<double, std::pair<bool, bool>> seen{
        {5, {false, false}},  {10, {true, true}},   {20, {true, true}},
        {40, {true, true}},   {80, {true, true}},   {120, {true, true}},
        {160, {true, false}}, {200, {true, false}}, {240, {true, true}}};
    const auto limits = support::table("vval18_no_stop");
    const auto schedules = support::table("vval18_schedules");
    const auto differs = [&](const WashoutModel& model) {
      for (const Record& row : limits)
        if (row.has("closed_form_min") &&
            off(washout_limit_at_bottom(model, 75.0, row.number("depth_fsw")),
                row.number("closed_form_min")) > 0.05)
          return true;
      for (const Record& row : schedules) {
        double sum = 0.0;
        const WashoutRules rules{row.number("descent_fsw_per_min"), 30.0, test_of(row)};
        for (const WashoutStop& stop : washout_schedule(model, rules, 170.0, 30.0))
          sum += stop.minutes;
        if (sum != row.number("total_min")) return true;
      }
      return false;
    };
    CHECK_FALSE(differs(vval18));
    for (std::size_t i = 0; i < vval18.compartments.size(); ++i) {
      const auto moved = [&](double by) {
        WashoutModel model = vval18;
        model.compartments[i].surfacing += by;
        return differs(model);
      };
      CAPTURE(vval18.compartments[i].half_time);
      const auto [down, up] = seen.at(vval18.compartments[i].half_time);
      CHECK(moved(-0.5) == down);
      CHECK(moved(0.5) == up);
    }
  }

  TEST_CASE("what it refuses") {
    CHECK_THROWS_AS((void)washout_schedule(vval18, {}, 9.0, 30.0), InvalidInput);
    CHECK_THROWS_AS((void)washout_schedule(vval18, {}, 1001.0, 30.0), InvalidInput);
    CHECK_THROWS_AS((void)washout_schedule(vval18, {}, 100.0, NAN), InvalidInput);
    CHECK_THROWS_AS((void)washout_schedule(vval18, {}, 100.0, 1.0), InvalidInput);
    CHECK_THROWS_AS((void)washout_no_stop_limit(vval18, {}, 0.0), InvalidInput);
    CHECK_THROWS_AS((void)washout_limit_at_bottom(vval18, 75.0, 0.0), InvalidInput);
    CHECK(washout_schedule(vval18, {}, 100.0, 10.0).empty());
  }
}

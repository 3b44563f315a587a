#include "support.hpp"

#include <upline/historic_schedule.hpp>
#include <upline/linear_limit.hpp>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

// Sources: french_navy1990_limits.csv, haldane1908_limits.csv, standard_air_limits.csv,
// workman1965_limits.csv, zhl12_limits.csv in validation/data, each row with its confidence.

namespace {

using namespace upline;
using support::off;
using support::Record;

const CompartmentSet& historic_set(const std::string& name) {
  for (const HistoricModel& model : historic_models)
    if (model.set.name == name) return model.set;
  throw std::runtime_error("no historic model " + name);
}

/// Limit of a compartment of a table in fsw, back in that table's unit.
SurfacingLimit in_table_fsw(const CompartmentSet& set, std::size_t i) {
  constexpr double bar_per_fsw = 1.01325 / 33.0;
  return surfacing_limit({set.nitrogen.a[i] / bar_per_fsw, set.nitrogen.b[i]}, 33.0);
}

} // namespace

TEST_SUITE("record, models") {
  TEST_CASE("the French Navy ratios are the tabulated ones") {
    const std::vector<Record> rows = support::table("french_navy1990_limits");
    const CompartmentSet& set = historic_set("French Navy 1990");
    REQUIRE(rows.size() == 12);
    REQUIRE(set.count == rows.size());
    for (std::size_t i = 0; i < rows.size(); ++i) {
      CHECK(set.nitrogen.half_time[i] == rows[i].number("half_time_min"));
      CHECK(set.nitrogen.a[i] == 0.0);
      CHECK(set.nitrogen.b[i] == 1.0 / rows[i].number("critical_ratio"));
    }
    CHECK(historic_model("French Navy 1990").nitrogen_share == 0.80);
    CHECK(historic_model("French Navy 1990").vapour == 0.0);
    CHECK(historic_model("French Navy 1990").surface == 1.0);
  }

  TEST_CASE("a diver of 1908 who is saturated with air may come up to half the pressure") {
    const std::vector<Record> rows = support::table("haldane1908_limits");
    const CompartmentSet& set = historic_set("Haldane 1908");
    REQUIRE(rows.size() == 5);
    REQUIRE(set.count == rows.size());
    for (std::size_t i = 0; i < rows.size(); ++i) {
      CHECK(set.nitrogen.half_time[i] == rows[i].number("half_time_min"));
      const double saturated = 0.79 * 4.0;
      CHECK(off(tolerated_pressure(set, i, saturated, 0.0, 1.0),
                4.0 / rows[i].number("total_pressure_ratio")) <= 1e-15);
    }
  }

  TEST_CASE("limits of the Standard Air Table and of Workman are the tabulated ones") {
    const std::vector<Record> standard = support::table("standard_air_limits");
    const CompartmentSet& six = historic_set("Standard Air 1956");
    REQUIRE(standard.size() == 6);
    REQUIRE(six.count == standard.size());
    const Record fit = support::table("standard_air_fits").at(1);
    CHECK(fit.text("test") == "on arrival");
    CHECK(historic_model("Standard Air 1956").nitrogen_share == fit.number("nitrogen_share"));
    for (std::size_t i = 0; i < standard.size(); ++i) {
      CHECK(six.nitrogen.half_time[i] == standard[i].number("half_time_min"));
      const SurfacingLimit limit = in_table_fsw(six, i);
      CHECK(off(limit.surfacing, standard[i].number("M0_fsw")) <= 1e-12);
      CHECK(off(limit.slope, standard[i].number("M0_fsw") / fit.number("slope_divisor")) <= 1e-14);
    }
    const std::vector<Record> workman = support::table("workman1965_limits");
    const CompartmentSet& nine = historic_set("Workman 1965");
    REQUIRE(workman.size() == 9);
    REQUIRE(nine.count == workman.size());
    for (std::size_t i = 0; i < workman.size(); ++i) {
      CHECK(nine.nitrogen.half_time[i] == workman[i].number("half_time_min"));
      const SurfacingLimit limit = in_table_fsw(nine, i);
      CHECK(off(limit.surfacing, workman[i].number("n2_M0_fsw")) <= 1e-12);
      CHECK(off(limit.slope, workman[i].number("n2_slope")) <= 1e-14);
    }
  }

  TEST_CASE("Workman's two columns are one length in two units") {
    // 0.1 msw, and not half a unit of the last digit: 53 fsw are 16.15, printed 16.1. By surface
    // pressure (10 msw to 33 fsw) the first row would be 31.5 and miss.
    for (const Record& row : support::table("workman1965_limits")) {
      CHECK(off(row.number("n2_M0_fsw") * 0.3048, row.number("n2_M0_msw")) <= 0.1);
      CHECK(off(row.number("he_M0_fsw") * 0.3048, row.number("he_M0_msw")) <= 0.1);
    }
    const Record first = support::table("workman1965_limits").front();
    CHECK(off(first.number("n2_M0_fsw") * 10.0 / 33.0, first.number("n2_M0_msw")) > 0.1);
  }

  TEST_CASE("ZH-L12 has the tabulated surface values, and slopes to their printed digits") {
    const std::vector<Record> rows = support::table("zhl12_limits");
    const CompartmentSet& set = historic_set("ZH-L12");
    REQUIRE(rows.size() == 16);
    REQUIRE(set.count == rows.size());
    for (std::size_t i = 0; i < rows.size(); ++i) {
      CAPTURE(i);
      CHECK(set.nitrogen.half_time[i] == rows[i].number("half_time_min"));
      const SurfacingLimit limit = surfacing_limit({set.nitrogen.a[i], set.nitrogen.b[i]}, 1.0);
      CHECK(off(10.0 * limit.surfacing, rows[i].number("M0_msw")) <= 1e-13);
      CHECK(off(limit.slope, rows[i].number("slope")) <= 5e-5);
      CHECK(off(set.nitrogen.b[i], rows[i].number("b")) <= 1e-15);
    }
  }

  TEST_CASE("either form of a linear limit is found again from the other") {
    for (const CompartmentSet& set : compartment_sets)
      for (std::size_t i = 0; i < set.count; ++i)
        for (const double surface : {0.7, 1.0, 1.01325}) {
          const PressureLimit limit{set.nitrogen.a[i], set.nitrogen.b[i]};
          const SurfacingLimit other = surfacing_limit(limit, surface);
          const PressureLimit again = pressure_limit(other, surface);
          CHECK(off(again.a, limit.a) <= 1e-15);
          CHECK(off(again.b, limit.b) <= 1e-15);
          CHECK(off(other.tension(2.5), limit.tension(surface + 2.5)) <= 1e-14);
          CHECK(off(allowed_tension(set, i, 1.0, 0.0, surface + 2.5, 1.0), other.tension(2.5)) <=
                1e-14);
        }
    CHECK(ratio_limit(1.6).tension(2.0) == doctest::Approx(3.2).epsilon(1e-15));
    CHECK(ratio_limit(1.6).tension(0.0) == 0.0);
  }

  TEST_CASE("a repeated compartment is never the one that leads") {
    for (const HistoricModel& model : historic_models) {
      CAPTURE(model.set.name);
      REQUIRE(model.set.count >= 1);
      REQUIRE(model.set.count <= compartment_count);
      for (std::size_t i = model.set.count; i < compartment_count; ++i) {
        CHECK(model.set.nitrogen.half_time[i] == model.set.nitrogen.half_time[model.set.count - 1]);
        CHECK(model.set.nitrogen.a[i] == model.set.nitrogen.a[model.set.count - 1]);
        CHECK(model.set.nitrogen.b[i] == model.set.nitrogen.b[model.set.count - 1]);
      }
      // After hours at depth the slowest one leads, and it is its first lane that is named.
      const Place place{model.surface, 0.1, model.vapour};
      Tissues tissues;
      tissues.nitrogen.fill(model.nitrogen_share * model.surface);
      for (const double minutes : {10.0, 60.0, 600.0, 6000.0}) {
        const Segment stay{minutes, place.pressure(15.0), 0.0};
        advance(tissues, model.set, stay, OpenCircuit{Gas(1.0 - model.nitrogen_share)},
                place.vapour);
        CHECK(leading_fraction(model.set, tissues, model.surface).compartment < model.set.count);
      }
      const HistoricRules rules{model.unit == "m" ? 3.0 : 10.0, 10.0, 10.0};
      const double depth = model.unit == "m" ? 30.0 : 100.0;
      const HistoricSchedule schedule = historic_schedule(model, rules, depth, 600.0);
      REQUIRE_FALSE(schedule.stops.empty());
      CHECK(schedule.stops.back().held_by == model.set.count - 1);
      for (const HistoricStop& stop : schedule.stops) CHECK(stop.held_by < model.set.count);
    }
  }

  TEST_CASE("no historic limit can be the model of a plan") {
    for (const HistoricModel& model : historic_models) {
      CHECK_THROWS_AS((void)compartment_set(model.set.name), InvalidInput);
      Rules rules = support::quince_rules();
      rules.model = std::string(model.set.name);
      CHECK_THROWS_AS((void)plan(support::quince(), rules), InvalidInput);
      CHECK(historic_model(model.set.name).set.name == model.set.name);
    }
    CHECK(historic_model("ZH-L16B").set.nitrogen.a == compartment_set("ZH-L16B").nitrogen.a);
    CHECK(historic_model("ZH-L16B").surface == 1.0);
    const auto error = support::thrown<InvalidInput>([] { (void)historic_model("Haldane"); });
    REQUIRE(error);
    CHECK(error->field() == "model");
    CHECK(support::holds(error->allowed(), "Haldane 1908, "));
    CHECK(support::holds(error->allowed(), "ZH-L12, ZH-L16C, "));
  }

  TEST_CASE("every set counts its compartments") {
    for (const CompartmentSet& set : compartment_sets) CHECK(set.count == compartment_count);
  }
}

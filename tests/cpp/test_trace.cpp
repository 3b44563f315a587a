#include "support.hpp"

#include <upline/trace.hpp>

#include <algorithm>
#include <cmath>
#include <string>

// Source: this project's definition, docs/theory.md, section "Limit". Samples are compared with the
// independent replay of support.hpp.

namespace {

using namespace upline;
using support::bare_rules;
using support::off;
using support::quince;
using support::quince_rules;
using support::single_level;

/// The replay at a run time of a plan.
support::LongWalk at(const Plan& made, double run_time) {
  support::LongWalk replay(compartment_set(made.rules.model), made.dive.environment.place(),
                           support::start_of(made));
  for (const Row& row : made.rows) {
    const double until = std::min(row.ends.base(), run_time);
    if (until <= row.begins.base()) break;
    const double share = (until - row.begins.base()) / (row.ends - row.begins).base();
    const double depth = row.from.base() + share * (row.to - row.from).base();
    replay.move(row.gas, row.from.base(), depth, until - row.begins.base());
  }
  return replay;
}

} // namespace

TEST_SUITE("trace") {
  TEST_CASE("samples are the replay of the plan") {
    const Plan made = plan(quince(), quince_rules());
    const Trace samples = trace(made, minutes(0.7));
    const CompartmentSet& set = compartment_set("ZH-L16C");
    const std::size_t count = samples.run_time.size();
    REQUIRE(count > 90);
    for (const std::size_t size :
         {samples.depth.size(), samples.ambient.size(), samples.ceiling.size(),
          samples.nitrogen.size(), samples.helium.size(), samples.tolerated.size(),
          samples.fraction.size()})
      CHECK(size == count);
    double worst = 0.0;
    for (std::size_t j = 0; j < count; j += 5) {
      const support::LongWalk replay = at(made, samples.run_time[j]);
      const auto factor = support::line_factor(made, samples.depth[j]);
      CHECK(off(samples.ambient[j], Place{}.pressure(samples.depth[j])) <= 1e-15);
      for (std::size_t i = 0; i < compartment_count; ++i) {
        worst = std::max(
            {worst, off(samples.nitrogen[j][i], static_cast<double>(replay.nitrogen(i))),
             off(samples.helium[j][i], static_cast<double>(replay.helium(i))),
             off(samples.tolerated[j][i], static_cast<double>(replay.tolerated(i, factor)))});
        CHECK(samples.fraction[j][i] == supersaturation_fraction(set, i, samples.nitrogen[j][i],
                                                                 samples.helium[j][i],
                                                                 samples.ambient[j]));
      }
    }
    CHECK(worst <= 1e-11);
  }

  TEST_CASE("there is a sample at every step and at the ends of every row") {
    const Plan made = plan(quince(), quince_rules());
    const Trace samples = trace(made, minutes(1.0));
    CHECK(samples.run_time.front() == 0.0);
    CHECK(samples.depth.front() == 0.0);
    CHECK(samples.run_time.back() == made.run_time.base());
    CHECK(samples.depth.back() == 0.0);
    for (std::size_t j = 1; j < samples.run_time.size(); ++j)
      CHECK(samples.run_time[j] > samples.run_time[j - 1]);
    const auto has = [&](double run_time) {
      return std::any_of(samples.run_time.begin(), samples.run_time.end(),
                         [&](double one) { return off(one, run_time) <= 1e-9; });
    };
    for (double t = 0.0; t < made.run_time.base(); t += 1.0) CHECK(has(t));
    for (const Row& row : made.rows) CHECK(has(row.ends.base()));
  }

  TEST_CASE("the ceiling is where the line is just kept and a plan never passes it") {
    const Plan made = plan(quince(), quince_rules());
    const Trace samples = trace(made, minutes(0.5));
    int below_surface = 0;
    for (std::size_t j = 0; j < samples.run_time.size(); j += 3) {
      CAPTURE(samples.run_time[j]);
      const double ceiling = samples.ceiling[j];
      CHECK(ceiling >= 0.0);
      const support::LongWalk replay = at(made, samples.run_time[j]);
      const auto beyond = [&](double depth) {
        return replay.beyond(depth, support::line_factor(made, depth));
      };
      CHECK(beyond(ceiling) <= 1e-9L);
      if (ceiling > 1e-6) {
        ++below_surface;
        CHECK(beyond(ceiling - 1e-6) > 0.0L);
      }
      if (samples.run_time[j] >= made.bottom_time.base()) CHECK(ceiling <= samples.depth[j] + 1e-6);
    }
    CHECK(below_surface > 20);
  }

  TEST_CASE("without an anchor the ceiling is the surface throughout") {
    const Plan made = plan(single_level(15.0, 10.0, {"32"}), bare_rules(0.4, 0.85));
    REQUIRE_FALSE(made.anchor.has_value());
    const Trace samples = trace(made, minutes(0.25));
    for (const double ceiling : samples.ceiling) CHECK(ceiling == 0.0);
  }

  TEST_CASE("a repetitive dive is traced from what the earlier one left") {
    Dive second = quince();
    second.start = rest(plan(quince(), quince_rules()).end, minutes(60.0));
    const Plan made = plan(second, quince_rules());
    const Trace samples = trace(made, minutes(5.0));
    CHECK(samples.nitrogen.front() == second.start->tissues.nitrogen);
    for (std::size_t i = 0; i < compartment_count; ++i)
      CHECK(off(samples.nitrogen.back()[i], made.end.tissues.nitrogen[i]) <= 1e-12);
  }

  TEST_CASE("what is allowed is where the fraction would be the line's factor") {
    const Plan made = plan(quince(), quince_rules());
    const Trace samples = trace(made, minutes(5.0));
    const CompartmentSet& set = compartment_set(made.rules.model);
    for (std::size_t k = 0; k < samples.run_time.size(); ++k)
      for (std::size_t i = 0; i < compartment_count; ++i) {
        // The same mixture, scaled until it is just allowed.
        const double total = samples.nitrogen[k][i] + samples.helium[k][i];
        const double scale = samples.allowed[k][i] / total;
        const double fraction =
            supersaturation_fraction(set, i, scale * samples.nitrogen[k][i],
                                     scale * samples.helium[k][i], samples.ambient[k]);
        CHECK(off(fraction, samples.factor[k]) <= 1e-12);
      }
  }

  TEST_CASE("a step out of range is refused") {
    const Plan made = plan(quince(), quince_rules());
    for (const double step : {0.0, -1.0, 0.016, 100001.0, std::nan("")})
      CHECK_THROWS_AS((void)trace(made, minutes(step)), InvalidInput);
    CHECK_NOTHROW((void)trace(made, minutes(1.0 / 60.0)));
    CHECK(trace(made, minutes(1000.0)).run_time.size() == made.rows.size() + 1); // ends of rows
    const Plan endless = plan(single_level(5.0, 90000.0, {"air"}), bare_rules(0.4, 0.85));
    const auto error =
        support::thrown<InvalidInput>([&] { (void)trace(endless, minutes(1.0 / 60.0)); });
    REQUIRE(error);
    CHECK(error->field() == "samples");
  }
}

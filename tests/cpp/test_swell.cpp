// The last stop in swell. Oxygen pressures follow by hand; the margin is held against a walk of the
// tests' own that makes the same waves.
#include "paths.hpp"
#include "support.hpp"

#include <upline/swell.hpp>

#include <vector>

using namespace upline;

namespace {

Plan demo(double last_stop) {
  Rules rules = support::quince_rules();
  rules.ladder.last_stop = metres(last_stop);
  return plan(support::quince(), rules);
}

const std::vector<Depth> amplitudes{metres(0.5), metres(1.0), metres(1.5)};
const Minutes wave = minutes(8.0 / 60.0);

} // namespace

TEST_SUITE("swell") {
  TEST_CASE("oxygen pressures are those of crest and trough") {
    const std::vector<SwellBand> bands = swell_at_last_stop(demo(6.0), amplitudes, wave);
    REQUIRE(bands.size() == 3);
    CHECK(support::off(bands[1].lowest_po2, 1.01325 + 0.5) <= 1e-12); // oxygen at 5 m
    CHECK(support::off(bands[1].highest_po2, 1.01325 + 0.7) <= 1e-12);
    CHECK(bands[1].shallowest == metres(5.0));
    CHECK(bands[1].deepest == metres(7.0));
  }

  TEST_CASE("the margin shrinks with the swell, and a shallow stop breaks the line first") {
    const std::vector<SwellBand> deep = swell_at_last_stop(demo(6.0), amplitudes, wave);
    const std::vector<SwellBand> shallow = swell_at_last_stop(demo(3.0), amplitudes, wave);
    for (std::size_t j = 0; j < 3; ++j) {
      CAPTURE(j);
      if (j > 0) CHECK(deep[j].margin < deep[j - 1].margin);
      // The plan arrives at the stop with no margin left, so every crest after it is beyond.
      CHECK(deep[j].margin < 0.0);
      CHECK(deep[j].beyond_for > Minutes());
      CHECK(shallow[j].beyond_for > Minutes());
    }
  }

  TEST_CASE("the margin is that of a walk that makes the same waves") {
    const Plan made = demo(6.0);
    const Stop& stop = made.stops.back();
    const SwellBand band = swell_at_last_stop(made, {metres(1.0)}, wave).front();
    support::LongWalk walk(compartment_set(made.rules.model), made.dive.environment.place(),
                           support::start_of(made));
    for (const Row& row : made.rows)
      if (row.ends <= stop.arrives)
        walk.move(row.gas, row.from.base(), row.to.base(), (row.ends - row.begins).base());
    const double span = (stop.departs - stop.arrives).base();
    const double waves = std::round(span / wave.base());
    const support::Real quarter = span / waves / 4.0;
    support::Real worst = 1e9L;
    support::Real depth = 6.0L;
    for (double k = 0.0; k < waves; ++k)
      for (const auto& [to, quarters] :
           {std::pair(5.0L, k == 0.0 ? 1.0L : 2.0L), std::pair(7.0L, 2.0L)}) {
        walk.move(stop.gas, depth, to, quarters * quarter);
        depth = to;
        worst =
            std::min(worst, -walk.beyond(to, support::line_factor(made, static_cast<double>(to))));
      }
    CHECK(support::off(band.margin, static_cast<double>(worst)) <= 1e-9);
  }

  TEST_CASE("the period of the waves hardly matters") {
    const Plan made = demo(6.0);
    const SwellBand quick = swell_at_last_stop(made, {metres(1.0)}, minutes(4.0 / 60.0)).front();
    const SwellBand slow = swell_at_last_stop(made, {metres(1.0)}, minutes(16.0 / 60.0)).front();
    CHECK(support::off(quick.surfacing_fraction, slow.surfacing_fraction) <= 1e-3);
    CHECK(support::off(quick.surfacing_fraction, made.surfacing_fraction) <= 2e-3);
  }

  TEST_CASE("what cannot be swell at that stop is an error") {
    const Plan made = demo(6.0);
    CHECK_THROWS_AS((void)swell_at_last_stop(made, {metres(6.0)}, wave), InvalidInput);
    CHECK_THROWS_AS((void)swell_at_last_stop(made, {metres(0.0)}, wave), InvalidInput);
    CHECK_THROWS_AS((void)swell_at_last_stop(made, amplitudes, minutes(0.0)), InvalidInput);
    Dive shallow = support::single_level(10.0, 10.0, {"32"});
    const Plan free = plan(shallow, support::quince_rules());
    REQUIRE(free.stops.empty());
    CHECK_THROWS_AS((void)swell_at_last_stop(free, amplitudes, wave), InvalidInput);
  }

  TEST_CASE("the path of a plan replays to what the plan says") {
    const Plan made = demo(6.0);
    const Replay again = replay(profile_of(made), made.rules);
    CHECK(support::off(again.surfacing_fraction, made.surfacing_fraction) <= 1e-12);
    REQUIRE(again.anchor.has_value());
    CHECK(support::off(again.anchor->base(), made.anchor->base()) <= 1e-9);
    CHECK(again.run_time == made.run_time);
    CHECK(again.oxygen.cns == doctest::Approx(made.oxygen.cns).epsilon(1e-12));
  }
}

#include "support.hpp"

#include <upline/replay.hpp>
#include <upline/replaying/taken_up.hpp>

#include <string>
#include <vector>

namespace {

using namespace upline;
using support::off;

/// Down to 57 m, up to 21 m and on to 6 m (invented).
Profile bare_path() {
  Profile path;
  for (const auto& [at, depth] : std::vector<std::pair<double, double>>{{0.0, 0.0},
                                                                        {3.0, 57.0},
                                                                        {25.0, 57.0},
                                                                        {29.0, 21.0},
                                                                        {32.0, 21.0},
                                                                        {60.0, 6.0},
                                                                        {80.0, 6.0},
                                                                        {81.0, 0.0}})
    path.waypoints.push_back({minutes(at), metres(depth), {}});
  path.bottom_left = minutes(25.0);
  return path;
}

const Rules rules{.factors = GradientFactors(0.4, 0.8)};

} // namespace

TEST_SUITE("gases along a path") {
  TEST_CASE("each gas begins at its depth on the way up, and is noted") {
    Profile path = bare_path();
    const std::vector<GasChoice> gases{"18/45", "50", "O2@9"};
    const auto notes = detail::GasesAlongPath(path, gases, rules).write();
    REQUIRE(notes.size() == 3);
    CHECK(path.waypoints[0].gas == Gas::parse("18/45"));
    CHECK(path.waypoints[3].gas == Gas::parse("50"));
    REQUIRE(path.waypoints.size() == 9);
    CHECK(path.waypoints[5].gas == Gas::parse("O2"));
    CHECK(off(in_metres(path.waypoints[5].depth), 9.0) <= 1e-12);
    CHECK(off(in_minutes(path.waypoints[5].at), 32.0 + 28.0 * 12.0 / 15.0) <= 1e-12);
    CHECK(notes[2].find("oxygen is taken as breathed from 9 m") == 0);
  }

  TEST_CASE("a path that names a gas keeps its own") {
    Profile path = bare_path();
    path.waypoints[0].gas = Gas::parse("18/45");
    const std::vector<GasChoice> gases{"18/45", "50"};
    const auto notes = detail::GasesAlongPath(path, gases, rules).write();
    CHECK(path.waypoints.size() == 8);
    CHECK_FALSE(path.waypoints[3].gas.has_value());
    REQUIRE(notes.size() == 1);
    CHECK(notes[0].find("50 % is not taken as breathed") == 0);
  }

  TEST_CASE("two gases at one depth are refused") {
    Profile path = bare_path();
    const std::vector<GasChoice> gases{"18/45", "50@21", "O2@21"};
    CHECK_THROWS_AS((void)detail::GasesAlongPath(path, gases, rules).write(), InvalidInput);
  }
}

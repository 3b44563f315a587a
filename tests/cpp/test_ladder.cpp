#include "support.hpp"

#include <upline/ladder.hpp>

#include <string>
#include <tuple>
#include <vector>

// Source of every rule here: this project's definition, docs/theory.md, section "Ascent".

namespace {

using namespace upline;
using detail::RateTable;
using detail::rungs_between;
using support::off;

std::vector<Depth> in_m(const std::vector<double>& depths) {
  std::vector<Depth> result;
  for (const double depth : depths) result.push_back(metres(depth));
  return result;
}

Ladder regular(double spacing, double last_stop) {
  Ladder ladder;
  ladder.spacing = metres(spacing);
  ladder.last_stop = metres(last_stop);
  return ladder;
}

Ladder explicit_rungs(const std::vector<double>& depths) {
  Ladder ladder;
  ladder.rungs = in_m(depths);
  return ladder;
}

using Piece = std::tuple<double, double, double>;

std::vector<Piece> pieces(const RateTable& rates, double from, double to) {
  std::vector<Piece> result;
  rates.split(from, to, [&](double start, double end, double rate) {
    result.emplace_back(start, end, rate);
  });
  return result;
}

RateZone zone(double deeper_than, double rate) {
  return {metres(deeper_than), metres_per_minute(rate)};
}

std::string field_of(const std::vector<RateZone>& zones) {
  const auto error = support::thrown<InvalidInput>([&] { (void)RateTable(zones); });
  return error ? error->field() : "nothing thrown";
}

std::string field_of(const Ladder& ladder) {
  const auto error = support::thrown<InvalidInput>([&] { detail::require_ladder(ladder); });
  return error ? error->field() : "nothing thrown";
}

} // namespace

TEST_SUITE("ladder") {
  TEST_CASE("rungs are the last stop and the multiples of the spacing deeper than it") {
    using V = std::vector<double>;
    CHECK(rungs_between(regular(3.0, 3.0), 20.0, 0.0) == V{18, 15, 12, 9, 6, 3});
    CHECK(rungs_between(regular(3.0, 6.0), 20.0, 0.0) == V{18, 15, 12, 9, 6});
    CHECK(rungs_between(regular(3.0, 4.5), 20.0, 0.0) == V{18, 15, 12, 9, 6, 4.5});
    CHECK(rungs_between(regular(3.0, 5.0), 20.0, 0.0) == V{18, 15, 12, 9, 6, 5});
    CHECK(rungs_between(regular(10.0, 3.0), 20.5, 0.0) == V{20, 10, 3});
    CHECK(rungs_between(regular(30.0, 3.0), 20.0, 0.0) == V{3});
  }

  TEST_CASE("neither the bottom nor the target is a rung") {
    using V = std::vector<double>;
    CHECK(rungs_between(regular(3.0, 3.0), 12.0, 0.0) == V{9, 6, 3});
    CHECK(rungs_between(regular(3.0, 3.0), 12.0, 6.0) == V{9});
    CHECK(rungs_between(regular(3.0, 3.0), 12.0, 10.0).empty());
    CHECK(rungs_between(regular(3.0, 3.0), 3.0, 0.0).empty());
    CHECK(rungs_between(regular(3.0, 3.0), 2.0, 0.0).empty());
    CHECK(rungs_between(regular(3.0, 6.0), 5.0, 0.0).empty());
  }

  TEST_CASE("a ladder in whole feet has its rungs at whole feet") {
    Ladder ladder;
    ladder.spacing = feet(10.0);
    ladder.last_stop = feet(20.0);
    const std::vector<double> rungs = rungs_between(ladder, in_metres(feet(100.0)), 0.0);
    REQUIRE(rungs.size() == 8); // 90 to 20; 100 ft is the bottom itself
    for (std::size_t j = 0; j < rungs.size(); ++j) {
      CAPTURE(j);
      CHECK(off(in_feet(metres(rungs[j])), 90.0 - 10.0 * static_cast<double>(j)) <= 1e-12);
    }
  }

  TEST_CASE("an explicit list may come in any order and twice") {
    using V = std::vector<double>;
    CHECK(rungs_between(explicit_rungs({6, 21, 9, 9, 30, 4.5}), 25.0, 0.0) == V{21, 9, 6, 4.5});
    CHECK(rungs_between(explicit_rungs({6, 21, 9}), 21.0, 6.0) == V{9});
    // Within 1e-9 m two depths are one.
    CHECK(rungs_between(explicit_rungs({6, 6 + 5e-10}), 25.0, 0.0).size() == 1);
  }

  TEST_CASE("a ladder that cannot be climbed is refused by its field") {
    const double nan = std::nan("");
    CHECK(field_of(regular(0.49, 3.0)) == "spacing");
    CHECK(field_of(regular(nan, 3.0)) == "spacing");
    CHECK(field_of(regular(3.0, 0.0)) == "last_stop");
    CHECK(field_of(regular(3.0, -3.0)) == "last_stop");
    CHECK(field_of(regular(3.0, nan)) == "last_stop");
    CHECK(field_of(explicit_rungs({9, 6, 0})) == "ladder");
    CHECK(field_of(explicit_rungs({9, nan})) == "ladder");
    CHECK(field_of(explicit_rungs({351})) == "ladder");
    CHECK(field_of(explicit_rungs(std::vector<double>(1001, 3.0))) == "ladder");
    CHECK(field_of(regular(0.5, 0.5)) == "nothing thrown");
    CHECK(field_of(explicit_rungs(std::vector<double>(1000, 3.0))) == "nothing thrown");
  }

  TEST_CASE("an ascent is split at the borders of the zones") {
    const RateTable rates({zone(0, 3), zone(21, 9), zone(6, 6)}); // in any order
    CHECK(pieces(rates, 57, 0) == std::vector<Piece>{{57, 21, 9}, {21, 6, 6}, {6, 0, 3}});
    CHECK(pieces(rates, 24, 21) == std::vector<Piece>{{24, 21, 9}});
    CHECK(pieces(rates, 21, 18) == std::vector<Piece>{{21, 18, 6}}); // 9 only deeper than 21
    CHECK(pieces(rates, 22, 20) == std::vector<Piece>{{22, 21, 9}, {21, 20, 6}});
    CHECK(pieces(rates, 6, 0) == std::vector<Piece>{{6, 0, 3}});
    CHECK(pieces(rates, 6, 6).empty());
    CHECK(rates.fastest() == 9.0);
    CHECK(pieces(RateTable(9.0), 57, 3) == std::vector<Piece>{{57, 3, 9}});
  }

  TEST_CASE("pieces of a split ascent fit together wherever it begins") {
    const RateTable rates({zone(40, 18), zone(12.5, 9), zone(1, 5), zone(0, 1)});
    for (const double from : {350.0, 40.0, 40.0 + 1e-10, 39.9, 12.5, 7.0, 1.0, 0.5})
      for (const double to : {0.0, 0.3, 1.0, 1.0 - 1e-10, 5.0, 12.5, 30.0}) {
        if (to >= from) continue;
        CAPTURE(from);
        CAPTURE(to);
        const std::vector<Piece> split = pieces(rates, from, to);
        REQUIRE_FALSE(split.empty());
        CHECK(std::get<0>(split.front()) == from);
        CHECK(std::get<1>(split.back()) == to);
        for (std::size_t j = 0; j < split.size(); ++j) {
          CHECK(std::get<0>(split[j]) > std::get<1>(split[j]));
          if (j > 0) CHECK(std::get<0>(split[j]) == std::get<1>(split[j - 1]));
        }
      }
  }

  TEST_CASE("zones that leave a depth without a rate are refused") {
    CHECK(field_of(std::vector<RateZone>{}) == "ascent_rate");
    CHECK(field_of({zone(0, 0.4)}) == "ascent_rate");
    CHECK(field_of({zone(0, 101)}) == "ascent_rate");
    CHECK(field_of({zone(0, std::nan(""))}) == "ascent_rate");
    CHECK(field_of({zone(6, 9)}) == "ascent_rate border");
    CHECK(field_of({zone(6, 9), zone(6, 3), zone(0, 3)}) == "ascent_rate border");
    CHECK(field_of({zone(-1, 9), zone(0, 3)}) == "ascent_rate border");
    CHECK(field_of({zone(351, 9), zone(0, 3)}) == "ascent_rate border");
    CHECK(field_of({zone(0, 0.5), zone(350, 100)}) == "nothing thrown");
  }
}

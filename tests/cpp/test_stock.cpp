#include "support.hpp"

#include <upline/stock.hpp>
#include <upline/stock_text.hpp>

#include <doctest/doctest.h>

#include <algorithm>
#include <cstddef>
#include <random>
#include <string>
#include <vector>

namespace {

using namespace upline;

Rules rules() {
  Rules rules{.factors = GradientFactors(0.4, 0.8)};
  rules.ladder.last_stop = metres(6.0);
  return rules;
}

Dive dive_to(double depth, double until) { return {.levels = {{metres(depth), minutes(until)}}}; }

std::vector<GasChoice> stock_of(std::initializer_list<const char*> mixes) {
  std::vector<GasChoice> stock;
  for (const char* mix : mixes) stock.push_back(GasChoice::parse(mix));
  return stock;
}

/// What the planner says of one set; nothing where the set cannot be used.
std::optional<Plan> planned(Dive dive, const std::vector<GasChoice>& gases,
                            const StockLimits& limits) {
  dive.gases = gases;
  std::optional<Plan> made;
  try {
    made = plan(dive, rules());
  } catch (const Error&) {
    return {};
  }
  if (made->refused()) return {};
  for (const GasChoice& one : gases) {
    bool breathed = false;
    for (const Row& row : made->rows) breathed = breathed || row.gas == one.gas;
    if (!breathed) return {};
    if (limits.without_oxygen_handling && one.gas.oxygen > *limits.oxygen_handling_above) return {};
  }
  if (limits.density && made->extremes.highest_density.value > *limits.density) return {};
  const double deepest = in_metres(dive.levels.front().depth);
  if (limits.narcotic_depth &&
      equivalent_narcotic_depth(gases.front().gas, deepest, limits.narcotic) >
          in_metres(*limits.narcotic_depth))
    return {};
  return made;
}

/// All sets by counting through the subsets of the stock.
std::vector<std::pair<std::vector<GasChoice>, Plan>>
brute_force(const Dive& dive, const std::vector<GasChoice>& stock, const StockLimits& limits) {
  std::vector<std::pair<std::vector<GasChoice>, Plan>> found;
  for (std::size_t bottom = 0; bottom < stock.size(); ++bottom)
    for (std::size_t mask = 0; mask < (std::size_t{1} << stock.size()); ++mask) {
      if (mask & (std::size_t{1} << bottom)) continue;
      std::vector<GasChoice> gases{{stock[bottom].gas}};
      for (std::size_t j = 0; j < stock.size(); ++j)
        if (mask & (std::size_t{1} << j)) gases.push_back(stock[j]);
      if (gases.size() > limits.most_ascent_gases + 1) continue;
      if (auto made = planned(dive, gases, limits)) found.emplace_back(gases, *made);
    }
  return found;
}

const GasSet* set_of(const StockChoice& choice, const std::vector<GasChoice>& gases) {
  for (const GasSet& set : choice.sets)
    if (set.gases == gases) return &set;
  return nullptr;
}

TEST_SUITE("stock") {
  TEST_CASE("the admissible sets are those of the plain planner, over drawn stocks and limits") {
    std::mt19937 random(20);
    const std::vector<GasChoice> all = stock_of(
        {"air", "28", "32", "36", "40", "50", "80", "O2", "25/25", "21/35", "18/45", "50@18"});
    std::size_t sets = 0;
    for (int round = 0; round < 12; ++round) {
      std::vector<GasChoice> stock;
      for (const GasChoice& one : all)
        if (random() % 2 == 0 &&
            std::none_of(stock.begin(), stock.end(),
                         [&](const GasChoice& other) { return other.gas == one.gas; }))
          stock.push_back(one);
      if (stock.empty()) continue;
      StockLimits limits;
      limits.most_ascent_gases = random() % 4;
      if (random() % 2 == 0) limits.narcotic_depth = metres(30.0 + double(random() % 20));
      if (random() % 2 == 0) limits.density = 5.2 + 0.1 * double(random() % 11);
      if (random() % 2 == 0) {
        limits.oxygen_handling_above = 0.4;
        limits.without_oxygen_handling = true;
      }
      const Dive dive = dive_to(30.0 + double(random() % 30), 15.0 + double(random() % 20));
      const StockChoice choice = choose_gases(dive, rules(), stock, limits);
      const auto expected = brute_force(dive, stock, limits);
      CAPTURE(round);
      REQUIRE(choice.sets.size() == expected.size());
      for (const auto& [gases, made] : expected) {
        const GasSet* set = set_of(choice, gases);
        REQUIRE(set != nullptr);
        CHECK(set->time_to_surface == made.time_to_surface());
        CHECK(set->run_time == made.run_time);
        CHECK(set->cns == made.oxygen.cns_total);
      }
      sets += expected.size();
    }
    CHECK(sets > 100);
  }

  TEST_CASE("what a gas saves is the difference of two plans, and nothing where one is lacking") {
    const std::vector<GasChoice> stock = stock_of({"18/45", "50", "O2", "32"});
    const Dive dive = dive_to(57.0, 25.0);
    const StockChoice choice = choose_gases(dive, rules(), stock, {.most_ascent_gases = 3});
    std::size_t judged = 0;
    for (const GasSet& set : choice.sets) {
      REQUIRE(set.worth.size() == set.gases.size() - 1);
      for (std::size_t j = 0; j < set.worth.size(); ++j) {
        CHECK(set.worth[j].gas == set.gases[j + 1].gas);
        std::vector<GasChoice> without = set.gases;
        without.erase(without.begin() + static_cast<std::ptrdiff_t>(j) + 1);
        const auto other = planned(dive, without, {});
        REQUIRE(set.worth[j].saves.has_value() == other.has_value());
        if (!other) continue;
        CHECK(*set.worth[j].saves == other->time_to_surface() - set.time_to_surface);
        ++judged;
      }
    }
    CHECK(judged >= 4);
  }

  TEST_CASE("unbeaten means that no other set is as good in everything and better in one thing") {
    StockLimits limits{.most_ascent_gases = 3, .oxygen_handling_above = 0.4};
    const StockChoice choice =
        choose_gases(dive_to(45.0, 25.0), rules(),
                     stock_of({"21/35", "18/45", "36", "40", "50", "80", "O2"}), limits);
    const auto merits = [](const GasSet& set) {
      return std::vector<double>{in_minutes(set.time_to_surface), double(set.gases.size()),
                                 set.bar_minutes, set.cns, *set.oxygen_handling ? 1.0 : 0.0};
    };
    std::size_t unbeaten = 0;
    for (const GasSet& set : choice.sets) {
      bool beaten = false;
      for (const GasSet& other : choice.sets) {
        const auto a = merits(other);
        const auto b = merits(set);
        bool as_good = true;
        bool better = false;
        for (std::size_t j = 0; j < a.size(); ++j) {
          as_good = as_good && a[j] <= b[j] + 1e-9;
          better = better || a[j] < b[j] - 1e-9;
        }
        beaten = beaten || (as_good && better);
      }
      CHECK(set.unbeaten == !beaten);
      unbeaten += set.unbeaten ? 1 : 0;
    }
    CHECK(unbeaten > 3);
    CHECK(unbeaten < choice.sets.size());
  }

  TEST_CASE("every set that was dropped has the first reason that holds") {
    StockLimits limits{.most_ascent_gases = 2};
    limits.oxygen_handling_above = 0.4;
    limits.without_oxygen_handling = true;
    limits.narcotic_depth = metres(35.0);
    const StockChoice choice = choose_gases(
        dive_to(45.0, 25.0), rules(), stock_of({"air", "21/35", "36", "50", "12/60"}), limits);
    const auto why = [&](const std::vector<GasChoice>& gases) -> std::optional<Dropped> {
      for (const DroppedSet& set : choice.dropped)
        if (set.gases == gases) return set.why;
      return {};
    };
    CHECK(why(stock_of({"50"})) == Dropped::oxygen_handling);
    CHECK(why(stock_of({"air"})) == Dropped::too_narcotic);
    CHECK(why(stock_of({"12/60"})) == Dropped::no_schedule);           // hypoxic at the surface
    CHECK(why(stock_of({"21/35", "12/60"})) == Dropped::not_taken_up); // leaner
    CHECK(why(stock_of({"21/35", "36"})) == std::nullopt);
  }

  TEST_CASE("nitrogen may rise at a switch only as far as it is told") {
    // 18/45 to 50 %: nitrogen from 37 to 50 %, helium from 45 to 0: 13 / 45 = 0.289.
    const std::vector<GasChoice> stock = stock_of({"18/45", "50"});
    const std::vector<GasChoice> both = stock_of({"18/45", "50"});
    for (const double limit : {0.28, 0.29}) {
      const StockChoice choice =
          choose_gases(dive_to(57.0, 25.0), rules(), stock, {.nitrogen_rise = limit});
      CHECK((set_of(choice, both) != nullptr) == (limit > 13.0 / 45.0));
      for (const DroppedSet& set : choice.dropped)
        if (set.why == Dropped::nitrogen_rises) CHECK(set.value == doctest::Approx(13.0 / 45.0));
    }
  }

  TEST_CASE("the text names what was judged, every reason, and the caution") {
    StockLimits limits{.most_ascent_gases = 1};
    const std::vector<GasChoice> stock = stock_of({"18/45", "50", "air"});
    const Dive dive = dive_to(57.0, 25.0);
    const std::string text = stock_text(choose_gases(dive, rules(), stock, limits), dive, rules());
    CHECK(text.find("Gases for 57 m until 25 min (40/80, ZH-L16C)") == 0);
    CHECK(text.find("not judged") != std::string::npos);
    CHECK(text.find("None of them is") != std::string::npos);
    CHECK(text.find("does not make a dive safe") != std::string::npos);
    const std::string none =
        stock_text(choose_gases(dive, rules(), stock_of({"O2"}), limits), dive, rules());
    CHECK(none.find("No set of these gases makes this dive.") != std::string::npos);
    CHECK(none.find("no schedule") != std::string::npos);
  }

  TEST_CASE("limits and stocks that make no sense are refused with their field") {
    const Dive dive = dive_to(45.0, 25.0);
    const std::vector<GasChoice> stock = stock_of({"21/35", "50"});
    const auto message = [&](const std::vector<GasChoice>& gases, const StockLimits& limits) {
      try {
        (void)choose_gases(dive, rules(), gases, limits);
      } catch (const InvalidInput& error) {
        return std::string(error.what());
      }
      return std::string();
    };
    CHECK(message({}, {}).find("stock") == 0);
    CHECK(message(stock_of({"50", "EAN50"}), {}).find("named twice") != std::string::npos);
    CHECK(message(stock, {.most_ascent_gases = 4}).find("most_ascent_gases") == 0);
    CHECK(message(stock, {.without_oxygen_handling = true}).find("oxygen_handling_above") == 0);
    CHECK(message(stock, {.density = -1.0}).find("density") == 0);
    CHECK(message(stock, {.nitrogen_rise = 2.0}).find("nitrogen_rise") == 0);
    CHECK(message(stock, {.oxygen_handling_above = 40.0}).find("oxygen_handling_above") == 0);
    CHECK(message(stock, {.narcotic_depth = metres(-1.0)}).find("narcotic_depth") == 0);
  }
}

} // namespace

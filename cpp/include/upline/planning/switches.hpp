#pragma once
/// @file
/// @brief At which depth the ascent goes over to which gas.

#include <upline/caution.hpp>
#include <upline/dive.hpp>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

namespace upline::detail {

/// @brief A switch of the ascent.
struct Switch {
  double depth = 0.0; ///< At which it is made [m].
  Gas gas{};
  bool given = false;  ///< Depth stated by the person, not found by the rule.
  double stated = 0.0; ///< The depth as stated [m].
};

/// @brief A gas that the ascent leaves alone, and why.
struct UnusedGas {
  Gas gas{};
  Unused reason{};
  Gas in_use{}; ///< When it would have been taken up.
};

/// @brief Switches of an ascent from the bottom, deepest first.
struct SwitchList {
  std::vector<Switch> made{};
  std::vector<UnusedGas> unused{};
};

/// @brief Finds the switches of one dive.
class SwitchFinder {
public:
  SwitchFinder(const Dive& dive, const Rules& rules, const Place& place, double bottom)
      : dive_(dive), place_(place), bottom_(bottom), deepest_(deepest_level(dive)),
        limit_(in_bar(rules.max_deco_po2) + in_bar(rules.po2_tolerance)),
        rungs_(rungs_between(rules.ladder, bottom, 0.0)) {}

  /// @throws InvalidInput for a given depth that is too deep for its gas, or two gases at one
  /// depth.
  [[nodiscard]] SwitchList find() const {
    SwitchList list;
    for (std::size_t j = 1; j < dive_.gases.size(); ++j) place_one(dive_.gases[j], list);
    std::stable_sort(list.made.begin(), list.made.end(),
                     [](const Switch& x, const Switch& y) { return x.stated > y.stated; });
    for (std::size_t j = 1; j < list.made.size(); ++j)
      if (collide(list.made[j - 1], list.made[j])) throw_shared(list, j);
    drop_leaner(list);
    return list;
  }

private:
  void place_one(const GasChoice& choice, SwitchList& list) const {
    if (choice.switch_depth) {
      const double stated = in_metres(*choice.switch_depth);
      require_breathable(choice.gas, std::min(stated, deepest_));
      list.made.push_back({std::min(stated, bottom_), choice.gas, true, stated});
      return;
    }
    const Gas& bottom_gas = dive_.gases.front().gas;
    if (choice.gas.oxygen <= bottom_gas.oxygen) {
      list.unused.push_back({choice.gas, Unused::not_richer, bottom_gas});
      return;
    }
    const auto rung = std::find_if(rungs_.begin(), rungs_.end(), [&](double depth) {
      return !given_elsewhere(depth) && usual_po2(choice.gas, depth) <= limit_ + rounding;
    });
    if (rung == rungs_.end())
      list.unused.push_back({choice.gas, Unused::never_qualifies, bottom_gas});
    else
      list.made.push_back({*rung, choice.gas, false, *rung});
  }

  [[nodiscard]] static double deepest_level(const Dive& dive) {
    double deepest = 0.0;
    for (const Level& level : dive.levels) deepest = std::max(deepest, in_metres(level.depth));
    return deepest;
  }

  /// For the rule alone: a high barometer must not take a gas from its usual depth.
  [[nodiscard]] double usual_po2(const Gas& gas, double depth) const {
    return gas.oxygen *
           (std::min(place_.surface, standard_surface_pressure) + depth * place_.per_metre);
  }

  [[nodiscard]] bool given_elsewhere(double depth) const {
    return std::any_of(dive_.gases.begin() + 1, dive_.gases.end(), [&](const GasChoice& other) {
      return other.switch_depth && std::abs(in_metres(*other.switch_depth) - depth) <= same_depth;
    });
  }

  void require_breathable(const Gas& gas, double depth) const {
    const double po2 = gas.oxygen * place_.pressure(depth);
    if (po2 <= limit_ + rounding) return;
    throw InvalidInput("gas switch depth",
                       gas.text() + " at " + length_text(metres(depth)) + ", " + fixed(po2, 2) +
                           " bar of oxygen",
                       "up to " + trimmed(limit_, 3) + " bar (max_deco_po2 and po2_tolerance)",
                       "switch shallower, use a leaner gas, or name a higher max_deco_po2");
  }

  /// Two that an earlier ascent passes are made there, one after the other; two that no ascent
  /// passes would both be made on leaving the bottom.
  [[nodiscard]] bool collide(const Switch& deeper, const Switch& shallower) const {
    return deeper.stated - shallower.stated <= same_depth ||
           shallower.stated >= deepest_ - same_depth;
  }

  [[noreturn]] static void throw_shared(const SwitchList& list, std::size_t j) {
    throw InvalidInput("gases",
                       list.made[j - 1].gas.text() + " and " + list.made[j].gas.text() +
                           ", both taken up at " + length_text(metres(list.made[j].depth)),
                       "one gas at each depth",
                       "leave one out, or give one of them another switch depth (\"50@18\")");
  }

  /// Found depths follow the oxygen fraction, but a given depth may put a richer gas before.
  void drop_leaner(SwitchList& list) const {
    Gas in_use = dive_.gases.front().gas;
    std::vector<Switch> kept;
    for (const Switch& one : list.made) {
      if (!one.given && one.gas.oxygen <= in_use.oxygen) {
        list.unused.push_back({one.gas, Unused::not_richer, in_use});
        continue;
      }
      kept.push_back(one);
      in_use = one.gas;
    }
    list.made = std::move(kept);
  }

  static constexpr double rounding = 1e-9; // [bar]
  const Dive& dive_;
  Place place_;
  double bottom_;
  double deepest_;
  double limit_;
  std::vector<double> rungs_;
};

} // namespace upline::detail

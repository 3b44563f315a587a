#pragma once
/// @file
/// @brief At which depth the ascent goes over to which gas.

#include <upline/caution.hpp>
#include <upline/dive.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>
#include <string>
#include <utility>
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

/// @brief Where a gas is taken up whose depth nobody gave.
/// @par Source
/// docs/theory.md, eq. (17).
class SwitchRule {
public:
  SwitchRule(const Rules& rules, const Place& place)
      : limit_(in_bar(rules.max_deco_po2) + in_bar(rules.po2_tolerance)),
        surface_(std::min(place.surface, standard_surface_pressure)), per_metre_(place.per_metre) {}

  /// @brief What may be breathed on the way up [bar].
  [[nodiscard]] double limit() const { return limit_; }
  /// @brief Whether an oxygen pressure is within it [bar].
  [[nodiscard]] bool admits(double po2) const { return po2 <= limit_ + rounding; }

  /// @brief The deepest rung at which a gas is within the limit [m].
  /// @param rungs In order, deepest first [m].
  /// @param given Depths that other gases have taken [m].
  [[nodiscard]] std::optional<double> deepest(const Gas& gas, const std::vector<double>& rungs,
                                              const std::vector<double>& given) const {
    const auto taken = [&](double depth) {
      return std::any_of(given.begin(), given.end(),
                         [&](double other) { return std::abs(other - depth) <= same_depth; });
    };
    const auto rung = std::find_if(rungs.begin(), rungs.end(), [&](double depth) {
      return !taken(depth) && admits(usual_po2(gas, depth));
    });
    if (rung == rungs.end()) return {};
    return *rung;
  }

  /// @brief Takes out of the switches, deepest first, those found by the rule to a gas that is no
  /// richer than the one in use: a given depth may put a richer gas before.
  static void drop_leaner(const Gas& bottom_gas, SwitchList& list) {
    Gas in_use = bottom_gas;
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

private:
  /// A high barometer must not take a gas from its usual depth.
  [[nodiscard]] double usual_po2(const Gas& gas, double depth) const {
    return gas.oxygen * (surface_ + depth * per_metre_);
  }

  static constexpr double rounding = 1e-9; // [bar]
  double limit_;
  double surface_;
  double per_metre_;
};

/// @brief Finds the switches of one dive.
class SwitchFinder {
public:
  SwitchFinder(const Dive& dive, const Rules& rules, const Place& place, double bottom)
      : dive_(dive), place_(place), bottom_(bottom), deepest_(in_metres(deepest_level(dive))),
        rule_(rules, place), rungs_(rungs_between(rules.ladder, bottom, 0.0)),
        given_(given_depths(dive)) {}

  /// @throws InvalidInput for a given depth that is too deep for its gas, or two gases at one
  /// depth.
  [[nodiscard]] SwitchList find() const {
    SwitchList list;
    for (std::size_t j = 1; j < dive_.gases.size(); ++j) place_one(dive_.gases[j], list);
    std::stable_sort(list.made.begin(), list.made.end(),
                     [](const Switch& x, const Switch& y) { return x.stated > y.stated; });
    for (std::size_t j = 1; j < list.made.size(); ++j)
      if (collide(list.made[j - 1], list.made[j])) throw_shared(list, j);
    SwitchRule::drop_leaner(dive_.gases.front().gas, list);
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
    const auto rung = rule_.deepest(choice.gas, rungs_, given_);
    if (!rung)
      list.unused.push_back({choice.gas, Unused::never_qualifies, bottom_gas});
    else
      list.made.push_back({*rung, choice.gas, false, *rung});
  }

  [[nodiscard]] static std::vector<double> given_depths(const Dive& dive) {
    std::vector<double> depths;
    for (std::size_t j = 1; j < dive.gases.size(); ++j)
      if (dive.gases[j].switch_depth) depths.push_back(in_metres(*dive.gases[j].switch_depth));
    return depths;
  }

  void require_breathable(const Gas& gas, double depth) const {
    const double po2 = gas.oxygen * place_.pressure(depth);
    if (rule_.admits(po2)) return;
    throw InvalidInput(
        "gas switch depth",
        gas.text() + " at " + length_text(metres(depth)) + ", " + fixed(po2, 2) + " bar of oxygen",
        "up to " + trimmed(rule_.limit(), 3) + " bar (max_deco_po2 and po2_tolerance)",
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

  const Dive& dive_;
  Place place_;
  double bottom_;
  double deepest_;
  SwitchRule rule_;
  std::vector<double> rungs_;
  std::vector<double> given_; // depths that were [m]
};

} // namespace upline::detail

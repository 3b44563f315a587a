#pragma once
/// @file
/// @brief Whether plans are of one dive, each with a diver's own analysed gases and past; and the
/// depths at which all of them go over to the next gas.

#include <upline/detail/number.hpp>
#include <upline/detail/require.hpp>
#include <upline/dive.hpp>
#include <upline/error.hpp>
#include <upline/planning/switches.hpp>
#include <upline/schedule.hpp>

#include <algorithm>
#include <cstddef>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace upline::detail {

/// @brief One diver's dive and rules under their name.
struct NamedDive {
  std::string name{};
  Dive dive{};
  Rules rules;
};

/// @brief Runs `f`, and puts a name before what it throws.
template <class F>
auto named(const std::string& name, F&& f) {
  try {
    return f();
  } catch (const InvalidInput& error) {
    throw InvalidInput(name + "'s " + error.field(), error.value(), error.allowed(),
                       error.remedy());
  } catch (const NoAscent& error) {
    throw NoAscent(name + ": " + error.what());
  }
}

/// @brief Compares one diver's dive with the first one's.
class Agreement {
public:
  Agreement(const NamedDive& first, const NamedDive& other) : first_(first), other_(other) {}

  /// @throws InvalidInput naming the diver and the field in which they differ.
  void require() const {
    require_rules_agree();
    same("levels", first_.dive.levels == other_.dive.levels);
    same("environment",
         place_of(first_) == place_of(other_) && water_of(first_) == water_of(other_));
    same("travel", first_.dive.travel.has_value() == other_.dive.travel.has_value() &&
                       (!first_.dive.travel || first_.dive.travel->to == other_.dive.travel->to));
    require_gases_agree();
  }

private:
  void require_rules_agree() const {
    const Rules& a = first_.rules;
    const Rules& b = other_.rules;
    same("units", a.units == b.units);
    same("gf", a.factors == b.factors);
    same("model", a.model == b.model);
    same("rounding", a.rounding == b.rounding);
    same("resolution", a.resolution == b.resolution);
    same("min_stop", a.min_stop == b.min_stop);
    same("switch_time", a.switch_time == b.switch_time);
    const bool by_spacing = a.ladder.rungs.empty() && b.ladder.rungs.empty();
    same("ladder", a.ladder.rungs == b.ladder.rungs);
    same("last_stop", !by_spacing || a.ladder.last_stop == b.ladder.last_stop);
    same("spacing", !by_spacing || a.ladder.spacing == b.ladder.spacing);
    same("descent_rate", a.descent_rate == b.descent_rate);
    same("ascent_rate", a.ascent_rates == b.ascent_rates);
    same("surfacing_rate", a.surfacing_rate == b.surfacing_rate);
    same("max_po2", a.max_po2 == b.max_po2);
    same("max_deco_po2", a.max_deco_po2 == b.max_deco_po2);
    same("po2_tolerance", a.po2_tolerance == b.po2_tolerance);
    same("min_po2", a.min_po2 == b.min_po2);
  }

  void require_gases_agree() const {
    const auto& a = first_.dive.gases;
    const auto& b = other_.dive.gases;
    if (a.size() != b.size())
      throw InvalidInput(other_.name + "'s gases", std::to_string(b.size()) + " gases",
                         std::to_string(a.size()) + " gases, as " + first_.name + "'s",
                         "give every diver the same number of gases, in the same order");
    for (std::size_t j = 0; j < a.size(); ++j) {
      same("switch depth of gas " + std::to_string(j + 1), a[j].switch_depth == b[j].switch_depth);
      for (std::size_t k = 0; k < j; ++k)
        if ((a[j].gas.oxygen - a[k].gas.oxygen) * (b[j].gas.oxygen - b[k].gas.oxygen) < 0.0)
          throw InvalidInput(other_.name + "'s gases",
                             b[k].gas.text() + " before " + b[j].gas.text(),
                             "the order of " + first_.name + "'s, " + a[k].gas.text() + " before " +
                                 a[j].gas.text(),
                             "give the gases of every diver in the same order");
    }
  }

  void same(const std::string& field, bool agrees) const {
    if (agrees) return;
    throw InvalidInput(other_.name + "'s " + field, "not that of " + first_.name,
                       "the same for every diver; each may have their own analysed gases, start, "
                       "acclimatisation and breathing rates",
                       "plan the same dive for every diver");
  }

  [[nodiscard]] static Place place_of(const NamedDive& one) { return one.dive.environment.place(); }
  [[nodiscard]] static std::optional<double> water_of(const NamedDive& one) {
    return one.dive.environment.water_density;
  }

  const NamedDive& first_;
  const NamedDive& other_;
};

/// @brief A gas of the ascent, and where each diver alone and all of them together take it up.
struct SharedSwitch {
  std::size_t gas = 0;       ///< Which of the gases, from 0.
  double depth = 0.0;        ///< The shallowest of the divers' own [m].
  std::vector<double> own{}; ///< In the order of the divers [m].
};

/// @brief Finds the depths at which all take up each gas, and makes every diver's dive keep them.
class SharedSwitches {
public:
  explicit SharedSwitches(std::vector<NamedDive>& divers) : divers_(divers) {}

  /// @throws InvalidInput if some take up a gas and others do not, or for a gas that is too rich at
  ///         the common depth.
  [[nodiscard]] std::vector<SharedSwitch> find() {
    std::vector<SharedSwitch> found;
    std::vector<SwitchList> own;
    for (const NamedDive& one : divers_)
      own.push_back(named(one.name, [&] { return switches_of(one); }));
    for (std::size_t j = 1; j < divers_.front().dive.gases.size(); ++j)
      if (const auto change = shared(j, own)) found.push_back(*change);
    for (const SharedSwitch& change : found) keep(change);
    for (const NamedDive& one : divers_) named(one.name, [&] { return switches_of(one); });
    return found;
  }

private:
  [[nodiscard]] static SwitchList switches_of(const NamedDive& one) {
    const double bottom = in_metres(one.dive.levels.back().depth);
    return SwitchFinder(one.dive, one.rules, one.dive.environment.place(), bottom).find();
  }

  /// Nothing where no diver takes it up.
  [[nodiscard]] std::optional<SharedSwitch> shared(std::size_t j,
                                                   const std::vector<SwitchList>& own) const {
    SharedSwitch change{.gas = j};
    std::optional<std::size_t> with;
    std::optional<std::size_t> without;
    for (std::size_t m = 0; m < divers_.size(); ++m) {
      const auto depth = depth_of(divers_[m].dive.gases[j].gas, own[m]);
      (depth ? with : without) = m;
      if (depth) change.own.push_back(*depth);
    }
    if (!with) return {};
    if (without)
      throw InvalidInput(divers_[*without].name + "'s gas " + std::to_string(j + 1),
                         divers_[*without].dive.gases[j].gas.text() +
                             ", which their ascent leaves alone and that of " +
                             divers_[*with].name + " takes up",
                         "a gas that every diver takes up, or none",
                         "give its switch depth for every diver, or leave it out for all");
    change.depth = *std::min_element(change.own.begin(), change.own.end());
    return change;
  }

  [[nodiscard]] static std::optional<double> depth_of(const Gas& gas, const SwitchList& own) {
    for (const Switch& one : own.made)
      if (one.gas == gas) return one.stated;
    return {};
  }

  /// Only where a diver would switch deeper: a depth stated is judged at the barometer of the day,
  /// one found by the rule is not.
  void keep(const SharedSwitch& change) {
    for (std::size_t m = 0; m < divers_.size(); ++m)
      if (change.own[m] > change.depth + same_depth)
        divers_[m].dive.gases[change.gas].switch_depth = metres(change.depth);
  }

  std::vector<NamedDive>& divers_;
};

} // namespace upline::detail

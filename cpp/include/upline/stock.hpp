#pragma once
/// @file
/// @brief Which gases at hand make a dive: every set that is admissible, and what each is worth.
///
/// Every bottom gas with every choice of up to three gases for the ascent is planned. There is no
/// single winner: what is handed back are all sets, those that no other set beats in everything,
/// and why the others were dropped.
/// @par Source
/// docs/theory.md, section "Choice from stock".

#include <upline/caution.hpp>
#include <upline/detail/number.hpp>
#include <upline/detail/require.hpp>
#include <upline/dive.hpp>
#include <upline/error.hpp>
#include <upline/plan.hpp>
#include <upline/schedule.hpp>

#include <algorithm>
#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace upline {

/// @brief What a choice has to keep beside the limits of the rules.
struct StockLimits {
  std::size_t most_ascent_gases = 2;             ///< Beside the bottom gas, 0 to 3.
  std::optional<double> oxygen_handling_above{}; ///< Richer than this needs oxygen handling [1].
  bool without_oxygen_handling = false;          ///< Nothing that needs it.
  std::optional<Depth> narcotic_depth{};         ///< Of the bottom gas at the deepest level.
  Narcotic narcotic = Narcotic::nitrogen_and_oxygen; ///< What counts in it.
  std::optional<double> density{};                   ///< Of any gas anywhere, at 0 degrees C [g/L].
  /// Largest rise of nitrogen at a switch, as a share of the drop of helium [1].
  std::optional<double> nitrogen_rise{};

  friend bool operator==(const StockLimits&, const StockLimits&) = default; ///< Field by field.
};

/// @brief What carrying one gas of a set saves.
struct GasWorth {
  Gas gas{};                      ///< The gas.
  std::optional<Minutes> saves{}; ///< Time to surface without it minus with it; nothing where
                                  ///< the set without it is not admissible.
  friend bool operator==(const GasWorth&, const GasWorth&) = default; ///< Field by field.
};

/// @brief An admissible set of gases.
struct GasSet {
  std::vector<GasChoice> gases{};        ///< The bottom gas first.
  Minutes time_to_surface{};             ///< From leaving the bottom.
  Minutes run_time{};                    ///< Surface to surface.
  double bar_minutes = 0.0;              ///< Of all gases together [bar min].
  double cns = 0.0;                      ///< With what earlier dives left [1].
  double otu = 0.0;                      ///< Of this dive.
  std::optional<bool> oxygen_handling{}; ///< Nothing where no line was chosen.
  bool unbeaten = false;         ///< No other set is as good in everything and better in one.
  std::vector<GasWorth> worth{}; ///< Of each gas of the ascent.
  std::size_t cautions = 0;      ///< Of its plan, notes not counted.
};

/// @brief Why a set was dropped.
enum class Dropped {
  oxygen_handling, ///< It needs oxygen handling.
  too_narcotic,    ///< Bottom gas at the deepest level.
  too_dense,       ///< Any gas anywhere.
  nitrogen_rises,  ///< Too much at a switch, for the helium that goes.
  not_taken_up,    ///< One of its gases is never breathed.
  refused,         ///< Its plan carries a caution that refuses it.
  no_schedule      ///< There is none under these rules.
};

/// @brief A set that was dropped.
struct DroppedSet {
  std::vector<GasChoice> gases{}; ///< The bottom gas first; alone where no set with it can do.
  Dropped why{};                  ///< The first reason found.
  Gas gas{};                      ///< The gas concerned, where it is one.
  double value = 0.0;             ///< What was found, in the unit of the limit.
  double limit = 0.0;             ///< What it was held against.
  std::string reason{};           ///< Of no_schedule and refused, in words.
};

/// @brief What can be dived with the gases at hand.
struct StockChoice {
  std::vector<GasSet> sets{};        ///< Shortest time to surface first.
  std::vector<DroppedSet> dropped{}; ///< In the order in which they were tried.
};

namespace detail {

inline void require_stock(const std::vector<GasChoice>& stock, const StockLimits& limits) {
  constexpr std::size_t most = 20;
  if (stock.empty() || stock.size() > most)
    throw InvalidInput("stock", std::to_string(stock.size()) + " gases", "1 to 20 gases",
                       "name the gases at hand");
  for (std::size_t j = 0; j < stock.size(); ++j)
    for (std::size_t k = 0; k < j; ++k)
      if (stock[j].gas == stock[k].gas)
        throw InvalidInput("stock", stock[j].gas.text() + " named twice", "each gas once",
                           "leave one out");
  if (limits.most_ascent_gases > 3)
    throw InvalidInput("most_ascent_gases", std::to_string(limits.most_ascent_gases), "0 to 3",
                       "say how many gases may be carried beside the bottom gas");
  if (limits.narcotic_depth)
    require_length("narcotic_depth", *limits.narcotic_depth, metres(0.0), metres(350.0),
                   "give the depth at which air is as narcotic as may be");
  if (limits.density)
    require_range("density", *limits.density, 0.5, 20.0, "g/L", "name the limit in g/L");
  if (limits.nitrogen_rise)
    require_range("nitrogen_rise", *limits.nitrogen_rise, 0.0, 1.0, "",
                  "give a share of the helium that goes, such as 0.2");
  if (limits.oxygen_handling_above)
    require_range("oxygen_handling_above", *limits.oxygen_handling_above, 0.21, 1.0, "",
                  "give a fraction, such as 0.4");
  if (limits.without_oxygen_handling && !limits.oxygen_handling_above)
    throw InvalidInput("oxygen_handling_above", "missing beside without_oxygen_handling",
                       "a fraction of oxygen; 0.22, 0.235, 0.25 and 0.4 are all in use",
                       "say above which share a gas needs oxygen handling");
}

/// @brief Tries sets of gases on one dive.
class StockSearch {
public:
  StockSearch(const Dive& dive, const Rules& rules, const StockLimits& limits)
      : dive_(dive), rules_(rules), limits_(limits), place_(dive.environment.place()),
        deepest_(in_metres(deepest_level(dive))) {}

  [[nodiscard]] StockChoice search(const std::vector<GasChoice>& stock) {
    for (const GasChoice& one : stock)
      if (!drops_for_handling(one)) usable_.push_back(one);
    for (const GasChoice& bottom : usable_) {
      if (drops_narcotic(bottom.gas)) continue;
      std::vector<GasChoice> gases{{bottom.gas}};
      try_with_more(gases, 0);
    }
    std::stable_sort(found_.sets.begin(), found_.sets.end(), [](const GasSet& a, const GasSet& b) {
      return a.time_to_surface < b.time_to_surface;
    });
    for (GasSet& set : found_.sets) {
      set.unbeaten = std::none_of(found_.sets.begin(), found_.sets.end(),
                                  [&](const GasSet& rival) { return is_beaten(set, rival); });
      for (std::size_t j = 1; j < set.gases.size(); ++j)
        set.worth.push_back({set.gases[j].gas, saving_of(set, j)});
    }
    return std::move(found_);
  }

private:
  [[nodiscard]] bool needs_handling(const Gas& gas) const {
    return gas.oxygen > *limits_.oxygen_handling_above + rounding;
  }

  // What no other gas of a set can mend is said once, for the gas alone.

  [[nodiscard]] bool drops_for_handling(const GasChoice& one) {
    if (!limits_.without_oxygen_handling || !needs_handling(one.gas)) return false;
    drop({one}, Dropped::oxygen_handling, one.gas, one.gas.oxygen, *limits_.oxygen_handling_above);
    return true;
  }

  [[nodiscard]] bool drops_narcotic(const Gas& gas) {
    if (!limits_.narcotic_depth) return false;
    const double narcosis = equivalent_narcotic_depth(gas, deepest_, limits_.narcotic, place_);
    const double limit = in_metres(*limits_.narcotic_depth);
    if (narcosis <= limit + same_depth) return false;
    drop({{gas}}, Dropped::too_narcotic, gas, narcosis, limit);
    return true;
  }

  [[nodiscard]] Dive with_gases(std::vector<GasChoice> gases) const {
    Dive dive = dive_;
    dive.gases = std::move(gases);
    return dive;
  }

  /// This set, and every larger one with gases that come later in the stock.
  void try_with_more(std::vector<GasChoice>& gases, std::size_t next) {
    if (!try_set(gases) || gases.size() > limits_.most_ascent_gases) return;
    for (std::size_t j = next; j < usable_.size(); ++j) {
      if (usable_[j].gas == gases.front().gas) continue;
      gases.push_back(usable_[j]);
      try_with_more(gases, j + 1);
      gases.pop_back();
    }
  }

  /// False where more gases are of no use: a bottom gas that may not be breathed on this dive. An
  /// ascent that lacks richer gases is another matter.
  bool try_set(const std::vector<GasChoice>& gases) {
    const auto none = [&](const Error& error) {
      drop(gases, Dropped::no_schedule, gases.front().gas, 0.0, 0.0);
      found_.dropped.back().reason = error.what();
    };
    try {
      const Plan made = plan(with_gases(gases), rules_);
      if (!drops(gases, made)) keep(gases, made);
    } catch (const InvalidInput& error) {
      none(error);
      return gases.size() > 1;
    } catch (const Error& error) {
      none(error);
    }
    return true;
  }

  [[nodiscard]] bool drops(const std::vector<GasChoice>& gases, const Plan& made) {
    return drops_unused(gases, made) || drops_dense(gases, made) || drops_nitrogen(gases, made) ||
           drops_refused(gases, made);
  }

  [[nodiscard]] bool drops_unused(const std::vector<GasChoice>& gases, const Plan& made) {
    for (std::size_t j = 1; j < gases.size(); ++j) {
      const bool taken = std::any_of(made.rows.begin(), made.rows.end(),
                                     [&](const Row& row) { return row.gas == gases[j].gas; });
      if (taken) continue;
      drop(gases, Dropped::not_taken_up, gases[j].gas, 0.0, 0.0);
      return true;
    }
    return false;
  }

  [[nodiscard]] bool drops_dense(const std::vector<GasChoice>& gases, const Plan& made) {
    const Extreme& densest = made.extremes.highest_density;
    if (!limits_.density || densest.value <= *limits_.density + rounding) return false;
    drop(gases, Dropped::too_dense, densest.gas, densest.value, *limits_.density);
    return true;
  }

  /// Fractions do for pressures: both gases are breathed at the depth of the switch.
  [[nodiscard]] bool drops_nitrogen(const std::vector<GasChoice>& gases, const Plan& made) {
    if (!limits_.nitrogen_rise) return false;
    for (const GasSwitch& change : made.switches) {
      const double drops = change.from.helium - change.to.helium;
      const double rises = change.to.nitrogen() - change.from.nitrogen();
      if (drops <= 0.0 || rises <= *limits_.nitrogen_rise * drops + rounding) continue;
      drop(gases, Dropped::nitrogen_rises, change.to, rises / drops, *limits_.nitrogen_rise);
      return true;
    }
    return false;
  }

  [[nodiscard]] bool drops_refused(const std::vector<GasChoice>& gases, const Plan& made) {
    const Caution* refusal = made.refusal();
    if (refusal == nullptr) return false;
    drop(gases, Dropped::refused, refusal->gas, refusal->value, refusal->limit);
    found_.dropped.back().reason = caution_text(*refusal, made.rules.units);
    return true;
  }

  void keep(const std::vector<GasChoice>& gases, const Plan& made) {
    GasSet set{.gases = gases,
               .time_to_surface = made.time_to_surface(),
               .run_time = made.run_time,
               .cns = made.oxygen.cns_total,
               .otu = made.oxygen.otu};
    for (const GasUse& use : made.gas) set.bar_minutes += use.bar_minutes;
    if (limits_.oxygen_handling_above)
      set.oxygen_handling = std::any_of(gases.begin(), gases.end(), [&](const GasChoice& one) {
        return needs_handling(one.gas);
      });
    set.cautions = static_cast<std::size_t>(
        std::count_if(made.cautions.begin(), made.cautions.end(),
                      [](const Caution& one) { return one.severity == Severity::caution; }));
    found_.sets.push_back(std::move(set));
  }

  void drop(const std::vector<GasChoice>& gases, Dropped why, const Gas& gas, double value,
            double limit) {
    found_.dropped.push_back({gases, why, gas, value, limit, {}});
  }

  /// Whether a rival is as good in everything, and better in something.
  [[nodiscard]] static bool is_beaten(const GasSet& set, const GasSet& rival) {
    const auto burdens = [](const GasSet& one) {
      return std::array{in_minutes(one.time_to_surface), static_cast<double>(one.gases.size()),
                        one.bar_minutes, one.cns, one.oxygen_handling.value_or(false) ? 1.0 : 0.0};
    };
    const auto a = burdens(rival);
    const auto b = burdens(set);
    bool better = false;
    for (std::size_t j = 0; j < a.size(); ++j) {
      if (a[j] > b[j] + rounding) return false;
      better = better || a[j] < b[j] - rounding;
    }
    return better;
  }

  [[nodiscard]] std::optional<Minutes> saving_of(const GasSet& set, std::size_t which) const {
    std::vector<GasChoice> others = set.gases;
    others.erase(others.begin() + static_cast<std::ptrdiff_t>(which));
    for (const GasSet& other : found_.sets)
      if (other.gases == others) return other.time_to_surface - set.time_to_surface;
    return {};
  }

  static constexpr double rounding = 1e-9;
  const Dive& dive_;
  const Rules& rules_;
  const StockLimits& limits_;
  Place place_;
  double deepest_; // level [m]
  std::vector<GasChoice> usable_;
  StockChoice found_;
};

} // namespace detail

/// @brief Plans a dive on every set of gases at hand.
///
/// A set that keeps to the limits is admissible; one that no other beats is unbeaten: judged by
/// time to surface, number of gases, bar-minutes, CNS share and whether oxygen handling is needed.
/// Each gas of the ascent is worth the minutes by which the ascent without it is longer.
/// @param dive   Levels, place, travel gas and start; its gases are not looked at.
/// @param rules  Of the plans; their oxygen limits hold.
/// @param stock  1 to 20 gases; a switch depth counts where the gas is one of the ascent.
/// @param limits What the sets have to keep beside them.
/// @throws InvalidInput for limits or rules out of range, no stock, or a gas named twice.
[[nodiscard]] inline StockChoice choose_gases(const Dive& dive, const Rules& rules,
                                              const std::vector<GasChoice>& stock,
                                              const StockLimits& limits) {
  detail::require_stock(stock, limits);
  detail::require_rules(rules);
  Dive with_gas = dive;
  with_gas.gases = {{stock.front().gas}};
  detail::require_dive(with_gas);
  return detail::StockSearch(dive, rules, limits).search(stock);
}

} // namespace upline

#pragma once
/// @file
/// @brief What happens if, somewhere in a planned dive, another of the cylinders carried is
/// breathed.

#include <upline/gas.hpp>
#include <upline/oxygen.hpp>
#include <upline/planning/thresholds.hpp>
#include <upline/schedule.hpp>

#include <algorithm>
#include <cstddef>
#include <string>
#include <vector>

namespace upline {

/// @brief What a gas does at a depth, the worst first.
enum class Hazard {
  hypoxia,            ///< Less oxygen than `min_po2`.
  beyond_table,       ///< Oxygen beyond the last row of the exposure table.
  above_oxygen_limit, ///< Oxygen above the plan's limit there, and its tolerance.
  dense,              ///< Denser than the highest density advised.
  little_oxygen,      ///< Below 0.18 bar of oxygen.
  more_narcotic,      ///< More narcotic than anything in the plan.
  less_oxygen         ///< Less oxygen than the gas meant: the ascent falls short.
};

/// @brief How much a mistake weighs, the worst first.
enum class Harm {
  life,         ///< Consciousness may be lost under water.
  beyond_limit, ///< A limit is broken.
  shortfall,    ///< Less is given off than the plan counts on.
  none          ///< Within the limits.
};

/// @brief The weight of one hazard.
[[nodiscard]] constexpr Harm harm_of(Hazard hazard) {
  switch (hazard) {
  case Hazard::hypoxia:
  case Hazard::beyond_table: return Harm::life;
  case Hazard::above_oxygen_limit:
  case Hazard::dense:
  case Hazard::little_oxygen:
  case Hazard::more_narcotic: return Harm::beyond_limit;
  case Hazard::less_oxygen: return Harm::shortfall;
  }
  return Harm::none;
}

/// @brief A mouthpiece taken in place of another.
struct WrongGas {
  Depth depth{};                 ///< Where.
  Minutes run_time{};            ///< When the diver gets there.
  Gas meant{};                   ///< What the plan breathes on leaving the depth.
  Gas taken{};                   ///< What is breathed instead.
  double po2 = 0.0;              ///< Of what is taken [bar].
  double oxygen_minutes = 0.0;   ///< Limit of a single exposure at it [min]; inf where none.
  double density = 0.0;          ///< At 0 degrees C [g/L].
  double narcotic_depth = 0.0;   ///< Oxygen counted [m].
  std::vector<Hazard> hazards{}; ///< The worst first.

  /// @brief Of the worst hazard.
  [[nodiscard]] Harm harm() const {
    return hazards.empty() ? Harm::none : harm_of(hazards.front());
  }
};

/// @brief Two cylinders, and the worst that comes of taking one for the other.
struct ConfusedPair {
  WrongGas worst{};    ///< Over the dive, both ways.
  std::size_t cases{}; ///< Places where one is meant and the other taken.
};

namespace detail {

/// Finds what a gas does at the places of one plan.
class WrongGasFinder {
public:
  explicit WrongGasFinder(const Plan& plan)
      : plan_(plan), place_(plan.dive.environment.place()),
        bottom_gas_(plan.dive.gases.front().gas) {}

  [[nodiscard]] std::vector<WrongGas> find(const std::vector<Gas>& carried) const {
    std::vector<WrongGas> found;
    for (const WrongGas& where : places())
      for (const Gas& gas : carried)
        if (!(gas == where.meant)) found.push_back(taken(where, gas));
    return found;
  }

private:
  /// The surface before and after, every level, where the way down changes gas, and every stop.
  [[nodiscard]] std::vector<WrongGas> places() const {
    std::vector<WrongGas> places;
    const auto add = [&](Depth depth, Minutes run_time, const Gas& meant) {
      WrongGas& place = places.emplace_back();
      place.depth = depth;
      place.run_time = run_time;
      place.meant = meant;
    };
    add(Depth(), Minutes(), plan_.rows.front().gas);
    for (const GasSwitch& change : plan_.switches)
      if (change.going_down) add(change.depth, change.at, change.to);
    for (const Row& row : plan_.rows)
      if (row.phase == Phase::stay && row.begins < plan_.bottom_time)
        add(row.to, row.begins, row.gas);
    for (const Stop& stop : plan_.stops)
      if (stop.departs > plan_.bottom_time) add(stop.depth, stop.arrives, stop.gas);
    add(Depth(), plan_.run_time, plan_.rows.back().gas);
    return places;
  }

  [[nodiscard]] WrongGas taken(WrongGas wrong, const Gas& gas) const {
    const double depth = in_metres(wrong.depth);
    wrong.taken = gas;
    wrong.po2 = gas.oxygen * place_.pressure(depth);
    wrong.oxygen_minutes =
        1.0 / oxygen_share(single_exposure, OxygenSegment{1.0, wrong.po2, wrong.po2});
    wrong.density = density(gas, depth, place_);
    wrong.narcotic_depth =
        equivalent_narcotic_depth(gas, depth, Narcotic::nitrogen_and_oxygen, place_);
    wrong.hazards = hazards(wrong);
    return wrong;
  }

  [[nodiscard]] std::vector<Hazard> hazards(const WrongGas& wrong) const {
    constexpr double rounding = 1e-9;
    std::vector<Hazard> hazards;
    const auto add = [&](Hazard hazard, bool applies) {
      if (applies) hazards.push_back(hazard);
    };
    const bool hypoxic = wrong.po2 < in_bar(plan_.rules.min_po2) - rounding;
    const bool beyond = wrong.po2 > oxygen_table_end + rounding;
    add(Hazard::hypoxia, hypoxic);
    add(Hazard::beyond_table, beyond);
    add(Hazard::above_oxygen_limit, !beyond && wrong.po2 > oxygen_limit(wrong) + rounding);
    add(Hazard::dense, wrong.density > highest_density + rounding);
    add(Hazard::little_oxygen, !hypoxic && wrong.po2 < little_po2 - rounding);
    add(Hazard::more_narcotic,
        wrong.narcotic_depth > plan_.extremes.narcotic_depth.value + rounding);
    add(Hazard::less_oxygen,
        wrong.depth > Depth() && wrong.taken.oxygen < wrong.meant.oxygen - rounding);
    return hazards;
  }

  /// Until the bottom is left, and for its gas always, the stricter limit.
  [[nodiscard]] double oxygen_limit(const WrongGas& wrong) const {
    const Rules& rules = plan_.rules;
    const bool at_bottom = wrong.run_time < plan_.bottom_time || wrong.taken == bottom_gas_;
    return in_bar(at_bottom ? rules.max_po2 : rules.max_deco_po2) + in_bar(rules.po2_tolerance);
  }

  const Plan& plan_;
  Place place_;
  Gas bottom_gas_;
};

} // namespace detail

/// @brief The cylinders of a dive: every gas it names, each once.
[[nodiscard]] inline std::vector<Gas> gases_carried(const Dive& dive) {
  std::vector<Gas> carried;
  const auto add = [&](const Gas& gas) {
    if (std::find(carried.begin(), carried.end(), gas) == carried.end()) carried.push_back(gas);
  };
  for (const GasChoice& choice : dive.gases) add(choice.gas);
  if (dive.travel) add(dive.travel->gas);
  return carried;
}

/// @brief Each wrong mouthpiece at each place of a planned dive, in order of time.
///
/// Places are the surface before and after the dive, where the way down changes gas, every level
/// and every stop of the ascent. That `hazards` is empty says that no limit named here is broken,
/// no more.
/// @param plan    What was meant.
/// @param carried Cylinders at hand everywhere, 1 to 20.
/// @throws InvalidInput if there are none or too many.
/// @par Source
/// docs/theory.md, section "A wrong mouthpiece".
[[nodiscard]] inline std::vector<WrongGas> wrong_gases(const Plan& plan,
                                                       const std::vector<Gas>& carried) {
  constexpr std::size_t most = 20;
  if (carried.empty() || carried.size() > most)
    throw InvalidInput("carried", std::to_string(carried.size()) + " gases", "1 to 20 gases",
                       "name every cylinder whose mouthpiece can be taken");
  return detail::WrongGasFinder(plan).find(carried);
}

/// @brief Each wrong mouthpiece among the gases that the dive itself names.
[[nodiscard]] inline std::vector<WrongGas> wrong_gases(const Plan& plan) {
  return wrong_gases(plan, gases_carried(plan.dive));
}

/// @brief Which of two mistakes is worse: by the worst hazard, then by how far it goes.
[[nodiscard]] inline bool worse(const WrongGas& one, const WrongGas& other) {
  const auto rank = [](const WrongGas& wrong) {
    return wrong.hazards.empty() ? static_cast<int>(Hazard::less_oxygen) + 1
                                 : static_cast<int>(wrong.hazards.front());
  };
  if (rank(one) != rank(other)) return rank(one) < rank(other);
  const bool lean = !one.hazards.empty() && (one.hazards.front() == Hazard::hypoxia ||
                                             one.hazards.front() == Hazard::little_oxygen ||
                                             one.hazards.front() == Hazard::less_oxygen);
  if (lean) return one.po2 < other.po2;
  if (one.po2 != other.po2) return one.po2 > other.po2;
  return one.density > other.density;
}

/// @brief The pairs of cylinders that can be taken for each other, the worst first.
[[nodiscard]] inline std::vector<ConfusedPair>
confused_pairs(const std::vector<WrongGas>& mistakes) {
  std::vector<ConfusedPair> pairs;
  for (const WrongGas& wrong : mistakes) {
    const auto same = std::find_if(pairs.begin(), pairs.end(), [&](const ConfusedPair& pair) {
      const auto is = [&](const Gas& a, const Gas& b) {
        return pair.worst.meant == a && pair.worst.taken == b;
      };
      return is(wrong.meant, wrong.taken) || is(wrong.taken, wrong.meant);
    });
    if (same == pairs.end()) {
      pairs.push_back({wrong, 1});
      continue;
    }
    ++same->cases;
    if (worse(wrong, same->worst)) same->worst = wrong;
  }
  std::stable_sort(pairs.begin(), pairs.end(), [](const ConfusedPair& a, const ConfusedPair& b) {
    return worse(a.worst, b.worst);
  });
  return pairs;
}

} // namespace upline

#pragma once
/// @file
/// @brief Is this kit fit for this gas, at this pressure and depth, in this water, on this day?
///
/// Each rule answers fit, not fit or unknown. What is unknown stays unknown: an item and a set are
/// fit only where every rule that is asked says so. Whatever a set is for, bottom or decompression,
/// and whichever stage of a regulator it is, the rules are the same.
/// @par Source
/// docs/theory.md, section "Kit".

#include <upline/fitting/advice.hpp>
#include <upline/fitting/judge_set.hpp>
#include <upline/fitting/kit_checks.hpp>
#include <upline/kit.hpp>
#include <upline/kit_findings.hpp>
#include <upline/kit_rules.hpp>

#include <algorithm>
#include <cstddef>
#include <string>
#include <utility>
#include <vector>

namespace upline {

/// @brief What was found of one set.
struct SetFitness {
  KitSet set{};                       ///< As it was judged, with the depths of the plan.
  double share{};                     ///< Of oxygen, the larger of gas and analysis [1].
  std::vector<KitFinding> findings{}; ///< KitItem by item, then those of the whole set.
  std::vector<KitAdvice> advice{};    ///< Beside the verdict; changes nothing in it.

  /// @brief The worst of its findings.
  [[nodiscard]] KitVerdict verdict() const { return worst(findings); }

  /// @brief The worst of the findings of one item.
  /// @param item Its place in set.items.
  [[nodiscard]] KitVerdict verdict(std::size_t item) const {
    std::vector<KitFinding> own;
    for (const KitFinding& one : findings)
      if (one.item == item) own.push_back(one);
    return worst(own);
  }
};

/// @brief What was found of all sets.
struct Fitness {
  FitnessChoice choice;           ///< By what was judged.
  std::vector<SetFitness> sets{}; ///< In the order given.

  /// @brief The worst of its sets: not fit where one is, else unknown where one is.
  [[nodiscard]] KitVerdict verdict() const {
    KitVerdict verdict = sets.empty() ? KitVerdict::unknown : KitVerdict::fit;
    for (const SetFitness& one : sets) verdict = std::max(verdict, one.verdict());
    return verdict;
  }
};

/// @brief Judges sets of kit.
///
/// @param sets   1 to 40. A range of depths that is left out stays unknown.
/// @param choice The line of oxygen service, the day of the dive, and what else was chosen.
/// @throws InvalidInput for a rating that cannot be or contradicts another, and for a record that
///         is younger than the day of the dive.
[[nodiscard]] inline Fitness fitness(std::vector<KitSet> sets, const FitnessChoice& choice) {
  constexpr std::size_t most = 40;
  if (sets.empty() || sets.size() > most)
    throw InvalidInput("sets", std::to_string(sets.size()), "1 to 40 sets",
                       "give each cylinder with what hangs on it");
  detail::check_choice(choice);
  Fitness found{choice, {}};
  for (KitSet& set : sets) {
    detail::check_set(set);
    SetFitness one;
    one.share = detail::share_judged(set);
    one.findings = detail::SetJudge(set, choice).all();
    one.advice = detail::advice_for(set, choice);
    one.set = std::move(set);
    found.sets.push_back(std::move(one));
  }
  return found;
}

/// @brief The same; what a set leaves out of its depths is taken from the plan.
///
/// Breathed: where the plan breathes its gas. Carried: from the surface to the deepest point.
/// What may come otherwise, deeper or on another gas, is not in it: state such depths yourself.
/// @throws InvalidInput also for a gas that the plan does not breathe, and for a plan that refuses.
[[nodiscard]] inline Fitness fitness(std::vector<KitSet> sets, const FitnessChoice& choice,
                                     const Plan& plan) {
  if (plan.refused())
    throw InvalidInput("plan", "refused by one of its cautions", "a plan that can be dived",
                       "mend the plan, or state breathed and carried without it");
  for (KitSet& set : sets) {
    if (!set.breathed) set.breathed = depths_breathed(plan, set.gas);
    if (!set.breathed)
      throw InvalidInput("gas", set.gas.text() + " of set " + detail::quoted(set.name),
                         "a gas that the plan breathes",
                         "state where it is breathed, or give the plan that breathes it");
    if (!set.carried) set.carried = depths_carried(plan);
  }
  return fitness(std::move(sets), choice);
}

} // namespace upline

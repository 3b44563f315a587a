#pragma once
/// @file
/// @brief Whether a dive still closes when a cylinder, or two, are lost at any moment of it.
///
/// Exact at the moments tried, which are every second if nothing else is asked, and wherever a row
/// of the plan ends.
/// @par Source
/// docs/theory.md, section "A lost gas at every moment".

#include <upline/detail/require.hpp>
#include <upline/losing/survey.hpp>
#include <upline/loss.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <string>
#include <vector>

namespace upline {

namespace detail {

inline void require_losses(const Plan& plan, const std::vector<DiverSupply>& divers,
                           const LossRules& rules) {
  if (divers.empty() || divers.size() > most_in_team)
    throw InvalidInput("divers", std::to_string(divers.size()) + " divers",
                       "1 to " + std::to_string(most_in_team) + " divers",
                       "name those of one team");
  require_own_schedule(plan);
  for (const DiverSupply& diver : divers) require_supply(plan, diver);
  require_range("stress_for", in_minutes(rules.stress_for), 0.0, 1e3, "min",
                "give for how many minutes the stress rate lasts");
  constexpr double longest = 600.0; // [s]
  constexpr double rounding = 1e-9;
  require_range("every", in_minutes(rules.every) * 60.0, 1.0 - rounding, longest + rounding, "s",
                "give the seconds between two moments");
  constexpr double most_moments = 20000.0;
  const double moments = in_minutes(plan.run_time) / in_minutes(rules.every);
  if (!(moments <= most_moments))
    throw InvalidInput("every", trimmed(in_minutes(rules.every) * 60.0, 3) + " s",
                       "at least " +
                           trimmed(std::ceil(in_minutes(plan.run_time) * 60.0 / most_moments), 0) +
                           " s for a dive of " + trimmed(in_minutes(plan.run_time), 1) + " min",
                       "give more seconds between two moments");
}

/// The rules of the plan, then the same with each other last stop.
[[nodiscard]] inline std::vector<Rules> with_last_stops(const Rules& planned,
                                                        const std::vector<Depth>& last_stops) {
  constexpr std::size_t most = 10;
  if (last_stops.size() > most)
    throw InvalidInput("last_stops", std::to_string(last_stops.size()) + " depths", "up to 10",
                       "name the last stops that the divers allow");
  if (!last_stops.empty() && !planned.ladder.rungs.empty())
    throw InvalidInput("last_stops", "given beside a ladder", "a plan with spacing and last stop",
                       "plan without an explicit ladder");
  std::vector<Rules> all{planned};
  for (const Depth depth : last_stops) {
    require_length("last_stops", depth, metres(0.5), metres(350.0),
                   "give the depths of the shallowest stop");
    Rules rules = planned;
    rules.ladder.last_stop = depth;
    require_rules(rules);
    const auto same = [&](const Rules& one) { return one.ladder.last_stop == depth; };
    if (std::none_of(all.begin(), all.end(), same)) all.push_back(rules);
  }
  return all;
}

/// Multiples of a step, and the ends of the rows; none at the surface [min].
[[nodiscard]] inline std::vector<double> loss_moments(const Plan& plan, double every) {
  std::vector<double> moments;
  for (const Row& row : plan.rows) moments.push_back(in_minutes(row.ends));
  const double ends = in_minutes(plan.run_time);
  const std::vector<double> rows = moments;
  for (int j = 1; j * every < ends; ++j) {
    const auto next = std::lower_bound(rows.begin(), rows.end(), j * every - same_moment);
    if (next == rows.end() || *next > j * every + same_moment) moments.push_back(j * every);
  }
  std::sort(moments.begin(), moments.end());
  std::erase_if(moments, [&](double one) { return one >= ends - same_moment; });
  moments.erase(std::unique(moments.begin(), moments.end()), moments.end());
  return moments;
}

} // namespace detail

/// @brief Loses each cylinder, and each pair of cylinders, of each diver at every moment of a plan,
/// and tells whether gas is left to come up.
///
/// Until the loss all breathe as in consumption(): the plan is followed. At the loss the diver
/// begins the ascent, or goes on with it on the plan's own limit line, on the gases of the plan of
/// which a cylinder is left that gives anything; from then on the stress rate counts for
/// `stress_for`, and then the resting rate. A gas in use that is lost is replaced at once by the
/// bottom gas if that is left and may be breathed there, else by the richest that may. Of the last
/// stops allowed the one is taken that closes and is soonest up, else the one that misses least.
/// Sharing pools what all have left of each mix and lets all follow one ascent; the time to pass a
/// cylinder over is not counted. A loss never closes where anything is missing, unknown or cannot
/// be computed.
/// @param plan   The dive.
/// @param divers The team, 1 to 12; each with a cylinder for each gas of the plan, stated at the
///               temperature of the water.
/// @param rules  How a loss is met.
/// @throws InvalidInput for a gas without a cylinder, a rate, a time or a depth out of range, last
///         stops beside an explicit ladder, or more than 20 000 moments.
[[nodiscard]] inline LostGas lost_gas(const Plan& plan, const std::vector<DiverSupply>& divers,
                                      const LossRules& rules) {
  detail::require_losses(plan, divers, rules);
  const std::vector<Rules> allowed = detail::with_last_stops(plan.rules, rules.last_stops);
  LostGas found{.rules = rules, .divers = divers};
  detail::LossSurvey survey(plan, found, allowed);
  std::vector<LostCylinders> losses =
      survey.run(detail::loss_moments(plan, in_minutes(rules.every)));
  found.losses = std::move(losses);
  return found;
}

} // namespace upline

#pragma once
/// @file
/// @brief The ascent after a loss, told whole: stops, time, oxygen, and limits that it breaks.

#include <upline/losing/branch.hpp>
#include <upline/loss.hpp>
#include <upline/planning/account.hpp>
#include <upline/planning/audit.hpp>
#include <upline/planning/exposures.hpp>
#include <upline/planning/inspector.hpp>

#include <cstddef>
#include <utility>
#include <vector>

namespace upline::detail {

/// @brief What refuses in an ascent: oxygen, density, the limit line.
/// @param legs The first stands for all before the ascent, with the tensions it begins with.
[[nodiscard]] inline std::vector<Caution> refusals_of(const Diver& diver,
                                                      const std::vector<Leg>& legs,
                                                      const LimitLine& line, const Rules& rules,
                                                      double cns) {
  std::vector<Caution> found;
  CautionList list(found);
  const std::vector<Leg> ascent(legs.begin() + 1, legs.end());
  const auto breach =
      Audit(diver.screen(), diver.set(), diver.place(), legs).breach({Climb{1, legs.size(), line}});
  if (breach) add_breach(list, *breach, diver.set());
  const Extremes extremes = extremes_of(ascent, diver.place());
  OxygenDose dose;
  dose.cns_total = cns;
  ExposureInspector(ascent, diver.place(), rules, extremes, dose, list).inspect_doses();
  std::erase_if(found, [](const Caution& one) { return one.severity != Severity::refuses; });
  return found;
}

/// @brief Tells a branch of the moment at which the finder is.
[[nodiscard]] inline LossMoment sequel_of(const PlanWalk& walk, BranchFinder& finder,
                                          const Branch& branch, Mixes left, std::size_t stop) {
  const PlanMoment& now = finder.now();
  LossMoment moment{.at = minutes(now.run_time),
                    .depth = metres(now.depth),
                    .reason = branch.reason,
                    .breathed = walk.mixes()[branch.hand]};
  if (!branch.reason.empty()) return moment;
  moment.last_stop = finder.rules(stop).ladder.last_stop;
  moment.time_to_surface = minutes(branch.ends - now.run_time);
  moment.cns = branch.cns;
  if (branch.as_planned) {
    for (const Stop& one : walk.plan().stops)
      if (in_minutes(one.departs) > now.run_time) moment.stops.push_back(one);
    for (const Caution& caution : walk.plan().cautions)
      if (caution.severity == Severity::refuses) moment.refusals.push_back(caution);
    return moment;
  }
  const Diver diver = finder.again(left, stop, branch);
  moment.stops = diver.stops();
  Leg before;
  before.from = before.to = now.depth;
  before.begins = before.ends = now.run_time;
  before.gas = moment.breathed;
  before.after = now.tissues;
  std::vector<Leg> legs{before};
  legs.insert(legs.end(), diver.legs().begin(), diver.legs().end());
  moment.refusals = refusals_of(diver, legs, diver.line(), finder.rules(stop), branch.cns);
  return moment;
}

} // namespace upline::detail

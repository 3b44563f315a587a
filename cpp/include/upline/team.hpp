#pragma once
/// @file
/// @brief One schedule for a team whose analysed gases and residual loads differ.
/// @par Source
/// docs/theory.md, section "A common schedule".

#include <upline/detail/number.hpp>
#include <upline/dive.hpp>
#include <upline/error.hpp>
#include <upline/plan.hpp>
#include <upline/schedule.hpp>
#include <upline/teaming/agreement.hpp>
#include <upline/teaming/lockstep.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <string>
#include <utility>
#include <vector>

namespace upline {

/// @brief A diver of a team, and the plan of the dive as that diver alone would make it.
struct TeamMember {
  std::string name{}; ///< One line of 1 to 40 characters, no two alike.
  Plan alone;         ///< With the diver's own analysed gases and start.
};

/// @brief What the common schedule is for one member.
struct CommonMember {
  std::string name{}; ///< As given.
  Plan alone;         ///< As given.
  Plan plan;          ///< The common schedule on this member's gases.

  /// @brief What is left of the high factor at the surface [1].
  [[nodiscard]] double slack() const { return plan.rules.factors.high() - plan.surfacing_fraction; }
};

/// @brief A stop that all make.
struct CommonStop {
  Depth depth{};                ///< Of the stop.
  Minutes arrives{};            ///< Run time.
  Minutes departs{};            ///< Run time.
  Minutes stay{};               ///< Travel to the stop included.
  std::vector<Minutes> ready{}; ///< Run time at which each could leave after the stops before.
  std::vector<std::size_t> bound_by{}; ///< Members whose limit asks for that time, from 0.
};

/// @brief A gas of the ascent and the depth at which all take it up.
struct CommonSwitch {
  std::size_t gas = 0;      ///< Which of the gases, from 0.
  Depth depth{};            ///< As stated, or the shallowest of the members' own.
  std::vector<Depth> own{}; ///< Where each alone would take it up, in the order of the members.
};

/// @brief One schedule that satisfies every member.
struct CommonSchedule {
  std::vector<CommonMember> members{};  ///< In the order given; their plans have the same times.
  std::vector<CommonStop> stops{};      ///< In the order of time.
  std::vector<CommonSwitch> switches{}; ///< In the order of the gases.
  Minutes bottom_time{};                ///< Surface to leaving the bottom.
  Minutes run_time{};                   ///< Surface to surface.

  /// @brief Whether it is refused for anybody.
  [[nodiscard]] bool refused() const {
    return std::any_of(members.begin(), members.end(),
                       [](const CommonMember& one) { return one.plan.refused(); });
  }
};

namespace detail {

inline void require_members(const std::vector<TeamMember>& members) {
  constexpr std::size_t least = 2;
  constexpr std::size_t most = 12;
  constexpr std::size_t longest = 40;
  if (members.size() < least || members.size() > most)
    throw InvalidInput("members", std::to_string(members.size()) + " divers", "2 to 12 divers",
                       "give the name and the plan of each diver");
  for (const TeamMember& one : members) {
    const bool one_line = std::none_of(one.name.begin(), one.name.end(), [](unsigned char c) {
      return c < ' ' || c == 0x7f; // other bytes are parts of letters
    });
    if (one.name.empty() || one.name.size() > longest || !one_line)
      throw InvalidInput("members", "a name of " + std::to_string(one.name.size()) + " bytes",
                         "one line of 1 to 40 bytes", "give each diver a short name");
    if (std::count_if(members.begin(), members.end(),
                      [&](const TeamMember& other) { return other.name == one.name; }) > 1)
      throw InvalidInput("members", "two divers named " + one.name, "names that differ",
                         "give each diver another name");
  }
}

/// Gases and times of the switches on the way must be those of the first diver.
inline void require_alike(const CommonMember& first, const CommonMember& other) {
  const auto& a = first.plan.switches;
  const auto& b = other.plan.switches;
  const auto index = [](const Plan& plan, const Gas& gas) {
    std::size_t j = 0;
    while (j < plan.dive.gases.size() && !(plan.dive.gases[j].gas == gas)) ++j;
    return j;
  };
  bool alike = a.size() == b.size();
  for (std::size_t j = 0; alike && j < a.size(); ++j)
    alike = a[j].depth == b[j].depth && index(first.plan, a[j].to) == index(other.plan, b[j].to);
  constexpr double rounding = 1e-9;
  alike = alike && std::abs(in_minutes(first.plan.run_time - other.plan.run_time)) <= rounding;
  if (!alike)
    throw InvalidInput(other.name + "'s switches", "other than " + first.name + "'s",
                       "the same gases taken up at the same depths",
                       "give the switch depth of every gas for every diver");
}

} // namespace detail

/// @brief The least schedule that satisfies every member of a team.
///
/// A rung is left when each member may leave it, every one on the limit line of their own anchor;
/// at each rung that is the least such time, given the rungs before. A gas is taken up at the depth
/// stated for all, or at the shallowest of the depths that the rule finds for each. Refused for one
/// is refused for all.
/// @param members 2 to 12, each with the plan of the same dive: the same levels, place, rules, and
///                number and order of gases. Gases as analysed, start, acclimatisation and
///                breathing rates are each member's own.
/// @return A plan for each member, with the same times.
/// @throws InvalidInput naming the member and the field in which the plans differ, or the gas that
///         is too rich at the common depth.
/// @throws NoAscent naming the member who cannot leave a depth.
[[nodiscard]] inline CommonSchedule common_schedule(const std::vector<TeamMember>& members) {
  detail::require_members(members);
  std::vector<detail::NamedDive> divers;
  divers.reserve(members.size());
  for (const TeamMember& one : members)
    divers.push_back({one.name, one.alone.dive, one.alone.rules});
  for (std::size_t m = 1; m < divers.size(); ++m)
    detail::Agreement(divers.front(), divers[m]).require();
  const std::vector<detail::SharedSwitch> switches = detail::SharedSwitches(divers).find();
  detail::Lockstep lockstep(divers);
  const std::vector<detail::SharedRung> rungs = lockstep.settle();
  CommonSchedule found;
  for (std::size_t m = 0; m < divers.size(); ++m) {
    const detail::NamedDive& one = divers[m];
    found.members.push_back({one.name, members[m].alone, detail::named(one.name, [&] {
                               Plan held = detail::planned(one.dive, one.rules, lockstep.holds());
                               held.common = divers.size() > 1;
                               return held;
                             })});
    detail::require_alike(found.members.front(), found.members.back());
  }
  const Plan& first = found.members.front().plan;
  found.bottom_time = first.bottom_time;
  found.run_time = first.run_time;
  for (std::size_t i = 0; i < rungs.size(); ++i) {
    CommonStop& stop = found.stops.emplace_back();
    stop.depth = metres(rungs[i].depth);
    stop.arrives = minutes(rungs[i].arrives);
    stop.departs = minutes(rungs[i].leaves);
    stop.stay = first.stops[i].stay;
    for (const double ready : rungs[i].ready) stop.ready.push_back(minutes(ready));
    stop.bound_by = rungs[i].bound_by;
  }
  for (const detail::SharedSwitch& one : switches) {
    CommonSwitch& change = found.switches.emplace_back();
    change.gas = one.gas;
    change.depth = metres(one.depth);
    for (const double own : one.own) change.own.push_back(metres(own));
  }
  return found;
}

} // namespace upline

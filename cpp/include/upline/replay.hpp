#pragma once
/// @file
/// @brief Any path through the water against the limit line: the margin at every instant.
///
/// A replay never refuses: what a path goes beyond is reported. Only input that cannot be a path
/// is an error.
/// @par Source
/// docs/theory.md, section "Replay".

#include <upline/dive.hpp>
#include <upline/planning/account.hpp>
#include <upline/planning/audit.hpp>
#include <upline/planning/inspector.hpp>
#include <upline/planning/start.hpp>
#include <upline/profile.hpp>
#include <upline/replaying/anchor.hpp>
#include <upline/replaying/path.hpp>
#include <upline/replaying/tightness.hpp>
#include <upline/replaying/walk.hpp>
#include <upline/schedule.hpp>
#include <upline/trace.hpp>
#include <upline/version.hpp>

#include <algorithm>
#include <cstddef>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace upline {

/// @brief How far a moment is from the limit line; below 0 beyond it.
struct Margin {
  double pressure = 0.0;       ///< Ambient minus tolerated pressure, the least of all [bar].
  double fraction = 0.0;       ///< Factor allowed minus supersaturation fraction, of that one [1].
  double metres = 0.0;         ///< Depth minus ceiling [m].
  Minutes at{};                ///< Run time.
  Depth depth{};               ///< Where.
  std::size_t compartment = 0; ///< That has the least, from 0.
  Gas gas{};                   ///< Breathed then.
};

/// @brief A stop, and what holds the diver there.
///
/// The margins are those on arrival at the next stop, or at the surface.
struct StopLoad {
  Depth depth{};        ///< Of the stop; of a log its mean.
  Minutes arrives{};    ///< Run time.
  Minutes departs{};    ///< Run time.
  Gas gas{};            ///< On which it is left.
  Leader controlling{}; ///< Compartment with the least margin [bar].
  Leader runner_up{};   ///< The next.
  [[nodiscard]] double gap() const { return runner_up.value - controlling.value; } ///< [bar]
};

/// @brief A path seen against a limit line.
struct Replay {
  Profile profile{};                     ///< What was replayed.
  Rules rules;                           ///< Factors, model, direct ascent and oxygen limits.
  std::vector<Row> rows{};               ///< Every stretch, in order.
  std::optional<Depth> anchor{};         ///< Of the limit line; nothing where none is touched.
  Minutes judged_from{};                 ///< Run time from which the margin counts.
  Minutes run_time{};                    ///< Surface to surface.
  Margin tightest{};                     ///< The least before the surface is reached.
  Margin surfacing{};                    ///< At the surface, with the high factor.
  double surfacing_fraction = 0.0;       ///< Largest supersaturation fraction at the surface.
  std::size_t surfacing_compartment = 0; ///< The one that has it, from 0.
  std::vector<StopLoad> stops{};         ///< The pauses of the ascent.
  Extremes extremes{};                   ///< Largest and least values.
  OxygenDose oxygen{};                   ///< Oxygen taken in.
  std::vector<GasUse> gas{};             ///< What is breathed of each mix.
  std::vector<Caution> cautions{};       ///< What deserves attention.
  std::vector<std::string> notes{};      ///< What was added to the path, in words.
  State end{};                           ///< What it leaves behind.
  std::string version{};                 ///< Of the library that computed it.

  /// @brief The least margin of all, the surface included [bar].
  [[nodiscard]] double margin() const { return std::min(tightest.pressure, surfacing.pressure); }
};

namespace detail {

/// Replays one path.
class Replayer {
public:
  Replayer(const Profile& profile, const Rules& rules)
      : profile_(profile), rules_(rules), set_(compartment_set(rules.model)), screen_(set_),
        rates_(rules.ascent_rates),
        walk_(set_, profile.environment.place(),
              starting_tissues(profile.start, profile.environment, set_), first_depth(profile)),
        line_{rules.factors, {}} {
    PathWalker(profile, walk_, notes_).walk(rates_);
    find_line();
  }

  void report(Replay& r) const {
    const std::vector<Leg>& legs = walk_.legs();
    r.notes = notes_;
    r.rows = rows_of({legs.begin() + 1, legs.end()});
    if (line_.anchor) r.anchor = metres(*line_.anchor);
    r.judged_from = minutes(legs[first_].begins);
    r.run_time = minutes(walk_.clock());
    const Leader leader = leading_fraction(set_, walk_.tissues(), walk_.place().surface);
    r.surfacing_fraction = leader.value;
    r.surfacing_compartment = leader.compartment;
    report_margins(r);
    report_stops(r);
    report_doses(r);
    report_cautions(r);
  }

private:
  [[nodiscard]] static double first_depth(const Profile& profile) {
    const Waypoint& first = profile.waypoints.front();
    return first.at > Minutes() ? 0.0 : std::max(0.0, in_metres(first.depth));
  }

  void find_line() {
    const AnchorFinder finder(walk_, screen_, rates_, rules_.factors.low());
    if (profile_.bottom_left) {
      const double left = in_minutes(*profile_.bottom_left);
      first_ = first_leg([&](const Leg& leg) { return leg.begins >= left - same_moment; });
      line_.anchor = finder.from_leg(first_);
    } else {
      first_ = first_leg([](const Leg& leg) { return leg.to < leg.from; });
      line_.anchor = finder.greatest();
    }
  }

  /// The last leg where the test holds for none, as in a path that never leaves the surface.
  template <class Test>
  [[nodiscard]] std::size_t first_leg(Test&& test) const {
    const std::vector<Leg>& legs = walk_.legs();
    return static_cast<std::size_t>(std::find_if(legs.begin() + 1, legs.end() - 1, test) -
                                    legs.begin());
  }

  // ---- margins ---------------------------------------------------------------------------

  void report_margins(Replay& r) const {
    const Tightness margins(walk_, screen_, first_, line_);
    r.tightest = margin_of(margins.before_surface());
    r.surfacing = margin_of(margins.at_surface());
  }

  [[nodiscard]] Margin margin_of(const Tightest& found) const {
    const Tissues tissues = tissues_at(found.leg, found.run_time);
    const double nitrogen = tissues.nitrogen[found.compartment];
    const double helium = tissues.helium[found.compartment];
    const Place& place = walk_.place();
    double ceiling = 0.0;
    for (std::size_t i = 0; i < compartment_count; ++i)
      ceiling = std::max(ceiling,
                         ceiling_of(set_, i, place, line_, tissues.nitrogen[i], tissues.helium[i]));
    return {-found.excess,
            line_.factor_at(found.depth) - supersaturation_fraction(set_, found.compartment,
                                                                    nitrogen, helium,
                                                                    place.pressure(found.depth)),
            found.depth - ceiling,
            minutes(found.run_time),
            metres(found.depth),
            found.compartment,
            walk_.legs()[found.leg].gas};
  }

  [[nodiscard]] Tissues tissues_at(std::size_t j, double run_time) const {
    const Leg& leg = walk_.legs()[j];
    Tissues tissues = walk_.legs()[j - 1].after;
    const double rate = (leg.to - leg.from) * walk_.place().per_metre / leg.minutes();
    advance(tissues, set_, Segment{run_time - leg.begins, walk_.place().pressure(leg.from), rate},
            OpenCircuit{leg.gas}, walk_.place().vapour);
    return tissues;
  }

  // ---- stops -----------------------------------------------------------------------------

  void report_stops(Replay& r) const {
    constexpr double shortest_level = 0.5; // [min]; of a log
    const std::vector<Leg>& legs = walk_.legs();
    const std::vector<Pause> found =
        pauses(legs, first_, profile_.bottom_left ? 0.0 : shortest_level);
    for (std::size_t j = 0; j < found.size(); ++j) {
      const std::size_t next = j + 1 < found.size() ? found[j + 1].first_leg : legs.size();
      r.stops.push_back(load_of(found[j], next));
    }
  }

  /// @param next The leg with which the next stop begins.
  [[nodiscard]] StopLoad load_of(const Pause& pause, std::size_t next) const {
    const std::vector<Leg>& legs = walk_.legs();
    StopLoad stop;
    stop.arrives = minutes(legs[pause.first_leg].begins);
    stop.departs = minutes(legs[pause.end_leg - 1].ends);
    stop.gas = legs[pause.end_leg - 1].gas;
    stop.depth = metres(mean_depth(pause));
    const Leg& arrival = legs[next - 1];
    const TwoLeaders leaders = leaders_at(walk_, arrival.after, line_, arrival.to);
    stop.controlling = leaders.first;
    stop.runner_up = leaders.second;
    return stop;
  }

  [[nodiscard]] double mean_depth(const Pause& pause) const {
    double integral = 0.0;
    double time = 0.0;
    for (std::size_t j = pause.first_leg; j < pause.end_leg; ++j) {
      const Leg& leg = walk_.legs()[j];
      if (leg.from == leg.to && pause.end_leg == pause.first_leg + 1) return leg.from;
      integral += leg.minutes() * (leg.from + leg.to) / 2.0;
      time += leg.minutes();
    }
    return integral / time;
  }

  // ---- doses and cautions ----------------------------------------------------------------

  void report_doses(Replay& r) const {
    const Place& place = walk_.place();
    const std::vector<Leg> legs(walk_.legs().begin() + 1, walk_.legs().end());
    r.extremes = extremes_of(legs, place);
    const OxygenExposure taken = total_exposure(legs, place);
    r.end = end_state(profile_.start, rules_.model, walk_.tissues(), place, taken);
    r.oxygen = dose_of(taken, r.end.oxygen);
    r.gas = gas_use(legs, place, walk_.legs()[first_].begins, rules_);
  }

  void report_cautions(Replay& r) const {
    CautionList list(r.cautions);
    if (r.margin() < -audit_tolerance) {
      const Margin& worst = r.surfacing.pressure < r.tightest.pressure ? r.surfacing : r.tightest;
      add_breach(
          list,
          {-worst.pressure, in_minutes(worst.at), in_metres(worst.depth), worst.compartment, 0},
          set_);
    }
    add_high_factor(list, rules_.factors);
    add_history(list, profile_.environment, profile_.start, walk_.place());
    ExposureInspector exposures(walk_.legs(), walk_.place(), rules_, r.extremes, r.oxygen, list);
    exposures.inspect_pressures(*profile_.waypoints.front().gas, Severity::refuses);
    exposures.inspect_doses();
    list.sort();
  }

  const Profile& profile_;
  const Rules& rules_;
  const CompartmentSet& set_;
  Screen screen_;
  RateTable rates_;
  Walk walk_;
  LimitLine line_;
  std::vector<std::string> notes_;
  std::size_t first_ = 1; // leg from which the margin counts
};

} // namespace detail

/// @brief Replays a path.
/// @param profile Waypoints, place, and what an earlier dive left.
/// @param rules   Factors and model; ascent rates for the direct ascent that anchors the line;
///                oxygen limits. The rest is not used.
/// @return Margins at every instant's worst, loads of the stops, doses, and cautions.
/// @throws InvalidInput for waypoints that are no path; never for a path that breaks a limit.
[[nodiscard]] inline Replay replay(Profile profile, Rules rules) {
  detail::require_rules(rules);
  detail::require_profile(profile);
  Replay result{.profile = std::move(profile), .rules = std::move(rules)};
  detail::Replayer(result.profile, result.rules).report(result);
  result.version = version;
  return result;
}

/// @brief Samples a replay every `step` minutes, and at the ends of every row besides.
/// @throws InvalidInput as for a plan.
[[nodiscard]] inline Trace trace(const Replay& replay, Minutes step) {
  LimitLine line{replay.rules.factors, {}};
  if (replay.anchor) line.anchor = in_metres(*replay.anchor);
  const CompartmentSet& set = compartment_set(replay.rules.model);
  return detail::trace_rows(
      replay.rows, set, replay.end.place, line,
      detail::starting_tissues(replay.profile.start, replay.profile.environment, set), step);
}

} // namespace upline

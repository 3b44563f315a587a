#pragma once
/// @file
/// @brief Walks a dive: down, along its levels, and up rung by rung; keeps the legs it made.

#include <upline/ascent.hpp>
#include <upline/planning/bottom_gas.hpp>
#include <upline/planning/leg.hpp>
#include <upline/planning/no_ascent.hpp>
#include <upline/planning/rounder.hpp>
#include <upline/planning/start.hpp>
#include <upline/planning/switches.hpp>
#include <upline/schedule.hpp>

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace upline::detail {

/// @brief Where a diver is in the middle of a dive.
struct Underway {
  double run_time = 0.0; ///< [min]
  double depth = 0.0;    ///< [m]
  Gas gas{};             ///< In use, or at hand at once.
  Tissues tissues;
  /// Of the ascent that is under way; nothing where it begins at this moment.
  std::optional<LimitLine> line{};
};

/// @brief A depth that is not left before a run time, nor before some minutes at it, whatever the
/// limit line would allow.
struct Hold {
  double depth = 0.0;    ///< [m]
  double leave_at = 0.0; ///< Run time [min].
  double minutes = 0.0;  ///< At the depth, a switch included; rounded as the rules say [min].
  /// Run time from which it counts, for a depth that an earlier ascent passes too [min].
  double since = 0.0;
};

/// @brief One diver under one set of rules.
class Diver {
public:
  Diver(const Dive& dive, const Rules& rules) : Diver(dive, rules, compartment_set(rules.model)) {}

  /// @param set Used in place of the one that `rules` name; must outlive the diver.
  Diver(const Dive& dive, const Rules& rules, const CompartmentSet& set)
      : dive_(dive), rules_(rules), place_(dive.environment.place()), loading_(set, place_),
        screen_(set), rates_(rules.ascent_rates), test_rates_(rates_.fastest()),
        rounder_(rules.rounding, rules.resolution), gas_(dive.gases.front().gas),
        tissues_(starting_tissues(dive.start, dive.environment, loading_.set())), line_{
                                                                                      rules.factors,
                                                                                      {}} {
    constexpr std::size_t usual_legs = 32;
    constexpr std::size_t usual_stops = 16;
    legs_.reserve(usual_legs);
    stops_.reserve(usual_stops);
    const double bottom = in_metres(dive.levels.back().depth);
    switches_ = SwitchFinder(dive, rules, place_, bottom).find();
  }

  /// @brief Makes the whole dive.
  /// @throws InvalidInput if a level is reached too late, NoAscent if a rung cannot be left.
  void dive() {
    for (std::size_t j = 0; j < dive_.levels.size(); ++j) {
      reach(j);
      stay_until(in_minutes(dive_.levels[j].leave_at));
    }
    bottom_left_ = clock_;
    aim(switches_.made);
    climb(0.0, switches_.made);
  }

  /// @brief Makes the ascent from the middle of a dive, on the gases of the dive.
  ///
  /// A gas whose switch depth is not above that of the moment is taken up at once.
  /// @throws InvalidInput for a given depth that is too deep for its gas, NoAscent if a rung cannot
  ///         be left.
  void surface_from(const Underway& here) {
    clock_ = bottom_left_ = here.run_time;
    depth_ = here.depth;
    gas_ = here.gas;
    tissues_ = here.tissues;
    const double bottom = std::max(depth_, in_metres(dive_.levels.back().depth));
    switches_ = SwitchFinder(dive_, rules_, place_, bottom).find();
    if (here.line)
      line_ = *here.line;
    else
      aim(switches_.made);
    climb(0.0, switches_.made);
  }

  /// @brief Keeps the diver at rungs until given run times, whichever ascent comes to them.
  void hold_at(std::vector<Hold> holds) { holds_ = std::move(holds); }

  /// @brief Whether the ascent from a bottom left at `bottom_time` needs no wait at any rung.
  ///
  /// The dive must have one level, and reach_bottom() must have been called.
  [[nodiscard]] bool rises_freely(double bottom_time) {
    stay_until(bottom_time);
    aim(switches_.made);
    const std::vector<double> stations = stations_to(0.0, switches_.made);
    std::size_t next_switch = 0;
    for (const double next : stations) {
      if (due(switches_.made, next_switch)) switch_to(switches_.made[next_switch++]);
      if (!test_towards(next).passes(tissues_)) return false;
      travel_up(next);
    }
    return true;
  }

  void reach_bottom() { reach(0); }

  [[nodiscard]] const std::vector<Leg>& legs() const { return legs_; }
  [[nodiscard]] const std::vector<Stop>& stops() const { return stops_; }
  [[nodiscard]] const std::vector<GasSwitch>& switches() const { return gas_switches_; }
  [[nodiscard]] const std::vector<UnusedGas>& unused() const { return switches_.unused; }
  [[nodiscard]] const std::vector<Climb>& climbs() const { return climbs_; }
  [[nodiscard]] const LimitLine& line() const { return line_; }
  [[nodiscard]] const Tissues& tissues() const { return tissues_; }
  [[nodiscard]] const Place& place() const { return place_; }
  [[nodiscard]] const CompartmentSet& set() const { return loading_.set(); }
  [[nodiscard]] const Screen& screen() const { return screen_; }
  [[nodiscard]] double clock() const { return clock_; }
  [[nodiscard]] double bottom_left() const { return bottom_left_; }

private:
  // ---- down and along --------------------------------------------------------------------

  void reach(std::size_t j) {
    const double target = in_metres(dive_.levels[j].depth);
    if (target > depth_ + same_depth)
      go_down(target);
    else if (target < depth_ - same_depth)
      climb_to_level(target);
    if (clock_ > in_minutes(dive_.levels[j].leave_at) + 1e-9)
      throw InvalidInput(dive_.levels.size() == 1 ? "bottom_time" : "levels",
                         trimmed(in_minutes(dive_.levels[j].leave_at), 6) + " min at which " +
                             length_text(metres(target)) + " is left",
                         "at least " + trimmed(std::ceil(clock_ * 1e6) / 1e6, 6) +
                             " min, when that depth is reached",
                         "leave it later, or travel faster");
    require_bottom_gas(target);
  }

  void go_down(double target) {
    const Gas& bottom_gas = dive_.gases.front().gas;
    if (dive_.travel && depth_ == 0.0) {
      const double border = in_metres(dive_.travel->to);
      gas_ = dive_.travel->gas;
      require_po2(gas_, border, "travel");
      travel_down(border);
    }
    if (!(gas_ == bottom_gas)) {
      note_switch(bottom_gas).going_down = true;
      gas_ = bottom_gas;
    }
    travel_down(target);
  }

  /// Writes down that from now on `gas` is breathed.
  GasSwitch& note_switch(const Gas& gas) {
    gas_switches_.push_back(
        {.depth = metres(depth_), .at = minutes(clock_), .from = gas_, .to = gas});
    return gas_switches_.back();
  }

  void travel_down(double target) {
    if (target <= depth_ + same_depth) return;
    const double minutes = (target - depth_) / rules_.descent_rate.base();
    append({Phase::go_down, depth_, target, clock_, clock_ + minutes, gas_, {}, {}},
           [&](Tissues& t) { loading_.travel(t, gas_, depth_, target, minutes); });
  }

  void stay_until(double run_time) {
    const double minutes = run_time - clock_;
    if (minutes <= 0.0) return;
    append({Phase::stay, depth_, depth_, clock_, run_time, gas_, {}, {}},
           [&](Tissues& t) { loading_.stay(t, gas_, depth_, minutes); });
  }

  /// Between levels only given depths are switch depths.
  void climb_to_level(double target) {
    std::vector<Switch> passed;
    passed.reserve(dive_.gases.size());
    for (std::size_t j = 1; j < dive_.gases.size(); ++j) {
      const GasChoice& choice = dive_.gases[j];
      if (!choice.switch_depth) continue;
      const double stated = in_metres(*choice.switch_depth);
      if (stated < depth_ - same_depth && stated > target + same_depth)
        passed.push_back({stated, choice.gas, true, stated});
    }
    std::sort(passed.begin(), passed.end(),
              [](const Switch& x, const Switch& y) { return x.depth > y.depth; });
    aim(switches_.made);
    climb(target, passed);
  }

  void require_bottom_gas(double depth) const {
    if (gas_ == dive_.gases.front().gas) require_po2(gas_, depth, "bottom gas");
  }

  void require_po2(const Gas& gas, double depth, const char* field) const {
    BottomGasCheck(dive_, rules_, place_).require(gas, depth, field);
  }

  // ---- up --------------------------------------------------------------------------------

  /// Anchors the limit line by the direct ascent to the surface that begins here and now.
  void aim(const std::vector<Switch>& switches) {
    std::vector<GasAtDepth> gases;
    gases.reserve(switches.size());
    for (const Switch& one : switches) gases.push_back({one.stated, one.gas});
    DirectAscent direct(loading_, screen_, rates_, rules_.factors.low());
    line_.anchor = direct.anchor(tissues_, depth_, gas_, gases, stations_to(0.0, switches));
  }

  /// Rungs, switch depths and the target on the way from here, deepest first.
  [[nodiscard]] std::vector<double> stations_to(double target,
                                                const std::vector<Switch>& switches) const {
    std::vector<double> stations = rungs_between(rules_.ladder, depth_, target);
    for (const Switch& one : switches) {
      if (one.depth >= depth_ - same_depth || one.depth <= target + same_depth) continue;
      const auto after = std::find_if(stations.begin(), stations.end(),
                                      [&](double rung) { return rung <= one.depth + same_depth; });
      if (after == stations.end() || *after < one.depth - same_depth)
        stations.insert(after, one.depth);
    }
    stations.push_back(target);
    return stations;
  }

  [[nodiscard]] bool due(const std::vector<Switch>& switches, std::size_t next) const {
    return next < switches.size() && switches[next].depth >= depth_ - same_depth;
  }

  /// On the limit line as it was aimed.
  void climb(double target, const std::vector<Switch>& switches) {
    const std::size_t first_leg = first_ascent_leg_ = legs_.size();
    std::size_t next_switch = 0;
    left_last_ = clock_;
    for (const double next : stations_to(target, switches)) {
      const double arrives = clock_;
      const Gas arrives_on = gas_;
      // What an earlier ascent passed already is stated deeper than this level: the last one
      // counts.
      while (due(switches, next_switch + 1)) ++next_switch;
      if (due(switches, next_switch)) switch_to(switches[next_switch++]);
      LeaveTest test = test_towards(next);
      hold(test, next, arrives, arrives_on);
      if (!(gas_ == arrives_on)) gas_switches_.back().spent = minutes(clock_ - arrives);
      travel_up(next, test);
    }
    climbs_.push_back({first_leg, legs_.size(), line_});
  }

  void switch_to(const Switch& change) {
    if (change.gas == gas_) return;
    const bool leaving = legs_.size() == first_ascent_leg_;
    const double pause = in_minutes(rules_.switch_time);
    if (pause > 0.0)
      append({Phase::switch_gas, depth_, depth_, clock_, clock_ + pause, gas_, {}, {}},
             [&](Tissues& t) { loading_.stay(t, gas_, depth_, pause); });
    GasSwitch& made = note_switch(change.gas);
    if (change.given) made.stated = metres(change.stated);
    made.on_leaving_bottom = change.given && leaving;
    gas_ = change.gas;
  }

  [[nodiscard]] LeaveTest test_towards(double next) {
    return {
        loading_, next == 0.0 ? test_rates_ : rates_, gas_, depth_, next, line_.factor_at(next)};
  }

  /// Stays here as long as the leave test, a switch and the rounding ask for.
  void hold(LeaveTest& test, double next, double arrives, const Gas& arrives_on) {
    Tissues held = tissues_;
    const Wait wait = test.least_wait(held);
    if (!wait.possible) throw no_wait_suffices(forbidden(next, wait.compartment));
    const double pause = clock_ - arrives;
    const double earliest = held_until(arrives);
    if (pause + wait.minutes == 0.0 && clock_ >= earliest) return;
    double leaves = clock_ + wait.minutes;
    const bool as_solved = rules_.rounding == Rounding::exact && leaves >= earliest &&
                           (wait.minutes == 0.0 || leaves - arrives >= in_minutes(rules_.min_stop));
    if (!as_solved) leaves = settle(test, next, arrives, wait, earliest, held);
    const auto held_by =
        wait.minutes > 0.0 ? std::optional<std::size_t>(wait.compartment) : std::nullopt;
    if (leaves > clock_)
      append({Phase::stay, depth_, depth_, clock_, leaves, gas_, held_by, {}},
             [&](Tissues& t) { t = held; });
    stops_.push_back({metres(depth_), minutes(arrives), minutes(leaves),
                      minutes(leaves - left_last_), arrives_on, gas_,
                      gas_.oxygen * place_.pressure(depth_), held_by});
    left_last_ = leaves;
  }

  /// Rounds the departure, and goes on where slow compartments took up too much meanwhile.
  [[nodiscard]] double settle(LeaveTest& test, double next, double arrives, const Wait& wait,
                              double earliest, Tissues& held) const {
    double here = clock_ - arrives + wait.minutes;
    if (wait.minutes > 0.0) here = std::max(here, in_minutes(rules_.min_stop));
    const double rounded = std::max(rounder_.departure(arrives, here), clock_);
    double leaves = std::max(rounded, earliest);
    const double shortest = leaves - arrives;
    constexpr int most_extensions = 1000;
    for (int extension = 0; extension <= most_extensions; ++extension) {
      held = tissues_;
      loading_.stay(held, gas_, depth_, leaves - clock_);
      if (test.passes(held)) return leaves;
      leaves += rounder_.resolution();
    }
    if (earliest > rounded) throw hold_overshoots(forbidden(next, test.leader()), earliest);
    throw rounding_overshoots(forbidden(next, test.leader()), wait.minutes, shortest);
  }

  /// Run time before which this depth is not left; 0 where nothing holds the diver.
  [[nodiscard]] double held_until(double arrives) const {
    constexpr double rounding = 1e-9;
    double latest = 0.0;
    for (const Hold& hold : holds_) {
      if (std::abs(hold.depth - depth_) > same_depth || hold.since > clock_ + rounding) continue;
      latest = std::max(latest, hold.leave_at);
      if (hold.minutes > 0.0) latest = std::max(latest, rounder_.departure(arrives, hold.minutes));
    }
    return latest;
  }

  [[nodiscard]] Forbidden forbidden(double next, std::size_t compartment) const {
    return {depth_,      next,
            compartment, set().nitrogen.half_time[compartment],
            gas_,        rules_.factors.text()};
  }

  /// The ascent just tested, where it is made as it was tested.
  void travel_up(double next, const LeaveTest& test) {
    if (next == 0.0 || !test.at_one_rate()) {
      travel_up(next);
      return;
    }
    rates_.split(depth_, next, [&](double start, double end, double rate) {
      append(rising(start, end, rate), [&](Tissues& t) { t = test.arrival(); });
    });
  }

  void travel_up(double next) {
    if (next == 0.0 && rules_.surfacing_rate) {
      rise(next, rules_.surfacing_rate->base());
      return;
    }
    rates_.split(depth_, next, [&](double, double end, double rate) { rise(end, rate); });
  }

  void rise(double next, double rate) {
    const Leg leg = rising(depth_, next, rate);
    append(leg, [&](Tissues& t) { loading_.travel(t, gas_, leg.from, leg.to, leg.minutes()); });
  }

  [[nodiscard]] Leg rising(double from, double to, double rate) const {
    return {Phase::come_up, from, to, clock_, clock_ + (from - to) / rate, gas_, {}, {}};
  }

  // ---- legs ------------------------------------------------------------------------------

  template <class Load>
  void append(const Leg& leg, Load&& load) {
    load(tissues_);
    clock_ = leg.ends;
    depth_ = leg.to;
    if (continues(leg)) {
      legs_.back().to = leg.to;
      legs_.back().ends = leg.ends;
    } else {
      legs_.push_back(leg);
    }
    legs_.back().after = tissues_;
  }

  /// Travel through a rung without a pause is one leg, and so is a level given in two parts.
  [[nodiscard]] bool continues(const Leg& leg) const {
    if (legs_.empty() || legs_.size() == first_ascent_leg_) return false;
    const Leg& last = legs_.back();
    if (leg.phase != last.phase || !(last.gas == leg.gas) || leg.held_by || last.held_by)
      return false;
    if (leg.phase == Phase::stay) return true;
    const double rate = (last.from - last.to) / last.minutes();
    const double now = (leg.from - leg.to) / leg.minutes();
    constexpr double rounding = 1e-9;
    return std::abs(rate - now) <= rounding * std::abs(rate);
  }

  const Dive& dive_;
  const Rules& rules_;
  Place place_;
  Loading loading_;
  Screen screen_;
  RateTable rates_;
  RateTable test_rates_;
  Rounder rounder_;
  Gas gas_; // in use
  Tissues tissues_;
  LimitLine line_;
  SwitchList switches_; // of the last ascent
  std::vector<GasSwitch> gas_switches_;
  std::vector<Climb> climbs_;
  std::vector<Leg> legs_;
  std::vector<Stop> stops_;
  std::vector<Hold> holds_;
  std::size_t first_ascent_leg_ = 0; // of the climb in hand or the last one
  double depth_ = 0.0;
  double clock_ = 0.0;
  double left_last_ = 0.0; // run time at which the last stop, or the bottom, was left
  double bottom_left_ = 0.0;
};

} // namespace upline::detail

#pragma once
/// @file
/// @brief The ascents that are left at one moment of a plan, for the mixes that are left.

#include <upline/consumption.hpp>
#include <upline/losing/moment.hpp>
#include <upline/planning/diver.hpp>
#include <upline/text.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <map>
#include <string>
#include <tuple>
#include <unordered_map>
#include <utility>
#include <vector>

namespace upline::detail {

/// @brief What cylinders do not give, at every depth that comes up [L].
class Floors {
public:
  Floors(std::vector<const Cylinder*> cylinders, const Place& place)
      : cylinders_(std::move(cylinders)), place_(place) {}

  /// @brief Number of a depth [m].
  [[nodiscard]] std::size_t number_of(double depth) {
    const auto [known, is_new] = numbers_.try_emplace(depth, numbers_.size());
    if (is_new)
      for (const Cylinder* one : cylinders_)
        kept_back_.push_back(in_litres(one->content_at(floor_at(depth, place_))));
    return known->second;
  }
  [[nodiscard]] double kept_back(std::size_t cylinder, std::size_t depth) const {
    return kept_back_[depth * cylinders_.size() + cylinder];
  }

private:
  std::vector<const Cylinder*> cylinders_;
  Place place_;
  std::unordered_map<double, std::size_t> numbers_;
  std::vector<double> kept_back_; // all cylinders of the first depth, then of the second ...
};

/// @brief A piece of an ascent on one mix, as the cylinders see it.
struct Stretch {
  std::size_t mix = 0;
  double hurried = 0.0;  ///< Bar-minutes at the stress rate.
  double calm = 0.0;     ///< Bar-minutes at the resting rate.
  std::size_t floor = 0; ///< Number of its deepest point.
};

/// @brief An ascent, or why there is none.
struct Branch {
  std::vector<Stretch> stretches{};
  std::string reason{}; ///< Empty where there is one.
  double ends = 0.0;    ///< Run time at the surface [min].
  double cns = 0.0;     ///< At its end, all before included.
  double density = 0.0; ///< The highest on it, at 0 degrees C [g/L].
  std::size_t hand = 0; ///< Mix taken up at once.
  bool as_planned = false;
  bool with_travel_gas = false;
};

/// @brief Finds the ascents of one moment; remembers them until the next.
class BranchFinder {
public:
  /// @param rules One for each last stop allowed; that of the plan first.
  BranchFinder(const PlanWalk& walk, Floors& floors, const std::vector<Rules>& rules,
               double stress_for)
      : walk_(walk), floors_(floors), rules_(rules), stress_for_(stress_for),
        bottom_left_(in_minutes(walk.plan().bottom_time)) {}

  void move_to(double run_time) {
    now_ = walk_.at(run_time);
    needed_ = walk_.needed_after(run_time);
    known_.clear();
  }
  [[nodiscard]] const PlanMoment& now() const { return now_; }
  [[nodiscard]] std::size_t count() const { return rules_.size(); }
  [[nodiscard]] const Rules& rules(std::size_t stop) const { return rules_[stop]; }

  /// @brief The ascent on some mixes, for one of the last stops.
  [[nodiscard]] const Branch& branch(Mixes left, std::size_t stop) {
    const auto [known, is_new] = known_.try_emplace(std::pair(left, stop));
    if (is_new) known->second = found(left, stop);
    return known->second;
  }

  /// @brief Makes the ascent of a branch again; nothing of it must be as planned.
  [[nodiscard]] Diver again(Mixes left, std::size_t stop, const Branch& branch) {
    Diver diver(dive_for(left, branch.hand, branch.with_travel_gas), rules_[stop]);
    diver.surface_from(underway(branch.hand));
    return diver;
  }

  /// @brief Nothing where the ascent begins at this moment.
  [[nodiscard]] std::optional<LimitLine> line() const {
    if (now_.run_time <= bottom_left_ + same_moment) return {};
    std::optional<double> anchor;
    if (walk_.plan().anchor) anchor = in_metres(*walk_.plan().anchor);
    return LimitLine{walk_.plan().rules.factors, anchor};
  }

private:
  [[nodiscard]] static bool has(Mixes some, std::size_t mix) {
    return ((some >> mix) & Mixes{1}) != 0;
  }
  [[nodiscard]] const Plan& plan() const { return walk_.plan(); }
  [[nodiscard]] const Gas& gas(std::size_t mix) const { return walk_.mixes()[mix]; }

  [[nodiscard]] Branch found(Mixes left, std::size_t stop) {
    // What the plan does not need any more changes nothing in it.
    if (stop == 0 && line() && (needed_ & ~left) == 0) return rest_of_plan();
    Branch branch;
    const auto hand = at_hand(left);
    if (!hand) {
      branch.reason = nothing_to_breathe(left);
      return branch;
    }
    branch = solved(left, stop, *hand, false);
    // A gas of the way down is none of the way up, unless there is no other way up.
    if (!branch.reason.empty() && travel_alone() && has(left, *travel_alone())) {
      Branch with_travel = solved(left, stop, *hand, true);
      if (with_travel.reason.empty()) return with_travel;
    }
    return branch;
  }

  // ---- what is breathed --------------------------------------------------------------------

  /// The travel gas where it is no gas of the ascent.
  [[nodiscard]] std::optional<std::size_t> travel_alone() const {
    if (!plan().dive.travel) return {};
    for (const GasChoice& choice : plan().dive.gases)
      if (choice.gas == plan().dive.travel->gas) return {};
    return walk_.find(plan().dive.travel->gas);
  }

  [[nodiscard]] bool too_lean(std::size_t mix) const {
    constexpr double rounding = 1e-9;
    return gas(mix).oxygen * walk_.place().pressure(now_.depth) <
           in_bar(plan().rules.min_po2) - rounding;
  }

  [[nodiscard]] bool may_be_breathed(std::size_t mix) const {
    constexpr double rounding = 1e-9;
    const Rules& rules = plan().rules;
    const double limit = in_bar(mix == 0 ? rules.max_po2 : rules.max_deco_po2);
    return !too_lean(mix) && gas(mix).oxygen * walk_.place().pressure(now_.depth) <=
                                 limit + in_bar(rules.po2_tolerance) + rounding;
  }

  /// The gas in use; else the bottom gas; else the richest that may be breathed here.
  [[nodiscard]] std::optional<std::size_t> at_hand(Mixes left) const {
    const std::size_t in_use = walk_.breathed(now_.row);
    if (has(left, in_use)) return in_use;
    if (has(left, 0) && may_be_breathed(0)) return 0;
    std::optional<std::size_t> richest;
    for (std::size_t mix = 1; mix < walk_.mixes().size(); ++mix)
      if (has(left, mix) && may_be_breathed(mix) &&
          (!richest || gas(mix).oxygen > gas(*richest).oxygen))
        richest = mix;
    return richest;
  }

  [[nodiscard]] std::string length(double metres_down, int digits) const {
    const Units units = plan().rules.units;
    return trimmed(depth_in(metres(metres_down), units), digits) + " " + length_name(units);
  }

  [[nodiscard]] std::string nothing_to_breathe(Mixes left) const {
    std::optional<double> least;
    for (std::size_t mix = 0; mix < walk_.mixes().size(); ++mix)
      if (has(left, mix) && too_lean(mix))
        least = std::min(least.value_or(HUGE_VAL), shallowest(mix));
    if (least) return no_gas_above(*least);
    return "nothing that may be breathed at " + length(now_.depth, 1) + " is left";
  }

  /// Depth from which on a mix has enough oxygen [m].
  [[nodiscard]] double shallowest(std::size_t mix) const {
    return minimum_depth(gas(mix), in_bar(plan().rules.min_po2), walk_.place());
  }

  [[nodiscard]] std::string no_gas_above(double depth) const {
    const Units units = plan().rules.units;
    constexpr double rounding = 1e-9;
    const double whole = std::ceil(depth_in(metres(depth), units) - rounding);
    return "no breathable gas above " + fixed(whole, 0) + " " + length_name(units);
  }

  // ---- the ascent --------------------------------------------------------------------------

  [[nodiscard]] Underway underway(std::size_t hand) const {
    return {now_.run_time, now_.depth, gas(hand), now_.tissues, line()};
  }

  /// The dive with the gases that are left; the bottom gas first, or else what is at hand.
  [[nodiscard]] const Dive& dive_for(Mixes left, std::size_t hand, bool with_travel_gas) {
    const auto [known, is_new] = dives_.try_emplace(std::tuple(left, hand, with_travel_gas));
    if (!is_new) return known->second;
    Dive dive = plan().dive;
    const std::size_t first = has(left, 0) ? 0 : hand;
    dive.gases.assign(1, GasChoice{gas(first), {}});
    for (const GasChoice& choice : plan().dive.gases) {
      const std::size_t mix = *walk_.find(choice.gas);
      if (mix != first && has(left, mix)) dive.gases.push_back(choice);
    }
    if (with_travel_gas && hand != *travel_alone())
      dive.gases.push_back(GasChoice{gas(*travel_alone()), {}});
    known->second = std::move(dive);
    return known->second;
  }

  [[nodiscard]] Branch solved(Mixes left, std::size_t stop, std::size_t hand,
                              bool with_travel_gas) {
    Branch branch;
    branch.hand = hand;
    branch.with_travel_gas = with_travel_gas;
    try {
      const Diver diver = again(left, stop, branch);
      begin(branch);
      for (const Leg& leg : diver.legs())
        add(branch, leg.gas, leg.from, leg.to, leg.begins, leg.ends);
    } catch (const Error& error) {
      branch.reason = error.what();
    }
    return branch;
  }

  [[nodiscard]] Branch rest_of_plan() {
    Branch branch;
    branch.as_planned = true;
    branch.hand = walk_.breathed(now_.row);
    begin(branch);
    for (const Row& row : plan().rows) {
      if (in_minutes(row.ends) <= now_.run_time) continue;
      const bool in_hand = in_minutes(row.begins) < now_.run_time;
      add(branch, row.gas, in_hand ? now_.depth : in_metres(row.from), in_metres(row.to),
          in_hand ? now_.run_time : in_minutes(row.begins), in_minutes(row.ends));
    }
    return branch;
  }

  void begin(Branch& branch) const {
    branch.cns = now_.cns;
    branch.ends = now_.run_time;
    constexpr std::size_t usual = 32;
    branch.stretches.reserve(usual);
  }

  void add(Branch& branch, const Gas& breathed, double from, double to, double begins,
           double ends) {
    const Place& place = walk_.place();
    constexpr double rounding = 1e-9;
    if (breathed.oxygen * place.pressure(to) < in_bar(plan().rules.min_po2) - rounding &&
        branch.reason.empty())
      branch.reason = no_gas_above(shallowest(*walk_.find(breathed)));
    const Row row{.from = metres(from),
                  .to = metres(to),
                  .begins = minutes(begins),
                  .ends = minutes(ends),
                  .gas = breathed,
                  .held_by = {}};
    const auto [hurried, calm] = parted_bar_minutes(row, place, now_.run_time + stress_for_);
    branch.stretches.push_back({*walk_.find(breathed), hurried, calm, floors_.number_of(from)});
    branch.cns += walk_.dose(breathed, from, to, ends - begins);
    branch.density = std::max(branch.density, density(breathed, from, place));
    branch.ends = ends;
  }

  const PlanWalk& walk_;
  Floors& floors_;
  const std::vector<Rules>& rules_;
  double stress_for_;
  double bottom_left_;
  PlanMoment now_;
  Mixes needed_ = 0;
  std::map<std::pair<Mixes, std::size_t>, Branch> known_; // at this moment
  std::map<std::tuple<Mixes, std::size_t, bool>, Dive> dives_;
};

} // namespace upline::detail

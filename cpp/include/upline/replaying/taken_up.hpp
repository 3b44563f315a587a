#pragma once
/// @file
/// @brief Where a path that names no gas takes up each of those that are carried.
/// @par Source
/// Given depths as given; the others by the rule of a plan, docs/theory.md, eq. (17).

#include <upline/planning/switches.hpp>
#include <upline/profile.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <iterator>
#include <optional>
#include <string>
#include <vector>

namespace upline::detail {

/// @brief Writes the gases of an ascent into a path, and says in words where each is taken up.
class GasesAlongPath {
public:
  /// @param gases Breathed at the beginning first, then those for the ascent in any order.
  GasesAlongPath(Profile& profile, const std::vector<GasChoice>& gases, const Rules& rules)
      : profile_(profile), gases_(gases), rules_(rules), place_(profile.environment.place()),
        rule_(rules, place_) {}

  /// @return Notes; none where a single gas is carried.
  /// @throws InvalidInput for two gases at one depth.
  [[nodiscard]] std::vector<std::string> write() {
    std::vector<std::string> notes;
    std::vector<Waypoint>& points = profile_.waypoints;
    const bool named = std::any_of(points.begin(), points.end(),
                                   [](const Waypoint& p) { return p.gas.has_value(); });
    if (named) note_unnamed(notes);
    if (points.empty()) return notes;
    if (!points.front().gas) points.front().gas = gases_.front().gas;
    if (named || gases_.size() < 2) return notes;
    notes.push_back("the path names no gas: " + gases_.front().gas.spoken() +
                    " is taken as breathed from the beginning");
    for (const Switch& one : switches(notes)) take_up(one, notes);
    return notes;
  }

private:
  void note_unnamed(std::vector<std::string>& notes) const {
    for (const GasChoice& choice : gases_) {
      const auto breathes = [&](const Waypoint& p) { return p.gas == choice.gas; };
      const std::vector<Waypoint>& points = profile_.waypoints;
      const bool is_first = &choice == &gases_.front() && !points.front().gas;
      if (!is_first && std::none_of(points.begin(), points.end(), breathes))
        notes.push_back(choice.gas.spoken() +
                        " is not taken as breathed: the path names its gases itself");
    }
  }

  [[nodiscard]] std::vector<Switch> switches(std::vector<std::string>& notes) const {
    const std::vector<double> rungs = rungs_between(rules_.ladder, deepest(), 0.0);
    std::vector<double> given;
    for (const GasChoice& choice : gases_)
      if (choice.switch_depth) given.push_back(in_metres(*choice.switch_depth));
    const Gas& first = gases_.front().gas;
    SwitchList list;
    for (auto choice = std::next(gases_.begin()); choice != gases_.end(); ++choice) {
      if (choice->switch_depth) {
        const double depth = in_metres(*choice->switch_depth);
        list.made.push_back({depth, choice->gas, true, depth});
      } else if (choice->gas.oxygen <= first.oxygen) {
        list.unused.push_back({choice->gas, Unused::not_richer, first});
      } else if (const auto rung = rule_.deepest(choice->gas, rungs, given)) {
        list.made.push_back({*rung, choice->gas, false, *rung});
      } else {
        list.unused.push_back({choice->gas, Unused::never_qualifies, first});
      }
    }
    std::stable_sort(list.made.begin(), list.made.end(),
                     [](const Switch& x, const Switch& y) { return x.stated > y.stated; });
    for (std::size_t j = 1; j < list.made.size(); ++j)
      if (list.made[j - 1].depth - list.made[j].depth <= same_depth)
        throw InvalidInput("gases",
                           list.made[j - 1].gas.text() + " and " + list.made[j].gas.text() +
                               ", both taken up at " + length_text(metres(list.made[j].depth)),
                           "one gas at each depth",
                           "leave one out, give one of them another switch depth (\"50@18\"), or "
                           "name the gases along the path");
    SwitchRule::drop_leaner(first, list);
    for (const UnusedGas& one : list.unused)
      notes.push_back(
          one.gas.spoken() + " is not taken as breathed: " +
          (one.reason == Unused::not_richer
               ? std::string("it holds no more oxygen than ").append(one.in_use.spoken())
               : std::string("at no rung is it within the oxygen limit")));
    return list.made;
  }

  /// Puts a waypoint where the gas is taken up: at the first moment on the way up that is not
  /// deeper.
  void take_up(const Switch& one, std::vector<std::string>& notes) {
    std::vector<Waypoint>& points = profile_.waypoints;
    const std::size_t leg = leg_of(one.depth);
    if (leg >= points.size()) {
      notes.push_back(one.gas.spoken() + " is not taken as breathed: the path stays deeper than " +
                      shown(one.depth) + ", where it would be taken up");
      return;
    }
    Waypoint& end = points[leg];
    const Waypoint from = points[leg - 1];
    const double begins = in_minutes(from.at);
    const double minutes_long = in_minutes(end.at) - begins;
    const double deep = in_metres(from.depth);
    const double shallow = in_metres(end.depth);
    double share = deep > one.depth ? (deep - one.depth) / (deep - shallow) : 0.0;
    if (is_held(leg, deeper_than(one.depth))) share = 0.0;
    if (const double left = left_at(); left > begins && minutes_long > 0.0)
      share = std::max(share, (left - begins) / minutes_long);
    const double at = begins + share * minutes_long;
    const double depth = deep + share * (shallow - deep);
    if (share <= 0.0)
      points[leg - 1].gas = one.gas;
    else if (share >= 1.0)
      end.gas = one.gas;
    else
      points.insert(points.begin() + static_cast<std::ptrdiff_t>(leg),
                    {minutes(at), metres(depth), one.gas});
    std::string note = one.gas.spoken() + " is taken as breathed from " + shown(depth) +
                       ", run time " + clock_text(at) + " min, on";
    if (one.given)
      note += " (switch depth as given)";
    else
      note.append(" (the deepest rung within ")
          .append(trimmed(rule_.limit(), 2))
          .append(" bar of oxygen)");
    notes.push_back(note);
  }

  [[nodiscard]] std::string shown(double depth) const {
    return trimmed(depth_in(metres(depth), rules_.units), 1) + " " + length_name(rules_.units);
  }

  [[nodiscard]] double left_at() const {
    return profile_.bottom_left ? in_minutes(*profile_.bottom_left) : 0.0;
  }

  [[nodiscard]] double deepest() const {
    double found = 0.0;
    for (const Waypoint& point : profile_.waypoints)
      found = std::max(found, in_metres(point.depth));
    return found;
  }

  /// What still counts as deeper than a depth; a held depth of a log may be half a metre off [m].
  [[nodiscard]] double deeper_than(double depth) const {
    constexpr double slack = 0.5;
    return std::min(depth + slack, deepest() - slack);
  }

  /// Depth is held along a leg, as at a stop of which a log says 21.2, and is not deeper than that.
  [[nodiscard]] bool is_held(std::size_t leg, double deeper) const {
    constexpr double slowest = 1.0; // [m/min]
    const Waypoint& from = profile_.waypoints[leg - 1];
    const Waypoint& to = profile_.waypoints[leg];
    if (in_metres(from.depth) > deeper || in_metres(to.depth) > deeper) return false;
    return std::abs(in_metres(from.depth) - in_metres(to.depth)) <=
           slowest * (in_minutes(to.at) - in_minutes(from.at));
  }

  /// The leg, by its end, on which a depth is reached for good; the number of waypoints if none.
  [[nodiscard]] std::size_t leg_of(double depth) const {
    const std::vector<Waypoint>& points = profile_.waypoints;
    std::size_t leg = 1;
    const double deeper = deeper_than(depth);
    const double enough = std::min(depth, deepest()) + same_depth;
    for (std::size_t j = 1; j < points.size(); ++j)
      if (in_metres(points[j - 1].depth) > deeper || in_metres(points[j].depth) > deeper) leg = j;
    while (leg < points.size()) {
      const bool after_bottom = in_minutes(points[leg].at) > left_at();
      const bool reached = in_metres(points[leg].depth) <= enough;
      if (after_bottom && (reached || is_held(leg, deeper))) return leg;
      ++leg;
    }
    return leg;
  }

  Profile& profile_;
  const std::vector<GasChoice>& gases_;
  const Rules& rules_;
  Place place_;
  SwitchRule rule_;
};

} // namespace upline::detail

#pragma once
/// @file
/// @brief From the waypoints of a profile to a walk, surface to surface; and its pauses.

#include <upline/ladder.hpp>
#include <upline/profile.hpp>
#include <upline/replaying/walk.hpp>

#include <algorithm>
#include <cstddef>
#include <string>
#include <vector>

namespace upline::detail {

/// @brief Walks a profile. What it lacks at its ends is added, and said in `notes`.
class PathWalker {
public:
  PathWalker(const Profile& profile, Walk& walk, std::vector<std::string>& notes)
      : profile_(profile), walk_(walk), notes_(notes) {}

  void walk(const RateTable& rates) {
    const std::size_t end = end_of_dive();
    for (std::size_t j = 0; j < end; ++j) reach(profile_.waypoints[j]);
    if (end < profile_.waypoints.size())
      notes_.emplace_back("the time at the surface after it was left out");
    if (raised_) notes_.emplace_back("depths above the surface were read as 0");
    if (walk_.depth_now() > 0.0) surface(rates);
  }

private:
  /// The dive ends where the surface is reached for the last time, not where the record ends.
  [[nodiscard]] std::size_t end_of_dive() const {
    const std::vector<Waypoint>& points = profile_.waypoints;
    std::size_t end = points.size();
    while (end > 1 && points[end - 1].depth <= Depth() && points[end - 2].depth <= Depth()) --end;
    return end > 1 ? end : points.size(); // at the surface throughout
  }

  void reach(const Waypoint& point) {
    raised_ = raised_ || in_metres(point.depth) < 0.0;
    const double depth = std::max(0.0, in_metres(point.depth));
    if (&point == &profile_.waypoints.front()) begin(point, depth);
    const double left = profile_.bottom_left ? in_minutes(*profile_.bottom_left) : 0.0;
    const double end = in_minutes(point.at);
    // A leg ends where the bottom is left, so that the ascent begins with one of its own.
    if (left > walk_.clock() + same_moment && left < end - same_moment) {
      const double share = (left - walk_.clock()) / (end - walk_.clock());
      const double from = walk_.depth_now();
      walk_.go(from + share * (depth - from), left - walk_.clock(), gas_);
    }
    walk_.go(depth, end - walk_.clock(), gas_);
    if (point.gas) gas_ = *point.gas;
  }

  void begin(const Waypoint& point, double depth) {
    gas_ = *point.gas;
    if (in_minutes(point.at) > 0.0)
      notes_.push_back("it begins at " + length_text(metres(depth)) + ", " +
                       clock_text(in_minutes(point.at)) +
                       " min after leaving the surface: a straight way down there was added");
    else if (depth > 0.0)
      notes_.push_back("it begins at " + length_text(metres(depth)) + " at run time 0");
  }

  void surface(const RateTable& rates) {
    notes_.push_back("it ends at " + length_text(metres(walk_.depth_now())) +
                     ": a straight way up at the ascent rate was added");
    rates.split(walk_.depth_now(), 0.0, [&](double from, double to, double rate) {
      walk_.go(to, (from - to) / rate, gas_);
    });
  }

  const Profile& profile_;
  Walk& walk_;
  std::vector<std::string>& notes_;
  Gas gas_{};
  bool raised_ = false;
};

/// @brief A span of legs in which the diver pauses: at one depth, or within a metre for a minute.
struct Pause {
  std::size_t first_leg = 0;
  std::size_t end_leg = 0; ///< One past the last.
};

/// @brief The pauses from a leg on, the last ascent not counted.
/// @param level_for Least minutes of a level leg that makes a pause by itself: two equal samples of
///                  a log say little.
[[nodiscard]] inline std::vector<Pause> pauses(const std::vector<Leg>& legs, std::size_t first,
                                               double level_for) {
  constexpr double band = 1.0;     // [m]
  constexpr double shortest = 1.0; // [min]
  std::vector<Pause> found;
  for (std::size_t j = first; j < legs.size();) {
    double high = legs[j].from;
    double low = high;
    bool level = false;
    std::size_t end = j;
    for (; end < legs.size(); ++end) {
      const double now_high = std::min({high, legs[end].from, legs[end].to});
      const double now_low = std::max({low, legs[end].from, legs[end].to});
      if (now_low - now_high > band || now_high <= 0.0) break;
      high = now_high;
      low = now_low;
      level = level || (legs[end].from == legs[end].to && legs[end].minutes() >= level_for);
    }
    const bool pause = end > j && (level || legs[end - 1].ends - legs[j].begins >= shortest);
    if (pause) found.push_back({j, end});
    j = pause ? end : j + 1;
  }
  return found;
}

} // namespace upline::detail

#pragma once
/// @file
/// @brief A path through the water, as dived or as somebody means to dive it.

#include <upline/detail/number.hpp>
#include <upline/detail/require.hpp>
#include <upline/environment.hpp>
#include <upline/error.hpp>
#include <upline/gas.hpp>
#include <upline/schedule.hpp>
#include <upline/state.hpp>
#include <upline/units.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace upline {

/// @brief A moment of a path. Between two of them depth changes evenly.
struct Waypoint {
  Minutes at;                                                         ///< Run time.
  Depth depth;                                                        ///< Then.
  std::optional<Gas> gas{};                                           ///< Breathed from then on.
  friend bool operator==(const Waypoint&, const Waypoint&) = default; ///< Field by field.
};

/// @brief A path: waypoints of a plan, rows of a table laid out, or samples of a log.
struct Profile {
  std::vector<Waypoint> waypoints{};    ///< In order of time; the first names a gas.
  Environment environment{};            ///< Sea level and gauge metres if nothing is said.
  std::optional<State> start{};         ///< What an earlier dive left.
  std::optional<Minutes> bottom_left{}; ///< Run time; nothing: nobody knows, as in a log.
  friend bool operator==(const Profile&, const Profile&) = default; ///< Field by field.
};

namespace detail {

[[nodiscard]] inline std::string waypoint_name(std::size_t j) {
  return "waypoint " + std::to_string(j + 1);
}

/// Whether the depths rise throughout as run times do, and the run times do not.
[[nodiscard]] inline bool are_swapped(const std::vector<Waypoint>& points) {
  const auto sinks = [](auto value) {
    return [value](const Waypoint& one, const Waypoint& next) { return value(next) < value(one); };
  };
  const auto none = [&](auto falls) {
    return std::adjacent_find(points.begin(), points.end(), falls) == points.end();
  };
  return none(sinks([](const Waypoint& one) { return one.depth; })) &&
         !none(sinks([](const Waypoint& one) { return one.at; }));
}

inline constexpr const char* order_remedy =
    "the first number of a waypoint is its run time, the second its depth: these look swapped";

[[noreturn]] inline void throw_no_time(const std::vector<Waypoint>& points) {
  const bool still = std::all_of(points.begin(), points.end(),
                                 [](const Waypoint& one) { return one.at == Minutes(); });
  throw InvalidInput("profile",
                     still ? "waypoints that all are at run time 0"
                           : "a last waypoint at run time " +
                                 trimmed(in_minutes(points.back().at), 6) + " min",
                     "a path that takes time",
                     are_swapped(points) ? order_remedy : "give the run time of each waypoint");
}

inline void require_order(const Profile& profile, std::size_t j) {
  const Waypoint& last = profile.waypoints[j - 1];
  const Waypoint& now = profile.waypoints[j];
  if (now.at >= last.at && (now.at > last.at || now.depth == last.depth)) return;
  const bool swapped = are_swapped(profile.waypoints);
  if (now.at < last.at)
    throw InvalidInput(waypoint_name(j), "at " + trimmed(in_minutes(now.at), 6) + " min",
                       "run times that do not fall, here " + trimmed(in_minutes(last.at), 6) +
                           " min or later",
                       swapped ? order_remedy : "give the waypoints in order of time");
  throw InvalidInput(waypoint_name(j),
                     length_text(now.depth) + " at the same moment as " + length_text(last.depth),
                     "one depth at a time", swapped ? order_remedy : "give the run time of each");
}

/// @throws InvalidInput for what cannot be a path.
inline void require_profile(const Profile& profile) {
  constexpr std::size_t most = 200'000;
  const std::vector<Waypoint>& points = profile.waypoints;
  if (points.size() < 2 || points.size() > most)
    throw InvalidInput("profile", std::to_string(points.size()) + " waypoints",
                       "2 to 200000 waypoints", "give run times and depths, surface to surface");
  if (!(points.back().at > Minutes())) throw_no_time(points);
  if (!points.front().gas)
    throw InvalidInput("profile", "no gas at its beginning", "a gas at the first waypoint",
                       "say what is breathed at first");
  for (std::size_t j = 0; j < points.size(); ++j) {
    require_range((waypoint_name(j) + " run time").c_str(), in_minutes(points[j].at), 0.0, 1e5,
                  "min", "give run times from leaving the surface");
    require_length((waypoint_name(j) + " depth").c_str(), points[j].depth, metres(-1.0),
                   metres(350.0), "give depths below the surface");
    if (j > 0) require_order(profile, j);
  }
  if (profile.bottom_left &&
      !(*profile.bottom_left >= points.front().at && *profile.bottom_left < points.back().at))
    throw InvalidInput("bottom_left", trimmed(in_minutes(*profile.bottom_left), 6) + " min",
                       trimmed(in_minutes(points.front().at), 6) + " to less than " +
                           trimmed(in_minutes(points.back().at), 6) + " min",
                       "give the run time at which the bottom is left");
  if (profile.start) require_valid(*profile.start);
}

} // namespace detail

/// @brief The path of a plan.
[[nodiscard]] inline Profile profile_of(const Plan& plan) {
  Profile profile{.environment = plan.dive.environment,
                  .start = plan.dive.start,
                  .bottom_left = plan.bottom_time};
  for (const Row& row : plan.rows) profile.waypoints.push_back({row.begins, row.from, row.gas});
  const Row& last = plan.rows.back();
  profile.waypoints.push_back({last.ends, last.to, {}});
  return profile;
}

} // namespace upline

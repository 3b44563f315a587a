#pragma once
/// @file
/// @brief The last stop of a plan held in swell: how oxygen pressure and margin go up and down.
/// @par Source
/// docs/theory.md, section "Swell at the last stop".

#include <upline/compartments.hpp>
#include <upline/detail/require.hpp>
#include <upline/profile.hpp>
#include <upline/replay.hpp>
#include <upline/schedule.hpp>
#include <upline/trace.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
#include <string>
#include <vector>

namespace upline {

/// @brief What the diver meets at the last stop in swell of one amplitude.
struct SwellBand {
  Depth amplitude{};               ///< Up and down from the stop.
  Depth shallowest{};              ///< At a crest.
  Depth deepest{};                 ///< In a trough.
  double lowest_po2 = 0.0;         ///< On the gas on which the stop is left [bar].
  double highest_po2 = 0.0;        ///< [bar]
  double margin = 0.0;             ///< Least while the stop lasts [bar]; below 0 beyond the line.
  double calm_margin = 0.0;        ///< The same without swell [bar].
  Minutes beyond_for{};            ///< Since arriving, until the last crest beyond the line.
  double surfacing_fraction = 0.0; ///< After it.
};

namespace detail {

/// Makes the path of a plan whose last stop goes up and down, and looks at it.
class SwellFinder {
public:
  SwellFinder(const Plan& plan, Minutes period)
      : plan_(plan), stop_(plan.stops.back()), period_(in_minutes(period)) {
    SwellBand calm;
    look(calm, trace(plan_, plan_.run_time));
    calm_margin_ = calm.margin;
  }

  [[nodiscard]] SwellBand at(Depth amplitude) const {
    const Place place = plan_.dive.environment.place();
    SwellBand band;
    band.amplitude = amplitude;
    band.shallowest = stop_.depth - amplitude;
    band.deepest = stop_.depth + amplitude;
    band.lowest_po2 = stop_.gas.oxygen * place.pressure(in_metres(band.shallowest));
    band.highest_po2 = stop_.gas.oxygen * place.pressure(in_metres(band.deepest));
    const Replay seen = replay(path(amplitude), plan_.rules);
    band.surfacing_fraction = seen.surfacing_fraction;
    look(band, trace(seen, plan_.run_time)); // the ends of every row: crests and troughs
    band.calm_margin = calm_margin_;
    return band;
  }

private:
  /// The path of the plan; at the last stop the depth zigzags about the stop's.
  [[nodiscard]] Profile path(Depth amplitude) const {
    const Profile calm = profile_of(plan_);
    Profile rough = calm;
    rough.waypoints.clear();
    std::size_t j = 0;
    for (; calm.waypoints[j].at < stop_.arrives; ++j) rough.waypoints.push_back(calm.waypoints[j]);
    for (; calm.waypoints[j].at < stop_.departs; ++j) {
      const Waypoint& begins = calm.waypoints[j];
      zigzag(rough.waypoints, begins, calm.waypoints[j + 1].at, amplitude);
    }
    for (; j < calm.waypoints.size(); ++j) rough.waypoints.push_back(calm.waypoints[j]);
    return rough;
  }

  /// Up and down from `begins` on, as often as whole waves fit, each of about the period.
  void zigzag(std::vector<Waypoint>& path, const Waypoint& begins, Minutes until,
              Depth amplitude) const {
    const double from = in_minutes(begins.at);
    const double span = in_minutes(until) - from;
    const auto waves = std::max(1L, std::lround(span / period_));
    const double quarter = span / static_cast<double>(4 * waves);
    path.push_back(begins);
    for (long k = 0; k < waves; ++k) {
      const auto at = [&](long quarters) {
        return minutes(from + static_cast<double>(4 * k + quarters) * quarter);
      };
      path.push_back({at(1), stop_.depth - amplitude, {}});
      path.push_back({at(3), stop_.depth + amplitude, {}});
    }
  }

  void look(SwellBand& band, const Trace& seen) const {
    band.margin = std::numeric_limits<double>::infinity();
    for (std::size_t j = 0; j < seen.run_time.size(); ++j) {
      const double at = seen.run_time[j];
      if (at < in_minutes(stop_.arrives) || at > in_minutes(stop_.departs)) continue;
      const auto& tolerated = seen.tolerated[j];
      const double margin = seen.ambient[j] - *std::max_element(tolerated.begin(), tolerated.end());
      band.margin = std::min(band.margin, margin);
      if (margin < -audit_tolerance) band.beyond_for = minutes(at) - stop_.arrives;
    }
  }

  const Plan& plan_;
  const Stop& stop_;
  double period_;            // [min]
  double calm_margin_ = 0.0; // [bar]
};

} // namespace detail

/// @brief The last stop of a plan in swell, once for each amplitude.
///
/// The depth goes evenly up and down about the stop's, as often as whole waves fit into its
/// minutes; everything else is done as planned. The margin is that of the limit line at the depth
/// where the diver is.
/// @param plan       With a stop.
/// @param amplitudes Up and down from the stop, 1 to 20; above 0 and less than its depth.
/// @param period     Of a wave, 1 to 60 s. It hardly matters: tissues are slow.
/// @throws InvalidInput if there is no stop, or for what is out of range.
[[nodiscard]] inline std::vector<SwellBand>
swell_at_last_stop(const Plan& plan, const std::vector<Depth>& amplitudes, Minutes period) {
  if (plan.stops.empty())
    throw InvalidInput("plan", "a plan without a stop", "a plan with one",
                       "ask this of a dive that stops");
  detail::require_range("period", in_minutes(period) * 60.0, 1.0, 60.0, "s",
                        "give the time from crest to crest");
  constexpr std::size_t most = 20;
  if (amplitudes.empty() || amplitudes.size() > most)
    throw InvalidInput("amplitudes", std::to_string(amplitudes.size()) + " amplitudes",
                       "1 to 20 amplitudes", "say how far up and down from the stop");
  for (const Depth amplitude : amplitudes) {
    const Depth stop = plan.stops.back().depth;
    if (!(amplitude > Depth() && amplitude < stop))
      throw InvalidInput("amplitudes", detail::length_text(amplitude),
                         "above 0 and less than the depth of the last stop, " +
                             detail::length_text(stop),
                         "give how far up and down from the stop, or choose a deeper last stop");
  }
  const detail::SwellFinder finder(plan, period);
  std::vector<SwellBand> bands;
  bands.reserve(amplitudes.size());
  for (const Depth amplitude : amplitudes) bands.push_back(finder.at(amplitude));
  return bands;
}

} // namespace upline

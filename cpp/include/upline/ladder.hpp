#pragma once
/// @file
/// @brief Where an ascent may pause and how fast it travels: rungs, rate zones, rounding.
/// @par Source
/// docs/theory.md, section "Ascent".

#include <upline/detail/require.hpp>
#include <upline/units.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <functional>
#include <string>
#include <utility>
#include <vector>

namespace upline {

/// @brief What is rounded up to the resolution.
enum class Rounding {
  departure, ///< The run time at which a rung is left.
  duration,  ///< The time spent at a rung.
  exact      ///< Nothing.
};

/// @brief Depths at which an ascent may pause.
struct Ladder {
  Depth spacing = metres(3.0);   ///< Rungs are its multiples deeper than `last_stop` ...
  Depth last_stop = metres(3.0); ///< ... and this one.
  std::vector<Depth> rungs{};    ///< Or exactly these, in any order; then the other two are unused.

  friend bool operator==(const Ladder&, const Ladder&) = default; ///< Field by field.
};

/// @brief Rate of travel at depths deeper than a border.
struct RateZone {
  Depth deeper_than{}; ///< Border of the zone, which reaches down to the next deeper one.
  TravelRate rate{};   ///< There.
  friend bool operator==(const RateZone&, const RateZone&) = default; ///< Field by field.
};

namespace detail {

inline constexpr double same_depth = 1e-9;  // [m]
inline constexpr double same_moment = 1e-9; // [min]

inline void require_rate(const char* field, TravelRate rate) {
  constexpr double slowest = 0.5;
  constexpr double fastest = 100.0;
  if (rate.base() >= slowest && rate.base() <= fastest) return;
  const auto both = [](double x) { return in_both(x, "m/min", x / metres_per_foot, "ft/min"); };
  throw InvalidInput(field, both(rate.base()), both(slowest) + " to " + both(fastest),
                     "give a rate a diver can keep");
}

/// Throws unless the ladder can be climbed.
inline void require_ladder(const Ladder& ladder) {
  if (ladder.rungs.empty()) {
    require_length("spacing", ladder.spacing, metres(0.5), metres(350.0),
                   "give the distance between rungs");
    require_length("last_stop", ladder.last_stop, metres(0.5), metres(350.0),
                   "give the depth of the shallowest stop");
    return;
  }
  constexpr std::size_t most = 1000;
  if (ladder.rungs.size() > most)
    throw InvalidInput("ladder", std::to_string(ladder.rungs.size()) + " rungs", "1 to 1000 rungs",
                       "give fewer rungs");
  for (const Depth rung : ladder.rungs)
    require_length("ladder", rung, metres(0.5), metres(350.0), "give depths below the surface");
}

/// Rungs of the ladder strictly between two depths, deepest first [m].
[[nodiscard]] inline std::vector<double> rungs_between(const Ladder& ladder, double deep,
                                                       double shallow) {
  std::vector<double> rungs;
  const auto offer = [&](double rung) {
    if (rung < deep - same_depth && rung > shallow + same_depth) rungs.push_back(rung);
  };
  if (ladder.rungs.empty()) {
    const double spacing = in_metres(ladder.spacing);
    const double last = in_metres(ladder.last_stop);
    rungs.reserve(static_cast<std::size_t>(deep / spacing) + 2);
    for (double j = std::ceil(deep / spacing); j * spacing > last + same_depth; --j)
      offer(j * spacing);
    offer(last);
    return rungs;
  }
  for (const Depth rung : ladder.rungs) offer(in_metres(rung));
  std::sort(rungs.begin(), rungs.end(), std::greater<>());
  rungs.erase(std::unique(rungs.begin(), rungs.end(),
                          [](double x, double y) { return x - y <= same_depth; }),
              rungs.end());
  return rungs;
}

/// Rate zones in order of depth, deepest first, as plain numbers.
class RateTable {
public:
  struct Zone {
    double deeper_than; // [m]
    double rate;        // [m/min]
  };

  /// One rate at every depth [m/min].
  explicit RateTable(double rate) : zones_{{0.0, rate}} {}

  explicit RateTable(const std::vector<RateZone>& zones) {
    if (zones.empty() || zones.size() > most_zones)
      throw InvalidInput("ascent_rate", std::to_string(zones.size()) + " zones", "1 to 50 zones",
                         "give one rate, or (deeper than, rate) pairs down to depth 0");
    for (const RateZone& zone : zones) {
      require_length("ascent_rate border", zone.deeper_than, metres(0.0), metres(350.0),
                     "give the depth below which the rate holds");
      require_rate("ascent_rate", zone.rate);
      zones_.push_back({in_metres(zone.deeper_than), zone.rate.base()});
    }
    std::sort(zones_.begin(), zones_.end(),
              [](const Zone& x, const Zone& y) { return x.deeper_than > y.deeper_than; });
    for (std::size_t j = 1; j < zones_.size(); ++j)
      if (zones_[j - 1].deeper_than - zones_[j].deeper_than <= same_depth)
        throw InvalidInput("ascent_rate border", length_text(metres(zones_[j].deeper_than)),
                           "each border once", "leave one of the two zones out");
    if (zones_.back().deeper_than > 0.0)
      throw InvalidInput("ascent_rate border", length_text(metres(zones_.back().deeper_than)),
                         "0 as the shallowest border",
                         "add the rate of the last metres: (0, rate)");
  }

  [[nodiscard]] const std::vector<Zone>& zones() const { return zones_; }

  [[nodiscard]] double fastest() const {
    return std::max_element(zones_.begin(), zones_.end(),
                            [](const Zone& x, const Zone& y) { return x.rate < y.rate; })
        ->rate;
  }

  /// Calls `f(from, to, rate)` for each zone an ascent passes, deepest first.
  template <class F>
  void split(double from, double to, F&& f) const {
    for (const Zone& zone : zones_) {
      if (from <= zone.deeper_than + same_depth) continue;
      const double end = std::max(to, zone.deeper_than);
      if (end >= from) return;
      f(from, end <= to + same_depth ? to : end, zone.rate);
      if (end <= to + same_depth) return;
      from = end;
    }
  }

private:
  static constexpr std::size_t most_zones = 50;
  std::vector<Zone> zones_;
};

} // namespace detail
} // namespace upline

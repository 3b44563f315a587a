#pragma once
/// @file
/// @brief What is asked for: the dive, and the rules of its ascent.

#include <upline/compartments.hpp>
#include <upline/environment.hpp>
#include <upline/gas.hpp>
#include <upline/ladder.hpp>
#include <upline/limit.hpp>
#include <upline/state.hpp>
#include <upline/units.hpp>

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <vector>

namespace upline {

/// @brief A depth, and the run time at which it is left.
struct Level {
  Depth depth;                                                  ///< Of the level.
  Minutes leave_at;                                             ///< Run time.
  friend bool operator==(const Level&, const Level&) = default; ///< Field by field.
};

/// @brief A gas breathed on the way down, from the surface to a depth.
struct TravelGas {
  Gas gas;  ///< Breathed from the surface on.
  Depth to; ///< Where the bottom gas is taken up.
  friend bool operator==(const TravelGas&, const TravelGas&) = default; ///< Field by field.
};

/// @brief A dive: where to, for how long, on what.
struct Dive {
  std::vector<Level> levels{};    ///< At least one; the last is the bottom that is left.
  std::vector<GasChoice> gases{}; ///< The bottom gas first, then those for the ascent in any order.
  std::optional<TravelGas> travel{}; ///< Nothing: down on the bottom gas.
  Environment environment{};         ///< Sea level and gauge metres if nothing is said.
  std::optional<State> start{}; ///< What an earlier dive left; nothing: no dive in the last 24 h.
  friend bool operator==(const Dive&, const Dive&) = default; ///< Field by field.
};

/// @brief How the ascent is made. Gradient factors have no default: they decide, so they are asked.
struct Rules {
  GradientFactors factors;                 ///< Low and high.
  std::string model = "ZH-L16C";           ///< Name in compartment_sets.
  Rounding rounding = Rounding::departure; ///< What is rounded up to `resolution`.
  Minutes resolution = minutes(1.0);       ///< 1/60 to 10 min.
  Minutes min_stop = minutes(0.0);         ///< Least time at a rung where a wait is needed.
  Minutes switch_time = minutes(1.0);      ///< Spent on the old gas at each switch.
  Ladder ladder{};                         ///< Where the ascent may pause.
  TravelRate descent_rate = metres_per_minute(18.0); ///< Of the way down.
  /// Of the way up, by depth; one of them begins at the surface.
  std::vector<RateZone> ascent_rates{{metres(0.0), metres_per_minute(9.0)}};
  std::optional<TravelRate> surfacing_rate{}; ///< Of the last ascent; its slowness is not credited.
  Pressure max_po2 = bar(1.4);                ///< For bottom and travel gas.
  Pressure max_deco_po2 = bar(1.6);           ///< For the gases of the ascent.
  Pressure po2_tolerance = bar(0.03);         ///< Added to both; what lies inside it is noted.
  Pressure min_po2 = bar(0.16);               ///< Nothing leaner is breathed.
  std::optional<BreathingRate> rmv{}; ///< Until the bottom is left; without it litres are unknown.
  std::optional<BreathingRate> deco_rmv{}; ///< From then on; where not stated, `rmv` throughout.
  Units units = Units::metric;             ///< In which the plan is read.

  /// @brief The rules people use who think in feet: 60 down, 30 up, rungs of 10 ft.
  [[nodiscard]] static Rules imperial(const GradientFactors& factors) {
    Rules rules{.factors = factors};
    rules.ladder.spacing = feet(10.0);
    rules.ladder.last_stop = feet(10.0);
    rules.descent_rate = feet_per_minute(60.0);
    rules.ascent_rates = {{feet(0.0), feet_per_minute(30.0)}};
    rules.units = Units::imperial;
    return rules;
  }
  friend bool operator==(const Rules&, const Rules&) = default; ///< Field by field.
};

namespace detail {

[[nodiscard]] inline Depth deepest_level(const Dive& dive) {
  Depth deepest;
  for (const Level& level : dive.levels) deepest = std::max(deepest, level.depth);
  return deepest;
}

inline void require_breathing(const char* field, BreathingRate rate) {
  constexpr double least = 1.0;
  constexpr double most = 200.0;
  if (rate.base() >= least && rate.base() <= most) return;
  const auto both = [](double x) {
    return in_both(x, "L/min", x / litres_per_cubic_foot, "cu ft/min");
  };
  std::string remedy =
      "give the gas a diver breathes in a minute, in L/min unless units are imperial";
  const double litres_meant = rate.base() / litres_per_cubic_foot; // 20 given as cubic feet
  if (rate.base() > most && litres_meant >= least && litres_meant <= most)
    remedy += "; " + trimmed(litres_meant, 1) + " L/min are " +
              trimmed(litres_meant / litres_per_cubic_foot, 2) + " cu ft/min";
  throw InvalidInput(field, both(rate.base()), both(least) + " to " + both(most), remedy);
}

/// Depths in feet are held and read as whole feet, so no other can be kept.
inline void require_whole_feet(const Ladder& ladder) {
  constexpr double rounding = 1e-15; // relative, of feet turned into metres and back
  const auto require = [](const char* field, Depth depth) {
    const double given = in_feet(depth);
    if (std::abs(given - std::round(given)) <= rounding * given) return;
    throw InvalidInput(field, trimmed(given, 9) + " ft", "whole feet",
                       "round it to whole feet, or state the dive in metres");
  };
  for (const Depth rung : ladder.rungs) require("ladder", rung);
  if (!ladder.rungs.empty()) return;
  require("spacing", ladder.spacing);
  require("last_stop", ladder.last_stop);
}

inline void require_rules(const Rules& rules) {
  require_range("resolution", in_minutes(rules.resolution), 1.0 / 60.0, 10.0, "min",
                "give the minutes that leave times are rounded to");
  require_range("min_stop", in_minutes(rules.min_stop), 0.0, 1e3, "min",
                "give the least minutes of a stop");
  require_range("switch_time", in_minutes(rules.switch_time), 0.0, 1e3, "min",
                "give the minutes spent at a switch");
  require_rate("descent_rate", rules.descent_rate);
  if (rules.surfacing_rate) require_rate("surfacing_rate", *rules.surfacing_rate);
  require_ladder(rules.ladder);
  if (rules.units == Units::imperial) require_whole_feet(rules.ladder);
  require_range("max_po2", in_bar(rules.max_po2), 0.2, 3.0, "bar", "name the limit in bar");
  require_range("max_deco_po2", in_bar(rules.max_deco_po2), 0.2, 3.0, "bar",
                "name the limit in bar");
  require_range("po2_tolerance", in_bar(rules.po2_tolerance), 0.0, 0.2, "bar",
                "name the tolerance in bar");
  require_range("min_po2", in_bar(rules.min_po2), 0.05, 0.21, "bar", "name the limit in bar");
  for (const auto& [field, rate] :
       {std::pair("rmv", rules.rmv), std::pair("deco_rmv", rules.deco_rmv)})
    if (rate) require_breathing(field, *rate);
  if (rules.deco_rmv && !rules.rmv)
    throw InvalidInput("rmv", "missing beside deco_rmv", "both, or rmv alone",
                       "state the breathing rate until the bottom is left as rmv");
}

inline void require_dive(const Dive& dive) {
  constexpr std::size_t most_levels = 1000;
  constexpr std::size_t most_gases = 20;
  if (dive.levels.empty() || dive.levels.size() > most_levels)
    throw InvalidInput("levels", std::to_string(dive.levels.size()) + " levels", "1 to 1000 levels",
                       "give depth and bottom time, or a list of levels");
  if (dive.gases.empty() || dive.gases.size() > most_gases)
    throw InvalidInput("gases", std::to_string(dive.gases.size()) + " gases", "1 to 20 gases",
                       "give the bottom gas first, then those for the ascent");
  for (const Level& level : dive.levels) {
    require_length("depth", level.depth, metres(0.01), metres(350.0),
                   "give a depth in that range; it is in metres unless units are imperial");
    require_range("bottom_time", in_minutes(level.leave_at), 0.0, 1e5, "min",
                  "give the run time at which the depth is left");
  }
  for (const GasChoice& choice : dive.gases)
    if (choice.switch_depth)
      require_length("gas switch depth", *choice.switch_depth, metres(0.5), metres(350.0),
                     "give the depth at which the gas is taken up");
  if (dive.gases.front().switch_depth)
    throw InvalidInput("gases", dive.gases.front().gas.text() + " with a switch depth",
                       "the bottom gas first, without one", "put the bottom gas first");
  if (dive.travel)
    require_length("travel", dive.travel->to, metres(0.5), dive.levels.front().depth,
                   "give the depth at which the bottom gas is taken up");
  if (dive.start) require_valid(*dive.start);
}

} // namespace detail
} // namespace upline

#pragma once
/// @file
/// @brief The answer: rows, stops, doses, gas, cautions and where every number comes from.

#include <upline/caution.hpp>
#include <upline/dive.hpp>

#include <cstddef>
#include <limits>
#include <optional>
#include <string>
#include <vector>

namespace upline {

/// @brief What the diver does during a row.
enum class Phase { go_down, stay, come_up, switch_gas };

/// @brief The phase in words.
[[nodiscard]] constexpr const char* phase_name(Phase phase) {
  switch (phase) {
  case Phase::go_down: return "go down";
  case Phase::stay: return "stay";
  case Phase::come_up: return "come up";
  case Phase::switch_gas: return "switch";
  }
  return "";
}

/// @brief A stretch of the dive on one gas at one rate.
struct Row {
  Phase phase = Phase::stay;
  Depth from{};
  Depth to{};
  Minutes begins{}; ///< Run times.
  Minutes ends{};
  Gas gas{};                            ///< Breathed meanwhile; at a switch the old one.
  std::optional<std::size_t> held_by{}; ///< Compartment that asked for the wait.
};

/// @brief A depth at which the ascent pauses.
struct Stop {
  Depth depth{};
  Minutes arrives{}; ///< Run times.
  Minutes departs{};
  Minutes stay{}; ///< Travel to the stop included.
  Gas arrives_on{};
  Gas gas{};        ///< On which it is left.
  double po2 = 0.0; ///< Of that gas at the stop [bar].
  std::optional<std::size_t> held_by{};

  [[nodiscard]] Minutes minutes_at_depth() const { return departs - arrives; }
};

/// @brief A change of the gas that is breathed.
struct GasSwitch {
  Depth depth{};
  Minutes at{};    ///< Run time at which the new gas is first breathed.
  Minutes spent{}; ///< At this depth, pause and wait together.
  Gas from{};
  Gas to{};
  bool going_down = false;        ///< From travel to bottom gas, or back to it.
  bool on_leaving_bottom = false; ///< Because the depth stated for it is not above the bottom.
  std::optional<Depth> stated{};  ///< Switch depth as given; nothing where the rule found it.
};

/// @brief The largest or least value of something, and where it was reached.
struct Extreme {
  double value = std::numeric_limits<double>::quiet_NaN();
  Depth depth{};
  Minutes at{};
  Gas gas{};
};

/// @brief Extremes over the whole dive.
struct Extremes {
  Extreme highest_po2{};             ///< [bar]
  Extreme lowest_po2{};              ///< [bar]
  Extreme highest_density{};         ///< At 0 degrees C [g/L].
  Extreme narcotic_depth{};          ///< Oxygen counted [m].
  Extreme narcotic_depth_nitrogen{}; ///< Nitrogen alone [m].
};

/// @brief Oxygen taken in.
struct OxygenDose {
  double cns = 0.0;       ///< This dive: share of the single-exposure limits.
  double cns_total = 0.0; ///< With what earlier dives left, halved every 90 min at the surface.
  double cns_total_without_recovery = 0.0; ///< Plain sum over the last 24 h.
  double day_share = 0.0;                  ///< Share of the 24-h limits, over the last 24 h.
  double otu = 0.0;                        ///< This dive.
  double otu_day = 0.0;                    ///< Over the last 24 h.
};

/// @brief Gas breathed from one mix.
struct GasUse {
  Gas gas{};
  double bar_minutes = 0.0;           ///< Integral of ambient pressure over time [bar min].
  double bar_minutes_at_bottom = 0.0; ///< The part until the bottom is left.
  std::optional<Litres> volume{};     ///< Where a breathing rate is stated.
};

/// @brief A decompression schedule with everything that was computed along with it.
struct Plan {
  Dive dive{};
  Rules rules;
  std::vector<Row> rows{};
  std::vector<Stop> stops{};
  std::vector<GasSwitch> switches{};
  Minutes bottom_time{};           ///< Surface to leaving the bottom.
  Minutes run_time{};              ///< Surface to surface.
  std::optional<Depth> anchor{};   ///< Of the limit line; nothing where the direct ascent is free.
  double surfacing_fraction = 0.0; ///< Largest supersaturation fraction at the surface.
  std::size_t surfacing_compartment = 0;
  Extremes extremes{};
  OxygenDose oxygen{};
  std::vector<GasUse> gas{};
  std::vector<Caution> cautions{};
  State end{};
  std::string version{}; ///< Of the library that computed it.

  [[nodiscard]] Minutes time_to_surface() const { return run_time - bottom_time; }

  /// @brief Whether a caution forbids making a slate of it.
  [[nodiscard]] bool refused() const {
    for (const Caution& caution : cautions)
      if (caution.severity == Severity::refuses) return true;
    return false;
  }
};

} // namespace upline

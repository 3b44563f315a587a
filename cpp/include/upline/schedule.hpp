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
enum class Phase {
  go_down,   ///< Deeper, at the descent rate.
  stay,      ///< At one depth.
  come_up,   ///< Shallower, at the ascent rate.
  switch_gas ///< At one depth, on the old gas.
};

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
  Phase phase = Phase::stay;            ///< What the diver does.
  Depth from{};                         ///< At its beginning.
  Depth to{};                           ///< At its end.
  Minutes begins{};                     ///< Run time.
  Minutes ends{};                       ///< Run time.
  Gas gas{};                            ///< Breathed meanwhile; at a switch the old one.
  std::optional<std::size_t> held_by{}; ///< Compartment that asked for the wait.
};

/// @brief A depth at which the ascent pauses.
struct Stop {
  Depth depth{};                        ///< Of the stop.
  Minutes arrives{};                    ///< Run time.
  Minutes departs{};                    ///< Run time.
  Minutes stay{};                       ///< Travel to the stop included.
  Gas arrives_on{};                     ///< Breathed on arrival.
  Gas gas{};                            ///< On which it is left.
  double po2 = 0.0;                     ///< Of that gas at the stop [bar].
  std::optional<std::size_t> held_by{}; ///< Compartment that asked for the wait.

  /// @brief Time at the depth, a switch included.
  [[nodiscard]] Minutes minutes_at_depth() const { return departs - arrives; }
};

/// @brief A change of the gas that is breathed.
struct GasSwitch {
  Depth depth{};                  ///< Where.
  Minutes at{};                   ///< Run time at which the new gas is first breathed.
  Minutes spent{};                ///< At this depth, pause and wait together.
  Gas from{};                     ///< The old gas.
  Gas to{};                       ///< The new gas.
  bool going_down = false;        ///< From travel to bottom gas, or back to it.
  bool on_leaving_bottom = false; ///< Because the depth stated for it is not above the bottom.
  std::optional<Depth> stated{};  ///< Switch depth as given; nothing where the rule found it.
};

/// @brief The largest or least value of something, and where it was reached.
struct Extreme {
  double value = std::numeric_limits<double>::quiet_NaN(); ///< In the unit of the quantity.
  Depth depth{};                                           ///< Where.
  Minutes at{};                                            ///< Run time.
  Gas gas{};                                               ///< Breathed there.
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
  Gas gas{};                          ///< The mix.
  double bar_minutes = 0.0;           ///< Integral of ambient pressure over time [bar min].
  double bar_minutes_at_bottom = 0.0; ///< The part until the bottom is left.
  std::optional<Litres> volume{};     ///< Where a breathing rate is stated.
};

/// @brief A decompression schedule with everything that was computed along with it.
struct Plan {
  Dive dive{};                       ///< What was planned.
  Rules rules;                       ///< How it was to be made.
  std::vector<Row> rows{};           ///< Every stretch of the dive, the way down included.
  std::vector<Stop> stops{};         ///< The pauses of the ascent.
  std::vector<GasSwitch> switches{}; ///< The changes of gas.
  Minutes bottom_time{};             ///< Surface to leaving the bottom.
  Minutes run_time{};                ///< Surface to surface.
  std::optional<Depth> anchor{};   ///< Of the limit line; nothing where the direct ascent is free.
  double surfacing_fraction = 0.0; ///< Largest supersaturation fraction at the surface.
  std::size_t surfacing_compartment = 0; ///< The one that has it, from 0.
  Extremes extremes{};                   ///< Largest and least values.
  OxygenDose oxygen{};                   ///< Oxygen taken in.
  std::vector<GasUse> gas{};             ///< What is breathed of each mix.
  std::vector<Caution> cautions{};       ///< What deserves attention.
  State end{};                           ///< What the dive leaves behind.
  /// Its stops wait for other members of a team: computed again, it would be one diver's own.
  bool common = false;
  std::string version{}; ///< Of the library that computed it.

  /// @brief From leaving the bottom to the surface.
  [[nodiscard]] Minutes time_to_surface() const { return run_time - bottom_time; }

  /// @brief The first caution that forbids making a slate of it; nothing where none does.
  [[nodiscard]] const Caution* refusal() const {
    for (const Caution& caution : cautions)
      if (caution.severity == Severity::refuses) return &caution;
    return nullptr;
  }

  /// @brief Whether a caution forbids making a slate of it.
  [[nodiscard]] bool refused() const { return refusal() != nullptr; }
};

namespace detail {

/// For whatever is computed again of a plan: of a common schedule it would be one diver's alone.
inline void require_own_schedule(const Plan& plan) {
  if (!plan.common) return;
  throw InvalidInput("plan", "the common schedule of a team", "a schedule of one diver's own",
                     "ask with the plan that each member would make alone, and go by the member "
                     "who needs most");
}

} // namespace detail
} // namespace upline

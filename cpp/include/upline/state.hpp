#pragma once
/// @file
/// @brief What a dive leaves behind: tissues, oxygen sums, clock and place; and rest at the
/// surface.
/// @par Source
/// docs/theory.md, sections "Loading" and "Oxygen". The 90-min half-time of the CNS sum is common
/// practice, no source; sums are kept with it and without it.

#include <upline/compartments.hpp>
#include <upline/environment.hpp>
#include <upline/gas.hpp>
#include <upline/oxygen.hpp>
#include <upline/tissue.hpp>

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <vector>

namespace upline {

/// @brief Oxygen taken in by one dive, kept until it is 24 h old.
struct OxygenExposure {
  double ended = 0.0;     ///< Clock at its end [min].
  double cns = 0.0;       ///< Share of the single-exposure limit, without recovery.
  double day_share = 0.0; ///< Share of the 24-h limit.
  double otu = 0.0;       ///< Pulmonary dose [OTU].
  friend bool operator==(const OxygenExposure&,
                         const OxygenExposure&) = default; ///< Field by field.
};

/// @brief Exposure of one stretch of linear po2 that ends at `clock`.
[[nodiscard]] inline OxygenExposure exposure(const OxygenSegment& segment, double clock) {
  return {clock, oxygen_share(single_exposure, segment), oxygen_share(day_exposure, segment),
          pulmonary_dose(segment)};
}

/// @brief How long an exposure is kept [min].
inline constexpr double day_of_minutes = 24.0 * 60.0;

/// @brief Oxygen sums carried from dive to dive.
struct OxygenHistory {
  double cns = 0.0; ///< Single-exposure share, halved every 90 min at the surface.
  std::vector<OxygenExposure> last_day{}; ///< Exposures that ended less than 24 h ago.

  /// @brief The exposures added up; `ended` is that of the last.
  [[nodiscard]] OxygenExposure sum() const {
    OxygenExposure total;
    for (const OxygenExposure& one : last_day) {
      total.ended = std::max(total.ended, one.ended);
      total.cns += one.cns;
      total.day_share += one.day_share;
      total.otu += one.otu;
    }
    return total;
  }
  /// @brief Drops exposures that ended at or before `clock`.
  void forget_before(double clock) {
    std::erase_if(last_day, [&](const OxygenExposure& one) { return one.ended <= clock; });
  }
  friend bool operator==(const OxygenHistory&, const OxygenHistory&) = default; ///< Field by field.
};

/// @brief A diver at the surface, between dives.
struct State {
  Tissues tissues{};      ///< Tensions [bar].
  std::string model{};    ///< Name of the compartment set the tensions belong to.
  Place place{};          ///< Where the diver is.
  double clock = 0.0;     ///< Minutes since the first dive of the series began.
  OxygenHistory oxygen{}; ///< Sums of the dives before.
  friend bool operator==(const State&, const State&) = default; ///< Field by field.
};

/// @brief Throws unless every number of a state can be meant.
/// @throws InvalidInput naming the field.
inline void require_valid(const State& state) {
  (void)compartment_set(state.model);
  detail::require_range("state surface pressure", state.place.surface, 0.4, 1.2, "bar",
                        "hand on a state that a plan or rest returned");
  detail::require_range("state pressure of a metre", state.place.per_metre, 0.05, 0.2, "bar/m",
                        "hand on a state that a plan or rest returned");
  detail::require_range("state vapour", state.place.vapour, 0.0, 0.1, "bar",
                        "hand on a state that a plan or rest returned");
  detail::require_range("state clock", state.clock, 0.0, 1e7, "min",
                        "hand on a state that a plan or rest returned");
  detail::require_range("state CNS sum", state.oxygen.cns, 0.0, 1e12, "",
                        "hand on a state that a plan or rest returned");
  for (const OxygenExposure& one : state.oxygen.last_day)
    for (const double x : {one.ended, one.cns, one.day_share, one.otu})
      detail::require_range("state oxygen exposure", x, 0.0, 1e12, "",
                            "hand on a state that a plan or rest returned");
  for (const Lanes<double>* tension : {&state.tissues.nitrogen, &state.tissues.helium})
    for (const double x : *tension)
      detail::require_range("state tension", x, 0.0, 50.0, "bar",
                            "hand on a state that a plan or rest returned");
}

/// @brief The state after `time` at the surface.
/// @param state What a dive left.
/// @param time  At the surface, 0 to 100 000 min.
/// @param gas   Breathed meanwhile.
/// @param where Place of the rest, reached at once; nothing: the place of the state.
/// @throws InvalidInput for a time out of range or a state that makes no sense.
[[nodiscard]] inline State rest(State state, Minutes time, const Gas& gas = {},
                                const std::optional<Environment>& where = {}) {
  require_valid(state);
  if (where) state.place = where->place();
  const double t = in_minutes(time);
  detail::require_range("rest", t, 0.0, 1e5, "min", "give the surface interval in minutes");
  advance(state.tissues, compartment_set(state.model), Segment{t, state.place.surface, 0.0},
          OpenCircuit{gas}, state.place.vapour);
  state.clock += t;
  const double po2 = gas.oxygen * state.place.surface;
  const OxygenExposure taken = exposure({t, po2, po2}, state.clock);
  // Recovery is counted only while nothing is taken in.
  state.oxygen.cns = taken.cns > 0.0 ? state.oxygen.cns + taken.cns
                                     : state.oxygen.cns * std::exp2(-t / cns_half_time);
  if (taken.cns > 0.0) state.oxygen.last_day.push_back(taken);
  state.oxygen.forget_before(state.clock - day_of_minutes);
  return state;
}

} // namespace upline

#pragma once
/// @file
/// @brief Says what about a finished plan deserves a caution, and what makes it an error.
/// @par Source
/// A fifth of the helium fall; a minute at a switch; 18 and 30 m/min, 60 and 100 ft/min: common
/// practice, no source. The rest: planning/exposures.hpp.

#include <upline/planning/audit.hpp>
#include <upline/planning/diver.hpp>
#include <upline/planning/exposures.hpp>
#include <upline/schedule.hpp>

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

namespace upline::detail {

/// @brief A breach of the limit line, with the severity its amount deserves.
inline void add_breach(CautionList& list, const Tightest& breach, const CompartmentSet& set) {
  constexpr double refused = 0.02; // [bar]
  Caution& caution = list.add(CautionCode::limit_exceeded,
                              breach.excess > refused ? Severity::refuses : Severity::caution,
                              breach.excess, audit_tolerance);
  caution.depth = breach.depth;
  caution.run_time = breach.run_time;
  caution.compartment = breach.compartment;
  caution.half_time = set.nitrogen.half_time[breach.compartment];
}

/// @brief A high factor above 1 goes beyond the published limits.
inline void add_high_factor(CautionList& list, const GradientFactors& factors) {
  if (factors.high() > 1.0)
    list.add(CautionCode::factor_above_one, Severity::refuses, factors.high(), 1.0);
}

/// @brief What was assumed of the diver's place and past.
inline void add_history(CautionList& list, const Environment& environment,
                        const std::optional<State>& start, const Place& place) {
  constexpr double unknown = std::numeric_limits<double>::quiet_NaN();
  if (!start) {
    if (environment.just_arrived_assumed())
      list.add(CautionCode::just_arrived, Severity::caution, place.surface,
               standard_surface_pressure);
    list.add(CautionCode::oxygen_history_unknown, Severity::note, unknown, unknown);
    return;
  }
  const double before = start->place.surface;
  constexpr double rounding = 1e-9;
  if (std::abs(before - place.surface) > rounding)
    list.add(CautionCode::place_changed, Severity::note, place.surface, before);
}

/// @brief Collects the cautions of one plan.
class Inspector {
public:
  Inspector(const Plan& plan, const Diver& diver, std::vector<Caution>& out)
      : plan_(plan), diver_(diver), list_(out) {}

  /// @throws InvalidInput if a gas is breathed below the least oxygen pressure.
  void inspect() {
    require_lowest_po2();
    const auto breach =
        Audit(diver_.screen(), diver_.set(), diver_.place(), diver_.legs()).breach(diver_.climbs());
    if (breach) add_breach(list_, *breach, diver_.set());
    add_high_factor(list_, plan_.rules.factors);
    add_history(list_, plan_.dive.environment, plan_.dive.start, diver_.place());
    check_gases();
    ExposureInspector exposures(diver_.legs(), diver_.place(), plan_.rules, plan_.extremes,
                                plan_.oxygen, list_);
    exposures.inspect_pressures(plan_.dive.gases.front().gas, Severity::caution);
    check_switches();
    check_rates();
    exposures.inspect_doses();
    list_.sort();
  }

private:
  void require_lowest_po2() const {
    const Extreme& least = plan_.extremes.lowest_po2;
    const double allowed = in_bar(plan_.rules.min_po2);
    if (least.value < allowed - 1e-9)
      throw InvalidInput("gas",
                         least.gas.text() + " at " + length_text(least.depth) + ", " +
                             fixed(least.value, 3) + " bar of oxygen",
                         "at least " + trimmed(allowed, 3) + " bar (min_po2)",
                         "breathe a richer gas there: a travel gas on the way down, a gas for the "
                         "ascent on the way up");
  }

  void check_gases() {
    const double limit = in_bar(plan_.rules.max_deco_po2) + in_bar(plan_.rules.po2_tolerance);
    for (const UnusedGas& unused : diver_.unused()) {
      Caution& caution =
          list_.add(CautionCode::gas_unused, Severity::caution, unused.gas.oxygen, limit);
      caution.gas = unused.gas;
      caution.old_gas = unused.in_use;
      caution.reason = unused.reason;
    }
  }

  void check_switches() {
    for (const GasSwitch& change : plan_.switches) {
      check_nitrogen_rise(change);
      if (!change.going_down) check_switch_time(change);
      if (change.on_leaving_bottom)
        list_.add(CautionCode::switch_at_bottom, Severity::caution, change,
                  in_metres(*change.stated), in_metres(change.depth));
    }
  }

  void check_rates() {
    const bool metric = plan_.rules.units == Units::metric;
    const double up = metric ? 18.0 : 60.0 * metres_per_foot;    // [m/min]
    const double down = metric ? 30.0 : 100.0 * metres_per_foot; // [m/min]
    constexpr double rounding = 1e-9;
    double fastest = RateTable(plan_.rules.ascent_rates).fastest();
    if (plan_.rules.surfacing_rate) fastest = std::max(fastest, plan_.rules.surfacing_rate->base());
    if (fastest > up + rounding)
      list_.add(CautionCode::fast_ascent, Severity::caution, fastest, up);
    if (plan_.rules.descent_rate.base() > down + rounding)
      list_.add(CautionCode::fast_descent, Severity::caution, plan_.rules.descent_rate.base(),
                down);
  }

  void check_nitrogen_rise(const GasSwitch& change) {
    const double fall = change.from.helium - change.to.helium;
    const double rise = change.to.nitrogen() - change.from.nitrogen();
    constexpr double rounding = 1e-9;
    if (fall > 0.0 && rise > fall / 5.0 + rounding)
      list_.add(CautionCode::nitrogen_rise, Severity::caution, change, rise, fall / 5.0);
  }

  void check_switch_time(const GasSwitch& change) {
    constexpr double least = 1.0;
    const double spent = in_minutes(change.spent);
    if (spent < least - 1e-9)
      list_.add(CautionCode::short_switch, Severity::caution, change, spent, least);
  }

  const Plan& plan_;
  const Diver& diver_;
  CautionList list_;
};

} // namespace upline::detail

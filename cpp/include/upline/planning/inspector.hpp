#pragma once
/// @file
/// @brief Says what about a finished plan deserves a caution, and what makes it an error.
/// @par Source
/// Density 5.2 and 6.2 g/L: Anthony and Mitchell 2016 (from memory, to be confirmed). Oxygen:
/// NOAA limits. A fifth of the helium fall; 20 min on oxygen; a minute at a switch; 0.18 bar:
/// common practice, no source.

#include <upline/planning/account.hpp>
#include <upline/planning/audit.hpp>
#include <upline/schedule.hpp>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

namespace upline::detail {

/// @brief Collects the cautions of one plan.
class Inspector {
public:
  Inspector(const Plan& plan, const Diver& diver, std::vector<Caution>& out)
      : plan_(plan), diver_(diver), out_(out) {}

  /// @throws InvalidInput if a gas is breathed below the least oxygen pressure.
  void inspect() {
    check_lowest_po2();
    check_limit_line();
    check_factors();
    check_place();
    check_gases();
    for (const Leg& leg : diver_.legs()) check_po2(leg);
    check_switches();
    check_oxygen();
    check_density();
    // What refuses stands first; notes last.
    std::stable_sort(out_.begin(), out_.end(),
                     [](const Caution& x, const Caution& y) { return x.severity > y.severity; });
  }

private:
  Caution& add(CautionCode code, Severity severity, double value, double limit) {
    Caution caution;
    caution.code = code;
    caution.severity = severity;
    caution.value = value;
    caution.limit = limit;
    out_.push_back(caution);
    return out_.back();
  }

  Caution& add(CautionCode code, Severity severity, const Extreme& where, double limit) {
    Caution& caution = add(code, severity, where.value, limit);
    caution.depth = in_metres(where.depth);
    caution.run_time = in_minutes(where.at);
    caution.gas = where.gas;
    return caution;
  }

  void add(CautionCode code, Severity severity, const GasSwitch& where, double value,
           double limit) {
    Caution& caution = add(code, severity, value, limit);
    caution.depth = in_metres(where.depth);
    caution.run_time = in_minutes(where.at);
    caution.gas = where.to;
    caution.old_gas = where.from;
  }

  void check_lowest_po2() {
    constexpr double low = 0.18;
    const Extreme& least = plan_.extremes.lowest_po2;
    const double allowed = in_bar(plan_.rules.min_po2);
    if (least.value < allowed - 1e-9)
      throw InvalidInput("gas",
                         least.gas.text() + " at " + length_text(least.depth) + ", " +
                             fixed(least.value, 3) + " bar of oxygen",
                         "at least " + trimmed(allowed, 3) + " bar (min_po2)",
                         "breathe a richer gas there: a travel gas on the way down, a gas for the "
                         "ascent on the way up");
    if (least.value < low) add(CautionCode::low_po2, Severity::caution, least, low);
  }

  void check_limit_line() {
    const auto breach = Audit(diver_).worst();
    if (!breach) return;
    constexpr double refused = 0.02;
    Caution& caution = add(CautionCode::limit_exceeded,
                           breach->amount > refused ? Severity::refuses : Severity::caution,
                           breach->amount, audit_tolerance);
    caution.depth = breach->depth;
    caution.run_time = breach->run_time;
    caution.compartment = breach->compartment;
    caution.half_time = diver_.set().nitrogen.half_time[breach->compartment];
  }

  void check_factors() {
    const double high = plan_.rules.factors.high();
    if (high > 1.0) add(CautionCode::factor_above_one, Severity::refuses, high, 1.0);
  }

  void check_place() {
    const double surface = diver_.place().surface;
    if (!plan_.dive.start) {
      if (plan_.dive.environment.just_arrived_assumed())
        add(CautionCode::just_arrived, Severity::caution, surface, standard_surface_pressure);
      add(CautionCode::oxygen_history_unknown, Severity::note, NAN, NAN);
      return;
    }
    const double before = plan_.dive.start->place.surface;
    constexpr double rounding = 1e-9;
    if (std::abs(before - surface) > rounding)
      add(CautionCode::place_changed, Severity::note, surface, before);
  }

  void check_gases() {
    const double limit = in_bar(plan_.rules.max_deco_po2) + in_bar(plan_.rules.po2_tolerance);
    for (const UnusedGas& unused : diver_.unused()) {
      Caution& caution = add(CautionCode::gas_unused, Severity::caution, unused.gas.oxygen, limit);
      caution.gas = unused.gas;
      caution.old_gas = unused.in_use;
      caution.reason = unused.reason;
    }
  }

  /// The limit of the gas in use: the bottom gas and the travel gas have the stricter one.
  [[nodiscard]] double po2_limit(const Leg& leg) const {
    const bool below = leg.gas == plan_.dive.gases.front().gas || leg.phase == Phase::go_down;
    return in_bar(below ? plan_.rules.max_po2 : plan_.rules.max_deco_po2);
  }

  void check_po2(const Leg& leg) {
    const double po2 = leg.gas.oxygen * diver_.place().pressure(std::max(leg.from, leg.to));
    const double limit = po2_limit(leg);
    constexpr double rounding = 1e-9;
    if (po2 <= limit + rounding) return;
    const bool inside = po2 <= limit + in_bar(plan_.rules.po2_tolerance) + rounding;
    const CautionCode code = inside ? CautionCode::po2_in_tolerance : CautionCode::po2_above_limit;
    for (const Caution& known : out_)
      if (known.code == code && known.gas == leg.gas && known.value >= po2 - rounding) return;
    Caution& caution = add(code, inside ? Severity::note : Severity::caution, po2, limit);
    caution.depth = std::max(leg.from, leg.to);
    caution.run_time = leg.begins;
    caution.gas = leg.gas;
  }

  void check_switches() {
    for (const GasSwitch& change : plan_.switches) {
      check_nitrogen_rise(change);
      if (!change.going_down) check_switch_time(change);
      if (change.on_leaving_bottom)
        add(CautionCode::switch_at_bottom, Severity::caution, change, in_metres(*change.stated),
            in_metres(change.depth));
    }
  }

  void check_nitrogen_rise(const GasSwitch& change) {
    const double fall = change.from.helium - change.to.helium;
    const double rise = change.to.nitrogen() - change.from.nitrogen();
    constexpr double rounding = 1e-9;
    if (fall > 0.0 && rise > fall / 5.0 + rounding)
      add(CautionCode::nitrogen_rise, Severity::caution, change, rise, fall / 5.0);
  }

  void check_switch_time(const GasSwitch& change) {
    constexpr double least = 1.0;
    const double spent = in_minutes(change.spent);
    if (spent < least - 1e-9)
      add(CautionCode::short_switch, Severity::caution, change, spent, least);
  }

  void check_oxygen() {
    constexpr double much = 0.8;
    constexpr double full = 1.0;
    const Extreme& richest = plan_.extremes.highest_po2;
    if (richest.value > oxygen_table_end + 1e-9)
      add(CautionCode::beyond_oxygen_table, Severity::caution, richest, oxygen_table_end);
    const double cns = plan_.oxygen.cns_total;
    if (cns > full)
      add(CautionCode::cns, Severity::refuses, cns, full);
    else if (cns > much)
      add(CautionCode::cns, Severity::caution, cns, much);
    if (plan_.oxygen.day_share > full)
      add(CautionCode::oxygen_day, Severity::caution, plan_.oxygen.day_share, full);
    constexpr double rich = 1.4;
    constexpr double longest = 20.0;
    const OxygenSpell spell = longest_spell(diver_.legs(), diver_.place(), rich);
    if (spell.minutes > longest + 1e-9)
      add(CautionCode::oxygen_without_break, Severity::caution, spell.minutes, longest).run_time =
          spell.begins;
  }

  void check_density() {
    constexpr double recommended = 5.2;
    constexpr double highest = 6.2;
    const Extreme& densest = plan_.extremes.highest_density;
    if (densest.value > highest)
      add(CautionCode::density, Severity::refuses, densest, highest);
    else if (densest.value > recommended)
      add(CautionCode::density, Severity::caution, densest, recommended);
  }

  const Plan& plan_;
  const Diver& diver_;
  std::vector<Caution>& out_;
};

} // namespace upline::detail

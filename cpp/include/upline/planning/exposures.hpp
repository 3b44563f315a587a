#pragma once
/// @file
/// @brief Cautions about what is breathed: oxygen pressures and doses, density.
/// @par Source
/// planning/thresholds.hpp. Oxygen: NOAA limits. 20 min on oxygen: common practice, no source.

#include <upline/planning/account.hpp>
#include <upline/planning/thresholds.hpp>
#include <upline/schedule.hpp>

#include <algorithm>
#include <vector>

namespace upline::detail {

/// @brief Cautions in the making.
class CautionList {
public:
  explicit CautionList(std::vector<Caution>& out) : out_(out) {}

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

  Caution& add(CautionCode code, Severity severity, const GasSwitch& where, double value,
               double limit) {
    Caution& caution = add(code, severity, value, limit);
    caution.depth = in_metres(where.depth);
    caution.run_time = in_minutes(where.at);
    caution.gas = where.to;
    caution.old_gas = where.from;
    return caution;
  }

  [[nodiscard]] bool holds(CautionCode code, const Gas& gas, double value) const {
    return std::any_of(out_.begin(), out_.end(), [&](const Caution& known) {
      return known.code == code && known.gas == gas && known.value >= value;
    });
  }

  /// What refuses stands first; notes last.
  void sort() {
    std::stable_sort(out_.begin(), out_.end(),
                     [](const Caution& x, const Caution& y) { return x.severity > y.severity; });
  }

private:
  std::vector<Caution>& out_;
};

/// @brief Looks at what is breathed along the legs of a dive.
class ExposureInspector {
public:
  ExposureInspector(const std::vector<Leg>& legs, const Place& place, const Rules& rules,
                    const Extremes& extremes, const OxygenDose& dose, CautionList& list)
      : legs_(legs), place_(place), rules_(rules), extremes_(extremes), dose_(dose), list_(list) {}

  /// @brief Oxygen pressures, too low and too high.
  /// @param bottom_gas Breathed under the stricter limit, as is everything on the way down.
  /// @param too_rich   Severity of what lies beyond the limit and its tolerance.
  void inspect_pressures(const Gas& bottom_gas, Severity too_rich) {
    check_lowest_po2();
    for (const Leg& leg : legs_) check_po2(leg, bottom_gas, too_rich);
  }

  /// @brief Oxygen sums, and density.
  void inspect_doses() {
    check_oxygen();
    check_density();
    check_names();
  }

private:
  static constexpr double rounding = 1e-9;

  void check_lowest_po2() {
    const Extreme& least = extremes_.lowest_po2;
    const double allowed = in_bar(rules_.min_po2);
    if (least.value < allowed - rounding)
      list_.add(CautionCode::low_po2, Severity::refuses, least, allowed);
    else if (least.value < little_po2)
      list_.add(CautionCode::low_po2, Severity::caution, least, little_po2);
  }

  void check_po2(const Leg& leg, const Gas& bottom_gas, Severity too_rich) {
    const bool below = leg.gas == bottom_gas || leg.phase == Phase::go_down;
    const double limit = in_bar(below ? rules_.max_po2 : rules_.max_deco_po2);
    const double po2 = leg.gas.oxygen * place_.pressure(std::max(leg.from, leg.to));
    if (po2 <= limit + rounding) return;
    const bool inside = po2 <= limit + in_bar(rules_.po2_tolerance) + rounding;
    const CautionCode code = inside ? CautionCode::po2_in_tolerance : CautionCode::po2_above_limit;
    if (list_.holds(code, leg.gas, po2 - rounding)) return;
    Caution& caution = list_.add(code, inside ? Severity::note : too_rich, po2, limit);
    caution.depth = std::max(leg.from, leg.to);
    caution.run_time = leg.begins;
    caution.gas = leg.gas;
  }

  void check_oxygen() {
    constexpr double much = 0.8;
    constexpr double full = 1.0;
    const Extreme& richest = extremes_.highest_po2;
    if (richest.value > oxygen_table_end + rounding)
      list_.add(CautionCode::beyond_oxygen_table, Severity::caution, richest, oxygen_table_end);
    const double cns = dose_.cns_total;
    if (cns > full)
      list_.add(CautionCode::cns, Severity::refuses, cns, full);
    else if (cns > much)
      list_.add(CautionCode::cns, Severity::caution, cns, much);
    const double plain_sum = dose_.cns_total_without_recovery;
    if (plain_sum > full && cns <= full)
      list_.add(CautionCode::cns_without_recovery, Severity::caution, plain_sum, full);
    if (dose_.day_share > full)
      list_.add(CautionCode::oxygen_day, Severity::caution, dose_.day_share, full);
    constexpr double rich = 1.4;
    constexpr double longest = 20.0;
    const OxygenSpell spell = longest_spell(legs_, place_, rich);
    if (spell.minutes > longest + rounding)
      list_.add(CautionCode::oxygen_without_break, Severity::caution, spell.minutes, longest)
          .run_time = spell.begins;
  }

  void check_names() {
    constexpr double least = 0.4;
    for (const Leg& leg : legs_)
      if (may_mean_nitrox(leg.gas) &&
          !list_.holds(CautionCode::may_be_nitrox, leg.gas, leg.gas.oxygen))
        list_.add(CautionCode::may_be_nitrox, Severity::caution, leg.gas.oxygen, least).gas =
            leg.gas;
  }

  void check_density() {
    const Extreme& densest = extremes_.highest_density;
    if (densest.value > highest_density)
      list_.add(CautionCode::density, Severity::refuses, densest, highest_density);
    else if (densest.value > recommended_density)
      list_.add(CautionCode::density, Severity::caution, densest, recommended_density);
  }

  const std::vector<Leg>& legs_;
  const Place& place_;
  const Rules& rules_;
  const Extremes& extremes_;
  const OxygenDose& dose_;
  CautionList& list_;
};

} // namespace upline::detail

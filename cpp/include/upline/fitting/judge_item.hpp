#pragma once
/// @file
/// @brief Every rule on one item of a set, at one share of oxygen.

#include <upline/detail/reading.hpp>
#include <upline/fitting/item_view.hpp>
#include <upline/fitting/kit_checks.hpp>
#include <upline/kit.hpp>
#include <upline/kit_fields.hpp>
#include <upline/kit_findings.hpp>
#include <upline/kit_rules.hpp>

#include <algorithm>
#include <array>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace upline::detail {

/// Judges an item; the share is that of the gas which the item meets.
class ItemJudge : public ItemView {
public:
  using ItemView::ItemView;

  [[nodiscard]] std::vector<KitFinding> all() const {
    std::vector<KitFinding> found;
    const std::array each{
        oxygen_line(),
        oxygen_share(),
        inlet_pressure(),
        depth(),
        temperature(),
        materials(),
        titanium(),
        oxygen_clean(),
        ordinary(),
        slow_opening(),
        outlet(),
        connector(),
        unbalanced(),
        mouthpiece(),
        dated(RuleCode::service, KitField::service, item_.service, choice_.service_every,
              KitField::service_every),
        dated(RuleCode::intermediate_check, KitField::intermediate_check, item_.intermediate_check,
              choice_.intermediate_every, KitField::intermediate_every),
        dated(RuleCode::leak_check, KitField::leak_check, item_.leak_check, choice_.leak_every,
              KitField::leak_every),
        dated(RuleCode::cylinder_test, KitField::cylinder_test, item_.cylinder_test,
              choice_.cylinder_test_every, KitField::cylinder_test_every)};
    for (const std::optional<KitFinding>& one : each)
      if (one) found.push_back(*one);
    return found;
  }

private:
  // ---- oxygen ----

  [[nodiscard]] Judged oxygen_line() const {
    const double line = share_of(choice_.line);
    if (!oxygen_service()) return judged(RuleCode::oxygen_line, true, share_, line);
    if (!item_.largest_oxygen) return unknown(RuleCode::oxygen_line, KitField::largest_oxygen);
    const double rated = *item_.largest_oxygen;
    return judged(RuleCode::oxygen_line, rated > line + fit_slack, rated, line);
  }

  [[nodiscard]] Judged oxygen_share() const {
    if (item_.largest_oxygen)
      return within(RuleCode::oxygen_share, {share_, share_, {}}, *item_.largest_oxygen);
    if (!richer_than_air()) return {};
    return unknown(RuleCode::oxygen_share, KitField::largest_oxygen);
  }

  [[nodiscard]] bool wets(InOxygen what) const {
    return std::any_of(item_.materials->begin(), item_.materials->end(),
                       [&](std::size_t one) { return known_materials[one].in_oxygen == what; });
  }

  [[nodiscard]] Judged materials() const {
    if (!oxygen_service()) return {};
    if (!item_.materials) return unknown(RuleCode::materials, KitField::materials);
    if (wets(InOxygen::unsuitable)) return judged(RuleCode::materials, false);
    if (wets(InOxygen::makers_word)) return on_makers_word(RuleCode::materials);
    return judged(RuleCode::materials, true);
  }

  [[nodiscard]] Judged titanium() const {
    const double most = threshold(RuleCode::titanium, choice_.units);
    if (!item_.materials) {
      if (!richer_than_air()) return {};
      if (share_ > most + fit_slack) return unknown(RuleCode::titanium, KitField::materials);
      KitFinding one = on_makers_word(RuleCode::titanium); // which covers titanium, if there is any
      if (one.verdict != KitVerdict::fit) one = unknown(RuleCode::titanium, KitField::materials);
      return one;
    }
    if (!wets(InOxygen::titanium)) {
      if (!richer_than_air()) return {};
      return judged(RuleCode::titanium, true, share_, most);
    }
    if (share_ > most + fit_slack) return judged(RuleCode::titanium, false, share_, most);
    KitFinding one = on_makers_word(RuleCode::titanium);
    one.found = share_;
    one.limit = most;
    return one;
  }

  [[nodiscard]] Judged oxygen_clean() const {
    if (!oxygen_service()) return {};
    const Judged one = dated(RuleCode::oxygen_clean, KitField::oxygen_clean, item_.oxygen_clean,
                             choice_.cleaning_every, KitField::cleaning_every);
    if (one->verdict == KitVerdict::fit && item_.cleaned_by.empty())
      return unknown(RuleCode::oxygen_clean, KitField::cleaned_by);
    return one;
  }

  [[nodiscard]] Judged ordinary() const {
    if (!oxygen_service()) return {};
    return answered(RuleCode::ordinary_air, item_.ordinary_air_since, Answer::no,
                    KitField::ordinary_air_since);
  }

  // ---- pressure ----

  /// The pressure that the plate allows with this share [bar].
  [[nodiscard]] std::optional<double> pressure_allowed() const {
    const PressureAtShare* tied = nullptr;
    for (const PressureAtShare& one : item_.oxygen_pressures)
      if (one.share >= share_ - fit_slack && (tied == nullptr || one.share < tied->share))
        tied = &one;
    // Ordinary service: a pressure for richer gas says no more than that it is allowed there, too.
    const bool ordinary = !oxygen_service() && item_.largest_pressure.has_value();
    if (ordinary && (tied == nullptr || tied->share > share_of(choice_.line) + fit_slack))
      return in_bar_gauge(*item_.largest_pressure);
    if (tied == nullptr) return {};
    return in_bar_gauge(tied->pressure);
  }

  [[nodiscard]] Judged inlet_pressure() const {
    constexpr RuleCode rule = RuleCode::inlet_pressure;
    const std::optional<double> allowed = pressure_allowed();
    const Bounds seen = pressure_seen();
    if (allowed) return within(rule, seen, *allowed);
    // Beyond what the plate allows with any gas, no share is of help.
    if (item_.largest_pressure && seen.low > in_bar_gauge(*item_.largest_pressure) + fit_slack)
      return within(rule, seen, in_bar_gauge(*item_.largest_pressure));
    return unknown(rule, item_.largest_pressure || !item_.oxygen_pressures.empty()
                             ? KitField::oxygen_pressures
                         : oxygen_service() ? KitField::oxygen_pressures
                                            : KitField::largest_pressure);
  }

  [[nodiscard]] Judged slow_opening() const {
    constexpr double rich = share_of(OxygenLine::above_40);
    if (!is(ItemKind::valve) || share_ <= rich + fit_slack) return {};
    const double most = threshold(RuleCode::slow_opening, choice_.units);
    if (item_.slow_opening == Answer::yes) return judged(RuleCode::slow_opening, true);
    const Bounds seen = pressure_seen();
    if (seen.high <= most + fit_slack) return {};
    if (item_.slow_opening == Answer::unknown)
      return unknown(RuleCode::slow_opening, KitField::slow_opening);
    return within(RuleCode::slow_opening, seen, most);
  }

  // ---- depth and cold ----

  [[nodiscard]] Judged depth() const {
    if (!has_field(item_.kind, KitField::largest_depth)) return {};
    if (!item_.largest_depth) return unknown(RuleCode::depth, KitField::largest_depth);
    const double limit = in_metres(*item_.largest_depth);
    if (*item_.largest_depth == no_depth_limit) {
      const Bounds reach = depth_in_use();
      return judged(RuleCode::depth, true, reach.high, limit);
    }
    return within(RuleCode::depth, depth_in_use(), limit);
  }

  [[nodiscard]] Judged unbalanced() const {
    constexpr RuleCode rule = RuleCode::unbalanced_depth;
    if (!is(ItemKind::first_stage)) return {};
    const double limit = threshold(rule, choice_.units);
    const Bounds reach = depth_in_use();
    if (item_.balanced == Answer::yes) return judged(rule, true, reach.high, limit);
    KitFinding one = within(rule, reach, limit);
    if (item_.balanced == Answer::unknown && one.verdict != KitVerdict::fit)
      one = unknown(rule, KitField::balanced);
    return one;
  }

  [[nodiscard]] Judged temperature() const {
    constexpr RuleCode rule = RuleCode::temperature;
    if (!has_field(item_.kind, KitField::lowest_temperature)) return {};
    if (item_.lowest_temperature == no_cold_limit)
      return judged(rule, true,
                    choice_.water_temperature ? in_celsius(*choice_.water_temperature)
                                              : std::numeric_limits<double>::quiet_NaN(),
                    in_celsius(no_cold_limit));
    if (!choice_.water_temperature) return unknown(rule, KitField::water_temperature);
    const double water = in_celsius(*choice_.water_temperature);
    if (item_.lowest_temperature) {
      const double rated = in_celsius(*item_.lowest_temperature);
      KitFinding one = judged(rule, water >= rated - fit_slack, water, rated);
      one.authority = Authority::plate;
      return one;
    }
    if (water > threshold(rule, choice_.units) + fit_slack) return {};
    return unknown(rule, KitField::lowest_temperature);
  }

  // ---- what connects ----

  // The outlet tells what is in the cylinder, however it was filled.
  [[nodiscard]] bool keyed() const { return share_judged(set_) > air_like + fit_slack; }

  [[nodiscard]] Judged outlet() const {
    constexpr RuleCode rule = RuleCode::outlet;
    if (!is(ItemKind::valve) || !keyed()) return {};
    if (item_.connector == Connector::m26x2)
      return judged(rule, true, share_judged(set_), air_like);
    if (choice_.outlet_en_144_3 == Answer::no) return {};
    if (item_.connector == Connector::unknown) return unknown(rule, KitField::connector);
    if (choice_.outlet_en_144_3 == Answer::unknown) return unknown(rule, KitField::outlet_en_144_3);
    return judged(rule, false, share_judged(set_), air_like);
  }

  [[nodiscard]] Judged connector() const {
    constexpr RuleCode rule = RuleCode::connector;
    if (!is(ItemKind::first_stage)) return {};
    if (item_.connector == Connector::unknown) return unknown(rule, KitField::connector);
    if (keyed() && item_.adapter == Answer::yes) return judged(rule, false);
    bool fits = false;
    bool any = false;
    for (const KitItem& valve : set_.items) {
      if (valve.kind != ItemKind::valve) continue;
      any = true;
      if (valve.connector == Connector::unknown) return unknown(rule, KitField::connector);
      fits = fits || valve.connector == item_.connector;
    }
    if (!any) return {}; // which the rule on completeness says
    if (fits) return judged(rule, true);
    return answered(rule, item_.adapter, Answer::yes, KitField::adapter);
  }

  [[nodiscard]] Judged mouthpiece() const {
    if (!is(ItemKind::second_stage)) return {};
    return answered(RuleCode::mouthpiece, item_.mouthpiece_retained, Answer::yes,
                    KitField::mouthpiece_retained);
  }

  // ---- dates ----

  [[nodiscard]] Judged dated(RuleCode rule, KitField field, const std::optional<Date>& done,
                             const std::optional<Interval>& every, KitField interval) const {
    if (!has_field(item_.kind, field)) return {};
    if (done && *done > choice_.day)
      throw InvalidInput(std::string(field_name(field)) + " of " + detail::quoted(item_.name),
                         date_text(*done) + ", after the dive on " + date_text(choice_.day),
                         "the day of the dive or earlier", "check both days");
    if (!done) return unknown(rule, field);
    if (!every) {
      KitFinding one = unknown(rule, interval);
      one.done = done;
      return one;
    }
    const Date last = due(*done, *every);
    KitFinding one = judged(rule, choice_.day <= last);
    one.done = done;
    one.due = last;
    return one;
  }
};

} // namespace upline::detail

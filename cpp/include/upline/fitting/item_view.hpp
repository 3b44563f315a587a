#pragma once
/// @file
/// @brief One item of a set as the rules see it: how findings are made, what pressure the item
/// sees, how deep it goes.

#include <upline/fitting/kit_checks.hpp>
#include <upline/kit.hpp>
#include <upline/kit_fields.hpp>
#include <upline/kit_findings.hpp>
#include <upline/kit_rules.hpp>

#include <algorithm>
#include <cstddef>
#include <limits>
#include <optional>

namespace upline::detail {

/// A number that may lie between two bounds, and what would tell.
struct Bounds {
  double low = 0.0;
  double high = std::numeric_limits<double>::infinity();
  KitField missing = KitField::nothing;
};

/// An item, at the share of oxygen of the gas that it meets.
class ItemView {
public:
  ItemView(const KitSet& set, std::size_t item, double share, const FitnessChoice& choice)
      : set_(set), item_(set.items[item]), place_(item), share_(share), choice_(choice) {}

  /// What the gas meets first: seals are where they are built in.
  [[nodiscard]] static ItemKind seen_as(const KitItem& item) {
    return item.kind == ItemKind::seals ? item.within.value_or(ItemKind::seals) : item.kind;
  }

protected:
  using Judged = std::optional<KitFinding>;

  [[nodiscard]] KitFinding finding(RuleCode rule, KitVerdict verdict) const {
    KitFinding one;
    one.rule = rule;
    one.verdict = verdict;
    one.item = place_;
    one.kind = item_.kind;
    one.share = share_;
    one.authority = rule == RuleCode::oxygen_line
                        ? oxygen_lines[static_cast<std::size_t>(choice_.line)].authority
                        : rule_of(rule).authority;
    return one;
  }
  [[nodiscard]] KitFinding unknown(RuleCode rule, KitField missing) const {
    KitFinding one = finding(rule, KitVerdict::unknown);
    one.missing = missing;
    return one;
  }
  [[nodiscard]] KitFinding judged(RuleCode rule, bool kept) const {
    return finding(rule, kept ? KitVerdict::fit : KitVerdict::not_fit);
  }
  [[nodiscard]] KitFinding judged(RuleCode rule, bool kept, double found, double limit) const {
    KitFinding one = judged(rule, kept);
    one.found = found;
    one.limit = limit;
    return one;
  }
  /// A number that must not exceed a limit, as far as it is known.
  [[nodiscard]] KitFinding within(RuleCode rule, const Bounds& found, double limit) const {
    if (found.high <= limit + fit_slack) return judged(rule, true, found.high, limit);
    if (found.low > limit + fit_slack) return judged(rule, false, found.low, limit);
    KitFinding one = unknown(rule, found.missing);
    one.limit = limit;
    return one;
  }
  [[nodiscard]] KitFinding answered(RuleCode rule, Answer answer, Answer good,
                                    KitField field) const {
    return answer == Answer::unknown ? unknown(rule, field) : judged(rule, answer == good);
  }

  [[nodiscard]] bool is(ItemKind kind) const { return item_.kind == kind; }
  [[nodiscard]] bool oxygen_service() const { return share_ > share_of(choice_.line) + fit_slack; }
  [[nodiscard]] bool richer_than_air() const { return share_ > air_like + fit_slack; }
  /// Whether the maker's word reaches this share; unknown where there is none.
  [[nodiscard]] KitFinding on_makers_word(RuleCode rule) const {
    if (!item_.largest_oxygen) return unknown(rule, KitField::largest_oxygen);
    return judged(rule, share_ <= *item_.largest_oxygen + fit_slack);
  }

  /// Whether an item sees what is in the cylinder.
  [[nodiscard]] static bool sees_cylinder(ItemKind kind) {
    return kind == ItemKind::cylinder || kind == ItemKind::valve || kind == ItemKind::first_stage ||
           kind == ItemKind::high_pressure_hose || kind == ItemKind::gauge;
  }

  /// The pressure that the item sees [bar].
  [[nodiscard]] Bounds pressure_seen() const {
    const ItemKind kind = seen_as(item_);
    if (kind == ItemKind::seals) return {0.0, unbounded, KitField::within};
    if (!sees_cylinder(kind)) return intermediate_pressure();
    if (!set_.fill_pressure) return {0.0, unbounded, KitField::fill_pressure};
    return {in_bar_gauge(*set_.fill_pressure), in_bar_gauge(*set_.fill_pressure), {}};
  }

  /// The highest of the first stages of the set.
  [[nodiscard]] Bounds intermediate_pressure() const {
    Bounds found{0.0, 0.0, KitField::intermediate_pressure};
    bool any = false;
    for (const KitItem& one : set_.items) {
      if (one.kind != ItemKind::first_stage) continue;
      any = true;
      if (!one.intermediate_pressure) {
        found.high = unbounded;
        continue;
      }
      const double x = in_bar_gauge(*one.intermediate_pressure);
      found.low = std::max(found.low, x);
      found.high = std::max(found.high, x);
    }
    return any ? found : Bounds{0.0, unbounded, KitField::intermediate_pressure};
  }

  /// How deep the item is put to use [m]: where it is carried, or behind a shut valve breathed.
  [[nodiscard]] Bounds depth_in_use() const {
    const double breathed = set_.breathed ? in_metres(set_.breathed->deepest) : 0.0;
    const double carried = set_.carried ? in_metres(set_.carried->deepest) : unbounded;
    const ItemKind kind = seen_as(item_);
    // Seals in nobody knows what may sit behind the valve or not.
    if (kind == ItemKind::seals) return {breathed, carried, KitField::within};
    const bool behind_valve = kind == ItemKind::first_stage || kind == ItemKind::second_stage;
    if (!behind_valve || set_.going_down == GoingDown::open) {
      if (set_.carried) return {carried, carried, {}};
      return {breathed, carried, KitField::carried};
    }
    if (set_.going_down == GoingDown::shut) {
      if (set_.breathed) return {breathed, breathed, {}};
      return {0.0, carried, KitField::breathed};
    }
    const KitField missing = !set_.breathed  ? KitField::breathed
                             : !set_.carried ? KitField::carried
                                             : KitField::going_down;
    return {breathed, carried, missing};
  }

  static constexpr double unbounded = std::numeric_limits<double>::infinity();

  const KitSet& set_;
  const KitItem& item_;
  std::size_t place_;
  double share_;
  const FitnessChoice& choice_;
};

} // namespace upline::detail

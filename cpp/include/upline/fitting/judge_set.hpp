#pragma once
/// @file
/// @brief Every item of a set at the share that it meets, and the rules of the whole set.

#include <upline/fitting/judge_item.hpp>
#include <upline/kit.hpp>
#include <upline/kit_findings.hpp>
#include <upline/kit_rules.hpp>

#include <algorithm>
#include <cstddef>
#include <vector>

namespace upline::detail {

/// Judges a set.
class SetJudge {
public:
  SetJudge(const KitSet& set, const FitnessChoice& choice)
      : set_(set), choice_(choice), share_(share_judged(set)) {}

  [[nodiscard]] std::vector<KitFinding> all() const {
    std::vector<KitFinding> found;
    for (std::size_t j = 0; j < set_.items.size(); ++j)
      for (const KitFinding& one : of_item(j)) found.push_back(one);
    oxygen_depth(found);
    complete(found);
    return found;
  }

private:
  /// Where oxygen is added in the cylinder, it and its valve hold pure oxygen for a while.
  [[nodiscard]] std::vector<KitFinding> of_item(std::size_t item) const {
    const ItemKind kind = ItemJudge::seen_as(set_.items[item]);
    const bool holds = kind == ItemKind::cylinder || kind == ItemKind::valve;
    const auto at = [&](double share) { return ItemJudge(set_, item, share, choice_).all(); };
    if (!holds || set_.filling == Filling::premixed) {
      // Seals in nobody knows what may be in the valve.
      if (kind != ItemKind::seals || set_.filling == Filling::premixed) return at(share_);
    } else if (set_.filling == Filling::oxygen_added) {
      return at(1.0);
    }
    return whichever(at(share_), at(1.0),
                     kind == ItemKind::seals ? KitField::within : KitField::filling);
  }

  /// What holds whichever share it was: fit only where both are, not fit where the leaner is.
  [[nodiscard]] static std::vector<KitFinding> whichever(const std::vector<KitFinding>& lean,
                                                         const std::vector<KitFinding>& rich,
                                                         KitField missing) {
    std::vector<KitFinding> found;
    for (KitFinding one : rich) {
      const auto same = std::find_if(lean.begin(), lean.end(), [&](const KitFinding& other) {
        return other.rule == one.rule;
      });
      const bool asked = same != lean.end();
      if (asked && (same->verdict != KitVerdict::fit || one.verdict == KitVerdict::fit)) {
        one = *same;
      } else if (one.verdict != KitVerdict::fit) {
        one.verdict = KitVerdict::unknown;
        one.missing = missing;
      }
      found.push_back(one);
    }
    return found;
  }

  void oxygen_depth(std::vector<KitFinding>& found) const {
    if (share_ < counts_as_oxygen - fit_slack) return;
    KitFinding one;
    one.rule = RuleCode::oxygen_depth;
    one.authority = rule_of(one.rule).authority;
    one.share = share_;
    one.limit = threshold(one.rule, choice_.units);
    if (!set_.breathed) {
      one.verdict = KitVerdict::unknown;
      one.missing = KitField::breathed;
    } else {
      one.found = in_metres(set_.breathed->deepest);
      one.verdict = one.found <= one.limit + fit_slack ? KitVerdict::fit : KitVerdict::not_fit;
    }
    found.push_back(one);
  }

  /// A kind that is neither listed nor ruled out: what it is rated for is not known.
  void complete(std::vector<KitFinding>& found) const {
    bool whole = true;
    for (std::size_t j = 0; j < item_kind_names.size(); ++j) {
      const auto kind = static_cast<ItemKind>(j);
      const bool listed = std::any_of(set_.items.begin(), set_.items.end(),
                                      [&](const KitItem& item) { return item.kind == kind; });
      const bool ruled_out =
          std::find(set_.without.begin(), set_.without.end(), kind) != set_.without.end();
      if (listed || ruled_out) continue;
      whole = false;
      KitFinding one = completeness(KitVerdict::unknown);
      one.kind = kind;
      one.missing = KitField::item;
      found.push_back(one);
    }
    if (whole) found.push_back(completeness(KitVerdict::fit));
  }
  [[nodiscard]] KitFinding completeness(KitVerdict verdict) const {
    KitFinding one;
    one.rule = RuleCode::complete;
    one.verdict = verdict;
    one.share = share_;
    one.authority = rule_of(one.rule).authority;
    return one;
  }

  const KitSet& set_;
  const FitnessChoice& choice_;
  double share_;
};

} // namespace upline::detail

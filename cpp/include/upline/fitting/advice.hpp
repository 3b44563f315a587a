#pragma once
/// @file
/// @brief Advice beside the verdict: how a set is hung, told apart and labelled.

#include <upline/kit.hpp>
#include <upline/kit_findings.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>
#include <string_view>
#include <vector>

namespace upline::detail {

/// Gives advice for one set.
class AdviceGiver {
public:
  AdviceGiver(const KitSet& set, const FitnessChoice& choice) : set_(set), choice_(choice) {}

  [[nodiscard]] std::vector<KitAdvice> all() const {
    return {turning_outlet(), hose_length(), cues(), gauge(), label(), agrees()};
  }

private:
  [[nodiscard]] static Answer answer(bool x) { return x ? Answer::yes : Answer::no; }
  /// No where one is, else unknown where one is.
  [[nodiscard]] static Answer all_of(const std::vector<Answer>& answers) {
    Answer found = answers.empty() ? Answer::unknown : Answer::yes;
    for (const Answer one : answers) {
      if (one == Answer::no) return Answer::no;
      if (one == Answer::unknown) found = Answer::unknown;
    }
    return found;
  }
  template <class Ask>
  [[nodiscard]] std::vector<Answer> of_each(ItemKind kind, Ask ask) const {
    std::vector<Answer> answers;
    for (const KitItem& item : set_.items)
      if (item.kind == kind) answers.push_back(ask(item));
    return answers;
  }

  [[nodiscard]] KitAdvice turning_outlet() const {
    return {AdviceCode::turning_outlet,
            all_of(of_each(ItemKind::first_stage,
                           [](const KitItem& item) { return item.turning_outlet; }))};
  }

  [[nodiscard]] KitAdvice hose_length() const {
    KitAdvice one{AdviceCode::hose_length};
    if (set_.hose_needed) one.limit = in_metres(*set_.hose_needed);
    for (const KitItem& item : set_.items)
      if (item.kind == ItemKind::low_pressure_hose && item.hose_length)
        one.found = std::fmin(one.found, in_metres(*item.hose_length)); // the shorter; NaN is none
    one.followed = all_of(of_each(ItemKind::low_pressure_hose, [&](const KitItem& item) {
      if (!item.hose_length || !set_.hose_needed) return Answer::unknown;
      return answer(*item.hose_length >= *set_.hose_needed);
    }));
    return one;
  }

  /// Each cue counts once; colour only where the team chose it.
  [[nodiscard]] KitAdvice cues() const {
    KitAdvice one{AdviceCode::three_cues};
    one.limit = static_cast<double>(least_cues);
    if (!set_.cues) return one;
    std::vector<Cue> counted;
    bool colour_in_doubt = false;
    for (const Cue cue : *set_.cues) {
      if (std::find(counted.begin(), counted.end(), cue) != counted.end()) continue;
      if (cue == Cue::colour && set_.colour_by_team != Answer::yes) {
        colour_in_doubt = set_.colour_by_team == Answer::unknown;
        continue;
      }
      counted.push_back(cue);
    }
    one.found = static_cast<double>(counted.size());
    one.followed = answer(counted.size() >= least_cues);
    if (colour_in_doubt && counted.size() + 1 == least_cues) one.followed = Answer::unknown;
    return one;
  }

  [[nodiscard]] KitAdvice gauge() const {
    KitAdvice one{AdviceCode::full_gauge};
    one.limit = in_metres(short_hose);
    std::vector<Answer> answers = of_each(ItemKind::gauge, [](const KitItem& item) {
      if (item.gauge_kind == GaugeKind::unknown) return Answer::unknown;
      return answer(item.gauge_kind == GaugeKind::full);
    });
    if (answers.empty() && rules_out(ItemKind::gauge)) answers.push_back(Answer::no);
    std::vector<Answer> short_ones =
        of_each(ItemKind::high_pressure_hose, [&](const KitItem& item) {
          if (!item.hose_length) return Answer::unknown;
          one.found = std::fmax(one.found, in_metres(*item.hose_length));
          return answer(*item.hose_length <= short_hose);
        });
    if (short_ones.empty()) // screwed on without one, it is as near as can be
      short_ones.push_back(rules_out(ItemKind::high_pressure_hose) ? Answer::yes : Answer::unknown);
    answers.insert(answers.end(), short_ones.begin(), short_ones.end());
    one.followed = all_of(answers);
    return one;
  }
  [[nodiscard]] bool rules_out(ItemKind kind) const {
    return std::find(set_.without.begin(), set_.without.end(), kind) != set_.without.end();
  }

  [[nodiscard]] KitAdvice label() const {
    KitAdvice one{AdviceCode::label};
    if (!set_.label) return one;
    const KitLabel& label = *set_.label;
    one.followed =
        all_of({answer(label.mix.has_value()), answer(label.largest_depth.has_value()),
                answer(label.date.has_value()), answer(!label.analyst.empty()), label.one_unit});
    return one;
  }

  /// Within a point of oxygen, analysed on the day of the dive.
  [[nodiscard]] KitAdvice agrees() const {
    KitAdvice one{AdviceCode::label_agrees};
    one.limit = analysis_agrees;
    if (!set_.label || !set_.label->mix || !set_.analysed) return one;
    constexpr double slack = 1e-9;
    one.found = std::abs(set_.label->mix->oxygen - *set_.analysed);
    const Answer today =
        set_.analysed_on ? answer(*set_.analysed_on == choice_.day) : Answer::unknown;
    one.followed = all_of({answer(one.found <= analysis_agrees + slack), today});
    return one;
  }

  const KitSet& set_;
  const FitnessChoice& choice_;
};

[[nodiscard]] inline std::vector<KitAdvice> advice_for(const KitSet& set,
                                                       const FitnessChoice& choice) {
  return AdviceGiver(set, choice).all();
}

} // namespace upline::detail

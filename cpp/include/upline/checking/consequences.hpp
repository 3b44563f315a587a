#pragma once
/// @file
/// @brief What becomes of a dive when one thing is done otherwise and the table followed all the
/// same.

#include <upline/checking/repair.hpp>
#include <upline/verdict.hpp>

#include <algorithm>
#include <cstddef>
#include <limits>
#include <optional>
#include <vector>

namespace upline::detail {

/// @brief Tries one mishap after another.
class MishapTrial {
public:
  explicit MishapTrial(const Judge& judge)
      : judge_(judge), few_trials_(std::min(600, all_trials / most_mishaps())) {}

  /// @brief All of them, the tightest first.
  [[nodiscard]] std::vector<Consequence> all() {
    const std::vector<StopPlan>& stops = judge_.reader().stops();
    for (std::size_t j = 0; j < stops.size(); ++j) {
      leave_out(j);
      try_one({Mishap::minute_short, j, 1.0}, [&](Change& c) {
        c.cut_row = j;
        c.cut = 1.0;
      });
      if (stops[j].takes) try_switch(j);
    }
    for (const double late : {3.0, 5.0})
      try_one({Mishap::leaves_late, {}, late}, [&](Change& c) { c.leaves_late = late; });
    const double deeper =
        judge_.reader().reading().units == Units::metric ? 3.0 : 10.0 * metres_per_foot;
    try_one({Mishap::deeper, {}, deeper}, [&](Change& c) { c.deeper = deeper; });
    std::stable_sort(found_.begin(), found_.end(), [](const Consequence& x, const Consequence& y) {
      return x.margin < y.margin;
    });
    return std::move(found_);
  }

private:
  static constexpr int all_trials = 40'000; // beyond them the minutes of each are a bound

  [[nodiscard]] int most_mishaps() const {
    return static_cast<int>(2 * judge_.reader().stops().size()) + 20;
  }

  void leave_out(std::size_t j) {
    TableReader without = judge_.reader();
    without.leave_out(j);
    add({Mishap::row_left_out, j}, Judge(without, judge_.factors()), {});
  }

  void try_switch(std::size_t j) {
    const auto late = [j](double minutes) {
      return [j, minutes](Change& c) {
        c.switch_row = j;
        c.switch_late = minutes;
      };
    };
    try_one({Mishap::switch_missed, j}, late(std::numeric_limits<double>::infinity()));
    for (const double minutes : {1.0, 2.0, 3.0, 4.0, 5.0})
      try_one({Mishap::switch_late, j, minutes}, late(minutes));
  }

  template <class Alter>
  void try_one(const Consequence& consequence, Alter&& alter) {
    Change change;
    alter(change);
    add(consequence, judge_, change);
  }

  void add(Consequence consequence, const Judge& judge, const Change& change) {
    const Follower diver = judge.follow(change);
    consequence.surfacing_fraction = judge.surfacing_fraction(diver);
    consequence.margin = -judge.tightest(diver, judge.line_of(diver)).excess;
    const Repair repair = RepairSearch(judge, change, few_trials_).find();
    consequence.missing = repair.missing;
    consequence.minimal = repair.minimal();
    found_.push_back(consequence);
  }

  const Judge& judge_;
  int few_trials_;
  std::vector<Consequence> found_;
};

} // namespace upline::detail

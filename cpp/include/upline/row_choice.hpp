#pragma once
/// @file
/// @brief The few rows of a slate that serve a box of likely deviations with the least extra
/// decompression.
/// @par Source
/// docs/theory.md, section "Rows for a box of deviations".

#include <upline/choosing/selection.hpp>
#include <upline/contingency.hpp>
#include <upline/detail/number.hpp>
#include <upline/detail/require.hpp>
#include <upline/error.hpp>
#include <upline/plan.hpp>
#include <upline/teaming/holds.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace upline {

/// @brief The deviations to be ready for: every pair of one value of each list.
struct DeviationBox {
  std::vector<Depth> deeper{};   ///< 1 to 12 values, one of them 0.
  std::vector<Minutes> later{};  ///< 1 to 12 values, one of them 0.
  std::vector<double> weights{}; ///< Of the cells, `deeper` first; empty: all alike.
};

/// @brief A dive of the box, and the row to follow then.
struct BoxCell {
  Deviation what{};                  ///< Deeper and later by this.
  double weight = 1.0;               ///< Of its extra minutes.
  std::optional<Minutes> run_time{}; ///< Of its own schedule; nothing where there is none to dive.
  std::optional<std::size_t> row{};  ///< Of the rows chosen, from 0; nothing where none serves.
  Minutes extra{};                   ///< Run time of that row less that of its own schedule.
  std::string reason{};              ///< Why it has no schedule, or no row.
};

/// @brief A row of the slate.
struct ChosenRow {
  Deviation what{};                 ///< Nothing that differs: the plan itself.
  Plan plan;                        ///< Its schedule.
  std::vector<std::size_t> cells{}; ///< The dives for which it is the one to follow.
  Minutes largest_extra{};          ///< Over those dives.
};

/// @brief The rows chosen, and what they cost.
struct RowChoice {
  Plan planned;                      ///< The first row.
  DeviationBox box{};                ///< As given.
  std::size_t asked = 0;             ///< How many rows there may be, that of the plan among them.
  std::vector<ChosenRow> rows{};     ///< The plan first, then by depth and time.
  std::vector<BoxCell> cells{};      ///< For each value of deeper, each value of later.
  Minutes total_extra{};             ///< Weighted sum over the cells that have a row.
  Minutes largest_extra{};           ///< Of any cell.
  bool proved = false;               ///< No other choice of as many rows has a smaller sum.
  Minutes least_total{};             ///< No choice has a smaller sum than this.
  std::optional<Minutes> one_more{}; ///< What one more row would save; nothing where it cannot be.
  std::size_t one_more_cells = 0;    ///< Cells that only one more row would serve besides.

  /// @brief The rows but for that of the plan, for contingencies().
  [[nodiscard]] std::vector<Deviation> deviations() const {
    std::vector<Deviation> found;
    for (const ChosenRow& row : rows)
      if (!(row.what == Deviation{})) found.push_back(row.what);
    return found;
  }
};

namespace detail {

template <class Quantity>
void require_values(const char* field, const std::vector<Quantity>& values) {
  constexpr std::size_t most = 12;
  if (values.empty() || values.size() > most)
    throw InvalidInput(field, std::to_string(values.size()) + " values", "1 to 12 values",
                       "give the values to be ready for, 0 among them");
  std::size_t zeros = 0;
  for (const Quantity value : values) {
    if (value == Quantity()) ++zeros;
    if (std::count(values.begin(), values.end(), value) > 1)
      throw InvalidInput(field, "a list with a value twice", "values that differ",
                         "give each value once");
  }
  if (zeros != 1)
    throw InvalidInput(field, "a list without 0", "values with 0 among them",
                       "add 0, the dive as planned");
}

inline void require_box(const Plan& plan, const DeviationBox& box, std::size_t rows) {
  constexpr std::size_t least_rows = 2;
  constexpr std::size_t most_rows = 8;
  for (const Depth deeper : box.deeper)
    require_length("deeper", deeper, metres(0.0), metres(100.0), "give how much deeper");
  for (const Minutes later : box.later)
    require_range("later", in_minutes(later), 0.0, 1e4, "min", "give how many minutes later");
  require_values("deeper", box.deeper);
  require_values("later", box.later);
  const std::size_t cells = box.deeper.size() * box.later.size();
  if (cells < 2)
    throw InvalidInput("deeper", "0 alone, as later is", "a box of two dives or more",
                       "give a value of deeper or later besides 0");
  if (!box.weights.empty() && box.weights.size() != cells)
    throw InvalidInput("weights", std::to_string(box.weights.size()) + " numbers",
                       std::to_string(cells) + ", one for each pair of deeper and later",
                       "give a list for each value of deeper, a number for each of later in it");
  for (const double weight : box.weights)
    require_range("weights", weight, 1e-6, 1e6, "", "give a weight above 0 for each dive");
  if (rows < least_rows || rows > most_rows)
    throw InvalidInput("rows", std::to_string(rows), "2 to 8",
                       "say how many rows the slate has, that of the plan among them");
  if (plan.refused())
    throw InvalidInput("plan", "refused", "a plan that no caution refuses",
                       "look at its cautions; no slate is made of it");
}

/// Worst moment beyond the limit line [bar].
[[nodiscard]] inline double breach_of(const Plan& plan) {
  double worst = 0.0;
  for (const Caution& caution : plan.cautions)
    if (caution.code == CautionCode::limit_exceeded) worst = std::max(worst, caution.value);
  return worst;
}

/// Whether two plans are followed alike from leaving the bottom on.
[[nodiscard]] inline bool same_ascent(const Plan& a, const Plan& b) {
  constexpr double rounding = 1e-9;
  const auto near = [](Minutes x, Minutes y) { return std::abs(in_minutes(x - y)) <= rounding; };
  if (a.stops.size() != b.stops.size() || a.switches.size() != b.switches.size()) return false;
  for (std::size_t j = 0; j < a.stops.size(); ++j)
    if (!(a.stops[j].depth == b.stops[j].depth) || !near(a.stops[j].departs, b.stops[j].departs))
      return false;
  for (std::size_t j = 0; j < a.switches.size(); ++j)
    if (!(a.switches[j].depth == b.switches[j].depth && a.switches[j].to == b.switches[j].to))
      return false;
  return near(a.run_time, b.run_time);
}

/// @brief Whether a dive may follow the leave times of another one's schedule.
///
/// The dive is planned anew on its own levels, each rung held until the row's time. It serves if no
/// rung then asks for more, none is added, the gases are taken up at the same depths, and the whole
/// of it is nowhere farther beyond its own limit line than its own schedule and is not refused.
[[nodiscard]] inline bool serves(const Plan& row, const Plan& own) {
  try {
    const Plan held = planned(own.dive, own.rules, holds_of(row, own.dive));
    return same_ascent(held, row) && !held.refused() &&
           breach_of(held) <= breach_of(own) + audit_tolerance;
  } catch (const Error&) {
    return false;
  }
}

/// Chooses the rows of one box.
class RowChooser {
public:
  RowChooser(const Plan& plan, const DeviationBox& box)
      : found_{.planned = plan, .box = box}, costs_(0, 0) {
    plan_cells();
    judge();
  }

  [[nodiscard]] RowChoice choose(std::size_t rows) {
    found_.asked = rows;
    const Selection best = Selector(costs_, rows).find();
    found_.proved = best.proved;
    found_.least_total = minutes(best.least);
    lay_out(best);
    if (rows < costs_.rows) {
      const Selection more = Selector(costs_, rows + 1).find();
      found_.one_more_cells = best.unserved - more.unserved;
      found_.one_more = minutes(best.cost - more.cost);
    }
    return std::move(found_);
  }

private:
  void plan_cells() {
    for (const Depth deeper : found_.box.deeper)
      for (const Minutes later : found_.box.later) {
        BoxCell& cell = found_.cells.emplace_back();
        cell.what = {.deeper = deeper, .later = later};
        if (!found_.box.weights.empty()) cell.weight = found_.box.weights[found_.cells.size() - 1];
        plans_.push_back(plan_of(cell));
        if (plans_.back()) cell.run_time = plans_.back()->run_time;
      }
  }

  /// Nothing where it cannot be dived or is refused; the cell says why.
  [[nodiscard]] std::optional<Plan> plan_of(BoxCell& cell) const {
    const Plan& base = found_.planned;
    if (cell.what == Deviation{}) return base;
    try {
      Plan one = upline::plan(deviating(base.dive, cell.what, base.rules.units), base.rules);
      if (!one.refused()) return one;
      for (const Caution& caution : one.cautions)
        if (caution.severity == Severity::refuses)
          cell.reason += (cell.reason.empty() ? "" : " ") + caution_text(caution, base.rules.units);
    } catch (const Error& error) {
      cell.reason = error.what();
    }
    return {};
  }

  /// Every row for every dive that it is at least as deep and as late as.
  void judge() {
    for (std::size_t j = 0; j < plans_.size(); ++j)
      if (plans_[j])
        (found_.cells[j].what == Deviation{} ? rows_.insert(rows_.begin(), j)
                                             : rows_.insert(rows_.end(), j));
    std::sort(rows_.begin() + 1, rows_.end(), [&](std::size_t a, std::size_t b) {
      const Deviation& x = found_.cells[a].what;
      const Deviation& y = found_.cells[b].what;
      return x.deeper < y.deeper || (x.deeper == y.deeper && x.later < y.later);
    });
    costs_ = ServingCosts(rows_.size(), rows_.size());
    for (std::size_t i = 0; i < rows_.size(); ++i)
      for (std::size_t j = 0; j < rows_.size(); ++j)
        if (may_serve(rows_[i], rows_[j]))
          costs_.at(i, j) = found_.cells[rows_[j]].weight * extra(rows_[i], rows_[j]);
  }

  [[nodiscard]] bool may_serve(std::size_t row, std::size_t cell) const {
    const Deviation& to = found_.cells[row].what;
    const Deviation& from = found_.cells[cell].what;
    if (row == cell) return true;
    return to.deeper >= from.deeper && to.later >= from.later &&
           serves(*plans_[row], *plans_[cell]);
  }

  [[nodiscard]] double extra(std::size_t row, std::size_t cell) const {
    return in_minutes(plans_[row]->run_time - plans_[cell]->run_time);
  }

  /// Each dive has the cheapest of the rows that serve it; a row that no dive needs is left out.
  void lay_out(const Selection& best) {
    std::vector<std::optional<std::size_t>> serving(rows_.size());
    for (std::size_t j = 0; j < rows_.size(); ++j)
      for (const std::size_t i : best.rows)
        if (std::isfinite(costs_.at(i, j)) &&
            (!serving[j] || costs_.at(i, j) < costs_.at(*serving[j], j)))
          serving[j] = i;
    for (const std::size_t i : best.rows) {
      ChosenRow row{.what = found_.cells[rows_[i]].what, .plan = *plans_[rows_[i]]};
      for (std::size_t j = 0; j < rows_.size(); ++j)
        if (serving[j] == i) serve(rows_[j], rows_[i], row);
      if (!row.cells.empty()) found_.rows.push_back(std::move(row));
    }
    for (const std::size_t j : rows_)
      if (!found_.cells[j].row)
        found_.cells[j].reason = "none of the rows chosen serves it; one more row might";
  }

  void serve(std::size_t cell, std::size_t with, ChosenRow& row) {
    BoxCell& one = found_.cells[cell];
    one.row = found_.rows.size();
    one.extra = minutes(extra(with, cell));
    row.cells.push_back(cell);
    row.largest_extra = std::max(row.largest_extra, one.extra);
    found_.largest_extra = std::max(found_.largest_extra, one.extra);
    found_.total_extra = found_.total_extra + minutes(one.weight * in_minutes(one.extra));
  }

  RowChoice found_;
  std::vector<std::optional<Plan>> plans_; // of the cells
  std::vector<std::size_t> rows_;          // cells that have a plan, that of the plan first
  ServingCosts costs_;                     // of the rows for the cells in that order
};

} // namespace detail

/// @brief The rows, that of the plan among them, that serve the dives of a box with the least extra
/// decompression.
///
/// Every dive of the box may follow the schedule of any that is at least as deep and as late and
/// that is verified to serve it: followed at its leave times on the dive's own levels, no rung asks
/// for more, and the whole ascent stays within the dive's own limit line. That a longer schedule
/// serves is not taken for granted. First as many dives as possible are served, then the weighted
/// sum of extra minutes, run time of the row less that of the dive's own schedule, is the least.
/// @param plan What is planned, not refused; always the first row.
/// @param box  1 to 12 values of deeper and of later, 0 among each; weights from 1e-6 to 1e6.
/// @param rows How many rows there may be, 2 to 8; fewer are given where fewer do.
/// @return The rows, with the dives that each is for. RowChoice::proved says whether the sum is the
///         least; it is where the search ends within its limit of 300 000 choices tried.
/// @throws InvalidInput for values, weights or a number of rows out of range, or a plan refused.
[[nodiscard]] inline RowChoice choose_rows(const Plan& plan, const DeviationBox& box,
                                           std::size_t rows) {
  detail::require_own_schedule(plan);
  detail::require_box(plan, box, rows);
  return detail::RowChooser(plan, box).choose(rows);
}

} // namespace upline

#pragma once
/// @file
/// @brief Arithmetic before physiology: what is odd in a table, and what was probably meant.
/// @par Source
/// How copies go wrong (swapped digits, a neighbour's number, a row left out): common practice,
/// no source.

#include <upline/checking/follow.hpp>
#include <upline/verdict.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace upline::detail {

/// @brief The number with its last two digits in the other order; nothing for one digit.
[[nodiscard]] inline std::optional<double> digits_swapped(double x) {
  if (x < 10.0 || x != std::floor(x)) return {};
  const double last = std::fmod(x, 10.0);
  const double tens = std::fmod(std::floor(x / 10.0), 10.0);
  return std::floor(x / 100.0) * 100.0 + last * 10.0 + tens;
}

/// @brief Proofreads one table under one reading.
class Proofreader {
public:
  explicit Proofreader(const TableReader& reader)
      : reader_(reader), rows_(reader.table().rows), step_(usual_step()) {}

  [[nodiscard]] std::vector<Finding> findings() {
    check_order();
    check_steps();
    check_run_times();
    check_both_columns();
    check_minutes();
    check_gases();
    return std::move(found_);
  }

private:
  [[nodiscard]] double depth(std::size_t j) const {
    return j < rows_.size() ? rows_[j].depth : 0.0;
  }
  [[nodiscard]] double depth_above(std::size_t j) const {
    return j > 0 ? rows_[j - 1].depth : reader_.table().depth;
  }

  /// The step that most neighbouring rows have; 0 where none occurs twice.
  [[nodiscard]] double usual_step() const {
    std::map<double, int> count;
    for (std::size_t j = 1; j < rows_.size(); ++j) ++count[rows_[j - 1].depth - rows_[j].depth];
    double step = 0.0;
    int most = 1;
    for (const auto& [size, times] : count)
      if (times > most && size > 0.0) {
        most = times;
        step = size;
      }
    return step;
  }

  // ---- depths ----------------------------------------------------------------------------

  [[nodiscard]] bool fits(std::size_t j, double x) const {
    return x < depth_above(j) && x > depth(j + 1) && x > 0.0;
  }

  /// What was meant instead of a depth: digits in the other order, or the next step.
  [[nodiscard]] std::optional<double> depth_meant(std::size_t j) const {
    const auto swapped = digits_swapped(rows_[j].depth);
    if (swapped && fits(j, *swapped)) return swapped;
    if (step_ > 0.0) {
      const double by_step = j > 0 ? depth_above(j) - step_ : depth(j + 1) + step_;
      if (fits(j, by_step)) return by_step;
    }
    return {};
  }

  void check_order() {
    for (std::size_t j = 0; j < rows_.size(); ++j) {
      if (rows_[j].depth < depth_above(j)) continue;
      if (j == 0) {
        add({Oddity::not_above_bottom, 0, rows_[0].depth, depth_meant(0)});
        continue;
      }
      // Either of the two may be the wrong one: the one that can be mended is.
      const bool earlier = !depth_meant(j) && depth_meant(j - 1);
      const std::size_t wrong = earlier ? j - 1 : j;
      add({Oddity::order, wrong, rows_[wrong].depth, depth_meant(wrong)});
    }
  }

  void check_steps() {
    if (!(step_ > 0.0)) return;
    for (std::size_t j = 1; j < rows_.size(); ++j) {
      const double step = rows_[j - 1].depth - rows_[j].depth;
      if (step == 2.0 * step_)
        add({Oddity::row_missing, j, rows_[j].depth, rows_[j].depth + step_});
      const bool next_off = j + 1 < rows_.size() && rows_[j].depth - rows_[j + 1].depth != step_;
      const bool skips =
          j + 1 < rows_.size() && rows_[j - 1].depth - rows_[j + 1].depth == 2.0 * step_;
      if (step > 0.0 && step != step_ && next_off && skips)
        add({Oddity::depth_off_grid, j, rows_[j].depth, rows_[j - 1].depth - step_});
    }
  }

  // ---- times -----------------------------------------------------------------------------

  void check_run_times() {
    double last = reader_.table().bottom_time;
    for (std::size_t j = 0; j < rows_.size(); ++j) {
      if (!rows_[j].leave_at && reader_.reading().minutes != MinutesMean::leave_at) return;
      const double now = *number_of(rows_[j], MinutesMean::leave_at);
      if (now <= last) {
        const auto swapped = digits_swapped(now);
        const bool helps = swapped && *swapped > last;
        add({Oddity::run_time_falls, j, now, helps ? swapped : std::nullopt, true});
      }
      last = std::max(last, now);
    }
  }

  /// Minutes from leaving one row to leaving the next, beside the minutes written.
  [[nodiscard]] double disagreement(std::size_t j, bool with_travel) const {
    const double before = j > 0 ? *rows_[j - 1].leave_at : reader_.table().bottom_time;
    return *rows_[j].leave_at - before - *rows_[j].minutes - (with_travel ? 0.0 : travel(j));
  }

  [[nodiscard]] double travel(std::size_t j) const {
    double minutes = 0.0;
    const double unit = reader_.unit();
    RateTable(reader_.rules().ascent_rates)
        .split(depth_above(j) * unit, depth(j) * unit,
               [&](double from, double to, double rate) { minutes += (from - to) / rate; });
    return minutes;
  }

  void check_both_columns() {
    for (const TableRow& row : rows_)
      if (!row.minutes || !row.leave_at) return;
    constexpr double rounding = 1.0; // either column may be in whole minutes
    const auto off = [&](bool with_travel) {
      std::vector<std::size_t> rows;
      for (std::size_t j = 0; j < rows_.size(); ++j)
        if (std::abs(disagreement(j, with_travel)) > rounding + 1e-9) rows.push_back(j);
      return rows;
    };
    const std::vector<std::size_t> without = off(false);
    const std::vector<std::size_t> with = off(true);
    const bool with_travel = with.size() < without.size();
    const std::vector<std::size_t>& wrong = with_travel ? with : without;
    for (std::size_t k = 0; k < wrong.size(); ++k) {
      const std::size_t j = wrong[k];
      const double by = std::round(disagreement(j, with_travel));
      // A wrong run time is wrong the other way at the next row.
      const bool run_time = k + 1 < wrong.size() && wrong[k + 1] == j + 1 &&
                            std::abs(by + disagreement(j + 1, with_travel)) <= 2.0 * rounding;
      if (run_time) {
        add({Oddity::times_disagree, j, *rows_[j].leave_at, *rows_[j].leave_at - by, true});
        ++k;
      } else {
        add({Oddity::times_disagree, j, *rows_[j].minutes, *rows_[j].minutes + by});
      }
    }
  }

  /// On one gas a shallower stop is not much shorter than a deeper one.
  void check_minutes() {
    if (reader_.reading().minutes == MinutesMean::leave_at) return;
    std::size_t off = no_row; // found last: its number says nothing of the next row's
    for (std::size_t j = 0; j < rows_.size(); ++j) {
      if (!rows_[j].minutes || !same_gas(j)) continue;
      const double now = *rows_[j].minutes;
      const bool after_wrong = off != no_row && off + 1 == j;
      const std::optional<double> before = after_wrong ? std::nullopt : neighbour(j, -1);
      const std::optional<double> after = neighbour(j, 1);
      const bool long_one = after && now > 1.5 * *after + 1.0 && (!before || *before <= *after);
      const bool short_one =
          before && now < *before - 1.0 && (!after || now < *after) && now < 0.67 * *before;
      if (!long_one && !short_one) continue;
      off = j;
      add({Oddity::minutes_off, j, now, minutes_meant(now, before, after)});
    }
  }

  /// Whether a neighbour is on the same gas, so that it says something about this row.
  [[nodiscard]] bool same_gas(std::size_t j) const { return neighbour(j, -1) || neighbour(j, 1); }

  [[nodiscard]] std::optional<double> neighbour(std::size_t j, int way) const {
    if ((way < 0 && j == 0) || (way > 0 && j + 1 >= rows_.size())) return {};
    const std::size_t taken_up = way < 0 ? j : j + 1;
    if (reader_.stops()[taken_up].takes) return {};
    // The first row of a gas may be long or short for its switch.
    const std::size_t other = way < 0 ? j - 1 : j + 1;
    return rows_[other].minutes;
  }

  /// Digits in the other order, or one digit too many.
  [[nodiscard]] static std::optional<double>
  minutes_meant(double x, const std::optional<double>& before, const std::optional<double>& after) {
    const double low = before.value_or(0.0);
    const double high = after.value_or(1e9);
    const auto swapped = digits_swapped(x);
    for (const std::optional<double>& candidate :
         {swapped, std::optional(std::fmod(x, 10.0)), std::optional(std::floor(x / 10.0))})
      if (candidate && *candidate != x && *candidate >= std::max(low, 1.0) && *candidate <= high)
        return candidate;
    return {};
  }

  // ---- gases -----------------------------------------------------------------------------

  void check_gases() {
    const Rules& rules = reader_.rules();
    check_rich(reader_.bottom_gas(), no_row, reader_.bottom(), in_bar(rules.max_po2));
    Gas in_use = reader_.bottom_gas();
    for (std::size_t j = 0; j < reader_.stops().size(); ++j) {
      const StopPlan& row = reader_.stops()[j];
      if (row.takes) {
        in_use = *row.takes;
        check_rich(in_use, j, row.depth, in_bar(rules.max_deco_po2));
      }
      const double po2 = in_use.oxygen * reader_.place().pressure(row.depth);
      if (po2 < in_bar(rules.min_po2) - 1e-9)
        add({Oddity::gas_too_lean, j, po2, {}, false, in_use});
    }
    for (const Passing& passing : reader_.passings()) {
      check_rich(passing.gas, no_row, passing.depth, in_bar(rules.max_deco_po2));
      add({Oddity::switch_off_rows,
           no_row,
           passing.depth / reader_.unit(),
           {},
           false,
           passing.gas});
    }
  }

  void check_rich(const Gas& gas, std::size_t row, double depth, double limit) {
    const double allowed = limit + in_bar(reader_.rules().po2_tolerance);
    const double po2 = gas.oxygen * reader_.place().pressure(depth);
    if (po2 <= allowed + 1e-9) return;
    const double deepest = reader_.place().depth(allowed / gas.oxygen) / reader_.unit();
    add({Oddity::gas_too_rich, row, po2, std::floor(deepest), false, gas});
  }

  void add(Finding finding) { found_.push_back(finding); }

  const TableReader& reader_;
  const std::vector<TableRow>& rows_;
  double step_;
  std::vector<Finding> found_;
};

} // namespace upline::detail

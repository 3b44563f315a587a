#pragma once
/// @file
/// @brief Arithmetic before physiology: what is odd in a table, and what was probably meant.
/// @par Source
/// How copies go wrong (swapped digits, a neighbour's number, a row left out): common practice,
/// no source.

#include <upline/checking/follow.hpp>
#include <upline/checking/run_times.hpp>
#include <upline/planning/audit.hpp>
#include <upline/verdict.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace upline::detail {

/// @brief Proofreads one table under one reading.
class Proofreader {
public:
  /// @param followed The rows as they are followed: a step that keeps the line lacks no row.
  Proofreader(const TableReader& reader, const std::vector<FollowedRow>& followed)
      : reader_(reader), rows_(reader.table().rows), followed_(followed), step_(usual_step()) {}

  [[nodiscard]] std::vector<Finding> findings() {
    check_order();
    check_steps();
    if (!check_both_columns()) check_run_times();
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
    for (const double exchanged : digits_exchanged(rows_[j].depth))
      if (fits(j, exchanged)) return exchanged;
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
      if (step == 2.0 * step_ && breaks_the_line(j))
        add({Oddity::row_missing, j, rows_[j].depth, rows_[j].depth + step_});
      const bool next_off = j + 1 < rows_.size() && rows_[j].depth - rows_[j + 1].depth != step_;
      const bool skips =
          j + 1 < rows_.size() && rows_[j - 1].depth - rows_[j + 1].depth == 2.0 * step_;
      if (step > 0.0 && step != step_ && next_off && skips)
        add({Oddity::depth_off_grid, j, rows_[j].depth, rows_[j - 1].depth - step_});
    }
  }

  // ---- times -----------------------------------------------------------------------------

  /// The passage to a row, as it stands.
  [[nodiscard]] bool breaks_the_line(std::size_t j) const {
    return followed_[j - 1].controlling.value < -audit_tolerance;
  }

  void check_run_times() {
    if (!has_run_times()) {
      // Too many minutes to be stays, and run times but for one of them.
      if (const auto slip =
              all_beyond_bottom_time() ? SlipSearch(run_times()).find() : std::nullopt;
          slip && slip->meant)
        add_run_time(Oddity::run_time_falls, *slip);
      return;
    }
    const RunTimes times = run_times();
    if (const auto slip = SlipSearch(times).find()) {
      add_run_time(times.rise() ? Oddity::minutes_off : Oddity::run_time_falls, *slip);
      return;
    }
    double last = times.bottom_left;
    for (std::size_t j = 0; j < rows_.size(); ++j) {
      if (times.leave[j] <= last) add_run_time(Oddity::run_time_falls, {j, {}});
      last = std::max(last, times.leave[j]);
    }
  }

  void add_run_time(Oddity oddity, const RunTimeSlip& slip) {
    add({oddity, slip.row, *number_of(rows_[slip.row], MinutesMean::leave_at), slip.meant, true});
  }

  [[nodiscard]] bool has_run_times() const {
    return reader_.reading().minutes == MinutesMean::leave_at ||
           std::all_of(rows_.begin(), rows_.end(),
                       [](const TableRow& row) { return row.leave_at.has_value(); });
  }
  [[nodiscard]] bool all_beyond_bottom_time() const {
    return rows_.size() >= 3 && std::all_of(rows_.begin(), rows_.end(), [&](const TableRow& row) {
             return row.minutes && !row.leave_at && *row.minutes > reader_.table().bottom_time;
           });
  }

  [[nodiscard]] RunTimes run_times() const {
    RunTimes times;
    times.bottom_left = reader_.table().bottom_time;
    for (std::size_t j = 0; j < rows_.size(); ++j) {
      times.leave.push_back(*number_of(rows_[j], MinutesMean::leave_at));
      times.travel.push_back(travel(j));
      times.switches.push_back(reader_.stops()[j].takes.has_value());
    }
    return times;
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

  /// Whether something disagrees.
  bool check_both_columns() {
    for (const TableRow& row : rows_)
      if (!row.minutes || !row.leave_at) return false;
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
      const double written = run_time ? *rows_[j].leave_at : *rows_[j].minutes;
      add({Oddity::times_disagree, j, written,
           exchanged_near(written, run_time ? written - by : written + by), run_time});
      k += run_time ? 1 : 0;
    }
    return !wrong.empty();
  }

  /// The number meant, known to a minute: its digits in another order if that comes so near.
  [[nodiscard]] static double exchanged_near(double written, double about) {
    for (const double exchanged : digits_exchanged(written))
      if (std::abs(exchanged - about) <= 1.0) return exchanged;
    return about;
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
      constexpr double rounding = 1.0 + 1e-6; // either may have been rounded up by a minute
      const bool long_one =
          after && now > 1.5 * *after + rounding && (!before || *before <= *after);
      const bool short_one =
          before && now < *before - rounding && (!after || now < *after) && now < 0.67 * *before;
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
    std::vector<double> candidates = digits_exchanged(x);
    candidates.push_back(std::fmod(x, 10.0));
    candidates.push_back(std::floor(x / 10.0));
    for (const double candidate : candidates)
      if (candidate != x && candidate >= std::max(low, 1.0) && candidate <= high) return candidate;
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
      if (is_rung(passing.depth)) continue; // a rung that asks for no wait has no row
      add({Oddity::switch_off_rows,
           no_row,
           passing.depth / reader_.unit(),
           {},
           false,
           passing.gas});
    }
  }

  [[nodiscard]] bool is_rung(double depth) const {
    const std::vector<double> rungs = rungs_between(reader_.ladder(), reader_.bottom(), 0.0);
    return std::any_of(rungs.begin(), rungs.end(),
                       [&](double rung) { return std::abs(rung - depth) <= same_depth; });
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
  const std::vector<FollowedRow>& followed_;
  double step_;
  std::vector<Finding> found_;
};

} // namespace upline::detail

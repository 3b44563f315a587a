#pragma once
/// @file
/// @brief How many minutes a table lacks, and in which rows.

#include <upline/checking/judge.hpp>
#include <upline/verdict.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <optional>
#include <utility>
#include <vector>

namespace upline::detail {

/// @brief The coarsest usual grid on which numbers lie [min].
[[nodiscard]] inline double grid_of(const std::vector<double>& numbers) {
  constexpr std::array usual{1.0, 0.5, 1.0 / 6.0, 0.1};
  constexpr double finest = 1.0 / 60.0;
  const auto fits = [&](double grid) {
    return std::all_of(numbers.begin(), numbers.end(), [&](double number) {
      const double units = number / grid;
      return std::abs(units - std::round(units)) <= 1e-6;
    });
  };
  const auto found = std::find_if(usual.begin(), usual.end(), fits);
  return found == usual.end() ? finest : *found;
}

/// @brief The grid of a table: of its minutes or of its run times, whichever is the coarser.
[[nodiscard]] inline double grid_of(const TableReader& reader) {
  const std::vector<TableRow>& rows = reader.table().rows;
  std::vector<double> numbers;
  for (std::size_t j = 0; j < rows.size(); ++j) numbers.push_back(reader.number(j));
  const double grid = grid_of(numbers);
  if (reader.reading().minutes == MinutesMean::leave_at) return grid; // the minutes may be derived
  numbers.clear();
  for (const TableRow& row : rows)
    if (row.leave_at) numbers.push_back(*row.leave_at);
  return numbers.size() < rows.size() ? grid : std::max(grid, grid_of(numbers));
}

/// @brief Searches additions, fewest minutes first.
class RepairSearch {
public:
  /// @param change      What is otherwise than written; its additions are the search's own.
  /// @param most_trials Stops tried before the least addition is given as a bound.
  RepairSearch(const Judge& judge, Change change, int most_trials)
      : reader_(judge.reader()), judge_(reader_, judge.factors()), change_(std::move(change)),
        grid_(grid_of(reader_)), trials_left_(most_trials),
        start_(reader_, judge_.set(), judge_.rates(), change_) {
    clear();
    line_ = judge_.line_of(judge_.follow(change_)); // of the dive, whatever is added
    start_.reach_and_leave_bottom();
    start_.forget_legs();
  }
  RepairSearch(const RepairSearch&) = delete; // its judge looks at its own reader
  RepairSearch& operator=(const RepairSearch&) = delete;
  RepairSearch(RepairSearch&&) = delete;
  RepairSearch& operator=(RepairSearch&&) = delete;
  ~RepairSearch() = default;

  [[nodiscard]] Repair find() {
    Repair repair;
    repair.grid = minutes(grid_);
    repair.added.assign(reader_.table().rows.size(), 0.0);
    if (suffices()) {
      repair.missing = repair.at_last_stop = Minutes();
      return repair;
    }
    repair.at_last_stop = at_last_stop();
    if (!row_by_row()) return repair;
    least(repair);
    write_down(repair);
    return repair;
  }

private:
  static constexpr int most_units = 100'000; // of the grid, at one stop
  static constexpr int most_new_stops = 40;

  [[nodiscard]] std::size_t stops() const { return reader_.stops().size(); }
  /// Nothing added.
  void clear() { change_.added.assign(stops(), 0.0); }
  void set(std::size_t stop, int units) { change_.added[stop] = units * grid_; }

  [[nodiscard]] bool suffices() const { return judge_.within(judge_.follow(change_), line_); }

  /// Depth at which the legs that one diver has beyond another go beyond the line most.
  [[nodiscard]] std::optional<double> breach(const Follower& now, const Follower& before) const {
    const std::vector<Leg>& legs = now.walk().legs();
    const std::size_t first = before.walk().legs().size();
    if (first >= legs.size()) return {};
    if (now.walk().depth_now() == 0.0 &&
        Tightness(now.walk(), judge_.screen(), now.first_leg(), line_).at_surface().excess >
            audit_tolerance)
      return 0.0;
    const auto found = Audit(judge_.screen(), judge_.set(), now.walk().place(), legs)
                           .breach({{first, legs.size(), line_}});
    if (!found) return {};
    return found->depth;
  }

  /// Whether they go beyond it at all: what does is nearly always beyond it at the end of a leg.
  [[nodiscard]] bool breaks(const Follower& now, const Follower& before) const {
    const std::vector<Leg>& legs = now.walk().legs();
    for (std::size_t j = before.walk().legs().size(); j < legs.size(); ++j)
      if (legs[j].to > 0.0 && beyond(legs[j].after, legs[j].to)) return true;
    return breach(now, before).has_value();
  }

  [[nodiscard]] bool beyond(const Tissues& tissues, double depth) const {
    Lanes<double> amounts;
    excess(judge_.set(), tissues, line_.factor_at(depth), reader_.place().pressure(depth), amounts);
    return *std::max_element(amounts.begin(), amounts.end()) > audit_tolerance;
  }

  /// Through the stay at a stop, and on to the next or the surface.
  [[nodiscard]] Follower passed(Follower diver, std::size_t j) const {
    diver.stay_at(j);
    if (j + 1 < stops())
      diver.travel_to(j + 1);
    else
      diver.surface();
    return diver;
  }

  // ---- an addition that suffices: each stop as long as it must be --------------------------

  /// Leaves it in `change_`. A passage that no wait mends gets a stop that the table lacks.
  [[nodiscard]] bool row_by_row() {
    for (int added = 0; added <= most_new_stops; ++added) {
      clear();
      const auto failing = first_failing();
      if (!failing) return suffices();
      const auto rung = rung_below(failing->second, failing->first);
      if (!rung) return false;
      reader_.insert(failing->first, *rung);
    }
    return false;
  }

  /// The first stop that is not reached whatever is added before, and where the way to it fails.
  [[nodiscard]] std::optional<std::pair<std::size_t, double>> first_failing() {
    Follower diver = start_;
    if (stops() == 0)
      diver.surface(); // the only row was left out
    else
      diver.travel_to(0);
    if (const auto depth = breach(diver, start_)) return std::pair(std::size_t{0}, *depth);
    diver.forget_legs();
    for (std::size_t j = 0; j < stops(); ++j) {
      const auto units = least_units(diver, j);
      set(j, units.value_or(0));
      const Follower next = passed(diver, j);
      if (!units) return std::pair(j + 1, breach(next, diver).value_or(0.0));
      diver = next;
      diver.forget_legs();
    }
    return {};
  }

  /// Fewest units at a stop with which the next is reached within the line: doubled, then halved.
  [[nodiscard]] std::optional<int> least_units(const Follower& at_stop, std::size_t j) {
    const auto passes = [&](int units) {
      set(j, units);
      return !breaks(passed(at_stop, j), at_stop);
    };
    if (passes(0)) return 0;
    int high = 1;
    while (!passes(high)) {
      high *= 2;
      if (high > most_units) return {};
    }
    int low = high / 2;
    while (high - low > 1) {
      const int middle = low + (high - low) / 2;
      (passes(middle) ? high : low) = middle;
    }
    return high;
  }

  /// The rung of the ladder next below a depth, between two stops.
  [[nodiscard]] std::optional<double> rung_below(double depth, std::size_t before) const {
    const std::vector<StopPlan>& all = reader_.stops();
    const double deeper = before > 0 ? all[before - 1].depth : reader_.bottom();
    const double shallower = before < all.size() ? all[before].depth : 0.0;
    constexpr double at_a_rung = 1e-6; // [m]; a breach found there asks for the next deeper one
    const std::vector<double> rungs =
        rungs_between(reader_.ladder(), deeper, std::max(shallower, depth + at_a_rung));
    if (rungs.empty()) return {};
    return rungs.back();
  }

  [[nodiscard]] std::optional<Minutes> at_last_stop() {
    if (stops() == 0) return {};
    clear();
    Follower diver = start_;
    diver.travel_to(0);
    if (breaks(diver, start_)) return {};
    for (std::size_t j = 0; j + 1 < stops(); ++j) {
      const Follower next = passed(diver, j);
      if (breaks(next, diver)) return {};
      diver = next;
      diver.forget_legs();
    }
    const auto units = least_units(diver, stops() - 1);
    if (!units) return {};
    return minutes(*units * grid_);
  }

  // ---- the least that suffices -------------------------------------------------------------

  /// Tries every distribution of one unit, of two, ..., until one suffices or the trials are spent.
  void least(Repair& repair) {
    const std::vector<double> enough = change_.added;
    int most = 0;
    for (const double minutes : enough) most += static_cast<int>(std::lround(minutes / grid_));
    repair.at_least = minutes(grid_); // none is too few
    for (int units = 1; units < most; ++units) {
      clear();
      if (distribute(start_, 0, units)) return;
      if (trials_left_ <= 0) break;
      repair.at_least = minutes((units + 1) * grid_);
    }
    change_.added = enough;
  }

  /// Whether so many units can be given to this stop and those after it; leaves them there.
  bool distribute(const Follower& before, std::size_t j, int units) {
    if (--trials_left_ <= 0) return false;
    Follower at_stop = before;
    at_stop.travel_to(j);
    if (breaks(at_stop, before)) return false;
    at_stop.forget_legs();
    const bool last = j + 1 == stops();
    for (int given = last ? units : 0; given <= units; ++given) {
      set(j, given);
      if (last) {
        if (!breaks(passed(at_stop, j), at_stop)) return true;
        continue;
      }
      Follower after = at_stop;
      after.stay_at(j);
      if (!breaks(after, at_stop) && distribute(after, j + 1, units - given)) return true;
      if (trials_left_ <= 0) return false;
    }
    set(j, 0);
    return false;
  }

  void write_down(Repair& repair) const {
    long units = 0;
    std::size_t next_row = 0;
    for (std::size_t j = 0; j < stops(); ++j) {
      const StopPlan& stop = reader_.stops()[j];
      units += std::lround(change_.added[j] / grid_);
      if (stop.written()) {
        repair.added[stop.row] = change_.added[j];
        next_row = stop.row + 1;
      } else if (change_.added[j] > 0.0) {
        repair.new_stops.push_back({metres(stop.depth), minutes(change_.added[j]), next_row});
      }
    }
    repair.missing = minutes(static_cast<double>(units) * grid_);
  }

  TableReader reader_; // with the stops that the table lacks
  Judge judge_;
  Change change_;
  double grid_;
  int trials_left_;
  Follower start_;
  LimitLine line_{GradientFactors(1.0, 1.0), {}};
};

} // namespace upline::detail

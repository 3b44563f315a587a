#pragma once
/// @file
/// @brief Follows a table under one reading, as written or with something changed.

#include <upline/checking/readings.hpp>
#include <upline/ladder.hpp>
#include <upline/planning/start.hpp>
#include <upline/planning/switches.hpp>
#include <upline/replaying/walk.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <functional>
#include <limits>
#include <optional>
#include <utility>
#include <vector>

namespace upline::detail {

inline constexpr std::size_t no_row = static_cast<std::size_t>(-1);

/// @brief What a diver does otherwise than the table says. Rows are those of the table, from 0; one
/// that is not made at all is left out by the reader.
struct Change {
  std::vector<double> added{};     ///< Minutes more at each stop followed; empty: none.
  std::size_t cut_row = no_row;    ///< A row left early, by
  double cut = 0.0;                ///< so many minutes.
  std::size_t switch_row = no_row; ///< The row whose switch comes late, by
  double switch_late = 0.0;        ///< so many minutes; infinite: never.
  double leaves_late = 0.0;        ///< Minutes longer on the bottom.
  double deeper = 0.0;             ///< Bottom deeper by so many metres.

  [[nodiscard]] double added_at(std::size_t stop) const {
    return stop < added.size() ? added[stop] : 0.0;
  }
};

/// @brief A stop as it is followed.
struct StopPlan {
  double depth = 0.0;         ///< [m]
  std::size_t row = 0;        ///< Of the table; no_row: a stop that it lacks.
  std::optional<Gas> takes{}; ///< Gas taken up on reaching it.

  [[nodiscard]] bool written() const { return row != no_row; }
};

/// @brief A change of gas between rows, made on passing.
struct Passing {
  double depth = 0.0; ///< [m]
  Gas gas{};
};

/// @brief One table under one reading: depths in metres, gases settled.
class TableReader {
public:
  TableReader(const Table& table, const Reading& reading, const Rules& rules)
      : table_(table), reading_(reading), rules_(rules), place_(place_of(table, reading)),
        unit_(length_unit(reading.units)), bottom_(table.depth * unit_) {
    for (const TableRow& row : table.rows) stops_.push_back({row.depth * unit_, stops_.size(), {}});
    settle_gases();
  }

  [[nodiscard]] const Table& table() const { return table_; }
  [[nodiscard]] const Reading& reading() const { return reading_; }
  [[nodiscard]] const Rules& rules() const { return rules_; }
  [[nodiscard]] const Place& place() const { return place_; }
  [[nodiscard]] double unit() const { return unit_; }
  [[nodiscard]] double bottom() const { return bottom_; }
  [[nodiscard]] const std::vector<StopPlan>& stops() const { return stops_; }
  [[nodiscard]] const std::vector<Passing>& passings() const { return passings_; }
  [[nodiscard]] const Gas& bottom_gas() const { return table_.gases.front().gas; }

  /// @brief The number of a row that this reading goes by [min].
  [[nodiscard]] double number(std::size_t row) const {
    return number_of(table_.rows[row], reading_.minutes).value_or(0.0);
  }

  /// @brief Minutes on the old gas at a switch.
  [[nodiscard]] double pause() const {
    if (reading_.switch_minute == SwitchMinute::on_arrival) return 0.0;
    return in_minutes(table_.switch_time.value_or(minutes(1.0)));
  }

  [[nodiscard]] static Place place_of(const Table& table, const Reading& reading) {
    return environment_of(table, reading).place();
  }
  [[nodiscard]] static Environment environment_of(const Table& table, const Reading& reading) {
    Environment environment = table.environment;
    if (reading.depth_of == DepthOf::gauge) environment.water_density.reset();
    if (reading.depth_of == DepthOf::fresh) environment.water_density = fresh_water;
    if (reading.depth_of == DepthOf::sea) environment.water_density = sea_water;
    return environment;
  }

  /// @brief The rungs of the rules, or the usual ones of the system in which the table is read.
  [[nodiscard]] Ladder ladder() const {
    if (reading_.units == rules_.units) return rules_.ladder;
    return reading_.units == Units::metric ? Ladder{} : Rules::imperial(rules_.factors).ladder;
  }

  /// @brief Puts in a stop that the table lacks, before another.
  void insert(std::size_t before, double depth) {
    stops_.insert(stops_.begin() + static_cast<std::ptrdiff_t>(before), {depth, no_row, {}});
  }

  /// @brief Takes a row out, with the gas that would be taken up there.
  void leave_out(std::size_t row) {
    std::erase_if(stops_, [&](const StopPlan& stop) { return stop.written() && stop.row == row; });
  }

private:
  /// A gas named in a row is taken up there; one with a depth, there; the others by the rule.
  void settle_gases() {
    Gas in_use = bottom_gas();
    for (std::size_t j = 0; j < stops_.size(); ++j) {
      const auto& named = table_.rows[j].gas;
      if (!named) continue;
      gases_in_rows_ = true;
      if (*named == in_use) continue;
      stops_[j].takes = named;
      in_use = *named;
    }
    SwitchList list;
    for (std::size_t j = 1; j < table_.gases.size(); ++j)
      if (!named_in_rows(table_.gases[j].gas)) place_one(table_.gases[j], list);
    std::stable_sort(list.made.begin(), list.made.end(),
                     [](const Switch& x, const Switch& y) { return x.depth > y.depth; });
    SwitchRule::drop_leaner(bottom_gas(), list);
    for (const Switch& one : list.made) take_at(one.depth, one.gas);
  }

  /// By the rule of a plan where no depth is given and no row names a gas.
  void place_one(const TableGas& one, SwitchList& list) const {
    if (one.depth) {
      const double depth = std::min(*one.depth * unit_, bottom_);
      list.made.push_back({depth, one.gas, true, depth});
    } else if (!gases_in_rows_ && one.gas.oxygen > bottom_gas().oxygen) {
      const auto depth = SwitchRule(rules_, place_).deepest(one.gas, rungs_and_rows(), given());
      if (depth) list.made.push_back({*depth, one.gas, false, *depth});
    }
  }

  /// Where a gas may be taken up: at the rungs of a plan, and at the rows as they stand [m].
  [[nodiscard]] std::vector<double> rungs_and_rows() const {
    std::vector<double> depths = rungs_between(ladder(), bottom_, 0.0);
    for (const StopPlan& stop : stops_)
      if (stop.depth < bottom_) depths.push_back(stop.depth);
    std::sort(depths.begin(), depths.end(), std::greater<>());
    return depths;
  }

  /// Depths at which the table itself says that a gas is taken up [m].
  [[nodiscard]] std::vector<double> given() const {
    std::vector<double> depths;
    for (std::size_t j = 1; j < table_.gases.size(); ++j)
      if (table_.gases[j].depth) depths.push_back(*table_.gases[j].depth * unit_);
    return depths;
  }

  [[nodiscard]] bool named_in_rows(const Gas& gas) const {
    return std::any_of(table_.rows.begin(), table_.rows.end(),
                       [&](const TableRow& row) { return row.gas && *row.gas == gas; });
  }

  void take_at(double depth, const Gas& gas) {
    const auto stop = std::find_if(stops_.begin(), stops_.end(), [&](const StopPlan& one) {
      return std::abs(one.depth - depth) <= same_depth;
    });
    if (stop != stops_.end())
      stop->takes = gas;
    else
      passings_.push_back({depth, gas});
  }

  const Table& table_;
  Reading reading_;
  const Rules& rules_;
  Place place_;
  double unit_;
  double bottom_;
  std::vector<StopPlan> stops_;
  std::vector<Passing> passings_;
  bool gases_in_rows_ = false;
};

/// @brief The diver who follows it. Copied freely, to try what may come next.
class Follower {
public:
  Follower(const TableReader& reader, const CompartmentSet& set, const RateTable& rates,
           const Change& change)
      : reader_(&reader), rates_(&rates), change_(&change),
        walk_(set, reader.place(),
              starting_tissues(reader.table().start, reader.table().environment, set)),
        gas_(reader.bottom_gas()) {}

  /// @brief Down, and along the bottom until it is left.
  void reach_and_leave_bottom() {
    const double bottom = reader_->bottom() + change_->deeper;
    const double rate = reader_->rules().descent_rate.base();
    const auto& travel = reader_->table().travel;
    if (travel && travel->depth) {
      const double border = std::min(*travel->depth * reader_->unit(), bottom);
      walk_.go(border, border / rate, travel->gas);
    }
    walk_.go(bottom, (bottom - walk_.depth_now()) / rate, gas_);
    const double stated = reader_->table().bottom_time;
    const bool from_surface = reader_->reading().bottom_from == BottomTimeFrom::surface;
    const double stay = from_surface ? stated - walk_.clock() : stated;
    short_ = stay < -same_moment;
    walk_.stay(stay + change_->leaves_late, gas_);
    first_leg_ = walk_.legs().size();
  }

  /// @brief Up to a stop.
  void travel_to(std::size_t j) {
    const StopPlan& stop = reader_->stops()[j];
    const double begins = walk_.clock();
    go_to(stop.depth);
    travel_ += walk_.clock() - begins;
  }

  /// @brief Through the stay at it.
  void stay_at(std::size_t j) {
    const StopPlan& stop = reader_->stops()[j];
    const double pause = stop.takes ? take_up(stop) : 0.0;
    double stay = change_->added_at(j);
    if (stop.written()) stay += minutes_at(stop.row, pause);
    first_in_full_ = first_in_full_ || (stop.written() && too_short_to_hold_travel(stop.row));
    if (stop.written() && stop.row == change_->cut_row) stay -= change_->cut;
    short_ = short_ || stay < -same_moment;
    breathe_for(std::max(0.0, stay), walk_.depth_now());
    added_ += change_->added_at(j);
    if (!stop.written()) return;
    travel_ = 0.0;
    first_ = false;
  }

  void surface() {
    const auto& slow = reader_->rules().surfacing_rate;
    if (slow)
      breathe_for(walk_.depth_now() / slow->base(), 0.0);
    else
      go_to(0.0);
  }

  /// @brief Forgets the legs walked so far, so that a copy costs little; their sums stay.
  void forget_legs() { walk_.forget(); }

  [[nodiscard]] const Walk& walk() const { return walk_; }
  [[nodiscard]] std::size_t first_leg() const { return first_leg_; } ///< That leaves the bottom.
  [[nodiscard]] const Gas& gas() const { return gas_; }              ///< In use.
  /// @brief Whether the bottom or a row leaves no time at its depth, so that this reading cannot
  /// be meant.
  [[nodiscard]] bool short_of_time() const { return short_; }
  /// @brief Whether the first stop is too short to include its travel and was made in full.
  [[nodiscard]] bool first_in_full() const { return first_in_full_; }

private:
  /// Minutes at a row's depth, with the pause on the old gas.
  [[nodiscard]] double minutes_at(std::size_t row, double pause) const {
    const double number = reader_->number(row);
    const bool before = reader_->reading().switch_minute == SwitchMinute::before;
    const double stay = number + (before ? pause : 0.0);
    switch (reader_->reading().minutes) {
    case MinutesMean::without_travel: return stay;
    case MinutesMean::leave_at: return number + added_ - walk_.clock();
    case MinutesMean::with_travel: return too_short_to_hold_travel(row) ? stay : stay - travel_;
    }
    return stay;
  }

  /// A first stop too short to hold the travel from the bottom cannot mean to.
  [[nodiscard]] bool too_short_to_hold_travel(std::size_t row) const {
    return reader_->reading().minutes == MinutesMean::with_travel && first_ &&
           reader_->number(row) < travel_;
  }

  double take_up(const StopPlan& stop) {
    const bool late = stop.written() && stop.row == change_->switch_row;
    next_gas_ = stop.takes;
    taken_at_ = walk_.clock() + reader_->pause() + (late ? change_->switch_late : 0.0);
    return reader_->pause();
  }

  /// Up at the rates of the ascent, down (where rows are out of order) at that of the descent.
  void go_to(double depth) {
    if (depth >= walk_.depth_now()) {
      breathe_for((depth - walk_.depth_now()) / reader_->rules().descent_rate.base(), depth);
      return;
    }
    for (const Passing& passing : reader_->passings()) {
      if (passing.depth > walk_.depth_now() + same_depth || passing.depth <= depth + same_depth)
        continue;
      rise(passing.depth);
      next_gas_ = passing.gas;
      taken_at_ = walk_.clock();
    }
    rise(depth);
  }

  void rise(double depth) {
    rates_->split(walk_.depth_now(), depth, [&](double from, double to, double rate) {
      breathe_for((from - to) / rate, to);
    });
  }

  /// Goes to a depth in so many minutes, taking up the next gas when its time has come.
  void breathe_for(double minutes, double depth) {
    if (next_gas_ && taken_at_ <= walk_.clock() + same_moment) take_next();
    if (next_gas_ && taken_at_ < walk_.clock() + minutes - same_moment) {
      const double first = taken_at_ - walk_.clock();
      const double from = walk_.depth_now();
      walk_.go(from + (depth - from) * first / minutes, first, gas_);
      take_next();
      minutes -= first;
    }
    walk_.go(depth, minutes, gas_);
  }

  void take_next() {
    gas_ = *next_gas_;
    next_gas_.reset();
  }

  const TableReader* reader_;
  const RateTable* rates_;
  const Change* change_;
  Walk walk_;
  Gas gas_;
  std::optional<Gas> next_gas_{};
  double taken_at_ = 0.0;
  double travel_ = 0.0; // minutes of it since the row before was left
  double added_ = 0.0;  // minutes added so far
  bool first_ = true;   // no row was made yet
  std::size_t first_leg_ = 0;
  bool short_ = false;
  bool first_in_full_ = false;
};

} // namespace upline::detail

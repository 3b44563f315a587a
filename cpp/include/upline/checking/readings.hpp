#pragma once
/// @file
/// @brief Every way in which a table can plausibly be read.
/// @par Source
/// What is plausible: common practice, no source. Stops in feet stand at multiples of 10.

#include <upline/dive.hpp>
#include <upline/table.hpp>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

namespace upline::detail {

/// @brief The number of a row that a reading goes by; nothing where it has none.
[[nodiscard]] inline std::optional<double> number_of(const TableRow& row, MinutesMean mean) {
  if (mean != MinutesMean::leave_at) return row.minutes;
  return row.leave_at ? row.leave_at : row.minutes;
}

/// @brief Finds the readings of one table.
class ReadingFinder {
public:
  explicit ReadingFinder(const Table& table) : table_(table) {}

  /// @throws InvalidInput if no reading has a number for every row.
  [[nodiscard]] std::vector<Reading> find() const {
    std::vector<Reading> readings;
    for (const Units units : units_tried())
      for (const DepthOf depth_of : depths_tried())
        for (const BottomTimeFrom from : bottoms_tried())
          for (const MinutesMean mean : minutes_tried())
            for (const SwitchMinute minute : switches_tried(mean))
              readings.push_back({mean, from, minute, depth_of, units});
    return readings;
  }

private:
  template <class T>
  using Few = std::vector<T>;

  [[nodiscard]] Few<MinutesMean> minutes_tried() const {
    if (table_.minutes) {
      require_numbers(*table_.minutes);
      return {*table_.minutes};
    }
    Few<MinutesMean> tried;
    if (all_have_minutes() && !rises_like_run_times())
      tried = {MinutesMean::without_travel, MinutesMean::with_travel};
    if (all_leave() || (tried.empty() && rises_like_run_times()))
      tried.push_back(MinutesMean::leave_at);
    if (all_have_minutes() && rises_like_run_times() && table_.rows.size() < 3 && !all_leave())
      tried = {MinutesMean::without_travel, MinutesMean::with_travel, MinutesMean::leave_at};
    if (tried.empty()) require_numbers(MinutesMean::without_travel);
    return tried;
  }

  [[nodiscard]] bool all_have_minutes() const {
    return std::all_of(table_.rows.begin(), table_.rows.end(),
                       [](const TableRow& row) { return row.minutes.has_value(); });
  }
  [[nodiscard]] bool all_leave() const {
    return std::all_of(table_.rows.begin(), table_.rows.end(),
                       [](const TableRow& row) { return row.leave_at.has_value(); });
  }
  /// Numbers that only rise, all beyond the bottom time.
  [[nodiscard]] bool rises_like_run_times() const {
    double last = table_.bottom_time;
    for (const TableRow& row : table_.rows) {
      if (!row.minutes || row.leave_at || *row.minutes <= last) return false;
      last = *row.minutes;
    }
    return true;
  }

  void require_numbers(MinutesMean mean) const {
    for (std::size_t j = 0; j < table_.rows.size(); ++j)
      if (!number_of(table_.rows[j], mean))
        throw InvalidInput(row_name(j) + " minutes", "missing", "minutes in every row",
                           "give the minutes of that row, or the run time of leaving in every row");
  }

  [[nodiscard]] Few<BottomTimeFrom> bottoms_tried() const {
    if (table_.bottom_from) return {*table_.bottom_from};
    return {BottomTimeFrom::surface, BottomTimeFrom::arrival};
  }

  /// Where the table changes gas; a run time of leaving holds the minute in any case.
  [[nodiscard]] Few<SwitchMinute> switches_tried(MinutesMean mean) const {
    if (table_.switch_minute) return {*table_.switch_minute};
    if (!changes_gas() || (table_.switch_time && !(*table_.switch_time > Minutes())))
      return {SwitchMinute::on_arrival};
    if (mean == MinutesMean::leave_at)
      return table_.switch_time ? Few<SwitchMinute>{SwitchMinute::inside}
                                : Few<SwitchMinute>{SwitchMinute::on_arrival, SwitchMinute::inside};
    if (table_.switch_time) return {SwitchMinute::inside, SwitchMinute::before};
    return {SwitchMinute::on_arrival, SwitchMinute::inside, SwitchMinute::before};
  }

  [[nodiscard]] bool changes_gas() const {
    const Gas& bottom = table_.gases.front().gas;
    return table_.gases.size() > 1 ||
           std::any_of(table_.rows.begin(), table_.rows.end(),
                       [&](const TableRow& row) { return row.gas && !(*row.gas == bottom); });
  }

  [[nodiscard]] Few<DepthOf> depths_tried() const {
    if (table_.water_said) return {DepthOf::stated};
    return {DepthOf::gauge, DepthOf::fresh, DepthOf::sea};
  }

  /// Feet where every stop is a multiple of 10; metres unless that makes a very deep dive of it.
  [[nodiscard]] Few<Units> units_tried() const {
    if (table_.units) return {*table_.units};
    constexpr double tens = 10.0;
    constexpr double deep = 100.0;
    const bool like_feet =
        std::all_of(table_.rows.begin(), table_.rows.end(),
                    [&](const TableRow& row) { return std::fmod(row.depth, tens) == 0.0; });
    const bool deep_in_metres = table_.depth >= deep;
    if (like_feet && deep_in_metres) return {Units::imperial};
    if (like_feet || deep_in_metres) return {Units::metric, Units::imperial};
    return {Units::metric};
  }

  const Table& table_;
};

} // namespace upline::detail

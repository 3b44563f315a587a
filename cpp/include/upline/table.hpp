#pragma once
/// @file
/// @brief A decompression table as somebody wrote it, and the ways in which it can be read.
///
/// Numbers stay as they are written. What a table does not say of itself (whether its minutes
/// include the travel, feet or metres, ...) is left open here and tried in every plausible way.

#include <upline/detail/number.hpp>
#include <upline/detail/require.hpp>
#include <upline/environment.hpp>
#include <upline/error.hpp>
#include <upline/gas.hpp>
#include <upline/state.hpp>
#include <upline/units.hpp>

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace upline {

/// @brief What the number beside a depth means.
enum class MinutesMean {
  without_travel, ///< Minutes at the depth.
  with_travel,    ///< Minutes at the depth and on the way to it.
  leave_at        ///< Run time at which the depth is left.
};

/// @brief From when a bottom time counts; it ends with leaving the bottom.
enum class BottomTimeFrom {
  surface, ///< From leaving the surface.
  arrival  ///< From reaching the bottom.
};

/// @brief Where the minute goes that a switch takes on the old gas.
enum class SwitchMinute {
  on_arrival, ///< Nowhere: the new gas is breathed from the moment the stop is reached.
  inside,     ///< Into the minutes of the stop.
  before      ///< Before them; they count from the first breath of the new gas.
};

/// @brief What a metre (or foot) of the table is.
enum class DepthOf {
  stated, ///< As the place says.
  gauge,  ///< 0.1 bar.
  fresh,  ///< A true metre of fresh water.
  sea     ///< A true metre of sea water.
};

/// @brief One way of reading a table.
struct Reading {
  MinutesMean minutes = MinutesMean::without_travel;                ///< Of the rows.
  BottomTimeFrom bottom_from = BottomTimeFrom::surface;             ///< Of the bottom time.
  SwitchMinute switch_minute = SwitchMinute::on_arrival;            ///< At a change of gas.
  DepthOf depth_of = DepthOf::stated;                               ///< Of every depth.
  Units units = Units::metric;                                      ///< Of every depth.
  friend bool operator==(const Reading&, const Reading&) = default; ///< Field by field.
};

/// @brief One line of a table; it has minutes, a run time of leaving, or both.
struct TableRow {
  double depth = 0.0;               ///< As written.
  std::optional<double> minutes{};  ///< As written [min].
  std::optional<double> leave_at{}; ///< Run time as written [min].
  std::optional<Gas> gas{};         ///< Breathed at it; nothing: the row does not say.
  friend bool operator==(const TableRow&, const TableRow&) = default; ///< Field by field.
};

/// @brief A gas of the table, and the depth from which it is breathed if that is said.
struct TableGas {
  Gas gas{};                                                          ///< The mix.
  std::optional<double> depth{};                                      ///< As written.
  friend bool operator==(const TableGas&, const TableGas&) = default; ///< Field by field.
};

/// @brief A table. What is left empty in its second half is not said, and tried.
struct Table {
  double depth = 0.0;               ///< Of the bottom, as written.
  double bottom_time = 0.0;         ///< As written [min].
  std::vector<TableGas> gases{};    ///< The bottom gas first.
  std::optional<TableGas> travel{}; ///< Breathed on the way down, to its depth.
  std::vector<TableRow> rows{};     ///< In the order in which they are followed.
  Environment environment{};        ///< Place; its water counts only where `water_said`.
  std::optional<State> start{};     ///< What an earlier dive left.

  bool water_said = false;                     ///< Whether gauge or true depths is known.
  std::optional<Units> units{};                ///< Of every depth.
  std::optional<MinutesMean> minutes{};        ///< Of the rows.
  std::optional<BottomTimeFrom> bottom_from{}; ///< Of the bottom time.
  std::optional<SwitchMinute> switch_minute{}; ///< At a change of gas.
  std::optional<Minutes> switch_time{};        ///< How long it takes; nothing: not said.
  friend bool operator==(const Table&, const Table&) = default; ///< Field by field.
};

namespace detail {

[[nodiscard]] inline std::string row_name(std::size_t j) { return "row " + std::to_string(j + 1); }

inline void require_row(const TableRow& row, std::size_t j) {
  require_range((row_name(j) + " depth").c_str(), row.depth, 0.5, 1150.0, "",
                "give the depth of the stop");
  if (!row.minutes && !row.leave_at)
    throw InvalidInput(row_name(j), "without a time", "minutes, or the run time of leaving",
                       "say how long the stop is or when it is left");
  if (row.minutes)
    require_range((row_name(j) + " minutes").c_str(), *row.minutes, 0.0, 1e4, "min",
                  "give the minutes of the stop");
  if (row.leave_at)
    require_range((row_name(j) + " leave at").c_str(), *row.leave_at, 0.0, 1e5, "min",
                  "give the run time at which the stop is left");
}

/// @throws InvalidInput for a table with which nothing can be done.
inline void require_table(const Table& table) {
  constexpr std::size_t most_rows = 200;
  constexpr std::size_t most_gases = 20;
  require_range("depth", table.depth, 0.5, 1150.0, "", "give the depth of the bottom");
  require_range("bottom_time", table.bottom_time, 0.0, 1e5, "min", "give the bottom time");
  if (table.rows.empty() || table.rows.size() > most_rows)
    throw InvalidInput("rows", std::to_string(table.rows.size()) + " rows", "1 to 200 rows",
                       "give the stops as (depth, minutes)");
  if (table.gases.empty() || table.gases.size() > most_gases)
    throw InvalidInput("gases", std::to_string(table.gases.size()) + " gases", "1 to 20 gases",
                       "give the bottom gas first, then those for the ascent");
  for (const TableGas& one : table.gases)
    if (one.depth)
      require_range("gas switch depth", *one.depth, 0.5, 1150.0, "",
                    "give the depth at which the gas is taken up");
  for (std::size_t j = 0; j < table.rows.size(); ++j) require_row(table.rows[j], j);
  if (table.switch_time)
    require_range("switch_time", in_minutes(*table.switch_time), 0.0, 1e3, "min",
                  "give the minutes spent at a switch");
  if (table.start) require_valid(*table.start);
}

} // namespace detail
} // namespace upline

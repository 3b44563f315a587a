#pragma once
/// @file
/// @brief What is found out about a table: the verdict, and what lies behind it.

#include <upline/gas.hpp>
#include <upline/limit.hpp>
#include <upline/table.hpp>
#include <upline/units.hpp>

#include <cstddef>
#include <optional>
#include <vector>

namespace upline {

/// @brief Whether a table keeps the limit line.
enum class Verdict {
  satisfies,  ///< Under every plausible reading.
  does_not,   ///< Under none.
  cannot_tell ///< Under some; or it cannot be followed as written.
};

/// @brief A table under one reading.
struct ReadingVerdict {
  Reading reading{};               ///< The reading.
  bool can_be_followed = true;     ///< Every row leaves time at its depth.
  bool keeps_run_times = true;     ///< Rows are left when the table's own run times say.
  bool first_in_full = false;      ///< The first stop is too short to include its travel.
  bool satisfies = false;          ///< Nothing is beyond the line.
  double margin = 0.0;             ///< The least of all, the surface included [bar].
  Depth tightest{};                ///< Where that is.
  double surfacing_margin = 0.0;   ///< At the surface [bar].
  double surfacing_fraction = 0.0; ///< Largest supersaturation fraction at the surface.
  std::optional<Depth> anchor{};   ///< Of the limit line.
  Minutes run_time{};              ///< Surface to surface.
};

/// @brief The verdict with the readings it rests on.
struct TableVerdict {
  Verdict verdict = Verdict::cannot_tell; ///< Over all readings.
  std::vector<ReadingVerdict> readings{}; ///< The usual one first.
  std::size_t governing = 0;              ///< The one with the least margin.

  /// @brief Whether minutes and run times of the table disagree under every reading.
  [[nodiscard]] bool times_disagree() const {
    return !readings.empty() && !readings.front().keeps_run_times;
  }
};

/// @brief A row as it is followed under the governing reading.
struct FollowedRow {
  std::size_t row = 0;  ///< From 0.
  Depth depth{};        ///< Of the stop.
  Minutes arrives{};    ///< Run time.
  Minutes departs{};    ///< Run time.
  Gas arrives_on{};     ///< Breathed on arrival.
  Gas gas{};            ///< On which it is left.
  double po2 = 0.0;     ///< Of that gas there [bar].
  Leader controlling{}; ///< Least margin on arrival at the next stop [bar].
  Leader runner_up{};   ///< The next.
  Minutes added{};      ///< By the repair.
};

/// @brief A stop that a table lacks.
struct NewStop {
  Depth depth{};              ///< A rung of the ladder.
  Minutes minutes{};          ///< At it.
  std::size_t before_row = 0; ///< It comes before this row, from 0; the number of rows: last.
};

/// @brief The smallest addition of stop minutes with which a table keeps the limit line.
struct Repair {
  Minutes grid{};                        ///< Of the table's own numbers; additions are multiples.
  std::optional<Minutes> missing{};      ///< In all, 0 if none; nothing: no addition suffices,
                                         ///< or its numbers contradict each other.
  Minutes at_least{};                    ///< Shown: nothing less suffices at these stops, the
                                         ///< table's and `new_stops`.
  std::vector<double> added{};           ///< To each row [min].
  std::vector<NewStop> new_stops{};      ///< Where minutes at the rows alone cannot suffice.
  std::optional<Minutes> at_last_stop{}; ///< If all is added to the last row, where that suffices.

  /// @brief Whether `missing` is shown to be the least that suffices at these stops.
  [[nodiscard]] bool minimal() const { return missing && *missing <= at_least; }
};

/// @brief A low factor, the least high factor that is satisfied with it, and what binds there.
struct FactorPair {
  double low = 0.0;            ///< [1]
  double high = 0.0;           ///< [1]
  Depth depth{};               ///< Of the moment that binds.
  Minutes at{};                ///< Its run time.
  std::size_t compartment = 0; ///< Its compartment, from 0.
};

/// @brief What is done otherwise.
enum class Mishap {
  row_left_out,  ///< A row is not made.
  minute_short,  ///< A row is left a minute early.
  switch_missed, ///< A row's gas is not taken up.
  switch_late,   ///< A row's gas is taken up some minutes late.
  leaves_late,   ///< The bottom is left some minutes late.
  deeper         ///< The bottom was deeper.
};

/// @brief One mishap and what it costs.
struct Consequence {
  Mishap mishap{};                  ///< What is done otherwise.
  std::optional<std::size_t> row{}; ///< Where, from 0.
  double amount = 0.0;              ///< Minutes late, or metres deeper.
  double surfacing_fraction = 0.0;  ///< Largest supersaturation fraction at the surface.
  double margin = 0.0;              ///< The least of all [bar].
  std::optional<Minutes> missing{}; ///< To be added to the rows that are made; nothing: no
                                    ///< addition suffices.
  bool minimal = false;             ///< Whether that is shown to be the least at these stops.
};

/// @brief What is odd about a table.
enum class Oddity {
  times_disagree,   ///< Minutes and run times of leaving do not fit together.
  order,            ///< A stop is not shallower than the one before.
  not_above_bottom, ///< A stop is not above the bottom.
  run_time_falls,   ///< A run time is out of order.
  gas_too_rich,     ///< A gas is breathed beyond its oxygen limit.
  switch_off_rows,  ///< A gas is taken up where neither a row nor a rung of the ladder is.
  gas_too_lean,     ///< A gas is breathed with too little oxygen.
  depth_off_grid,   ///< A depth does not stand in the steps of its neighbours.
  row_missing,      ///< A step between two rows is twice the others, and beyond the limit line.
  minutes_off       ///< Minutes, or a run time, do not go with their neighbours.
};

/// @brief One oddity, with the number that would mend it where there is one.
struct Finding {
  Oddity oddity{};                  ///< What it is.
  std::size_t row = 0;              ///< From 0; the largest number: not at a row.
  double value = 0.0;               ///< As written: depth, minutes, run time, or po2 [bar].
  std::optional<double> proposed{}; ///< In the unit of `value`; of a gas: its deepest depth.
  bool in_run_time = false;         ///< It is the run time that is off, not the minutes.
  Gas gas{};                        ///< For a gas.

  /// @brief Whether a number contradicts others, or another one is proposed for it: what is
  /// computed from it is not for a slate.
  [[nodiscard]] bool unsettles() const {
    switch (oddity) {
    case Oddity::times_disagree:
    case Oddity::order:
    case Oddity::not_above_bottom:
    case Oddity::run_time_falls: return true;
    case Oddity::depth_off_grid:
    case Oddity::minutes_off: return proposed.has_value();
    case Oddity::gas_too_rich:
    case Oddity::switch_off_rows:
    case Oddity::gas_too_lean:
    case Oddity::row_missing: return false;
    }
    return false;
  }
};

/// @brief A table with the one number that is proposed for it.
struct Corrected {
  Finding finding{};      ///< With its `value` as written and its `proposed`.
  TableVerdict verdict{}; ///< With the number proposed.
  Repair repair{};        ///< With it; of no use where it is not settled either.
  bool settled = true;    ///< Whether no number contradicts others then.
};

} // namespace upline

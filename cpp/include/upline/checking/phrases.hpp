#pragma once
/// @file
/// @brief Readings, oddities and mishaps in words.

#include <upline/caution.hpp>
#include <upline/compartments.hpp>
#include <upline/detail/number.hpp>
#include <upline/table.hpp>
#include <upline/verdict.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <string>

namespace upline::detail {

/// @brief What can be read in more than one way, in the order in which it is asked about.
enum class Question { minutes, bottom_from, switch_minute, depth_of, units };
inline constexpr std::array questions{Question::minutes, Question::bottom_from,
                                      Question::switch_minute, Question::depth_of, Question::units};

/// @brief Whether two readings answer a question alike.
[[nodiscard]] inline bool alike(const Reading& x, const Reading& y, Question question) {
  switch (question) {
  case Question::minutes: return x.minutes == y.minutes;
  case Question::bottom_from: return x.bottom_from == y.bottom_from;
  case Question::switch_minute: return x.switch_minute == y.switch_minute;
  case Question::depth_of: return x.depth_of == y.depth_of;
  case Question::units: return x.units == y.units;
  }
  return true;
}

/// @brief Whether two readings differ in one question alone.
[[nodiscard]] inline bool differ_only_in(const Reading& x, const Reading& y, Question question) {
  for (const Question one : questions)
    if (alike(x, y, one) == (one == question)) return false;
  return true;
}

/// @brief The answer that a reading gives: "the stop minutes include the travel to the stop".
[[nodiscard]] inline std::string answer(const Reading& reading, Question question) {
  switch (question) {
  case Question::minutes:
    switch (reading.minutes) {
    case MinutesMean::without_travel: return "the stop minutes do not include the travel";
    case MinutesMean::with_travel: return "the stop minutes include the travel to the stop";
    case MinutesMean::leave_at: return "the numbers are run times of leaving";
    }
    break;
  case Question::bottom_from:
    return reading.bottom_from == BottomTimeFrom::surface
               ? "the bottom time counts from leaving the surface"
               : "the bottom time counts from reaching the bottom";
  case Question::switch_minute:
    switch (reading.switch_minute) {
    case SwitchMinute::on_arrival: return "a new gas is breathed from reaching the stop on";
    case SwitchMinute::inside: return "the switch minute is part of the stop";
    case SwitchMinute::before: return "the switch minute comes before the stop's minutes";
    }
    break;
  case Question::depth_of:
    switch (reading.depth_of) {
    case DepthOf::stated: return "depths are as the place says";
    case DepthOf::gauge: return "depths are gauge readings";
    case DepthOf::fresh: return "depths are true depths of fresh water";
    case DepthOf::sea: return "depths are true depths of sea water";
    }
    break;
  case Question::units:
    return reading.units == Units::metric ? "depths are in metres" : "depths are in feet";
  }
  return "";
}

/// @brief The answer of a judged reading, with what was not followed of it.
[[nodiscard]] inline std::string answer_of(const ReadingVerdict& one, Question question) {
  std::string text = answer(one.reading, question);
  if (question == Question::minutes && one.first_in_full)
    text += " (not to the first one, which is too short for it)";
  return text;
}

/// @brief A number of bar: four decimals where fewer would read 0.
[[nodiscard]] inline std::string bar_text(double x) {
  return fixed(x, std::abs(x) < 0.001 ? 6 : 3) + " bar";
}

/// @brief A depth in the units of a reading.
[[nodiscard]] inline std::string depth_text(Depth depth, Units units, int digits = 1) {
  return trimmed(depth_in(depth, units), digits) + " " + length_name(units);
}

/// @brief Row and depth: "row 3 (18 m)".
[[nodiscard]] inline std::string row_text(const Table& table, std::size_t row, Units units) {
  return row_name(row) + " (" + trimmed(table.rows[row].depth, 2) + " " + length_name(units) + ")";
}

/// @brief How a caller answers a question of one reading or another, in Python and on the command
/// line: `minutes="with travel" or "leave at" (--minutes)`.
[[nodiscard]] inline std::string how_to_answer(Question question) {
  switch (question) {
  case Question::minutes:
    return R"(minutes="without travel", "with travel" or "leave at" (--minutes "with travel"))";
  case Question::bottom_from:
    return R"(bottom_from="surface" or "arrival" (--bottom-from arrival))";
  case Question::switch_minute:
    return R"(switch_minute="on arrival", "inside" or "before" (--switch-minute inside))";
  case Question::depth_of:
    return R"(environment=Environment(water="sea"), "fresh", or Environment() for gauge )"
           R"(readings (--water sea))";
  case Question::units: return R"(units="metric" or "imperial" (--units imperial))";
  }
  return "";
}

/// @brief What a caution refuses, in few words: "CNS 248 %".
[[nodiscard]] inline std::string refusal_text(const Caution& caution, Units units) {
  const std::string at =
      std::isnan(caution.depth) ? std::string() : " at " + depth_text(metres(caution.depth), units);
  const std::string mix = caution.gas.spoken();
  switch (caution.code) {
  case CautionCode::po2_above_limit:
    return mix + at + " is " + fixed(caution.value, 2) + " bar" +
           (caution.gas.oxygen == 1.0 ? "" : " of oxygen");
  case CautionCode::low_po2:
    return mix + at + " has " + fixed(caution.value, 3) + " bar of oxygen, too little";
  case CautionCode::cns: return "CNS " + fixed(std::ceil(caution.value * 100.0 - 1e-9), 0) + " %";
  case CautionCode::density: return "gas density " + fixed(caution.value, 2) + " g/L" + at;
  case CautionCode::factor_above_one:
    return "the high factor " + trimmed(caution.value, 4) + " is above 1";
  default: break;
  }
  std::string name(code_name(caution.code));
  std::replace(name.begin(), name.end(), '_', ' ');
  return name + at;
}

/// @brief A mishap in words: "row 6 (9 m) left out".
[[nodiscard]] inline std::string mishap_text(const Consequence& what, const Table& table,
                                             Units units) {
  const std::string row = what.row ? row_text(table, *what.row, units) : std::string();
  switch (what.mishap) {
  case Mishap::row_left_out: return row + " left out";
  case Mishap::minute_short: return row + " a minute short";
  case Mishap::switch_missed: return "switch at " + row + " missed";
  case Mishap::switch_late: return "switch at " + row + " " + trimmed(what.amount, 1) + " min late";
  case Mishap::leaves_late: return "bottom left " + trimmed(what.amount, 1) + " min late";
  case Mishap::deeper: return "bottom " + depth_text(metres(what.amount), units) + " deeper";
  }
  return "";
}

/// @brief An oddity in words, with the correction proposed.
class FindingText {
public:
  FindingText(const Finding& finding, const Table& table, Units units)
      : f_(finding), table_(table), units_(units) {}

  [[nodiscard]] std::string operator()() const {
    const bool at_a_row = f_.row < table_.rows.size();
    const std::string row = at_a_row ? row_text(table_, f_.row, units_) : "the bottom";
    switch (f_.oddity) {
    case Oddity::times_disagree:
      return row + ": the " + (f_.in_run_time ? "run time " : "minutes ") + value() +
             " and its neighbours do not add up" + meant();
    case Oddity::order: return row + " is not shallower than the row before" + meant();
    case Oddity::not_above_bottom: return row + " is not above the bottom" + meant();
    case Oddity::run_time_falls:
      return row + ": the run time " + value() + " is out of order" + meant();
    case Oddity::gas_too_rich:
      return oxygen_at(at_a_row ? trimmed(table_.rows[f_.row].depth, 2) + " " + length_name(units_)
                                : std::string("the bottom or on the way up"));
    case Oddity::switch_off_rows:
      return f_.gas.spoken() + " is taken up on passing " + value() + " " + length_name(units_) +
             ", where the table has no row.";
    case Oddity::gas_too_lean:
      return f_.gas.spoken() + " has " + fixed(f_.value, 3) + " bar of oxygen at " + row +
             ": too little to breathe.";
    case Oddity::depth_off_grid:
      return row + " does not stand in the steps of its neighbours" + meant();
    case Oddity::row_missing:
      return "Between " + row_text(table_, f_.row - 1, units_) + " and " + row +
             " a step is left out: is a row at " + trimmed(f_.proposed.value_or(0.0), 1) + " " +
             length_name(units_) + " missing?";
    case Oddity::minutes_off:
      return row + ": " + (f_.in_run_time ? "the run time " + value() : value() + " min") +
             " does not go with its neighbours" + meant();
    }
    return "";
  }

private:
  /// "oxygen at 9 m is 1.92 bar: not deeper than 6 m."
  [[nodiscard]] std::string oxygen_at(const std::string& where) const {
    const bool pure = f_.gas.oxygen == 1.0;
    return f_.gas.spoken() + " at " + where + " is " + fixed(f_.value, 2) + " bar" +
           (pure ? "" : " of oxygen") + ": not deeper than " +
           trimmed(f_.proposed.value_or(0.0), 1) + " " + length_name(units_) + ".";
  }
  [[nodiscard]] std::string value() const { return trimmed(f_.value, 2); }
  [[nodiscard]] std::string meant() const {
    return f_.proposed ? "; " + trimmed(*f_.proposed, 2) + " meant?" : std::string(".");
  }
  const Finding& f_;
  const Table& table_;
  Units units_;
};

} // namespace upline::detail

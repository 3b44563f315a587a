#pragma once
/// @file
/// @brief Days of the calendar, and how long something done on one of them is good for.

#include <upline/detail/number.hpp>
#include <upline/detail/reading.hpp>
#include <upline/error.hpp>

#include <chrono>
#include <string>
#include <string_view>

namespace upline {

/// @brief A day of the calendar.
using Date = std::chrono::year_month_day;

/// @brief In what an interval is counted.
enum class IntervalUnit {
  days,   ///< Of 24 hours.
  months, ///< Of the calendar.
  years   ///< Of the calendar.
};

/// @brief How long something is good for.
struct Interval {
  int count{};                                                        ///< 1 to 10 000.
  IntervalUnit unit = IntervalUnit::months;                           ///< In what it is counted.
  friend bool operator==(const Interval&, const Interval&) = default; ///< KitField by field.
};

namespace detail {

[[nodiscard]] inline std::string two_digits(unsigned x) {
  return (x < 10 ? "0" : "") + std::to_string(x);
}

/// A day as "2026-11-25".
[[nodiscard]] inline std::string date_text(const Date& day) {
  return std::to_string(static_cast<int>(day.year())) + "-" +
         two_digits(static_cast<unsigned>(day.month())) + "-" +
         two_digits(static_cast<unsigned>(day.day()));
}

inline constexpr const char* date_allowed = "a day such as 2026-11-25, from 1900 to 2200";

inline void require_date(const std::string& field, const Date& day) {
  constexpr std::chrono::year first{1900};
  constexpr std::chrono::year last{2200};
  if (day.ok() && day.year() >= first && day.year() <= last) return;
  throw InvalidInput(field, date_text(day), date_allowed, "give a day of the calendar");
}

/// Reads "2026-11-25".
[[nodiscard]] inline Date date_of(const std::string& field, std::string_view text) {
  constexpr std::string_view form = "0000-00-00";
  bool fits = text.size() == form.size();
  for (std::size_t j = 0; fits && j < form.size(); ++j)
    fits = form[j] == '-' ? text[j] == '-' : text[j] >= '0' && text[j] <= '9';
  if (!fits)
    throw InvalidInput(field, detail::quoted(text), date_allowed, "write year, month and day");
  const auto digits = [&](std::size_t from, std::size_t count) {
    unsigned value = 0;
    for (const char c : text.substr(from, count))
      value = value * 10 + static_cast<unsigned>(c - '0');
    return value;
  };
  const Date day{std::chrono::year(static_cast<int>(digits(0, 4))),
                 std::chrono::month(digits(5, 2)), std::chrono::day(digits(8, 2))};
  require_date(field, day);
  return day;
}

inline constexpr int longest_interval = 10'000;
inline constexpr const char* interval_allowed = "1 to 10000 days, months or years";

inline void require_interval(const std::string& field, const Interval& every) {
  if (every.count >= 1 && every.count <= longest_interval) return;
  throw InvalidInput(field, std::to_string(every.count), interval_allowed,
                     "write \"24 months\", \"7 days\" or \"5 years\"");
}

[[nodiscard]] inline std::string interval_text(const Interval& every) {
  const char* unit = every.unit == IntervalUnit::days     ? "day"
                     : every.unit == IntervalUnit::months ? "month"
                                                          : "year";
  return std::to_string(every.count) + " " + unit + (every.count == 1 ? "" : "s");
}

/// Reads "24 months", "7 days", "1 year".
[[nodiscard]] inline Interval interval_of(const std::string& field, std::string_view text) {
  const std::string squeezed = squeezed_lower(text.substr(0, longest_text));
  const auto end = squeezed.find_first_not_of("0123456789");
  const std::string_view unit =
      end == std::string::npos ? std::string_view() : std::string_view(squeezed).substr(end);
  constexpr std::size_t most_digits = 6;
  Interval every;
  const bool named = unit == "day" || unit == "days" || unit == "month" || unit == "months" ||
                     unit == "year" || unit == "years";
  if (!named || end == 0 || end > most_digits || splits_a_number(text))
    throw InvalidInput(field, detail::quoted(text), interval_allowed,
                       "write \"24 months\", \"7 days\" or \"5 years\"");
  for (const char c : squeezed.substr(0, end)) every.count = every.count * 10 + (c - '0');
  every.unit = unit.front() == 'd'   ? IntervalUnit::days
               : unit.front() == 'm' ? IntervalUnit::months
                                     : IntervalUnit::years;
  require_interval(field, every);
  return every;
}

/// The last day on which something done on `day` is good; the month's last where it has no such.
[[nodiscard]] inline Date due(const Date& day, const Interval& every) {
  if (every.unit == IntervalUnit::days)
    return std::chrono::sys_days(day) + std::chrono::days(every.count);
  const Date later = every.unit == IntervalUnit::months ? day + std::chrono::months(every.count)
                                                        : day + std::chrono::years(every.count);
  return later.ok() ? later : Date(later.year() / later.month() / std::chrono::last);
}

} // namespace detail
} // namespace upline

#pragma once
/// @file
/// @brief A plan as it can be followed from a slate: whole minutes, none of them lost by rounding.
/// @par Source
/// docs/theory.md, section "Slates".

#include <upline/caution.hpp>
#include <upline/error.hpp>
#include <upline/plan.hpp>
#include <upline/schedule.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace upline {

/// @brief One line of a slate; times are whole minutes.
struct SlateRow {
  Depth depth{};                  ///< Of a level, of a stop, or of a switch on the way down.
  std::optional<long> leave_at{}; ///< Run time [min]; nothing: the way down goes on.
  std::optional<long> stay{};     ///< Since the line before was left, travel included [min].
  Gas gas{};                      ///< On which it is left.
  bool switching = false;         ///< Whether that gas is taken up here.
};

/// @brief A schedule as it is cut.
struct SlateSchedule {
  Plan plan;                    ///< In whole minutes.
  bool recomputed = false;      ///< Whether it is another than the one that was given.
  long valid_to = 0;            ///< Whole metres or feet, as the plan; never rounded up.
  long leave_by = 0;            ///< Of the bottom: whole minutes, never rounded up.
  std::vector<SlateRow> rows{}; ///< From the way down to the last stop.
  std::size_t bottom = 0;       ///< Which of them is the bottom.
  long surface = 0;             ///< Run time at the surface [min], never rounded down.
};

namespace detail {

/// Times this close to a whole minute are on it [min].
inline constexpr double whole_minute = 1e-6;

[[nodiscard]] inline bool is_whole(Minutes time) {
  return std::abs(in_minutes(time) - std::round(in_minutes(time))) <= whole_minute;
}
[[nodiscard]] inline long up_to_minute(Minutes time) {
  return std::lround(std::ceil(in_minutes(time) - whole_minute));
}
[[nodiscard]] inline long down_to_minute(Minutes time) {
  return std::lround(std::floor(in_minutes(time) + whole_minute));
}

/// Of a text that goes on with what to do about it.
[[nodiscard]] inline std::string first_sentence(const std::string& text) {
  for (std::size_t j = 0; j + 2 < text.size(); ++j)
    if (text[j] == '.' && text[j + 1] == ' ' && text[j + 2] >= 'A' && text[j + 2] <= 'Z')
      return text.substr(0, j + 1);
  return text;
}

/// What refuses a plan: code and first sentence; empty where nothing does.
[[nodiscard]] inline std::string refusal_of(const Plan& plan) {
  const Caution* refusal = plan.refusal();
  if (refusal == nullptr) return {};
  return "refused (" + std::string(code_name(refusal->code)) +
         "): " + first_sentence(caution_text(*refusal, plan.rules.units));
}

/// @throws InvalidInput naming the caution.
inline void require_not_refused(const Plan& plan) {
  std::string refusal = refusal_of(plan);
  if (refusal.empty()) return;
  if (refusal.back() == '.') refusal.pop_back();
  throw InvalidInput("plan", refusal, "plans that no caution refuses: no slate is made of others",
                     "change the dive until nothing refuses it");
}

/// Whether a gas is taken up on the ascent without a pause that has a line of its own.
[[nodiscard]] inline bool switches_in_passing(const GasSwitch& change) {
  return !change.going_down && change.spent == Minutes();
}

[[nodiscard]] inline bool in_whole_minutes(const Plan& plan) {
  return std::all_of(plan.stops.begin(), plan.stops.end(),
                     [](const Stop& stop) { return is_whole(stop.departs); }) &&
         std::none_of(plan.switches.begin(), plan.switches.end(), &switches_in_passing);
}

/// The plan itself where its leave times are whole; else the dive computed again.
///
/// To round leave times up one by one would shorten the stop that follows: each rung is left on a
/// whole minute as the line allows then, and not before its stop is as long as planned.
[[nodiscard]] inline Plan whole_minutes(const Plan& plan) {
  if (in_whole_minutes(plan)) return plan;
  constexpr double at_all = 1e-6; // [min]; a pause that is rounded up to a whole minute
  std::vector<Hold> holds;
  const auto hold = [&](Depth depth, double least) {
    const auto same = std::find_if(holds.begin(), holds.end(),
                                   [&](const Hold& one) { return one.depth == in_metres(depth); });
    if (same == holds.end())
      holds.push_back({.depth = in_metres(depth), .minutes = least});
    else
      same->minutes = std::max(same->minutes, least);
  };
  for (const Stop& stop : plan.stops) hold(stop.depth, in_minutes(stop.minutes_at_depth()));
  for (const GasSwitch& change : plan.switches)
    if (switches_in_passing(change)) hold(change.depth, at_all);
  Rules rules = plan.rules;
  rules.rounding = Rounding::departure;
  rules.resolution = minutes(1.0);
  return planned(plan.dive, std::move(rules), std::move(holds));
}

/// The lines of a slate in the making.
class SlateRows {
public:
  explicit SlateRows(const Plan& plan) : plan_(plan) {}

  /// Puts the lines into a schedule.
  void write(SlateSchedule& out) {
    add_levels();
    add_way_down();
    add_stops();
    std::stable_sort(lines_.begin(), lines_.end(),
                     [](const Line& x, const Line& y) { return x.at < y.at; });
    long left = 0;
    for (Line& line : lines_) {
      if (line.row.leave_at) {
        line.row.stay = *line.row.leave_at - std::exchange(left, *line.row.leave_at);
        if (*line.row.stay < 0)
          throw InvalidInput("levels", "two that are left within one minute",
                             "a whole minute between them", "leave the second one later");
      }
      if (line.bottom) out.bottom = out.rows.size();
      out.rows.push_back(line.row);
    }
  }

private:
  struct Line {
    double at = 0.0;
    SlateRow row{};
    bool bottom = false;
  };

  /// From the travel gas, and back to the bottom gas between levels.
  void add_way_down() {
    for (const GasSwitch& change : plan_.switches)
      if (change.going_down)
        lines_.push_back(
            {in_minutes(change.at), {.depth = change.depth, .gas = change.to, .switching = true}});
  }

  void add_stops() {
    for (const Stop& stop : plan_.stops)
      lines_.push_back({in_minutes(stop.departs),
                        {.depth = stop.depth,
                         .leave_at = up_to_minute(stop.departs),
                         .gas = stop.gas,
                         .switching = !(stop.gas == stop.arrives_on)}});
  }

  /// A level is left early rather than late, but for a deeper one.
  void add_levels() {
    const auto& levels = plan_.dive.levels;
    for (std::size_t j = 0; j < levels.size(); ++j) {
      const bool deeper = j + 1 < levels.size() && levels[j + 1].depth > levels[j].depth;
      const Minutes left = levels[j].leave_at;
      lines_.push_back({in_minutes(left),
                        {.depth = levels[j].depth,
                         .leave_at = deeper ? up_to_minute(left) : down_to_minute(left),
                         .gas = gas_until(left)},
                        j + 1 == levels.size()});
    }
  }

  [[nodiscard]] Gas gas_until(Minutes run_time) const {
    Gas gas = plan_.dive.gases.front().gas;
    for (const Row& row : plan_.rows)
      if (in_minutes(row.begins) < in_minutes(run_time) - 1e-9) gas = row.gas;
    return gas;
  }

  const Plan& plan_;
  std::vector<Line> lines_;
};

[[nodiscard]] inline long whole_down(Depth depth, Units units) {
  return std::lround(std::floor(depth_in(depth, units) + 1e-6));
}

inline void require_whole(long found, const char* field, const char* what, const char* remedy) {
  if (found >= 1) return;
  throw InvalidInput(field, std::string("less than one whole ") + what,
                     std::string("at least one whole ") + what, remedy);
}

/// @throws InvalidInput for a dive of less than a metre or a minute, NoAscent as plan() does.
[[nodiscard]] inline SlateSchedule slate_schedule(const Plan& plan) {
  if (!in_whole_minutes(plan)) detail::require_own_schedule(plan);
  SlateSchedule found{.plan = whole_minutes(plan), .recomputed = !in_whole_minutes(plan)};
  const Units units = plan.rules.units;
  for (const Level& level : plan.dive.levels)
    found.valid_to = std::max(found.valid_to, whole_down(level.depth, units));
  found.leave_by = down_to_minute(plan.bottom_time);
  require_whole(found.valid_to, "depth", units == Units::metric ? "metre" : "foot",
                "a slate has whole depths; plan for a deeper bottom");
  require_whole(found.leave_by, "bottom_time", "minute",
                "a slate has whole minutes; plan for a longer bottom time");
  SlateRows(found.plan).write(found);
  found.surface = up_to_minute(found.plan.run_time);
  return found;
}

} // namespace detail
} // namespace upline

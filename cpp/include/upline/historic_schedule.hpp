#pragma once
/// @file
/// @brief Stops in whole minutes under a historic limit, to be held beside the rows of its table.
///
/// The ascent is climbed by the same solver as a plan's, at the limit itself (no gradient factors).
/// For comparison alone: what comes out is not checked as a plan is and nothing may be dived by it.
/// @par Source
/// docs/theory.md, section "Ascent"; conventions of each table beside its rows in validation/data.

#include <upline/detail/require.hpp>
#include <upline/dive.hpp>
#include <upline/historic.hpp>
#include <upline/planning/diver.hpp>
#include <upline/solver/screen.hpp>
#include <upline/tissue.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <vector>

namespace upline {

/// @brief How a table is cut, in the unit of depth of its model.
struct HistoricRules {
  double rung;              ///< Distance of the stops, and depth of the last one.
  double to_first_stop;     ///< Rate of the ascent until the first stop [unit/min].
  double between_stops;     ///< Rate from there to the surface [unit/min].
  double descent = 0.0;     ///< [unit/min], inside the bottom time; 0: all of it is at depth.
  double added_share = 0.0; ///< Depth counted in addition, as a share of the depth [1] ...
  double added_depth = 0.0; ///< ... and as so many units more.
};

/// @brief A stop of a historic schedule.
struct HistoricStop {
  double depth = 0.0;      ///< In the unit of the model.
  double minutes = 0.0;    ///< At the stop, without the travel to it; whole.
  std::size_t held_by = 0; ///< The compartment that asked for it, from 0.
};

/// @brief The stops of one dive, deepest first.
struct HistoricSchedule {
  std::vector<HistoricStop> stops{}; ///< Empty: none is needed.

  /// @brief Sum of the stops [min].
  [[nodiscard]] double total() const {
    double sum = 0.0;
    for (const HistoricStop& stop : stops) sum += stop.minutes;
    return sum;
  }
};

namespace detail {

static_assert(std::all_of(historic_models.begin(), historic_models.end(),
                          [](const HistoricModel& model) {
                            return helium_is_tolerated_more(model.set);
                          }));

/// @brief One dive under a historic model; the depths inside are gauge metres of 0.1 bar.
class HistoricDive {
public:
  HistoricDive(const HistoricModel& model, const HistoricRules& rules, double depth)
      : model_(model), rules_(rules),
        depth_(metres_of(depth * (1.0 + rules.added_share) + rules.added_depth)) {
    require_range("nitrogen_share", model.nitrogen_share, 0.5, 0.96, "",
                  "give the nitrogen that the table counts in air");
    dive_.levels = {{metres(depth_), minutes(0.0)}};
    dive_.gases = {GasChoice(air())};
    dive_.environment.surface_pressure = bar(model.surface);
    dive_.environment.vapour = bar(model.vapour);
    require_length("depth", metres(depth_), metres(0.01), metres(350.0),
                   "give a depth in that range, with what is added to it");
  }

  /// Minutes from the surface to the depth; 0 where the bottom time is all spent there.
  [[nodiscard]] double travel() const {
    return rules_.descent > 0.0 ? depth_ / metres_of(rules_.descent) : 0.0;
  }

  [[nodiscard]] HistoricSchedule schedule(double bottom_time) const {
    const Tissues tissues = at_bottom(bottom_time);
    HistoricSchedule result = climb(tissues, bottom_time, 0.0);
    if (result.stops.empty() || rules_.to_first_stop == rules_.between_stops) return result;
    // From the first stop on at the other rate.
    return climb(tissues, bottom_time, result.stops.front().depth);
  }

private:
  [[nodiscard]] Gas air() const {
    Gas result;
    result.oxygen = 1.0 - model_.nitrogen_share;
    return result;
  }
  [[nodiscard]] double metres_of(double depth) const {
    return depth * model_.per_unit / bar_per_msw;
  }
  [[nodiscard]] double units_of(double depth) const {
    return depth * bar_per_msw / model_.per_unit;
  }
  [[nodiscard]] TravelRate rate_of(double units_per_minute) const {
    return metres_per_minute(metres_of(units_per_minute));
  }

  [[nodiscard]] Tissues at_bottom(double bottom_time) const {
    const Place place = dive_.environment.place();
    Tissues tissues;
    tissues.nitrogen.fill((place.surface - place.vapour) * model_.nitrogen_share);
    const double down_for = travel();
    if (down_for > bottom_time)
      throw InvalidInput("bottom_time", trimmed(bottom_time, 6) + " min",
                         "at least " + trimmed(down_for, 6) + " min, when the depth is reached",
                         "give a longer time or a faster descent");
    if (down_for > 0.0) {
      const Segment down{down_for, place.surface, depth_ * place.per_metre / down_for};
      advance(tissues, model_.set, down, OpenCircuit{air()}, place.vapour);
    }
    const Segment stay{bottom_time - down_for, place.pressure(depth_), 0.0};
    advance(tissues, model_.set, stay, OpenCircuit{air()}, place.vapour);
    return tissues;
  }

  /// @param slower_from Depth of the stop from which on the second rate holds; 0: nowhere.
  [[nodiscard]] HistoricSchedule climb(const Tissues& tissues, double bottom_time,
                                       double slower_from) const {
    Rules rules{.factors = {1.0, 1.0}};
    rules.rounding = Rounding::duration;
    rules.ladder.spacing = rules.ladder.last_stop = metres(metres_of(rules_.rung));
    rules.ascent_rates = {{metres(0.0), rate_of(rules_.to_first_stop)}};
    if (slower_from > 0.0)
      rules.ascent_rates = {{metres(metres_of(slower_from)), rate_of(rules_.to_first_stop)},
                            {metres(0.0), rate_of(rules_.between_stops)}};
    require_ladder(rules.ladder);
    Diver diver(dive_, rules, model_.set);
    diver.surface_from({bottom_time, depth_, air(), tissues, {}});
    HistoricSchedule result;
    for (const Stop& stop : diver.stops())
      result.stops.push_back({units_of(in_metres(stop.depth)),
                              std::round(in_minutes(stop.minutes_at_depth())),
                              stop.held_by.value_or(0)});
    return result;
  }

  const HistoricModel& model_;
  HistoricRules rules_;
  double depth_; // [m]
  Dive dive_;
};

inline constexpr double longest_historic = 1e4; // [min]

} // namespace detail

/// @brief The stops of a dive on air under a historic limit.
/// @param model       Limit and conventions; air alone is breathed.
/// @param rules       How the table is cut.
/// @param depth       Of the bottom [unit of the model].
/// @param bottom_time From leaving the surface to leaving the bottom [min], up to 10 000.
/// @throws InvalidInput for a value out of range, NoAscent if a stop cannot be left.
[[nodiscard]] inline HistoricSchedule historic_schedule(const HistoricModel& model,
                                                        const HistoricRules& rules, double depth,
                                                        double bottom_time) {
  detail::require_range("bottom_time", bottom_time, 0.0, detail::longest_historic, "min",
                        "give the minutes from leaving the surface to leaving the bottom");
  return detail::HistoricDive(model, rules, depth).schedule(bottom_time);
}

/// @brief The longest bottom time in whole minutes from which no stop is needed.
/// @param model Limit and conventions.
/// @param rules How the table is cut.
/// @param depth Of the bottom [unit of the model].
/// @return Minutes; infinite if 10 000 need no stop; 0 if even the shortest stay needs one.
/// @throws InvalidInput for a value out of range.
[[nodiscard]] inline double historic_no_stop_limit(const HistoricModel& model,
                                                   const HistoricRules& rules, double depth) {
  const detail::HistoricDive dive(model, rules, depth);
  const auto free = [&](double minutes) { return dive.schedule(minutes).stops.empty(); };
  if (free(detail::longest_historic)) return HUGE_VAL;
  double last_free = std::ceil(dive.travel());
  if (!free(last_free)) return 0.0;
  double first_held = detail::longest_historic;
  while (first_held - last_free > 1.0) {
    const double middle = std::floor((last_free + first_held) / 2.0);
    (free(middle) ? last_free : first_held) = middle;
  }
  return last_free;
}

} // namespace upline

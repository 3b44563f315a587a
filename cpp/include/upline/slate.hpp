#pragma once
/// @file
/// @brief What is cut into a slate: a plan in whole minutes, what may come otherwise, and the
/// depths of the gases.
/// @par Source
/// docs/theory.md, section "Slates". A reading that may differ by a point from the mix: common
/// practice, no source.

#include <upline/contingency.hpp>
#include <upline/detail/number.hpp>
#include <upline/detail/require.hpp>
#include <upline/error.hpp>
#include <upline/plan.hpp>
#include <upline/schedule.hpp>
#include <upline/slate_schedule.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace upline {

/// @brief Whether somebody at the surface watches over the dive.
enum class SurfaceSupport {
  unknown, ///< Not said.
  yes,     ///< Somebody does.
  no       ///< Nobody does.
};

/// @brief What an analyser showed for one of the mixes.
struct GasReading {
  Gas gas{};                      ///< The mix of the plan.
  double oxygen = 0.0;            ///< As read [1].
  std::optional<double> helium{}; ///< As read [1]; nothing: not analysed.
};

/// @brief What people say beside the plan. Empty texts are left blank, to be filled in by hand.
struct SlateStatement {
  std::string dive{};                                       ///< Its name.
  std::string date{};                                       ///< Of the dive.
  std::string team{};                                       ///< A diver or a team.
  SurfaceSupport surface_support = SurfaceSupport::unknown; ///< As said.
  std::vector<GasReading> readings{};                       ///< Of some of the mixes.
  std::optional<Pressure> turn_pressure{};                  ///< Of the bottom gas, on the gauge.
  std::optional<Pressure> reserve{};                        ///< As well.
  std::string input_code{};                                 ///< Names the input of the plan.
};

/// @brief A contingency as it is cut.
struct SlateContingency {
  Deviation what{};                        ///< What comes otherwise.
  std::optional<SlateSchedule> schedule{}; ///< Nothing where none may be cut,
  std::string reason{};                    ///< and why.
  std::vector<Caution> cautions{};         ///< Those that say more than the plan's.
};

/// @brief A mix and how deep it may be breathed.
struct SlateGas {
  Gas gas{};                           ///< As planned.
  std::optional<GasReading> reading{}; ///< As analysed.
  long deepest = 0;    ///< Whole metres or feet, by the plan's limit; where the plan breathes it
                       ///< deeper, inside the tolerance, that depth. The richer of mix and
                       ///< reading counts.
  double po2 = 0.0;    ///< There [bar].
  long shallowest = 0; ///< Whole metres or feet, by the plan's least oxygen pressure.
};

/// @brief All that stands on a slate.
struct Slate {
  SlateStatement said{};                         ///< What people said.
  SlateSchedule schedule;                        ///< The front.
  std::vector<SlateContingency> contingencies{}; ///< In the order asked for.
  std::vector<SlateGas> gases{};                 ///< The travel gas first, if any.
};

namespace detail {

/// How far a reading may be from the mix it is of [1].
inline constexpr double reading_allowed = 0.01;

inline void require_reading(const GasReading& reading, const Dive& dive) {
  const std::string field = "analysis of " + reading.gas.text();
  const auto& gases = dive.gases;
  const bool carried = std::any_of(gases.begin(), gases.end(), [&](const GasChoice& choice) {
    return choice.gas == reading.gas;
  });
  if (!carried && !(dive.travel && dive.travel->gas == reading.gas))
    throw InvalidInput("analysis", "of " + reading.gas.text() + ", which the dive does not have",
                       "gases of the plan", "name one of them");
  const auto require_near = [&](const char* what, double read, double planned) {
    if (std::abs(read - planned) <= reading_allowed + 1e-9) return;
    throw InvalidInput(field, trimmed(read * 100.0, 2) + " % " + what,
                       trimmed((planned - reading_allowed) * 100.0, 2) + " to " +
                           trimmed((planned + reading_allowed) * 100.0, 2) + " %",
                       "plan the dive with the mix as it was analysed; readings are in per cent");
  };
  require_near("oxygen", reading.oxygen, reading.gas.oxygen);
  if (reading.helium) require_near("helium", *reading.helium, reading.gas.helium);
}

inline void require_statement(const SlateStatement& said, const Plan& plan) {
  constexpr std::size_t longest = 200;
  for (const auto& [field, text] :
       {std::pair("dive", &said.dive), std::pair("date", &said.date), std::pair("team", &said.team),
        std::pair("input_code", &said.input_code)})
    if (text->size() > longest)
      throw InvalidInput(field, std::to_string(text->size()) + " characters",
                         "up to " + std::to_string(longest), "say it shorter");
  for (const auto& [field, pressure] :
       {std::pair("turn_pressure", said.turn_pressure), std::pair("reserve", said.reserve)})
    if (pressure && !(in_bar(*pressure) >= 1.0 && in_bar(*pressure) <= 500.0))
      throw InvalidInput(field, in_both(in_bar(*pressure), "bar", in_psi(*pressure), "psi"),
                         "1 bar (14.5 psi) to 500 bar (7251.9 psi)",
                         "give what the gauge shows then");
  if (said.turn_pressure && said.reserve && *said.turn_pressure < *said.reserve)
    throw InvalidInput(
        "turn_pressure",
        in_both(in_bar(*said.turn_pressure), "bar", in_psi(*said.turn_pressure), "psi"),
        "at least the reserve", "turn before the reserve is reached");
  for (const GasReading& reading : said.readings) require_reading(reading, plan.dive);
  for (const GasReading& one : said.readings)
    if (std::count_if(said.readings.begin(), said.readings.end(),
                      [&](const GasReading& other) { return other.gas == one.gas; }) > 1)
      throw InvalidInput("analysis", one.gas.text() + " twice", "each mix once",
                         "keep the one that counts");
}

[[nodiscard]] inline const GasReading* reading_of(const SlateStatement& said, const Gas& gas) {
  for (const GasReading& reading : said.readings)
    if (reading.gas == gas) return &reading;
  return nullptr;
}

/// Where a mix as analysed leaves the oxygen limits that the mix as planned keeps; empty: nowhere.
[[nodiscard]] inline std::string reading_breach(const SlateStatement& said, const Plan& plan) {
  const Rules& rules = plan.rules;
  const auto say = [&](const GasReading& reading, double depth, double po2) {
    return trimmed(reading.oxygen * 100.0, 2) + " % oxygen in " + reading.gas.spoken() + ": " +
           fixed(po2, 2) + " bar at " + trimmed(depth_in(metres(depth), rules.units), 1) + " " +
           length_name(rules.units);
  };
  constexpr double rounding = 1e-9;
  for (const Row& row : plan.rows) {
    const GasReading* reading = reading_of(said, row.gas);
    if (reading == nullptr) continue;
    const bool below = row.gas == plan.dive.gases.front().gas || row.phase == Phase::go_down;
    const double most =
        in_bar(below ? rules.max_po2 : rules.max_deco_po2) + in_bar(rules.po2_tolerance) + rounding;
    const double deep = in_metres(std::max(row.from, row.to));
    const double shallow = in_metres(std::min(row.from, row.to));
    const double high = plan.end.place.pressure(deep);
    const double low = plan.end.place.pressure(shallow);
    if (reading->oxygen * high > std::max(most, row.gas.oxygen * high + rounding))
      return say(*reading, deep, reading->oxygen * high);
    if (reading->oxygen * low < in_bar(rules.min_po2) - rounding)
      return say(*reading, shallow, reading->oxygen * low);
  }
  return {};
}

/// @brief Whole metres or feet to which a mix may be breathed.
///
/// The tolerance of a limit is there for depths that the plan needs, such as oxygen at 6 m; it is
/// not handed on to any other.
[[nodiscard]] inline long deepest_of(const Plan& plan, const Gas& gas, double richest,
                                     Pressure limit) {
  constexpr double rounding = 1e-9;
  const double unit = length_unit(plan.rules.units);
  const auto whole = [&](double depth) {
    return std::lround(std::max(0.0, std::floor(depth / unit + rounding)));
  };
  const Place& place = plan.end.place;
  const double most = in_bar(limit) + in_bar(plan.rules.po2_tolerance) + rounding;
  long deepest = whole(place.depth(in_bar(limit) / richest));
  for (const Row& row : plan.rows) {
    const double depth = in_metres(std::max(row.from, row.to));
    if (row.gas == gas && richest * place.pressure(depth) <= most)
      deepest = std::max(deepest, whole(depth));
  }
  return deepest;
}

[[nodiscard]] inline SlateGas slate_gas(const SlateStatement& said, const Plan& plan,
                                        const Gas& gas, Pressure limit) {
  const Place& place = plan.end.place;
  const GasReading* reading = reading_of(said, gas);
  SlateGas found{.gas = gas};
  if (reading != nullptr) found.reading = *reading;
  const double richest = std::max(gas.oxygen, reading != nullptr ? reading->oxygen : 0.0);
  const double leanest = std::min(gas.oxygen, reading != nullptr ? reading->oxygen : 1.0);
  const double unit = length_unit(plan.rules.units);
  const double least = in_bar(plan.rules.min_po2);
  constexpr double rounding = 1e-9;
  found.deepest = deepest_of(plan, gas, richest, limit);
  found.po2 = richest * place.pressure(static_cast<double>(found.deepest) * unit);
  found.shallowest =
      std::lround(std::max(0.0, std::ceil(place.depth(least / leanest) / unit - rounding)));
  return found;
}

[[nodiscard]] inline std::vector<SlateGas> slate_gases(const SlateStatement& said,
                                                       const Plan& plan) {
  const auto& gases = plan.dive.gases;
  std::vector<SlateGas> found;
  const bool again =
      plan.dive.travel && std::any_of(gases.begin(), gases.end(), [&](const GasChoice& choice) {
        return choice.gas == plan.dive.travel->gas;
      });
  if (plan.dive.travel && !again)
    found.push_back(slate_gas(said, plan, plan.dive.travel->gas, plan.rules.max_po2));
  for (const GasChoice& choice : gases) {
    const bool bottom = choice.gas == gases.front().gas;
    found.push_back(
        slate_gas(said, plan, choice.gas, bottom ? plan.rules.max_po2 : plan.rules.max_deco_po2));
  }
  return found;
}

[[nodiscard]] inline SlateContingency cut(const Contingency& one, const SlateStatement& said,
                                          const Plan& planned) {
  SlateContingency found{.what = one.what, .reason = one.reason};
  if (!one.plan) return found;
  found.reason = refusal_of(*one.plan);
  if (!found.reason.empty()) return found;
  try {
    SlateSchedule schedule = slate_schedule(*one.plan);
    found.reason = refusal_of(schedule.plan);
    if (found.reason.empty()) found.reason = reading_breach(said, schedule.plan);
    if (!found.reason.empty()) return found;
    found.cautions = added_cautions(planned, schedule.plan);
    found.schedule = std::move(schedule);
  } catch (const Error& error) {
    found.reason = error.what();
  }
  return found;
}

} // namespace detail

/// @brief What is cut into a slate.
///
/// Times are whole minutes. Where those of the plan are not, the dive is computed again with leave
/// times on whole minutes and no stop shorter than planned, and so is each contingency.
/// @param plan       What was planned; not refused.
/// @param deviations What may come otherwise, up to 50.
/// @param said       What people say beside it.
/// @throws InvalidInput for a plan that is refused, a reading that is too far from its mix or
///         leaves its oxygen limits, and what is out of range.
/// @throws NoAscent     if the dive cannot be left on whole minutes.
[[nodiscard]] inline Slate slate(const Plan& plan, const std::vector<Deviation>& deviations = {},
                                 SlateStatement said = {}) {
  detail::require_not_refused(plan);
  detail::require_statement(said, plan);
  Slate found{.schedule = detail::slate_schedule(plan)};
  detail::require_not_refused(found.schedule.plan);
  const std::string breach = detail::reading_breach(said, found.schedule.plan);
  if (!breach.empty())
    throw InvalidInput("analysis", breach, "oxygen within the limits of the plan",
                       "plan the dive with the mix as it was analysed");
  found.gases = detail::slate_gases(said, plan);
  if (!deviations.empty())
    for (const Contingency& one : contingencies(plan, deviations))
      found.contingencies.push_back(detail::cut(one, said, found.schedule.plan));
  found.said = std::move(said);
  return found;
}

} // namespace upline

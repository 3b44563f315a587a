#pragma once
/// @file
/// @brief Limits behind printed tables of the past, for comparison alone.
///
/// None of them can be the model of a plan: they are not among compartment_sets, and
/// compartment_set() does not find them. What computes with them is historic_schedule().
/// @par Source
/// validation/data, where each coefficient stands with its source and how sure it is: most of these
/// numbers are from memory, to be confirmed.

#include <upline/compartments.hpp>
#include <upline/environment.hpp>
#include <upline/linear_limit.hpp>

#include <algorithm>
#include <array>
#include <cstddef>
#include <numbers>
#include <string>
#include <string_view>

namespace upline {

/// @brief A published limit with the conventions that belong to it.
struct HistoricModel {
  CompartmentSet set{}; ///< For nitrogen; its lanes of helium repeat nitrogen's and mean nothing.
  double nitrogen_share = 0.0; ///< Of air [1].
  double surface = 0.0;        ///< Ambient pressure at the surface [bar].
  double vapour = 0.0;         ///< Taken off the inspired pressure [bar].
  std::string_view unit{};     ///< Of depth, "m" or "fsw".
  double per_unit = 0.0;       ///< Pressure of one such unit of depth [bar].
};

namespace detail {

/// 33 fsw to the atmosphere, the convention of the tables in feet of sea water.
inline constexpr double surface_fsw = 33.0;
inline constexpr double bar_per_table_fsw = standard_surface_pressure / surface_fsw;
inline constexpr double bar_per_msw = 0.1;

struct HalfTimeAndLimit {
  double half_time;
  PressureLimit limit; // [bar]
};

template <std::size_t N>
constexpr CompartmentSet padded_set(std::string_view name, std::string_view source,
                                    const std::array<HalfTimeAndLimit, N>& rows) {
  static_assert(N >= 1 && N <= compartment_count);
  CompartmentSet set{name, source, {}, {}, N};
  for (std::size_t i = 0; i < compartment_count; ++i) {
    const HalfTimeAndLimit& row = rows[i < N ? i : N - 1];
    set.nitrogen.half_time[i] = row.half_time;
    set.nitrogen.rate[i] = std::numbers::ln2 / row.half_time;
    set.nitrogen.a[i] = row.limit.a;
    set.nitrogen.b[i] = row.limit.b;
  }
  set.helium = set.nitrogen;
  return set;
}

struct HalfTimeAndNumber {
  double half_time; // [min]
  double number;    // a ratio, or a tension in the table's unit
};

/// Ratios of nitrogen tension to ambient pressure: each number times `share`.
template <std::size_t N>
constexpr auto by_ratio(const std::array<HalfTimeAndNumber, N>& rows, double share) {
  std::array<HalfTimeAndLimit, N> limits{};
  for (std::size_t i = 0; i < N; ++i)
    limits[i] = {rows[i].half_time, ratio_limit(rows[i].number * share)};
  return limits;
}

/// Surface values in fsw that grow by themselves over `divisor` with each fsw.
template <std::size_t N>
constexpr auto by_surfacing(const std::array<HalfTimeAndNumber, N>& rows, double divisor) {
  std::array<HalfTimeAndLimit, N> limits{};
  for (std::size_t i = 0; i < N; ++i) {
    PressureLimit limit = pressure_limit({rows[i].number, rows[i].number / divisor}, surface_fsw);
    limit.a *= bar_per_table_fsw;
    limits[i] = {rows[i].half_time, limit};
  }
  return limits;
}

struct HalfTimeAndSurfacing {
  double half_time;     // [min]
  SurfacingLimit limit; // in the table's unit
};

/// Surface values with their slopes.
/// @param surface Ambient pressure at the surface in the table's unit.
/// @param per_unit Bar to that unit.
template <std::size_t N>
constexpr auto by_slope(const std::array<HalfTimeAndSurfacing, N>& rows, double surface,
                        double per_unit) {
  std::array<HalfTimeAndLimit, N> limits{};
  for (std::size_t i = 0; i < N; ++i) {
    PressureLimit limit = pressure_limit(rows[i].limit, surface);
    limit.a *= per_unit;
    limits[i] = {rows[i].half_time, limit};
  }
  return limits;
}

// validation/data/french_navy1990_limits.csv
inline constexpr std::array<HalfTimeAndNumber, 12> french_navy_rows{{{5, 2.72},
                                                                     {7, 2.54},
                                                                     {10, 2.38},
                                                                     {15, 2.20},
                                                                     {20, 2.04},
                                                                     {30, 1.82},
                                                                     {40, 1.68},
                                                                     {50, 1.61},
                                                                     {60, 1.58},
                                                                     {80, 1.56},
                                                                     {100, 1.55},
                                                                     {120, 1.54}}};
// validation/data/haldane1908_limits.csv: ratios of total pressure
inline constexpr std::array<HalfTimeAndNumber, 5> haldane_rows{
    {{5, 2}, {10, 2}, {20, 2}, {40, 2}, {75, 2}}};
// validation/data/standard_air_limits.csv
inline constexpr std::array<HalfTimeAndNumber, 6> standard_air_rows{
    {{5, 104}, {10, 88}, {20, 72}, {40, 58}, {80, 52}, {120, 51}}};
// validation/data/workman1965_limits.csv
inline constexpr std::array<HalfTimeAndSurfacing, 9> workman_rows{{{5, {104, 1.8}},
                                                                   {10, {88, 1.6}},
                                                                   {20, {72, 1.5}},
                                                                   {40, {56, 1.4}},
                                                                   {80, {54, 1.3}},
                                                                   {120, {52, 1.2}},
                                                                   {160, {51, 1.15}},
                                                                   {200, {51, 1.1}},
                                                                   {240, {50, 1.1}}}};
// validation/data/zhl12_limits.csv: the slope as 1 / b, of which the printed one is a rounding
inline constexpr std::array<HalfTimeAndSurfacing, 16> zhl12_rows{{{2.65, {34.2, 1 / 0.82}},
                                                                  {7.94, {27.2, 1 / 0.82}},
                                                                  {12.2, {22.9, 1 / 0.825}},
                                                                  {18.5, {21.0, 1 / 0.835}},
                                                                  {26.5, {19.3, 1 / 0.845}},
                                                                  {37, {17.4, 1 / 0.86}},
                                                                  {53, {16.2, 1 / 0.87}},
                                                                  {79, {15.8, 1 / 0.89}},
                                                                  {114, {15.8, 1 / 0.89}},
                                                                  {146, {15.3, 1 / 0.934}},
                                                                  {185, {15.3, 1 / 0.934}},
                                                                  {238, {14.4, 1 / 0.944}},
                                                                  {304, {12.9, 1 / 0.962}},
                                                                  {397, {12.9, 1 / 0.962}},
                                                                  {503, {12.9, 1 / 0.962}},
                                                                  {635, {12.9, 1 / 0.962}}}};

inline constexpr double french_navy_nitrogen = 0.80;
inline constexpr double air_nitrogen = 0.79;
// Fitted to the rows: see validation/data/standard_air_fits.csv.
inline constexpr double standard_air_nitrogen = 0.785;
inline constexpr double standard_air_divisor = 46.0;
inline constexpr double msw_surface = 10.0;
inline constexpr double usual_vapour = 0.0627;

} // namespace detail

/// @brief Every historic limit, by what it was published as.
///
/// "Standard Air 1956": the growth of its limits with depth and its share of nitrogen are fitted to
/// recalled rows of the table. "ZH-L12": a follows from surface values of one decimal in msw, so
/// that it is known to 0.005 bar.
inline constexpr std::array<HistoricModel, 5> historic_models{{
    {detail::padded_set("French Navy 1990", "french_navy1990",
                        detail::by_ratio(detail::french_navy_rows, 1.0)),
     detail::french_navy_nitrogen, 1.0, 0.0, "m", detail::bar_per_msw},
    {detail::padded_set("Haldane 1908", "haldane1908",
                        detail::by_ratio(detail::haldane_rows, detail::air_nitrogen)),
     detail::air_nitrogen, standard_surface_pressure, 0.0, "fsw", detail::bar_per_table_fsw},
    {detail::padded_set(
         "Standard Air 1956", "standard_air1956",
         detail::by_surfacing(detail::standard_air_rows, detail::standard_air_divisor)),
     detail::standard_air_nitrogen, standard_surface_pressure, 0.0, "fsw",
     detail::bar_per_table_fsw},
    {detail::padded_set(
         "Workman 1965", "workman1965",
         detail::by_slope(detail::workman_rows, detail::surface_fsw, detail::bar_per_table_fsw)),
     detail::air_nitrogen, standard_surface_pressure, 0.0, "fsw", detail::bar_per_table_fsw},
    {detail::padded_set(
         "ZH-L12", "buehlmann1984",
         detail::by_slope(detail::zhl12_rows, detail::msw_surface, detail::bar_per_msw)),
     detail::air_nitrogen, 1.0, detail::usual_vapour, "m", detail::bar_per_msw},
}};

/// @brief A historic model by its name, or one of compartment_sets under the conventions of its own
/// tables: 1.000 bar at the surface, 10 m a bar.
/// @throws InvalidInput if there is none; the message lists the names.
[[nodiscard]] inline HistoricModel historic_model(std::string_view name) {
  const auto* historic =
      std::find_if(historic_models.begin(), historic_models.end(),
                   [&](const HistoricModel& model) { return model.set.name == name; });
  if (historic != historic_models.end()) return *historic;
  const auto* today = std::find_if(compartment_sets.begin(), compartment_sets.end(),
                                   [&](const CompartmentSet& set) { return set.name == name; });
  if (today != compartment_sets.end())
    return {*today, detail::air_nitrogen, 1.0, detail::usual_vapour, "m", detail::bar_per_msw};
  std::string names;
  for (const HistoricModel& model : historic_models) names += std::string(model.set.name) + ", ";
  for (const CompartmentSet& set : compartment_sets) names += std::string(set.name) + ", ";
  names.resize(names.size() - 2);
  throw InvalidInput("model", detail::quoted(name), names, "choose one of these models");
}

} // namespace upline

#pragma once
/// @file
/// @brief What breathes with a diver: items with the ratings somebody read from them, and sets.
///
/// A rating that is not known is left out, and stays unknown: nothing here has a default that would
/// make an item fit for anything. A share of oxygen is a fraction, a pressure what a gauge reads.
/// @par Source
/// docs/theory.md, section "Kit".

#include <upline/calendar.hpp>
#include <upline/gas.hpp>
#include <upline/materials.hpp>
#include <upline/schedule.hpp>
#include <upline/units.hpp>

#include <algorithm>
#include <array>
#include <cstddef>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace upline {

/// @brief What an item is, from the cylinder to the mouth.
enum class ItemKind {
  cylinder,           ///< The vessel.
  valve,              ///< On the cylinder.
  first_stage,        ///< Of a regulator.
  high_pressure_hose, ///< To the gauge.
  gauge,              ///< Of the cylinder's pressure.
  low_pressure_hose,  ///< To the second stage.
  second_stage,       ///< With the mouthpiece.
  seals               ///< Within another item.
};

inline constexpr std::array<std::string_view, 8> item_kind_names{
    "cylinder",          "valve",        "first stage", "high-pressure hose", "gauge",
    "low-pressure hose", "second stage", "seals"}; ///< In the order of ItemKind.

/// @brief Yes, no, or nobody knows.
enum class Answer { unknown, no, yes };

/// @brief Thread of a valve's outlet, or what a first stage fits.
enum class Connector {
  unknown, ///< Nobody knows.
  yoke,    ///< Clamped over the valve (ISO 12209).
  g_5_8,   ///< G 5/8 (ISO 12209).
  m26x2    ///< M26x2, for more than 22 % of oxygen (EN 144-3).
};

/// @brief How much a gauge shows.
enum class GaugeKind {
  unknown, ///< Nobody knows.
  full,    ///< Large enough to read every pressure.
  small    ///< A button that tells full from empty.
};

/// @brief How a cylinder came by its mix.
enum class Filling {
  unknown,     ///< Nobody knows.
  premixed,    ///< The mix went in as it is.
  oxygen_added ///< Oxygen went in alone: valve and cylinder held it.
};

/// @brief The valve on the way down, where the set is carried and not yet breathed.
enum class GoingDown {
  unknown, ///< Nobody knows.
  open,    ///< The first stage works all the way.
  shut     ///< Charged, then shut.
};

/// @brief By what a diver tells one mouthpiece from another.
enum class Cue {
  side,             ///< On which side it hangs.
  depth_marking,    ///< The depth written on the cylinder.
  touch,            ///< Something felt with a glove on.
  mouthpiece_cover, ///< A cover that has to come off.
  hose_routing,     ///< Where its hose runs.
  cylinder_shape,   ///< Another size of cylinder.
  colour            ///< Counts only beside others, and where the team chose it.
};

inline constexpr std::array<std::string_view, 7> cue_names{
    "side",         "depth marking",  "touch", "mouthpiece cover",
    "hose routing", "cylinder shape", "colour"}; ///< In the order of Cue.

inline constexpr Depth no_depth_limit =
    Depth(std::numeric_limits<double>::infinity()); ///< The maker sets none.
inline constexpr Temperature no_cold_limit =
    Temperature(-std::numeric_limits<double>::infinity()); ///< The maker sets none.

/// @brief A pressure that an item stands up to a share of oxygen: "100 % to 180 bar".
struct PressureAtShare {
  double share{};           ///< Up to this share of oxygen [1].
  GaugePressure pressure{}; ///< The largest with it.
  friend bool operator==(const PressureAtShare&, const PressureAtShare&) = default; ///< By field.
};

/// @brief One item, with what is known of it. What is left out is unknown.
struct KitItem {
  ItemKind kind{};                                 ///< What it is.
  std::string name{};                              ///< As its owner calls it, 1 to 60 characters.
  std::optional<double> largest_oxygen{};          ///< Share that the plate names [1].
  std::optional<GaugePressure> largest_pressure{}; ///< At the inlet, in ordinary service.
  std::vector<PressureAtShare> oxygen_pressures{}; ///< At the inlet, each tied to a share.
  std::optional<Depth> largest_depth{};            ///< Or no_depth_limit.
  std::optional<Temperature> lowest_temperature{}; ///< Of the water; or no_cold_limit.
  std::optional<std::vector<std::size_t>> materials{}; ///< All that gas wets: known_materials.
  std::optional<Date> oxygen_clean{};                  ///< Cleaned for oxygen on this day.
  std::string cleaned_by{};                            ///< By whom; empty where unknown.
  Answer ordinary_air_since{}; ///< Has it met ordinary compressed air since?
  Answer balanced{};           ///< Of a first stage.
  Answer turning_outlet{};     ///< Of a first stage; no: fixed ports.
  Connector connector{};       ///< Outlet of a valve; what a first stage fits.
  Answer adapter{};            ///< Is the first stage on an adapter?
  std::optional<GaugePressure> intermediate_pressure{}; ///< Of a first stage, above the water's.
  std::optional<Depth> hose_length{};                   ///< Of a hose.
  std::string colour{};                                 ///< Of a hose; empty where unknown.
  GaugeKind gauge_kind{};                               ///< Of a gauge.
  Answer mouthpiece_retained{};                         ///< Is it tied to the second stage?
  Answer slow_opening{};                                ///< Of a valve.
  std::optional<ItemKind> within{};                     ///< Of seals: the item that they are in.
  std::optional<Date> service{};                        ///< Last serviced.
  std::optional<Date> intermediate_check{};             ///< Intermediate pressure last measured.
  std::optional<Date> leak_check{};                     ///< Last checked for leaks.
  std::optional<Date> cylinder_test{};                  ///< Last tested.
  friend bool operator==(const KitItem&, const KitItem&) = default; ///< KitField by field.
};

/// @brief Depths from one to another.
struct DepthRange {
  Depth shallowest{};                                                     ///< 0 at the surface.
  Depth deepest{};                                                        ///< As deep or deeper.
  friend bool operator==(const DepthRange&, const DepthRange&) = default; ///< KitField by field.
};

/// @brief What stands on a cylinder.
struct KitLabel {
  std::optional<Gas> mix{};             ///< As written.
  std::optional<Depth> largest_depth{}; ///< Maximum operating depth, as written.
  std::optional<Date> date{};           ///< Of the analysis.
  std::string analyst{};                ///< Who analysed; empty where it is not there.
  Answer one_unit{};                    ///< Is every depth in the unit of the team?
  friend bool operator==(const KitLabel&, const KitLabel&) = default; ///< KitField by field.
};

/// @brief A cylinder, what hangs on it, its gas, and where it goes.
struct KitSet {
  std::string name{};                           ///< As the team calls it, 1 to 60 characters.
  Gas gas{};                                    ///< What is meant to be in it.
  std::vector<KitItem> items{};                 ///< The cylinder and every item on it, 1 to 40.
  std::vector<ItemKind> without{};              ///< What the set does not have.
  std::optional<GaugePressure> fill_pressure{}; ///< The highest it will see.
  Filling filling{};                            ///< How it was filled.
  std::optional<DepthRange> breathed{};         ///< Where it is breathed.
  std::optional<DepthRange> carried{};          ///< Where it is carried, breathed or not.
  GoingDown going_down{};                       ///< The valve, until it is breathed.
  std::optional<double> analysed{};             ///< Share of oxygen that the analyser read [1].
  std::optional<Date> analysed_on{};            ///< On this day.
  std::optional<KitLabel> label{};              ///< What stands on it; nothing: unknown.
  std::optional<std::vector<Cue>> cues{};       ///< By what the team tells it from the others.
  Answer colour_by_team{};                      ///< Did the team choose the colours?
  std::optional<Depth> hose_needed{}; ///< To reach from either side, measured on the diver.
  friend bool operator==(const KitSet&, const KitSet&) = default; ///< KitField by field.
};

/// @brief The kind as a word: "first stage".
[[nodiscard]] constexpr std::string_view item_kind_name(ItemKind kind) {
  return item_kind_names[static_cast<std::size_t>(kind)];
}

/// @brief Where a plan breathes a gas, from the shallowest to the deepest; nothing if nowhere.
[[nodiscard]] inline std::optional<DepthRange> depths_breathed(const Plan& plan, const Gas& gas) {
  std::optional<DepthRange> range;
  for (const Row& row : plan.rows) {
    if (!(row.gas == gas)) continue;
    if (!range) range = {row.from, row.from};
    range->shallowest = std::min({range->shallowest, row.from, row.to});
    range->deepest = std::max({range->deepest, row.from, row.to});
  }
  return range;
}

/// @brief From the surface to the deepest point of a plan: where a set is carried that is not left
/// behind.
[[nodiscard]] inline DepthRange depths_carried(const Plan& plan) {
  Depth deepest{};
  for (const Row& row : plan.rows) deepest = std::max({deepest, row.from, row.to});
  return {Depth(), deepest};
}

} // namespace upline

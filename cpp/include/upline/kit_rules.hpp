#pragma once
/// @file
/// @brief The rules by which kit is judged, as data: threshold, whose rule, how sure, words.
/// @par Source
/// docs/theory.md, section "Kit", which repeats this table.

#include <upline/kit.hpp>
#include <upline/kit_fields.hpp>
#include <upline/oxygen_line.hpp>
#include <upline/units.hpp>

#include <array>
#include <cstddef>
#include <limits>
#include <string_view>

namespace upline {

/// @brief What is judged; rule_name() gives the word, which does not change.
enum class RuleCode {
  oxygen_line,        ///< Made for oxygen service, above the line.
  oxygen_share,       ///< Share on the plate.
  inlet_pressure,     ///< Pressure on the plate.
  depth,              ///< Depth on the plate.
  temperature,        ///< Cold on the plate.
  materials,          ///< What gas wets.
  titanium,           ///< Titanium.
  oxygen_clean,       ///< Cleaned for oxygen.
  ordinary_air,       ///< Ordinary compressed air since.
  slow_opening,       ///< A valve that opens slowly.
  outlet,             ///< Outlet of the valve.
  connector,          ///< What fits it.
  unbalanced_depth,   ///< How deep an unbalanced first stage goes.
  mouthpiece,         ///< Held on.
  service,            ///< Serviced.
  intermediate_check, ///< Intermediate pressure measured.
  leak_check,         ///< Checked for leaks.
  cylinder_test,      ///< Cylinder tested.
  oxygen_depth,       ///< How deep oxygen is breathed.
  complete            ///< Every kind of item listed.
};

/// @brief In what a rule measures.
enum class Measure {
  nothing,     ///< Yes or no.
  share,       ///< Of oxygen [1].
  pressure,    ///< [bar]
  depth,       ///< [m]
  temperature, ///< [degrees C]
  date         ///< A day.
};

/// @brief One rule. A threshold that is NaN is that of the plate, or chosen by the person.
///
/// In the texts `{share}` stands for the share of oxygen, `{found}` for what was found and
/// `{limit}` for what it was held against.
struct KitRule {
  RuleCode code;            ///< Which.
  std::string_view name;    ///< The code as a word.
  Measure measure;          ///< Of the threshold and of what is found.
  double metric;            ///< Threshold: share [1], [bar], [m], [degrees C].
  double imperial;          ///< The same for those who work in feet, in the same unit.
  Authority authority;      ///< Whose.
  std::string_view asks;    ///< What it asks, in a sentence.
  std::string_view fit;     ///< What is said where it is kept ...
  std::string_view not_fit; ///< ... and where it is not ...
  std::string_view remedy;  ///< ... with what to do then.
};

namespace detail {

inline constexpr double by_the_plate = std::numeric_limits<double>::quiet_NaN();
inline constexpr double air_like = 0.22;         ///< The strictest line: no richer than air [1].
inline constexpr double counts_as_oxygen = 0.95; ///< Common practice, no source [1].

} // namespace detail

/// @brief Every rule, in the order in which findings stand.
inline constexpr std::array kit_rules{
    KitRule{
        RuleCode::oxygen_line, "oxygen_line", Measure::share, detail::by_the_plate,
        detail::by_the_plate, Authority::cfr_46,
        "Above the line that was chosen an item must be made for oxygen service: its plate names a "
        "share above that line.",
        "{lines}", "{lines}, and the plate names {found}",
        "use an item that its maker rates for oxygen service, or a leaner gas"},
    KitRule{RuleCode::oxygen_share, "oxygen_share", Measure::share, detail::by_the_plate,
            detail::by_the_plate, Authority::plate,
            "The share of oxygen is no larger than the plate names; above 22 % the plate must be "
            "known.",
            "{found}, rated for {limit}", "{found}, rated for no more than {limit}",
            "use an item rated for this share, or a leaner gas"},
    KitRule{
        RuleCode::inlet_pressure, "inlet_pressure", Measure::pressure, detail::by_the_plate,
        detail::by_the_plate, Authority::plate,
        "The pressure that the item sees is no larger than the plate allows with this share of "
        "oxygen: the cylinder's for cylinder, valve, first stage, high-pressure hose and gauge, "
        "the intermediate for low-pressure hose and second stage. Above the line only a pressure "
        "tied to a share counts.",
        "sees {found}, may see {limit} at {share}",
        "sees {found}, may see no more than {limit} at {share}",
        "fill to less, or use an item rated for this pressure with this share"},
    KitRule{
        RuleCode::depth, "depth", Measure::depth, detail::by_the_plate, detail::by_the_plate,
        Authority::plate,
        "Nowhere deeper than the plate names: where it is carried; first and second stage behind a "
        "valve that is charged and shut, where they are breathed.",
        "goes to {found}, rated to {limit}", "goes to {found}, rated to no more than {limit}",
        "leave it shallower, shut the valve on the way down if that is what counts, or use an item "
        "rated deeper"},
    KitRule{
        RuleCode::temperature, "temperature", Measure::temperature, 10.0, 10.0, Authority::en_250,
        "The water is no colder than the plate names; at 10 degrees C and below the plate must be "
        "known.",
        "water of {found}, rated down to {limit}",
        "water of {found}, rated down to no less than {limit}",
        "use an item rated for colder water"},
    KitRule{
        RuleCode::materials, "materials", Measure::nothing, detail::by_the_plate,
        detail::by_the_plate, Authority::materials,
        "Above the line every material that gas wets is known and usual in oxygen, or within what "
        "the maker rates the item for; no hydrocarbon and no silicone grease.",
        "no unsuitable material is wetted at {share}", "a wetted material is not for {share}",
        "have it rebuilt with materials for oxygen, or use another item"},
    KitRule{
        RuleCode::titanium, "titanium", Measure::share, 0.40, 0.40, Authority::titanium,
        "Titanium is not wetted by more than 40 % of oxygen; up to there only on the maker's word, "
        "the share on the plate.",
        "no titanium against the maker's word at {share}",
        "titanium at {share}: above {limit} never, below it only on the maker's word",
        "use an item without titanium"},
    KitRule{RuleCode::oxygen_clean, "oxygen_clean", Measure::date, detail::by_the_plate,
            detail::by_the_plate, Authority::cleaning,
            "Above the line it is known when and by whom the item was cleaned for oxygen, and the "
            "interval has not run out.",
            "cleaned for oxygen on {found}, good to {limit}",
            "cleaned for oxygen on {found}, good to {limit} only", "have it cleaned for oxygen"},
    KitRule{RuleCode::ordinary_air, "ordinary_air", Measure::nothing, detail::by_the_plate,
            detail::by_the_plate, Authority::practice,
            "Above the line the item has met no ordinary compressed air since it was cleaned.",
            "no ordinary compressed air since it was cleaned",
            "ordinary compressed air has been through it since it was cleaned",
            "have it cleaned for oxygen again"},
    KitRule{
        RuleCode::slow_opening, "slow_opening", Measure::pressure, 125.0 * bar_per_psi,
        125.0 * bar_per_psi, Authority::cfr_46,
        "A valve that holds more than 40 % of oxygen at more than 125 psi (8.6 bar) opens slowly.",
        "opens slowly", "holds {share} at {found}, more than {limit}, and does not open slowly",
        "use a valve that opens slowly"},
    KitRule{RuleCode::outlet, "outlet", Measure::share, 0.22, 0.22, Authority::en_144_3,
            "Above 22 % of oxygen the valve has the outlet M26x2, where EN 144-3 is followed.",
            "outlet M26x2 for more than {limit}",
            "another outlet than M26x2 at {found}, above {limit}",
            "use a valve with the outlet M26x2, or a place where EN 144-3 is not followed"},
    KitRule{
        RuleCode::connector, "connector", Measure::nothing, detail::by_the_plate,
        detail::by_the_plate, Authority::connectors,
        "The first stage fits the outlet of the valve; no adapter defeats that key above 22 % of "
        "oxygen.",
        "fits the outlet of the valve", "does not fit the outlet of the valve without defeating it",
        "use a first stage for this outlet, without an adapter"},
    KitRule{RuleCode::unbalanced_depth, "unbalanced_depth", Measure::depth, 30.0,
            100.0 * metres_per_foot, Authority::practice,
            "An unbalanced first stage goes no deeper than 30 m or 100 ft, carried with its valve "
            "open or "
            "breathed.",
            "balanced, or not deeper than {limit}",
            "unbalanced and at {found}, deeper than {limit}",
            "use a balanced one, or carry it charged and shut to a shallow stop"},
    KitRule{RuleCode::mouthpiece, "mouthpiece", Measure::nothing, detail::by_the_plate,
            detail::by_the_plate, Authority::practice,
            "The mouthpiece is held on the second stage.", "mouthpiece held on",
            "mouthpiece not held on", "tie it on"},
    KitRule{RuleCode::service, "service", Measure::date, detail::by_the_plate, detail::by_the_plate,
            Authority::own_interval, "Serviced, and the interval has not run out.",
            "serviced on {found}, good to {limit}", "serviced on {found}, good to {limit} only",
            "have it serviced"},
    KitRule{RuleCode::intermediate_check, "intermediate_check", Measure::date, detail::by_the_plate,
            detail::by_the_plate, Authority::own_interval,
            "The intermediate pressure was measured, and the interval has not run out.",
            "intermediate pressure measured on {found}, good to {limit}",
            "intermediate pressure measured on {found}, good to {limit} only", "measure it"},
    KitRule{RuleCode::leak_check, "leak_check", Measure::date, detail::by_the_plate,
            detail::by_the_plate, Authority::own_interval,
            "Checked for leaks, and the interval has not run out.",
            "checked for leaks on {found}, good to {limit}",
            "checked for leaks on {found}, good to {limit} only", "check it"},
    KitRule{RuleCode::cylinder_test, "cylinder_test", Measure::date, detail::by_the_plate,
            detail::by_the_plate, Authority::cylinder_test,
            "The cylinder was tested, and the interval has not run out.",
            "tested on {found}, good to {limit}", "tested on {found}, good to {limit} only",
            "have it tested"},
    KitRule{RuleCode::oxygen_depth, "oxygen_depth", Measure::depth, 6.0, 20.0 * metres_per_foot,
            Authority::practice,
            "Oxygen is breathed no deeper than 6 m, or 20 ft. What holds 95 % and more counts as "
            "oxygen.",
            "oxygen breathed no deeper than {found}",
            "oxygen breathed at {found}, deeper than {limit}", "breathe it shallower"},
    KitRule{RuleCode::complete, "complete", Measure::nothing, detail::by_the_plate,
            detail::by_the_plate, Authority::practice,
            "Every kind of item is listed, or named as one that the set does not have.",
            "every kind of item is listed", "", ""},
};

/// @brief A rule by its code.
[[nodiscard]] constexpr const KitRule& rule_of(RuleCode code) {
  return kit_rules[static_cast<std::size_t>(code)];
}

/// @brief The code as a word: "inlet_pressure".
[[nodiscard]] constexpr std::string_view rule_name(RuleCode code) { return rule_of(code).name; }

/// @brief Threshold of a rule for those who work in a system of units; NaN: that of the plate.
[[nodiscard]] constexpr double threshold(RuleCode code, Units units) {
  return units == Units::metric ? rule_of(code).metric : rule_of(code).imperial;
}

} // namespace upline

#pragma once
/// @file
/// @brief What can be known of an item or a set, which items have it, and how to find it out.

#include <upline/kit.hpp>

#include <array>
#include <string_view>

namespace upline {

/// @brief What a judgement may need to know: of an item, of a set, or chosen by the person.
enum class KitField {
  nothing,               ///< Nothing at all.
  largest_oxygen,        ///< The largest share of oxygen on the plate.
  largest_pressure,      ///< The largest pressure on the plate.
  oxygen_pressures,      ///< The largest pressure with this share of oxygen.
  largest_depth,         ///< The largest depth on the plate.
  lowest_temperature,    ///< The coldest water on the plate.
  materials,             ///< The materials that gas wets.
  oxygen_clean,          ///< When it was cleaned for oxygen.
  cleaned_by,            ///< Who cleaned it for oxygen.
  ordinary_air_since,    ///< Whether ordinary compressed air has been through it since.
  balanced,              ///< Whether it is balanced.
  turning_outlet,        ///< Whether an outlet turns.
  connector,             ///< The outlet of the valve, or what the first stage fits.
  adapter,               ///< Whether it is on an adapter.
  intermediate_pressure, ///< The intermediate pressure of a first stage.
  hose_length,           ///< The length of the hose.
  colour,                ///< The colour of the hose.
  gauge_kind,            ///< What kind of gauge it is.
  mouthpiece_retained,   ///< Whether the mouthpiece is held on.
  slow_opening,          ///< Whether it opens slowly.
  within,                ///< In which item the seals are.
  service,               ///< When it was serviced.
  intermediate_check,    ///< When its intermediate pressure was measured.
  leak_check,            ///< When it was checked for leaks.
  cylinder_test,         ///< When it was tested.
  item,                  ///< An item of the set.
  fill_pressure,         ///< The pressure of the cylinder.
  filling,               ///< Whether oxygen was added in the cylinder.
  breathed,              ///< Where the set is breathed.
  carried,               ///< Where the set is carried.
  going_down,            ///< Whether the valve is open on the way down.
  water_temperature,     ///< The temperature of the water.
  cleaning_every,        ///< How long cleaning is good for.
  service_every,         ///< How long service is good for.
  intermediate_every,    ///< How long that measurement is good for.
  leak_every,            ///< How long that check is good for.
  cylinder_test_every,   ///< How long that test is good for.
  outlet_en_144_3        ///< Whether EN 144-3 is followed here.
};

namespace detail {

/// A kind as one bit of a set of them.
[[nodiscard]] constexpr unsigned bit(ItemKind kind) { return 1U << static_cast<unsigned>(kind); }

inline constexpr unsigned every_kind = 0xFF;
inline constexpr unsigned all_but_cylinder = every_kind & ~bit(ItemKind::cylinder);
inline constexpr unsigned hoses =
    bit(ItemKind::high_pressure_hose) | bit(ItemKind::low_pressure_hose);
inline constexpr unsigned serviced =
    bit(ItemKind::valve) | bit(ItemKind::first_stage) | bit(ItemKind::second_stage);
inline constexpr unsigned no_item = 0;

/// A field: its name, what it says, the kinds of item that have it, and what to do where it is
/// unknown.
struct FieldEntry {
  KitField field;
  std::string_view name;
  std::string_view words;
  unsigned kinds;
  std::string_view remedy;
};

inline constexpr std::string_view ask_the_maker = "read the plate or ask the maker";

inline constexpr std::array field_entries{
    FieldEntry{KitField::largest_oxygen, "largest_oxygen",
               "the largest share of oxygen on its plate", every_kind, ask_the_maker},
    FieldEntry{KitField::largest_pressure, "largest_pressure", "the largest pressure on its plate",
               every_kind, ask_the_maker},
    FieldEntry{KitField::oxygen_pressures, "oxygen_pressures",
               "the largest pressure with this share of oxygen", every_kind,
               "ask the maker which pressure holds with this share of oxygen"},
    FieldEntry{KitField::largest_depth, "largest_depth", "the largest depth on its plate",
               all_but_cylinder, ask_the_maker},
    FieldEntry{KitField::lowest_temperature, "lowest_temperature", "the coldest water on its plate",
               all_but_cylinder, ask_the_maker},
    FieldEntry{KitField::materials, "materials", "the materials that gas wets", every_kind,
               "ask the maker for every material that gas wets"},
    FieldEntry{KitField::oxygen_clean, "oxygen_clean", "when it was cleaned for oxygen", every_kind,
               "find the record, or have it cleaned for oxygen"},
    FieldEntry{KitField::cleaned_by, "cleaned_by", "who cleaned it for oxygen", every_kind,
               "find out who cleaned it, or have it cleaned again"},
    FieldEntry{KitField::ordinary_air_since, "ordinary_air_since",
               "whether ordinary compressed air has been through it since", every_kind,
               "ask its owner, or have it cleaned again"},
    FieldEntry{KitField::balanced, "balanced", "whether it is balanced", bit(ItemKind::first_stage),
               ask_the_maker},
    FieldEntry{KitField::turning_outlet, "turning_outlet", "whether an outlet turns",
               bit(ItemKind::first_stage), "look at it"},
    FieldEntry{KitField::connector, "connector",
               "the outlet of the valve, or what the first stage fits",
               bit(ItemKind::valve) | bit(ItemKind::first_stage), "look at the thread"},
    FieldEntry{KitField::adapter, "adapter", "whether it is on an adapter",
               bit(ItemKind::first_stage), "look at it"},
    FieldEntry{KitField::intermediate_pressure, "intermediate_pressure",
               "the intermediate pressure of a first stage", bit(ItemKind::first_stage),
               "measure it"},
    FieldEntry{KitField::hose_length, "hose_length", "the length of the hose", hoses, "measure it"},
    FieldEntry{KitField::colour, "colour", "the colour of the hose", hoses, "look at it"},
    FieldEntry{KitField::gauge_kind, "gauge_kind", "what kind of gauge it is", bit(ItemKind::gauge),
               "look at it"},
    FieldEntry{KitField::mouthpiece_retained, "mouthpiece_retained",
               "whether the mouthpiece is held on", bit(ItemKind::second_stage), "look at it"},
    FieldEntry{KitField::slow_opening, "slow_opening", "whether it opens slowly",
               bit(ItemKind::valve), ask_the_maker},
    FieldEntry{KitField::within, "within", "in which item the seals are", bit(ItemKind::seals),
               "say in which item they are"},
    FieldEntry{KitField::service, "service", "when it was serviced", serviced,
               "find the record, or have it serviced"},
    FieldEntry{KitField::intermediate_check, "intermediate_check",
               "when its intermediate pressure was measured", bit(ItemKind::first_stage),
               "measure the intermediate pressure"},
    FieldEntry{KitField::leak_check, "leak_check", "when it was checked for leaks",
               serviced | hoses | bit(ItemKind::gauge), "check it for leaks"},
    FieldEntry{KitField::cylinder_test, "cylinder_test", "when it was tested",
               bit(ItemKind::cylinder), "read the stamp, or have it tested"},
    FieldEntry{KitField::item, "items", "an item of the set", no_item,
               "list the item, or name it in without where the set has none"},
    FieldEntry{KitField::fill_pressure, "fill_pressure", "the pressure of the cylinder", no_item,
               "state the highest pressure that the cylinder will see"},
    FieldEntry{KitField::filling, "filling", "whether oxygen was added in the cylinder", no_item,
               "ask whoever filled it"},
    FieldEntry{KitField::breathed, "breathed", "where the set is breathed", no_item,
               "state it, or give the plan"},
    FieldEntry{KitField::carried, "carried", "where the set is carried", no_item,
               "state it, or give the plan"},
    FieldEntry{KitField::going_down, "going_down", "whether the valve is open on the way down",
               no_item, "decide whether the valve is open or shut on the way down"},
    FieldEntry{KitField::water_temperature, "water_temperature", "the temperature of the water",
               no_item, "measure it"},
    FieldEntry{KitField::cleaning_every, "cleaning_every", "how long cleaning is good for", no_item,
               "state an interval"},
    FieldEntry{KitField::service_every, "service_every", "how long service is good for", no_item,
               "state the interval that the maker gives"},
    FieldEntry{KitField::intermediate_every, "intermediate_every",
               "how long that measurement is good for", no_item, "state an interval"},
    FieldEntry{KitField::leak_every, "leak_every", "how long that check is good for", no_item,
               "state an interval"},
    FieldEntry{KitField::cylinder_test_every, "cylinder_test_every",
               "how long that test is good for", no_item,
               "state the interval of the national code"},
    FieldEntry{KitField::outlet_en_144_3, "outlet_en_144_3", "whether EN 144-3 is followed here",
               no_item, "state whether EN 144-3 is followed here"},
};

[[nodiscard]] constexpr const FieldEntry& entry_of(KitField field) {
  for (const FieldEntry& one : field_entries)
    if (one.field == field) return one;
  return field_entries.front();
}

/// Whether a kind of item has a field.
[[nodiscard]] constexpr bool has_field(ItemKind kind, KitField field) {
  return (entry_of(field).kinds & bit(kind)) != 0;
}

} // namespace detail

/// @brief The field as a word, the name of a key in a kit file.
[[nodiscard]] constexpr std::string_view field_name(KitField field) {
  return field == KitField::nothing ? std::string_view() : detail::entry_of(field).name;
}

} // namespace upline

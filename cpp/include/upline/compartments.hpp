#pragma once
/// @file
/// @brief Published parameter sets of dissolved-gas compartments, as immutable data.
/// @par Source
/// Buehlmann, Voellm, Nussberger, Tauchmedizin, 5th ed., Springer 2002, table 25 p. 158. How sure
/// each column is stands in zhl16_columns.

#include <upline/detail/reading.hpp>
#include <upline/error.hpp>
#include <upline/lanes.hpp>

#include <array>
#include <cstddef>
#include <numbers>
#include <string>
#include <string_view>

namespace upline {

/// @brief What a compartment does with one inert gas.
struct InertGasParameters {
  Lanes<double> half_time; ///< [min]
  Lanes<double> rate;      ///< ln 2 / half-time [1/min]
  Lanes<double> a;         ///< [bar]
  Lanes<double> b;         ///< [1]
};

/// @brief A named set of compartments; tolerated pressure is (P - a) b.
struct CompartmentSet {
  std::string_view name;       ///< As it is asked for: "ZH-L16C".
  std::string_view source;     ///< Where it was published.
  InertGasParameters nitrogen; ///< Of all that is neither oxygen nor helium.
  InertGasParameters helium;   ///< Of helium.
  /// How many compartments were published; a smaller set repeats its last one in the lanes behind.
  /// What leads is the first of equals, so that a repeated one is never named.
  std::size_t count = compartment_count;
};

/// @brief Where a column of a published table was taken from, and how sure that is.
struct ColumnSource {
  std::string_view column;     ///< Which column.
  std::string_view source;     ///< Where it is from, or how it can be checked.
  std::string_view confidence; ///< How sure that is.
};

/// @brief Sources of the columns of the ZH-L16 table below.
inline constexpr std::array<ColumnSource, 8> zhl16_columns{{
    {"nitrogen half-time", "UDDF specification 3.2.2, decompression models", "secondary"},
    {"nitrogen a, set A", "a = 2 bar t^(-1/3); equal to the formula to 4 decimals in all 17 rows",
     "secondary, checked against the formula"},
    {"nitrogen a, set B", "differs from A in compartments 6, 7, 8 and 13",
     "from memory, to be confirmed; first rows secondary"},
    {"nitrogen a, set C", "UDDF specification 3.2.2, decompression models", "secondary"},
    {"nitrogen b",
     "b = 1.005 - t^(-1/2) but for compartments 4 (0.7825) and 5 (0.8126), as printed",
     "secondary, checked against the formula"},
    {"helium half-time", "nitrogen half-time / 2.645 within 0.05 min",
     "row 1 secondary; others from memory, to be confirmed"},
    {"helium a", "within 0.002 of 2 bar t^(-1/3) in compartments 1 to 8 only",
     "row 1 secondary; others from memory, to be confirmed"},
    {"helium b", "no formula known", "row 1 secondary; others from memory, to be confirmed"},
}};

namespace detail {

struct Zhl16Row {
  double n2_half_time;
  std::array<double, 3> n2_a; // sets A, B, C
  double n2_b;
  double he_half_time;
  double he_a;
  double he_b;
};

// clang-format off
inline constexpr std::array<Zhl16Row, compartment_count + 1> zhl16_rows{{
    {4, {1.2599, 1.2599, 1.2599}, 0.5050, 1.51, 1.7424, 0.4245}, // 1
    {5, {1.1696, 1.1696, 1.1696}, 0.5578, 1.88, 1.6189, 0.4770}, // 1b
    {8, {1.0000, 1.0000, 1.0000}, 0.6514, 3.02, 1.3830, 0.5747}, // 2
    {12.5, {0.8618, 0.8618, 0.8618}, 0.7222, 4.72, 1.1919, 0.6527}, // 3
    {18.5, {0.7562, 0.7562, 0.7562}, 0.7825, 6.99, 1.0458, 0.7223}, // 4
    {27, {0.6667, 0.6667, 0.6200}, 0.8126, 10.21, 0.9220, 0.7582}, // 5
    {38.3, {0.5933, 0.5600, 0.5043}, 0.8434, 14.48, 0.8205, 0.7957}, // 6
    {54.3, {0.5282, 0.4947, 0.4410}, 0.8693, 20.53, 0.7305, 0.8279}, // 7
    {77, {0.4701, 0.4500, 0.4000}, 0.8910, 29.11, 0.6502, 0.8553}, // 8
    {109, {0.4187, 0.4187, 0.3750}, 0.9092, 41.20, 0.5950, 0.8757}, // 9
    {146, {0.3798, 0.3798, 0.3500}, 0.9222, 55.19, 0.5545, 0.8903}, // 10
    {187, {0.3497, 0.3497, 0.3295}, 0.9319, 70.69, 0.5333, 0.8997}, // 11
    {239, {0.3223, 0.3223, 0.3065}, 0.9403, 90.34, 0.5189, 0.9073}, // 12
    {305, {0.2971, 0.2850, 0.2835}, 0.9477, 115.29, 0.5181, 0.9122}, // 13
    {390, {0.2737, 0.2737, 0.2610}, 0.9544, 147.42, 0.5176, 0.9171}, // 14
    {498, {0.2523, 0.2523, 0.2480}, 0.9602, 188.24, 0.5172, 0.9217}, // 15
    {635, {0.2327, 0.2327, 0.2327}, 0.9653, 240.03, 0.5119, 0.9267}, // 16
}};
// clang-format on

enum class Zhl16Variant : std::size_t { A, B, C };
enum class FirstCompartment : std::size_t { four_minutes, five_minutes };

constexpr CompartmentSet zhl16(std::string_view name, Zhl16Variant variant,
                               FirstCompartment first) {
  CompartmentSet set{name, "Buehlmann et al. 2002, table 25", {}, {}, compartment_count};
  for (std::size_t i = 0; i < compartment_count; ++i) {
    const Zhl16Row& row = zhl16_rows[i == 0 ? static_cast<std::size_t>(first) : i + 1];
    set.nitrogen.half_time[i] = row.n2_half_time;
    set.nitrogen.rate[i] = std::numbers::ln2 / row.n2_half_time;
    set.nitrogen.a[i] = row.n2_a[static_cast<std::size_t>(variant)];
    set.nitrogen.b[i] = row.n2_b;
    set.helium.half_time[i] = row.he_half_time;
    set.helium.rate[i] = std::numbers::ln2 / row.he_half_time;
    set.helium.a[i] = row.he_a;
    set.helium.b[i] = row.he_b;
  }
  return set;
}

} // namespace detail

/// @brief Every set the library knows; the first compartment has 4 min unless the name says 5.
inline constexpr std::array<CompartmentSet, 6> compartment_sets{
    detail::zhl16("ZH-L16C", detail::Zhl16Variant::C, detail::FirstCompartment::four_minutes),
    detail::zhl16("ZH-L16C/5min", detail::Zhl16Variant::C, detail::FirstCompartment::five_minutes),
    detail::zhl16("ZH-L16B", detail::Zhl16Variant::B, detail::FirstCompartment::four_minutes),
    detail::zhl16("ZH-L16B/5min", detail::Zhl16Variant::B, detail::FirstCompartment::five_minutes),
    detail::zhl16("ZH-L16A", detail::Zhl16Variant::A, detail::FirstCompartment::four_minutes),
    detail::zhl16("ZH-L16A/5min", detail::Zhl16Variant::A, detail::FirstCompartment::five_minutes),
};

/// @brief The set of that name.
/// @throws InvalidInput if there is none; the message lists the names.
[[nodiscard]] inline const CompartmentSet& compartment_set(std::string_view name) {
  std::string names;
  for (const CompartmentSet& set : compartment_sets) {
    if (set.name == name) return set;
    names += (names.empty() ? "" : ", ") + std::string(set.name);
  }
  throw InvalidInput("model", detail::quoted(name), names, "choose one of these parameter sets");
}

} // namespace upline

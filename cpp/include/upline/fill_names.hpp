#pragma once
/// @file
/// @brief The columns of a fill sheet, the words for what is found, and the blender's caution.

#include <upline/fill.hpp>

#include <array>
#include <string>
#include <string_view>

namespace upline {

/// @brief What stands under every fill sheet.
inline constexpr std::string_view blending_caution =
    "Arithmetic for qualified blenders. Analyse every fill before it is labelled, and again before "
    "it is breathed.";

/// @brief The columns of a fill sheet, by name.
inline constexpr std::array<std::string_view, 7> fill_columns{
    "fill with", "from", "to", "to if ideal", "bank reads", "amount", "at 1 bar"};
/// @brief One line of it: a cell for each of fill_columns.
using FillLine = std::array<std::string, fill_columns.size()>;

/// @brief The code as a word: "residual_holds_too_much".
[[nodiscard]] constexpr std::string_view code_name(ObstacleCode code) {
  switch (code) {
  case ObstacleCode::residual_too_full: return "residual_too_full";
  case ObstacleCode::residual_holds_too_much: return "residual_holds_too_much";
  case ObstacleCode::station_lacks: return "station_lacks";
  case ObstacleCode::station_holds_too_much: return "station_holds_too_much";
  case ObstacleCode::no_combination: return "no_combination";
  case ObstacleCode::inlet_limit: return "inlet_limit";
  case ObstacleCode::bank_pressure: return "bank_pressure";
  }
  return "";
}

/// @brief The gas as a word.
[[nodiscard]] constexpr std::string_view component_name(Component component) {
  switch (component) {
  case Component::oxygen: return "oxygen";
  case Component::helium: return "helium";
  case Component::nitrogen: return "nitrogen";
  }
  return "";
}

/// @brief What differs, as a word: "bleed", "nearest_mix", "other_order", "lower_pressure".
[[nodiscard]] constexpr std::string_view instead_name(Instead kind) {
  switch (kind) {
  case Instead::bleed: return "bleed";
  case Instead::nearest_mix: return "nearest_mix";
  case Instead::other_order: return "other_order";
  case Instead::lower_pressure: return "lower_pressure";
  }
  return "";
}

} // namespace upline

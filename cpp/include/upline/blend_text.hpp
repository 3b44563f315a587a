#pragma once
/// @file
/// @brief A blend for reading: the fill sheet, what stands in the way, what to do instead.

#include <upline/blend.hpp>
#include <upline/blending/wording.hpp>
#include <upline/fill_names.hpp>

#include <string>
#include <vector>

namespace upline {

/// @brief What is asked, in a line.
[[nodiscard]] inline std::string blend_title(const Blend& blend, Units units) {
  return detail::BlendText(blend, units).title();
}

/// @brief Whether it can be filled, in a sentence.
[[nodiscard]] inline std::string blend_verdict(const Blend& blend, Units units) {
  return detail::BlendText(blend, units).verdict();
}

/// @brief One reason why not, in a sentence.
[[nodiscard]] inline std::string obstacle_text(const Obstacle& one, const Blend& blend,
                                               Units units) {
  return detail::BlendText(blend, units).why(one);
}

/// @brief What to do instead, in a sentence before its sheet.
[[nodiscard]] inline std::string alternative_text(const Alternative& one, const Blend& blend,
                                                  Units units) {
  return detail::BlendText(blend, units).heading(one);
}

/// @brief A sheet as cells: a head, its units, then one line for each addition.
[[nodiscard]] inline std::vector<FillLine> fill_table(const FillSheet& sheet, const Blend& blend,
                                                      Units units) {
  return detail::BlendText(blend, units).table(sheet);
}

/// @brief What stands under a sheet: analysis, inlet, the ideal law, temperatures; a line each.
[[nodiscard]] inline std::vector<std::string> fill_notes(const FillSheet& sheet, const Blend& blend,
                                                         Units units) {
  return detail::BlendText(blend, units).notes(sheet);
}

/// @brief What a blender has to watch, a line each.
[[nodiscard]] inline std::vector<std::string> blend_cautions(const Blend& blend, Units units) {
  return detail::BlendText(blend, units).cautions();
}

/// @brief The conventions behind the numbers, in a line.
[[nodiscard]] inline std::string blend_assumptions(const Blend& blend, Units units) {
  return detail::BlendText(blend, units).assumptions();
}

/// @brief The whole answer as text, with the cautions that belong under it.
[[nodiscard]] inline std::string blend_text(const Blend& blend, Units units) {
  return detail::BlendText(blend, units).whole();
}

} // namespace upline

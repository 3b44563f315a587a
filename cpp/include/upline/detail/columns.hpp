#pragma once
/// @file
/// @brief Text in columns, and paragraphs broken at blanks.

#include <algorithm>
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace upline::detail {

/// @brief Lines of cells under one another; each column stands left or right.
/// @param lines Each holds as many cells as there are columns.
/// @param stands_left For each column.
template <class Line, class Flags>
[[nodiscard]] std::string aligned(const std::vector<Line>& lines, const Flags& stands_left) {
  std::vector<std::size_t> width(stands_left.size());
  for (const Line& line : lines)
    for (std::size_t j = 0; j < line.size(); ++j) width[j] = std::max(width[j], line[j].size());
  std::string text;
  for (const Line& line : lines) {
    std::string row;
    for (std::size_t j = 0; j < line.size(); ++j) {
      const std::string pad(width[j] - line[j].size(), ' ');
      row += "  " + (stands_left[j] ? line[j] + pad : pad + line[j]);
    }
    row.erase(row.find_last_not_of(' ') + 1);
    text += row + "\n";
  }
  return text;
}

/// @brief A paragraph broken at blanks, every line with its own beginning.
[[nodiscard]] inline std::string wrapped(std::string_view paragraph, std::string_view first,
                                         std::string_view rest, std::size_t width = 88) {
  std::string text;
  std::string line(first);
  bool empty = true;
  while (!paragraph.empty()) {
    const auto end = std::min(paragraph.find(' '), paragraph.size());
    const std::string_view word = paragraph.substr(0, end);
    if (!empty && line.size() + 1 + word.size() > width) {
      text += line + "\n";
      line = rest;
      empty = true;
    }
    if (!empty) line += ' ';
    line += word;
    empty = false;
    paragraph.remove_prefix(std::min(end + 1, paragraph.size()));
  }
  return text + line + "\n";
}

} // namespace upline::detail

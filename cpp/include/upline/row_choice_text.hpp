#pragma once
/// @file
/// @brief The rows chosen for a slate, for reading: the rows, which is for which dive, what it
/// costs.

#include <upline/contingency_text.hpp>
#include <upline/detail/columns.hpp>
#include <upline/detail/number.hpp>
#include <upline/row_choice.hpp>
#include <upline/text.hpp>

#include <algorithm>
#include <cstddef>
#include <string>
#include <vector>

namespace upline {

/// @brief The deviation of a cell or row in words: "as planned", "if 3 m deeper, 5 min late".
[[nodiscard]] inline std::string row_name(const Deviation& what, Units units) {
  return what == Deviation{} ? std::string("as planned") : deviation_name(what, units);
}

namespace detail {

/// Writes a choice of rows in words and cells.
class RowChoiceText {
public:
  using Table = std::vector<std::vector<std::string>>;

  explicit RowChoiceText(const RowChoice& choice)
      : c_(choice), units_(choice.planned.rules.units) {}

  [[nodiscard]] std::string whole() const {
    std::string text =
        wrapped(title(), "", "") + "\n" + wrapped(verdict(), "", "") + "\nRows to write down\n" +
        aligned(rows(), std::vector<bool>{false, true, false, false, false, false, false}) +
        "\nWhich row for which dive (extra minutes)\n" + aligned(which(), flags()) + "\n";
    for (const std::string& line : unserved()) text += wrapped(line, "  ", "    ");
    text += wrapped(legend(), "", "");
    std::string lines;
    for (const Caution& caution : c_.planned.cautions)
      lines += wrapped(std::string(severity_name(caution.severity)) + ": " +
                           caution_text(caution, units_),
                       "  ", "    ");
    if (!lines.empty()) text += "\nCautions as planned\n" + lines;
    return text + "\n" + wrapped("Assumptions: " + assumptions_text(c_.planned), "", "") +
           wrapped(no_time_to_fly, "", "") + "\n" + wrapped(schedule_foot, "", "");
  }

  [[nodiscard]] std::string title() const {
    return "Rows for a slate: " + schedule_title(c_.planned);
  }

  /// How many rows for how many dives, and whether that is the least.
  [[nodiscard]] std::string verdict() const {
    std::size_t served = 0;
    for (const BoxCell& cell : c_.cells)
      if (cell.row) ++served;
    const std::string number = std::to_string(c_.rows.size());
    std::string text = number + (c_.rows.size() == 1 ? " row for " : " rows for ") +
                       std::to_string(served) + " of " + std::to_string(c_.cells.size()) +
                       " dives, with " + span(c_.total_extra) + " of extra decompression over all" +
                       (c_.box.weights.empty() ? "" : " as weighted") + ", at most " +
                       span(c_.largest_extra) + " in one. ";
    text += c_.proved ? "No other choice of as many rows has less."
                      : "The best found; no choice of as many rows has less than " +
                            span(c_.least_total) + ".";
    return text + one_more();
  }

  /// The rows: a head, then one line each.
  [[nodiscard]] Table rows() const {
    Table lines{{"row", "", std::string("to ") + length_name(units_), "leave by", "surface",
                 "dives", "extra up to"}};
    for (std::size_t i = 0; i < c_.rows.size(); ++i) {
      const ChosenRow& row = c_.rows[i];
      Depth deepest;
      for (const Level& level : row.plan.dive.levels) deepest = std::max(deepest, level.depth);
      lines.push_back({std::to_string(i + 1), row_name(row.what, units_),
                       trimmed(depth_in(deepest, units_), 3), clock(row.plan.bottom_time),
                       clock(row.plan.run_time), std::to_string(row.cells.size()),
                       clock(row.largest_extra)});
    }
    return lines;
  }

  /// For each dive of the box the number of its row, and the extra minutes where there are some.
  [[nodiscard]] Table which() const {
    std::vector<std::string> head{""};
    for (const Minutes later : c_.box.later)
      head.push_back(later == Minutes() ? "in time" : span(later) + " late");
    Table lines{head};
    std::size_t j = 0;
    for (const Depth deeper : c_.box.deeper) {
      std::vector<std::string> line{deeper == Depth() ? std::string("as deep as planned")
                                                      : trimmed(depth_in(deeper, units_), 3) + " " +
                                                            length_name(units_) + " deeper"};
      for (std::size_t k = 0; k < c_.box.later.size(); ++k) line.push_back(cell(c_.cells[j++]));
      lines.push_back(std::move(line));
    }
    return lines;
  }

  /// The dives without a row, and why.
  [[nodiscard]] std::vector<std::string> unserved() const {
    std::vector<std::string> lines;
    for (const BoxCell& cell : c_.cells)
      if (!cell.row) lines.push_back("No row " + row_name(cell.what, units_) + ": " + cell.reason);
    return lines;
  }

  /// What was checked and what was not.
  [[nodiscard]] static std::string legend() {
    return "Checked for each dive that has a row: on its own depths, leaving the bottom at its own "
           "time and following the leave times and switches of its row, no stop has to be longer, "
           "and the whole ascent stays within its own limit line. Dives between these values were "
           "not checked; take them as the next deeper and later. Extra: the run time of the row "
           "less that of the dive's own schedule.";
  }

private:
  [[nodiscard]] static std::string clock(Minutes x) { return clock_text(in_minutes(x)); }
  [[nodiscard]] static std::string span(Minutes x) { return duration_text(in_minutes(x)); }

  [[nodiscard]] static std::string cell(const BoxCell& one) {
    if (!one.row) return "none";
    std::string row = std::to_string(*one.row + 1);
    if (!(one.extra > Minutes())) return row;
    return row + " (" + clock(one.extra) + ")";
  }

  [[nodiscard]] std::string one_more() const {
    if (!c_.one_more) return "";
    if (c_.one_more_cells > 0)
      return " One more row would serve " + std::to_string(c_.one_more_cells) + " more.";
    if (!(*c_.one_more > Minutes())) return " One more row would save nothing.";
    return " One more row would save " + span(*c_.one_more) + ".";
  }

  [[nodiscard]] std::vector<bool> flags() const {
    std::vector<bool> left(c_.box.later.size() + 1, false);
    left.front() = true;
    return left;
  }

  const RowChoice& c_;
  Units units_;
};

} // namespace detail

/// @brief The whole choice as text.
/// @param choice As choose_rows() gives it.
[[nodiscard]] inline std::string row_choice_text(const RowChoice& choice) {
  return detail::RowChoiceText(choice).whole();
}

} // namespace upline

#pragma once
/// @file
/// @brief A checked card for reading: one line a cell, then what lies behind the worst.

#include <upline/card.hpp>
#include <upline/check_text.hpp>
#include <upline/checking/phrases.hpp>
#include <upline/detail/columns.hpp>
#include <upline/text.hpp>

#include <array>
#include <cstddef>
#include <ostream>
#include <string>
#include <string_view>
#include <vector>

namespace upline {

/// @brief The columns of a card, by name.
inline constexpr std::array<std::string_view, 7> card_columns{
    "depth", "time", "verdict", "margin", "surfacing", "tightest", "missing"};
/// @brief One line of a card: a cell for each of card_columns.
using CardLine = std::array<std::string, card_columns.size()>;

namespace detail {

/// @brief A verdict in words.
[[nodiscard]] inline std::string verdict_name(Verdict verdict) {
  switch (verdict) {
  case Verdict::satisfies: return "satisfies";
  case Verdict::does_not: return "does not";
  case Verdict::cannot_tell: return "cannot tell";
  }
  return "";
}

/// Writes one card in words.
class CardText {
public:
  explicit CardText(const Card& card) : c_(card) {}

  [[nodiscard]] std::string whole() const {
    std::string text = wrapped(sentence(), "", "");
    if (!c_.cells.empty())
      text += "\n" + aligned(table(), std::array{false, false, true, false, false, false, false});
    text += section("Cannot be checked", broken()) + section("What is wrong", wrong()) +
            section("Odd in their numbers", odd()) + section("Cautions", cautions());
    if (!c_.cells.empty())
      text += "\n" + wrapped("Assumptions (of the first cell): " +
                                 CheckText(c_.cells.front().check).assumptions(),
                             "", "");
    return text + wrapped(no_time_to_fly, "", "") + "\n" + wrapped(schedule_foot, "", "");
  }

  /// How many cells do what.
  [[nodiscard]] std::string sentence() const {
    std::array<std::size_t, 3> count{};
    for (const CardCell& cell : c_.cells)
      ++count[static_cast<std::size_t>(cell.check.verdict.verdict)];
    const auto refused = std::count_if(c_.cells.begin(), c_.cells.end(),
                                       [](const CardCell& cell) { return cell.refused(); });
    std::string text;
    if (refused > 0)
      text += std::to_string(refused) + (refused == 1 ? " cell is" : " cells are") +
              " refused whatever the limit line says: see below. ";
    text += "Of " + std::to_string(c_.cells.size() + c_.broken.size()) + " cells " +
            std::to_string(count[0]) + (count[0] == 1 ? " satisfies" : " satisfy") + against() +
            ", " + std::to_string(count[1]) + (count[1] == 1 ? " does not" : " do not");
    if (count[2] > 0) text += ", " + std::to_string(count[2]) + " can be read either way";
    if (!c_.broken.empty()) text += ", " + std::to_string(c_.broken.size()) + " cannot be checked";
    return text + ". The worst comes first. This is not a statement that any is safe.";
  }

  [[nodiscard]] std::vector<CardLine> table() const {
    std::vector<CardLine> lines;
    CardLine head;
    std::copy(card_columns.begin(), card_columns.end(), head.begin());
    const std::string length =
        c_.cells.empty() ? "" : length_name(governing(c_.cells.front()).reading.units);
    lines.push_back(head);
    lines.push_back({length, "min", "", "bar", "", length, "min"});
    for (const CardCell& cell : c_.cells) {
      const ReadingVerdict& one = governing(cell);
      lines.push_back({trimmed(cell.check.table.depth, 2), clock_text(cell.check.table.bottom_time),
                       verdict_of(cell), fixed(one.margin, 3), fixed(one.surfacing_fraction, 3),
                       tightest(one), missing(cell.check)});
    }
    return lines;
  }

  /// What a cell is called: "57 m, 25 min".
  [[nodiscard]] static std::string name(const CardCell& cell) {
    const Table& table = cell.check.table;
    return trimmed(table.depth, 2) + " " + length_name(governing(cell).reading.units) + ", " +
           clock_text(table.bottom_time) + " min";
  }

private:
  [[nodiscard]] static const ReadingVerdict& governing(const CardCell& cell) {
    return cell.check.verdict.readings[cell.check.verdict.governing];
  }

  /// Where all are held against the same pair.
  [[nodiscard]] std::string against() const {
    if (c_.cells.empty()) return "";
    const Rules& first = c_.cells.front().check.rules;
    for (const CardCell& cell : c_.cells)
      if (!(cell.check.rules.factors == first.factors) || cell.check.rules.model != first.model)
        return " the pair asked of them";
    return " " + first.factors.text() + " (" + first.model + ")";
  }

  [[nodiscard]] static std::string tightest(const ReadingVerdict& one) {
    if (one.surfacing_margin <= one.margin) return "0";
    return trimmed(depth_in(one.tightest, one.reading.units), 1);
  }
  /// What the line says stands behind what refuses.
  [[nodiscard]] static std::string verdict_of(const CardCell& cell) {
    const std::string line = verdict_name(cell.check.verdict.verdict);
    return cell.refused() ? "refused; line: " + line : line;
  }
  [[nodiscard]] static std::string missing(const Check& check) {
    const Repair& repair = check.repair;
    if (check.unsettled()) return "unsettled";
    if (!repair.missing) return "none suffice";
    if (!(*repair.missing > Minutes())) return "";
    return (repair.minimal() ? "" : "at most ") + clock_text(in_minutes(*repair.missing));
  }

  [[nodiscard]] std::vector<std::string> broken() const {
    std::vector<std::string> lines;
    for (const BrokenCell& one : c_.broken) lines.push_back(one.name + ": " + one.error);
    return lines;
  }
  [[nodiscard]] std::vector<std::string> wrong() const {
    std::vector<std::string> lines;
    for (const CardCell& cell : c_.cells)
      if (cell.check.verdict.verdict != Verdict::satisfies || cell.refused())
        lines.push_back(name(cell) + ": " + verdict_text(cell.check));
    return lines;
  }
  [[nodiscard]] std::vector<std::string> odd() const {
    std::vector<std::string> lines;
    for (const CardCell& cell : c_.cells)
      for (const Finding& one : cell.check.findings)
        lines.push_back(name(cell) + ": " +
                        FindingText(one, cell.check.table, governing(cell).reading.units)());
    return lines;
  }
  [[nodiscard]] std::vector<std::string> cautions() const {
    std::vector<std::string> lines;
    for (const CardCell& cell : c_.cells)
      for (const Caution& one : cell.check.replay.cautions)
        if (one.severity != Severity::note)
          lines.push_back(name(cell) + ": " + std::string(severity_name(one.severity)) + ": " +
                          caution_text(one, governing(cell).reading.units));
    return lines;
  }

  [[nodiscard]] static std::string section(const std::string& head,
                                           const std::vector<std::string>& lines) {
    if (lines.empty()) return "";
    std::string text = "\n" + head + "\n";
    for (const std::string& line : lines) text += wrapped(line, "  ", "    ");
    return text;
  }

  const Card& c_;
};

} // namespace detail

/// @brief How many cells of a card do what, in a sentence.
[[nodiscard]] inline std::string verdict_text(const Card& card) {
  return detail::CardText(card).sentence();
}

/// @brief The cells of a card: names of the columns, units, a line for each cell.
[[nodiscard]] inline std::vector<CardLine> card_table(const Card& card) {
  return detail::CardText(card).table();
}

/// @brief The card as text: one line a cell, what cannot be checked, what is wrong, what is odd.
[[nodiscard]] inline std::string text_of(const Card& card) {
  return detail::CardText(card).whole();
}

/// @brief Writes text_of() of the card.
inline std::ostream& operator<<(std::ostream& out, const Card& card) {
  return out << text_of(card);
}

} // namespace upline

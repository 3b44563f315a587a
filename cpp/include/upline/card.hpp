#pragma once
/// @file
/// @brief A card: tables over depth and bottom time, checked in one call, the worst first.
/// @par Source
/// docs/theory.md, section "Checking a table".

#include <upline/check.hpp>

#include <algorithm>
#include <cstddef>
#include <string>
#include <utility>
#include <vector>

namespace upline {

/// @brief A cell of a card: its table, checked but for pairs and consequences.
struct CardCell {
  std::size_t position = 0; ///< Among the cells as they were given, from 0.
  Check check;              ///< Its `pairs` and `consequences` are empty: check() finds them.

  /// @brief The least margin of all its readings [bar].
  [[nodiscard]] double margin() const {
    return check.verdict.readings[check.verdict.governing].margin;
  }
  /// @brief Whether a caution refuses it for another reason than the limit line.
  [[nodiscard]] bool refused() const { return check.refused(); }
};

/// @brief A cell with which nothing can be done.
struct BrokenCell {
  std::size_t position = 0; ///< Among the cells as they were given, from 0.
  std::string name{};       ///< As it is called on the card.
  std::string error{};      ///< What is wrong with it, and the remedy.
};

/// @brief A checked card.
struct Card {
  std::vector<CardCell> cells{};    ///< What is refused first, then the least margin.
  std::vector<BrokenCell> broken{}; ///< Those that cannot be checked, in their order.

  /// @brief Whether a cell is refused for another reason than the limit line.
  [[nodiscard]] bool refused() const {
    return std::any_of(cells.begin(), cells.end(),
                       [](const CardCell& cell) { return cell.refused(); });
  }

  /// @brief Of the line, over all cells: one that does not satisfy decides, then one that leaves it
  /// open.
  [[nodiscard]] Verdict verdict() const {
    const auto any = [&](Verdict one) {
      return std::any_of(cells.begin(), cells.end(),
                         [&](const CardCell& cell) { return cell.check.verdict.verdict == one; });
    };
    if (any(Verdict::does_not)) return Verdict::does_not;
    const bool open = cells.empty() || !broken.empty() || any(Verdict::cannot_tell);
    return open ? Verdict::cannot_tell : Verdict::satisfies;
  }
};

/// @brief Checks one cell.
/// @throws InvalidInput as verdict() does.
[[nodiscard]] inline CardCell check_cell(const Table& table, const Rules& rules,
                                         std::size_t position = 0) {
  constexpr int most_trials = 2'000; // beyond them the missing minutes are a bound
  TableVerdict over_all = verdict(table, rules);
  const detail::TableReader reader(table, over_all.readings[over_all.governing].reading, rules);
  const detail::Judge judge(reader, rules.factors);
  return {position, detail::checked(judge, std::move(over_all), most_trials)};
}

/// @brief Puts the cells of a card in order: those that are refused first, then the least margin;
/// equal ones as they were given.
inline void worst_first(Card& card) {
  std::stable_sort(card.cells.begin(), card.cells.end(), [](const CardCell& x, const CardCell& y) {
    return x.refused() != y.refused() ? x.refused() : x.margin() < y.margin();
  });
}

/// @brief Checks the cells of a card. One with which nothing can be done is told of in `broken`.
/// @throws InvalidInput for rules that cannot be.
[[nodiscard]] inline Card check_card(const std::vector<Table>& cells, const Rules& rules) {
  detail::require_rules(rules);
  Card card;
  for (std::size_t j = 0; j < cells.size(); ++j) try {
      card.cells.push_back(check_cell(cells[j], rules, j));
    } catch (const InvalidInput& error) {
      card.broken.push_back({j, "cell " + std::to_string(j + 1), error.what()});
    }
  worst_first(card);
  return card;
}

} // namespace upline

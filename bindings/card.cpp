#include "check.hpp"

#include <upline/card.hpp>
#include <upline/card_text.hpp>

#include <algorithm>
#include <cstddef>
#include <exception>
#include <string>
#include <utility>
#include <vector>

namespace upline::python {
namespace {

/// A cell that can be read, and what it is checked against.
struct CellAsked {
  std::size_t position = 0;
  std::string name;
  Table table;
  Rules rules;
};

/// Goes through the cells; what is wrong with one is kept, and the first of it too.
class CardChecker {
public:
  /// @param cell Name, rows, what the table says, and arguments of plan().
  void ask(const py::tuple& cell, std::size_t position) {
    const std::string name = py::cast<std::string>(cell[0]);
    keep_error(position, name, [&] {
      auto [table, rules] =
          table_of(cell[1], py::cast<py::dict>(cell[2]), py::reinterpret_borrow<py::args>(cell[3]));
      asked_.push_back({position, name, std::move(table), std::move(rules)});
    });
  }

  void check() {
    for (const CellAsked& one : asked_)
      keep_error(one.position, one.name,
                 [&] { card_.cells.push_back(check_cell(one.table, one.rules, one.position)); });
    worst_first(card_);
  }

  /// An error that every cell has is one of the call.
  void require_one() const {
    if (card_.cells.empty() && first_) std::rethrow_exception(first_);
  }

  void add_broken(std::size_t position, std::string name, std::string error) {
    card_.broken.push_back({position, std::move(name), std::move(error)});
  }

  [[nodiscard]] Card& card() { return card_; }

private:
  template <class F>
  void keep_error(std::size_t position, const std::string& name, F&& f) {
    try {
      f();
    } catch (const Error& error) {
      if (!first_) first_ = std::current_exception();
      add_broken(position, name, error.what());
    }
  }

  std::vector<CellAsked> asked_;
  Card card_;
  std::exception_ptr first_;
};

py::dict shown_card(const Card& card) {
  py::dict d;
  d["verdict"] = verdict_word(card.verdict());
  d["refused"] = card.refused();
  d["sentence"] = verdict_text(card);
  d["text"] = text_of(card);
  py::list table;
  for (const CardLine& line : card_table(card)) {
    py::tuple shown(line.size());
    for (std::size_t j = 0; j < line.size(); ++j) shown[j] = line[j];
    table.append(shown);
  }
  d["table"] = table;
  py::list cells;
  for (const CardCell& cell : card.cells) {
    py::dict one = cell_of(cell.check);
    one["position"] = cell.position;
    cells.append(one);
  }
  d["cells"] = cells;
  py::list broken;
  for (const BrokenCell& cell : card.broken) {
    py::dict one;
    one["position"] = cell.position;
    one["name"] = cell.name;
    one["error"] = cell.error;
    broken.append(one);
  }
  d["broken"] = broken;
  return d;
}

/// @param cells  For each (name, rows, said, arguments of plan()), or (name, error) where the rows
///               could not be read.
py::dict card_checked(const py::list& cells) {
  CardChecker checker;
  for (std::size_t j = 0; j < cells.size(); ++j) {
    const auto cell = py::cast<py::tuple>(cells[j]);
    if (cell.size() == 2)
      checker.add_broken(j, py::cast<std::string>(cell[0]), py::cast<std::string>(cell[1]));
    else
      checker.ask(cell, j);
  }
  {
    py::gil_scoped_release others;
    checker.check();
  }
  checker.require_one();
  std::stable_sort(
      checker.card().broken.begin(), checker.card().broken.end(),
      [](const BrokenCell& x, const BrokenCell& y) { return x.position < y.position; });
  return shown_card(checker.card());
}

} // namespace

void register_card(py::module_& module) {
  module.def("check_card", [](const py::list& cells) { return card_checked(cells); });
}

} // namespace upline::python

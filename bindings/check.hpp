// What the checks of a table and of a card share.
#pragma once
#include "bindings.hpp"

#include <upline/check.hpp>

#include <utility>

namespace upline::python {

/// @param said  What the caller or the table itself says; None is not said.
/// @param given Arguments of plan(): depths in them are in their units, as those of the rows.
[[nodiscard]] std::pair<Table, Rules> table_of(py::handle rows, const py::dict& said,
                                               const py::args& given);

/// A verdict as Python says it.
[[nodiscard]] const char* verdict_word(Verdict verdict);

/// What a card shows of a check.
[[nodiscard]] py::dict cell_of(const Check& check);

} // namespace upline::python

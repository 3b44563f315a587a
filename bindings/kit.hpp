// Items and sets of kit as Python hands them over.
#pragma once
#include "cylinder.hpp"

#include <upline/kit.hpp>

#include <optional>
#include <string>

namespace upline::python {

/// Whether a value is of a class of Python's, or one derived from it; the value is not asked.
[[nodiscard]] inline bool is_of(py::handle value, py::handle type) {
  return PyObject_TypeCheck(value.ptr(), reinterpret_cast<PyTypeObject*>(type.ptr())) != 0;
}

/// Yes, no, or None for unknown.
[[nodiscard]] Answer answer_of(py::handle value, const char* field);

/// A datetime.date, or a text such as "2026-11-25".
[[nodiscard]] Date date_from(py::handle value, const std::string& field);

/// A datetime.date.
[[nodiscard]] py::object shown_date(const std::optional<Date>& day);

/// The fields of a KitItem in Python by name, without its units.
/// @param kept Where given, the same in the form that a KitItem keeps.
[[nodiscard]] KitItem kit_item_of(const py::dict& given, Units units, py::dict* kept = nullptr);

/// The same of a KitSet, whose items are dicts of this kind.
[[nodiscard]] KitSet kit_set_of(const py::dict& given, Units units, py::dict* kept = nullptr);

} // namespace upline::python

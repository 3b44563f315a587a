#include "arguments.hpp"

#include <upline/detail/number.hpp>
#include <upline/detail/reading.hpp>
#include <upline/detail/require.hpp>

#include <algorithm>
#include <cmath>
#include <limits>
#include <string_view>

namespace upline::python {
namespace {

/// A Python error raised by a foreign object is replaced by our own; an interrupt is passed on.
void forget_python_error() {
  if (PyErr_ExceptionMatches(PyExc_Exception) == 0) throw py::error_already_set();
  PyErr_Clear();
}

/// The beginning of a text in quotes and in ASCII; surrogates have no UTF-8 form.
std::string quoted_text(py::handle value) {
  constexpr Py_ssize_t enough = 48;
  const Py_ssize_t length = PyUnicode_GetLength(value.ptr());
  std::string ascii;
  for (Py_ssize_t j = 0; j < std::min(length, enough); ++j) {
    const Py_UCS4 c = PyUnicode_ReadChar(value.ptr(), j);
    ascii += c < 128 ? static_cast<char>(c) : '?';
  }
  return detail::quoted(ascii);
}

std::string shown_integer(py::handle value) {
  int overflow = 0;
  const long long small = PyLong_AsLongLongAndOverflow(value.ptr(), &overflow);
  return overflow != 0 ? "an integer of more than 18 digits" : std::to_string(small);
}

/// NumPy's truth values have a float form; they are recognised by name because NumPy need not be
/// loaded.
bool is_truth(py::handle value) {
  if (PyBool_Check(value.ptr())) return true;
  const std::string_view type = Py_TYPE(value.ptr())->tp_name;
  return type == "numpy.bool" || type == "numpy.bool_";
}

/// An attribute of a foreign object; null if asking for it is answered with an error.
py::object attribute(py::handle value, const char* name) {
  auto found = py::reinterpret_steal<py::object>(PyObject_GetAttrString(value.ptr(), name));
  if (!found) forget_python_error();
  return found;
}

/// Whether what NumPy holds is real: texts, truth values and complex numbers have a float form,
/// too.
bool is_real(py::handle value) {
  const py::object type = attribute(value, "dtype");
  const py::object kind = type ? attribute(type, "kind") : py::object();
  if (!kind || !PyUnicode_Check(kind.ptr())) return true; // not NumPy's
  for (const char* real : {"f", "i", "u"})
    if (PyUnicode_CompareWithASCIIString(kind.ptr(), real) == 0) return true;
  return false;
}

/// Whether a value has the form of one number; an array does only without dimensions.
bool is_number(py::handle value) {
  if (PyLong_Check(value.ptr())) return true;
  const PyNumberMethods* methods = Py_TYPE(value.ptr())->tp_as_number;
  if (methods == nullptr || methods->nb_float == nullptr) return false;
  if (PySequence_Check(value.ptr()) == 0) return is_real(value);
  const py::object dimensions = attribute(value, "ndim");
  return dimensions && PyLong_CheckExact(dimensions.ptr()) &&
         PyLong_AsLong(dimensions.ptr()) == 0 && is_real(value);
}

[[noreturn]] void throw_no_number(py::handle value, const char* field, const char* unit) {
  const std::string in = *unit == '\0' ? "" : " [" + std::string(unit) + "]";
  throw WrongType(
      field, shown(value), "one number" + in,
      "give a plain number, without quotes, brackets or unit; feet need units=\"imperial\"");
}

[[noreturn]] void throw_no_gas(py::handle value, const char* field) {
  throw WrongType(field, shown(value), "a text such as \"32\" or \"18/45\", or a Gas",
                  "write the mix as a text in per cent, or make it with Gas(oxygen=..., "
                  "helium=...)");
}

} // namespace

std::string shown(py::handle value) {
  PyObject* object = value.ptr();
  if (object == nullptr) return "missing";
  if (object == Py_None) return "None";
  if (PyBool_Check(object)) return object == Py_True ? "True" : "False";
  if (PyFloat_Check(object)) return detail::trimmed(PyFloat_AS_DOUBLE(object), 6);
  if (PyLong_Check(object)) return shown_integer(value);
  if (PyUnicode_Check(object)) return "the text " + quoted_text(value);
  std::string_view type = Py_TYPE(object)->tp_name;
  constexpr std::string_view inside = "upline._core.";
  if (type.starts_with(inside)) type.remove_prefix(inside.size());
  return "a value of type " + detail::quoted(type);
}

double number(py::handle value, const char* field, const char* unit) {
  PyObject* object = value.ptr();
  if (PyFloat_Check(object)) return PyFloat_AS_DOUBLE(object);
  if (is_truth(value) || !is_number(value)) throw_no_number(value, field, unit);
  const double x = PyFloat_AsDouble(object);
  if (x != -1.0 || PyErr_Occurred() == nullptr) return x;
  const bool too_large = PyErr_ExceptionMatches(PyExc_OverflowError) != 0;
  forget_python_error();
  if (!too_large) throw_no_number(value, field, unit);
  throw InvalidInput(field, "a number of more than 300 digits", "numbers that a float can hold",
                     "check the number; it is far beyond every range");
}

double number_within(py::handle value, const char* field, const char* unit, double low, double high,
                     const char* remedy) {
  const double x = number(value, field, unit);
  detail::require_range(field, x, low, high, unit, remedy);
  return x;
}

bool truth(py::handle value, const char* field) {
  if (PyBool_Check(value.ptr())) return value.ptr() == Py_True;
  throw WrongType(field, shown(value), "True or False", "give one of the two");
}

std::string text(py::handle value, const char* field, const char* allowed, const char* remedy) {
  if (!PyUnicode_Check(value.ptr())) throw WrongType(field, shown(value), allowed, remedy);
  Py_ssize_t size = 0;
  const char* bytes = PyUnicode_AsUTF8AndSize(value.ptr(), &size);
  if (bytes != nullptr) return {bytes, static_cast<std::size_t>(size)};
  forget_python_error();
  throw InvalidInput(field, quoted_text(value) + ", which holds half of a character", allowed,
                     remedy);
}

std::size_t choice(py::handle value, const char* field, std::initializer_list<const char*> names,
                   const char* or_else, std::initializer_list<Synonym> synonyms) {
  std::string allowed;
  for (const char* name : names) {
    if (!allowed.empty()) allowed += ", ";
    allowed.append("\"").append(name).append("\"");
  }
  allowed += or_else;
  if (!PyUnicode_Check(value.ptr()))
    throw WrongType(field, shown(value), allowed, "write one of these words");
  for (const char* const* name = names.begin(); name != names.end(); ++name)
    if (PyUnicode_CompareWithASCIIString(value.ptr(), *name) == 0)
      return static_cast<std::size_t>(name - names.begin());
  const std::string typed = detail::squeezed_lower(quoted_text(value));
  std::string remedy = "write one of these words";
  for (const char* name : names)
    if (typed == detail::quoted(name)) remedy = std::string("write \"") + name + "\"";
  for (const Synonym& one : synonyms)
    if (typed == detail::quoted(one.typed)) remedy = std::string("write ") + one.meant;
  throw InvalidInput(field, quoted_text(value), allowed, remedy);
}

bool is_sequence(py::handle value) {
  PyObject* object = value.ptr();
  return PySequence_Check(object) != 0 && !PyUnicode_Check(object) && !PyBytes_Check(object) &&
         !PyByteArray_Check(object) && !is_number(value);
}

std::vector<py::object> items(py::handle value, const char* field, const char* allowed,
                              const char* remedy) {
  constexpr Py_ssize_t most = 10000; // more than any field takes
  if (!is_sequence(value)) throw WrongType(field, shown(value), allowed, remedy);
  const Py_ssize_t size = PySequence_Size(value.ptr());
  if (size < 0) {
    forget_python_error();
    throw WrongType(field, shown(value), allowed, remedy);
  }
  if (size > most) throw InvalidInput(field, std::to_string(size) + " items", allowed, remedy);
  std::vector<py::object> found;
  found.reserve(static_cast<std::size_t>(size));
  for (Py_ssize_t j = 0; j < size; ++j) {
    found.push_back(py::reinterpret_steal<py::object>(PySequence_GetItem(value.ptr(), j)));
    if (found.back()) continue;
    forget_python_error();
    throw WrongType(field, shown(value), allowed, remedy);
  }
  return found;
}

Units units_of(py::handle value) {
  constexpr const char* metric = "\"metric\", which is metres";
  constexpr const char* imperial = "\"imperial\", which is feet";
  return choice(value, "units", {"metric", "imperial"}, "",
                {{"m", metric},
                 {"metre", metric},
                 {"metres", metric},
                 {"meter", metric},
                 {"meters", metric},
                 {"si", metric},
                 {"ft", imperial},
                 {"foot", imperial},
                 {"feet", imperial},
                 {"us", imperial}}) == 0
             ? Units::metric
             : Units::imperial;
}

Depth depth_of(py::handle value, const char* field, Units units) {
  return depth_from(number(value, field, length_name(units)), units);
}

TravelRate rate_of(py::handle value, const char* field, Units units) {
  const char* unit = units == Units::metric ? "m/min" : "ft/min";
  return TravelRate(number(value, field, unit) * length_unit(units));
}

Gas gas_of(py::handle value, const char* field) {
  if (is_a<Gas>(value)) return value.cast<const Gas&>();
  if (!PyUnicode_Check(value.ptr())) throw_no_gas(value, field);
  return Gas::parse(
      text(value, field, "a text such as \"32\" or \"18/45\"", "write the mix in per cent"));
}

GasChoice gas_choice_of(py::handle value, Units units) {
  if (PyUnicode_Check(value.ptr()))
    return GasChoice::parse(text(value, "gas", "a text such as \"32\", \"18/45\" or \"50@21\"",
                                 "write the mix in per cent"),
                            units);
  if (!is_sequence(value)) return {gas_of(value, "gas")};
  const char* pair = "a mix, or a pair of a mix and its switch depth";
  const auto parts = items(value, "gas", pair, "write (\"50\", 21) or \"50@21\"");
  if (parts.size() != 2)
    throw WrongType("gas", std::to_string(parts.size()) + " items", pair,
                    "write (\"50\", 21) or \"50@21\"");
  GasChoice choice(gas_of(parts[0], "gas"));
  if (!parts[1].is_none()) choice.switch_depth = depth_of(parts[1], "gas switch depth", units);
  return choice;
}

const Plan& plan_of(py::handle value) {
  if (!is_a<Plan>(value))
    throw WrongType("plan", shown(value), "a Plan", "give what upline.plan(...) returned");
  return value.cast<const Plan&>();
}

Environment environment_of(py::handle value, Units units) {
  if (value.is_none()) return {};
  if (!is_a<StatedEnvironment>(value))
    throw WrongType("environment", shown(value), "an Environment or None",
                    "write environment=upline.Environment(altitude=640)");
  const auto& stated = value.cast<const StatedEnvironment&>();
  if (stated.states_length() && stated.units != units)
    throw InvalidInput("environment",
                       std::string("stated with units=\"") + units_name(stated.units) +
                           "\" beside units=\"" + units_name(units) + "\"",
                       "one system of units",
                       std::string("write Environment(..., units=\"") + units_name(units) +
                           "\") with its lengths in " + length_name(units));
  return stated.value;
}

Lanes<double> tensions_of(py::handle value, const char* field) {
  const char* allowed = "16 numbers, one for each compartment [bar]";
  const char* remedy = "give a list or an array of 16 tensions in bar";
  const auto given = items(value, field, allowed, remedy);
  if (given.size() != compartment_count)
    throw InvalidInput(field, std::to_string(given.size()) + " numbers", allowed, remedy);
  constexpr double highest = 1e6;
  Lanes<double> tensions{};
  for (std::size_t i = 0; i < compartment_count; ++i)
    tensions[i] = number_within(given[i], field, "bar", 0.0, highest, remedy);
  return tensions;
}

double result_in(double base, double unit) {
  const double quotient = base / unit;
  constexpr double decimals = 1e6;
  constexpr double rounding = 4.0 * std::numeric_limits<double>::epsilon();
  const double near = std::round(quotient * decimals) / decimals;
  return std::abs(near - quotient) <= rounding * std::abs(quotient) ? near : quotient;
}

double given_in(double base, double unit) {
  if (unit == 1.0) return base;
  const double quotient = base / unit;
  for (const double scale : {1.0, 10.0, 100.0, 1e3, 1e4, 1e5, 1e6}) {
    const double near = std::round(quotient * scale) / scale;
    if (near * unit == base) return near;
  }
  double lower = quotient;
  double upper = quotient;
  constexpr int neighbours = 4;
  for (int j = 0; j < neighbours; ++j) {
    if (lower * unit == base) return lower;
    if (upper * unit == base) return upper;
    lower = std::nextafter(lower, -HUGE_VAL);
    upper = std::nextafter(upper, HUGE_VAL);
  }
  return quotient;
}

const char* units_name(Units units) { return units == Units::metric ? "metric" : "imperial"; }

py::array_t<double> new_array(const Lanes<double>& values) {
  return py::array_t<double>(static_cast<py::ssize_t>(values.size()), values.data());
}

py::array_t<double> view_of(const Lanes<double>& values, py::handle owner) {
  py::array_t<double> view(static_cast<py::ssize_t>(values.size()), values.data(), owner);
  view.attr("setflags")(py::arg("write") = false);
  return view;
}

} // namespace upline::python

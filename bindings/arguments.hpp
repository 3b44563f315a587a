// What Python hands over, turned into the library's types; and numbers on their way back.
#pragma once
#include "bindings.hpp"

#include <upline/environment.hpp>
#include <upline/error.hpp>
#include <upline/gas.hpp>
#include <upline/schedule.hpp>
#include <upline/tissue.hpp>
#include <upline/units.hpp>

#include <array>
#include <cstddef>
#include <initializer_list>
#include <string>
#include <vector>

namespace upline::python {

/// An Environment with the system in which its lengths were stated.
struct StatedEnvironment {
  Environment value{};
  Units units = Units::metric;

  [[nodiscard]] bool states_length() const {
    return value.altitude || std::holds_alternative<Altitude>(value.acclimatised_to);
  }
  friend bool operator==(const StatedEnvironment& x, const StatedEnvironment& y) {
    return x.value == y.value && (x.units == y.units || !x.states_length());
  }
};

// ---- from Python -------------------------------------------------------------------------------
// Each of these throws WrongType for a kind of value that the field does not take. Ranges are
// checked by the library itself, which refuses NaN and infinities along with the rest.

/// A foreign value for a message: short and in ASCII, whatever it is.
[[nodiscard]] std::string shown(py::handle value);

/// A number that is no truth value; NumPy's scalars are welcome.
/// @param unit Behind the word "number" in the message; may be empty.
[[nodiscard]] double number(py::handle value, const char* field, const char* unit);

/// number(), and within a range.
[[nodiscard]] double number_within(py::handle value, const char* field, const char* unit,
                                   double low, double high, const char* remedy);

[[nodiscard]] bool truth(py::handle value, const char* field);

/// @throws InvalidInput also for text that has no UTF-8 form.
[[nodiscard]] std::string text(py::handle value, const char* field, const char* allowed,
                               const char* remedy);

/// What people write for a name, without blanks and capitals, and what the remedy tells them to.
struct Synonym {
  const char* typed;
  const char* meant;
};

/// Place of a text among the names that a field takes.
/// @param or_else What else the field takes, for the message: ", or a density".
[[nodiscard]] std::size_t choice(py::handle value, const char* field,
                                 std::initializer_list<const char*> names, const char* or_else = "",
                                 std::initializer_list<Synonym> synonyms = {});

/// Whether a value is a list, tuple, array or the like; a text is none.
[[nodiscard]] bool is_sequence(py::handle value);

/// Items of a sequence.
[[nodiscard]] std::vector<py::object> items(py::handle value, const char* field,
                                            const char* allowed, const char* remedy);

[[nodiscard]] Units units_of(py::handle value);
[[nodiscard]] Depth depth_of(py::handle value, const char* field, Units units);
[[nodiscard]] TravelRate rate_of(py::handle value, const char* field, Units units);
[[nodiscard]] Gas gas_of(py::handle value, const char* field);

/// "18/45", "50@21", a Gas, or a pair of either and a switch depth.
[[nodiscard]] GasChoice gas_choice_of(py::handle value, Units units);

/// @param value What the argument `plan` holds.
[[nodiscard]] const Plan& plan_of(py::handle value);

/// An Environment or None; lengths in it must be stated in `units`.
[[nodiscard]] Environment environment_of(py::handle value, Units units);

/// One tension per compartment [bar].
[[nodiscard]] Lanes<double> tensions_of(py::handle value, const char* field);

/// What a function takes: the names of its arguments, the first `positional` of which may be given
/// by position and the first `required` of which must be given.
template <std::size_t N>
struct Signature {
  const char* callee; ///< As messages name it: "Gas.mod".
  std::array<const char*, N> names;
  std::size_t positional = N;
  std::size_t required = 0;
};

/// Arguments by position and by name; those left out are null handles.
/// @throws WrongType naming the nearest argument, where pybind11 would list C++ signatures.
template <std::size_t N>
[[nodiscard]] std::array<py::handle, N>
arguments_for(const Signature<N>& signature, const py::args& args, const py::kwargs& kwargs);

/// Whether a value is one of ours. No attribute of it is asked, so that none can raise or lie.
template <class Class>
[[nodiscard]] bool is_a(py::handle value) {
  return PyObject_TypeCheck(
             value.ptr(), reinterpret_cast<PyTypeObject*>(py::type::handle_of<Class>().ptr())) != 0;
}

// ---- to Python ---------------------------------------------------------------------------------

/// A result in a unit: the nearby number of few decimals if the difference is rounding.
[[nodiscard]] double result_in(double base, double unit);

/// A number whose product with the unit is `base` exactly, wherever there is one.
[[nodiscard]] double given_in(double base, double unit);

[[nodiscard]] const char* units_name(Units units);

/// A new array [bar]; nobody else holds it.
[[nodiscard]] py::array_t<double> new_array(const Lanes<double>& values);

/// A read-only view of numbers inside `owner`, which it keeps alive.
[[nodiscard]] py::array_t<double> view_of(const Lanes<double>& values, py::handle owner);

// ---- definitions of templates ------------------------------------------------------------------

[[noreturn]] void throw_misfit(const char* callee, const char* const* names, std::size_t count,
                               std::size_t positional, std::size_t required, const py::args& args,
                               const py::kwargs& kwargs);

template <std::size_t N>
std::array<py::handle, N> arguments_for(const Signature<N>& signature, const py::args& args,
                                        const py::kwargs& kwargs) {
  const auto refuse = [&] {
    throw_misfit(signature.callee, signature.names.data(), N, signature.positional,
                 signature.required, args, kwargs);
  };
  std::array<py::handle, N> found{};
  if (args.size() > signature.positional) refuse();
  for (std::size_t j = 0; j < args.size(); ++j) found[j] = args[j];
  for (const auto& [key, value] : kwargs) {
    std::size_t j = 0;
    while (j < N && PyUnicode_CompareWithASCIIString(key.ptr(), signature.names[j]) != 0) ++j;
    if (j == N || found[j]) refuse();
    found[j] = value;
  }
  for (std::size_t j = 0; j < signature.required; ++j)
    if (!found[j]) refuse();
  return found;
}

} // namespace upline::python

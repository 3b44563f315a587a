// What Python hands over, turned into the library's types; and numbers on their way back.
#pragma once
#include "bindings.hpp"

#include <upline/environment.hpp>
#include <upline/error.hpp>
#include <upline/gas.hpp>
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

/// Place of a text among the names that a field takes.
[[nodiscard]] std::size_t choice(py::handle value, const char* field,
                                 std::initializer_list<const char*> names);

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

/// An Environment or None; lengths in it must be stated in `units`.
[[nodiscard]] Environment environment_of(py::handle value, Units units);

/// One tension per compartment [bar].
[[nodiscard]] Lanes<double> tensions_of(py::handle value, const char* field);

/// Arguments of a constructor, by position and by name; absent ones are null handles.
template <std::size_t N>
[[nodiscard]] std::array<py::handle, N>
named_arguments(const char* callee, const std::array<const char*, N>& names, std::size_t positional,
                const py::args& args, const py::kwargs& kwargs);

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

[[noreturn]] void throw_bad_arguments(const char* callee, const std::string& value,
                                      const char* const* names, std::size_t count);

template <std::size_t N>
std::array<py::handle, N>
named_arguments(const char* callee, const std::array<const char*, N>& names, std::size_t positional,
                const py::args& args, const py::kwargs& kwargs) {
  std::array<py::handle, N> found{};
  if (args.size() > positional)
    throw_bad_arguments(callee, std::to_string(args.size()) + " arguments by position",
                        names.data(), N);
  for (std::size_t j = 0; j < args.size(); ++j) found[j] = args[j];
  for (const auto& [key, value] : kwargs) {
    std::size_t j = 0;
    while (j < N && !py::str(names[j]).equal(key)) ++j;
    if (j == N || found[j])
      throw_bad_arguments(callee,
                          (j == N ? "an unknown argument " : "twice the argument ") + shown(key),
                          names.data(), N);
    found[j] = value;
  }
  return found;
}

} // namespace upline::python

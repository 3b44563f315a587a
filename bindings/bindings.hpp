// Included first by every file here: Python.h must precede the standard headers.
#pragma once
#include <pybind11/numpy.h>
#include <pybind11/pybind11.h>

#include <string>

namespace py = pybind11;

namespace upline::python {

/// Users meet a class as `upline.Name`; the extension it lives in is nobody's concern.
template <class Class>
void show_as_public(Class& one) {
  one.attr("__module__") = "upline";
}

/// Raises the error for a class that was called although only the library makes its objects.
[[noreturn]] void throw_not_for_making(const std::string& name, const char* maker);

/// A class whose objects only the library makes. Without this a bare `__new__` would hand out one
/// that holds nothing.
template <class Class>
void made_only_by(Class& one, const char* maker) {
  show_as_public(one);
  const std::string name = py::str(one.attr("__name__"));
  one.def_static("__new__",
                 [name, maker](const py::args& /*any*/, const py::kwargs& /*any*/) -> py::object {
                   throw_not_for_making(name, maker);
                 });
}

/// A class of values: an object is whole as soon as it is allocated, with the same arguments.
template <class Class, class Make>
void made_when_allocated(Class& one, Make make) {
  one.def_static("__new__", [make](const py::args& args, const py::kwargs& kwargs) {
    // The first is the class itself.
    return make(py::args(args[py::slice(1, static_cast<py::ssize_t>(args.size()), 1)]), kwargs);
  });
}

/// Calls a function written in Python; arguments that do not fit it become an error of the library.
/// @param bound How many of them are not the caller's: 1 for a method, whose first is the object.
[[nodiscard]] py::object call_in_python(const char* module, const char* function,
                                        const char* callee, int bound, const py::args& args,
                                        const py::kwargs& kwargs);

/// A method written in Python. Its module is imported when it is called, not before.
/// @param callee Its name in messages, such as "Plan.to_frame".
inline auto written_in_python(const char* module, const char* function, const char* callee) {
  return [=](const py::args& args, const py::kwargs& kwargs) {
    return call_in_python(module, function, callee, 1, args, kwargs);
  };
}

/// The same for a static method.
inline auto static_in_python(const char* module, const char* function, const char* callee) {
  return [=](const py::args& args, const py::kwargs& kwargs) {
    return call_in_python(module, function, callee, 0, args, kwargs);
  };
}

} // namespace upline::python

#include "arguments.hpp"
#include "bindings.hpp"

#include <upline/error.hpp>

#include <exception>
#include <string>

namespace upline::python {
namespace {

/// The exception classes; made once, when the module is imported, and never freed.
struct ErrorTypes {
  py::handle error;
  py::handle invalid_input;
  py::handle wrong_type;
  py::handle no_ascent;
};

ErrorTypes& types() {
  static ErrorTypes made;
  return made;
}

py::handle new_type(py::module_& module, const char* name, const char* doc, py::handle bases) {
  const std::string full = std::string("upline.") + name;
  PyObject* type = PyErr_NewExceptionWithDoc(full.c_str(), doc, bases.ptr(), nullptr);
  if (type == nullptr) throw py::error_already_set();
  module.add_object(name, type);
  return type;
}

/// Messages may quote what was typed; bytes that are no text must not raise a second error.
py::object readable(const std::string& text) {
  return py::reinterpret_steal<py::object>(
      PyUnicode_DecodeUTF8(text.data(), static_cast<Py_ssize_t>(text.size()), "backslashreplace"));
}

py::object exception_of(py::handle type, const InvalidInput& e) {
  py::object exception = type(readable(e.what()));
  exception.attr("field") = readable(e.field());
  exception.attr("value") = readable(e.value());
  exception.attr("allowed") = readable(e.allowed());
  exception.attr("remedy") = readable(e.remedy());
  return exception;
}

void raise(py::handle type, const InvalidInput& e) {
  PyErr_SetObject(type.ptr(), exception_of(type, e).ptr());
}

void raise(py::handle type, const Error& e) {
  PyErr_SetObject(type.ptr(), readable(e.what()).ptr());
}

[[noreturn]] void raise_made(const py::object& exception) {
  PyErr_SetObject(py::type::handle_of(exception).ptr(), exception.ptr());
  throw py::error_already_set();
}

// By value, as pybind11 declares a translator. NOLINTNEXTLINE(performance-unnecessary-value-param)
void translate(std::exception_ptr thrown) {
  try {
    if (thrown) std::rethrow_exception(thrown);
  } catch (const WrongType& e) {
    raise(types().wrong_type, e);
  } catch (const InvalidInput& e) {
    raise(types().invalid_input, e);
  } catch (const NoAscent& e) {
    raise(types().no_ascent, e);
  } catch (const Error& e) {
    raise(types().error, e);
  }
}

} // namespace

void throw_not_for_making(const std::string& name, const char* maker) {
  throw WrongType(name, "called", std::string("what ") + maker + " gives",
                  "make it with " + std::string(maker));
}

void throw_misfit(const char* callee, const char* const* names, std::size_t count,
                  std::size_t positional, std::size_t required, const py::args& args,
                  const py::kwargs& kwargs) {
  py::list known;
  for (std::size_t j = 0; j < count; ++j) known.append(names[j]);
  raise_made(py::module_::import("upline._calls")
                 .attr("misfit")(callee, known, positional, known[py::slice(0, required, 1)],
                                 args.size(), kwargs));
}

py::object call_in_python(const char* module, const char* function, const char* callee, int bound,
                          const py::args& args, const py::kwargs& kwargs) {
  const py::object called = py::module_::import(module).attr(function);
  try {
    return called(*args, **kwargs);
  } catch (const py::error_already_set& error) {
    // Without a traceback nothing of the function was run: the arguments do not fit.
    if (!error.matches(PyExc_TypeError) || error.trace()) throw;
  }
  raise_made(
      py::module_::import("upline._calls").attr("misfit_of")(called, callee, args, kwargs, bound));
}

void register_errors(py::module_& module) {
  types().error = new_type(module, "Error",
                           "Root of everything upline raises; also a ValueError.\n\n"
                           "Every message says what was wrong and what to do about it.",
                           PyExc_ValueError);
  types().invalid_input =
      new_type(module, "InvalidInput",
               "What was given cannot be used.\n\n"
               "Attributes\n----------\nfield, value, allowed, remedy : str\n"
               "    Name of the input, what was given, what would be accepted, what to do.",
               types().error);
  types().wrong_type =
      new_type(module, "WrongType",
               "A value of a kind that the field does not take; also a TypeError.\n\n"
               "Attributes as in `InvalidInput`.",
               py::make_tuple(types().invalid_input, py::handle(PyExc_TypeError)));
  types().no_ascent = new_type(module, "NoAscent",
                               "No wait, however long, lets the diver leave a depth under the "
                               "rules given.",
                               types().error);
  py::register_exception_translator(&translate);

  module.def("shown", &shown);
  module.def("number", [](py::handle value, const std::string& field, const std::string& unit) {
    return number(value, field.c_str(), unit.c_str());
  });
  // For the parts written in Python, so that there is one form of message.
  module.def("invalid_input", [](const std::string& field, const std::string& value,
                                 const std::string& allowed, const std::string& remedy) {
    return exception_of(types().invalid_input, InvalidInput(field, value, allowed, remedy));
  });
  module.def("wrong_type", [](const std::string& field, const std::string& value,
                              const std::string& allowed, const std::string& remedy) {
    return exception_of(types().wrong_type, WrongType(field, value, allowed, remedy));
  });
}

} // namespace upline::python

// Included first by every file here: Python.h must precede the standard headers.
#pragma once
#include <pybind11/numpy.h>
#include <pybind11/pybind11.h>

namespace py = pybind11;

namespace upline::python {

// One file a room; module.cpp calls these in order.
void register_errors(py::module_& module);
void register_environment(py::module_& module);
void register_gas(py::module_& module);
void register_compartments(py::module_& module);
void register_tissue(py::module_& module);
void register_limit(py::module_& module);
void register_oxygen(py::module_& module);
void register_state(py::module_& module);
void register_caution(py::module_& module);
void register_schedule(py::module_& module);
void register_plan(py::module_& module);
void register_text(py::module_& module);
void register_trace(py::module_& module);

/// Users meet a class as `upline.Name`; the extension it lives in is nobody's concern.
template <class Class>
void show_as_public(Class& one) {
  one.attr("__module__") = "upline";
}

/// A method written in Python. Its module is imported when it is called, not before.
inline auto written_in_python(const char* module, const char* function) {
  return [module, function](const py::args& args, const py::kwargs& kwargs) {
    return py::module_::import(module).attr(function)(*args, **kwargs);
  };
}

} // namespace upline::python

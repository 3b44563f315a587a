#include "arguments.hpp"

#include <upline/compartments.hpp>

#include <memory>
#include <string>

namespace upline::python {
namespace {

constexpr const char* set_doc = R"(A published set of 16 compartments, fastest first.

A compartment that holds one gas at the tension P tolerates the ambient pressure (P - a) b.

Attributes
----------
name, source : str
n2_half_time, he_half_time : ndarray, shape (16,)
    Half-times [min]; read-only.
n2_a, he_a : ndarray, shape (16,)
    Intercepts a [bar]; read-only.
n2_b, he_b : ndarray, shape (16,)
    Slopes b [1]; read-only.
columns : tuple of (str, str, str)
    Of each column of the published table: its name, its source, how sure it is.
)";

const CompartmentSet& find(py::handle model) {
  return compartment_set(text(model, "model", "the name of a parameter set, such as \"ZH-L16C\"",
                              "choose a name from upline.models"));
}

template <auto Gas, auto Column>
py::array_t<double> column(py::handle self) {
  return view_of((self.cast<const CompartmentSet&>().*Gas).*Column, self);
}

py::tuple sources(const CompartmentSet& /*all share one table*/) {
  py::tuple columns(zhl16_columns.size());
  for (std::size_t j = 0; j < zhl16_columns.size(); ++j) {
    const ColumnSource& one = zhl16_columns[j];
    columns[j] = py::make_tuple(std::string(one.column), std::string(one.source),
                                std::string(one.confidence));
  }
  return columns;
}

} // namespace

void register_compartments(py::module_& module) {
  using Set = CompartmentSet;
  using Inert = InertGasParameters;
  // The sets are constants of the library: Python never owns one.
  py::class_<Set, std::unique_ptr<Set, py::nodelete>> type(module, "CompartmentSet", set_doc,
                                                           py::is_final());
  made_only_by(type, "upline.compartments(...)");
  type.def_property_readonly("name", [](const Set& set) { return std::string(set.name); })
      .def_property_readonly("source", [](const Set& set) { return std::string(set.source); })
      .def_property_readonly("n2_half_time", &column<&Set::nitrogen, &Inert::half_time>)
      .def_property_readonly("n2_a", &column<&Set::nitrogen, &Inert::a>)
      .def_property_readonly("n2_b", &column<&Set::nitrogen, &Inert::b>)
      .def_property_readonly("he_half_time", &column<&Set::helium, &Inert::half_time>)
      .def_property_readonly("he_a", &column<&Set::helium, &Inert::a>)
      .def_property_readonly("he_b", &column<&Set::helium, &Inert::b>)
      .def_property_readonly("columns", &sources)
      .def("__repr__", [](const Set& set) {
        return "<upline.CompartmentSet " + std::string(set.name) + ", " + std::string(set.source) +
               ">";
      });
  module.def("compartments", &find, py::return_value_policy::reference, py::arg("model"));

  py::tuple models(compartment_sets.size());
  for (std::size_t j = 0; j < compartment_sets.size(); ++j)
    models[j] = std::string(compartment_sets[j].name);
  module.attr("models") = models;
}

} // namespace upline::python

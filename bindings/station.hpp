// Gases and banks of a fill station as Python states them.
#pragma once
#include "cylinder.hpp"

#include <upline/cascade.hpp>
#include <upline/fill.hpp>

#include <vector>

namespace upline::python {

/// "He" or "helium", or a mix as everywhere.
[[nodiscard]] inline StationGas station_gas_of(py::handle value, const char* field) {
  if (PyUnicode_Check(value.ptr()))
    return StationGas::parse(text(value, field, "a mix, such as \"O2\" or \"He\"",
                                  "write \"He\", \"O2\", \"air\" or \"32\""));
  return StationGas(gas_of(value, field));
}

/// Pairs of a water volume and what the gauge reads.
[[nodiscard]] inline std::vector<Bank> banks_of(py::handle value, Units units) {
  const char* allowed = "a list of pairs of a water volume and what the gauge reads";
  const char* remedy = "write [(50, 140), (50, 230)]";
  std::vector<Bank> banks;
  for (const py::object& one : items(value, "banks", allowed, remedy)) {
    const std::vector<py::object> pair = items(one, "banks", allowed, remedy);
    if (pair.size() != 2) throw WrongType("banks", shown(one), allowed, remedy);
    banks.push_back({WaterVolume(number(pair[0], "banks", volume_name(units)) * volume_unit(units)),
                     gauge_of(pair[1], "bank pressure", units)});
  }
  return banks;
}

} // namespace upline::python

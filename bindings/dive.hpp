// The arguments of plan() and their way into the library's own terms.
#pragma once
#include "bindings.hpp"

#include <upline/dive.hpp>

#include <array>
#include <cstddef>

namespace upline::python {

/// Arguments of plan() in the order in which python/upline/_plan.py hands them on.
enum class Argument : std::size_t {
  depth,
  bottom_time,
  gases,
  gf,
  model,
  rounding,
  resolution,
  min_stop,
  switch_time,
  spacing,
  last_stop,
  ladder,
  descent_rate,
  ascent_rate,
  surfacing_rate,
  travel,
  environment,
  start,
  max_po2,
  max_deco_po2,
  po2_tolerance,
  min_po2,
  rmv,
  deco_rmv,
  units,
  count
};

/// Their names.
inline constexpr std::array<const char*, static_cast<std::size_t>(Argument::count)> argument_names{
    "depth",         "bottom_time", "gases",        "gf",          "model",
    "rounding",      "resolution",  "min_stop",     "switch_time", "spacing",
    "last_stop",     "ladder",      "descent_rate", "ascent_rate", "surfacing_rate",
    "travel",        "environment", "start",        "max_po2",     "max_deco_po2",
    "po2_tolerance", "min_po2",     "rmv",          "deco_rmv",    "units"};

/// A dive and its rules.
struct Asked {
  Dive dive;
  Rules rules;
};

/// @throws InvalidInput or WrongType naming the argument.
[[nodiscard]] Asked asked_by(const py::args& given);

/// The same where one depth is asked about and its time is the answer.
[[nodiscard]] Asked asked_without_time(const py::args& given);

} // namespace upline::python

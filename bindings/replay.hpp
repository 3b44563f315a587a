// Parts of a replay as plain Python data; python/upline gives them their classes.
#pragma once
#include "bindings.hpp"

#include <upline/replay.hpp>

namespace upline::python {

/// What a replay found, by name; lengths in `units`.
[[nodiscard]] py::dict findings_of(const Replay& replay, Units units);

} // namespace upline::python

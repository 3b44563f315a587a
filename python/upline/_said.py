"""Words that text, HTML and pictures of a check or a replay share."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from . import _core

if TYPE_CHECKING:
    from ._check_results import Check, TableReading
    from ._core import Gas
    from ._replay import Margin, Replay


def length_of(units: str) -> str:
    """Return the sign of the unit of length."""
    return "m" if units == "metric" else "ft"


def short(x: float, digits: int = 1) -> str:
    """Return a number with so many decimals at most."""
    return f"{round(float(x), digits):.{digits}f}".rstrip("0").rstrip(".") if digits else f"{x:.0f}"


def bar(x: float) -> str:
    """Return a margin: three decimals, or six where fewer would read 0."""
    few = 0.001
    return f"{x:.3f}" if abs(x) >= few or x == 0.0 else f"{x:.6f}"


def half_time(minutes: float) -> str:
    """Return a half-time as it stands in a column."""
    return f"{short(minutes)} min"


def pair(low: float, high: float) -> str:
    """Return a pair of factors in per cent, rounded to the strict side: "43.4/85.5"."""
    return "/".join(short(math.ceil(x * 1000.0 - 1e-6) / 10.0) for x in (low, high))


def breathed(arrives_on: Gas, gas: Gas) -> str:
    """Return the mix of a stop, and that it is a new one."""
    return gas.spoken if gas == arrives_on else f"switch to {gas.spoken}"


def place(depth: float, units: str) -> str:
    """Return a depth in words."""
    shown = short(depth)
    return f"{shown} {length_of(units)}" if shown != "0" else "the surface"


# ---- replay --------------------------------------------------------------------------------------


def least(replay: Replay) -> Margin:
    """Return the least margin of all, the surface included."""
    rounding = 1e-12
    at_surface = replay.surfacing.pressure <= replay.tightest.pressure + rounding
    return replay.surfacing if at_surface else replay.tightest


def at(margin: Margin, replay: Replay) -> str:
    """Return where a margin is; without an anchor the line steps at the surface."""
    where = place(margin.depth, replay.units)
    if margin is not replay.surfacing and where == place(0.0, replay.units):
        return "just below the surface"
    return where


def moment(margin: Margin, replay: Replay) -> str:
    """Return where and when a margin is, and in which compartment."""
    clock = _core.clock_text(margin.run_time)
    return f"{at(margin, replay)}, run time {clock} min, {short(margin.half_time)}-min compartment"


def headline(replay: Replay) -> str:
    """Return what a replay found, as a sentence."""
    found = least(replay)
    where = moment(found, replay)
    where = where if where.startswith("just") else f"at {where}"
    if any(one.code == "limit_exceeded" for one in replay.cautions):
        return f"Beyond the limit line: margin {bar(found.pressure)} bar {where}."
    return (
        f"Within the limit line: margin {bar(found.pressure)} bar {where}. "
        "This is not a statement that it is safe."
    )


def surfaced(replay: Replay) -> str:
    """Return how the surface is reached, as a sentence."""
    return (
        f"Surfacing fraction {replay.surfacing_fraction:.3f}, in the "
        f"{short(replay.surfacing_half_time)}-min compartment, after "
        f"{_core.clock_text(replay.run_time)} min; margin there "
        f"{bar(replay.surfacing.pressure)} bar."
    )


# ---- check ---------------------------------------------------------------------------------------


QUESTIONS = {
    "minutes": "stop minutes",
    "bottom_from": "bottom time from",
    "switch_minute": "switch minute",
    "depth_of": "depths",
    "units": "units",
}


def answers(reading: TableReading) -> tuple[str, ...]:
    """Return how a reading answers what can be asked of a table."""
    return tuple(getattr(reading, name) for name in QUESTIONS)


def asked(check: Check) -> list[str]:
    """Return the questions that readings answer in different ways; of a single reading all."""
    every = [
        name
        for j, name in enumerate(QUESTIONS)
        if len({answers(one)[j] for one in check.readings}) > 1
    ]
    return every or list(QUESTIONS)

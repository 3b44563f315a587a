"""Plans as pictures: the profile with its ceiling and margin, the compartments at one moment.

All numbers come from `Plan.trace`.
"""

from __future__ import annotations

import math
from itertools import groupby
from typing import TYPE_CHECKING

import numpy as np

from . import _core
from ._picture import (
    POINTS,
    Ink,
    Paragraphs,
    add_caution,
    add_legend,
    add_title,
    below_picture,
    inches_across,
    ink_of,
    name_axis,
    new_figure,
    plain,
    require_axes,
)
from ._profile import SAMPLES, Profile, Tick, draw_profile, number
from ._room import Place

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from matplotlib.axes import Axes

    from ._core import Plan, Row, Trace

_SHORTEST = 1.0 / 60.0  # step of a trace [min]


# ---- profile -------------------------------------------------------------------------------------


def plot_plan(plan: Plan, ax: Axes | None = None) -> Axes:
    """Draw the profile of a plan with its ceiling, and in a new figure the margin below it."""
    trace = plan.trace(max(plan.run_time / SAMPLES, _SHORTEST))
    words = _words(plan)
    if ax is None:
        ax, below = new_figure("plot", words, [3.4, 1.2])
        draw_profile(ax, _profile(plan, trace))
        _margin(below, trace)
        add_caution(below, ink_of(below), words)
        below.sharex(ax)
        ax.tick_params(labelbottom=False)
        return ax
    require_axes("plot", ax)
    ink = ink_of(ax)
    add_title(ax, ink, words)
    draw_profile(ax, _profile(plan, trace))
    name_axis(ax.xaxis, "run time [min]", ink)
    add_caution(ax, ink, words)
    return ax


def _words(plan: Plan, moment: str | None = None) -> Paragraphs:
    above = [_core.refusal] if plan.refused else []
    above.append(_core.schedule_title(plan))
    above.append(plan.assumptions.partition(";")[0])  # parameter set, factors, anchor
    if moment is not None:
        above.append(moment)
    return Paragraphs(above, below_picture(plan.cautions, "the printed plan"))


def _profile(plan: Plan, trace: Trace) -> Profile:
    first = next(_by_gas(plan.rows))
    ticks = [Tick(one.run_time, one.depth, one.gas.spoken, one.going_down) for one in plan.switches]
    return Profile(
        trace.time,
        trace.depth,
        trace.ceiling,
        _length(plan),
        first[0].gas.spoken,
        _places_along(first),
        ticks,
    )


def _places_along(rows: list[Row]) -> list[Place]:
    """Places for the name of a gas: below its stays, the longest first, or beside its travel."""
    places = []
    for depth, begins, ends in sorted(_stays(rows), key=lambda stay: stay[1] - stay[2]):
        for share in (0.5, 0.65, 0.8):
            places.append(Place(begins + share * (ends - begins), depth, "center", "top"))
    travel = max(rows, key=lambda row: row.minutes)
    up = "bottom" if travel.phase == "go down" else "top"
    middle = (travel.begins + travel.ends) / 2.0, (travel.from_depth + travel.to_depth) / 2.0
    return [*places, Place(*middle, "left", up)]


def _by_gas(rows: Iterable[Row]) -> Iterator[list[Row]]:
    for _, run in groupby((row for row in rows if row.minutes > 0.0), key=lambda row: row.gas):
        yield list(run)


def _stays(rows: Iterable[Row]) -> Iterator[tuple[float, float, float]]:
    """Depth, begin and end of each time spent at one depth, a switch included."""
    for (level, depth), run in groupby(
        rows, key=lambda row: (row.from_depth == row.to_depth, row.to_depth)
    ):
        if level:
            stay = list(run)
            yield depth, stay[0].begins, stay[-1].ends


# ---- margin --------------------------------------------------------------------------------------


def _margin(ax: Axes, trace: Trace) -> None:
    ink = ink_of(ax)
    plain(ax)
    reached = trace.fraction.max(axis=1)
    ax.plot(
        trace.time,
        trace.factor,
        color=ink.line,
        linewidth=1.0,
        linestyle=(0, (4, 3)),
        label="supersaturation fraction allowed",
    )
    ax.plot(trace.time, reached, color=ink.line, linewidth=1.6, label="reached")
    ax.fill_between(
        trace.time,
        np.maximum(reached, 0.0),
        trace.factor,
        where=(trace.factor > reached).tolist(),
        color=ink.line,
        alpha=0.3,
        linewidth=0.0,
        label="margin",
    )
    ax.set_ylim(0.0, 1.15 * max(float(trace.factor.max()), float(reached.max())))
    name_axis(ax.yaxis, "fraction [1]", ink)
    name_axis(ax.xaxis, "run time [min]", ink)
    # Above the axes, where no line can run into it.
    add_legend(ax, ink, loc="lower left", bbox_to_anchor=(0.0, 1.0), ncols=3, borderaxespad=0.1)


# ---- compartments --------------------------------------------------------------------------------


def plot_compartments(plan: Plan, run_time: float | None = None, ax: Axes | None = None) -> Axes:
    """Draw the tension in each compartment against its half-time at one moment of a plan."""
    trace, at = _moment(plan, run_time)
    words = _words(plan, _words_of_moment(plan, trace, at))
    if ax is None:
        (ax,) = new_figure("plot_compartments", words, [3.6])
        ink = ink_of(ax)
    else:
        require_axes("plot_compartments", ax)
        ink = ink_of(ax)
        add_title(ax, ink, words)
    plain(ax)
    ax.set_xscale("log")
    _draw_tensions(ax, ink, trace, at)
    _ticks_at_compartments(ax, ink, trace)
    tensions = trace.nitrogen[at] + trace.helium[at]
    highest = float(max(tensions.max(), trace.allowed[at].max(), trace.ambient[at]))
    ax.set_ylim(0.0, 1.25 * highest)  # room for the legend
    name_axis(ax.yaxis, "tension [bar]", ink)
    name_axis(ax.xaxis, "half-time of the compartment for nitrogen [min]", ink)
    add_legend(ax, ink, loc="upper right")
    add_caution(ax, ink, words)
    return ax


def _moment(plan: Plan, run_time: float | None) -> tuple[Trace, int]:
    """Return a trace that has a sample at a run time, and which it is."""
    moment = plan.run_time if run_time is None else _run_time(plan, run_time)
    longest = 1e5  # of a step; whole steps lead to the moment
    step = moment / math.ceil(moment / longest) if moment > 0.0 else longest
    trace = plan.trace(max(step, _SHORTEST))
    return trace, int(np.argmin(np.abs(trace.time - moment)))


def _run_time(plan: Plan, given: object) -> float:
    moment = _core.number(given, "run_time", "min")
    if moment == 0.0 or _SHORTEST <= moment <= plan.run_time:
        return moment
    raise _core.invalid_input(
        "run_time",
        _core.shown(given),
        f"0, or 1/60 to {plan.run_time:g} min",
        "choose a moment within the dive",
    )


def _words_of_moment(plan: Plan, trace: Trace, at: int) -> str:
    depth = float(trace.depth[at])
    where = f"At {number(depth)} {_length(plan)}" if depth > 0.0 else "At the surface"
    return f"{where}, run time {_core.clock_text(float(trace.time[at]))} min"


def _draw_tensions(ax: Axes, ink: Ink, trace: Trace, at: int) -> None:
    half_time, nitrogen, helium = trace.half_time, trace.nitrogen[at], trace.helium[at]
    thin = {"color": ink.line, "linewidth": 1.0}
    if helium.any():
        ax.plot(half_time, nitrogen, linestyle="--", label="nitrogen", **thin)
        ax.plot(half_time, helium, linestyle=":", label="helium", **thin)
    ax.plot(
        half_time,
        nitrogen + helium,
        color=ink.line,
        linewidth=1.8,
        marker="o",
        markersize=3,
        label="both together" if helium.any() else "nitrogen",
    )
    allowed = f"allowed at a factor of {trace.factor[at]:.2f}"
    ax.plot(half_time, trace.allowed[at], linestyle="-.", label=allowed, **thin)
    ambient = f"ambient pressure {trace.ambient[at]:.2f} bar"
    ax.axhline(trace.ambient[at], color=ink.line, linewidth=0.9, alpha=0.8, label=ambient)


def _ticks_at_compartments(ax: Axes, ink: Ink, trace: Trace) -> None:
    width = inches_across(ax)
    needed = 16 * 3.0 * ink.small / POINTS  # a number has up to four signs
    shown = trace.half_time[:: max(1, math.ceil(needed / width))]
    ax.set_xticks(shown, [number(x) for x in shown], fontsize=ink.small)
    ax.set_xticks([], minor=True)


def _length(plan: Plan) -> str:
    return "m" if plan.units == "metric" else "ft"

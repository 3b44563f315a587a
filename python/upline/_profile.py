"""The picture of a profile: one line, its ceiling, the gases along it."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from ._picture import Ink, ink_of, name_axis, plain, whole_numbers
from ._room import Place, Room

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from numpy.typing import NDArray

SAMPLES = 500  # enough for a smooth ceiling on paper
_NAMED = 6  # ticks; of more of them those are named for which there is room
FAINT = 0.6  # opacity of what stands behind


class Tick(NamedTuple):
    """A change of the gas."""

    time: float
    depth: float
    gas: str
    going_down: bool = False


class Profile(NamedTuple):
    """What there is to draw; lengths in `unit`, times in minutes."""

    time: NDArray[np.float64]
    depth: NDArray[np.float64]
    ceiling: NDArray[np.float64]
    unit: str
    first_gas: str
    places: list[Place]  # for the name of the first gas, the best first
    ticks: list[Tick]


def draw_profile(ax: Axes, profile: Profile) -> Room:
    """Draw it, and return the room that is left for words."""
    ink = ink_of(ax)
    plain(ax)
    ax.set_xlim(0.0, float(profile.time[-1]) * 1.02)
    ax.set_ylim(max(float(profile.depth.max()), 1.0) * 1.16, 0.0)
    whole_numbers(ax.xaxis)
    whole_numbers(ax.yaxis)
    name_axis(ax.yaxis, f"depth [{profile.unit}]", ink)
    style = {"color": ink.line, "linewidth": 1.8, "label": "profile", "zorder": 3}
    ax.plot(profile.time, profile.depth, **style)
    room = Room(ax, ink, profile.time, profile.depth, profile.ceiling)
    always = len(profile.ticks) <= _NAMED
    for tick in profile.ticks:
        _draw_tick(ax, ink, room, tick, profile.unit, always=always)
    # Well away from the words at a tick; each other gas is named where it is taken up.
    room.write(profile.first_gas, profile.places, gap=3.0 * ink.small, always=True)
    if profile.ceiling.any():
        hatch(ax, ink, profile.time, profile.ceiling, "ceiling")
        room.write_in_ceiling("ceiling")
    return room


def hatch(
    ax: Axes,
    ink: Ink,
    time: NDArray[np.float64],
    edge: NDArray[np.float64],
    label: str,
) -> None:
    """Hatch what lies between 0 and an edge."""
    from matplotlib.colors import to_rgba

    region = ax.fill_between(
        time,
        0.0,
        edge,
        facecolor="none",
        edgecolor=to_rgba(ink.line, FAINT),
        linewidth=0.6,
        hatch="///",
        label=label,
        zorder=1,
    )
    if hasattr(region, "set_hatch_linewidth"):  # from matplotlib 3.10 on
        region.set_hatch_linewidth(0.4)


def _draw_tick(ax: Axes, ink: Ink, room: Room, tick: Tick, unit: str, *, always: bool) -> None:
    ax.plot(
        [tick.time],
        [tick.depth],
        linestyle="none",
        marker="|",
        markersize=13,
        markeredgewidth=1.4,
        color=ink.line,
        label=f"switch to {tick.gas}",
        zorder=4,
    )
    sides = [("left", "top"), ("right", "top"), ("left", "bottom"), ("right", "bottom")]
    if tick.going_down:
        sides = [("left", "bottom"), ("right", "top")]
    places = [Place(tick.time, tick.depth, across, up) for across, up in sides]
    room.write(f"{tick.gas} at {number(tick.depth)} {unit}", places, gap=2.0, always=always)


def number(x: float) -> str:
    """Return a depth or a half-time as it is read: one decimal, and none where it is 0."""
    return f"{round(float(x), 1):g}"

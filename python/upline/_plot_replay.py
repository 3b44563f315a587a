"""Checks and replays as pictures: the path with its ceiling, and the margin below it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from ._picture import (
    POINTS,
    Ink,
    Paragraphs,
    add_caution,
    add_title,
    below_picture,
    ink_of,
    name_axis,
    new_figure,
    plain,
    require_axes,
    wrapped,
)
from ._profile import SAMPLES, Profile, Tick, draw_profile, hatch
from ._room import Place, Room
from ._said import bar, headline, least, length_of, moment, short, surfaced

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from numpy.typing import NDArray

    from ._check_results import Check, CheckedRow
    from ._replay import Replay

_HEIGHT = 1.6  # of the margin [inches]
_JUST_BEFORE = 1.0 - 1e-9
_CORNERS = 1500  # more of them are not told apart on paper
_ROOM = 0.12  # around words below a line [inches]
_SEEN = 0.001  # less beyond the line is not shown larger [bar]


def plot_replay(replay: Replay, ax: Axes | None) -> Axes:
    """Draw a path with its ceiling, and in a new figure the margin below it."""
    above = [headline(replay), surfaced(replay)]
    return _plot(replay, above, "the printed replay", (), ax)


def plot_check(check: Check, ax: Axes | None) -> Axes:
    """Draw the dive that a table makes under the reading with the least margin."""
    drawn = "" if len(check.readings) == 1 else " drawn, that with the least margin"
    above = [check.sentence, f"Reading{drawn}: {check.reading}."]
    return _plot(check.replay, above, "the printed check", check.rows, ax)


def _plot(
    replay: Replay,
    above: list[str],
    printed: str,
    rows: tuple[CheckedRow, ...],
    ax: Axes | None,
) -> Axes:
    model = replay.assumptions.partition(";")[0]  # parameter set, factors, anchor
    words = Paragraphs(
        [*above, f"{model} ({replay.units})"], below_picture(replay.cautions, printed)
    )
    if ax is None:
        times, found = _moments(replay)
        ax, below = new_figure("plot", words, [3.4, _HEIGHT])
        _path(ax, replay, times, found, rows)
        _margin(below, replay, times, found)
        add_caution(below, ink_of(below), words)
        below.sharex(ax)
        ax.tick_params(labelbottom=False)
        return ax
    require_axes("plot", ax)
    ink = ink_of(ax)
    add_title(ax, ink, words)
    _path(ax, replay, *_moments(replay), rows)
    name_axis(ax.xaxis, "run time [min]", ink)
    add_caution(ax, ink, words)
    return ax


# ---- what there is to draw -----------------------------------------------------------------------


def _moments(replay: Replay) -> tuple[NDArray[np.float64], dict[str, NDArray[Any]]]:
    """Return run times that draw a path, the least margin among them, and what is then."""
    corners = replay._path.corners()
    changes = [begins for _, begins, _, _ in replay._path.gases()]
    times = np.concatenate(
        [
            _thinned(corners["time"], corners["depth"]),
            np.linspace(0.0, replay.run_time, SAMPLES),
            [*changes, replay.judged_from, replay.tightest.run_time],
            [replay.run_time * _JUST_BEFORE],  # the line may step at the surface
        ]
    )
    times = np.unique(times)
    return times, replay._path.moments(times)


def _thinned(time: NDArray[np.float64], depth: NDArray[np.float64]) -> NDArray[np.float64]:
    """Of a long log the shallowest and the deepest moment of each of many spans."""
    if len(time) <= _CORNERS:
        return time
    spans = np.array_split(np.arange(len(time)), _CORNERS // 2)
    ends = [(span[np.argmin(depth[span])], span[np.argmax(depth[span])]) for span in spans]
    kept: NDArray[np.float64] = time[np.unique(np.concatenate([*ends, (0, len(time) - 1)]))]
    return kept


def _profile(replay: Replay, times: NDArray[np.float64], found: dict[str, NDArray[Any]]) -> Profile:
    depth = found["depth"]
    (_, begins, ends, first), *later = replay._path.gases()
    ticks = [
        Tick(start, float(np.interp(start, times, depth)), gas.spoken, _sinks(times, depth, start))
        for _, start, _, gas in later
    ]
    shares = (0.5, 0.65, 0.35, 0.8, 0.2)
    middles = [begins + share * (ends - begins) for share in shares]
    places = [
        Place(middle, float(np.interp(middle, times, depth)), across, up)
        for across, up in (
            ("center", "top"),
            ("left", "top"),
            ("left", "bottom"),
            ("right", "bottom"),
        )
        for middle in middles
    ]
    return Profile(
        times, depth, found["ceiling"], length_of(replay.units), first.spoken, places, ticks
    )


def _sinks(times: NDArray[np.float64], depth: NDArray[np.float64], at: float) -> bool:
    """Whether the diver goes down at a moment."""
    j = int(np.searchsorted(times, at))
    return bool(0 < j < len(times) - 1 and depth[j - 1] < depth[j] < depth[j + 1])


# ---- path ----------------------------------------------------------------------------------------


def _path(
    ax: Axes,
    replay: Replay,
    times: NDArray[np.float64],
    found: dict[str, NDArray[Any]],
    rows: tuple[CheckedRow, ...],
) -> None:
    ink = ink_of(ax)
    room = draw_profile(ax, _profile(replay, times, found))
    worst = least(replay)
    _ring(ax, ink, worst.run_time, worst.depth)
    corners = [(across, up) for up in ("top", "bottom") for across in ("left", "right")]
    places = [Place(worst.run_time, worst.depth, across, up) for across, up in corners]
    room.write("least margin", places, gap=2.0, always=False)
    for row in rows:
        if row.gas == row.arrives_on:  # else a tick names the depth
            _name_row(room, row, length_of(replay.units))


def _name_row(room: Room, row: CheckedRow, unit: str) -> None:
    middle = (row.arrives + row.departs) / 2.0
    places = [
        Place(middle, row.depth, "center", "top"),
        Place(middle, row.depth, "left", "top"),
        Place(row.departs, row.depth, "left", "top"),
    ]
    room.write(f"{short(row.depth, 2)} {unit}", places, gap=2.0, always=False)


def _ring(ax: Axes, ink: Ink, time: float, height: float) -> None:
    ax.plot(
        [time],
        [height],
        linestyle="none",
        marker="o",
        markersize=7,
        markerfacecolor="none",
        markeredgewidth=1.4,
        color=ink.line,
        label="least margin",
        zorder=6,
        clip_on=False,
    )


# ---- margin --------------------------------------------------------------------------------------


def _margin(
    ax: Axes, replay: Replay, times: NDArray[np.float64], found: dict[str, NDArray[Any]]
) -> None:
    ink = ink_of(ax)
    plain(ax)
    counts = times >= replay.judged_from
    time, margin = times[counts], found["margin"][counts]
    text = _words_of_least(ax, ink, replay)
    ax.set_xlim(0.0, replay.run_time * 1.02)
    ax.set_ylim(*_limits(ink, replay, time, margin, 1 + text.count("\n")))
    ax.plot(time, margin, color=ink.line, linewidth=1.6, label="margin", zorder=3)
    ax.axhline(0.0, color=ink.line, linewidth=0.9, linestyle=(0, (4, 3)), label="limit line")
    beyond = least(replay).pressure < 0.0
    if beyond:
        whole = np.array(ax.get_xlim())
        hatch(ax, ink, whole, np.full(2, ax.get_ylim()[0]), "beyond the limit line")
    worst = least(replay)
    _ring(ax, ink, worst.run_time, worst.pressure)
    room = Room(ax, ink, time, margin, np.full(len(time), ax.get_ylim()[1]), grounded=beyond)
    aside = [Place(worst.run_time, worst.pressure, across, "top") for across in _SIDES]
    room.write(text, aside, gap=4.0, always=True)
    line = "0: the limit line"
    ends = [
        Place(x, 0.0, across, up)
        for up in ("top", "bottom")
        for x, across in ((0.0, "left"), (replay.run_time, "right"), (replay.run_time / 2, "left"))
    ]
    room.write(line, ends, gap=4.0, always=True)
    name_axis(ax.yaxis, "margin [bar]", ink)
    name_axis(ax.xaxis, "run time [min]", ink)


_SIDES = ("center", "right", "left")


def _words_of_least(ax: Axes, ink: Ink, replay: Replay) -> str:
    worst = least(replay)
    text = f"least {bar(worst.pressure)} bar: {moment(worst, replay)}"
    lines = wrapped(ax, ink, text, ink.small)
    return "\n".join(["beyond the limit line", *lines] if worst.pressure < 0.0 else lines)


def _limits(
    ink: Ink,
    replay: Replay,
    time: NDArray[np.float64],
    margin: NDArray[np.float64],
    lines: int,
) -> tuple[float, float]:
    """Room for the margin at the stops, and for words below the least; more runs out at the top.

    What is beyond the line takes a sixth of the height at least, so that it can be seen.
    """
    stays = time >= (replay.stops[0].arrives if replay.stops else replay.judged_from)
    lowest = min(least(replay).pressure, 0.0)
    top = max(1.15 * float(margin[stays].max()), 0.05)
    if lowest < -_SEEN:
        top = min(top, max(-5.0 * lowest, 0.1))
    words = (lines * ink.small * 1.3 / POINTS + _ROOM) / _HEIGHT
    share = min(words, 0.6)
    return (lowest - share * top) / (1.0 - share), top

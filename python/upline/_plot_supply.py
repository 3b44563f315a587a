"""Gas of one diver as a picture: what each cylinder holds against run time."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, NamedTuple

from . import _core, _messages
from ._diver import fields_of
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
)
from ._reserve_results import Reserves

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from ._consumption import Consumption

# Told apart by their dashes, and by the words at their ends.
_STYLES: tuple[Any, ...] = (
    "-",
    (0, (7, 2)),
    (0, (1.2, 1.4)),
    (0, (7, 2, 1.2, 2)),
    (0, (3, 1.5)),
    (0, (7, 2, 1.2, 2, 1.2, 2)),
)
_HEIGHT = 3.4  # of the axes [inches]
_HEADROOM = 1.06
_LEADER = 22.0  # from the end of a line to its words [points]
_WIDEST = 0.6  # share of the axes that words at the ends may take
_MOST = 1e6  # of a reserve [L or cu ft]


class Level(NamedTuple):
    """A reserve: what stays, and the words for it."""

    volume: float
    words: str


def plot_consumption(found: Consumption, ax: Axes | None, reserve: object) -> Axes:
    """Draw contents of cylinders against run time, with a line for each reserve."""
    levels = _levels(found, reserve)
    trace = _core.content_trace(found.plan, fields_of(found.diver), found.stress_from)
    words = _words(found)
    if ax is None:
        lines = len(trace["labels"]) + len(levels)
        (ax,) = new_figure("plot", words, [max(_HEIGHT, 0.2 * lines)])
    else:
        require_axes("plot", ax)
        add_title(ax, ink_of(ax), words)
    _draw(ax, found, trace, levels)
    add_caution(ax, ink_of(ax), words)
    return ax


def _words(found: Consumption) -> Paragraphs:
    above = [_core.refusal] if found.plan.refused else []
    above += [f"{found.title}: {_core.schedule_title(found.plan)}", *found.empty, found.verdict]
    above.append(f"Content: {found.breathing}")
    return Paragraphs(above, below_picture(found.plan.cautions, "the printed plan"))


# ---- reserves ------------------------------------------------------------------------------------


def _levels(found: Consumption, reserve: object) -> list[Level]:
    if reserve is None:
        return []
    if _messages.is_a(reserve, Reserves):
        return [_sharing_level(found, reserve)]
    if not _messages.is_a(reserve, dict):
        raise _core.wrong_type(
            "reserve",
            _core.shown(reserve),
            "Reserves, or a dict of mixes or numbers of cylinders with what stays in each",
            'write reserve={"18/45": 900}',
        )
    return [_level(found, key, volume) for key, volume in dict.items(reserve)]


def _sharing_level(found: Consumption, kept: Any) -> Level:
    """Return the sharing reserve of this diver, as found for the same plan."""
    named = [one for one in kept.requirements if one.diver == found.diver.name]
    if kept.plan != found.plan or not named:
        raise _core.invalid_input(
            "reserve",
            "that of another plan or team",
            "Reserves of the plan and a team with the diver that are drawn",
            "compute it with upline.reserves for them",
        )
    shared = next(one for one in named if one.what == "sharing")
    if shared.needed is None:
        raise _core.invalid_input(
            "reserve", "unknown", "a sharing reserve that is known", f"see why: {shared.reason}"
        )
    unit = _volume(found)
    volume = math.ceil(shared.needed) if unit == "L" else math.ceil(shared.needed * 10.0) / 10.0
    beyond = "" if shared.closes else ", which is not there"
    return Level(volume, f"{shared.purpose}, {shared.gas.spoken}: {volume:g} {unit}{beyond}")


def _level(found: Consumption, key: object, given: object) -> Level:
    unit = _volume(found)
    which, name = _cylinder(found, key)
    volume = _core.number(given, f"reserve of {name}", unit)
    if not 0.0 <= volume <= _MOST:
        raise _core.invalid_input(
            f"reserve of {name}",
            _core.shown(given),
            f"0 to {_MOST:.0f} {unit}",
            "give what is to stay in it",
        )
    less = volume > found.content[which]
    beyond = ", more than it holds" if less else ""
    return Level(volume, f"reserve of {name}: {volume:g} {unit}{beyond}")


def _cylinder(found: Consumption, key: object) -> tuple[int, str]:
    """Return which cylinder is meant by its number or its mix, and what to call it."""
    count = len(found.cylinders)
    if type(key) is int:
        if not 1 <= key <= count:
            raise _core.invalid_input(
                "reserve", f"of cylinder {_core.shown(key)}", f"1 to {count}", "count from 1"
            )
        return key - 1, f"cylinder {key}, {found.cylinders[key - 1].gas.spoken}"
    if _messages.is_a(key, _core.Gas):
        gas = key
    elif _messages.is_a(key, str):
        gas = _core.Gas(_messages.exact(key))
    else:
        raise _core.wrong_type(
            "reserve",
            f"of {_core.shown(key)}",
            "a mix, or the number of a cylinder from 1 on",
            'write reserve={"18/45": 900}',
        )
    having = [j for j, one in enumerate(found.cylinders) if one.gas == gas]
    if len(having) != 1:
        raise _core.invalid_input(
            "reserve",
            f"of {gas.spoken}, which is in {len(having)} cylinders",
            "a mix that is in one cylinder, or the number of a cylinder",
            f"name the cylinder by its number, 1 to {count}",
        )
    return having[0], gas.spoken


# ---- drawing -------------------------------------------------------------------------------------


def _draw(ax: Axes, found: Consumption, trace: dict[str, Any], levels: list[Level]) -> None:
    ink = ink_of(ax)
    plain(ax)
    ends: list[tuple[float, str]] = []
    until = trace["run_time"][-1]
    highest = max(*found.content, *(level.volume for level in levels))
    for j, (content, label) in enumerate(zip(trace["contents"], trace["labels"], strict=True)):
        style = {"linestyle": _STYLES[j % len(_STYLES)], "linewidth": 1.7, "zorder": 3}
        ax.plot(trace["run_time"], content, color=ink.line, label=label, **style)
        ends.append((content[-1], label))
    for level in levels:
        ax.plot(
            [0.0, until],
            [level.volume] * 2,
            color=ink.line,
            linewidth=0.7,
            linestyle=(0, (10, 5)),
            label=level.words,
        )
        ends.append((level.volume, level.words))
    ax.set_ylim(0.0, _HEADROOM * highest)
    name_axis(ax.yaxis, f"left [{_volume(found)}]", ink)
    name_axis(ax.xaxis, "run time [min]", ink)
    _name_ends(ax, ink, until, ends)


def _name_ends(ax: Axes, ink: Ink, until: float, ends: list[tuple[float, str]]) -> None:
    """Write beside the end of each line what it is, one below the other, with a leader to it."""
    from matplotlib.collections import LineCollection

    sizes = [_size(ax, ink, text) for _, text in ends]
    inside = ax.get_window_extent()
    leader = _LEADER * ax.figure.dpi / POINTS
    room = min(max(width for width, _ in sizes) + 1.3 * leader, _WIDEST * inside.width)
    ax.set_xlim(0.0, until * inside.width / (inside.width - room))
    ax.spines["bottom"].set_bounds(0.0, until)  # the words stand beyond the dive
    ax.set_xticks([tick for tick in ax.get_xticks() if 0.0 <= tick <= until])
    ax.xaxis.label.set_x(until / ax.get_xlim()[1] / 2.0)
    to_pixels, to_data = ax.transData, ax.transData.inverted()
    order = sorted(range(len(ends)), key=lambda j: ends[j][0])
    wanted = [float(to_pixels.transform((until, ends[j][0]))[1]) for j in order]
    step = 1.15 * max(height for _, height in sizes)
    placed = _apart(wanted, step, float(inside.y0) + step / 2, float(inside.y1) - step / 2)
    across = float(to_pixels.transform((until, 0.0))[0]) + leader
    leaders = []
    for j, height in zip(order, placed, strict=True):
        volume, text = ends[j]
        x, y = to_data.transform((across, height))
        begins = to_data.transform((across - leader * 0.12, height))
        leaders.append([(until, volume), tuple(begins)])
        ax.text(float(x), float(y), text, va="center", ha="left", fontsize=ink.small, **ink.words)
    ax.add_collection(
        LineCollection(leaders, colors=[ink.line], linewidths=0.6, label="leaders"),
        autolim=False,
    )


def _size(ax: Axes, ink: Ink, text: str) -> tuple[float, float]:
    probe = ax.text(0.0, 0.0, text, fontsize=ink.small, **ink.words)
    box = probe.get_window_extent()
    probe.remove()
    return float(box.width), float(box.height)


def _apart(wanted: list[float], step: float, low: float, high: float) -> list[float]:
    """Return ascending heights at least a step apart, near those wanted and below `high`."""
    placed = [max(height, low) for height in wanted]
    for j in range(1, len(placed)):
        placed[j] = max(placed[j], placed[j - 1] + step)
    placed[-1] = min(placed[-1], high)
    for j in range(len(placed) - 2, -1, -1):
        placed[j] = min(placed[j], placed[j + 1] - step)
    return placed


def _volume(found: Consumption) -> str:
    return "L" if found.units == "metric" else "cu ft"

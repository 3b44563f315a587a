"""What all pictures share: one ink, a new figure with room for its words, title and caution.

Everything is told by line style and by words, nothing by colour. The ink is that of the labels of
the axes and the ground that of the axes, so that a dark style works as a light one does.
"""

from __future__ import annotations

import re
import textwrap
from typing import TYPE_CHECKING, Any, NamedTuple

from . import _core, _optional

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from ._core import Plan

POINTS = 72.0  # in an inch
_LINE = 1.25  # distance of lines of text, in heights of the font
_LEFT, _RIGHT, _GAP = 0.85, 0.3, 0.4  # margins of a new figure, and between its axes [inches]


class Ink(NamedTuple):
    """Colours and sizes of one picture."""

    line: Any
    ground: Any
    label: float
    small: float
    foot: float

    @property
    def words(self) -> dict[str, Any]:
        """For every text: no markup is read in it, so that "50 %" stays what it is."""
        return {"color": self.line, "usetex": False, "parse_math": False}


def new_figure(
    caller: str, plan: Plan, heights: list[float], moment: str | None = None
) -> list[Axes]:
    """Return axes one below the other, as high as asked for [inches], with room for all words."""
    pyplot = _optional.imported("matplotlib.pyplot", caller, "plot")
    width = 8.0
    across = width - _LEFT - _RIGHT
    figure = pyplot.figure(figsize=(width, sum(heights)))
    probe = figure.add_axes((_LEFT / width, 0.5, across / width, 0.4))
    ink = ink_of(probe)
    title = _lines_of_title(probe, ink, plan, moment)
    foot = _lines_of_caution(probe, ink, plan)
    probe.remove()
    above = (len(title) * ink.label * _LINE + 16.0) / POINTS
    below = (_below_axis(ink) + len(foot) * ink.foot * _LINE + 12.0) / POINTS
    height = above + sum(heights) + _GAP * (len(heights) - 1) + below
    figure.set_size_inches(width, height)
    axes = []
    top = height - above
    for part in heights:
        box = (_LEFT / width, (top - part) / height, across / width, part / height)
        axes.append(figure.add_axes(box))
        axes[-1].yaxis.set_label_coords(-0.55 / across, 0.5)
        top -= part + _GAP
    add_title(axes[0], ink, plan, moment)
    return axes


def require_axes(caller: str, ax: object) -> None:
    axes = _optional.imported("matplotlib.axes", caller, "plot")
    if not issubclass(type(ax), axes.Axes):
        raise _core.wrong_type(
            "ax", _core.shown(ax), "Axes of matplotlib, or None", "make them with plt.subplots()"
        )


def ink_of(ax: Axes) -> Ink:
    """Take the colours from the axes: they keep the style they were made in."""
    label = ax.xaxis.label
    size = float(label.get_fontsize())
    return Ink(label.get_color(), ax.get_facecolor(), size, 0.85 * size, 0.75 * size)


def plain(ax: Axes) -> None:
    ax.grid(visible=False)
    for side in ("top", "right"):
        ax.spines[side].set_visible(False)


def whole_numbers(axis: Any) -> None:
    from matplotlib.ticker import MaxNLocator

    axis.set_major_locator(MaxNLocator(nbins=8, steps=[1, 2, 5, 10], integer=True))


def name_axis(axis: Any, name: str, ink: Ink) -> None:
    axis.set_label_text(name, usetex=False, parse_math=False, color=ink.line)


def add_legend(ax: Axes, ink: Ink, **place: Any) -> None:
    legend = ax.legend(frameon=False, fontsize=ink.small, handlelength=3.0, **place)
    for words in legend.get_texts():
        words.set(**ink.words)


def add_title(ax: Axes, ink: Ink, plan: Plan, moment: str | None = None) -> None:
    lines = _lines_of_title(ax, ink, plan, moment)
    ax.set_title("\n".join(lines), loc="left", fontsize=ink.label, **ink.words)


def _lines_of_title(ax: Axes, ink: Ink, plan: Plan, moment: str | None) -> list[str]:
    paragraphs = [_core.refusal] if plan.refused else []
    paragraphs.append(_core.schedule_title(plan))
    paragraphs.append(plan.assumptions.partition(";")[0])  # parameter set, factors, anchor
    if moment is not None:
        paragraphs.append(moment)
    return [line for text in paragraphs for line in _wrapped(ax, ink, text, ink.label)]


def add_caution(ax: Axes, ink: Ink, plan: Plan) -> None:
    """Write below the axes what refuses the plan, how much else to read there is, and the foot."""
    ax.annotate(
        "\n".join(_lines_of_caution(ax, ink, plan)),
        (0.0, 0.0),
        (0.0, -_below_axis(ink)),
        xycoords="axes fraction",
        textcoords="offset points",
        va="top",
        fontsize=ink.foot,
        linespacing=_LINE,
        annotation_clip=False,
        **ink.words,
    )


def _lines_of_caution(ax: Axes, ink: Ink, plan: Plan) -> list[str]:
    refusing = [one for one in plan.cautions if one.severity == "refuses"]
    paragraphs = [f"refuses: {one.text}" for one in refusing]
    others = [_counted(plan, severity) for severity in ("caution", "note")]
    if any(others):
        paragraphs.append(f"In the printed plan: {', '.join(filter(None, others))}.")
    paragraphs.append(_core.foot)
    return [line for text in paragraphs for line in _wrapped(ax, ink, text, ink.foot)]


def _counted(plan: Plan, severity: str) -> str:
    number = sum(one.severity == severity for one in plan.cautions)
    return f"{number} {severity}{'' if number == 1 else 's'}" if number else ""


def _below_axis(ink: Ink) -> float:
    """Height of the numbers and the name of an axis [points]."""
    return 3.2 * ink.label + 10.0


def _wrapped(ax: Axes, ink: Ink, text: str, size: float) -> list[str]:
    """Break a paragraph into lines no wider than the axes, a number never apart from its unit."""
    text = re.sub(r"(?<=\d) (?=(?:m|ft|min|bar|g/L)\b|%)", "\N{NO-BREAK SPACE}", text)
    across = ax.get_window_extent().width
    probe = ax.text(0.0, 0.0, text, fontsize=size, **ink.words)
    signs = int(1.1 * len(text) * across / probe.get_window_extent().width)
    fewest = 20
    while signs > fewest:
        probe.set_text("\n".join(textwrap.wrap(text, signs)))
        if probe.get_window_extent().width <= across:
            break
        signs -= 1
    probe.remove()
    # As narrow as the same number of lines can be: no word is left alone on the last.
    signs = max(signs, fewest)
    lines = textwrap.wrap(text, signs)
    while signs > fewest and len(narrower := textwrap.wrap(text, signs - 1)) == len(lines):
        signs, lines = signs - 1, narrower
    return lines


def inches_across(ax: Axes) -> float:
    return float(ax.get_window_extent().width) / float(ax.figure.dpi)

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
    from collections.abc import Sequence

    from matplotlib.axes import Axes

    from ._core import Caution

POINTS = 72.0  # in an inch
_REFUSING = 4  # cautions that are written out
_LINE = 1.25  # distance of lines of text, in heights of the font
_LEFT, _RIGHT, _GAP = 0.95, 0.3, 0.4  # margins of a new figure, and between its axes [inches]


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


class Paragraphs(NamedTuple):
    """What is written above and below a picture."""

    above: list[str]
    below: list[str]


def below_picture(cautions: Sequence[Caution], where: str) -> list[str]:
    """Return what refuses, how much else there is to read and where, and the foot."""
    refusing = [one for one in cautions if one.severity == "refuses"]
    paragraphs = [f"refuses: {one.text}" for one in refusing[:_REFUSING]]
    others = [_counted(cautions, severity) for severity in ("caution", "note")]
    if len(refusing) > _REFUSING:
        others.insert(0, f"{len(refusing) - _REFUSING} more that refuse")
    if any(others):
        paragraphs.append(f"In {where}: {', '.join(filter(None, others))}.")
    return [*paragraphs, _core.foot]


def new_figure(caller: str, words: Paragraphs, heights: list[float]) -> list[Axes]:
    """Return axes one below the other, as high as asked for [inches], with room for all words."""
    pyplot = _optional.imported("matplotlib.pyplot", caller, "plot")
    width = 8.0
    across = width - _LEFT - _RIGHT
    figure = pyplot.figure(figsize=(width, sum(heights)))
    probe = figure.add_axes((_LEFT / width, 0.5, across / width, 0.4))
    ink = ink_of(probe)
    title = _lines(probe, ink, words.above, ink.label)
    foot = _lines(probe, ink, words.below, ink.foot)
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
        axes[-1].yaxis.set_label_coords(-0.66 / across, 0.5)
        top -= part + _GAP
    add_title(axes[0], ink, words)
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
    return Ink(label.get_color(), ax.get_facecolor(), size, 0.85 * size, 0.85 * size)


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


def add_title(ax: Axes, ink: Ink, words: Paragraphs) -> None:
    lines = _lines(ax, ink, words.above, ink.label)
    ax.set_title("\n".join(lines), loc="left", fontsize=ink.label, **ink.words)


def add_caution(ax: Axes, ink: Ink, words: Paragraphs) -> None:
    """Write below the axes what must be read with the picture."""
    ax.annotate(
        "\n".join(_lines(ax, ink, words.below, ink.foot)),
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


def _lines(ax: Axes, ink: Ink, paragraphs: list[str], size: float) -> list[str]:
    return [line for text in paragraphs for line in wrapped(ax, ink, text, size)]


def _counted(cautions: Sequence[Caution], severity: str) -> str:
    number = sum(one.severity == severity for one in cautions)
    return f"{number} {severity}{'' if number == 1 else 's'}" if number else ""


def _below_axis(ink: Ink) -> float:
    """Height of the numbers and the name of an axis [points]."""
    return 3.2 * ink.label + 10.0


def wrapped(ax: Axes, ink: Ink, text: str, size: float) -> list[str]:
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

"""Reads pictures as a person does: words, lines, and whether all of it can be seen."""

from __future__ import annotations

import itertools

import numpy as np
from matplotlib.axes import Axes
from matplotlib.colors import to_rgb
from matplotlib.figure import Figure
from matplotlib.text import Text


def words_in(ax: Axes) -> list[Text]:
    """What is written on the ground of the axes, between their spines."""
    inside = ax.get_window_extent()
    return [one for one in ax.texts if inside.y0 <= one.get_window_extent().y0]


def texts(ax: Axes) -> list[str]:
    return [one.get_text() for one in words_in(ax)]


def below(ax: Axes) -> str:
    """What is written under the axes, as one paragraph."""
    inside = ax.get_window_extent()
    found = [one.get_text() for one in ax.texts if one.get_window_extent().y1 < inside.y0]
    return " ".join(" ".join(found).replace("\N{NO-BREAK SPACE}", " ").split())


def line(ax: Axes, label: str) -> np.ndarray:
    (found,) = [one for one in ax.lines if one.get_label() == label]
    return np.asarray(found.get_xydata())


def title(ax: Axes) -> str:
    """The title as one line; a number and its unit are kept together by a blank of its own."""
    return " ".join(ax.get_title("left").replace("\N{NO-BREAK SPACE}", " ").split())


def by_label(ax: Axes, label: str) -> list[object]:
    return [one for one in ax.collections if one.get_label() == label]


def luminance(colour: object) -> float:
    """Relative luminance, by the formula of WCAG 2.1."""
    rgb = np.array(to_rgb(colour))
    linear = np.where(rgb <= 0.04045, rgb / 12.92, ((rgb + 0.055) / 1.055) ** 2.4)
    return float(linear @ [0.2126, 0.7152, 0.0722])


def contrast(one: object, other: object) -> float:
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def numbers_of(ax: Axes) -> list[Text]:
    """Numbers beside the vertical axis; those beyond its ends are not drawn."""
    low, high = sorted(ax.get_ylim())
    return [
        one
        for at, one in zip(ax.get_yticks(), ax.get_yticklabels(), strict=True)
        if low <= at <= high
    ]


def require_contrast(ax: Axes) -> None:
    """Every line and word stands out from its ground."""
    ground, paper = ax.get_facecolor(), ax.figure.get_facecolor()
    for one in ax.lines:
        assert contrast(one.get_color(), ground) >= 4.5, one.get_label()
    legend = ax.get_legend()
    names = [ax.xaxis.label, ax.yaxis.label, *ax.texts]
    names += legend.get_texts() if legend else []
    for one in names:
        assert contrast(one.get_color(), ground) >= 4.5
        assert contrast(one.get_color(), paper) >= 4.5


def require_one_ink(ax: Axes) -> None:
    """No colour tells anything: every line, region and word has the same."""
    ink = to_rgb(ax.xaxis.label.get_color())
    legend = ax.get_legend()
    written = [*ax.texts, *(legend.get_texts() if legend else [])]
    inks = [to_rgb(one.get_color()) for one in (*ax.lines, *written)]
    for region in ax.collections:
        inks += [tuple(rgba[:3]) for rgba in region.get_edgecolor()]
        inks += [tuple(rgba[:3]) for rgba in region.get_facecolor()]
    assert set(inks) == {ink}


def require_room(figure: Figure) -> None:
    """Words neither overlap nor leave the picture."""
    figure.canvas.draw()
    page = figure.bbox.padded(1.0)
    everything = [
        one
        for axes in figure.axes
        for one in (
            *axes.texts,
            axes.xaxis.label,
            axes.yaxis.label,
            *numbers_of(axes),
            *(axes.get_legend().get_texts() if axes.get_legend() else []),
            axes.title,
            axes._left_title,
        )
        if one.get_text()
    ]
    assert len(everything) > 10
    for one in everything:
        box = one.get_window_extent()
        assert page.x0 <= box.x0 <= box.x1 <= page.x1, one
        assert page.y0 <= box.y0 <= box.y1 <= page.y1, one
    for one, other in itertools.combinations(everything, 2):
        # A pixel less all round: boxes are a little larger than the letters.
        boxes = [text.get_window_extent().padded(-1.0) for text in (one, other)]
        assert not boxes[0].overlaps(boxes[1]), (one, other)


def require_off_the_line(ax: Axes, label: str = "profile") -> None:
    """No word stands on a line."""
    drawn = line(ax, label)
    dense = np.linspace(drawn[0, 0], drawn[-1, 0], 20_000)
    points = ax.transData.transform(
        np.column_stack([dense, np.interp(dense, drawn[:, 0], drawn[:, 1])])
    )
    for one in words_in(ax):
        box = one.get_window_extent().padded(-1.0)
        hit = (
            (points[:, 0] > box.x0)
            & (points[:, 0] < box.x1)
            & (points[:, 1] > box.y0)
            & (points[:, 1] < box.y1)
        )
        assert not hit.any(), one.get_text()

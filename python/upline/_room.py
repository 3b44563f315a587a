"""Where words may stand in a picture beside its line."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.text import Text
    from matplotlib.transforms import Bbox
    from numpy.typing import NDArray

    from ._picture import Ink

_POINTS_OF_LINE = 4000  # so dense that no steep part slips between two


class Place(NamedTuple):
    """A point of the picture, and on which side of it words stand."""

    time: float
    height: float
    across: str
    up: str


class Room:
    """Where words may stand: off the line, off other words, and rather not on the ceiling.

    All lengths are in pixels; the limits of the axes are final.
    """

    def __init__(
        self,
        ax: Axes,
        ink: Ink,
        time: NDArray[np.float64],
        line: NDArray[np.float64],
        ceiling: NDArray[np.float64],
        *,
        grounded: bool = False,
    ) -> None:
        self._grounded = grounded  # all words, because there is a hatch behind them
        self._ax = ax
        self._ink = ink
        self._inside = ax.get_window_extent()
        self._taken: list[Bbox] = []
        dense = np.linspace(time[0], time[-1], _POINTS_OF_LINE)
        self._line = ax.transData.transform(np.column_stack([dense, np.interp(dense, time, line)]))
        edge = ax.transData.transform(np.column_stack([time, ceiling]))
        self._time, self._ceiling = edge[:, 0], edge[:, 1]

    def write(self, text: str, places: list[Place], *, gap: float, always: bool) -> None:
        """Write at the first free place, `gap` away from other words.

        If none is off the ceiling, then on it; if none is free at all, at the first, or nowhere.
        """
        for on_ceiling in (False, True):
            for place in places:
                words = self._annotate(text, place, on_ceiling)
                box = words.get_window_extent()
                if self._is_free(box, gap) and (on_ceiling or not self._on_ceiling(box)):
                    self._taken.append(box)
                    return
                words.remove()
        if always:
            # Without a ground of their own: that would hide the line.
            self._taken.append(self._annotate(text, places[0], False).get_window_extent())

    def write_in_ceiling(self, text: str) -> None:
        """Write where the region is highest over the width of the words, or right below it."""
        from matplotlib.transforms import Bbox

        words = self._ax.text(0.0, 0.0, text, va="center", ha="center", **self._style(True))
        size = words.get_window_extent()
        half = size.width / 2.0 + 6.0
        best, middle = 1.4 * size.height, None
        for x in self._time:
            floor = self._edge_over(x - half, x + half, np.max)
            height = float(self._inside.y1) - floor
            y = floor + height / 2.0
            box = Bbox.from_bounds(x - half, y - size.height / 2.0, 2.0 * half, size.height)
            if height > best and self._is_free(box, 4.0):
                best, middle = height, (x, y)
        if middle is None:
            deepest = int(np.argmin(self._ceiling))
            middle = (self._time[deepest], self._ceiling[deepest] - size.height)
            words.set_bbox(None)
        x, y = self._ax.transData.inverted().transform(middle)
        words.set_position((float(x), float(y)))
        self._taken.append(words.get_window_extent())

    def _annotate(self, text: str, place: Place, on_ceiling: bool) -> Text:
        away = {"left": 5, "right": -5, "center": 0, "top": -6, "bottom": 6}
        return self._ax.annotate(
            text,
            (place.time, place.height),
            (away[place.across], away[place.up]),
            textcoords="offset points",
            ha=place.across,
            va=place.up,
            **self._style(on_ceiling),
        )

    def _style(self, on_ceiling: bool) -> dict[str, Any]:
        style = {"fontsize": self._ink.small, "zorder": 5, **self._ink.words}
        if on_ceiling or self._grounded:  # the hatch would strike the words through
            style["bbox"] = {"facecolor": self._ink.ground, "edgecolor": "none", "pad": 1.5}
        return style

    def _is_free(self, box: Bbox, gap: float) -> bool:
        inside = self._inside
        if box.x0 < inside.x0 or box.x1 > inside.x1 or box.y0 < inside.y0 or box.y1 > inside.y1:
            return False
        if not all(_apart(box, other, gap) for other in self._taken):
            return False
        x, y = self._line[:, 0], self._line[:, 1]
        near = box.padded(3.0)  # words on the ceiling have a ground a little larger than they are
        on_line = (x > near.x0) & (x < near.x1) & (y > near.y0) & (y < near.y1)
        return not bool(on_line.any())

    def _on_ceiling(self, box: Bbox) -> bool:
        return self._edge_over(box.x0, box.x1, np.min) < float(box.y1)

    def _edge_over(self, left: float, right: float, which: Any) -> float:
        """Highest or lowest point of the edge of the ceiling between two places."""
        within = (self._time >= left) & (self._time <= right)
        if left < self._inside.x0 or right > self._inside.x1 or not within.any():
            return float(self._inside.y1)
        return float(which(self._ceiling[within]))


def _apart(box: Bbox, other: Bbox, gap: float) -> bool:
    """Whether two boxes stand apart by `gap` across, or one above the other."""
    above = 2.0
    return bool(
        box.x1 + gap <= other.x0
        or other.x1 + gap <= box.x0
        or box.y1 + above <= other.y0
        or other.y1 + above <= box.y0
    )

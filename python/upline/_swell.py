"""The last stop held in swell."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from . import _core
from ._calls import checked
from ._html_what_if import swell_to_html
from ._results import data_of, frame_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    import pandas as pd

    from ._core import Plan

__all__ = ["Swell", "SwellBand", "swell"]


@dataclass(frozen=True)
class SwellBand:
    """What the diver meets at the last stop in swell of one amplitude.

    Attributes
    ----------
    amplitude : float
        Up and down from the stop [m or ft].
    shallowest, deepest : float
        At a crest and in a trough [m or ft].
    lowest_po2, highest_po2 : float
        On the gas on which the stop is left [bar].
    margin : float
        Least while the stop lasts [bar]; below 0 beyond the limit line.
    calm_margin : float
        The same without swell [bar].
    beyond_for : float
        After arriving, until the last crest that is beyond the line [min].
    surfacing_fraction : float
        Of the dive made so [1].
    """

    amplitude: float
    shallowest: float
    deepest: float
    lowest_po2: float
    highest_po2: float
    margin: float
    calm_margin: float
    beyond_for: float
    surfacing_fraction: float


@dataclass(frozen=True)
class Swell:
    """The last stop in swell; `swell` makes one, and ``print`` shows it.

    Attributes
    ----------
    plan : Plan
    bands : tuple of SwellBand
        In the order asked for.
    table : tuple of tuple of str
        The cells that are printed: a head, its units, then one line for each amplitude.
    title, legend : str
        What stands above and below the cells.
    text : str
    units : "metric" or "imperial"
    """

    plan: Plan
    bands: tuple[SwellBand, ...]
    table: tuple[tuple[str, ...], ...]
    title: str
    legend: str
    text: str
    units: str

    def to_frame(self) -> pd.DataFrame:
        """Return the bands as a pandas DataFrame, units in the names of the columns.

        Raises
        ------
        Error
            If pandas is not installed; the message says how to get it.
        """
        columns = {
            "amplitude": "amplitude_{length}",
            "shallowest": "shallowest_{length}",
            "deepest": "deepest_{length}",
            "lowest_po2": "lowest_po2_bar",
            "highest_po2": "highest_po2_bar",
            "margin": "margin_bar",
            "calm_margin": "calm_margin_bar",
            "beyond_for": "beyond_for_min",
            "surfacing_fraction": "surfacing_fraction",
        }
        return frame_of(self.bands, columns, self.units, "Swell.to_frame")

    def to_dict(self) -> dict[str, Any]:
        """Return plain data that JSON can hold, with ``"schema": 1``."""
        data = data_of(self, "swell", without=("plan",))
        return {**data, "assumptions": self.plan.assumptions}

    def _repr_html_(self) -> str:
        return swell_to_html(self)

    def __str__(self) -> str:
        """Return the table, then what it does not promise."""
        return self.text

    def __repr__(self) -> str:
        """Return how many amplitudes were asked for, and the least margin."""
        least = min(band.margin for band in self.bands)
        return f"<upline.Swell {len(self.bands)} amplitudes, least margin {least:.3f} bar>"


@checked
def swell(plan: Plan, amplitudes: Sequence[float], period: float = 8.0) -> Swell:
    """Hold the last stop of a plan in swell.

    The depth goes evenly up and down about the stop's; everything else is done as planned. The
    margin is that of the limit line at the depth where the diver is.

    Parameters
    ----------
    plan : Plan
        With a stop.
    amplitudes : sequence of float
        Up and down from the stop, half of the height of the waves that the diver follows
        [m or ft]; 1 to 20 of them, above 0 and less than the depth of the stop.
    period : float
        From crest to crest [s], 1 to 60. It hardly matters: tissues are slow.

    Returns
    -------
    Swell
        Oxygen pressures and margins, for each amplitude.

    Raises
    ------
    InvalidInput
        If the plan has no stop, or for what is out of range.

    Notes
    -----
    A line held at the surface moves the diver less or more than this: what counts is the depth
    that the gauge shows.

    Examples
    --------
    >>> import upline
    >>> p = upline.plan(57, 25, ["18/45", "50", "O2"], gf="40/80", last_stop=6)
    >>> band = upline.swell(p, [1.0]).bands[0]
    >>> round(band.lowest_po2, 2), round(band.highest_po2, 2), band.margin < 0
    (1.51, 1.71, True)
    """
    found = _core.swell(plan, amplitudes, period)
    return Swell(
        plan=plan,
        bands=tuple(SwellBand(**one) for one in found["bands"]),
        table=tuple(found["table"]),
        title=found["title"],
        legend=found["legend"],
        text=found["text"],
        units=found["units"],
    )

"""What a trip takes from a fill station, and the day on which it runs short."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from . import _core
from ._calls import checked
from ._html_station import demand_to_html
from ._results import data_of, frame_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    import pandas as pd

    from ._core import Gas

__all__ = ["GasDemand", "TripDemand", "trip_demand"]


@dataclass(frozen=True)
class GasDemand:
    """One gas over a trip.

    Attributes
    ----------
    gas : str
        As it is read aloud.
    a_day, needed : float
        Of the whole team, and over all days [L or cu ft].
    at_hand : float or None
        None where it was not stated [L or cu ft].
    short_by : float or None
        0 where it suffices; None where it is not known [L or cu ft].
    short_on : int or None
        The first day, from 1, whose use is not all there; None where there is none, or where what
        is at hand was not stated.
    """

    gas: str
    a_day: float
    needed: float
    at_hand: float | None
    short_by: float | None
    short_on: int | None


@dataclass(frozen=True)
class TripDemand:
    """The gases of a trip; `trip_demand` adds them up, and ``print`` shows them.

    Attributes
    ----------
    gases : tuple of GasDemand
        In the order in which their use is named first.
    days : int
    suffices : "yes", "no" or "cannot tell"
        What was not stated never suffices.
    table : tuple of tuple of str
        The cells that are printed: a head, its units, then one line for each gas.
    verdict, assumptions, text : str
    units : "metric" or "imperial"
    """

    gases: tuple[GasDemand, ...]
    days: int
    suffices: str
    table: tuple[tuple[str, ...], ...]
    verdict: str
    assumptions: str
    text: str
    units: str

    def to_frame(self) -> pd.DataFrame:
        """Return the gases as a pandas DataFrame, units in the names of the columns.

        Raises
        ------
        Error
            If pandas is not installed; the message says how to get it.
        """
        volume = "l" if self.units == "metric" else "cuft"
        columns = {
            "gas": "gas",
            "a_day": f"a_day_{volume}",
            "needed": f"needed_{volume}",
            "at_hand": f"at_hand_{volume}",
            "short_by": f"short_by_{volume}",
            "short_on": "short_on_day",
        }
        frame = frame_of(self.gases, columns, self.units, "TripDemand.to_frame")
        frame.attrs.update(assumptions=self.assumptions)
        return frame

    def to_dict(self) -> dict[str, Any]:
        """Return plain data that JSON can hold, with ``"schema": 1``."""
        return data_of(self, "trip_demand")

    def _repr_html_(self) -> str:
        return demand_to_html(self)

    def __str__(self) -> str:
        """Return what every gas needs, then what it does not promise."""
        return self.text

    def __repr__(self) -> str:
        """Return for how many days it suffices."""
        return f"<upline.TripDemand {self.days} days, suffices: {self.suffices}>"


@checked
def trip_demand(
    uses: Sequence[tuple[str | Gas, float, int, int]],
    stock: Sequence[tuple[str | Gas, float | Sequence[tuple[float, float]]]],
    days: int,
    *,
    down_to: float | None = None,
    temperature: float | None = None,
    units: str = "metric",
) -> TripDemand:
    """Add up what a trip takes from a fill station, and find the day on which a gas runs short.

    Parameters
    ----------
    uses : sequence of (gas, float, int, int)
        A gas as it comes from the station, what one diver uses of it on one dive [L or cu ft], how
        many divers, how many dives a day. For a mix that is blended name each gas of its fill
        sheet with the ``volume`` of its addition.
    stock : sequence of (gas, float or sequence of (float, float))
        A gas and how much of it is at hand [L or cu ft], or its banks: the water volume of each
        [L or cu ft] and what its gauge reads [bar or psi]. A gas that is not named is unknown and
        never suffices.
    days : int
        1 to 60.
    down_to : float, optional
        What stays in each bank [bar or psi]; needed where banks are given.
    temperature : float, optional
        Of the banks [degrees C or F]; needed where banks are given.
    units : "metric" or "imperial"

    Returns
    -------
    TripDemand

    Raises
    ------
    InvalidInput
        For what is missing or out of range. `WrongType` for a value of the wrong kind.

    Notes
    -----
    Litres against litres. Gas flows from a bank by itself only while it reads more than the
    cylinder; how many fills that gives is what `cascade` counts.

    Examples
    --------
    Three divers (invented), two dives a day, six days, oxygen from two banks:

    >>> import upline
    >>> oxygen = ("O2", [(50, 180), (50, 200)])
    >>> trip = upline.trip_demand([("O2", 600, 3, 2)], [oxygen], 6, down_to=60, temperature=15)
    >>> trip.suffices, trip.gases[0].short_on
    ('no', 4)
    """
    found = _core.trip_demand(uses, stock, days, down_to, temperature, units)
    gases = tuple(GasDemand(**one) for one in found.pop("gases"))
    return TripDemand(gases=gases, **found)

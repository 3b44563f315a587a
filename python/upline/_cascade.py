"""Bank cylinders that fill one cylinder after another, their pressures falling as they do."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from . import _core
from ._calls import checked
from ._html_station import cascade_to_html
from ._optional import imported
from ._results import data_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    import pandas as pd

    from ._core import Cylinder, Gas

__all__ = ["Cascade", "CascadeFill", "cascade"]


@dataclass(frozen=True)
class CascadeFill:
    """One cylinder filled from all the banks.

    Attributes
    ----------
    full : bool
        Whether it has what was asked for.
    reached : float
        What its gauge reads at the end [bar or psi].
    oxygen, helium : float
        Of the mix in it then [1].
    moles : tuple of float
        From each bank; 0 where it reads no more than the cylinder [mol].
    banks : tuple of float
        What each bank reads afterwards [bar or psi].
    cylinder : tuple of float
        What the cylinder reads after each bank [bar or psi].
    """

    full: bool
    reached: float
    oxygen: float
    helium: float
    moles: tuple[float, ...]
    banks: tuple[float, ...]
    cylinder: tuple[float, ...]


@dataclass(frozen=True)
class Cascade:
    """Fills one after the other; `cascade` counts them, and ``print`` shows them.

    Attributes
    ----------
    fills : tuple of CascadeFill
        All that are full, then the first that is not.
    full : int
        How many are.
    ideal_full : int
        How many would be, if the gas were ideal.
    goes_on : bool
        Whether the count was stopped at 200.
    table : tuple of tuple of str
        The cells that are printed: a head, its units, the beginning, then one line for each fill.
    title, verdict, assumptions, text : str
    units : "metric" or "imperial"
    """

    fills: tuple[CascadeFill, ...]
    full: int
    ideal_full: int
    goes_on: bool
    table: tuple[tuple[str, ...], ...]
    title: str
    verdict: str
    assumptions: str
    text: str
    units: str

    def to_frame(self) -> pd.DataFrame:
        """Return the fills as a pandas DataFrame, units in the names of the columns.

        Raises
        ------
        Error
            If pandas is not installed; the message says how to get it.
        """
        frames = imported("pandas", "Cascade.to_frame", "pandas")
        pressure = "bar" if self.units == "metric" else "psi"
        columns: dict[str, list[Any]] = {
            "full": [fill.full for fill in self.fills],
            f"reached_{pressure}": [fill.reached for fill in self.fills],
            "oxygen": [fill.oxygen for fill in self.fills],
            "helium": [fill.helium for fill in self.fills],
        }
        for j in range(len(self.fills[0].banks)):
            columns[f"bank_{j + 1}_{pressure}"] = [fill.banks[j] for fill in self.fills]
            columns[f"moved_{j + 1}_mol"] = [fill.moles[j] for fill in self.fills]
        frame: pd.DataFrame = frames.DataFrame(columns)
        frame.attrs.update(
            units=self.units,
            assumptions=self.assumptions,
            caution=_core.blending_caution,
            foot=_core.foot,
        )
        return frame

    def to_dict(self) -> dict[str, Any]:
        """Return plain data that JSON can hold, with ``"schema": 1``."""
        return {**data_of(self, "cascade"), "caution": _core.blending_caution}

    def _repr_html_(self) -> str:
        return cascade_to_html(self)

    def __str__(self) -> str:
        """Return what every bank reads after each fill, then what it does not promise."""
        return self.text

    def __repr__(self) -> str:
        """Return what is asked, and how many fills there are."""
        return f"<upline.Cascade {self.title}: {self.full} full>"


@checked
def cascade(
    gas: str | Gas, banks: Sequence[tuple[float, float]], cylinder: Cylinder, pressure: float
) -> Cascade:
    """Fill cylinders from bank cylinders, one after the other, until one is no longer full.

    Arithmetic for qualified blenders. Analyse every fill before it is labelled, and again before
    it is breathed.

    Parameters
    ----------
    gas : str or Gas
        What is in the banks: "O2", "He", "32".
    banks : sequence of (float, float)
        One to 12 banks in the order in which they are opened: the water volume of each [L or cu ft]
        and what its gauge reads [bar or psi].
    cylinder : Cylinder
        As each comes in: what is left in it, its mix, and the temperature, which is that of the
        banks as well. Its units are those of the call.
    pressure : float
        To fill to [bar, or psi if it is imperial].

    Returns
    -------
    Cascade

    Raises
    ------
    InvalidInput
        For what is out of range. `WrongType` for a value of the wrong kind.

    Notes
    -----
    Real gas, isothermal: a fill is not unless it is slow. Each bank is opened once for each fill,
    until the pressures are equal or the cylinder has what was asked for. Nothing is pumped.

    Examples
    --------
    Two banks of 32 % at Skerry Point (invented):

    >>> import upline
    >>> back = upline.Cylinder(12, 40, "32", 20)
    >>> count = upline.cascade("32", [(50, 140), (50, 230)], back, 180)
    >>> count.full, [round(reading) for reading in count.fills[0].banks]
    (2, [120, 214])
    """
    found = _core.cascade(gas, banks, cylinder, pressure)
    fills = tuple(CascadeFill(**one) for one in found.pop("fills"))
    return Cascade(fills=fills, **found)

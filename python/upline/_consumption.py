"""What a diver breathes in each row of a plan, from which cylinder, and what is left."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from . import _core
from ._calls import checked
from ._diver import Diver, fields_of
from ._html_supply import consumption_to_html
from ._optional import imported
from ._plot_supply import plot_consumption
from ._results import data_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    import pandas as pd
    from matplotlib.axes import Axes

    from ._core import Cylinder, Gas, Plan
    from ._reserve_results import Reserves

__all__ = ["Consumption", "RowGas", "consumption"]


@dataclass(frozen=True)
class RowGas:
    """What one row of a plan takes.

    Attributes
    ----------
    phase : "go down", "stay", "come up" or "switch"
    from_depth, to_depth : float
        [m or ft]
    begins, ends : float
        Run times [min].
    gas : Gas
        Breathed meanwhile.
    volume : float
        What the diver breathes [L or cu ft].
    short_by : float
        The part of it that no cylinder gives [L or cu ft].
    taken : tuple of float
        From each cylinder [L or cu ft].
    drop : tuple of float
        By how much each gauge falls [bar or psi].
    left : tuple of float
        What each gauge reads at the end [bar or psi]; of a gas that has run out it is what it
        does not give.
    content : tuple of float
        The same as what leaves each cylinder until its gauge reads 0 [L or cu ft].
    empty_at : float or None
        Run time at which the last cylinder of the gas is empty, in the row in which it is [min].
    """

    phase: str
    from_depth: float
    to_depth: float
    begins: float
    ends: float
    gas: Gas
    volume: float
    short_by: float
    taken: tuple[float, ...]
    drop: tuple[float, ...]
    left: tuple[float, ...]
    content: tuple[float, ...]
    empty_at: float | None = None


@dataclass(frozen=True)
class Consumption:
    """Gas of one diver over one plan; `consumption` finds it, and ``print`` shows it.

    Attributes
    ----------
    plan : Plan
    diver : Diver
    stress_from : float or None
        As asked.
    rows : tuple of RowGas
        One for each row of the plan.
    cylinders : tuple of Cylinder
        Those of the diver.
    content : tuple of float
        What each of them holds before the dive [L or cu ft].
    taken : tuple of float
        From each of them [L or cu ft].
    left : tuple of float
        What each gauge reads at the end [bar or psi].
    volume, short_by : float
        All that is breathed, and the part that no cylinder gives [L or cu ft].
    closes : bool
        Whether the cylinders give all that is breathed. Nothing is kept back in it.
    table : tuple of tuple of str
        The cells that are printed: a head, its units, then one line for each row.
    title, verdict, breathing : str
        Whose gas it is, whether it closes, and the rates that count.
    empty, sums : tuple of str
        A sentence for each gas that runs out, and a line for each cylinder.
    text : str
    units : "metric" or "imperial"
    """

    plan: Plan
    diver: Diver
    stress_from: float | None
    rows: tuple[RowGas, ...]
    cylinders: tuple[Cylinder, ...]
    content: tuple[float, ...]
    taken: tuple[float, ...]
    left: tuple[float, ...]
    volume: float
    short_by: float
    closes: bool
    table: tuple[tuple[str, ...], ...]
    title: str
    verdict: str
    breathing: str
    empty: tuple[str, ...]
    sums: tuple[str, ...]
    text: str
    units: str

    @checked
    def to_frame(self) -> pd.DataFrame:
        """Return the rows as a pandas DataFrame, units in the names of the columns.

        Cylinders are counted from 1 in the order given: ``left_1_18/45_bar``.

        Raises
        ------
        Error
            If pandas is not installed; the message says how to get it.
        """
        frames = imported("pandas", "Consumption.to_frame", "pandas")
        metric = self.units == "metric"
        length, volume, pressure = ("m", "l", "bar") if metric else ("ft", "cuft", "psi")
        columns: dict[str, list[Any]] = {
            "phase": [row.phase for row in self.rows],
            f"from_depth_{length}": [row.from_depth for row in self.rows],
            f"to_depth_{length}": [row.to_depth for row in self.rows],
            "begins_min": [row.begins for row in self.rows],
            "ends_min": [row.ends for row in self.rows],
            "gas": [str(row.gas) for row in self.rows],
            f"volume_{volume}": [row.volume for row in self.rows],
            f"short_by_{volume}": [row.short_by for row in self.rows],
        }
        for j, cylinder in enumerate(self.cylinders):
            which = f"{j + 1}_{cylinder.gas}"
            columns[f"taken_{which}_{volume}"] = [row.taken[j] for row in self.rows]
            columns[f"left_{which}_{pressure}"] = [row.left[j] for row in self.rows]
            columns[f"content_{which}_{volume}"] = [row.content[j] for row in self.rows]
        frame: pd.DataFrame = frames.DataFrame(columns)
        frame.attrs.update(units=self.units, foot=_core.foot)
        return frame

    def to_dict(self) -> dict[str, Any]:
        """Return plain data that JSON can hold, with ``"schema": 1``."""
        data = data_of(self, "consumption", without=("plan", "diver", "cylinders"))
        data["diver"] = self.diver.name
        data["assumptions"] = self.plan.assumptions
        data["cylinders"] = [
            {
                "water_volume": one.water_volume,
                "joined": one.joined,
                "pressure": one.pressure,
                "gas": str(one.gas),
                "temperature": one.temperature,
            }
            for one in self.cylinders
        ]
        return data

    @checked
    def plot(
        self,
        ax: Axes | None = None,
        reserve: Reserves | Mapping[str | Gas | int, float] | None = None,
    ) -> Axes:
        """Draw what each cylinder holds against run time.

        Parameters
        ----------
        ax : Axes, optional
            Where to draw; left out: a new figure.
        reserve : Reserves or dict, optional
            What is to stay: the sharing reserve that `reserves` found for this plan and diver,
            which is to be there when the bottom is left; or litres or cubic feet by mix, or by
            number of the cylinder, counted from 1. A thin dashed line for each; nothing is computed
            with it.

        Returns
        -------
        Axes
            Contents are those of a real gas at the cylinder's temperature. On ramps, where they
            fall along a curve, straight lines join nine points of it.

        Raises
        ------
        InvalidInput
            For a reserve of no cylinder, of a mix that is in several, out of range, unknown, or of
            another plan or diver.
        Error
            If matplotlib is not installed; the message says how to get it.
        """
        return plot_consumption(self, ax, reserve)

    @checked
    def _repr_html_(self) -> str:
        return consumption_to_html(self)

    def __str__(self) -> str:
        """Return the table, the sums, whether it closes, and what it does not promise."""
        return self.text

    def __repr__(self) -> str:
        """Return how much is breathed, and whether it closes."""
        unit = "L" if self.units == "metric" else "cu ft"
        verdict = "closes" if self.closes else f"{self.short_by:.1f} {unit} short"
        return f"<upline.Consumption {self.volume:.1f} {unit}, {verdict}>"


@checked
def consumption(
    plan: Plan,
    diver: Diver,
    *,
    stress_from: float | None = None,
) -> Consumption:
    """Tell what one diver breathes in each row of a plan, from which cylinder, and what is left.

    Parameters
    ----------
    plan : Plan
        The dive.
    diver : Diver
        With a cylinder for each gas of the plan, in the plan's units.
    stress_from : float, optional
        Run time [min] from which the stress rate counts; left out: all goes well.

    Returns
    -------
    Consumption
        That it closes says only that the gas is there: nothing is kept back, nobody shares, no
        cylinder is lost.

    Raises
    ------
    InvalidInput
        For a gas without a cylinder, a rate or a run time out of range, or two systems of units.
        `WrongType` for what is no plan or no diver.

    Notes
    -----
    Litres are those of the plan: rate times mean pressure times minutes, exact on ramps. They are
    taken from real gas. A cylinder gives nothing below the pressure of the water at the deepest
    point of the row; the few bar that a first stage needs above it are not counted. A gas that has
    run out gives nothing more.

    Examples
    --------
    Ada on the *Quince Blossom* (invented):

    >>> import upline
    >>> p = upline.plan(57, 25, ["18/45", "50", "O2"], gf="40/80", last_stop=6)
    >>> twin = upline.Cylinder(12, 200, "18/45", 10, joined=2)
    >>> deco = [upline.Cylinder(7, 180, "50", 10), upline.Cylinder(5, 150, "O2", 10)]
    >>> ada = upline.Diver("Ada", [twin, *deco], working=20, resting=15, stress=40)
    >>> use = upline.consumption(p, ada)
    >>> use.closes, [round(pressure) for pressure in use.left]
    (True, [28, 105, 58])
    """
    found = _core.consumption(plan, fields_of(diver), stress_from)
    found["rows"] = tuple(RowGas(**row) for row in found["rows"])
    return Consumption(plan=plan, diver=diver, stress_from=stress_from, **found)

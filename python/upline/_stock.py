"""Which of the gases at hand make a dive."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

from . import _core
from ._calls import checked
from ._html_what_if import stock_to_html
from ._optional import imported
from ._results import data_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    import pandas as pd

    from ._core import Environment, Gas, State
    from ._plan import Factors, GasChoice, GasLike, Levels, Rates, Rounding, Units

__all__ = ["DroppedSet", "GasSet", "StockChoice", "choose_gases"]


@dataclass(frozen=True)
class GasSet:
    """An admissible set of gases.

    Attributes
    ----------
    gases : tuple of Gas
        The bottom gas first.
    time_to_surface, run_time : float
        [min]
    bar_minutes : float
        Of all gases together [bar min].
    cns, otu : float
        CNS share with what earlier dives left [1]; pulmonary dose of this dive.
    oxygen_handling : bool or None
        Whether one of them is richer than the line that was chosen; None where none was.
    unbeaten : bool
        No other set is as good in everything and better in one thing.
    cautions : int
        How many its plan carries, notes not counted.
    saves : dict of str to float or None
        For each gas of the ascent the minutes to the surface that carrying it saves; None where
        the set without it is not admissible.
    """

    gases: tuple[Gas, ...]
    time_to_surface: float
    run_time: float
    bar_minutes: float
    cns: float
    otu: float
    oxygen_handling: bool | None
    unbeaten: bool
    cautions: int
    saves: dict[str, float | None]


@dataclass(frozen=True)
class DroppedSet:
    """A set that cannot be used.

    Attributes
    ----------
    gases : tuple of Gas
        The bottom gas first; one gas alone where no set with it can do.
    why : str
        "oxygen handling", "too narcotic", "too dense", "nitrogen rises", "not taken up",
        "refused" or "no schedule".
    text : str
        The same with its numbers.
    """

    gases: tuple[Gas, ...]
    why: str
    text: str


@dataclass(frozen=True)
class StockChoice:
    """What can be dived with the gases at hand; `choose_gases` makes one, ``print`` shows it.

    Attributes
    ----------
    sets : tuple of GasSet
        All that are admissible, shortest time to surface first.
    dropped : tuple of DroppedSet
    table : tuple of tuple of str
        The cells that are printed: a head, then a line for each set that no other beats.
    reasons : tuple of (str, str)
        Sets, and why they were dropped.
    title, text : str
    units : "metric" or "imperial"
    """

    sets: tuple[GasSet, ...]
    dropped: tuple[DroppedSet, ...]
    table: tuple[tuple[str, ...], ...]
    reasons: tuple[tuple[str, str], ...]
    title: str
    text: str
    units: str

    @property
    def unbeaten(self) -> tuple[GasSet, ...]:
        """The sets that no other beats."""
        return tuple(one for one in self.sets if one.unbeaten)

    def to_frame(self) -> pd.DataFrame:
        """Return all admissible sets as a pandas DataFrame.

        Raises
        ------
        Error
            If pandas is not installed; the message says how to get it.
        """
        frames = imported("pandas", "StockChoice.to_frame", "pandas")
        frame: pd.DataFrame = frames.DataFrame(
            {
                "bottom_gas": [str(one.gases[0]) for one in self.sets],
                "for_the_ascent": [", ".join(map(str, one.gases[1:])) for one in self.sets],
                "time_to_surface_min": [one.time_to_surface for one in self.sets],
                "run_time_min": [one.run_time for one in self.sets],
                "bar_min": [one.bar_minutes for one in self.sets],
                "cns": [one.cns for one in self.sets],
                "otu": [one.otu for one in self.sets],
                "oxygen_handling": [one.oxygen_handling for one in self.sets],
                "unbeaten": [one.unbeaten for one in self.sets],
            }
        )
        frame.attrs.update(units=self.units, title=self.title, foot=_core.foot)
        return frame

    def to_dict(self) -> dict[str, Any]:
        """Return plain data that JSON can hold, with ``"schema": 1``."""
        return data_of(self, "stock choice")

    def _repr_html_(self) -> str:
        return stock_to_html(self)

    def __str__(self) -> str:
        """Return the sets that no other beats, why others were dropped, and the caution."""
        return self.text

    def __repr__(self) -> str:
        """Return how many sets there are."""
        return (
            f"<upline.StockChoice {len(self.sets)} sets, {len(self.unbeaten)} unbeaten, "
            f"{len(self.dropped)} dropped>"
        )


@checked
def choose_gases(
    stock: GasLike | Sequence[GasChoice],
    depth: float | Levels,
    bottom_time: float | None = None,
    *,
    gf: Factors | None = None,
    most_ascent_gases: int = 2,
    oxygen_handling_above: float | None = None,
    without_oxygen_handling: bool = False,
    narcotic_depth: float | None = None,
    narcotic: Literal["nitrogen and oxygen", "nitrogen"] = "nitrogen and oxygen",
    density: float | None = None,
    nitrogen_rise: float | None = None,
    model: str = "ZH-L16C",
    rounding: Rounding = "departure",
    resolution: float = 1.0,
    min_stop: float = 0.0,
    switch_time: float = 1.0,
    spacing: float | None = None,
    last_stop: float | None = None,
    ladder: Sequence[float] | None = None,
    descent_rate: float | None = None,
    ascent_rate: Rates | None = None,
    surfacing_rate: float | None = None,
    travel: tuple[GasLike, float] | None = None,
    environment: Environment | None = None,
    start: State | None = None,
    max_po2: float = 1.4,
    max_deco_po2: float = 1.6,
    po2_tolerance: float = 0.03,
    min_po2: float = 0.16,
    rmv: float | None = None,
    deco_rmv: float | None = None,
    units: Units = "metric",
) -> StockChoice:
    """Plan a dive on every set of the gases at hand.

    There is no single winner: what comes back are all admissible sets, those that no other beats
    in time to surface, number of gases, bar-minutes, CNS share and oxygen handling together, what
    each gas is worth, and why the other sets were dropped.

    Parameters
    ----------
    stock : sequence
        The gases at hand, 1 to 20, as in `plan`: each may be bottom gas or a gas of the ascent. A
        switch depth counts in the ascent.
    depth, bottom_time : float
        As in `plan`.
    gf : str or (float, float)
        As in `plan`; no default.
    most_ascent_gases : int
        Carried beside the bottom gas, 0 to 3.
    oxygen_handling_above : float, optional
        The share of oxygen above which a gas needs oxygen handling, such as 0.4 [1]; 0.22, 0.235,
        0.25 and 0.4 are all in use. Left out: not judged.
    without_oxygen_handling : bool
        Take nothing that needs it.
    narcotic_depth : float, optional
        Largest narcotic depth of the bottom gas at the deepest level [m or ft].
    narcotic : "nitrogen and oxygen" or "nitrogen"
        What counts in it.
    density : float, optional
        Largest density of any gas anywhere, at 0 degrees C [g/L].
    nitrogen_rise : float, optional
        Largest rise of nitrogen at a switch as a share of the drop of helium, such as 0.2 (common
        practice, no source).
    model, rounding, resolution, min_stop, switch_time, spacing, last_stop, ladder, \
descent_rate, ascent_rate, surfacing_rate, travel, environment, start, max_po2, max_deco_po2, \
po2_tolerance, min_po2, rmv, deco_rmv, units
        As in `plan`.

    Returns
    -------
    StockChoice

    Raises
    ------
    InvalidInput
        For a gas named twice, limits out of range, or a dive that no gas could make. `WrongType`
        for a value of the wrong kind.

    Examples
    --------
    >>> import upline
    >>> station = ["21/35", "32", "40", "50", "O2"]  # on the dock at Skerry Point (invented)
    >>> found = upline.choose_gases(station, 45, 25, gf="40/80", last_stop=6)
    >>> for one in found.unbeaten[:2]:
    ...     saved = {gas: round(minutes) for gas, minutes in one.saves.items()}
    ...     print(", ".join(map(str, one.gases)), round(one.time_to_surface), saved)
    21/35, 50, O2 25 {'50': 9, 'O2': 6}
    21/35, 50 31 {'50': 51}
    """
    asked = dict(locals())
    limits = tuple(asked.pop(name) for name in _LIMITS)
    asked["gases"] = asked.pop("stock")
    found = _core.choose_gases(limits, *(asked[name] for name in _core.plan_arguments))
    return StockChoice(
        sets=tuple(GasSet(**one) for one in found["sets"]),
        dropped=tuple(DroppedSet(**one) for one in found["dropped"]),
        table=found["table"],
        reasons=found["reasons"],
        title=found["title"],
        text=found["text"],
        units=found["units"],
    )


# In the order in which the compiled part reads them.
_LIMITS = (
    "most_ascent_gases",
    "oxygen_handling_above",
    "without_oxygen_handling",
    "narcotic_depth",
    "narcotic",
    "density",
    "nitrogen_rise",
)

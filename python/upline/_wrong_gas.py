"""What happens if another of the mouthpieces carried is taken."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from . import _core
from ._calls import checked
from ._html_what_if import wrong_gases_to_html
from ._results import data_of, frame_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    import pandas as pd

    from ._core import Gas, Plan

__all__ = ["ConfusedPair", "WrongGas", "WrongGases", "wrong_gases"]


@dataclass(frozen=True)
class WrongGas:
    """A mouthpiece taken in place of another, at one place of the dive.

    Attributes
    ----------
    depth : float
        [m or ft]
    run_time : float
        When the diver gets there [min].
    meant, taken : Gas
        What the plan breathes on leaving the depth, and what is breathed instead.
    po2 : float
        Of what is taken [bar].
    oxygen_minutes : float
        Single-exposure limit at that pressure [min]; extrapolated beyond the table, inf where there
        is none.
    density : float
        At 0 degrees C [g/L].
    narcotic_depth : float
        Oxygen counted [m or ft]; below 0 where it is less narcotic than air at the surface.
    harm : "danger to life", "beyond a limit", "decompression falls short" or "within the limits"
    hazards : tuple of str
        The worst first.
    """

    depth: float
    run_time: float
    meant: Gas
    taken: Gas
    po2: float
    oxygen_minutes: float
    density: float
    narcotic_depth: float
    harm: str
    hazards: tuple[str, ...]


@dataclass(frozen=True)
class ConfusedPair:
    """Two cylinders, and the worst that comes of taking one for the other.

    Attributes
    ----------
    worst : WrongGas
        Over the dive, both ways.
    cases : int
        Places where one is meant and the other taken.
    text : str
        In a sentence.
    """

    worst: WrongGas
    cases: int
    text: str


@dataclass(frozen=True)
class WrongGases:
    """Every wrong mouthpiece of a dive; `wrong_gases` finds them, and ``print`` shows them.

    Attributes
    ----------
    plan : Plan
    mistakes : tuple of WrongGas
        In order of time.
    pairs : tuple of ConfusedPair
        The worst first.
    table : tuple of tuple of str
        The cells that are printed: a head, its units, then one line for each mistake.
    text : str
    units : "metric" or "imperial"
    """

    plan: Plan
    mistakes: tuple[WrongGas, ...]
    pairs: tuple[ConfusedPair, ...]
    table: tuple[tuple[str, ...], ...]
    text: str
    units: str

    def to_frame(self) -> pd.DataFrame:
        """Return the mistakes as a pandas DataFrame, units in the names of the columns.

        Raises
        ------
        Error
            If pandas is not installed; the message says how to get it.
        """
        columns = {
            "depth": "depth_{length}",
            "run_time": "run_time_min",
            "meant": "meant",
            "taken": "taken",
            "po2": "po2_bar",
            "oxygen_minutes": "oxygen_minutes_min",
            "density": "density_g_per_l",
            "narcotic_depth": "narcotic_depth_{length}",
            "harm": "harm",
            "hazards": "hazards",
        }
        return frame_of(self.mistakes, columns, self.units, "WrongGases.to_frame")

    def to_dict(self) -> dict[str, Any]:
        """Return plain data that JSON can hold, with ``"schema": 1``; None stands for no limit."""
        data = data_of(self, "wrong gases", without=("plan",))
        for wrong in [*data["mistakes"], *(pair["worst"] for pair in data["pairs"])]:
            if wrong["oxygen_minutes"] == float("inf"):
                wrong["oxygen_minutes"] = None
        return {**data, "assumptions": self.plan.assumptions}

    def _repr_html_(self) -> str:
        return wrong_gases_to_html(self)

    def __str__(self) -> str:
        """Return the pairs in sentences, then the table, then what it does not promise."""
        return self.text

    def __repr__(self) -> str:
        """Return how many mistakes there are, and the worst of them."""
        worst = self.pairs[0].worst.harm if self.pairs else "only one gas"
        return f"<upline.WrongGases {len(self.mistakes)} mistakes, the worst: {worst}>"


@checked
def wrong_gases(plan: Plan, carried: Sequence[str | Gas] | None = None) -> WrongGases:
    """Tell what each wrong mouthpiece would do at each place of a planned dive.

    Places are the surface before and after the dive, where the way down changes gas, every level
    and every stop of the ascent.

    Parameters
    ----------
    plan : Plan
        What is meant to be breathed where.
    carried : sequence, optional
        Cylinders at hand, 1 to 20; every gas that the dive names if left out.

    Returns
    -------
    WrongGases
        That nothing is named at a place says only that no limit named there is broken.

    Raises
    ------
    InvalidInput
        If there is no cylinder, or more than 20. `WrongType` for what is no plan or no gas.

    Notes
    -----
    Hypoxia is judged by the plan's `min_po2`, oxygen by its limits and by the single-exposure
    table, density by 6.2 g/L; narcosis is only compared with the plan. Sources: docs/theory.md.

    Examples
    --------
    >>> import upline
    >>> p = upline.plan(57, 25, ["18/45", "50", "O2"], gf="40/80", last_stop=6)
    >>> upline.wrong_gases(p).pairs[-1].text
    'oxygen taken for 50 %: worst at 21 m, 3.11 bar of oxygen, danger to life: beyond the oxygen \
table, convulsion possible at any moment.'
    """
    found = _core.wrong_gases(plan, carried)
    return WrongGases(
        plan=plan,
        mistakes=tuple(WrongGas(**one) for one in found["mistakes"]),
        pairs=tuple(
            ConfusedPair(WrongGas(**one["worst"]), one["cases"], one["text"])
            for one in found["pairs"]
        ),
        table=tuple(found["table"]),
        text=found["text"],
        units=found["units"],
    )

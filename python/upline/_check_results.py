"""What a check found out about a table: the classes of its answer."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from ._calls import checked
from ._results import data_of

if TYPE_CHECKING:
    import pandas as pd
    from matplotlib.axes import Axes

    from ._core import Caution, Gas
    from ._replay import Replay
    from ._table import CutTable

__all__ = [
    "Check",
    "CheckedRow",
    "Consequence",
    "FactorPair",
    "Finding",
    "RepairedRow",
    "TableReading",
]


@dataclass(frozen=True)
class TableReading:
    """One way of reading a table, and its verdict.

    Attributes
    ----------
    minutes : "without travel", "with travel" or "leave at"
    bottom_from : "surface" or "arrival"
    switch_minute : "on arrival", "inside" or "before"
    depth_of : "as stated", "gauge", "fresh" or "sea"
    units : "metric" or "imperial"
    first_in_full : bool
        Minutes with travel, but the first stop is too short for it and was made in full.
    satisfies : bool
    margin : float
        The least of all [bar].
    tightest : float
        Where that is [m or ft].
    surfacing_fraction : float
    anchor : float or None
        [m or ft]
    run_time : float
        [min]
    """

    minutes: str
    bottom_from: str
    switch_minute: str
    depth_of: str
    units: str
    first_in_full: bool
    satisfies: bool
    margin: float
    tightest: float
    surfacing_fraction: float
    anchor: float | None
    run_time: float


@dataclass(frozen=True)
class CheckedRow:
    """A row as it is followed.

    Attributes
    ----------
    depth : float
        [m or ft]
    arrives, departs : float
        Run times [min].
    arrives_on, gas : Gas
        Breathed on arrival, and on leaving.
    po2 : float
        [bar]
    margin : float
        On arrival at the next stop [bar].
    held_by, runner_up : float
        Half-times of the two tightest compartments then [min].
    gap : float
        Between their margins [bar].
    added : float
        What the repair adds [min].
    """

    depth: float
    arrives: float
    departs: float
    arrives_on: Gas
    gas: Gas
    po2: float
    margin: float
    held_by: float
    runner_up: float
    gap: float
    added: float


@dataclass(frozen=True)
class RepairedRow:
    """A row with what is missing added to it, in the table's own terms.

    Attributes
    ----------
    depth, number : float
        As the table writes them: minutes, or the run time of leaving. Of a new stop: minutes.
    gas : Gas or None
        As the row names it.
    new : bool
        Whether the table lacks this stop.
    """

    depth: float
    number: float
    gas: Gas | None
    new: bool


@dataclass(frozen=True)
class FactorPair:
    """A low factor, the least high factor that is satisfied with it, and what binds there.

    Attributes
    ----------
    low, high : float
        Fractions.
    depth, run_time, half_time : float
        Of the moment that binds [m or ft], [min], and of its compartment [min].
    """

    low: float
    high: float
    depth: float
    run_time: float
    half_time: float


@dataclass(frozen=True)
class Consequence:
    """Something done otherwise, and the table followed all the same.

    Attributes
    ----------
    what, text : str
        A word for it, and a phrase.
    row : int or None
        From 1.
    amount : float
        Minutes late, or m or ft deeper.
    surfacing_fraction, margin : float
        [1], [bar]
    missing_minutes : float or None
        In the rows that are made [min]; None where no addition suffices.
    """

    what: str
    text: str
    row: int | None
    amount: float
    surfacing_fraction: float
    margin: float
    missing_minutes: float | None


@dataclass(frozen=True)
class Finding:
    """Something odd in the numbers, and the number that was probably meant.

    Attributes
    ----------
    what, text : str
        A word for it, and a sentence.
    row : int or None
        From 1; None where it is not at a row.
    value : float
        As written; of a gas its oxygen pressure [bar].
    proposed : float or None
    """

    what: str
    text: str
    row: int | None
    value: float
    proposed: float | None


@dataclass(frozen=True)
class Check:
    """All that is known about a table; `check` makes one, and ``print`` shows it.

    What stands below `readings` is for the reading with the least margin; so is `refused`.

    Attributes
    ----------
    verdict : "satisfies", "does not" or "cannot tell"
        Over every plausible reading; about the limit line alone.
    refused : bool
        Whether a caution refuses for another reason than the line: oxygen, CNS, density.
    unsettled : bool
        Whether numbers contradict each other, or others are proposed: then nothing is computed on
        them but the verdict.
    sentence : str
        The verdict in words, with what refuses first.
    readings : tuple of TableReading
        The usual one first.
    governing : int
        Which of them has the least margin, from 0.
    reading : str
        It in words: what all readings answer alike is left out.
    margin : float
        The least of all [bar].
    surfacing_fraction : float
    rows : tuple of CheckedRow
        As they are followed.
    missing_minutes : float or None
        The smallest addition found [min]; None where none suffices, or where `unsettled`.
    at_least : float
        Shown: nothing less suffices at these stops [min]. Equal to it where it is minimal.
    at_last_stop : float or None
        If all is added to the last row [min]; None where that does not suffice.
    repaired : tuple of RepairedRow or None
    pair_at_low : FactorPair or None
        The least high factor with the low one asked for; None where none up to 1 suffices.
    factor_pairs : tuple of FactorPair
        The front: the higher the low one, the less the high one. Above 1 they are beyond the
        published limits of the model.
    consequences : tuple of Consequence
        The tightest first.
    findings : tuple of Finding
    tried : str
        How many readings there are and which are printed; empty where all are.
    addition : str
        Sentences: what is missing, and the pairs that are satisfied.
    assumptions : str
        One line that names every convention behind the numbers.
    replay : Replay
        The dive that the table makes.
    table : CutTable
        How it was read.
    units : "metric" or "imperial"
    text : str
    """

    verdict: str
    refused: bool
    unsettled: bool
    sentence: str
    readings: tuple[TableReading, ...]
    governing: int
    reading: str
    margin: float
    surfacing_fraction: float
    rows: tuple[CheckedRow, ...]
    missing_minutes: float | None
    at_least: float
    at_last_stop: float | None
    repaired: tuple[RepairedRow, ...] | None
    pair_at_low: FactorPair | None
    factor_pairs: tuple[FactorPair, ...]
    consequences: tuple[Consequence, ...]
    findings: tuple[Finding, ...]
    tried: str
    addition: str
    assumptions: str
    replay: Replay
    table: CutTable
    units: str
    text: str

    @property
    def cautions(self) -> tuple[Caution, ...]:
        """The cautions of the dive that the table makes."""
        return self.replay.cautions

    @checked
    def plot(self, ax: Axes | None = None) -> Axes:
        """Draw the dive that the table makes, under the reading with the least margin.

        As `Replay.plot`, with the verdict above it and each row named by its depth.

        Parameters
        ----------
        ax : matplotlib.axes.Axes, optional
            As in `Replay.plot`.

        Returns
        -------
        matplotlib.axes.Axes
            Of the dive; the margin is ``ax.figure.axes[1]`` of a new figure.

        Raises
        ------
        Error
            If matplotlib is missing: ``pip install matplotlib``.
        WrongType
            If `ax` is no Axes.
        """
        from ._plot_replay import plot_check

        return plot_check(self, ax)

    @checked
    def _repr_html_(self) -> str:
        """Return the check as HTML; a notebook shows it by itself."""
        from ._html_check import check_to_html

        return check_to_html(self)

    @checked
    def to_frame(self) -> pd.DataFrame:
        """Return the rows as they are followed as a pandas DataFrame.

        Returns
        -------
        pandas.DataFrame
            One line for each row, in full precision, units in the names of the columns.

        Raises
        ------
        Error
            If pandas is missing: ``pip install pandas``.
        """
        from ._frame import check_to_frame

        return check_to_frame(self)

    def to_dict(self) -> dict[str, Any]:
        """Return the check as plain data that JSON can hold, with ``"schema": 1``."""
        return data_of(self, "check")

    def __str__(self) -> str:
        """Return the whole check in words, with how each row was read."""
        notes = "".join(f"\n  {note}" for note in self.table.notes)
        read = "".join(f"\n  {row.text}: {row.read_as}" for row in self.table.rows)
        return f"{self.text}\nRows as read{read}" + (f"\nNotes{notes}" if notes else "")

    def __repr__(self) -> str:
        """Return the verdict and the numbers it rests on."""
        first = "refused, " if self.refused else ""
        return (
            f"<upline.Check {first}{self.verdict}, {len(self.readings)} readings, margin "
            f"{self.margin:.3f} bar, surfacing {self.surfacing_fraction:.3f}>"
        )

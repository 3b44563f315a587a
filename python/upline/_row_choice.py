"""The few rows of a slate that serve a box of deviations."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from . import _core
from ._calls import checked
from ._contingency import Deviation
from ._html_team import row_choice_to_html
from ._results import frame_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    import pandas as pd

    from ._core import Plan

__all__ = ["BoxDive", "ChosenRow", "RowChoice", "choose_rows"]


@dataclass(frozen=True)
class BoxDive:
    """A dive of the box, and the row to follow then.

    Attributes
    ----------
    deeper, later : float
        Than planned by this [m or ft, min].
    weight : float
        Of its extra minutes.
    name : str
        "if 3 m deeper, 5 min late"
    run_time : float or None
        Of its own schedule [min]; None where it cannot be dived or is refused.
    row : int or None
        Its row, from 0; None where no row serves.
    extra : float or None
        Run time of that row less that of its own schedule [min].
    reason : str
        Why it has no row; empty where it has one.
    """

    deeper: float
    later: float
    weight: float
    name: str
    run_time: float | None
    row: int | None
    extra: float | None
    reason: str


@dataclass(frozen=True)
class ChosenRow:
    """A row of the slate.

    Attributes
    ----------
    name : str
        "as planned", "if 3 m deeper, 5 min late"
    deeper, later : float
        Than planned by this [m or ft, min].
    plan : Plan
        Its schedule.
    dives : tuple of BoxDive
        Those for which it is the one to follow.
    largest_extra : float
        Over those dives [min].
    """

    name: str
    deeper: float
    later: float
    plan: Plan
    dives: tuple[BoxDive, ...]
    largest_extra: float


@dataclass(frozen=True)
class RowChoice:
    """Rows that serve a box of deviations; `choose_rows` makes one, and ``print`` shows it.

    Attributes
    ----------
    planned : Plan
    rows : tuple of ChosenRow
        The plan first, then by depth and time.
    dives : tuple of BoxDive
        For each value of deeper, each value of later.
    total_extra : float
        Weighted sum of extra minutes over the dives that have a row [min].
    largest_extra : float
        Of any dive [min].
    proved : bool
        Whether no other choice of as many rows has a smaller sum.
    least_total : float
        No choice of as many rows has a smaller sum than this [min].
    one_more_saves : float or None
        What one more row would take off the sum [min]; None where there are no more rows.
    one_more_serves : int
        Dives without a row that one more row would serve.
    row_table, dive_table : tuple of tuple of str
        The cells of the two tables that are printed, heads first.
    unserved : tuple of str
        The dives without a row, and why.
    title, verdict, legend, text : str
    units : "metric" or "imperial"
    """

    planned: Plan
    rows: tuple[ChosenRow, ...]
    dives: tuple[BoxDive, ...]
    total_extra: float
    largest_extra: float
    proved: bool
    least_total: float
    one_more_saves: float | None
    one_more_serves: int
    row_table: tuple[tuple[str, ...], ...]
    dive_table: tuple[tuple[str, ...], ...]
    unserved: tuple[str, ...]
    title: str
    verdict: str
    legend: str
    text: str
    units: str

    @property
    def deviations(self) -> tuple[Deviation, ...]:
        """The rows but for that of the plan, for `contingencies`."""
        return tuple(
            Deviation(deeper=row.deeper, later=row.later)
            for row in self.rows
            if row.deeper > 0.0 or row.later > 0.0
        )

    def to_frame(self) -> pd.DataFrame:
        """Return the dives of the box as a pandas DataFrame, units in the names of the columns.

        Raises
        ------
        Error
            If pandas is not installed; the message says how to get it.
        """
        columns = {
            "deeper": "deeper_{length}",
            "later": "later_min",
            "weight": "weight",
            "run_time": "run_time_min",
            "row": "row",
            "extra": "extra_min",
            "reason": "reason",
        }
        frame = frame_of(self.dives, columns, self.units, "RowChoice.to_frame")
        frame.attrs.update(assumptions=self.planned.assumptions)
        return frame

    def to_dict(self) -> dict[str, Any]:
        """Return plain data that JSON can hold, with ``"schema": 1``: every schedule whole."""
        return {
            "schema": 1,
            "kind": "row_choice",
            "units": self.units,
            "total_extra": self.total_extra,
            "largest_extra": self.largest_extra,
            "proved": self.proved,
            "least_total": self.least_total,
            "one_more_saves": self.one_more_saves,
            "one_more_serves": self.one_more_serves,
            "rows": [
                {
                    "name": row.name,
                    "deeper": row.deeper,
                    "later": row.later,
                    "largest_extra": row.largest_extra,
                    "plan": row.plan.to_dict(),
                }
                for row in self.rows
            ],
            "dives": [dict(vars(dive)) for dive in self.dives],
            "foot": _core.foot,
        }

    def _repr_html_(self) -> str:
        return row_choice_to_html(self)

    def __str__(self) -> str:
        """Return the rows, which is for which dive, and what it does not promise."""
        return self.text

    def __repr__(self) -> str:
        """Return how many rows there are for how many dives."""
        served = sum(dive.row is not None for dive in self.dives)
        return f"<upline.RowChoice {len(self.rows)} rows for {served} of {len(self.dives)} dives>"


@checked
def choose_rows(
    plan: Plan,
    deeper: Sequence[float],
    later: Sequence[float],
    rows: int,
    weights: Sequence[Sequence[float]] | None = None,
) -> RowChoice:
    """Choose the rows of a slate that serve a box of deviations with the least extra decompression.

    A dive of the box may follow the schedule of any that is at least as deep and as late and is
    verified to serve it: at its leave times on the dive's own levels no stop has to be longer, and
    the whole ascent stays within the dive's own limit line. As many dives as possible are served;
    then the weighted sum of extra minutes is the least.

    Parameters
    ----------
    plan : Plan
        What is planned; always the first row.
    deeper : sequence of float
        By how much the deepest level may be deeper [m or ft]; 1 to 12 values, one of them 0.
    later : sequence of float
        By how much the bottom may be left later [min]; 1 to 12 values, one of them 0.
    rows : int
        How many rows the slate has, that of the plan among them, 2 to 8. Fewer are chosen where
        fewer do.
    weights : sequence of sequence of float, optional
        A list for each value of `deeper`, a number for each of `later` in it; all alike if left
        out.

    Returns
    -------
    RowChoice
        `RowChoice.proved` says whether its sum is the least. The search gives up after 300 000
        choices; then `RowChoice.least_total` is below it.

    Raises
    ------
    InvalidInput
        For values, weights or a number of rows out of range, or a plan that is refused.
        `WrongType` for what is no plan or no number.

    Examples
    --------
    >>> import upline
    >>> p = upline.plan(45, 20, ["21/35", "50"], gf="40/80")
    >>> choice = upline.choose_rows(p, deeper=[0, 3], later=[0, 3, 5], rows=3)
    >>> for row in choice.rows:
    ...     print(row.name, len(row.dives), row.largest_extra)
    as planned 1 0.0
    if 3 m deeper, 3 min late 3 7.0
    if 3 m deeper, 5 min late 2 4.0
    """
    found = _core.choose_rows(plan, deeper, later, rows, weights)
    dives = tuple(BoxDive(**one) for one in found.pop("cells"))
    chosen = tuple(
        ChosenRow(dives=tuple(dives[j] for j in one.pop("cells")), **one)
        for one in found.pop("rows")
    )
    tables: dict[str, Any] = {
        name: tuple(map(tuple, found.pop(name))) for name in ("row_table", "dive_table")
    }
    return RowChoice(
        planned=plan,
        rows=chosen,
        dives=dives,
        unserved=tuple(found.pop("unserved")),
        **tables,
        **found,
    )

"""A planned dive that comes otherwise."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from . import _core, _messages
from ._calls import checked, checked_class
from ._html_what_if import contingencies_to_html
from ._optional import imported

if TYPE_CHECKING:
    from collections.abc import Sequence

    import pandas as pd

    from ._core import Caution, Gas, Plan

__all__ = ["Contingencies", "Contingency", "Deviation", "RungChange", "contingencies"]


@checked_class
@dataclass(frozen=True)
class Deviation:
    """What comes otherwise than planned; several at once are one deviation.

    Parameters
    ----------
    deeper : float
        The deepest level is deeper by this [m or ft, as the plan].
    later : float
        The bottom is left later by this [min].
    lost : str, Gas or sequence of them
        Gases that are not there on the ascent.
    late_switch : float
        Longer on the old gas at each switch [min].
    ascent_rate : float, optional
        No faster up than this [m/min or ft/min].
    last_stop : float, optional
        Another last stop than planned [m or ft].

    Raises
    ------
    WrongType
        For what is no number, or no gas. Ranges are checked against the plan.
    """

    deeper: float = 0.0
    later: float = 0.0
    lost: str | Gas | Sequence[str | Gas] = ()
    late_switch: float = 0.0
    ascent_rate: float | None = None
    last_stop: float | None = None

    def __post_init__(self) -> None:
        """Keep numbers as numbers and gases as gases."""
        for name in ("deeper", "later", "late_switch"):
            object.__setattr__(self, name, _core.number(getattr(self, name), name, ""))
        for name in ("ascent_rate", "last_stop"):
            given = getattr(self, name)
            if given is not None:
                object.__setattr__(self, name, _core.number(given, name, ""))
        object.__setattr__(self, "lost", _core.gases(self.lost, "lost"))


@dataclass(frozen=True)
class RungChange:
    """A depth at which the plan and the other schedule stop, or one of them.

    Attributes
    ----------
    depth : float
        [m or ft]
    planned, otherwise : float or None
        Run times of leaving it [min]; None where the schedule does not stop there.
    planned_gas, otherwise_gas : Gas or None
        On which it is left.
    """

    depth: float
    planned: float | None
    otherwise: float | None
    planned_gas: Gas | None
    otherwise_gas: Gas | None


@dataclass(frozen=True)
class Contingency:
    """A deviation, and the schedule for it.

    Attributes
    ----------
    what : Deviation
    name : str
        "if 3 m deeper, 5 min late"
    plan : Plan or None
        None where it cannot be dived.
    reason : str
        Why there is no plan; empty where there is one.
    changes : tuple of RungChange
        The deepest first.
    cautions : tuple of Caution
        Of the schedule, without those that say as much in the plan.
    """

    what: Deviation
    name: str
    plan: Plan | None
    reason: str
    changes: tuple[RungChange, ...]
    cautions: tuple[Caution, ...]


@dataclass(frozen=True)
class Contingencies:
    """A plan and what may come otherwise; `contingencies` makes one, and ``print`` shows it.

    Attributes
    ----------
    planned : Plan
    rows : tuple of Contingency
        In the order asked for.
    times, doses : tuple of tuple of str
        The cells of the two tables that are printed: a head, then a line for each row.
    text : str
    units : "metric" or "imperial"
    """

    planned: Plan
    rows: tuple[Contingency, ...]
    times: tuple[tuple[str, ...], ...]
    doses: tuple[tuple[str, ...], ...]
    text: str
    units: str

    def to_frame(self) -> pd.DataFrame:
        """Return run times of leaving each rung as a pandas DataFrame.

        A line for each row that has a schedule, "as planned" first; a column for each depth,
        "leave_6_m_min"; NaN where a schedule does not stop. Then run time and doses, and whether
        the schedule is refused.

        Raises
        ------
        Error
            If pandas is not installed; the message says how to get it.
        """
        frames = imported("pandas", "Contingencies.to_frame", "pandas")
        named = [("as planned", self.planned)]
        named += [(row.name, row.plan) for row in self.rows if row.plan is not None]
        depths = sorted({stop.depth for _, plan in named for stop in plan.stops}, reverse=True)
        lines = [_line(plan, depths) for _, plan in named]
        frame = frames.DataFrame(lines, index=[name for name, _ in named])
        frame.attrs.update(units=self.units, assumptions=self.planned.assumptions, foot=_core.foot)
        return frame

    def to_dict(self) -> dict[str, Any]:
        """Return plain data that JSON can hold, with ``"schema": 1``: every schedule whole."""
        return {
            "schema": 1,
            "kind": "contingencies",
            "planned": self.planned.to_dict(),
            "rows": [
                {
                    "name": row.name,
                    "plan": None if row.plan is None else row.plan.to_dict(),
                    "reason": row.reason,
                }
                for row in self.rows
            ],
            "foot": _core.foot,
        }

    def _repr_html_(self) -> str:
        return contingencies_to_html(self)

    def __str__(self) -> str:
        """Return a row each, then gas and oxygen, cautions, and what it does not promise."""
        return self.text

    def __repr__(self) -> str:
        """Return how many rows there are, and how many of them have no schedule."""
        lacking = sum(row.plan is None for row in self.rows)
        return f"<upline.Contingencies {len(self.rows)} rows, {lacking} without a schedule>"


def _line(plan: Plan, depths: Sequence[float]) -> dict[str, float | bool]:
    unit = "m" if plan.units == "metric" else "ft"
    leaving = {stop.depth: stop.departs for stop in plan.stops}
    line = {f"leave_{depth:g}_{unit}_min": leaving.get(depth, float("nan")) for depth in depths}
    uses = plan.bar_minutes if plan.gas_use is None else plan.gas_use
    kind = "bar_min" if plan.gas_use is None else "l" if plan.units == "metric" else "cuft"
    return {
        "bottom_left_min": plan.bottom_time,
        **line,
        "run_time_min": plan.run_time,
        "time_to_surface_min": plan.time_to_surface,
        "cns_total": plan.oxygen.cns_total,
        "otu": plan.oxygen.otu,
        "refused": plan.refused,
        **{f"{gas}_{kind}": used for gas, used in uses.items()},
    }


@checked
def contingencies(plan: Plan, deviations: Deviation | Sequence[Deviation]) -> Contingencies:
    """Compute the schedules for what may come otherwise.

    Each is a plan of its own under the same factors, model and limits, computed as if it had been
    known on leaving the bottom. What cannot be dived has a reason in place of a plan.

    Parameters
    ----------
    plan : Plan
        What was planned.
    deviations : Deviation or sequence of Deviation
        1 to 50, each a row.

    Returns
    -------
    Contingencies
        Between two rows the deeper and the longer is to be taken.

    Raises
    ------
    InvalidInput
        For a deviation that differs in nothing, a gas that the ascent does not have, or what is
        out of range. `WrongType` for what is no plan or no deviation.

    Examples
    --------
    >>> import upline
    >>> p = upline.plan(57, 25, ["18/45", "50", "O2"], gf="40/80", last_stop=6)
    >>> late = upline.Deviation(later=5)
    >>> lost = upline.Deviation(lost="50")
    >>> for row in upline.contingencies(p, [late, lost]).rows:
    ...     print(row.name, round(row.plan.run_time - p.run_time))
    if 5 min late 17
    if the 50 % is lost 27
    """
    asked = listed("deviations", deviations)
    found = _core.contingencies(plan, [fields_of(one) for one in asked])
    rows = tuple(
        Contingency(
            what=what,
            name=row["name"],
            plan=row["plan"],
            reason=row["reason"],
            changes=tuple(RungChange(**change) for change in row["changes"]),
            cautions=row["cautions"],
        )
        for what, row in zip(asked, found["rows"], strict=True)
    )
    return Contingencies(
        planned=plan,
        rows=rows,
        times=tuple(map(tuple, found["times"])),
        doses=tuple(map(tuple, found["doses"])),
        text=found["text"],
        units=found["units"],
    )


def fields_of(one: Deviation) -> tuple[Any, ...]:
    """Return what the compiled part reads of a deviation, in its order."""
    return (one.deeper, one.later, one.lost, one.late_switch, one.ascent_rate, one.last_stop)


def listed(field: str, deviations: object) -> list[Deviation]:
    """Return one deviation or several as a list."""
    return _messages.listed(
        field,
        deviations,
        Deviation,
        "a list of upline.Deviation",
        "write [upline.Deviation(deeper=3), upline.Deviation(later=5)]",
    )

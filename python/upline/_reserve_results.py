"""What `reserves`, `deadlines` and `turn_pressures` return."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from ._html_reserve import deadlines_to_html, reserves_to_html, turn_pressures_to_html
from ._results import data_of, frame_of

if TYPE_CHECKING:
    import pandas as pd

    from ._core import Gas, Plan


@dataclass(frozen=True)
class Requirement:
    """Gas that one diver must have of one mix, and has.

    Attributes
    ----------
    diver : str
        Name, or "diver 1" where there is none.
    gas : Gas
    what : "planned dive", "sharing" or "decompression"
    purpose : str
        The same in the words of the table.
    gone : Gas or None
        The gas whose loss it covers.
    needed : float or None
        What is breathed [L or cu ft]; None where it is unknown, and then it does not close.
    planned : float
        The part of it that is breathed where all goes well [L or cu ft]; 0 for sharing.
    available, short_by : float
        What the cylinders give for it, and what they do not [L or cu ft].
    reading : float or None
        The least that all cylinders of the gas must read at `at` for it to close [bar or psi]: for
        sharing the turn pressure. None where it is unknown, or more than a cylinder may hold.
    at : float
        Run time at which that is read [min]; 0: before the dive.
    closes : bool
    reason : str
        Why it is unknown; empty otherwise.
    """

    diver: str
    gas: Gas
    what: str
    purpose: str
    gone: Gas | None
    needed: float | None
    planned: float
    available: float
    short_by: float
    reading: float | None
    at: float
    closes: bool
    reason: str


@dataclass(frozen=True)
class SharingWay:
    """The way from leaving the bottom to the next gas, for those who share.

    Attributes
    ----------
    without : Gas or None
        The gas that is gone.
    leads_to : Gas or None
        The gas that ends it; None: the surface does.
    to_depth : float
        Where it ends [m or ft].
    ends, minutes : float or None
        Run time at which it ends, and how long after the planned leaving of the bottom [min].
    plan : Plan or None
        That is followed; None where it cannot be dived.
    reason : str
        Why it cannot; empty where it can.
    """

    without: Gas | None
    leads_to: Gas | None
    to_depth: float
    ends: float | None
    minutes: float | None
    plan: Plan | None
    reason: str


@dataclass(frozen=True)
class GasLimit:
    """The longest bottom time at which every requirement of every diver closes.

    Attributes
    ----------
    bottom_time : float or None
        The longest [min]; None where it closes at none.
    ended : bool
        Whether the search ended without finding what does not close.
    fails : Requirement or None
        What binds at the next bottom time.
    reason : str
        Why there is no schedule for the next bottom time; empty otherwise.
    step, searched_from, searched_to : float
        The bottom times tried: whole steps, from the shortest to the longest [min].
    """

    bottom_time: float | None
    ended: bool
    fails: Requirement | None
    reason: str
    step: float
    searched_from: float
    searched_to: float


_COLUMNS = {
    "diver": "diver", "gas": "gas", "what": "for", "needed": "needed_{volume}",
    "planned": "planned_{volume}", "available": "available_{volume}",
    "short_by": "short_by_{volume}", "reading": "reading_{pressure}", "at": "at_min",
    "closes": "closes",
}  # fmt: skip


def _named(columns: dict[str, str], units: str) -> dict[str, str]:
    metric = units == "metric"
    names = {"volume": "l" if metric else "cuft", "pressure": "bar" if metric else "psi"}
    return {name: column.format(**names) for name, column in columns.items()}


@dataclass(frozen=True)
class Reserves:
    """The reserves of a team over one plan; `reserves` finds them, and ``print`` shows them.

    Attributes
    ----------
    plan : Plan
        As planned.
    requirements : tuple of Requirement
        Diver by diver; all that must close.
    closes : bool
        Whether all of them do.
    binds : Requirement
        The most missing as a share of the content; where all close, the least left over.
    with_next, without_next : SharingWay
        To the next gas, and with that gone; the latter None where there is no next gas.
    other_sharing : tuple of Requirement
        The sharing reserve that does not rule, for comparison.
    limit : GasLimit
    verdict : str
        Whether gas limits the dive, in sentences.
    table : tuple of tuple of str
        The cells that are printed: a head, its units, then one line for each requirement.
    ways : tuple of str
        The ways of sharing in words, each with what the divers need for it.
    legend, assumptions, text : str
    units : "metric" or "imperial"
    """

    plan: Plan
    requirements: tuple[Requirement, ...]
    closes: bool
    binds: Requirement
    with_next: SharingWay
    without_next: SharingWay | None
    other_sharing: tuple[Requirement, ...]
    limit: GasLimit
    verdict: str
    table: tuple[tuple[str, ...], ...]
    ways: tuple[str, ...]
    legend: str
    assumptions: str
    text: str
    units: str

    def to_frame(self) -> pd.DataFrame:
        """Return the requirements as a pandas DataFrame, units in the names of the columns.

        Raises
        ------
        Error
            If pandas is not installed; the message says how to get it.
        """
        columns = _named(_COLUMNS, self.units)
        return frame_of(self.requirements, columns, self.units, "Reserves.to_frame")

    def to_dict(self) -> dict[str, Any]:
        """Return plain data that JSON can hold, with ``"schema": 1``: every schedule whole."""
        return _whole(data_of(self, "reserves", ("plan", "with_next", "without_next")), self)

    def _repr_html_(self) -> str:
        return reserves_to_html(self)

    def __str__(self) -> str:
        """Return what limits the dive, the requirements, the ways of sharing, the cautions."""
        return self.text

    def __repr__(self) -> str:
        """Return whether they close, and up to which bottom time."""
        closes = "close" if self.closes else "do not close"
        longest = self.limit.bottom_time
        limit = "at no bottom time" if longest is None else f"up to {longest:g} min"
        return f"<upline.Reserves {closes}; {limit}>"


def _whole(data: dict[str, Any], found: Reserves) -> dict[str, Any]:
    data["plan"] = found.plan.to_dict()
    for name in ("with_next", "without_next"):
        way: SharingWay | None = getattr(found, name)
        data[name] = None if way is None else _way(way)
    return data


def _way(way: SharingWay) -> dict[str, Any]:
    return {
        "without": None if way.without is None else str(way.without),
        "leads_to": None if way.leads_to is None else str(way.leads_to),
        "to_depth": way.to_depth,
        "ends": way.ends,
        "minutes": way.minutes,
        "plan": None if way.plan is None else way.plan.to_dict(),
        "reason": way.reason,
    }


@dataclass(frozen=True)
class DiverDeadline:
    """How long one diver can stay and still get up on what is left.

    Attributes
    ----------
    diver : str
    leave_by : float or None
        Run time [min]; None where the gas closes at none.
    ended : bool
        Whether the search ended without finding what does not close.
    runs_out : Gas or None
        Of which gas there is not enough a step later.
    short_by : float
        How much of it is missing then [L or cu ft].
    reason : str
        Why there is no schedule a step later; empty otherwise.
    """

    diver: str
    leave_by: float | None
    ended: bool
    runs_out: Gas | None
    short_by: float
    reason: str


@dataclass(frozen=True)
class Deadline:
    """By when to leave if these gases are lost.

    Attributes
    ----------
    name : str
        "If the 50 % is lost"
    lost : tuple of Gas
    leave_by : float or None
        Run time by which all must leave [min]; None where that closes at no bottom time.
    ended : bool
        Whether the search ended without a limit for anybody.
    divers : tuple of DiverDeadline
    """

    name: str
    lost: tuple[Gas, ...]
    leave_by: float | None
    ended: bool
    divers: tuple[DiverDeadline, ...]


@dataclass(frozen=True)
class Deadlines:
    """Every deadline of a plan; `deadlines` finds them, and ``print`` shows them.

    Attributes
    ----------
    plan : Plan
        As planned.
    with_reserves : GasLimit
        Nothing lost, every reserve kept.
    lost : tuple of Deadline
        Each gas of the ascent lost, then each pair.
    sentences : tuple of str
        One for each, for a slate.
    table : tuple of tuple of str
        The cells that are printed: a head, its units, then a line for each row and diver.
    legend, assumptions, text : str
    units : "metric" or "imperial"
    """

    plan: Plan
    with_reserves: GasLimit
    lost: tuple[Deadline, ...]
    sentences: tuple[str, ...]
    table: tuple[tuple[str, ...], ...]
    legend: str
    assumptions: str
    text: str
    units: str

    def to_frame(self) -> pd.DataFrame:
        """Return a line for each loss and diver as a pandas DataFrame.

        Raises
        ------
        Error
            If pandas is not installed; the message says how to get it.
        """
        columns = _named(
            {"diver": "diver", "leave_by": "leave_by_min", "ended": "no_limit_found",
             "runs_out": "runs_out", "short_by": "short_by_{volume}"},
            self.units,
        )  # fmt: skip
        lines = [each for one in self.lost for each in one.divers]
        frame = frame_of(lines, columns, self.units, "Deadlines.to_frame")
        lost = [", ".join(map(str, one.lost)) for one in self.lost for _ in one.divers]
        frame.insert(0, "lost", lost)
        return frame

    def to_dict(self) -> dict[str, Any]:
        """Return plain data that JSON can hold, with ``"schema": 1``."""
        return {**data_of(self, "deadlines", ("plan",)), "plan": self.plan.to_dict()}

    def _repr_html_(self) -> str:
        return deadlines_to_html(self)

    def __str__(self) -> str:
        """Return a sentence for each deadline, the table, and what it does not promise."""
        return self.text

    def __repr__(self) -> str:
        """Return how many there are."""
        return f"<upline.Deadlines with every reserve, and {len(self.lost)} with gas lost>"


@dataclass(frozen=True)
class TurnPressure:
    """When one diver turns.

    Attributes
    ----------
    diver : str
    readings : tuple of float
        What each cylinder of the gas reads then, in the order of use [bar or psi].
    content, left : float
        Before the dive, and on turning [L or cu ft].
    brings_two_back : bool
        Whether what is left is twice what was used.
    """

    diver: str
    readings: tuple[float, ...]
    content: float
    left: float
    brings_two_back: bool


@dataclass(frozen=True)
class TurnPressures:
    """When each diver of a team turns; `turn_pressures` finds it, and ``print`` shows it.

    Attributes
    ----------
    gas : Gas
    fraction : float
        Of the smallest content in the team.
    used : float
        By each on turning [L or cu ft].
    divers : tuple of TurnPressure
    title : str
    table : tuple of tuple of str
        The cells that are printed: a head, its units, then one line for each cylinder.
    legend, text : str
    units : "metric" or "imperial"
    """

    gas: Gas
    fraction: float
    used: float
    divers: tuple[TurnPressure, ...]
    title: str
    table: tuple[tuple[str, ...], ...]
    legend: str
    text: str
    units: str

    def to_frame(self) -> pd.DataFrame:
        """Return a line for each diver as a pandas DataFrame; readings in the order of use.

        Raises
        ------
        Error
            If pandas is not installed; the message says how to get it.
        """
        columns = _named(
            {"diver": "diver", "content": "content_{volume}", "left": "left_{volume}",
             "brings_two_back": "brings_two_back"},
            self.units,
        )  # fmt: skip
        frame = frame_of(self.divers, columns, self.units, "TurnPressures.to_frame")
        unit = "bar" if self.units == "metric" else "psi"
        frame.insert(1, f"readings_{unit}", [one.readings for one in self.divers])
        return frame

    def to_dict(self) -> dict[str, Any]:
        """Return plain data that JSON can hold, with ``"schema": 1``."""
        return data_of(self, "turn pressures")

    def _repr_html_(self) -> str:
        return turn_pressures_to_html(self)

    def __str__(self) -> str:
        """Return the readings, and what they do not promise."""
        return self.text

    def __repr__(self) -> str:
        """Return of which gas, and which fraction."""
        return f"<upline.TurnPressures {self.fraction:.4g} of {self.gas}>"

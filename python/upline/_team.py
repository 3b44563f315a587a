"""One schedule for a team."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from . import _core, _messages
from ._calls import checked
from ._html_team import team_to_html
from ._optional import imported

if TYPE_CHECKING:
    from collections.abc import Mapping

    import pandas as pd

    from ._core import Gas, Plan

__all__ = ["CommonMember", "CommonSchedule", "CommonStop", "CommonSwitch", "common_schedule"]


@dataclass(frozen=True)
class CommonMember:
    """What the common schedule is for one member.

    Attributes
    ----------
    name : str
    alone : Plan
        As handed in: what this member alone would have to follow.
    plan : Plan
        The common schedule on this member's gases and load, with its own anchor, doses and
        cautions. What computes a dive again from its arguments (`contingencies`, `choose_rows`)
        computes it for this member alone.
    slack : float
        What is left of the high gradient factor at the surface [1].
    """

    name: str
    alone: Plan
    plan: Plan
    slack: float


@dataclass(frozen=True)
class CommonStop:
    """A stop that all make.

    Attributes
    ----------
    depth : float
        [m or ft]
    arrives, departs : float
        Run times [min].
    stay : float
        Travel to the stop included [min].
    ready : tuple of float
        Run time at which each member could leave after the stops before [min], in their order.
    waits_for : tuple of str
        Names of the members whose limit asks for that time; empty where only the switch takes it.
    """

    depth: float
    arrives: float
    departs: float
    stay: float
    ready: tuple[float, ...]
    waits_for: tuple[str, ...]


@dataclass(frozen=True)
class CommonSwitch:
    """A gas of the ascent and the depth at which all take it up.

    Attributes
    ----------
    number : int
        Its place among the gases, the bottom gas being 1.
    gases : tuple of Gas
        As analysed, in the order of the members.
    depth : float
        As stated, or the shallowest of the members' own [m or ft].
    alone : tuple of float
        Where each alone would take it up [m or ft].
    """

    number: int
    gases: tuple[Gas, ...]
    depth: float
    alone: tuple[float, ...]


@dataclass(frozen=True)
class CommonSchedule:
    """One schedule that satisfies every member; `common_schedule` makes one.

    Attributes
    ----------
    members : tuple of CommonMember
        In the order given; their plans have the same times.
    stops : tuple of CommonStop
    switches : tuple of CommonSwitch
    bottom_time, run_time : float
        [min]
    refusals : tuple of str
        Whom it is refused for and why; empty where it is not refused.
    schedule, gases, ready, sums : tuple of tuple of str
        The cells of the four tables that are printed, heads first.
    title, legend, text : str
    units : "metric" or "imperial"
    """

    members: tuple[CommonMember, ...]
    stops: tuple[CommonStop, ...]
    switches: tuple[CommonSwitch, ...]
    bottom_time: float
    run_time: float
    refusals: tuple[str, ...]
    schedule: tuple[tuple[str, ...], ...]
    gases: tuple[tuple[str, ...], ...]
    ready: tuple[tuple[str, ...], ...]
    sums: tuple[tuple[str, ...], ...]
    title: str
    legend: str
    text: str
    units: str

    @property
    def refused(self) -> bool:
        """Whether a caution of any member forbids making a slate of it."""
        return bool(self.refusals)

    def to_frame(self) -> pd.DataFrame:
        """Return the stops as a pandas DataFrame, units in the names of the columns.

        A column ``ready_Ada_min`` for each member; ``waits_for`` holds names with commas between.

        Raises
        ------
        Error
            If pandas is not installed; the message says how to get it.
        """
        frames = imported("pandas", "CommonSchedule.to_frame", "pandas")
        length = "m" if self.units == "metric" else "ft"
        columns: dict[str, list[Any]] = {
            f"depth_{length}": [stop.depth for stop in self.stops],
            "arrives_min": [stop.arrives for stop in self.stops],
            "departs_min": [stop.departs for stop in self.stops],
            "stay_min": [stop.stay for stop in self.stops],
            "waits_for": [", ".join(stop.waits_for) for stop in self.stops],
        }
        for place, member in enumerate(self.members):
            columns[f"ready_{member.name}_min"] = [stop.ready[place] for stop in self.stops]
        frame = frames.DataFrame(columns)
        assumptions = {one.name: one.plan.assumptions for one in self.members}
        frame.attrs.update(
            units=self.units, refused=self.refused, assumptions=assumptions, foot=_core.foot
        )
        return frame

    def to_dict(self) -> dict[str, Any]:
        """Return plain data that JSON can hold, with ``"schema": 1``: every plan whole."""
        return {
            "schema": 1,
            "kind": "common_schedule",
            "units": self.units,
            "refused": self.refused,
            "refusals": list(self.refusals),
            "bottom_time": self.bottom_time,
            "run_time": self.run_time,
            "stops": [
                {
                    "depth": stop.depth,
                    "arrives": stop.arrives,
                    "departs": stop.departs,
                    "stay": stop.stay,
                    "ready": list(stop.ready),
                    "waits_for": list(stop.waits_for),
                }
                for stop in self.stops
            ],
            "switches": [
                {
                    "number": one.number,
                    "gases": [str(gas) for gas in one.gases],
                    "depth": one.depth,
                    "alone": list(one.alone),
                }
                for one in self.switches
            ],
            "members": [
                {
                    "name": one.name,
                    "slack": one.slack,
                    "alone": one.alone.to_dict(),
                    "plan": one.plan.to_dict(),
                }
                for one in self.members
            ],
            "foot": _core.foot,
        }

    def _repr_html_(self) -> str:
        return team_to_html(self)

    def __str__(self) -> str:
        """Return schedule, gases, who waits for whom, cautions, what it does not promise."""
        return self.text

    def __repr__(self) -> str:
        """Return how many members there are, and the run time."""
        refused = ", refused" if self.refused else ""
        return (
            f"<upline.CommonSchedule {len(self.members)} members, "
            f"run time {_core.clock_text(self.run_time)}{refused}>"
        )


@checked
def common_schedule(members: Mapping[str, Plan]) -> CommonSchedule:
    """Find the least schedule that satisfies every member of a team.

    A stop is left when each member may leave it, every one on the limit line of their own anchor:
    the least such time at each stop, given the stops before. A gas is taken up at the depth stated
    for all, or at the shallowest of the depths that the rule finds for each.

    Parameters
    ----------
    members : dict of str to Plan
        2 to 12 names, each with the plan of the same dive: the same levels, place, rules, and
        number and order of gases. Gases as analysed, ``start``, acclimatisation and breathing
        rates are each member's own.

    Returns
    -------
    CommonSchedule
        A plan for each member, with the same times; refused for one is refused for all.

    Raises
    ------
    InvalidInput
        Naming the member and the field in which the plans differ, or the gas that is too rich at
        the common depth.
    NoAscent
        Naming the member who cannot leave a depth. `WrongType` for what is no plan.

    Examples
    --------
    >>> import upline
    >>> def alone(*gases):
    ...     return upline.plan(57, 25, list(gases), gf="40/80", last_stop=6)
    >>> c = upline.common_schedule({  # (invented)
    ...     "Ada": alone("18/45", "50", "O2"),
    ...     "Ben": alone("17.6/43.8", "47", "95"),
    ... })
    >>> [(stop.depth, stop.departs, stop.waits_for) for stop in c.stops[-2:]]
    [(9.0, 48.0, ('Ben',)), (6.0, 70.0, ('Ben',))]
    """
    if not _messages.is_a(members, dict):
        raise _core.wrong_type(
            "members",
            _core.shown(members),
            "a dict of names and plans",
            'write {"Ada": upline.plan(...), "Ben": upline.plan(...)}',
        )
    given = list(dict.items(members))
    found = _core.common_schedule(given)
    cells: dict[str, Any] = {
        name: tuple(map(tuple, found[name])) for name in ("schedule", "gases", "ready", "sums")
    }
    return CommonSchedule(
        members=tuple(
            CommonMember(alone=plan, **one)
            for (_, plan), one in zip(given, found["members"], strict=True)
        ),
        stops=tuple(CommonStop(**one) for one in found["stops"]),
        switches=tuple(CommonSwitch(**one) for one in found["switches"]),
        refusals=tuple(found["refusals"]),
        **cells,
        **{
            name: found[name]
            for name in ("bottom_time", "run_time", "title", "legend", "text", "units")
        },
    )

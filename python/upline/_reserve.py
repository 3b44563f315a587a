"""Gas that is kept for others and for what may be lost, and how long it lets a team stay."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from . import _core, _messages
from ._calls import checked
from ._diver import Diver, fields_of
from ._reserve_results import (
    Deadline,
    Deadlines,
    DiverDeadline,
    GasLimit,
    Requirement,
    Reserves,
    SharingWay,
    TurnPressure,
    TurnPressures,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from ._core import Gas, Plan

__all__ = ["deadlines", "reserves", "turn_pressures"]


@checked
def reserves(
    plan: Plan,
    divers: Diver | Sequence[Diver],
    *,
    sharing: int,
    minutes_at_depth: float,
    next_gas_gone: bool,
    decompression: str | float,
) -> Reserves:
    """Tell what each diver must have of each gas, and has; what binds; how long the gas lasts.

    Parameters
    ----------
    plan : Plan
        The dive.
    divers : Diver or sequence of Diver
        1 to 12 who dive it together, each with a cylinder for each gas of the plan, in its units.
    sharing : int
        How many breathe from one diver's supply, that one too: 2 to 6, or 1 for a solo diver.
    minutes_at_depth : float
        How much later than planned a shared ascent begins [min], 0 to 60.
    next_gas_gone : bool
        Whether the sharing reserve must also do where the gas it leads to is gone. Both are
        computed; this says which must close.
    decompression : "covers loss of the next gas" or float
        Of each gas of the ascent: that it lasts also where the gas taken up after it is gone, or
        the fraction of its content that is kept, 0 to 0.9.

    Returns
    -------
    Reserves
        Requirements diver by diver, the ways of sharing with turn pressures, and the longest
        bottom time at which all of it closes.

    Raises
    ------
    InvalidInput
        For a rule or rate out of range, a gas without a cylinder, or two systems of units.
        `WrongType` for what is no plan, no diver or no number.

    Notes
    -----
    The sharing reserve is that of leaving the last level. The bottom is left `minutes_at_depth`
    later, up on the stops of the plan computed for that, at the sum of the stress rates of those
    who share: a diver's own and the largest of the others; of those whom the team does not have,
    the diver's own again. It ends where the next gas is first breathed, or at the surface. What is
    unknown does not close.

    Examples
    --------
    Ada and Ben on the *Quince Blossom* (invented):

    >>> import upline
    >>> p = upline.plan(57, 25, ["18/45", "50", "O2"], gf="40/80", last_stop=6)
    >>> twin = upline.Cylinder(12, 200, "18/45", 10, joined=2)
    >>> carried = [twin, upline.Cylinder(7, 180, "50", 10), upline.Cylinder(5, 150, "O2", 10)]
    >>> team = [upline.Diver(name, carried, 20, 15, 40) for name in ("Ada", "Ben")]
    >>> r = upline.reserves(
    ...     p, team, sharing=2, minutes_at_depth=2, next_gas_gone=False, decompression=0.2
    ... )
    >>> r.closes, r.limit.bottom_time
    (False, 11.0)
    """
    found = _core.reserves(
        plan, _team(divers), sharing, minutes_at_depth, next_gas_gone, decompression
    )
    without = found["without_next"]
    return Reserves(
        plan=plan,
        requirements=_requirements(found["requirements"]),
        closes=found["closes"],
        binds=Requirement(**found["binds"]),
        with_next=SharingWay(**found["with_next"]),
        without_next=None if without is None else SharingWay(**without),
        other_sharing=_requirements(found["other_sharing"]),
        limit=_limit(found["limit"]),
        **_written(found, "verdict", "table", "ways", "legend", "assumptions", "text", "units"),
    )


@checked
def deadlines(
    plan: Plan,
    divers: Diver | Sequence[Diver],
    *,
    sharing: int,
    minutes_at_depth: float,
    next_gas_gone: bool,
    decompression: str | float,
) -> Deadlines:
    r"""Tell by when the bottom must be left: with every reserve kept, and with gases lost.

    Parameters
    ----------
    plan : Plan
        The dive; its ascent takes up no more than six gases.
    divers : Diver or sequence of Diver
        As for `reserves`.
    sharing, minutes_at_depth, next_gas_gone, decompression
        As for `reserves`; for the first deadline, with every reserve kept.

    Returns
    -------
    Deadlines
        With every reserve; with each gas of the ascent lost; with each pair of them lost. Bottom
        times are whole steps of the plan's resolution, up to an hour beyond its bottom time.

    Raises
    ------
    InvalidInput
        As `reserves`, and for more than six gases taken up on the ascent. `WrongType` likewise.

    Notes
    -----
    Where gas is lost the loss is known when the bottom is left, each diver is alone and nothing is
    kept. The working rate counts until the bottom is left and the stress rate for the whole ascent,
    on the schedule that is computed for the gases that are left.

    Examples
    --------
    >>> import upline
    >>> p = upline.plan(57, 25, ["18/45", "50", "O2"], gf="40/80", last_stop=6)
    >>> twin = upline.Cylinder(12, 200, "18/45", 10, joined=2)
    >>> carried = [twin, upline.Cylinder(7, 180, "50", 10), upline.Cylinder(5, 150, "O2", 10)]
    >>> ada = upline.Diver("Ada", carried, working=20, resting=15, stress=40)  # (invented)
    >>> d = upline.deadlines(
    ...     p, ada, sharing=2, minutes_at_depth=2, next_gas_gone=False, decompression=0.2
    ... )
    >>> print(*d.sentences, sep="\n")
    With every reserve kept: leave by run time 11 min at the latest.
    If the 50 % is lost: leave by run time 14 min at the latest.
    If the oxygen is lost: leave by run time 12 min at the latest.
    If the 50 % and the oxygen are lost: leave by run time 9 min at the latest.
    """
    found = _core.deadlines(
        plan, _team(divers), sharing, minutes_at_depth, next_gas_gone, decompression
    )
    lost = tuple(
        Deadline(**{**one, "divers": tuple(DiverDeadline(**each) for each in one["divers"])})
        for one in found["lost"]
    )
    return Deadlines(
        plan=plan,
        with_reserves=_limit(found["with_reserves"]),
        lost=lost,
        **_written(found, "sentences", "table", "legend", "assumptions", "text", "units"),
    )


@checked
def turn_pressures(
    divers: Diver | Sequence[Diver],
    gas: str | Gas,
    fraction: float,
    *,
    units: str = "metric",
) -> TurnPressures:
    """Tell when each diver turns who may use a fraction of the smallest content in the team.

    Parameters
    ----------
    divers : Diver or sequence of Diver
        1 to 12 who dive together, their cylinders not equal.
    gas : str or Gas
        Of which each has a cylinder with gas in it.
    fraction : float
        Above 0, up to 0.5; 1/3 where two must come back on what one has left.
    units : "metric" or "imperial"
        Of the cylinders.

    Returns
    -------
    TurnPressures

    Raises
    ------
    InvalidInput
        For a fraction out of range, a diver without that gas, or two systems of units.
        `WrongType` for what is no diver, no gas or no number.

    Notes
    -----
    Common practice, no source. No depth is known here: nothing is counted off for what a cylinder
    does not give at depth, nor for the stops of an ascent.

    Examples
    --------
    >>> import upline
    >>> big = upline.Cylinder(12, 220, "32", 10, joined=2)
    >>> small = upline.Cylinder(10, 200, "32", 10, joined=2)
    >>> ada = upline.Diver("Ada", [big], working=20, resting=15, stress=40)  # (invented)
    >>> ben = upline.Diver("Ben", [small], working=20, resting=15, stress=40)  # (invented)
    >>> [round(one.readings[0]) for one in upline.turn_pressures([ada, ben], "32", 1 / 3).divers]
    [159, 130]
    """
    found = _core.turn_pressures(_team(divers), gas, fraction, units)
    return TurnPressures(
        gas=found["gas"],
        fraction=found["fraction"],
        used=found["used"],
        divers=tuple(TurnPressure(**one) for one in found["divers"]),
        **_written(found, "title", "table", "legend", "text", "units"),
    )


def _team(divers: object) -> list[tuple[Any, ...]]:
    """Return the fields of each diver for the compiled part."""
    if _messages.is_a(divers, Diver):
        return [fields_of(divers, "divers")]
    if not _messages.is_a(divers, list, tuple):
        raise _core.wrong_type(
            "divers",
            _core.shown(divers),
            "an upline.Diver or a list of them",
            'write [upline.Diver("Ada", cylinders, working=20, resting=15, stress=40), ...]',
        )
    return [fields_of(one, "divers") for one in list(divers)]


def _requirements(found: list[dict[str, Any]]) -> tuple[Requirement, ...]:
    return tuple(Requirement(**one) for one in found)


def _limit(found: dict[str, Any]) -> GasLimit:
    fails = found["fails"]
    return GasLimit(**{**found, "fails": None if fails is None else Requirement(**fails)})


def _written(found: dict[str, Any], *names: str) -> dict[str, Any]:
    return {name: found[name] for name in names}

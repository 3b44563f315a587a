"""Plans of this library as tables: the plan itself, its record, the frame of its rows."""

from __future__ import annotations

import decimal
from typing import TYPE_CHECKING, Any, NamedTuple

from .. import _core, _record
from .printed import ask_for, say_switch_time
from .raw import Raw
from .words import shown_minutes

if TYPE_CHECKING:
    from .._core import Plan
    from .says import Said

_VAPOUR = 0.0627  # bar, what is meant if nothing is said
WHERE = "the plan"


class Leg(NamedTuple):
    """A stretch of a dive on one gas."""

    phase: str
    from_depth: float
    to_depth: float
    begins: float
    ends: float
    gas: str


def plan_of(source: Any) -> Plan | None:
    """Return the plan that a plan or its record is, or None if it is neither.

    Raises
    ------
    InvalidInput
        For a record that does not hold what planning it afresh gives.
    """
    if type(source) is _core.Plan:
        return source
    if type(source) is dict and all(type(key) is str for key in source):
        kind = source.get("kind")
        return _record.plan_from_dict(source) if type(kind) is str and kind == "plan" else None
    return None


def rows_of_plan(plan: Plan, said: Said) -> list[Raw]:
    """Return the rows of a plan; all else that a table can hold goes to `said`."""
    arguments = plan.arguments
    legs = [
        Leg(row.phase, row.from_depth, row.to_depth, row.begins, row.ends, str(row.gas))
        for row in plan.rows
    ]
    said.say("units", plan.units, WHERE)
    rows = rows_of_legs(legs, said, WHERE)
    gases = said.get("gases")[:1]
    gases += tuple(f"{s.gas}@{s.depth:.12g}" for s in plan.switches if not s.going_down)
    said.values["gases"] = (gases, WHERE)
    said.say("gf", "/".join(_percent(factor) for factor in arguments["gf"]), WHERE)
    said.say("model", arguments["model"], WHERE)
    said.say("descent_rate", arguments["descent_rate"], WHERE)
    zones = tuple((float(depth), float(rate)) for depth, rate in arguments["ascent_rate"])
    said.say("ascent_rate", zones[0][1] if len(zones) == 1 else zones, WHERE)
    said.notes.append(
        f"{WHERE} says: gases {', '.join(said.get('gases'))}, gf {said.get('gf')}, model "
        f"{said.get('model')}"
    )
    _say_place(arguments["environment"], plan.units, said)
    if plan.refused:
        said.notes.append(f"{WHERE} is refused: it goes beyond what may be planned")
    say_switch_time(float(arguments["switch_time"]), said, WHERE)
    if arguments["start"] is not None:
        ask_for(said, "start", WHERE, "earlier dives are counted")
    if arguments["travel"] is not None:
        ask_for(said, "travel", WHERE, "a gas is breathed on the way down")
    return rows


def _percent(fraction: float) -> str:
    per_cent = decimal.Decimal(repr(fraction)) * 100
    return format(per_cent.normalize(), "f")


def _say_place(environment: Any, units: str, said: Said) -> None:
    """Say the place, as far as a table can hold it."""
    other = (
        environment.acclimatised_to is not None
        or environment.surface_pressure is not None
        or environment.vapour != _VAPOUR
        or environment.water not in (None, "fresh", "sea")
        or (environment.altitude and environment.units != units)
    )
    if other:
        ask_for(said, "environment", WHERE, "the place is more than a height and a kind of water")
        return
    said.say("water", environment.water or "gauge", WHERE)
    if environment.altitude:
        said.say("altitude", float(environment.altitude), WHERE)


# ---- legs ----------------------------------------------------------------------------------------


def rows_of_legs(legs: list[Leg], said: Said, where: str) -> list[Raw]:
    """Return a row for each pause of an ascent; the bottom and the surface go to `said`.

    Raises
    ------
    InvalidInput
        For a dive that goes deeper again, or changes the mix as it leaves the bottom.
    """
    downs = [i for i, leg in enumerate(legs) if leg.to_depth > leg.from_depth]
    if not downs or not legs:
        raise _unusable("rows that lead to no bottom", "rows that go down and come up", where)
    last = downs[-1]
    depth = legs[last].to_depth
    if any(leg.phase == "stay" for leg in legs[:last]):
        raise _unusable("levels that go deeper", "a dive that is deepest first", where)
    at_bottom = _pause(legs, last + 1)
    bottom = legs[last + 1 : at_bottom]
    if not bottom or len({leg.gas for leg in bottom}) > 1:
        raise _unusable("another mix as the bottom is left", "one bottom gas", where)
    said.say("depth", depth, where)
    said.say("bottom_time", bottom[-1].ends, where)
    said.say("bottom_from", "surface", where)
    said.say("minutes_mean", "leave at", where)
    said.notes.append(
        f"{where} goes down to {depth:g}, which is left at {shown_minutes(bottom[-1].ends)}; "
        "each row is left at the run time at which it ends"
    )
    rows, gases = _pauses(legs, at_bottom)
    said.say("gases", (bottom[0].gas, *(g for g in gases if g != bottom[0].gas)), where)
    number = len(rows) + 1
    rows.append(Raw(f"row {number}", number, "surface", "surface", 0.0, leave=legs[-1].ends))
    return rows


def _unusable(value: str, allowed: str, where: str) -> _core.InvalidInput:
    return _core.invalid_input(
        where, f"given with {value}", allowed, "check it as a path, with replay"
    )


def _pause(legs: list[Leg], start: int) -> int:
    """Return the end of the legs from `start` on that stay at a depth."""
    end = start
    while end < len(legs) and legs[end].from_depth == legs[end].to_depth:
        end += 1
    return end


def _pauses(legs: list[Leg], start: int) -> tuple[list[Raw], list[str]]:
    rows: list[Raw] = []
    gases: list[str] = []
    at = start
    while at < len(legs):
        end = _pause(legs, at + 1)
        depth, leaving = legs[at].to_depth, legs[end : end + 1]
        gas = leaving[0].gas if leaving else legs[end - 1].gas
        if depth > 0 and (end > at + 1 or gas != legs[at].gas):
            number = len(rows) + 1
            raw = Raw(f"row {number}", number, f"{depth:g}, {legs[end - 1].ends:g}, {gas}")
            raw.depth, raw.leave, raw.gas = depth, legs[end - 1].ends, gas
            rows.append(raw)
            gases += [gas] if gas not in gases else []
        at = end
    return rows, gases

"""From rows as read to a table: bottom and surface rows, travel, gases, and what is not said."""

from __future__ import annotations

import itertools
from typing import Any, NamedTuple

from .. import _core, _messages
from .doubts import (
    note_deeper,
    refuse_hours,
    refuse_two_dives,
    refuse_two_units,
    refuse_unled_travel,
    refuse_zigzag,
)
from .printed import ask_for
from .raw import BOTTOM_GAS, Raw
from .says import Said
from .words import shown_depth, shown_minutes


class Made(NamedTuple):
    """The fields of each row, and the other fields of a table."""

    rows: list[dict[str, Any]]
    rest: dict[str, Any]


def made_of(raws: list[Raw], said: Said, depth: float | None) -> Made:
    """Return the fields of a table.

    Raises
    ------
    InvalidInput
        For two units, two bottoms, a row without a depth, or no row at all.
    """
    refuse_two_units(raws)
    for raw in raws:
        said.say("units", raw.units, raw.where)
        _check_depths(raw)
    surfaced = _Sorting(raws, said, depth)
    stops = surfaced.stops()
    refuse_two_dives(raws)
    refuse_unled_travel(raws, stops)
    if not stops and said.get("depth") is None:
        raise _core.invalid_input(
            "table", "without a row of a stop", "rows of a depth and minutes",
            "give at least one row, such as 6 m 20 min",
        )  # fmt: skip
    _meaning(stops, surfaced, said)
    units = said.get("units")
    refuse_hours(stops, said)
    refuse_zigzag(stops)
    note_deeper(stops, said)
    if units is not None:
        told = "metres" if units == "metric" else "feet"
        said.notes.append(f"depths are in {told}, as {said.values['units'][1]} says")
    _name_bottom_gas(stops, said)
    gases = _gases(stops, said)
    missing = [key for key in ("depth", "bottom_time") if said.get(key) is None]
    missing += [] if gases else ["gases"]
    missing += said.get("asked") or ()
    missing += [
        f"minutes of row {i}"
        for i, raw in enumerate(stops, 1)
        if raw.minutes is None and raw.leave is None
    ]
    keys = ("depth", "bottom_time", "gf", "model", "water", "minutes_mean", "bottom_from")
    rest: dict[str, Any] = {key: said.get(key) for key in (*keys, "altitude", "name")}
    rates = ("ascent_rate", "descent_rate")
    rest["rates"] = {key: said.get(key) for key in rates if said.get(key) is not None}
    rest.update(units=units, gases=gases, missing=tuple(missing), surface_at=surfaced.surface_at)
    rest["notes"] = tuple(said.notes)
    return Made([_fields(raw, units) for raw in stops], rest)


def _check_depths(raw: Raw) -> None:
    if raw.depth is None and raw.kind == "stop":
        raise raw.fail("no depth", "a depth in each row", "write the depth first, such as 6 m 20")
    if raw.kind == "surface" and raw.depth:
        raise raw.fail(
            f"the surface at {raw.depth:g}",
            "the surface in a row of its own",
            "make two rows of it",
        )
    if raw.switch_at is not None and raw.depth not in (None, raw.switch_at):
        raise raw.fail(
            f"at {raw.depth:g} a switch at {raw.switch_at:g}",
            "a switch at the depth of its row",
            "name the depth once",
        )


class _Sorting:
    """Tells stops from bottom, surface, travel and total."""

    def __init__(self, raws: list[Raw], said: Said, depth: float | None) -> None:
        self.raws = raws
        self.said = said
        self.depth = depth
        self.surface_at: float | None = None
        self.between: list[Raw] = []  # travel rows between stops, with their minutes

    def stops(self) -> list[Raw]:
        """Return the rows of stops; the others are told in the notes."""
        for raw in self.raws:
            if raw.depth == 0 and raw.kind == "stop":
                raw.kind = "surface"
        self._mark_bottom()
        descents = [raw for raw in self.raws if raw.kind == "descent" and raw.minutes is not None]
        self._mark_descent()
        for raw in self.raws:
            if raw.kind == "bottom":
                self._bottom(raw)
                if descents and raw.leave is None and self.said.get("minutes_mean") != "leave at":
                    where = f"{descents[0].where}, where the descent has a row"
                    self.said.say("bottom_from", "arrival", where)
        found = [raw for raw in self.raws if raw.kind == "stop"]
        inner = self.raws[self.raws.index(found[0]) : self.raws.index(found[-1])] if found else []
        self.between = [r for r in inner if r.kind == "travel" and r.minutes is not None]
        for raw in self.raws:
            if raw.kind not in ("stop", "bottom"):
                self._left_out(raw, found)
        for raw in found:
            self._not_below_bottom(raw)
        return found

    def _mark_bottom(self) -> None:
        """Mark the first row if it is as deep as the bottom, or far below the next."""
        stops = [raw for raw in self.raws if raw.kind == "stop"]
        if not stops or any(raw.kind == "bottom" for raw in self.raws):
            return
        first = stops[0]
        said = self.depth if self.depth is not None else self.said.get("depth")
        if said is not None:
            at = [raw for raw in stops if raw.depth == said]
            above = stops[: stops.index(at[0])] if at else []
            if at and all((raw.depth or 0.0) < said for raw in above):
                at[0].kind = "bottom"
            return
        likely = self._is_likely_bottom(stops)
        if likely is None:
            return
        if likely:
            first.kind = "bottom"
        self.said.notes.append(
            f"{first.where} {'is read as' if likely else 'may be'} the bottom, as nothing else "
            "names one and the next row is far above it; write bottom before it to say so"
        )

    def _mark_descent(self) -> None:
        """Take the rows above the one of the bottom for the way down."""
        bottoms = [place for place, raw in enumerate(self.raws) if raw.kind == "bottom"]
        for raw in self.raws[: bottoms[0]] if bottoms else []:
            if raw.kind == "stop":
                raw.kind = "descent"
                if raw.gas is not None:
                    ask_for(self.said, "travel", raw.where, "a mix is breathed on the way down")

    def _is_likely_bottom(self, stops: list[Raw]) -> bool | None:
        """Whether the first row is surely the bottom; None if it surely is a stop."""
        depths = [raw.depth or 0.0 for raw in stops]
        per_metre = 10 / 3 if self.said.get("units") == "imperial" else 1.0
        if len(depths) < 2 or depths[0] - depths[1] <= 9.0 * per_metre:
            return None
        falls = all(a >= b for a, b in itertools.pairwise(depths))
        first = stops[0]
        if first.minutes is None and first.leave is None:
            return False
        long = (first.minutes or 0.0) >= 10.0
        return falls and (long or depths[0] - depths[1] >= 20.0 * per_metre)

    def _bottom(self, raw: Raw) -> None:
        self.said.say("depth", raw.depth, raw.where)
        leaves = raw.leave
        if leaves is None and self.said.get("minutes_mean") == "leave at":
            leaves = raw.minutes
        if leaves is not None:
            self.said.say("bottom_from", "surface", raw.where)
        self.said.say("bottom_time", leaves if leaves is not None else raw.minutes, raw.where)
        if raw.gas == BOTTOM_GAS:  # which one stays open
            raw.gas = None
        self.said.say("bottom gas", (raw.gas,) if raw.gas else None, raw.where)
        self.said.notes.append(
            f"{raw.where} is the bottom: {_read_as(raw, self.said.get('units'))}"
        )

    def _left_out(self, raw: Raw, stops: list[Raw]) -> None:
        what = {"travel": "a travel row", "descent": "the descent", "total": "a total"}
        if raw.kind != "surface":
            self.said.notes.append(f"{raw.where} is {what[raw.kind]}, left out of the rows")
            return
        is_last = not stops or self.raws.index(raw) > self.raws.index(stops[-1])
        leave = raw.leave
        if leave is None and raw.minutes and self.said.get("minutes_mean") == "leave at":
            leave = raw.minutes
        if is_last and leave is not None:
            self.surface_at = leave
        at = f", reached at {shown_minutes(leave)}" if is_last and leave is not None else ""
        unread = raw.minutes if leave is None else None
        at += f", its {shown_minutes(unread)} not used" if unread else ""
        self.said.notes.append(f"{raw.where} is the surface{at}; left out of the rows")

    def _not_below_bottom(self, raw: Raw) -> None:
        bottom = self.said.get("depth")
        if bottom is not None and raw.depth is not None and raw.depth > bottom:
            raise raw.fail(
                f"deeper than the bottom, which is {bottom:g} in {self.said.values['depth'][1]}",
                "stops above the bottom",
                "correct one of the two depths",
            )


def _meaning(stops: list[Raw], sorting: _Sorting, said: Said) -> None:
    """Settle what the minutes mean, as far as the table says it."""
    if said.get("minutes_mean") == "leave at":
        for raw in stops:
            if raw.leave is None and raw.minutes is not None:
                raw.leave, raw.minutes = raw.minutes, None
    elif any(raw.minutes is not None for raw in stops):
        for raw in sorting.between[:1]:
            said.say("minutes_mean", "without travel", f"{raw.where}, where travel has a row")
    minutes = [raw.minutes for raw in stops if raw.minutes is not None]
    rising = all(a < b for a, b in itertools.pairwise(minutes))
    bottom_time = said.get("bottom_time") or 15.0
    if len(minutes) > 2 and rising and minutes[0] > bottom_time:
        said.notes.append(
            "the minutes rise from row to row as run times do; if they are, name them leave at"
        )


# ---- gases ---------------------------------------------------------------------------------------


def _name_bottom_gas(stops: list[Raw], said: Said) -> None:
    """Put the mix in the place of the words bottom gas."""
    first = said.get("bottom gas") or said.get("gases")
    for raw in stops:
        if raw.gas != BOTTOM_GAS:
            continue
        if not first:
            raise raw.fail(
                "the bottom gas, which is named nowhere", "a mix", 'add "bottom gas: 18/45"'
            )
        raw.gas = first[0].partition("@")[0]
        said.notes.append(f"{raw.where}: the bottom gas is {raw.gas}")


def _gases(stops: list[Raw], said: Said) -> tuple[str, ...] | None:
    """Return the bottom gas and then the others, or None if no bottom gas is said."""
    listed: tuple[str, ...] = said.get("gases") or ()
    bottom: tuple[str, ...] = said.get("bottom gas") or ()
    if bottom and listed and listed[0].partition("@")[0] != bottom[0]:
        raise _core.invalid_input(
            "bottom gas of the table",
            f"{listed[0]} in {said.values['gases'][1]} and {bottom[0]} in "
            f"{said.values['bottom gas'][1]}",
            "one bottom gas",
            "correct one of the two",
        )
    first = listed or bottom
    others = (said.get("deco") or ()) + tuple(raw.gas for raw in stops if raw.gas)
    if not first:
        if others:
            named = ", ".join(dict.fromkeys(others))
            said.notes.append(f"gases named: {named}; which one is breathed at the bottom is not")
        return None
    known = dict(gas.partition("@")[::2] for gas in first)
    unlisted = [g for g in (raw.gas for raw in stops) if g and g not in known]
    if len(listed) > 1 and unlisted:
        told = ", ".join(dict.fromkeys(unlisted))
        said.notes.append(f"the rows breathe {told}, which the list of gases does not name")
    for gas in others:
        mix, _, depth = gas.partition("@")
        known[mix] = _one_depth(mix, known.get(mix, ""), depth)
    return tuple(f"{mix}@{depth}" if depth else mix for mix, depth in known.items())


def _one_depth(mix: str, first: str, second: str) -> str:
    if first and second and first != second:
        raise _core.invalid_input(
            f"switch to {mix}", f"at {first} and at {second}", "one depth",
            "leave out the one that is wrong",
        )  # fmt: skip
    return first or second


# ---- rows ----------------------------------------------------------------------------------------


def _fields(raw: Raw, units: str | None) -> dict[str, Any]:
    return {
        "depth": raw.depth,
        "minutes": raw.minutes,
        "leave_at": raw.leave,
        "gas": raw.gas,
        "line": raw.number,
        "text": _messages.plain(" ".join(raw.text.split()), 80),
        "read_as": _read_as(raw, units),
    }


def _read_as(raw: Raw, units: str | None) -> str:
    read = shown_depth(raw.depth or 0.0, units)
    if raw.minutes is not None:
        read += f" for {shown_minutes(raw.minutes)} min"
    if raw.leave is not None:
        read += f", leave at {shown_minutes(raw.leave)}"
    if raw.minutes is None and raw.leave is None:
        read += ", minutes not said"
    if raw.gas:
        read += f"{' ' if raw.leave is None and raw.minutes is not None else ', '}on {raw.gas}"
    return read

"""What shows once all rows of a table are read: two units, two dives, hours for minutes."""

from __future__ import annotations

import itertools
from typing import TYPE_CHECKING

from .. import _messages
from .words import shown_depth

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .. import _core
    from .raw import Raw
    from .says import Said

_UNITS = {"metric": "metres", "imperial": "feet"}
_FASTEST = {"metric": 60.0, "imperial": 200.0, None: 60.0}  # of an ascent between two stops


def refuse_two_units(raws: Sequence[Raw]) -> None:
    """Refuse a row in other units than one before it."""
    first: Raw | None = None
    for raw in raws:
        if raw.units is None:
            continue
        first = first or raw
        if raw.units != first.units:
            assert first.units is not None
            raise raw.fail(
                f"depths in {_UNITS[raw.units]}, while {_messages.word(first.text)} in "
                f"{first.where} is in {_UNITS[first.units]}",
                "one unit in a table",
                "write all depths in metres, or all in feet",
            )


def refuse_two_dives(raws: Sequence[Raw]) -> None:
    """Refuse the surface between two stops."""
    kinds = [raw.kind for raw in raws]
    for place, raw in enumerate(raws):
        is_surface = raw.kind == "surface"
        if is_surface and "stop" in kinds[:place] and "stop" in kinds[place:]:
            raise raw.fail(
                "the surface between two stops", "one dive in a table", "make two tables of it"
            )


def refuse_hours(stops: Sequence[Raw], said: Said) -> None:
    """Refuse times such as 1:05 that make sense as hours and minutes alone; tell the others."""
    units = said.get("units")
    rows = [raw for raw in stops if "leave" in raw.clocks]
    pairs = list(itertools.pairwise(rows))
    if pairs and all(_is_too_short(before, after, units) for before, after in pairs):
        raise _hours(pairs[0][1])
    rows = [raw for raw in stops if "minutes" in raw.clocks]
    if len(rows) > 1 and all((raw.minutes or 0.0) < 1.0 for raw in rows):
        raise _hours(max(rows, key=lambda raw: raw.minutes or 0.0))
    for raw in stops:
        if "leave" in raw.clocks and (raw.leave or 0.0) < 1.0:
            raise _hours(raw)
    if any(raw.clocks for raw in stops):
        said.note_once("times such as 1:05 are read as minutes and seconds")


def _is_too_short(before: Raw, after: Raw, units: str | None) -> bool:
    """Whether a row is left too soon behind the one before, if its time is in seconds."""
    risen = (before.depth or 0.0) - (after.depth or 0.0)
    between = (after.leave or 0.0) - (before.leave or 0.0)
    is_short = risen > _FASTEST[units] * between or (after.minutes or 0.0) > 2 * between
    return between >= 0.0 and is_short


def _hours(raw: Raw) -> _core.InvalidInput:
    return raw.fail(
        "a time that may be hours and minutes: as minutes and seconds it is too short",
        "minutes and seconds as 1:05, hours and minutes in a column named so",
        'name the column "run (h:mm)" or "run (m:ss)", or write h:mm:ss',
    )


def refuse_unled_travel(raws: Sequence[Raw], stops: Sequence[Raw]) -> None:
    """Refuse a way up that does not lead to the next stop: it may be a depth and its minutes."""
    for place, raw in enumerate(raws):
        if raw.kind != "travel" or raw.target is None:
            continue
        following = [one for one in raws[place + 1 :] if one.kind != "total"]
        leads = following[0].depth if following else (0.0 if stops else None)
        if raw.target != leads:
            raise raw.fail(
                "a way up that does not lead to the next row"
                if following
                else "a way up behind which no row stands",
                'rows such as "24 2"; a way up such as "57 -> 24" before the row of 24',
                'write "24 2" for 2 min at 24 m',
            )


def refuse_zigzag(stops: Sequence[Raw]) -> None:
    """Refuse rows that go up and down: some of the numbers are no depths."""
    depths = [raw.depth or 0.0 for raw in stops]
    deeper = [place for place in range(1, len(depths)) if depths[place] > depths[place - 1]]
    most, share = 1, 3
    if len(deeper) > most and share * len(deeper) >= len(depths) - 1:
        raise stops[deeper[most]].fail(
            f"goes down again, as {len(deeper)} of {len(depths)} rows do: it may be minutes that "
            "are read as depths",
            "depths that fall from row to row",
            'write "24/2" for 2 min at 24 m, a row on each line',
        )


def note_deeper(stops: Sequence[Raw], said: Said) -> None:
    """Tell each row that goes deeper than the one before it."""
    units = said.get("units")
    for before, after in itertools.pairwise(stops):
        depths = [raw.depth or 0.0 for raw in (before, after)]
        if depths[1] > depths[0]:
            above, below = (shown_depth(depth, units) for depth in depths)
            said.notes.append(
                f"{after.where}, {_messages.word(after.text)}, goes down again, to {below} after "
                f"{above}; it is left as it stands"
            )

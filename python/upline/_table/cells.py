"""One row of a hand-written table from the cells under its columns."""

from __future__ import annotations

from .. import _messages
from .raw import LENGTHS, Raw
from .rows import KIND_WORDS
from .words import (
    HOURS_AND_MINUTES,
    MINUTES_AND_SECONDS,
    Column,
    Token,
    figures_meant,
    is_ditto,
    minutes_of,
    number,
    tokens_of,
)

_TIMES = "5, 5.5, 5:30, 5', 5'30\", 5 min; seconds below 60"
_HOURS = "hours and minutes as 1:05, or 1:05:00; minutes below 60"


def row_from_cells(raw: Raw, cells: list[str], columns: list[Column]) -> Raw:
    """Read a row of a table whose columns are named; the row is filled in place."""
    for cell, column in zip(cells, columns, strict=True):
        if column.kind in _READ and not is_ditto(cell):
            _READ[column.kind](raw, cell, column)
    return raw


def _tokens(raw: Raw, cell: str) -> list[Token]:
    tokens = tokens_of(cell)
    if tokens is None:
        raise raw.unreadable(cell)
    return tokens


def _depth_cell(raw: Raw, cell: str, column: Column) -> None:
    for token in _tokens(raw, cell):
        word = token.text.lower()
        if token.kind in ("number", "metres", "feet"):
            raw.set_depth(token)
        elif token.kind == "arrow" or word in KIND_WORDS:
            kind = KIND_WORDS.get(word, "travel")
            raw.kind = kind if raw.kind == "stop" else raw.kind
        elif word == "-" and raw.depth is None:
            raise raw.fail(
                "a depth with a minus sign", "depths below the surface", "write it without a sign"
            )
        elif word not in ("stop", "to", "at", "deco", "-"):
            raise raw.unreadable(cell)
        elif word in ("to", "-") and raw.kind == "stop" and raw.depth is not None:
            raw.kind = "travel"
    raw.set_units(column.units)


def _time_cell(raw: Raw, cell: str, column: Column) -> None:
    tokens = [t for t in _tokens(raw, cell) if t.text.lower() not in ("for", "at", "leave")]
    name = f"{_messages.word(cell)} under {_messages.word(column.name)}"
    if [token.text for token in tokens[:1]] == ["-"]:
        raise raw.fail(f"{name} has a minus sign", "times of 0 or more", "write it without a sign")
    minutes = minutes_of(tokens[0], column.unit) if len(tokens) == 1 else None
    if minutes is None:
        raise raw.fail(
            f"{name} is no time{figures_meant(cell)}",
            _HOURS if column.unit in HOURS_AND_MINUTES else _TIMES,
            "write the minutes in one of these forms, or - where there is nothing to say",
        )
    is_said = column.unit in HOURS_AND_MINUTES + MINUTES_AND_SECONDS
    raw.set_minutes(tokens[0], minutes, column.kind == "leave", is_said)


def _gas_cell(raw: Raw, cell: str, column: Column) -> None:
    text = cell.lower().strip()
    if text in ("surface", "surfacing", "surf"):
        raw.kind = "surface"
        return
    for word in ("switch to", "switch", "change to", "->", "on"):
        text = text.removeprefix(word).strip()
    mix, at, depth = text.partition("@")
    raw.set_gas(mix)
    if not at:
        return
    tokens = _tokens(raw, depth)
    if len(tokens) != 1 or tokens[0].kind not in ("number", "metres", "feet"):
        raise raw.unreadable(cell)
    raw.switch_at = number(tokens[0].text)
    raw.set_units(LENGTHS.get(tokens[0].kind))


def _phase_cell(raw: Raw, cell: str, column: Column) -> None:
    for word in cell.lower().split():
        if raw.kind == "stop":
            raw.kind = KIND_WORDS.get(word, "stop")


_READ = {
    "depth": _depth_cell,
    "minutes": _time_cell,
    "leave": _time_cell,
    "gas": _gas_cell,
    "phase": _phase_cell,
}

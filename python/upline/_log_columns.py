"""The columns of a log: what parts them, and what their names say."""

from __future__ import annotations

import re
from typing import NamedTuple

from . import _core, _messages
from ._foreign import Line

FIGURES = re.compile(r"[-+]?\d{1,9}(?:[.,]\d{1,40})?(?:e[-+]?\d{1,3})?$", re.IGNORECASE)
CLOCK = re.compile(r"\d{1,4}(?::\d{1,2}){1,2}(?:\.\d{1,9})?$")
_NAMES = {
    "time": ("time", "t", "elapsed", "elapsed time", "run time", "runtime", "run"),
    "depth": ("depth", "d"),
    "gas": ("gas", "mix", "breathe", "breathing gas", "breathing"),
}
_UNITS = {
    "time": {
        **dict.fromkeys(("min", "mins", "minute", "minutes"), "min"),
        **dict.fromkeys(("s", "sec", "secs", "second", "seconds"), "s"),
        **dict.fromkeys(("h:mm:ss", "hh:mm:ss", "mm:ss", "m:ss"), ":"),
    },
    "depth": {
        **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), "metric"),
        **dict.fromkeys(("ft", "foot", "feet"), "imperial"),
    },
}


class Column(NamedTuple):
    kind: str
    unit: str | None
    name: str


def separator_of(lines: list[Line]) -> str:
    for separator in ("\t", ";", ","):
        if all(separator in line.text.strip() for line in lines[:2]):
            return separator
    return " "


def cells_of(text: str, separator: str) -> list[str]:
    if separator == " ":
        return re.sub(r"[ \t]+(?=[\[(])", "", text).split()
    return [cell.strip().strip('"').strip() for cell in text.split(separator)]


def columns_of(lines: list[Line], separator: str) -> tuple[list[Column], list[Line]]:
    """Return the columns, and the lines below their names."""
    names = cells_of(lines[0].text, separator)
    if all(FIGURES.match(name) or CLOCK.match(name) for name in names):
        if len(names) != 2:
            raise _core.invalid_input(
                f"line {lines[0].number} of the log",
                f"{_messages.word(lines[0].written)}, {len(names)} columns without names",
                "two columns, time and depth, or a line that names them",
                'put a line such as "time [s],depth [m],gas" first',
            )
        return [Column("time", None, "1"), Column("depth", None, "2")], lines
    columns = [_column(name) for name in names]
    for kind in ("time", "depth"):
        count = sum(column.kind == kind for column in columns)
        if count != 1:
            raise _core.invalid_input(
                f"line {lines[0].number} of the log",
                f"{_messages.word(lines[0].written)}, with {count} columns of {kind}",
                'names such as "time [s]", "depth [m]", "gas"',
                f'name one column "{kind}"',
            )
    return columns, lines[1:]


def _column(name: str) -> Column:
    words = re.sub(r"[_()\[\],/]", " ", name.lower()).split()
    for kind, names in _NAMES.items():
        units = _UNITS.get(kind, {})
        if " ".join(words) in names:
            return Column(kind, None, name)
        if words and " ".join(words[:-1]) in names and words[-1] in units:
            return Column(kind, units[words[-1]], name)
    return Column("other", None, name)

"""The line with the names of the columns, and the cells below it."""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from . import _core, _messages
from ._table_rows import Raw
from ._table_says import Said
from ._table_words import FEET, KNOWN_NAMES, METRES, MINUTES, SECONDS, Column, column_of

if TYPE_CHECKING:
    from collections.abc import Sequence

SEPARATORS = {"|": "bars", "\t": "tabs", ";": "semicolons", ",": "commas", " ": "spaces"}
_LONGEST_NAME = 4  # words
_KNOWN = '"depth", "stop", "leave at", "gas"'
# A unit belongs to the number before it.
_PARTED = re.compile(
    rf"(?<=\d) +(?=(?:{METRES}|{FEET}|{MINUTES}|{SECONDS}|%|'))|(?<=') +(?=\d{{1,2}}(?:\"|''))",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class Header:
    """The columns of a table, and what stands between them."""

    separator: str
    columns: tuple[Column, ...]

    def cells(self, text: str, raw: Raw) -> list[str]:
        """Return the cells of a row, one for each column."""
        cells = split(text, self.separator)
        if self.separator == " ":
            cells = self._spaced(text)
        while len(cells) > len(self.columns) and not cells[-1].strip():
            cells.pop()
        missing = self.columns[len(cells) :]
        if self.separator == " " and any(c.kind not in ("gas", "other", "phase") for c in missing):
            raise self._wrong_count(raw, len(cells))
        if len(cells) > len(self.columns):
            raise self._wrong_count(raw, len(cells))
        return [cell.strip() for cell in cells] + [""] * len(missing)

    def _spaced(self, text: str) -> list[str]:
        wide = re.split(r"\s{2,}", text.strip())
        if len(wide) == len(self.columns):
            return wide
        cells = _PARTED.sub("", re.sub(r"[ \t]*->[ \t]*", "->", text)).split()
        if self.columns[-1].kind == "other" and len(cells) > len(self.columns):
            last = len(self.columns) - 1
            cells[last:] = [" ".join(cells[last:])]
        return cells

    def _wrong_count(self, raw: Raw, count: int) -> _core.InvalidInput:
        remedy = "write - in an empty cell"
        if self.separator == "," and count > len(self.columns):
            remedy = (
                "if a comma is a decimal comma, write a point, put the cell in double quotes, "
                "or part the columns by semicolons"
            )
        return raw.fail(
            f"{count} cells under {len(self.columns)} columns",
            "a cell for each of "
            + ", ".join(_messages.plain(column.name, 30) for column in self.columns[:20]),
            remedy,
        )


def split(text: str, separator: str) -> list[str]:
    """Return the cells of a line."""
    if separator == "|":
        cells = text.strip().removeprefix("|").removesuffix("|").split("|")
        return [cell.strip().strip("*_`").strip() for cell in cells]
    if separator in ",;":
        return next(csv.reader([text], delimiter=separator, skipinitialspace=True), [])
    return text.split() if separator == " " else text.strip("\r\n").split("\t")


def header_of(text: str, strict: bool = False) -> Header | None:
    """Return the columns a line names, or None if it names none.

    With `strict`, for a line behind a comment mark, every name must be known.
    """
    for separator in SEPARATORS:
        if separator not in text.strip():
            continue
        names = _spaced_names(text) if separator == " " else split(text, separator)
        columns = [column_of(name) for name in names]
        kinds = [column.kind for column in columns if column]
        if not {"depth", "stop"} & set(kinds):
            continue
        unknown = [name for name, column in zip(names, columns, strict=True) if not column]
        if any(re.search(r"\d", name) for name in unknown) or (strict and unknown):
            continue
        if len(kinds) < 2 and not _is_foreign(names, kinds):
            continue
        if len(kinds) >= 2 and unknown and separator == " ":
            continue
        known = (c or Column("other", n.strip()) for n, c in zip(names, columns, strict=True))
        return Header(separator, tuple(known))
    return None


def _is_foreign(names: list[str], kinds: list[str]) -> bool:
    """Whether a line names a column of depths, and others in words that are not known."""
    longest = 4
    return kinds == ["depth"] and 2 <= len(names) <= longest and max(map(len, names)) < 20


def _spaced_names(text: str) -> list[str]:
    words = text.split()
    names: list[str] = []
    while words:
        for length in range(min(_LONGEST_NAME, len(words)), 0, -1):
            name = " ".join(words[:length])
            if column_of(name) or length == 1:
                names.append(name)
                del words[:length]
                break
    return names


def settled(header: Header, where: str, said: Said) -> Header:
    """Return the columns with one meaning each, and say what their names say.

    Raises
    ------
    InvalidInput
        If two columns mean the same, or none holds depths.
    """
    _refuse_misspelt(header.columns, where)
    has_depth = any(column.kind == "depth" for column in header.columns)
    columns = [
        replace(c, kind="minutes" if has_depth else "depth") if c.kind == "stop" else c
        for c in header.columns
    ]
    columns = _without_second_minutes(columns, where, said)
    for kind in ("depth", "minutes", "leave", "gas"):
        same = [column.name for column in columns if column.kind == kind]
        if len(same) > 1:
            raise _core.invalid_input(
                f"column in {where}",
                " and ".join(_messages.word(name) for name in same[:4]) + f", both read as {kind}",
                f"one column of each kind: {_KNOWN}",
                "rename one, or leave it out",
            )
    _require_times(columns, where)
    for column in columns:
        _say(column, columns, where, said)
    return Header(header.separator, tuple(columns))


def _without_second_minutes(columns: list[Column], where: str, said: Said) -> list[Column]:
    """Minutes at depth say all that minutes with travel do, so these are left out beside them."""
    means = {column.mean for column in columns if column.kind == "minutes"}
    if not {"with travel", "without travel"} <= means:
        return columns
    return [replace(c, kind="other", mean=None) if c.mean == "with travel" else c for c in columns]


def _unknown(columns: Sequence[Column]) -> list[str]:
    return [c.name for c in columns if c.kind == "other" and column_of(c.name) is None]


def _refuse_misspelt(columns: Sequence[Column], where: str) -> None:
    """Refuse a column that may be one of depths, times or gases, and would be left out."""
    unknown = [name for name in _unknown(columns) if name.strip()]
    has_depth = any(column.kind == "depth" for column in columns)
    for name in unknown:
        meant = _messages.nearest(name, KNOWN_NAMES)
        if meant or not has_depth:
            raise _core.invalid_input(
                f"column in {where}",
                f"{_messages.word(name)}, which is not known",
                f"{_KNOWN}, and others that have no likeness to these",
                f'write "{meant}"' if meant else 'name the column of depths "depth"',
            )


def _require_times(columns: list[Column], where: str) -> None:
    kinds = {column.kind for column in columns}
    unknown = _unknown(columns)
    if not kinds & {"minutes", "leave"} and unknown:
        raise _core.invalid_input(
            f"column in {where}",
            "not one of times; not known: " + ", ".join(map(_messages.word, unknown[:10])),
            _KNOWN,
            'name the column of times "stop" or "leave at"',
        )


def _say(column: Column, columns: list[Column], where: str, said: Said) -> None:
    name = f"the column {_messages.word(column.name)} in {where}"
    said.say("units", column.units, name)
    said.say("minutes_mean", column.mean, name)
    kinds = {c.kind for c in columns}
    if column.kind == "leave" and "minutes" not in kinds:
        said.say("minutes_mean", "leave at", name)
    if column.kind == "travel" and "minutes" in kinds:
        said.say("minutes_mean", "without travel", name)
    if column.kind in ("other", "arrive", "travel"):
        said.notes.append(f"{name} is left out")
    elif column.kind == "leave":
        said.notes.append(f"{name} is read as the run time at which a row is left")
    elif column.name.lower() == "time":
        said.notes.append(f"{name} is read as stop minutes; a run time is named leave at")

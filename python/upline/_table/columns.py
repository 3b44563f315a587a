"""The line with the names of the columns, and the cells below it."""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from .. import _core, _messages
from .raw import Raw
from .says import Said
from .words import (
    FEET,
    KNOWN_NAMES,
    METRES,
    MINUTES,
    SECONDS,
    Column,
    column_of,
    units_named,
    units_of_word,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

SEPARATORS = {"|": "bars", "\t": "tabs", ";": "semicolons", ",": "commas", " ": "spaces"}
_LONGEST_NAME = 4  # words
_NO_TIMES = ("bar", "half-time")
_KNOWN = '"depth", "stop", "leave at", "gas"'
# A unit belongs to the number before it.
_PARTED = re.compile(
    rf"(?<=\d) +(?=(?:{METRES}|{FEET}|{MINUTES}|{SECONDS}|%|'))|(?<=') +(?=\d{{1,2}}(?:\"|''))",
    re.IGNORECASE,
)


# Cells that may be of several words, where only single spaces part the columns.
_NUMBER_AND_UNIT = r"\S{1,12}(?: (?:m|ft|min|s))?"
_FORMS = {
    **dict.fromkeys(("depth", "minutes", "leave", "arrive", "travel"), _NUMBER_AND_UNIT),
    "gas": r"(?:(?:switch|change) to |on )?\S{1,12}(?: \d{1,3}(?:/\d{1,3})?)?(?: %)?",
}
_OTHER_FORM = r"(?!%)\S{1,12}(?: min)?"
_MOST_BY_KIND = 12


@dataclass(frozen=True)
class Header:
    """The columns of a table, and what stands between them."""

    separator: str
    columns: tuple[Column, ...]
    has_edges: bool = False  # of bars: | depth | stop |

    def cells(self, text: str, raw: Raw) -> list[str]:
        """Return the cells of a row, one for each column."""
        cells = split(text, self.separator)
        if self.separator == " ":
            cells = self._spaced(text)
        elif self.separator == "|" and not self.has_edges and text.lstrip().startswith("|"):
            cells.insert(0, "")  # the first cell is empty
        while len(cells) > len(self.columns) and not cells[-1].strip():
            cells.pop()
        missing = self.columns[len(cells) :]
        if self.separator == " " and missing and not self._only_last_may_be_empty(len(cells)):
            raise self._wrong_count(raw, len(cells))
        if len(cells) > len(self.columns):
            raise self._wrong_count(raw, len(cells))
        return [cell.strip() for cell in cells] + [""] * len(missing)

    def _only_last_may_be_empty(self, count: int) -> bool:
        """Whether fewer cells than columns can only be those of the first columns."""
        kinds = [column.kind for column in self.columns]
        may_be_empty = [kind in ("gas", "other", "phase") for kind in kinds]
        first = may_be_empty.index(True) if any(may_be_empty) else len(kinds)
        if count < first or not all(may_be_empty[first:]):
            return False
        return count == first or "gas" not in kinds[first + 1 :]

    def _spaced(self, text: str) -> list[str]:
        wide = re.split(r"\s{2,}", text.strip())
        if len(wide) == len(self.columns):
            return wide
        cells = _PARTED.sub("", re.sub(r"[ \t]*->[ \t]*", "->", text)).split()
        if len(cells) > len(self.columns):
            cells = self._by_kind(text) or cells
        if self.columns[-1].kind == "other" and len(cells) > len(self.columns):
            last = len(self.columns) - 1
            cells[last:] = [" ".join(cells[last:])]
        return cells

    def _by_kind(self, text: str) -> list[str] | None:
        """Return the cells of a row whose mixes or other cells are of several words."""
        forms = [_FORMS.get(column.kind, _OTHER_FORM) for column in self.columns]
        while 1 < len(forms) <= _MOST_BY_KIND:
            pattern = r"[ \t]{1,99}".join(f"({form})" for form in forms)
            match = re.fullmatch(pattern, text.strip(), re.IGNORECASE)
            if match:
                return list(match.groups())
            if forms.pop() != _OTHER_FORM:  # only such a cell may be wanting at the end
                return None
        return None

    def units_in(self, text: str) -> list[str] | None:
        """Return the units that a line below the names gives, a word each, or None."""
        return units_named(split(text, self.separator))

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
        if not {"depth", "stop", "foreign"} & set(kinds):
            continue
        unknown = [name for name, column in zip(names, columns, strict=True) if not column]
        if any(re.search(r"\d", name) for name in unknown) or (strict and unknown):
            continue
        if len(kinds) < 2 and not _is_foreign(names, kinds):
            continue
        if len(kinds) >= 2 and unknown and separator == " ":
            continue
        known = (c or Column("other", n.strip()) for n, c in zip(names, columns, strict=True))
        return Header(separator, tuple(known), text.strip().startswith("|"))
    return None


def is_header_without_depth(text: str) -> bool:
    """Whether a line names columns of times or mixes, and none of depths."""
    for separator in ("|", "\t", ";", ","):
        if separator in text:
            names = split(text, separator)
            kinds = [column.kind for name in names if (column := column_of(name))]
            return 2 * len(kinds) >= len(names) and not {"leave", "minutes", "gas"}.isdisjoint(
                kinds
            )
    columns = [column_of(name) for name in _spaced_names(text)]
    kinds = [column.kind for column in columns if column]
    return len(columns) <= len(kinds) + 1 and "leave" in kinds


def _is_foreign(names: list[str], kinds: list[str]) -> bool:
    """Whether a line names a column of depths, and others in words that are not known."""
    longest = 4
    return kinds == ["depth"] and 2 <= len(names) <= longest and max(map(len, names)) < 20


def _spaced_names(text: str) -> list[str]:
    wide = re.split(r"[ \t]{2,}", text.strip())
    if len(wide) > 1 and all(column_of(name) for name in wide):
        return wide
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
        _stop_column(column, has_depth) if column.kind == "stop" else column
        for column in header.columns
    ]
    _refuse_units(columns, where)
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
    return replace(header, columns=tuple(columns))


def _without_second_minutes(columns: list[Column], where: str, said: Said) -> list[Column]:
    """Minutes at depth say all that minutes with travel do, so these are left out beside them."""
    means = {column.mean for column in columns if column.kind == "minutes"}
    if not {"with travel", "without travel"} <= means:
        return columns
    return [replace(c, kind="other", mean=None) if c.mean == "with travel" else c for c in columns]


def _unknown(columns: Sequence[Column]) -> list[str]:
    return [c.name for c in columns if c.kind == "other" and column_of(c.name) is None]


def _stop_column(column: Column, has_depth: bool) -> Column:
    """Return what a column named stop holds: the depths, if no other column does."""
    if has_depth:
        return replace(column, kind="minutes", units=None)
    return replace(column, kind="depth")


def _refuse_units(columns: Sequence[Column], where: str) -> None:
    """Refuse a unit that belongs to no depth or to no time."""
    for column in columns:
        is_length = units_of_word(column.unit) is not None
        is_wrong = {
            "foreign": True,
            "depth": bool(column.unit) and not is_length,
            "minutes": column.unit in _NO_TIMES or units_of_word(column.unit) == "imperial",
            "leave": column.unit in _NO_TIMES or units_of_word(column.unit) == "imperial",
        }
        if is_wrong.get(column.kind):
            raise _core.invalid_input(
                f"column in {where}",
                f"{_messages.word(column.name)}, with {_messages.word(column.unit)}, which is no "
                "unit that is read there",
                "depths in m or ft, times in min, s, m:ss or h:mm",
                "give the column in one of these units",
            )


def _refuse_misspelt(columns: Sequence[Column], where: str) -> None:
    """Refuse a column that may be one of depths, times or gases, and would be left out."""
    unknown = [name for name in _unknown(columns) if name.strip()]
    has_depth = any(column.kind in ("depth", "foreign") for column in columns)
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
    elif column.name.lower() in ("time", "t"):
        said.notes.append(f"{name} is read as stop minutes; a run time is named leave at")

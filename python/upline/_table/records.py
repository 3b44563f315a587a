"""Tables as data frames, arrays, and lists of tuples or dicts."""

from __future__ import annotations

import datetime
import decimal
import math
import numbers
import re
from typing import Any

import numpy as np

from .. import _core, _messages
from .._foreign import keyboard
from .cells import row_from_cells
from .columns import Header, header_of, settled
from .plan import Leg, rows_of_legs
from .printed import take_assumptions
from .raw import Raw
from .says import Said
from .text import MOST_ROWS
from .words import Column, column_of, gas_of, is_ditto

_SOURCES = (
    "the path of a file, a text of more than one line, a DataFrame, or a list of tuples or dicts"
)
_ROWS = "(depth, minutes), (depth, minutes, mix), or a dict"
_MOST_COLUMNS = 50
_LONGEST_CELL = 1000
_LONGEST_WORDS = 5000
_LARGEST_FIGURE = 1e6


def rows_of_records(source: Any, said: Said) -> list[Raw]:
    """Return the rows of a table that is no text.

    Raises
    ------
    InvalidInput
        Naming the row, or the columns.
    WrongType
        If it is nothing that holds rows.
    """
    names, records = _records(source)
    if len(records) > MOST_ROWS:
        raise _core.invalid_input(
            "table", f"longer than {MOST_ROWS} rows", f"up to {MOST_ROWS} rows", "give one table"
        )
    legs = _legs(names or [], records)
    if legs is not None:
        return _rows_of_frame(source, legs, said, names or [])
    if names is None:
        return [_plain_row(number, record) for number, record in enumerate(records, 1)]
    header = header_of("\t".join(names)) if 1 < len(names) <= _MOST_COLUMNS else None
    if header is None:
        raise _core.invalid_input(
            "columns of the table",
            ", ".join(_messages.word(name) for name in names[:10]) or "none",
            'names such as "depth", "stop", "leave at", "gas"',
            "name the column of depths and the one of times so",
        )
    header = settled(Header("\t", header.columns), "the names of the columns", said)
    return [_named_row(number, record, header) for number, record in enumerate(records, 1)]


def number_of(value: Any) -> float | None:
    """Return what a number is, or None if it is none."""
    is_number = issubclass(type(value), numbers.Real) and not _messages.is_a(value, bool, np.bool_)
    if not is_number:
        return None
    try:
        return float(value)
    except Exception:  # of a foreign class, or beyond all floats
        return None


# ---- names and rows ------------------------------------------------------------------------------


def _records(source: Any) -> tuple[list[str] | None, list[list[Any]]]:
    """Return the names of the columns, or None, and the rows."""
    if hasattr(type(source), "itertuples"):
        return _frame(source)
    rows = _items(source, MOST_ROWS + 1)
    if rows is None:
        raise _core.wrong_type("table", _core.shown(source), _SOURCES, "give it as one of these")
    if rows and all(_messages.is_a(row, dict) for row in rows):
        return _of_dicts(rows)
    records = [_record(number, row) for number, row in enumerate(rows, 1)]
    if records and _is_header(records[0]):
        return [_name(cell) for cell in records[0]], records[1:]
    return None, records


def _items(value: Any, most: int) -> list[Any] | None:
    """Return the first items of a list, a tuple or an array, or None if it is none of these."""
    first = slice(0, most)
    if _messages.is_a(value, list):
        return list.__getitem__(value, first)
    if _messages.is_a(value, tuple):
        return list(tuple.__getitem__(value, first))
    if type(value) is np.ndarray and value.ndim in (1, 2):
        return list(value[first].tolist())
    return None


def _record(number: int, row: Any) -> list[Any]:
    cells = _items(row, _MOST_COLUMNS + 1)
    if cells is None:
        raise _core.wrong_type(
            f"row {number} of the table", _core.shown(row), _ROWS, "give it in one of these forms"
        )
    return cells


def _of_dicts(rows: list[Any]) -> tuple[list[str], list[list[Any]]]:
    tables = [
        _messages.table(f"row {number} of the table", row, _ROWS, "name its columns by texts")
        for number, row in enumerate(rows, 1)
    ]
    names = list(dict.fromkeys(key for table in tables for key in table))
    kept = names[: _MOST_COLUMNS + 1]
    return [_name(name) for name in kept], [[table.get(n) for n in kept] for table in tables]


def _frame(frame: Any) -> tuple[list[str] | None, list[list[Any]]]:
    try:
        if frame.index.name is not None and column_of(_name(frame.index.name)):
            frame = frame.reset_index()
        rows = frame.head(MOST_ROWS + 1).itertuples(index=False, name=None)
        records = [list(row) for row in rows]
        names = [_name(name) for name in frame.columns]
    except _core.Error:
        raise
    except Exception:  # it only looks like a frame
        raise _core.wrong_type(
            "table", _core.shown(frame), _SOURCES, "give it as one of these"
        ) from None
    return (None if all(name.isdigit() for name in names) else names), records


def _name(name: Any) -> str:
    """Return the name of a column as a text of one line."""
    if _messages.is_a(name, str):
        text = _messages.exact(name)[:100]
    else:
        text = str(name) if type(name) in (int, float) else "?"
    return "".join(c if c.isprintable() else " " for c in keyboard(text)).strip()


def _is_header(record: list[Any]) -> bool:
    is_text = all(_messages.is_a(cell, str) for cell in record)
    return is_text and header_of("\t".join(_name(cell) for cell in record)) is not None


# ---- the rows of a plan --------------------------------------------------------------------------

_LEGS = ("phase", "from_depth", "to_depth", "begins", "ends", "gas")


def _legs(names: list[str], records: list[list[Any]]) -> list[Leg] | None:
    """Return the legs of a plan's frame, or None if it is no such frame."""
    bare = [re.sub(r"_(?:m|ft|min)$", "", name) for name in names]
    if not set(_LEGS) <= set(bare) or len(bare) > _MOST_COLUMNS:
        return None
    places = [bare.index(name) for name in _LEGS]
    return [_leg(number, [record[i] for i in places]) for number, record in enumerate(records, 1)]


def _leg(number: int, cells: list[Any]) -> Leg:
    phase, *figures, gas = cells
    numbers_ = [number_of(figure) for figure in figures]
    mix = gas_of(str(gas)) if type(gas) in (str, _core.Gas) else None
    if type(phase) is not str or mix is None or any(not _is_finite(n) for n in numbers_):
        raise _core.invalid_input(
            f"row {number} of the table", ", ".join(_core.shown(cell) for cell in cells),
            ", ".join(_LEGS), "give it as to_frame gave it",
        )  # fmt: skip
    a, b, c, d = (float(n or 0.0) for n in numbers_)
    return Leg(phase, a, b, c, d, mix)


def _is_finite(value: float | None) -> bool:
    return value is not None and 0 <= value < _LARGEST_FIGURE


def _rows_of_frame(source: Any, legs: list[Leg], said: Said, names: list[str]) -> list[Raw]:
    units = {name: "metric" if name.endswith("_m") else "imperial" for name in names}
    for name in ("from_depth_m", "from_depth_ft"):
        said.say("units", units.get(name), f"the column {name}")
    try:
        assumptions = source.attrs.get("assumptions")
    except Exception:  # of a foreign class
        assumptions = None
    if type(assumptions) is str and len(assumptions) <= _LONGEST_WORDS:
        take_assumptions(assumptions, said, "the assumptions of the frame")
    return rows_of_legs(legs, said, "the frame")


# ---- one row -------------------------------------------------------------------------------------


def _raw(number: int, record: list[Any]) -> tuple[Raw, list[str]]:
    cells = [_cell(value, number) for value in record]
    return Raw(f"row {number}", number, ", ".join(cells)), cells


def _named_row(number: int, record: list[Any], header: Header) -> Raw:
    raw, cells = _raw(number, record)
    if len(cells) != len(header.columns):
        raise raw.fail(
            f"{len(cells)} cells under {len(header.columns)} columns",
            "a cell for each column",
            "give None where there is nothing to say",
        )
    return row_from_cells(raw, cells, list(header.columns))


_POSITIONS = [Column("depth", "depth"), Column("minutes", "minutes"), Column("gas", "mix")]


def _plain_row(number: int, record: list[Any]) -> Raw:
    raw, cells = _raw(number, record)
    while len(cells) > 2 and is_ditto(cells[-1]):
        cells.pop()
    third_is_number = len(cells) == 3 and number_of(record[2]) is not None
    if not 2 <= len(cells) <= 3 or third_is_number:
        raise raw.fail(
            "a third number that nothing explains" if third_is_number else f"{len(cells)} cells",
            '(depth, minutes) or (depth, minutes, mix), the mix as a text such as "50"',
            'give dicts, such as {"depth": 24, "leave at": 31}, for anything else',
        )
    return row_from_cells(raw, cells, _POSITIONS[: len(cells)])


def _cell(value: Any, number: int) -> str:
    """Return a cell as the text it would be; every float is read back as it is."""
    if value is None or type(value).__name__ in ("NAType", "NaTType"):  # pandas: nothing there
        return ""
    if _messages.is_a(value, str):
        return _checked(_messages.exact(value), number)
    if type(value) is _core.Gas:
        return str(value)
    if _messages.is_a(value, datetime.timedelta):
        value = datetime.timedelta.total_seconds(value) / 60
    figure = number_of(value)
    if figure is None:
        raise _core.wrong_type(
            f"row {number} of the table", _core.shown(value), "numbers and texts", "give it as one"
        )
    if math.isnan(figure):
        return ""
    if math.isinf(figure) or abs(figure) >= 1e6:
        return str(figure)  # which no row can hold
    return format(decimal.Decimal(repr(figure)), "f").removesuffix(".0")


def _checked(cell: str, number: int) -> str:
    if len(cell) > _LONGEST_CELL or not all(c.isprintable() or c == "\t" for c in cell):
        raise _core.invalid_input(
            f"row {number} of the table",
            _messages.word(cell),
            f"printable texts of up to {_LONGEST_CELL} characters",
            "shorten it",
        )
    return keyboard(cell).strip()

"""Tables that were cut elsewhere, read as they are written: `read_table`."""

from __future__ import annotations

import math
import os
import re
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from .. import _core, _messages
from .._calls import checked
from .._dive_file import path_of
from .._foreign import file_text
from .._record import data_from_json
from .made import Made, made_of
from .plan import plan_of, rows_of_plan
from .raw import Raw
from .records import number_of, rows_of_records
from .says import Said
from .text import LARGEST, parse_text

__all__ = ["CutTable", "TableRow", "read_table", "table_from_text"]

_LONGEST_PATH = 1000  # characters
_JSON = re.compile(r"\s{0,99}(?:\{\s{0,99}\"|\[\s{0,99}[\[{])")


@dataclass(frozen=True)
class TableRow:
    """A row of a table as it was read.

    Attributes
    ----------
    depth : float
        As written, in the units of the table.
    minutes : float or None
        Stop minutes as written [min].
    leave_at : float or None
        Run time at which the row is left [min].
    gas : str or None
        The mix, as `Gas` writes it; None where the row says nothing.
    line : int
        Line of the text or row of the list, from 1.
    text : str
        As written, shortened to what can be printed.
    read_as : str
        How it was read, in words.
    """

    depth: float
    minutes: float | None
    leave_at: float | None
    gas: str | None
    line: int
    text: str
    read_as: str


@dataclass(frozen=True)
class CutTable:
    """A table as it was read, with what it does not say left open.

    Attributes
    ----------
    rows : tuple of TableRow
        The stops; bottom, surface and travel rows are taken out of them and told in `notes`.
    name : str or None
        From a heading.
    depth, bottom_time : float or None
        Of the bottom, in the units of the table [min].
    gases : tuple of str or None
        The bottom gas first; with an at sign and the depth where a switch depth is said.
    gf, model : str or None
        As written: "40/80", "ZH-L16C".
    units : "metric", "imperial" or None
        None where neither the table nor the caller says them.
    water : "fresh", "sea", "gauge" or None
    minutes_mean : "with travel", "without travel", "leave at" or None
        What the stop minutes hold, where a heading, a column or a comment says it.
    bottom_from : "surface", "arrival" or None
        Whence the bottom time counts.
    rates : dict
        `ascent_rate` and `descent_rate`, in the units of the table per minute; for an ascent at
        several rates pairs of a depth and the rate deeper than it.
    altitude : float or None
        In the units of the table.
    missing : tuple of str
        Names of what is needed and was not said; `environment`, `start` and `travel` are among
        them where a plan has what a table cannot hold.
    notes : tuple of str
        Everything that was noticed, taken from words, left out or decided on reading.
    surface_at : float or None
        Run time of reaching the surface, where a row says it [min].
    """

    rows: tuple[TableRow, ...]
    name: str | None = None
    depth: float | None = None
    bottom_time: float | None = None
    gases: tuple[str, ...] | None = None
    gf: str | None = None
    model: str | None = None
    units: str | None = None
    water: str | None = None
    minutes_mean: str | None = None
    bottom_from: str | None = None
    rates: dict[str, float | tuple[tuple[float, float], ...]] = field(default_factory=dict)
    altitude: float | None = None
    missing: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    surface_at: float | None = None


@checked
def read_table(source: Any, *, units: str | None = None, depth: float | None = None) -> CutTable:
    """Read a table as somebody wrote it.

    Nothing is made fit: how each row was read stands in it, what was left out or decided stands
    in the notes, and what is not said is named in `missing`.

    Parameters
    ----------
    source : str, path-like, DataFrame, list, Plan, dict or CutTable
        Path of a text file of up to 100 kB; or the text itself, if it has more than one line or
        its one line holds rows; a DataFrame or a list of dicts, whose columns are named as those
        of a text are; a list of (depth, minutes) or (depth, minutes, mix); a plan, as it is, as
        it is printed, as `Plan.to_dict`, `Plan.to_json` or `Plan.to_frame` give it.
    units : "metric" or "imperial", optional
        Of the depths, where the table does not say it.
    depth : float, optional
        Of the bottom, in the units of the table: tells a bottom row from a stop.

    Returns
    -------
    CutTable

    Raises
    ------
    InvalidInput
        Naming the line, what stands there, what can be read, and the remedy: for what cannot be
        read, and for what says two things.

    Examples
    --------
    >>> from upline import read_table
    >>> table = read_table("24/2 21/1 18/2 15/2 12/4 9/5 6/20")
    >>> [row.read_as for row in table.rows][:2]
    ['24 for 2 min', '21 for 1 min']
    >>> table.missing
    ('depth', 'bottom_time', 'gases')
    """
    if type(source) is CutTable:
        return source
    said = _said(units)
    depth = _depth_of(depth)
    return _finished(_rows_of(source, said), said, depth)


def _rows_of(source: Any, said: Said) -> list[Raw]:
    if _messages.is_a(source, str):
        source = _messages.exact(source)
        if _is_text(source):
            return _rows_of_text(source, said)
    if _messages.is_a(source, str) or issubclass(type(source), os.PathLike):
        text, notes = file_text(path_of(source, "table"), "table", LARGEST)
        said.notes += notes
        return _rows_of_text(text, said)
    plan = plan_of(source)
    return rows_of_records(source, said) if plan is None else rows_of_plan(plan, said)


def _rows_of_text(text: str, said: Said) -> list[Raw]:
    """Return the rows of a text, be it JSON."""
    if len(text) > LARGEST or not _JSON.match(text):
        return parse_text(text, said)
    data = data_from_json(text, "table")
    plan = plan_of(data)
    return rows_of_records(data, said) if plan is None else rows_of_plan(plan, said)


def table_from_text(text: str, *, units: str | None = None, depth: float | None = None) -> CutTable:
    """Read a table from its text; as `read_table`."""
    said = _said(units)
    return _finished(_rows_of_text(text, said), said, _depth_of(depth))


def _said(units: str | None) -> Said:
    if units is not None and _messages.is_none_of(units, ("metric", "imperial")):
        raise _core.invalid_input(
            "units", _core.shown(units), '"metric" or "imperial"', "write one of these words"
        )
    said = Said()
    said.say("units", None if units is None else _messages.exact(units), "the argument units")
    return said


def _depth_of(depth: float | None) -> float | None:
    if depth is None:
        return None
    value = number_of(depth)
    if value is None:
        raise _core.wrong_type("depth", _core.shown(depth), "one number", "give a depth")
    if not 0 < value < math.inf:
        raise _core.invalid_input(
            "depth", f"{value:g}", "a depth below the surface", "give the depth of the bottom"
        )
    return value


def _is_text(source: str) -> bool:
    """Whether a text is a table itself and not the path of one."""
    if "\n" in source or "\r" in source or _JSON.match(source):
        return True
    try:
        if Path(source).exists():
            return False
    except (OSError, ValueError):
        pass
    try:
        if parse_text(source, Said()):
            return True
    except _core.InvalidInput:
        pass
    return _looks_like_rows(source.strip())


def _looks_like_rows(text: str) -> bool:
    """Whether a line that is no table was meant as one rather than as a path."""
    if len(text) > _LONGEST_PATH or re.search(r"\.[a-z]{1,5}$", text, re.IGNORECASE):
        return False
    if re.match(r"[\dIlO]{1,3}[ /x]-?\d", text):
        return True
    return len(re.findall(r"\d+", text)) > 1 and " " in text


def _finished(raws: list[Raw], said: Said, depth: float | None) -> CutTable:
    made: Made = made_of(raws, said, depth)
    rows = tuple(TableRow(**row) for row in made.rows)
    return CutTable(rows=rows, **made.rest)

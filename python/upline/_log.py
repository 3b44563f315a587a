"""Logs of depth against time: `read_log`."""

from __future__ import annotations

import os
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from . import _core, _messages
from ._calls import checked
from ._dive_file import path_of
from ._foreign import Line, file_text, lines_of
from ._log_columns import CLOCK, FIGURES, Column, cells_of, columns_of, separator_of
from ._table.words import gas_of, is_ditto

if TYPE_CHECKING:
    from numpy.typing import NDArray

__all__ = ["Log", "read_log"]

_LARGEST = 1_000_000  # bytes or characters
_MOST_SAMPLES = 200_000
_ABOVE = 1.0  # what a sensor at the surface may be off [m or ft]
_SHOWN = 12  # lines left out that are told one by one
_TIME_FORMS = 'a column "time [min]", "time [s]", or times as h:mm:ss'


@dataclass(frozen=True)
class Log:
    """A log of a dive as it was read.

    Attributes
    ----------
    time : ndarray of shape (n,)
        Run time of each sample, rising [min].
    depth : ndarray of shape (n,)
        Depth of each sample, in the units of the log.
    gas : tuple of (float, str)
        Each change of the mix: the time of the first sample on it [min], and the mix; empty where
        the log says none.
    units : "metric", "imperial" or None
        None where neither the log nor the caller says them.
    notes : tuple of str
        Everything that was left out or decided on reading.
    """

    time: NDArray[np.float64]
    depth: NDArray[np.float64]
    gas: tuple[tuple[float, str], ...] = ()
    units: str | None = None
    notes: tuple[str, ...] = ()


@checked
def read_log(source: Any, *, units: str | None = None, time: str | None = None) -> Log:
    r"""Read a log of depth against time.

    Parameters
    ----------
    source : str, path-like, array, pair of arrays or Log
        Path of a file of up to 1 MB with columns parted by commas, semicolons, tabs or spaces, or
        its text; the first line names the columns, such as ``time [s],depth [m],gas``. Or an array
        of shape (n, 2), or a pair (time, depth) of arrays of shape (n,), the time in minutes
        unless `time` says otherwise.
    units : "metric" or "imperial", optional
        Of the depths, where the log does not say it.
    time : "min" or "s", optional
        Unit of the times, where the log does not say it.

    Returns
    -------
    Log

    Raises
    ------
    InvalidInput
        Naming the line and the remedy, for what cannot be read; if the unit of the times is said
        nowhere; for times that do not rise, negative depths, or more than 200 000 samples.

    Examples
    --------
    >>> from upline import read_log
    >>> read_log("time [s],depth [m]\n0,0\n190,57\n").time
    array([0.        , 3.16666667])
    """
    if type(source) is Log:
        return source
    units = _one_of("units", units, ("metric", "imperial"))
    time = _one_of("time", time, ("min", "s"))
    if _messages.is_a(source, str):
        source = _messages.exact(source)
        if "\n" in source or "\r" in source:
            return _from_text(source, [], units, time)
    if _messages.is_a(source, str) or issubclass(type(source), os.PathLike):
        text, notes = file_text(path_of(source, "log"), "log", _LARGEST)
        return _from_text(text, notes, units, time)
    return _from_arrays(source, units, time)


def _one_of(name: str, value: str | None, words: tuple[str, ...]) -> str | None:
    if value is None:
        return None
    if _messages.is_none_of(value, words):
        raise _core.invalid_input(
            name,
            _core.shown(value),
            " or ".join(f'"{word}"' for word in words),
            "write one of these words",
        )
    return _messages.exact(value)


# ---- arrays --------------------------------------------------------------------------------------

_ARRAYS = "an array of shape (n, 2), or a pair (time, depth) of arrays of shape (n,)"


def _from_arrays(source: Any, units: str | None, time: str | None) -> Log:
    columns: list[NDArray[np.float64]]
    is_pair = _messages.is_a(source, tuple) and tuple.__len__(source) == 2
    if is_pair:
        columns = [_array(tuple.__getitem__(source, i)) for i in (0, 1)]
    else:
        array = _array(source)
        columns = [array[:, 0], array[:, 1]] if array.ndim == 2 and array.shape[1] == 2 else [array]
    shapes = [column.shape for column in columns]
    if len(columns) != 2 or shapes[0] != shapes[1] or columns[0].ndim != 1:
        told = " and ".join(map(str, shapes))
        raise _core.invalid_input("log", f"of shape {told}", _ARRAYS, "give times and depths")
    notes = [] if time else ["the times of an array are read as minutes"]
    scale = 60.0 if time == "s" else 1.0
    return _checked(columns[0] / scale, columns[1].copy(), (), units, notes, [])


def _array(source: Any) -> NDArray[np.float64]:
    """Return numbers as an array of its own."""
    wrong = _core.wrong_type("log", _core.shown(source), _ARRAYS, "give numbers, as one of these")
    kind = type(source)
    is_array = _messages.is_a(source, np.ndarray) and kind is not np.ma.MaskedArray
    if not (is_array or kind in (list, tuple) or hasattr(kind, "to_numpy")):
        raise wrong
    if kind in (list, tuple):
        if len(source) > _MOST_SAMPLES:
            raise _too_many(len(source))
        if not all(_is_sample(one) for one in source):
            raise wrong
    try:
        found = np.asarray(source)
        if found.dtype.kind in "fiu":
            return np.array(found, dtype=np.float64)
    except Exception:  # whatever a foreign class raises
        pass
    raise wrong


def _is_sample(value: Any) -> bool:
    """Whether an item of a list is a number or a short list of them."""
    if type(value) in (list, tuple):
        return len(value) == 2 and all(_is_number(one) for one in value)
    return _is_number(value)


def _is_number(value: Any) -> bool:
    return _messages.is_a(value, int, float, np.integer, np.floating)


def _too_many(count: int) -> _core.InvalidInput:
    return _core.invalid_input(
        "log", f"of {count} samples", f"2 to {_MOST_SAMPLES} samples", "thin it out"
    )


# ---- text ----------------------------------------------------------------------------------------


def _from_text(text: str, notes: list[str], units: str | None, time: str | None) -> Log:
    lines = [
        line
        for line in lines_of(text, "log", _LARGEST)
        if not re.match(r"#|//", line.text.lstrip())
    ]
    if not lines:
        raise _core.invalid_input("log", "empty", "lines of time and depth", "give its samples")
    separator = separator_of(lines)
    columns, lines = columns_of(lines, separator)
    samples = _Samples(columns, separator, notes)
    unit = samples.time_unit(time, lines)
    depth_units = samples.depth_units(units)
    rows = [row for line in lines if (row := samples.row(line, unit)) is not None]
    if samples.left_out > _SHOWN:
        notes.append(f"{samples.left_out} lines without a depth or a time are left out in all")
    gas: list[tuple[float, str]] = []
    for at, _, mix, _ in rows:
        if mix is not None and (not gas or gas[-1][1] != mix):
            gas.append((at, mix))
    times = np.array([row[0] for row in rows], dtype=np.float64)
    depths = np.array([row[1] for row in rows], dtype=np.float64)
    return _checked(times, depths, tuple(gas), depth_units, notes, [row[3] for row in rows])


class _Samples:
    """Reads the samples of a log."""

    def __init__(self, columns: list[Column], separator: str, notes: list[str]) -> None:
        self.columns = columns
        self.separator = separator
        self.notes = notes
        self.left_out = 0
        self.place = {column.kind: i for i, column in enumerate(columns)}
        for column in columns:
            if column.kind == "other":
                notes.append(f"the column {_messages.word(column.name)} is left out")

    def time_unit(self, said: str | None, lines: list[Line]) -> str:
        """Return "min", "s" or ":"; it is asked for where nothing says it."""
        unit = self.columns[self.place["time"]].unit
        if unit in ("min", "s") and said not in (None, unit):
            raise _core.invalid_input(
                "time", f"{said}, while the log says {unit}", "one unit", "leave out time"
            )
        if unit or said:
            return unit or said or ""
        cells = cells_of(lines[0].text, self.separator) if lines else []
        if len(cells) > self.place["time"] and CLOCK.match(cells[self.place["time"]]):
            return ":"
        raise _core.invalid_input(
            "unit of the times of the log",
            "not said",
            _TIME_FORMS,
            'name the column so, or say it: upline.read_log(..., time="s") or time="min"; replay '
            "takes what that returns",
        )

    def depth_units(self, said: str | None) -> str | None:
        """Return the units of the depths, as far as they are said."""
        units = self.columns[self.place["depth"]].unit
        if units and said not in (None, units):
            raise _core.invalid_input(
                "units", f"{said}, while the log says {units}", "one unit", "leave out units"
            )
        return units or said

    def row(self, line: Line, unit: str) -> tuple[float, float, str | None, int] | None:
        """Return time, depth, mix and number of a line; None where it has no time or depth."""
        cells = cells_of(line.text, self.separator)
        if len(cells) > len(self.columns) and any(cells[len(self.columns) :]):
            raise self._wrong(line, f"{len(cells)} cells under {len(self.columns)} columns")
        cells += [""] * (len(self.columns) - len(cells))
        time, depth = cells[self.place["time"]], cells[self.place["depth"]]
        if is_ditto(time) or is_ditto(depth):
            self.left_out += 1
            if self.left_out <= _SHOWN:
                self.notes.append(f"line {line.number}, without a depth or a time, is left out")
            return None
        mix = cells[self.place["gas"]] if "gas" in self.place else ""
        gas = None if is_ditto(mix) else gas_of(mix)
        if gas is None and not is_ditto(mix):
            raise self._wrong(line, f"{_messages.word(mix)} is no mix")
        return self._minutes(line, time, unit), self._figure(line, depth), gas, line.number

    def _minutes(self, line: Line, text: str, unit: str) -> float:
        if CLOCK.match(text):
            figures = [float(part) for part in text.split(":")]
            if unit != ":" or any(part >= 60 for part in figures[1:]):
                why = f"{_messages.word(text)} is no time in {unit}"
                raise self._wrong(
                    line, why if unit != ":" else f"{_messages.word(text)} is no time"
                )
            hours = figures[0] if len(figures) == 3 else 0.0
            return hours * 60 + figures[-2] + figures[-1] / 60
        if unit == ":":
            raise self._wrong(line, f"{_messages.word(text)} is no time as h:mm:ss or m:ss")
        return self._figure(line, text) / (60.0 if unit == "s" else 1.0)

    def _figure(self, line: Line, text: str) -> float:
        if not FIGURES.match(text):
            raise self._wrong(line, f"{_messages.word(text)} is no number")
        if "," in text and "commas between figures are read as decimal commas" not in self.notes:
            self.notes.append("commas between figures are read as decimal commas")
        return float(text.replace(",", "."))

    def _wrong(self, line: Line, why: str) -> _core.InvalidInput:
        return _core.invalid_input(
            f"line {line.number} of the log",
            f"{_messages.word(line.written)}: {why}",
            "a cell for each of " + ", ".join(_messages.plain(c.name, 40) for c in self.columns),
            "correct the line, or put # before it to leave it out",
        )


def _checked(
    time: NDArray[np.float64],
    depth: NDArray[np.float64],
    gas: tuple[tuple[float, str], ...],
    units: str | None,
    notes: list[str],
    lines: list[int],
) -> Log:
    """Return a log whose numbers are those of a dive."""
    raised = (depth < 0) & (depth >= -_ABOVE)
    if raised.any():
        depth[raised] = 0.0
        count = int(raised.sum())
        notes.append(
            f"{count} {'depth' if count == 1 else 'depths'} of less than a metre above the surface "
            f"{'is' if count == 1 else 'are'} read as 0"
        )
    if not 2 <= len(time) <= _MOST_SAMPLES:
        raise _too_many(len(time))
    for name, bad, remedy in (
        ("time", ~np.isfinite(time) | (time < 0), "count from leaving the surface"),
        ("depth", ~np.isfinite(depth) | (depth < 0), "write depths without a sign"),
        ("time", np.diff(time, prepend=-1.0) <= 0, "put the samples in order, each time once"),
    ):
        if bad.any():
            first = int(np.argmax(bad))
            where = f"line {lines[first]}" if lines else f"sample {first + 1}"
            value = float((time if name == "time" else depth)[first])
            raise _core.invalid_input(
                f"{name} in {where} of the log",
                f"{value:g}",
                "times that rise, from 0"
                if name == "time"
                else "0 or more; down to -1 is read as the surface",
                remedy,
            )
    time.flags.writeable = depth.flags.writeable = False
    return Log(time, depth, gas, units, tuple(notes))

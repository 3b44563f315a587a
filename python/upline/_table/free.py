"""The rows of a table whose columns nobody named: in words, in pairs, one or several in a line."""

from __future__ import annotations

import itertools
import re

from .. import _core, _messages
from .._foreign import Line
from .parted import parted, without_comment
from .raw import Raw
from .rows import row_from_words
from .says import Said
from .words import column_of, tokens_of

_DECIMAL_COMMA = re.compile(r"(?<=\d),(?=\d)")
_ACROSS = re.compile(
    r"(?:depths?|stops?|time|minutes|min|mins|run ?time|run|rt|leave at)\b[ \t|:;,]{1,9}"
    r"\d{1,3}(?:[ \t|;,]{1,9}\d{1,3}(?::\d\d)?){2,40}[ \t|]{0,9}$",
    re.IGNORECASE,
)


class FreeRows:
    """Collects such rows, until all are known and their commas can be read in one way."""

    def __init__(self, said: Said) -> None:
        self.said = said
        self.lines: list[tuple[Line, str]] = []

    def add(self, line: Line, text: str) -> None:
        """Take a line that `error_of` found to be a row."""
        self.lines.append((line, text))

    def error_of(self, line: Line, text: str) -> _core.InvalidInput | None:
        """Return why a line is no row, or None if it is one, whatever its commas mean."""
        raw = Raw(f"line {line.number}", line.number, line.written)
        if _ACROSS.match(text):
            return raw.fail(
                "numbers side by side behind the name of what they are",
                "a line for each stop, with its depth and its minutes",
                'write it as rows such as "24 2", or all in one line as "24/2 21/1"',
            )
        if column_of(text) is not None:
            return raw.fail(
                "the name of one column on a line of its own",
                "the names of all columns in one line, and a line for each row",
                "put the columns side by side, parted by commas, semicolons or tabs",
            )
        errors: list[_core.InvalidInput] = []
        for as_columns in (False, True):
            try:
                rows = self._rows_of(line, text, as_columns, Said())
            except _core.InvalidInput as error:
                errors.append(error)
                continue
            if all(_is_row(raw, text) for raw in rows):
                return None
            errors += [e for e in (_why_no_row(one, text) for one in rows) if e is not None]
        return errors[0] if errors else raw.unreadable(text)

    def read(self) -> list[Raw]:
        """Read all rows, under one meaning of their commas."""
        if not self.lines:
            return []
        as_columns = self._commas_part_columns()
        rows: list[Raw] = []
        for line, text in self.lines:
            rows += self._rows_of(line, text, as_columns, self.said)
        _refuse_swapped(rows)
        self.said.notes.append(
            "no line names the columns: in each row the first number is read as the depth, the "
            "second as minutes"
        )
        return rows

    # ---- commas ------------------------------------------------------------------------------

    def _commas_part_columns(self) -> bool:
        commas = [line for line, text in self.lines if _DECIMAL_COMMA.search(text)]
        if not commas:
            return False
        fits = {as_columns: self._fits(as_columns) for as_columns in (False, True)}
        if fits[False] == fits[True]:
            raise _core.invalid_input(
                f"line {commas[0].number}",
                f"{_messages.word(commas[0].written)}, with a comma between figures that may be "
                "a decimal comma or part two columns",
                "decimal points, or columns parted by semicolons",
                "write 2.5 for a decimal number, and 24; 2 for two columns",
            )
        meaning = "as the mark between columns" if fits[True] else "as decimal commas"
        self.said.note_once(f"commas between figures are read {meaning}")
        return fits[True]

    def _fits(self, as_columns: bool) -> bool:
        try:
            return all(
                _is_whole(raw)
                for line, text in self.lines
                for raw in self._rows_of(line, text, as_columns, Said())
            )
        except _core.InvalidInput:
            return False

    def _rows_of(self, line: Line, text: str, as_columns: bool, said: Said) -> list[Raw]:
        raw = Raw(f"line {line.number}", line.number, line.written)
        bare, gas = without_comment(raw, text, said.notes)
        if as_columns:
            bare = _DECIMAL_COMMA.sub(" , ", bare)
        tokens = tokens_of(bare)
        if not tokens:
            raise raw.unreadable(text)
        parts = parted(tokens, raw)
        rows = []
        for part in parts:
            written = bare.strip()[part[0].begins : part[-1].ends]
            one = Raw(raw.where, raw.number, written if len(parts) > 1 else line.written)
            rows.append(row_from_words(one, part))
        if gas:
            rows[-1].set_gas(gas)
        if raw.leave is not None:
            rows[-1].take_leave(raw)
        return rows


# ---- what is a row ---------------------------------------------------------------------------


def _is_timed(raw: Raw) -> bool:
    return raw.minutes is not None or raw.leave is not None


def _is_row(raw: Raw, text: str) -> bool:
    """Whether what was read of a line makes it a row rather than a heading."""
    if raw.kind in ("travel", "descent", "total"):
        return True
    is_row = _is_timed(raw) or raw.kind == "surface" or text[:1].isdigit()
    return raw.depth is not None and is_row


def _is_whole(raw: Raw) -> bool:
    return raw.kind not in ("stop", "bottom") or (raw.depth is not None and _is_timed(raw))


def _why_no_row(raw: Raw, text: str) -> _core.InvalidInput | None:
    """Return the error for a line that names a mix and neither a depth nor minutes."""
    if raw.gas is None or raw.depth is not None or _is_timed(raw) or raw.kind != "stop":
        return None
    return raw.fail(
        "a mix without a depth and without minutes",
        'a mix in the row in which it is taken up, "21 m 1 min on 50"',
        "write it into that row",
    )


def _refuse_swapped(rows: list[Raw]) -> None:
    """Refuse bare pairs whose second numbers look like depths, and whose first ones do not."""
    pairs = [(raw.depth, raw.minutes) for raw in rows if raw.kind == "stop" and raw.depth]
    if len(pairs) < 2 or any(raw.units == "imperial" for raw in rows):
        return
    depths = [pair[0] or 0.0 for pair in pairs]
    minutes = [pair[1] or 0.0 for pair in pairs]
    shallowest = 3.0
    like_depths = all(a >= b for a, b in itertools.pairwise(depths)) and depths[-1] >= shallowest
    if not like_depths and _stand_on_rungs(minutes):
        raise rows[0].fail(
            f"the first number, {depths[0]:g}, may be minutes and the second, {minutes[0]:g}, a "
            "depth: the second ones fall from row to row as depths do, the first ones do not",
            "the depth first and the minutes behind it",
            'write "24/2" for 2 min at 24 m, or put a line such as "minutes depth" above',
        )


def _stand_on_rungs(numbers: list[float]) -> bool:
    """Whether numbers fall and are multiples of 3 or of 10, as the depths of stops are."""
    falls = all(a > b for a, b in itertools.pairwise(numbers))
    return falls and any(all(n >= step and n % step == 0 for n in numbers) for step in (3, 10))

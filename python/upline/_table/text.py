"""Tables as text: lines, comments, headings, rows in columns, in words or in one line."""

from __future__ import annotations

import re

from .. import _core, _messages
from .._foreign import Line, lines_of
from .cells import row_from_cells
from .columns import SEPARATORS, Header, header_of, is_header_without_depth, settled
from .free import FreeRows
from .marks import (
    is_page_or_date,
    is_total,
    is_total_name,
    unmarked,
    unquoted,
    without_brackets,
    without_number,
)
from .parted import count_rows, without_comment
from .printed import PrintedPlan
from .raw import Raw
from .says import Reading, Said, read_words
from .slate import heading_of
from .words import column_of, figures_meant, is_foreign_unit, units_of_word

MOST_ROWS = 200
LARGEST = 100_000  # bytes or characters
_MOST_LINES = 1000
_MOST_FIGURES = 2  # in a heading of which nothing is understood
_RULER = re.compile(r"[-=|:+_*` ]{3,}$")
_WHOLE_COMMENT = re.compile(r"(?:#{1,6}|//|;|%|<!--)")
_IN_PARENTHESES = re.compile(r"\([^()]*\)$")
_KEYED = re.compile(r"[a-z][a-z ]{1,30}[:=]", re.IGNORECASE)
_NAMED = re.compile(r"(?:name|title|table)[ ]?[:=][ ]?(.+)$", re.IGNORECASE)
_DECIMAL_COMMA = re.compile(r"(?<=\d),(?=\d)")
# Words with which no name begins, and words that say something of a dive.
_OF_A_ROW = re.compile(
    r"(?:stop|stops|depth|depths|time|min|minutes|run|rt|leave|ascend|ascent|descend|switch|hold"
    r"|deco)\b|(?:ds|ss|st|d|s)\.? ?\d",
    re.IGNORECASE,
)
_SPEAKS = re.compile(
    r"\b(?:on|stop|stops|bottom|surface|ascen[dt]|descen[dt]|switch|change|then|up|down|leave|air"
    r"|oxygen|o2|nitrox|trimix|gas|mix|minutes?|mins?|deco|hold|wait|stay|until|metres?|feet)\b",
    re.IGNORECASE,
)


def parse_text(text: str, said: Said) -> list[Raw]:
    """Return the rows of a text; all else that it says goes to `said`.

    Raises
    ------
    InvalidInput
        Naming the line that cannot be read.
    """
    lines = lines_of(text, "table", LARGEST)
    if len(lines) > _MOST_LINES:
        raise _core.invalid_input(
            "table",
            f"{len(lines)} lines long",
            f"up to {_MOST_LINES} lines and {MOST_ROWS} rows",
            "give one table; a log of depths is read by read_log",
        )
    bare = [line._replace(text=unquoted(line.text)) for line in lines]
    reader = _Reader([line for line in bare if line.text.strip()], said)
    reader.read()
    return reader.rows


class _Reader:
    """Reads the lines of a table in order."""

    def __init__(self, lines: list[Line], said: Said) -> None:
        self.lines = lines
        self.said = said
        self.rows: list[Raw] = []
        self.header: Header | None = None
        self.header_line = ""
        self.free = FreeRows(said)
        self.printed = PrintedPlan(said)
        self.labels = 0  # stops that were numbered: stop 1, stop 2
        self.greetings: list[tuple[Line, _core.InvalidInput]] = []  # words below the rows

    @property
    def has_rows(self) -> bool:
        """Whether a row stands above."""
        return bool(self.rows or self.free.lines)

    def read(self) -> None:
        """Read all lines."""
        for line in self.lines:
            before = len(self.rows) + len(self.free.lines)
            self._line(line)
            count = len(self.rows) + len(self.free.lines)
            if count > before and self.greetings:
                raise self.greetings[0][1]
            self._refuse_long(count)
        for line, _ in self.greetings:
            self._left_out(line, "is left out")
        self.printed.finish()
        self.rows += self.free.read()
        self._refuse_long(len(self.rows))
        self.rows.sort(key=lambda raw: raw.number)

    def _refuse_long(self, count: int) -> None:
        if count > MOST_ROWS:
            raise _core.invalid_input(
                "table", f"longer than {MOST_ROWS} rows", f"up to {MOST_ROWS} rows",
                "give one table; a log of depths is read by read_log",
            )  # fmt: skip

    def _line(self, line: Line) -> None:
        text = without_brackets(line.text.strip())
        heading = heading_of(text)
        if heading is not None and (not self.has_rows or heading.startswith("gases")):
            shown = _messages.plain(heading, 400)
            self.said.notes.append(f'line {line.number} is read as "{shown}"')
            self._heard(line, heading, read_words(heading), is_comment=False)
            return
        if (bare := without_number(text, self.labels)) != text:
            text, self.labels = bare, self.labels + 1
            line = line._replace(text=text)
        if _RULER.match(text) or self.printed.takes(line, self.rows):
            return
        if self._is_comment(text):
            self._comment(line, _WHOLE_COMMENT.sub("", text, count=1).removesuffix("-->").strip())
        elif self.header is not None and not self.rows and self._units_line(line, text):
            return
        elif (header := header_of(text)) is not None:
            self._set_header(line, header)
        elif self.header is not None and self._has_cells(text):
            self._columns(line)
        elif is_total(text):
            self._left_out(line, "is a total, left out")
        elif is_page_or_date(text):
            self._left_out(line, "is left out")
        else:
            self._free(line, text)

    def _left_out(self, line: Line, how: str) -> None:
        self.said.notes.append(f"line {line.number} {how}: {_messages.word(line.written)}")

    # ---- comments and headings ---------------------------------------------------------------

    def _is_comment(self, text: str) -> bool:
        if text.startswith(";"):
            return self.header is None or self.header.separator != ";"
        if text.startswith("#") and header_of(text) and "#" in re.split(r"[|,;\t ]", text)[0:1]:
            return not header_of(text, strict=True) or not re.match(r"#[ ]?[|,;\t]", text)
        return bool(_IN_PARENTHESES.match(text) or _WHOLE_COMMENT.match(text))

    def _comment(self, line: Line, text: str) -> None:
        if not self.has_rows and self.header is None:
            header = header_of(text, strict=True)
            if header is not None:
                self._set_header(line, header)
                return
        self._heard(line, text, read_words(text), is_comment=True)

    def _heard(self, line: Line, text: str, reading: Reading, is_comment: bool) -> bool:
        """Take what words say; return whether anything was taken."""
        where = f"line {line.number}"
        claims = reading.claims
        if is_comment and (not reading.clean or reading.of_a_stop or self.has_rows):
            claims = tuple(c for c in claims if c.key not in _OF_THE_DIVE)
            if claims and len(claims) < len(reading.claims):
                self.said.notes.append(
                    f"{where}: depth, bottom time and gases are not taken from the comment "
                    f"{_messages.word(text)}, which says more than these or stands below a row"
                )
        is_row_left_out = is_comment and _is_bare_pair(text, reading)
        if reading.doubtful or is_row_left_out or (reading.of_a_stop and not is_comment):
            claims = ()
        is_name = self._name(text, reading, claims != ())
        if claims:
            self.said.take(claims, where)
        elif is_name:
            rest = text.strip(" *#:,") != self.said.get("name")
            self.said.notes.append(
                f"{where} is read as the name of the table"
                + (f"; nothing else is taken from {_messages.word(text)}" if rest else "")
            )
        elif text:
            self.said.notes.append(f"{where} is left out: {_messages.word(text)}")
        return bool(claims)

    def _name(self, text: str, reading: Reading, understood: bool) -> bool:
        """Take the first heading in front of the rows as the name; return whether it is one."""
        named = _NAMED.match(text)
        if named or (self.said.get("name") is None and not self.has_rows):
            name = named[1] if named else (reading.before if understood else text)
            name = re.split(r"[,;]", name.strip(" ,:;-*#"))[0].strip()
            words = name.lower().split()
            is_row = _is_bare_pair(text, reading)
            if named or (
                name and not is_row and not _KEYED.match(text) and not _COMMON.issuperset(words)
            ):
                self.said.values["name"] = (_messages.plain(name, 80), "")
                return True
        return False

    def _set_header(self, line: Line, header: Header) -> None:
        where = f"line {line.number}"
        if self.header is None and not self.free.lines:
            self.header, self.header_line = settled(header, where, self.said), where
            part = SEPARATORS[header.separator]
            self.said.notes.append(f"{where} names the columns, parted by {part}")
            return
        kinds = [column.kind for column in self.header.columns] if self.header else []
        if kinds != [column.kind for column in settled(header, where, Said()).columns]:
            raise _core.invalid_input(
                where,
                f"{_messages.word(line.written)}, other names of columns than before",
                "one table",
                "make two tables of it, or put # before what is no part of it",
            )
        for column in header.columns:
            self.said.say("units", column.units, where)
        self.said.notes.append(f"{where} repeats the names of the columns of {self.header_line}")

    def _units_line(self, line: Line, text: str) -> bool:
        """Take a line below the names of the columns that gives their units."""
        assert self.header is not None
        words = self.header.units_in(text)
        if words is None:
            return False
        where = f"line {line.number}"
        for word in words:
            if is_foreign_unit(word) and word != "bar":
                raise _core.invalid_input(
                    where, f"{_messages.word(line.written)}, with a unit that is not read",
                    "depths in m or ft, times in min", "give the column in one of these units",
                )  # fmt: skip
            self.said.say("units", units_of_word(word), where)
        self.said.notes.append(f"{where} gives the units of the columns")
        return True

    # ---- rows in columns ---------------------------------------------------------------------

    def _has_cells(self, text: str) -> bool:
        assert self.header is not None
        if self.header.separator == " ":
            return bool(re.match(r"[-\d>]", text)) or not (_KEYED.match(text) or is_total(text))
        return self.header.separator in text and not _KEYED.match(text)

    def _columns(self, line: Line) -> None:
        assert self.header is not None
        raw = Raw(f"line {line.number}", line.number, line.written)
        is_free = self.header.columns[-1].kind == "other"
        text, gas = without_comment(
            raw, line.text, self.said.notes, not is_free, self.header.separator != ";"
        )
        cells = self.header.cells(text, raw)
        if self.header.separator != "," and any(_DECIMAL_COMMA.search(cell) for cell in cells):
            self.said.note_once("commas between figures are read as decimal commas")
        if self._is_total(cells):
            self._left_out(line, "is a total, left out")
            return
        row_from_cells(raw, cells, list(self.header.columns))
        if gas:
            raw.set_gas(gas)
        self.rows.append(raw)

    def _is_total(self, cells: list[str]) -> bool:
        """Whether the first cell names a time for the whole, and none holds a depth."""
        assert self.header is not None
        places = [place for place, c in enumerate(self.header.columns) if c.kind == "depth"]
        has_depth = any(re.search(r"\d", cells[place]) for place in places)
        first = next((cell for cell in cells if cell), "")
        return is_total_name(first) and not has_depth

    # ---- rows in words -----------------------------------------------------------------------

    def _free(self, line: Line, text: str) -> None:
        text, self.labels = unmarked(text, self.labels)
        head, colon, rows = text.rpartition(": ")
        is_heading = len(re.findall(r"\d+", head)) <= _MOST_FIGURES or read_words(head).claims
        if colon and self.header is None and is_heading and count_rows(rows) > 1:
            self._statement(line, head, None)
            self.free.add(line, rows)
            return
        error = self._row_error(line, text)
        if error is None:
            self.free.add(line, text)
        else:
            self._statement(line, text, error)

    def _row_error(self, line: Line, text: str) -> _core.InvalidInput | None:
        if self.header is not None:
            return Raw(f"line {line.number}", line.number, line.written).unreadable(text)
        return self.free.error_of(line, text)

    def _statement(self, line: Line, text: str, error: _core.InvalidInput | None) -> None:
        reading = read_words(text)
        keys = [claim.key for claim in reading.claims]
        is_place = not self.has_rows or _KEYED.match(text) or _OF_THE_DIVE.isdisjoint(keys)
        if is_place and reading.clean and reading.claims:
            is_plain = re.match(r"[a-z]", text, re.IGNORECASE) or not reading.before.strip(" ,")
            is_doubled = len(keys) > len(set(keys))
            if error is not None and (is_doubled or _is_bare_pair(text, reading)):
                raise error
            if is_plain and self._heard(line, text, reading, is_comment=False):
                return
        is_bars = self.header is not None and self.header.separator == "|"
        has_figures = re.search(r"\d", text) is not None
        is_title = not self.has_rows and re.match(r"[a-z*\"]", text, re.IGNORECASE)
        if error is not None and _is_no_title(text):
            raise _no_depths(line) if is_header_without_depth(text) else error
        if _NAMED.match(text) or (is_bars and not has_figures) or (
            is_title and not reading.claims and (not has_figures or self.said.get("name") is None)
        ):  # fmt: skip
            self._heard(line, text, Reading((), text, ""), is_comment=False)
            return
        if error is None:
            self._heard(line, text, reading, is_comment=True)
        elif self.has_rows and not has_figures and not _SPEAKS.search(text):
            self.greetings.append((line, error))
        else:
            raise error


def _is_no_title(text: str) -> bool:
    """Whether a line that is no row speaks of one, or names columns and no depths."""
    if is_header_without_depth(text):
        return True
    if re.search(r"\d", text):
        return bool(_OF_A_ROW.match(text) or figures_meant(text))
    column = column_of(text)
    is_time_or_depth = column is not None and column.kind in ("depth", "minutes", "leave")
    return is_time_or_depth and text.lower() not in _COMMON


def _no_depths(line: Line) -> _core.InvalidInput:
    return _core.invalid_input(
        f"line {line.number}",
        f"{_messages.word(line.written)}, which names columns and none of depths",
        'names such as "depth", "stop", "leave at", "gas"',
        'name the column of depths "depth"',
    )


def _is_bare_pair(text: str, reading: Reading) -> bool:
    """Whether a depth and minutes are all that is understood, as in a row and not a heading."""
    keys = {claim.key for claim in reading.claims}
    return keys == {"depth", "bottom_time"} and re.match(r"\W{0,9}\d", text) is not None and (
        " for " not in text
    )  # fmt: skip


_COMMON = frozenset((
    "deco", "decompression", "stop", "stops", "table", "the", "ascent", "plan", "rows",
))  # fmt: skip
_OF_THE_DIVE = frozenset(("depth", "bottom_time", "gases", "deco", "bottom gas"))

"""Tables as text: lines, comments, headings, rows in columns, in words or in one line."""

from __future__ import annotations

import re

from . import _core, _messages
from ._foreign import Line, lines_of
from ._table_columns import SEPARATORS, Header, header_of, settled
from ._table_parted import count_rows, gas_in_comment, parted
from ._table_rows import Raw, row_from_cells, row_from_words
from ._table_says import Reading, Said, read_words
from ._table_words import FEET, METRES, NUMBER, tokens_of

MOST_ROWS = 200
LARGEST = 100_000  # bytes or characters
_MOST_LINES = 1000
_RULER = re.compile(r"[-=|:+_*` ]{3,}$")
_WHOLE_COMMENT = re.compile(r"(?:#{1,6}|//|;|%|<!--|>)")
_END_COMMENT = re.compile(r"(?:(?<=[ \t])|^)(?:#|//)[ \t]?(.*)$")
_END_SEMICOLON = re.compile(r"(?<=[ \t]);[ \t]?([^;]*)$")
_END_PARENTHESES = re.compile(r"\(([^()]*)\)[ \t]*$")
_BULLET = re.compile(
    r"^[ \t]*(?:[-*+•][ \t]+(?=[a-z\d])"
    rf"|\d{{1,2}}[.)][ \t]+(?={NUMBER}[ ]?(?:{METRES}|{FEET}|/|x[ ])))",
    re.IGNORECASE,
)
_KEYED = re.compile(r"[a-z][a-z ]{1,30}[:=]", re.IGNORECASE)
_NAMED = re.compile(r"(?:name|title|table)[ ]?[:=][ ]?(.+)$", re.IGNORECASE)
_DECIMAL_COMMA = re.compile(r"(?<=\d),(?=\d)")


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
    reader = _Reader(lines, said)
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
        self.words: list[tuple[Line, str]] = []  # rows without columns, until all are known

    def read(self) -> None:
        """Read all lines."""
        for line in self.lines:
            self._line(line)
            self._refuse_long(len(self.rows) + len(self.words))
        self._read_words()

    def _refuse_long(self, count: int) -> None:
        if count > MOST_ROWS:
            raise _core.invalid_input(
                "table", f"longer than {MOST_ROWS} rows", f"up to {MOST_ROWS} rows",
                "give one table; a log of depths is read by read_log",
            )  # fmt: skip

    def _line(self, line: Line) -> None:
        text = line.text.strip()
        if _RULER.match(text):
            return
        if self._is_comment(text):
            self._comment(line, _WHOLE_COMMENT.sub("", text, count=1).removesuffix("-->").strip())
        elif (header := header_of(text)) is not None:
            self._set_header(line, header)
        elif self.header is not None and self._has_cells(text):
            self._columns(line)
        else:
            self._free(line)

    # ---- comments and headings ---------------------------------------------------------------

    def _is_comment(self, text: str) -> bool:
        if text.startswith(";"):
            return self.header is None or self.header.separator != ";"
        if text.startswith("#") and header_of(text) and "#" in re.split(r"[|,;\t ]", text)[0:1]:
            return not header_of(text, strict=True) or not re.match(r"#[ ]?[|,;\t]", text)
        whole = text.startswith("(") and text.endswith(")")
        return whole or bool(_WHOLE_COMMENT.match(text))

    def _comment(self, line: Line, text: str) -> None:
        if not self.rows and not self.words and self.header is None:
            header = header_of(text, strict=True)
            if header is not None:
                self._set_header(line, header)
                return
        self._heard(line, text, read_words(text), is_comment=True)

    def _heard(self, line: Line, text: str, reading: Reading, is_comment: bool) -> bool:
        """Take what words say; return whether anything was taken."""
        where = f"line {line.number}"
        claims = reading.claims
        if is_comment and (not reading.clean or reading.of_a_stop or self.rows or self.words):
            claims = tuple(c for c in claims if c.key not in _OF_THE_DIVE)
            if claims and len(claims) < len(reading.claims):
                self.said.notes.append(
                    f"{where}: depth, bottom time and gases are not taken from the comment "
                    f"{_messages.word(text)}, which says more than these or stands below a row"
                )
        if reading.doubtful or (reading.of_a_stop and not is_comment):
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
        if named or (self.said.get("name") is None and not self.rows and not self.words):
            name = named[1] if named else (reading.before if understood else text)
            name = re.split(r"[,;]", name.strip(" ,:;-*#"))[0].strip()
            words = name.lower().split()
            if named or (name and not _KEYED.match(text) and not _COMMON.issuperset(words)):
                self.said.values["name"] = (_messages.plain(name, 80), "")
                return True
        return False

    def _set_header(self, line: Line, header: Header) -> None:
        where = f"line {line.number}"
        if self.header is None and not self.words:
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

    # ---- rows in columns ---------------------------------------------------------------------

    def _has_cells(self, text: str) -> bool:
        assert self.header is not None
        if self.header.separator == " ":
            return bool(re.match(r"[-\d>]", text)) or not _KEYED.match(text)
        return self.header.separator in text and not _KEYED.match(text)

    def _columns(self, line: Line) -> None:
        assert self.header is not None
        raw = Raw(f"line {line.number}", line.number, line.written)
        text, gas = self._without_comment(raw, line.text)
        cells = self.header.cells(text, raw)
        if self.header.separator != "," and any(_DECIMAL_COMMA.search(cell) for cell in cells):
            self.said.note_once("commas between figures are read as decimal commas")
        row_from_cells(raw, cells, list(self.header.columns))
        if gas:
            raw.set_gas(gas)
        self.rows.append(raw)

    def _without_comment(self, raw: Raw, text: str) -> tuple[str, str | None]:
        """Return a row without the comment at its end, and the mix if that is one."""
        patterns = [_END_COMMENT]
        if self.header is None or self.header.columns[-1].kind != "other":
            patterns.append(_END_PARENTHESES)
        if self.header is None or self.header.separator != ";":
            patterns.append(_END_SEMICOLON)
        for pattern in patterns:
            match = pattern.search(text)
            if match is None or not text[: match.start()].strip():
                continue
            comment = match[1].strip()
            gas = gas_in_comment(comment)
            if re.fullmatch(NUMBER, comment) or (gas is None and "@" in comment):
                raise raw.fail(
                    f"{_messages.word(comment)} in a comment may be a mix",
                    'a mix as "on 50" or "50 %"',
                    "write it so, or leave it out",
                )
            self.said.notes.append(
                f"{raw.where}: the comment {_messages.word(comment)} is "
                + (f"read as the mix {gas}" if gas else "left out")
            )
            return text[: match.start()].rstrip(), gas
        return text, None

    # ---- rows in words -----------------------------------------------------------------------

    def _free(self, line: Line) -> None:
        text = line.text.strip()
        head, colon, rows = text.rpartition(": ")
        if colon and self.header is None and count_rows(rows) > 1:
            self._statement(line, head, None)
            self.words.append((line, rows))
            return
        error = self._row_error(line, text)
        if error is None:
            self.words.append((line, text))
        else:
            self._statement(line, text, error)

    def _row_error(self, line: Line, text: str) -> _core.InvalidInput | None:
        """Return why a line is no row, or None if it is one, whatever its commas mean."""
        if self.header is not None:
            raw = Raw(f"line {line.number}", line.number, line.written)
            return raw.unreadable(text)
        errors: list[_core.InvalidInput] = []
        for as_columns in (False, True):
            try:
                rows = self._rows_of(line, text, as_columns, Said())
            except _core.InvalidInput as error:
                errors.append(error)
                continue
            if all(_is_row(raw, text) for raw in rows):
                return None
        raw = Raw(f"line {line.number}", line.number, line.written)
        return errors[0] if errors else raw.unreadable(text)

    def _statement(self, line: Line, text: str, error: _core.InvalidInput | None) -> None:
        reading = read_words(text)
        before_rows = not self.rows and not self.words
        if (before_rows or _KEYED.match(text)) and reading.clean and reading.claims:
            is_plain = re.match(r"[a-z]", text, re.IGNORECASE) or not reading.before.strip(" ,")
            keys = [claim.key for claim in reading.claims]
            if error is not None and len(keys) > len(set(keys)):
                raise error
            if is_plain and self._heard(line, text, reading, is_comment=False):
                return
        is_bars = self.header is not None and self.header.separator == "|"
        has_figures = re.search(r"\d", text) is not None
        is_title = before_rows and re.match(r"[a-z*\"]", text, re.IGNORECASE)
        if _NAMED.match(text) or (is_bars and not has_figures) or (
            is_title and not reading.claims and (not has_figures or self.said.get("name") is None)
        ):  # fmt: skip
            self._heard(line, text, Reading((), text, ""), is_comment=False)
            return
        if error is not None:
            raise error
        self._heard(line, text, reading, is_comment=True)

    def _read_words(self) -> None:
        """Read the rows without columns, all under one meaning of their commas."""
        if not self.words:
            return
        as_columns = self._commas_part_columns()
        for line, text in self.words:
            self.rows += self._rows_of(line, text, as_columns, self.said)
            self._refuse_long(len(self.rows))
        self.rows.sort(key=lambda raw: raw.number)
        self.said.notes.append(
            "no line names the columns: in each row the first number is read as the depth, the "
            "second as minutes"
        )

    def _commas_part_columns(self) -> bool:
        commas = [line for line, text in self.words if _DECIMAL_COMMA.search(text)]
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
                for line, text in self.words
                for raw in self._rows_of(line, text, as_columns, Said())
            )
        except _core.InvalidInput:
            return False

    def _rows_of(self, line: Line, text: str, as_columns: bool, said: Said) -> list[Raw]:
        spoken, self.said = self.said, said
        try:
            raw = Raw(f"line {line.number}", line.number, line.written)
            bare, gas = self._without_comment(raw, text)
        finally:
            self.said = spoken
        bare = _BULLET.sub("", bare, count=1)
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
        return rows


_COMMON = frozenset((
    "deco", "decompression", "stop", "stops", "table", "the", "ascent", "plan", "rows",
))  # fmt: skip
_OF_THE_DIVE = frozenset(("depth", "bottom_time", "gases", "deco", "bottom gas"))


def _is_row(raw: Raw, text: str) -> bool:
    """Whether what was read of a line makes it a row rather than a heading."""
    if raw.kind in ("travel", "descent", "total"):
        return True
    timed = raw.minutes is not None or raw.leave is not None
    return raw.depth is not None and (timed or raw.kind == "surface" or text[:1].isdigit())


def _is_whole(raw: Raw) -> bool:
    timed = raw.minutes is not None or raw.leave is not None
    return raw.kind not in ("stop", "bottom") or (raw.depth is not None and timed)

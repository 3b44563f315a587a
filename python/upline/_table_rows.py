"""One row of a hand-written table: from words in a line, or from cells under columns."""

from __future__ import annotations

from dataclasses import dataclass

from . import _core, _messages
from ._table_words import Column, Token, gas_of, is_ditto, minutes_of, number, tokens_of

LINE_FORMS = '"24 2", "24/2", "24 m 2 min on 50", "24 m, leave at 31"'

BOTTOM_GAS = "bottom gas"  # a row that names no mix but this one
_LEAVE = frozenset((
    "leave", "leaving", "leaves", "until", "till", "rt", "run", "runtime", "depart", "departs",
    "off",
))  # fmt: skip
_GAS = frozenset(("on", "gas", "breathe", "breathing", "switch", "change", "mix", "using"))
_TRAVEL = frozenset(("ascend", "ascent", "ascending", "travel", "up"))
_DESCENT = frozenset(("descend", "descent", "descending", "down"))
_TOTAL = frozenset(("total", "sum"))
_BOTTOM = frozenset(("bottom",))
_SURFACE = frozenset(("surface", "surfacing"))
_BOTTOM_GAS = ("bottom gas", "bottom mix", "bottom", "back gas")
_NEUTRAL = frozenset((
    "stop", "at", "for", "x", "then", "deco", "hold", "wait", "stay", "go", "come", "and", "by",
    "the", "with",
))  # fmt: skip


@dataclass
class Raw:
    """A row as read, before anything is made of it."""

    where: str
    number: int
    text: str
    kind: str = "stop"  # stop, bottom, surface, travel, descent, total
    depth: float | None = None
    target: float | None = None  # of a travel row
    minutes: float | None = None
    leave: float | None = None
    gas: str | None = None
    switch_at: float | None = None  # the depth behind an at sign
    units: str | None = None

    def fail(self, why: str, allowed: str, remedy: str) -> _core.InvalidInput:
        """Return the error for this row."""
        return _core.invalid_input(
            self.where, f"{_messages.word(self.text)}: {why}", allowed, remedy
        )

    def unreadable(self, part: str) -> _core.InvalidInput:
        """Return the error for a part that is nothing."""
        return self.fail(
            f"{_messages.word(part)} cannot be read",
            f"rows such as {LINE_FORMS}, headings, and comments behind #",
            "write it in one of these forms, or put # before what is no part of the table",
        )

    # ---- filling it --------------------------------------------------------------------------

    def set_units(self, units: str | None) -> None:
        """Take the unit of a depth."""
        if units is None:
            return
        if self.units not in (None, units):
            raise self.fail("metres and feet in one row", "one unit", "write all depths in one")
        self.units = units

    def set_depth(self, token: Token) -> None:
        """Take a depth, or of a second one that it is where the row leads."""
        value = number(token.text)
        self.set_units({"metres": "metric", "feet": "imperial"}.get(token.kind))
        if self.depth is None:
            self.depth = value
        elif self.kind in ("travel", "descent") and self.target is None:
            self.target = value
        else:
            raise self.fail(
                f"a second depth, {_messages.word(token.text)}",
                "one depth in a row",
                "write minutes as 2, 2:00 or 2 min, and each row on a line of its own",
            )

    def set_time(self, token: Token, leaving: bool) -> None:
        """Take stop minutes, or the run time at which the row is left."""
        value = minutes_of(token)
        if value is None:
            raise self.fail(
                f"{_messages.word(token.text)} is no time",
                "5, 5.5, 5:30, 5', 5'30\", 5 min; seconds below 60",
                "write the minutes in one of these forms",
            )
        if (self.leave if leaving else self.minutes) is not None:
            raise self.fail(
                f"a second time, {_messages.word(token.text)}, that nothing explains",
                "stop minutes, and behind the words leave at a run time",
                'write "24 m 2 min, leave at 31", or add a line with the names of the columns',
            )
        if leaving:
            self.leave = value
        else:
            self.minutes = value

    def set_gas(self, text: str) -> None:
        """Take a mix."""
        gas = BOTTOM_GAS if text.strip().lower() in _BOTTOM_GAS else gas_of(text)
        if gas is None:
            raise self.fail(
                f"{_messages.word(text)} is no mix",
                "air, O2, per cent of oxygen (32), oxygen/helium (18/45)",
                "write the mix in one of these forms",
            )
        if self.gas not in (None, gas):
            raise self.fail(
                f"two mixes, {self.gas} and {gas}",
                "one mix in a row",
                "write the row twice, once with each mix",
            )
        self.gas = gas


# ---- words in a line -----------------------------------------------------------------------------


def row_from_words(raw: Raw, tokens: list[Token]) -> Raw:
    """Read a row that has no columns; the row is filled in place."""
    _Words(raw, tokens).read()
    return raw


class _Words:
    """Reads the parts of a row in order."""

    def __init__(self, raw: Raw, tokens: list[Token]) -> None:
        self.raw = raw
        self.tokens = tokens
        self.expected = ""  # "leave" behind leave at, "gas" behind on, "switch" behind @

    def read(self) -> None:
        """Read all parts."""
        for place, token in enumerate(self.tokens):
            getattr(self, f"_{_HANDLER.get(token.kind, token.kind)}")(token, place)
        if self.expected in ("gas", "switch", "leave"):
            raise self.raw.fail(
                f"nothing behind {_messages.word(self.tokens[-1].text)}",
                '"leave at 31", "on 50", "50@21"',
                "write what belongs to the word behind it",
            )

    def _time(self, token: Token, place: int) -> None:
        if token.kind == "prime" and self.raw.depth is None and self.raw.kind == "stop":
            raise self.raw.fail(
                f"{_messages.word(token.text)} may be feet or minutes",
                "70 ft, 5 min",
                "write the unit out",
            )
        self._refuse_unclear(token)
        self.raw.set_time(token, self.expected == "leave")
        self.expected = ""

    def _refuse_unclear(self, token: Token) -> None:
        if self.expected == "unclear":
            raise self.raw.fail(
                f"{_messages.word(token.text)} may be stop minutes or a run time",
                '"24 m 2 min", "24 m, leave at 31"',
                "write for before stop minutes, and leave at before a run time",
            )

    def _length(self, token: Token, place: int) -> None:
        if self.expected == "switch":
            self._number(token, place)
            return
        self.expected = ""
        self.raw.set_depth(token)

    def _number(self, token: Token, place: int) -> None:
        self._refuse_unclear(token)
        expected, self.expected = self.expected, ""
        if expected == "switch":
            self.raw.switch_at = number(token.text)
            self.raw.set_units({"metres": "metric", "feet": "imperial"}.get(token.kind))
        elif expected == "gas" or self._behind_at_sign(place):
            self.raw.set_gas(token.text)
        elif expected == "depth" or (self.raw.depth is None and expected != "leave"):
            self.raw.set_depth(token)
        else:
            self.raw.set_time(token, expected == "leave")

    def _behind_at_sign(self, place: int) -> bool:
        following = self.tokens[place + 1 : place + 2]
        return bool(following) and following[0].text == "@"

    def _mix(self, token: Token, place: int) -> None:
        if self.raw.depth is None and self.expected != "gas" and token.text[0].isdigit():
            depth, minutes = token.text.split("/")
            self.raw.set_depth(Token("number", depth.strip()))
            self.raw.set_time(Token("number", minutes.strip()), leaving=False)
            return
        self._gas(token, place)

    def _gas(self, token: Token, place: int) -> None:
        self.expected = ""
        self.raw.set_gas(token.text)

    def _arrow(self, token: Token, place: int) -> None:
        if self.raw.kind == "stop":
            self.raw.kind = "travel"
        self.expected = "depth"

    def _mark(self, token: Token, place: int) -> None:
        following = self.tokens[place + 1 : place + 2]
        if token.text == "@" and self.raw.gas is not None:
            self.expected = "switch"
        elif token.text == "-" and following and following[0].kind in ("number", "metres", "feet"):
            raise self.raw.fail(
                "a number behind a minus sign",
                "depths below the surface, written without a sign",
                "write 24, or a travel row as 57 -> 24",
            )
        elif token.text not in ",;:|=@x*().-/":
            raise self.raw.unreadable(token.text)

    def _word(self, token: Token, place: int) -> None:
        word = token.text.lower()
        if self.expected == "gas" and word in ("bottom", "back"):
            self._gas(Token("word", BOTTOM_GAS), place)
        elif self.raw.gas == BOTTOM_GAS and word in ("gas", "mix"):
            return
        elif word in _LEAVE:
            self.expected = "leave"
        elif word in _GAS:
            self.expected = "gas"
        elif word in _KIND_WORDS:
            self._kind(_KIND_WORDS[word])
        elif word == "to" and self.expected == "gas":
            return
        elif word == "to" and self.raw.kind in ("travel", "descent"):
            self.expected = "depth"
        elif word in ("at", "by") and self.raw.depth is not None and not self.expected:
            self.expected = "switch" if self.raw.gas is not None else "unclear"
        elif gas_of(word):
            self._gas(token, place)
        elif word not in _NEUTRAL:
            raise self.raw.unreadable(token.text)

    def _kind(self, kind: str) -> None:
        if self.raw.kind == "stop":
            self.raw.kind = kind
            if kind == "surface" and self.raw.depth is None:
                self.raw.depth = 0.0
        elif self.raw.kind in ("travel", "descent") and kind == "surface":
            self.raw.target = 0.0
        elif self.raw.kind != kind and not (self.raw.kind == "descent" and kind == "bottom"):
            raise self.raw.fail(
                f"{self.raw.kind} and {kind} in one row", "one of the two", "make two rows of it"
            )


_HANDLER = {
    **dict.fromkeys(("clock", "prime", "minutes", "seconds"), "time"),
    **dict.fromkeys(("feet", "metres"), "length"),
    **dict.fromkeys(("percent", "named"), "gas"),
}
_KIND_WORDS = {
    **dict.fromkeys(_TRAVEL, "travel"),
    **dict.fromkeys(_DESCENT, "descent"),
    **dict.fromkeys(_BOTTOM, "bottom"),
    **dict.fromkeys(_SURFACE, "surface"),
    **dict.fromkeys(_TOTAL, "total"),
}


# ---- cells under columns -------------------------------------------------------------------------


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
        elif token.kind == "arrow" or word in _KIND_WORDS:
            kind = _KIND_WORDS.get(word, "travel")
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
    if len(tokens) != 1 or minutes_of(tokens[0]) is None:
        raise raw.fail(
            f"{_messages.word(cell)} under {_messages.word(column.name)} is no time",
            "5, 5.5, 5:30, 5', 5'30\", 5 min; seconds below 60",
            "write the minutes in one of these forms, or - where there is nothing to say",
        )
    raw.set_time(tokens[0], column.kind == "leave")


def _gas_cell(raw: Raw, cell: str, column: Column) -> None:
    text = cell.lower()
    for word in ("switch to", "switch", "change to", "on"):
        text = text.removeprefix(word).strip()
    mix, at, depth = text.partition("@")
    raw.set_gas(mix)
    if not at:
        return
    tokens = _tokens(raw, depth)
    if len(tokens) != 1 or tokens[0].kind not in ("number", "metres", "feet"):
        raise raw.unreadable(cell)
    raw.switch_at = number(tokens[0].text)
    raw.set_units({"metres": "metric", "feet": "imperial"}.get(tokens[0].kind))


def _phase_cell(raw: Raw, cell: str, column: Column) -> None:
    for word in cell.lower().split():
        if raw.kind == "stop":
            raw.kind = _KIND_WORDS.get(word, "stop")


_READ = {
    "depth": _depth_cell,
    "minutes": _time_cell,
    "leave": _time_cell,
    "gas": _gas_cell,
    "phase": _phase_cell,
}

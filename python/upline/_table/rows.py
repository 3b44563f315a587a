"""One row of a hand-written table from the words in a line."""

from __future__ import annotations

from .. import _messages
from .raw import BOTTOM_GAS, LENGTHS, Raw
from .words import Token, gas_of, is_foreign_unit, number

_LEAVE = frozenset((
    "leave", "leaving", "leaves", "until", "till", "rt", "run", "runtime", "depart", "departs",
    "off",
))  # fmt: skip
_GAS = frozenset(("on", "gas", "breathe", "breathing", "switch", "change", "mix", "using"))
_STAY = frozenset(("stop", "stay", "hold", "wait"))
_TRAVEL = frozenset(("ascend", "ascent", "ascending", "travel", "up"))
_DESCENT = frozenset(("descend", "descent", "descending", "down"))
_TOTAL = frozenset(("total", "totals", "sum", "tts"))
_BOTTOM = frozenset(("bottom",))
_SURFACE = frozenset(("surface", "surfacing", "surf"))
_NEUTRAL = frozenset((
    "stop", "at", "for", "x", "then", "deco", "hold", "wait", "stay", "go", "come", "and", "by",
    "the", "with", "first", "next", "last", "final", "deep", "safety",
))  # fmt: skip


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
        if self.raw.kind == "travel" and self.raw.leave is not None:
            raise self.raw.fail(
                "a way up with a run time of leaving",
                'a stop, "21 m, leave at 33", or a way up, "ascend to 21 m 0:20"',
                "write the stop and the way up as rows of their own",
            )

    def _time(self, token: Token, place: int) -> None:
        if token.kind == "prime" and self.raw.depth is None and self.raw.kind == "stop":
            raise self.raw.fail(
                f"{_messages.word(token.text)} may be feet or minutes",
                "70 ft, 5 min",
                "write the unit out",
            )
        self._refuse_unclear(token)
        if self.expected == "switch":
            raise self.raw.unreadable(self.raw.text)
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
            self.raw.set_units(LENGTHS.get(token.kind))
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
        """Between a depth and its minutes, before a mix, or on the way to another depth."""
        following = self.tokens[place + 1 : place + 2]
        kind = following[0].kind if following else ""
        if kind in _TIMED and self.raw.depth is not None and self.raw.minutes is None:
            return
        if kind == "word" and following[0].text.lower() in _SURFACE and self._is_timed():
            return
        if kind in ("mix", "percent", "named") or (kind == "word" and gas_of(following[0].text)):
            self.expected = "gas"
            return
        if self.raw.kind == "stop" and self.raw.minutes is not None:
            raise self.raw.fail(
                "an arrow behind minutes, which may lead to a depth or to a mix",
                '"21 m 1 min on 50", "57 -> 24"',
                'write "on" before a mix, and a way up as a row of its own',
            )
        if self.raw.kind == "stop":
            self.raw.kind = "travel"
        self.expected = "depth"

    def _mark(self, token: Token, place: int) -> None:
        following = self.tokens[place + 1 : place + 2]
        if token.text == "@" and self.raw.gas is not None:
            self.expected = "switch"
        elif token.text == "-" and self._parts_columns(token, place):
            return
        elif token.text == "-" and following and following[0].kind in ("number", "metres", "feet"):
            raise self.raw.fail(
                f"a dash or a minus sign before {_messages.word(following[0].text)}",
                "depths and minutes of 0 or more, without a sign",
                'write "24 2" for 2 min at 24 m, and a way up as 57 -> 24',
            )
        elif token.text == "-" and following and following[0].kind in _TIMED:
            if following[0].begins == token.ends:
                raise self.raw.fail(
                    f"a dash or a minus sign before {_messages.word(following[0].text)}",
                    "minutes of 0 or more, without a sign",
                    'write "24 m 2 min"',
                )
        elif token.text == "." and self._is_between_figures(token, place):
            raise self.raw.unreadable(self.raw.text)
        elif token.text not in ",;:|=@x*().-/":
            raise self.raw.unreadable(token.text)

    def _parts_columns(self, token: Token, place: int) -> bool:
        """Whether a hyphen with a space on both sides stands between a depth and its minutes."""
        before, after = self.tokens[place - 1 : place], self.tokens[place + 1 : place + 2]
        if place != 1 or not before or not after or self.expected:
            return False
        is_free = before[0].ends < token.begins and after[0].begins > token.ends
        is_depth = before[0].kind in ("number", "metres", "feet")
        return is_free and is_depth and after[0].kind == "number"

    def _is_between_figures(self, token: Token, place: int) -> bool:
        """Whether a point stands between two numbers without a space, as in a date."""
        before, after = self.tokens[place - 1 : place], self.tokens[place + 1 : place + 2]
        kinds = [one.kind for one in before + after]
        return kinds == ["number", "number"] and before[0].ends == after[0].begins - 1

    def _is_before_gas(self, place: int) -> bool:
        following = self.tokens[place + 1 : place + 2]
        return bool(following) and following[0].text.lower() in ("gas", "mix")

    def _word(self, token: Token, place: int) -> None:
        word = token.text.lower()
        is_gas = self.expected == "gas" or self._is_before_gas(place)
        if is_gas and word in ("bottom", "back") and self.raw.depth is not None:
            self._gas(Token("word", BOTTOM_GAS), place)
        elif self.raw.gas == BOTTOM_GAS and word in ("gas", "mix"):
            return
        elif word in _LEAVE:
            self.expected = "leave"
        elif word in _GAS:
            self.expected = "gas"
        elif word in KIND_WORDS:
            self._refuse_second_part(word, place)
            if word not in _SURFACE or not self._is_timed():
                self._kind(KIND_WORDS[word])
        elif word == "to" and self.expected == "gas":
            return
        elif word == "to" and self.raw.kind in ("travel", "descent"):
            self.expected = "depth"
        elif word in ("at", "by") and self.raw.depth is not None and not self.expected:
            self.expected = "switch" if self.raw.gas is not None else "unclear"
        elif gas_of(word):
            self._gas(token, place)
        elif is_foreign_unit(word):
            raise self.raw.fail(
                f"{_messages.word(token.text)} is no unit that is read",
                "metres (m), feet (ft), minutes (min)",
                "write the depth in metres or feet",
            )
        elif word in _STAY and self._leads_to_a_stop():
            self.raw.kind = "stop"  # up to 24 m, stay 2 min
        elif word not in _NEUTRAL:
            raise self.raw.unreadable(token.text)

    def _is_timed(self) -> bool:
        return self.raw.depth is not None and (
            self.raw.minutes is not None or self.raw.leave is not None
        )

    def _leads_to_a_stop(self) -> bool:
        is_way_up = self.raw.kind == "travel" and self.raw.depth is not None
        return is_way_up and self.raw.minutes is None

    def _refuse_second_part(self, word: str, place: int) -> None:
        """Refuse a way up, or a total, behind the depth and the minutes of a stop."""
        is_last = place + 1 == len(self.tokens)
        names_row = is_last and word in ("ascent", "descent", "travel", "bottom")
        is_second = word in _TRAVEL | _DESCENT | _TOTAL and self.raw.kind == "stop"
        if is_second and self._is_timed() and not names_row:
            raise self.raw.fail(
                f"{_messages.word(word)} behind the minutes of a stop",
                'a stop, "24 m 2 min, leave at 31", or a way up, "ascend to 21 m 0:20"',
                "write the way up as a row of its own, and a run time behind leave at",
            )

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


_TIMED = ("clock", "prime", "minutes", "seconds", "hours")
_HANDLER = {
    **dict.fromkeys(("clock", "prime", "minutes", "seconds", "hours"), "time"),
    **dict.fromkeys(("feet", "metres"), "length"),
    **dict.fromkeys(("percent", "named"), "gas"),
}
KIND_WORDS = {
    **dict.fromkeys(_TRAVEL, "travel"),
    **dict.fromkeys(_DESCENT, "descent"),
    **dict.fromkeys(_BOTTOM, "bottom"),
    **dict.fromkeys(_SURFACE, "surface"),
    **dict.fromkeys(_TOTAL, "total"),
}

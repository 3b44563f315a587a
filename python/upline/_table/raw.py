"""One row of a hand-written table as it was read, before anything is made of it."""

from __future__ import annotations

from dataclasses import dataclass, field

from .. import _core, _messages
from .words import Token, figures_meant, gas_of, minutes_of, number

LENGTHS = {"metres": "metric", "feet": "imperial"}
LINE_FORMS = '"24 2", "24/2", "24 m 2 min on 50", "24 m, leave at 31"'
BOTTOM_GAS = "bottom gas"  # a row that names no mix but this one
_USUAL_OXYGEN = ("32", "36", "40", "50", "60", "80", "100")  # common practice, no source
_BOTTOM_GAS = ("bottom gas", "bottom mix", "bottom", "back gas")


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
    clocks: set[str] = field(default_factory=set)  # which times are as 1:05, of whatever unit

    def fail(self, why: str, allowed: str, remedy: str) -> _core.InvalidInput:
        """Return the error for this row."""
        return _core.invalid_input(
            self.where, f"{_messages.word(self.text)}: {why}", allowed, remedy
        )

    def unreadable(self, part: str) -> _core.InvalidInput:
        """Return the error for a part that is nothing."""
        return self.fail(
            f"{_messages.word(part)} cannot be read"
            f"{figures_meant(self.text) or figures_meant(part)}",
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
        self.set_units(LENGTHS.get(token.kind))
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
        self.set_minutes(token, value, leaving)

    def set_minutes(
        self, token: Token, value: float, leaving: bool, is_unit_said: bool = False
    ) -> None:
        """Take a time of so many minutes."""
        if (self.leave if leaving else self.minutes) is not None:
            raise self.fail(
                f"a second time, {_messages.word(token.text)}, that nothing explains",
                "stop minutes, and behind the words leave at a run time",
                'write "24 m 2 min, leave at 31", or add a line with the names of the columns'
                + self._mix_meant(token),
            )
        if leaving:
            self.leave = value
        else:
            self.minutes = value
        is_bare = token.text.count(":") == 1 and token.text[-1].isdigit()
        if token.kind == "clock" and is_bare and not is_unit_said:
            self.clocks.add("leave" if leaving else "minutes")

    @staticmethod
    def _mix_meant(token: Token) -> str:
        """Return the question about a bare number that may be per cent of oxygen."""
        if token.kind != "number" or token.text not in _USUAL_OXYGEN:
            return ""
        return f'; "{token.text} %" or "EAN{token.text}" if it is the gas'

    def take_leave(self, other: Raw) -> None:
        """Take the run time that was read of another part of the same row."""
        if self.leave is not None:
            raise self.fail(
                "two run times", "one run time of leaving", "leave out the one that is wrong"
            )
        self.leave = other.leave
        self.clocks |= other.clocks

    def set_gas(self, text: str) -> None:
        """Take a mix."""
        gas = BOTTOM_GAS if text.strip().lower() in _BOTTOM_GAS else gas_of(text)
        if gas is None:
            raise self.fail(
                f"{_messages.word(text)} is no mix{figures_meant(text)}",
                "air, O2, per cent of oxygen (32), oxygen/helium (18/45)",
                "write the mix in one of these forms",
            )
        if self.gas not in (None, gas):
            raise self.fail(
                f"two mixes, {self.gas} and {gas}",
                "one mix in a row; all gases of a dive in a heading",
                'a heading is "57 m for 25 min on 18/45, 50, O2" or "gases: 18/45, 50, O2"; write '
                "a row with the mix that is breathed there",
            )
        self.gas = gas

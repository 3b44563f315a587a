"""A plan of this library as it is printed: the line above its table and what stands below."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from .. import _core, _messages
from .columns import header_of
from .says import Said
from .words import NUMBER, gas_of, minutes_of, number, shown_minutes, tokens_of

if TYPE_CHECKING:
    from .._foreign import Line
    from .raw import Raw

_CLOCK = r"\d{1,6}(?::\d\d){0,2}"
_LENGTH = rf"{NUMBER} (?:m|ft)"
_MIX = r"[^,()]{1,12}?"
_TITLE = re.compile(
    rf"(?P<levels>{_LENGTH} (?:for|until) {_CLOCK}(?: min)?(?: {_CLOCK} s)?"
    rf"(?:, {_LENGTH} until {_CLOCK}){{0,30}})"
    rf" on (?P<gas>{_MIX})(?P<travel>, going down on {_MIX} to {_LENGTH})?"
    rf"(?P<changes>(?:, then {_MIX} from {_LENGTH}){{0,30}})"
    r" \((?P<units>metric|imperial) schedule\)$"
)
_LEVEL = re.compile(
    rf"({NUMBER}) (?:m|ft) (?:for|until) ({_CLOCK}(?: min \d{{1,2}} s(?![a-z])| s(?![a-z]))?)"
)
_CHANGE = re.compile(rf", then ({_MIX}) from ({NUMBER}) (?:m|ft)")
_COLUMNS = ["depth", "leave at", "stay", "breathe", "po2", "held by"]
_FOOT = re.compile(r"Run time [\d: mins]{1,20}, time to surface [\d: mins]{1,20}\. ")
_PARAGRAPH = re.compile(
    r"(?:Cautions$|(?:caution|note|refuses): |Oxygen[:,] |Gas: |Assumptions: |No time to fly is"
    r"|This is what )"
)
#: Where the place is the one that is meant if nothing is said [bar].
_SEA_LEVEL, _VAPOUR = "1.01325", "0.0627"
_WATERS = {"1000": "fresh", "1025": "sea"}


class PrintedPlan:
    """Takes the lines of a printed plan that are no rows."""

    def __init__(self, said: Said) -> None:
        self.said = said
        self.title: str | None = None  # where it stands
        self.has_columns = False
        self.foot: list[Line] = []

    def takes(self, line: Line, rows: list[Raw]) -> bool:
        """Whether the line is one above or below the table; it is taken if so."""
        text = line.text.strip()
        if self.title is None and (match := _TITLE.match(text)):
            self.title = f"line {line.number}"
            _say_title(self.said, self.title, match)
            return True
        header = header_of(text) if not self.foot else None
        is_own = header is not None and [c.name.lower() for c in header.columns] == _COLUMNS
        self.has_columns = self.has_columns or is_own
        if self.title is not None and not self.has_columns and not rows and header is None:
            self._left_out([line])
            return True
        is_below = bool(rows) and (rows[-1].kind == "surface" or rows[-1].depth == 0)
        if self.foot or (self.has_columns and (is_below or _FOOT.match(text)) and not is_own):
            self._refuse_second(line, text)
            self.foot.append(line)
            return True
        return False

    def finish(self) -> None:
        """Tell what stands below the table, and take what its assumptions say."""
        if not self.has_columns:
            return
        where = self.title or "the printed plan"
        self.said.values["minutes_mean"] = ("leave at", where)
        for lines in self._paragraphs():
            text = " ".join(line.text.strip() for line in lines)
            if text.startswith("Assumptions: "):
                take_assumptions(text, self.said, _lines(lines))
            else:
                self._left_out(lines)

    def _paragraphs(self) -> list[list[Line]]:
        found: list[list[Line]] = []
        last = -1
        for line in self.foot:
            is_inside = bool(found) and found[-1][0].text.strip().startswith("Assumptions: ")
            if (line.number > last + 1 and not is_inside) or _PARAGRAPH.match(line.text.strip()):
                found.append([])
            found[-1].append(line)
            last = line.number
        return found

    def _left_out(self, lines: list[Line]) -> None:
        text = " ".join(line.written for line in lines)
        where = _lines(lines)
        verb = "are" if len(lines) > 1 else "is"
        self.said.notes.append(f'{where} {verb} left out: "{_messages.plain(text, 400)}"')

    def _refuse_second(self, line: Line, text: str) -> None:
        if _TITLE.match(text) or (header_of(text) is not None and "leave at" in text):
            raise _core.invalid_input(
                f"line {line.number}", f"{_messages.word(line.written)}, the beginning of another "
                "plan", "one plan", "give each plan by itself",
            )  # fmt: skip


def _lines(lines: list[Line]) -> str:
    first, last = lines[0].number, lines[-1].number
    return f"line {first}" if first == last else f"lines {first} to {last}"


def _say_title(said: Said, where: str, match: re.Match[str]) -> None:
    depth, until = _LEVEL.findall(match["levels"])[0]
    changes = [(gas_of(mix), number(at)) for mix, at in _CHANGE.findall(match["changes"])]
    bottom_gas = gas_of(match["gas"])
    if bottom_gas is None or any(mix is None for mix, _ in changes):
        raise _core.invalid_input(
            where, _messages.word(match[0]), "mixes of oxygen, helium and nitrogen",
            "correct the mix",
        )  # fmt: skip
    said.say("units", match["units"], where)
    said.say("depth", number(depth), where)
    said.say("bottom_time", _minutes(until), where)
    said.say("bottom_from", "surface", where)
    said.say("gases", (bottom_gas, *(f"{mix}@{at:g}" for mix, at in changes)), where)
    said.notes.append(f"{where} says: {_messages.plain(match[0], 400)}")
    if match["travel"]:
        ask_for(said, "travel", where, "a gas is breathed on the way down")


def _minutes(text: str) -> float | None:
    tokens = tokens_of(text) or []
    return minutes_of(tokens[0]) if len(tokens) == 1 else None


def ask_for(said: Said, name: str, where: str, why: str) -> None:
    """Name something that a table cannot hold and that is needed to check it."""
    asked: tuple[str, ...] = said.get("asked") or ()
    if name not in asked:
        said.values["asked"] = ((*asked, name), where)
        said.notes.append(f"{where}: {why}, which a table cannot hold; {name} stays open")


def say_switch_time(minutes: float | None, said: Said, where: str) -> None:
    """Tell how long a switch takes; 0 and 1 min are tried in a check, anything else is not."""
    if minutes is None or minutes == 1.0:
        return
    if minutes == 0.0:
        said.notes.append(f"{where}: a switch takes no time; say so to a check by switch_time=0")
        return
    ask_for(said, "switch_time", where, f"a switch takes {shown_minutes(minutes)} min")


# ---- assumptions ---------------------------------------------------------------------------------


def _found(pattern: str, text: str) -> str | None:
    match = re.search(pattern, text)
    return match[1] if match else None


def take_assumptions(text: str, said: Said, where: str) -> None:
    """Take what the line of assumptions of a plan says of model, factors, place and rates."""
    text = " ".join(text.split()).removeprefix("Assumptions: ")
    told: dict[str, Any] = {
        "model": _found(r"^([^\s,;]{1,20}),", text),
        "gf": _found(r"^[^\s,;]{1,20}, (\d{1,3}(?:\.\d{1,6})?/\d{1,3}(?:\.\d{1,6})?)[ ,]", text),
        "descent_rate": _number(_found(rf"; down ({NUMBER})(?: (?:m|ft)/min)?, up ", text)),
        "ascent_rate": _rates(_found(r", up (\d[^;]{0,300}?)(?:, last ascent [^;]{1,40})?;", text)),
        "water": _water(text),
    }
    for key, value in told.items():
        said.say(key, value, where)
    spoken = [f"{key.replace('_', ' ')} {_shown(v)}" for key, v in told.items() if v is not None]
    verb = "say" if " to " in where or where.endswith("assumptions of the frame") else "says"
    words = _messages.plain(", ".join(spoken), 500) or "nothing that is read"
    said.notes.append(f"{where} {verb}: {words}")
    if _is_other_place(text, said):
        ask_for(said, "environment", where, "the place differs from gauge depths at sea level")
    at_switch = _found(r"; (\d[\d: mins]{0,12}?)(?: min)? at each switch", text)
    say_switch_time(None if at_switch is None else _minutes(at_switch), said, where)
    if "earlier dives counted" in text:
        ask_for(said, "start", where, "earlier dives are counted")
    if "going down on " in text:
        ask_for(said, "travel", where, "a gas is breathed on the way down")


def _shown(value: Any) -> str:
    if isinstance(value, tuple):
        return ", ".join(f"{rate:g} deeper than {depth:g}" for depth, rate in value)
    return f"{value:g}" if isinstance(value, float) else str(value)


def _number(text: str | None) -> float | None:
    return None if text is None else number(text)


def _rates(text: str | None) -> float | tuple[tuple[float, float], ...] | None:
    """Return one rate, or pairs of a depth and the rate deeper than it."""
    if text is None:
        return None
    text = re.sub(r" (?:m/min|ft/min|m|ft)(?![a-z])", "", text)
    zones = re.findall(rf"({NUMBER}) deeper than ({NUMBER})", text)
    if zones:
        return tuple((number(depth), number(rate)) for rate, depth in zones)
    return number(text) if re.fullmatch(NUMBER, text) else None


def _water(text: str) -> str | None:
    if re.search(r"; gauge (?:metres|feet),", text):
        return "gauge"
    density = _found(r"; true (?:metres|feet) of water of ([\d.]{1,9}) kg/m3", text)
    return _WATERS.get(density or "")


def _is_other_place(text: str, said: Said) -> bool:
    """Whether only an environment can say where the plan was made for."""
    pressure = _found(r", (\d{1,2}(?:\.\d{1,6})?) bar[,;]", text)
    vapour = _found(r"; vapour ([\d.]{1,9}) bar", text)
    is_unread_water = _water(text) is None and "of water of" in text
    is_high = pressure not in (None, _SEA_LEVEL) and said.get("altitude") is None
    is_used = ", used to " in text
    return is_unread_water or is_high or is_used or vapour not in (None, _VAPOUR)

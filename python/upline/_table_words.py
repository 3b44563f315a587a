"""The words of hand-written tables: numbers, minutes, depths, mixes, names of columns."""

from __future__ import annotations

import re
from dataclasses import dataclass

from . import _core

NUMBER = r"\d{1,6}(?:[.,]\d{1,40})?(?!\d)"
METRES = r"(?:metres|meters|metre|meter|mtrs|msw|m)(?![a-z])"
FEET = r"(?:feet|foot|fsw|ft)(?![a-z])"
MINUTES = r"(?:minutes|minute|mins|min)(?![a-z])\.?"
SECONDS = r"(?:seconds|second|secs|sec|s)(?![a-z])\.?"

# A part of a row. Every alternative is bounded, and none repeats what can be empty.
TOKEN = re.compile(
    rf"""[ \t]{{0,999}}(?:
      (?P<mix>(?:trimix|heliox|tx)?[ ]?\d{{1,3}}(?:[.,]\d{{1,2}})?[ ]?/[ ]?
          \d{{1,3}}(?:[.,]\d{{1,2}}(?![\d/]))?(?![\d:'"]|\.\d))
    | (?P<percent>\d{{1,3}}(?:[.,]\d{{1,2}})?[ ]?%(?:[ ]?(?:o2|oxygen|nitrox)(?![a-z]))?)
    | (?P<clock>\d{{1,4}}:\d{{1,2}}(?::\d{{1,2}})?(?![\d:])(?:[ ]?{MINUTES})?)
    | (?P<prime>\d{{1,4}}[ ]?'(?:[ ]?\d{{1,2}}[ ]?(?:"|''))?)
    | (?P<minutes>{NUMBER}[ ]?{MINUTES}(?:[ ]?\d{{1,2}}[ ]?{SECONDS})?)
    | (?P<seconds>{NUMBER}[ ]?(?:{SECONDS}|"|''))
    | (?P<feet>{NUMBER}[ ]?{FEET})
    | (?P<metres>{NUMBER}[ ]?{METRES})
    | (?P<number>{NUMBER}(?![a-wyz]))
    | (?P<named>(?:eanx?|nitrox|nx|trimix|tx)[ ]?\d{{1,3}}(?![\d/])|o2(?![a-z0-9]))
    | (?P<word>[a-z]{{1,40}})
    | (?P<arrow>-{{1,4}}>)
    | (?P<mark>[-@,;:|/=*()."'+~])
    )""",
    re.VERBOSE | re.IGNORECASE,
)

GAS_WORDS = ("air", "oxygen")
_DITTO = ("", "-", "--", "---", ".", "...", '"', "''", "n/a", "none", "same", "ditto", "nan")


@dataclass(frozen=True)
class Token:
    """A part of a row: its kind, as in the groups of TOKEN, and its text."""

    kind: str
    text: str
    begins: int = 0
    ends: int = 0


def tokens_of(text: str) -> list[Token] | None:
    """Return the parts of a row, or None if some part of it is nothing that stands in a row."""
    found: list[Token] = []
    at = 0
    text = text.strip()
    while at < len(text):
        match = TOKEN.match(text, at)
        if match is None or match.lastgroup is None:
            return None
        at = match.end()
        part = match[match.lastgroup].strip()
        found.append(Token(match.lastgroup, part, match.start(match.lastgroup), at))
    return found


def is_ditto(text: str) -> bool:
    """Return whether a cell says nothing of its own."""
    return text.strip().lower() in _DITTO


def number(text: str) -> float:
    """Return the number a text begins with, with a decimal point or a decimal comma."""
    match = re.match(NUMBER, text.strip())
    assert match is not None
    return float(match[0].replace(",", "."))


def minutes_of(token: Token) -> float | None:
    """Return the minutes that a part of a row states, or None if it is no time."""
    figures = [float(f.replace(",", ".")) for f in re.findall(NUMBER, token.text)]
    if token.kind == "seconds":
        return figures[0] / 60
    if token.kind in ("number", "minutes", "prime"):
        return _sexagesimal(figures)
    if token.kind == "clock":
        if len(figures) == 3:
            minutes = _sexagesimal(figures[1:])
            return None if minutes is None or minutes >= 60 else figures[0] * 60 + minutes
        return _sexagesimal(figures)
    return None


def _sexagesimal(figures: list[float]) -> float | None:
    seconds = figures[1] if len(figures) > 1 else 0.0
    return figures[0] + seconds / 60 if seconds < 60 else None


def gas_of(text: str) -> str | None:
    """Return a mix as `Gas` writes it, or None if the text is none."""
    bare = re.sub(r"^(?:trimix|heliox|nitrox|tx|nx)(?=[ \d])|(?<=%) ?(?:o2|oxygen|nitrox)$", "",
                  text.strip().lower())  # fmt: skip
    bare = bare.removeprefix("pure ").strip()
    if not bare or len(bare) > 20:
        return None
    try:
        return str(_core.Gas(re.sub(r"(?<=\d),(?=\d)", ".", bare)))
    except _core.Error:
        return None


def shown_minutes(minutes: float) -> str:
    """Return minutes as a sentence shows them: whole, in m:ss, or as a decimal number."""
    if minutes == int(minutes):
        return str(int(minutes))
    seconds = round(minutes * 60)
    if abs(minutes * 60 - seconds) < 1e-6:
        return f"{seconds // 60}:{seconds % 60:02d}"
    return f"{minutes:.6g}"


def shown_depth(depth: float, units: str | None) -> str:
    """Return a depth with its unit, if one was said."""
    unit = {"metric": " m", "imperial": " ft", None: ""}[units]
    return f"{depth:.6g}{unit}"


# ---- names of columns ----------------------------------------------------------------------------


@dataclass(frozen=True)
class Column:
    """What a column holds: its kind, and what its name says besides."""

    kind: str  # depth, minutes, stop, leave, arrive, travel, gas, phase, other
    name: str
    units: str | None = None
    mean: str | None = None  # "with travel" or "without travel"


_NAMES: dict[str, tuple[str, ...]] = {
    "depth": ("depth", "stop depth", "depth of stop", "depths", "level"),
    "minutes": (
        "minutes",
        "min",
        "mins",
        "time",
        "stop time",
        "stop minutes",
        "stop min",
        "stop length",
        "deco",
        "deco time",
        "duration",
        "wait",
        "hold",
        "time at stop",
    ),
    "stop": ("stop", "stops"),
    "leave": (
        *("leave at", "leave", "leaves", "leaves at", "leaving", "leave by", "left at"),
        *("depart", "departs", "departs at", "departure", "run", "run time", "runtime", "rt"),
        *("elapsed", "elapsed time", "running time", "until"),
    ),
    "arrive": ("arrive", "arrives", "arrive at", "arrives at", "arrival", "arriving"),
    "travel": ("travel", "travel time", "transit", "ascent", "ascent time", "travel minutes"),
    "gas": ("gas", "mix", "breathe", "breathing", "breathing gas", "gas mix", "mixture", "on"),
    "phase": ("phase", "action", "what", "leg", "do"),
    "other": (
        *("no", "nr", "row", "number", "#", "po2", "ppo2", "notes", "note", "remarks", "remark"),
        *("comment", "comments", "end", "cns", "otu", "litres", "arrives on", "held by", "rate"),
    ),
}
_KINDS = {name: kind for kind, names in _NAMES.items() for name in names}
_MEANS = {
    **dict.fromkeys(("stay", "stays"), "with travel"),
    **dict.fromkeys(("at depth", "minutes at depth", "time at depth", "at stop"), "without travel"),
}
#: Names that a misspelt one may have been meant as.
KNOWN_NAMES = tuple(
    name for kind, names in _NAMES.items() if kind != "other" for name in names if len(name) > 2
)
_TRAVEL = re.compile(
    r"\b(?:(with|incl|including|includes|inc)|(without|excl|excluding|excludes|not including|no))"
    r"\.? (?:the )?(?:travel|ascent|transit)(?: time)?\b"
)
_UNIT_WORDS = {
    **dict.fromkeys(("m", "metres", "meters", "metre", "meter", "msw"), "metric"),
    **dict.fromkeys(("ft", "feet", "foot", "fsw"), "imperial"),
    **dict.fromkeys(("min", "mins", "minutes", "bar", "s", "sec", "mm:ss", "m:ss", "h:mm"), None),
}


def column_of(cell: str) -> Column | None:
    """Return what a column of this name holds, or None if the name is not known."""
    name = cell.strip().strip("*_").strip()
    words = re.sub(r"[-_()\[\],/]", " ", name.lower().replace("%", "")).split()
    if not words or len(words) > 8:
        return None
    units: str | None = None
    if words[-1] in _UNIT_WORDS and (len(words) > 1 or _UNIT_WORDS[words[-1]] is not None):
        units = _UNIT_WORDS[words.pop()]
    if words[:1] == ["in"] or words[-1:] == ["in"]:
        words.remove("in")
    rest = " ".join(word.rstrip(".") for word in words)
    if not rest:
        return Column("depth", name, units) if units else None
    if rest in _MEANS:
        return Column("minutes", name, None, _MEANS[rest])
    said = _TRAVEL.search(rest)
    if said and (rest := (rest[: said.start()] + rest[said.end() :]).strip()) in ("", *_KINDS):
        kind = _KINDS.get(rest, "minutes")
        if kind in ("stop", "minutes"):
            return Column("minutes", name, None, "with travel" if said[1] else "without travel")
    kind_ = _KINDS.get(rest)
    return Column(kind_, name, units) if kind_ else None

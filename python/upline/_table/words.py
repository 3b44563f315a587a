"""The words of hand-written tables: numbers, minutes, depths, mixes, names of columns."""

from __future__ import annotations

import re
from dataclasses import dataclass

from .. import _core

NUMBER = r"\d{1,6}(?:[.,]\d{1,40})?(?!\d)"
METRES = r"(?:metres|meters|metre|meter|mtrs|msw|m)(?![a-z])"
FEET = r"(?:feet|foot|fsw|ft)(?![a-z])"
MINUTES = r"(?:minutes|minute|mins|min)(?![a-z])\.?"
SECONDS = r"(?:seconds|second|secs|sec|s)(?![a-z])\.?"

HOURS = r"(?:hours|hour|hrs|hr|h)(?![a-z])"

# A part of a row. Every alternative is bounded, and none repeats what can be empty.
TOKEN = re.compile(
    rf"""[ \t]{{0,999}}(?:
      (?P<mix>(?:trimix|heliox|tx)?[ ]?\d{{1,3}}(?:[.,]\d{{1,2}})?[ ]?/[ ]?
          \d{{1,3}}(?:[.,]\d{{1,2}}(?![\d/]))?(?![\d:'"]|\.\d|[ ]?{HOURS}))
    | (?P<percent>\d{{1,3}}(?:[.,]\d{{1,2}})?[ ]?%(?:[ ]?(?:o2|oxygen|nitrox)(?![a-z]))?)
    | (?P<clock>\d{{1,4}}:\d{{1,2}}(?::\d{{1,2}})?(?![\d:])(?:[ ]?{MINUTES})?)
    | (?P<hours>\d{{1,2}}[ ]?(?:h\d{{2}}(?!\d)|{HOURS}\.?(?:[ ]?\d{{1,2}}[ ]?{MINUTES})?))
    | (?P<prime>\d{{1,4}}[ ]?'(?:[ ]?\d{{1,2}}[ ]?(?:"|'')|\d\d(?![\d'/:]|[ ]?[a-z]))?)
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

_FOREIGN_UNITS = frozenset((
    *("yd", "yds", "yard", "yards", "fathom", "fathoms", "ftm", "fm", "fth", "km", "cm", "mm"),
    *("mile", "miles", "inch", "inches", "bar", "mbar", "atm", "ata", "psi", "kpa"),
))  # fmt: skip
_LONGEST_SEARCHED = 1000  # characters
# Letters that a pen or a reader of images puts in the place of figures; O2 is a gas.
_LETTERS = re.compile(
    r"(?<![a-z0-9.,])(?!o2(?![a-z0-9]))(?=\d{0,3}[ilo])(?=[ilo]{0,3}\d)[\dilo]{2,4}"
    r"(?=m|min|feet|ft|[^a-z0-9]|$)"
    r"|(?<![a-z0-9.,])[ilo](?=[ ]?/[ ]?\d)|(?<=/)[ilo](?![a-z0-9])|^[ilo]$",
    re.IGNORECASE | re.ASCII,
)
HOURS_AND_MINUTES = ("h:mm", "hh:mm", "h:m", "h:min")
MINUTES_AND_SECONDS = ("mm:ss", "m:ss", "min:s", "min:sec")
_SECOND_UNITS = ("s", "sec", "secs", "seconds")
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


def is_foreign_unit(word: str) -> bool:
    """Return whether a word is a unit in which no depth or time is read."""
    return word.strip(" .").lower() in _FOREIGN_UNITS


def figures_meant(text: str) -> str:
    """Return what a message adds where a letter stands in the place of a figure, or nothing."""
    match = _LETTERS.search(text.strip()) if len(text) <= _LONGEST_SEARCHED else None
    if match is None:
        return ""
    meant = match[0].lower().translate({ord("i"): "1", ord("l"): "1", ord("o"): "0"})
    letters = " and ".join(dict.fromkeys(c for c in match[0] if c.isalpha()))
    return f'; "{match[0]}" has the letter {letters}, {meant} meant?'


def minutes_of(token: Token, unit: str = "") -> float | None:
    """Return the minutes that a part of a row states, or None if it is no time.

    A unit may be the one of its column: "h:mm" or "s".
    """
    figures = [float(f.replace(",", ".")) for f in re.findall(NUMBER, token.text)]
    in_hours = unit in HOURS_AND_MINUTES
    if token.kind == "hours" or (token.kind == "clock" and in_hours and len(figures) == 2):
        rest = figures[1] if len(figures) > 1 else 0.0
        return figures[0] * 60 + rest if rest < 60 else None
    if token.kind == "number" and unit in _SECOND_UNITS:
        return figures[0] / 60
    if token.kind == "number" and in_hours:
        return None
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
    if re.fullmatch(r"(?:oxygen|o2) ?100 ?%|100 ?% ?(?:oxygen|o2)", bare):
        bare = "o2"
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

    kind: str  # depth, minutes, stop, leave, arrive, travel, gas, phase, other, foreign
    name: str
    units: str | None = None
    mean: str | None = None  # "with travel" or "without travel"
    unit: str = ""  # as written, in small letters


_NAMES: dict[str, tuple[str, ...]] = {
    "depth": ("depth", "stop depth", "depth of stop", "depths", "level", "d", "dpt"),
    "minutes": (
        "minutes",
        "min",
        "mins",
        "time",
        "stop time",
        "stop minutes",
        "stop min",
        "stop length",
        "st",
        "t",
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
        *(
            "comment",
            "comments",
            "end",
            "cns",
            "otu",
            "litres",
            "arrives on",
            "held by",
            "rate",
            "tts",
        ),
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
    r"\b(?:(with|incl|including|includes|inc)"
    r"|(without|excl|excluding|excludes|not including|no(?= travel)))"
    r"\.? (?:the )?(?:travel|ascent|transit)(?: time)?\b"
)
_UNIT_WORDS = {
    **dict.fromkeys(("m", "metres", "meters", "metre", "meter", "msw"), "metric"),
    **dict.fromkeys(("ft", "feet", "foot", "fsw"), "imperial"),
    **dict.fromkeys(("min", "mins", "minute", "minutes", "bar", "half-time", "h:mm:ss"), None),
    **dict.fromkeys((*_SECOND_UNITS, *MINUTES_AND_SECONDS, *HOURS_AND_MINUTES), None),
}
_IN_BRACKETS = re.compile(r"[(\[]([^()\[\]]{1,20})[)\]]\s{0,99}$")


def column_of(cell: str) -> Column | None:
    """Return what a column of this name holds, or None if the name is not known."""
    name = cell.strip().strip("*_").strip()
    words = re.sub(r"[-_()\[\],/]", " ", name.lower().replace("%", "")).split()
    if not words or len(words) > 8:
        return None
    unit = ""
    if words[-1] in _UNIT_WORDS and (len(words) > 1 or _UNIT_WORDS[words[-1]] is not None):
        unit = words.pop()
    if words[:1] == ["in"] or words[-1:] == ["in"]:
        words.remove("in")
    rest = " ".join(word.rstrip(".") for word in words)
    units = _UNIT_WORDS.get(unit)
    if not rest:
        return Column("depth", name, units, unit=unit) if units else None
    if rest in _MEANS:
        return Column("minutes", name, None, _MEANS[rest], unit)
    said = _TRAVEL.search(rest)
    if said and (rest := (rest[: said.start()] + rest[said.end() :]).strip()) in ("", *_KINDS):
        kind = _KINDS.get(rest, "minutes")
        if kind in ("stop", "minutes"):
            mean = "with travel" if said[1] else "without travel"
            return Column("minutes", name, None, mean, unit)
    kind_ = _KINDS.get(rest)
    is_bracketed = re.search(r"[(\[_/-]", name) is not None
    is_time = unit in _UNIT_WORDS and units is None and unit != "bar"
    is_two_names = kind_ in ("gas", "phase") or (kind_ in ("depth", "other") and is_time)
    if kind_ and unit and is_two_names and not is_bracketed:
        return None  # depth min
    if kind_:
        return Column(kind_, name, units if kind_ in ("depth", "stop") else None, unit=unit)
    return _of_foreign_unit(name)


def _of_foreign_unit(name: str) -> Column | None:
    """Return a column whose name is known and followed by a unit that is not, if it is one."""
    bracketed = _IN_BRACKETS.search(name)
    if bracketed:
        rest, unit = name[: bracketed.start()], bracketed[1].strip()
    else:
        rest, _, unit = re.sub(r"[-_,/]", " ", name).strip().rpartition(" ")
    if not bracketed and not is_foreign_unit(unit):
        return None
    kind = _KINDS.get(" ".join(re.sub(r"[-_,/]", " ", rest.lower()).split()))
    is_read = kind in ("depth", "minutes", "stop", "leave")
    return Column("foreign", name, unit=unit) if is_read else None


def units_named(cells: list[str]) -> list[str] | None:
    """Return the units of a line below the names of the columns, or None if it is no such line."""
    words = [cell.strip().strip("()[]*_").lower() for cell in cells]
    known = [word for word in words if word]
    is_units = all(word in _UNIT_WORDS or is_foreign_unit(word) for word in known)
    return words if is_units and len(known) > 1 else None


def units_of_word(word: str) -> str | None:
    """Return the units of a word such as m or ft, or None if it names no unit of depths."""
    return _UNIT_WORDS.get(word)

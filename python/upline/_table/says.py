"""What the words around a table say: depth, gases, factors, what its minutes mean."""

from __future__ import annotations

import re
from typing import Any, NamedTuple

from .. import _core, _messages
from .words import FEET, METRES, MINUTES, NUMBER, gas_of, minutes_of, number, tokens_of

_UNIT = rf"(?:{METRES}|{FEET})"
_MIX = (
    r"(?:air|(?:pure )?oxygen|o2|(?:eanx?|nitrox|nx|trimix|tx) ?\d{1,3}(?: ?/ ?\d{1,3})?"
    r"|\d{1,3} ?/ ?\d{1,3}|\d{1,3} ?%"
    rf"|\d{{2,3}}(?![.,]?\d| ?(?:{_UNIT}|{MINUTES}|')))"
)
_TIME = rf"\d{{1,4}}(?::\d\d){{1,2}}|{NUMBER}(?: ?{MINUTES})?"
_ITEM = rf"(?:{_MIX})(?: ?(?:@|from|at) ?{NUMBER}(?: ?{_UNIT})?)?"
_LIST = rf"{_ITEM}(?:(?: ?[,;+] ?(?:and )?| and | then ){_ITEM}){{0,9}}"
_IS = r" ?[:=]? ?"
_TAKEN = "\0"


class Claim(NamedTuple):
    """Something that words say: which, and its value."""

    key: str
    value: Any
    units: str | None = None


def _pattern(text: str) -> re.Pattern[str]:
    return re.compile(rf"(?<![a-z0-9]){text}(?![a-z0-9])", re.IGNORECASE)


# In this order; what one has matched the next one does not see.
_PATTERNS: tuple[tuple[str, re.Pattern[str]], ...] = tuple(
    (key, _pattern(text))
    for key, text in (
        (
            "gf",
            r"(?:gf|gradient factors?|factors?)(?: low/high| lo/hi)?"
            rf"{_IS}(\d{{1,3}}) ?%? ?/ ?(\d{{1,3}})",
        ),
        ("model", rf"(?:model{_IS})?zh-?l ?-?16 ?-?([abc](?:/5 ?min)?)"),
        (
            "rate",
            r"(ascents?|ascend|ascending|up|descents?|descend|descending|down)(?: rate| speed)?"
            rf"{_IS}(?:at )?({NUMBER} ?(?:{_UNIT})) ?(?:/|per|a) ?min(?:ute)?",
        ),
        ("altitude", rf"altitude{_IS}({NUMBER} ?(?:{_UNIT})?)"),
        ("altitude", rf"({NUMBER} ?(?:{_UNIT})) above (?:the )?sea(?: level)?"),
        ("water", rf"(?:water{_IS})?(fresh|sea|salt)[ -]?water"),
        ("water", rf"water{_IS}(fresh|sea|salt|gauge)"),
        ("water", rf"(gauge) (?:{METRES}|depths?)"),
        (
            "bottom_from",
            r"(?:bottom )?(?:time )?(?:is )?(?:counts |counted )?from (?:leaving |reaching )?"
            r"(?:the )?(surface|arrival|bottom)(?: at the bottom| on the bottom)?",
        ),
        ("bottom_from", r"(not including|excluding|excl\.?|without|plus) (?:the )?descent"),
        ("bottom_from", r"(including|includes|incl\.?|with) (?:the )?descent"),
        ("bottom_from", r"descent ((?:not )?included)"),
        (
            "minutes_mean",
            r"(not including|excluding|excludes?|excl\.?|without|do not include|plus) (?:the )?"
            r"(?:travel|ascent|transit)(?: to (?:the|each) stop)?",
        ),
        (
            "minutes_mean",
            r"(including|includes?|incl\.?|with) (?:the )?(?:travel|ascent|transit)"
            r"(?: to (?:the|each) stop)?",
        ),
        ("minutes_mean", r"(?:travel|ascent|transit)(?: is)? ((?:not )?included)"),
        ("minutes_mean", r"(?:times|minutes) are ((?:run|leave|leaving)[ -]?times?)"),
        ("minutes_mean", r"^ ?((?:rt|run[ -]?times?|leave at)) ?:?$"),
        ("last_stop", rf"last (?:deco )?stop{_IS}(?:at )?({NUMBER} ?(?:{_UNIT})) ?$"),
        ("units", rf"(?:all )?(?:units?|depths?){_IS}(?:are )?(?:in )?(metric|imperial|{_UNIT})"),
        ("units", r"in (metres|meters|feet)"),
        ("bottom", rf"({NUMBER} ?(?:{_UNIT}))(?: ?[x/,] ?| for | )({NUMBER} ?{MINUTES})"),
        (
            "bottom",
            rf"(?P<t>{NUMBER} ?{MINUTES})(?: bottom time)? (?:at|on|to) "
            rf"(?P<d>{NUMBER} ?(?:{_UNIT}))",
        ),
        ("bottom_time", rf"(?:bottom time|bt){_IS}(?:is |of )?({_TIME})"),
        (
            "depth",
            rf"(?:(?:max(?:imum|\.)? |bottom )?depth|bottom){_IS}(?:is |of )?"
            rf"({NUMBER}(?: ?(?:{_UNIT}))?)",
        ),
        ("gases", rf"(?:gas|mix) ?#?1 ?[:=] ?({_ITEM})"),
        ("deco", rf"(?:gas|mix) ?#?[2-9] ?[:=] ?({_ITEM})"),
        ("deco", rf"(?:deco|decompression)(?: (?:gas(?:es)?|mix(?:es)?))?(?: on)?{_IS}({_LIST})"),
        (
            "gases",
            r"(?:bottom gas|back gas|bottom mix|gases|gas|mixes|mix|breathing|on)"
            rf"{_IS}({_LIST})",
        ),
        # Behind what was understood, at the end of the line, a bare mix is the one at the bottom.
        ("bottom gas", rf"{_TAKEN}[ ,]{{1,3}}((?:tx|trimix)? ?\d\d ?/ ?[1-9]\d) ?$"),
        ("deco", rf"(?:switch to )?({_MIX} ?(?:@|from|at) ?{NUMBER}(?: ?(?:{_UNIT}))?)"),
    )
)  # fmt: skip

_GLUE = frozenset((
    "a", "all", "and", "are", "at", "bottom", "deco", "decompression", "depth", "depths",
    "dive", "for", "from", "gas", "gases", "in", "is", "m", "min", "minutes", "of", "on",
    "plan", "stop", "stops", "table", "the", "then", "time", "times", "to", "travel", "with",
    "water",
))  # fmt: skip
_DOUBT = frozenset((
    "not", "no", "never", "if", "unless", "or", "would", "could", "might", "maybe", "perhaps",
    "when", "else", "avg", "average", "mean", "minimum", "ceiling", "previous", "earlier",
))  # fmt: skip
_STOP_WORDS = frozenset((
    "stop", "stops", "first", "last", "hold", "wait", "leave", "ascend", "ascent", "more",
    "less",
))  # fmt: skip


class Reading(NamedTuple):
    """What a line of words says, and what of it was not understood."""

    claims: tuple[Claim, ...]
    before: str
    after: str

    @property
    def clean(self) -> bool:
        """Whether everything behind the first thing understood was understood."""
        words = re.findall(r"[a-z]+", self.after.lower())
        return not re.search(r"\d", self.after) and _GLUE.issuperset(words)

    @property
    def doubtful(self) -> bool:
        """Whether a condition or a negation stands in what was not understood."""
        rest = f"{self.before} {self.after}".lower()
        return "?" in rest or not _DOUBT.isdisjoint(re.findall(r"[a-z]+", rest))

    @property
    def of_a_stop(self) -> bool:
        """Whether the words before the first thing understood speak of a stop."""
        return not _STOP_WORDS.isdisjoint(re.findall(r"[a-z]+", self.before.lower()))


def read_words(text: str) -> Reading:
    """Return what a line of words says."""
    found: list[tuple[int, Claim]] = []
    rest = re.sub(r"[ \t]+", " ", text)
    for key, pattern in _PATTERNS:
        for match in list(pattern.finditer(rest)):
            found += [(match.start(), claim) for claim in _claims(key, match)]
            taken = _TAKEN * (match.end() - match.start())
            rest = rest[: match.start()] + taken + rest[match.end() :]
    first = rest.find(_TAKEN)
    before, after = (rest, "") if first < 0 else (rest[:first], rest[first:].replace(_TAKEN, " "))
    return Reading(tuple(claim for _, claim in sorted(found, key=lambda f: f[0])), before, after)


def units_of(text: str) -> str | None:
    """Return the units a depth is written in, or None if it has none."""
    if re.search(rf"(?<![a-z]){FEET}", text, re.IGNORECASE):
        return "imperial"
    return "metric" if re.search(rf"(?<![a-z]){METRES}", text, re.IGNORECASE) else None


def _claims(key: str, match: re.Match[str]) -> list[Claim]:
    said = match[1].lower()
    if key == "gf":
        return [Claim("gf", f"{match[1]}/{match[2]}")]
    if key == "model":
        return [Claim("model", "ZH-L16" + said[0].upper() + ("/5min" if "/" in said else ""))]
    if key == "rate":
        which = "ascent_rate" if said[0] in "au" else "descent_rate"
        return [Claim(which, number(match[2]), units_of(match[2]))]
    if key == "bottom":
        groups = match.groupdict()
        depth, time = (groups["d"], groups["t"]) if "d" in groups else (match[1], match[2])
        return [Claim("depth", number(depth), units_of(depth)), *_time_claim(time)]
    if key == "bottom_time":
        return _time_claim(said)
    if key in ("altitude", "depth", "last_stop"):
        return [Claim(key, number(said), units_of(said))]
    if key in ("gases", "deco", "bottom gas"):
        return _gas_claims(key, match)
    if key == "water":
        return [Claim(key, {"salt": "sea"}.get(said, said))]
    if key == "units":
        return [Claim(key, said if said in ("metric", "imperial") else units_of(said))]
    meaning = _meaning_of_minutes if key == "minutes_mean" else _meaning_of_bottom
    return [Claim(key, meaning(said))]


def _time_claim(text: str) -> list[Claim]:
    tokens = tokens_of(text) or []
    minutes = minutes_of(tokens[0]) if len(tokens) == 1 else None
    return [] if minutes is None else [Claim("bottom_time", minutes)]


def _gas_claims(key: str, match: re.Match[str]) -> list[Claim]:
    if re.match(r"bottom|back", match[0].lower()) and "," not in match[1]:
        key = "bottom gas"
    gases: list[str] = []
    units: set[str] = set()
    for item in re.findall(_ITEM, match[1], re.IGNORECASE):
        mix = re.match(_MIX, item, re.IGNORECASE)
        gas = gas_of(mix[0]) if mix else None
        if mix is None or gas is None:
            return []
        depth = item[mix.end() :]
        at = re.search(NUMBER, depth)
        gases.append(f"{gas}@{number(at[0]):g}" if at else gas)
        units |= {units_of(depth) or ""} - {""}
    return [Claim(key, tuple(gases), unit or None) for unit in sorted(units) or [""]]


def _meaning_of_minutes(said: str) -> str:
    if re.match(r"rt|run|leav", said):
        return "leave at"
    return "without travel" if re.match(r"not|excl|without|do not|plus", said) else "with travel"


def _meaning_of_bottom(said: str) -> str:
    arrival = re.match(r"arrival|bottom|not|excl|without|plus", said)
    return "arrival" if arrival else "surface"


_SPOKEN = {"minutes_mean": "meaning of the minutes", "bottom_from": "start of the bottom time"}


class Said:
    """What a table says apart from its rows, each thing once, with the place where it stands."""

    def __init__(self) -> None:
        self.values: dict[str, tuple[Any, str]] = {}
        self.notes: list[str] = []

    def get(self, key: str) -> Any:
        """Return what was said, or None."""
        return self.values[key][0] if key in self.values else None

    def note_once(self, note: str) -> None:
        """Take a note that holds for many rows."""
        if note not in self.notes:
            self.notes.append(note)

    def say(self, key: str, value: Any, where: str) -> None:
        """Take something as said at a place.

        Raises
        ------
        InvalidInput
            If something else was said before.
        """
        if value is None:
            return
        if key == "deco":  # each line may name another gas
            value = self._with_earlier(value, where)
            self.values[key] = (value, where)
            return
        before = self.values.setdefault(key, (value, where))
        if before[0] != value:
            raise _core.invalid_input(
                f"{_SPOKEN.get(key, key.replace('_', ' '))} of the table",
                f"{_shown(before[0])} in {before[1]} and {_shown(value)} in {where}",
                "one statement",
                "leave out the one that is wrong, or make two tables of it",
            )

    def _with_earlier(self, gases: tuple[str, ...], where: str) -> tuple[str, ...]:
        known = dict(gas.partition("@")[::2] for gas in self.get("deco") or ())
        for gas in gases:
            mix, _, depth = gas.partition("@")
            if known.get(mix) and depth and known[mix] != depth:
                raise _core.invalid_input(
                    f"switch to {mix}",
                    f"at {known[mix]} and, in {where}, at {depth}",
                    "one depth",
                    "leave out the one that is wrong",
                )
            known[mix] = depth or known.get(mix, "")
        return tuple(f"{mix}@{depth}" if depth else mix for mix, depth in known.items())

    def take(self, claims: tuple[Claim, ...], where: str) -> None:
        """Take all that a line says."""
        for claim in claims:
            self.say("units", claim.units, where)
            self.say(claim.key, claim.value, where)
        told = [f"{claim.key.replace('_', ' ')} {_shown(claim.value)}" for claim in claims]
        self.notes.append(f"{where} says: {_messages.plain(', '.join(dict.fromkeys(told)), 500)}")


def _shown(value: Any) -> str:
    if isinstance(value, tuple):
        return ", ".join(value)
    return f"{value:g}" if isinstance(value, float) else _messages.plain(str(value), 60)

"""Several rows in one line, and mixes in a comment at its end."""

from __future__ import annotations

import itertools
import re

from .. import _core, _messages
from .raw import Raw
from .says import read_words
from .words import FEET, METRES, NUMBER, Token, gas_of, minutes_of, tokens_of

_SPOKEN_TIMES = frozenset(("minutes", "clock", "prime", "seconds", "hours"))
_TIMES = _SPOKEN_TIMES | {"mix", "number"}

_HASH = re.compile(r"(?:(?<=[ \t])|^)(?:#|//)[ \t]?(.*)$")
_SEMICOLON = re.compile(r"(?<=[ \t]);[ \t]?([^;]*)$")
_PARENTHESES = re.compile(r"[(\[]([^()\[\]]*)[)\]][ \t]*$")
_RUN_TIME = re.compile(
    r"(?:rt|run(?:[ -]?time)?|leave(?: at)?|until|till)[ ]?[:=]?[ ]?(\S.{0,12})$", re.IGNORECASE
)
_ROW_IN_COMMENT = re.compile(
    rf"{NUMBER}[ ]?(?:{METRES}|{FEET})\W{{1,9}}(?:for )?\d|^\d{{1,2}}[ .:)]{{1,3}}\d", re.IGNORECASE
)
_MAY_BE_MIX = re.compile(
    r"@|%|\d/\d|(?<![a-z])(?:oxygen|air)\b.{0,40}\d"
    r"|(?<![a-z])(?:ean|nitrox|trimix|heliox|tx|nx)[ ]?\d|(?<![a-z])o2(?![a-z0-9])",
    re.IGNORECASE,
)


def count_rows(text: str) -> int:
    tokens = tokens_of(text)
    try:
        return len(parted(tokens, Raw("", 0, text))) if tokens else 0
    except _core.InvalidInput:
        return 2


def parted(tokens: list[Token], raw: Raw) -> list[list[Token]]:
    """Return the parts of a line that are rows of their own."""
    _refuse_at_signs(tokens, raw)
    starts: list[int] = []
    for i, token in enumerate(tokens):
        since = tokens[starts[-1] : i] if starts else []
        timed = not starts or any(t.kind in _TIMES for t in since)
        if _starts(tokens, i, token) and timed:
            starts.append(i)
    _refuse_mix_or_row([tokens[i].text for i in starts if tokens[i].kind == "mix"], raw)
    if len(starts) < 2:
        return [tokens]
    bounds = [0, *starts[1:], len(tokens)]
    return [_trimmed(tokens[a:b]) for a, b in itertools.pairwise(bounds)]


def _starts(tokens: list[Token], i: int, token: Token) -> bool:
    """Whether a row can begin here: at a pair, a depth with its unit, or a number before an x."""
    before = tokens[i - 1].text.lower() if i else ""
    if before in ("on", "gas", "to", "mix", "breathe", "at", "@", "from") or before.endswith(">"):
        return False
    if token.kind == "mix":
        return token.text[0].isdigit() and tokens[0].kind == "mix"
    following = tokens[i + 1].text.lower() if i + 1 < len(tokens) else ""
    if token.kind in ("metres", "feet"):
        return following != "->"
    if token.kind in _SPOKEN_TIMES and tokens[0].kind in _SPOKEN_TIMES:
        return following in ("at", "@") and _is_length(tokens[i + 2 : i + 3])
    return token.kind == "number" and following in ("x", "*", "for", "/")


def _is_length(tokens: list[Token]) -> bool:
    return bool(tokens) and tokens[0].kind in ("metres", "feet")


def _refuse_at_signs(tokens: list[Token], raw: Raw) -> None:
    """Refuse several pairs of bare numbers around at signs, as either may be the depth."""
    pairs = [
        f"{tokens[i - 1].text}@{tokens[i + 1].text}"
        for i in range(1, len(tokens) - 1)
        if tokens[i].text == "@" and tokens[i - 1].kind == tokens[i + 1].kind == "number"
    ]
    if len(pairs) > 1 and 3 * len(pairs) >= len(tokens) - 2:
        raise raw.fail(
            f"{_messages.word(pairs[0])} may be minutes at a depth, a depth and its minutes, or a "
            "mix and the depth of its switch",
            '"24/2", "2 min at 24 m", a list such as "gases: 18/45, 50@21"',
            'write "24/2" for 2 min at 24 m',
        )


def _refuse_mix_or_row(pairs: list[str], raw: Raw) -> None:
    """Refuse a pair behind a row that may be its mix, where no row shows that it is one."""
    depths = [_figures(pair)[0] for pair in pairs]
    for i in range(1, len(pairs)):
        is_first_below = i + 1 == len(pairs) or depths[i + 1] < depths[i]
        falls = depths[i] < depths[i - 1] and is_first_below and len(pairs) > 2
        if (_may_be_mix(pairs[i]) and not falls) or _may_be_nitrox(pairs[i], depths[i - 1]):
            raise raw.fail(
                f"{_messages.word(pairs[i])} may be a mix or a second row",
                'rows such as "24/2 on 18/45", or one row in a line',
                'write "on" before a mix, and rows on lines of their own',
            )


def _figures(pair: str) -> list[float]:
    return [float(part.replace(",", ".")) for part in pair.split("/")]


def _may_be_nitrox(pair: str, depth_before: float) -> bool:
    """Whether a pair is such as 50/0, behind a row that is not deeper."""
    oxygen, helium = _figures(pair)
    richest = 100.0
    return helium == 0 and 21 <= oxygen <= richest and oxygen >= depth_before


def _may_be_mix(pair: str) -> bool:
    oxygen, helium = _figures(pair)
    return oxygen >= 8 and helium >= 10 and oxygen + helium <= 100


def _trimmed(tokens: list[Token]) -> list[Token]:
    while len(tokens) > 1 and tokens[-1].text in (",", ";", "|"):
        tokens = tokens[:-1]
    return tokens


def gas_in_comment(comment: str) -> str | None:
    comment = comment.strip(" .,;")
    if gas_of(comment):
        return gas_of(comment)
    reading = read_words(re.sub(r"(?:switch|change)(?: over)? to ", "on ", comment.lower()))
    claims = [claim for claim in reading.claims if claim.key == "gases"]
    if reading.doubtful or len(claims) != 1 or len(claims[0].value) != 1:
        return None
    return str(claims[0].value[0]) if "@" not in claims[0].value[0] else None


def without_comment(
    raw: Raw, text: str, notes: list[str], parentheses: bool = True, semicolon: bool = True
) -> tuple[str, str | None]:
    """Return a row without the comment at its end, and the mix if that is one."""
    patterns = [_HASH] + [_PARENTHESES] * parentheses + [_SEMICOLON] * semicolon
    for pattern in patterns:
        match = pattern.search(text)
        if match is None or not text[: match.start()].strip():
            continue
        comment = match[1].strip()
        if pattern is _SEMICOLON and _holds_row(comment):
            continue
        gas = gas_in_comment(comment)
        rest = text[: match.start()].rstrip()
        if _is_run_time(raw, comment):
            notes.append(f"{raw.where}: {_messages.word(comment)} is read as a run time")
            return rest, gas
        _refuse_number(raw, comment, gas)
        notes.append(
            f"{raw.where}: the comment {_messages.word(comment)} is "
            + (f"read as the mix {gas}" if gas else "left out")
        )
        return rest, gas
    return text, None


def _holds_row(comment: str) -> bool:
    """Whether a text holds two numbers and is made of nothing but what stands in rows."""
    tokens = tokens_of(comment) or []
    figures = [t for t in tokens if t.kind in _TIMES | {"metres", "feet"}]
    return len(figures) > 1 or any(t.kind == "mix" for t in tokens[:1])


def _is_run_time(raw: Raw, comment: str) -> bool:
    """Take the run time that a comment names, if it names one."""
    said = _RUN_TIME.match(comment)
    tokens = (tokens_of(said[1]) or []) if said else []
    value = minutes_of(tokens[0]) if len(tokens) == 1 else None
    if value is None:
        return False
    raw.set_minutes(tokens[0], value, leaving=True)
    return True


def _refuse_number(raw: Raw, comment: str, gas: str | None) -> None:
    """Refuse a comment that is a bare number, or holds what may be a mix and is not read as one."""
    is_number = re.fullmatch(rf"{NUMBER}|\d{{1,4}}:\d\d", comment) is not None
    if gas is None and _ROW_IN_COMMENT.search(comment):
        raise raw.fail(
            f"{_messages.word(comment)} in a comment may be a row",
            "a line for each row, or rows such as 24/2 21/1 in one line",
            "write it on a line of its own, or leave it out",
        )
    if is_number or (gas is None and _MAY_BE_MIX.search(comment)):
        raise raw.fail(
            f"{_messages.word(comment)} in a comment may be a mix or a run time",
            'a mix as "on 50" or "50 %", a run time as "leave at 31"',
            "write it so, or leave it out",
        )

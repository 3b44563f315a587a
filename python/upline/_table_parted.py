"""Several rows in one line, and mixes in a comment at its end."""

from __future__ import annotations

import itertools
import re

from . import _core, _messages
from ._table_rows import Raw
from ._table_says import read_words
from ._table_words import Token, gas_of, tokens_of

_TIMES = frozenset(("mix", "number", "minutes", "clock", "prime", "seconds"))


def count_rows(text: str) -> int:
    tokens = tokens_of(text)
    try:
        return len(parted(tokens, Raw("", 0, text))) if tokens else 0
    except _core.InvalidInput:
        return 2


def parted(tokens: list[Token], raw: Raw) -> list[list[Token]]:
    """Return the parts of a line that are rows of their own."""
    starts: list[int] = []
    for i, token in enumerate(tokens):
        since = tokens[starts[-1] : i] if starts else []
        timed = not starts or any(t.kind in _TIMES for t in since)
        if _starts(tokens, i, token) and timed:
            starts.append(i)
    pairs = [i for i in starts if tokens[i].kind == "mix"]
    if len(pairs) == 2 and len(starts) == 2 and _may_be_mix(tokens[pairs[1]].text):
        raise raw.fail(
            f"{_messages.word(tokens[pairs[1]].text)} may be a mix or a second row",
            'rows such as "24/2 on 18/45", or one row in a line',
            'write "on" before a mix, and rows on lines of their own',
        )
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
    return token.kind == "number" and following in ("x", "*")


def _may_be_mix(pair: str) -> bool:
    oxygen, helium = (float(part.replace(",", ".")) for part in pair.split("/"))
    return oxygen >= 8 and helium >= 10 and oxygen + helium <= 100


def _trimmed(tokens: list[Token]) -> list[Token]:
    while len(tokens) > 1 and tokens[-1].text in (",", ";", "|"):
        tokens = tokens[:-1]
    return tokens


def gas_in_comment(comment: str) -> str | None:
    if gas_of(comment):
        return gas_of(comment)
    reading = read_words(re.sub(r"(?:switch|change)(?: over)? to ", "on ", comment.lower()))
    claims = [claim for claim in reading.claims if claim.key == "gases"]
    if reading.doubtful or len(claims) != 1 or len(claims[0].value) != 1:
        return None
    return str(claims[0].value[0]) if "@" not in claims[0].value[0] else None

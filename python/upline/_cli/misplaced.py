"""Words on the command line that stand without the flag they want."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from .. import _core, _messages
from .flags import is_mix, is_number

if TYPE_CHECKING:
    from collections.abc import Collection

# The order in which they are said.
_NUMBERS = {"depth": "--depth", "bottom_time": "--bottom-time"}


def misplaced(words: list[str], given: dict[str, Any]) -> _core.Error:
    """Return the error for words that stand without a flag, with what to write for them."""
    shown = " ".join(_messages.plain(word, 30) for word in words[:9])
    verb = "stands" if len(words) == 1 else "stand"
    remedy = _continued(words, given) or flags_for(words, given)
    remedy = f"write {remedy}" if remedy else "give one file, and everything else by flags"
    return _core.Error(f"{shown} {verb} without a flag. Remedy: {remedy}.")


def _continued(words: list[str], given: dict[str, Any]) -> str:
    """Return the flag whose value goes on in these words: --gf 40 80, --ladder 21 12 6."""
    if not all(map(is_number, words)):
        return ""
    gf, ladder = given.get("gf"), given.get("ladder")
    if gf is not None and "/" not in gf and len(words) == 1:
        return f"--gf {_messages.plain(gf, 10)}/{words[0]}"
    if ladder is not None:
        return f"--ladder {','.join([*(f'{rung:g}' for rung in ladder), *words])}"
    return ""


def flags_for(words: list[str], given: Collection[str] = ()) -> str:
    """Return words with the flags that they probably want; empty where one is of no known kind."""
    wanted = [flag for name, flag in _NUMBERS.items() if name not in given]
    numbers: list[str] = []
    mixes: list[str] = []
    others: list[str] = []
    for word in words:
        if is_number(word) and not mixes and wanted:
            numbers.append(f"{wanted.pop(0)} {word}")
        elif is_mix(word):
            mixes.append(word)
        elif _are_two(word.split(":")):
            others.append(f"--level {word}")
        elif _are_two(word.split("/")):
            others.append(f"--gf {word}")
        else:
            return ""
    gases = [f"--gas {' '.join(mixes)}"] if mixes else []
    return " ".join([*numbers, *gases, *others])


def are_rows(words: list[str]) -> bool:
    """Return whether these words can be rows of a table: depth/minutes."""
    return all(_are_two(word.split("/")) for word in words)


def _are_two(parts: list[str]) -> bool:
    return len(parts) == 2 and all(map(is_number, parts))

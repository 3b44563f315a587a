"""What the parts written in Python share when they refuse something."""

from __future__ import annotations

import difflib
from typing import TYPE_CHECKING

from . import _core

if TYPE_CHECKING:
    from collections.abc import Iterable


def plain(text: str, longest: int = 120) -> str:
    """Return a foreign text as a message shows it: short, printable and in ASCII."""
    shown = text[:longest].encode("ascii", "replace").decode("ascii")
    shown = "".join(c if c.isprintable() else "?" for c in shown)
    return f"{shown}..." if len(text) > longest else shown


def word(key: object) -> str:
    """Return a key as a message shows it, in quotes."""
    return f'"{plain(key, 60)}"' if isinstance(key, str) else _core.shown(key)


def is_none_of(value: object, words: Iterable[str]) -> bool:
    """Return whether a value, of whatever kind, is none of these words."""
    return not isinstance(value, str) or value not in words


def nearest(key: object, known: Iterable[str]) -> str | None:
    """Return the known word that was probably meant, if any."""
    longest = 100  # difflib takes its time over long texts
    if not isinstance(key, str) or len(key) > longest:
        return None
    found = difflib.get_close_matches(key.lower(), list(known), n=1, cutoff=0.6)
    return found[0] if found else None


def unknown_key(where: str, key: object, known: Iterable[str]) -> _core.InvalidInput:
    """Return the error for a key that is none, with the one that was probably meant."""
    known = list(known)
    meant = nearest(key, known)
    remedy = f'write "{meant}"' if meant else "use one of these keys"
    return _core.invalid_input(
        where, f"given the unknown key {word(key)}", ", ".join(known), remedy
    )

"""What the parts written in Python share when they refuse something."""

from __future__ import annotations

import difflib
from typing import TYPE_CHECKING, Any, TypeVar

from . import _core

if TYPE_CHECKING:
    from collections.abc import Iterable
    from typing import TypeGuard

T = TypeVar("T")


def is_a(value: object, *kinds: type[T]) -> TypeGuard[T]:
    """Return whether a value is of one of these kinds.

    Unlike `isinstance` it asks no attribute of the value, which might raise or lie.
    """
    return issubclass(type(value), kinds)


def exact(text: str) -> str:
    """Return a text without what a class derived from str may have made of it."""
    return str.__str__(text)


def table(where: str, value: object, allowed: str, remedy: str) -> dict[str, Any]:
    """Return a dict whose keys are texts as a plain one."""
    if not is_a(value, dict):
        raise _core.wrong_type(where, _core.shown(value), allowed, remedy)
    for key in dict.keys(value):
        if type(key) is not str:
            raise _core.wrong_type(
                where, f"given a key that is {_core.shown(key)}", "keys that are texts", remedy
            )
    return dict(dict.items(value))


def listed(field: str, value: object, kind: type[T], allowed: str, remedy: str) -> list[T]:
    """Return one object of a class of ours, or several in a list or tuple, as a list."""
    if is_a(value, kind):
        return [value]
    if not is_a(value, list, tuple):
        raise _core.wrong_type(field, _core.shown(value), allowed, remedy)
    found = list(value)
    for one in found:
        if not is_a(one, kind):
            raise _core.wrong_type(field, f"{_core.shown(one)} in it", allowed, remedy)
    return found


def plain(text: str, longest: int = 120) -> str:
    """Return a foreign text as a message shows it: short, printable and in ASCII."""
    shown = text[:longest].encode("ascii", "replace").decode("ascii")
    shown = "".join(c if c.isprintable() else "?" for c in shown)
    return f"{shown}..." if len(text) > longest else shown


def word(key: object) -> str:
    """Return a key as a message shows it, in quotes."""
    return f'"{plain(exact(key), 60)}"' if is_a(key, str) else _core.shown(key)


def is_none_of(value: object, words: Iterable[str]) -> bool:
    """Return whether a value, of whatever kind, is none of these words."""
    return not is_a(value, str) or exact(value) not in words


def nearest(key: object, known: Iterable[str]) -> str | None:
    """Return the known word that was probably meant, if any."""
    longest = 100  # difflib takes its time over long texts
    if not is_a(key, str) or str.__len__(key) > longest:
        return None
    found = difflib.get_close_matches(exact(key).lower(), list(known), n=1, cutoff=0.6)
    return found[0] if found else None


def unknown_key(where: str, key: object, known: Iterable[str]) -> _core.InvalidInput:
    """Return the error for a key that is none, with the one that was probably meant."""
    known = list(known)
    meant = nearest(key, known)
    remedy = f'write "{meant}"' if meant else "use one of these keys"
    return _core.invalid_input(
        where, f"given the unknown key {word(key)}", ", ".join(known), remedy
    )

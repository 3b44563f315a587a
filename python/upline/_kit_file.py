"""Kit files: sets and what is chosen for them as TOML. docs/kit-file.md describes the format."""

from __future__ import annotations

from dataclasses import dataclass, field, fields
from typing import TYPE_CHECKING, Any

from . import _core, _messages
from ._calls import checked, checked_class
from ._dive_file import data_from_toml, path_of, read_text
from ._kit import KitItem, KitSet

if TYPE_CHECKING:
    import os
    from collections.abc import Sequence

__all__ = ["CHOICES", "KitFile", "read_kit"]

#: Keys of [choice], which are arguments of `fitness`.
CHOICES = (
    "oxygen_line",
    "day",
    "water_temperature",
    "cleaning_every",
    "service_every",
    "intermediate_every",
    "leak_every",
    "cylinder_test_every",
    "outlet_en_144_3",
)
_TOP = ("name", "notes", "units", "choice", "set")
_ITEM = tuple(one.name for one in fields(KitItem) if one.name != "units")
_SET = (*(one.name for one in fields(KitSet) if one.name not in ("units", "items")), "item")

_LARGEST = 100_000  # bytes; a kit of ten sets has some 20 000


@checked_class
@dataclass(frozen=True)
class KitFile:
    """What a kit file says.

    Attributes
    ----------
    sets : sequence of KitSet
    choice : dict
        Keyword arguments of `fitness`; what the file does not say is left out.
    name, notes : str or None
        For people; they change nothing.
    units : "metric" or "imperial"

    Examples
    --------
    >>> kit = upline.read_kit("docs/examples/quince_kit.toml")  # doctest: +SKIP
    >>> print(upline.fitness(kit.sets, **kit.choice))  # doctest: +SKIP
    """

    sets: Sequence[KitSet]
    choice: dict[str, Any] = field(default_factory=dict)
    name: str | None = None
    notes: str | None = None
    units: str = "metric"

    def __post_init__(self) -> None:
        for key, text in (("name", self.name), ("notes", self.notes)):
            if text is not None and not _messages.is_a(text, str):
                raise _core.wrong_type(key, _core.shown(text), "a text", "put it in double quotes")
        if _messages.is_none_of(self.units, ("metric", "imperial")):
            raise _core.invalid_input(
                "units", _core.shown(self.units), '"metric" or "imperial"', "name one of the two"
            )
        listed = _core.items(self.sets, "sets", "a list of KitSet", "give a list of KitSet")
        for one in listed:
            if not _messages.is_a(one, KitSet):
                raise _core.wrong_type(
                    "sets", f"given with {_core.shown(one)}", "a list of KitSet", "give KitSets"
                )
        object.__setattr__(self, "sets", tuple(listed))
        choice = _messages.table(
            "choice", self.choice, "a dict of arguments of fitness", "give a dict"
        )
        _require_known("choice", choice, (*CHOICES, "units"))
        object.__setattr__(self, "choice", choice)


@checked
def read_kit(path: str | os.PathLike[str]) -> KitFile:
    """Read a kit file.

    Parameters
    ----------
    path : str or path-like
        Of a TOML file as docs/kit-file.md describes it.

    Returns
    -------
    KitFile

    Raises
    ------
    InvalidInput
        If the file cannot be read, is no TOML, or holds a key that is none; the message suggests
        the right one. What stands in it is checked as `KitItem` and `KitSet` check it.
    """
    return kit_from_toml(read_text(path_of(path, "kit file"), "kit file", _LARGEST))


def kit_from_toml(text: str) -> KitFile:
    """Return what a kit file says."""
    data = data_from_toml(
        text,
        "kit file",
        "break it",
        lambda _: "mend that line; texts stand in double quotes, numbers without a unit",
    )
    _require_known("kit file", data, _TOP)
    units = data.get("units", "metric")
    choice = data.get("choice", {})
    _require_table("[choice]", choice)
    _require_known("[choice]", choice, CHOICES)
    sets = [_set(one, units) for one in _tables(data.get("set"), "[[set]]")]
    return KitFile(
        sets=sets,
        choice={**choice, "units": units},
        name=data.get("name"),
        notes=data.get("notes"),
        units=units,
    )


def _set(table: dict[str, Any], units: Any) -> KitSet:
    where = f"set {_messages.word(table.get('name', '?'))}"
    _require_known(where, table, _SET)
    given = {key: value for key, value in table.items() if key != "item"}
    _require_keys(where, given, ("name", "gas"))
    items = [_item(one, units, where) for one in _tables(table.get("item"), f"item of {where}")]
    return KitSet(**given, items=items, units=units)


def _item(table: dict[str, Any], units: Any, where: str) -> KitItem:
    where = f"item {_messages.word(table.get('name', '?'))} of {where}"
    _require_known(where, table, _ITEM)
    _require_keys(where, table, ("kind", "name"))
    return KitItem(**table, units=units)


# ---- checking ------------------------------------------------------------------------------------


def _tables(value: Any, where: str) -> list[dict[str, Any]]:
    if value is None:
        raise _core.invalid_input(
            where, "missing", "one table or more", "add [[set]] with a [[set.item]] for each item"
        )
    if not isinstance(value, list):
        raise _core.wrong_type(
            where, _core.shown(value), "tables", "write [[set]] and [[set.item]], in two brackets"
        )
    for one in value:
        _require_table(where, one)
    return value


def _require_table(where: str, value: Any) -> None:
    if not isinstance(value, dict):
        raise _core.wrong_type(
            where, _core.shown(value), "a table", "write it in brackets on a line of its own"
        )


def _require_keys(where: str, given: dict[str, Any], needed: tuple[str, ...]) -> None:
    for key in needed:
        if key not in given:
            raise _core.invalid_input(where, f"given no {key}", ", ".join(needed), f"add {key}")


def _require_known(where: str, given: dict[str, Any], known: tuple[str, ...]) -> None:
    for key in given:
        if key not in known:
            raise _messages.unknown_key(where, key, known)

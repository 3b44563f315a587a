"""The team of a dive file: its divers with their cylinders, and the reserve it wants."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from . import _core, _messages
from ._diver import Diver

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from ._core import Cylinder

#: Keys of [[diver]], the cylinders apart, and of [[diver.cylinder]].
DIVER = ("name", "working", "resting", "stress")
CYLINDER = (
    "gas",
    "water_volume",
    "rated",
    "rating",
    "joined",
    "pressure",
    "temperature",
)
LOST_GAS = ("stress_for", "last_stops")
RESERVE = ("sharing", "minutes_at_depth", "next_gas_gone", "decompression")
#: What [reserve] says in words of the gas for the ascent; or a fraction kept.
COVERS = "covers loss of the next gas"

_WRITE_DIVER = "write [[diver]] on a line of its own for each diver"
_WRITE_CYLINDER = "write [[diver.cylinder]] on a line of its own below its diver"


def divers_of(tables: Any, units: Any) -> tuple[Diver, ...]:
    """Return the divers of the [[diver]] tables; cylinders are stated in the file's units.

    A rate or a cylinder that is missing is an error whose `value` says "missing": what is not
    stated must not be left out of a sum quietly.
    """
    divers = []
    for number, table in enumerate(_tables(tables, "[[diver]]", _WRITE_DIVER), start=1):
        where = _where(table, number)
        _require_keys(table, (*DIVER, "cylinder"), where)
        _require_stated(table, (*DIVER, "cylinder"), where)
        listed = _tables(table["cylinder"], f"{where}, cylinder", _WRITE_CYLINDER)
        cylinders = [
            _cylinder_of(one, f"{where}, cylinder {place}", units)
            for place, one in enumerate(listed, start=1)
        ]
        divers.append(_diver_of(table, cylinders, where))
    return _without_twins(divers)


def reserve_of(values: object) -> dict[str, Any] | None:
    """Return the keys of [reserve] if each is of its kind; nothing where there is no table."""
    if values is None:
        return None
    found = _messages.table("reserve", values, "a table, as [reserve] of a dive file", "give one")
    _require_keys(found, RESERVE, "[reserve]")
    for key, value in found.items():
        _RESERVE_KINDS[key](value, f"[reserve] {key}")
    return found


def lost_gas_of(values: object) -> dict[str, Any] | None:
    """Return the keys of [lost_gas] if each is of its kind; nothing where there is no table."""
    if values is None:
        return None
    found = _messages.table("lost_gas", values, "a table, as [lost_gas] of a dive file", "give one")
    _require_keys(found, LOST_GAS, "[lost_gas]")
    for key, value in found.items():
        _LOST_GAS_KINDS[key](value, f"[lost_gas] {key}")
    return found


def require_divers(given: object) -> tuple[Diver, ...]:
    """Return what the argument `divers` holds as a tuple."""
    if not _messages.is_a(given, tuple, list):
        raise _core.wrong_type(
            "divers", _core.shown(given), "a tuple of upline.Diver", "give divers=(ada, ben)"
        )
    listed = list(given)
    for one in listed:
        if not _messages.is_a(one, Diver):
            raise _core.wrong_type(
                "divers", f"given with {_core.shown(one)}", "upline.Diver alone", "make a Diver"
            )
    return _without_twins(listed)


# ---- divers and cylinders ------------------------------------------------------------------------


def _where(table: Mapping[str, Any], number: int) -> str:
    name = table.get("name")
    return f"[[diver]] {_messages.plain(name, 30) if isinstance(name, str) else number}"


def _diver_of(table: Mapping[str, Any], cylinders: Sequence[Cylinder], where: str) -> Diver:
    try:
        return Diver(table["name"], cylinders, table["working"], table["resting"], table["stress"])
    except _core.InvalidInput as error:
        raise _at(where, error) from None


def _cylinder_of(table: Mapping[str, Any], where: str, units: Any) -> Cylinder:
    _require_keys(table, CYLINDER, where)
    try:
        return _core.Cylinder(**table, units="metric" if units is None else units)
    except _core.InvalidInput as error:
        raise _at(where, error) from None


def _at(where: str, error: _core.InvalidInput) -> _core.InvalidInput:
    """Return an error again with the place in the file before its field."""
    make = _core.wrong_type if isinstance(error, _core.WrongType) else _core.invalid_input
    return make(f"{where}: {error.field}", error.value, error.allowed, error.remedy)


def _without_twins(divers: Sequence[Diver]) -> tuple[Diver, ...]:
    names: set[str] = set()
    for diver in divers:
        name = diver.name.strip().casefold()
        if name in names:
            raise _core.invalid_input(
                "[[diver]]",
                f"given {_messages.word(diver.name)} twice",
                "each diver once",
                "put all cylinders below one [[diver]], or tell the two apart by name",
            )
        names.add(name)
    return tuple(divers)


# ---- tables --------------------------------------------------------------------------------------


def _tables(value: Any, where: str, remedy: str) -> list[dict[str, Any]]:
    if not isinstance(value, list) or not all(isinstance(one, dict) for one in value):
        raise _core.wrong_type(where, _core.shown(value), "a list of tables", remedy)
    return value


def _require_keys(table: Mapping[str, Any], known: Sequence[str], where: str) -> None:
    homes = {
        "[[diver]]": DIVER,
        "[[diver.cylinder]]": CYLINDER,
        "[reserve]": RESERVE,
        "[lost_gas]": LOST_GAS,
    }
    for key in table:
        if key in known:
            continue
        home = next((name for name, keys in homes.items() if key in keys), None)
        home = "the top of the file" if key == "units" else home
        if home is not None:
            raise _core.invalid_input(
                where, f"given {_messages.word(key)}", f"that key in {home}", f"move it to {home}"
            )
        raise _messages.unknown_key(where, key, known)


def _require_stated(table: Mapping[str, Any], needed: Sequence[str], where: str) -> None:
    missing = [key for key in needed if key not in table or table[key] == []]
    if missing:
        raise _core.invalid_input(
            f"{where}: {', '.join(missing)}",
            "missing",
            "a name, three rates and at least one cylinder for each diver",
            "state it: what a diver breathes and carries has no default",
        )


# ---- kinds of [reserve] and [lost_gas] -----------------------------------------------------------


def _whole(value: object, field: str) -> None:
    if type(value) is not int:
        raise _core.wrong_type(
            field, _core.shown(value), "a whole number", "give how many divers breathe from it"
        )


def _number(value: object, field: str) -> None:
    _core.number(value, field, "min")


def _truth(value: object, field: str) -> None:
    if type(value) is not bool:
        raise _core.wrong_type(field, _core.shown(value), "true or false", "write true or false")


def _kept(value: object, field: str) -> None:
    if type(value) in (int, float):
        return
    allowed = f'"{COVERS}", or the fraction that is kept'
    if not isinstance(value, str):
        raise _core.wrong_type(field, _core.shown(value), allowed, f'write "{COVERS}", or 0.33')
    if value != COVERS:
        raise _core.invalid_input(field, _messages.word(value), allowed, f'write "{COVERS}"')


_RESERVE_KINDS = {
    "sharing": _whole,
    "minutes_at_depth": _number,
    "next_gas_gone": _truth,
    "decompression": _kept,
}


def _depths(value: object, field: str) -> None:
    if not isinstance(value, list):
        raise _core.wrong_type(field, _core.shown(value), "a list of depths", "write [3, 6]")
    for depth in value:
        _core.number(depth, field, "depth")


_LOST_GAS_KINDS = {"stress_for": _number, "last_stops": _depths}

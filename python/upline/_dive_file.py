"""Dive files: the input of a plan as TOML. The format is described in docs/dive-file.md."""

from __future__ import annotations

import contextlib
import os
import re
import tomllib
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from . import _core, _dive_team, _messages, _record
from ._calls import checked, checked_class
from ._plan import plan, rest

if TYPE_CHECKING:
    from collections.abc import Callable

    from ._core import Environment, Plan, State
    from ._diver import Diver

__all__ = ["DiveFile", "read_dive"]

#: Keys of each table. All but those of [place], [earlier], [reserve] and [lost_gas] are arguments
#: of `plan`; those of the [[diver]] tables stand in _dive_team.
TABLES: dict[str, tuple[str, ...]] = {
    "dive": ("depth", "bottom_time", "levels", "gases", "travel"),
    "rules": ("gf", "model", "max_po2", "max_deco_po2", "po2_tolerance", "min_po2"),
    "ascent": (
        "spacing",
        "last_stop",
        "ladder",
        "descent_rate",
        "ascent_rate",
        "surfacing_rate",
        "rounding",
        "resolution",
        "min_stop",
        "switch_time",
    ),
    "breathing": ("rmv", "deco_rmv"),
    "place": ("altitude", "acclimatised_to", "surface_pressure", "water", "vapour"),
    "earlier": ("file", "rest", "gas"),
    "reserve": _dive_team.RESERVE,
    "lost_gas": _dive_team.LOST_GAS,
}
TOP_LEVEL = ("name", "notes", "units")

# A dive file has some hundred bytes. Longer lines, with their chance of very many dots, would keep
# the reader of TOML busy for minutes.
_LARGEST = 30_000  # bytes
_LONGEST_LINE = 1000  # characters


@checked_class
@dataclass(frozen=True)
class DiveFile:
    """What a dive file says.

    Attributes
    ----------
    name, notes : str or None
        For people; they change nothing.
    arguments : dict
        Keyword arguments of `plan`; what the file does not say is left out.
    divers : tuple of Diver
        The team, in the order of the file; empty where it names none.
    reserve : dict or None
        The keys of [reserve] as they stand in the file.
    lost_gas : dict or None
        The keys of [lost_gas] as they stand in the file.
    """

    name: str | None = None
    notes: str | None = None
    arguments: dict[str, Any] = field(default_factory=dict)
    divers: tuple[Diver, ...] = ()
    reserve: dict[str, Any] | None = None
    lost_gas: dict[str, Any] | None = None

    def __post_init__(self) -> None:
        for key, text in (("name", self.name), ("notes", self.notes)):
            if text is not None and not _messages.is_a(text, str):
                raise _core.wrong_type(key, _core.shown(text), "a text", "put it in double quotes")
        _messages.table("arguments", self.arguments, "a dict of arguments of plan", "give a dict")
        object.__setattr__(self, "divers", _dive_team.require_divers(self.divers))
        object.__setattr__(self, "reserve", _dive_team.reserve_of(self.reserve))
        object.__setattr__(self, "lost_gas", _dive_team.lost_gas_of(self.lost_gas))

    @checked
    def plan(self) -> Plan:
        """Compute the plan.

        Raises
        ------
        InvalidInput, NoAscent
            As `upline.plan` does.
        """
        arguments = _messages.table("arguments", self.arguments, "a dict", "give a dict")
        for key in arguments:
            if key not in _core.plan_arguments:
                raise _messages.unknown_key("arguments", key, _core.plan_arguments)
        if arguments.get("depth") is None:
            raise _core.invalid_input(
                "depth", "missing", "a depth, or levels", "add depth and bottom_time to [dive]"
            )
        return plan(**arguments)


@checked
def read_dive(path: str | os.PathLike[str]) -> DiveFile:
    """Read a dive file.

    Parameters
    ----------
    path : str or path-like
        Of a TOML file as docs/dive-file.md describes it.

    Returns
    -------
    DiveFile

    Raises
    ------
    InvalidInput
        If the file cannot be read, is no TOML, or holds a key that is none; the message suggests
        the right one.

    Examples
    --------
    >>> dive = read_dive("docs/examples/quince.toml")  # doctest: +SKIP
    >>> print(dive.plan())  # doctest: +SKIP
    """
    path = path_of(path, "dive file")
    text = read_text(path, "dive file", _LARGEST)
    return dive_from_toml(text, Path(path).parent)


def path_of(path: object, what: str) -> str:
    """Return a path as a text."""
    found: Any = path
    if issubclass(type(path), os.PathLike):
        with contextlib.suppress(Exception):  # of a foreign class
            found = os.fspath(found)
    if not _messages.is_a(found, str):
        raise _core.wrong_type(what, _core.shown(path), "the path of a file", "give it as a text")
    return _messages.exact(found)


def read_text(path: str | Path, what: str, largest: int) -> str:
    """Return the text of a UTF-8 file of at most so many bytes."""
    try:
        with Path(path).open("rb") as file:
            data = file.read(largest + 1)
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) else None
        raise _core.invalid_input(
            what,
            f"{_messages.word(os.fspath(path))}, which cannot be read"
            + (f" ({reason})" if reason else ""),
            "a file that can be read",
            "check its path",
        ) from None
    if len(data) > largest:
        raise _core.invalid_input(
            what,
            f"{_messages.word(os.fspath(path))}, which is larger than {largest // 1000} kB",
            f"up to {largest // 1000} kB",
            "give the file of one dive",
        )
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        raise _core.invalid_input(
            what, "no UTF-8 text", "UTF-8 text", "save it again as UTF-8"
        ) from None


def data_from_toml(
    text: str, what: str, remedy_for_length: str, remedy_for: Callable[[str], str]
) -> dict[str, Any]:
    """Return what a text of TOML says; its page in the manual has the name of the file.

    Parameters
    ----------
    what : str
        "dive file", for messages.
    remedy_for_length : str
        What to do about a line that is too long.
    remedy_for : callable
        What to do about a text that is no TOML, from the reason why it is none.
    """
    if any(len(line) > _LONGEST_LINE for line in text.splitlines()):
        raise _core.invalid_input(
            what,
            "given with a line of more than 1000 characters",
            "lines of up to 1000 characters",
            remedy_for_length,
        )
    try:
        return tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        reason = str(error) if isinstance(error, ValueError) else "nested too deep"
        raise _core.invalid_input(
            what,
            f"no TOML: {_messages.plain(reason)}",
            f"what docs/{what.replace(' ', '-')}.md describes",
            remedy_for(reason),
        ) from None


def dive_from_toml(text: str, folder: Path) -> DiveFile:
    """Return what a dive file says whose other files are looked for in `folder`."""
    if text.lstrip()[:1] == "{":
        raise _core.invalid_input(
            "dive file",
            "JSON",
            "TOML, as docs/dive-file.md describes it",
            "give the file that the plan was made from; a plan that --json wrote can be handed "
            "on as an earlier dive",
        )
    data = data_from_toml(
        text,
        "dive file",
        'break long notes into lines between """ and """',
        lambda reason: _remedy_for_toml(text, reason),
    )
    tables = _checked(data)
    arguments = {key: value for name in _PLAIN for key, value in tables.get(name, {}).items()}
    if "units" in data:
        arguments["units"] = data["units"]
    _merge_levels(arguments)
    if "place" in tables:
        arguments["environment"] = place(tables["place"], arguments.get("units", "metric"))
    if "earlier" in tables:
        arguments["start"] = earlier(tables["earlier"], folder)
    divers = _dive_team.divers_of(data.get("diver", []), arguments.get("units"))
    return DiveFile(
        data.get("name"),
        data.get("notes"),
        arguments,
        divers,
        tables.get("reserve"),
        tables.get("lost_gas"),
    )


def _remedy_for_toml(text: str, reason: str) -> str:
    """Return what to do about a text that is no TOML."""
    place = re.search(r"at line (\d+)", reason)
    lines = text.splitlines()
    line = lines[int(place[1]) - 1] if place and 0 < int(place[1]) <= len(lines) else ""
    comma = re.search(r"=\s*(\d+),(\d+)", line)
    if comma:
        return f"write {comma[1]}.{comma[2]}, with a decimal point"
    unit = re.search(r"=\s*([\d.]+) ?(m|ft|min|bar)\b", line)
    if unit:
        return f"write {unit[1]}, without a unit"
    return "mend that line; texts stand in double quotes"


def place(values: dict[str, Any], units: Any) -> Environment:
    """Return the environment that the keys of [place] state."""
    return _core.Environment(**values, units=units)


def earlier(values: dict[str, Any], folder: Path, what: str = "[earlier] file") -> State:
    """Return the state that an earlier dive left, after the rest that followed it.

    `what` is the name of the file in messages.
    """
    for key in ("file", "rest"):
        if key not in values:
            raise _core.invalid_input(
                f"[earlier] {key}",
                "missing",
                "the file of an earlier plan, and the minutes of rest after it",
                "state both file and rest",
            )
    if not isinstance(values["file"], str):
        raise _core.wrong_type(
            "[earlier] file", _core.shown(values["file"]), "the path of a file", "put it in quotes"
        )
    path = folder / values["file"]
    if os.path.exists(path) and not os.path.isfile(path):  # a pipe would be waited for
        raise _core.invalid_input(
            what, f"{_messages.word(str(path))}, which is no file", "a file", "check its path"
        )
    saved = read_text(path, what, _record.LARGEST)
    if saved.lstrip()[:1] not in ("{", ""):
        name = _messages.plain(path.name, 40)
        raise _core.invalid_input(
            what,
            f'"{name}", which is no JSON',
            "the earlier plan as JSON, or a state that to_json wrote",
            f"write the plan with upline plan {name} --json > earlier.json, and name earlier.json"
            if path.suffix.lower() == ".toml"
            else "write the plan with upline plan FILE.toml --json > earlier.json, and name that",
        )
    data = _record.data_from_json(saved, what)
    is_plan = isinstance(data, dict) and data.get("kind") == "plan"
    state = _record.plan_from_dict(data).end if is_plan else _record.state_from_dict(data)
    return rest(state, values["rest"], values.get("gas", "air"))


# ---- checking ------------------------------------------------------------------------------------

_PLAIN = ("dive", "rules", "ascent", "breathing")


def _checked(data: dict[str, Any]) -> dict[str, dict[str, Any]]:
    """Return the tables of a file whose every key is known."""
    tables: dict[str, dict[str, Any]] = {}
    for key, value in data.items():
        if key in (*TOP_LEVEL, "diver"):
            continue
        if key not in TABLES:
            raise _misplaced("dive file", key)
        if not isinstance(value, dict):
            raise _core.wrong_type(
                f"[{key}]", _core.shown(value), "a table", f"write [{key}] on a line of its own"
            )
        for inner in value:
            if inner not in TABLES[key]:
                raise _misplaced(f"[{key}]", inner)
        tables[key] = value
    return tables


def _misplaced(where: str, key: str) -> _core.InvalidInput:
    """Return the error for a key that does not belong where it stands."""
    homes = {inner: f"[{name}]" for name, keys in TABLES.items() for inner in keys}
    for name, keys in (
        ("[[diver]]", _dive_team.DIVER),
        ("[[diver.cylinder]]", _dive_team.CYLINDER),
    ):
        homes.update((inner, name) for inner in keys if inner != "name")
    if key in homes or key in TOP_LEVEL:
        home = homes.get(key, "the top of the file")
        return _core.invalid_input(
            where, f"given {_messages.word(key)}", f"that key in {home}", f"move it to {home}"
        )
    tables = (*(f"[{name}]" for name in TABLES), "[[diver]]")
    local = TABLES.get(where.strip("[]"), (*TOP_LEVEL, *tables))
    meant = _messages.nearest(key, local) or _messages.nearest(key, (*homes, *TOP_LEVEL, *TABLES))
    if meant is None or meant in local:
        return _messages.unknown_key(where, key, local)
    home = f" in {homes[meant]}" if meant in homes else ""
    return _core.invalid_input(
        where,
        f"given the unknown key {_messages.word(key)}",
        ", ".join(local),
        f'write "{meant}"{home}',
    )


def _merge_levels(arguments: dict[str, Any]) -> None:
    """`plan` takes levels in the place of a depth; a file names them as what they are."""
    if "levels" not in arguments:
        if isinstance(arguments.get("depth"), list):
            raise _core.wrong_type(
                "depth", "a list", "one number", "write levels = [[57, 20], [42, 45]]"
            )
        return
    for other in ("depth", "bottom_time"):
        if other in arguments:
            raise _core.invalid_input(
                other,
                "given beside levels",
                "levels alone, or depth and bottom_time",
                f"leave out {other} or levels",
            )
    levels = arguments.pop("levels")
    if not isinstance(levels, list):
        raise _core.wrong_type(
            "levels",
            _core.shown(levels),
            "a list of [depth, run time at which it is left]",
            "write levels = [[57, 20], [42, 45]]",
        )
    arguments["depth"] = levels

"""Plans and states as JSON, and back again from plain data and JSON.

A record of a plan holds its complete input. Reading one back computes the plan afresh and compares
every number, so that a record that was edited, or that another version would plan differently, is
refused and not believed.
"""

from __future__ import annotations

import json
import math
from typing import TYPE_CHECKING, Any

from . import _core, _messages
from ._record_written import ENVIRONMENT_KEYS, SCHEMA, plan_to_dict, state_to_dict

if TYPE_CHECKING:
    from collections.abc import Iterable

    from ._core import Cylinder, Environment, Gas, Plan, State

_STATE_KEYS = (
    "model",
    "clock",
    "surface_pressure",
    "pressure_per_metre",
    "vapour",
    "nitrogen",
    "helium",
    "cns",
    "exposures",
)
_GAS_KEYS = ("gas", "oxygen", "helium")
# Words for people: another version may put them differently.
_WORDS = frozenset({"version", "assumptions", "foot", "no_time_to_fly", "text", "name", "notes"})
_ROUNDING = 1e-9  # compilers may differ in the last digits
LARGEST = 10_000_000  # characters of a text; a plan has some ten thousand


# ---- states --------------------------------------------------------------------------------------


def state_from_dict(data: object) -> State:
    """Return the state that `state_to_dict` described."""
    record = _record(data, "state")
    _require_keys("state record", record, ("schema", "kind", *_STATE_KEYS))
    return _core.make_state(
        record["nitrogen"],
        record["helium"],
        record["model"],
        record["surface_pressure"],
        record["pressure_per_metre"],
        record["vapour"],
        record["clock"],
        record["cns"],
        record["exposures"],
    )


def state_to_json(state: State) -> str:
    """Return a state as JSON text."""
    return json.dumps(state_to_dict(state), allow_nan=False)


def state_from_json(text: object) -> State:
    """Return the state that `state_to_json` described."""
    return state_from_dict(data_from_json(text, "state record"))


# ---- plans ---------------------------------------------------------------------------------------


def plan_from_dict(data: object) -> Plan:
    """Return the plan that `plan_to_dict` described, computed afresh."""
    record = _record(data, "plan")
    if "input" not in record:
        raise _core.invalid_input(
            "plan record",
            "given without its input",
            "a record that to_dict or to_json gave",
            "keep the input with the plan",
        )
    plan = _core.plan(*_arguments(record["input"]))
    _compare("plan record", record, plan_to_dict(plan))
    return plan


def plan_to_json(plan: Plan) -> str:
    """Return a plan as JSON text."""
    return json.dumps(plan_to_dict(plan), allow_nan=False)


def plan_from_json(text: object) -> Plan:
    """Return the plan that `plan_to_json` described, computed afresh."""
    return plan_from_dict(data_from_json(text, "plan record"))


def environment_from_arguments(arguments: dict[str, Any]) -> Environment:
    """Return the environment that these keyword arguments make."""
    return _core.Environment(**arguments)


def gas_from_fractions(oxygen: float, helium: float) -> Gas:
    """Return the mix with these fractions."""
    return _core.Gas(oxygen=oxygen, helium=helium)


def cylinder_from_base(*base: Any) -> Cylinder:
    """Return the cylinder that these numbers, in base units, describe."""
    return _core.cylinder_from_base(*base)


# ---- reading -------------------------------------------------------------------------------------


def data_from_json(text: object, what: str) -> object:
    """Return what a JSON text holds, or raise an error that names `what` it should have been."""
    if not _messages.is_a(text, str):
        raise _core.wrong_type(what, _core.shown(text), "a JSON text", "give it as a str")
    if str.__len__(text) > LARGEST:
        raise _core.invalid_input(
            what,
            f"a text of more than {LARGEST // 1_000_000} million characters",
            "what to_json gave",
            "give the record of one plan or state",
        )
    try:
        return json.loads(_messages.exact(text))
    except (ValueError, RecursionError) as error:
        reason = _messages.plain(str(error)) if isinstance(error, ValueError) else "nested too deep"
        raise _core.invalid_input(
            what, f"no JSON text: {reason}", "what to_json gave", "save it again"
        ) from None


def _record(data: object, kind: str) -> dict[str, Any]:
    what = f"{kind} record"
    record = _messages.table(what, data, "a dict that to_dict gave", f"give the record of a {kind}")
    schema = record.get("schema")
    if type(schema) is not int or schema != SCHEMA:
        raise _core.invalid_input(
            f"{what} schema",
            "missing" if schema is None else _core.shown(schema),
            str(SCHEMA),
            "read it with the version of upline that wrote it",
        )
    if _messages.is_none_of(record.get("kind"), (kind,)):
        raise _core.invalid_input(
            f"{what} kind",
            _core.shown(record.get("kind")),
            f'"{kind}"',
            f"give the record of a {kind}",
        )
    return record


def _require_keys(what: str, record: dict[str, Any], keys: Iterable[str]) -> None:
    keys = list(keys)
    for key in record:
        if key not in keys:
            raise _messages.unknown_key(what, key, keys)
    for key in keys:
        if key not in record:
            raise _core.invalid_input(
                what, f'given without "{key}"', ", ".join(keys), "give the whole record"
            )


def _part(what: str, value: object, keys: Iterable[str]) -> dict[str, Any]:
    part = _messages.table(what, value, "a table of keys and values", "give the whole record")
    _require_keys(what, part, keys)
    return part


def _read_gas(what: str, record: dict[str, Any]) -> Gas:
    return _core.Gas(oxygen=record["oxygen"], helium=record["helium"])


def _read_gases(value: object) -> list[tuple[Gas, Any]]:
    if type(value) is not list:
        raise _core.wrong_type(
            "gases", _core.shown(value), "a list of gases", "give the whole record"
        )
    parts = [_part("gases", one, (*_GAS_KEYS, "switch_depth")) for one in value]
    return [(_read_gas("gases", part), part["switch_depth"]) for part in parts]


def _arguments(value: object) -> list[Any]:
    """Arguments of the compiled plan(), in its order."""
    given = _part("plan record input", value, _core.plan_arguments)
    given["gases"] = _read_gases(given["gases"])
    if given["travel"] is not None:
        travel = _part("travel", given["travel"], (*_GAS_KEYS, "depth"))
        given["travel"] = (_read_gas("travel", travel), travel["depth"])
    environment = _part("environment", given["environment"], ENVIRONMENT_KEYS)
    given["environment"] = _core.Environment(**environment)
    if given["start"] is not None:
        given["start"] = state_from_dict(given["start"])
    return [given[name] for name in _core.plan_arguments]


def _compare(where: str, given: Any, computed: Any) -> None:
    """Raise unless what a record says agrees with what is computed now.

    The walk follows the computed side, whose shape is known.
    """
    if type(computed) is dict and _messages.is_a(given, dict):
        for key, value in _messages.table(where, given, "", "give the whole record").items():
            if key in _WORDS:
                continue
            if key not in computed:
                raise _messages.unknown_key(where, key, computed)
            _compare(f"{where} {key}", value, computed[key])
    elif type(computed) is type(given) is list and len(computed) == len(given):
        for j, (value, other) in enumerate(zip(given, computed, strict=True)):
            _compare(f"{where} {j}", value, other)
    elif not _same(given, computed):
        raise _core.invalid_input(
            where,
            f"{_core.shown(given)}",
            f"{_core.shown(computed)}, as computed from the input",
            "do not edit a record: plan again from the input, and see what differs",
        )


def _same(given: Any, computed: Any) -> bool:
    if type(computed) is float and _messages.is_a(given, int, float) and type(given) is not bool:
        try:
            return math.isclose(given, computed, rel_tol=_ROUNDING, abs_tol=_ROUNDING)
        except Exception:  # an integer beyond every float, or a number of a foreign kind
            return False
    return type(given) is type(computed) and bool(given == computed)

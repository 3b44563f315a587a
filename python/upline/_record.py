"""Plans and states as plain data and as JSON, exact, and back again.

A record of a plan holds its complete input. Reading one back computes the plan afresh and compares
every number, so that a record that was edited, or that another version would plan differently, is
refused and not believed.
"""

from __future__ import annotations

import json
import math
from typing import TYPE_CHECKING, Any

from . import _core, _messages

if TYPE_CHECKING:
    from collections.abc import Iterable

    from ._core import Caution, Environment, Extreme, Gas, Plan, Row, State, Stop, Switch

SCHEMA = 1

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
_ENVIRONMENT_KEYS = (
    "altitude",
    "acclimatised_to",
    "surface_pressure",
    "water",
    "vapour",
    "units",
)
# Words for people: another version may put them differently.
_WORDS = frozenset({"version", "assumptions", "foot", "no_time_to_fly", "text", "name", "notes"})
_ROUNDING = 1e-9  # compilers may differ in the last digits
LARGEST = 10_000_000  # characters of a text; a plan has some ten thousand


# ---- states --------------------------------------------------------------------------------------


def state_to_dict(state: State) -> dict[str, Any]:
    """Return a state as plain data."""
    return {
        "schema": SCHEMA,
        "kind": "state",
        "model": state.model,
        "clock": state.clock,
        "surface_pressure": state.surface_pressure,
        "pressure_per_metre": state.pressure_per_metre,
        "vapour": state.vapour,
        "nitrogen": state.nitrogen.tolist(),
        "helium": state.helium.tolist(),
        "cns": state.cns,
        "exposures": [list(one) for one in state.exposures],
    }


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


def plan_to_dict(plan: Plan) -> dict[str, Any]:
    """Return a plan as plain data, its complete input included."""
    metric = plan.units == "metric"
    length = "m" if metric else "ft"
    return {
        "schema": SCHEMA,
        "kind": "plan",
        "version": plan.version,
        "units": plan.units,
        "unit_names": {
            "depth": length,
            "rate": f"{length}/min",
            "time": "min",
            "pressure": "bar",
            "gas": "L" if metric else "cu ft",
        },
        "input": _input(plan.arguments),
        "run_time": plan.run_time,
        "bottom_time": plan.bottom_time,
        "time_to_surface": plan.time_to_surface,
        "anchor": plan.anchor,
        "surfacing_fraction": plan.surfacing_fraction,
        "surfacing_half_time": plan.surfacing_half_time,
        "stops": [_stop(stop) for stop in plan.stops],
        "switches": [_switch(switch) for switch in plan.switches],
        "rows": [_row(row) for row in plan.rows],
        "oxygen": {
            "cns": plan.oxygen.cns,
            "cns_total": plan.oxygen.cns_total,
            "cns_total_without_recovery": plan.oxygen.cns_total_without_recovery,
            "day_share": plan.oxygen.day_share,
            "otu": plan.oxygen.otu,
            "otu_day": plan.oxygen.otu_day,
        },
        "bar_minutes": plan.bar_minutes,
        "gas_use": plan.gas_use,
        "extremes": {
            "highest_po2": _extreme(plan.extremes.highest_po2),
            "lowest_po2": _extreme(plan.extremes.lowest_po2),
            "highest_density": _extreme(plan.extremes.highest_density),
            "narcotic_depth": _extreme(plan.extremes.narcotic_depth),
            "narcotic_depth_nitrogen": _extreme(plan.extremes.narcotic_depth_nitrogen),
        },
        "cautions": [_caution(caution) for caution in plan.cautions],
        "refused": plan.refused,
        "end": state_to_dict(plan.end),
        "assumptions": plan.assumptions,
        "no_time_to_fly": _core.no_time_to_fly,
        "foot": _core.foot,
    }


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


# ---- writing -------------------------------------------------------------------------------------


def _gas(gas: Gas) -> dict[str, Any]:
    # The fractions are what counts; the text is for people.
    return {"gas": str(gas), "oxygen": gas.oxygen, "helium": gas.helium}


def _input(arguments: dict[str, Any]) -> dict[str, Any]:
    written = dict(arguments)
    written["gases"] = [
        {**_gas(one[0]), "switch_depth": one[1]}
        if isinstance(one, tuple)
        else {**_gas(one), "switch_depth": None}
        for one in arguments["gases"]
    ]
    if arguments["travel"] is not None:
        gas, depth = arguments["travel"]
        written["travel"] = {**_gas(gas), "depth": depth}
    if not isinstance(arguments["depth"], float):
        written["depth"] = [list(level) for level in arguments["depth"]]
    written["gf"] = list(arguments["gf"])
    written["ascent_rate"] = [list(zone) for zone in arguments["ascent_rate"]]
    environment = arguments["environment"]
    written["environment"] = {key: getattr(environment, key) for key in _ENVIRONMENT_KEYS}
    if arguments["start"] is not None:
        written["start"] = state_to_dict(arguments["start"])
    return written


def _stop(stop: Stop) -> dict[str, Any]:
    return {
        "depth": stop.depth,
        "arrives": stop.arrives,
        "departs": stop.departs,
        "minutes": stop.minutes,
        "stay": stop.stay,
        "arrives_on": str(stop.arrives_on),
        "gas": str(stop.gas),
        "po2": stop.po2,
        "held_by": stop.held_by,
    }


def _switch(switch: Switch) -> dict[str, Any]:
    return {
        "depth": switch.depth,
        "run_time": switch.run_time,
        "minutes": switch.minutes,
        "old_gas": str(switch.old_gas),
        "gas": str(switch.gas),
        "going_down": switch.going_down,
        "on_leaving_bottom": switch.on_leaving_bottom,
        "stated_depth": switch.stated_depth,
    }


def _row(row: Row) -> dict[str, Any]:
    return {
        "phase": row.phase,
        "from_depth": row.from_depth,
        "to_depth": row.to_depth,
        "begins": row.begins,
        "ends": row.ends,
        "minutes": row.minutes,
        "gas": str(row.gas),
        "po2_begins": row.po2_begins,
        "po2_ends": row.po2_ends,
        "held_by": row.held_by,
    }


def _extreme(extreme: Extreme) -> dict[str, Any]:
    return {
        "value": extreme.value,
        "depth": extreme.depth,
        "run_time": extreme.run_time,
        "gas": str(extreme.gas),
    }


def _caution(caution: Caution) -> dict[str, Any]:
    return {
        "code": caution.code,
        "severity": caution.severity,
        "text": caution.text,
        "value": caution.value,
        "limit": caution.limit,
        "depth": caution.depth,
        "run_time": caution.run_time,
        "gas": None if caution.gas is None else str(caution.gas),
        "old_gas": None if caution.old_gas is None else str(caution.old_gas),
        "half_time": caution.half_time,
    }


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
    environment = _part("environment", given["environment"], _ENVIRONMENT_KEYS)
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

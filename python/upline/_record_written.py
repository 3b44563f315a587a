"""Plans and states as plain data, exact."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from . import _core

if TYPE_CHECKING:
    from ._core import Caution, Extreme, Gas, Plan, Row, State, Stop, Switch

SCHEMA = 1

ENVIRONMENT_KEYS = (
    "altitude",
    "acclimatised_to",
    "surface_pressure",
    "water",
    "vapour",
    "units",
)


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


# ---- their parts ---------------------------------------------------------------------------------


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
    written["environment"] = {key: getattr(environment, key) for key in ENVIRONMENT_KEYS}
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

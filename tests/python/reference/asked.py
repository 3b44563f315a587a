"""A reference dive as the arguments of `upline.plan`, and a plan as stretches."""

from __future__ import annotations

from typing import Any

import upline

from .planner import Dive
from .profile import Mix, Place, Stretch


def text_of(mix: Mix) -> str:
    """Write a mix as people do: "18/45"."""
    helium = f"/{100 * mix.helium:.10g}" if mix.helium else ""
    return f"{100 * mix.oxygen:.10g}{helium}"


def choice_of(mix: Mix, depth: float | None) -> str | tuple[str, float]:
    """Write a mix with the depth of its switch, if it has one."""
    return text_of(mix) if depth is None else (text_of(mix), depth)


def environment_of(dive: Dive, units: str = "metric") -> upline.Environment:
    """Write the place of a dive as an environment: surface pressure, and a density."""
    place, standard = dive.place, Place()
    known: dict[str, Any] = {"vapour": place.vapour, "surface_pressure": place.surface}
    if place.per_metre != standard.per_metre:
        known["water"] = place.per_metre / 9.80665e-5
    if dive.acclimatised is None:
        known["acclimatised_to"] = "here"
    else:
        assert dive.acclimatised == standard.surface
        known["acclimatised_to"] = 0  # metres or feet
    return upline.Environment(**known, units=units)


def arguments_of(dive: Dive) -> dict[str, Any]:
    """Keyword arguments with which `upline.plan` is asked for a reference dive."""
    arguments: dict[str, Any] = {
        "depth": [(float(d), float(t)) for d, t in dive.levels],
        "gases": [choice_of(mix, depth) for mix, depth in dive.gases],
        "gf": (dive.low, dive.high),
        "model": dive.model,
        "environment": environment_of(dive),
        "descent_rate": dive.descent_rate,
        "ascent_rate": [(float(d), float(r)) for d, r in dive.zones],
        "surfacing_rate": dive.surfacing_rate,
        "rounding": dive.rounding,
        "resolution": dive.resolution,
        "min_stop": dive.min_stop,
        "switch_time": dive.switch_time,
        "min_po2": 0.05,
        "max_po2": 3.0,
    }
    if dive.ladder is None:
        arguments |= {"spacing": dive.spacing, "last_stop": dive.last_stop}
    else:
        arguments["ladder"] = list(dive.ladder)
    if dive.travel is not None:
        arguments["travel"] = (text_of(dive.travel[0]), dive.travel[1])
    if len(dive.levels) == 1:
        arguments["depth"], arguments["bottom_time"] = arguments["depth"][0]
    return arguments


def plan_of(dive: Dive, **changes: Any) -> upline.Plan:
    """Ask the library for the plan of a reference dive, with some arguments changed."""
    return upline.plan(**(arguments_of(dive) | changes))


def stretches_of(plan: upline.Plan) -> list[Stretch]:
    """Rows of a metric plan as stretches."""
    assert plan.units == "metric"
    return [
        Stretch(row.begins, row.ends, row.from_depth, row.to_depth, _mix_of(row.gas))
        for row in plan.rows
    ]


def _mix_of(gas: upline.Gas) -> Mix:
    return Mix(gas.oxygen, gas.helium)

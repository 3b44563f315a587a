"""Everything public that can be called, with arguments that are fine.

A new function, method or parameter fails `test_everything_public_is_listed` until it stands here.
"""

from __future__ import annotations

import inspect
from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

import upline

QUINCE = Path(__file__).parents[3] / "docs" / "examples" / "quince.toml"
QUINCE_KIT = QUINCE.with_name("quince_kit.toml")


class Call(NamedTuple):
    """A callable, and an argument that is fine for every parameter it has."""

    function: Callable[..., Any]
    arguments: dict[str, Any]
    given: tuple[str, ...]  # those without which it cannot be called
    share: int = 1  # how often it is drawn


PLAN = upline.plan(57, 25, ["18/45", "50", "O2"], gf="40/80", last_stop=6)
TRACE = PLAN.trace(10.0)
GAS = upline.Gas("18/45")
PLACE = upline.Environment(altitude=640, water="fresh")
CYLINDER = upline.Cylinder(12, 200, "18/45", 20, joined=2)
CARRIED = [CYLINDER, upline.Cylinder(7, 180, "50", 20), upline.Cylinder(5, 150, "O2", 20)]
ADA = upline.Diver("Ada", CARRIED, working=20, resting=15, stress=40)  # (invented)
ANALYSIS = upline.Analysis("50", "49.5", oxygen_error=0.01)
CONSUMPTION = upline.consumption(PLAN, ADA)
RESERVES: dict[str, Any] = {
    "plan": PLAN, "divers": [ADA], "sharing": 2, "minutes_at_depth": 2, "next_gas_gone": False,
    "decompression": 0.2,
}  # fmt: skip
RATED: dict[str, Any] = {
    "kind": "first stage", "name": "first stage A (invented)", "largest_oxygen": 1.0,
    "largest_pressure": 232, "oxygen_pressures": [(1.0, 180)], "largest_depth": 60,
    "lowest_temperature": 2, "materials": ["brass", "PTFE"], "oxygen_clean": "2026-06-01",
    "cleaned_by": "Cleo", "ordinary_air_since": False, "balanced": True, "turning_outlet": True,
    "connector": "M26x2", "adapter": False, "intermediate_pressure": 9.5, "hose_length": None,
    "colour": None, "gauge_kind": None, "mouthpiece_retained": None, "slow_opening": None,
    "within": None, "service": "2026-06-01", "intermediate_check": "2026-11-20",
    "leak_check": "2026-11-20", "cylinder_test": None, "units": "metric",
}  # fmt: skip
SET: dict[str, Any] = {
    "name": "rich", "gas": "50", "items": [upline.KitItem(**RATED)], "fill_pressure": 180,
    "filling": "premixed", "breathed": (6, 21), "carried": (0, 57), "going_down": "shut",
    "without": ["gauge"], "analysed": 0.5, "analysed_on": "2026-11-25",
    "label": {"mix": "50", "largest_depth": 21, "analyst": "Ada", "one_unit": True},
    "cues": ["side", "touch", "colour"], "colour_by_team": True, "hose_needed": 1.0,
    "units": "metric",
}  # fmt: skip
KIT_CHOICE: dict[str, Any] = {
    "oxygen_line": 40, "day": "2026-11-25", "water_temperature": 8, "cleaning_every": "12 months",
    "service_every": "1 year", "intermediate_every": "30 days", "leak_every": "7 days",
    "cylinder_test_every": "5 years", "outlet_en_144_3": True, "plan": None, "units": "metric",
}  # fmt: skip
RICH = upline.KitSet(**SET)
NITROGEN, HELIUM = upline.equilibrium_with_air(4.0)
WHERE = {"environment": None, "units": "metric"}

RULES: dict[str, Any] = {
    "gf": "40/80", "model": "ZH-L16C", "rounding": "departure", "resolution": 1.0, "min_stop": 0.0,
    "switch_time": 1.0, "spacing": None, "last_stop": 6, "ladder": None, "descent_rate": 18,
    "ascent_rate": [(21, 9), (0, 6)], "surfacing_rate": 3, "travel": None, "environment": PLACE,
    "start": None, "max_po2": 1.4, "max_deco_po2": 1.6, "po2_tolerance": 0.03, "min_po2": 0.16,
    "rmv": 20, "deco_rmv": 15, "units": "metric",
}  # fmt: skip
DIVE: dict[str, Any] = {"depth": 57, "bottom_time": 25, "gases": ["18/45", "50", "O2"]}
CHECKED: dict[str, Any] = {
    "rows": [(3, 5)], **RULES, "depth": 30, "bottom_time": 20, "gases": ["32"], "travel": None,
}  # fmt: skip
REPLAYED: dict[str, Any] = {
    "profile": [(0, 0, "32"), (3, 30), (20, 30), (24, 0)], "gases": ["32"], "bottom_left": 20,
    **{name: RULES[name] for name in (
        "gf", "model", "ascent_rate", "environment", "start", "max_po2", "max_deco_po2",
        "po2_tolerance", "min_po2", "units")},
}  # fmt: skip
CHECK = upline.check(**CHECKED)
REPLAY = upline.replay(**REPLAYED)


def plan_of_file(*args: Any, **kwargs: Any) -> upline.Plan:
    return upline.DiveFile(*args, **kwargs).plan()


CALLS: dict[str, Call] = {
    "plan": Call(upline.plan, {**DIVE, **RULES}, (*DIVE, "gf"), 40),
    "no_stop_limit": Call(
        upline.no_stop_limit, {"depth": 30, "gases": "32", **RULES}, ("depth", "gases", "gf"), 20
    ),
    "rest": Call(
        upline.rest,
        {"state": PLAN.end, "minutes": 90, "gas": "air", "environment": PLACE},
        ("state", "minutes"),
        3,
    ),
    "advance": Call(
        upline.advance,
        {
            "nitrogen": NITROGEN,
            "helium": HELIUM,
            "minutes": 10,
            "pressure": 4.0,
            "rate": -0.1,
            "gas": "32",
            "model": "ZH-L16C",
            "vapour": 0.0627,
            "set_point": 1.3,
        },
        ("nitrogen", "helium", "minutes", "pressure", "rate", "gas"),
        3,
    ),
    "equilibrium_with_air": Call(
        upline.equilibrium_with_air, {"ambient": 1.0, "vapour": 0.0627}, ("ambient",)
    ),
    "tolerated_pressure": Call(
        upline.tolerated_pressure,
        {"nitrogen": NITROGEN, "helium": HELIUM, "factor": 0.8, "model": "ZH-L16B"},
        ("nitrogen", "helium", "factor"),
    ),
    "supersaturation_fraction": Call(
        upline.supersaturation_fraction,
        {"nitrogen": NITROGEN, "helium": HELIUM, "ambient": 3.0, "model": "ZH-L16A"},
        ("nitrogen", "helium", "ambient"),
    ),
    "boat_oxygen": Call(
        upline.boat_oxygen,
        {
            "casualties": 2,
            "flow": 15,
            "margin": 1.25,
            "minutes_to_treatment": 120,
            "cylinders": [CARRIED[2]],
            "units": "metric",
        },
        ("casualties", "flow", "margin"),
        2,
    ),
    "contingencies": Call(
        upline.contingencies,
        {"plan": PLAN, "deviations": [upline.Deviation(later=5)]},
        ("plan", "deviations"),
        3,
    ),
    "Deviation": Call(
        upline.Deviation,
        {
            "deeper": 3,
            "later": 5,
            "lost": ["50"],
            "late_switch": 2,
            "ascent_rate": 6,
            "last_stop": 3,
        },
        (),
        3,
    ),
    "Analysis": Call(
        upline.Analysis,
        {"label": "50", "reading": "49", "oxygen_error": 0.01, "helium_error": 0.01},
        ("label", "reading", "oxygen_error"),
        2,
    ),
    "judge_analyses": Call(
        upline.judge_analyses,
        {"plan": PLAN, "analyses": [ANALYSIS], "allowance": 0.02},
        ("plan", "analyses", "allowance"),
        2,
    ),
    "choose_gases": Call(
        upline.choose_gases,
        {
            "stock": ["18/45", "50", "O2"],
            "depth": 57,
            "bottom_time": 25,
            "most_ascent_gases": 2,
            "oxygen_handling_above": 0.4,
            "without_oxygen_handling": False,
            "narcotic_depth": 35,
            "narcotic": "nitrogen",
            "density": 6.2,
            "nitrogen_rise": 0.2,
            **RULES,
            "travel": None,
        },
        ("stock", "depth", "bottom_time", "gf"),
        10,
    ),
    "slate": Call(
        upline.slate,
        {
            "plan": PLAN,
            "contingencies": [upline.Deviation(later=5)],
            "dive": "Quince Blossom (invented)",
            "date": "2026-11-28",
            "team": ["Ada", "Ben"],
            "surface_support": "yes",
            "analysis": {"50": 50.4},
            "turn_pressure": 120,
            "reserve": 60,
        },
        ("plan",),
        3,
    ),
    "common_schedule": Call(
        upline.common_schedule, {"members": {"Ada": PLAN, "Ben": PLAN}}, ("members",), 3
    ),  # (invented)
    "choose_rows": Call(
        upline.choose_rows,
        {
            "plan": PLAN,
            "deeper": [0, 3],
            "later": [0, 5],
            "rows": 4,
            "weights": [[1, 1], [1, 1]],
        },
        ("plan", "deeper", "later", "rows"),
        3,
    ),
    "swell": Call(
        upline.swell, {"plan": PLAN, "amplitudes": [0.5, 1], "period": 8}, ("plan", "amplitudes"), 3
    ),
    "wrong_gases": Call(
        upline.wrong_gases, {"plan": PLAN, "carried": ["18/45", "air"]}, ("plan",), 3
    ),
    "KitItem": Call(upline.KitItem, RATED, ("kind", "name"), 5),
    "KitSet": Call(upline.KitSet, SET, ("name", "gas", "items"), 5),
    "fitness": Call(
        upline.fitness, {"sets": [RICH], **KIT_CHOICE}, ("sets", "oxygen_line", "day"), 5
    ),
    "kit_rules": Call(upline.kit_rules, {"units": "imperial"}, ()),
    "read_kit": Call(upline.read_kit, {"path": QUINCE_KIT}, ("path",), 2),
    "KitFile": Call(
        upline.KitFile,
        {
            "sets": [RICH],
            "choice": {"oxygen_line": 40},
            "name": "a",
            "notes": None,
            "units": "metric",
        },
        ("sets",),
    ),
    "compartments": Call(upline.compartments, {"model": "ZH-L16C"}, ()),
    "cns_share": Call(
        upline.cns_share,
        {"minutes": 45, "start_po2": 1.6, "end_po2": 1.2, "limits": "day"},
        ("minutes", "start_po2", "end_po2"),
    ),
    "pulmonary_dose": Call(
        upline.pulmonary_dose,
        {"minutes": 45, "start_po2": 1.6, "end_po2": 1.2},
        ("minutes", "start_po2", "end_po2"),
    ),
    "read_dive": Call(upline.read_dive, {"path": QUINCE}, ("path",), 2),
    "check": Call(
        upline.check,
        {**CHECKED, "minutes": "with travel", "bottom_from": "surface", "switch_minute": "inside"},
        ("rows", "depth", "bottom_time", "gases", "gf"),
    ),
    "check_card": Call(
        upline.check_card,
        {
            **{
                name: CHECKED[name]
                for name in CHECKED
                if name not in ("rows", "depth", "bottom_time")
            },
            "cells": {(30, 20): [(3, 5)], (30, 25): [(6, 1), (3, 9)]},
            "minutes": "with travel",
            "bottom_from": "surface",
            "switch_minute": "inside",
        },
        ("cells", "gases", "gf"),
    ),
    "replay": Call(upline.replay, REPLAYED, ("profile", "gf"), 5),
    "read_table": Call(
        upline.read_table, {"source": "24/2 21/1 6/20", "units": "metric", "depth": 57}, ("source",)
    ),
    "read_log": Call(
        upline.read_log,
        {"source": [[0, 0], [3, 57], [9, 0]], "units": "metric", "time": "min"},
        ("source",),
    ),
    "DiveFile": Call(
        upline.DiveFile,
        {
            "name": "a",
            "notes": None,
            "arguments": {},
            "divers": (ADA,),
            "reserve": {"sharing": 2, "minutes_at_depth": 2},
            "lost_gas": {"stress_for": 5, "last_stops": [3]},
        },
        (),
    ),
    "DiveFile.plan": Call(upline.DiveFile(arguments={**DIVE, **RULES}).plan, {}, ()),
    "Environment": Call(
        upline.Environment,
        {
            "altitude": 640,
            "acclimatised_to": "here",
            "surface_pressure": None,
            "water": "fresh",
            "vapour": 0.0567,
            "units": "metric",
        },
        (),
        3,
    ),
    "Environment.pressure": Call(PLACE.pressure, {"depth": 30}, ("depth",)),
    "Environment.depth": Call(PLACE.depth, {"pressure": 3.0}, ("pressure",)),
    # The text has no place beside the fractions; alone it is "Gas of a text".
    "Gas": Call(upline.Gas, {"text": None, "oxygen": 0.18, "helium": 0.45}, ("oxygen",), 2),
    "Gas.mod": Call(GAS.mod, {"po2": 1.4, **WHERE}, ("po2",)),
    "Gas.min_depth": Call(GAS.min_depth, {"po2": 0.18, **WHERE}, ()),
    "Gas.end": Call(GAS.end, {"depth": 57, "oxygen_narcotic": True, **WHERE}, ("depth",)),
    "Gas.ead": Call(GAS.ead, {"depth": 57, **WHERE}, ("depth",)),
    "Gas.density": Call(GAS.density, {"depth": 57, "temperature": 0.0, **WHERE}, ("depth",)),
    "Gas.po2": Call(GAS.po2, {"depth": 57, **WHERE}, ("depth",)),
    "Cylinder": Call(
        upline.Cylinder,
        {
            "water_volume": 12,
            "pressure": 200,
            "gas": "18/45",
            "temperature": 20,
            "joined": 2,
            "rated": None,
            "rating": None,
            "units": "metric",
        },
        ("water_volume", "pressure", "gas", "temperature"),
        3,
    ),
    "Diver": Call(
        upline.Diver,
        {"name": "Ada", "cylinders": CARRIED, "working": 20, "resting": 15, "stress": 40},
        ("name", "cylinders", "working", "resting", "stress"),
        2,
    ),
    "consumption": Call(
        upline.consumption,
        {"plan": PLAN, "diver": ADA, "stress_from": 20},
        ("plan", "diver"),
        3,
    ),
    "reserves": Call(upline.reserves, RESERVES, tuple(RESERVES), 3),
    "deadlines": Call(upline.deadlines, RESERVES, tuple(RESERVES), 3),
    "turn_pressures": Call(
        upline.turn_pressures,
        {"divers": [ADA], "gas": "18/45", "fraction": 1 / 3, "units": "metric"},
        ("divers", "gas", "fraction"),
        2,
    ),
    # Every second takes too long for thousands of calls.
    "lost_gas": Call(
        upline.lost_gas,
        {"plan": PLAN, "divers": [ADA], "stress_for": 5, "last_stops": [3], "every": 300},
        ("plan", "divers", "stress_for", "every"),
        2,
    ),
    "blend": Call(
        upline.blend,
        {
            "cylinder": upline.Cylinder(12, 50, "air", 20),
            "target": "32",
            "pressure": 200,
            "gases": ["O2", ("air", 230)],
            "inlet_limit": None,
            "filling_temperature": 30,
            "tolerance": 0.01,
        },
        ("cylinder", "target", "pressure", "gases"),
        3,
    ),
    "trip_demand": Call(
        upline.trip_demand,
        {
            "uses": [("O2", 500, 3, 2)],
            "stock": [("O2", [(50, 180)]), ("He", 9000)],
            "days": 6,
            "down_to": 60,
            "temperature": 15,
            "units": "metric",
        },
        ("uses", "stock", "days", "down_to", "temperature"),
        2,
    ),
    "cascade": Call(
        upline.cascade,
        {
            "gas": "32",
            "banks": [(20, 150), (20, 200)],
            "cylinder": upline.Cylinder(12, 50, "air", 20),
            "pressure": 180,
        },
        ("gas", "banks", "cylinder", "pressure"),
        2,
    ),
    "best_mix": Call(
        upline.best_mix,
        {
            "depth": 57,
            "max_po2": 1.4,
            "narcotic_depth": 30,
            "oxygen_narcotic": True,
            "max_density": 5.2,
            "density_temperature": 0.0,
            "min_po2": 0.18,
            "next_gas": "50",
            "environment": PLACE,
            "units": "metric",
        },
        ("depth", "max_po2"),
        3,
    ),
    "Cylinder.content_at": Call(CYLINDER.content_at, {"pressure": 150}, ("pressure",)),
    "Cylinder.ideal_content_at": Call(CYLINDER.ideal_content_at, {"pressure": 150}, ("pressure",)),
    "Cylinder.pressure_for": Call(CYLINDER.pressure_for, {"content": 900}, ("content",)),
    "Cylinder.ideal_pressure_for": Call(
        CYLINDER.ideal_pressure_for, {"content": 900}, ("content",)
    ),
    "Cylinder.at_pressure": Call(CYLINDER.at_pressure, {"pressure": 150}, ("pressure",)),
    "Cylinder.at_temperature": Call(CYLINDER.at_temperature, {"temperature": 8}, ("temperature",)),
    "State.to_dict": Call(PLAN.end.to_dict, {}, ()),
    "State.to_json": Call(PLAN.end.to_json, {}, ()),
    "State.from_dict": Call(upline.State.from_dict, {"data": PLAN.end.to_dict()}, ("data",), 2),
    "State.from_json": Call(upline.State.from_json, {"text": PLAN.end.to_json()}, ("text",), 2),
    "Plan.to_dict": Call(PLAN.to_dict, {}, ()),
    "Plan.to_json": Call(PLAN.to_json, {}, ()),
    "Plan.from_dict": Call(upline.Plan.from_dict, {"data": PLAN.to_dict()}, ("data",), 2),
    "Plan.from_json": Call(upline.Plan.from_json, {"text": PLAN.to_json()}, ("text",), 2),
    "Plan.to_frame": Call(PLAN.to_frame, {"of": "stops"}, ()),
    "Plan.trace": Call(PLAN.trace, {"step": 1.0}, (), 2),
    "Plan._repr_html_": Call(PLAN._repr_html_, {}, ()),
    "Trace.to_frame": Call(TRACE.to_frame, {}, ()),
}
# Calls in two parts, and other ways to say the same; not checked against a signature.
BESIDE: dict[str, Call] = {
    "plan of levels": Call(
        upline.plan,
        {"depth": [(57, 20), (42, 45)], "gases": ["18/45"], **RULES},
        ("depth", "gases", "gf"),
        20,
    ),
    "plan in feet": Call(
        upline.plan,
        {"depth": 190, "bottom_time": 25, "gases": ["18/45", ("50", 70)], "gf": (0.4, 0.8),
         "units": "imperial", "spacing": 10, "last_stop": 20, "travel": ("50", 60)},
        ("depth", "bottom_time", "gases", "gf", "units"),
        10,
    ),
    "Gas of a text": Call(upline.Gas, {"text": "18/45"}, ("text",), 2),
    "Environment of a pressure": Call(
        upline.Environment, {"surface_pressure": 0.9, "water": 1010, "acclimatised_to": 500}, ()
    ),
    "Cylinder of a rating": Call(
        upline.Cylinder,
        {"rated": (77.4, 3000), "rating": "real", "pressure": 2900, "gas": "32", "temperature": 70,
         "units": "imperial"},
        ("rated", "rating", "pressure", "gas", "temperature", "units"),
        2,
    ),
    "Consumption.to_frame": Call(CONSUMPTION.to_frame, {}, ()),
    "Consumption._repr_html_": Call(CONSUMPTION._repr_html_, {}, ()),
    "Check.to_frame": Call(CHECK.to_frame, {}, ()),
    "Check._repr_html_": Call(CHECK._repr_html_, {}, ()),
    "Replay.to_frame": Call(REPLAY.to_frame, {"of": "samples", "step": 10}, (), 2),
    "Replay._repr_html_": Call(REPLAY._repr_html_, {}, ()),
    "DiveFile(...).plan": Call(plan_of_file, {"arguments": {**DIVE, **RULES}}, ("arguments",), 2),
}  # fmt: skip
# Pictures take their time; they are called with what is wrong, and drawn elsewhere.
PICTURES: dict[str, Call] = {
    "Plan.plot": Call(PLAN.plot, {"ax": None}, ()),
    "Plan.plot_compartments": Call(PLAN.plot_compartments, {"run_time": None, "ax": None}, ("ax",)),
}
# Only the library makes these; to call the class is always an error.
RESULTS = (
    "Caution", "CompartmentSet", "Extreme", "Extremes", "OxygenDose", "Plan", "Row", "State",
    "Stop", "Switch", "Trace",
)  # fmt: skip


def public_callables() -> dict[str, Callable[..., Any]]:
    """Return what `upline` offers to be called: functions, classes, their methods; no errors."""
    found: dict[str, Callable[..., Any]] = {}
    for name in upline.__all__:
        thing = getattr(upline, name)
        if not callable(thing) or (inspect.isclass(thing) and issubclass(thing, Exception)):
            continue
        found[name] = thing
        if inspect.isclass(thing):
            for method, value in vars(thing).items():
                if isinstance(value, property) or (method[0] == "_" and method != "_repr_html_"):
                    continue
                if callable(getattr(thing, method)):
                    found[f"{name}.{method}"] = getattr(thing, method)
    return found

"""The command ``gas``: what a mix does at a depth."""

from __future__ import annotations

import math
import textwrap
from typing import TYPE_CHECKING, Any

from .. import _core, _messages
from .flags import (
    OUTPUT,
    PLACE,
    WIDTH,
    YES,
    Parser,
    add_command,
    add_flags,
    add_output,
    as_json,
    environment,
    is_mix,
    is_number,
    number,
)

if TYPE_CHECKING:
    import argparse

#: The default of `plan`: nothing leaner is breathed [bar]. The minimum depth printed here is for
#: the stricter 0.18 bar, below which a plan cautions.
PLAN_MIN_PO2 = 0.16
FLAGS = ["--depth", *(one[0] for one in PLACE), *OUTPUT]


def add(commands: argparse._SubParsersAction[Parser]) -> None:
    """Add the command."""
    parser = add_command(
        commands,
        "gas",
        "what a mix does at a depth",
        "Print operating depths of a mix, and what it does at a depth.",
        "upline gas 18/45 --depth 57",
    )
    parser.add_argument("mix", metavar="MIX", help="air, 32, 18/45, O2")
    parser.add_argument("--depth", type=number, metavar="D", help="at which it is breathed")
    add_flags(parser, "the place", PLACE)
    add_output(parser)
    parser.set_defaults(run=run, flags=FLAGS)


def run(given: dict[str, Any]) -> int:
    """Print what a mix does, and return the exit code."""
    units = given.get("units", "metric")
    place = environment(given, units) or _core.Environment(units=units)
    sheet = gas_sheet(_core.Gas(given["mix"]), given["depth"], place)
    print(as_json(sheet) if given["json"] else gas_text(sheet))
    return YES


def misplaced(mix: str, words: list[str]) -> _core.Error:
    """Return the error for words behind the mix."""
    whole = " ".join([mix, *words])
    shown = _messages.plain(" ".join(words), 60)
    if is_mix(whole):
        remedy = f'put quotes around a mix of two words: upline gas "{whole}"'
    elif is_number(words[0]):
        remedy = f"write --depth {words[0]}"
    else:
        remedy = "give one mix at a time"
    return _core.Error(f"{shown} stands behind the mix without a flag. Remedy: {remedy}.")


def gas_sheet(gas: _core.Gas, depth: float | None, place: _core.Environment) -> dict[str, Any]:
    """Return the depths of a mix, and what it does at one, as data."""
    units = place.units
    sheet: dict[str, Any] = {
        "schema": 1,
        "kind": "gas",
        "gas": str(gas),
        "oxygen": gas.oxygen,
        "helium": gas.helium,
        "nitrogen": gas.nitrogen,
        "units": units,
        "depth_unit": "m" if units == "metric" else "ft",
        "depths": _depth_convention(place),
        "surface_pressure_bar": place.surface,
        "maximum_operating_depth": [
            {"po2_bar": po2, "depth": deepest, "rounded_down": _down(deepest)}
            for po2 in (1.4, 1.6)
            for deepest in (gas.mod(po2, place, units),)
        ],
        "minimum_depth": {
            "po2_bar": 0.18,
            "depth": gas.min_depth(0.18, place, units),
            "rounded_up": _up(gas.min_depth(0.18, place, units)),
        },
    }
    if depth is not None:
        sheet["at_depth"] = {
            "depth": depth,
            "po2_bar": gas.po2(depth, place, units),
            "narcotic_depth_oxygen_counted": gas.end(depth, True, place, units),
            "narcotic_depth_nitrogen_alone": gas.end(depth, False, place, units),
            "equivalent_air_depth": gas.ead(depth, place, units),
            "density_g_per_l": gas.density(depth, 0.0, place, units),
            "density_reference_temperature_c": 0.0,
        }
    question = _core.nitrox_question(gas)
    sheet["cautions"] = [question] if question else []
    sheet["foot"] = _core.foot
    return sheet


def gas_text(sheet: dict[str, Any]) -> str:
    """Return what `gas_sheet` holds as text."""
    unit = sheet["depth_unit"]
    lines = [
        f"{sheet['gas']}: {_percent(sheet['oxygen'])} oxygen, {_percent(sheet['helium'])} helium, "
        f"{_percent(sheet['nitrogen'])} nitrogen",
        f"{sheet['depths']}, {sheet['surface_pressure_bar']:.5f} bar at the surface",
        "",
    ]
    table = [
        (
            "maximum operating depth",
            f"{one['rounded_down']:.1f} {unit}",
            f"at {one['po2_bar']} bar of oxygen, rounded down",
        )
        for one in sheet["maximum_operating_depth"]
    ]
    least = sheet["minimum_depth"]
    table.append(
        (
            "minimum depth",
            f"{least['rounded_up']:.1f} {unit}",
            f"at {least['po2_bar']} bar of oxygen, rounded up",
        )
    )
    if "at_depth" in sheet:
        table += _depth_table(sheet, unit)
    widths = [max(len(row[j]) for row in table) for j in range(2)]
    lines += [f"  {what:<{widths[0]}}  {value:>{widths[1]}}  {how}" for what, value, how in table]
    lines += [
        f"  A plan cautions below {least['po2_bar']} bar; the least it lets anybody breathe, "
        f"min_po2, is {PLAN_MIN_PO2} bar.",
        "",
        *_depth_remarks(sheet, unit),
    ]
    for caution in sheet["cautions"]:
        lines += [*textwrap.wrap(f"caution: {caution}", WIDTH), ""]
    return "\n".join([*lines, textwrap.fill(sheet["foot"], WIDTH)])


def _depth_table(sheet: dict[str, Any], unit: str) -> list[tuple[str, str, str]]:
    at = sheet["at_depth"]
    there = f"at {at['depth']:g} {unit}"
    temperature = f"{at['density_reference_temperature_c']:g} degrees C"
    return [
        ("oxygen pressure", f"{at['po2_bar']:.2f} bar", there),
        (
            "equivalent narcotic depth",
            _equivalent(at["narcotic_depth_oxygen_counted"], unit),
            f"{there}, oxygen counted as narcotic",
        ),
        (
            "equivalent narcotic depth",
            _equivalent(at["narcotic_depth_nitrogen_alone"], unit),
            f"{there}, nitrogen alone",
        ),
        ("equivalent air depth", _equivalent(at["equivalent_air_depth"], unit), there),
        (
            "density",
            f"{at['density_g_per_l']:.2f} g/L",
            f"{there}, gas at {temperature} (published limits 5.2 and 6.2)",
        ),
    ]


def _equivalent(depth: float, unit: str) -> str:
    return f"{depth:.1f} {unit}" if depth >= 0 else "less than 0"


def _depth_remarks(sheet: dict[str, Any], unit: str) -> list[str]:
    if "at_depth" not in sheet:
        return []
    depth = sheet["at_depth"]["depth"]
    remarks = [
        f"{depth:g} {unit} is deeper than the maximum operating depth at {one['po2_bar']} bar."
        for one in sheet["maximum_operating_depth"]
        if depth > one["depth"]
    ]
    if depth < sheet["minimum_depth"]["depth"]:
        remarks.append(f"{depth:g} {unit} is shallower than the minimum depth.")
    return [*remarks, ""] if remarks else []


def _depth_convention(place: _core.Environment) -> str:
    length = "metres" if place.units == "metric" else "feet"
    if place.water is None:
        return f"gauge {length}"
    water = place.water if isinstance(place.water, str) else f"{place.water:g} kg/m3"
    return f"true {length} of {water} water"


def _percent(fraction: float) -> str:
    return f"{round(fraction * 100, 6):g} %"


def _down(depth: float) -> float:
    return math.floor(depth * 10 + 1e-9) / 10


def _up(depth: float) -> float:
    return math.ceil(depth * 10 - 1e-9) / 10

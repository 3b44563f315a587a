"""The command ``blend``: the fill sheet of a mix, or why there is none and what can be filled."""

from __future__ import annotations

import argparse
import sys
from typing import TYPE_CHECKING, Any

from .. import _core, _messages
from .._blend import blend
from .flags import (
    OUTPUT,
    REFUSED,
    YES,
    Parser,
    add_command,
    add_flags,
    add_gases,
    add_output,
    as_json,
    number,
)

if TYPE_CHECKING:
    from .flags import Flags


def _left(text: str) -> tuple[float, str]:
    pressure, colon, gas = text.partition(":")
    if not colon:
        raise argparse.ArgumentTypeError(
            f"{_messages.word(text)} is no pressure with a mix behind a colon (30:32)"
        )
    return number(pressure), gas


#: flag, keyword, how it is read, what it shows, help
NEEDED: Flags = (
    ("--to", "pressure", number, "P", "pressure to fill to"),
    ("--cylinder", "water_volume", number, "V", "water volume of one cylinder, L or cu ft"),
    ("--left", "left", _left, "P:MIX", "what is left in it, such as 30:32; empty is 0:air"),
    ("--temperature", "temperature", number, "T", "of the gas in it, degrees C or F"),
)
STATED: Flags = (
    ("--joined", "joined", number, "N", "how many equal cylinders the manifold joins"),
    ("--inlet-limit", "inlet_limit", number, "X", "mix at the inlet, up to this fraction of O2"),
    ("--filling-temperature", "filling_temperature", number, "T", "while the gauge is read"),
    ("--tolerance", "tolerance", number, "X", "of the analysis, as a fraction"),
)
FLAGS = ["--gas", *(one[0] for one in (*NEEDED, *STATED)), *OUTPUT]


def add(commands: argparse._SubParsersAction[Parser]) -> None:
    """Add the command."""
    parser = add_command(
        commands,
        "blend",
        "fill sheet of a mix",
        "Print what to fill a cylinder with, to which pressures, as real gas; or why the mix is "
        f"not reached, and what is. {_core.blending_caution}",
        "upline blend 18/45 --to 232 --cylinder 12 --joined 2 --left 60:32 --temperature 20 "
        "--gas He@180 O2@150 air",
    )
    parser.add_argument("target", metavar="MIX", help="the mix that is wanted")
    add_gases(parser, "to fill with, in their order; behind an at sign what the bank reads")
    add_flags(parser, "the cylinder", NEEDED)
    add_flags(parser, "what may be stated", STATED)
    add_output(parser)
    parser.set_defaults(run=run, flags=FLAGS)


def run(given: dict[str, Any]) -> int:
    """Print a fill, and return the exit code: 0 if it can be filled, 1 if not."""
    _require(given)
    units = given.get("units", "metric")
    pressure, gas = given["left"]
    cylinder = _core.Cylinder(
        given["water_volume"],
        pressure,
        gas,
        given["temperature"],
        joined=given.get("joined", 1),
        units=units,
    )
    stated = {key: given[key] for _, key, *_ in STATED[1:] if key in given}
    gases = [_bank(one) for one in given["gases"]]
    found = blend(cylinder, given["target"], given["pressure"], gases, **stated)
    print(as_json(found.to_dict()) if given["json"] else found.text)
    if not found.reachable:
        print("upline: the mix is not reached as asked.", file=sys.stderr)
    return YES if found.reachable else REFUSED


def _bank(text: str) -> str | tuple[str, float]:
    gas, at, pressure = text.partition("@")
    if not at:
        return gas
    try:
        return gas, number(pressure)
    except argparse.ArgumentTypeError as error:
        raise _core.Error(f"--gas {_messages.word(text)}: {error}. Remedy: write O2@150.") from None


def _require(given: dict[str, Any]) -> None:
    missing = [f"{flag} {shows}" for flag, key, _, shows, _ in NEEDED if key not in given]
    if not given.get("gases"):
        missing.append("--gas MIX")
    if missing:
        raise _core.Error(
            f"{', '.join(one.split()[0] for one in missing)} missing; a fill depends on all of "
            f"them. Remedy: add {' '.join(missing)}."
        )

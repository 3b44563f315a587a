"""The command ``kit``: whether sets of kit are fit for a dive."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING, Any

from .. import _core, _dive_file
from .._fitness import fitness
from .._kit_file import read_kit
from .flags import (
    CANNOT_TELL,
    REFUSED,
    WIDTH,
    YES,
    Parser,
    add_command,
    add_flags,
    as_json,
    number,
)

if TYPE_CHECKING:
    import argparse

    from .._core import Plan
    from .flags import Flags

_CHOICE: Flags = (
    ("--oxygen-line", "oxygen_line", number, "PER_CENT", "22, 23.5, 25 or 40; no default"),
    ("--day", "day", str, "DAY", "of the dive, such as 2026-11-25; no default"),
    ("--water-temperature", "water_temperature", number, "T", "the coldest, degrees C or F"),
    ("--cleaning-every", "cleaning_every", str, "HOW_LONG", "cleaning for oxygen is good for"),
    ("--service-every", "service_every", str, "HOW_LONG", "service is good for: '24 months'"),
    ("--intermediate-every", "intermediate_every", str, "HOW_LONG", "intermediate pressure"),
    ("--leak-every", "leak_every", str, "HOW_LONG", "a check for leaks is good for: '7 days'"),
    ("--cylinder-test-every", "cylinder_test_every", str, "HOW_LONG", "a cylinder's test"),
)
FLAGS = [one[0] for one in _CHOICE] + ["--dive", "--json"]
_EXIT = {"fit": YES, "not fit": REFUSED, "unknown": CANNOT_TELL}


def add(commands: argparse._SubParsersAction[Parser]) -> None:
    """Add the command."""
    parser = add_command(
        commands,
        "kit",
        "whether sets of kit are fit for a dive",
        "Judge the kit of a file by the ratings entered in it and the line of oxygen service that "
        "is chosen. Nothing is inspected, no equipment is certified. Exit code 0: all fit, 1: "
        "something is not fit, 2: unusable input, 3: something is unknown and nothing not fit.",
        "upline kit docs/examples/quince_kit.toml --dive docs/examples/quince.toml \\\n"
        "      --oxygen-line 40 --day 2026-11-25",
    )
    parser.add_argument("file", metavar="FILE.toml", help="see docs/kit-file.md")
    parser.add_argument(
        "--dive", metavar="DIVE.toml", help="where depths that the kit file leaves out are planned"
    )
    add_flags(parser, "what is chosen, in the place of the file's own", _CHOICE)
    parser.add_argument("--json", action="store_true", help="as data")
    parser.set_defaults(run=run, flags=FLAGS)


def run(given: dict[str, Any]) -> int:
    """Print the verdicts, and return the exit code."""
    json_wanted = given.pop("json")
    plan = _plan(given.pop("dive"))
    kit = read_kit(given.pop("file"))
    choice = {**kit.choice, **given}
    for name, flag in (("oxygen_line", "--oxygen-line 40"), ("day", "--day 2026-11-25")):
        if name not in choice:
            raise _core.Error(
                f"{name} is missing; it decides what is fit, so there is no default. Remedy: add "
                f"{flag}, or whatever is true, or {name} to [choice] of the file."
            )
    found = fitness(kit.sets, plan=plan, **choice)
    if json_wanted:
        print(as_json({"name": kit.name, "notes": kit.notes, **found.to_dict()}))
    else:
        print(_heading(kit.name, kit.notes) + str(found), end="")
    return _EXIT[found.verdict]


def _plan(path: str | None) -> Plan | None:
    return None if path is None else _dive_file.read_dive(path).plan()


def _heading(*texts: str | None) -> str:
    """Name and notes, each line within the width of the text."""
    lines = [line for text in texts if text and text.strip() for line in text.strip().splitlines()]
    shown = ["".join(c if c.isprintable() else "?" for c in line) for line in lines]
    return "\n".join(textwrap.fill(line, WIDTH) for line in shown) + "\n\n" if shown else ""

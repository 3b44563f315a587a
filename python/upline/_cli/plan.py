"""The command ``plan``: the schedule of a dive from a file, from flags, or from both."""

from __future__ import annotations

import sys
import textwrap
from pathlib import Path
from typing import TYPE_CHECKING, Any, TextIO

from .. import _core, _dive_file, _messages
from .flags import (
    DIVE,
    DIVER,
    NEEDED,
    OUTPUT,
    PLACE,
    REFUSED,
    RULES,
    WIDTH,
    YES,
    Parser,
    add_command,
    add_flags,
    add_gases,
    add_output,
    as_json,
    environment,
    number,
    pair,
    require,
)
from .misplaced import flags_for, misplaced

if TYPE_CHECKING:
    import argparse

FLAGS = [one[0] for one in (*DIVE, *RULES, *PLACE, *DIVER)]
FLAGS += ["--level", "--gas", "--earlier", "--rest", *OUTPUT]
# What a flag makes void in the file it is given with.
_REPLACES = {
    "ladder": ("spacing", "last_stop"),
    "spacing": ("ladder",),
    "last_stop": ("ladder",),
}


def add(commands: argparse._SubParsersAction[Parser]) -> None:
    """Add the command."""
    parser = add_command(
        commands,
        "plan",
        "the schedule of a dive",
        "Print the schedule of a dive from a file, from flags, or from a file with some of its "
        "keys replaced by flags. Exit code 0: a plan, 1: a plan that is refused, 2: unusable "
        "input.",
        "upline plan docs/examples/quince.toml --last-stop 3\n"
        "  upline plan --depth 57 --bottom-time 25 --gas 18/45 50 O2 --gf 40/80 --last-stop 6",
    )
    add_dive(parser)
    parser.set_defaults(run=run, flags=FLAGS)


def add_dive(parser: Parser) -> None:
    """Add what names a dive: a file, and the flags of a plan."""
    parser.add_argument("file", nargs="?", metavar="FILE.toml", help="see docs/dive-file.md")
    add_flags(parser, "the dive", DIVE)
    parser.add_argument(
        "--level",
        dest="levels",
        action="append",
        type=pair,
        metavar="D:MIN",
        help="instead of a depth, several times: depth and the run time at which it is left",
    )
    add_gases(parser, "the bottom gas first: 18/45 50 O2, with a switch depth 50@21")
    add_flags(parser, "the ascent", RULES)
    add_flags(parser, "the place", (*PLACE, *DIVER))
    parser.add_argument(
        "--earlier", metavar="FILE.json", help="an earlier plan, as --json wrote it"
    )
    parser.add_argument("--rest", type=number, metavar="MIN", help="at the surface since then")
    add_output(parser)


def run(given: dict[str, Any]) -> int:
    """Print the plan, and return the exit code."""
    json_wanted = given.pop("json")
    path = given["file"]
    dive = dive_of(given)
    plan = dive.plan()
    if json_wanted:
        print(as_json({"name": dive.name, "notes": dive.notes, **plan.to_dict()}))
    else:
        print(heading(dive) + str(plan), end="")
    _say_team(dive, path, sys.stderr if json_wanted else sys.stdout)
    if not plan.refused:
        return YES
    print("upline: refused: see the cautions marked refuses", file=sys.stderr)
    return REFUSED


def _say_team(dive: _dive_file.DiveFile, path: str | None, stream: TextIO) -> None:
    """Say that the file holds more than a schedule answers."""
    names = ", ".join(_messages.plain(one.name, 60) for one in dive.divers)
    also = [f"a team ({names})"] if names else []
    also += ["a reserve"] if dive.reserve or dive.lost_gas else []
    if not also:
        return
    file = _messages.plain(path or "FILE.toml", 60)
    text = f"The file also names {' and '.join(also)}: upline supply {file} answers for its gas."
    print(("" if stream is sys.stderr else "\n") + textwrap.fill(text, WIDTH), file=stream)


# ---- the dive ------------------------------------------------------------------------------------


def dive_of(given: dict[str, Any]) -> _dive_file.DiveFile:
    """Return the dive of the file, if any, with what the flags replace."""
    path = _file(given)
    dive = _dive_file.DiveFile() if path is None else _dive_file.read_dive(path)
    arguments = dict(dive.arguments)
    if path is not None:
        _refuse_other_units(given, arguments)
    _take_levels(given, arguments)
    _take_start(given)
    gases = given.pop("gases")
    if gases is not None:
        given["gases"] = gases
    units = given.get("units", arguments.get("units", "metric"))
    place = environment(given, units, arguments.get("environment"))
    if place is not None:
        given["environment"] = place
    for name in given:
        for void in _REPLACES.get(name, ()):
            arguments.pop(void, None)
    arguments.update(given)
    _require_dive(arguments, path)
    return _dive_file.DiveFile(
        dive.name, dive.notes, arguments, dive.divers, dive.reserve, dive.lost_gas
    )


def _file(given: dict[str, Any]) -> str | None:
    """Take the dive file out of what was given; behind --gas it is read as one mix more."""
    path: str | None = given.pop("file")
    gases = given["gases"]
    if path is None and gases and gases[-1].lower().endswith(".toml"):
        path = gases.pop()
        given["gases"] = gases or None
    if path is not None and not Path(path).exists() and flags_for([path]):
        raise misplaced([path], given)
    return path


def _require_dive(arguments: dict[str, Any], path: str | None) -> None:
    if path is None and not any(name in arguments for name in NEEDED):
        raise _core.Error(
            "no dive is given: depth, bottom_time, gases and gf are missing. Remedy: name a dive "
            f"file, upline plan FILE.toml, or write {' '.join(NEEDED.values())}."
        )
    needed = dict(NEEDED)
    if isinstance(arguments.get("depth"), list):
        needed.pop("bottom_time")
    tail = "" if path is None else ", or the keys of the same names to the file"
    require(arguments, needed, tail)


def _refuse_other_units(given: dict[str, Any], arguments: dict[str, Any]) -> None:
    """Refuse to read the numbers of a file in another system than they were written in."""
    stated = arguments.get("units", "metric")
    if given.get("units", stated) != stated:
        raise _core.invalid_input(
            "--units",
            f"{given['units']} beside a file in {stated} units",
            f"{stated}, or no --units",
            "leave out --units, or write the depths of the file in the other system",
        )


def _take_levels(given: dict[str, Any], arguments: dict[str, Any]) -> None:
    """Levels make void a depth with its time, and the other way round."""
    levels = given.pop("levels")
    single = "depth" in given or "bottom_time" in given
    if levels is not None and single:
        raise _core.Error(
            "--level is given beside --depth or --bottom-time. Remedy: leave one of them out."
        )
    if levels is not None:
        arguments.pop("bottom_time", None)
        given["depth"] = levels
    elif single and isinstance(arguments.get("depth"), list):
        arguments.pop("depth")


def _take_start(given: dict[str, Any]) -> None:
    file, rest = given.pop("earlier"), given.pop("rest")
    if file is None and rest is None:
        return
    for flag, value in (("--earlier", file), ("--rest", rest)):
        if value is None:
            raise _core.Error(
                f"{flag} is missing. Remedy: give both --earlier FILE.json and --rest MIN."
            )
    given["start"] = _dive_file.earlier({"file": file, "rest": rest}, Path(), "--earlier")


def heading(dive: _dive_file.DiveFile) -> str:
    """Name and notes of a dive, each line within the width of the table."""
    paragraphs = [text for text in (dive.name, dive.notes) if text and text.strip()]
    lines = [line for text in paragraphs for line in text.strip().splitlines()]
    shown = ["".join(c if c.isprintable() else "?" for c in line) for line in lines]
    wrapped = [textwrap.fill(line, WIDTH) for line in shown]
    return "\n".join(wrapped) + "\n\n" if wrapped else ""

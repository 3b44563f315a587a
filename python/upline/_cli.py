"""The command line: ``upline plan``, ``upline check`` and ``upline gas``.

Exit codes: 0 yes, 1 refused by a caution, 2 unusable input, 3 cannot tell.
"""

from __future__ import annotations

import argparse
import contextlib
import json
import os
import sys
import textwrap
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

from . import _core, _dive_file, _messages
from ._check import check
from ._cli_gas import WIDTH, gas_sheet, gas_text

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

YES, REFUSED, UNUSABLE, CANNOT_TELL = 0, 1, 2, 3


# ---- flags ---------------------------------------------------------------------------------------


class _Parser(argparse.ArgumentParser):
    """A parser whose errors are one line, like all others of this program."""

    def error(self, message: str) -> NoReturn:
        raise _core.Error(f"{_messages.plain(message, 300)}. Remedy: see {self.prog} --help.")


def _number(text: str) -> float:
    try:
        return float(text)
    except ValueError:
        raise argparse.ArgumentTypeError(
            f"{_messages.word(text)} is no number (write 57.5, without a unit; feet need "
            "--units imperial)"
        ) from None


def _numbers(text: str) -> list[float]:
    return [_number(part) for part in text.split(",")]


def _pair(text: str) -> tuple[float, float]:
    first, colon, second = text.partition(":")
    if not colon:
        raise argparse.ArgumentTypeError(
            f"{_messages.word(text)} is no pair of numbers with a colon between them"
        )
    return _number(first), _number(second)


def _rates(text: str) -> float | list[tuple[float, float]]:
    return [_pair(part) for part in text.split(",")] if ":" in text else _number(text)


def _gas_and_depth(text: str) -> tuple[str, float]:
    gas, at, depth = text.partition("@")
    if not at:
        raise argparse.ArgumentTypeError(f"{_messages.word(text)} is no mix with a depth (50@17)")
    return gas, _number(depth)


def _number_or(*words: str) -> Callable[[str], float | str]:
    def read(text: str) -> float | str:
        if text in words:
            return text
        try:
            return float(text)
        except ValueError:
            raise argparse.ArgumentTypeError(
                f"{_messages.word(text)} is no number, nor {' or '.join(words)}"
            ) from None

    return read


# flag, keyword of plan(), how it is read, what it shows, help
_DIVE = (
    ("--depth", "depth", _number, "D", "depth of the bottom"),
    ("--bottom-time", "bottom_time", _number, "MIN", "surface to leaving the bottom"),
    ("--travel", "travel", _gas_and_depth, "MIX@D", "gas on the way down, and to which depth"),
)
_RULES = (
    ("--gf", "gf", str, "LOW/HIGH", "gradient factors in per cent, such as 40/80; no default"),
    ("--model", "model", str, "NAME", "parameter set, such as ZH-L16C"),
    ("--rounding", "rounding", str, "HOW", "departure, duration or exact"),
    ("--resolution", "resolution", _number, "MIN", "to which times are rounded up"),
    ("--min-stop", "min_stop", _number, "MIN", "least time where a wait is needed"),
    ("--switch-time", "switch_time", _number, "MIN", "on the old gas at each switch"),
    ("--spacing", "spacing", _number, "D", "distance between rungs"),
    ("--last-stop", "last_stop", _number, "D", "shallowest stop"),
    ("--ladder", "ladder", _numbers, "D,D,...", "or exactly these rungs"),
    ("--descent-rate", "descent_rate", _number, "RATE", "m/min, or ft/min"),
    ("--ascent-rate", "ascent_rate", _rates, "RATE", "or DEEPER_THAN:RATE,... down to 0:RATE"),
    ("--surfacing-rate", "surfacing_rate", _number, "RATE", "of the last ascent"),
    ("--max-po2", "max_po2", _number, "BAR", "limit of bottom and travel gas"),
    ("--max-deco-po2", "max_deco_po2", _number, "BAR", "limit of the gases of the ascent"),
    ("--po2-tolerance", "po2_tolerance", _number, "BAR", "added to both limits, and noted"),
    ("--min-po2", "min_po2", _number, "BAR", "nothing leaner is breathed"),
    ("--rmv", "rmv", _number, "RATE", "L/min, or cu ft/min, until the bottom is left"),
    ("--deco-rmv", "deco_rmv", _number, "RATE", "and from then on"),
)
_PLACE = (
    ("--altitude", "altitude", _number, "H", "height of the water above sea level"),
    ("--surface-pressure", "surface_pressure", _number, "BAR", "instead of an altitude"),
    ("--water", "water", _number_or("fresh", "sea"), "WATER", "fresh, sea or kg/m3; else gauge"),
)
_DIVER = (
    ("--acclimatised-to", "acclimatised_to", _number_or("here"), "H", "a height, or here"),
    ("--vapour", "vapour", _number, "BAR", "water vapour in the lungs"),
)
# What a table does not always say of itself; what is not said is tried.
_SAID = (
    ("--minutes", "minutes", str, "MEAN", "without travel, with travel or leave at"),
    ("--bottom-from", "bottom_from", str, "WHENCE", "surface or arrival"),
    ("--switch-minute", "switch_minute", str, "WHERE", "on arrival, inside or before the stop"),
)
_OF_PLANS = ("--rounding", "--resolution", "--min-stop", "--rmv", "--deco-rmv")
_Flags = tuple[tuple[str, str, "Callable[[str], Any]", str, str], ...]
# What a flag makes void in the file it is given with.
_REPLACES = {
    "ladder": ("spacing", "last_stop"),
    "spacing": ("ladder",),
    "last_stop": ("ladder",),
}


def _add(parser: argparse.ArgumentParser, title: str, flags: _Flags) -> None:
    group = parser.add_argument_group(title)
    for flag, name, read, shows, text in flags:
        group.add_argument(
            flag, dest=name, type=read, metavar=shows, help=text, default=argparse.SUPPRESS
        )


def _parser() -> _Parser:
    parser = _Parser(
        prog="upline",
        description="Decompression schedules for dives on several gases.",
        epilog=_core.foot,
        allow_abbrev=False,
    )
    parser.add_argument("--version", action="version", version=f"upline {_core.__version__}")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", parser_class=_Parser)
    _add_plan(commands)
    _add_check(commands)
    _add_gas(commands)
    return parser


def _add_plan(commands: argparse._SubParsersAction[_Parser]) -> None:
    parser = commands.add_parser(
        "plan",
        help="the schedule of a dive",
        description="Print the schedule of a dive from a file, from flags, or from a file with "
        "some of its keys replaced by flags.",
        epilog=_core.foot,
        allow_abbrev=False,
    )
    parser.add_argument("file", nargs="?", metavar="FILE.toml", help="see docs/dive-file.md")
    _add(parser, "the dive", _DIVE)
    parser.add_argument(
        "--level",
        dest="levels",
        action="append",
        type=_pair,
        metavar="D:MIN",
        help="instead of a depth, several times: depth and the run time at which it is left",
    )
    parser.add_argument(
        "--gas",
        dest="gases",
        action="append",
        metavar="MIX",
        help="several times, the bottom gas first: 18/45, 50, 50@21, O2",
    )
    _add(parser, "the ascent", _RULES)
    _add(parser, "the place", (*_PLACE, *_DIVER))
    parser.add_argument(
        "--earlier", metavar="FILE.json", help="an earlier plan, as --json wrote it"
    )
    parser.add_argument("--rest", type=_number, metavar="MIN", help="at the surface since then")
    _add_output(parser)
    parser.set_defaults(run=_plan)


def _add_check(commands: argparse._SubParsersAction[_Parser]) -> None:
    parser = commands.add_parser(
        "check",
        help="whether a table cut elsewhere satisfies a pair of gradient factors",
        description="Check a table in every way in which it can be read. Exit code 0: it "
        "satisfies the factors, 1: it does not, 3: it depends on the reading.",
        epilog=_core.foot,
        allow_abbrev=False,
    )
    parser.add_argument("table", metavar="TABLE", help="a file, or rows such as '24/2 21/1 6/20'")
    _add(parser, "the dive", (*_DIVE, *_SAID))
    parser.add_argument(
        "--gas",
        dest="gases",
        action="append",
        metavar="MIX",
        help="several times, the bottom gas first, where the table does not say them",
    )
    _add(parser, "the ascent", tuple(one for one in _RULES if one[0] not in _OF_PLANS))
    _add(parser, "the place", (*_PLACE, *_DIVER))
    _add_output(parser)
    parser.set_defaults(run=_check)


def _add_gas(commands: argparse._SubParsersAction[_Parser]) -> None:
    parser = commands.add_parser(
        "gas",
        help="what a mix does at a depth",
        description="Print operating depths of a mix, and what it does at a depth.",
        epilog=_core.foot,
        allow_abbrev=False,
    )
    parser.add_argument("mix", metavar="MIX", help="air, 32, 18/45, O2")
    parser.add_argument("--depth", type=_number, metavar="D", help="at which it is breathed")
    _add(parser, "the place", _PLACE)
    _add_output(parser)
    parser.set_defaults(run=_gas)


def _add_output(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--units", default=argparse.SUPPRESS, metavar="SYSTEM", help="metric or imperial"
    )
    parser.add_argument("--json", action="store_true", help="as data")


def _environment(
    given: dict[str, Any], units: Any, before: _core.Environment | None = None
) -> _core.Environment | None:
    """Take the keys of the place out of what was given, and put them over those known before."""
    values = {name: given.pop(name) for _, name, *_ in (*_PLACE, *_DIVER) if name in given}
    if not values:
        return before
    known = {} if before is None else before.arguments
    for name, void in (("altitude", "surface_pressure"), ("surface_pressure", "altitude")):
        if name in values:
            known.pop(void, None)
    return _core.Environment(**{"units": units, **known, **values})


# ---- plan ----------------------------------------------------------------------------------------


def _plan(given: dict[str, Any]) -> int:
    as_json = given.pop("json")
    dive = _dive(given)
    plan = dive.plan()
    if as_json:
        heading = {"name": dive.name, "notes": dive.notes}
        print(json.dumps({**heading, **plan.to_dict()}, indent=2, allow_nan=False))
    else:
        print(_heading(dive) + str(plan), end="")
    if not plan.refused:
        return YES
    print("upline: refused: see the cautions marked refuses", file=sys.stderr)
    return REFUSED


def _dive(given: dict[str, Any]) -> _dive_file.DiveFile:
    """Return the dive of the file, if any, with what the flags replace."""
    path = given.pop("file")
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
    environment = _environment(given, units, arguments.get("environment"))
    if environment is not None:
        given["environment"] = environment
    for name in given:
        for void in _REPLACES.get(name, ()):
            arguments.pop(void, None)
    return _dive_file.DiveFile(dive.name, dive.notes, {**arguments, **given})


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
    stated = {"file": given.pop("earlier"), "rest": given.pop("rest")}
    stated = {key: value for key, value in stated.items() if value is not None}
    if stated:
        given["start"] = _dive_file.earlier(stated, Path())


def _heading(dive: _dive_file.DiveFile) -> str:
    """Name and notes of a dive, each line within the width of the table."""
    paragraphs = [text for text in (dive.name, dive.notes) if text and text.strip()]
    lines = [line for text in paragraphs for line in text.strip().splitlines()]
    shown = ["".join(c if c.isprintable() else "?" for c in line) for line in lines]
    wrapped = [textwrap.fill(line, WIDTH) for line in shown]
    return "\n".join(wrapped) + "\n\n" if wrapped else ""


# ---- gas -----------------------------------------------------------------------------------------


def _gas(given: dict[str, Any]) -> int:
    units = given.get("units", "metric")
    environment = _environment(given, units) or _core.Environment(units=units)
    sheet = gas_sheet(_core.Gas(given["mix"]), given["depth"], environment)
    print(json.dumps(sheet, indent=2, allow_nan=False) if given["json"] else gas_text(sheet))
    return YES


# ---- check ---------------------------------------------------------------------------------------


def _check(given: dict[str, Any]) -> int:
    as_json = given.pop("json")
    if given["gases"] is None:
        given.pop("gases")
    environment = _environment(given, given.get("units", "metric"))
    result = check(given.pop("table"), environment=environment, **given)
    print(json.dumps(result.to_dict(), indent=2, allow_nan=False) if as_json else result)
    if result.verdict == "cannot tell":
        return CANNOT_TELL
    refused = any(caution.severity == "refuses" for caution in result.cautions)
    return REFUSED if result.verdict == "does not" or refused else YES


# ---- main ----------------------------------------------------------------------------------------


def main(argv: Sequence[str] | None = None) -> int:
    """Run the command line and return its exit code.

    Parameters
    ----------
    argv : sequence of str, optional
        Arguments behind the program's name; those of the process if left out.
    """
    for stream in (sys.stdout, sys.stderr):
        with contextlib.suppress(AttributeError):
            stream.reconfigure(errors="replace")  # type: ignore[union-attr]
    try:
        return _run(sys.argv[1:] if argv is None else list(argv))
    except _core.Error as error:
        print(f"upline: {error}", file=sys.stderr)
        return UNUSABLE
    except BrokenPipeError:  # the reader has seen enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return UNUSABLE


def _run(argv: list[str]) -> int:
    parser = _parser()
    parsed, unread = parser.parse_known_args(argv)
    if unread:
        raise _unknown_flag(unread[0], parsed.command)
    if parsed.command is None:
        parser.error("a command is missing: plan, check or gas")
    given = vars(parsed)
    run: Callable[[dict[str, Any]], int] = given.pop("run")
    given.pop("command")
    code = run(given)
    sys.stdout.flush()
    return code


def _unknown_flag(flag: str, command: str | None) -> _core.Error:
    name = flag.partition("=")[0]
    known = [one[0] for one in (*_DIVE, *_RULES, *_PLACE, *_DIVER)]
    known += ["--level", "--gas", "--earlier", "--rest", "--units", "--json"]
    if command == "gas":
        known = ["--depth", *(one[0] for one in _PLACE), "--units", "--json"]
    if command == "check":
        known += [one[0] for one in _SAID]
    meant = _messages.nearest(name, known)
    remedy = f"write {meant}" if meant else f"see {' '.join(['upline', command or ''])} --help"
    return _core.Error(f"{_messages.word(name)} is no argument of this command. Remedy: {remedy}.")

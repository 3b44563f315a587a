"""The command ``slate``: what is cut of a dive, with rows for what may come otherwise."""

from __future__ import annotations

import argparse
import math
import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from .. import _core, _messages
from .._consumption import consumption
from .._contingency import Deviation, contingencies
from .._reserve import reserves
from .._slate import slate
from . import plan as plan_command
from .flags import CANNOT_TELL, REFUSED, YES, Parser, add_command, as_json, number, pair
from .kept import lacking_reserve

if TYPE_CHECKING:
    from collections.abc import Callable

    from .._core import Plan
    from .._dive_file import DiveFile
    from .._reserve_results import Reserves
    from .._slate.results import Slate


def _deeper_and_late(text: str) -> dict[str, Any]:
    deeper, later = pair(text)
    return {"deeper": deeper, "later": later}


def _reading(text: str) -> tuple[str, float | tuple[float, float]]:
    mix, sign, read = text.partition("=")
    if not sign:
        raise argparse.ArgumentTypeError(
            f"{_messages.word(text)} is no mix with its reading (50=50.4)"
        )
    oxygen, slash, helium = read.partition("/")
    return mix, (number(oxygen), number(helium)) if slash else number(oxygen)


# flag, what is read of it as fields of a Deviation, what it shows, help
_OTHERWISE: tuple[tuple[str, Callable[[str], dict[str, Any]], str, str], ...] = (
    ("--if-deeper", lambda text: {"deeper": number(text)}, "D", "a row: the bottom is deeper"),
    ("--if-late", lambda text: {"later": number(text)}, "MIN", "a row: the bottom is left later"),
    (
        "--if-deeper-and-late",
        _deeper_and_late,
        "D:MIN",
        "a row: both, such as 3:5",
    ),
    (
        "--if-lost",
        lambda text: {"lost": text.split(",")},
        "MIX",
        "a row: a gas is not there; 50,O2 for two at once",
    ),
    (
        "--if-switch-late",
        lambda text: {"late_switch": number(text)},
        "MIN",
        "a row: longer on the old gas at each switch",
    ),
    ("--if-slow", lambda text: {"ascent_rate": number(text)}, "RATE", "a row: no faster up"),
)
_WORDS = ("dive", "date", "team", "surface_support", "analysis", "turn_pressure", "reserve")
_FILES = ("pdf", "png", "html")
FLAGS = [
    *plan_command.FLAGS,
    *(flag for flag, *_ in _OTHERWISE),
    "--lost-last-stop",
    "--diver",
    *(f"--{name.replace('_', '-')}" for name in (*_WORDS, *_FILES, "markdown")),
]


def add(commands: argparse._SubParsersAction[Parser]) -> None:
    """Add the command."""
    parser = add_command(
        commands,
        "slate",
        "what is cut of a dive, in whole minutes",
        "Print the slate of a dive as plain text, and write it as PDF, PNG or HTML. The dive is "
        "given as to upline plan; each --if flag is a row. Exit code 0: a slate, 1: there is "
        "none, because a caution refuses the dive, or because the [reserve] of the file does not "
        "close, 2: unusable input, 3: there is none, because it cannot be told whether it does.",
        "upline slate docs/examples/quince.toml --date 2026-11-28 --team 'Ada, Ben, Cleo' \\\n"
        "      --if-deeper 3 --if-late 5 --if-lost 50 --pdf slate.pdf",
    )
    plan_command.add_dive(parser)
    _add_rows(parser.add_argument_group("what may come otherwise, a row for each flag"))
    _add_said(parser.add_argument_group("what is said beside it; else a blank to fill in"))
    group = parser.add_argument_group("forms")
    for name in _FILES:
        group.add_argument(f"--{name}", metavar="FILE", help=f"write it as {name.upper()} as well")
    group.add_argument("--markdown", action="store_true", help="print Markdown")
    parser.set_defaults(run=run, flags=FLAGS)


def _add_rows(group: argparse._ArgumentGroup) -> None:
    for flag, read, shows, text in _OTHERWISE:
        group.add_argument(
            flag, dest="otherwise", action="append", type=read, metavar=shows, help=text
        )
    group.add_argument(
        "--lost-last-stop", type=number, metavar="D", help="last stop of the rows of lost gases"
    )


def _add_said(group: argparse._ArgumentGroup) -> None:
    group.add_argument("--dive", metavar="NAME", help="that of the file, if not given")
    group.add_argument("--date", metavar="DATE", help="of the dive")
    group.add_argument("--team", metavar="NAMES", help="the diver, or several: 'Ada, Ben, Cleo'")
    group.add_argument(
        "--diver", metavar="NAME", help="one of the file's: the turn pressure is that of [reserve]"
    )
    group.add_argument("--surface-support", metavar="WORD", help="yes, no or unknown")
    group.add_argument(
        "--analysis",
        action="append",
        type=_reading,
        metavar="MIX=O2[/HE]",
        help="what the analyser read, in per cent: 50=50.4, 18/45=18.2/44.6",
    )
    for flag, text in (
        ("--turn-pressure", "at which the dive is turned"),
        ("--reserve", "that stays in it"),
    ):
        group.add_argument(flag, type=number, metavar="P", help=f"{text} [bar or psi]")


def run(given: dict[str, Any]) -> int:
    """Print the slate, write its files, and return the exit code."""
    forms = {name: given.pop(name) for name in (*_FILES, "markdown", "json")}
    if forms["markdown"] and forms["json"]:
        raise _core.Error("--markdown is given beside --json. Remedy: leave one of them out.")
    deviations = _deviations(given)
    said = {name: given.pop(name) for name in _WORDS}
    diver = given.pop("diver")
    dive = plan_command.dive_of(given)
    plan = dive.plan()
    known = _said(said, dive)
    if diver is not None:
        known = {**known, "team": [_one_of(dive, diver)]}
    if dive.divers and dive.reserve is not None and not plan.refused:
        lacking = lacking_reserve(dive)
        if lacking:
            print(f"upline: no slate. {' '.join(lacking)}", file=sys.stderr)
            return CANNOT_TELL
        asked = dive.arguments
        if (asked.get("rounding", "departure"), asked.get("resolution", 1)) != ("departure", 1):
            raise _not_whole()
        kept = reserves(plan, dive.divers, **dive.reserve)
        forbidden = _does_not_close(kept) or _row_does_not_close(dive, plan, deviations)
        if forbidden:
            print(f"upline: no slate: {forbidden}", file=sys.stderr)
            return REFUSED
        if diver is not None:
            known = {**known, "turn_pressure": _turn_pressure(kept, dive, diver, known)}
    try:
        made = slate(plan, deviations, **known)
    except _core.InvalidInput as error:
        if error.field != "plan":
            raise
        print(f"upline: {error}", file=sys.stderr)
        return REFUSED
    _write(made, forms)
    shown = as_json(made.to_dict()) if forms["json"] else made.text
    print(made.to_markdown() if forms["markdown"] else shown, end="\n" if forms["json"] else "")
    return YES


def _not_whole() -> Exception:
    return _core.invalid_input(
        "rounding",
        "other than whole minutes at leaving a stop",
        "departure, with a resolution of 1, for a file with [reserve]",
        "leave rounding and resolution out: the gas is counted on the schedule that is cut",
    )


def _does_not_close(kept: Reserves) -> str:
    """Return why what the file wants kept forbids a slate; empty where it does not."""
    if kept.closes:
        return ""
    until = kept.limit.bottom_time
    longest = "at no bottom time" if until is None else f"up to {until:g} min of bottom time"
    return (
        "what the [reserve] of the file wants kept does not close on this dive; it does "
        f"{longest}. Remedy: shorten the dive, or change the file; upline supply has the numbers."
    )


def _row_does_not_close(dive: DiveFile, plan: Plan, deviations: list[Deviation]) -> str:
    """Return which row has no gas: reserves where nothing is lost, else each diver's own."""
    for row in contingencies(plan, deviations).rows if deviations else ():
        if row.plan is None or row.plan.refused:
            continue  # it gets no times
        if row.what.lost:
            short = [
                one.name
                for one in dive.divers
                if not consumption(row.plan, one, stress_from=row.plan.bottom_time).closes
            ]
            if short:
                return (
                    f"the row {row.name!r} takes more gas than {', '.join(short)} will have, at "
                    "the stress rate from leaving the bottom. Remedy: leave the row out, or "
                    "shorten the dive; upline supply has the deadlines."
                )
        elif not reserves(row.plan, dive.divers, **(dive.reserve or {})).closes:
            return (
                f"what the [reserve] of the file wants kept does not close on the row "
                f"{row.name!r}. Remedy: leave the row out, or shorten the dive."
            )
    return ""


def _one_of(dive: DiveFile, name: str) -> str:
    if any(one.name == name for one in dive.divers):
        return name
    raise _core.invalid_input(
        "--diver",
        _messages.word(name),
        "a diver of the file: " + (", ".join(one.name for one in dive.divers) or "it names none"),
        "name one of them, or give --team",
    )


def _turn_pressure(
    kept: Reserves, dive: DiveFile, diver: str, known: dict[str, Any]
) -> float | None:
    """Return the largest reading of the bottom gas at which those who share still come up.

    One that is typed must not be lower. Nothing where several cylinders would have to read so
    at once: one number would be misread.
    """
    needs = [one for one in kept.requirements if (one.diver, one.what) == (diver, "sharing")]
    least = max((one.reading for one in needs if one.reading is not None), default=None)
    typed: float | None = known.get("turn_pressure")
    if typed is not None and least is not None and typed < least:
        raise _core.invalid_input(
            "--turn-pressure",
            f"{typed:g}",
            f"{math.ceil(least)} or more, which the [reserve] of the file needs",
            "leave it out, or change the file",
        )
    if typed is not None:
        return typed
    bottom = {one.gas for one in needs}
    carried = next(one for one in dive.divers if one.name == diver).cylinders
    return least if sum(one.gas in bottom for one in carried) == 1 else None


def _deviations(given: dict[str, Any]) -> list[Deviation]:
    """Take the rows out of what was given, in its order."""
    last = given.pop("lost_last_stop")
    rows = given.pop("otherwise") or []
    if last is not None and not any("lost" in row for row in rows):
        raise _core.Error("--lost-last-stop stands without --if-lost. Remedy: name a gas by it.")
    return [
        Deviation(**row, **({"last_stop": last} if "lost" in row and last is not None else {}))
        for row in rows
    ]


def _said(said: dict[str, Any], dive: DiveFile) -> dict[str, Any]:
    """Return what is known; names that are not given are those of the file."""
    known = {key: value for key, value in said.items() if value is not None}
    if "analysis" in known:
        readings = known["analysis"]
        known["analysis"] = dict(readings)
        if len(known["analysis"]) != len(readings):
            raise _core.Error("--analysis names a mix twice. Remedy: keep the one that counts.")
    team = [_messages.plain(one.name, 60) for one in dive.divers]
    return {"dive": dive.name, "team": team or None, **known}


def _write(made: Slate, forms: dict[str, Any]) -> None:
    if forms["pdf"]:
        made.to_pdf(forms["pdf"])
    if forms["png"]:
        made.to_png(forms["png"])
    if not forms["html"]:
        return
    try:
        Path(forms["html"]).write_text(made.to_html(), encoding="utf-8")
    except (OSError, ValueError) as error:
        why = error.strerror if isinstance(error, OSError) else error
        raise _core.Error(
            f"{_messages.word(os.fspath(forms['html']))} cannot be written ({why}). Remedy: choose "
            "another path."
        ) from None

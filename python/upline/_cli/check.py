"""The command ``check``: whether a table cut elsewhere satisfies a pair of gradient factors."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from .. import _core, _messages
from .._check import check
from .flags import (
    CANNOT_TELL,
    DIVE,
    DIVER,
    NEEDED,
    OUTPUT,
    PLACE,
    REFUSED,
    RULES,
    YES,
    Parser,
    add_command,
    add_flags,
    add_gases,
    add_output,
    as_json,
    environment,
    missing_flags,
)
from .misplaced import are_rows, misplaced

if TYPE_CHECKING:
    import argparse

    from .flags import Flags

# What a table does not always say of itself; what is not said is tried.
_SAID: Flags = (
    ("--minutes", "minutes", str, "MEAN", "without travel, with travel or leave at"),
    ("--bottom-from", "bottom_from", str, "WHENCE", "surface or arrival"),
    ("--switch-minute", "switch_minute", str, "WHERE", "on arrival, inside or before the stop"),
)
_OF_PLANS = ("--rounding", "--resolution", "--min-stop", "--rmv", "--deco-rmv")
_OWN_RULES: Flags = tuple(one for one in RULES if one[0] not in _OF_PLANS)
FLAGS = [one[0] for one in (*DIVE, *_SAID, *_OWN_RULES, *PLACE, *DIVER)] + ["--gas", *OUTPUT]


def add(commands: argparse._SubParsersAction[Parser]) -> None:
    """Add the command."""
    parser = add_command(
        commands,
        "check",
        "whether a table cut elsewhere satisfies a pair of gradient factors",
        "Check a table in every way in which it can be read. Exit code 0: it satisfies the "
        "factors, 1: it does not, or something else refuses it, 3: it depends on the reading.",
        "upline check '27/1 24/2 21/1 18/2 15/2 12/4 9/6 6/21' --depth 57 --bottom-time 25 \\\n"
        "      --gas 18/45 50 O2 --gf 40/80",
    )
    parser.add_argument(
        "table", nargs="?", metavar="TABLE", help="a file, or rows such as '24/2 21/1 6/20'"
    )
    add_flags(parser, "the dive", (*DIVE, *_SAID))
    add_gases(parser, "the bottom gas first, where the table does not say them: 18/45 50 O2")
    add_flags(parser, "the ascent", _OWN_RULES)
    add_flags(parser, "the place", (*PLACE, *DIVER))
    add_output(parser)
    parser.set_defaults(run=run, flags=FLAGS)


def run(given: dict[str, Any]) -> int:
    """Print the verdict, and return the exit code."""
    json_wanted = given.pop("json")
    table = _table(given)
    if given["gases"] is None:
        given.pop("gases")
    place = environment(given, given.get("units", "metric"))
    try:
        result = check(table, environment=place, **given)
    except _core.InvalidInput as error:  # what is missing may stand in the table instead
        names = _missing(error)
        if not names:
            raise
        raise missing_flags(names, ", or write it into the table") from None
    print(as_json(result.to_dict()) if json_wanted else result)
    if result.refused:  # whatever the limit line says
        return REFUSED
    if result.verdict == "cannot tell":
        return CANNOT_TELL
    refused = any(caution.severity == "refuses" for caution in result.cautions)
    return REFUSED if result.verdict == "does not" or refused else YES


def _missing(error: _core.InvalidInput) -> list[str]:
    """Return what an error says is missing, as far as there is a flag for it."""
    without = "without "
    if error.value == "missing":
        names = [error.field]
    elif error.value.startswith(without):
        names = error.value.removeprefix(without).split(", ")
    else:
        return []
    return names if all(name in NEEDED for name in names) else []


def misplaced_words(words: list[str], given: dict[str, Any]) -> _core.Error:
    """Return the error for words behind the table that stand without a flag."""
    first = given["table"]
    if first is not None and are_rows([first, *words]):
        rows = _messages.plain(" ".join([first, *words]), 100)
        return _core.Error(
            f"the rows of a table stand without quotes. Remedy: write upline check '{rows}'."
        )
    return misplaced(words, given)


def _table(given: dict[str, Any]) -> str:
    """Take the table out of what was given; behind --gas it is read as one mix more."""
    table: str | None = given.pop("table")
    gases = given["gases"]
    if table is None and gases and Path(gases[-1]).is_file():
        table = gases.pop()
    if table is None:
        raise _core.Error(
            "no table is given. Remedy: name it first: upline check TABLE --depth D "
            "--bottom-time MIN --gas MIX ... --gf LOW/HIGH."
        )
    if table.lower().endswith(".toml"):
        raise _core.invalid_input(
            "table",
            f"{_messages.word(table)}, which is a dive file",
            "a table, such as stop depths and minutes",
            "plan a dive file with upline plan, or name the table here",
        )
    return table

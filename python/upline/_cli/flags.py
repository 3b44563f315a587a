"""Flags of the command line: how they are read, and which of them belong together."""

from __future__ import annotations

import argparse
import json
import re
import textwrap
from typing import TYPE_CHECKING, Any, NoReturn

from .. import _core, _messages

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    Flags = tuple[tuple[str, str, "Callable[[str], Any]", str, str], ...]

YES, REFUSED, UNUSABLE, CANNOT_TELL = 0, 1, 2, 3
WIDTH = 88


class Parser(argparse.ArgumentParser):
    """A parser whose errors are one line, like all others of this program."""

    def error(self, message: str) -> NoReturn:
        """Raise an error of the library, which ends up on standard error."""
        raise _core.Error(f"{_messages.plain(message, 300)}. Remedy: see {self.prog} --help.")


# ---- reading -------------------------------------------------------------------------------------


def number(text: str) -> float:
    """Read one number."""
    try:
        return float(text)
    except ValueError:
        shown = _messages.word(text)
        raise argparse.ArgumentTypeError(f"{shown} is no number ({_how(text)})") from None


def _how(text: str) -> str:
    """Return how a number is written that was meant by a text which is none."""
    if re.fullmatch(r"\d+:\d\d", text):
        return "write minutes as one number, 25 or 0.5"
    found = re.fullmatch(r"(\d+(?:[.,]\d+)?)\s*([a-z/']*)", text.lower())
    if found:
        plain = found[1].replace(",", ".")
        feet = found[2].startswith(("ft", "feet", "foot", "'"))
        if found[2]:
            return f"write {plain}, without a unit" + (", and --units imperial" if feet else "")
        return f"write {plain}, with a decimal point"
    parts = text.replace(",", " ").replace(";", " ").split()
    if len(parts) > 1 and all(map(is_number, parts)):
        return "write one number; several only to --ladder, as 21,12,6"
    return "write it as 57.5; feet need --units imperial"


def _numbers(text: str) -> list[float]:
    return [number(part) for part in text.split(",")]


def pair(text: str) -> tuple[float, float]:
    """Read two numbers with a colon between them."""
    first, colon, second = text.partition(":")
    if not colon:
        raise argparse.ArgumentTypeError(
            f"{_messages.word(text)} is no pair of numbers with a colon between them"
        )
    return number(first), number(second)


def _rates(text: str) -> float | list[tuple[float, float]]:
    return [pair(part) for part in text.split(",")] if ":" in text else number(text)


def _gas_and_depth(text: str) -> tuple[str, float]:
    gas, at, depth = text.partition("@")
    if not at:
        raise argparse.ArgumentTypeError(f"{_messages.word(text)} is no mix with a depth (50@17)")
    return gas, number(depth)


def _number_or_word(text: str) -> float | str:
    """Read a number; a word is left to the library, which knows which ones there are."""
    try:
        return float(text)
    except ValueError:
        return text


# ---- flags ---------------------------------------------------------------------------------------

# flag, keyword of plan(), how it is read, what it shows, help
DIVE: Flags = (
    ("--depth", "depth", number, "D", "depth of the bottom"),
    ("--bottom-time", "bottom_time", number, "MIN", "surface to leaving the bottom"),
    ("--travel", "travel", _gas_and_depth, "MIX@D", "gas on the way down, and to which depth"),
)
RULES: Flags = (
    ("--gf", "gf", str, "LOW/HIGH", "gradient factors in per cent, such as 40/80; no default"),
    ("--model", "model", str, "NAME", "parameter set, such as ZH-L16C"),
    ("--rounding", "rounding", str, "HOW", "departure, duration or exact"),
    ("--resolution", "resolution", number, "MIN", "to which times are rounded up"),
    ("--min-stop", "min_stop", number, "MIN", "least time where a wait is needed"),
    ("--switch-time", "switch_time", number, "MIN", "on the old gas at each switch"),
    ("--spacing", "spacing", number, "D", "distance between rungs"),
    ("--last-stop", "last_stop", number, "D", "shallowest stop"),
    ("--ladder", "ladder", _numbers, "D,D,...", "or exactly these rungs"),
    ("--descent-rate", "descent_rate", number, "RATE", "m/min, or ft/min"),
    ("--ascent-rate", "ascent_rate", _rates, "RATE", "or DEEPER_THAN:RATE,... down to 0:RATE"),
    ("--surfacing-rate", "surfacing_rate", number, "RATE", "of the last ascent"),
    ("--max-po2", "max_po2", number, "BAR", "limit of bottom and travel gas"),
    ("--max-deco-po2", "max_deco_po2", number, "BAR", "limit of the gases of the ascent"),
    ("--po2-tolerance", "po2_tolerance", number, "BAR", "added to both limits, and noted"),
    ("--min-po2", "min_po2", number, "BAR", "nothing leaner is breathed"),
    ("--rmv", "rmv", number, "RATE", "L/min, or cu ft/min, until the bottom is left"),
    ("--deco-rmv", "deco_rmv", number, "RATE", "and from then on"),
)
PLACE: Flags = (
    ("--altitude", "altitude", number, "H", "height of the water above sea level"),
    ("--surface-pressure", "surface_pressure", number, "BAR", "instead of an altitude"),
    ("--water", "water", _number_or_word, "WATER", "fresh, sea or kg/m3; else gauge"),
)
DIVER: Flags = (
    ("--acclimatised-to", "acclimatised_to", _number_or_word, "H", "a height, or here"),
    ("--vapour", "vapour", number, "BAR", "water vapour in the lungs"),
)
OUTPUT = ("--units", "--json")
#: What a dive cannot do without. The factors are a form to fill in, no proposal.
NEEDED = {
    "depth": "--depth D",
    "bottom_time": "--bottom-time MIN",
    "gases": "--gas MIX ...",
    "gf": "--gf LOW/HIGH (such as --gf 40/80)",
}


def add_flags(parser: argparse.ArgumentParser, title: str, flags: Flags) -> None:
    """Add a group of flags; those that are not given are left out of the result."""
    group = parser.add_argument_group(title)
    for flag, name, read, shows, text in flags:
        group.add_argument(
            flag, dest=name, type=read, metavar=shows, help=text, default=argparse.SUPPRESS
        )


def add_gases(parser: argparse.ArgumentParser, text: str) -> None:
    """Add the flag that takes mixes, several behind one flag or the flag several times."""
    parser.add_argument("--gas", dest="gases", action="extend", nargs="+", metavar="MIX", help=text)


def add_output(parser: argparse.ArgumentParser) -> None:
    """Add what every command takes."""
    parser.add_argument(
        "--units", default=argparse.SUPPRESS, metavar="SYSTEM", help="metric or imperial"
    )
    parser.add_argument("--json", action="store_true", help="as data")


def add_command(
    commands: argparse._SubParsersAction[Parser],
    name: str,
    text: str,
    description: str,
    example: str,
) -> Parser:
    """Add a command whose help shows an example and the caution."""
    parts = (f"example:\n  {example}", textwrap.fill(_core.foot, WIDTH))
    return commands.add_parser(
        name,
        help=text,
        description=textwrap.fill(description, WIDTH),
        epilog="\n\n".join(parts),
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )


# ---- what was given ------------------------------------------------------------------------------


def environment(
    given: dict[str, Any], units: Any, before: _core.Environment | None = None
) -> _core.Environment | None:
    """Take the keys of the place out of what was given, and put them over those known before."""
    values = {name: given.pop(name) for _, name, *_ in (*PLACE, *DIVER) if name in given}
    if not values:
        return before
    known = {} if before is None else before.arguments
    for name, void in (("altitude", "surface_pressure"), ("surface_pressure", "altitude")):
        if name in values:
            known.pop(void, None)
    return _core.Environment(**{"units": units, **known, **values})


def require(given: Iterable[str], needed: dict[str, str], tail: str = "") -> None:
    """Raise unless all that is needed was given.

    `needed` holds for each keyword what the flag looks like; `tail` ends the remedy.
    """
    given = set(given)
    missing = [name for name in needed if name not in given]
    if missing:
        raise missing_flags(missing, tail)


def missing_flags(missing: Sequence[str], tail: str = "") -> _core.Error:
    """Return the error for keywords of NEEDED that were not given."""
    *others, last = missing
    names = f"{', '.join(others)} and {last} are" if others else f"{last} is"
    flags = " ".join(NEEDED[name] for name in missing)
    why = (
        "; gradient factors decide how long the ascent is, so there is no default"
        if "gf" in missing
        else ""
    )
    return _core.Error(f"{names} missing{why}. Remedy: add {flags}{tail}.")


def is_mix(text: str) -> bool:
    """Return whether a text is read as a mix."""
    try:
        _core.Gas(text.partition("@")[0])
    except _core.Error:
        return False
    return True


def is_number(text: str) -> bool:
    """Return whether a text is read as a number."""
    try:
        float(text)
    except ValueError:
        return False
    return True


def as_json(data: dict[str, Any]) -> str:
    """Return data as the commands print it."""
    return json.dumps(data, indent=2, allow_nan=False)

"""The command line: ``plan``, ``slate``, ``check``, ``supply``, ``kit``, ``gas`` and ``blend``.

Exit codes: 0 yes, 1 no or refused by a caution, 2 unusable input, 3 cannot tell.
"""

from __future__ import annotations

import contextlib
import os
import sys
import textwrap
from typing import TYPE_CHECKING, Any

from .. import _core, _messages
from . import blend, check, gas, kit, plan, slate, supply
from .flags import UNUSABLE, WIDTH, Parser
from .misplaced import misplaced

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

_COMMANDS = (plan, slate, check, supply, kit, gas, blend)
_NAMES = ("plan", "slate", "check", "supply", "kit", "gas", "blend")
_LISTED = "plan, slate, check, supply, kit, gas and blend"
#: Flags that are nearer to another one by their letters than to the one that is meant.
_SYNONYMS = {
    "--time": "--bottom-time",
    "--minutes": "--bottom-time",
    "--feet": "--units imperial",
    "--ft": "--units imperial",
    "--imperial": "--units imperial",
    "--metric": "--units metric",
    "--gradient-factors": "--gf",
    "--sac": "--rmv",
    "--deco-sac": "--deco-rmv",
}


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


def _parser() -> Parser:
    parser = Parser(
        prog="upline",
        description="Decompression schedules for dives on several gases.",
        epilog=textwrap.fill(_core.foot, WIDTH),
        allow_abbrev=False,
    )
    parser.add_argument("--version", action="version", version=f"upline {_core.__version__}")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", parser_class=Parser)
    for one in _COMMANDS:
        one.add(commands)
    return parser


def _run(argv: list[str]) -> int:
    parser = _parser()
    _require_command(parser, argv)
    parsed, unread = parser.parse_known_args(argv)
    given = vars(parsed)
    command, flags = given.pop("command"), given.pop("flags")
    if unread:
        raise _unread(unread, command, flags, given)
    run: Callable[[dict[str, Any]], int] = given.pop("run")
    code = run(given)
    sys.stdout.flush()
    return code


def _require_command(parser: Parser, argv: list[str]) -> None:
    """Raise where the first argument cannot be meant as a command."""
    if not argv:
        parser.error(f"a command is missing; there are {_LISTED}")
    first = argv[0]
    if first.startswith("-") and first not in ("-h", "--help", "--version"):
        raise _core.Error(
            f"{_messages.word(first)} stands before the command. Remedy: name the command first; "
            f"there are {_LISTED}."
        )
    known = first.startswith("-") or first in _NAMES
    meant = None if known else _messages.nearest(first, _NAMES)
    if meant is not None and not os.path.exists(first):
        raise _core.Error(
            f"{_messages.word(first)} is no command. Remedy: write upline {meant}; there are "
            f"{_LISTED}."
        )
    if first.lower().endswith(".toml"):
        raise _core.Error(
            f"{_messages.word(first)} stands without a command. Remedy: write upline plan "
            f"{_messages.plain(first, 60)}."
        )


def _unread(
    unread: list[str], command: str, flags: list[str], given: dict[str, Any]
) -> _core.Error:
    """Return the error for arguments that no flag and no place of a command takes."""
    unknown = [word for word in unread if word.startswith("-")]
    if not unknown and command in ("plan", "slate", "supply"):
        first = given["file"]
        words = [first, *unread] if first and not os.path.exists(first) else unread
        return misplaced(words, given)
    if not unknown and command == "check":
        return check.misplaced_words(unread, given)
    if not unknown and command == "gas":
        return gas.misplaced(given["mix"], unread)
    name = (unknown or unread)[0].partition("=")[0]
    meant = _SYNONYMS.get(name.lower()) or _messages.nearest(name, flags)
    fits = meant is not None and meant.partition(" ")[0] in flags
    remedy = f"write {meant}" if fits else f"see upline {command} --help"
    return _core.Error(f"{_messages.word(name)} is no argument of this command. Remedy: {remedy}.")

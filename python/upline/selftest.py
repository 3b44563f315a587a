"""Check an installation: ``python -m upline.selftest`` replays the reference values.

Exit codes: 0 every value agrees, 1 one differs or there is nothing to compare, 2 unusable
arguments. It needs NumPy alone.
"""

from __future__ import annotations

import argparse
import contextlib
import json
import math
import os
import platform
import sys
import textwrap
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from . import _core, _reference

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from importlib.resources.abc import Traversable

__all__ = ["main"]

_WIDTH = 88
_MEANING = (
    "Agreement shows that this installation computes what the tables state: rows marked derived "
    "are the project's own definition, computed beforehand. It shows nothing about a dive."
)


def main(argv: Sequence[str] | None = None, folder: Traversable | None = None) -> int:
    """Compare every reference value with what this installation computes, and print both.

    Parameters
    ----------
    argv : sequence of str, optional
        Arguments behind the program's name, such as ``["--json"]``; those of the process if left
        out.
    folder : Traversable, optional
        Folder of the tables; those that were installed with the package if left out.

    Returns
    -------
    int
        Exit code: 0 if every value agrees, 1 if one differs or a table is missing or empty.
    """
    as_json = _parser().parse_args(argv).json
    try:
        checks = _reference.checks(_reference.tables(folder))
    except _core.Error as error:
        print(f"upline.selftest: {error}", file=sys.stderr)
        return 1
    with _reader_may_leave():
        if as_json:
            print(json.dumps(_record(checks), indent=2, allow_nan=False))
        else:
            print("\n".join(_text(checks)))
    return 0 if _agree(checks) else 1


def _agree(checks: list[_reference.Check]) -> bool:
    return all(check.agrees for check in checks)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python -m upline.selftest",
        description="Compare the reference values that the package carries with what this "
        "installation computes. Exits 0 if every value agrees, else 1.",
        epilog=_core.foot,
        allow_abbrev=False,
    )
    parser.add_argument("--json", action="store_true", help="as data")
    return parser


@contextlib.contextmanager
def _reader_may_leave() -> Iterator[None]:
    """Take a reader that has seen enough for no failure."""
    try:
        yield
        sys.stdout.flush()
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


# ---- what is said --------------------------------------------------------------------------------


def _installation() -> dict[str, str]:
    return {
        "upline": _core.__version__,
        "compiled_part": Path(_core.__file__).name,
        "python": platform.python_version(),
        "numpy": np.__version__,
        "platform": platform.platform(),
    }


def _record(checks: list[_reference.Check]) -> dict[str, Any]:
    return {
        "schema": 1,
        "kind": "selftest",
        "agrees": _agree(checks),
        "checks": [_row(check) for check in checks],
        "installation": _installation(),
        "foot": _core.foot,
    }


def _row(check: _reference.Check) -> dict[str, Any]:
    def number(value: float) -> float | None:
        return value if math.isfinite(value) else None

    return {
        "table": check.table,
        "row": check.row,
        "what": check.what,
        "given": check.given,
        "computed": number(check.computed),
        "difference": number(check.difference),
        "tolerance": number(check.tolerance),
        "agrees": check.agrees,
        "problem": check.problem,
        "source": check.source,
        "confidence": check.confidence,
    }


def _text(checks: list[_reference.Check]) -> Iterator[str]:
    columns = ("given", "computed", "difference", "allowed")
    yield f"  {'':<26}" + "".join(f" {column:>12}" for column in columns)
    for heading, group in groupby(checks, _heading):
        yield textwrap.fill(heading, _WIDTH, subsequent_indent="  ")
        yield from (_line(check) for check in group)
    yield ""
    differ = [check for check in checks if not check.agrees]
    for check in differ:
        yield f"differs: {check.table}, {check.row}: {' '.join(_line(check).split())}"
    yield f"{len(checks) - len(differ)} of {len(checks)} values agree."
    here = _installation()
    yield textwrap.fill(
        f"upline {here['upline']} ({here['compiled_part']}), Python {here['python']}, "
        f"NumPy {here['numpy']}, {here['platform']}",
        _WIDTH,
        break_on_hyphens=False,
    )
    yield ""
    yield textwrap.fill(f"{_MEANING} {_core.foot}", _WIDTH)


def _heading(check: _reference.Check) -> str:
    return f"{check.table}, {check.row}: {check.source} ({check.confidence})"


def _line(check: _reference.Check) -> str:
    if check.problem:
        return f"  {check.what:<26} {check.given:>12} {check.problem}  DIFFERS"
    digits = len(check.given.partition(".")[2]) + 2
    computed = f"{check.computed:.{digits}f}" if digits > 2 else f"{check.computed:.10g}"
    verdict = "agrees" if check.agrees else "DIFFERS"
    return (
        f"  {check.what:<26} {check.given:>12} {computed:>12} {check.difference:>+12.1e} "
        f"{check.tolerance:>12.1e}  {verdict}"
    )


if __name__ == "__main__":
    sys.exit(main())

"""What the command ``supply`` says beyond the dive as planned: reserves, deadlines, lost gas."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from .. import _core
from .._dive_team import LOST_GAS, RESERVE
from .._lost_gas import LostGas, lost_gas
from .._reserve import deadlines, reserves
from .flags import WIDTH

if TYPE_CHECKING:
    from .._core import Plan
    from .._dive_file import DiveFile
    from .._reserve_results import Deadlines, Reserves


@dataclass(frozen=True)
class Kept:
    """What was asked for and found; each is None where the file does not ask, or cannot be told.

    Attributes
    ----------
    missing : tuple of str
        Why something that is asked for cannot be told.
    """

    reserves: Reserves | None
    deadlines: Deadlines | None
    lost: LostGas | None
    missing: tuple[str, ...]

    @property
    def closes(self) -> bool | None:
        """Whether all that is asked for closes; None where that cannot be told."""
        found = [one.closes for one in (self.reserves, self.lost) if one is not None]
        if not all(found):
            return False
        return None if self.missing else True

    def blocks(self) -> list[str]:
        """Return a block of text for each answer; the foot stands once, below all of them."""
        texts = [str(one) for one in (self.reserves, self.deadlines, self.lost) if one is not None]
        return [*map(_body, texts), *(textwrap.fill(one, WIDTH) for one in self.missing)]

    def to_dict(self) -> dict[str, Any]:
        """Return plain data that JSON can hold."""
        return {
            "reserves": None if self.reserves is None else self.reserves.to_dict(),
            "deadlines": None if self.deadlines is None else self.deadlines.to_dict(),
            "lost_gas": None if self.lost is None else self.lost.to_dict(),
        }


def kept_of(dive: DiveFile, plan: Plan) -> Kept:
    """Answer what the tables [reserve] and [lost_gas] of a dive file ask.

    Only for a dive whose divers have a cylinder for each gas.
    """
    missing = [*lacking_reserve(dive),
               *_lacking(dive.lost_gas, LOST_GAS[:1], "lost_gas")]  # fmt: skip
    found = until = lost = None
    if dive.reserve is not None and not lacking_reserve(dive):
        found = reserves(plan, dive.divers, **dive.reserve)
        until = deadlines(plan, dive.divers, **dive.reserve)
    if dive.lost_gas is not None and not _lacking(dive.lost_gas, LOST_GAS[:1], "lost_gas"):
        lost = lost_gas(plan, dive.divers, **dive.lost_gas)
    return Kept(found, until, lost, tuple(missing))


def lacking_reserve(dive: DiveFile) -> list[str]:
    """Return what [reserve] does not state, in a sentence; nothing where there is no table."""
    return _lacking(dive.reserve, RESERVE, "reserve")


def _lacking(table: dict[str, Any] | None, needed: tuple[str, ...], name: str) -> list[str]:
    """Return what a table that is there does not state, in a sentence."""
    absent = [key for key in needed if table is not None and key not in table]
    if not absent:
        return []
    return [
        f"Cannot tell: [{name}] does not state {', '.join(absent)}. Remedy: state it; none of it "
        "has a default (docs/dive-file.md)."
    ]


def _body(text: str) -> str:
    """Return a text without the foot and the assumptions, which stand once for all."""
    blocks = text.rstrip("\n").split("\n\n")
    while blocks and (
        " ".join(blocks[-1].split()) == _core.foot or blocks[-1].startswith("Assumptions")
    ):
        blocks.pop()
    return "\n\n".join(blocks)

"""What the command ``supply`` says beyond the dive as planned: reserves, deadlines, lost gas."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from .. import _core
from .._dive_team import LOST_GAS, RESERVE
from .._lost_gas import LostGas, lost_gas
from .._reserve import deadlines, reserves

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

    def verdicts(self) -> list[str]:
        """Return the answers at a glance."""
        lines = list(self.missing)
        if self.reserves is not None:
            until = self.reserves.limit.bottom_time
            longest = (
                "at no bottom time" if until is None else f"up to {until:g} min of bottom time"
            )
            lines.append(
                "What must stay in the cylinders: it is there."
                if self.reserves.closes
                else f"What must stay in the cylinders: it does not close; it does {longest}."
            )
        if self.lost is not None:
            lines.append(
                "A lost cylinder: everyone comes up from each, on own or shared gas."
                if self.lost.closes
                else "A lost cylinder: not everyone comes up from each; see below for the moments."
            )
        return lines

    def blocks(self) -> list[str]:
        """Return a block of text for each answer; the foot stands once, below all of them."""
        texts = [str(one) for one in (self.reserves, self.deadlines, self.lost) if one is not None]
        return [*map(_body, texts)]

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


def unanswered(dive: DiveFile) -> Kept:
    """Say that what a file asks cannot be told, because the plan's own gas cannot."""
    asks = [name for name in ("reserve", "lost_gas") if getattr(dive, name) is not None]
    if not asks or not dive.divers:
        return Kept(None, None, None, ())
    tables = " and ".join(f"[{name}]" for name in asks)
    return Kept(
        None,
        None,
        None,
        (f"Cannot tell: {tables} of the file is not answered, because of what stands below.",),
    )


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

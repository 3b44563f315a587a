"""What `slate` gives: rows, gases, words and cells, and the forms they are laid out in."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from .._calls import checked
from .._results import data_of
from .words import slate_to_document, slate_to_html, slate_to_markdown

if TYPE_CHECKING:
    import os

    from .._contingency import Deviation
    from .._core import Caution, Gas, Plan

__all__ = ["Slate", "SlateBlock", "SlateContingency", "SlateGas", "SlateParts", "SlateRow"]


@dataclass(frozen=True)
class SlateRow:
    """One line of a slate.

    Attributes
    ----------
    depth : float
        Of a level, of a stop, or of a switch on the way down [m or ft].
    leave_at : int or None
        Run time [min]; None where the way down goes on.
    stay : int or None
        Since the line before was left, travel included [min].
    gas : Gas
        On which it is left.
    switching : bool
        Whether that gas is taken up here.
    """

    depth: float
    leave_at: int | None
    stay: int | None
    gas: Gas
    switching: bool


@dataclass(frozen=True)
class SlateContingency:
    """A contingency as it is cut.

    Attributes
    ----------
    what : Deviation
    name : str
        "if 5 min late"
    valid_to, leave_by : int or None
        Whole metres or feet, and whole minutes, both rounded down.
    rows : tuple of SlateRow
        Empty where none may be cut.
    surface : int or None
        Run time at the surface, rounded up [min].
    reason : str
        Why there are no rows; empty where there are.
    cautions : tuple of Caution
        Those that say more than the plan's.
    """

    what: Deviation
    name: str
    valid_to: int | None
    leave_by: int | None
    rows: tuple[SlateRow, ...]
    surface: int | None
    reason: str
    cautions: tuple[Caution, ...]


@dataclass(frozen=True)
class SlateGas:
    """A mix and how deep it may be breathed.

    Attributes
    ----------
    gas : Gas
        As planned.
    oxygen, helium : float or None
        As analysed [1].
    deepest : int
        By the plan's oxygen limit with its tolerance, rounded down to whole metres or feet; the
        richer of mix and reading counts.
    po2 : float
        There [bar].
    shallowest : int
        By the plan's least oxygen pressure, rounded up.
    """

    gas: Gas
    oxygen: float | None
    helium: float | None
    deepest: int
    po2: float
    shallowest: int


@dataclass(frozen=True)
class SlateBlock:
    """A contingency in words and cells: title, stops and when they are left, words, cautions."""

    title: str
    depths: tuple[str, ...]
    leaves: tuple[str, ...]
    words: str
    cautions: tuple[str, ...]


@dataclass(frozen=True)
class SlateParts:
    """Words and cells of which every form of a slate is laid out."""

    heading: tuple[str, ...]
    valid: str
    way_down: str
    table: tuple[tuple[str, ...], ...]
    legend: str
    pressures: tuple[str, ...]
    blocks: tuple[SlateBlock, ...]
    rule: str
    gases: tuple[tuple[str, ...], ...]
    facts: tuple[str, ...]
    cautions: tuple[str, ...]
    signatures: tuple[str, ...]
    caution: str


@dataclass(frozen=True)
class Slate:
    """A slate; `slate` makes one, and ``print`` shows it.

    Attributes
    ----------
    plan : Plan
        What it was made of.
    valid_to, leave_by : int
        How deep the dive may be [m or ft] and when the bottom is left at the latest [min]; both
        rounded down.
    rows : tuple of SlateRow
        From the way down to the last stop, in whole minutes.
    surface : int
        Run time at the surface, rounded up [min].
    recomputed : bool
        Whether the plan's leave times were not whole minutes, so that the dive was computed again.
    contingencies : tuple of SlateContingency
        In the order asked for.
    gases : tuple of SlateGas
        The travel gas first, if any.
    cautions : tuple of Caution
        Of the schedule as it is cut.
    input_code : str
        Names the input of the plan: the same input has the same code on every machine.
    text : str
        For engraving: plain ASCII, no line wider than 40 characters.
    parts : SlateParts
        Words and cells of which every form is laid out.
    units : "metric" or "imperial"
    """

    plan: Plan
    valid_to: int
    leave_by: int
    rows: tuple[SlateRow, ...]
    surface: int
    recomputed: bool
    contingencies: tuple[SlateContingency, ...]
    gases: tuple[SlateGas, ...]
    cautions: tuple[Caution, ...]
    input_code: str
    text: str
    parts: SlateParts
    units: str

    def to_markdown(self) -> str:
        """Return the slate as Markdown: front, then back."""
        return slate_to_markdown(self)

    def to_html(self) -> str:
        """Return the slate as a page of HTML, black on white, to be printed or sent."""
        return slate_to_document(self)

    @checked
    def to_pdf(self, path: str | os.PathLike[str]) -> None:
        """Write the slate as pages of A6, the front first.

        Schedules are set in 14 points, smaller only where a line is too long, and nothing below
        11; what does not fit goes on on a further page.

        Parameters
        ----------
        path : str or path-like
            Of the file; one that exists is replaced.

        Raises
        ------
        Error
            If matplotlib is not installed; the message says how to get it. `InvalidInput` if the
            file cannot be written.
        """
        from .page import write_pdf

        write_pdf(self, path)

    @checked
    def to_png(self, path: str | os.PathLike[str]) -> None:
        """Write the pages of `to_pdf` beside one another into one picture.

        Parameters
        ----------
        path : str or path-like
            Of the file; one that exists is replaced.

        Raises
        ------
        Error
            As `to_pdf` does.
        """
        from .page import write_png

        write_png(self, path)

    def to_dict(self) -> dict[str, Any]:
        """Return plain data that JSON can hold, with ``"schema": 1`` and the plan's input."""
        data = data_of(self, "slate", without=("plan",))
        return {**data, "input": self.plan.to_dict()["input"], "assumptions": self.plan.assumptions}

    def _repr_html_(self) -> str:
        return slate_to_html(self)

    def __str__(self) -> str:
        """Return the text for engraving."""
        return self.text

    def __repr__(self) -> str:
        """Return what the slate is valid for."""
        length = "m" if self.units == "metric" else "ft"
        return f"<upline.Slate to {self.valid_to} {length}, leaving by {self.leave_by} min>"

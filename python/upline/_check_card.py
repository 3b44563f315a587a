"""Tables over depth and bottom time, checked in one call: `check_card`."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

from . import _core, _messages
from ._calls import checked
from ._check import handed_on
from ._check_results import Finding, TableReading
from ._results import data_of, frame_of
from ._table import CutTable, read_table

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    import pandas as pd

    from ._core import Caution, Environment, State
    from ._plan import Factors, GasChoice, GasLike, Rates, Rounding, Units

__all__ = ["BrokenCell", "CardCell", "CheckedCard", "check_card"]

_MOST_CELLS = 500


@dataclass(frozen=True)
class CardCell:
    """One table of a card and what was found out about it.

    `check` finds more: what carries it, the pairs that it satisfies, and the least addition with
    more effort.

    Attributes
    ----------
    position : int
        Among the cells as they were given, from 0.
    depth, bottom_time : float
        As written [m or ft], [min].
    verdict : "satisfies", "does not" or "cannot tell"
        Over every plausible reading; of the limit line alone.
    refused : bool
        Whether a caution refuses for another reason than the line: oxygen, CNS, density.
    unsettled : bool
        Whether its numbers contradict each other: then no minutes are computed for it.
    sentence : str
        The verdict in words, with what refuses first.
    margin : float
        The least of all [bar].
    tightest : float
        Where that is [m or ft]; 0 at the surface.
    surfacing_fraction : float
    run_time : float
        [min]
    missing_minutes : float or None
        An addition that suffices [min]; 0 if none is missing, None where none suffices or the
        table is `unsettled`.
    at_least : float
        Shown: nothing less suffices at these stops [min].
    readings : tuple of TableReading
        The usual one first.
    findings : tuple of Finding
    cautions : tuple of Caution
        Of the dive that the table makes.
    units : "metric" or "imperial"
    table : CutTable
        How it was read.
    """

    position: int
    depth: float
    bottom_time: float
    verdict: str
    refused: bool
    unsettled: bool
    sentence: str
    margin: float
    tightest: float
    surfacing_fraction: float
    run_time: float
    missing_minutes: float | None
    at_least: float
    readings: tuple[TableReading, ...]
    findings: tuple[Finding, ...]
    cautions: tuple[Caution, ...]
    units: str
    table: CutTable


@dataclass(frozen=True)
class BrokenCell:
    """A cell with which nothing can be done.

    Attributes
    ----------
    position : int
        Among the cells as they were given, from 0.
    name : str
        "57 m, 25 min", or "cell 3" where the cell does not say its dive.
    error : str
        What is wrong, and the remedy.
    """

    position: int
    name: str
    error: str


@dataclass(frozen=True)
class CheckedCard:
    """A card whose tables were checked; `check_card` makes one, and ``print`` shows it.

    Attributes
    ----------
    verdict : "satisfies", "does not" or "cannot tell"
        "satisfies" where every cell does; "does not" where one does not. It is about the limit
        line alone.
    refused : bool
        Whether a cell is refused for another reason than the line.
    sentence : str
        How many cells are refused, and how many do what.
    cells : tuple of CardCell
        What is refused first, then the least margin.
    broken : tuple of BrokenCell
        Those that cannot be checked, in their order.
    table : tuple of tuple of str
        The cells that are printed: a head, its units, then one line for each table.
    text : str
    units : "metric" or "imperial"
        Of the first cell.
    """

    verdict: str
    refused: bool
    sentence: str
    cells: tuple[CardCell, ...]
    broken: tuple[BrokenCell, ...]
    table: tuple[tuple[str, ...], ...]
    text: str
    units: str

    @property
    def cautions(self) -> tuple[Caution, ...]:
        """The cautions of all cells, the worst cell's first."""
        return tuple(caution for cell in self.cells for caution in cell.cautions)

    @checked
    def to_frame(self) -> pd.DataFrame:
        """Return the cells as a pandas DataFrame, the worst first, units in the names of columns.

        Returns
        -------
        pandas.DataFrame
            One line for each cell that could be checked.

        Raises
        ------
        Error
            If pandas is missing: ``pip install pandas``. Also where cells of one card are
            in metres and in feet.
        """
        if any(cell.units != self.units for cell in self.cells):
            raise _core.invalid_input(
                "CheckedCard.to_frame",
                "of cells in metres and in feet",
                "one unit of length",
                "check them in two calls",
            )
        columns = {
            "depth": "depth_{length}",
            "bottom_time": "bottom_time_min",
            "verdict": "verdict",
            "refused": "refused",
            "margin": "margin_bar",
            "tightest": "tightest_{length}",
            "surfacing_fraction": "surfacing_fraction",
            "run_time": "run_time_min",
            "missing_minutes": "missing_min",
            "at_least": "at_least_min",
        }
        return frame_of(self.cells, columns, self.units, "CheckedCard.to_frame")

    def to_dict(self) -> dict[str, Any]:
        """Return the card as plain data that JSON can hold, with ``"schema": 1``."""
        return data_of(self, "card")

    def __str__(self) -> str:
        """Return one line for each cell, and what is wrong with those that do not satisfy."""
        return self.text

    def __repr__(self) -> str:
        """Return the verdict and how many cells there are."""
        count = len(self.cells) + len(self.broken)
        first = "refused, " if self.refused else ""
        return (
            f"<upline.CheckedCard {first}{self.verdict}, {count} cells, {len(self.broken)} broken>"
        )


@checked
def check_card(
    cells: Mapping[tuple[float, float], Any] | Sequence[Any],
    *,
    gases: GasLike | Sequence[GasChoice] | None = None,
    gf: Factors | None = None,
    minutes: Literal["with travel", "without travel", "leave at"] | None = None,
    bottom_from: Literal["surface", "arrival"] | None = None,
    switch_minute: Literal["on arrival", "inside", "before"] | None = None,
    switch_time: float | None = None,
    model: str | None = None,
    rounding: Rounding = "departure",
    resolution: float = 1.0,
    min_stop: float = 0.0,
    spacing: float | None = None,
    last_stop: float | None = None,
    ladder: Sequence[float] | None = None,
    descent_rate: float | None = None,
    ascent_rate: Rates | None = None,
    surfacing_rate: float | None = None,
    travel: tuple[GasLike, float] | None = None,
    environment: Environment | None = None,
    start: State | None = None,
    max_po2: float = 1.4,
    max_deco_po2: float = 1.6,
    po2_tolerance: float = 0.03,
    min_po2: float = 0.16,
    rmv: float | None = None,
    deco_rmv: float | None = None,
    units: Units | None = None,
) -> CheckedCard:
    """Check a card: tables over depth and bottom time, the worst first.

    A cell that cannot be read or followed is told of in `broken`, and the others are checked.

    Parameters
    ----------
    cells : dict or list
        Tables by (depth, bottom time) [m or ft], [min]; or a list of tables that say both. Each as
        `check` takes its `rows`; 1 to 500 of them.
    gases, gf, minutes, bottom_from, switch_minute, switch_time, model, rounding, resolution, \
min_stop, spacing, last_stop, ladder, descent_rate, ascent_rate, surfacing_rate, travel, \
environment, start, max_po2, max_deco_po2, po2_tolerance, min_po2, rmv, deco_rmv, units
        As in `check`, for every cell. What a table says of itself need not be given.

    Returns
    -------
    CheckedCard

    Raises
    ------
    InvalidInput
        For what is no card, and where no cell can be checked: the first cell's error.

    Examples
    --------
    >>> card = check_card({
    ...     (57, 20): "24/2 21/1 18/1 15/2 12/3 9/4 6/14",
    ...     (57, 25): "27/1 24/2 21/1 18/2 15/2 12/4 9/6 6/22",
    ... }, gases=["18/45", "50", "O2"], gf="40/80", minutes="without travel", switch_time=0)
    >>> card.verdict, [(cell.bottom_time, cell.verdict) for cell in card.cells]
    ('does not', [(20.0, 'does not'), (25.0, 'satisfies')])
    """
    asked = dict(locals())
    del asked["cells"]
    asked_of_cells = [_handed_on(*one, asked) for one in _dives(cells)]
    if all(isinstance(one.error, _core.Error) for one in asked_of_cells):
        error = asked_of_cells[0].error
        assert error is not None
        raise error
    found = _core.check_card([one.handed_on for one in asked_of_cells])
    checked_cells = tuple(
        _cell(one, asked_of_cells[one["position"]].table) for one in found["cells"]
    )
    return CheckedCard(
        verdict=found["verdict"],
        refused=found["refused"],
        sentence=found["sentence"],
        cells=checked_cells,
        broken=tuple(BrokenCell(**one) for one in found["broken"]),
        table=tuple(found["table"]),
        text=found["text"],
        units=checked_cells[0].units,
    )


@dataclass(frozen=True)
class _Asked:
    """A cell on its way to the compiled part: its arguments, or its name and its error."""

    handed_on: tuple[Any, ...]
    table: CutTable | None = None
    error: _core.Error | None = None


def _dives(cells: Any) -> list[tuple[str, float | None, float | None, Any]]:
    """Return the cells as name, depth, bottom time and rows."""
    remedy = 'write {(57, 25): "24/2 21/1 6/20", ...}, or a list of tables'
    found: list[tuple[str, float | None, float | None, Any]]
    if _messages.is_a(cells, dict):
        found = [_named(key, rows, remedy) for key, rows in dict.items(cells)]
    elif _messages.is_a(cells, list):
        found = _unnamed(list.__iter__(cells))
    elif _messages.is_a(cells, tuple):
        found = _unnamed(tuple.__iter__(cells))
    else:
        raise _core.wrong_type(
            "cells",
            _core.shown(cells),
            "a dict by (depth, bottom time) or a list of tables",
            remedy,
        )
    if not 1 <= len(found) <= _MOST_CELLS:
        raise _core.invalid_input(
            "cells", f"{len(found)} cells", f"1 to {_MOST_CELLS} cells", "give the tables of a card"
        )
    return found


def _unnamed(tables: Iterator[Any]) -> list[tuple[str, float | None, float | None, Any]]:
    return [(f"cell {j}", None, None, rows) for j, rows in enumerate(tables, 1)]


def _named(key: Any, rows: Any, remedy: str) -> tuple[str, float, float, Any]:
    numbers = tuple(tuple.__iter__(key)) if _messages.is_a(key, tuple) else ()
    plain_numbers = all(type(one) in (int, float) for one in numbers)
    if len(numbers) != len(("depth", "bottom_time")) or not plain_numbers:
        raise _core.wrong_type(
            "cells", f"with the key {_core.shown(key)}", "keys as (depth, bottom time)", remedy
        )
    depth, bottom_time = numbers
    return f"{_core.shown(depth)}, {_core.shown(bottom_time)} min", depth, bottom_time, rows


def _handed_on(
    name: str,
    depth: float | None,
    bottom_time: float | None,
    rows: Any,
    asked: dict[str, Any],
) -> _Asked:
    try:
        table = read_table(rows, units=asked["units"], depth=depth)
        core_arguments = handed_on(table, depth=depth, bottom_time=bottom_time, **asked)
    except _core.Error as error:
        return _Asked((name, str(error)), error=error)
    if table.depth is not None and table.bottom_time is not None and depth is None:
        name = f"{table.depth:g}, {table.bottom_time:g} min"
    read, said, *given = core_arguments
    return _Asked((name, read, said, tuple(given)), table)


def _cell(found: dict[str, Any], table: CutTable | None) -> CardCell:
    assert table is not None
    found = dict(found)
    found["readings"] = tuple(TableReading(**one) for one in found["readings"])
    found["findings"] = tuple(Finding(**one) for one in found["findings"])
    return CardCell(table=table, **found)

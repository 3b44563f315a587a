"""Whether a hand-cut table satisfies a pair of gradient factors: `check`."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Literal

from . import _core, _messages
from ._calls import checked
from ._check_results import (
    Check,
    CheckedRow,
    Consequence,
    FactorPair,
    Finding,
    RepairedRow,
    TableReading,
)
from ._replay import replay_from
from ._table import CutTable, read_table

if TYPE_CHECKING:
    from collections.abc import Sequence

    from ._core import Environment, State
    from ._plan import Factors, GasChoice, GasLike, Rates, Rounding, Units

__all__ = ["check"]


@checked
def check(
    rows: Any,
    *,
    depth: float | None = None,
    bottom_time: float | None = None,
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
) -> Check:
    """Check a table that somebody else cut.

    What the table does not say of itself is tried in every plausible reading; only if all agree
    is there a verdict.

    Parameters
    ----------
    rows : str, path, DataFrame, list or CutTable
        The table, as `read_table` reads it: text, a file, or (depth, minutes) pairs.
    depth, bottom_time : float, optional
        Of the bottom, where the table does not say them [m or ft], [min]. Given here, they are
        meant as in `plan`: gauge depth unless `environment` says otherwise, and a bottom time from
        leaving the surface.
    gases : sequence, optional
        As in `plan`, where the table does not say them.
    gf : str or (float, float), optional
        As in `plan`; the table's own if it names one, else there is no default.
    minutes, bottom_from, switch_minute : str, optional
        What the stop minutes hold, whence the bottom time counts, and where the minute of a
        switch goes; what is not said is tried.
    switch_time : float, optional
        How long a switch takes on the old gas [min]; 0 for none; 1 is tried if it is not said.
    model, descent_rate, ascent_rate, surfacing_rate, travel, environment, start, max_po2, \
max_deco_po2, po2_tolerance, min_po2
        As in `plan`.
    spacing, last_stop, ladder
        As in `plan`: where a gas without a depth is taken up, and where stops that are lacking may
        be put in.
    rounding, resolution, min_stop, rmv, deco_rmv
        Taken so that the rules of a plan serve here; nothing depends on them.
    units : "metric" or "imperial", optional
        Of every number here and in the table; if neither says it, both are tried.

    Returns
    -------
    Check

    Raises
    ------
    InvalidInput
        For what cannot be read, and naming what is missing.

    Examples
    --------
    >>> rows = [(27, 1), (24, 2), (21, 1), (18, 2), (15, 2), (12, 4), (9, 5), (6, 20)]
    >>> r = check(rows, depth=57, bottom_time=25, gases=["18/45", "50", "O2"], gf="40/80",
    ...           minutes="without travel", switch_time=0)
    >>> r.verdict, round(r.surfacing_fraction, 3), r.missing_minutes
    ('does not', 0.808, 1.0)
    """
    asked = dict(locals())
    table = read_table(asked.pop("rows"), units=units, depth=depth)
    return _shown(_core.check(*handed_on(table, **asked)), table)


def handed_on(
    table: CutTable,
    *,
    depth: float | None,
    bottom_time: float | None,
    gases: Any,
    gf: Any,
    minutes: str | None,
    bottom_from: str | None,
    switch_minute: str | None,
    switch_time: float | None,
    model: str | None,
    units: Any,
    environment: Environment | None,
    descent_rate: float | None,
    ascent_rate: Any,
    **rules: Any,
) -> tuple[Any, ...]:
    """Return the arguments of the compiled part: rows, what is said, and those of `plan`.

    Raises
    ------
    InvalidInput
        Naming what neither the table nor the caller says, or what they say differently.
    """
    stated_here = depth is not None and bottom_time is not None
    depth = _one("depth", depth, table.depth)
    bottom_time = _one("bottom_time", bottom_time, table.bottom_time)
    if gases is None and table.gases:
        gases = list(table.gases)
    stated = {
        "environment": environment,
        "start": rules["start"],
        "travel": rules["travel"],
        "switch_time": switch_time,
    }
    _ask_for_missing(table, stated, depth=depth, bottom_time=bottom_time, gases=gases)
    shown_units = _first(units, table.units)
    from_surface = "surface" if stated_here else None
    said: dict[str, object] = {
        "water": stated_here or environment is not None or table.water is not None,
        "units": shown_units is not None,
        "minutes": _first(minutes, table.minutes_mean),
        "bottom_from": _first(bottom_from, table.bottom_from, from_surface),
        "switch_minute": switch_minute,
        "switch_time": switch_time,
    }
    return (
        [(row.depth, row.minutes, row.leave_at, row.gas) for row in table.rows],
        said,
        depth,
        bottom_time,
        gases,
        _first(gf, table.gf),
        _first(model, table.model, "ZH-L16C"),
        rules["rounding"],
        rules["resolution"],
        rules["min_stop"],
        1.0,
        rules["spacing"],
        rules["last_stop"],
        rules["ladder"],
        _first(descent_rate, table.rates.get("descent_rate")),
        _first(ascent_rate, table.rates.get("ascent_rate")),
        rules["surfacing_rate"],
        rules["travel"],
        _first(environment, _environment(table)),
        rules["start"],
        rules["max_po2"],
        rules["max_deco_po2"],
        rules["po2_tolerance"],
        rules["min_po2"],
        rules["rmv"],
        rules["deco_rmv"],
        _first(shown_units, "metric"),
    )


def _first(*values: Any) -> Any:
    """Return the first that is not None; none of them is asked anything."""
    return next((value for value in values if value is not None), None)


def _one(name: str, given: float | None, written: float | None) -> float | None:
    """Return the argument, or what the table says; both must agree."""
    if written is not None and _messages.is_a(given, int, float) and given != written:
        raise _core.invalid_input(
            name,
            f"{_core.shown(given)} beside {written:g} in the table",
            "one of the two",
            f"leave out {name}, or mend the table",
        )
    return written if given is None else given


#: What a table may say to be missing that is a keyword too.
_OF_THE_DIVE = ("environment", "start", "travel", "switch_time")


def _ask_for_missing(table: CutTable, stated: dict[str, Any], **needed: Any) -> None:
    lacking = [name for name, value in needed.items() if value is None]
    lacking += [name for name in table.missing if name not in needed and stated.get(name) is None]
    if lacking:
        raise _core.invalid_input(
            "table",
            f"without {', '.join(lacking)}",
            "a table that says its depth, bottom time, gases and times",
            f"give {lacking[0]}=... or write it into the table"
            if lacking[0] in (*needed, *_OF_THE_DIVE)
            else "write it into the table",
        )


def _environment(table: CutTable) -> Environment | None:
    """Return the place that the table itself states."""
    if table.water in (None, "gauge") and table.altitude is None:
        return None
    water: Any = table.water if table.water in ("fresh", "sea") else None
    units: Any = table.units or "metric"
    return _core.Environment(altitude=table.altitude, water=water, units=units)


def _shown(found: dict[str, Any], table: CutTable) -> Check:
    found = dict(found)
    kinds: dict[str, type] = {
        "readings": TableReading,
        "rows": CheckedRow,
        "factor_pairs": FactorPair,
        "consequences": Consequence,
        "findings": Finding,
    }
    for name, kind in kinds.items():
        found[name] = tuple(kind(**one) for one in found[name])
    if found["repaired"] is not None:
        found["repaired"] = tuple(RepairedRow(**row) for row in found["repaired"])
    if found["pair_at_low"] is not None:
        found["pair_at_low"] = FactorPair(**found["pair_at_low"])
    found["replay"] = replay_from(found["replay"])
    return Check(table=table, **found)

"""Schedules: `plan`, `no_stop_limit` and `rest`."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, TypeAlias

from . import _core
from ._calls import checked

if TYPE_CHECKING:
    from collections.abc import Sequence

    from ._core import Environment, Gas, Plan, State

__all__ = ["no_stop_limit", "plan", "rest"]

GasLike: TypeAlias = "str | Gas"
GasChoice: TypeAlias = "GasLike | tuple[GasLike, float | None]"
Levels: TypeAlias = "Sequence[tuple[float, float]]"
Factors: TypeAlias = "str | tuple[float, float]"
Rates: TypeAlias = "float | Sequence[tuple[float, float]]"
Rounding: TypeAlias = Literal["departure", "duration", "exact"]
Units: TypeAlias = Literal["metric", "imperial"]


@checked
def plan(
    depth: float | Levels,
    bottom_time: float | None = None,
    gases: GasLike | Sequence[GasChoice] | None = None,
    *,
    gf: Factors | None = None,
    model: str = "ZH-L16C",
    rounding: Rounding = "departure",
    resolution: float = 1.0,
    min_stop: float = 0.0,
    switch_time: float = 1.0,
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
    units: Units = "metric",
) -> Plan:
    """Compute the schedule of a dive.

    With ``units="imperial"`` every length here is in feet, every rate in ft/min, every breathing
    rate in cu ft/min, and so is everything in the plan; pressures stay in bar.

    Parameters
    ----------
    depth : float or sequence of (float, float)
        Depth of the bottom [m], up to 350 m; or levels: pairs of a depth and the run time at
        which it is left [m, min], the last of which is the bottom.
    bottom_time : float
        From leaving the surface to leaving the bottom [min]; not with levels.
    gases : sequence
        The bottom gas first, then those for the ascent in any order: texts in per cent ("18/45",
        "50", "O2", with a switch depth ``"50@21"``), `Gas` objects, or pairs of either and a
        switch depth. Without a switch depth a gas is taken up at the deepest rung at which it stays
        within `max_deco_po2`.
    gf : str or (float, float)
        Gradient factors, low and high: per cent as text ("40/80") or fractions (0.40, 0.80). No
        default: they decide how long the ascent is.
    model : str
        Parameter set, one of `upline.models`.
    rounding : "departure", "duration" or "exact"
        Whether the run time at leaving a rung, or the time at it, is rounded up, or neither.
    resolution : float
        To which it is rounded up [min], 1/60 to 10.
    min_stop : float
        Least time at a rung where a wait is needed [min].
    switch_time : float
        Spent on the old gas at each switch [min].
    spacing, last_stop : float, optional
        Rungs are the multiples of `spacing` deeper than `last_stop`, and that one [m]; 3 and 3 m,
        or 10 and 10 ft.
    ladder : sequence of float, optional
        Or exactly these rungs [m]; then without the two above.
    descent_rate : float, optional
        [m/min]; 18 m/min or 60 ft/min.
    ascent_rate : float or sequence of (float, float), optional
        [m/min], or pairs of a depth and the rate deeper than it, down to depth 0; 9 m/min or
        30 ft/min.
    surfacing_rate : float, optional
        Rate of the last ascent [m/min]; its slowness is not credited.
    travel : (gas, depth), optional
        A gas breathed on the way down, and the depth at which the bottom gas is taken up [m].
    environment : Environment, optional
        Sea level and gauge metres if left out.
    start : State, optional
        What an earlier dive left: its ``end``, or what `rest` made of it. If left out: no dive in
        the last 24 h.
    max_po2, max_deco_po2, po2_tolerance : float
        Oxygen limits for the bottom and travel gas, for the gases of the ascent, and what is
        added to both; inside it a note is given [bar].
    min_po2 : float
        Nothing leaner is breathed [bar].
    rmv, deco_rmv : float, optional
        Breathing rate until the bottom is left, and from then on [L/min at the surface]; without
        them litres are unknown.
    units : "metric" or "imperial"

    Returns
    -------
    Plan
        Whatever it goes beyond is among its ``cautions``; a plan that is ``refused`` is not to be
        dived.

    Raises
    ------
    InvalidInput
        For input that cannot be used or a dive that cannot be dived; the message names the field,
        the value, what is allowed and the remedy. `WrongType` for a value of the wrong kind.
    NoAscent
        If some depth cannot be left under these rules.

    Notes
    -----
    Dissolved-gas model with gradient factors; each rung is left as soon as the limit line allows,
    solved and not stepped. Equations, conventions and sources: docs/theory.md.

    Examples
    --------
    >>> p = plan(57, 25, ["18/45", "50", "O2"], gf="40/80", last_stop=6)
    >>> p.stops[-1].depth, p.stops[-1].departs, str(p.stops[-1].gas)
    (6.0, 69.0, 'O2')
    >>> p = plan([(57, 20), (42, 45)], gases=["18/45", "50", "O2"], gf=(0.40, 0.80))
    >>> p.bottom_time
    45.0
    """
    # By position: the compiled part reads them in this order.
    return _core.plan(
        depth,
        bottom_time,
        gases,
        gf,
        model,
        rounding,
        resolution,
        min_stop,
        switch_time,
        spacing,
        last_stop,
        ladder,
        descent_rate,
        ascent_rate,
        surfacing_rate,
        travel,
        environment,
        start,
        max_po2,
        max_deco_po2,
        po2_tolerance,
        min_po2,
        rmv,
        deco_rmv,
        units,
    )


@checked
def no_stop_limit(
    depth: float,
    gases: GasLike | Sequence[GasChoice] | None = None,
    *,
    gf: Factors | None = None,
    model: str = "ZH-L16C",
    rounding: Rounding = "departure",
    resolution: float = 1.0,
    min_stop: float = 0.0,
    switch_time: float = 1.0,
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
    units: Units = "metric",
) -> float:
    """Longest bottom time for which no rung of the ascent asks for a wait.

    Parameters
    ----------
    depth : float
        Depth of the bottom [m or ft].
    gases : str, Gas or sequence
        The bottom gas, or a list as in `plan`.
    gf : str or (float, float)
        As in `plan`; no default.
    model, rounding, resolution, min_stop, switch_time, spacing, last_stop, ladder, \
descent_rate, ascent_rate, surfacing_rate, travel, environment, start, max_po2, max_deco_po2, \
po2_tolerance, min_po2, rmv, deco_rmv, units
        As in `plan`, so that one set of rules serves both; rounding and breathing rates change
        nothing here.

    Returns
    -------
    float
        From leaving the surface to leaving the bottom [min], to 1e-6 min and not rounded down;
        infinite if 100 000 min need no wait, 0 if even the shortest stay needs one.

    Raises
    ------
    InvalidInput
        As `plan` does.

    Examples
    --------
    >>> round(no_stop_limit(30, "32", gf="40/85"), 6)
    24.600792
    """
    return _core.no_stop_limit(
        depth,
        None,
        gases,
        gf,
        model,
        rounding,
        resolution,
        min_stop,
        switch_time,
        spacing,
        last_stop,
        ladder,
        descent_rate,
        ascent_rate,
        surfacing_rate,
        travel,
        environment,
        start,
        max_po2,
        max_deco_po2,
        po2_tolerance,
        min_po2,
        rmv,
        deco_rmv,
        units,
    )


@checked
def rest(
    state: State,
    minutes: float,
    gas: GasLike = "air",
    *,
    environment: Environment | None = None,
) -> State:
    """Let time pass at the surface.

    Parameters
    ----------
    state : State
        What a dive left: ``plan(...).end``.
    minutes : float
        At the surface [min], 0 to 100 000.
    gas : str or Gas
        Breathed meanwhile.
    environment : Environment, optional
        Where the rest is spent, reached at once; the place of the dive if left out.

    Returns
    -------
    State
        For ``plan(..., start=...)``.

    Raises
    ------
    InvalidInput
        For a time out of range or a gas that is none.

    Notes
    -----
    The CNS sum is halved every 90 min (a convention); the sums without recovery are kept beside
    it for 24 h.

    Examples
    --------
    >>> p = plan(30, 20, "32", gf="40/85")
    >>> rest(p.end, 90).clock == p.run_time + 90
    True
    """
    return _core.rest(state, minutes, gas, environment)

"""The pieces a schedule is made of, for embedding and checking: loading, limit, oxygen."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from . import _core
from ._calls import checked

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np
    from numpy.typing import NDArray

    from ._core import CompartmentSet, Gas

    Array = NDArray[np.float64]
    Tensions = Array | Sequence[float]

__all__ = [
    "advance",
    "cns_share",
    "compartments",
    "equilibrium_with_air",
    "pulmonary_dose",
    "supersaturation_fraction",
    "tolerated_pressure",
]


@checked
def advance(
    nitrogen: Tensions,
    helium: Tensions,
    *,
    minutes: float,
    pressure: float,
    rate: float,
    gas: str | Gas,
    model: str = "ZH-L16C",
    vapour: float = 0.0627,
    set_point: float | None = None,
) -> tuple[Array, Array]:
    """Carry tensions over a stretch of time in which ambient pressure is linear.

    Parameters
    ----------
    nitrogen, helium : array_like, shape (16,)
        Tensions at its start [bar].
    minutes : float
        Duration [min], >= 0.
    pressure : float
        Ambient pressure at its start [bar].
    rate : float
        Change of ambient pressure [bar/min].
    gas : str or Gas
        Breathed from a cylinder; with a set-point the diluent of a loop.
    model : str
        Parameter set, one of `upline.models`.
    vapour : float
        Water vapour in the lungs [bar].
    set_point : float, optional
        Oxygen pressure that a loop holds where it can [bar].

    Returns
    -------
    nitrogen, helium : ndarray, shape (16,)
        Tensions at its end [bar], in new arrays.

    Raises
    ------
    InvalidInput
        For values out of range or arrays of another length.

    Notes
    -----
    Exact solution for linear inspired pressure (Schreiner and Kelley); on a loop the stretch is
    split where the set-point is reached or lost. See docs/theory.md.

    Examples
    --------
    >>> nitrogen, helium = equilibrium_with_air(1.01325)
    >>> nitrogen, helium = advance(
    ...     nitrogen, helium, minutes=10, pressure=4.0, rate=0.0, gas="32"
    ... )
    >>> [round(float(x), 3) for x in nitrogen[:2]]
    [2.337, 1.867]
    """
    return _core.advance(nitrogen, helium, minutes, pressure, rate, gas, model, vapour, set_point)


@checked
def equilibrium_with_air(ambient: float, vapour: float = 0.0627) -> tuple[Array, Array]:
    """Tensions at rest on air.

    Parameters
    ----------
    ambient : float
        Ambient pressure [bar].
    vapour : float
        Water vapour in the lungs [bar].

    Returns
    -------
    nitrogen, helium : ndarray, shape (16,)
        Tensions [bar]; nitrogen, argon counted in, is 79 % of what is inspired, helium 0.

    Examples
    --------
    >>> nitrogen, helium = equilibrium_with_air(1.01325)
    >>> round(float(nitrogen[0]), 6), float(helium[0])
    (0.750935, 0.0)
    """
    return _core.equilibrium_with_air(ambient, vapour)


@checked
def tolerated_pressure(
    nitrogen: Tensions, helium: Tensions, factor: float, *, model: str = "ZH-L16C"
) -> Array:
    """Least ambient pressure that each compartment tolerates at a gradient factor.

    Parameters
    ----------
    nitrogen, helium : array_like, shape (16,)
        Tensions [bar].
    factor : float
        Gradient factor as a fraction, 0 to 1.5.
    model : str
        Parameter set, one of `upline.models`.

    Returns
    -------
    ndarray, shape (16,)
        (P - a G) / (G / b - G + 1) with a and b weighted by the tensions [bar].

    Examples
    --------
    >>> nitrogen, helium = equilibrium_with_air(4.0)
    >>> round(float(tolerated_pressure(nitrogen, helium, 1.0).max()), 3)
    2.778
    """
    return _core.tolerated_pressure(nitrogen, helium, factor, model)


@checked
def supersaturation_fraction(
    nitrogen: Tensions, helium: Tensions, ambient: float, *, model: str = "ZH-L16C"
) -> Array:
    """Gradient factor at which each compartment just tolerates an ambient pressure.

    Parameters
    ----------
    nitrogen, helium : array_like, shape (16,)
        Tensions [bar].
    ambient : float
        Ambient pressure [bar].
    model : str
        Parameter set, one of `upline.models`.

    Returns
    -------
    ndarray, shape (16,)
        (P - p) / (a + p / b - p) [1]; negative where the tension is below ambient.

    Examples
    --------
    >>> nitrogen, helium = equilibrium_with_air(4.0)
    >>> fraction = supersaturation_fraction(nitrogen, helium, 2.7779)
    >>> round(float(fraction.max()), 3)
    1.0
    """
    return _core.supersaturation_fraction(nitrogen, helium, ambient, model)


@checked
def compartments(model: str = "ZH-L16C") -> CompartmentSet:
    """Half-times and coefficients of a published set, with their sources.

    Parameters
    ----------
    model : str
        One of `upline.models`.

    Returns
    -------
    CompartmentSet
        Read-only arrays of 16, fastest compartment first.

    Examples
    --------
    >>> table = compartments("ZH-L16C")
    >>> [float(t) for t in table.n2_half_time[:3]]
    [4.0, 8.0, 12.5]
    """
    return _core.compartments(model)


@checked
def cns_share(
    minutes: float,
    start_po2: float,
    end_po2: float,
    limits: Literal["single", "day"] = "single",
) -> float:
    """Share of the oxygen limits used up while oxygen pressure goes linearly from start to end.

    Parameters
    ----------
    minutes : float
        Duration [min], >= 0.
    start_po2, end_po2 : float
        Oxygen pressures [bar], 0 to 10.
    limits : "single" or "day"
        Limits for one exposure or for 24 h.

    Returns
    -------
    float
        Integral of dt / limit(po2), exact.

    Notes
    -----
    NOAA's tables, linear between rows, read in bar although they state atm; see docs/theory.md
    for what holds below 0.6 and beyond 1.6 bar.

    Examples
    --------
    >>> round(cns_share(45, 1.6, 1.6), 6)
    1.0
    """
    return _core.cns_share(minutes, start_po2, end_po2, limits)


@checked
def pulmonary_dose(minutes: float, start_po2: float, end_po2: float) -> float:
    """Pulmonary oxygen dose while oxygen pressure goes linearly from start to end.

    Parameters
    ----------
    minutes : float
        Duration [min], >= 0.
    start_po2, end_po2 : float
        Oxygen pressures [bar], 0 to 10.

    Returns
    -------
    float
        Integral of ((po2 - 0.5) / 0.5)^(5/6) dt above 0.5 bar [OTU], exact.

    Examples
    --------
    >>> round(pulmonary_dose(60, 1.0, 1.0), 6)
    60.0
    """
    return _core.pulmonary_dose(minutes, start_po2, end_po2)

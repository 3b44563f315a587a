"""Tensions along a segment of linear pressure: by an ODE integrator and to 50 digits."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import pytest

from .table import Array, compartments

mpmath = pytest.importorskip("mpmath", reason="test_numeric_tissue.py needs mpmath")
integrate = pytest.importorskip("scipy.integrate", reason="test_numeric_tissue.py needs scipy")


@dataclass(frozen=True)
class Segment:
    """A stretch of time in which ambient pressure is linear, and what is breathed."""

    minutes: float
    pressure: float  # ambient, at the start [bar]
    rate: float  # [bar/min]
    oxygen: float
    helium: float
    set_point: float | None = None  # [bar] of a loop; the mix is then its diluent
    vapour: float = 0.0627  # [bar]

    @property
    def end_pressure(self) -> float:
        """Ambient pressure at the end [bar]."""
        return self.pressure + self.rate * self.minutes


def inspired(segment: Segment, t: float) -> tuple[float, float]:
    """Inspired nitrogen and helium [bar] at a time of the segment."""
    dry = segment.pressure + segment.rate * t - segment.vapour
    inert = 1.0 - segment.oxygen
    total = dry * inert
    if segment.set_point is not None:
        total = min(max(dry - segment.set_point, 0.0), max(total, 0.0))
    if inert <= 0.0:
        return total, 0.0
    helium = total * segment.helium / inert
    return total - helium, helium


def by_ode(tensions: tuple[Array, Array], segment: Segment, model: str) -> tuple[Array, Array]:
    """Integrate dP/dt = k (inspired - P) with an eighth-order Runge-Kutta method."""
    if segment.minutes == 0.0:
        return tensions
    set_ = compartments(model)
    k = np.log(2.0) / np.concatenate([set_.n2_half_time, set_.he_half_time])

    def slope(t: float, tension: Array) -> Array:
        nitrogen, helium = inspired(segment, t)
        return k * (np.repeat([nitrogen, helium], 16) - tension)

    start = np.concatenate(tensions)
    borders = [0.0, *_kinks(segment), segment.minutes]
    for left, right in pairwise(borders):
        run = integrate.solve_ivp(
            slope, (left, right), start, method="DOP853", rtol=1e-12, atol=1e-13
        )
        assert run.success, run.message
        start = run.y[:, -1]
    return start[:16], start[16:]


def _kinks(segment: Segment) -> list[float]:
    """Times at which a loop's inspired gas bends, found on a grid and by bisection.

    An integrator that steps over a bend loses its accuracy there.
    """
    if segment.set_point is None or segment.rate == 0.0:
        return []

    def branch(t: float) -> int:
        dry = segment.pressure + segment.rate * t - segment.vapour
        if dry <= segment.set_point:
            return 0
        return 1 if dry - segment.set_point < dry * (1.0 - segment.oxygen) else 2

    found = []
    grid = np.linspace(0.0, segment.minutes, 200)
    for left, right in pairwise(grid):
        low, high = float(left), float(right)
        if branch(low) == branch(high):
            continue
        for _ in range(60):
            middle = (low + high) / 2.0
            low, high = (middle, high) if branch(middle) == branch(low) else (low, middle)
        found.append(high)
    return found


def in_50_digits(
    tensions: tuple[Array, Array], segment: Segment, model: str
) -> tuple[list[mpmath.mpf], list[mpmath.mpf]]:
    """Evaluate the closed form as it is printed in textbooks, in 50 digits (open circuit).

    P(t) = pi0 + R (t - 1/k) - (pi0 - P0 - R/k) exp(-k t); the digits lost where k t is small are
    among the fifty.
    """
    assert segment.set_point is None
    set_ = compartments(model)
    with mpmath.workdps(50):
        dry = mpmath.mpf(segment.pressure) - mpmath.mpf(segment.vapour)
        # A fraction is the decimal number that was written, not the double nearest to it.
        oxygen, helium = mpmath.mpf(repr(segment.oxygen)), mpmath.mpf(repr(segment.helium))
        results = []
        for tension, half_time, fraction in (
            (tensions[0], set_.n2_half_time, 1 - oxygen - helium),
            (tensions[1], set_.he_half_time, helium),
        ):
            rate = mpmath.mpf(segment.rate) * fraction
            results.append(
                [
                    _closed_form(mpmath.mpf(p0), dry * fraction, rate, segment.minutes, half)
                    for p0, half in zip(tension.tolist(), half_time.tolist(), strict=True)
                ]
            )
        return results[0], results[1]


def _closed_form(
    p0: mpmath.mpf, start: mpmath.mpf, rate: mpmath.mpf, minutes: float, half_time: float
) -> mpmath.mpf:
    k = mpmath.log(2) / mpmath.mpf(half_time)
    t = mpmath.mpf(minutes)
    return start + rate * (t - 1 / k) - (start - p0 - rate / k) * mpmath.exp(-k * t)

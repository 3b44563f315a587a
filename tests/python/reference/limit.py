"""The limit: mixed coefficients, tolerated pressure, supersaturation fraction, limit line."""

from __future__ import annotations

import mpmath
import numpy as np

from .table import Array, Compartments


def mixed(set_: Compartments, nitrogen: Array, helium: Array) -> tuple[Array, Array]:
    """A and b weighted by the tensions; nitrogen's where a compartment holds nothing."""
    total = nitrogen + helium
    held = np.where(total > 0.0, total, 1.0)
    a = np.where(total > 0.0, (set_.n2_a * nitrogen + set_.he_a * helium) / held, set_.n2_a)
    b = np.where(total > 0.0, (set_.n2_b * nitrogen + set_.he_b * helium) / held, set_.n2_b)
    return a, b


def tolerated(set_: Compartments, nitrogen: Array, helium: Array, factor: Array | float) -> Array:
    """Least ambient pressure [bar] at a gradient factor; broadcasts over leading axes."""
    a, b = mixed(set_, nitrogen, helium)
    return (nitrogen + helium - a * factor) / (factor / b - factor + 1.0)


def fraction(set_: Compartments, nitrogen: Array, helium: Array, ambient: float) -> Array:
    """Supersaturation fraction at an ambient pressure [bar]."""
    a, b = mixed(set_, nitrogen, helium)
    return (nitrogen + helium - ambient) / (a + ambient / b - ambient)


def factor_at(depth: Array, anchor: float | None, low: float, high: float) -> Array:
    """Gradient factor of the limit line at depths [m]."""
    depth = np.asarray(depth, dtype=float)
    if anchor is None or anchor <= 0.0:
        return np.where(depth > 0.0, low, high)
    return np.where(depth >= anchor, low, high + (low - high) * np.maximum(depth, 0.0) / anchor)


def mixed_in_50_digits(
    set_: Compartments, i: int, nitrogen: float, helium: float
) -> tuple[mpmath.mpf, mpmath.mpf, mpmath.mpf]:
    """Total tension, a and b of one compartment."""
    n2, he = mpmath.mpf(nitrogen), mpmath.mpf(helium)
    total = n2 + he
    n2_a, he_a, n2_b, he_b = (
        mpmath.mpf(float(x[i])) for x in (set_.n2_a, set_.he_a, set_.n2_b, set_.he_b)
    )
    if total == 0:
        return total, n2_a, n2_b
    return total, (n2_a * n2 + he_a * he) / total, (n2_b * n2 + he_b * he) / total


def tolerated_in_50_digits(
    set_: Compartments, i: int, nitrogen: float, helium: float, factor: float
) -> mpmath.mpf:
    """Tolerated pressure of one compartment [bar]."""
    with mpmath.workdps(50):
        total, a, b = mixed_in_50_digits(set_, i, nitrogen, helium)
        g = mpmath.mpf(factor)
        return (total - a * g) / (g / b - g + 1)


def fraction_in_50_digits(
    set_: Compartments, i: int, nitrogen: float, helium: float, ambient: float
) -> mpmath.mpf:
    """Find the G at which the tolerated pressure is the ambient one: a linear equation in G.

    Written from (total - a G) = p (G / b - G + 1), not from the library's quotient.
    """
    with mpmath.workdps(50):
        total, a, b = mixed_in_50_digits(set_, i, nitrogen, helium)
        p = mpmath.mpf(ambient)

        def residual(g: mpmath.mpf) -> mpmath.mpf:
            return total - a * g - p * (g / b - g + 1)

        at_zero, at_one = residual(mpmath.mpf(0)), residual(mpmath.mpf(1))
        return at_zero / (at_zero - at_one)

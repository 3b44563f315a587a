"""Tolerated pressure and supersaturation fraction in 50 digits."""

from __future__ import annotations

import pytest

from .table import Compartments

mpmath = pytest.importorskip("mpmath", reason="test_numeric_limit.py needs mpmath")


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

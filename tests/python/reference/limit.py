"""The limit: mixed coefficients, tolerated pressure, supersaturation fraction, limit line."""

from __future__ import annotations

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

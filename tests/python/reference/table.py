"""The ZH-L16 coefficients, typed a second time.

Source: Buehlmann, Voellm, Nussberger, Tauchmedizin, 5th ed., Springer 2002, table 25 p. 158.
Nitrogen half-times, b and set C: secondary. Set A: secondary, equal to 2 bar t^(-1/3) to four
decimals. Set B and helium but for its first row: from memory, to be confirmed.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

_ROWS = """
# n2 half-time, n2 a in sets A, B, C, n2 b, he half-time, he a, he b
4 1.2599 1.2599 1.2599 0.5050 1.51 1.7424 0.4245
5 1.1696 1.1696 1.1696 0.5578 1.88 1.6189 0.4770
8 1.0000 1.0000 1.0000 0.6514 3.02 1.3830 0.5747
12.5 0.8618 0.8618 0.8618 0.7222 4.72 1.1919 0.6527
18.5 0.7562 0.7562 0.7562 0.7825 6.99 1.0458 0.7223
27 0.6667 0.6667 0.6200 0.8126 10.21 0.9220 0.7582
38.3 0.5933 0.5600 0.5043 0.8434 14.48 0.8205 0.7957
54.3 0.5282 0.4947 0.4410 0.8693 20.53 0.7305 0.8279
77 0.4701 0.4500 0.4000 0.8910 29.11 0.6502 0.8553
109 0.4187 0.4187 0.3750 0.9092 41.20 0.5950 0.8757
146 0.3798 0.3798 0.3500 0.9222 55.19 0.5545 0.8903
187 0.3497 0.3497 0.3295 0.9319 70.69 0.5333 0.8997
239 0.3223 0.3223 0.3065 0.9403 90.34 0.5189 0.9073
305 0.2971 0.2850 0.2835 0.9477 115.29 0.5181 0.9122
390 0.2737 0.2737 0.2610 0.9544 147.42 0.5176 0.9171
498 0.2523 0.2523 0.2480 0.9602 188.24 0.5172 0.9217
635 0.2327 0.2327 0.2327 0.9653 240.03 0.5119 0.9267
"""

MODELS = ("ZH-L16A", "ZH-L16B", "ZH-L16C", "ZH-L16A/5min", "ZH-L16B/5min", "ZH-L16C/5min")


@dataclass(frozen=True)
class Compartments:
    """Sixteen compartments; every array has shape (16,)."""

    n2_half_time: Array  # [min]
    n2_a: Array  # [bar]
    n2_b: Array
    he_half_time: Array  # [min]
    he_a: Array  # [bar]
    he_b: Array


def compartments(model: str) -> Compartments:
    """Coefficients of one set, by the name the library gives it."""
    table = np.loadtxt(_ROWS.strip().splitlines())
    table = np.delete(table, 0 if model.endswith("/5min") else 1, axis=0)
    n2_half_time, *n2_a, n2_b, he_half_time, he_a, he_b = table.T
    variant = "ABC".index(model.removeprefix("ZH-L16")[0])
    return Compartments(n2_half_time, n2_a[variant], n2_b, he_half_time, he_a, he_b)

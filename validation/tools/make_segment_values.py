"""Write validation/data/segment_values.csv: tensions after one segment, at 50 digits.

    python validation/tools/make_segment_values.py

Evaluates the printed ramp solution of Schreiner and Kelley (1971),

    P(t) = pi0 + R (t - 1/k) - (pi0 - P0 - R/k) exp(-k t),

with mpmath from the very doubles that the table shows. The library is not involved.
"""

from __future__ import annotations

import csv
from pathlib import Path

from mpmath import exp, mp, mpf, nstr

mp.dps = 50

DATA = Path(__file__).parents[1] / "data" / "segment_values.csv"

HEAD = """\
# What:   tension of one gas in one compartment after a segment of linear ambient pressure.
# Origin: ramp solution of Schreiner and Kelley (1971), evaluated with mpmath at 50 digits by
#         validation/tools/make_segment_values.py; not produced by this library.
# Gas:    inspired pressure is (pressure - vapour) * fraction.
# Tol:    1e-13 of the largest of the terms |start|, |inspired| and |R t|, or 1e-15 bar. Rows that
#         start from 0 at constant pressure carry every digit: there 2e-15 of the result, a few
#         roundings.
"""

COLUMNS = [
    "case",
    "kt",
    "k_per_min",
    "minutes",
    "start_bar",
    "pressure_bar",
    "pressure_rate_bar_per_min",
    "fraction",
    "vapour_bar",
    "tension_bar",
    "tol_bar",
]

VAPOUR = 0.0627
KT = [0.0, 1e-9, 1e-7, 1e-5, 1e-3, 0.03, 0.2, 0.2499, 0.25, 0.2501, 0.7, 1.0, 3.0, 10.0, 40.0]
KT += [100.0, 400.0, 1e3]
# start, pressure, pressure at the end (None: the same), fraction
SEGMENTS = {
    "stay_from_empty": (0.0, 6.71325, None, 0.45),
    "stay_loading": (0.75, 6.71325, None, 0.37),
    "stay_unloading": (3.25, 1.61325, None, 0.5),
    "stay_on_oxygen": (2.5, 1.61325, None, 0.0),
    "ramp_down": (0.75, 1.01325, 6.71325, 0.79),
    "ramp_up": (3.0, 6.71325, 1.01325, 0.37),
    "ramp_up_from_empty": (0.0, 6.71325, 3.11325, 0.45),
}
HALF_TIMES = [1.51, 12.5, 635.0]  # [min]; the double of ln 2 / half-time is what the table shows


def tension(k: mpf, t: mpf, start: mpf, inspired: mpf, rate: mpf) -> mpf:
    """Return the ramp solution; in the limit k -> 0 it is never evaluated."""
    return inspired + rate * (t - 1 / k) - (inspired - start - rate / k) * exp(-k * t)


def main() -> None:
    """Write the table."""
    with DATA.open("w", encoding="utf-8", newline="\n") as file:
        file.write(HEAD)
        table = csv.writer(file, lineterminator="\n")
        table.writerow(COLUMNS)
        for name, (start, pressure, end, fraction) in SEGMENTS.items():
            for j, kt in enumerate(KT):
                k = 0.6931471805599453 / HALF_TIMES[j % len(HALF_TIMES)]
                minutes = kt / k
                travelled = end is not None and minutes > 0
                pressure_rate = (end - pressure) / minutes if travelled else 0.0
                inspired = (mpf(pressure) - mpf(VAPOUR)) * mpf(fraction)
                rate = mpf(pressure_rate) * mpf(fraction)
                value = tension(mpf(k), mpf(minutes), mpf(start), inspired, rate)
                largest = max(abs(mpf(start)), abs(inspired), abs(rate * mpf(minutes)))
                tol = max(mpf("1e-13") * largest, mpf("1e-15"))
                if start == 0.0 and end is None and kt > 0:
                    tol = mpf("2e-15") * value
                numbers = [kt, k, minutes, start, pressure, pressure_rate, fraction, VAPOUR]
                table.writerow([name, *(repr(x) for x in numbers), nstr(value, 25), nstr(tol, 3)])


if __name__ == "__main__":
    main()

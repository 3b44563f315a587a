"""Write validation/data/limit_values.csv: what a compartment with two gases tolerates.

    python validation/tools/make_limit_values.py

Evaluates Buehlmann's mixing rule and Baker's gradient-factor line with mpmath at 50 digits from
the coefficients of validation/data/zhl16_coefficients.csv. The library is not involved.
"""

from __future__ import annotations

import csv
from pathlib import Path

from mpmath import mp, mpf, nstr

mp.dps = 50

DATA = Path(__file__).parents[1] / "data"

HEAD = """\
# What:   mixed a and b, tolerated pressure and supersaturation fraction of compartments of
#         ZH-L16C that hold nitrogen and helium.
# Origin: a = (a_N2 P_N2 + a_He P_He) / (P_N2 + P_He), b likewise;
#         p_tol = (P - a G) / (G/b - G + 1); fraction = (P - p) / (a + p/b - p). Evaluated with
#         mpmath at 50 digits by validation/tools/make_limit_values.py from zhl16_coefficients.csv.
# Tol:    1e-14 of the largest term, a few roundings of double.
"""

COLUMNS = [
    "compartment",
    "nitrogen_bar",
    "helium_bar",
    "factor",
    "ambient_bar",
    "a_bar",
    "b",
    "tolerated_bar",
    "fraction",
    "tol",
]

# nitrogen, helium [bar], gradient factor, ambient [bar]
CASES = [
    (2.0689, 3.0220, 0.3, 4.0),
    (0.7509, 0.0, 1.0, 1.01325),
    (0.0, 4.5, 0.85, 2.5),
    (1e-6, 2.75, 0.55, 1.9),
    (3.125, 1e-9, 0.4, 3.1),
    (0.0, 0.0, 0.8, 1.01325),
    (1.5, 1.5, 1.5, 1.2),
]


def coefficients() -> list[dict[str, str]]:
    """Return the rows of the coefficient table, the 5-minute compartment left out."""
    lines = (DATA / "zhl16_coefficients.csv").read_text(encoding="utf-8").splitlines()
    rows = csv.DictReader(line for line in lines if not line.startswith("#"))
    return [row for row in rows if row["compartment"] != "1b"]


def main() -> None:
    """Write the table."""
    with (DATA / "limit_values.csv").open("w", encoding="utf-8", newline="\n") as file:
        file.write(HEAD)
        table = csv.writer(file, lineterminator="\n")
        table.writerow(COLUMNS)
        for row in coefficients():
            # The doubles that a program reads, so that only its arithmetic is tested.
            n2_a, n2_b, he_a, he_b = (
                mpf(float(row[name])) for name in ("n2_a_C_bar", "n2_b", "he_a_bar", "he_b")
            )
            for n2, he, factor, ambient in CASES:
                nitrogen, helium, g, p = mpf(n2), mpf(he), mpf(factor), mpf(ambient)
                total = nitrogen + helium
                a = (n2_a * nitrogen + he_a * helium) / total if total else n2_a
                b = (n2_b * nitrogen + he_b * helium) / total if total else n2_b
                tolerated = (total - a * g) / (g / b - g + 1)
                fraction = (total - p) / (a + p / b - p)
                tol = mpf("1e-14") * max(abs(x) for x in (total, p, a, tolerated, fraction))
                values = [nstr(x, 25) for x in (a, b, tolerated, fraction)]
                shown = [repr(x) for x in (n2, he, factor, ambient)]
                table.writerow([row["compartment"], *shown, *values, nstr(tol, 3)])


if __name__ == "__main__":
    main()

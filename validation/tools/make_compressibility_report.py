"""Write validation/compressibility.md: how far this library's real gas is from reference equations.

    python validation/tools/make_compressibility_report.py

Reads validation/data/compressibility.csv and compressibility_handbook.csv, and asks the upline
that is installed. The same input gives the same bytes; a test compares.
"""

from __future__ import annotations

import csv
from pathlib import Path
from typing import NamedTuple

from upline import _core

ROOT = Path(__file__).parents[1]
TARGET = ROOT / "compressibility.md"

ATMOSPHERE = 1.01325  # [bar]
WARMEST, COLDEST = 50.0, 0.0  # degrees C, as the statement of accuracy
RANGES = ((1.0, 100.0), (100.0, 200.0), (200.0, 300.0))  # bar, absolute; an end is in both
LEAST_CONTENT = 5.0  # bar; below it a gauge shows little, and its content is a small difference
STATED = 0.01  # the accuracy that this library states

HEAD = """\
# Real gas against reference equations

Written by `validation/tools/make_compressibility_report.py`; do not edit. A test fails if it is not
what that script writes.

Compared is what this library gives (GERG-2008) with `data/compressibility.csv`, which CoolProp
computed: pure gases and air by their reference equations, mixes by its mixture model. How far that
is independent stands at the head of that file. Differences are this library over the reference,
less 1, in per cent. *Z* is the compressibility factor. *Content* is what leaves a rigid cylinder
until its gauge reads 0, so its difference has the other sign. Pressures are absolute.
"""

REASON = """\
The rows of 20/80 are helium and oxygen without nitrogen. No measurements stood behind that pair:
GERG-2008 takes plain means for it, and so does the reference with other equations of the pure
gases, so that two estimates are compared and neither is known to be right. They part most where
helium dominates and pressure is highest. The rows are kept; the accuracy stated for such mixes is
1.2 %. If the reference is right, a content is counted too large there by the last column.
"""

HANDBOOK = """\
## Values of handbooks

`data/compressibility_handbook.csv`: factors as handbooks print them or as recalled equations give
them; nearly all are from memory, to be confirmed. Differences here are absolute, as are the
tolerances, which are as wide as those sources differ among themselves.
"""


class Difference(NamedTuple):
    """How far one row is off, and where it is."""

    off: float
    celsius: float
    bar: float

    @property
    def place(self) -> str:
        return f"{self.celsius:g} °C, {self.bar:g} bar"

    @property
    def text(self) -> str:
        return f"{100 * self.off:+.2f} at {self.place}"


def rows(name: str) -> list[dict[str, str]]:
    lines = (ROOT / "data" / f"{name}.csv").read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def factor(row: dict[str, str], bar: float) -> float:
    """Compressibility factor that this library gives at the temperature of a row."""
    return _core.compressibility(
        float(row["oxygen"]), float(row["helium"]), bar, float(row["temperature_C"])
    )


def content(z: float, bar: float, z_at_1: float) -> float:
    """Litres that a litre of water volume gives until the gauge reads 0.

    At one atmosphere the factor departs from 1 by 1.01325 of what it does at 1 bar.
    """
    return bar / z - ATMOSPHERE / (1.0 + ATMOSPHERE * (z_at_1 - 1.0))


def differences(table: list[dict[str, str]]) -> tuple[list[Difference], list[Difference]]:
    """Of the factor, and of the content, for the rows of one gas."""
    z_at_1 = {row["temperature_C"]: row["z"] for row in table if float(row["pressure_bar"]) == 1.0}
    of_z, of_content = [], []
    for row in table:
        celsius, bar = float(row["temperature_C"]), float(row["pressure_bar"])
        if not COLDEST <= celsius <= WARMEST:
            continue
        z, ours = float(row["z"]), factor(row, bar)
        of_z.append(Difference(ours / z - 1.0, celsius, bar))
        if bar >= LEAST_CONTENT:
            wanted = content(z, bar, float(z_at_1[row["temperature_C"]]))
            given = content(ours, bar, factor(row, 1.0))
            of_content.append(Difference(given / wanted - 1.0, celsius, bar))
    return of_z, of_content


def worst(found: list[Difference]) -> Difference:
    return max(found, key=lambda one: abs(one.off))


def line(*cells: str) -> str:
    return "| " + " | ".join(cells) + " |"


def by_gas() -> dict[str, tuple[list[Difference], list[Difference]]]:
    table = rows("compressibility")
    names = list(dict.fromkeys(row["gas"] for row in table))
    return {name: differences([row for row in table if row["gas"] == name]) for name in names}


def outside(found: dict[str, tuple[list[Difference], list[Difference]]]) -> list[str]:
    """Rows of the table that miss the stated accuracy."""
    text = [
        "## Outside 1 %",
        "",
        line("gas", "where", "*Z* [%]", "content [%]"),
        line("---", "---", "---", "---"),
    ]
    for name, (of_z, of_content) in found.items():
        contents = {one.place: one.off for one in of_content}
        for one in of_z:
            off = contents.get(one.place, 0.0)
            if max(abs(one.off), abs(off)) > STATED:
                text.append(line(name, one.place, f"{100 * one.off:+.2f}", f"{100 * off:+.2f}"))
    return [*text, "", REASON]


def inside(found: dict[str, tuple[list[Difference], list[Difference]]]) -> list[str]:
    """The worst of each gas in each range of pressures."""
    text = [
        "## The worst of each gas and range",
        "",
        "0 to 50 °C; the grid is 10 °C and up to 25 bar wide. Contents from 5 bar on.",
        "",
        line("gas", "bar", "*Z* [%]", "content [%]"),
        line("---", "---", "---", "---"),
    ]
    for name, both in found.items():
        for low, high in RANGES:
            shown = [worst([one for one in part if low <= one.bar <= high]).text for part in both]
            text.append(line(name, f"{low:g} to {high:g}", *shown))
    return [*text, ""]


def handbook() -> list[str]:
    """The worst of each gas against values of handbooks."""
    text = [
        HANDBOOK,
        line("gas", "rows", "tolerance", "worst", "where", "outside its tolerance"),
        line("---", "---", "---", "---", "---", "---"),
    ]
    mixes = {"oxygen": (1.0, 0.0), "nitrogen": (0.0, 0.0), "helium": (0.0, 1.0), "air": (0.21, 0.0)}
    table = rows("compressibility_handbook")
    for name, (oxygen, helium) in mixes.items():
        chosen = [row for row in table if row["gas"] == name]
        off = []
        for row in chosen:
            celsius, bar = float(row["temperature_C"]), float(row["pressure_bar"])
            ours = _core.compressibility(oxygen, helium, bar, celsius)
            off.append(Difference(ours - float(row["z"]), celsius, bar))
        (tolerance,) = {row["tol"] for row in chosen}
        beyond = sum(abs(one.off) > float(tolerance) for one in off)
        one = worst(off)
        text.append(
            line(name, str(len(off)), tolerance, f"{one.off:+.4f}", one.place, f"{beyond} rows")
        )
    return [*text, ""]


def report() -> str:
    """Return the whole page."""
    found = by_gas()
    worst_of_all = max(
        ((name, worst(of_content)) for name, (_, of_content) in found.items()),
        key=lambda pair: abs(pair[1].off),
    )
    within = max(
        (
            (name, worst(of_content))
            for name, (_, of_content) in found.items()
            if abs(worst(of_content).off) <= STATED
        ),
        key=lambda pair: abs(pair[1].off),
    )
    count = sum(len(of_z) for of_z, _ in found.values())
    summary = (
        f"{count} rows. The worst content is that of {worst_of_all[0]}: {worst_of_all[1].text}. "
        f"The worst gas that keeps to 1 % everywhere is {within[0]}: {within[1].text}.\n"
    )
    return "\n".join([HEAD, summary, *outside(found), *inside(found), *handbook()]).rstrip() + "\n"


def main() -> None:
    """Write the page."""
    TARGET.write_text(report(), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()

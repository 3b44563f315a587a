"""Two schedules of a published trial, replayed; and the page that shows them.

Source: Doolette, Gerth and Gault, Technical Report 11-06 (2011). What its abstract says of them is
compared; what is computed here has nothing to be compared with in it, and is computed a second time
by tests/python/reference.
"""

from __future__ import annotations

import re
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import upline
from reference.data import rows
from reference.limit import fraction, tolerated
from reference.profile import (
    Line,
    Mix,
    Place,
    Stretch,
    direct_ascent_anchor,
    on_air,
    sampled_excess,
    tensions_after,
)
from reference.table import compartments

FSW = 0.30643  # m of 0.1 bar; pressure_units.csv
AIR = Mix(0.21)
MODEL = "ZH-L16C"
NAMES = ("gas content", "bubble model")
FACTS = {(row["schedule"], row["what"]): float(row["value"]) for row in rows("test_schedule_facts")}
BOTTOM = FACTS["both", "bottom depth [fsw]"]
BOTTOM_TIME = FACTS["both", "bottom time [min]"]
DOWN = FACTS["both", "descent [fsw/min]"]
UP = FACTS["both", "ascent [fsw/min]"]
PAGE = Path(__file__).parents[2] / "docs" / "guide" / "published-schedules.md"


def stops_of(name: str) -> list[tuple[float, float]]:
    found = [row for row in rows("test_schedules") if row["schedule"] == name]
    assert {row["confidence"] for row in found} == {"from memory, to be confirmed"}
    return [(float(row["stop_fsw"]), float(row["minutes"])) for row in found]


def points_of(name: str) -> list[tuple[float, float]]:
    """Run time [min] and depth [m]; the first stop counts from its arrival."""
    points = [(0.0, 0.0), (BOTTOM / DOWN, BOTTOM), (BOTTOM_TIME, BOTTOM)]
    for j, (stop, minutes) in enumerate(stops_of(name)):
        leaves, depth = points[-1]
        arrives = leaves + (depth - stop) / UP
        points += [(arrives, stop), ((leaves if j else arrives) + minutes, stop)]
    points.append((points[-1][0] + points[-1][1] / UP, 0.0))
    return [(at, depth * FSW) for at, depth in points]


@cache
def replayed(name: str) -> Any:
    (at, depth), *others = points_of(name)
    return upline.replay([(at, depth, "air"), *others], gf="100/100", bottom_left=BOTTOM_TIME)


@cache
def checked(name: str) -> Any:
    leaves = [{"depth": depth, "leave at": at} for at, depth in points_of(name)[4:-1:2]]
    return upline.check(
        leaves, depth=BOTTOM * FSW, bottom_time=BOTTOM_TIME, gases=["air"], gf="100/100",
        minutes="leave at", descent_rate=DOWN * FSW, ascent_rate=UP * FSW, switch_time=0,
    )  # fmt: skip


# ---- the same, computed a second time ------------------------------------------------------------


def stretches_of(name: str) -> list[Stretch]:
    return [
        Stretch(begins, ends, start, end, AIR)
        for (begins, start), (ends, end) in pairwise(points_of(name))
    ]


def tensions_at(name: str, run_time: float) -> tuple[Any, Any]:
    """At the end of the stretch that ends then."""
    tensions = on_air(Place().surface)
    for stretch in stretches_of(name):
        if stretch.ends <= run_time + 1e-9:
            tensions = tensions_after(tensions, stretch, Place(), compartments(MODEL))
    return tensions


def excess_of(name: str, low: float, high: float) -> float:
    """The largest excess over the line of a pair, after leaving the bottom [bar]."""
    anchor = direct_ascent_anchor(
        tensions_at(name, BOTTOM_TIME), BOTTOM * FSW, AIR, [], [(0.0, UP * FSW)], Place(), MODEL,
        low,
    )  # fmt: skip
    line = Line(anchor, low, high)
    start = on_air(Place().surface)
    return sampled_excess(stretches_of(name), start, Place(), MODEL, line, BOTTOM_TIME).amount


# ---- what the abstract says ----------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_the_recalled_stops_fit_what_was_read(name: str) -> None:
    stops = stops_of(name)
    assert sum(minutes for _, minutes in stops) == FACTS[name, "total stop time [min]"]
    assert stops[0][0] == FACTS[name, "first stop [fsw]"]


# ---- what upline says of them --------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_surfacing_and_its_compartment(name: str) -> None:
    r = replayed(name)
    set_ = compartments(MODEL)
    fractions = fraction(set_, *tensions_at(name, r.run_time), Place().surface)
    assert r.surfacing_fraction == pytest.approx(fractions.max(), rel=0, abs=1e-12)
    assert r.surfacing_half_time == set_.n2_half_time[np.argmax(fractions)]
    assert checked(name).surfacing_fraction == pytest.approx(r.surfacing_fraction, rel=0, abs=1e-12)


@pytest.mark.parametrize("name", NAMES)
def test_the_compartments_that_hold_each_stop(name: str) -> None:
    r = replayed(name)
    set_ = compartments(MODEL)
    assert [stop.depth / FSW for stop in r.stops] == pytest.approx([d for d, _ in stops_of(name)])
    arrivals = points_of(name)[5::2]  # at the next stop, at last at the surface
    for stop, (at, depth) in zip(r.stops, arrivals, strict=True):
        margins = Place().pressure(depth) - tolerated(set_, *tensions_at(name, at), 1.0)
        first, second = np.argsort(margins)[:2]
        leaders = (set_.n2_half_time[first], set_.n2_half_time[second])
        assert (stop.held_by, stop.runner_up) == leaders
        assert stop.margin == pytest.approx(margins[first], rel=0, abs=1e-9)


@pytest.mark.parametrize("name", NAMES)
def test_the_least_margin(name: str) -> None:
    assert replayed(name).margin == pytest.approx(-excess_of(name, 1.0, 1.0), rel=0, abs=1e-6)
    assert checked(name).margin == pytest.approx(replayed(name).margin, rel=0, abs=1e-9)


@pytest.mark.parametrize("name", NAMES)
def test_the_pairs_it_satisfies_end_where_they_should(name: str) -> None:
    r = checked(name)
    assert r.verdict == "satisfies"
    pairs = r.factor_pairs
    for pair in (pairs[0], pairs[len(pairs) // 2], pairs[-1]):
        assert abs(excess_of(name, pair.low, pair.high)) <= 1e-6 or pair.low == pair.high
        assert excess_of(name, pair.low, pair.high) <= 1e-6
        if pair.high > pair.low:
            assert excess_of(name, pair.low, pair.high - 1e-3) > 1e-6
    assert excess_of(name, pairs[0].low - 1e-3, 1.0) > 1e-6


def test_the_deep_stops_leave_more_in_the_slow_compartments() -> None:
    """The finding that the trial was about, in the terms of this model."""
    shallow, deep = (replayed(name) for name in NAMES)
    assert deep.surfacing_fraction > shallow.surfacing_fraction + 0.2
    assert abs(deep.run_time - shallow.run_time) < 1.0 + 1e-9


# ---- the page ------------------------------------------------------------------------------------


def test_the_page_shows_these_stops() -> None:
    (cell,) = re.findall(r"^schedules = \{.*?^\}", PAGE.read_text("utf-8"), re.M | re.S)
    shown: dict[str, Any] = {}
    exec(cell, shown)
    assert shown["schedules"] == {name: stops_of(name) for name in NAMES}

"""Paths held against the limit line of their dive."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
import upline

PLAN = upline.plan(
    57, 25, ["18/45", "50", "O2"], gf="40/80", last_stop=6, rounding="exact", switch_time=0
)


def path_of(plan):
    """Waypoints of a plan, each with the mix breathed from then on."""
    points = [(0.0, 0.0, str(plan.rows[0].gas))]
    for row, after in zip(plan.rows, [*plan.rows[1:], plan.rows[-1]], strict=True):
        points.append((row.ends, row.to_depth, str(after.gas)))
    return points


def test_a_plan_played_back_is_on_its_own_line() -> None:
    r = upline.replay(path_of(PLAN), gf="40/80", bottom_left=25)
    assert abs(r.margin) <= 1e-9
    assert r.anchor == pytest.approx(PLAN.anchor, abs=1e-9)
    assert r.surfacing_fraction == pytest.approx(PLAN.surfacing_fraction, abs=1e-12)
    assert r.oxygen.cns == pytest.approx(PLAN.oxygen.cns, rel=1e-12)
    assert [stop.depth for stop in r.stops] == [stop.depth for stop in PLAN.stops]
    assert [stop.held_by for stop in r.stops] == [stop.held_by for stop in PLAN.stops]


def test_a_log_finds_the_anchor_by_itself() -> None:
    trace = PLAN.trace(1 / 6)
    times = np.asarray(trace.time)
    points = []
    for t, depth in zip(times, trace.depth, strict=True):
        gas = next((str(row.gas) for row in PLAN.rows if row.begins <= t < row.ends - 1e-9), None)
        points.append((float(t), float(depth), gas))
    r = upline.replay(points, gf="40/80")
    assert r.anchor == pytest.approx(PLAN.anchor, abs=1e-6)
    assert abs(r.margin) <= 1e-9


def test_the_margin_is_the_least_of_fine_samples() -> None:
    """A slow way up and down again, sampled every second by the public pieces of the model."""
    path = [(0, 0), (2, 40), (20, 40), (26, 4), (28, 9), (31, 2), (33, 0)]
    r = upline.replay(path, gases="air", gf="30/70", bottom_left=20)
    low, high = 0.30, 0.70
    nitrogen, helium = upline.equilibrium_with_air(1.01325)
    least = np.inf
    for (t0, d0), (t1, d1) in itertools.pairwise(path):
        rate = 0.1 * (d1 - d0) / (t1 - t0)
        for k in range(1, round((t1 - t0) * 60) + 1):
            t = k / 60
            depth = d0 + (d1 - d0) * t / (t1 - t0)
            n, h = upline.advance(
                nitrogen, helium, minutes=t, pressure=1.01325 + 0.1 * d0, rate=rate, gas="air"
            )
            if t0 < 20 or depth == 0:
                continue
            factor = low if depth >= r.anchor else high + (low - high) * depth / r.anchor
            allowed = upline.tolerated_pressure(n, h, factor)
            least = min(least, 1.01325 + 0.1 * depth - float(allowed.max()))
        nitrogen, helium = upline.advance(
            nitrogen, helium, minutes=t1 - t0, pressure=1.01325 + 0.1 * d0, rate=rate, gas="air"
        )
    assert r.tightest.pressure <= least + 1e-9
    assert r.tightest.pressure == pytest.approx(least, abs=2e-3)  # a second's worth of travel
    surface = upline.supersaturation_fraction(nitrogen, helium, 1.01325)
    assert r.surfacing_fraction == pytest.approx(float(surface.max()), abs=1e-12)


def test_it_never_refuses() -> None:
    path = [(0, 0, "50"), (3, 57, "50"), (40, 57, "10/50"), (46, 0)]
    r = upline.replay(path, gf="40/80", bottom_left=40)
    refusing = {caution.code for caution in r.cautions if caution.severity == "refuses"}
    assert {"limit_exceeded", "po2_above_limit", "low_po2", "cns"} <= refusing
    assert r.margin < -1


def test_what_is_added_at_the_ends_is_said() -> None:
    r = upline.replay([(1, 5, "air"), (3, 30), (10, 30), (13, 2)], gf="40/80")
    assert "begins at 5 m" in r.notes[0]
    assert "ends at 2 m" in r.notes[1]
    assert r.run_time > 13


@pytest.mark.parametrize(
    ("path", "named"),
    [
        ([(0, 0, "air"), (3, 30), (2, 0)], "waypoint 3"),
        ([(0, 0, "air"), (3, 30), (3, 0)], "waypoint 3"),
        ([(0, 0, "air")], "profile"),
        ([(0, 0), (3, 30), (9, 0)], "gases"),
    ],
)
def test_what_is_no_path_is_named(path, named) -> None:
    with pytest.raises(upline.InvalidInput, match=named):
        upline.replay(path, gf="40/80")


def test_feet_are_feet() -> None:
    metres = upline.replay([(0, 0, "air"), (2, 30.48), (25, 30.48), (29, 0)], gf="100/100",
                           ascent_rate=9.144)  # fmt: skip
    feet = upline.replay([(0, 0, "air"), (2, 100), (25, 100), (29, 0)], gf="100/100",
                         units="imperial")  # fmt: skip
    assert feet.units == "imperial"
    assert feet.margin == pytest.approx(metres.margin, abs=1e-12)
    assert feet.tightest.depth == pytest.approx(metres.tightest.depth / 0.3048)


def test_the_text_carries_margin_and_caution() -> None:
    text = str(upline.replay([(0, 0, "air"), (2, 30), (25, 30), (28, 0)], gf="40/80"))
    assert "Surfacing fraction" in text
    assert "It does not make a dive safe" in text


def test_time_at_the_surface_hides_nothing() -> None:
    path = [(0, 0, "air"), (2, 40), (30, 40), (34, 0)]
    ended = upline.replay(path, gf="40/80")
    r = upline.replay([*path, (50, 0), (64, 0)], gf="40/80")
    assert r.surfacing_fraction == ended.surfacing_fraction > 1.5
    assert (r.margin, r.run_time) == (ended.margin, 34)
    assert "after it was left out" in r.notes[0]


def test_equal_samples_of_a_log_are_no_stop() -> None:
    path = [(0, 0, "air"), (2, 30), (20, 30)]
    path += [(20 + k / 60, round(30 - 3 * k / 60, 1)) for k in range(1, 601)]
    assert upline.replay(path, gf="40/80").stops == ()

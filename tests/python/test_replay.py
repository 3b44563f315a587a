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


# ---- frames --------------------------------------------------------------------------------------


def test_samples_are_those_of_the_trace_of_a_plan() -> None:
    pytest.importorskip("pandas")
    frame = upline.replay(path_of(PLAN), gf="40/80", bottom_left=25).to_frame(step=0.5)
    trace = PLAN.trace(0.5)
    times = frame["run_time_min"].to_numpy()
    assert len(times) == len(np.unique(times)) >= len(np.unique(np.round(trace.time, 9)))
    for column, expected in (
        ("depth_m", trace.depth),
        ("ambient_bar", trace.ambient),
        ("ceiling_m", trace.ceiling),
        ("factor", trace.factor),
        ("margin_bar", trace.ambient - trace.tolerated.max(axis=1)),
        ("margin_m", trace.depth - trace.ceiling),
    ):
        seen = np.interp(trace.time, times, frame[column])
        np.testing.assert_allclose(seen, expected, atol=1e-7, err_msg=column)


def test_the_least_sample_is_the_margin() -> None:
    pytest.importorskip("pandas")
    r = upline.replay([(0, 0, "air"), (2, 40), (20, 40), (26, 4), (28, 9), (31, 2), (33, 0)],
                      gf="30/70", bottom_left=20)  # fmt: skip
    frame = r.to_frame(step=1 / 60)
    assert (frame["counts"] == (frame["run_time_min"] >= 20)).all()
    least = frame[frame["counts"]].nsmallest(1, "margin_bar").iloc[0]
    worst = min((r.tightest, r.surfacing), key=lambda one: one.pressure)
    assert least["margin_bar"] == pytest.approx(worst.pressure, abs=2e-3)
    assert least["run_time_min"] == pytest.approx(worst.run_time, abs=1 / 60)
    assert least["margin_fraction"] == pytest.approx(worst.fraction, abs=5e-3)
    assert least["margin_m"] == pytest.approx(worst.length, abs=2e-2)
    assert least["held_by_min"] == worst.half_time
    last = frame.iloc[-1]
    assert last["fraction"] == pytest.approx(r.surfacing_fraction, abs=1e-12)
    assert last["margin_bar"] == pytest.approx(r.surfacing.pressure, abs=1e-12)
    # A margin in bar and as a fraction have the same sign, in each compartment.
    assert ((frame["margin_bar"] < -1e-9) == (frame["margin_fraction"] < -1e-9)).all()


def test_the_gas_is_the_one_breathed_until_then() -> None:
    pytest.importorskip("pandas")
    frame = upline.replay(path_of(PLAN), gf="40/80", bottom_left=25).to_frame()
    for time, gas in zip(frame["run_time_min"], frame["gas"], strict=True):
        row = next(row for row in PLAN.rows if row.begins <= time <= row.ends)
        assert gas == str(row.gas)
    assert set(frame["gas"]) == {"18/45", "50", "O2"}


def test_stops_as_a_frame() -> None:
    pytest.importorskip("pandas")
    r = upline.replay(path_of(PLAN), gf="40/80", bottom_left=25)
    frame = r.to_frame(of="stops")
    assert list(frame["depth_m"]) == [stop.depth for stop in r.stops]
    assert list(frame["leave_at_min"]) == [stop.departs for stop in r.stops]
    assert list(frame["gap_bar"]) == [stop.gap for stop in r.stops]
    assert frame.attrs["foot"].startswith("This is what a mathematical model allows.")
    assert "40/80 anchored at" in frame.attrs["assumptions"]


def test_columns_of_feet_say_so() -> None:
    pytest.importorskip("pandas")
    path = [(0, 0, "air"), (2, 100), (25, 100), (29, 0)]
    r = upline.replay(path, gf="100/100", units="imperial")
    samples, stops = r.to_frame(), r.to_frame("stops")
    assert {"depth_ft", "ceiling_ft", "margin_ft"} <= set(samples)
    assert "depth_ft" in stops
    assert not [name for name in (*samples, *stops) if name.endswith("_m")]
    assert samples["depth_ft"].max() == pytest.approx(100.0)
    assert " ft" in r.assumptions
    assert " m;" not in r.assumptions


@pytest.mark.parametrize("step", [0, 1e-3, -1, float("nan"), 1e6])
def test_steps_out_of_range(step) -> None:
    r = upline.replay([(0, 0, "air"), (2, 30), (25, 30), (28, 0)], gf="40/80")
    with pytest.raises(upline.InvalidInput, match=r"step .*0\.01667 to 100000 min"):
        r.to_frame(step=step)
    with pytest.raises(upline.WrongType, match="of"):
        r.to_frame(off="stops")
    with pytest.raises(upline.InvalidInput, match='"samples" or "stops"'):
        r.to_frame("rows")


def test_more_waypoints_than_any_other_list_has() -> None:
    times = np.linspace(0.0, 60.0, 12_000)
    depths = np.interp(times, [0, 2, 50, 60], [0, 20, 20, 0])
    points = [(float(t), float(d)) for t, d in zip(times, depths, strict=True)]
    r = upline.replay(points, gases="32", gf="40/85", bottom_left=50)
    same = upline.replay([(0, 0), (2, 20), (50, 20), (60, 0)], gases="32", gf="40/85",
                         bottom_left=50)  # fmt: skip
    assert r.margin == pytest.approx(same.margin, abs=1e-3)

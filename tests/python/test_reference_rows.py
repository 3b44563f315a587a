"""The schedules of reference_rows.csv to all printed digits; and two other planners beside."""

from __future__ import annotations

from functools import cache

import pytest
import upline
from reference import notebook
from reference.data import rows
from upline import _reference
from upline._reference import pairs

ROWS = {row["id"]: row for row in rows("reference_rows")}


@cache
def planned(name: str) -> upline.Plan:
    return _reference.planned(ROWS, name)


WITH_STOPS = [name for name, row in ROWS.items() if row["stops"]]


def test_all_rows_are_there() -> None:
    assert {*"123456789", "second"} <= set(WITH_STOPS)


@pytest.mark.parametrize("name", WITH_STOPS)
def test_stops(name: str) -> None:
    row = ROWS[name]
    stops = planned(name).stops
    expected = pairs(row["stops"])
    assert [stop.depth for stop in stops] == [depth for depth, _ in expected]
    tolerance = float(row["stop_tol_min"])
    for stop, (depth, value) in zip(stops, expected, strict=True):
        assert _reference.stop_value(row, stop) == pytest.approx(value, rel=0, abs=tolerance), depth


@pytest.mark.parametrize("name", [name for name in ROWS if ROWS[name]["anchor_m"]])
def test_anchor(name: str) -> None:
    row = ROWS[name]
    expected = pytest.approx(float(row["anchor_m"]), rel=0, abs=float(row["anchor_tol_m"]))
    assert _reference.anchor_in_metres(row, planned(name)) == expected


@pytest.mark.parametrize("name", WITH_STOPS)
def test_run_time(name: str) -> None:
    row = ROWS[name]
    expected = pytest.approx(float(row["run_time_min"]), rel=0, abs=float(row["run_time_tol_min"]))
    assert planned(name).run_time == expected


@pytest.mark.parametrize("name", WITH_STOPS)
def test_the_line_is_kept(name: str) -> None:
    """None of these dives goes beyond its limit line."""
    assert "limit_exceeded" not in [caution.code for caution in planned(name).cautions]


@pytest.mark.parametrize("row", rows("reference_exposure"), ids=lambda r: r["quantity"])
def test_exposure_of_row_1(row: dict[str, str]) -> None:
    got = _reference.exposure(planned("1"), row["quantity"])
    assert got == pytest.approx(float(row["value"]), rel=0, abs=float(row["tol"]))


@pytest.mark.parametrize("row", rows("reference_no_stop"), ids=lambda r: r["depth_m"])
def test_no_stop_limits(row: dict[str, str]) -> None:
    got = upline.no_stop_limit(float(row["depth_m"]), row["gas"], gf=row["gf_percent"])
    expected = float(row["limit_min"])
    assert got == pytest.approx(expected, rel=0, abs=float(row["tol_min"]))


@pytest.mark.parametrize("row", rows("reference_no_stop"), ids=lambda r: r["depth_m"])
def test_a_minute_more_than_the_no_stop_limit_needs_a_stop(row: dict[str, str]) -> None:
    depth, limit = float(row["depth_m"]), float(row["limit_min"])
    rules = {"gases": row["gas"], "gf": row["gf_percent"], "rounding": "exact"}
    assert not upline.plan(depth, limit - 1e-5, **rules).stops
    assert upline.plan(depth, limit + 1e-5, **rules).stops


# ---- a third opinion ----------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["2", "3"])
def test_notebook_planner_agrees(name: str) -> None:
    """A planner that steps through each stop minute by minute leaves at the same minutes."""
    row = ROWS[name]
    extra = {}
    if row["surfacing_rate_per_min"]:
        extra["surfacing_rate"] = float(row["surfacing_rate_per_min"])
    stops, run_time, anchor = notebook.plan(
        57,
        25,
        [(0.18, 0.45), (0.5, 0.0), (1.0, 0.0)],
        (0.4, 0.8),
        last_stop=float(row["last_stop"]),
        switch_time=float(row["switch_time_min"]),
        **extra,
    )
    plan = planned(name)
    assert [(stop.depth, stop.departs) for stop in plan.stops] == [
        (depth, pytest.approx(leaves, rel=0, abs=1e-9)) for depth, leaves in stops
    ]
    assert plan.run_time == pytest.approx(run_time, rel=0, abs=1e-9)
    assert plan.anchor == pytest.approx(anchor, rel=0, abs=2e-6)  # it halves down to 1e-6 m

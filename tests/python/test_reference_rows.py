"""The schedules of reference_rows.csv to all printed digits; and two other planners beside."""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest
import upline
from reference import notebook
from reference.data import rows

ROWS = {row["id"]: row for row in rows("reference_rows")}
DEFAULTS = {
    "descent_rate": "descent_rate_per_min",
    "surfacing_rate": "surfacing_rate_per_min",
    "spacing": "spacing",
    "last_stop": "last_stop",
    "min_stop": "min_stop_min",
    "switch_time": "switch_time_min",
    "max_po2": "max_po2_bar",
}


def pairs(text: str) -> list[tuple[float, float]]:
    """Read "57:20 42:45"."""
    found = []
    for pair in text.split():
        first, second = pair.split(":")
        found.append((float(first), float(second)))
    return found


def environment(row: dict[str, str]) -> upline.Environment | None:
    stated: dict[str, Any] = {}
    if row["altitude_m"]:
        stated["altitude"] = float(row["altitude_m"])
    if row["acclimatised_to"]:
        stated["acclimatised_to"] = row["acclimatised_to"]
    if row["water_kg_per_m3"]:
        stated["water"] = float(row["water_kg_per_m3"])
    return upline.Environment(**stated) if stated else None


@cache
def planned(name: str) -> upline.Plan:
    """Plan one row, after the row that it follows."""
    row = ROWS[name]
    arguments: dict[str, Any] = {
        argument: float(row[column]) for argument, column in DEFAULTS.items() if row[column]
    }
    levels = pairs(row["levels"])
    if len(levels) == 1:
        arguments["depth"], arguments["bottom_time"] = levels[0]
    else:
        arguments["depth"] = levels
    if row["ascent_rates_per_min"]:
        arguments["ascent_rate"] = pairs(row["ascent_rates_per_min"])
    if row["before"]:
        before = planned(row["before"])
        arguments["start"] = upline.rest(before.end, float(row["rest_min"]))
    return upline.plan(
        **arguments,
        gases=row["gases"].split(),
        gf=row["gf_percent"],
        rounding=row["rounding"],
        environment=environment(row),
        units={"m": "metric", "ft": "imperial"}[row["length_unit"]],
    )


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
    kind = {"minutes": "minutes", "leave_at": "departs"}[row["stops_give"]]
    for stop, (depth, value) in zip(stops, expected, strict=True):
        assert getattr(stop, kind) == pytest.approx(value, rel=0, abs=tolerance), depth


@pytest.mark.parametrize("name", [name for name in ROWS if ROWS[name]["anchor_m"]])
def test_anchor(name: str) -> None:
    row = ROWS[name]
    metre = {"m": 1.0, "ft": 0.3048}[row["length_unit"]]
    expected = pytest.approx(float(row["anchor_m"]), rel=0, abs=float(row["anchor_tol_m"]))
    assert planned(name).anchor * metre == expected


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
    arguments = planned("1").arguments | {"rmv": 20.0, "deco_rmv": 15.0}
    plan = upline.plan(**arguments)
    kind, _, gas = row["quantity"].partition(" ")
    got = {
        "cns": lambda: plan.oxygen.cns,
        "otu": lambda: plan.oxygen.otu,
        "gas": lambda: plan.gas_use[gas],
        "surfacing_fraction": lambda: plan.surfacing_fraction,
    }[kind]()
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

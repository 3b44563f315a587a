"""What a plan holds and how its arguments are taken."""

from __future__ import annotations

import inspect
import itertools
import math
import sys
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest
import upline
from hypothesis import given
from hypothesis import strategies as st
from upline import _core

FOOT = 0.3048  # m, by definition


def plan(*args: object, **rules: object) -> upline.Plan:
    """The demo dive with some of its arguments replaced."""
    given_ = {"gases": ["18/45", "50", "O2"], "gf": "40/80", "last_stop": 6, **rules}
    if rules.get("ladder") is not None:
        given_.pop("last_stop")
    return upline.plan(*(args or (57, 25)), **given_)


def leaves(p: upline.Plan) -> list[tuple[float, float]]:
    return [(stop.depth, stop.departs) for stop in p.stops]


# ---- what is in it -------------------------------------------------------------------------------


def test_stops_are_consistent(quince: upline.Plan) -> None:
    left = quince.bottom_time
    assert len(quince.stops) == 8
    for stop in quince.stops:
        assert stop.minutes == pytest.approx(stop.departs - stop.arrives)
        assert stop.stay == pytest.approx(stop.departs - left)
        assert stop.stay > stop.minutes
        assert stop.departs == round(stop.departs)  # leave times are rounded up to the minute
        left = stop.departs
    depths = [stop.depth for stop in quince.stops]
    assert depths == [27, 24, 21, 18, 15, 12, 9, 6]
    assert quince.time_to_surface == quince.run_time - quince.bottom_time
    assert quince.run_time == pytest.approx(left + 6 / 9)


def test_rows_follow_one_another(quince: upline.Plan) -> None:
    rows = quince.rows
    assert (rows[0].begins, rows[0].from_depth) == (0, 0)
    assert (rows[-1].ends, rows[-1].to_depth) == (quince.run_time, 0)
    for before, after in itertools.pairwise(rows):
        assert after.begins == before.ends
        assert after.from_depth == before.to_depth
    assert {row.phase for row in rows} == {"go down", "stay", "come up", "switch"}
    for row in rows:
        assert row.minutes == pytest.approx(row.ends - row.begins)
        assert row.po2_begins == pytest.approx(row.gas.po2(row.from_depth))
        assert row.po2_ends == pytest.approx(row.gas.po2(row.to_depth))


def test_a_switch_is_made_on_the_old_gas(quince: upline.Plan) -> None:
    switches = [row for row in quince.rows if row.phase == "switch"]
    assert [(str(row.gas), row.from_depth, round(row.minutes, 9)) for row in switches] == [
        ("18/45", 21, 1),
        ("50", 6, 1),
    ]
    at_21 = next(stop for stop in quince.stops if stop.depth == 21)
    assert (str(at_21.arrives_on), str(at_21.gas)) == ("18/45", "50")


def test_held_by_is_a_half_time(quince: upline.Plan) -> None:
    half_times = set(upline.compartments().n2_half_time.tolist())
    held = [stop.held_by for stop in quince.stops]
    assert set(held) <= half_times
    assert held == sorted(held), "slower compartments take over on the way up"
    assert quince.surfacing_half_time in half_times


def test_extremes_belong_to_their_place(quince: upline.Plan) -> None:
    extremes = quince.extremes
    assert extremes.highest_po2.depth == 6
    assert extremes.highest_po2.value == pytest.approx(upline.Gas("O2").po2(6))
    assert extremes.lowest_po2.depth == 0
    assert extremes.highest_density.value == pytest.approx(upline.Gas("18/45").density(57))
    assert extremes.narcotic_depth.value >= extremes.narcotic_depth_nitrogen.value
    assert extremes.highest_po2.gas == upline.Gas("O2")


def test_bar_minutes_are_the_integral_of_pressure(quince: upline.Plan) -> None:
    place = upline.Environment()
    by_rows = dict.fromkeys(quince.bar_minutes, 0.0)
    for row in quince.rows:
        mean = (place.pressure(row.from_depth) + place.pressure(row.to_depth)) / 2
        by_rows[str(row.gas)] += row.minutes * mean
    assert quince.bar_minutes == pytest.approx(by_rows)


def test_litres_need_a_breathing_rate(quince: upline.Plan) -> None:
    assert quince.gas_use is None
    one_rate = plan(rmv=20)
    assert one_rate.gas_use == pytest.approx(
        {gas: 20 * used for gas, used in one_rate.bar_minutes.items()}
    )
    two_rates = plan(rmv=20, deco_rmv=15)
    assert two_rates.gas_use is not None
    assert two_rates.gas_use["O2"] == pytest.approx(15 * two_rates.bar_minutes["O2"])
    assert two_rates.gas_use["18/45"] < one_rate.gas_use["18/45"]


def test_cautions_of_the_demo_dive_are_data(quince: upline.Plan) -> None:
    found = {caution.code: caution for caution in quince.cautions}
    assert {code: caution.severity for code, caution in found.items()} == {
        "oxygen_history_unknown": "note",
        "po2_in_tolerance": "note",
        "nitrogen_rise": "caution",
        "oxygen_without_break": "caution",
        "density": "caution",
    }
    rise = found["nitrogen_rise"]
    assert (str(rise.old_gas), str(rise.gas), rise.depth) == ("18/45", "50", 21)
    assert rise.value == pytest.approx(0.13)
    assert rise.limit == pytest.approx(0.09)
    assert found["density"].value == pytest.approx(5.30, abs=0.005)
    assert found["density"].limit == 5.2
    history = found["oxygen_history_unknown"]
    assert (history.value, history.gas, history.depth) == (None, None, None)
    assert "inside the stated tolerance" in found["po2_in_tolerance"].text
    assert str(rise) == rise.text
    assert not quince.refused


def test_a_refused_plan_says_so() -> None:
    beyond = plan(gf="40/120")
    assert beyond.refused
    assert [c.code for c in beyond.cautions if c.severity == "refuses"] == ["factor_above_one"]


def test_text_is_the_table_with_everything_below_it(quince: upline.Plan) -> None:
    text = str(quince)
    assert text.split("\n\n")[1].split("\n")[0].split() == (
        ["depth", "leave", "at", "stay", "breathe", "po2", "held", "by"]
    )
    unwrapped = " ".join(text.split())
    assert quince.assumptions in unwrapped
    assert _core.foot in unwrapped
    assert "No time to fly is computed here." in unwrapped
    for caution in quince.cautions:
        assert f"{caution.severity}: {caution.text}" in unwrapped
    assert text.isascii()
    assert repr(quince) == (
        "<upline.Plan 57 m left at 25, 8 stops, run time 69 min 40 s, 5 cautions>"
    )


def test_a_plan_cannot_be_changed(quince: upline.Plan) -> None:
    for thing, name in (
        (quince, "run_time"),
        (quince.stops[0], "depth"),
        (quince.rows[0], "ends"),
        (quince.oxygen, "cns"),
        (quince.cautions[0], "severity"),
        (quince.end, "clock"),
        (quince.stops[0].gas, "oxygen"),
    ):
        with pytest.raises(AttributeError):
            setattr(thing, name, 1.0)
        with pytest.raises(AttributeError):
            thing.remark = "mine"
    quince.bar_minutes["18/45"] = 0.0  # a copy
    assert quince.bar_minutes["18/45"] > 0


def test_parts_outlive_the_plan() -> None:
    p = plan()
    stop, oxygen, state = p.stops[-1], p.oxygen, p.end
    tensions, gas = state.nitrogen, stop.gas
    before = (oxygen.cns, tensions.tolist())
    del p, state, stop
    assert (oxygen.cns, tensions.tolist()) == before
    assert gas == upline.Gas("O2")


def test_equal_input_gives_equal_plans(quince: upline.Plan) -> None:
    assert plan() == quince
    assert plan().stops == quince.stops
    assert plan(gf="40/85") != quince
    assert quince != "a plan"


def test_threads_agree() -> None:
    with ThreadPoolExecutor(4) as pool:
        times = list(pool.map(lambda _: plan(rounding="exact").run_time, range(200)))
    assert len(set(times)) == 1


# ---- arguments -----------------------------------------------------------------------------------


@pytest.mark.parametrize("function", [upline.plan, upline.no_stop_limit])
def test_arguments_are_those_the_compiled_part_reads(function: object) -> None:
    names = [
        name for name in _core.plan_arguments if function is upline.plan or name != "bottom_time"
    ]
    assert list(inspect.signature(function).parameters) == names


def test_every_way_to_write_a_gas(quince: upline.Plan) -> None:
    for gases in (
        ("18/45", "50", "O2"),
        [upline.Gas("18/45"), upline.Gas(oxygen=0.5), upline.Gas("100")],
        ["18/45", "EAN50", "oxygen"],
        ["18/45", ("50", None), "O2"],
        np.array(["18/45", "50", "O2"]),
    ):
        assert plan(gases=gases) == quince
    for gases in (["18/45", "50@21", "O2@6"], ["18/45", ("50", 21), (upline.Gas("O2"), 6)]):
        assert leaves(plan(gases=gases)) == leaves(quince)
    assert upline.plan(18, 20, "32", gf="40/80") == upline.plan(18, 20, ["32"], gf="40/80")


def test_gradient_factors_in_per_cent_and_as_fractions(quince: upline.Plan) -> None:
    assert plan(gf=(0.40, 0.80)) == quince
    assert plan(gf=[np.float64(0.4), 0.8]) == quince
    with pytest.raises(upline.InvalidInput, match="looks like per cent"):
        plan(gf=(40, 80))
    with pytest.raises(upline.InvalidInput, match="looks like fractions"):
        plan(gf="0.4/0.8")
    with pytest.raises(upline.InvalidInput, match=r"gf is missing.*no default"):
        plan(gf=None)


def test_numbers_of_every_kind(quince: upline.Plan) -> None:
    assert plan(np.float32(57), np.int64(25)) == quince
    assert plan(np.array(57.0), 25.0, last_stop=np.uint8(6)) == quince


def test_defaults_may_be_written_out(quince: upline.Plan) -> None:
    spelled = plan(
        spacing=3,
        descent_rate=18,
        ascent_rate=[(0, 9)],
        environment=upline.Environment(),
        travel=None,
        start=None,
        rounding="departure",
        units="metric",
    )
    assert spelled == quince


def test_the_arguments_of_a_plan_ask_for_it_again() -> None:
    p = plan(travel=("50", 17), rmv=20, surfacing_rate=3, ascent_rate=[(21, 9), (0, 6)])
    assert set(p.arguments) == set(_core.plan_arguments)
    assert upline.plan(**p.arguments) == p


def test_levels() -> None:
    p = upline.plan([(57, 20), (42, 45)], gases=["18/45", "50", "O2"], gf="40/80", last_stop=6)
    assert p.bottom_time == 45
    assert [row.to_depth for row in p.rows if row.phase == "stay"][:2] == [57, 42]
    with pytest.raises(upline.InvalidInput, match="bottom_time is given beside levels"):
        upline.plan([(57, 20), (42, 45)], 45, ["18/45"], gf="40/80")
    with pytest.raises(upline.InvalidInput, match="bottom_time is missing"):
        upline.plan(57, gases=["18/45"], gf="40/80")


def test_ladder_or_spacing_and_last_stop(quince: upline.Plan) -> None:
    rungs = [27, 24, 21, 18, 15, 12, 9, 6]
    assert leaves(plan(ladder=rungs)) == leaves(quince)
    coarse = plan(ladder=[30, 21, 12, 6])
    assert {stop.depth for stop in coarse.stops} <= {30, 21, 12, 6}
    for name in ("spacing", "last_stop"):
        with pytest.raises(upline.InvalidInput, match="ladder is given beside"):
            upline.plan(57, 25, ["18/45"], gf="40/80", ladder=rungs, **{name: 3})
    with pytest.raises(upline.InvalidInput, match="ladder is an empty list"):
        plan(ladder=[])


def test_rounding() -> None:
    exact, by_duration = plan(rounding="exact"), plan(rounding="duration", resolution=0.5)
    assert exact.run_time < by_duration.run_time
    for stop in by_duration.stops:
        assert stop.minutes * 2 == pytest.approx(round(stop.minutes * 2), abs=1e-9)
    assert exact.run_time < plan().run_time


def test_travel_gas() -> None:
    p = upline.plan(75, 20, ["12/60", "21/35@57", "50", "O2"], gf="40/80", travel=("50", 17))
    down = [row for row in p.rows if row.phase == "go down"]
    assert [(str(row.gas), row.to_depth) for row in down] == [("50", 17), ("12/60", 75)]
    with pytest.raises(upline.InvalidInput, match="min_po2"):
        upline.plan(75, 20, ["12/60", "21/35@57", "50", "O2"], gf="40/80")


def test_rate_zones_and_the_surfacing_rate() -> None:
    p = plan(ascent_rate=[(21, 9), (6, 6), (0, 3)], surfacing_rate=1)
    up = [row for row in p.rows if row.phase == "come up"]
    rates = [
        ((row.from_depth + row.to_depth) / 2, (row.from_depth - row.to_depth) / row.minutes)
        for row in up
    ]
    for depth, rate in rates:
        expected = 9 if depth > 21 else 6 if depth > 6 else 1
        assert rate == pytest.approx(expected)


# ---- imperial ------------------------------------------------------------------------------------


def test_imperial_defaults_and_numbers() -> None:
    p = upline.plan(190, 25, ["18/45", "50", "O2"], gf="40/80", units="imperial", last_stop=20)
    assert p.units == "imperial"
    assert [stop.depth for stop in p.stops] == [90, 80, 70, 60, 50, 40, 30, 20]
    assert {stop.units for stop in p.stops} == {"imperial"}
    assert p.rows[0].minutes == pytest.approx(190 / 60)
    assert p.rows[2].minutes == pytest.approx((190 - p.rows[2].to_depth) / 30)
    assert p.arguments["spacing"] == 10
    assert "(imperial schedule)" in str(p)
    assert " ft/min" in p.assumptions
    last = upline.plan(100, 30, ["32"], gf="40/80", units="imperial").stops[-1]
    assert last.depth == 10


def test_imperial_is_the_same_dive_in_feet() -> None:
    feet = upline.plan(
        190, 25, ["18/45", "50@70", "O2"], gf="40/80", units="imperial", last_stop=20, rmv=0.75
    )
    metres = upline.plan(
        190 * FOOT,
        25,
        ["18/45", ("50", 70 * FOOT), "O2"],
        gf="40/80",
        spacing=10 * FOOT,
        last_stop=20 * FOOT,
        descent_rate=60 * FOOT,
        ascent_rate=30 * FOOT,
        rmv=0.75 * 28.316846592,  # L in a cubic foot, by definition
    )
    assert feet != metres
    assert feet.run_time == pytest.approx(metres.run_time, abs=1e-9)
    assert feet.oxygen.cns == pytest.approx(metres.oxygen.cns)
    assert [s.depth * FOOT for s in feet.stops] == pytest.approx([s.depth for s in metres.stops])
    assert feet.anchor is not None
    assert metres.anchor is not None
    assert feet.anchor * FOOT == pytest.approx(metres.anchor)
    narcotic = feet.extremes.narcotic_depth
    assert narcotic.value * FOOT == pytest.approx(metres.extremes.narcotic_depth.value)
    assert feet.gas_use is not None
    assert metres.gas_use is not None
    assert feet.gas_use["18/45"] * 28.316846592 == pytest.approx(metres.gas_use["18/45"])


def test_results_in_two_units_do_not_mix() -> None:
    feet = upline.plan(100, 40, ["32"], gf="40/80", units="imperial").stops[-1]
    metres = upline.plan(33, 60, ["32"], gf="40/80", spacing=10, last_stop=10).stops[-1]
    assert feet.depth == metres.depth == 10
    assert feet != metres
    with pytest.raises(TypeError):
        _ = feet < metres
    with pytest.raises(TypeError):
        _ = feet + metres
    with pytest.raises(upline.InvalidInput, match="environment is stated with units"):
        upline.plan(
            100,
            20,
            "32",
            gf="40/80",
            units="imperial",
            environment=upline.Environment(altitude=640),
        )


# ---- no-stop limit -------------------------------------------------------------------------------


def test_the_no_stop_limit_is_where_stops_begin() -> None:
    rules = {"gf": "40/85", "rounding": "exact"}
    limit = upline.no_stop_limit(30, "32", **rules)
    assert upline.plan(30, limit - 1e-5, "32", **rules).stops == ()
    assert len(upline.plan(30, limit + 1e-4, "32", **rules).stops) > 0


def test_the_no_stop_limit_may_be_infinite() -> None:
    assert upline.no_stop_limit(6, "32", gf="85/85") == math.inf


@given(depth=st.floats(12, 50), deeper=st.floats(0.1, 20))
def test_the_no_stop_limit_falls_with_depth(depth: float, deeper: float) -> None:
    rules = {"gf": "50/80", "max_po2": 3.0}
    assert upline.no_stop_limit(depth + deeper, "air", **rules) <= upline.no_stop_limit(
        depth, "air", **rules
    )


def test_the_no_stop_limit_in_feet() -> None:
    feet = upline.no_stop_limit(100, "32", gf="40/85", units="imperial")
    metres = upline.no_stop_limit(
        100 * FOOT,
        "32",
        gf="40/85",
        spacing=10 * FOOT,
        last_stop=10 * FOOT,
        descent_rate=60 * FOOT,
        ascent_rate=30 * FOOT,
    )
    assert feet == pytest.approx(metres, abs=1e-6)


# ---- frames --------------------------------------------------------------------------------------


def test_frames_have_units_in_their_columns(quince: upline.Plan) -> None:
    pytest.importorskip("pandas")
    rows = quince.to_frame()
    assert list(rows.columns) == [
        "phase",
        "from_depth_m",
        "to_depth_m",
        "begins_min",
        "ends_min",
        "duration_min",
        "gas",
        "po2_begins_bar",
        "po2_ends_bar",
        "held_by_min",
    ]
    assert len(rows) == len(quince.rows)
    assert rows["ends_min"].iloc[-1] == quince.run_time
    stops = quince.to_frame("stops")
    assert stops["leave_at_min"].tolist() == [stop.departs for stop in quince.stops]
    assert "does not make a dive safe" in stops.attrs["foot"]
    feet = upline.plan(100, 40, ["32"], gf="40/80", units="imperial").to_frame("stops")
    assert "depth_ft" in feet.columns
    with pytest.raises(upline.InvalidInput, match="of is"):
        quince.to_frame("everything")


def test_without_pandas_a_frame_says_how_to_get_it(
    quince: upline.Plan, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "pandas", None)
    with pytest.raises(upline.Error, match="pip install pandas"):
        quince.to_frame()

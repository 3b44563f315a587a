"""Contingencies as Python sees them; what they compute is tested in tests/cpp."""

from __future__ import annotations

import json
import math

import pytest
import upline
from hypothesis import given
from hypothesis import strategies as st

D = upline.Deviation


def test_a_row_is_the_plan_of_the_dive_as_it_comes(quince: upline.Plan) -> None:
    row = upline.contingencies(quince, D(deeper=3, later=5)).rows[0]
    wanted = upline.plan(60, 30, ["18/45", "50", "O2"], gf="40/80", last_stop=6)
    assert row.name == "if 3 m deeper, 5 min late"
    assert row.plan == wanted
    assert row.reason == ""


def test_what_changes_names_both_run_times(quince: upline.Plan) -> None:
    row = upline.contingencies(quince, [D(lost="O2")]).rows[0]
    last = row.changes[-1]
    assert (last.depth, last.planned) == (6.0, quince.stops[-1].departs)
    assert (str(last.planned_gas), str(last.otherwise_gas)) == ("O2", "50")
    assert last.otherwise == row.plan.stops[-1].departs


def test_what_cannot_be_dived_says_why(quince: upline.Plan) -> None:
    found = upline.contingencies(quince, [D(deeper=20), D(later=5)])
    assert found.rows[0].plan is None
    assert "bottom gas is 18/45 at 77 m" in found.rows[0].reason
    assert found.rows[1].plan is not None
    assert "1 without a schedule" in repr(found)


def test_what_is_printed(quince: upline.Plan) -> None:
    shown = " ".join(str(upline.contingencies(quince, [D(later=5), D(lost=["50", "O2"])])).split())
    assert "if the 50 % and the oxygen are lost" in shown
    assert "Between two rows take the deeper and the longer." in shown
    assert "It does not make a dive safe" in shown


def test_feet_are_feet() -> None:
    plan = upline.plan(190, 25, ["18/45", "50", "O2"], gf="40/80", units="imperial", last_stop=20)
    found = upline.contingencies(plan, [D(deeper=10), D(ascent_rate=20)])
    assert [row.name for row in found.rows] == ["if 10 ft deeper", "if coming up at 20 ft/min"]
    assert found.rows[0].plan.arguments["depth"] == 200.0
    assert found.units == "imperial"


def test_frame_and_data(quince: upline.Plan) -> None:
    found = upline.contingencies(quince, [D(deeper=3, later=5), D(deeper=20)])
    data = json.loads(json.dumps(found.to_dict(), allow_nan=False))
    assert [row["plan"] is None for row in data["rows"]] == [False, True]
    assert upline.Plan.from_dict(data["rows"][0]["plan"]) == found.rows[0].plan
    pytest.importorskip("pandas")
    frame = found.to_frame()
    assert list(frame.index) == ["as planned", "if 3 m deeper, 5 min late"]
    assert math.isnan(frame.loc["as planned", "leave_30_m_min"])
    assert frame.loc["as planned", "leave_6_m_min"] == quince.stops[-1].departs
    assert frame.loc["as planned", "18/45_bar_min"] == quince.bar_minutes["18/45"]


@pytest.mark.parametrize(
    ("arguments", "field"),
    [
        (("57 m", [D(later=5)]), "plan"),
        ((..., []), "deviations"),
        ((..., [{"later": 5}]), "deviations"),
        ((..., "later"), "deviations"),
        ((..., [D(later=5)] * 51), "deviations"),
        ((..., D()), "deviation"),
        ((..., D(deeper=-3)), "deeper"),
        ((..., D(later=math.nan)), "later"),
        ((..., D(lost="32")), "lost"),
        ((..., D(lost="18/45")), "lost"),
        ((..., D(ascent_rate=0)), "ascent_rate"),
    ],
)
def test_bad_input_is_named(quince: upline.Plan, arguments: tuple, field: str) -> None:
    asked = tuple(quince if one is ... else one for one in arguments)
    with pytest.raises(upline.InvalidInput) as caught:
        upline.contingencies(*asked)
    assert caught.value.field == field


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("lost", [3]),
        ("lost", "fifty"),
        ("late_switch", "2 min"),
        ("later", None),
        ("last_stop", "3 m"),
        ("deeper", True),
    ],
)
def test_what_is_no_number_or_gas_is_named_at_once(field: str, value: object) -> None:
    with pytest.raises(upline.InvalidInput) as caught:
        D(**{field: value})
    assert caught.value.field.startswith(field) or caught.value.field == "gas"


def test_a_gas_lost_may_be_one_or_several() -> None:
    assert D(lost="50").lost == (upline.Gas("50"),)
    assert D(lost=["50", upline.Gas("O2")]).lost == (upline.Gas("50"), upline.Gas("O2"))


def test_a_misspelt_deviation_names_the_nearest() -> None:
    with pytest.raises(upline.WrongType, match="later"):
        D(latter=5)


@given(st.integers(0, 6), st.integers(0, 10))
def test_deeper_and_longer_is_never_sooner_at_the_surface(deeper: int, later: int) -> None:
    plan = upline.plan(45, 25, ["21/35", "50"], gf="40/80")
    if deeper == later == 0:
        return
    row = upline.contingencies(plan, D(deeper=deeper, later=later)).rows[0]
    assert row.plan.run_time >= plan.run_time


def test_html_has_every_row_and_its_cautions(quince: upline.Plan) -> None:
    shown = upline.contingencies(quince, [D(later=5), D(deeper=20)])._repr_html_()
    for words in ("as planned", "if 5 min late", "Cautions if 5 min late", "86:40"):
        assert words in shown
    assert "No schedule if 20 m deeper" in shown
    assert "It does not make a dive safe" in shown

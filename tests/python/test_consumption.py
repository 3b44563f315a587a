"""What a diver breathes from which cylinder: the balance, the rates, and what is refused."""

from __future__ import annotations

import json
import math

import pytest
import upline
from hypothesis import given
from hypothesis import strategies as st
from upline import Cylinder

ADA = {"working": 20, "resting": 15, "stress": 40}  # L/min; invented, as the diver is


def twin(pressure: float = 200) -> Cylinder:
    return Cylinder(12, pressure, "18/45", 10, joined=2)


def carried(deco: float = 180, oxygen: float = 150) -> list[Cylinder]:
    return [twin(), Cylinder(7, deco, "50", 10), Cylinder(5, oxygen, "O2", 10)]


def ada(cylinders: list[Cylinder] | None = None, **rates: float) -> upline.Diver:
    return upline.Diver("Ada", carried() if cylinders is None else cylinders, **{**ADA, **rates})


@pytest.fixture(scope="module")
def plan() -> upline.Plan:
    """The Quince Blossom (invented), with the litres that the plan itself counts."""
    return upline.plan(57, 25, ["18/45", "50", "O2"], gf="40/80", last_stop=6, rmv=20, deco_rmv=15)


def test_litres_are_those_of_the_plan(plan: upline.Plan) -> None:
    use = upline.consumption(plan, ada())
    for cylinder, taken in zip(use.cylinders, use.taken, strict=True):
        assert taken == pytest.approx(plan.gas_use[str(cylinder.gas)], abs=1e-9)
    assert use.volume == pytest.approx(sum(plan.gas_use.values()), abs=1e-9)
    assert use.closes
    assert use.short_by == 0
    assert use.cylinders == tuple(carried())
    assert len(use.rows) == len(plan.rows)
    for row, planned in zip(use.rows, plan.rows, strict=True):
        assert (row.phase, row.to_depth, row.ends) == (
            planned.phase,
            planned.to_depth,
            planned.ends,
        )
        assert row.gas == planned.gas


@given(
    st.floats(20, 230),
    st.floats(0, 200),
    st.floats(0, 200),
    st.floats(1, 60),
    st.floats(1, 60),
    st.floats(1, 100),
    st.none() | st.floats(0, 1),
)
def test_every_litre_comes_from_somewhere(
    bottom: float,
    deco: float,
    oxygen: float,
    working: float,
    resting: float,
    stress: float,
    share: float | None,
) -> None:
    plan = upline.plan(40, 20, ["18/45", "50", "O2"], gf="40/80", last_stop=6)
    cylinders = [twin(bottom), *carried(deco, oxygen)[1:]]
    stress = max(working, resting, stress)
    drawn = upline.Diver("Ada", cylinders, working=working, resting=resting, stress=stress)
    use = upline.consumption(
        plan, drawn, stress_from=None if share is None else share * plan.run_time
    )
    assert use.closes == (use.short_by == 0)
    assert sum(use.taken) + use.short_by == pytest.approx(use.volume, rel=1e-12, abs=1e-9)
    before = [one.pressure for one in cylinders]
    for row in use.rows:
        assert sum(row.taken) + row.short_by == pytest.approx(row.volume, abs=1e-9)
        for j, cylinder in enumerate(cylinders):
            content = cylinder.content_at(before[j]) - cylinder.content_at(row.left[j])
            assert content == pytest.approx(row.taken[j], abs=1e-7)
            assert row.drop[j] == pytest.approx(before[j] - row.left[j], abs=1e-9)
            assert row.taken[j] == 0 or cylinder.gas == row.gas
        before = list(row.left)
    assert before == list(use.left)


def test_stress_takes_more_and_later_less(plan: upline.Plan) -> None:
    volumes = [
        upline.consumption(plan, ada(), stress_from=moment).volume
        for moment in (0, 20, 25, 40, plan.run_time)
    ]
    assert volumes == sorted(volumes, reverse=True)
    assert len(set(volumes)) == len(volumes)
    assert volumes[0] == pytest.approx(40 * sum(plan.bar_minutes.values()), abs=1e-9)
    assert volumes[-1] == upline.consumption(plan, ada()).volume


def test_unknown_is_never_enough(plan: upline.Plan) -> None:
    with pytest.raises(TypeError, match="stress"):
        upline.Diver("Ada", carried(), working=20, resting=15)
    for name in ADA:
        with pytest.raises(upline.WrongType, match=name):
            ada(**{name: None})
        for rate in (0, -1, math.nan, 201):
            with pytest.raises(upline.InvalidInput, match=name):
                upline.consumption(plan, ada(**{name: rate}))
    with pytest.raises(upline.InvalidInput, match="given without one of oxygen"):
        upline.consumption(plan, ada(carried()[:2]))
    with pytest.raises(upline.InvalidInput, match=r"given without one of 18/45"):
        upline.consumption(plan, ada([]))
    # A mix that was analysed otherwise is another mix.
    with pytest.raises(upline.InvalidInput, match=r"given without one of 50 %"):
        upline.consumption(plan, ada([twin(), Cylinder(7, 180, "49", 10), carried()[2]]))


def test_what_is_missing_is_said(plan: upline.Plan) -> None:
    use = upline.consumption(plan, ada(carried(deco=40)))
    assert not use.closes
    first = next(row for row in use.rows if row.short_by > 0)
    assert str(first.gas) == "50"
    assert "This dive does not close on what is carried." in " ".join(str(use).split())
    assert "short" in repr(use)
    # A cylinder is no use below the pressure of the water around it.
    deep = upline.plan(57, 25, "18/45", gf="40/80", last_stop=6)
    small = upline.consumption(deep, ada([Cylinder(12, 100, "18/45", 10)]))
    at_bottom = next(row for row in small.rows if row.short_by > 0)
    assert at_bottom.left[0] == pytest.approx(5.7, abs=1e-9)


def test_what_is_printed(plan: upline.Plan) -> None:
    use = upline.consumption(plan, ada())
    text = str(use)
    assert text.startswith("Gas of Ada\n")
    assert "Have a second person recompute it before it is dived." in " ".join(text.split())
    assert "That is no approval" in text
    assert use.table[0] == (
        "depth", "leave at", "breathe", "takes", "left in 18/45", "left in 50 %", "left in oxygen",
    )  # fmt: skip
    assert use.table[1] == ("m", "min", "", "L", "bar", "bar", "bar")
    for cells, row in zip(use.table[2:], use.rows, strict=True):
        assert row.volume <= float(cells[3]) + 1e-6 < row.volume + 1 + 1e-5
        for cell, left in zip(cells[4:], row.left, strict=True):
            assert left - 1 < float(cell) <= left + 1e-5
    assert repr(use) == f"<upline.Consumption {use.volume:.1f} L, closes>"


def test_as_data_and_frame(plan: upline.Plan) -> None:
    use = upline.consumption(plan, ada())
    data = json.loads(json.dumps(use.to_dict(), allow_nan=False))
    assert (data["schema"], data["kind"], data["units"]) == (1, "consumption", "metric")
    assert data["cylinders"][0] == {
        "water_volume": 12.0, "joined": 2, "pressure": 200.0, "gas": "18/45", "temperature": 10.0,
    }  # fmt: skip
    assert data["left"] == list(use.left)
    assert "does not make a dive safe" in data["foot"]
    pytest.importorskip("pandas")
    frame = use.to_frame()
    assert frame["volume_l"].sum() == pytest.approx(use.volume)
    assert frame["left_2_50_bar"].iloc[-1] == use.left[1]
    assert frame["taken_1_18/45_l"].sum() == pytest.approx(use.taken[0])
    assert "does not make a dive safe" in frame.attrs["foot"]


def test_imperial() -> None:
    cubic_feet, psi = 28.316846592, 0.0689475729316836
    plan = upline.plan(190, 25, ["18/45", "50"], gf="40/80", units="imperial")
    cylinders = [
        Cylinder(12 / cubic_feet, 200 / psi, "18/45", 50, joined=2, units="imperial"),
        Cylinder(11 / cubic_feet, 200 / psi, "50", 50, units="imperial"),
    ]
    rates = {"working": 0.7, "resting": 0.5, "stress": 1.5}
    use = upline.consumption(plan, upline.Diver("Ada", cylinders, **rates))
    assert use.units == "imperial"
    assert use.volume == pytest.approx(sum(row.volume for row in use.rows))
    assert use.taken[0] == pytest.approx(
        cylinders[0].content - cylinders[0].content_at(use.left[0]), abs=1e-6
    )
    assert use.table[1] == ("ft", "min", "", "cu ft", "psi", "psi")
    with pytest.raises(upline.InvalidInput, match='stated with units="metric"'):
        upline.consumption(
            plan, upline.Diver("Ada", [twin(), Cylinder(11, 200, "50", 10)], **rates)
        )


def test_wrong_kinds(plan: upline.Plan) -> None:
    with pytest.raises(upline.WrongType, match="plan"):
        upline.consumption("the plan", ada())
    for cylinders in (twin(), "18/45", 12, [twin(), "50"], None):
        with pytest.raises(upline.WrongType, match="cylinders"):
            upline.Diver("Ada", cylinders, **ADA)
    for diver in ("Ada", carried(), None):
        with pytest.raises(upline.WrongType, match="diver"):
            upline.consumption(plan, diver)
    with pytest.raises(upline.WrongType, match="name"):
        upline.Diver(7, carried(), **ADA)
    for name in ("", "A" * 61, "Ada\nBen"):
        with pytest.raises(upline.InvalidInput, match="name"):
            upline.Diver(name, carried(), **ADA)
    with pytest.raises(upline.InvalidInput, match="up to 20"):
        ada([twin()] * 21)
    for moment in (-1, 1000, math.nan):
        with pytest.raises(upline.InvalidInput, match="stress_from"):
            upline.consumption(plan, ada(), stress_from=moment)


def test_after_a_cylinder_is_empty_nothing_reads_as_if_gas_were_left(plan: upline.Plan) -> None:
    use = upline.consumption(plan, ada([twin(100), *carried()[1:]]))
    short = next(j for j, row in enumerate(use.rows) if row.short_by > 0)
    row = use.rows[short]
    # By hand: what the row took, over 20 L/min at the pressure of 57 m.
    assert row.empty_at == pytest.approx(row.begins + row.taken[0] / 20 / (1.01325 + 5.7), abs=1e-6)
    assert [one.empty_at for one in use.rows].count(None) == len(use.rows) - 1
    for later in use.rows[short + 1 :]:
        if later.gas == upline.Gas("18/45"):
            assert later.taken == (0, 0, 0)
            assert later.short_by == later.volume
    column = [line[4] for line in use.table[2:]]
    assert column[short].startswith("empty at ")
    assert set(column[short + 1 :]) == {"empty"}
    assert f"({row.taken[0] // 1:.0f} there)" in use.table[2 + short][3]
    assert use.text.index("Empty: 18/45 at run time") < use.text.index("leave at")
    assert "100 bar to empty at run time" in use.text


def test_an_empty_moment_on_a_ramp_and_under_stress(plan: upline.Plan) -> None:
    for stress_from in (None, 10.0):
        use = upline.consumption(plan, ada([twin(60), *carried()[1:]]), stress_from=stress_from)
        row = next(one for one in use.rows if one.empty_at is not None)
        assert row.begins < row.empty_at < row.ends
    ramp = upline.consumption(plan, ada([twin(8), *carried()[1:]])).rows[0]
    t = ramp.empty_at
    depth = 57 * t / ramp.ends
    assert ramp.taken[0] == pytest.approx(20 * t * (1.01325 + depth / 20), abs=1e-6)


def test_what_is_not_counted_is_said(plan: upline.Plan) -> None:
    calm = upline.consumption(plan, ada())
    assert "nothing is kept in reserve here" in " ".join(calm.text.split())
    assert "stress rate of 40 L/min is not used" in " ".join(calm.text.split())
    hurried = upline.consumption(plan, ada([twin(230), *carried()[1:]]), stress_from=20)
    assert "is not used" not in hurried.text

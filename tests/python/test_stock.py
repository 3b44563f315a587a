"""Which of the gases at hand make a dive."""

from __future__ import annotations

import json

import pytest
import upline
from html_reader import Reader
from hypothesis import given, settings
from hypothesis import strategies as st

RULES = {"gf": "40/80", "last_stop": 6}
STATION = ["21/35", "18/45", "32", "40", "50", "80", "O2"]  # at Skerry Point (invented)


def found(**limits: object) -> upline._stock.StockChoice:
    return upline.choose_gases(STATION, 45, 25, **RULES, **limits)


@settings(max_examples=15)
@given(
    st.lists(
        st.sampled_from([*STATION, "air", "28", "25/25"]), min_size=1, max_size=5, unique=True
    ),
    st.integers(30, 55),
    st.integers(12, 30),
)
def test_times_and_savings_are_those_of_plans(mixes: list[str], depth: int, until: int) -> None:
    choice = upline.choose_gases(mixes, depth, until, **RULES)
    times = {}
    for one in choice.sets:
        plan = upline.plan(depth, until, list(one.gases), **RULES)
        assert one.time_to_surface == plan.time_to_surface
        assert one.cns == plan.oxygen.cns_total
        assert one.bar_minutes == pytest.approx(sum(plan.bar_minutes.values()), rel=1e-12)
        times[one.gases] = plan.time_to_surface
    for one in choice.sets:
        for j, gas in enumerate(one.gases[1:], start=1):
            without = one.gases[:j] + one.gases[j + 1 :]
            expected = times[without] - times[one.gases] if without in times else None
            assert one.saves[str(gas)] == expected
    assert [one.time_to_surface for one in choice.sets] == sorted(times.values())


def test_nothing_is_silently_dropped() -> None:
    choice = found(most_ascent_gases=1)
    named = {one.gases for one in choice.sets} | {one.gases for one in choice.dropped}
    alone = {one.gases[0] for one in choice.dropped if len(one.gases) == 1}
    for bottom in map(upline.Gas, STATION):
        for other in map(upline.Gas, STATION):
            if bottom != other:
                assert bottom in alone or (bottom, other) in named


def test_without_oxygen_handling() -> None:
    choice = found(oxygen_handling_above=0.4, without_oxygen_handling=True)
    assert choice.sets
    assert all(gas.oxygen <= 0.4 for one in choice.sets for gas in one.gases)
    assert all(one.oxygen_handling is False for one in choice.sets)
    assert {str(one.gases[0]) for one in choice.dropped if one.why == "oxygen handling"} == {
        "50", "80", "O2"
    }  # fmt: skip
    assert {one.oxygen_handling for one in found().sets} == {None}
    with pytest.raises(upline.InvalidInput, match="oxygen_handling_above is missing"):
        found(without_oxygen_handling=True)


def test_limits() -> None:
    dense = found(density=5.2)
    assert all(
        upline.plan(45, 25, list(one.gases), **RULES).extremes.highest_density.value <= 5.2
        for one in dense.sets
    )
    assert any(one.why == "too dense" for one in dense.dropped)
    for counted, oxygen in (("nitrogen and oxygen", True), ("nitrogen", False)):
        choice = found(narcotic_depth=24, narcotic=counted)
        for one in choice.sets:
            assert one.gases[0].end(45, oxygen_narcotic=oxygen) <= 24 + 1e-9
        assert any(one.why == "too narcotic" for one in choice.dropped)


def test_text_html_frame_and_data() -> None:
    choice = found(oxygen_handling_above=0.4)
    assert str(choice).startswith("Gases for 45 m until 25 min (40/80, ZH-L16C)")
    page = Reader(choice._repr_html_())
    cells = [tuple(cell.strip() for _, _, cell in row) for row in page.rows]
    assert cells == list(choice.table)
    assert page.items == [f"{sets}: {reason}" for sets, reason in choice.reasons]
    assert "does not make a dive safe" in page.words
    data = json.loads(json.dumps(choice.to_dict()))
    assert data["kind"] == "stock choice"
    assert len(data["sets"]) == len(choice.sets)
    pytest.importorskip("pandas")
    frame = choice.to_frame()
    assert list(frame["time_to_surface_min"]) == [one.time_to_surface for one in choice.sets]
    assert "does not make a dive safe" in frame.attrs["foot"]
    assert frame["unbeaten"].sum() == len(choice.unbeaten)
    assert f"{len(choice.unbeaten)} unbeaten" in repr(choice)


def test_feet() -> None:
    choice = upline.choose_gases(["21/35", "50"], 150, 25, gf="40/80", units="imperial")
    plan = upline.plan(150, 25, ["21/35", "50"], gf="40/80", units="imperial")
    assert choice.units == "imperial"
    assert choice.sets[0].time_to_surface == plan.time_to_surface
    assert "150 ft" in choice.title


def test_bad_input() -> None:
    with pytest.raises(upline.InvalidInput, match="most_ascent_gases"):
        found(most_ascent_gases=2.5)
    with pytest.raises(upline.InvalidInput, match="most_ascent_gases"):
        found(most_ascent_gases=4)
    with pytest.raises(upline.InvalidInput, match="narcotic"):
        found(narcotic="helium")
    with pytest.raises(upline.InvalidInput, match="named twice"):
        upline.choose_gases(["50", "EAN50"], 45, 25, **RULES)
    with pytest.raises(upline.InvalidInput, match="gf is missing"):
        upline.choose_gases(STATION, 45, 25)
    with pytest.raises(upline.InvalidInput, match="bottom_time"):
        upline.choose_gases(STATION, 45, **RULES)
    nothing = upline.choose_gases(["O2"], 45, 25, **RULES)
    assert nothing.sets == ()
    assert "No set of these gases makes this dive." in str(nothing)
    assert "no set of these gases makes this dive" in nothing._repr_html_()

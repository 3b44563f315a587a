"""Reserves, deadlines and turn pressures: what Python hands on, and properties over drawn dives."""

from __future__ import annotations

import json
import math
from typing import Any

import pytest
import upline
from hypothesis import given, settings
from hypothesis import strategies as st

FEET = 0.3048
LITRES = 28.316846592
RULES: dict[str, Any] = {
    "sharing": 2,
    "minutes_at_depth": 2,
    "next_gas_gone": False,
    "decompression": 0.2,
}
COVERS = "covers loss of the next gas"


@pytest.fixture(scope="module")
def quince() -> upline.Plan:
    return upline.plan(57, 25, ["18/45", "50", "O2"], gf="40/80", last_stop=6)


def diver(name: str = "Ada", bottom: float = 200, stress: float = 40) -> upline.Diver:
    """Return a diver of the *Quince Blossom* (invented)."""
    carried = [
        upline.Cylinder(12, bottom, "18/45", 10, joined=2),
        upline.Cylinder(7, 180, "50", 10),
        upline.Cylinder(5, 150, "O2", 10),
    ]
    return upline.Diver(name, carried, working=20, resting=15, stress=stress)


def sharing_of(found: upline._reserve_results.Reserves) -> Any:
    return next(one for one in found.requirements if one.what == "sharing")


def test_the_practice_example_by_hand() -> None:
    # Two at 35 L/min, 2 min at 51 m, up to 21 m at 9 m/min: about 850 and 1100 L (common practice,
    # no source); gauge metres at sea level.
    p = upline.plan(51, 8, ["18/45", "50"], gf="95/95", switch_time=0)
    team = [diver("Ada", stress=35), diver("Ben", stress=35)]
    found = upline.reserves(p, team, **RULES)
    assert str(found.with_next.leads_to) == "50"
    assert found.with_next.to_depth == 21
    assert found.with_next.minutes == pytest.approx(2 + 30 / 9, abs=1e-9)
    at_depth = 70 * 2 * (1.01325 + 5.1)
    up = 70 * 30 / 9 * (1.01325 + (5.1 + 2.1) / 2)
    assert round(at_depth) == 856
    assert round(up) == 1076
    shared = sharing_of(found)
    assert shared.needed == pytest.approx(at_depth + up, abs=1e-6)
    twin = team[0].cylinders[0]
    assert twin.content_at(shared.reading) == pytest.approx(
        at_depth + up + twin.content_at(5.1), abs=1e-3
    )


def test_the_demo_is_limited_by_gas(quince: upline.Plan) -> None:
    team = [diver("Ada"), diver("Ben", 220)]
    found = upline.reserves(quince, team, **RULES)
    assert not found.closes
    assert "Gas and not decompression limits this dive" in found.verdict
    assert found.limit.bottom_time is not None
    assert f"The longest bottom time that closes is {found.limit.bottom_time:g} min" in (
        found.verdict
    )

    def closes(minutes: float) -> bool:
        p = upline.plan(57, minutes, ["18/45", "50", "O2"], gf="40/80", last_stop=6)
        return upline.reserves(p, team, **RULES).closes

    tried = [closes(minutes) for minutes in range(4, 26)]
    assert found.limit.bottom_time == 3 + tried.index(False)
    assert not any(tried[tried.index(False) :])
    assert found.limit.fails is not None
    assert found.limit.fails.diver == "Ada"
    assert found.limit.fails.what == "sharing"


def test_both_ways_are_reported_and_one_rules(quince: upline.Plan) -> None:
    at_hand = upline.reserves(quince, diver(), **RULES)
    gone = upline.reserves(quince, diver(), **{**RULES, "next_gas_gone": True})
    assert at_hand.without_next is not None
    assert str(at_hand.without_next.without) == "50"
    assert str(at_hand.without_next.leads_to) == "O2"
    assert sharing_of(at_hand) == gone.other_sharing[0]
    assert sharing_of(gone) == at_hand.other_sharing[0]
    assert sharing_of(gone).needed > sharing_of(at_hand).needed
    assert sharing_of(gone).reading is None  # more than a cylinder may hold
    assert at_hand.with_next.plan is not None
    later = upline.plan(57, 27, ["18/45", "50", "O2"], gf="40/80", last_stop=6)
    assert at_hand.with_next.plan.run_time == later.run_time
    # Everything on the bottom gas after minute 25 of the later plan, the pause of the switch too.
    assert at_hand.with_next.ends == later.switches[0].run_time
    rows = upline.consumption(quince, diver()).rows
    until_leaving = sum(row.volume for row in rows if row.ends <= 25) / 20
    rest = later.bar_minutes["18/45"] - until_leaving
    assert sharing_of(at_hand).needed == pytest.approx(80 * rest, abs=1e-6)


def test_decompression_gas(quince: upline.Plan) -> None:
    use = upline.consumption(quince, diver()).taken
    kept = [one for one in upline.reserves(quince, diver(), **RULES).requirements
            if one.what == "decompression"]  # fmt: skip
    assert [one.needed for one in kept] == pytest.approx(use[1:])
    assert kept[0].available == pytest.approx(0.8 * diver().cylinders[1].content)
    rules = {**RULES, "decompression": COVERS}
    covers = [one for one in upline.reserves(quince, diver(), **rules).requirements
              if one.what == "decompression"]  # fmt: skip
    assert str(covers[0].gone) == "O2"
    assert covers[0].planned == pytest.approx(use[1])
    assert covers[0].needed is not None
    assert covers[0].needed > covers[0].planned
    assert covers[1].gone is None
    assert covers[1].needed == pytest.approx(use[2])


@settings(max_examples=25, deadline=None)
@given(
    depth=st.floats(30, 57),
    extra=st.integers(2, 15),
    stress=st.floats(20, 45),
    minutes=st.floats(0, 4),
    gone=st.booleans(),
)
def test_what_would_make_it_close_does_and_one_per_cent_less_does_not(
    depth: float, extra: int, stress: float, minutes: float, gone: bool
) -> None:
    bottom_time = math.ceil(depth / 18) + extra
    p = upline.plan(depth, bottom_time, ["18/45", "50", "O2"], gf="40/80", last_stop=6)
    rules = {**RULES, "minutes_at_depth": minutes, "next_gas_gone": gone}
    shared = sharing_of(upline.reserves(p, diver(stress=stress), **rules))
    assert shared.needed is not None
    if shared.reading is None:
        return
    # Filled so that the gauge reads the turn pressure, or 1 % of the litres less, at leaving.
    twin = diver().cylinders[0]
    worked = sum(
        row.volume for row in upline.consumption(p, diver(stress=stress)).rows
        if row.ends <= bottom_time
    )  # fmt: skip
    for share, closes in ((0.0, True), (0.01, False)):
        content = twin.content_at(shared.reading) + worked - share * shared.needed + 1e-6
        if content > twin.content_at(345):
            return
        filled = diver(bottom=twin.pressure_for(content), stress=stress)
        again = sharing_of(upline.reserves(p, filled, **rules))
        assert again.closes is closes
        assert again.needed == pytest.approx(shared.needed)


def test_deadlines(quince: upline.Plan) -> None:
    team = [diver("Ada"), diver("Ben", 220, 30)]
    found = upline.deadlines(quince, team, **RULES)
    assert [[str(gas) for gas in one.lost] for one in found.lost] == [["50"], ["O2"], ["50", "O2"]]
    for one in found.lost:
        gases = [gas for gas in ("18/45", "50", "O2") if gas not in map(str, one.lost)]
        for who, each in zip(team, one.divers, strict=True):

            def closes(minutes: float, who: Any = who, gases: Any = gases) -> bool:
                p = upline.plan(57, minutes, gases, gf="40/80", last_stop=6)
                return upline.consumption(p, who, stress_from=minutes).closes

            assert each.leave_by is not None
            assert closes(each.leave_by)
            assert not closes(each.leave_by + 1)
        assert one.leave_by == min(each.leave_by or 0 for each in one.divers)
        assert f"{one.name}: leave by run time {one.leave_by:g} min" in " ".join(found.sentences)
    assert found.with_reserves == upline.reserves(quince, team, **RULES).limit


def test_turning_with_unequal_cylinders() -> None:
    found = upline.turn_pressures([diver("Ada", 200), diver("Ben", 150)], "18/45", 1 / 3)
    ada, ben = found.divers
    assert found.used == pytest.approx(ben.content / 3)
    assert ada.left == pytest.approx(ada.content - found.used)
    assert ada.readings[0] > ben.readings[0]
    assert ada.brings_two_back
    assert ben.brings_two_back
    half = upline.turn_pressures([diver("Ada", 230), diver("Ben", 120)], "18/45", 0.5)
    assert [one.brings_two_back for one in half.divers] == [True, False]


def test_feet_give_the_same_reserves() -> None:
    rates = {"ascent_rate": 30 * FEET, "descent_rate": 60 * FEET}
    rungs = {"spacing": 10 * FEET, "last_stop": 20 * FEET}
    metric = upline.plan(60 * FEET, 30, ["32", "50@15"], gf="40/80", **rungs, **rates)
    imperial = upline.plan(
        60, 30, ["32", ("50", 15 / FEET)], gf="40/80", units="imperial", last_stop=20
    )
    twin = upline.Cylinder(12, 200, "32", 10, joined=2)
    stage = upline.Cylinder(7, 180, "50", 10)
    psi = 14.503773773
    carried = [
        upline.Cylinder(12 / LITRES, 200 * psi, "32", 50, joined=2, units="imperial"),
        upline.Cylinder(7 / LITRES, 180 * psi, "50", 50, units="imperial"),
    ]
    ada = upline.Diver("Ada", [twin, stage], working=20, resting=15, stress=40)
    same = upline.Diver(
        "Ada", carried, working=20 / LITRES, resting=15 / LITRES, stress=40 / LITRES
    )
    a = upline.reserves(metric, ada, **RULES)
    b = upline.reserves(imperial, same, **RULES)
    for x, y in zip(a.requirements, b.requirements, strict=True):
        assert y.needed == pytest.approx(x.needed / LITRES, rel=1e-6)
        assert y.reading == pytest.approx(x.reading * psi, rel=1e-6)
    assert "cu ft" in b.text
    assert "psi" in b.text


def test_shapes(quince: upline.Plan) -> None:
    team = [diver("Ada"), diver("Ben")]
    reserves = upline.reserves(quince, team, **RULES)
    deadlines = upline.deadlines(quince, team, **RULES)
    turns = upline.turn_pressures(team, "18/45", 0.25)
    for found in (reserves, deadlines, turns):
        data = json.loads(json.dumps(found.to_dict()))
        assert data["schema"] == 1
        assert data["foot"] == upline._core.foot
        html = found._repr_html_()
        assert "Have a second person recompute it" in html
        assert "Have a second person recompute it" in " ".join(str(found).split())
        assert repr(found).startswith("<upline.")
    assert json.loads(json.dumps(reserves.to_dict()))["with_next"]["plan"]["schema"] == 1
    assert len(reserves.table) == 2 + len(reserves.requirements)
    assert reserves.verdict in reserves._repr_html_()


def test_frames(quince: upline.Plan) -> None:
    pytest.importorskip("pandas")
    team = [diver("Ada"), diver("Ben")]
    reserves = upline.reserves(quince, team, **RULES)
    frame = reserves.to_frame()
    assert list(frame["needed_l"]) == [one.needed for one in reserves.requirements]
    assert {"diver", "gas", "reading_bar", "at_min", "closes"} <= set(frame.columns)
    deadlines = upline.deadlines(quince, team, **RULES).to_frame()
    assert list(deadlines["lost"]) == ["50", "50", "O2", "O2", "50, O2", "50, O2"]
    turns = upline.turn_pressures(team, "18/45", 0.25).to_frame()
    assert list(turns["diver"]) == ["Ada", "Ben"]
    assert "readings_bar" in turns.columns


@pytest.mark.parametrize(
    ("changed", "message"),
    [
        ({"sharing": 0}, "sharing"),
        ({"sharing": 2.5}, "a whole number"),
        ({"sharing": "two"}, "sharing"),
        ({"minutes_at_depth": -1}, "minutes_at_depth"),
        ({"minutes_at_depth": math.nan}, "minutes_at_depth"),
        ({"next_gas_gone": "no"}, "next_gas_gone"),
        ({"decompression": 0.95}, "decompression"),
        ({"decompression": "a third"}, COVERS),
        ({"decompression": None}, "decompression"),
        ({"divers": []}, "divers"),
        ({"divers": "Ada"}, "divers"),
        ({"divers": ["Ada"]}, "divers"),
        ({"plan": "57 m"}, "plan"),
    ],
)
@pytest.mark.parametrize("function", [upline.reserves, upline.deadlines])
def test_bad_input_is_named(
    quince: upline.Plan, function: Any, changed: dict[str, Any], message: str
) -> None:
    with pytest.raises(upline.InvalidInput, match=message):
        function(**{"plan": quince, "divers": [diver()], **RULES, **changed})


def test_nothing_has_a_default(quince: upline.Plan) -> None:
    for name in RULES:
        given_rules = {key: value for key, value in RULES.items() if key != name}
        with pytest.raises(upline.WrongType, match=name):
            upline.reserves(quince, diver(), **given_rules)


def test_a_diver_without_a_gas_is_named(quince: upline.Plan) -> None:
    lacking = upline.Diver("Ben", diver().cylinders[:2], working=20, resting=15, stress=40)
    with pytest.raises(upline.InvalidInput, match="one of oxygen"):
        upline.reserves(quince, [diver(), lacking], **RULES)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ((diver(), "18/45", 0), "fraction"),
        ((diver(), "18/45", 0.6), "fraction"),
        ((diver(), "18/45", "third"), "fraction"),
        ((diver(), "air", 0.3), "Ada without air"),
        ((diver(), 5, 0.3), "gas"),
        (([], "18/45", 0.3), "divers"),
        (("Ada", "18/45", 0.3), "divers"),
    ],
)
def test_bad_fractions_are_named(arguments: tuple[Any, ...], message: str) -> None:
    with pytest.raises(upline.InvalidInput, match=message):
        upline.turn_pressures(*arguments)


def test_two_systems_of_units_do_not_mix() -> None:
    with pytest.raises(upline.InvalidInput, match="one system of units"):
        upline.turn_pressures(diver(), "18/45", 0.3, units="imperial")

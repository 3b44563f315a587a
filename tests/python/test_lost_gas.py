"""Lost gas, as Python sees it. Brute force at every second is in tests/cpp/test_lost_gas.cpp."""

from __future__ import annotations

import json
from typing import Any

import pytest
import upline
from hypothesis import given, settings
from hypothesis import strategies as st

ANSWERS = ("own gas", "shared", "no", "unknown")


def diver(name: str, bars: tuple[float, float, float] = (200, 180, 150)) -> upline.Diver:
    """Return Ada, Ben or Cleo (invented)."""
    cylinders = [
        upline.Cylinder(12, bars[0], "18/45", 10, joined=2),
        upline.Cylinder(7, bars[1], "50", 10),
        upline.Cylinder(5, bars[2], "O2", 10),
    ]
    return upline.Diver(name, cylinders, working=20, resting=15, stress=40)


def lost(plan: upline.Plan, *divers: upline.Diver, **how: Any) -> Any:
    return upline.lost_gas(plan, list(divers), **{"stress_for": 5, "every": 30, **how})


def test_every_cylinder_and_every_pair(quince: upline.Plan) -> None:
    found = lost(quince, diver("Ada"), diver("Ben"))
    assert [loss.cylinders for loss in found.losses] == 2 * [
        (0,), (1,), (2,), (0, 1), (0, 2), (1, 2)
    ]  # fmt: skip
    assert [loss.diver for loss in found.losses] == ["Ada"] * 6 + ["Ben"] * 6
    assert [str(gas) for gas in found.losses[5].gases] == ["50", "O2"]
    for loss in found.losses:
        assert all(answer in ANSWERS for *_, answer in loss.spans)
        assert loss.closes == (not {"no", "unknown"} & {answer for *_, answer in loss.spans})
        assert (loss.own_worst is None) == all(answer == "own gas" for *_, answer in loss.spans)
    assert found.closes == all(loss.closes for loss in found.losses)


def needs(plan: upline.Plan, cylinder: upline.Cylinder) -> float:
    """Add up what Ada needs of a gas from leaving the bottom on, with what the water keeps back."""
    total = most = 0.0
    for row in plan.rows:
        if row.begins < plan.bottom_time or str(row.gas) != str(cylinder.gas):
            continue
        slope = (row.to_depth - row.from_depth) / (row.ends - row.begins)
        for begins, ends, rate in (
            (row.begins, min(row.ends, plan.bottom_time + 5), 40),
            (max(row.begins, plan.bottom_time + 5), row.ends, 15),
        ):
            if ends > begins:
                mean = row.from_depth + slope * ((begins + ends) / 2 - row.begins)
                total += rate * (1.01325 + mean / 10) * (ends - begins)
        most = max(most, total + cylinder.content_at(row.from_depth / 10))
    return most


@pytest.mark.parametrize(("which", "mixes"), [(1, ["50"]), (5, ["50", "O2"])])
def test_litres_short_on_leaving_the_bottom(
    quince: upline.Plan, which: int, mixes: list[str]
) -> None:
    ada = diver("Ada")
    worst = lost(quince, ada).losses[which].own_worst
    assert worst.at == quince.bottom_time
    branch = upline.contingencies(quince, upline.Deviation(lost=mixes)).rows[0].plan
    assert worst.stops == tuple((stop.depth, stop.departs, stop.gas) for stop in branch.stops)
    use = upline.consumption(quince, ada)
    there = ada.cylinders[0].content - sum(
        row.volume for row in use.rows if row.ends <= quince.bottom_time
    )
    assert dict(worst.short_of)[upline.Gas("18/45")] == pytest.approx(
        needs(branch, ada.cylinders[0]) - there, abs=1e-6
    )
    assert worst.short_by == pytest.approx(sum(volume for _, volume in worst.short_of))


def test_two_lost_gases_take_twice_as_long_from_six_metres(quince: upline.Plan) -> None:
    deep = lost(quince, diver("Ada")).losses[5].own_worst
    shallow = lost(quince, diver("Ada"), last_stops=[3]).losses[5].own_worst
    assert (deep.last_stop, shallow.last_stop) == (6, 3)
    assert 1.7 < deep.time_to_surface / shallow.time_to_surface < 2.3


def test_alone_the_rest_is_unknown(quince: upline.Plan) -> None:
    found = lost(quince, diver("Ada"))
    assert {answer for loss in found.losses for *_, answer in loss.spans} == {"own gas", "unknown"}
    assert all(loss.shared_until is None and loss.shared_worst is None for loss in found.losses)
    assert not found.closes
    assert "on shared gas unknown" in " ".join(str(found).split())


def test_one_diver_needs_no_list(quince: upline.Plan) -> None:
    ada = diver("Ada")
    assert upline.lost_gas(quince, ada, stress_for=5, every=60).losses == (
        lost(quince, ada, every=60).losses
    )


def test_where_nothing_can_be_breathed_there_is_no_ascent(quince: upline.Plan) -> None:
    worst = lost(quince, diver("Ada")).losses[0].own_worst
    assert worst.reason == "nothing that may be breathed at 57 m is left"
    assert (worst.breathed, worst.time_to_surface, worst.cns, worst.stops) == (None,) * 3 + ((),)


def test_filled_as_asked_for_it_closes(quince: upline.Plan) -> None:
    loss = lost(quince, diver("Ada"), last_stops=[3]).losses[2]
    (reserve,) = loss.reserves
    assert (str(reserve.gas), reserve.cylinders, loss.reserves_close) == ("50", (1,), True)
    assert reserve.fill_pressure > 180
    more = diver("Ada", (200, reserve.fill_pressure * (1 + 1e-9), 150))
    assert lost(quince, more, last_stops=[3]).losses[2].closes
    less = diver("Ada", (200, reserve.fill_pressure * 0.99, 150))
    assert not lost(quince, less, last_stops=[3]).losses[2].closes


@settings(max_examples=15, deadline=None)
@given(bars=st.tuples(*[st.integers(20, 300)] * 3), more=st.integers(0, 2))
def test_more_gas_never_closes_later(bars: tuple[int, int, int], more: int) -> None:
    plan = upline.plan(45, 20, ["18/45", "50", "O2"], gf="40/80", last_stop=6)
    richer = tuple(bar + 40 * (j == more) for j, bar in enumerate(bars))
    few = lost(plan, diver("Ada", bars), every=120).losses
    many = lost(plan, diver("Ada", richer), every=120).losses
    for less, other in zip(few, many, strict=True):
        closing = sum(to - since for since, to, answer in less.spans if answer == "own gas")
        closing_now = sum(to - since for since, to, answer in other.spans if answer == "own gas")
        assert closing_now >= closing - 1e-9
        assert (other.own_until or 0) >= (less.own_until or 0)


def test_feet_are_feet_everywhere() -> None:
    plan = upline.plan(190, 25, ["18/45", "50", "O2"], gf="40/80", last_stop=20, units="imperial")
    cylinders = [
        upline.Cylinder(0.42, 2900, "18/45", 50, joined=2, units="imperial"),
        upline.Cylinder(0.25, 2600, "50", 50, units="imperial"),
        upline.Cylinder(0.18, 2200, "O2", 50, units="imperial"),
    ]
    ada = upline.Diver("Ada", cylinders, working=0.7, resting=0.5, stress=1.4)
    found = upline.lost_gas(plan, ada, stress_for=5, last_stops=[10], every=60)
    assert found.units == "imperial"
    assert found.losses[0].own_worst.depth == 190
    assert "190 ft" in found.losses[0].own_worst.reason
    assert found.tables[0][1][4:6] == ("ft", "cu ft")
    assert 5 < found.losses[5].own_worst.short_by < 500


def test_plain_data_survives_json(quince: upline.Plan) -> None:
    data = lost(quince, diver("Ada"), diver("Ben")).to_dict()
    again = json.loads(json.dumps(data, allow_nan=False))
    assert again == json.loads(json.dumps(data))
    assert (again["schema"], again["kind"], again["divers"]) == (1, "lost gas", ["Ada", "Ben"])
    assert "It does not make a dive safe" in again["foot"]


def test_frame_has_units_in_its_columns(quince: upline.Plan) -> None:
    pytest.importorskip("pandas")
    found = lost(quince, diver("Ada"))
    frame = found.to_frame()
    assert list(frame["lost"]) == ["18/45", "50", "O2", "18/45, 50", "18/45, O2", "50, O2"]
    assert frame["short_by_l"][1] == found.losses[1].own_worst.short_by
    assert frame["worst_depth_m"][0] == 57
    assert "It does not make a dive safe" in frame.attrs["foot"]


def test_html_has_what_does_not_close_cells_and_the_caution(quince: upline.Plan) -> None:
    found = lost(quince, diver("Ada"), diver("Ben"))
    shown = found._repr_html_()
    assert all(line in shown for line in (*found.said, *found.reserve_lines))
    assert shown.index("Does not close") < shown.index("<table>")
    assert shown.count("<table>") == 2
    assert "It does not make a dive safe" in shown


def test_all_that_closes_is_no_approval() -> None:
    plan = upline.plan(30, 15, ["32"], gf="40/80")
    cylinders = [upline.Cylinder(12, 230, "32", 10), upline.Cylinder(12, 230, "32", 10)]
    team = [upline.Diver(name, cylinders, 20, 15, 40) for name in ("Ada", "Ben")]
    found = upline.lost_gas(plan, team, stress_for=5, every=60)
    assert found.closes
    assert "That is no approval" in str(found)
    assert "That is no approval" in found._repr_html_()
    assert repr(found) == "<upline.LostGas 6 losses, 0 do not close>"


@pytest.mark.parametrize(
    ("how", "field"),
    [
        ({"stress_for": -1}, "stress_for"),
        ({"stress_for": "5"}, "stress_for"),
        ({"stress_for": float("nan")}, "stress_for"),
        ({"every": 0}, "every"),
        ({"every": 1e4}, "every"),
        ({"last_stops": 3}, "last_stops"),
        ({"last_stops": [0]}, "last_stops"),
        ({"last_stops": [400]}, "last_stops"),
        ({"last_stops": [3] * 11}, "last_stops"),
    ],
)
def test_bad_input_is_named(quince: upline.Plan, how: dict[str, Any], field: str) -> None:
    with pytest.raises(upline.InvalidInput) as caught:
        lost(quince, diver("Ada"), **how)
    assert caught.value.field == field


def test_a_team_that_cannot_be_used_is_named(quince: upline.Plan) -> None:
    for divers in ([], "Ada", [None], [diver("Ada")] * 13):
        with pytest.raises(upline.InvalidInput) as caught:
            upline.lost_gas(quince, divers, stress_for=5)  # type: ignore[arg-type]
        assert caught.value.field == "divers"
    bare = upline.Diver("Ada", [upline.Cylinder(12, 200, "18/45", 10)], 20, 15, 40)
    with pytest.raises(upline.InvalidInput, match="given without one of 50 %"):
        upline.lost_gas(quince, bare, stress_for=5)
    with pytest.raises(upline.WrongType):
        upline.lost_gas("57 m", diver("Ada"), stress_for=5)  # type: ignore[arg-type]
    with pytest.raises(upline.WrongType, match="stress_for"):
        upline.lost_gas(quince, diver("Ada"))  # type: ignore[call-arg]

"""A team's common schedule and the choice of rows as Python sees them.

What they compute is tested in tests/cpp.
"""

from __future__ import annotations

import json
import math
from itertools import combinations

import numpy as np
import pytest
import upline
from hypothesis import given, settings
from hypothesis import strategies as st


def alone(*gases: str, **more: object) -> upline.Plan:
    return upline.plan(57, 25, list(gases), gf="40/80", last_stop=6, **more)


@pytest.fixture(scope="module")
def members() -> dict[str, upline.Plan]:
    """Ada, Ben and Cleo (invented)."""
    morning = upline.plan(42, 30, ["21/35", "50"], gf="40/80", last_stop=6)
    return {
        "Ada": alone("18/45", "49.2", "O2"),
        "Ben": alone("17.6/43.8", "50.6", "99"),
        "Cleo": alone("18.2/45", "50", "O2", start=upline.rest(morning.end, 120)),
    }


@pytest.fixture(scope="module")
def common(members: dict[str, upline.Plan]):
    return upline.common_schedule(members)


# ---- the team ------------------------------------------------------------------------------------


def test_everybody_follows_the_same_times(common, members: dict[str, upline.Plan]) -> None:
    times = [(stop.depth, stop.arrives, stop.departs, stop.stay) for stop in common.stops]
    for one in common.members:
        assert one.alone == members[one.name]
        made = [(stop.depth, stop.arrives, stop.departs, stop.stay) for stop in one.plan.stops]
        assert made == times
        assert one.plan.run_time == common.run_time >= one.alone.run_time
        assert one.plan.bottom_time == common.bottom_time
        assert one.slack == pytest.approx(0.8 - one.plan.surfacing_fraction)


def test_each_replay_of_it_is_within_the_members_line(common) -> None:
    for one in common.members:
        gases = one.plan.arguments["gases"]
        path = [(row.begins, row.from_depth, row.gas) for row in one.plan.rows]
        path.append((one.plan.run_time, 0.0))
        followed = upline.replay(
            path,
            gases=gases,
            gf="40/80",
            bottom_left=25,
            start=one.plan.arguments["start"],
        )
        assert followed.margin > -1e-9
        assert followed.surfacing_fraction == pytest.approx(one.plan.surfacing_fraction)


def test_who_waits_has_another_plan_than_alone(common) -> None:
    ada, _, cleo = common.members
    assert ada.plan != ada.alone
    assert cleo.plan == cleo.alone


def test_who_is_waited_for(common) -> None:
    last = common.stops[-1]
    assert last.waits_for == ("Cleo",)
    assert last.ready[2] == last.departs > max(last.ready[:2])
    assert common.switches[0].number == 2
    assert [str(gas) for gas in common.switches[0].gases] == ["49.2", "50.6", "50"]


def test_the_shallowest_switch_is_kept() -> None:
    found = upline.common_schedule(
        {"Ada": alone("18/45", "50", "O2"), "Ben": alone("18/45", "55", "O2")}
    )
    assert (found.switches[0].depth, found.switches[0].alone) == (18.0, (21.0, 18.0))
    assert found.members[0].plan.switches[0].depth == 18.0
    assert "18 m (alone: Ada 21 m)" in found.text


def test_feet_are_feet() -> None:
    plans = {
        name: upline.plan(190, 25, ["18/45", mix, "O2"], gf="40/80", units="imperial", last_stop=20)
        for name, mix in (("Ada", "50"), ("Ben", "53"))
    }
    found = upline.common_schedule(plans)
    assert found.units == "imperial"
    assert found.switches[0].depth == 60.0
    assert found.stops[-1].depth == 20.0


def test_team_frame_data_and_words(common) -> None:
    data = json.loads(json.dumps(common.to_dict(), allow_nan=False))
    assert data["kind"] == "common_schedule"
    assert [one["name"] for one in data["members"]] == ["Ada", "Ben", "Cleo"]
    assert upline.Plan.from_dict(data["members"][1]["alone"]) == common.members[1].alone
    shown = common._repr_html_()
    for words in ("waits for", "17.6/43.8", "Cautions for Ben", "It does not make a dive safe"):
        assert words in shown
        assert words in str(common)
    assert repr(common) == "<upline.CommonSchedule 3 members, run time 78:40>"
    pytest.importorskip("pandas")
    frame = common.to_frame()
    assert list(frame["waits_for"])[-1] == "Cleo"
    assert list(frame["ready_Ben_min"]) == [stop.ready[1] for stop in common.stops]
    assert frame.attrs["foot"]


def test_a_name_is_no_markup() -> None:
    plan = alone("18/45", "50", "O2")
    found = upline.common_schedule({"<b>Ada</b>": plan, "Ben": plan})
    assert "<b>Ada" not in found._repr_html_()


def test_refused_for_one_is_refused(members: dict[str, upline.Plan]) -> None:
    long = upline.plan(42, 60, ["21/35", "50"], gf="40/80", last_stop=6)
    tired = alone("18.2/45", "50", "O2", start=upline.rest(long.end, 10))
    assert tired.refused
    found = upline.common_schedule({**members, "Cleo": tired})
    assert found.refused
    assert any(line.startswith("Refused for Cleo: CNS share") for line in found.refusals)
    assert "refused" in repr(found)


@pytest.mark.parametrize(
    ("given", "field"),
    [
        ("plan", "members"),
        ({"Ada": ...}, "members"),
        ({"Ada": ..., "Ben": "57 m"}, "members"),
        ({"Ada": ..., 3: ...}, "members"),
        ({"Ada": ..., "": ...}, "members"),
        ({"Ada": ..., "B" * 41: ...}, "members"),
        ({str(j): ... for j in range(13)}, "members"),
    ],
)
def test_bad_members_are_named(quince: upline.Plan, given: object, field: str) -> None:
    if isinstance(given, dict):
        given = {name: quince if one is ... else one for name, one in given.items()}
    with pytest.raises(upline.InvalidInput) as caught:
        upline.common_schedule(given)
    assert caught.value.field == field


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"bottom_time": 26}, "levels"),
        ({"gf": "40/85"}, "gf"),
        ({"last_stop": 3}, "last_stop"),
        ({"ladder": list(range(6, 57, 3)), "last_stop": None}, "ladder"),
        ({"ascent_rate": 6}, "ascent_rate"),
        ({"surfacing_rate": 3}, "surfacing_rate"),
        ({"descent_rate": 15}, "descent_rate"),
        ({"environment": upline.Environment(altitude=640)}, "environment"),
        ({"min_stop": 1}, "min_stop"),
        ({"resolution": 0.5}, "resolution"),
        ({"max_po2": 1.3}, "max_po2"),
        ({"po2_tolerance": 0.05}, "po2_tolerance"),
        ({"min_po2": 0.17}, "min_po2"),
        ({"gases": ["18/45", "50@20", "O2"]}, "switch depth of gas 2"),
        ({"gases": ["18/45", "50"]}, "gases"),
        ({"gases": ["18/45", "O2", "50"]}, "gases"),
    ],
)
def test_what_must_be_common(changed: dict[str, object], field: str) -> None:
    asked = {
        "depth": 57, "bottom_time": 25, "gases": ["18/45", "50", "O2"], "gf": "40/80",
        "last_stop": 6,
    }  # fmt: skip
    with pytest.raises(upline.InvalidInput) as caught:
        upline.common_schedule({"Ada": upline.plan(**asked), "Ben": upline.plan(**asked | changed)})
    assert caught.value.field == f"Ben's {field}"


@settings(max_examples=40)
@given(
    st.lists(
        st.tuples(st.floats(0.17, 0.19), st.floats(0.4, 0.5), st.floats(0.47, 0.53)),
        min_size=2,
        max_size=4,
    )
)
def test_nobody_waits_longer_than_the_slowest_and_the_order_does_not_matter(drawn) -> None:
    plans = {
        f"diver {j}": alone(upline.Gas(oxygen=oxygen, helium=helium), upline.Gas(oxygen=deco), "O2")
        for j, (oxygen, helium, deco) in enumerate(drawn)
    }
    found = upline.common_schedule(plans)
    turned = upline.common_schedule(dict(reversed(plans.items())))
    assert [stop.departs for stop in found.stops] == [stop.departs for stop in turned.stops]
    for stop in found.stops:
        assert stop.departs >= max(stop.ready)
        for name in stop.waits_for:
            assert stop.ready[list(plans).index(name)] == stop.departs


# ---- the choice of rows --------------------------------------------------------------------------


def test_rows_of_a_box_are_the_best_of_all_choices() -> None:
    plan = upline.plan(45, 20, ["21/35", "50"], gf="40/80")
    deeper, later = [0, 3, 6], [0, 4, 8]
    choice = upline.choose_rows(plan, deeper=deeper, later=later, rows=3)
    run_time = {
        (d, t): upline.plan(45 + d, 20 + t, ["21/35", "50"], gf="40/80").run_time
        for d in deeper
        for t in later
    }

    def cost(rows: tuple[tuple[int, int], ...]) -> float:
        return sum(
            min(
                (run_time[r] - own for r in rows if r[0] >= d and r[1] >= t),
                default=math.inf,
            )
            for (d, t), own in run_time.items()
        )

    others = [cell for cell in run_time if cell != (0, 0)]
    least = min(cost(((0, 0), *pair)) for pair in combinations(others, 2))
    assert choice.proved
    assert choice.total_extra == pytest.approx(least)
    assert choice.least_total == choice.total_extra
    assert {(dive.deeper, dive.later): dive.run_time for dive in choice.dives} == run_time


def test_every_dive_knows_its_row_and_the_rows_go_on(quince: upline.Plan) -> None:
    choice = upline.choose_rows(quince, deeper=[0, 3, 6], later=[0, 3, 5, 10], rows=4)
    assert choice.rows[0].plan == quince
    for place, row in enumerate(choice.rows):
        assert {dive.row for dive in row.dives} == {place}
        assert row.largest_extra == max(dive.extra for dive in row.dives)
        assert all(
            dive.extra == pytest.approx(row.plan.run_time - dive.run_time) for dive in row.dives
        )
    refused = [dive for dive in choice.dives if dive.row is None]
    assert {dive.later for dive in refused} == {10.0}
    assert all("CNS share" in dive.reason for dive in refused)
    rows = upline.contingencies(quince, choice.deviations).rows
    assert [row.name for row in rows] == [row.name for row in choice.rows[1:]]


def test_weights_move_the_rows() -> None:
    plan = upline.plan(45, 20, ["21/35", "50"], gf="40/80")
    box = {"deeper": [0, 3, 6], "later": [0, 5], "rows": 3}
    plain = upline.choose_rows(plan, **box)
    weighed = upline.choose_rows(plan, **box, weights=np.array([[1, 1000], [1, 1], [1, 1]]))
    assert plain.dives[1].extra > 0.0
    assert weighed.dives[1].extra == 0.0
    assert "as weighted" in weighed.verdict


def test_rows_in_feet() -> None:
    plan = upline.plan(150, 20, ["21/35", "50"], gf="40/80", units="imperial")
    choice = upline.choose_rows(plan, deeper=[0, 10], later=[0, 5], rows=2)
    assert choice.rows[-1].plan.arguments["depth"] == 160.0
    assert choice.rows[-1].name == "if 10 ft deeper, 5 min late"


def test_rows_frame_data_and_words(quince: upline.Plan) -> None:
    choice = upline.choose_rows(quince, deeper=[0, 3], later=[0, 3, 10], rows=3)
    data = json.loads(json.dumps(choice.to_dict(), allow_nan=False))
    assert data["kind"] == "row_choice"
    assert len(data["dives"]) == 6
    assert upline.Plan.from_dict(data["rows"][0]["plan"]) == quince
    shown = choice._repr_html_()
    for words in ("as planned", "3 min late", "CNS share", "It does not make a dive safe"):
        assert words in shown
        assert words in str(choice)
    pytest.importorskip("pandas")
    frame = choice.to_frame()
    assert list(frame["deeper_m"]) == [0.0] * 3 + [3.0] * 3
    assert math.isnan(frame["extra_min"].iloc[2])


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"plan": "57 m"}, "plan"),
        ({"deeper": 3}, "deeper"),
        ({"deeper": [3]}, "deeper"),
        ({"deeper": []}, "deeper"),
        ({"deeper": [0, 3, 3]}, "deeper"),
        ({"deeper": [0, "3 m"]}, "deeper"),
        ({"deeper": [0, -3]}, "deeper"),
        ({"later": [0, math.nan]}, "later"),
        ({"later": list(range(13))}, "later"),
        ({"deeper": [0], "later": [0]}, "deeper"),
        ({"rows": 1}, "rows"),
        ({"rows": 9}, "rows"),
        ({"rows": 2.5}, "rows"),
        ({"rows": None}, "rows"),
        ({"rows": True}, "rows"),
        ({"weights": 1}, "weights"),
        ({"weights": [1, 1]}, "weights"),
        ({"weights": [[1, 1]]}, "weights"),
        ({"weights": [[1, 1], [1]]}, "weights"),
        ({"weights": [[1, 1], [1, 0]]}, "weights"),
        ({"weights": [[1, 1], [1, math.inf]]}, "weights"),
    ],
)
def test_bad_boxes_are_named(quince: upline.Plan, changed: dict[str, object], field: str) -> None:
    asked = {"plan": quince, "deeper": [0, 3], "later": [0, 5], "rows": 3} | changed
    with pytest.raises(upline.InvalidInput) as caught:
        upline.choose_rows(**asked)
    assert caught.value.field == field


def test_a_refused_plan_has_no_slate() -> None:
    refused = alone("18/45", "50", "O2", max_deco_po2=1.6)
    long = upline.plan(57, 45, ["18/45", "50", "O2"], gf="40/80", last_stop=6)
    assert not refused.refused
    assert long.refused
    with pytest.raises(upline.InvalidInput, match="no slate is made of it"):
        upline.choose_rows(long, deeper=[0, 3], later=[0], rows=2)

"""Tables cut elsewhere, held against the model: the verdict and what lies behind it."""

from __future__ import annotations

import json

import pytest
import upline
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from upline._cli import main

DIVE = {"depth": 57, "bottom_time": 25, "gases": ["18/45", "50", "O2"], "gf": "40/80"}
# An invented table for the Quince Blossom (invented).
ROWS = [(24, 2), (21, 1), (18, 2), (15, 2), (12, 4), (9, 5), (6, 20)]
# The bottom gas, the gases for the way up, and the deepest depth at which the first is breathed.
GASES = [(["18/45", "50", "O2"], 60), (["21/35", "50"], 54), (["32"], 33), (["air"], 50)]


@st.composite
def exact_plans(draw):
    """Plans with a wait, nothing rounded and no time at switches; and their arguments."""
    gases, deepest = draw(st.sampled_from(GASES))
    low = draw(st.integers(25, 70))
    arguments = {
        "depth": draw(st.integers(24, deepest)),
        "bottom_time": draw(st.integers(15, 50)),
        "gases": gases,
        "gf": (low / 100, draw(st.integers(low, 95)) / 100),
        "switch_time": 0,
    }
    plan = upline.plan(**arguments, rounding="exact")
    assume(any(stop.held_by for stop in plan.stops))
    return plan, arguments


def rows_of(plan):
    return [(stop.depth, stop.minutes) for stop in plan.stops]


@given(exact_plans())
def test_the_table_of_a_plan_is_on_its_own_line(drawn) -> None:
    plan, arguments = drawn
    r = upline.check(rows_of(plan), **arguments, minutes="without travel")
    assert r.verdict == "satisfies"
    assert abs(r.margin) <= 1e-9
    assert r.missing_minutes == 0.0
    assert r.replay.anchor == pytest.approx(plan.anchor, abs=1e-9)
    low, high = arguments["gf"]
    assert r.pair_at_low.low == low
    assert r.pair_at_low.high == pytest.approx(high, abs=1e-6)


@settings(max_examples=25)  # a search for the least addition takes a tenth of a second
@given(exact_plans(), st.data())
def test_what_is_taken_from_a_wait_is_missed_and_given_back(drawn, data) -> None:
    plan, arguments = drawn
    waits = [j for j, stop in enumerate(plan.stops) if stop.held_by and stop.minutes > 1e-6]
    assume(waits)
    j = data.draw(st.sampled_from(waits))
    taken = min(0.1, plan.stops[j].minutes)
    rows = rows_of(plan)
    rows[j] = (rows[j][0], rows[j][1] - taken)
    r = upline.check(rows, **arguments, minutes="without travel")
    assert r.verdict == "does not"
    assert r.margin < -1e-9
    assert r.missing_minutes is not None
    assert r.at_least <= r.missing_minutes
    mended = [(row.depth, row.number) for row in r.repaired]
    assert upline.check(mended, **arguments, minutes="without travel").verdict == "satisfies"


def test_stays_and_leave_times_say_the_same() -> None:
    plan = upline.plan(**DIVE, last_stop=6, rounding="exact", switch_time=0)
    stays = [(stop.depth, stop.stay) for stop in plan.stops]
    leaves = [{"depth": stop.depth, "leave at": stop.departs} for stop in plan.stops]
    for rows, minutes in ((stays, "with travel"), (leaves, "leave at")):
        r = upline.check(rows, **DIVE, minutes=minutes, switch_time=0)
        assert (r.verdict, len(r.readings)) == ("satisfies", 1)
        assert abs(r.margin) <= 1e-9


def test_the_surface_depends_on_the_reading_and_the_way_up_does_not() -> None:
    r = upline.check(ROWS, **DIVE, switch_time=0)
    without, with_travel = r.readings
    assert (without.minutes, with_travel.minutes) == ("without travel", "with travel")
    assert round(without.surfacing_fraction, 3) == 0.797
    assert round(with_travel.surfacing_fraction, 3) == 0.829
    # There is no stop at 27 m, where the model waits 0.3 min: on arrival at 24 m both are beyond.
    assert r.verdict == "does not"
    assert round(without.margin, 4) == -0.0418
    assert "0.829" in r.sentence
    assert "0.797" in r.sentence


def test_when_readings_disagree_the_question_is_named() -> None:
    rows = [(27, 1), (24, 2), (21, 1), (18, 2), (15, 2), (12, 4), (9, 6), (6, 21)]
    r = upline.check(rows, **DIVE, switch_time=0)
    assert r.verdict == "cannot tell"
    assert {one.satisfies for one in r.readings} == {True, False}
    assert "include the travel to the stop" in r.sentence
    assert r.sentence.startswith("Cannot tell.")
    assert r.sentence.endswith(
        'Ask whoever cut it, then say so: minutes="without travel", "with travel" or "leave at" '
        '(--minutes "with travel").'
    )
    for one in r.readings:
        said = upline.check(rows, **DIVE, switch_time=0, minutes=one.minutes)
        assert said.verdict == ("satisfies" if one.satisfies else "does not")


# Run times of leaving for the Quince Blossom (invented), with oxygen taken up at 9 m.
LETHAL = """57 m for 25 min on 18/45
leave at
27 m 29
24 m 31
21 m 33 EAN50
18 m 35
15 m 37
12 m 41
9 m 47 O2
6 m 70
"""


def test_what_refuses_is_said_before_what_the_line_says(capsys, tmp_path) -> None:
    r = upline.check(LETHAL, gf="40/80")
    assert (r.verdict, r.refused) == ("satisfies", True)
    assert r.sentence.startswith("Refused: oxygen at 9 m is 1.92 bar, CNS ")
    assert r.text.startswith("Refused: oxygen at 9 m is 1.92 bar, CNS ")
    assert repr(r).startswith("<upline.Check refused, satisfies")
    html = r._repr_html_()
    assert 0 < html.index("Refused: oxygen") < html.index("atisfies 40/80")
    sound = upline.check(LETHAL.replace("47 O2", "47").replace("6 m 70", "6 m 70 O2"), gf="40/80")
    assert (sound.verdict, sound.refused) == ("satisfies", False)
    file = tmp_path / "table.txt"
    file.write_text(LETHAL)
    assert main(["check", str(file), "--gf", "40/80"]) == 1
    assert capsys.readouterr().out.startswith("Refused: ")


def test_run_times_decide_what_minutes_mean() -> None:
    rows = "27 1 29, 24 2 31, 21 2 33, 18 2 35, 15 2 37, 12 4 41, 9 6 47, 6 22 69"
    table = [
        dict(zip(("depth", "minutes", "leave at"), map(float, row.split()), strict=True))
        for row in rows.split(", ")
    ]
    r = upline.check(table, **DIVE)
    assert {(one.minutes, one.bottom_from) for one in r.readings} == {
        ("with travel", "surface"),
        ("leave at", "surface"),
    }
    first = next(one for one in r.readings if one.minutes == "with travel")
    assert first.first_in_full  # a minute does not hold 3:20 of travel
    assert "(not to the first one, which is too short for it)" in " ".join(r.text.split())


def test_nothing_is_computed_on_a_number_that_contradicts_others() -> None:
    table = LETHAL.replace("12 m 41", "12 m 14").replace("47 O2", "47").replace("m 70", "m 70 O2")
    r = upline.check(table, gf="40/80")
    assert r.unsettled
    assert (r.missing_minutes, r.repaired, r.consequences, r.factor_pairs) == (None, None, (), ())
    assert "with 41 in place of 14 in row 6 (12 m) it satisfies 40/80." in r.sentence
    assert "No minutes are computed for it as it is written" in r.addition
    assert "more at" not in r.text


def test_the_reading_is_a_phrase() -> None:
    rows = [(27, 1), (24, 2), (21, 1), (18, 2), (15, 2), (12, 4), (9, 6), (6, 21)]
    r = upline.check(rows, **DIVE, switch_time=0)
    assert r.reading.startswith("the stop minutes include the travel to the stop")


def test_what_the_text_leaves_open_is_tried() -> None:
    text = "57 m, 25 min on 18/45, 50, O2: 24/2 21/1 18/2 15/2 12/4 9/5 6/20"
    r = upline.check(text, gf="40/80")
    assert len(r.readings) == 2 * 2 * 3 * 3  # travel, bottom time, switch minute, water
    assert {one.depth_of for one in r.readings} == {"gauge", "fresh", "sea"}
    assert {one.bottom_from for one in r.readings} == {"surface", "arrival"}
    assert r.margin == min(one.margin for one in r.readings)


def test_a_new_stop_is_proposed_where_no_minutes_at_the_rows_suffice() -> None:
    r = upline.check(ROWS, **DIVE, minutes="without travel", switch_time=0)
    assert [(row.depth, row.number) for row in r.repaired if row.new] == [(27.0, 1.0)]
    assert r.missing_minutes == r.at_least
    mended = [(row.depth, row.number) for row in r.repaired]
    again = upline.check(mended, **DIVE, minutes="without travel", switch_time=0)
    assert again.verdict == "satisfies"


def test_the_last_stop_carries_most() -> None:
    r = upline.check(ROWS, **DIVE, minutes="without travel", switch_time=0)
    assert (r.consequences[0].what, r.consequences[0].row) == ("row left out", 7)
    margins = [one.margin for one in r.consequences]
    assert margins == sorted(margins)
    late = next(one for one in r.consequences if one.what == "leaves late" and one.amount == 5)
    longer = upline.check(ROWS, **{**DIVE, "bottom_time": 30}, minutes="without travel",
                          switch_time=0)  # fmt: skip
    assert late.margin == pytest.approx(longer.margin, abs=1e-9)
    assert late.surfacing_fraction == pytest.approx(longer.surfacing_fraction, abs=1e-12)


@pytest.mark.parametrize(
    ("row", "wrong", "what", "proposed"),
    [
        (1, (12, 1), "order", 21.0),
        (4, (12, 14), "minutes off", 4.0),
        (3, (14, 2), "depth off grid", 15.0),
    ],
)
def test_mistakes_of_the_pen_are_found(row, wrong, what, proposed) -> None:
    rows = [*ROWS]
    rows[row] = wrong
    r = upline.check(rows, **DIVE, minutes="without travel", switch_time=0)
    (finding,) = (one for one in r.findings if one.what == what)
    assert (finding.row, finding.proposed) == (row + 1, proposed)
    sound = upline.check(ROWS, **DIVE, minutes="without travel", switch_time=0)
    assert sound.findings == ()


@pytest.mark.parametrize(
    ("changed", "named"),
    [
        ({"depth": None}, "depth"),
        ({"gases": None}, "gases"),
        ({"gf": None}, "gf"),
        ({"bottom_time": None}, "bottom_time"),
    ],
)
def test_what_is_missing_is_asked_for_by_name(changed, named) -> None:
    with pytest.raises(upline.InvalidInput, match=named):
        upline.check(ROWS, **{**DIVE, **changed})


def test_the_table_and_the_caller_must_agree() -> None:
    with pytest.raises(upline.InvalidInput, match="55 beside 57"):
        upline.check("57 m, 25 min on 18/45, 50, O2: 24/2 6/20", gf="40/80", depth=55)


def test_the_text_carries_verdict_rows_and_caution() -> None:
    r = upline.check(ROWS, **DIVE, switch_time=0)
    text = " ".join(str(r).split())
    for part in (r.sentence, "It does not make a dive safe", "Rows as read", "Assumptions:"):
        assert part in text


def test_the_frame_has_a_line_for_each_row() -> None:
    pytest.importorskip("pandas")
    frame = upline.check(ROWS, **DIVE, switch_time=0).to_frame()
    assert list(frame["depth_m"]) == [depth for depth, _ in ROWS]
    assert frame["margin_bar"].min() < 0


def test_feet_are_recognised_and_said() -> None:
    rows = [(90, 1), (80, 3), (70, 2), (60, 2), (50, 3), (40, 4), (30, 6), (20, 22)]
    r = upline.check(rows, **{**DIVE, "depth": 190}, units="imperial", minutes="without travel",
                     switch_time=0)  # fmt: skip
    assert r.units == "imperial"
    assert r.rows[0].depth == 90.0
    assert " ft" in r.text


@pytest.mark.parametrize(
    ("rows", "more", "code"),
    [
        ("27/1 24/2 21/1 18/2 15/2 12/4 9/6 6/22", ["--minutes", "without travel"], 0),
        ("27/1 24/2 21/1 18/2 15/2 12/4 9/6 6/18", ["--minutes", "without travel"], 1),
        ("27/1 24/2 21/1 18/2 15/2 12/4 9/6 6/21", [], 3),
        ("24/2 21/x", [], 2),
    ],
)
def test_the_command_says_it_by_its_exit_code(rows, more, code, capsys) -> None:
    dive = ["--depth", "57", "--bottom-time", "25", "--gas", "18/45", "--gas", "50", "--gas", "O2"]
    given = ["check", rows, *dive, "--gf", "40/80", "--switch-time", "0", *more]
    assert main(given) == code
    text = capsys.readouterr()
    assert ("It does not make a dive safe" in " ".join(text.out.split())) == (code != 2)
    if code != 2:
        assert main([*given, "--json"]) == code
        data = json.loads(capsys.readouterr().out)
        assert (data["schema"], data["kind"]) == (1, "check")
        assert len(data["rows"]) == 8


def test_plain_data_holds_the_replay_and_no_handle() -> None:
    data = upline.check(ROWS, **DIVE, switch_time=0).to_dict()
    assert json.loads(json.dumps(data)) == data
    assert "_path" not in data["replay"]
    assert "anchored at" in data["replay"]["assumptions"]

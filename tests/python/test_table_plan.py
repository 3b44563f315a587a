"""Plans of this library handed to the reader of tables, in every form in which they are given."""

from __future__ import annotations

import importlib.util
import re
from pathlib import Path
from typing import Any

import pytest
import upline
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from readers import refusal_of
from upline._table import read_table

FACTORS = "40/80"
# The Quince Blossom (invented) in metres and in feet, and the Tarn Hollow (invented).
DIVES: dict[str, tuple[tuple[Any, ...], dict[str, Any]]] = {
    "metric": ((57, 25, ["18/45", "50", "O2"]), {"last_stop": 6}),
    "imperial": ((190, 25, ["18/45", "50", "O2"]), {"last_stop": 20, "units": "imperial"}),
    "a switch depth of its own": ((57, 25, ["18/45", "50@18", "O2"]), {}),
    "levels": (([(57, 20), (42, 45)], None, ["18/45", "50", "O2"]), {}),
    "two rates": ((57, 25, ["18/45", "50"]), {"ascent_rate": [(21, 9), (0, 3)]}),
    "half minutes": ((57.5, 25.5, ["18/45", "50", "O2"]), {"resolution": 0.5}),
    "no time at a switch": ((57, 25, ["18/45", "50", "O2"]), {"switch_time": 0}),
    "another model": ((42, 30, ["21/35", "50"]), {"model": "ZH-L16C/5min"}),
}


@pytest.fixture(params=DIVES)
def plan(request: pytest.FixtureRequest) -> upline.Plan:
    args, kwargs = DIVES[request.param]
    return upline.plan(*args, gf=FACTORS, **kwargs)


def rows_of(table: Any) -> list[tuple[float, float, str]]:
    return [(row.depth, row.leave_at, row.gas) for row in table.rows]


def stops_of(plan: upline.Plan) -> list[tuple[float, float, str]]:
    """The stops, the switches that take no time, the levels left for a shallower one."""
    levels = plan.arguments["depth"]
    above = levels[1:] if isinstance(levels, list) else []
    bottom_gas = str(plan.arguments["gases"][0])
    passed = [
        (switch.depth, switch.run_time, str(switch.gas))
        for switch in plan.switches
        if switch.minutes == 0
    ]
    rows = [(stop.depth, stop.departs, str(stop.gas)) for stop in plan.stops] + passed
    rows += [(*level, bottom_gas) for level in above]
    return sorted(rows, key=lambda row: row[1])


def at_switches(plan: upline.Plan) -> dict[str, float]:
    """A table cannot say that a switch takes no time."""
    return {"switch_time": 0} if plan.arguments["switch_time"] == 0 else {}


def test_every_form_of_a_plan_is_read_alike_and_satisfies_its_own_factors(
    plan: upline.Plan, tmp_path: Path
) -> None:
    path = tmp_path / "plan.json"
    path.write_text(plan.to_json())
    forms = [plan, plan.to_dict(), plan.to_json(), path, str(plan)]
    if importlib.util.find_spec("pandas"):
        forms.append(plan.to_frame())
    for form in forms:
        table = read_table(form)
        assert rows_of(table) == [
            (depth, pytest.approx(leaves, abs=1 / 60), gas) for depth, leaves, gas in stops_of(plan)
        ]
        assert table.missing == ()
        assert (table.units, table.gf, table.water) == (plan.units, FACTORS, "gauge")
        assert table.model == plan.arguments["model"]
        assert table.surface_at == pytest.approx(plan.run_time, abs=1 / 60)
        r = upline.check(form, **at_switches(plan))
        assert r.verdict == "satisfies"
        assert f"Satisfies {FACTORS}" in r.sentence


def test_a_garbled_model_is_told_in_ascii_and_no_model_of_ours(plan: upline.Plan) -> None:
    model = plan.arguments["model"]
    table = read_table(str(plan).replace(f"{model},", f"{model}\u1789,", 1))
    assert all(note.isascii() for note in table.notes)
    with pytest.raises(upline.InvalidInput, match="model"):
        upline.check(table, **at_switches(plan))


def test_the_printed_text_survives_what_a_paste_does_to_it(plan: upline.Plan) -> None:
    text = str(plan)
    single = re.sub(r"(?m)^ +", "", re.sub(r" {2,}", " ", text))
    for pasted in (
        single,
        text.replace("\n", "\r\n"),
        re.sub(r"\n\n+", "\n", text),
        text.replace("\n", "\n\n"),
        text.replace(" ", "\u00a0"),
        "".join(f"> {line}\n" for line in text.splitlines()),
        f"Hello Ben,\n\n{text}\nQuince Blossom (invented)\n",
    ):
        read, whole = read_table(pasted), read_table(text)
        assert rows_of(read) == rows_of(whole)
        for key in ("depth", "bottom_time", "gases", "gf", "model", "water", "rates", "missing"):
            assert getattr(read, key) == getattr(whole, key)
    assert upline.check(single, **at_switches(plan)).verdict == "satisfies"


def test_what_stands_below_a_printed_table_is_told(quince: upline.Plan) -> None:
    notes = " ".join(read_table(str(quince)).notes)
    below = str(quince).partition("surface\n")[2]
    for caution in quince.cautions:
        assert caution.text.split(". ")[0] in notes
    assert "Run time" in notes
    assert "This is what a mathematical model allows." in notes
    assert "rungs every" not in notes  # of the assumptions what is read is told, not the text
    assert len(below) > 1000


def test_a_shortened_wait_is_found_in_the_text(quince: upline.Plan) -> None:
    """Reading the foot along with the table takes nothing from the check."""
    text = str(quince)
    assert text.count("\n      6        69    22  ") == 1
    shorter = text.replace("\n      6        69    22  ", "\n      6        60    13  ")
    r = upline.check(shorter)
    assert r.verdict == "does not"
    assert r.missing_minutes >= 8


def test_what_a_table_cannot_hold_is_asked_for() -> None:
    gases = ["21/35", "50", "O2"]
    here = upline.Environment(altitude=640, acclimatised_to="here")
    earlier = upline.plan(30, 20, "32", gf=FACTORS)
    for kwargs, asked in (
        ({"environment": here}, "environment"),
        ({"environment": upline.Environment(vapour=0.06)}, "environment"),
        ({"environment": upline.Environment(water=1010)}, "environment"),
        ({"start": upline.rest(earlier.end, 90)}, "start"),
        ({"travel": ("50", 17)}, "travel"),
        ({"switch_time": 2}, "switch_time"),
    ):
        plan = upline.plan(42, 30, gases, gf=FACTORS, **kwargs)
        for form in (plan, str(plan), plan.to_dict()):
            table = read_table(form)
            assert table.missing == (asked,)
            assert any(note.endswith(f"{asked} stays open") for note in table.notes)
            assert asked in str(refusal_of(upline.check, form))


def test_an_altitude_is_held_by_a_table() -> None:
    place = upline.Environment(altitude=640, water="fresh")
    plan = upline.plan(42, 30, ["21/35", "50", "O2"], gf=FACTORS, environment=place)
    table = read_table(plan)
    assert (table.altitude, table.water, table.missing) == (640.0, "fresh", ())
    assert upline.check(plan).verdict == "satisfies"
    assert read_table(str(plan)).missing == ("environment",)  # the text names a pressure alone
    with_height = f"# altitude 640 m\n{plan}"
    assert read_table(with_height).missing == ()
    assert upline.check(with_height).verdict == "satisfies"


def test_levels_that_go_deeper_are_no_table() -> None:
    plan = upline.plan([(30, 10), (42, 30)], gases=["21/35", "50"], gf=FACTORS)
    assert "levels that go deeper" in str(refusal_of(read_table, plan))
    assert "deeper" in str(refusal_of(read_table, str(plan)))


def test_a_record_that_was_edited_is_refused(quince: upline.Plan) -> None:
    record = quince.to_dict()
    record["stops"][-1]["departs"] += 1
    assert "plan record" in str(refusal_of(read_table, record))
    assert "plan record" in str(refusal_of(read_table, {"kind": "plan"}))


def test_a_plan_that_is_refused_says_so() -> None:
    plan = upline.plan(57, 25, ["21", "50"], gf=FACTORS, max_po2=1.6)
    assert plan.refused
    for form in (plan, str(plan)):
        assert any("refuse" in note.lower() for note in read_table(form).notes)


def test_the_stops_of_a_plan_are_a_table(quince: upline.Plan) -> None:
    pytest.importorskip("pandas")
    table = read_table(quince.to_frame("stops"))
    assert [(row.depth, row.minutes, row.leave_at, row.gas) for row in table.rows] == [
        (stop.depth, stop.minutes, stop.departs, str(stop.gas)) for stop in quince.stops
    ]
    assert (table.units, table.minutes_mean) == ("metric", "without travel")


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (lambda frame: frame.assign(gas="18/95"), "row 1 of the table"),
        (lambda frame: frame.assign(ends_min=float("nan")), "row 1 of the table"),
        (lambda frame: frame.assign(phase=3), "row 1 of the table"),
        (lambda frame: frame.iloc[2:], "no bottom"),
        (lambda frame: frame.iloc[:0], "no bottom"),
    ],
)
def test_frames_that_are_no_plan(quince: upline.Plan, change: Any, says: str) -> None:
    pytest.importorskip("pandas")
    assert says in str(refusal_of(read_table, change(quince.to_frame())))


@settings(max_examples=8)  # a check takes a tenth of a second and more
@given(
    st.sampled_from([(["18/45", "50", "O2"], 60), (["21/35", "50"], 54), (["32"], 33)]),
    st.integers(24, 60),
    st.integers(15, 50),
    st.integers(25, 70),
    st.integers(70, 95),
    st.sampled_from([0, 1, 2]),
)
def test_plans_of_all_kinds_satisfy_their_own_factors(
    gases: Any, depth: int, bottom_time: int, low: int, high: int, switch_time: int
) -> None:
    mixes, deepest = gases
    assume(depth <= deepest)
    plan = upline.plan(depth, bottom_time, mixes, gf=f"{low}/{high}", switch_time=switch_time)
    assume(plan.stops)
    asked = ("switch_time",) if switch_time == 2 else ()
    for form in (plan, str(plan)):
        table = read_table(form)
        assert rows_of(table) == [
            (depth, pytest.approx(leaves, abs=1 / 60), gas) for depth, leaves, gas in stops_of(plan)
        ]
        assert (table.gf, table.missing) == (f"{low}/{high}", asked)
        if not asked:
            r = upline.check(form, **at_switches(plan))
            assert r.verdict == "satisfies"

"""Records: a plan or a state written down and read back is the same, or is refused."""

from __future__ import annotations

import copy
import json
import pickle
from typing import Any

import pytest
import upline
from hypothesis import assume, given
from hypothesis import strategies as st

gas_lists = st.sampled_from(
    [
        ["air"],
        ["32"],
        ["28", "50"],
        ["21/35", "50@18"],
        ["18/45", "50", "O2"],
        [upline.Gas(oxygen=1 / 3)],
        [upline.Gas(oxygen=0.187, helium=1 / 7), ("50", 20)],
    ]
)
places = st.builds(
    upline.Environment,
    altitude=st.floats(0, 3000),
    acclimatised_to=st.one_of(st.none(), st.just("here"), st.floats(0, 3000)),
    water=st.sampled_from([None, "fresh", "sea", 1013.0]),
    vapour=st.sampled_from([0.0627, 0.0567, 0.0493]),
)


@st.composite
def plans(draw: st.DrawFn) -> upline.Plan:
    """Draw a plan; dives that cannot be dived are left out."""
    rules: dict[str, Any] = {
        "gf": draw(st.sampled_from(["40/80", "30/70", "85/85", (1 / 3, 2 / 3)])),
        "model": draw(st.sampled_from(upline.models)),
        "rounding": draw(st.sampled_from(["departure", "duration", "exact"])),
        "switch_time": draw(st.floats(0, 3)),
        "max_po2": 2.0,
        "rmv": draw(st.one_of(st.none(), st.floats(1, 30))),
    }
    depth = draw(st.floats(10, 60))
    if draw(st.booleans()):
        rules["units"] = "imperial"
        rules["rmv"] = draw(st.one_of(st.none(), st.floats(0.1, 1.5)))
        depth /= 0.3048
    else:
        rules["environment"] = draw(places)
    if draw(st.booleans()):
        rules["ascent_rate"] = [(depth / 3, draw(st.floats(6, 30))), (0, draw(st.floats(3, 30)))]
    if draw(st.booleans()):
        rules["start"] = upline.rest(
            upline.plan(30, 20, "32", **rules).end, draw(st.floats(0, 900))
        )
    time = draw(st.floats(15, 40))
    try:
        if draw(st.booleans()):
            return upline.plan([(depth, time), (depth / 2, 60)], gases=draw(gas_lists), **rules)
        return upline.plan(depth, time, draw(gas_lists), **rules)
    except upline.Error:
        assume(False)
        raise


@given(plans())
def test_a_plan_comes_back_equal(plan: upline.Plan) -> None:
    text = plan.to_json()
    again = upline.Plan.from_json(text)
    assert again == plan
    assert again.to_json() == text
    assert str(again) == str(plan)
    assert again.stops == plan.stops
    assert pickle.loads(pickle.dumps(plan)) == plan


@given(plans())
def test_the_arguments_ask_for_the_plan_again(plan: upline.Plan) -> None:
    assert upline.plan(**plan.arguments) == plan


@given(plans(), st.floats(0, 3000))
def test_a_state_comes_back_equal(plan: upline.Plan, minutes: float) -> None:
    state = upline.rest(plan.end, minutes)
    text = state.to_json()
    again = upline.State.from_json(text)
    assert again == state
    assert again.to_json() == text
    assert again.nitrogen.tobytes() == state.nitrogen.tobytes()
    assert again.helium.tobytes() == state.helium.tobytes()


def test_the_record_says_what_it_is(quince: upline.Plan) -> None:
    record = quince.to_dict()
    assert (record["schema"], record["kind"], record["units"]) == (1, "plan", "metric")
    assert record["unit_names"]["depth"] == "m"
    assert record["run_time"] == quince.run_time
    assert len(record["stops"]) == len(quince.stops)
    assert "does not make a dive safe" in record["foot"]
    assert json.loads(json.dumps(record, allow_nan=False)) == record
    assert copy.deepcopy(quince) == quince


def set_in(record: Any, path: str, value: object) -> None:
    *parents, last = [int(key) if key.isdigit() else key for key in path.split(".")]
    for key in parents:
        record = record[key]
    if value is DELETED:
        del record[last]
    else:
        record[last] = value


DELETED = object()


@pytest.mark.parametrize(
    ("path", "value", "says"),
    [
        ("stops.3.departs", 36.0, "stops 3 departs"),
        ("stops.0.gas", "50", "stops 0 gas"),
        ("stops.0.held_by", None, "held_by"),
        ("rows.2.to_depth", 26.0, "rows 2 to_depth"),
        ("run_time", 60, "run_time is 60; allowed: 69.66"),
        ("run_time", True, "run_time is True"),
        ("run_time", 10**400, "run_time"),
        ("run_time", float("nan"), "run_time is nan"),
        ("oxygen.cns", 0.1, "oxygen cns"),
        ("cautions", [], "cautions"),
        ("cautions.0.severity", "refuses", "severity"),
        ("refused", True, "refused"),
        ("refused", 0, "refused"),
        ("end.clock", 1.0, "end clock"),
        ("units", "imperial", "units"),
        ("input.bottom_time", 20, "differs|as computed"),
        ("input.gf", [0.3, 0.8], "as computed"),
        ("input.gf", DELETED, 'without "gf"'),
        ("input.depht", 57, 'write "depth"'),
        ("input.gases.0.oxygen", 0.21, "as computed"),
        ("input.gases.0", "18/45", "gases is"),
        ("input.gases", {}, "gases is"),
        ("input.environment", None, "environment is None"),
        ("input.environment.altitude", 640, "as computed"),
        ("input.start", {}, "schema is missing"),
        ("input.travel", [], "travel is"),
        ("input", DELETED, "without its input"),
        ("input", [], "input is"),
        ("schema", 2, "schema is 2; allowed: 1"),
        ("schema", True, "schema is True"),
        ("schema", DELETED, "schema is missing"),
        ("kind", "state", "kind is"),
        ("notes_of_mine", 1, "unknown key"),
    ],
)
def test_a_record_that_was_changed_is_refused(
    quince: upline.Plan, path: str, value: object, says: str
) -> None:
    record = quince.to_dict()
    set_in(record, path, value)
    with pytest.raises(upline.InvalidInput, match=says):
        upline.Plan.from_dict(record)


def test_words_and_last_digits_may_differ(quince: upline.Plan) -> None:
    record = quince.to_dict()
    record["version"] = "0.0.1"
    record["cautions"][0]["text"] = "in other words"
    record["run_time"] += 1e-11
    record["name"] = "a name"
    del record["assumptions"]
    assert upline.Plan.from_dict(record) == quince


@pytest.mark.parametrize(
    ("path", "value", "says"),
    [
        ("clock", -1, "clock"),
        ("clock", "0", "clock"),
        ("model", "ZH-L16D", "model"),
        ("model", 16, "model"),
        ("nitrogen", [0.7] * 15, "15 numbers"),
        ("nitrogen", None, "nitrogen"),
        ("helium.3", -0.1, "helium"),
        ("helium.3", float("nan"), "helium"),
        ("cns", float("inf"), "CNS"),
        ("surface_pressure", 3, "surface pressure"),
        ("exposures", [[1, 2, 3]], "exposures"),
        ("exposures", 3, "exposures"),
        ("vapour", DELETED, 'without "vapour"'),
        ("kind", "plan", "kind"),
        ("schema", "1", "schema"),
        ("pressure", 1, "unknown key"),
    ],
)
def test_a_state_that_makes_no_sense_is_refused(
    quince: upline.Plan, path: str, value: object, says: str
) -> None:
    record = quince.end.to_dict()
    set_in(record, path, value)
    with pytest.raises(upline.InvalidInput, match=says):
        upline.State.from_dict(record)


nested = st.recursive(
    st.one_of(st.none(), st.booleans(), st.floats(), st.integers(), st.text(max_size=5)),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner),
    max_leaves=8,
)


@given(st.data())
def test_any_damage_is_refused_or_harmless(data: st.DataObject) -> None:
    plan = upline.plan(30, 25, ["32"], gf="40/80")
    record = plan.to_dict()
    part: Any = record
    while isinstance(part, dict | list) and part:
        choices = list(part) if isinstance(part, dict) else list(range(len(part)))
        key = data.draw(st.sampled_from(choices))
        if not isinstance(part[key], dict | list) or not part[key] or data.draw(st.booleans()):
            part[key] = data.draw(nested)
            break
        part = part[key]
    try:
        again = upline.Plan.from_dict(record)
    except upline.Error:
        return
    assert again == plan or record["input"] != plan.to_dict()["input"]


@pytest.mark.parametrize(
    "text",
    [
        "",
        "{",
        "[]",
        "null",
        "NaN",
        '"plan"',
        "[" * 100_000,
        "9" * 10_000,
        '{"schema": 1}',
        "\ud800",
    ],
)
def test_texts_that_are_no_record(text: str) -> None:
    for read in (upline.Plan.from_json, upline.State.from_json):
        with pytest.raises(upline.InvalidInput) as caught:
            read(text)
        assert len(str(caught.value)) < 1000
    for wrong in (None, 3, b"{}"):
        with pytest.raises(upline.WrongType):
            upline.Plan.from_json(wrong)

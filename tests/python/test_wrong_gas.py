"""A wrong mouthpiece, as Python sees it. The physics is tested in tests/cpp/test_wrong_gas.cpp."""

from __future__ import annotations

import json
import math

import pytest
import upline
from hypothesis import given
from hypothesis import strategies as st


def test_the_demo_dive(quince: upline.Plan) -> None:
    found = upline.wrong_gases(quince)
    assert len(found.mistakes) == 2 * (len(quince.stops) + 3)
    worst = found.pairs[0].worst
    assert (worst.depth, str(worst.meant), str(worst.taken)) == (57.0, "18/45", "O2")
    assert worst.harm == "danger to life"
    assert worst.hazards[0] == "beyond the oxygen table"
    assert worst.po2 == pytest.approx(6.71325, abs=1e-12)


def test_what_is_printed_carries_pairs_cells_and_caution(quince: upline.Plan) -> None:
    found = upline.wrong_gases(quince)
    shown = str(found)
    for pair in found.pairs:
        assert " ".join(pair.text.split()) in " ".join(shown.split())
    assert "It does not make a dive safe" in " ".join(shown.split())
    assert len(found.table) == len(found.mistakes) + 2
    assert found.table[0][:4] == ("depth", "meant", "taken", "po2")
    assert "danger to life" in repr(found)


def test_carried_is_what_is_asked_about(quince: upline.Plan) -> None:
    found = upline.wrong_gases(quince, ["18/45", upline.Gas("10/70"), "10/70"])
    assert {str(one.taken) for one in found.mistakes} == {"18/45", "10/70"}
    at_surface = [one for one in found.mistakes if one.depth == 0 and str(one.taken) == "10/70"]
    assert [one.harm for one in at_surface] == ["danger to life"] * 2
    assert all(math.isinf(one.oxygen_minutes) for one in at_surface)


def test_one_gas_alone_cannot_be_mistaken() -> None:
    found = upline.wrong_gases(upline.plan(30, 20, ["32"], gf="40/80"))
    assert (found.mistakes, found.pairs) == ((), ())
    assert "Only one gas is carried" in str(found)
    assert "It does not make a dive safe" in " ".join(str(found).split())


def test_feet_are_feet_everywhere() -> None:
    plan = upline.plan(190, 25, ["18/45", "50", "O2"], gf="40/80", units="imperial")
    found = upline.wrong_gases(plan)
    assert found.units == "imperial"
    assert found.mistakes[2].depth == 190.0
    assert found.table[1][0] == "ft"
    assert "worst at 190 ft" in found.pairs[0].text


def test_plain_data_survives_json(quince: upline.Plan) -> None:
    data = upline.wrong_gases(quince, ["10/70"]).to_dict()
    again = json.loads(json.dumps(data, allow_nan=False))
    assert again == json.loads(json.dumps(data))
    assert (again["schema"], again["kind"]) == (1, "wrong gases")
    assert again["mistakes"][0]["oxygen_minutes"] is None
    assert again["mistakes"][0]["taken"] == "10/70"
    assert "It does not make a dive safe" in again["foot"]


def test_frame_has_units_in_its_columns(quince: upline.Plan) -> None:
    pytest.importorskip("pandas")
    found = upline.wrong_gases(quince)
    frame = found.to_frame()
    assert list(frame["depth_m"]) == [one.depth for one in found.mistakes]
    assert list(frame["taken"]) == [str(one.taken) for one in found.mistakes]
    assert frame.attrs["units"] == "metric"
    assert "It does not make a dive safe" in frame.attrs["foot"]


@pytest.mark.parametrize(
    ("arguments", "field"),
    [
        (("57 m",), "plan"),
        ((None,), "plan"),
        ((..., []), "carried"),
        ((..., "18/45"), "carried"),
        ((..., ["18/45", 3]), "carried"),
        ((..., ["air"] * 10 + [f"{p}" for p in range(22, 48)]), "carried"),
    ],
)
def test_bad_input_is_named(quince: upline.Plan, arguments: tuple, field: str) -> None:
    given_ = tuple(quince if one is ... else one for one in arguments)
    with pytest.raises(upline.InvalidInput) as caught:
        upline.wrong_gases(*given_)
    assert caught.value.field == field


@given(
    depth=st.integers(20, 66),
    carried=st.lists(st.sampled_from(["air", "32", "50", "O2", "18/45", "10/70"]), min_size=1),
)
def test_a_harm_is_that_of_its_worst_hazard(depth: int, carried: list[str]) -> None:
    plan = upline.plan(depth, 20, ["18/45", "50"], gf="40/80")
    for wrong in upline.wrong_gases(plan, carried).mistakes:
        assert wrong.meant != wrong.taken
        fatal = wrong.po2 < 0.16 - 1e-9 or wrong.po2 > 1.63 + 1e-9
        assert (wrong.harm == "danger to life") == fatal
        assert (wrong.harm == "within the limits") == (not wrong.hazards)


def test_html_has_pairs_cells_and_the_caution(quince: upline.Plan) -> None:
    found = upline.wrong_gases(quince)
    shown = found._repr_html_()
    for pair in found.pairs:
        assert pair.text in shown
    assert shown.count("<tr>") == len(found.mistakes) + 1
    assert "It does not make a dive safe" in shown
    alone = upline.wrong_gases(upline.plan(30, 20, ["32"], gf="40/80"))._repr_html_()
    assert "Only one gas is carried." in alone

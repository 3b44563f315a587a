"""Oxygen on the boat: the sum, what stays unknown, and what is refused."""

from __future__ import annotations

import json
import math

import pytest
import upline
from html_reader import Reader, squeezed
from hypothesis import given
from hypothesis import strategies as st
from upline import Cylinder

TWO = [Cylinder(20, 190, "O2", 15), Cylinder(10, 150, "O2", 15)]
CASE = {"casualties": 2, "flow": 15, "margin": 1.25}


def ask(**changed: object):
    return upline.boat_oxygen(**{**CASE, "minutes_to_treatment": 120, "cylinders": TWO, **changed})


def test_the_sum() -> None:
    found = ask()
    assert found.needed == 2 * 15 * 120 * 1.25
    assert found.there == pytest.approx(sum(one.content for one in TWO), rel=1e-12)
    assert found.lasts == pytest.approx(found.there / 30, rel=1e-12)
    assert found.lasts_with_margin == pytest.approx(found.there / 37.5, rel=1e-12)
    assert (found.enough, found.short_by) == ("yes", 0)
    # 15 L/min for 4 h and one casualty: 3600 L; two: 7200 L.
    hours = {"minutes_to_treatment": 240, "margin": 1}
    assert ask(casualties=1, **hours).needed == 3600
    assert ask(casualties=2, **hours).needed == 7200


@given(st.integers(1, 10), st.floats(1, 60), st.floats(1, 3), st.floats(1, 2000), st.floats(1, 300))
def test_the_litres_balance(
    casualties: int, flow: float, margin: float, minutes: float, pressure: float
) -> None:
    cylinder = Cylinder(10, pressure, "O2", 15)
    found = upline.boat_oxygen(
        casualties=casualties,
        flow=flow,
        margin=margin,
        minutes_to_treatment=minutes,
        cylinders=[cylinder],
    )
    need = casualties * flow * minutes * margin
    assert found.needed == pytest.approx(need, rel=1e-9)
    assert found.short_by == pytest.approx(max(0.0, need - cylinder.content), rel=1e-9, abs=1e-6)
    assert found.enough == ("yes" if found.short_by == 0 else "no")


@pytest.mark.parametrize(
    ("left_out", "says"),
    [
        ({"minutes_to_treatment": None}, "the minutes to treatment are not stated."),
        ({"cylinders": None}, "no cylinder of oxygen is stated."),
        ({"cylinders": []}, "no cylinder of oxygen is stated."),
        (
            {"minutes_to_treatment": None, "cylinders": None},
            "the minutes to treatment are not stated, and no cylinder of oxygen is stated.",
        ),
    ],
)
def test_unknown_never_becomes_enough(left_out: dict[str, object], says: str) -> None:
    found = ask(**left_out)
    assert found.enough == "unknown"
    assert found.short_by is None
    assert says in found.verdict
    assert "Enough" not in found.text
    assert "unknown" in found.text
    assert repr(found) == "<upline.BoatOxygen enough: unknown>"


def test_what_is_printed_and_kept() -> None:
    for found in (ask(), ask(minutes_to_treatment=400), ask(cylinders=None)):
        words = squeezed(found.text)
        assert "first aid, not treatment" in words
        assert "must not be counted here a second time" in words
        assert "It does not make a dive safe" in words
        data = json.loads(json.dumps(found.to_dict(), allow_nan=False))
        assert (data["schema"], data["kind"]) == (1, "boat_oxygen")
        assert data["enough"] == found.enough
        assert len(data["cylinders"]) == len(found.cylinders)
        assert "first aid" in data["first_aid"]
        assert "does not make a dive safe" in data["foot"]
        page = Reader(found._repr_html_())
        html = squeezed(page.words)
        assert found.verdict in html
        assert page.caption == "Oxygen on the boat"
        shown = [[text for _, _, text in row] for row in page.rows]
        assert shown[1:] == [list(line) for line in found.table[2:]]
        assert "does not make a dive safe" in html
        assert "first aid, not treatment" in html
    short = ask(minutes_to_treatment=400)
    assert short.enough == "no"
    assert f"{math.ceil(short.short_by)} L are missing" in squeezed(short.text)


def test_imperial() -> None:
    cubic_feet = 28.316846592
    tank = Cylinder(0.4, 2500, "O2", 60, units="imperial")
    found = upline.boat_oxygen(
        casualties=1,
        flow=15 / cubic_feet,
        margin=1.5,
        minutes_to_treatment=60,
        cylinders=[tank],
        units="imperial",
    )
    assert found.needed == pytest.approx(15 * 60 * 1.5 / cubic_feet)
    assert found.there == pytest.approx(tank.content)
    assert "cu ft" in found.text
    with pytest.raises(upline.InvalidInput, match="cylinders is stated with"):
        ask(cylinders=[tank])


def test_nothing_that_decides_has_a_default() -> None:
    for left_out in CASE:
        arguments = {name: value for name, value in CASE.items() if name != left_out}
        with pytest.raises(upline.WrongType, match=left_out):
            upline.boat_oxygen(**arguments)


@pytest.mark.parametrize(
    ("changed", "says"),
    [
        ({"casualties": 0}, "casualties is 0; allowed: a whole number, 1 to 50"),
        ({"casualties": 1.5}, "casualties is 1.5"),
        ({"casualties": math.nan}, "casualties is not a number"),
        ({"flow": 0.5}, "flow is 0.5 L/min"),
        ({"flow": math.inf}, "flow is infinite"),
        ({"margin": 0.9}, "margin is 0.9; allowed: 1 to 5"),
        ({"minutes_to_treatment": 0}, "minutes_to_treatment is 0 min"),
        ({"cylinders": [Cylinder(7, 180, "50", 15)]}, "cylinders is given with one of 50 %"),
        ({"cylinders": [*TWO, Cylinder(7, 180, "18/45", 15)]}, "given with one of 18/45"),
        ({"units": "us"}, "units is"),
    ],
)
def test_what_is_refused(changed: dict[str, object], says: str) -> None:
    with pytest.raises(upline.InvalidInput) as caught:
        ask(**changed)
    assert says in str(caught.value)


@pytest.mark.parametrize("name", ["casualties", "flow", "margin", "minutes_to_treatment"])
def test_a_text_is_no_number(name: str) -> None:
    for value in ("2", [2], True):
        with pytest.raises(upline.WrongType, match=name):
            ask(**{name: value})
    with pytest.raises(upline.WrongType, match="cylinders"):
        ask(cylinders=["O2"])

"""What a trip takes as Python sees it; the sums are tested in tests/cpp/test_trip_demand.cpp."""

from __future__ import annotations

import json

import pytest
import upline
from html_reader import Reader, squeezed
from hypothesis import given
from hypothesis import strategies as st

USES = [("O2", 500, 3, 2), ("He", 1000, 3, 1)]


@given(st.floats(1, 2000), st.integers(1, 6), st.integers(1, 3), st.floats(0, 1e5))
def test_the_day_is_the_first_that_is_not_covered(
    volume: float, divers: int, dives: int, at_hand: float
) -> None:
    one = upline.trip_demand([("32", volume, divers, dives)], [("32", at_hand)], 6).gases[0]
    days = [day for day in range(1, 7) if day * divers * dives * volume > at_hand * (1 + 1e-12)]
    assert one.needed == pytest.approx(6 * one.a_day)
    if days:
        assert one.short_on == days[0]
    else:
        assert one.short_by == pytest.approx(0.0, abs=1e-6)


def test_banks_hold_real_gas() -> None:
    found = upline.trip_demand(
        [("32", 500, 3, 2)], [("32", [(50, 200), (50, 40)])], 6, down_to=60, temperature=15
    )
    bank = upline.Cylinder(50, 200, "32", 15)
    assert found.gases[0].at_hand == pytest.approx(bank.content - bank.content_at(60), rel=1e-9)


def test_a_gas_that_is_not_stated_is_unknown() -> None:
    found = upline.trip_demand(USES, [("O2", 1e5)], 6)
    assert found.suffices == "cannot tell"
    assert found.gases[1].at_hand is None
    assert "not stated for helium" in found.verdict
    assert upline.trip_demand(USES, [("O2", 100)], 6).suffices == "no"
    assert upline.trip_demand(USES, [("O2", 1e5), ("He", 1e5)], 6).suffices == "yes"


def test_text_frame_data_and_page() -> None:
    found = upline.trip_demand(USES, [("O2", 9000), ("He", 1e5)], 6)
    shown = " ".join(str(found).split())
    assert "runs short of oxygen on day 4" in shown
    assert "It does not make a dive safe" in shown
    data = json.loads(json.dumps(found.to_dict(), allow_nan=False))
    assert data["gases"][0]["short_on"] == 4
    page = Reader(found._repr_html_())
    cells = [[squeezed(text) for _, _, text in row] for row in page.rows]
    assert cells[1:] == [[squeezed(cell) for cell in line] for line in found.table[2:]]
    feet = upline.trip_demand([("O2", 18, 3, 2)], [("O2", 300)], 6, units="imperial")
    assert feet.table[1][1] == "cu ft"
    assert feet.gases[0].a_day == 108
    pytest.importorskip("pandas")
    assert list(found.to_frame()["needed_l"]) == [18000, 18000]


@pytest.mark.parametrize(
    ("arguments", "keywords", "field"),
    [
        (([], [], 6), {}, "uses"),
        (("O2", [], 6), {}, "uses"),
        (([("O2", 500, 3)], [], 6), {}, "uses"),
        (([("O2", -1, 3, 1)], [], 6), {}, "volume"),
        (([("O2", 500, 0, 1)], [], 6), {}, "divers"),
        (([("O2", 500, 2.5, 1)], [], 6), {}, "divers"),
        (([("O2", 500, 3, float("nan"))], [], 6), {}, "dives"),
        ((USES, [("O2", -5)], 6), {}, "stock"),
        ((USES, [("O2", 5), ("O2", 6)], 6), {}, "stock"),
        ((USES, ["O2"], 6), {}, "stock"),
        ((USES, [("O2", [(50, 200)])], 6), {}, "down_to"),
        ((USES, [("O2", [(50, 200)])], 6), {"down_to": 60}, "temperature"),
        ((USES, [("O2", [50])], 6), {"down_to": 60, "temperature": 15}, "banks"),
        ((USES, [("O2", 5)], 0), {}, "days"),
        ((USES, [("O2", 5)], 1.5), {}, "days"),
        ((USES, [("O2", 5)], 1e300), {}, "days"),
    ],
)
def test_bad_input_is_named(arguments: tuple, keywords: dict, field: str) -> None:
    with pytest.raises(upline.InvalidInput) as caught:
        upline.trip_demand(*arguments, **keywords)
    assert caught.value.field == field

"""Fills from banks as Python sees them; the flow is tested in tests/cpp/test_cascade.cpp."""

from __future__ import annotations

import json

import pytest
import upline
from html_reader import Reader, squeezed
from hypothesis import given, settings
from hypothesis import strategies as st

CYLINDER = upline.Cylinder(12, 40, "32", 20)
BANKS = [(50, 140), (50, 230)]  # at Skerry Point (invented)


@settings(max_examples=25)
@given(
    st.lists(st.floats(0.0, 250.0), min_size=1, max_size=4),
    st.floats(0.0, 90.0),
    st.floats(100.0, 200.0),
)
def test_what_the_banks_lose_the_cylinders_have(
    reads: list[float], left: float, pressure: float
) -> None:
    banks = [upline.Cylinder(40, one, "32", 15) for one in reads]
    cylinder = upline.Cylinder(12, left, "32", 15)
    found = upline.cascade("32", [(40, one) for one in reads], cylinder, pressure)
    had = sum(bank.amount for bank in banks)
    have = sum(
        bank.at_pressure(max(0.0, one)).amount
        for bank, one in zip(banks, found.fills[-1].banks, strict=True)
    )
    gained = sum(cylinder.at_pressure(fill.reached).amount for fill in found.fills)
    gained -= len(found.fills) * cylinder.amount
    assert had - have == pytest.approx(gained, rel=1e-9, abs=1e-9)
    assert [fill.full for fill in found.fills].count(True) == found.full
    assert all(fill.reached <= pressure + 1e-9 for fill in found.fills)


def test_text_frame_data_and_page() -> None:
    found = upline.cascade("32", BANKS, CYLINDER, 180)
    shown = " ".join(str(found).split())
    assert f"The banks give {found.full} fills" in shown
    assert "Analyse every fill before it is labelled" in shown
    assert "It does not make a dive safe" in shown
    data = json.loads(json.dumps(found.to_dict(), allow_nan=False))
    assert len(data["fills"]) == found.full + 1
    page = Reader(found._repr_html_())
    assert page.caption == found.title
    cells = [[squeezed(text) for _, _, text in row] for row in page.rows]
    assert cells[1:] == [[squeezed(cell) for cell in line] for line in found.table[2:]]
    pytest.importorskip("pandas")
    frame = found.to_frame()
    assert list(frame["bank_2_bar"]) == [fill.banks[1] for fill in found.fills]


def test_helium_is_decanted() -> None:
    found = upline.cascade("He", [(50, 200), (50, 150)], CYLINDER, 100)
    assert found.full >= 3
    assert found.fills[0].helium > 0.5
    assert "banks of helium" in found.title


def test_psi_is_psi() -> None:
    cylinder = upline.Cylinder(0.4, 500, "32", 68, units="imperial")
    found = upline.cascade("32", [(1.7, 3000)], cylinder, 2400)
    assert found.fills[0].reached == 2400
    assert found.table[1][1] == "psi"


@pytest.mark.parametrize(
    ("arguments", "field"),
    [
        (("32", [], CYLINDER, 180), "banks"),
        (("32", (50, 140), CYLINDER, 180), "banks"),
        (("32", [30], CYLINDER, 180), "banks"),
        (("32", [(50, 140, 2)], CYLINDER, 180), "banks"),
        (("32", [(50, -140)], CYLINDER, 180), "bank pressure"),
        (("32", [(9000, 140)], CYLINDER, 180), "banks"),
        (("He 5", BANKS, CYLINDER, 180), "gas"),
        ((32, BANKS, CYLINDER, 180), "gas"),
        (("32", BANKS, "32", 180), "cylinder"),
        (("32", BANKS, CYLINDER, 30), "pressure"),
        (("32", BANKS, CYLINDER, "180 bar"), "pressure"),
    ],
)
def test_bad_input_is_named(arguments: tuple, field: str) -> None:
    with pytest.raises(upline.InvalidInput) as caught:
        upline.cascade(*arguments)
    assert caught.value.field == field

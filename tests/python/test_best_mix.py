"""The best mix as Python sees it; the bounds are tested in tests/cpp/test_best_mix.cpp."""

from __future__ import annotations

import json

import pytest
import upline
from html_reader import Reader, squeezed
from hypothesis import given
from hypothesis import strategies as st


@given(st.floats(5.0, 120.0), st.floats(1.0, 1.6), st.floats(15.0, 45.0), st.booleans())
def test_the_mix_keeps_what_was_stated(
    depth: float, po2: float, narcotic: float, counted: bool
) -> None:
    found = upline.best_mix(
        depth, max_po2=po2, narcotic_depth=narcotic, oxygen_narcotic=counted, max_density=5.7
    )
    assert found.mix is not None
    assert found.exact is not None
    for gas in (found.mix, found.exact):
        assert gas.po2(depth) <= po2 + 1e-9
        assert gas.end(depth, counted) <= narcotic + 1e-7
        assert gas.density(depth) <= 5.7 + 1e-7
    assert found.mix.oxygen <= found.exact.oxygen + 1e-9
    assert round(found.mix.oxygen * 100, 9) % 1 == 0


def test_the_two_conventions_and_the_change_to_the_next_gas() -> None:
    counted = upline.best_mix(
        57, max_po2=1.4, narcotic_depth=30, oxygen_narcotic=True, next_gas="50"
    )
    alone = upline.best_mix(57, max_po2=1.4, narcotic_depth=30, oxygen_narcotic=False)
    assert (str(counted.mix), str(alone.mix)) == ("20/41", "20/33")
    assert counted.within_one_fifth is False
    assert counted.nitrogen_rise == pytest.approx(0.11)
    assert counted.helium_fall == pytest.approx(0.41)
    assert alone.nitrogen_rise is None


def test_hypoxic_at_the_surface() -> None:
    found = upline.best_mix(90, max_po2=1.4)
    assert str(found.mix) == "13"
    assert found.shallowest == pytest.approx((0.18 / 0.13 - 1.01325) * 10)
    assert "not to be breathed above 3.8 m" in " ".join(found.notes)


def test_no_mix() -> None:
    found = upline.best_mix(300, max_po2=1.4, max_density=5.2)
    assert found.mix is None
    assert found.oxygen_by == "density"
    assert "No mix keeps these limits" in str(found)
    assert json.loads(json.dumps(found.to_dict(), allow_nan=False))["mix"] is None


def test_text_frame_data_and_page() -> None:
    found = upline.best_mix(
        190, max_po2=1.4, narcotic_depth=100, oxygen_narcotic=True, max_density=5.2,
        units="imperial",
    )  # fmt: skip
    shown = " ".join(str(found).split())
    assert "up to 100 ft" in shown
    assert "It does not make a dive safe" in shown
    data = json.loads(json.dumps(found.to_dict(), allow_nan=False))
    assert data["helium_by"] == found.helium_by
    page = Reader(found._repr_html_())
    assert page.caption == found.title
    cells = [[squeezed(text) for _, _, text in row] for row in page.rows]
    assert cells == [[squeezed(cell) for cell in line] for line in found.table]
    pytest.importorskip("pandas")
    assert list(found.to_frame()["mix"]) == [str(found.mix)]
    assert "shallowest_ft" in found.to_frame()


@pytest.mark.parametrize(
    ("depth", "keywords", "field"),
    [
        (0, {"max_po2": 1.4}, "depth"),
        ("57 m", {"max_po2": 1.4}, "depth"),
        (57, {"max_po2": 14}, "max_po2"),
        (57, {"max_po2": None}, "max_po2"),
        (57, {"max_po2": 1.4, "narcotic_depth": 30}, "oxygen_narcotic"),
        (57, {"max_po2": 1.4, "oxygen_narcotic": True}, "oxygen_narcotic"),
        (57, {"max_po2": 1.4, "narcotic_depth": 30, "oxygen_narcotic": 1}, "oxygen_narcotic"),
        (57, {"max_po2": 1.4, "max_density": -1}, "max_density"),
        (57, {"max_po2": 1.4, "density_temperature": 500}, "density_temperature"),
        (57, {"max_po2": 1.4, "min_po2": 2}, "min_po2"),
        (57, {"max_po2": 1.4, "next_gas": 50}, "next_gas"),
        (57, {"max_po2": 1.4, "units": "feet and inches"}, "units"),
    ],
)
def test_bad_input_is_named(depth: object, keywords: dict, field: str) -> None:
    with pytest.raises(upline.InvalidInput) as caught:
        upline.best_mix(depth, **keywords)  # type: ignore[arg-type]
    assert caught.value.field == field

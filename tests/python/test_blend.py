"""Fills as Python sees them; the balance is tested in tests/cpp/test_blend.cpp."""

from __future__ import annotations

import json
from typing import Any

import pytest
import upline
from html_reader import Reader, squeezed
from hypothesis import assume, given
from hypothesis import strategies as st

EMPTY = upline.Cylinder(12, 0, "air", 20, joined=2)  # of the station at Skerry Point (invented)
TRIMIX = ["He", "O2", "air"]


def held(gas: upline.Gas, moles: float) -> tuple[float, float, float]:
    return gas.oxygen * moles, gas.helium * moles, moles


def analysed(cylinder: upline.Cylinder, sheet: Any) -> tuple[float, float]:
    """Return the mix that the additions of a sheet make."""
    start = upline.Cylinder(
        cylinder.water_volume, sheet.start, cylinder.gas, cylinder.temperature,
        joined=cylinder.joined, units=cylinder.units,
    )  # fmt: skip
    oxygen, helium, moles = held(start.gas, start.amount)
    for one in sheet.additions:
        oxygen += one.oxygen * one.moles
        helium += one.helium * one.moles
        moles += one.moles
    return oxygen / moles, helium / moles


mixes = st.tuples(st.floats(0.05, 1.0), st.floats(0.0, 1.0)).map(
    lambda pair: upline.Gas(oxygen=pair[0], helium=pair[1] * (1.0 - pair[0]))
)
cylinders = st.builds(
    upline.Cylinder,
    st.floats(1.0, 20.0),
    st.floats(0.0, 150.0),
    mixes,
    st.floats(0.0, 45.0),
    joined=st.sampled_from([1, 2]),
)
tops = st.sampled_from(["air", "32", "36", "21/35", "18/45"])


@given(cylinders, mixes, st.floats(10.0, 300.0), tops, st.permutations([0, 1, 2]))
def test_a_fill_conserves_moles_and_makes_its_mix(
    cylinder: upline.Cylinder, target: upline.Gas, pressure: float, top: str, order: list[int]
) -> None:
    gases = [["He", "O2", top][j] for j in order]
    found = upline.blend(cylinder, target, pressure, gases)
    assert found.reachable == (found.sheet is not None) == (not found.obstacles)
    sheets = [(found.sheet, True)] if found.sheet else []
    sheets += [(one.sheet, one.kind != "nearest_mix") for one in found.alternatives]
    for sheet, exact in sheets:
        added = sum(one.moles for one in sheet.additions)
        assert sheet.residual_moles + added == pytest.approx(sheet.moles, rel=1e-12)
        oxygen, helium = analysed(cylinder, sheet)
        assert oxygen == pytest.approx(sheet.oxygen, abs=1e-9)
        assert helium == pytest.approx(sheet.helium, abs=1e-9)
        if exact:
            assert sheet.oxygen == pytest.approx(target.oxygen, abs=1e-9)
            assert sheet.helium == pytest.approx(target.helium, abs=1e-9)
            # The cylinder analysed: what it holds of the target at the pressure.
            full = upline.Cylinder(
                cylinder.water_volume, sheet.pressure, target, cylinder.temperature,
                joined=cylinder.joined,
            )  # fmt: skip
            assert sheet.moles == pytest.approx(full.amount, rel=1e-9)
            if sheet.additions:
                assert sheet.additions[-1].to_pressure == pytest.approx(pressure, rel=1e-9)


@given(mixes, st.floats(60.0, 300.0), st.permutations(TRIMIX))
def test_the_order_does_not_move_the_amounts(
    target: upline.Gas, pressure: float, gases: list[str]
) -> None:
    first = upline.blend(EMPTY, target, pressure, TRIMIX)
    other = upline.blend(EMPTY, target, pressure, gases)
    assume(first.sheet is not None)
    assert first.sheet is not None
    assert other.sheet is not None
    amounts = {one.gas: one.moles for one in first.sheet.additions}
    assert {one.gas for one in other.sheet.additions} == set(amounts)
    for one in other.sheet.additions:
        assert one.moles == pytest.approx(amounts[one.gas], abs=1e-12 * first.sheet.moles)


def test_half_oxygen_by_the_ideal_law_ends_about_a_point_high() -> None:
    sheet = upline.blend(EMPTY, "50", 200, ["O2", "air"]).sheet
    assert sheet is not None
    assert sheet.ideal_oxygen is not None
    assert 0.505 < sheet.ideal_oxygen < 0.515
    assert "51.2 % oxygen" in " ".join(sheet.notes)


def test_an_inlet_mixes_and_has_a_limit() -> None:
    left = EMPTY.at_pressure(50)
    found = upline.blend(left, "32", 200, ["O2", "air"], inlet_limit=0.4)
    assert found.sheet is not None
    assert found.sheet.inlet is not None
    assert sum(found.sheet.inlet) == pytest.approx(1.0, abs=1e-12)
    assert found.sheet.additions[0].oxygen == pytest.approx(0.359, abs=1e-3)
    beyond = upline.blend(left, "32", 200, ["O2", "air"], inlet_limit=0.35)
    assert [one.code for one in beyond.obstacles] == ["inlet_limit"]
    assert beyond.obstacles[0].limit == 0.35
    assert beyond.alternatives[-1].kind == "nearest_mix"


@pytest.mark.parametrize(
    ("cylinder", "target", "pressure", "gases", "code", "kind"),
    [
        (upline.Cylinder(12, 150, "50", 20), "32", 200, ["O2", "air"], "residual_holds_too_much",
         "bleed"),
        (upline.Cylinder(12, 60, "18/45", 20), "32", 200, ["O2", "air"], "residual_holds_too_much",
         "nearest_mix"),
        (upline.Cylinder(12, 200, "32", 20), "32", 180, ["O2", "air"], "residual_too_full",
         "bleed"),
        (EMPTY, "28", 200, ["32"], "station_holds_too_much", "nearest_mix"),
        (EMPTY, "18/45", 200, ["O2", "air"], "station_lacks", "nearest_mix"),
        (EMPTY, "80", 200, [("O2", 100), "air"], "bank_pressure", "lower_pressure"),
        (EMPTY, "50", 200, [("air", 230), ("O2", 100)], "bank_pressure", "other_order"),
    ],
)  # fmt: skip
def test_what_is_not_reached_is_answered(
    cylinder: upline.Cylinder, target: str, pressure: float, gases: list, code: str, kind: str
) -> None:
    found = upline.blend(cylinder, target, pressure, gases)
    assert not found.reachable
    assert code in [one.code for one in found.obstacles]
    assert kind in [one.kind for one in found.alternatives]
    shown = " ".join(found.text.split())
    assert all(one.text in shown for one in (*found.obstacles, *found.alternatives))
    assert "cannot be filled so" in shown


def test_psi_and_fahrenheit() -> None:
    left = upline.Cylinder(
        rated=(77.4, 3000), rating="real", pressure=425, gas="32", temperature=68, units="imperial"
    )
    found = upline.blend(left, "34", 3200, ["O2", "air"], filling_temperature=95)
    assert found.sheet is not None
    assert found.sheet.start == 425
    assert found.sheet.additions[-1].to_pressure > 3350
    assert "3200 psi" in found.title
    assert "95 degrees F" in " ".join(found.sheet.notes)
    metric = upline.blend(
        upline.Cylinder(left.water_volume * 28.316846592, 425 * 0.0689475729316836, "32", 20),
        "34", 3200 * 0.0689475729316836, ["O2", "air"], filling_temperature=35,
    )  # fmt: skip
    assert metric.sheet is not None
    assert metric.sheet.moles == pytest.approx(found.sheet.moles, rel=1e-12)


def test_text_frame_data_and_page() -> None:
    found = upline.blend(EMPTY, "18/45", 232, ["He", ("O2", 150), "air"], tolerance=0.01)
    shown = " ".join(str(found).split())
    assert upline._core.blending_caution in shown
    assert "It does not make a dive safe" in shown
    assert "17.0 to 19.0 % oxygen" in shown
    data = json.loads(json.dumps(found.to_dict(), allow_nan=False))
    assert data["kind"] == "blend"
    assert data["caution"] == upline._core.blending_caution
    assert [one["gas"] for one in data["sheet"]["additions"]] == ["helium", "oxygen", "air"]
    page = Reader(found._repr_html_())
    assert squeezed(upline._core.blending_caution) in squeezed(page.after_table)
    assert found.sheet is not None
    for line in found.sheet.table[2:]:
        assert [squeezed(text) for _, _, text in page.rows[1 + found.sheet.table[2:].index(line)]]
    pytest.importorskip("pandas")
    frame = found.to_frame()
    assert list(frame["fill"]) == ["asked"] * 3
    assert list(frame["to_bar"]) == [one.to_pressure for one in found.sheet.additions]
    assert frame.attrs["caution"] == upline._core.blending_caution


def test_a_page_of_what_cannot_be_filled() -> None:
    page = upline.blend(upline.Cylinder(12, 150, "50", 20), "32", 200, ["O2", "air"])._repr_html_()
    assert "cannot be filled so" in page
    assert page.count("<table>") == 2
    assert "Let out gas until the gauge reads" in page


@pytest.mark.parametrize(
    ("arguments", "keywords", "field"),
    [
        (("12 L", "32", 200, ["O2", "air"]), {}, "cylinder"),
        ((EMPTY, "32", -5, ["O2", "air"]), {}, "pressure"),
        ((EMPTY, "32", float("nan"), ["O2", "air"]), {}, "pressure"),
        ((EMPTY, 32, 200, ["O2", "air"]), {}, "target"),
        ((EMPTY, "180/45", 200, ["O2", "air"]), {}, "gas"),
        ((EMPTY, "32", 200, "O2"), {}, "gases"),
        ((EMPTY, "32", 200, []), {}, "gases"),
        ((EMPTY, "32", 200, ["air", "air"]), {}, "gases"),
        ((EMPTY, "32", 200, ["air", "32", "O2"]), {}, "gases"),
        ((EMPTY, "32", 200, [("O2", 150, 2), "air"]), {}, "gases"),
        ((EMPTY, "32", 200, [("O2", -1), "air"]), {}, "bank pressure"),
        ((EMPTY, "32", 200, ["O2", "air"]), {"inlet_limit": 40}, "inlet_limit"),
        ((EMPTY, "32", 200, ["32", "O2"]), {"inlet_limit": 0.4}, "gases"),
        ((EMPTY, "32", 200, ["O2", "air"]), {"tolerance": 1}, "tolerance"),
        ((EMPTY, "32", 200, ["O2", "air"]), {"filling_temperature": 400}, "filling_temperature"),
    ],
)
def test_bad_input_is_named(arguments: tuple, keywords: dict, field: str) -> None:
    with pytest.raises(upline.InvalidInput) as caught:
        upline.blend(*arguments, **keywords)
    assert caught.value.field == field

"""Mixes: the ways to write them, and what they do at a depth."""

from __future__ import annotations

import pickle

import pytest
import upline
from hypothesis import given
from hypothesis import strategies as st
from upline import Gas


@pytest.mark.parametrize(
    ("text", "oxygen", "helium", "shortest"),
    [
        ("air", 0.21, 0.0, "air"),
        ("AIR", 0.21, 0.0, "air"),
        ("21", 0.21, 0.0, "air"),
        ("32", 0.32, 0.0, "32"),
        (" 32 % ", 0.32, 0.0, "32"),
        ("EAN50", 0.50, 0.0, "50"),
        ("Nitrox 32", 0.32, 0.0, "32"),
        ("Tx18/45", 0.18, 0.45, "18/45"),
        ("TX 18/45", 0.18, 0.45, "18/45"),
        ("trimix 18/45", 0.18, 0.45, "18/45"),
        ("18/45", 0.18, 0.45, "18/45"),
        ("18.5 / 45", 0.185, 0.45, "18.5/45"),
        ("O2", 1.0, 0.0, "O2"),
        ("100", 1.0, 0.0, "O2"),
        ("oxygen", 1.0, 0.0, "O2"),
        ("10/90", 0.10, 0.90, "10/90"),
    ],
)
def test_texts_that_are_read(text: str, oxygen: float, helium: float, shortest: str) -> None:
    gas = Gas(text)
    assert (gas.oxygen, gas.helium) == (oxygen, helium)
    assert gas.nitrogen == pytest.approx(1 - oxygen - helium)
    assert str(gas) == shortest
    assert repr(gas) == f"Gas('{shortest}')"


@pytest.mark.parametrize(
    "text",
    ["", "1", "3.9", "101", "18/45/2", "60/60", "abc", "18/", "/45", "-32", "0x20", "3e1", "18-45",
     "nan", "inf", "nitrox", "nitrox 18/45", "trimix 32", "3 2", "32\0", "\ud800", "50@21",
     "x" * 100_000],
)  # fmt: skip
def test_texts_that_are_not(text: str) -> None:
    with pytest.raises(upline.InvalidInput) as caught:
        Gas(text)
    assert len(str(caught.value)) < 400
    assert caught.value.field.startswith("gas")


def test_a_number_is_asked_to_be_written_in_per_cent() -> None:
    with pytest.raises(
        upline.WrongType, match=r"put quotes around it, or write Gas\(oxygen=0.32\)"
    ):
        Gas(32)
    with pytest.raises(upline.InvalidInput, match="given a text and fractions"):
        Gas("32", oxygen=0.32)
    with pytest.raises(upline.InvalidInput, match="missing"):
        Gas(helium=0.5)
    with pytest.raises(upline.InvalidInput, match="the unknown keyword"):
        Gas(nitrogen=0.5)
    with pytest.raises(upline.InvalidInput, match="2 arguments by position"):
        Gas("32", "45")


@given(st.floats(0.04, 1), st.floats(0, 1))
def test_text_reads_back_as_the_same_gas(oxygen: float, share: float) -> None:
    gas = Gas(oxygen=oxygen, helium=share * (1 - oxygen))
    again = Gas(str(gas))
    assert again.oxygen == pytest.approx(gas.oxygen, abs=1e-15)
    assert again.helium == pytest.approx(gas.helium, abs=1e-15)
    assert pickle.loads(pickle.dumps(gas)) == gas


def test_equal_by_fractions_and_hashable() -> None:
    assert Gas("18/45") == Gas(oxygen=0.18, helium=0.45)
    assert hash(Gas("18/45")) == hash(Gas(oxygen=0.18, helium=0.45))
    assert Gas("18/45") != Gas("18/44")
    assert Gas("32") != "32"
    assert len({Gas("32"), Gas("EAN32"), Gas("36")}) == 2


def test_depths_of_a_mix_agree_with_its_oxygen_pressure() -> None:
    gas = Gas("32")
    assert gas.po2(gas.mod(1.4)) == pytest.approx(1.4)
    lean = Gas("10/50")
    assert lean.po2(lean.min_depth()) == pytest.approx(0.18)
    assert gas.min_depth() == 0
    with pytest.raises(upline.InvalidInput, match="po2 is 0 bar"):
        gas.mod(0)


@given(st.floats(0, 100))
def test_equivalent_depths(depth: float) -> None:
    trimix, air = Gas("18/45"), Gas("air")
    assert air.end(depth) == pytest.approx(depth, abs=1e-9)
    assert air.ead(depth) == pytest.approx(depth, abs=1e-9)
    assert trimix.end(depth, oxygen_narcotic=False) == trimix.ead(depth)
    assert trimix.end(depth) > trimix.end(depth, oxygen_narcotic=False)


def test_density_names_its_temperature() -> None:
    gas = Gas("18/45")
    assert gas.density(57, temperature=20) == pytest.approx(gas.density(57) * 273.15 / 293.15)
    with pytest.raises(upline.InvalidInput, match="temperature is 1000"):
        gas.density(57, 1000)


def test_depths_at_a_place_and_in_feet() -> None:
    quarry = upline.Environment(altitude=640, water="fresh")
    gas = Gas("32")
    assert gas.mod(1.4, quarry) > gas.mod(1.4)
    assert gas.mod(1.4, units="imperial") * 0.3048 == pytest.approx(gas.mod(1.4))
    assert gas.density(100, units="imperial") == pytest.approx(gas.density(30.48))
    with pytest.raises(upline.InvalidInput, match="environment is stated with units"):
        gas.mod(1.4, quarry, "imperial")
    with pytest.raises(upline.InvalidInput, match="depth is 400 m"):
        gas.end(400)
    with pytest.raises(upline.WrongType, match="oxygen_narcotic"):
        gas.end(30, "no")


@pytest.mark.parametrize("text", ["80/20", "55/45", "70/30", "50/50", "12.3/87.7", "10/90"])
def test_a_mix_without_nitrogen_is_written_as_it_was(text: str) -> None:
    assert str(upline.Gas(text)) == text
    assert upline.Gas(str(upline.Gas(text))) == upline.Gas(text)


def test_oxygen_and_helium_written_as_one_number() -> None:
    with pytest.raises(upline.InvalidInput, match='write "18/45" if that is meant'):
        upline.Gas("1845")


@pytest.mark.parametrize(("mix", "asks"), [("50/50", True), ("80/20", True), ("50/40", False),
                                           ("50", False), ("21/79", False)])  # fmt: skip
def test_a_mix_that_may_be_nitrox_is_asked_about(mix: str, asks: bool) -> None:
    plan = upline.plan(30, 20, ["21/35", (mix, 6)], gf="40/80")
    found = [c for c in plan.cautions if c.code == "may_be_nitrox"]
    assert bool(found) == asks
    for caution in found:
        oxygen, helium = mix.split("/")
        assert caution.severity == "caution"
        assert caution.text.startswith(
            f"{mix} is read as {oxygen} % oxygen and {helium} % helium, no nitrogen. If {oxygen} %"
        )
        assert caution.gas == upline.Gas(mix)


@pytest.mark.parametrize(
    ("rates", "code", "value", "limit"),
    [
        ({"ascent_rate": 30}, "fast_ascent", 30, 18),
        ({"ascent_rate": [(20, 9), (0, 19)]}, "fast_ascent", 19, 18),
        ({"descent_rate": 60}, "fast_descent", 60, 30),
        ({"ascent_rate": 61, "units": "imperial"}, "fast_ascent", 61, 60),
        ({"descent_rate": 101, "units": "imperial"}, "fast_descent", 101, 100),
    ],
)
def test_a_rate_that_was_meant_in_feet(rates, code, value, limit) -> None:
    depth = 190 if "units" in rates else 57
    plan = upline.plan(depth, 25, ["18/45", "50", "O2"], gf="40/80", **rates)
    caution = next(c for c in plan.cautions if c.code.startswith("fast"))
    assert (caution.code, caution.severity) == (code, "caution")
    assert (caution.value, caution.limit) == pytest.approx((value, limit))
    assert f"above {limit} {'ft' if 'units' in rates else 'm'}/min" in caution.text
    assert ("if feet were meant" in caution.text) == ("units" not in rates)


@pytest.mark.parametrize(
    "rates",
    [
        {"ascent_rate": 18, "descent_rate": 30},
        {"ascent_rate": 60, "descent_rate": 100, "units": "imperial"},
        {"surfacing_rate": 1},
    ],
)
def test_usual_rates_are_not_remarked(rates) -> None:
    depth = 190 if "units" in rates else 57
    plan = upline.plan(depth, 25, ["18/45", "50", "O2"], gf="40/80", **rates)
    assert not any(c.code.startswith("fast") for c in plan.cautions)


def test_breathing_rates_under_another_name_or_unit() -> None:
    with pytest.raises(upline.WrongType, match="write rmv"):
        upline.plan(57, 25, ["18/45"], gf="40/80", sac=20)
    with pytest.raises(upline.InvalidInput, match=r"20 L/min are 0\.71 cu ft/min"):
        upline.plan(190, 25, ["18/45"], gf="40/80", units="imperial", rmv=20)


def test_oxygen_and_helium_turned_round() -> None:
    with pytest.raises(upline.InvalidInput, match="18/45 if that is meant"):
        upline.plan(57, 25, ["45/18", "50"], gf="40/80")
    with pytest.raises(upline.InvalidInput) as caught:
        upline.plan(57, 25, ["50/40", "O2"], gf="40/80")  # 40/50 would not do
    assert "meant" not in str(caught.value)

"""Places: what may be stated, and that it is kept as stated."""

from __future__ import annotations

import pickle

import pytest
import upline
from hypothesis import given
from hypothesis import strategies as st
from upline import Environment


def test_sea_level_is_the_default() -> None:
    sea_level = Environment()
    assert sea_level.surface == 1.01325
    assert sea_level.pressure(10) == pytest.approx(2.01325)
    assert sea_level.depth(2.01325) == pytest.approx(10)
    assert (sea_level.altitude, sea_level.water, sea_level.surface_pressure) == (0, None, None)
    assert repr(sea_level) == "Environment()"
    assert Environment(altitude=0) == sea_level
    assert hash(Environment(altitude=0)) == hash(sea_level)


def test_what_was_stated_is_kept() -> None:
    quarry = Environment(altitude=640, acclimatised_to="here", water="fresh")
    assert (quarry.altitude, quarry.acclimatised_to, quarry.water) == (640, "here", "fresh")
    assert repr(quarry) == "Environment(altitude=640.0, acclimatised_to='here', water='fresh')"
    assert Environment(**quarry.arguments) == quarry
    assert Environment(water=1000) == Environment(water="fresh")
    assert Environment(water=1013.5).water == 1013.5
    assert pickle.loads(pickle.dumps(quarry)) == quarry


def test_it_is_frozen_and_hashable() -> None:
    place = Environment(altitude=640)
    with pytest.raises(AttributeError):
        place.altitude = 0
    assert len({place, Environment(altitude=640), Environment(altitude=641)}) == 2
    assert place != 640


def test_acclimatisation() -> None:
    assert Environment(altitude=299).acclimatised_pressure == Environment(altitude=299).surface
    assert Environment(altitude=640).acclimatised_pressure == 1.01325
    here = Environment(altitude=640, acclimatised_to="here")
    assert here.acclimatised_pressure == here.surface
    between = Environment(altitude=2000, acclimatised_to=1000)
    assert between.acclimatised_pressure == Environment(altitude=1000).surface


def test_just_arrived_is_a_caution_and_acclimatised_is_not() -> None:
    def codes(place: Environment) -> set[str]:
        return {c.code for c in upline.plan(30, 20, "32", gf="40/80", environment=place).cautions}

    assert "just_arrived" in codes(Environment(altitude=640))
    assert "just_arrived" not in codes(Environment(altitude=640, acclimatised_to="here"))
    assert "just_arrived" not in codes(Environment(altitude=640, acclimatised_to=0))


def test_feet() -> None:
    place = Environment(altitude=2100, units="imperial")
    assert place.altitude == 2100
    assert place.surface == pytest.approx(Environment(altitude=640.08).surface)
    assert place.pressure(100) == pytest.approx(place.surface + 3.048)
    assert place.depth(place.pressure(100)) == 100
    assert Environment(**place.arguments) == place
    assert place != Environment(altitude=2100)
    # Where no length is stated, either system will do.
    low = Environment(surface_pressure=0.9)
    assert low == Environment(surface_pressure=0.9, units="imperial")
    assert upline.plan(60, 20, "32", gf="40/80", units="imperial", environment=low)


@given(st.floats(-500, 6000), st.sampled_from(["metric", "imperial"]))
def test_an_altitude_comes_back_as_it_was_given(altitude: float, units: str) -> None:
    place = Environment(altitude=altitude, units=units)
    again = Environment(**place.arguments)
    assert again == place
    assert again.surface == place.surface


@pytest.mark.parametrize(
    ("stated", "field"),
    [
        ({"altitude": 6001}, "altitude"),
        ({"altitude": -501}, "altitude"),
        ({"altitude": float("nan")}, "altitude"),
        ({"altitude": 6001, "units": "metric"}, "altitude"),
        ({"surface_pressure": 0.39}, "surface_pressure"),
        ({"surface_pressure": 1.3}, "surface_pressure"),
        ({"altitude": 0, "surface_pressure": 1.0}, "surface_pressure"),
        ({"acclimatised_to": 9000}, "acclimatised_to"),
        ({"acclimatised_to": "there"}, "acclimatised_to"),
        ({"water": "salt"}, "water"),
        ({"water": 1}, "water"),
        ({"vapour": 0.2}, "vapour"),
        ({"units": "feet"}, "units"),
    ],
)
def test_what_cannot_be_meant_is_refused(stated: dict[str, object], field: str) -> None:
    with pytest.raises(upline.InvalidInput) as caught:
        Environment(**stated)
    assert caught.value.field == field


def test_an_unknown_argument_is_named() -> None:
    with pytest.raises(upline.WrongType, match=r'"altitud".*altitude, acclimatised_to'):
        Environment(altitud=640)
    with pytest.raises(upline.WrongType, match="by position"):
        Environment(640)

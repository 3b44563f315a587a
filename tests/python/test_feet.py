"""Feet on every entry and every output: the same dive said in both systems, compared exactly.

A foot is 0.3048 m and a cubic foot 28.316846592 litres, both exactly (International Yard and Pound
Agreement, 1959).
"""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import upline
from upline._cli import main

FOOT = 0.3048  # [m]
CUBIC_FOOT = 28.316846592  # [L]
PLACE = {"altitude": 2100, "acclimatised_to": 1000}  # [ft]
LENGTHS = ("depth", "spacing", "last_stop", "descent_rate", "surfacing_rate")
DIVE: dict[str, Any] = {
    "depth": 190, "bottom_time": 25, "gases": ["18/45", ("50", 70), "O2"], "gf": "40/80",
    "spacing": 10, "last_stop": 20, "descent_rate": 60, "ascent_rate": [(70, 30), (0, 20)],
    "surfacing_rate": 10, "travel": ("50", 60), "rmv": 0.75, "deco_rmv": 0.6,
}  # fmt: skip


def in_feet(**changes: Any) -> upline.Plan:
    place = upline.Environment(**PLACE, water="fresh", units="imperial")
    return upline.plan(**{**DIVE, **changes}, environment=place, units="imperial")


def in_metres(**changes: Any) -> upline.Plan:
    """Plan the same dive in metres."""
    dive = {**DIVE, **changes}
    for name in LENGTHS:
        dive[name] *= FOOT
    if "ladder" in dive:
        dive["ladder"] = [rung * FOOT for rung in dive["ladder"]]
    dive["gases"] = [(g[0], g[1] * FOOT) if isinstance(g, tuple) else g for g in dive["gases"]]
    dive["ascent_rate"] = [(depth * FOOT, rate * FOOT) for depth, rate in dive["ascent_rate"]]
    dive["travel"] = (dive["travel"][0], dive["travel"][1] * FOOT)
    for name in ("rmv", "deco_rmv"):
        dive[name] *= CUBIC_FOOT
    place = upline.Environment(
        **{name: height * FOOT for name, height in PLACE.items()}, water="fresh"
    )
    return upline.plan(**dive, environment=place)


def close(value: Any) -> Any:
    return pytest.approx(value, rel=1e-11, abs=1e-9)


@pytest.fixture(scope="module")
def feet() -> upline.Plan:
    return in_feet()


@pytest.fixture(scope="module")
def metres() -> upline.Plan:
    return in_metres()


# ---- the plan ------------------------------------------------------------------------------------


def test_stops_rows_and_switches(feet: upline.Plan, metres: upline.Plan) -> None:
    assert (feet.units, metres.units) == ("imperial", "metric")
    assert feet != metres  # two schedules, never one for the other
    assert len(feet.stops) == len(metres.stops) > 5
    for ours, theirs in zip(feet.stops, metres.stops, strict=True):
        assert ours.depth == round(ours.depth)
        assert ours.depth * FOOT == close(theirs.depth)
        assert (ours.arrives, ours.departs, ours.stay, ours.minutes) == close(
            (theirs.arrives, theirs.departs, theirs.stay, theirs.minutes)
        )
        assert (ours.po2, ours.held_by) == (close(theirs.po2), theirs.held_by)
    assert len(feet.rows) == len(metres.rows)
    for ours, theirs in zip(feet.rows, metres.rows, strict=True):
        assert (ours.from_depth * FOOT, ours.to_depth * FOOT) == close(
            (theirs.from_depth, theirs.to_depth)
        )
        assert (ours.begins, ours.ends) == close((theirs.begins, theirs.ends))
        assert ours.gas == theirs.gas
    assert len(feet.switches) == len(metres.switches) == 3
    for ours, theirs in zip(feet.switches, metres.switches, strict=True):
        assert ours.depth * FOOT == close(theirs.depth)
        assert (ours.stated_depth is None) == (theirs.stated_depth is None)
        if ours.stated_depth is not None:
            assert ours.stated_depth * FOOT == close(theirs.stated_depth)


def test_sums_extremes_and_state(feet: upline.Plan, metres: upline.Plan) -> None:
    assert feet.anchor * FOOT == close(metres.anchor)
    assert feet.run_time == close(metres.run_time)
    assert (feet.oxygen.cns, feet.oxygen.otu) == close((metres.oxygen.cns, metres.oxygen.otu))
    assert feet.bar_minutes == close(metres.bar_minutes)
    assert {gas: volume * CUBIC_FOOT for gas, volume in feet.gas_use.items()} == close(
        metres.gas_use
    )
    for name in ("highest_po2", "lowest_po2", "highest_density"):
        ours, theirs = getattr(feet.extremes, name), getattr(metres.extremes, name)
        assert (ours.value, ours.depth * FOOT) == close((theirs.value, theirs.depth))
    for name in ("narcotic_depth", "narcotic_depth_nitrogen"):
        ours, theirs = getattr(feet.extremes, name), getattr(metres.extremes, name)
        assert (ours.value * FOOT, ours.depth * FOOT) == close((theirs.value, theirs.depth))
    # A state has no length in it.
    assert feet.end.nitrogen == close(metres.end.nitrogen)
    assert feet.end.pressure_per_metre == close(metres.end.pressure_per_metre)


@pytest.mark.parametrize("gases", [["18/45", ("50", 70), "O2"], ["18/45", ("21/35", 250), "O2"]])
def test_cautions(gases: list[Any]) -> None:
    feet, metres = in_feet(gases=gases), in_metres(gases=gases)
    assert [one.code for one in feet.cautions] == [one.code for one in metres.cautions]
    assert any(one.depth is not None for one in feet.cautions)
    for ours, theirs in zip(feet.cautions, metres.cautions, strict=True):
        assert ours.units == "imperial"
        length = FOOT if ours.code == "switch_at_bottom" else 1.0
        for name, unit in (("depth", FOOT), ("value", length), ("limit", length)):
            if getattr(ours, name) is not None:
                assert getattr(ours, name) * unit == close(getattr(theirs, name))
        if ours.depth is not None and " m" in theirs.text:
            assert " ft" in ours.text
    stated_below = gases[1][1] > DIVE["depth"]
    assert ("switch_at_bottom" in {one.code for one in feet.cautions}) == stated_below


def test_trace(feet: upline.Plan, metres: upline.Plan) -> None:
    ours, theirs = feet.trace(0.5), metres.trace(0.5)
    assert (ours.units, theirs.units) == ("imperial", "metric")
    for name in ("depth", "ceiling"):
        np.testing.assert_allclose(
            getattr(ours, name) * FOOT, getattr(theirs, name), rtol=1e-11, atol=1e-9
        )
    for name in ("time", "ambient", "nitrogen", "helium", "tolerated", "allowed", "fraction"):
        np.testing.assert_allclose(getattr(ours, name), getattr(theirs, name), rtol=1e-9, atol=1e-9)


def test_no_stop_limit() -> None:
    place = upline.Environment(**PLACE, units="imperial")
    ours = upline.no_stop_limit(
        100, "32", gf="40/85", descent_rate=50, ascent_rate=[(20, 30), (0, 10)], environment=place,
        spacing=10, last_stop=10, units="imperial",
    )  # fmt: skip
    theirs = upline.no_stop_limit(
        100 * FOOT, "32", gf="40/85", descent_rate=50 * FOOT,
        spacing=10 * FOOT, last_stop=10 * FOOT,
        ascent_rate=[(20 * FOOT, 30 * FOOT), (0, 10 * FOOT)],
        environment=upline.Environment(**{key: height * FOOT for key, height in PLACE.items()}),
    )  # fmt: skip
    assert 5 < ours == pytest.approx(theirs, abs=2e-6)  # solved to 1e-6 min


# ---- places and gases ----------------------------------------------------------------------------


def test_environment() -> None:
    ours = upline.Environment(**PLACE, units="imperial")
    theirs = upline.Environment(**{name: height * FOOT for name, height in PLACE.items()})
    assert (ours.altitude, ours.acclimatised_to, ours.units) == (2100, 1000, "imperial")
    assert ours.surface == close(theirs.surface)
    assert ours.acclimatised_pressure == close(theirs.acclimatised_pressure)
    assert ours.pressure(100) == close(theirs.pressure(100 * FOOT))
    assert ours.depth(4.0) * FOOT == close(theirs.depth(4.0))
    assert "units='imperial'" in repr(ours)


@pytest.mark.parametrize("placed", [False, True])
def test_gas(placed: bool) -> None:
    gas = upline.Gas("18/45")
    at: dict[str, Any] = {"units": "imperial"}
    there: dict[str, Any] = {}
    if placed:
        at["environment"] = upline.Environment(altitude=2100, water="sea", units="imperial")
        there["environment"] = upline.Environment(altitude=2100 * FOOT, water="sea")
    assert gas.mod(1.4, **at) * FOOT == close(gas.mod(1.4, **there))
    assert gas.min_depth(0.3, **at) * FOOT == close(gas.min_depth(0.3, **there))
    for counted in (True, False):
        assert gas.end(190, counted, **at) * FOOT == close(gas.end(190 * FOOT, counted, **there))
    assert gas.ead(190, **at) * FOOT == close(gas.ead(190 * FOOT, **there))
    assert gas.density(190, **at) == close(gas.density(190 * FOOT, **there))
    assert gas.po2(190, **at) == close(gas.po2(190 * FOOT, **there))


# ---- labels --------------------------------------------------------------------------------------

# A number of metres, or of litres.
METRIC = re.compile(r"\d (?:m|L)\b(?!\w)|m/min|\[m\]|\bmetres?\b|_m\b|L/min")


def test_every_text_says_feet_and_none_says_metres(feet: upline.Plan) -> None:
    told = [str(feet), feet._repr_html_(), feet.assumptions, repr(feet), repr(feet.trace())]
    told += [repr(one) for one in (*feet.stops, *feet.rows, *feet.switches)]
    told.append(repr(feet.extremes.highest_po2))
    for text in told:
        assert re.search(r"\bft\b", text), text
    told += [one.text for one in feet.cautions]
    for text in told:
        assert not METRIC.search(re.sub(r"<style>.*?</style>", "", text, flags=re.DOTALL)), text
    for text in (str(feet), feet._repr_html_()):
        assert "(imperial schedule)" in text
        assert "cu ft" in text
    assert METRIC.search(str(in_metres()))


def test_every_column_says_its_unit(feet: upline.Plan, metres: upline.Plan) -> None:
    pytest.importorskip("pandas")
    words = {"phase", "gas", "arrives_on", "breathe", "factor"}
    for ours, theirs in (
        (feet.to_frame(), metres.to_frame()),
        (feet.to_frame("stops"), metres.to_frame("stops")),
        (feet.trace().to_frame(), metres.trace().to_frame()),
    ):
        assert ours.attrs["units"] == "imperial"
        assert list(theirs) == [re.sub("_ft$", "_m", name) for name in ours]
        lengths = [name for name in ours if name.endswith("_ft")]
        assert lengths
        for name in ours:
            assert name in words or re.search(r"_(ft|min|bar)$|^fraction_\d+$", name), name
        for name in lengths:
            np.testing.assert_allclose(
                ours[name] * FOOT, theirs[re.sub("_ft$", "_m", name)], rtol=1e-11, atol=1e-9
            )


def test_records(feet: upline.Plan, metres: upline.Plan) -> None:
    record = feet.to_dict()
    assert record["units"] == record["input"]["units"] == "imperial"
    assert record["unit_names"] == {
        "depth": "ft", "rate": "ft/min", "time": "min", "pressure": "bar", "gas": "cu ft",
    }  # fmt: skip
    assert record["input"]["environment"] == {
        **PLACE, "surface_pressure": None, "water": "fresh", "vapour": 0.0627, "units": "imperial",
    }  # fmt: skip
    for key in ("depth", "spacing", "last_stop", "descent_rate", "surfacing_rate", "rmv"):
        assert record["input"][key] == DIVE[key]  # exactly as given
    assert record["anchor"] * FOOT == close(metres.to_dict()["anchor"])
    assert upline.Plan.from_json(feet.to_json()) == feet
    # Read as metres it is another dive, and refused.
    record["units"] = "metric"
    with pytest.raises(upline.InvalidInput, match="units"):
        upline.Plan.from_dict(record)


def test_plots(feet: upline.Plan) -> None:
    pyplot = pytest.importorskip("matplotlib.pyplot")
    for ax in (feet.plot(), feet.plot_compartments(30)):
        texts = [
            text.get_text() for text in ax.figure.findobj(match=lambda o: hasattr(o, "get_text"))
        ]
        told = "\n".join(texts)
        assert "ft" in told
        assert "(imperial schedule)" in told
        assert not METRIC.search(told.replace("\N{NO-BREAK SPACE}", " "))
    pyplot.close("all")


def test_errors_say_both() -> None:
    for call in (
        lambda: upline.plan(1200, 25, "32", gf="40/80", units="imperial"),
        lambda: upline.Gas("32").end(1200, units="imperial"),
        lambda: upline.Environment(altitude=30_000, units="imperial"),
        lambda: upline.plan(100, 25, "32", gf="40/80", descent_rate=700, units="imperial"),
    ):
        with pytest.raises(upline.InvalidInput, match=r"m.* \([\d.]+ ft"):
            call()


# ---- command line and dive file ------------------------------------------------------------------


def test_command_line(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    flags = ["--depth", "190", "--bottom-time", "25", "--gas", "18/45", "--gas", "50@70", "--gas",
             "O2", "--gf", "40/80", "--spacing", "10", "--last-stop", "20", "--descent-rate", "60",
             "--ascent-rate", "70:30,0:20", "--surfacing-rate", "10", "--travel", "50@60", "--rmv",
             "0.75", "--deco-rmv", "0.6", "--altitude", "2100", "--acclimatised-to", "1000",
             "--water", "fresh"]  # fmt: skip
    assert main(["plan", *flags, "--units", "imperial"]) == 0
    assert capsys.readouterr().out == str(in_feet())
    file = tmp_path / "dive.toml"
    file.write_text(
        'units = "imperial"\n[dive]\ndepth = 190\nbottom_time = 25\n'
        'gases = ["18/45", "50@70", "O2"]\ntravel = ["50", 60]\n[rules]\ngf = "40/80"\n'
        "[ascent]\nspacing = 10\nlast_stop = 20\ndescent_rate = 60\n"
        "ascent_rate = [[70, 30], [0, 20]]\nsurfacing_rate = 10\n"
        "[breathing]\nrmv = 0.75\ndeco_rmv = 0.6\n"
        '[place]\naltitude = 2100\nacclimatised_to = 1000\nwater = "fresh"\n'
    )
    assert main(["plan", str(file)]) == 0
    assert capsys.readouterr().out == str(in_feet())
    assert upline.read_dive(file).plan() == in_feet()
    file.write_text(file.read_text().replace("spacing = 10", "spacing = 9.84"))
    assert main(["plan", str(file)]) == 2
    assert "whole feet" in capsys.readouterr().err


def test_command_gas(capsys: pytest.CaptureFixture[str]) -> None:
    gas = ["gas", "18/45", "--units"]
    assert main([*gas, "imperial", "--depth", "190", "--altitude", "2100"]) == 0
    told = capsys.readouterr().out
    assert "gauge feet" in told
    assert " ft" in told
    assert not METRIC.search(told)
    assert main([*gas, "imperial", "--depth", "190", "--altitude", "2100", "--json"]) == 0
    ours = json.loads(capsys.readouterr().out)
    there = ["--depth", repr(190 * FOOT), "--altitude", repr(2100 * FOOT), "--json"]
    assert main([*gas, "metric", *there]) == 0
    theirs = json.loads(capsys.readouterr().out)
    assert (ours["depth_unit"], theirs["depth_unit"]) == ("ft", "m")
    for key, value in ours["at_depth"].items():
        length = FOOT if "depth" in key else 1.0
        assert value * length == close(theirs["at_depth"][key])
    for ourt, theirt in zip(
        ours["maximum_operating_depth"], theirs["maximum_operating_depth"], strict=True
    ):
        assert ourt["depth"] * FOOT == close(theirt["depth"])


# ---- whole feet ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "rungs",
    [{"spacing": 9.84}, {"last_stop": 10.5}, {"ladder": [70, 40, 19.685]}, {"spacing": 10 + 1e-9}],
)
def test_ladders_are_in_whole_feet(rungs: dict[str, Any]) -> None:
    with pytest.raises(upline.InvalidInput, match="allowed: whole feet") as caught:
        upline.plan(190, 25, ["18/45"], gf="40/80", units="imperial", **rungs)
    assert caught.value.field in rungs
    with pytest.raises(upline.InvalidInput, match="allowed: whole feet"):
        upline.no_stop_limit(100, "32", gf="40/80", units="imperial", **rungs)
    if "spacing" in rungs:  # in metres any will do
        assert upline.plan(57, 25, ["18/45"], gf="40/80", **rungs).stops


def test_whole_feet_are_taken() -> None:
    ladder = [90, 72, 55, 40, 33, 21]
    plan = in_feet(ladder=ladder, spacing=None, last_stop=None)
    assert {stop.depth for stop in plan.stops} <= {*map(float, ladder), 70.0}
    assert upline.plan(**plan.arguments) == plan
    assert upline.plan(190, 25, ["18/45"], gf="40/80", units="imperial", last_stop=20.0).stops

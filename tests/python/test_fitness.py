"""Fitness of kit, as Python sees it; validation/data/fitness_cases.csv names the sources."""

from __future__ import annotations

import csv
import datetime
import json
from pathlib import Path
from typing import Any

import pytest
import upline
from html_reader import Reader
from upline import _core

ROOT = Path(__file__).parents[2]
CASES = ROOT / "validation" / "data" / "fitness_cases.csv"
KIT = ROOT / "docs" / "examples" / "quince_kit.toml"
KINDS = ("cylinder", "valve", "first stage", "high-pressure hose", "gauge", "low-pressure hose",
         "second stage", "seals")  # fmt: skip
DAY = datetime.date(2026, 11, 25)
CHOICE: dict[str, Any] = {
    "oxygen_line": 40,
    "day": DAY,
    "water_temperature": 8,
    "cleaning_every": "5 months",
    "service_every": "12 months",
    "intermediate_every": "30 days",
    "leak_every": "7 days",
    "cylinder_test_every": "5 years",
    "outlet_en_144_3": True,
}


def fields_of(kind: str) -> dict[str, Any]:
    """Return the ratings of an item (invented) that is fit for all of the base."""
    low = kind in ("low-pressure hose", "second stage")
    given: dict[str, Any] = {
        "kind": kind,
        "name": f"{kind} (invented)",
        "largest_oxygen": 1.0,
        "largest_pressure": 30 if low else 232,
        "oxygen_pressures": [(1.0, 20 if low else 200)],
        "materials": ["brass", "PTFE"],
        "oxygen_clean": "2026-11-01",
        "cleaned_by": "workshop (invented)",
        "ordinary_air_since": False,
    }
    if kind != "cylinder":
        given |= {"largest_depth": 100, "lowest_temperature": 2}
    if kind in ("valve", "first stage", "second stage"):
        given["service"] = "2026-06-01"
    if kind not in ("cylinder", "seals"):
        given["leak_check"] = "2026-11-20"
    if kind in ("valve", "first stage"):
        given["connector"] = "M26x2"
    given |= {
        "valve": {"slow_opening": True},
        "second stage": {"mouthpiece_retained": True},
        "cylinder": {"cylinder_test": "2024-01-15"},
        "seals": {"within": "first stage"},
        "first stage": {
            "balanced": True,
            "adapter": False,
            "intermediate_pressure": 9.5,
            "intermediate_check": "2026-11-10",
        },
    }.get(kind, {})
    return given


def base() -> tuple[dict[str, Any], dict[str, dict[str, Any]], dict[str, Any]]:
    """Return set, items and choice of the base, fit by every rule."""
    one = {
        "name": "50 % (invented)",
        "gas": "50",
        "fill_pressure": 180,
        "filling": "premixed",
        "breathed": (6, 21),
        "carried": (0, 57),
        "going_down": "shut",
    }
    return one, {kind: fields_of(kind) for kind in KINDS}, dict(CHOICE)


def judged(
    one: dict[str, Any], items: dict[str, dict[str, Any]], choice: dict[str, Any]
) -> upline._fitness.Fitness:
    made = [upline.KitItem(**given) for given in items.values()]
    return upline.fitness(upline.KitSet(**one, items=made), **choice)


def value_of(field: str, written: str) -> Any:
    """Return the value that a case writes."""
    if written in ("unknown", "none"):
        return () if field == "oxygen_pressures" else None
    if written in ("yes", "no"):
        return written == "yes"
    if field == "oxygen_pressures":
        return [tuple(float(end) for end in written.split(":"))]
    if field in ("breathed", "carried"):
        return tuple(float(end) for end in written.split(":"))
    if field == "materials":
        return written.split("+")
    if field in ("gas", "cleaned_by") or field.endswith("_every"):
        return written
    try:
        return float(written)
    except ValueError:
        return written


def change(changes: str, kind: str) -> upline._fitness.Fitness:
    """Judge the base with what a case changes in it."""
    one, items, choice = base()
    for piece in filter(None, changes.split(";")):
        field, _, written = piece.partition("=")
        of, dot, inner = field.partition(".")
        of, field = (of, inner) if dot else (kind, field)
        value = value_of(field, written)
        if field == "drop":
            del items[written]
        elif field == "without":
            one["without"] = [written]
        elif field in choice:
            choice[field] = value
        elif field in one or field == "analysed":
            one[field] = value
        else:
            items[of][field] = value
    return judged(one, items, choice)


def said(found: upline._fitness.Fitness, rule: str, kind: str) -> str:
    where = "set" if kind == "whole set" else kind
    for finding in found.sets[0].findings:
        if finding.rule == rule and finding.kind == where:
            return finding.verdict
    return "unknown" if rule == "complete" else "not asked"


def cases() -> list[dict[str, str]]:
    with CASES.open(encoding="utf-8") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


def test_the_table_is_whole() -> None:
    rows = cases()
    assert len(rows) >= 220
    assert {row["rule"] for row in rows} == {one.rule for one in upline.kit_rules()}
    assert all(row["source"].strip() for row in rows)


@pytest.mark.parametrize("row", cases(), ids=lambda row: f"{row['case']} {row['rule']}")
def test_a_case(row: dict[str, str]) -> None:
    found = change(row["changes"], row["kind"])
    assert said(found, row["rule"], row["kind"]) == row["verdict"]
    assert found.sets[0].verdict == found.verdict == row["set_verdict"]


def test_the_kit_of_the_demo_dive_one_of_each(quince: upline.Plan) -> None:
    kit = upline.read_kit(KIT)
    found = upline.fitness(kit.sets, plan=quince, oxygen_line=40, day=DAY, **kit.choice)
    assert [one.verdict for one in found.sets] == ["fit", "unknown", "not fit"]
    assert found.verdict == "not fit"
    unfit = [one for one in found.sets[2].findings if one.verdict == "not fit"]
    assert [(one.item, one.rule, one.found, one.limit) for one in unfit] == [
        ("first stage A", "inlet_pressure", 200.0, 180.0)
    ]
    unknown = [one for one in found.sets[1].findings if one.verdict == "unknown"]
    assert [(one.item, one.missing) for one in unknown] == [
        ("second stage B", "ordinary_air_since")
    ]
    assert found.sets[0].breathed == (21.0, 57.0) or found.sets[0].breathed == (0.0, 57.0)
    assert found.sets[1].breathed == (6.0, 21.0)
    assert found.sets[2].breathed == (0.0, 6.0)
    followed = {one.code: one.followed for one in found.sets[1].advice}
    assert set(followed.values()) == {"followed"}
    followed = {one.code: one.followed for one in found.sets[2].advice}
    assert followed["three_cues"] == followed["hose_length"] == "not followed"


def test_what_is_printed_carries_verdict_rule_and_caution(quince: upline.Plan) -> None:
    kit = upline.read_kit(KIT)
    found = upline.fitness(kit.sets, plan=quince, oxygen_line=40, day=DAY, **kit.choice)
    shown = " ".join(str(found).split())
    for part in (
        "Fit by the ratings you entered and the rule you chose. Nothing was inspected; this "
        "certifies no equipment.",
        "It does not make a dive safe",
        "50 %: above the 40 % line (your choice), in oxygen service; above the 22 %, 23.5 % and "
        "25 % lines",
    ):
        assert part in shown
    for one in found.sets:
        assert one.sentence in shown
        for finding in one.findings:
            if finding.verdict != "fit":
                assert f"{finding.item}, {finding.rule}: {finding.because}" in shown
                assert finding.remedy in shown
                assert finding.whose in shown
        for advice in one.advice:
            assert f"{advice.followed}: {advice.text}" in shown
    assert "not fit" in repr(found)


def test_html_holds_every_cell_and_sentence(quince: upline.Plan) -> None:
    kit = upline.read_kit(KIT)
    found = upline.fitness(kit.sets, plan=quince, oxygen_line=40, day=DAY, **kit.choice)
    text = " ".join(Reader(found._repr_html_()).words.split())
    assert len(found.table) == 1 + sum(len(one.findings) for one in found.sets)
    for line in found.table[1:]:
        assert line[4] in text
    for one in found.sets:
        assert one.sentence in text
    assert "It does not make a dive safe" in text


def test_frames_and_data(quince: upline.Plan) -> None:
    pytest.importorskip("pandas")
    kit = upline.read_kit(KIT)
    found = upline.fitness(kit.sets, plan=quince, oxygen_line=40, day=DAY, **kit.choice)
    frame = found.to_frame()
    assert len(frame) == sum(len(one.findings) for one in found.sets)
    assert list(frame.columns[:5]) == ["set", "item", "kind", "rule", "verdict"]
    assert frame.attrs["foot"] == _core.foot
    data = json.loads(json.dumps(found.to_dict(), allow_nan=False))
    assert (data["schema"], data["verdict"]) == (1, "not fit")
    assert data["sets"][2]["gas"] == "O2"
    assert data["foot"] == _core.foot
    assert data["sets"][0]["findings"][0]["rule"] == "oxygen_line"


def test_no_line_and_no_day_are_no_default() -> None:
    one = upline.KitSet("rich", "50", [upline.KitItem("valve", "valve A (invented)")])
    with pytest.raises(upline.WrongType, match="add oxygen_line"):
        upline.fitness(one, day=DAY)  # type: ignore[call-arg]
    with pytest.raises(upline.WrongType, match="add day"):
        upline.fitness(one, oxygen_line=40)  # type: ignore[call-arg]
    for line in (0.4, 30, 21, -1):
        with pytest.raises(upline.InvalidInput, match=r"22, 23\.5, 25 or 40"):
            upline.fitness(one, oxygen_line=line, day=DAY)


@pytest.mark.parametrize(
    ("given", "part"),
    [
        ({"largest_oxygen": 40}, "0.40 for 40 %"),
        ({"largest_oxygen": 1.01}, "largest_oxygen"),
        ({"materials": ["unobtainium"]}, "write one of these words"),
        ({"materials": []}, "leave it out where they are not known"),
        ({"materials": "brass"}, "a list of materials"),
        ({"oxygen_pressures": [(0.4, 150), (1.0, 180)]}, "no more pressure with more oxygen"),
        ({"largest_oxygen": 0.4, "oxygen_pressures": [(1.0, 180)]}, "beside a largest_oxygen"),
        ({"largest_pressure": 150, "oxygen_pressures": [(1.0, 180)]}, "beside a largest_pressure"),
        ({"balanced": True}, "only for first stage"),
        ({"largest_depth": "deep"}, "no limit"),
        ({"oxygen_clean": "2026-02-30"}, "2026-02-30"),
        ({"oxygen_clean": 2026}, "oxygen_clean"),
        ({"ordinary_air_since": "no"}, "True, False, or None"),
        ({"connector": "M25x2"}, "M26x2"),
        ({"kind": "regulator"}, "first stage"),
        ({"name": ""}, "name"),
        ({"name": "a" * 61}, "1 to 60 characters"),
    ],
)
def test_ratings_that_cannot_be(given: dict[str, Any], part: str) -> None:
    with pytest.raises(upline.InvalidInput) as caught:
        upline.KitItem(**{"kind": "valve", "name": "valve A", **given})
    assert part in str(caught.value)
    assert caught.value.remedy


@pytest.mark.parametrize(
    ("given", "part"),
    [
        ({"breathed": (21, 6)}, "write the shallower one first"),
        ({"breathed": (6, 60), "carried": (0, 57)}, "widen carried"),
        ({"breathed": 21}, "two depths"),
        ({"analysed": 50}, "0.32 for 32 %"),
        ({"without": ["valve"]}, "list the item"),
        ({"label": {"mod": 21}}, "unknown key"),
        ({"label": "50"}, "dict of what stands on it"),
        ({"cues": ["smell"]}, "write one of these words"),
        ({"items": []}, "1 to 40 items"),
        ({"gas": "150"}, "gas"),
        ({"units": "imperial"}, "one system of units"),
    ],
)
def test_sets_that_cannot_be(given: dict[str, Any], part: str) -> None:
    items = [upline.KitItem("gauge", "gauge A")]
    with pytest.raises(upline.InvalidInput) as caught:
        upline.KitSet(**{"name": "rich", "gas": "50", "items": items, **given})
    assert part in str(caught.value)


def test_a_record_younger_than_the_dive_is_a_slip() -> None:
    item = upline.KitItem("first stage", "first stage A", service="2026-11-26")
    with pytest.raises(upline.InvalidInput, match="after the dive on 2026-11-25"):
        upline.fitness(upline.KitSet("rich", "50", [item]), oxygen_line=40, day=DAY)


def test_a_plan_must_breathe_the_gas_and_have_the_units(quince: upline.Plan) -> None:
    item = upline.KitItem("valve", "valve A")
    with pytest.raises(upline.InvalidInput, match="a gas that the plan breathes"):
        upline.fitness(upline.KitSet("rich", "32", [item]), oxygen_line=40, day=DAY, plan=quince)
    dense = upline.plan(57, 25, ["21/20", "50", "O2"], gf="40/80", last_stop=6)
    assert dense.refused
    with pytest.raises(upline.InvalidInput, match="refused by one of its cautions"):
        upline.fitness(upline.KitSet("rich", "50", [item]), oxygen_line=40, day=DAY, plan=dense)
    feet = upline.KitItem("valve", "valve A", units="imperial")
    with pytest.raises(upline.InvalidInput, match="units"):
        upline.fitness(
            upline.KitSet("rich", "50", [feet], units="imperial"),
            oxygen_line=40,
            day=DAY,
            plan=quince,
            units="imperial",
        )


def test_feet_and_psi_go_in_and_come_out() -> None:
    stage = upline.KitItem(
        "first stage",
        "first stage A",
        largest_oxygen=1.0,
        oxygen_pressures=[(1.0, 2600)],
        largest_depth=200,
        lowest_temperature=50,
        units="imperial",
    )
    one = upline.KitSet(
        "rich", "O2", [stage], fill_pressure=2601, breathed=(0, 20), carried=(0, 190),
        going_down="open", units="imperial",
    )  # fmt: skip
    found = upline.fitness(
        one, oxygen_line=40, day="2026-11-25", water_temperature=49, units="imperial"
    )
    by_rule = {finding.rule: finding for finding in found.sets[0].findings}
    assert (by_rule["inlet_pressure"].found, by_rule["inlet_pressure"].limit) == (2601, 2600)
    assert (by_rule["depth"].found, by_rule["depth"].limit) == (190, 200)
    assert (by_rule["temperature"].found, by_rule["temperature"].limit) == (49, 50)
    assert by_rule["temperature"].verdict == "not fit"
    assert (by_rule["oxygen_depth"].limit, by_rule["oxygen_depth"].verdict) == (20, "fit")


def test_items_keep_what_was_given_and_cannot_change() -> None:
    item = upline.KitItem(
        "valve", "valve A", materials=["brass"], service=datetime.datetime(2026, 6, 1, 12)
    )
    assert item.materials == ("brass",)
    assert item.service == DAY.replace(month=6, day=1)
    with pytest.raises(AttributeError):
        item.name = "b"  # type: ignore[misc]
    assert upline.KitSet("rich", "50", [item]).gas == upline.Gas("50")

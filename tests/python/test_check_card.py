"""Cards: tables over depth and bottom time in one call."""

from __future__ import annotations

import json

import pytest
import upline

# Invented tables for the Quince Blossom (invented).
GASES = {"gases": ["18/45", "50", "O2"], "gf": "40/80"}
SAID = {**GASES, "minutes": "without travel", "switch_time": 0}
CELLS = {
    (57, 20): "24/2 21/1 18/1 15/2 12/3 9/4 6/14",
    (57, 25): "27/1 24/2 21/1 18/2 15/2 12/4 9/6 6/22",
    (51, 25): [(24, 2), (21, 2), (18, 2), (15, 3), (12, 3), (9, 5), (6, 30)],
    (51, 30): [(24, 2), (21, 2), (18, 2), (15, 3), (12, 3), (9, 5), (6, 12)],
}


def alone(key, **more):
    depth, bottom_time = key
    return upline.check(CELLS[key], depth=depth, bottom_time=bottom_time, **SAID, **more)


def test_each_cell_is_what_check_says_of_it() -> None:
    card = upline.check_card(CELLS, **SAID)
    assert len(card.cells) == len(CELLS)
    keys = list(CELLS)
    for cell in card.cells:
        assert keys[cell.position] == (cell.depth, cell.bottom_time)
        whole = alone(keys[cell.position])
        assert cell.verdict == whole.verdict
        assert cell.sentence == whole.sentence
        assert cell.margin == whole.margin
        assert cell.surfacing_fraction == whole.surfacing_fraction
        assert cell.run_time == whole.replay.run_time
        assert cell.readings == whole.readings
        assert cell.findings == whole.findings
        assert cell.at_least <= whole.missing_minutes <= cell.missing_minutes
        assert [one.code for one in cell.cautions] == [one.code for one in whole.cautions]
        assert cell.tightest == (
            0.0 if whole.replay.surfacing.pressure <= whole.replay.tightest.pressure
            else whole.readings[0].tightest
        )  # fmt: skip


def test_the_worst_comes_first_and_decides() -> None:
    card = upline.check_card(CELLS, **SAID)
    margins = [cell.margin for cell in card.cells]
    assert margins == sorted(margins)
    assert margins[0] < 0 < margins[-1] + 1e-9
    assert card.verdict == "does not"
    sound = {key: rows for key, rows in CELLS.items() if alone(key).verdict == "satisfies"}
    assert sound
    assert upline.check_card(sound, **SAID).verdict == "satisfies"


def test_a_list_of_tables_that_say_their_dive() -> None:
    texts = [f"{d} m, {t} min on 18/45, 50, O2: {CELLS[d, t]}" for d, t in [(57, 20), (57, 25)]]
    card = upline.check_card([texts[0], upline.read_table(texts[1])], gf="40/80")
    assert {(cell.depth, cell.bottom_time) for cell in card.cells} == {(57.0, 20.0), (57.0, 25.0)}
    for cell in card.cells:
        assert cell.margin == upline.check(texts[cell.position], gf="40/80").margin
        assert len(cell.readings) > 1
    assert card.cells[0].table.rows


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        ("24/2 21/x 6/14", "row 2"),  # cannot be read
        ("57 m, 25 min on 18/45: 24/2 6/20", "25"),  # says another dive
        ([(24, 2), (21, -1), (6, 14)], "-1"),  # cannot be followed
        ([], ""),
    ],
)
def test_a_broken_cell_reports_its_error_and_the_rest_goes_on(rows, said) -> None:
    card = upline.check_card({(57, 20): rows, **{k: CELLS[k] for k in list(CELLS)[1:]}}, **SAID)
    (broken,) = card.broken
    assert (broken.position, broken.name) == (0, "57, 20 min")
    assert said in broken.error
    assert len(card.cells) == len(CELLS) - 1
    assert "1 cannot be checked" in card.sentence
    assert broken.name in card.text
    assert card.verdict != "satisfies"
    with pytest.raises(upline.InvalidInput) as alone_too:
        upline.check_card({(57, 20): rows}, **SAID)
    assert said in str(alone_too.value)


def test_what_is_wrong_with_every_cell_is_an_error_of_the_call() -> None:
    with pytest.raises(upline.InvalidInput, match="gf"):
        upline.check_card(CELLS, gases=["18/45"])
    with pytest.raises(upline.WrongType, match="model"):
        upline.check_card(CELLS, **SAID, model=3)
    with pytest.raises(upline.InvalidInput, match="0 cells"):
        upline.check_card({}, **SAID)
    with pytest.raises(upline.InvalidInput, match="501 cells"):
        upline.check_card([CELLS[57, 20]] * 501, **SAID)


@pytest.mark.parametrize("cells", [None, 3, "24/2 6/20", {57: "24/2"}, {(57,): "24/2"},
                                   {("57", 20): "24/2"}, {(True, 20): "24/2"}])  # fmt: skip
def test_what_is_no_card_is_refused(cells) -> None:
    with pytest.raises(upline.WrongType, match="cells"):
        upline.check_card(cells, **SAID)


def test_the_text_has_a_line_for_each_cell_and_the_foot() -> None:
    card = upline.check_card({**CELLS, (57, 30): "27/1 42/2 21/1 18/2 6/20"}, **SAID)
    assert str(card) == card.text
    text = " ".join(card.text.split())
    assert len(card.table) == 2 + len(CELLS) + 1
    for line in card.table:
        assert " ".join(" ".join(line).split()) in text
    for part in (card.sentence, "It does not make a dive safe", "Assumptions", "Odd in their",
                 "24 meant?", "No time to fly"):  # fmt: skip
        assert part in text
    assert "CheckedCard" in repr(card)


def test_plain_data_holds_every_cell_and_the_foot() -> None:
    card = upline.check_card({**CELLS, (57, 30): "24/x"}, **SAID)
    data = json.loads(json.dumps(card.to_dict()))
    assert (data["schema"], data["kind"]) == (1, "card")
    assert [cell["margin"] for cell in data["cells"]] == [cell.margin for cell in card.cells]
    assert data["broken"][0]["position"] == len(CELLS)
    assert "does not make a dive safe" in data["foot"]
    assert {caution["code"] for caution in data["cells"][0]["cautions"]} == {
        caution.code for caution in card.cells[0].cautions
    }
    assert card.cautions


def test_the_frame_has_a_line_for_each_cell() -> None:
    pytest.importorskip("pandas")
    frame = upline.check_card(CELLS, **SAID).to_frame()
    assert list(frame["depth_m"].sort_values()) == sorted(float(depth) for depth, _ in CELLS)
    assert frame["margin_bar"].is_monotonic_increasing


def test_feet_are_feet() -> None:
    rows = [(90, 1), (80, 3), (70, 2), (60, 2), (50, 3), (40, 4), (30, 6), (20, 22)]
    card = upline.check_card({(190, 25): rows, (180, 25): rows}, **SAID, units="imperial")
    assert card.units == "imperial"
    assert card.table[1][0] == "ft"
    for cell in card.cells:
        whole = upline.check(rows, depth=cell.depth, bottom_time=25, **SAID, units="imperial")
        assert cell.margin == whole.margin
    mixed = upline.check_card(
        [
            "190 ft, 25 min on 18/45, 50, O2: 90/1 80/3 70/2 60/2 50/3 40/4 30/6 20/22",
            "57 m, 25 min on 18/45, 50, O2: 27/1 24/2 21/1 18/2 15/2 12/4 9/6 6/22",
        ],
        gf="40/80",
    )
    assert {cell.units for cell in mixed.cells} == {"imperial", "metric"}
    pytest.importorskip("pandas")
    with pytest.raises(upline.InvalidInput, match="in feet"):
        mixed.to_frame()

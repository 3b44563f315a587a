"""Slates as Python lays them out; what stands on them is tested in tests/cpp."""

from __future__ import annotations

import datetime
import json
import math
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
import upline
from hypothesis import given, settings
from hypothesis import strategies as st

D = upline.Deviation
CAUTION = "MODEL ONLY, NO GUARANTEE. TRAINED TEAM ONLY. THIS DIVE, THIS DATE."
FOOT = "It does not make a dive safe"


@pytest.fixture
def cut(quince: upline.Plan) -> Any:
    return upline.slate(
        quince,
        [D(deeper=3, later=5), D(lost=["50", "O2"], last_stop=3), D(later=15)],
        dive="Quince Blossom (invented), along the keel",
        date=datetime.date(2026, 11, 28),
        team=["Ada", "Ben", "Cleo (invented)"],
        surface_support="no",
        analysis={"18/45": (18.2, 44.6), upline.Gas("50"): 50.4},
        turn_pressure=120,
    )


def flat(text: str) -> str:
    return " ".join(text.split())


def test_rows_are_those_of_a_plan_in_whole_minutes(quince: upline.Plan, cut: Any) -> None:
    assert [(row.depth, row.leave_at, row.stay) for row in cut.rows] == [
        (57.0, 25, 25),
        *((stop.depth, stop.departs, stop.stay) for stop in quince.stops),
    ]
    assert [str(row.gas) for row in cut.rows if row.switching] == ["50", "O2"]
    assert all(type(row.leave_at) is int for row in cut.rows)
    assert (cut.valid_to, cut.leave_by, cut.surface) == (57, 25, math.ceil(quince.run_time))
    assert not cut.recomputed
    assert repr(cut) == "<upline.Slate to 57 m, leaving by 25 min>"


def test_a_table_read_back_from_a_slate_satisfies_its_factors(cut: Any) -> None:
    rows = [f"{row.depth:g} {row.leave_at} {row.gas}" for row in cut.rows[1:]]
    found = upline.check(
        "depth leave at gas\n" + "\n".join(rows),
        depth=cut.valid_to,
        bottom_time=cut.leave_by,
        gases=["18/45", "50", "O2"],
        gf="40/80",
        last_stop=6,
        minutes="leave at",
        switch_minute="inside",
        environment=upline.Environment(),
        units="metric",
    )
    assert found.verdict == "satisfies", str(found)


def test_what_was_said_is_on_it_and_what_was_not_is_a_blank(quince: upline.Plan, cut: Any) -> None:
    text = flat(cut.text)
    for piece in (
        "Quince Blossom (invented), along the keel",
        "2026-11-28",
        "Ada, Ben, Cleo (invented)",
        "Turn pressure, 18/45: 120 bar",
        "Reserve, 18/45: ________ bar",
        "Surface support: no.",
        "18.2/44.6",
        f"Input code {cut.input_code}",
        CAUTION,
        FOOT,
    ):
        assert piece in text
    blank = flat(upline.slate(quince).text)
    for piece in ("Dive ____", "Date ____", "Team ____", "Surface support: unknown."):
        assert piece in blank


def test_a_contingency_that_is_refused_has_words_and_no_times(cut: Any) -> None:
    row = cut.contingencies[2]
    assert (row.rows, row.surface, row.valid_to) == ((), None, None)
    assert row.reason.startswith("refused (cns): ")
    assert "If 15 min late No schedule: refused (cns)" in flat(cut.text)
    both = cut.contingencies[1]
    assert both.rows[-1].depth == 3.0
    assert both.name == "if the 50 % and the oxygen are lost, the last stop at 3 m"


def test_contingencies_that_are_computed_already_do_as_well(quince: upline.Plan) -> None:
    found = upline.contingencies(quince, [D(later=5)])
    same = upline.slate(quince, D(later=5))
    assert upline.slate(quince, found).to_dict() == same.to_dict()
    other = upline.plan(50, 25, ["18/45", "50", "O2"], gf="40/80", last_stop=6)
    with pytest.raises(upline.InvalidInput, match="of another plan"):
        upline.slate(other, found)


def test_the_input_code_names_the_input(quince: upline.Plan) -> None:
    again = upline.plan(**quince.arguments)
    code = upline.slate(quince).input_code
    assert upline.slate(again, D(later=5), dive="x").input_code == code
    assert upline.slate(upline.plan(**{**quince.arguments, "gf": "40/79"})).input_code != code
    assert len(code) == len("0000 0000")


def test_the_text_is_ascii_and_narrow_whatever_is_said(quince: upline.Plan) -> None:
    cut = upline.slate(quince, dive="Löwe 潜 \x1b[2J\n" + "x" * 90, team=["Åsa (invented)"] * 8)
    assert cut.text.isascii()
    assert "Lowe ? ?[2J" in cut.text
    assert max(map(len, cut.text.splitlines())) <= 40
    assert cut.parts.heading[0].startswith("Löwe 潜 ?[2J")


@given(st.text(max_size=45), st.text(max_size=45))
@settings(max_examples=30)
def test_any_text_can_be_said(dive: str, team: str) -> None:
    plan = upline.plan(30, 20, "32", gf="40/85")
    cut = upline.slate(plan, dive=dive, team=team)
    assert cut.text.isascii()
    assert max(map(len, cut.text.splitlines())) <= 40
    cut.to_html(), cut.to_markdown(), json.dumps(cut.to_dict())


@pytest.mark.parametrize("rounding", ["departure", "duration", "exact"])
@pytest.mark.parametrize("resolution", [1 / 60, 0.5, 1, 2.5])
def test_no_stop_is_shorter_than_planned(rounding: Any, resolution: float) -> None:
    plan = upline.plan(
        51, 30, ["21/35", "50", "O2"], gf="40/85", rounding=rounding, resolution=resolution
    )
    cut = upline.slate(plan)
    left = {row.depth: row for row in cut.rows}
    before = plan.bottom_time
    for stop in plan.stops:
        row = left[stop.depth]
        assert row.leave_at is not None
        travel = stop.stay - stop.minutes
        assert row.leave_at - before - travel >= stop.minutes - 1e-9
        assert row.leave_at >= stop.departs - 1e-9
        before = row.leave_at


def test_feet_are_feet() -> None:
    plan = upline.plan(190, 25, ["18/45", "50", "O2"], gf="40/80", units="imperial", last_stop=20)
    cut = upline.slate(plan, D(deeper=10), turn_pressure=1800.5)
    assert "Valid to 190 ft and leaving by 25 min" in cut.text
    assert "Turn pressure, 18/45: 1801 psi" in cut.text
    assert [(str(gas.gas), gas.deepest) for gas in cut.gases][2] == ("O2", 20)
    assert cut.contingencies[0].valid_to == 200
    assert cut.units == "imperial"


def test_a_plan_that_is_refused_is_not_cut(quince: upline.Plan) -> None:
    refused = upline.plan(**{**quince.arguments, "gf": "40/120"})
    with pytest.raises(upline.InvalidInput, match=r"refused \(factor_above_one\)") as caught:
        upline.slate(refused)
    assert caught.value.field == "plan"


@pytest.mark.parametrize(
    ("arguments", "field"),
    [
        ({"contingencies": "later"}, "contingencies"),
        ({"contingencies": [3]}, "contingencies"),
        ({"contingencies": D(lost="32")}, "lost"),
        ({"dive": 3}, "dive"),
        ({"dive": "x" * 201}, "dive"),
        ({"team": ["Ada", None, 4]}, "team"),
        ({"date": 20261128}, "date"),
        ({"surface_support": "maybe"}, "surface_support"),
        ({"surface_support": True}, "surface_support"),
        ({"analysis": 50.4}, "analysis"),
        ({"analysis": {"50": "50.4"}}, "analysis"),
        ({"analysis": {"50": (50, 0, 0)}}, "analysis"),
        ({"analysis": {"32": 32}}, "analysis"),
        ({"analysis": {"50": 0.504}}, "analysis of 50"),
        ({"analysis": {"50": math.nan}}, "analysis of 50"),
        ({"analysis": {"18/45": (18, 48)}}, "analysis of 18/45"),
        ({"turn_pressure": "120 bar"}, "turn_pressure"),
        ({"turn_pressure": -120}, "turn_pressure"),
        ({"turn_pressure": math.nan}, "turn_pressure"),
        ({"turn_pressure": 50, "reserve": 60}, "turn_pressure"),
        ({"reserve": math.inf}, "reserve"),
    ],
)
def test_bad_input_is_named(quince: upline.Plan, arguments: dict[str, Any], field: str) -> None:
    with pytest.raises(upline.InvalidInput) as caught:
        upline.slate(quince, **arguments)
    assert caught.value.field == field


def test_what_is_no_plan_is_named() -> None:
    with pytest.raises(upline.WrongType) as caught:
        upline.slate("57 m")  # type: ignore[arg-type]
    assert caught.value.field == "plan"


# ---- forms ---------------------------------------------------------------------------------------


class _Words(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_data(self, data: str) -> None:
        self.found.append(data)


def words_of_html(shown: str) -> str:
    reader = _Words()
    reader.feed(shown)
    return flat(" ".join(reader.found))


def everything(cut: Any) -> list[str]:
    parts = cut.parts
    blocks = [
        text
        for block in parts.blocks
        for text in (block.title, *block.depths, *block.leaves, block.words, *block.cautions)
    ]
    cells = [cell for line in (*parts.table[2:], *parts.gases) for cell in line]
    lines = [parts.valid, parts.legend, parts.rule, parts.caution, *parts.pressures]
    lines += [*parts.heading, *parts.facts, *parts.cautions, *parts.signatures]
    return [text for text in (*lines, *blocks, *cells) if text]


def test_html_has_every_word_and_no_markup_of_others(quince: upline.Plan, cut: Any) -> None:
    shown = words_of_html(cut._repr_html_())
    for text in everything(cut):
        assert flat(text) in shown
    assert FOOT in shown
    page = cut.to_html()
    assert page.startswith("<!doctype html>")
    assert page.count("<strong>SWITCH to") == 2
    assert "<script" not in upline.slate(quince, dive="<script>alert(1)</script>").to_html()


def test_markdown_has_every_word(quince: upline.Plan, cut: Any) -> None:
    shown = flat(cut.to_markdown().replace("\\", ""))
    for text in everything(cut):
        assert flat(text) in shown
    assert FOOT in shown
    assert "| 21 | 33 | 2 | SWITCH to 50 % |" in shown
    assert "\\<b\\>\\|" in upline.slate(quince, dive="<b>|").to_markdown()


def test_plain_data_is_json(cut: Any) -> None:
    data = json.loads(json.dumps(cut.to_dict(), allow_nan=False))
    assert (data["schema"], data["kind"], data["units"]) == (1, "slate", "metric")
    assert data["rows"][0] == {
        "depth": 57.0,
        "leave_at": 25,
        "stay": 25,
        "gas": "18/45",
        "switching": False,
    }
    assert data["contingencies"][2]["rows"] == []
    assert data["input"]["gf"] == [0.4, 0.8]
    assert FOOT in data["foot"]


# ---- pages ---------------------------------------------------------------------------------------


def pages_of(cut: Any) -> list[Any]:
    pytest.importorskip("matplotlib")
    from upline._slate.page import _figure, pages

    return [_figure([page], cut.parts.caution) for page in pages(cut)]


def words_of_pages(figures: list[Any]) -> str:
    lines = [text.get_text() for figure in figures for text in figure.texts]
    return flat(" ".join(lines)).replace("\N{NO-BREAK SPACE}", " ")


def test_pages_have_every_word(cut: Any) -> None:
    shown = words_of_pages(pages_of(cut))
    for text in everything(cut):
        assert flat(text) in shown
    assert FOOT in shown


def test_type_is_large_black_and_inside_the_page(cut: Any) -> None:
    figures = pages_of(cut)
    rows = [text for text in figures[0].texts if text.get_text() in ("SWITCH to 50 %", "69", "27")]
    assert len(rows) == 3
    assert min(text.get_fontsize() for text in rows) >= 14
    times = [text for figure in figures for text in figure.texts if text.get_text() == "171"]
    assert times
    assert min(text.get_fontsize() for text in times) >= 14
    for figure in figures:
        renderer = figure.canvas.get_renderer()
        width, height = figure.get_size_inches() * figure.dpi
        for text in figure.texts:
            assert text.get_fontsize() >= 11
            assert text.get_color() == "black"
            box = text.get_window_extent(renderer)
            assert box.x0 >= 0
            assert box.y0 >= 0
            assert box.x1 <= width
            assert box.y1 <= height


def test_no_words_lie_on_others(cut: Any) -> None:
    for figure in pages_of(cut):
        renderer = figure.canvas.get_renderer()
        boxes = [
            (text.get_text(), text.get_window_extent(renderer).padded(-1.0))
            for text in figure.texts
            if text.get_text()
        ]
        for j, (one, box) in enumerate(boxes):
            for other, second in boxes[j + 1 :]:
                assert not box.overlaps(second), (one, other)


def test_a_schedule_that_is_too_long_goes_on_under_its_heading() -> None:
    plan = upline.plan(57, 25, ["18/45", "50", "O2"], gf="30/80", spacing=1, last_stop=5)
    figures = pages_of(upline.slate(plan, dive="Quince Blossom (invented)"))
    fronts = [figure for figure in figures if figure.texts[0].get_text().startswith("Front")]
    assert len(fronts) > 1
    assert fronts[1].texts[0].get_text() == f"Front 2 of {len(fronts)}  Quince Blossom (invented)"
    for figure in fronts:
        shown = words_of_pages([figure])
        assert "leave at" in shown
        assert "Valid to 57 m" in shown
    for figure in figures:
        assert CAUTION in words_of_pages([figure])
        assert min(text.get_fontsize() for text in figure.texts) >= 11


def test_long_names_stay_on_the_page(quince: upline.Plan) -> None:
    mixes = [upline.Gas(oxygen=0.18512, helium=0.45123), upline.Gas(oxygen=0.50444)]
    plan = upline.plan(57, 25, mixes, gf="40/80")
    for figure in pages_of(upline.slate(plan, D(later=2), dive="x" * 200)):
        renderer = figure.canvas.get_renderer()
        for text in figure.texts:
            assert text.get_window_extent(renderer).x1 <= figure.get_size_inches()[0] * figure.dpi


def test_files_are_written(cut: Any, tmp_path: Path) -> None:
    pytest.importorskip("matplotlib")
    cut.to_pdf(tmp_path / "slate.pdf")
    cut.to_png(str(tmp_path / "slate.png"))
    pdf = (tmp_path / "slate.pdf").read_bytes()
    assert pdf.startswith(b"%PDF")
    assert pdf.count(b"/Type /Page ") == len(pages_of(cut))
    assert (tmp_path / "slate.png").read_bytes().startswith(b"\x89PNG")
    with pytest.raises(upline.InvalidInput) as caught:
        cut.to_pdf(tmp_path / "no such folder" / "slate.pdf")
    assert caught.value.field == "path"


def test_colour_styles_change_nothing(cut: Any, tmp_path: Path) -> None:
    pyplot = pytest.importorskip("matplotlib.pyplot")
    cut.to_png(tmp_path / "plain.png")
    with pyplot.style.context("dark_background"):
        cut.to_png(tmp_path / "dark.png")
    assert (tmp_path / "plain.png").read_bytes() == (tmp_path / "dark.png").read_bytes()

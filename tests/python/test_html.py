"""The schedule as HTML: the same words as the printed one, accessible, on any ground."""

from __future__ import annotations

import re

import pytest
import upline
from html_reader import Reader, squeezed

PLANS = {
    "levels": lambda: upline.plan(
        [(57, 20), (42, 45)], gases=["18/45", "50", "O2"], gf="30/70", travel=("50", 17)
    ),
    "imperial": lambda: upline.plan(
        190, 25, ["18/45", "50", "O2"], gf="40/80", last_stop=20, units="imperial"
    ),
    "no_stop": lambda: upline.plan(18, 40, ["32"], gf="40/85", rmv=20),
    "refused": lambda: upline.plan(60, 30, ["air", "50"], gf="40/120", max_po2=1.6),
    "second": lambda: upline.plan(
        39, 30, ["26", "50"], gf="40/80", start=upline.plan(42, 30, ["26", "50"], gf="40/80").end
    ),
}


@pytest.fixture(params=["quince", *PLANS])
def plan(request: pytest.FixtureRequest, quince: upline.Plan) -> upline.Plan:
    return PLANS[request.param]() if request.param in PLANS else quince


def test_cells_are_those_of_the_printed_table(plan: upline.Plan) -> None:
    page = Reader(plan._repr_html_())
    printed = [squeezed(line) for line in str(plan).splitlines()]
    head, *body = [[squeezed(text) for _, _, text in row] for row in page.rows]
    names = printed.index("depth leave at stay breathe po2 held by")
    unit = "m" if plan.units == "metric" else "ft"
    assert head == [
        f"depth {unit}",
        "leave at min",
        "stay min",
        "breathe",
        "po2 bar",
        "held by half-time",
    ]
    shown = [squeezed(" ".join(row)) for row in body]
    assert len(shown) >= 2
    assert shown == printed[names + 2 : names + 2 + len(shown)]
    assert printed[names + 2 + len(shown)] == ""  # and the printed table has no line more
    assert all(len(row) == 6 for row in body)


def test_all_other_words_are_those_of_the_printed_plan(plan: upline.Plan) -> None:
    page = Reader(plan._repr_html_())
    printed = str(plan)
    assert page.caption == printed.splitlines()[0]
    after = printed[printed.index("Run time ") :]
    assert squeezed(page.after_table) == squeezed(after)


def test_what_every_schedule_carries(plan: upline.Plan) -> None:
    words = squeezed(Reader(plan._repr_html_()).words)
    assert f"({plan.units} schedule)" in words
    assert plan.assumptions in words
    assert "No time to fly is computed here." in words
    assert words.endswith("Have a second person recompute it before it is dived.")


def test_cautions_name_their_severity_in_words(plan: upline.Plan) -> None:
    items = Reader(plan._repr_html_()).items
    assert items == [f"{one.severity}: {one.text}" for one in plan.cautions]


def test_a_refusal_stands_first() -> None:
    refused = Reader(PLANS["refused"]()._repr_html_())
    assert squeezed(refused.before_table).startswith("Refused: make no slate of this.")
    assert refused.items[0].startswith("refuses: ")


def test_no_refusal_where_none_is(quince: upline.Plan) -> None:
    page = Reader(quince._repr_html_())
    assert squeezed(page.before_table) == ""
    assert "Refused" not in page.words


def test_headings_have_a_scope(plan: upline.Plan) -> None:
    head, *body = Reader(plan._repr_html_()).rows
    assert [(tag, attrs["scope"]) for tag, attrs, _ in head] == [("th", "col")] * 6
    for row in body:
        assert (row[0][0], row[0][1]["scope"]) == ("th", "row")
        assert [tag for tag, _, _ in row[1:]] == ["td"] * 5


def test_nothing_runs_and_nothing_is_fetched(plan: upline.Plan) -> None:
    page = Reader(plan._repr_html_())
    known = {"style", "div", "p", "strong", "table", "caption", "thead", "tbody", "tr", "th", "td"}
    assert {tag for tag, _ in page.tags} <= known | {"br", "span", "ul", "li"}
    used = {name for _, attrs in page.tags for name in attrs}
    assert used <= {"class", "scope"}
    assert "url(" not in page.style
    assert "@import" not in page.style


def test_colours_are_those_of_the_page(quince: upline.Plan) -> None:
    style = Reader(quince._repr_html_()).style
    colours = re.findall(r"(?<![-\w])color:\s*([^;}]+)", style)
    assert set(colours) == {"inherit"}
    borders = re.findall(r"border-(?:top|bottom):\s*([^;}]+)", style)
    assert borders
    assert all(border.endswith("currentColor") for border in borders)
    assert set(re.findall(r"background[-\w]*:\s*([^;}]+)", style)) == {"none"}
    assert not re.search(r"#[0-9a-fA-F]{3}|rgb|hsl", style)


def test_the_style_reaches_nothing_else(quince: upline.Plan) -> None:
    rules = re.findall(r"([^{}]+)\{[^{}]*\}", Reader(quince._repr_html_()).style)
    assert len(rules) > 5
    for rule in rules:
        assert all(
            part.strip().startswith(".upline ") or part.strip() == ".upline"
            for part in rule.split(",")
        )


def test_words_are_escaped(quince: upline.Plan, monkeypatch: pytest.MonkeyPatch) -> None:
    hostile = '<script>alert("&")</script>'
    cells = [["depth", "leave at", "stay", "breathe", "po2", "held by"], [hostile] * 6]
    monkeypatch.setattr(upline._core, "schedule_title", lambda plan: hostile)
    monkeypatch.setattr(upline._core, "schedule_table", lambda plan: [*cells, [hostile] * 6])
    monkeypatch.setattr(upline._core, "schedule_sums", lambda plan: hostile)
    monkeypatch.setattr(upline._core, "foot", hostile)
    page = Reader(quince._repr_html_())
    assert "script" not in {tag for tag, _ in page.tags}
    assert page.caption == hostile
    assert [text for _, _, text in page.rows[1]] == [hostile] * 6
    assert hostile in page.after_table

"""Checks and replays as HTML: the words of their text, in order, on any ground."""

from __future__ import annotations

import dataclasses
import re

import pytest
import upline
from html_reader import Reader, squeezed

DIVE = {"depth": 57, "bottom_time": 25, "gases": ["18/45", "50", "O2"], "gf": "40/80"}
# An invented table for the Quince Blossom (invented).
ROWS = [(24, 2), (21, 1), (18, 2), (15, 2), (12, 4), (9, 5), (6, 20)]
SOUND = [(27, 1), *ROWS[:-2], (9, 6), (6, 22)]
FEET = [(90, 1), (80, 3), (70, 2), (60, 2), (50, 3), (40, 4), (30, 6), (20, 22)]
STEPS = [(59 - 0.5 * k, 0.5) for k in range(107)]  # a hundred rows and some
STEPS[52] = (4, 0.5)  # the worst of them far from both ends

CHECKS = {
    "short": lambda: upline.check(ROWS, **DIVE, switch_time=0),
    "sound": lambda: upline.check(SOUND, **DIVE, minutes="without travel", switch_time=0),
    "feet": lambda: upline.check(FEET, **{**DIVE, "depth": 190}, units="imperial"),
    "text": lambda: upline.check(
        "57 m, 25 min on 18/45, 50, O2: 24/2 12/1 18/2 15/2 12/4 9/5 6/20", gf="40/80"
    ),
    "leave": lambda: upline.check(
        [{"depth": depth, "leave at": at} for depth, at in ((21, 30), (9, 40), (6, 50))],
        **DIVE,
        switch_time=0,
    ),
    "hopeless": lambda: upline.check([(6, 1)], **DIVE, minutes="without travel"),
    "long": lambda: upline.check(
        STEPS, **{**DIVE, "depth": 60}, minutes="without travel", switch_time=0
    ),
}
PATH = [(0, 0, "18/45"), (3, 57), (25, 57), (29, 21, "50"), (34, 21), (37, 6, "O2"), (60, 6),
        (61, 0)]  # fmt: skip
REPLAYS = {
    "beyond": lambda: upline.replay(PATH, gf="40/80"),
    "within": lambda: upline.replay([(0, 0, "air"), (2, 10), (15, 10), (17, 0)], gf="40/80"),
    "feet": lambda: upline.replay(
        [(0, 0, "air"), (2, 100), (25, 100), (29, 0)], gf="100/100", units="imperial"
    ),
    "added": lambda: upline.replay([(1, 5, "air"), (3, 30), (10, 30), (13, 2)], gf="40/80"),
}


@pytest.fixture(params=CHECKS)
def check(request: pytest.FixtureRequest):
    return CHECKS[request.param]()


@pytest.fixture(params=REPLAYS)
def replay(request: pytest.FixtureRequest):
    return REPLAYS[request.param]()


def tables(page: Reader) -> dict[str, list[list[str]]]:
    """Rows of each table by the first words of its head, units left out of the names."""
    found: dict[str, list[list[str]]] = {}
    for row in page.rows:
        cells = [squeezed(text) for _, _, text in row]
        if all(tag == "th" for tag, _, _ in row):
            body = found.setdefault(cells[0], [])
        else:
            body.append(cells)
    return found


def minutes(cell: str) -> float:
    whole, _, seconds = cell.partition(":")
    return int(whole) + int(seconds or 0) / 60


# ---- check ---------------------------------------------------------------------------------------


def test_the_verdict_stands_first(check) -> None:
    before = squeezed(Reader(check._repr_html_()).before_table)
    assert before.startswith(squeezed(check.sentence))


def test_whole_sentences_are_those_of_the_text(check) -> None:
    page = Reader(check._repr_html_())
    text = squeezed(check.text)
    words = squeezed(page.words)
    none = "No minutes are computed" if check.unsettled else "No minutes added"
    for one in ("missing" if check.repaired else none, "Assumptions: ZH-L16C"):
        assert one in words
    paragraphs = re.findall(r"<p[^>]*>(.*?)</p>", check._repr_html_(), re.DOTALL)
    shown = [squeezed(Reader(f"<div>{one}</div>").words) for one in paragraphs]
    own = {"Notes"}
    left_out = [one for one in shown if one not in text and one not in own]
    assert [one for one in left_out if "are left out here" not in one] == []
    assert len(shown) >= 4


def test_readings_name_what_differs_and_their_verdict(check) -> None:
    body = next(iter(tables(Reader(check._repr_html_())).values()))
    shown = [
        one
        for one in check.readings
        if any(
            f"{one.surfacing_fraction:.3f}" in row
            and ("satisfies" if one.satisfies else "does not") in row
            for row in body
        )
    ]
    assert check.readings[0] in shown
    assert check.readings[check.governing] in shown
    assert len(body) <= len(check.readings)
    if len(check.readings) <= 6:
        assert len(body) == len(check.readings)
    else:
        assert f"{len(check.readings)} readings were tried" in check._repr_html_()
        usual = answers(check.readings[0])
        near = {j for j, one in enumerate(check.readings) if differ(usual, answers(one)) <= 1}
        assert len(body) == len(near | {check.governing})


def answers(reading) -> tuple[str, ...]:
    return dataclasses.astuple(reading)[:5]


def differ(one: tuple[str, ...], other: tuple[str, ...]) -> int:
    return sum(x != y for x, y in zip(one, other, strict=True))


def test_rows_are_as_followed(check) -> None:
    body = tables(Reader(check._repr_html_()))[f"depth {'m' if check.units == 'metric' else 'ft'}"]
    if len(check.rows) > 40:
        assert 20 < len(body) < 50
        return
    followed = body[: len(check.rows) + 1]
    for row, cells in zip(check.rows, followed, strict=False):
        assert float(cells[0]) == row.depth
        assert minutes(cells[1]) == pytest.approx(row.departs, abs=1 / 60 + 1e-9)
        assert cells[3].endswith(row.gas.spoken)
        assert cells[3].startswith("switch to ") == (row.gas != row.arrives_on)
        assert float(cells[4]) == pytest.approx(row.po2, abs=0.005)
        assert float(cells[5]) == pytest.approx(row.margin, abs=0.0005)
    assert followed[-1][3] == "surface"
    stays = sum(minutes(cells[2]) for cells in followed[:-1])
    spent = check.rows[-1].departs - check.replay.judged_from
    assert stays == pytest.approx(spent, abs=len(check.rows) / 60)


def test_what_is_missing_adds_up() -> None:
    check = CHECKS["short"]()
    # Both tables begin with the depth: the rows as followed, the surface, the rows with more.
    body = tables(Reader(check._repr_html_()))["depth m"][len(check.rows) + 1 :]
    assert [float(cells[0]) for cells in body] == [row.depth for row in check.repaired]
    changes = [cells[-1] for cells in body]
    more = [minutes(one.removesuffix(" more")) for one in changes if one.endswith(" more")]
    new = [minutes(cells[1]) for cells in body if cells[-1] == "a new stop"]
    assert len(new) == 1
    assert sum(more) + sum(new) == pytest.approx(check.missing_minutes)


def test_nothing_is_repaired_where_nothing_is_missing() -> None:
    html = CHECKS["sound"]()._repr_html_()
    assert "No minutes are missing." in html
    assert "The table with what is missing" not in html
    assert "The table with what is missing" in CHECKS["short"]()._repr_html_()


def test_consequences_and_pairs_are_ranked_as_they_are(check) -> None:
    found = tables(Reader(check._repr_html_()))
    carried = found.get("done otherwise", [])
    texts = [one.text for one in check.consequences]
    assert [cells[0] for cells in carried] == texts[: len(carried)]
    assert len(carried) == min(8, len(texts))
    for cells, one in zip(carried, check.consequences, strict=False):
        assert (cells[-1] == "no addition suffices") == (one.missing_minutes is None)
    pairs = found.get("factors low/high", [])
    front = [one for one in check.factor_pairs if one.high <= 1.0]  # above it they are only data
    assert bool(pairs) == bool(front)
    lows = [float(cells[0].split("/")[0]) for cells in pairs]
    assert lows == sorted(lows)
    # Of neighbours with the same high factor the first says all.
    every = [f"{one.high:.3f}" for one in front]
    for low in lows:
        j = next(j for j, one in enumerate(front) if 0 <= low / 100 - one.low < 0.001)
        assert j == 0 or every[j] != every[j - 1]
    assert len(pairs) == min(12, sum(x != y for x, y in zip(every, [None, *every], strict=False)))
    if pairs:  # rounded to the strict side
        first = front[0]
        low, high = (float(x) / 100 for x in pairs[0][0].split("/"))
        assert 0 <= low - first.low < 0.001
        assert 0 <= high - first.high < 0.001


def test_findings_cautions_notes_and_rows_as_read(check) -> None:
    page = Reader(check._repr_html_())
    items = [squeezed(one) for one in page.items]
    wanted = [one.text for one in check.findings]
    wanted += [f"{one.severity}: {one.text}" for one in check.cautions]
    wanted += check.table.notes
    assert items == [squeezed(one) for one in wanted]
    read = tables(page)["row"]
    for number, written, as_read in read:
        row = check.table.rows[int(number) - 1]
        assert (written, as_read) == (squeezed(row.text), squeezed(row.read_as))
    if len(check.rows) <= 40:
        assert len(read) == len(check.rows)


def test_a_long_table_stays_short() -> None:
    check = CHECKS["long"]()
    html = check._repr_html_()
    assert len(html) < 25_000
    page = Reader(html)
    (said,) = re.findall(r"(\d+) of 107 rows are left out here, none .* margin below (\S+) bar",
                         page.words)  # fmt: skip
    read = [int(cells[0]) - 1 for cells in tables(page)["row"]]
    assert int(said[0]) == 107 - len(read)
    others = [row.margin for j, row in enumerate(check.rows) if j not in read]
    assert min(others) == pytest.approx(float(said[1]), abs=0.0005)
    tightest = min(range(107), key=lambda j: check.rows[j].margin)
    assert tightest == 51  # its margin is on arrival at the next
    assert tightest in read


# ---- replay --------------------------------------------------------------------------------------


def test_a_replay_says_whether_it_is_within_the_line(replay) -> None:
    page = Reader(replay._repr_html_())
    before = squeezed(page.before_table)
    beyond = any(one.code == "limit_exceeded" for one in replay.cautions)
    assert before.startswith("Beyond the limit line" if beyond else "Within the limit line")
    assert ("not a statement that it is safe" in before) != beyond
    assert f"margin {replay.margin:.3f} bar" in before
    for one in before.split(". "):
        assert one.rstrip(".") in squeezed(str(replay))


def test_both_tight_moments_and_all_stops(replay) -> None:
    found = tables(Reader(replay._repr_html_()))
    for cells, one in zip(found["where"], (replay.tightest, replay.surfacing), strict=True):
        assert [float(x) for x in cells[3:5]] == pytest.approx(
            [one.pressure, one.fraction], abs=5e-4
        )
    assert found["where"][1][0] == "the surface"
    stops = found.get(f"depth {'m' if replay.units == 'metric' else 'ft'}", [])
    assert len(stops) == len(replay.stops)
    for cells, stop in zip(stops, replay.stops, strict=True):
        assert float(cells[0]) == pytest.approx(stop.depth, abs=0.005)
        assert [cells[5], cells[6]] == [f"{stop.held_by:g} min", f"{stop.runner_up:g} min"]
        assert float(cells[7]) == pytest.approx(stop.gap, abs=5e-4)


def test_notes_of_a_replay() -> None:
    replay = REPLAYS["added"]()
    items = Reader(replay._repr_html_()).items
    assert set(replay.notes) <= set(items)
    assert len(replay.notes) == 2


# ---- both ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("make", [*CHECKS.values(), *REPLAYS.values()])
def test_it_is_accessible_and_carries_the_foot(make) -> None:
    html = make()._repr_html_()
    page = Reader(html)
    known = {"style", "div", "p", "strong", "table", "caption", "thead", "tbody", "tr", "th", "td"}
    assert {tag for tag, _ in page.tags} <= known | {"br", "span", "ul", "li"}
    assert {name for _, attrs in page.tags for name in attrs} <= {"class", "scope"}
    assert html.count("<table>") == html.count("<caption>") >= 1
    scopes = {attrs.get("scope") for tag, attrs in page.tags if tag == "th"}
    assert scopes == {"col", "row"}
    assert squeezed(page.words).endswith("recompute it before it is dived.")
    assert "No time to fly is computed here." in page.words


@pytest.mark.parametrize("result", [CHECKS["feet"], REPLAYS["feet"]])
def test_feet_are_said_everywhere(result) -> None:
    words = squeezed(Reader(result()._repr_html_()).words)
    assert not re.search(r"\bm\b", words)
    assert re.search(r"\bft\b", words)


@pytest.mark.parametrize("name", ["sentence", "addition"])
def test_words_are_escaped(name) -> None:
    check = CHECKS["sound"]()
    hostile = "<script>alert('&')</script>"
    page = Reader(dataclasses.replace(check, **{name: hostile})._repr_html_())
    assert "script" not in {tag for tag, _ in page.tags}
    assert hostile in page.words

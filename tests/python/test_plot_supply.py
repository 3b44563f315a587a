"""Gas of one diver as a picture and as HTML: what each cylinder holds, told without colour."""

from __future__ import annotations

import math
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
import upline
from html_reader import Reader, squeezed
from upline import Cylinder

TEAM = Path(__file__).parents[2] / "docs" / "examples" / "quince_team.toml"
RATES = {"working": 20, "resting": 15, "stress": 40}  # L/min; invented, as the divers are
DECO = [Cylinder(7, 180, "50", 10), Cylinder(5, 150, "O2", 10)]
ADA = upline.Diver("Ada", [Cylinder(12, 200, "18/45", 10, joined=2), *DECO], **RATES)
BEN = upline.Diver(
    "Ben",
    [Cylinder(12, 200, "18/45", 10), Cylinder(12, 180, "18/45", 10), *DECO],
    **RATES,
)
UNITS = {
    "closes": lambda plan: upline.consumption(plan, ADA),
    "empty": lambda plan: upline.consumption(plan, BEN, stress_from=12),
    "refused": lambda plan: upline.consumption(
        upline.plan(57, 25, ["21/20", "50"], gf="40/80"),
        upline.Diver("Cleo", [Cylinder(12, 230, "21/20", 10, joined=2), DECO[0]], **RATES),
    ),
}


@pytest.fixture(params=UNITS)
def use(request: pytest.FixtureRequest, quince: upline.Plan):
    return UNITS[request.param](quince)


# ---- content -------------------------------------------------------------------------------------


def test_content_is_what_the_gauge_stands_for(use) -> None:
    assert use.content == tuple(one.content for one in use.cylinders)
    before = use.content
    for row in use.rows:
        for j, one in enumerate(use.cylinders):
            assert row.content[j] == pytest.approx(before[j] - row.taken[j], abs=1e-9)
            assert row.content[j] == pytest.approx(one.content_at(row.left[j]), abs=1e-6)
        before = row.content


def test_content_stands_in_frame_and_data(use) -> None:
    data = use.to_dict()
    assert data["rows"][-1]["content"] == list(use.rows[-1].content)
    assert data["content"] == list(use.content)
    assert (data["diver"], data["assumptions"]) == (use.diver.name, use.plan.assumptions)
    pytest.importorskip("pandas")
    frame = use.to_frame()
    name = f"content_1_{use.cylinders[0].gas}_l"
    assert list(frame[name]) == [row.content[0] for row in use.rows]


# ---- HTML ----------------------------------------------------------------------------------------


def test_html_has_the_words_of_the_text(use) -> None:
    page = Reader(use._repr_html_())
    words = squeezed(page.words)
    assert page.caption == use.title
    shown = [[text for _, _, text in row] for row in page.rows]
    assert shown[1:] == [list(line) for line in use.table[2:]]
    for text in (*use.empty, *use.sums, use.verdict, use.breathing):
        assert squeezed(text) in words
        assert squeezed(text) in squeezed(str(use))
    for one in use.plan.cautions:
        assert squeezed(one.text) in words
    assert "It does not make a dive safe" in words
    assert ("refused" in words.lower()) == use.plan.refused
    assert "color" not in page.style.replace("currentColor", "").replace("color: inherit", "")


# ---- the picture ---------------------------------------------------------------------------------

RESERVES = {1: 900, "50": 400}  # [L]


@pytest.fixture
def drawing() -> Iterator[object]:
    matplotlib = pytest.importorskip("matplotlib")
    matplotlib.use("Agg")
    import matplotlib.pyplot as plt

    yield plt
    plt.close("all")


def lines_of(ax) -> dict[str, np.ndarray]:
    return {one.get_label(): np.asarray(one.get_xydata()) for one in ax.lines}


@pytest.mark.parametrize("style", ["default", "dark_background"])
def test_the_picture_can_be_read(use, drawing, style: str) -> None:
    import picture_reader as reader

    with drawing.style.context(style):
        for reserve in (None, RESERVES):
            ax = use.plot(reserve=reserve)
            reader.require_one_ink(ax)
            reader.require_contrast(ax)
            reader.require_room(ax.figure)
            labels = [one.get_label() for one in ax.lines]
            assert sorted(labels) == sorted(reader.texts(ax))  # each line has its words
            assert len({one.get_linestyle() + str(one._unscaled_dash_pattern) for one in ax.lines}
                       ) >= len(use.cylinders)  # fmt: skip
            assert "It does not make a dive safe" in reader.below(ax)
            assert use.verdict in reader.title(ax)
            assert use.title in reader.title(ax)
            for line in use.empty:
                assert line in reader.title(ax)
            assert (upline._core.refusal in reader.title(ax)) == use.plan.refused
            assert "[L]" in ax.get_ylabel()
            for one in ax.lines:
                reader.require_off_the_line(ax, one.get_label())


def test_lines_go_through_the_contents_of_the_rows(use, drawing) -> None:
    ax = use.plot()
    for j, (label, drawn) in enumerate(lines_of(ax).items()):
        assert label.startswith(use.cylinders[j].gas.spoken)
        assert tuple(drawn[0]) == (0.0, pytest.approx(use.content[j]))
        for row in use.rows:
            at = drawn[:, 0] == row.ends
            assert at.sum() == 1
            assert drawn[at, 1][0] == pytest.approx(row.content[j], abs=1e-9)
        assert (np.diff(drawn[:, 0]) > 0).all()
        assert (np.diff(drawn[:, 1]) <= 0).all()
        gone = any(row.empty_at is not None and row.gas == use.cylinders[j].gas for row in use.rows)
        if gone:
            assert "empty" in label
        else:
            assert f" {math.floor(use.rows[-1].content[j])} L left" in label


def test_the_sharing_reserve_is_taken_from_where_it_was_found(drawing) -> None:
    dive = upline.read_dive(TEAM)
    plan = upline.plan(57, 11, ["18/45", "50", "O2"], gf="40/80", last_stop=6)
    kept = upline.reserves(plan, dive.divers, **dive.reserve)
    needed = next(one for one in kept.requirements if (one.diver, one.what) == ("Ben", "sharing"))
    lines = lines_of(upline.consumption(plan, dive.divers[1]).plot(reserve=kept))
    up = -(-needed.needed // 1)
    assert set(lines[f"sharing, 18/45: {up:.0f} L"][:, 1]) == {up}
    with pytest.raises(upline.InvalidInput, match="another plan or team"):
        upline.consumption(dive.plan(), dive.divers[1]).plot(reserve=kept)


def test_a_reserve_is_a_line_with_its_words(drawing, quince: upline.Plan) -> None:
    use = upline.consumption(quince, ADA)
    ax = use.plot(reserve={"18/45": 900, 3: 5000, upline.Gas("50"): 400})
    lines = lines_of(ax)
    assert set(lines["reserve of 18/45: 900 L"][:, 1]) == {900}
    assert set(lines["reserve of 50 %: 400 L"][:, 1]) == {400}
    name = "reserve of cylinder 3, oxygen: 5000 L, more than it holds"
    assert set(lines[name][:, 1]) == {5000}
    assert ax.get_ylim()[1] > 5000
    assert list(lines[name][:, 0]) == [0, quince.run_time]


def test_on_axes_of_ones_own(drawing, quince: upline.Plan) -> None:
    _, ax = drawing.subplots(figsize=(6, 4))
    assert upline.consumption(quince, ADA).plot(ax) is ax
    assert len(ax.lines) == 3


def test_in_cubic_feet(drawing) -> None:
    plan = upline.plan(100, 25, ["32"], gf="40/80", units="imperial")
    tank = Cylinder(0.8, 3000, "32", 50, units="imperial")
    diver = upline.Diver("Ada", [tank], working=0.7, resting=0.5, stress=1.5)
    ax = upline.consumption(plan, diver).plot(reserve={"32": 20})
    assert "[cu ft]" in ax.get_ylabel()
    assert "reserve of 32 %: 20 cu ft" in lines_of(ax)


@pytest.mark.parametrize(
    ("reserve", "says"),
    [
        ({4: 100}, "reserve is of cylinder 4; allowed: 1 to 3"),
        ({0: 100}, "reserve is of cylinder 0"),
        ({"40": 100}, "of 40 %, which is in 0 cylinders"),
        ({"18/45": -1}, "reserve of 18/45 is -1"),
        ({"18/45": math.nan}, "reserve of 18/45 is"),
        ({"18/45": 1e9}, "0 to 1000000 L"),
    ],
)
def test_a_reserve_that_is_none(drawing, quince: upline.Plan, reserve, says: str) -> None:
    with pytest.raises(upline.InvalidInput) as caught:
        upline.consumption(quince, ADA).plot(reserve=reserve)
    assert says in str(caught.value)


def test_a_reserve_of_another_kind(drawing, quince: upline.Plan) -> None:
    use = upline.consumption(quince, ADA)
    for reserve in (900, [900], {"18/45": "900"}, {None: 3}, {True: 3}, {1.0: 3}):
        with pytest.raises(upline.WrongType):
            use.plot(reserve=reserve)
    with pytest.raises(upline.InvalidInput, match="18/45, which is in 2 cylinders"):
        upline.consumption(quince, BEN).plot(reserve={"18/45": 900})
    with pytest.raises(upline.WrongType, match="ax"):
        use.plot("here")

"""Pictures of checks and replays: the path, the margin below it, and where it is tightest."""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator

import numpy as np
import pytest
import upline

matplotlib = pytest.importorskip("matplotlib")
matplotlib.use("Agg")

import matplotlib.pyplot as plt  # noqa: E402
from matplotlib.axes import Axes  # noqa: E402
from picture_reader import (  # noqa: E402
    below,
    by_label,
    line,
    require_contrast,
    require_off_the_line,
    require_one_ink,
    require_room,
    texts,
    title,
)

DIVE = {"depth": 57, "bottom_time": 25, "gases": ["18/45", "50", "O2"], "gf": "40/80"}
# An invented table for the Quince Blossom (invented).
ROWS = [(24, 2), (21, 1), (18, 2), (15, 2), (12, 4), (9, 5), (6, 20)]
FEET = [(90, 1), (80, 3), (70, 2), (60, 2), (50, 3), (40, 4), (30, 6), (20, 22)]
CHECKS = {
    "short": lambda: upline.check(ROWS, **DIVE, switch_time=0),
    "sound": lambda: upline.check(
        [(27, 1), *ROWS[:-2], (9, 6), (6, 22)], **DIVE, minutes="without travel", switch_time=0
    ),
    "half": lambda: upline.check(
        [*ROWS[:-1], (6, 12)], **DIVE, minutes="with travel", switch_time=0
    ),
    "feet": lambda: upline.check(
        FEET, **{**DIVE, "depth": 190}, units="imperial", minutes="without travel"
    ),
}
PATH = [(0, 0, "18/45"), (3, 57), (25, 57), (29, 21, "50"), (34, 21), (37, 6, "O2"), (60, 6),
        (61, 0)]  # fmt: skip
REPLAYS = {
    "beyond": lambda: upline.replay(PATH, gf="40/80"),
    "direct": lambda: upline.replay(
        [(0, 0, "air"), (2, 30), (25, 30), (28, 0)], gf="100/100", bottom_left=25
    ),
    "within": lambda: upline.replay([(0, 0, "air"), (2, 10), (15, 10), (17, 0)], gf="40/80"),
    "travel": lambda: upline.replay(
        [(0, 0, "50"), (1, 15, "18/45"), (4, 57), (20, 57), (26, 9), (40, 9), (42, 0)], gf="30/70"
    ),
    "feet": lambda: upline.replay(
        [(0, 0, "air"), (2, 100), (25, 100), (29, 0)], gf="100/100", units="imperial"
    ),
}
ALL = {**CHECKS, **REPLAYS}


@pytest.fixture(autouse=True)
def _close_figures() -> Iterator[None]:
    assert plt.get_fignums() == []
    yield
    plt.close("all")


@pytest.fixture(params=ALL)
def result(request: pytest.FixtureRequest):
    return ALL[request.param]()


def replay_of(result):
    return getattr(result, "replay", result)


def least(replay):
    return min((replay.surfacing, replay.tightest), key=lambda one: one.pressure)


def both(result) -> tuple[Axes, Axes]:
    ax = result.plot()
    assert ax.figure.axes[0] is ax
    return ax, ax.figure.axes[1]


def test_the_line_is_the_path() -> None:
    ax, _ = both(REPLAYS["beyond"]())
    drawn = line(ax, "profile")
    times, depths = [point[0] for point in PATH], [point[1] for point in PATH]
    np.testing.assert_allclose(drawn[:, 1], np.interp(drawn[:, 0], times, depths), atol=1e-9)
    for corner in zip(times, depths, strict=True):
        assert np.abs(drawn - corner).sum(axis=1).min() < 1e-9


def test_the_margin_is_that_of_the_replay(result) -> None:
    replay = replay_of(result)
    _, margin = both(result)
    drawn = line(margin, "margin")
    assert drawn[:, 1].min() == pytest.approx(replay.margin, abs=1e-7)
    assert drawn[0, 0] == pytest.approx(replay.judged_from)
    assert drawn[-1] == pytest.approx([replay.run_time, replay.surfacing.pressure], abs=1e-9)
    assert margin.get_ylabel() == "margin [bar]"
    assert margin.get_xlabel() == "run time [min]"
    low, high = margin.get_ylim()
    assert low < min(replay.margin, 0.0)
    assert high > 0.0


def test_the_least_margin_has_a_ring_and_words(result) -> None:
    replay = replay_of(result)
    ax, margin = both(result)
    worst = least(replay)
    assert line(ax, "least margin").tolist() == [[worst.run_time, worst.depth]]
    assert line(margin, "least margin").tolist() == [[worst.run_time, worst.pressure]]
    (words,) = [one for one in texts(margin) if "least" in one]
    words = " ".join(words.replace("\N{NO-BREAK SPACE}", " ").split())
    unit = "m" if replay.units == "metric" else "ft"
    where = f"{worst.depth:.1f}".rstrip("0").rstrip(".")
    assert f"{where} {unit}, run time" in words or "surface, run time" in words
    assert f"{worst.half_time:g}-min compartment" in words
    assert f"least {worst.pressure:.3f} bar" in words


def test_what_is_beyond_the_line_is_hatched_and_named(result) -> None:
    _, margin = both(result)
    regions = by_label(margin, "beyond the limit line")
    named = [one for one in texts(margin) if "beyond the limit line" in one]
    beyond = replay_of(result).margin < 0.0
    assert len(regions) == len(named) == int(beyond)
    for region in regions:
        assert region.get_hatch()
        heights = region.get_paths()[0].vertices[:, 1]
        assert heights.max() == 0.0
        assert heights.min() == margin.get_ylim()[0]
    assert [one for one in texts(margin) if one.startswith("0: ")] == ["0: the limit line"]


def test_what_is_beyond_can_be_seen() -> None:
    replay = replay_of(CHECKS["short"]())
    _, margin = both(replay)
    low, high = margin.get_ylim()
    assert -replay.margin / (high - low) > 0.08


def test_rows_are_named_by_their_depth() -> None:
    check = CHECKS["sound"]()
    found = texts(both(check)[0])
    for row in check.rows:
        name = f"{row.depth:g} m"
        if row.gas != row.arrives_on:
            name = f"{row.gas.spoken} at {name}"
        assert found.count(name) == 1, name


def test_gases_stand_along_the_line(result) -> None:
    ax, _ = both(result)
    found = texts(ax)
    if isinstance(result, upline._check_results.Check):
        assert "18/45" in found
        assert sum(" at " in one for one in found) == 2
    for switch in line_ticks(ax):
        assert any(one.startswith(f"{switch} at ") for one in found)


def line_ticks(ax: Axes) -> list[str]:
    labels = [str(one.get_label()) for one in ax.lines]
    return [one.removeprefix("switch to ") for one in labels if one.startswith("switch to ")]


def test_the_ceiling_is_that_of_the_model() -> None:
    """A plan played back has the ceiling of its trace."""
    plan = upline.plan(57, 25, ["18/45", "50", "O2"], gf="40/80", last_stop=6, rounding="exact")
    points = [(0.0, 0.0, str(plan.rows[0].gas))]
    for row, after in zip(plan.rows, [*plan.rows[1:], plan.rows[-1]], strict=True):
        points.append((row.ends, row.to_depth, str(after.gas)))
    ax = upline.replay(points, gf="40/80", bottom_left=25).plot()
    (region,) = by_label(ax, "ceiling")
    trace = plan.trace(0.1)
    assert region.get_paths()[0].vertices[:, 1].max() == pytest.approx(
        trace.ceiling.max(), rel=1e-3
    )


def test_the_words_above_and_below(result) -> None:
    ax, margin = both(result)
    replay = replay_of(result)
    assert "does not make a dive safe" in below(margin)
    for one in replay.cautions:
        if one.severity == "refuses":
            assert f"refuses: {one.text}" in below(margin)
    assert f"({replay.units})" in title(ax)
    assert "ZH-L16C" in title(ax)
    if replay is not result:
        assert title(ax).startswith(result.sentence)
        assert f": {result.reading}. " in title(ax)
    else:
        beyond = replay.margin < 0.0
        assert title(ax).startswith("Beyond" if beyond else "Within")


def test_many_that_refuse_are_counted() -> None:
    path = [(0, 0, "50")]
    for k in range(6):
        path += [(3 + 6 * k, 30 + k, "50"), (6 + 6 * k, 30 + k)]
    replay = upline.replay([*path, (50, 0)], gf="40/80")
    refusing = sum(one.severity == "refuses" for one in replay.cautions)
    assert refusing > 4
    words = below(both(replay)[1])
    assert words.count("refuses:") == 4
    assert f"{refusing - 4} more that refuse" in words


def test_many_changes_of_gas_do_not_cover_each_other() -> None:
    path = [(0, 0, "air"), (2, 30), *((3 + k, 30, str(22 + k)) for k in range(8)), (40, 0)]
    ax, _ = both(upline.replay(path, gf="40/80"))
    assert len(line_ticks(ax)) == 8
    assert 0 < sum(" at 30 m" in one for one in texts(ax)) < 8
    require_room(ax.figure)


def test_in_given_axes_only_the_path_is_drawn(result) -> None:
    figure, ax = plt.subplots()
    assert result.plot(ax=ax) is ax
    assert figure.axes == [ax]
    assert ax.get_xlabel() == "run time [min]"
    assert "does not make a dive safe" in below(ax)


@pytest.mark.parametrize("name", ["feet"])
def test_feet_are_said_everywhere(name) -> None:
    for make in (CHECKS[name], REPLAYS[name]):
        ax, margin = both(make())
        assert ax.get_ylabel() == "depth [ft]"
        written = " ".join([title(ax), below(margin), *texts(ax), *texts(margin)])
        assert not re.search(r"\bm\b", written.replace("\N{NO-BREAK SPACE}", " "))


@pytest.mark.parametrize("size", [8, 10, 14])
def test_words_neither_overlap_nor_leave_the_picture(result, size) -> None:
    with plt.rc_context({"font.size": size}):
        require_room(both(result)[0].figure)


def test_words_keep_off_the_lines(result) -> None:
    ax, margin = both(result)
    require_off_the_line(ax)
    require_off_the_line(margin, "margin")


@pytest.mark.parametrize("style", ["default", "dark_background", "grayscale", "ggplot"])
@pytest.mark.parametrize("name", ["short", "beyond"])
def test_every_style_can_be_read_in_one_ink(name, style) -> None:
    with plt.style.context(style):
        for ax in both(ALL[name]()):
            require_contrast(ax)
            require_one_ink(ax)


def test_a_long_log_is_thinned_and_keeps_its_ends() -> None:
    rng = np.random.default_rng(20261125)
    count = 9000
    times = np.linspace(0.0, 30.0, count)
    depths = np.maximum(np.interp(times, [0, 2, 25, 30], [0, 30, 30, 0])
                        + rng.normal(0.0, 0.05, count), 0.0)  # fmt: skip
    depths[0] = depths[-1] = 0.0
    depths[5000] = 31.0  # the deepest, for one sample
    points = [(float(t), float(d), None) for t, d in zip(times, depths, strict=True)]
    points[6001] = (*points[6001][:2], "50")
    replay = upline.replay(points, gases="32", gf="40/85", bottom_left=25)
    ax, margin = both(replay)
    drawn = line(ax, "profile")
    assert len(drawn) < 3000
    assert drawn[:, 1].max() == pytest.approx(31.0)
    assert drawn[-1].tolist() == pytest.approx([replay.run_time, 0.0], abs=1e-9)
    # The tightest moment and the change of gas are drawn where they are, thinned out or not.
    for moment in (replay.tightest.run_time, times[6001]):
        assert np.abs(drawn[:, 0] - moment).min() == pytest.approx(0.0, abs=1e-9)
    (tick,) = [one for one in ax.lines if one.get_label() == "switch to 50 %"]
    assert tick.get_xydata()[0].tolist() == pytest.approx([times[6001], depths[6001]])
    assert line(margin, "margin")[:, 1].min() == pytest.approx(replay.margin, abs=1e-9)


@pytest.mark.parametrize("ax", [1, "ax", [], object()])
@pytest.mark.parametrize("name", ["sound", "within"])
def test_axes_of_the_wrong_type(name, ax) -> None:
    with pytest.raises(upline.WrongType, match="Axes of matplotlib"):
        ALL[name]().plot(ax=ax)
    with pytest.raises(upline.WrongType, match="axes"):
        ALL[name]().plot(axes=ax)


def test_without_matplotlib(monkeypatch: pytest.MonkeyPatch) -> None:
    results = [CHECKS["sound"](), REPLAYS["within"]()]
    for name in ("matplotlib", "matplotlib.pyplot", "matplotlib.axes"):
        monkeypatch.setitem(sys.modules, name, None)
    for one in results:
        with pytest.raises(upline.Error, match="plot needs matplotlib"):
            one.plot()

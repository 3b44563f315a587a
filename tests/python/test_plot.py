"""Pictures of plans: what is drawn, where the words stand, and that any style can be read."""

from __future__ import annotations

import re
import subprocess
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
    words_in,
)

CAUTION = "does not make a dive safe"

PLANS = {
    "quince": lambda: upline.plan(57, 25, ["18/45", "50", "O2"], gf="40/80", last_stop=6),
    "levels": lambda: upline.plan(
        [(57, 20), (42, 45)], gases=["18/45", "50", "O2"], gf="30/70", travel=("50", 17)
    ),
    "imperial": lambda: upline.plan(
        190, 25, ["18/45", "50", "O2"], gf="40/80", last_stop=20, units="imperial"
    ),
    "no_stop": lambda: upline.plan(18, 40, ["32"], gf="40/85"),
    "no_anchor": lambda: upline.plan(10, 5, "air", gf="40/80"),
    "short_stop": lambda: upline.plan(30, 25, ["32"], gf="30/70"),
    "four_gases": lambda: upline.plan(
        75, 20, ["15/55", "35/25", "50", "O2"], gf="20/75", travel=("35/25", 30)
    ),
    "refused": lambda: upline.plan(60, 30, ["air", "50"], gf="40/120", max_po2=1.6),
}


@pytest.fixture(params=PLANS)
def plan(request: pytest.FixtureRequest) -> upline.Plan:
    return PLANS[request.param]()


@pytest.fixture(autouse=True)
def _close_figures() -> Iterator[None]:
    assert plt.get_fignums() == []
    yield
    plt.close("all")


# ---- profile and margin --------------------------------------------------------------------------


def test_profile_is_the_trace(plan: upline.Plan) -> None:
    ax = plan.plot()
    assert isinstance(ax, Axes)
    drawn = line(ax, "profile")
    times = [0.0, *(row.ends for row in plan.rows)]
    depths = [0.0, *(row.to_depth for row in plan.rows)]
    np.testing.assert_allclose(drawn[:, 1], np.interp(drawn[:, 0], times, depths), atol=1e-9)
    for corner in zip(times, depths, strict=True):
        assert np.abs(drawn - corner).sum(axis=1).min() < 1e-9


def test_depth_runs_downwards_from_the_surface(plan: upline.Plan) -> None:
    ax = plan.plot()
    bottom, top = ax.get_ylim()
    assert top == 0.0
    assert bottom > line(ax, "profile")[:, 1].max()


def test_axes_name_their_units(plan: upline.Plan) -> None:
    ax = plan.plot()
    margin = ax.figure.axes[1]
    assert ax.get_ylabel() == ("depth [m]" if plan.units == "metric" else "depth [ft]")
    assert margin.get_xlabel() == "run time [min]"
    assert margin.get_ylabel() == "fraction [1]"
    assert f"({plan.units} schedule)" in title(ax)
    assert "ZH-L16C" in title(ax)


def test_ceiling_is_hatched_and_named(plan: upline.Plan) -> None:
    trace = plan.trace(0.1)
    ax = plan.plot()
    regions = by_label(ax, "ceiling")
    if not trace.ceiling.any():
        assert regions == []
        assert "ceiling" not in texts(ax)
        return
    (region,) = regions
    assert region.get_hatch()
    corners = region.get_paths()[0].vertices
    assert corners[:, 1].max() == pytest.approx(trace.ceiling.max(), rel=0.01)
    assert texts(ax).count("ceiling") == 1


def test_switches_are_ticks_with_the_mix(plan: upline.Plan) -> None:
    ax = plan.plot()
    unit = "m" if plan.units == "metric" else "ft"
    ticks = [one for one in ax.lines if str(one.get_label()).startswith("switch to ")]
    assert len(ticks) == len(plan.switches)
    for tick, switch in zip(ticks, plan.switches, strict=True):
        assert tick.get_marker() == "|"
        assert tick.get_xydata().tolist() == [[switch.run_time, switch.depth]]
        assert f"{switch.gas.spoken} at {switch.depth:g} {unit}" in texts(ax)


def test_gas_stands_along_the_line(plan: upline.Plan) -> None:
    ax = plan.plot()
    names = {row.gas.spoken for row in plan.rows}
    found = [one for one in words_in(ax) if one.get_text() in names]
    assert plan.rows[0].gas.spoken in {one.get_text() for one in found}
    for one in found:  # each at a moment at which it is breathed
        time, depth = one.xy
        (row,) = [row for row in plan.rows if row.begins < time < row.ends]
        assert row.gas.spoken == one.get_text()
        assert min(row.from_depth, row.to_depth) <= depth <= max(row.from_depth, row.to_depth)


def test_the_demo_names_each_gas_once(quince: upline.Plan) -> None:
    assert sorted(texts(quince.plot())) == [
        "18/45",
        "50 % at 21 m",
        "ceiling",
        "oxygen at 6 m",
    ]


def test_margin_is_what_lies_between(plan: upline.Plan) -> None:
    ax = plan.plot()
    margin = ax.figure.axes[1]
    trace = plan.trace(max(plan.run_time / 500, 1 / 60))
    np.testing.assert_array_equal(
        line(margin, "supersaturation fraction allowed")[:, 1], trace.factor
    )
    np.testing.assert_array_equal(line(margin, "reached")[:, 1], trace.fraction.max(1))
    (region,) = by_label(margin, "margin")
    at_depth = (plan.bottom_time / 2, plan.arguments["gf"][0] / 2)
    assert any(part.contains_point(at_depth) for part in region.get_paths())
    assert margin.get_xlim() == ax.get_xlim()
    low, high = margin.get_ylim()
    assert low == 0.0
    assert high > max(plan.surfacing_fraction, plan.arguments["gf"][1])


def test_every_picture_carries_the_caution(plan: upline.Plan) -> None:
    ax = plan.plot()
    assert CAUTION in below(ax.figure.axes[1])
    assert CAUTION in below(plan.plot_compartments())
    _, given = plt.subplots()
    assert CAUTION in below(plan.plot(ax=given))


def test_a_refused_plan_says_so_first() -> None:
    plan = PLANS["refused"]()
    for ax in (plan.plot(), plan.plot_compartments()):
        assert title(ax).startswith("Refused: make no slate")
    reasons = [one.text for one in plan.cautions if one.severity == "refuses"]
    assert len(reasons) == 2
    for reason in reasons:
        assert f"refuses: {reason}" in below(plan.plot().figure.axes[1])


def test_cautions_are_counted(quince: upline.Plan) -> None:
    assert [one.severity for one in quince.cautions].count("caution") == 3
    assert "In the printed plan: 3 cautions, 2 notes." in below(quince.plot().figure.axes[1])


def test_in_given_axes_only_the_profile_is_drawn(quince: upline.Plan) -> None:
    figure, (left, right) = plt.subplots(1, 2, figsize=(11, 5), layout="constrained")
    assert quince.plot(ax=left) is left
    assert quince.plot_compartments(40, ax=right) is right
    assert figure.axes == [left, right]
    assert left.get_xlabel() == "run time [min]"
    assert "metric schedule" in title(left)


def test_nothing_is_shown(quince: upline.Plan, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(plt, "show", lambda *_, **__: pytest.fail("shown"))
    quince.plot()
    quince.plot_compartments()
    assert len(plt.get_fignums()) == 2


# ---- compartments --------------------------------------------------------------------------------


def test_compartments_on_surfacing(plan: upline.Plan) -> None:
    ax = plan.plot_compartments()
    half_times = upline.compartments("ZH-L16C").n2_half_time
    total = plan.end.nitrogen + plan.end.helium
    breathed_helium = bool(plan.end.helium.any())
    drawn = line(ax, "both together" if breathed_helium else "nitrogen")
    np.testing.assert_array_equal(drawn[:, 0], half_times)
    np.testing.assert_allclose(drawn[:, 1], total, rtol=1e-12)
    assert ax.get_xscale() == "log"
    assert ax.get_ylabel() == "tension [bar]"
    assert "half-time" in ax.get_xlabel()
    assert "At the surface, run time" in title(ax)
    labels = {str(one.get_label()) for one in ax.lines}
    assert ("helium" in labels) is breathed_helium
    assert "ambient pressure 1.01 bar" in labels


def test_tensions_of_both_gases_and_what_is_allowed(quince: upline.Plan) -> None:
    ax = quince.plot_compartments(33)
    trace = quince.trace()
    at = int(np.argmin(np.abs(trace.time - 33)))
    np.testing.assert_allclose(line(ax, "nitrogen")[:, 1], trace.nitrogen[at], rtol=1e-9)
    np.testing.assert_allclose(line(ax, "helium")[:, 1], trace.helium[at], rtol=1e-9)
    allowed = line(ax, f"allowed at a factor of {trace.factor[at]:.2f}")
    np.testing.assert_allclose(allowed[:, 1], trace.allowed[at], rtol=1e-9)
    styles = [one.get_linestyle() for one in ax.lines[:4]]
    assert len(set(styles)) == 4
    assert "At 21 m, run time 33 min" in title(ax)


@pytest.mark.parametrize("moment", [0, 1 / 60, 12.3456, np.float32(20.0), np.int64(69)])
def test_any_moment_of_the_dive(quince: upline.Plan, moment: float) -> None:
    ax = quince.plot_compartments(moment)
    clock = title(ax).rpartition("run time ")[2].removesuffix(" min")
    minutes, _, seconds = clock.partition(":")
    assert int(minutes) + int(seconds or 0) / 60 == pytest.approx(float(moment), abs=1 / 60)


def test_a_moment_of_a_very_long_dive() -> None:
    plan = upline.plan(6, 100_000, "air", gf="30/70")
    ax = plan.plot_compartments()
    np.testing.assert_allclose(line(ax, "nitrogen")[:, 1], plan.end.nitrogen, rtol=1e-9)


@pytest.mark.parametrize("moment", [-1, 0.001, 69.7, float("nan"), float("inf"), 10**400])
def test_no_moment_of_the_dive(quince: upline.Plan, moment: float) -> None:
    with pytest.raises(upline.InvalidInput, match="run_time"):
        quince.plot_compartments(moment)


@pytest.mark.parametrize("moment", ["33", True, [33], 33j, np.complex128(33)])
def test_a_moment_of_the_wrong_type(quince: upline.Plan, moment: object) -> None:
    with pytest.raises(upline.WrongType, match="run_time"):
        quince.plot_compartments(moment)


# ---- legibility ----------------------------------------------------------------------------------


@pytest.mark.parametrize("style", ["default", "dark_background", "grayscale", "ggplot"])
def test_every_style_can_be_read(quince: upline.Plan, style: str) -> None:
    with plt.style.context(style):
        for ax in (*quince.plot().figure.axes, quince.plot_compartments()):
            require_contrast(ax)


@pytest.mark.parametrize("style", ["default", "dark_background"])
def test_there_is_one_ink(style: str) -> None:
    """No colour tells anything: every line, region and word has the same."""
    with plt.style.context(style):
        plan = PLANS["four_gases"]()
        for ax in (*plan.plot().figure.axes, plan.plot_compartments(30)):
            require_one_ink(ax)


@pytest.mark.parametrize("size", [8, 10, 14])
def test_words_neither_overlap_nor_leave_the_picture(plan: upline.Plan, size: float) -> None:
    with plt.rc_context({"font.size": size}):
        ax = plan.plot()
        require_room(ax.figure)


def test_words_keep_off_the_line(plan: upline.Plan) -> None:
    require_off_the_line(plan.plot())


def test_no_unit_is_parted_from_its_number(plan: upline.Plan) -> None:
    for ax in (*plan.plot().figure.axes, plan.plot_compartments()):
        for one in (ax.get_title("left"), *(text.get_text() for text in ax.texts)):
            assert not re.search(r"\d\n(m|ft|min|bar|%)\b", one)


# ---- what can be missing or wrong ----------------------------------------------------------------


def test_without_matplotlib(quince: upline.Plan, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("matplotlib", "matplotlib.pyplot", "matplotlib.axes"):
        monkeypatch.setitem(sys.modules, name, None)
    for draw in (quince.plot, quince.plot_compartments, lambda: quince.plot(ax=1)):
        with pytest.raises(upline.Error, match=r'pip install matplotlib, or .* "\.\[plot\]"'):
            draw()


@pytest.mark.parametrize("ax", [1, "ax", [], object()])
def test_axes_of_the_wrong_type(quince: upline.Plan, ax: object) -> None:
    with pytest.raises(upline.WrongType, match="Axes of matplotlib"):
        quince.plot(ax=ax)
    with pytest.raises(upline.WrongType, match="Axes of matplotlib"):
        quince.plot_compartments(ax=ax)


def test_matplotlib_and_pandas_are_imported_when_used() -> None:
    code = (
        "import sys, upline;"
        "p = upline.plan(30, 20, '32', gf='40/85'); str(p); p._repr_html_(); p.trace();"
        "print({'matplotlib', 'pandas'} & set(sys.modules))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "set()"

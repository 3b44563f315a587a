"""Where a path that names no gas takes up those that are carried."""

from __future__ import annotations

import numpy as np
import pytest
import upline

GASES = ["18/45", "50", "O2"]
PLAN = upline.plan(57, 25, GASES, gf="40/80", last_stop=6, switch_time=0, rounding="exact")
PATH = [(0.0, 0.0), *((row.ends, row.to_depth) for row in PLAN.rows)]


def breathed(replay: upline.Replay) -> list[str]:
    """Return the gases in the order in which they are breathed."""
    line = next(line for line in str(replay).splitlines() if line.startswith("Breathed: "))
    return [part.split(" from ")[0] for part in line.removeprefix("Breathed: ").split(", ")]


@pytest.mark.parametrize("gases", [GASES, ["18/45", "50@21", "O2@6"], ["18/45", "O2", "50"]])
@pytest.mark.parametrize("bottom_left", [25, None])
def test_a_bare_path_breathes_what_the_plan_does(gases, bottom_left) -> None:
    r = upline.replay(PATH, gases=gases, gf="40/80", bottom_left=bottom_left)
    assert r.surfacing_fraction == pytest.approx(PLAN.surfacing_fraction, abs=1e-9)
    assert breathed(r) == ["18/45", "50 %", "oxygen"]
    assert "50 % from 21 m at" in str(r)
    assert "oxygen from 6 m at" in str(r)


def test_each_gas_is_noted_with_its_depth_and_run_time() -> None:
    r = upline.replay(PATH, gases=["18/45", "50@18", "O2"], gf="40/80", bottom_left=25)
    at_18 = next(row.ends for row in PLAN.rows if row.to_depth == 18)
    notes = "\n".join(r.notes)
    assert "18/45 is taken as breathed from the beginning" in notes
    assert "50 % is taken as breathed from 18 m, run time" in notes
    assert "switch depth as given" in notes
    assert "the deepest rung within 1.63 bar of oxygen" in notes
    starts = {str(gas): begins for _, begins, _, gas in r._path.gases()}
    assert starts["50"] == pytest.approx(at_18, abs=1e-9)


def test_one_gas_is_breathed_to_the_surface() -> None:
    alone = upline.replay(PATH, gases="18/45", gf="40/80", bottom_left=25)
    assert breathed(alone) == ["18/45"]
    assert alone.surfacing_fraction > 1.2


def test_a_path_that_names_its_gases_counts() -> None:
    named = [(0, 0, "18/45"), (3, 57), (25, 57), (31, 21, "50"), (50, 0)]
    with_more = upline.replay(named, gases=GASES, gf="40/80", bottom_left=25)
    without = upline.replay(named, gf="40/80", bottom_left=25)
    assert with_more.surfacing_fraction == without.surfacing_fraction
    assert any("oxygen is not taken as breathed" in note for note in with_more.notes)
    assert not any("50 %" in note for note in with_more.notes)


def test_a_gas_is_taken_up_after_the_last_time_that_is_deeper() -> None:
    path = [(0, 0), (3, 57), (25, 57), (31, 15), (33, 15), (36, 40), (40, 40), (44, 12), (60, 0)]
    r = upline.replay(path, gases=["18/45", "50"], gf="40/80", bottom_left=25)
    starts = {str(gas): begins for _, begins, _, gas in r._path.gases()}
    assert starts["50"] == pytest.approx(40 + 4 * (40 - 21) / 28, abs=1e-9)


def test_a_slow_ascent_is_no_stop() -> None:
    path = [(0, 0), (3, 57), (25, 57), (85, 6), (100, 6), (102, 0)]
    r = upline.replay(path, gases=GASES, gf="40/80", bottom_left=25)
    starts = {str(gas): begins for _, begins, _, gas in r._path.gases()}
    assert starts["50"] == pytest.approx(25 + 60 * (57 - 21) / 51, abs=1e-9)


def test_a_log_whose_stop_is_not_quite_at_the_depth() -> None:
    """A gauge says 21.3 and 6.2 for the stops at 21 and 6 m."""
    trace = PLAN.trace(1 / 6)
    depth = np.asarray(trace.depth)
    depth = np.where(np.isclose(depth, 21), 21.3, np.where(np.isclose(depth, 6), 6.2, depth))
    r = upline.replay((np.asarray(trace.time), depth), gases=GASES, gf="40/80")
    starts = {str(gas): begins for _, begins, _, gas in r._path.gases()}
    for gas, level in (("50", 21), ("O2", 6)):
        arrives = next(row.ends for row in PLAN.rows if row.to_depth == level)
        assert starts[gas] == pytest.approx(arrives, abs=0.2)


def test_what_is_never_taken_up_is_noted() -> None:
    r = upline.replay(PATH, gases=["18/45", "16/50", "50"], gf="40/80", bottom_left=25)
    assert any("16/50 is not taken as breathed" in note for note in r.notes)
    assert breathed(r) == ["18/45", "50 %"]


@pytest.mark.parametrize(
    ("gases", "says"),
    [
        (["18/45", "50@21", "O2@21"], "both taken up at 21 m"),
        (["18/45@57", "50"], "with a switch depth"),
        ([], "gases"),
    ],
)
def test_gases_that_cannot_be_taken_up(gases, says) -> None:
    with pytest.raises(upline.InvalidInput, match=says):
        upline.replay(PATH, gases=gases, gf="40/80", bottom_left=25)


def test_run_time_and_depth_swapped() -> None:
    swapped = [(0, 0), (57, 3), (57, 25), (0, 30)]
    with pytest.raises(upline.InvalidInput, match="first number of a waypoint is its run time"):
        upline.replay(swapped, gases="18/45", gf="40/80")
    with pytest.raises(upline.InvalidInput, match="first number of a waypoint is its run time"):
        upline.replay([(0, 0), (57, 3), (57, 25), (21, 30)], gases="18/45", gf="40/80")
    with pytest.raises(upline.InvalidInput, match="a last waypoint at run time 0 min") as caught:
        upline.replay([(0, 0), (3, 57), (25, 57), (0, 0)], gases="18/45", gf="40/80")
    assert "swapped" not in str(caught.value)


def test_the_unit_of_the_times_is_asked_for_by_the_call_that_takes_it() -> None:
    with pytest.raises(upline.InvalidInput, match=r'read_log\(..., time="s"\)'):
        upline.replay("time,depth\n0,0\n60,20\n120,0\n", gases="air", gf="40/80")
    with pytest.raises(upline.WrongType, match=r'read_log\(log, time="s"\)'):
        upline.replay(PATH, gases="air", gf="40/80", time="s")

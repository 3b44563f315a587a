"""A plan judged by what the analyser read."""

from __future__ import annotations

import json

import pytest
import upline
from html_reader import Reader
from upline import Analysis


@pytest.fixture(scope="module")
def plan() -> upline.Plan:
    """The Quince Blossom (invented)."""
    return upline.plan(57, 25, ["18/45", "50", "O2"], gf="40/80", last_stop=6)


def test_a_right_label_is_accepted(plan: upline.Plan) -> None:
    found = upline.judge_analyses(plan, Analysis("50", "50", 0.0), allowance=0.0)
    assert found.remedy == "accept"
    assert found.label.mixes == 1
    assert found.label.surfacing_fraction == pytest.approx(plan.surfacing_fraction)
    assert found.as_read.run_time == found.leanest.run_time == plan.run_time


def test_each_remedy(plan: upline.Plan) -> None:
    lean = upline.judge_analyses(plan, Analysis("18/45", "16.5/45", 0.0, 0.0), allowance=0.0)
    assert (lean.remedy, lean.label.holds, lean.as_read_trial.holds) == ("relabel", False, True)
    assert lean.as_read.run_time > plan.run_time
    loose = upline.judge_analyses(plan, Analysis("18/45", "18/45", 0.02, 0.02), allowance=0.0)
    assert loose.remedy == "plan lean"
    rich = upline.judge_analyses(plan, Analysis("18/45", "24/45", 0.01, 0.0), allowance=0.05)
    assert (rich.remedy, rich.as_read, rich.as_read_trial) == ("re-blend", None, None)
    assert "bottom gas" in rich.reason


def test_the_worst_mix_replays_to_the_margin_told(plan: upline.Plan) -> None:
    found = upline.judge_analyses(
        plan, [Analysis("18/45", "18/45", 0.01, 0.01), Analysis("50", "50", 0.01)], allowance=0.0
    )
    worst = {str(label): mix for label, mix in zip(("18/45", "50", "O2"), found.label.worst,
                                                    strict=True)}  # fmt: skip
    path = [(row.begins, row.from_depth, worst[str(row.gas)]) for row in plan.rows]
    path.append((plan.run_time, 0.0))
    seen = upline.replay(path, gf="40/80", bottom_left=25)
    assert min(seen.tightest.pressure, seen.surfacing.pressure) == pytest.approx(
        found.label.margin, abs=1e-9
    )


def test_text_html_frame_and_data(plan: upline.Plan) -> None:
    found = upline.judge_analyses(plan, [Analysis("50", "53", 0.005)], allowance=0.05)
    assert found.findings[0].startswith("Relabel:")
    assert "does not make a dive safe" in str(found)
    page = Reader(found._repr_html_())
    assert page.items == list(found.findings[1:])
    assert "does not make a dive safe" in page.words
    data = json.loads(json.dumps(found.to_dict()))
    assert data["as_read"]["kind"] == data["plan"]["kind"]
    assert "relabel" in repr(found)
    pytest.importorskip("pandas")
    frame = found.to_frame()
    assert list(frame["highest_po2_bar"]) == [found.gases[0].highest_po2]


def test_feet() -> None:
    plan = upline.plan(190, 25, ["18/45", "50"], gf="40/80", units="imperial")
    found = upline.judge_analyses(plan, Analysis("50", "50", 0.01), allowance=0.02)
    assert found.units == "imperial"
    assert found.gases[0].deepest == 70
    assert found.table[1][2] == "ft"


def test_bad_input(plan: upline.Plan) -> None:
    with pytest.raises(TypeError, match="oxygen_error"):
        Analysis("50", "49")
    with pytest.raises(upline.InvalidInput, match="helium_error is missing"):
        Analysis("18/45", "18/45", 0.01)
    with pytest.raises(TypeError, match="allowance"):
        upline.judge_analyses(plan, Analysis("50", "49", 0.01))
    with pytest.raises(upline.InvalidInput, match="oxygen_error"):
        upline.judge_analyses(plan, Analysis("50", "49", 1), allowance=0.02)
    with pytest.raises(upline.InvalidInput, match="does not breathe"):
        upline.judge_analyses(plan, Analysis("32", "32", 0.01), allowance=0.02)
    for wrong in ("50", [("50", "49")], None):
        with pytest.raises(upline.WrongType, match="analyses"):
            upline.judge_analyses(plan, wrong, allowance=0.02)

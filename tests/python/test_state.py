"""States: what a dive leaves, and resting."""

from __future__ import annotations

import pickle

import numpy as np
import pytest
import upline
from hypothesis import given
from hypothesis import strategies as st


@pytest.fixture(scope="module")
def state(quince: upline.Plan) -> upline.State:
    return quince.end


def test_it_describes_the_end_of_the_dive(quince: upline.Plan, state: upline.State) -> None:
    assert state.clock == quince.run_time
    assert state.model == "ZH-L16C"
    assert state.surface_pressure == 1.01325
    assert state.cns == quince.oxygen.cns
    assert state.otu == quince.oxygen.otu
    assert state.day_share == quince.oxygen.day_share
    assert len(state.exposures) == 1
    fraction = upline.supersaturation_fraction(state.nitrogen, state.helium, 1.01325)
    assert fraction.max() == pytest.approx(quince.surfacing_fraction)


def test_tensions_are_read_only_views(state: upline.State) -> None:
    for tension in (state.nitrogen, state.helium):
        assert tension.shape == (16,)
        assert tension.dtype == np.float64
        assert not tension.flags.writeable
        assert tension.base is not None
        with pytest.raises(ValueError, match="read-only"):
            tension[0] = 0.0


def test_rest_lets_tensions_go_and_the_clock_run(state: upline.State) -> None:
    later = upline.rest(state, 90)
    assert later.clock == state.clock + 90
    assert later.cns == pytest.approx(state.cns / 2)  # a half-time of 90 min, common practice
    assert later.cns_without_recovery == state.cns_without_recovery
    assert (later.helium < state.helium).all()
    assert later != state
    assert upline.rest(state, 0) == state


def test_a_day_forgets_oxygen_but_not_the_slow_compartments(state: upline.State) -> None:
    day = upline.rest(state, 24 * 60)
    assert (day.otu, day.day_share, day.exposures) == (0, 0, ())
    rest = upline.equilibrium_with_air(1.01325)[0]
    assert day.nitrogen[-1] > rest[-1]


@given(st.floats(0, 2000), st.floats(0, 2000))
def test_two_rests_are_one(first: float, second: float) -> None:
    state = upline.plan(30, 25, "32", gf="40/80").end
    twice = upline.rest(upline.rest(state, first), second)
    once = upline.rest(state, first + second)
    np.testing.assert_allclose(twice.nitrogen, once.nitrogen, rtol=1e-12)
    assert twice.cns == pytest.approx(once.cns)


def test_oxygen_at_the_surface_is_counted(state: upline.State) -> None:
    on_oxygen = upline.rest(state, 30, "O2")
    on_air = upline.rest(state, 30)
    assert on_oxygen.cns > state.cns
    assert on_oxygen.nitrogen.sum() < on_air.nitrogen.sum()


def test_a_second_dive_is_longer(quince: upline.Plan) -> None:
    rules = {"gf": "40/80", "rounding": "exact"}
    first = upline.plan(45, 30, ["28", "50"], max_po2=1.6, **rules)
    soon = upline.plan(39, 30, ["28", "50"], start=upline.rest(first.end, 90), **rules)
    fresh = upline.plan(39, 30, ["28", "50"], **rules)
    assert soon.run_time > fresh.run_time
    assert soon.oxygen.cns_total > soon.oxygen.cns
    codes = {caution.code for caution in soon.cautions}
    assert "oxygen_history_unknown" not in codes
    assert soon.end.clock == pytest.approx(first.run_time + 90 + soon.run_time)


def test_units_do_not_matter_to_a_state() -> None:
    metric = upline.plan(30, 25, "32", gf="40/80").end
    assert upline.plan(90, 25, "32", gf="40/80", start=metric, units="imperial").units == "imperial"


def test_a_saved_state_is_the_same_state(state: upline.State) -> None:
    for saved in (
        upline.State.from_dict(state.to_dict()),
        upline.State.from_json(state.to_json()),
        pickle.loads(pickle.dumps(state)),
    ):
        assert saved == state
        assert saved.nitrogen.tolist() == state.nitrogen.tolist()
        rules = {"gf": "40/80", "rounding": "exact"}
        assert (
            upline.plan(30, 25, "32", start=saved, **rules).run_time
            == upline.plan(30, 25, "32", start=state, **rules).run_time
        )


def test_a_state_of_another_model_is_refused(state: upline.State) -> None:
    with pytest.raises(upline.InvalidInput, match="one model"):
        upline.plan(30, 25, "32", gf="40/80", start=state, model="ZH-L16C/5min")


@pytest.mark.parametrize("minutes", [-1, float("nan"), float("inf"), 1e6])
def test_rest_outside_its_range(state: upline.State, minutes: float) -> None:
    with pytest.raises(upline.InvalidInput, match="rest is"):
        upline.rest(state, minutes)


def test_rest_needs_a_state(quince: upline.Plan) -> None:
    with pytest.raises(upline.WrongType, match="hand on plan"):
        upline.rest(quince, 90)

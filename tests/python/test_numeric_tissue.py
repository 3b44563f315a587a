"""Loading of a segment against an ODE integrator and against 50-digit arithmetic."""

from __future__ import annotations

import numpy as np
import pytest
import upline
from hypothesis import given
from hypothesis import strategies as st
from reference.asked import text_of
from reference.data import rows
from reference.draws import steady
from reference.profile import Mix
from reference.table import MODELS, Array, compartments
from reference.tissue import Segment, by_ode, in_50_digits

mpmath = pytest.importorskip("mpmath")

MIXES = [
    Mix(0.21),
    Mix(0.32),
    Mix(0.5),
    Mix(1.0),
    Mix(0.18, 0.45),
    Mix(0.1, 0.7),
    Mix(0.21, 0.79),
    Mix(0.04, 0.96),
    Mix(0.5, 0.2),
]


def by_upline(tensions: tuple[Array, Array], segment: Segment, model: str) -> tuple[Array, Array]:
    return upline.advance(
        *tensions,
        minutes=segment.minutes,
        pressure=segment.pressure,
        rate=segment.rate,
        gas=text_of(Mix(segment.oxygen, segment.helium)),
        model=model,
        vapour=segment.vapour,
        set_point=segment.set_point,
    )


# ---- against the integrator --------------------------------------------------------------------

tensions_16 = st.lists(st.floats(0.0, 20.0), min_size=16, max_size=16).map(np.array)


@st.composite
def profiles(draw: st.DrawFn, *, on_a_loop: bool) -> list[Segment]:
    """Draw stays and ramps, each from where the last one ended; the gas changes between them."""
    pressure = draw(st.floats(0.5, 10.0))
    segments = []
    for _ in range(draw(st.integers(1, 5))):
        minutes = draw(st.one_of(st.just(0.0), st.floats(1e-3, 3.0), st.floats(1.0, 150.0)))
        end = draw(st.one_of(st.just(pressure), st.floats(0.5, 30.0)))
        mix = draw(st.sampled_from(MIXES))
        set_point = draw(st.floats(0.2, 1.6)) if on_a_loop else None
        rate = (end - pressure) / minutes if minutes > 0.0 else draw(st.floats(-2.0, 2.0))
        vapour = draw(st.sampled_from([0.0627, 0.0567, 0.0493]))
        segment = Segment(minutes, pressure, rate, mix.oxygen, mix.helium, set_point, vapour)
        segments.append(segment)
        pressure = segment.end_pressure
    return segments


def assert_follows_the_ode(start: tuple[Array, Array], profile: list[Segment], model: str) -> None:
    ours = theirs = start
    for segment in profile:
        ours = by_upline(ours, segment, model)
        theirs = by_ode(theirs, segment, model)
        for got, expected in zip(ours, theirs, strict=True):
            np.testing.assert_allclose(got, expected, rtol=0.0, atol=1e-9)


@steady(120)
@given(tensions_16, tensions_16, profiles(on_a_loop=False), st.sampled_from(MODELS))
def test_open_circuit_follows_the_ode(
    nitrogen: Array, helium: Array, profile: list[Segment], model: str
) -> None:
    assert_follows_the_ode((nitrogen, helium), profile, model)


@steady(120)
@given(tensions_16, tensions_16, profiles(on_a_loop=True), st.sampled_from(MODELS))
def test_loop_follows_the_ode(
    nitrogen: Array, helium: Array, profile: list[Segment], model: str
) -> None:
    assert_follows_the_ode((nitrogen, helium), profile, model)


@pytest.mark.parametrize("set_point", [0.21, 0.7, 1.3, 1.6])
@pytest.mark.parametrize("mix", MIXES, ids=text_of)
@pytest.mark.parametrize(("start", "end"), [(0.6, 7.0), (7.0, 0.6), (1.4, 1.2), (2.0, 2.0)])
def test_loop_ramps_across_both_clamps(
    start: float, end: float, mix: Mix, set_point: float
) -> None:
    segment = Segment(6.0, start, (end - start) / 6.0, mix.oxygen, mix.helium, set_point)
    tensions = upline.equilibrium_with_air(1.01325)
    assert_follows_the_ode(tensions, [segment], "ZH-L16C")


# ---- against 50 digits -------------------------------------------------------------------------

RATES_OF_16 = np.log(2) / np.concatenate(
    [compartments("ZH-L16C").n2_half_time, compartments("ZH-L16C").he_half_time]
)
# k t; 0.25 is where one way of evaluation may end and another begin.
CORNERS = [1e-9, 1e-7, 1e-4, 1e-2, 0.2, 0.2499999, 0.25, 0.2500001, 0.3, 1.0, 5.0, 40.0, 1e2, 1e3]
CLIMBS = [0.0, 1e-12, -1e-12, 0.3, -0.3, 3.0, -3.0, 30.0, -30.0]  # [bar]


def assert_exact(tensions: tuple[Array, Array], segment: Segment, model: str) -> None:
    """Within 1e-13 of the largest of start, inspired and climbed pressure, or 1e-15 bar."""
    got = by_upline(tensions, segment, model)
    expected = in_50_digits(tensions, segment, model)
    dry = segment.pressure - segment.vapour
    climb = segment.rate * segment.minutes
    shares = (1.0 - segment.oxygen - segment.helium, segment.helium)
    with mpmath.workdps(50):
        for ours, exact, start, share in zip(got, expected, tensions, shares, strict=True):
            for i in range(16):
                largest = max(float(start[i]), abs(dry * share), abs(climb * share))
                error = abs(mpmath.mpf(float(ours[i])) - exact[i])
                assert error <= max(1e-13 * largest, 1e-15), (i, float(error), largest)


@pytest.mark.parametrize("climb", CLIMBS)
@pytest.mark.parametrize("corner", CORNERS)
@pytest.mark.parametrize("compartment", [0, 15, 16, 31])
def test_hard_corners_to_thirteen_digits(compartment: int, corner: float, climb: float) -> None:
    minutes = float(corner / RATES_OF_16[compartment])
    fastest = 1e6  # [bar/min]; a limit of the interface, faster than any use
    rate = float(np.clip(climb / minutes, -fastest, fastest))
    for mix in (Mix(0.21), Mix(0.18, 0.45), Mix(1.0)):
        segment = Segment(minutes, 40.0, rate, mix.oxygen, mix.helium)
        for tensions in (
            upline.equilibrium_with_air(1.01325),
            (np.zeros(16), np.zeros(16)),
            (np.linspace(0.1, 20.0, 16), np.geomspace(1e-12, 20.0, 16)),
        ):
            assert_exact(tensions, segment, "ZH-L16C")


@steady(300)
@given(
    tensions_16,
    tensions_16,
    st.floats(-9.0, 3.0),
    st.integers(0, 31),
    st.floats(-1.0, 1.0),
    st.sampled_from(MIXES),
    st.sampled_from(MODELS),
)
def test_drawn_segments_to_thirteen_digits(
    nitrogen: Array,
    helium: Array,
    exponent: float,
    compartment: int,
    climb: float,
    mix: Mix,
    model: str,
) -> None:
    minutes = float(10.0**exponent / RATES_OF_16[compartment])
    rate = float(np.clip(35.0 * climb / minutes, -1e6, 1e6))
    segment = Segment(minutes, 36.0, rate, mix.oxygen, mix.helium)
    assert_exact((nitrogen, helium), segment, model)


@pytest.mark.parametrize("rate", [0.0, 2.0, -2.0, 1e6])
@pytest.mark.parametrize("set_point", [None, 1.3])
def test_no_time_changes_no_bit(rate: float, set_point: float | None) -> None:
    tensions = np.linspace(0.0, 9.0, 16), np.linspace(5.0, 0.0, 16)
    got = by_upline(tensions, Segment(0.0, 4.0, rate, 0.18, 0.45, set_point), "ZH-L16C")
    np.testing.assert_array_equal(got, tensions)


@pytest.mark.parametrize("model", MODELS)
@pytest.mark.parametrize("mix", MIXES, ids=text_of)
def test_equilibrium_stays(mix: Mix, model: str) -> None:
    dry = 5.0 - 0.0627
    tensions = np.full(16, dry * mix.nitrogen), np.full(16, dry * mix.helium)
    got = by_upline(tensions, Segment(1e4, 5.0, 0.0, mix.oxygen, mix.helium), model)
    np.testing.assert_allclose(got, tensions, rtol=1e-14, atol=1e-15)


@pytest.mark.parametrize("row", rows("initial_nitrogen"), ids=lambda r: str(r["tension_bar"]))
def test_start_on_air(row: dict[str, str]) -> None:
    nitrogen, helium = upline.equilibrium_with_air(
        float(row["surface_bar"]), vapour=float(row["vapour_bar"])
    )
    expected = pytest.approx(float(row["tension_bar"]), rel=0, abs=float(row["tol_bar"]))
    assert list(nitrogen) == [expected] * 16
    assert not helium.any()


@pytest.mark.parametrize("model", MODELS)
def test_coefficients_equal_the_second_typing(model: str) -> None:
    ours, typed = upline.compartments(model), compartments(model)
    for name in ("n2_half_time", "n2_a", "n2_b", "he_half_time", "he_a", "he_b"):
        column = getattr(ours, name)
        np.testing.assert_array_equal(column, getattr(typed, name))
        assert not column.flags.writeable

"""CNS shares and pulmonary dose on ramps against numerical integration."""

from __future__ import annotations

import math

import pytest
import upline
from hypothesis import given
from hypothesis import strategies as st
from reference.draws import steady

mpmath = pytest.importorskip("mpmath")
integrate = pytest.importorskip("scipy.integrate")

# NOAA Diving Manual (secondary); 0.5 bar after Baker (from memory, to be confirmed).
KNOTS = [0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.1, 1.2, 1.3, 1.4, 1.5, 1.6]
LIMITS = {
    "single": [900, 720, 570, 450, 360, 300, 240, 210, 180, 150, 120, 45],
    "day": [900, 720, 570, 450, 360, 300, 270, 240, 210, 180, 180, 150],
}
TABLE_ENDS = 1.63  # the last row holds to here, a convention of this library
BREAKS = [*KNOTS, TABLE_ENDS]


def limit(po2: mpmath.mpf, table: str) -> mpmath.mpf:
    """Minutes allowed; infinite at and below 0.5 bar."""
    values = LIMITS[table]
    if po2 <= KNOTS[0]:
        return mpmath.inf
    for j in range(len(KNOTS) - 1):
        if po2 <= KNOTS[j + 1]:
            # A knot is a decimal number, not the double nearest to it.
            left = mpmath.mpf(round(10 * KNOTS[j])) / 10
            return values[j] + (values[j + 1] - values[j]) * (po2 - left) * 10
    if po2 <= TABLE_ENDS:
        return mpmath.mpf(values[-1])
    beyond = po2 - mpmath.mpf("1.63")
    return values[-1] * mpmath.exp(-beyond * 10 * mpmath.log(mpmath.mpf(120) / 45))


def integral(function, start: float, end: float) -> mpmath.mpf:
    """Mean of a function of po2 between two values, in 30 digits, piece by piece."""
    with mpmath.workdps(30):
        low, high = sorted([mpmath.mpf(start), mpmath.mpf(end)])
        if low == high:
            return function(low)
        breaks = [mpmath.mpf(b) for b in BREAKS if low < b < high]
        return mpmath.quad(function, [low, *breaks, high]) / (high - low)


def expected_share(minutes: float, start: float, end: float, table: str) -> float:
    return float(minutes * integral(lambda po2: 1 / limit(po2, table), start, end))


def dose_rate(po2: mpmath.mpf) -> mpmath.mpf:
    """OTU a minute: ((po2 - 0.5) / 0.5)^(5/6)."""
    above = (po2 - mpmath.mpf("0.5")) / mpmath.mpf("0.5")
    return above ** (mpmath.mpf(5) / 6) if above > 0 else mpmath.mpf(0)


po2 = st.one_of(st.floats(0.0, 2.5), st.floats(0.45, 0.65), st.sampled_from(BREAKS))
tables = st.sampled_from(["single", "day"])


@steady(250)
@given(st.floats(1e-3, 500.0), po2, po2, tables)
def test_share_on_drawn_ramps(minutes: float, start: float, end: float, table: str) -> None:
    got = upline.cns_share(minutes, start, end, table)
    assert got == pytest.approx(expected_share(minutes, start, end, table), rel=1e-12, abs=1e-15)


@steady(250)
@given(st.floats(1e-3, 500.0), po2, po2)
def test_dose_on_drawn_ramps(minutes: float, start: float, end: float) -> None:
    got = upline.pulmonary_dose(minutes, start, end)
    expected = float(minutes * integral(dose_rate, start, end))
    assert got == pytest.approx(expected, rel=1e-12, abs=1e-12)


@pytest.mark.parametrize("span", [1e-15, 1e-13, 1e-10, 1e-7, 1e-4, 1e-2])
@pytest.mark.parametrize("middle", [0.5, 0.55, 0.6, 1.0, 1.23, 1.5, 1.6, 1.615, 1.63, 1.9])
@pytest.mark.parametrize("rising", [True, False], ids=["rising", "falling"])
def test_tiny_ramps(middle: float, span: float, *, rising: bool) -> None:
    """A ramp too short to matter is a stay, whichever way it goes and wherever it lies."""
    ends = (middle - span, middle + span) if rising else (middle + span, middle - span)
    for table in LIMITS:
        expected = expected_share(10.0, *ends, table)
        assert upline.cns_share(10.0, *ends, table) == pytest.approx(expected, rel=1e-12, abs=1e-17)
    expected = float(10.0 * integral(dose_rate, *ends))
    assert upline.pulmonary_dose(10.0, *ends) == pytest.approx(expected, rel=1e-12, abs=1e-15)


@pytest.mark.parametrize(
    ("start", "end"), [(0.21, 1.61325), (1.9, 0.3), (0.4, 0.7), (1.55, 1.75), (1.62, 1.64)]
)
def test_ramps_against_adaptive_quadrature(start: float, end: float) -> None:
    """The same again with another integrator, over time instead of over po2."""
    minutes = 7.0
    points = sorted((b - start) / (end - start) * minutes for b in BREAKS)
    inner = [t for t in points if 0.0 < t < minutes]

    def po2_at(t: float) -> mpmath.mpf:
        return mpmath.mpf(start + (end - start) * t / minutes)

    for table in LIMITS:
        expected, error = integrate.quad(
            lambda t, table=table: float(1 / limit(po2_at(t), table)),
            0.0,
            minutes,
            points=inner,
            epsabs=1e-13,
            epsrel=1e-12,
            limit=200,
        )
        assert error < 1e-11
        assert upline.cns_share(minutes, start, end, table) == pytest.approx(expected, rel=1e-11)
    dose, error = integrate.quad(
        lambda t: float(dose_rate(po2_at(t))),
        0.0,
        minutes,
        points=inner,
        epsabs=1e-12,
        epsrel=1e-12,
        limit=200,
    )
    assert error < 1e-8
    assert upline.pulmonary_dose(minutes, start, end) == pytest.approx(dose, rel=1e-9)


@pytest.mark.parametrize("table", LIMITS)
def test_stays_read_the_table(table: str) -> None:
    for knot, minutes in zip(KNOTS[1:], LIMITS[table][1:], strict=True):
        assert upline.cns_share(minutes, knot, knot, table) == pytest.approx(1.0, rel=1e-13)
    assert upline.cns_share(1e4, 0.5, 0.5, table) == 0.0
    assert upline.cns_share(1e4, 0.2, 0.5, table) == 0.0
    assert upline.cns_share(LIMITS[table][-1], 1.63, 1.63, table) == pytest.approx(1.0, rel=1e-13)


def test_beyond_the_table_the_limit_shortens_as_stated() -> None:
    """A tenth of a bar beyond 1.63 shortens it by 120/45, in either table."""
    for table, values in LIMITS.items():
        got = upline.cns_share(1.0, 1.73, 1.73, table)
        assert got == pytest.approx(120.0 / 45.0 / values[-1], rel=1e-12)


def test_no_oxygen_pressure_gives_no_dose() -> None:
    assert upline.pulmonary_dose(1e4, 0.5, 0.5) == 0.0
    assert upline.pulmonary_dose(1e4, 0.0, 0.5) == 0.0
    assert upline.pulmonary_dose(60.0, 1.0, 1.0) == pytest.approx(60.0, rel=1e-15)


@steady(200)
@given(st.floats(1e-3, 100.0), po2, po2, st.floats(0.01, 0.99), tables)
def test_a_ramp_in_two_parts_is_the_ramp(
    minutes: float, start: float, end: float, share: float, table: str
) -> None:
    middle = start + (end - start) * share
    first, second = minutes * share, minutes - minutes * share
    whole = upline.cns_share(minutes, start, end, table)
    parts = upline.cns_share(first, start, middle, table)
    parts += upline.cns_share(second, middle, end, table)
    assert parts == pytest.approx(whole, rel=1e-11, abs=1e-14)
    whole = upline.pulmonary_dose(minutes, start, end)
    parts = upline.pulmonary_dose(first, start, middle) + upline.pulmonary_dose(second, middle, end)
    assert math.isclose(parts, whole, rel_tol=1e-11, abs_tol=1e-12)

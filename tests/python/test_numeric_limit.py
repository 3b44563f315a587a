"""Tolerated pressure and supersaturation fraction at mixed gas: 50 digits, and M-values."""

from __future__ import annotations

import numpy as np
import pytest
import upline
from hypothesis import assume, given
from hypothesis import strategies as st
from reference.data import rows
from reference.draws import steady
from reference.limit_digits import fraction_in_50_digits, tolerated_in_50_digits
from reference.table import MODELS, Array, compartments

mpmath = pytest.importorskip("mpmath")

tensions_16 = st.lists(
    st.one_of(st.just(0.0), st.floats(1e-9, 30.0), st.floats(0.3, 6.0)), min_size=16, max_size=16
).map(np.array)
model_names = st.sampled_from(MODELS)


@steady(300)
@given(tensions_16, tensions_16, st.floats(0.05, 1.5), model_names)
def test_tolerated_pressure_to_thirteen_digits(
    nitrogen: Array, helium: Array, factor: float, model: str
) -> None:
    got = upline.tolerated_pressure(nitrogen, helium, factor, model=model)
    set_ = compartments(model)
    for i in range(16):
        exact = tolerated_in_50_digits(set_, i, nitrogen[i], helium[i], factor)
        largest = max(1.0, nitrogen[i] + helium[i])
        assert abs(mpmath.mpf(float(got[i])) - exact) <= 1e-14 * largest


@steady(300)
@given(tensions_16, tensions_16, st.floats(0.3, 36.0), model_names)
def test_fraction_to_thirteen_digits(
    nitrogen: Array, helium: Array, ambient: float, model: str
) -> None:
    """Relative to the terms that cancel, over the distance from ambient to the M-value."""
    got = upline.supersaturation_fraction(nitrogen, helium, ambient, model=model)
    set_ = compartments(model)
    for i in range(16):
        exact = fraction_in_50_digits(set_, i, nitrogen[i], helium[i], ambient)
        # The distance is a + p (1/b - 1), at least a; a and p/b carry the rounding.
        scale = (nitrogen[i] + helium[i] + 3.0 * ambient + 2.0) / set_.n2_a[i]
        error = abs(mpmath.mpf(float(got[i])) - exact)
        assert error <= 4e-16 * scale * max(1.0, abs(float(exact)))


@steady(200)
@given(tensions_16, tensions_16, st.floats(0.05, 1.5), model_names)
def test_one_inverts_the_other(nitrogen: Array, helium: Array, factor: float, model: str) -> None:
    """Supersaturation fraction at the tolerated pressure is the gradient factor."""
    tolerated = upline.tolerated_pressure(nitrogen, helium, factor, model=model)
    assume(np.any(tolerated > 0.1))
    for i in np.flatnonzero(tolerated > 0.1):
        fraction = upline.supersaturation_fraction(
            nitrogen, helium, float(tolerated[i]), model=model
        )
        assert fraction[i] == pytest.approx(factor, rel=0, abs=1e-12 * (1.0 + tolerated[i]))


def test_fraction_of_an_empty_compartment_uses_nitrogen() -> None:
    empty = np.zeros(16)
    set_ = compartments("ZH-L16C")
    got = upline.supersaturation_fraction(empty, empty, 1.0)
    np.testing.assert_allclose(got, -1.0 / (set_.n2_a + 1.0 / set_.n2_b - 1.0), rtol=1e-14)
    np.testing.assert_allclose(
        upline.tolerated_pressure(empty, empty, 1.0), -set_.n2_a * set_.n2_b, rtol=1e-14
    )


# ---- M-values -----------------------------------------------------------------------------------
# zhl16_m_values.csv: half a unit of the last printed digit is 0.05 msw and 5e-5 of the slope.

MSW = 0.1  # [bar]
M_VALUES = rows("zhl16_m_values")


def index_and_model(row: dict[str, str], variant: str) -> tuple[int, str]:
    """Position of a compartment in the set that has it: "1b" only in the 5-minute sets."""
    name = row["compartment"]
    suffix = "/5min" if name == "1b" else ""
    return int(name.rstrip("b")) - 1, f"ZH-L16{variant}{suffix}"


def tolerated(i: int, nitrogen: float, helium: float, model: str) -> float:
    n2, he = np.zeros(16), np.zeros(16)
    n2[i], he[i] = nitrogen, helium
    return float(upline.tolerated_pressure(n2, he, 1.0, model=model)[i])


@pytest.mark.parametrize("variant", ["A", "B", "C"])
@pytest.mark.parametrize("row", M_VALUES, ids=lambda r: r["compartment"])
def test_nitrogen_m_values(row: dict[str, str], variant: str) -> None:
    """The tension tolerated at 1 bar, and what one bar of depth adds to it."""
    i, model = index_and_model(row, variant)
    set_ = compartments(model)
    half_unit = 0.05 * MSW
    m0 = float(row[f"n2_M0_{variant}_msw"]) * MSW
    assert tolerated(i, m0, 0.0, model) == pytest.approx(1.0, rel=0, abs=half_unit * set_.n2_b[i])
    slope = 1.0 / (tolerated(i, m0 + 1.0, 0.0, model) - tolerated(i, m0, 0.0, model))
    assert slope == pytest.approx(float(row["n2_slope"]), rel=0, abs=5e-5)


@pytest.mark.parametrize("row", M_VALUES, ids=lambda r: r["compartment"])
def test_helium_m_values(row: dict[str, str]) -> None:
    i, model = index_and_model(row, "C")
    set_ = compartments(model)
    m0 = float(row["he_M0_msw"]) * MSW
    within = 0.05 * MSW * set_.he_b[i]
    assert tolerated(i, 0.0, m0, model) == pytest.approx(1.0, rel=0, abs=within)
    slope = 1.0 / (tolerated(i, 0.0, m0 + 1.0, model) - tolerated(i, 0.0, m0, model))
    assert slope == pytest.approx(float(row["he_slope"]), rel=0, abs=5e-5)


@pytest.mark.parametrize("row", M_VALUES, ids=lambda r: r["compartment"])
def test_fsw_m_values(row: dict[str, str]) -> None:
    """The same in fsw at 33 fsw, one atmosphere: 32.568 fsw to the bar."""
    fsw = 1.01325 / 33.0  # [bar]
    i, _ = index_and_model(row, "C")
    for variant in "ABC":
        _, model = index_and_model(row, variant)
        m0 = float(row[f"n2_M0_{variant}_fsw"]) * fsw
        fraction = _fraction(i, m0, 0.0, model)
        assert fraction == pytest.approx(1.0, rel=0, abs=_half_fsw(i, model, helium=False))
    _, model = index_and_model(row, "C")
    fraction = _fraction(i, 0.0, float(row["he_M0_fsw"]) * fsw, model)
    assert fraction == pytest.approx(1.0, rel=0, abs=_half_fsw(i, model, helium=True))


def _fraction(i: int, nitrogen: float, helium: float, model: str) -> float:
    n2, he = np.zeros(16), np.zeros(16)
    n2[i], he[i] = nitrogen, helium
    return float(upline.supersaturation_fraction(n2, he, 1.01325, model=model)[i])


def _half_fsw(i: int, model: str, *, helium: bool) -> float:
    """Half a unit of the last printed digit, 0.05 fsw, as a fraction of the way to the M-value.

    The table takes 32.568 fsw to the bar, itself rounded by up to 0.0005.
    """
    set_ = compartments(model)
    a, b = (set_.he_a, set_.he_b) if helium else (set_.n2_a, set_.n2_b)
    return (0.05 + 0.0005 * a[i]) * 1.01325 / 33.0 / (a[i] + 1.01325 / b[i] - 1.01325)


# ---- a worked number ----------------------------------------------------------------------------


def test_worked_mixture() -> None:
    """Compartment 2, 15 min at 60 m on 18/45 from a square profile, 10 m to the bar.

    Derived, not published: tensions 3.021964 helium and 2.068893 nitrogen tolerate 2.340784 bar.
    """
    got = tolerated(1, 2.068893, 3.021964, "ZH-L16C")
    assert got == pytest.approx(2.340784, rel=0, abs=2e-6)

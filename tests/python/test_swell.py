"""The last stop in swell, as Python sees it; the physics is tested in tests/cpp/test_swell.cpp."""

from __future__ import annotations

import json

import pytest
import upline
from hypothesis import given
from hypothesis import strategies as st


def test_the_demo_dive(quince: upline.Plan) -> None:
    found = upline.swell(quince, [0.5, 1.0, 1.5])
    assert [band.amplitude for band in found.bands] == [0.5, 1.0, 1.5]
    assert found.bands[1].shallowest == 5.0
    assert found.bands[1].highest_po2 == pytest.approx(1.01325 + 0.7, abs=1e-12)
    margins = [band.margin for band in found.bands]
    assert margins == sorted(margins, reverse=True)
    assert all(band.margin < band.calm_margin for band in found.bands)


def test_what_is_printed(quince: upline.Plan) -> None:
    found = upline.swell(quince, [1.0])
    shown = " ".join(str(found).split())
    assert "Swell at the last stop, 6 m" in shown
    assert "1.51 to 1.71" in shown
    assert "It does not make a dive safe" in shown
    assert found.table[1][0] == "m"


def test_feet_are_feet() -> None:
    plan = upline.plan(190, 25, ["18/45", "50", "O2"], gf="40/80", units="imperial", last_stop=20)
    band = upline.swell(plan, [3.0]).bands[0]
    assert (band.shallowest, band.deepest) == (17.0, 23.0)
    assert "17 to 23" in str(upline.swell(plan, [3.0]))


def test_frame_and_data(quince: upline.Plan) -> None:
    found = upline.swell(quince, [0.5, 1.0])
    data = json.loads(json.dumps(found.to_dict(), allow_nan=False))
    assert data["bands"][1]["amplitude"] == 1.0
    assert "It does not make a dive safe" in data["foot"]
    pytest.importorskip("pandas")
    frame = found.to_frame()
    assert list(frame["margin_bar"]) == [band.margin for band in found.bands]
    assert "amplitude_m" in frame


@pytest.mark.parametrize(
    ("arguments", "field"),
    [
        (("57 m", [1]), "plan"),
        ((..., []), "amplitudes"),
        ((..., 1.0), "amplitudes"),
        ((..., [6.0]), "amplitudes"),
        ((..., [-1.0]), "amplitudes"),
        ((..., [1.0] * 21), "amplitudes"),
        ((..., [1.0], 0.0), "period"),
        ((..., [1.0], "8 s"), "period"),
    ],
)
def test_bad_input_is_named(quince: upline.Plan, arguments: tuple, field: str) -> None:
    asked = tuple(quince if one is ... else one for one in arguments)
    with pytest.raises(upline.InvalidInput) as caught:
        upline.swell(*asked)
    assert caught.value.field == field


def test_a_dive_without_a_stop_has_none_in_swell() -> None:
    with pytest.raises(upline.InvalidInput, match="without a stop"):
        upline.swell(upline.plan(10, 10, ["32"], gf="40/80"), [1.0])


@given(st.floats(0.05, 2.9), st.floats(2.0, 20.0))
def test_the_band_is_where_the_diver_goes(amplitude: float, period: float) -> None:
    plan = upline.plan(45, 25, ["21/35", "50"], gf="40/80")
    band = upline.swell(plan, [amplitude], period).bands[0]
    assert band.shallowest == pytest.approx(3.0 - amplitude, abs=1e-9)
    assert band.margin < band.calm_margin
    # Ambient pressure falls by 0.1 bar a metre, and the line itself is a little wider higher up.
    assert band.calm_margin - band.margin < 0.1 * amplitude + 1e-3
    assert 0.0 <= band.beyond_for <= plan.stops[-1].minutes


def test_html_has_the_cells_and_the_caution(quince: upline.Plan) -> None:
    found = upline.swell(quince, [1.0])
    shown = found._repr_html_()
    assert "Swell at the last stop, 6 m" in shown
    for cell in found.table[2]:
        assert f">{cell}<" in shown
    assert "margin: the least while the stop lasts" in shown
    assert "It does not make a dive safe" in shown

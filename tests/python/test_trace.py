"""A plan moment by moment, against the plan itself, against SciPy and against plain formulas."""

from __future__ import annotations

import gc
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest
import upline

BY_COMPARTMENT = ("nitrogen", "helium", "tolerated", "allowed", "fraction")
BY_SAMPLE = ("time", "depth", "ambient", "ceiling", "factor")


def levels() -> upline.Plan:
    """Along the keel of the Quince Blossom (invented) and up to her deck, down on a travel gas."""
    return upline.plan(
        [(57, 20), (42, 45)], gases=["18/45", "50", "O2"], gf="30/70", travel=("50", 17)
    )


def imperial() -> upline.Plan:
    return upline.plan(190, 25, ["18/45", "50", "O2"], gf="40/80", last_stop=20, units="imperial")


def no_stop() -> upline.Plan:
    return upline.plan(18, 40, ["32"], gf="40/85")


@pytest.fixture(params=["quince", "levels", "imperial", "no_stop"])
def plan(request: pytest.FixtureRequest, quince: upline.Plan) -> upline.Plan:
    makers = {"levels": levels, "imperial": imperial, "no_stop": no_stop}
    return makers[request.param]() if request.param in makers else quince


# ---- arrays --------------------------------------------------------------------------------------


def test_shapes(quince: upline.Plan) -> None:
    trace = quince.trace()
    for name in BY_SAMPLE:
        assert getattr(trace, name).shape == (len(trace),), name
    for name in BY_COMPARTMENT:
        array = getattr(trace, name)
        assert array.shape == (len(trace), 16), name
        assert array.flags.c_contiguous, name
        assert array.dtype == np.float64, name
    assert trace.half_time.shape == (16,)


@pytest.mark.parametrize("name", [*BY_SAMPLE, *BY_COMPARTMENT, "half_time"])
def test_nobody_can_write(quince: upline.Plan, name: str) -> None:
    array = getattr(quince.trace(), name)
    with pytest.raises(ValueError, match="read-only"):
        array[0] = 1.0
    with pytest.raises(ValueError, match="WRITEABLE"):
        array.setflags(write=True)


def test_an_array_keeps_alive_what_it_shows() -> None:
    plan = levels()
    trace = plan.trace(0.05)
    kept = {name: getattr(trace, name) for name in (*BY_SAMPLE, *BY_COMPARTMENT, "half_time")}
    copies = {name: array.copy() for name, array in kept.items()}
    del trace, plan
    gc.collect()
    churn = [upline.plan(40, 20 + j, "air", gf="30/70").trace(0.05) for j in range(20)]
    assert len(churn) == 20
    for name, array in kept.items():
        np.testing.assert_array_equal(array, copies[name], err_msg=name)


def test_arrays_are_views(quince: upline.Plan) -> None:
    trace = quince.trace()
    assert np.shares_memory(trace.nitrogen, trace.nitrogen)
    assert trace.nitrogen.base is not None


def test_threads_get_the_same() -> None:
    plan = levels()
    with ThreadPoolExecutor(4) as pool:
        traces = list(pool.map(lambda _: plan.trace(0.1), range(8)))
    for trace in traces[1:]:
        np.testing.assert_array_equal(trace.ceiling, traces[0].ceiling)


# ---- time and depth ------------------------------------------------------------------------------


@pytest.mark.parametrize("step", [1.0, 0.37, 1 / 60, 1000.0])
def test_samples_are_the_grid_and_the_ends_of_rows(plan: upline.Plan, step: float) -> None:
    trace = plan.trace(step)
    grid = np.arange(0.0, plan.run_time, step)
    ends = [row.ends for row in plan.rows]
    expected = np.unique(np.round(np.concatenate([grid, ends]), 7))
    np.testing.assert_allclose(trace.time, expected, rtol=0, atol=2e-7)
    assert np.all(np.diff(trace.time) > 0.0)


def test_depth_follows_the_rows(plan: upline.Plan) -> None:
    trace = plan.trace(0.25)
    times = [0.0, *(row.ends for row in plan.rows)]
    depths = [0.0, *(row.to_depth for row in plan.rows)]
    np.testing.assert_allclose(trace.depth, np.interp(trace.time, times, depths), atol=1e-9)
    for stop in plan.stops:
        inside = (trace.time >= stop.arrives) & (trace.time <= stop.departs)
        assert inside.any()
        np.testing.assert_allclose(trace.depth[inside], stop.depth, rtol=0, atol=1e-9)


def test_ambient_pressure(plan: upline.Plan) -> None:
    trace = plan.trace()
    # Gauge metres: ten to the bar, below one standard atmosphere of 1.01325 bar.
    metres = trace.depth * (1.0 if plan.units == "metric" else 0.3048)
    np.testing.assert_allclose(trace.ambient, 1.01325 + metres / 10.0, rtol=1e-13)


def test_imperial_is_the_same_dive_in_feet() -> None:
    gases = ["18/45", "50", "O2"]
    common = {"gf": "40/80", "rounding": "exact"}
    foot = 0.3048
    feet = upline.plan(190, 25, gases, last_stop=20, units="imperial", **common)
    metres = upline.plan(
        190 * foot,
        25,
        [gases[0], ("50", 70 * foot), ("O2", 20 * foot)],
        ladder=[10 * foot * k for k in range(2, 19)],
        descent_rate=60 * foot,
        ascent_rate=30 * foot,
        **common,
    )
    a, b = feet.trace(0.5), metres.trace(0.5)
    assert (a.units, b.units) == ("imperial", "metric")
    np.testing.assert_allclose(a.time, b.time, atol=1e-9)
    np.testing.assert_allclose(a.depth * foot, b.depth, atol=1e-8)
    np.testing.assert_allclose(a.ceiling * foot, b.ceiling, atol=1e-6)
    np.testing.assert_allclose(a.nitrogen, b.nitrogen, atol=1e-9)
    np.testing.assert_allclose(a.fraction, b.fraction, atol=1e-9)


# ---- tensions and limits -------------------------------------------------------------------------


def test_it_ends_as_the_plan_does(plan: upline.Plan) -> None:
    trace = plan.trace(0.3)
    assert trace.time[-1] == plan.run_time
    np.testing.assert_allclose(trace.nitrogen[-1], plan.end.nitrogen, rtol=1e-12)
    np.testing.assert_allclose(trace.helium[-1], plan.end.helium, rtol=1e-12, atol=1e-15)
    assert trace.fraction[-1].max() == pytest.approx(plan.surfacing_fraction, rel=1e-12)
    leading = trace.half_time[trace.fraction[-1].argmax()]
    assert leading == plan.surfacing_half_time


def test_the_step_moves_nothing(plan: upline.Plan) -> None:
    coarse, fine = plan.trace(4.0), plan.trace(0.25)
    same = np.searchsorted(fine.time, coarse.time - 1e-9)
    np.testing.assert_allclose(fine.time[same], coarse.time, atol=1e-9)
    for name in (*BY_SAMPLE, *BY_COMPARTMENT):
        np.testing.assert_allclose(
            getattr(fine, name)[same], getattr(coarse, name), atol=1e-8, err_msg=name
        )


def test_tensions_solve_the_equation() -> None:
    """Each gas flows by dP/dt = k (inspired pressure - P); SciPy steps through it."""
    integrate = pytest.importorskip("scipy.integrate")
    plan = levels()
    trace = plan.trace(5.0)
    columns = upline.compartments("ZH-L16C")
    k = np.log(2.0) / np.concatenate([columns.n2_half_time, columns.he_half_time])
    tension = np.concatenate([trace.nitrogen[0], trace.helium[0]])
    vapour = 0.0627  # [bar], at 37 degrees C by convention
    for row in (row for row in plan.rows if row.minutes > 0.0):
        inert = np.repeat([row.gas.nitrogen, row.gas.helium], 16)
        times, depths = [row.begins, row.ends], [row.from_depth, row.to_depth]

        def flow(t, p, inert=inert, times=times, depths=depths):
            ambient = 1.01325 + np.interp(t, times, depths) / 10.0
            return k * (inert * (ambient - vapour) - p)

        tension = integrate.solve_ivp(
            flow, times, tension, method="LSODA", rtol=1e-11, atol=1e-12
        ).y[:, -1]
        at = int(np.argmin(np.abs(trace.time - row.ends)))
        # Its steps add up to about 1e-10 bar.
        np.testing.assert_allclose(trace.nitrogen[at], tension[:16], rtol=0, atol=5e-9)
        np.testing.assert_allclose(trace.helium[at], tension[16:], rtol=0, atol=5e-9)


def test_limits_follow_the_formulas(plan: upline.Plan) -> None:
    """Mixed a and b weighted by tension; factor G: (P - a G) / (G/b - G + 1)."""
    trace = plan.trace(2.0)
    columns = upline.compartments("ZH-L16C")
    total = trace.nitrogen + trace.helium
    a = (trace.nitrogen * columns.n2_a + trace.helium * columns.he_a) / total
    b = (trace.nitrogen * columns.n2_b + trace.helium * columns.he_b) / total
    g, ambient = trace.factor[:, None], trace.ambient[:, None]
    limit = a + ambient / b  # tension at the published limit
    np.testing.assert_allclose(trace.tolerated, (total - a * g) / (g / b - g + 1.0), atol=1e-12)
    np.testing.assert_allclose(trace.fraction, (total - ambient) / (limit - ambient), atol=1e-12)
    np.testing.assert_allclose(trace.allowed, ambient + g * (limit - ambient), atol=1e-12)


def test_factor_follows_the_line(plan: upline.Plan) -> None:
    trace = plan.trace(0.5)
    low, high = plan.arguments["gf"]
    assert plan.anchor is not None
    slope = np.clip(trace.depth / plan.anchor, 0.0, 1.0)
    np.testing.assert_allclose(trace.factor, high + (low - high) * slope, atol=1e-9)


def test_factor_without_an_anchor() -> None:
    plan = upline.plan(10, 5, "air", gf="40/80")
    assert plan.anchor is None
    trace = plan.trace()
    assert set(trace.factor[1:-1]) == {0.4}
    assert trace.factor[-1] == 0.8
    assert not trace.ceiling.any()


def test_ceiling_is_where_the_line_is_met() -> None:
    """The shallowest depth at which every compartment is within the line, found by SciPy."""
    optimize = pytest.importorskip("scipy.optimize")
    plan = levels()
    trace = plan.trace(2.5)
    low, high = plan.arguments["gf"]

    def excess(depth: float, at: int) -> float:
        factor = high + (low - high) * min(depth / plan.anchor, 1.0)
        tolerated = upline.tolerated_pressure(trace.nitrogen[at], trace.helium[at], factor)
        return float(tolerated.max()) - (1.01325 + depth / 10.0)

    under = [at for at in range(len(trace)) if excess(0.0, at) > 0.0]
    assert len(under) > 20
    for at in under:
        expected = optimize.brentq(excess, 0.0, 100.0, args=(at,), xtol=1e-10)
        assert trace.ceiling[at] == pytest.approx(expected, abs=1e-6)
    for at in set(range(len(trace))) - set(under):
        assert trace.ceiling[at] == 0.0


def test_the_ascent_stays_below_the_ceiling(plan: upline.Plan) -> None:
    """A rung is left when the way to the next keeps to the line, so that arrival is what counts."""
    trace = plan.trace(0.1)
    after = trace.time >= plan.bottom_time
    assert np.all(trace.ceiling[after] <= trace.depth[after] + 1e-6)
    for stop in plan.stops:
        at = int(np.argmin(np.abs(trace.time - stop.arrives)))
        assert trace.ceiling[at] <= stop.depth + 1e-6


def test_an_exact_ascent_touches_its_ceiling() -> None:
    plan = upline.plan(57, 25, ["18/45", "50", "O2"], gf="40/80", last_stop=6, rounding="exact")
    trace = plan.trace()
    moments = [stop.arrives for stop in plan.stops[1:]]
    gaps = []
    for moment in moments:
        at = int(np.argmin(np.abs(trace.time - moment)))
        gaps.append(trace.depth[at] - trace.ceiling[at])
    # Each wait ends as soon as the next rung may be reached; a switch may take longer than that.
    assert min(gaps) > -1e-6
    assert sum(abs(gap) < 1e-5 for gap in gaps) >= len(gaps) - 2


# ---- the rest ------------------------------------------------------------------------------------


def test_frame(plan: upline.Plan) -> None:
    pytest.importorskip("pandas")
    trace = plan.trace()
    frame = trace.to_frame()
    length = "m" if plan.units == "metric" else "ft"
    assert list(frame.columns[:6]) == [
        "run_time_min",
        f"depth_{length}",
        "ambient_bar",
        f"ceiling_{length}",
        "factor",
        "nitrogen_1_bar",
    ]
    assert frame.shape == (len(trace), 5 + 5 * 16)
    assert frame.columns.is_unique
    np.testing.assert_array_equal(frame[f"ceiling_{length}"], trace.ceiling)
    np.testing.assert_array_equal(frame["helium_7_bar"], trace.helium[:, 6])
    np.testing.assert_array_equal(frame["fraction_16"], trace.fraction[:, 15])
    assert frame.attrs["units"] == plan.units
    assert frame.attrs["half_time_min"] == trace.half_time.tolist()
    assert frame.attrs["assumptions"] == plan.assumptions
    assert "does not make a dive safe" in frame.attrs["foot"]


def test_frame_without_pandas(quince: upline.Plan, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(__import__("sys").modules, "pandas", None)
    with pytest.raises(upline.Error, match=r'pip install pandas, or pip install "\.\[pandas\]"'):
        quince.trace().to_frame()


def test_repr(quince: upline.Plan) -> None:
    trace = quince.trace()
    assert repr(trace) == (
        f"<upline.Trace {len(trace)} samples, run time 0 to 69 min 40 s, depth in m>"
    )
    assert trace.assumptions == quince.assumptions


@pytest.mark.parametrize("step", [0.0, -1.0, 0.001, float("nan"), float("inf"), 1e6, 10**400])
def test_step_out_of_range(quince: upline.Plan, step: float) -> None:
    with pytest.raises(upline.InvalidInput) as caught:
        quince.trace(step)
    assert caught.value.field == "step"


@pytest.mark.parametrize("step", ["1", None, True, [1.0], 1j])
def test_step_of_the_wrong_type(quince: upline.Plan, step: object) -> None:
    with pytest.raises(upline.WrongType, match="step"):
        quince.trace(step)


def test_too_many_samples() -> None:
    plan = upline.plan(20, 50_000, "air", gf="30/70")
    with pytest.raises(upline.InvalidInput, match="longer step"):
        plan.trace(1 / 60)

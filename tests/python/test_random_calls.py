"""Ten thousand valid calls over everything that may be asked: a plan, or an error of the library.

The draws reach to the ends of the allowed ranges and mix what nobody would mix; of those that
make no dive (two gases at one depth, a level left before it is reached) there are about as many
again, which must be refused. Each answer is looked at for sense, and none may take a second: the
one bound on time in these tests. On the machine of the first run the slowest took 12
milliseconds, so that the bound catches a search that does not end and not a busy machine; a call
beyond it is made twice more before it counts.
"""

from __future__ import annotations

import math
import random
import time
from collections import Counter
from typing import Any

import pytest
import upline

CALLS = 10_000
LONGEST = 1.0  # [s]
SEED = 20_250_607


def drawn_gas(rng: random.Random, richest: float = 1.0) -> str:
    """Draw a mix with at most so much oxygen, or with as little as is allowed."""
    most = max(4, min(100, int(100 * richest)))
    if rng.random() < 0.3:
        usual = {"10/70": 10, "18/45": 18, "21/35": 21, "air": 21, "32": 32, "50": 50, "O2": 100}
        fitting = [mix for mix, oxygen in usual.items() if oxygen <= most]
        if fitting:
            return rng.choice(fitting)
    oxygen = rng.randint(max(4, most - 10), most) if rng.random() < 0.8 else rng.randint(4, most)
    helium = rng.randint(0, 100 - oxygen)
    return f"{oxygen}/{helium}" if helium and rng.random() < 0.7 else f"{oxygen}"


def drawn_environment(rng: random.Random) -> upline.Environment:
    stated: dict[str, Any] = {}
    kind = rng.random()
    if kind < 0.4:
        stated["altitude"] = rng.choice([0.0, 299.0, 640.0, rng.uniform(-500.0, 6000.0)])
    elif kind < 0.7:
        stated["surface_pressure"] = rng.uniform(0.4, 1.2)
    if rng.random() < 0.4:
        stated["acclimatised_to"] = rng.choice(["here", rng.uniform(-500.0, 6000.0)])
    if rng.random() < 0.4:
        stated["water"] = rng.choice(["fresh", "sea", rng.uniform(900.0, 1300.0)])
    if rng.random() < 0.4:
        stated["vapour"] = rng.choice([0.0, 0.0493, 0.0567, 0.1])
    return upline.Environment(**stated)


def drawn_levels(rng: random.Random, descent_rate: float) -> list[tuple[float, float]]:
    levels = []
    clock, depth = 0.0, 0.0
    for _ in range(rng.choice([1, 1, 1, 1, 2, 3, 6])):
        target = rng.choice([rng.uniform(3.0, 350.0), rng.uniform(3.0, 60.0), rng.uniform(20, 120)])
        climbs = target < depth
        clock += abs(target - depth) / (0.5 if climbs else descent_rate)
        clock += rng.choice([1e-6, rng.uniform(0.0, 10.0), rng.uniform(0.0, 40.0), 500.0])
        clock += 1000.0 if climbs else 0.0  # stops are made on the way
        clock += 10.0 ** rng.uniform(-6.0, 4.0) if rng.random() < 0.2 else 0.0
        levels.append((target, clock))
        depth = target
    return levels


def drawn_gases(
    rng: random.Random, deepest: float, bottom_po2: float, deco_po2: float
) -> list[Any]:
    """Draw a bottom gas for the depth, and gases for the ascent with and without a switch depth."""
    gases: list[Any] = [drawn_gas(rng, bottom_po2 / (1.2 + deepest / 7.5))]
    for _ in range(rng.choice([0, 1, 3, 8])):
        depth = rng.uniform(0.5, 100.0)
        mix = drawn_gas(rng, deco_po2 / (1.2 + min(depth, deepest) / 7.5))
        gases.append((mix, depth) if rng.random() < 0.9 else mix)
    gases += rng.sample(["36", "50", "O2"], rng.choice([0, 1, 2, 3]))
    return gases


def drawn_ascent(rng: random.Random) -> dict[str, Any]:
    """Draw ladder and rates."""
    asked: dict[str, Any] = {}
    if rng.random() < 0.2:
        asked["ladder"] = [rng.uniform(0.5, 350.0) for _ in range(rng.choice([3, 30, 1000]))]
    else:
        asked["spacing"] = rng.choice([3.0, 0.5, 10.0, rng.uniform(0.5, 20.0)])
        asked["last_stop"] = rng.choice([3.0, 6.0, rng.uniform(0.5, 12.0)])
    if rng.random() < 0.5:
        asked["ascent_rate"] = rng.choice([9.0, 0.5, 100.0, rng.uniform(0.5, 30.0)])
    else:
        borders = sorted(rng.uniform(0.1, 100.0) for _ in range(rng.choice([1, 2, 10])))
        zones = [(border, rng.uniform(0.5, 30.0)) for border in borders]
        asked["ascent_rate"] = [(0.0, rng.uniform(0.5, 30.0)), *zones]
    if rng.random() < 0.3:
        asked["surfacing_rate"] = rng.uniform(0.5, 20.0)
    return asked


def drawn_arguments(rng: random.Random, states: list[upline.State]) -> dict[str, Any]:
    """Draw arguments of `plan`, each within its allowed range."""
    low = rng.choice([rng.uniform(0.01, 1.5), rng.uniform(0.3, 1.0)])
    descent_rate = rng.choice([18.0, rng.uniform(0.5, 100.0)])
    levels = drawn_levels(rng, descent_rate)
    deepest = max(depth for depth, _ in levels)
    max_po2, max_deco_po2 = rng.choice([1.4, 3.0]), rng.choice([1.6, rng.uniform(0.2, 3.0)])
    arguments: dict[str, Any] = {
        "gf": (low, rng.choice([low, min(1.5, low * rng.uniform(1.0, 5.0)), max(low, 0.95)])),
        "model": rng.choice(upline.models),
        "rounding": rng.choice(["exact", "departure", "duration"]),
        "resolution": rng.choice([1.0, 1 / 60, 10.0, rng.uniform(1 / 60, 10.0)]),
        "min_stop": rng.choice([0.0, 1.0, rng.uniform(0.0, 30.0)]),
        "switch_time": rng.choice([0.0, 1.0, rng.uniform(0.0, 30.0)]),
        "descent_rate": descent_rate,
        "environment": drawn_environment(rng),
        "gases": drawn_gases(rng, deepest, max_po2, max_deco_po2),
        "max_po2": max_po2,
        "max_deco_po2": max_deco_po2,
        "po2_tolerance": rng.choice([0.03, 0.0, 0.2]),
        "min_po2": 0.05,
        "depth": levels,
    }
    if len(levels) == 1:
        arguments["depth"], arguments["bottom_time"] = levels[0]
    arguments |= drawn_ascent(rng)
    if rng.random() < 0.2:
        border = rng.uniform(0.5, levels[0][0])
        arguments["travel"] = (drawn_gas(rng, max_po2 / (1.2 + border / 7.5)), border)
    if rng.random() < 0.3:
        arguments["rmv"] = rng.uniform(1.0, 200.0)
        arguments["deco_rmv"] = rng.choice([None, 15.0])
    if states and rng.random() < 0.2:
        state = upline.rest(rng.choice(states), rng.choice([0.0, 60.0, 2000.0]))
        arguments |= {"start": state, "model": state.model}
    return arguments


def answer(arguments: dict[str, Any]) -> upline.Plan | upline.Error:
    try:
        return upline.plan(**arguments)
    except upline.Error as error:
        return error


def assert_makes_sense(plan: upline.Plan) -> None:
    assert math.isfinite(plan.run_time)
    assert plan.run_time > plan.bottom_time
    assert plan.anchor is None or 0.0 <= plan.anchor <= 350.0
    assert math.isfinite(plan.surfacing_fraction)
    for above, below in zip(plan.rows, plan.rows[1:], strict=False):
        assert above.ends == below.begins
        assert above.to_depth == below.from_depth
    assert all(row.minutes > 0.0 for row in plan.rows)
    assert all(stop.departs > stop.arrives for stop in plan.stops)
    assert all(x >= 0.0 for x in (plan.oxygen.cns, plan.oxygen.otu, *plan.bar_minutes.values()))
    assert all(caution.text for caution in plan.cautions)
    assert plan.refused == any(caution.severity == "refuses" for caution in plan.cautions)
    assert "does not make a dive safe" in str(plan)


@pytest.fixture(scope="module")
def answers() -> list[tuple[float, dict[str, Any], upline.Plan | upline.Error]]:
    """Seconds, arguments and answer of every call, until so many of them were valid."""
    rng = random.Random(SEED)
    states: list[upline.State] = []
    kept = []
    valid = 0
    while valid < CALLS:
        arguments = drawn_arguments(rng, states)
        begun = time.perf_counter()
        got = answer(arguments)
        kept.append((time.perf_counter() - begun, arguments, got))
        valid += not isinstance(got, upline.InvalidInput)
        # Absurd oxygen sums are refused as a start, so that not every end serves.
        if isinstance(got, upline.Plan) and got.oxygen.cns_total < 100.0 and len(states) < 200:
            states.append(got.end)
    return kept


def test_every_answer_is_a_plan_that_makes_sense_or_an_error(answers) -> None:
    for _, _, got in answers:
        if isinstance(got, upline.Plan):
            assert_makes_sense(got)
        else:
            assert str(got)
    kinds = Counter(type(got).__name__ for _, _, got in answers)
    assert kinds["Plan"] > CALLS / 2, kinds  # else the draws would say little
    assert kinds["InvalidInput"] < 2 * CALLS, kinds
    assert kinds["NoAscent"] > 0, kinds


def test_none_takes_a_second(answers, record_property) -> None:
    slowest = sorted(answers, key=lambda one: -one[0])[:5]
    record_property("slowest", [(seconds, repr(asked)) for seconds, asked, _ in slowest])
    for seconds, arguments, _ in slowest:
        again = seconds
        for _ in range(2):
            if again < LONGEST:
                break
            begun = time.perf_counter()
            answer(arguments)
            again = min(again, time.perf_counter() - begun)
        assert again < LONGEST, arguments

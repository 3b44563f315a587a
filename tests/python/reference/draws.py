"""Drawn dives for property tests, and settings that draw the same ones every time."""

from __future__ import annotations

import math

from hypothesis import HealthCheck, assume, settings
from hypothesis import strategies as st

from .planner import Dive
from .profile import Mix, Place, isa_pressure
from .table import MODELS


def steady(max_examples: int) -> settings:
    """Draw a fixed number of examples, the same in every run and on every machine.

    The number is for hypothesis's usual 100; a profile with fewer shortens all in proportion.
    """
    return settings(
        max_examples=max(1, max_examples * settings().max_examples // 100),
        derandomize=True,
        database=None,
        deadline=None,
        suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
    )


def bottom_mix(draw: st.DrawFn, depth: float) -> Mix:
    """Draw a bottom gas as one chooses it: up to 1.4 bar, helium from 40 m on."""
    ambient = 1.01325 + depth / 10.0
    leanest = 9  # still 0.05 bar at the surface of the highest lake drawn
    richest = max(leanest, min(40, int(140 / ambient)))
    oxygen = draw(st.integers(max(leanest, richest - 4), richest))
    if depth < 40.0:
        return Mix(oxygen / 100)
    return Mix(oxygen / 100, draw(st.integers(0, min(85, 96 - oxygen))) / 100)


# In order of oxygen, as they are taken up on the way to the surface.
ASCENT_GASES = (Mix(0.21, 0.35), Mix(0.35, 0.25), Mix(0.5, 0.2), Mix(0.5), Mix(0.8), Mix(1.0))


@st.composite
def places(draw: st.DrawFn) -> tuple[Place, float | None]:
    """Draw a place, and the pressure to which the diver is used where that is another."""
    altitude = draw(st.sampled_from([0.0, 0.0, 0.0, 640.0, 2500.0, 4500.0]))
    water = draw(st.sampled_from([0.1, 0.1, 1000 * 9.80665e-5, 1025 * 9.80665e-5]))
    place = Place(isa_pressure(altitude), water, draw(st.sampled_from([0.0627, 0.0567, 0.0493])))
    return place, draw(st.sampled_from([None, 1.01325])) if altitude > 300.0 else None


@st.composite
def dives(
    draw: st.DrawFn,
    *,
    helium_may_rise: bool = False,
    pauses: bool = False,
    levels: int = 1,
    slowest: float = 3.0,
    longest: float = 120.0,
    deepest: float = 160.0,
    zones_anywhere: bool = False,
    least_factor: int = 10,
) -> Dive:
    """Draw a dive that can be dived: gases that qualify at rungs of their own."""
    depth = draw(st.one_of(st.integers(9, int(deepest)).map(float), st.floats(9.0, deepest)))
    gases = [(bottom_mix(draw, depth), None)]
    for mix in draw(st.lists(st.sampled_from(ASCENT_GASES), max_size=4, unique=True).map(sorted_)):
        in_use = gases[-1][0]
        if mix.oxygen > in_use.oxygen and (helium_may_rise or mix.helium <= in_use.helium):
            gases.append((mix, None))
    low = draw(st.integers(least_factor, 100))
    high = draw(st.integers(max(low, 40), 100))
    place, acclimatised = draw(places())
    spacing = draw(st.sampled_from([3.0, 3.0, 1.0, 2.0, 3.048, 5.0]))
    last_stop = draw(st.sampled_from([3.0, 3.0, 6.0, 4.5, spacing]))
    descent_rate = draw(st.sampled_from([10.0, 18.0, 30.0]))
    rates = draw(
        st.one_of(
            st.just([(0.0, 9.0)]),
            st.floats(slowest, 20.0).map(lambda rate: [(0.0, rate)]),
            st.just([(spacing * math.ceil(12.0 / spacing), 9.0), (0.0, slowest)]),  # at a rung
        )
    )
    if zones_anywhere:
        border = draw(st.floats(1.0, 60.0))
        rates = [(border, draw(st.floats(slowest, 30.0))), (0.0, draw(st.floats(slowest, 20.0)))]
    bottom_time = depth / descent_rate + draw(st.floats(0.5, longest))
    visited = [(depth, bottom_time)]
    for _ in range(levels - 1):
        next_depth = visited[-1][0] * draw(st.floats(0.3, 0.95))
        slowest_rate = min(rate for _, rate in rates)
        travel_time = (visited[-1][0] - next_depth) / slowest_rate
        stay = draw(st.floats(10.0, 60.0)) + visited[-1][1]  # generous: stops are made on the way
        visited.append((next_depth, visited[-1][1] + travel_time + stay))
    dive = Dive(
        visited,
        gases,
        low / 100,
        high / 100,
        model=draw(st.sampled_from(MODELS)),
        place=place,
        acclimatised=acclimatised,
        descent_rate=descent_rate,
        zones=rates,
        spacing=spacing,
        last_stop=last_stop,
        switch_time=draw(st.sampled_from([0.0, 1.0, 3.0])) if pauses else 0.0,
        min_stop=draw(st.sampled_from([0.0, 1.0, 2.0])) if pauses else 0.0,
        rounding=draw(st.sampled_from(["exact", "departure", "duration"])) if pauses else "exact",
        resolution=draw(st.sampled_from([1.0, 0.5, 1 / 60])) if pauses else 1.0,
    )
    assume(gases_have_rungs_of_their_own(dive))
    return dive


def sorted_(mixes: list[Mix]) -> list[Mix]:
    """Order mixes by their oxygen."""
    return sorted(mixes, key=lambda mix: (mix.oxygen, mix.helium))


def gases_have_rungs_of_their_own(dive: Dive) -> bool:
    """Whether every gas qualifies, each at another depth: else the dive is refused."""
    depths = [depth for depth, _ in dive.switches()]
    return len(depths) == len(dive.gases) - 1 and len(set(depths)) == len(depths)

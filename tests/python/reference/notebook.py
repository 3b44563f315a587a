"""A whole-minute planner as one writes it in a notebook: NumPy, and minute by minute.

It serves as a third opinion on rounded schedules and as the yardstick of the benchmark, so it is
neither slowed down nor tuned: arrays of sixteen compartments, plain loops around them.
"""

from __future__ import annotations

import math

import numpy as np

from .table import Array, compartments

_SURFACE = 1.01325
_VAPOUR = 0.0627


def schreiner(p0: Array, inspired: float, rate: float, minutes: float, k: Array) -> Array:
    """Tensions after travel at a constant rate of inspired pressure (or a stay, rate 0)."""
    return inspired + rate * (minutes - 1 / k) - (inspired - p0 - rate / k) * np.exp(-k * minutes)


def plan(
    depth: float,
    bottom_time: float,
    gases: list[tuple[float, float]],
    gf: tuple[float, float],
    last_stop: float = 3.0,
    descent_rate: float = 18.0,
    ascent_rate: float = 9.0,
    switch_time: float = 0.0,
    surfacing_rate: float | None = None,
) -> tuple[list[tuple[float, float]], float, float]:
    """Stops as (depth, run time at leaving), run time and anchor of a dive from sea level.

    `gases` are (oxygen, helium) fractions, bottom gas first; rungs are 3 m apart.
    """
    c = compartments("ZH-L16C")
    k_n2, k_he = np.log(2) / c.n2_half_time, np.log(2) / c.he_half_time
    gf_low, gf_high = gf
    n2, he = np.full(16, 0.79 * (_SURFACE - _VAPOUR)), np.zeros(16)

    def pressure(d: float) -> float:
        return _SURFACE + d / 10

    def move(n2, he, start, end, minutes, gas):
        oxygen, helium = gas
        dry = pressure(start) - _VAPOUR
        rate = (end - start) / 10 / minutes
        nitrogen = 1 - oxygen - helium
        return (
            schreiner(n2, dry * nitrogen, rate * nitrogen, minutes, k_n2),
            schreiner(he, dry * helium, rate * helium, minutes, k_he),
        )

    def ceiling(n2, he, factor):
        total = n2 + he
        a = (c.n2_a * n2 + c.he_a * he) / total
        b = (c.n2_b * n2 + c.he_b * he) / total
        return np.max((total - a * factor) / (factor / b - factor + 1))

    # down and along
    gas = gases[0]
    clock = depth / descent_rate
    n2, he = move(n2, he, 0, depth, clock, gas)
    n2, he = move(n2, he, depth, depth, bottom_time - clock, gas)
    clock = bottom_time

    # rungs, and the gas of each
    rungs = [d for d in range(3 * math.ceil(depth / 3), 0, -3) if last_stop <= d < depth]
    switches = {}
    for oxygen, helium in gases[1:]:
        at = max(d for d in rungs if oxygen * pressure(d) <= 1.63)
        switches[at] = (oxygen, helium)

    # anchor: go straight up metre by metre, then halve the last one
    t_n2, t_he, t_gas, at, step = n2, he, gas, depth, 1.0
    anchor = None
    while at > 0:
        t_gas = switches.get(round(at, 9), t_gas)
        step = min(step, at)
        above = move(t_n2, t_he, at, at - step, step / ascent_rate, t_gas)
        if ceiling(*above, gf_low) > pressure(at - step):
            if step < 1e-6:
                anchor = at
                break
            step /= 2
        else:
            (t_n2, t_he), at = above, at - step

    def factor(d: float) -> float:
        if d == 0 or anchor is None:
            return gf_high if d == 0 else gf_low
        return gf_low if d >= anchor else gf_high + (gf_low - gf_high) * d / anchor

    # up, rung by rung
    stops = []
    at = depth
    for rung in [*rungs, 0]:
        paused = False
        if at in switches:
            if switch_time:
                n2, he = move(n2, he, at, at, switch_time, gas)
                clock += switch_time
                paused = True
            gas = switches[at]
        while True:
            above = move(n2, he, at, rung, (at - rung) / ascent_rate, gas)
            whole = abs(clock - round(clock)) < 1e-9
            if ceiling(*above, factor(rung)) <= pressure(rung) and (whole or not paused):
                break
            until = math.floor(clock + 1e-9) + 1
            n2, he = move(n2, he, at, at, until - clock, gas)
            clock = until
            paused = True
        if paused:
            stops.append((at, clock))
        rate = surfacing_rate if rung == 0 and surfacing_rate else ascent_rate
        minutes = (at - rung) / rate
        n2, he = move(n2, he, at, rung, minutes, gas)
        clock += minutes
        at = rung
    return stops, clock, anchor

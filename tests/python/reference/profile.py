"""A dive as stretches of linear depth: tensions by sampling, the limit line, its anchor."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import pytest

from .limit import factor_at, tolerated
from .table import Array, Compartments, compartments

Tensions = tuple[Array, Array]  # nitrogen and helium, each of shape (16,) [bar]


@dataclass(frozen=True)
class Place:
    """Pressures of a place."""

    surface: float = 1.01325  # [bar]
    per_metre: float = 0.1  # [bar/m]
    vapour: float = 0.0627  # [bar]

    def pressure(self, depth: Array | float) -> Array | float:
        """Absolute pressure at a depth [bar]."""
        return self.surface + depth * self.per_metre


def isa_pressure(altitude: float) -> float:
    """Pressure of the ISA troposphere (ISO 2533) at a height [m] in bar."""
    return 1.01325 * (1.0 - 0.0065 * altitude / 288.15) ** 5.255876


def on_air(ambient: float, vapour: float = 0.0627) -> Tensions:
    """Tensions at rest on air."""
    return np.full(16, 0.79 * (ambient - vapour)), np.zeros(16)


@dataclass(frozen=True)
class Mix:
    """Fractions of a gas; the rest is nitrogen."""

    oxygen: float
    helium: float = 0.0

    @property
    def nitrogen(self) -> float:
        """Fraction of nitrogen."""
        return 1.0 - self.oxygen - self.helium


@dataclass(frozen=True)
class Stretch:
    """Linear travel or a stay, on one gas."""

    begins: float  # run time [min]
    ends: float
    start: float  # depth [m]
    end: float
    mix: Mix

    @property
    def minutes(self) -> float:
        """Duration [min]."""
        return self.ends - self.begins


def tensions_along(
    tensions: Tensions, stretch: Stretch, place: Place, set_: Compartments, times: Array
) -> Tensions:
    """Tensions [bar] at times [min] after a stretch began; shapes (m, 16).

    `tensions` may be of shape (m, 16) too: then with one time for all of them.
    """
    dry = float(place.pressure(stretch.start)) - place.vapour
    climb = (stretch.end - stretch.start) * place.per_metre
    speed = climb / stretch.minutes if stretch.minutes > 0.0 else 0.0
    t = np.asarray(times, dtype=float)[:, None]
    results = []
    for tension, half_time, share in (
        (tensions[0], set_.n2_half_time, stretch.mix.nitrogen),
        (tensions[1], set_.he_half_time, stretch.mix.helium),
    ):
        k = np.log(2.0) / half_time
        taken_up = -np.expm1(-k * t)
        lag = t - taken_up / k
        results.append(tension + (dry * share - tension) * taken_up + speed * share * lag)
    return results[0], results[1]


def tensions_after(
    tensions: Tensions, stretch: Stretch, place: Place, set_: Compartments
) -> Tensions:
    """Tensions at the end of a stretch."""
    nitrogen, helium = tensions_along(tensions, stretch, place, set_, np.array([stretch.minutes]))
    return nitrogen[0], helium[0]


@dataclass(frozen=True)
class Excess:
    """Where a dive goes farthest beyond its limit line, or nearest to it where negative."""

    amount: float  # tolerated minus ambient pressure [bar]
    run_time: float
    depth: float
    compartment: int


@dataclass(frozen=True)
class Line:
    """A limit line: anchor [m], or none, and the two gradient factors."""

    anchor: float | None
    low: float
    high: float


def sampled_excess(
    stretches: Sequence[Stretch],
    start: Tensions,
    place: Place,
    model: str,
    line: Line,
    after: float,
    every: float = 1.0 / 60.0,
) -> Excess:
    """Sample a dive from run time `after` on; the worst moment.

    Each stretch is sampled at its two ends, every `every` minutes between, and where it crosses
    the anchor: the line has a corner there.
    """
    set_ = compartments(model)
    tensions = start
    worst = Excess(-np.inf, 0.0, 0.0, 0)
    for stretch in stretches:
        if stretch.ends > after + 1e-9:
            times = _sample_times(stretch, line, every)
            share = times / stretch.minutes if stretch.minutes > 0.0 else times
            depth = stretch.start + (stretch.end - stretch.start) * share
            nitrogen, helium = tensions_along(tensions, stretch, place, set_, times)
            factor = factor_at(depth, line.anchor, line.low, line.high)[:, None]
            ambient = np.asarray(place.pressure(depth))[:, None]
            excess = tolerated(set_, nitrogen, helium, factor) - ambient
            m, i = np.unravel_index(np.argmax(excess), excess.shape)
            if excess[m, i] > worst.amount:
                run_time = float(stretch.begins + times[m])
                worst = Excess(float(excess[m, i]), run_time, float(depth[m]), int(i))
        tensions = tensions_after(tensions, stretch, place, set_)
    return worst


def _sample_times(stretch: Stretch, line: Line, every: float) -> Array:
    times = np.append(np.arange(0.0, stretch.minutes, every), stretch.minutes)
    if line.anchor is not None and stretch.end < line.anchor < stretch.start:
        corner = (stretch.start - line.anchor) / (stretch.start - stretch.end) * stretch.minutes
        times = np.sort(np.append(times, corner))
    return times


def travel(
    start: float, end: float, begins: float, mix: Mix, zones: Sequence[tuple[float, float]]
) -> list[Stretch]:
    """Split an ascent at the borders of its rate zones, (deeper than [m], rate [m/min]) each."""
    stretches = []
    for deeper_than, rate in sorted(zones, reverse=True):
        target = max(end, deeper_than)
        if start - target <= 1e-9:
            continue
        if abs(target - end) <= 1e-9:
            target = end
        stretches.append(Stretch(begins, begins + (start - target) / rate, start, target, mix))
        begins, start = stretches[-1].ends, target
        if start == end:
            break
    return stretches


def direct_ascent_anchor(
    tensions: Tensions,
    depth: float,
    mix: Mix,
    switches: Sequence[tuple[float, Mix]],
    zones: Sequence[tuple[float, float]],
    place: Place,
    model: str,
    low: float,
) -> float | None:
    """Depth at which the direct ascent first touches the low factor, by sampling and Brent's rule.

    `switches` are depths [m] with the gas breathed above them, deepest first.
    """
    set_ = compartments(model)

    def worst(state: Tensions, ambient: float) -> float:
        return float(np.max(tolerated(set_, *state, low) - ambient))

    if worst(tensions, float(place.pressure(depth))) > 0.0:
        return depth
    pending = sorted(switches, key=lambda s: -s[0])
    while depth > 0.0:
        while pending and pending[0][0] >= depth - 1e-9:
            mix = pending.pop(0)[1]
        goal = pending[0][0] if pending else 0.0
        for part in travel(depth, goal, 0.0, mix, zones):
            touch = _first_above_zero(_gap_along(tensions, part, place, set_, low), part.minutes)
            if touch is not None:
                return part.start + (part.end - part.start) * touch / part.minutes
            tensions = tensions_after(tensions, part, place, set_)
        depth = goal
    return None


def _gap_along(
    tensions: Tensions, part: Stretch, place: Place, set_: Compartments, low: float
) -> Callable[[Array], Array]:
    def gap(times: Array) -> Array:
        share = times / part.minutes
        ambient = np.asarray(place.pressure(part.start + (part.end - part.start) * share))
        held = tensions_along(tensions, part, place, set_, times)
        return np.max(tolerated(set_, *held, low) - ambient[:, None], axis=1)

    return gap


def _first_above_zero(gap: Callable[[Array], Array], minutes: float) -> float | None:
    """First crossing to positive; 400 samples a stretch, and at least one a second."""
    times = np.linspace(0.0, minutes, 400 + int(minutes * 60.0))
    above = np.flatnonzero(gap(times) > 0.0)
    if above.size == 0:
        return None
    j = int(above[0])
    if j == 0:
        return 0.0
    optimize = pytest.importorskip("scipy.optimize")
    left, right = times[j - 1], times[j]
    return float(optimize.brentq(lambda t: float(gap(np.array([t]))[0]), left, right, xtol=1e-13))

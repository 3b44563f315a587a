"""A second planner, slow and plain: waits are looked for on a grid of times, then bisected.

It follows the definition of the ascent and shares no method with the library: the leave test is
evaluated for many waits at once, the anchor comes from sampling.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from .limit import factor_at, tolerated
from .profile import (
    Line,
    Mix,
    Place,
    Stretch,
    Tensions,
    direct_ascent_anchor,
    on_air,
    tensions_after,
    tensions_along,
    travel,
)
from .table import Array, compartments


@dataclass(frozen=True)
class Dive:
    """A dive and the rules of its ascent. Depths [m], times [min], rates [m/min]."""

    levels: Sequence[tuple[float, float]]  # (depth, run time at which it is left)
    gases: Sequence[tuple[Mix, float | None]]  # bottom gas first; with given switch depths
    low: float
    high: float
    model: str = "ZH-L16C"
    place: Place = field(default_factory=Place)
    acclimatised: float | None = None  # surface pressure [bar]; None: that of the place
    start: Tensions | None = None
    descent_rate: float = 18.0
    zones: Sequence[tuple[float, float]] = ((0.0, 9.0),)
    surfacing_rate: float | None = None
    travel: tuple[Mix, float] | None = None
    spacing: float = 3.0
    last_stop: float = 3.0
    ladder: Sequence[float] | None = None
    rounding: str = "exact"
    resolution: float = 1.0
    min_stop: float = 0.0
    switch_time: float = 0.0
    highest_po2: float = 1.63  # for gases of the ascent, tolerance included [bar]

    @property
    def bottom(self) -> float:
        """Depth of the last level."""
        return self.levels[-1][0]

    @property
    def bottom_time(self) -> float:
        """Run time at which the last level is left."""
        return self.levels[-1][1]

    def starting_tensions(self) -> Tensions:
        """Tensions at the surface."""
        if self.start is not None:
            return self.start
        return on_air(self.acclimatised or self.place.surface, self.place.vapour)

    def rungs(self, deep: float, shallow: float) -> list[float]:
        """Rungs strictly between two depths, deepest first."""
        if self.ladder is not None:
            offered = sorted(set(self.ladder), reverse=True)
        else:
            above = math.floor(self.last_stop / self.spacing + 1e-9) + 1
            count = math.ceil(deep / self.spacing) + 1
            offered = [j * self.spacing for j in range(count, above - 1, -1)]
            offered.append(self.last_stop)
        return [rung for rung in offered if shallow + 1e-9 < rung < deep - 1e-9]

    def switches(self) -> list[tuple[float, Mix]]:
        """Depths at which the last ascent goes over to which gas, deepest first."""
        given = {depth for _, depth in self.gases[1:] if depth is not None}
        found = []
        for mix, depth in self.gases[1:]:
            if depth is not None:
                found.append((min(depth, self.bottom), mix, True))
                continue
            for rung in self.rungs(self.bottom, 0.0):
                po2 = mix.oxygen * (min(self.place.surface, 1.01325) + rung * self.place.per_metre)
                if po2 <= self.highest_po2 + 1e-9 and rung not in given:
                    found.append((rung, mix, False))
                    break
        in_use = self.gases[0][0]
        kept = []
        for depth, mix, stated in sorted(found, key=lambda s: -s[0]):
            if stated or mix.oxygen > in_use.oxygen:
                kept.append((depth, mix))
                in_use = mix
        return kept


@dataclass(frozen=True)
class Stop:
    """A pause of the ascent."""

    depth: float
    arrives: float
    departs: float


class Planner:
    """Walks one dive; afterwards `stretches`, `stops`, `line` and `clock` hold the answer."""

    def __init__(self, dive: Dive) -> None:
        self.dive = dive
        self.set = compartments(dive.model)
        self.tensions = dive.starting_tensions()
        self.mix = dive.gases[0][0]
        self.depth = 0.0
        self.clock = 0.0
        self.stretches: list[Stretch] = []
        self.stops: list[Stop] = []
        self.line = Line(None, dive.low, dive.high)
        for depth, leave_at in dive.levels:
            if depth > self.depth:
                self._go_down(depth)
            elif depth < self.depth:
                self._anchor()
                given = [(d, mix) for mix, d in dive.gases[1:] if d is not None]
                between = [s for s in given if depth + 1e-9 < s[0] < self.depth - 1e-9]
                self._climb(depth, sorted(between, key=lambda s: -s[0]))
            assert self.clock <= leave_at + 1e-9, "a level is reached too late"
            self._stay(leave_at - self.clock)
        self._anchor()
        self._climb(0.0, dive.switches())

    def _go_down(self, depth: float) -> None:
        self.mix = self.dive.gases[0][0]
        parts = [(self.mix, depth)]
        if self.dive.travel is not None and self.depth == 0.0:
            parts.insert(0, self.dive.travel)
        for self.mix, target in parts:
            minutes = (target - self.depth) / self.dive.descent_rate
            self._add(Stretch(self.clock, self.clock + minutes, self.depth, target, self.mix))

    def _add(self, stretch: Stretch) -> None:
        if stretch.minutes <= 0.0:
            return
        self.tensions = tensions_after(self.tensions, stretch, self.dive.place, self.set)
        self.stretches.append(stretch)
        self.clock, self.depth = stretch.ends, stretch.end

    def _stay(self, minutes: float) -> None:
        self._add(Stretch(self.clock, self.clock + minutes, self.depth, self.depth, self.mix))

    def _anchor(self) -> None:
        dive = self.dive
        anchor = direct_ascent_anchor(
            self.tensions,
            self.depth,
            self.mix,
            dive.switches(),
            dive.zones,
            dive.place,
            dive.model,
            dive.low,
        )
        self.line = Line(anchor, dive.low, dive.high)

    def _climb(self, goal: float, switches: list[tuple[float, Mix]]) -> None:
        pending = list(switches)
        depths = {d for d, _ in switches if goal + 1e-9 < d < self.depth - 1e-9}
        rungs = self.dive.rungs(self.depth, goal)
        rungs += [d for d in depths if all(abs(d - rung) > 1e-9 for rung in rungs)]
        for rung in [*sorted(rungs, reverse=True), goal]:
            change = None
            if pending and pending[0][0] >= self.depth - 1e-9:
                change = pending.pop(0)[1]
            self._hold(rung, change)
            for part in self._parts(rung, tested=False):
                self._add(part)

    def _parts(self, rung: float, *, tested: bool) -> list[Stretch]:
        """Travel to the next rung: as it is tested, or as it is made."""
        zones = self.dive.zones
        if rung == 0.0 and tested:
            zones = [(0.0, max(rate for _, rate in zones))]
        elif rung == 0.0 and self.dive.surfacing_rate is not None:
            zones = [(0.0, self.dive.surfacing_rate)]
        return travel(self.depth, rung, self.clock, self.mix, zones)

    def excess_after(self, waits: Array, rung: float) -> Array:
        """Worst excess [bar] on arrival at the next rung, for many waits at the present depth."""
        longest = float(np.max(waits)) if waits.size else 0.0
        stay = Stretch(0.0, longest, self.depth, self.depth, self.mix)
        nitrogen, helium = tensions_along(self.tensions, stay, self.dive.place, self.set, waits)
        for part in self._parts(rung, tested=True):
            held = (nitrogen, helium)  # one row a wait; all travel for the same time
            end = np.array([part.minutes])
            nitrogen, helium = tensions_along(held, part, self.dive.place, self.set, end)
        factor = float(factor_at(np.array(rung), self.line.anchor, self.line.low, self.line.high))
        limit = tolerated(self.set, nitrogen, helium, factor)
        return np.max(limit, axis=1) - float(self.dive.place.pressure(rung))

    def _least_wait(self, rung: float) -> float:
        if self.excess_after(np.zeros(1), rung)[0] <= 1e-12:
            return 0.0
        left, width = 0.0, 0.5
        while left < 1e5:
            times = np.linspace(left, left + width, 41)
            passed = np.flatnonzero(self.excess_after(times, rung) <= 0.0)
            if passed.size:
                return self._bisect(times[passed[0] - 1], times[passed[0]], rung)
            left, width = left + width, width * 1.3
        raise AssertionError(f"no ascent from {self.depth} m")

    def _bisect(self, low: float, high: float, rung: float) -> float:
        while high - low > 1e-12 * (1.0 + high):
            middle = (low + high) / 2.0
            if middle in (low, high):
                break
            if self.excess_after(np.array([middle]), rung)[0] <= 0.0:
                high = middle
            else:
                low = middle
        return high

    def _hold(self, rung: float, change: Mix | None) -> None:
        dive = self.dive
        arrives, pause = self.clock, 0.0
        if change is not None and change != self.mix:
            pause = dive.switch_time
            self._stay(pause)
            self.mix = change
        wait = self._least_wait(rung)
        minutes = pause + wait
        if wait > 0.0:
            minutes = max(minutes, dive.min_stop)
        if minutes == 0.0:
            return
        leaves = max(self._rounded(arrives, minutes), self.clock)
        if dive.rounding != "exact":
            while self.excess_after(np.array([leaves - self.clock]), rung)[0] > 1e-12:
                leaves += dive.resolution
        self._stay(leaves - self.clock)
        self.stops.append(Stop(self.depth, arrives, leaves))

    def _rounded(self, arrives: float, minutes: float) -> float:
        if self.dive.rounding == "exact":
            return arrives + minutes
        if self.dive.rounding == "duration":
            return arrives + self._up(minutes)
        return self._up(arrives + minutes)

    def _up(self, minutes: float) -> float:
        resolution = self.dive.resolution
        return max(minutes, math.ceil((minutes - 1e-9) / resolution) * resolution)

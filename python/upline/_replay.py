"""Any path through the water against the limit line: `replay`."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Literal

from . import _core, _messages
from ._calls import checked
from ._log import Log, read_log
from ._said import headline, length_of, short, surfaced

if TYPE_CHECKING:
    import pandas as pd
    from matplotlib.axes import Axes

    from ._core import Caution, Environment, Gas, KeptPath, OxygenDose, State
    from ._plan import Factors, GasChoice, GasLike, Rates, Units

__all__ = ["Margin", "Replay", "StopLoad", "replay"]


@dataclass(frozen=True)
class Margin:
    """How far a moment is from the limit line; below 0 beyond it.

    Attributes
    ----------
    pressure : float
        Ambient less tolerated pressure, the least of all compartments [bar].
    fraction : float
        Factor allowed less the supersaturation fraction of that compartment [1].
    length : float
        Depth less ceiling [m or ft].
    run_time, depth : float
        When and where [min], [m or ft].
    half_time : float
        Of the compartment that has the least [min].
    gas : Gas
        Breathed then.
    """

    pressure: float
    fraction: float
    length: float
    run_time: float
    depth: float
    half_time: float
    gas: Gas


@dataclass(frozen=True)
class StopLoad:
    """A stop, and what holds the diver there.

    Attributes
    ----------
    depth : float
        Of a log the mean [m or ft].
    arrives, departs : float
        Run times [min].
    gas : Gas
        On which it is left.
    held_by, runner_up : float
        Half-times of the two compartments with the least margin on arrival at the next stop, or
        at the surface [min].
    margin, gap : float
        Margin of the first, and how much more the second has [bar].
    """

    depth: float
    arrives: float
    departs: float
    gas: Gas
    held_by: float
    margin: float
    runner_up: float
    gap: float


@dataclass(frozen=True)
class Replay:
    """A path seen against a limit line; `replay` makes one.

    Attributes
    ----------
    margin : float
        The least of all, the surface included [bar]; below 0 beyond the line.
    tightest, surfacing : Margin
        The least before the surface, and at it with the high factor.
    surfacing_fraction : float
        Largest supersaturation fraction at the surface [1].
    surfacing_half_time : float
        Of the compartment that has it [min].
    anchor : float or None
        Depth at which the line begins to open [m or ft]; None where the direct ascent touches no
        limit.
    judged_from, run_time : float
        Run times from which the margin counts, and of the surface [min].
    stops : tuple of StopLoad
    oxygen : OxygenDose
    cautions : tuple of Caution
    notes : tuple of str
        What was added to the path.
    end : State
        What it leaves behind.
    units : "metric" or "imperial"
    version : str
        Of the library that computed it.
    assumptions : str
        One line that names every convention behind the numbers.
    """

    margin: float
    tightest: Margin
    surfacing: Margin
    surfacing_fraction: float
    surfacing_half_time: float
    anchor: float | None
    judged_from: float
    run_time: float
    stops: tuple[StopLoad, ...]
    oxygen: OxygenDose
    cautions: tuple[Caution, ...]
    notes: tuple[str, ...]
    end: State
    units: str
    version: str
    assumptions: str
    _path: KeptPath = field(repr=False, compare=False)

    @checked
    def to_frame(
        self, of: Literal["samples", "stops"] = "samples", step: float = 1.0
    ) -> pd.DataFrame:
        """Return the path moment by moment, or its stops, as a pandas DataFrame.

        Full precision, units in the names of the columns.

        Parameters
        ----------
        of : "samples" or "stops"
            Samples hold run time, depth, the gas breathed until then, ambient pressure, ceiling,
            the margin in bar, as a fraction and as depth below the ceiling, the supersaturation
            fraction and the half-time of the compartment with the least margin, the factor allowed
            there, and whether the margin counts yet. Stops hold what `Replay.stops` has.
        step : float
            Between samples [min], 1/60 or more, at most 100 000 of them; every waypoint is sampled
            besides.

        Returns
        -------
        pandas.DataFrame
            Its ``attrs`` have units, assumptions and the foot.

        Raises
        ------
        InvalidInput
            For another table, or a step out of range.
        Error
            If pandas is missing: ``pip install pandas``.
        """
        from ._frame import replay_to_frame

        return replay_to_frame(self, of, step)

    @checked
    def plot(self, ax: Axes | None = None) -> Axes:
        """Draw the path with its ceiling, and the margin below it.

        One line is the path, the hatched region the ceiling. The gas stands along the line, a tick
        marks each switch, a ring the least margin. Below, the margin in bar from when it counts;
        what is beyond the limit line is hatched. Nothing is told by colour alone, and the colours
        are those of the style in use, light or dark.

        Parameters
        ----------
        ax : matplotlib.axes.Axes, optional
            Where to draw. Then only the path is drawn, without the margin, and room is needed
            below it for the caution (``plt.subplots(layout="constrained")`` makes it). Without it
            a new figure is made.

        Returns
        -------
        matplotlib.axes.Axes
            Of the path; the margin is ``ax.figure.axes[1]`` of a new figure.

        Raises
        ------
        Error
            If matplotlib is missing: ``pip install matplotlib``.
        WrongType
            If `ax` is no Axes.
        """
        from ._plot_replay import plot_replay

        return plot_replay(self, ax)

    @checked
    def _repr_html_(self) -> str:
        """Return the replay as HTML; a notebook shows it by itself."""
        from ._html_check import replay_to_html

        return replay_to_html(self)

    def __str__(self) -> str:
        """Return margins, stops and cautions in words, with what no model promises."""
        lines = [
            headline(self),
            surfaced(self),
            f"Breathed: {self._path.breathed()}.",
            *(
                f"  {short(stop.depth, 2)} {length_of(self.units)} until "
                f"{_core.clock_text(stop.departs)} min: held by {short(stop.held_by)} min, then "
                f"{short(stop.runner_up)} min"
                for stop in self.stops
            ),
            *(f"  {caution.severity}: {caution}" for caution in self.cautions),
            *(f"  note: {note}" for note in self.notes),
            f"Assumptions: {self.assumptions}",
            _core.no_time_to_fly,
            _core.foot,
        ]
        return "\n".join(lines)


@checked
def replay(
    profile: Any,
    *,
    gases: GasLike | list[GasChoice] | None = None,
    gf: Factors | None = None,
    bottom_left: float | None = None,
    model: str = "ZH-L16C",
    ascent_rate: Rates | None = None,
    environment: Environment | None = None,
    start: State | None = None,
    max_po2: float = 1.4,
    max_deco_po2: float = 1.6,
    po2_tolerance: float = 0.03,
    min_po2: float = 0.16,
    units: Units = "metric",
) -> Replay:
    """Hold a path against the limit line of its dive. It never refuses: it reports.

    Parameters
    ----------
    profile : sequence, Log, path or array
        Waypoints (run time, depth) or (run time, depth, mix), the mix breathed from then on; or
        what `read_log` reads.
    gases : str, Gas or sequence, optional
        As in `plan`, for a path that names no mix: the first from the beginning, the others on the
        way up, each at its switch depth ("50@21") or at the deepest rung within `max_deco_po2` and
        its tolerance. Where they are taken up stands in the notes. Of a path that names its mixes
        the first where it does not say it; the others are not breathed, which is noted.
    gf : str or (float, float)
        As in `plan`; no default.
    bottom_left : float, optional
        Run time at which the bottom is left [min]. Without it the line is anchored as for a log:
        at the greatest depth that the direct ascent has from any moment within the low factor.
    model, environment, start, max_po2, max_deco_po2, po2_tolerance, min_po2, units
        As in `plan`.
    ascent_rate : float or sequence of (float, float), optional
        Of the direct ascent that anchors the line.

    Returns
    -------
    Replay

    Raises
    ------
    InvalidInput
        For what is no path; never for a path that goes beyond a limit.

    Examples
    --------
    >>> path = [(0, 0, "air"), (2, 30), (25, 30), (28, 0)]
    >>> r = replay(path, gf="100/100", bottom_left=25)
    >>> round(r.surfacing_fraction, 3)
    1.111
    """
    points, gases = _points(profile, gases, units)
    found = _core.replay(
        points,
        bottom_left,
        10.0,  # a depth and a time that any dive has; the path has its own
        None,
        gases,
        gf,
        model,
        "departure",
        1.0,
        0.0,
        1.0,
        None,
        None,
        None,
        None,
        ascent_rate,
        None,
        None,
        environment,
        start,
        max_po2,
        max_deco_po2,
        po2_tolerance,
        min_po2,
        None,
        None,
        units,
    )
    return replay_from(found)


def replay_from(found: dict[str, Any]) -> Replay:
    """Return the classes of what the compiled part found."""
    found = dict(found)
    for name in ("tightest", "surfacing"):
        found[name] = Margin(**found[name])
    found["stops"] = tuple(StopLoad(**stop) for stop in found["stops"])
    return Replay(_path=found.pop("path"), **found)


def _points(profile: Any, gases: Any, units: Units) -> tuple[list[Any], Any]:
    """Return waypoints, and the mix at their beginning."""
    if _is_waypoints(profile):
        points = [tuple(point) for point in profile]
    else:
        log = profile if _messages.is_a(profile, Log) else read_log(profile, units=units)
        changes = dict(log.gas)
        times = (float(t) for t in log.time)
        points = [(t, float(d), changes.get(t)) for t, d in zip(times, log.depth, strict=True)]
    if gases is None and points and len(points[0]) == 3:
        gases = points[0][2]
    return points, gases


def _is_waypoints(profile: Any) -> bool:
    """Return whether it is a list of pairs or triples."""
    return type(profile) in (list, tuple) and all(
        type(point) in (list, tuple) and len(point) in (2, 3) for point in profile
    )

"""Whether a dive still closes when a cylinder, or two, are lost at any moment of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from . import _core, _messages
from ._calls import checked
from ._diver import Diver, fields_of
from ._html_what_if import lost_gas_to_html
from ._optional import imported
from ._results import data_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    import pandas as pd

    from ._core import Caution, Gas, Plan

__all__ = ["GasReserve", "Loss", "LossMoment", "LostGas", "lost_gas"]


@dataclass(frozen=True)
class LossMoment:
    """The ascent after one loss.

    Attributes
    ----------
    at : float
        Run time of the loss [min].
    depth : float
        [m or ft]
    reason : str
        Why there is no ascent; empty where there is one. Then the fields from `breathed` on are
        None or empty.
    short_by : float
        All that is missing [L or cu ft].
    short_of : tuple of (Gas, float)
        By which more of each mix must be in the cylinders at the loss, the most first.
    breathed : Gas or None
        Taken up at once.
    last_stop : float or None
        Chosen among those allowed [m or ft].
    stops : tuple of (float, float, Gas)
        Depth, run time of leaving it [min], and the gas on which it is left. Where `short_by` is
        above 0 nobody has the gas for them.
    time_to_surface : float or None
        From the loss [min].
    cns : float or None
        CNS share at the end, the dive until the loss and earlier dives included.
    refusals : tuple of Caution
        Limits that it breaks.
    """

    at: float
    depth: float
    reason: str
    short_by: float
    short_of: tuple[tuple[Gas, float], ...]
    breathed: Gas | None
    last_stop: float | None
    stops: tuple[tuple[float, float, Gas], ...]
    time_to_surface: float | None
    cns: float | None
    refusals: tuple[Caution, ...]


@dataclass(frozen=True)
class GasReserve:
    """What must be in the cylinders of one mix at the loss, whenever it comes.

    Attributes
    ----------
    gas : Gas
    volume : float
        In all of these cylinders together [L or cu ft].
    there : float
        What is in them at that moment [L or cu ft].
    at : float
        Run time of the moment that asks for most [min].
    cylinders : tuple of int
        In which it must be: places among the diver's cylinders, from 0.
    pressure : float or None
        In each of them [bar or psi]; None where they cannot hold it.
    filled : float
        In all of them before the dive, so that enough is left at every moment [L or cu ft].
    fill_pressure : float or None
        The same in each [bar or psi]; None where they cannot hold it.
    """

    gas: Gas
    volume: float
    there: float
    at: float
    cylinders: tuple[int, ...]
    pressure: float | None
    filled: float
    fill_pressure: float | None


@dataclass(frozen=True)
class Loss:
    """One cylinder of one diver, or two of them, lost at every moment of the dive.

    Attributes
    ----------
    diver : str
    cylinders : tuple of int
        Places of one or two among the diver's cylinders, from 0.
    gases : tuple of Gas
        In them.
    spans : tuple of (float, float, str)
        Run times of the first and the last moment with one answer [min], and the answer:
        "own gas", "shared", "no" or "unknown".
    closes : bool
        Whether every loss of it closes; shared gas counts.
    own_until : float or None
        Run time up to which every loss closes on own gas [min]; None where the first does not.
    shared_until : float or None
        The same on own or shared gas; None as well where no other diver is given.
    own_worst, shared_worst : LossMoment or None
        The moment without an ascent, else that with most missing; None where all close.
    reserves : tuple of GasReserve
        Each gas that is short at some moment on own gas; together they close those moments.
    reserves_close : bool
        Whether the reserves, where they can be held, close every moment on own gas; not where some
        have no ascent, or gas was missing before.
    highest_cns : float
        CNS share, over the ascents on own gas.
    highest_cns_at : float
        Run time of the loss that has it [min].
    """

    diver: str
    cylinders: tuple[int, ...]
    gases: tuple[Gas, ...]
    spans: tuple[tuple[float, float, str], ...]
    closes: bool
    own_until: float | None
    shared_until: float | None
    own_worst: LossMoment | None
    shared_worst: LossMoment | None
    reserves: tuple[GasReserve, ...]
    reserves_close: bool
    highest_cns: float
    highest_cns_at: float


@dataclass(frozen=True)
class LostGas:
    """All losses of all divers; `lost_gas` finds them, and ``print`` shows them.

    Attributes
    ----------
    plan : Plan
    divers : tuple of Diver
    losses : tuple of Loss
        Of each diver single cylinders, then pairs.
    closes : bool
        Whether every loss closes at every moment tried; shared gas counts. Nothing is kept back.
    tables : tuple of tuple of tuple of str
        The cells that are printed, for each diver: a head, its units, then one line for each loss.
    title, assumed : str
        What stands over it, and what it rests on.
    said, broken, reserve_lines, sequel_lines : tuple of str
        Sentences on what does not close, what breaks a limit, what would make it close, and on the
        ascents after the worst losses.
    text : str
    units : "metric" or "imperial"
    """

    plan: Plan
    divers: tuple[Diver, ...]
    losses: tuple[Loss, ...]
    closes: bool
    tables: tuple[tuple[tuple[str, ...], ...], ...]
    title: str
    said: tuple[str, ...]
    broken: tuple[str, ...]
    reserve_lines: tuple[str, ...]
    sequel_lines: tuple[str, ...]
    assumed: str
    text: str
    units: str

    def to_frame(self) -> pd.DataFrame:
        """Return a line for each loss as a pandas DataFrame, units in the names of the columns.

        What is None in a `Loss` is NaN or None; the worst moment is that on own gas.

        Raises
        ------
        Error
            If pandas is not installed; the message says how to get it.
        """
        frames = imported("pandas", "LostGas.to_frame", "pandas")
        frame: pd.DataFrame = frames.DataFrame([self._line(loss) for loss in self.losses])
        frame.attrs.update(units=self.units, foot=_core.foot)
        return frame

    def _line(self, loss: Loss) -> dict[str, Any]:
        length, volume = ("m", "l") if self.units == "metric" else ("ft", "cuft")
        worst = loss.own_worst
        return {
            "diver": loss.diver,
            "lost": ", ".join(map(str, loss.gases)),
            "closes": loss.closes,
            "own_until_min": loss.own_until,
            "shared_until_min": loss.shared_until,
            "worst_at_min": None if worst is None else worst.at,
            f"worst_depth_{length}": None if worst is None else worst.depth,
            f"short_by_{volume}": None if worst is None or worst.reason else worst.short_by,
            "of": None if worst is None else ", ".join(str(gas) for gas, _ in worst.short_of),
            "reason": None if worst is None else worst.reason,
            "time_to_surface_min": None if worst is None else worst.time_to_surface,
            "highest_cns": loss.highest_cns,
        }

    def to_dict(self) -> dict[str, Any]:
        """Return plain data that JSON can hold, with ``"schema": 1``."""
        data = data_of(self, "lost gas", without=("plan", "divers"))
        data["divers"] = [diver.name for diver in self.divers]
        return {**data, "assumptions": self.plan.assumptions}

    def _repr_html_(self) -> str:
        return lost_gas_to_html(self)

    def __str__(self) -> str:
        """Return what does not close, a table for each diver, and what it does not promise."""
        return self.text

    def __repr__(self) -> str:
        """Return how many losses there are, and how many of them do not close."""
        lacking = sum(not loss.closes for loss in self.losses)
        return f"<upline.LostGas {len(self.losses)} losses, {lacking} do not close>"


@checked
def lost_gas(
    plan: Plan,
    divers: Diver | Sequence[Diver],
    *,
    stress_for: float,
    last_stops: Sequence[float] | None = None,
    every: float = 1.0,
) -> LostGas:
    """Lose each cylinder, and each pair, of each diver at every moment of a planned dive.

    Parameters
    ----------
    plan : Plan
    divers : Diver or sequence of Diver
        The team, 1 to 12, each with a cylinder for each gas that the plan breathes.
    stress_for : float
        From the loss on everybody breathes at the stress rate for so long, then at the resting
        rate [min]. It decides, so it has no default.
    last_stops : sequence of float, optional
        Last stops that the divers allow beside that of the plan, up to 10 [m or ft].
    every : float
        Between two moments that are tried, 1 to 600 [s]. The ends of the plan's rows are tried as
        well.

    Returns
    -------
    LostGas
        That a loss closes says only that the gas is there.

    Raises
    ------
    InvalidInput
        For a gas without a cylinder, a rate, a time or a depth out of range, last stops beside an
        explicit ladder, or more than 20 000 moments. `WrongType` for what is no plan, no diver or
        no number.

    Notes
    -----
    Until the loss the plan is followed. Then the ascent begins, or goes on on the plan's own limit
    line, on the gases that are left; a gas in use that is lost is replaced at once by the bottom
    gas, or where that is lost or may not be breathed by the richest that may. Sharing pools what
    all have left and lets all follow one ascent; the time to pass a cylinder over is not counted.
    A loss never closes where anything is missing, unknown or cannot be computed. More of it:
    docs/theory.md.

    Examples
    --------
    Ada alone on the *Quince Blossom* (invented):

    >>> import upline
    >>> p = upline.plan(57, 25, ["18/45", "50", "O2"], gf="40/80", last_stop=6)
    >>> twin = upline.Cylinder(12, 200, "18/45", 10, joined=2)
    >>> deco = [upline.Cylinder(7, 180, "50", 10), upline.Cylinder(5, 150, "O2", 10)]
    >>> ada = upline.Diver("Ada", [twin, *deco], working=20, resting=15, stress=40)
    >>> found = upline.lost_gas(p, ada, stress_for=5, last_stops=[3], every=30)
    >>> lost_oxygen = found.losses[2]
    >>> str(lost_oxygen.gases[0]), round(lost_oxygen.own_until, 1)
    ('O2', 29.3)
    """
    team = [divers] if _messages.is_a(divers, Diver) else _listed(divers)
    found = _core.lost_gas(
        plan, [fields_of(one, "divers") for one in team], stress_for, last_stops, every
    )
    found["losses"] = tuple(_loss(one) for one in found["losses"])
    return LostGas(plan=plan, divers=tuple(team), **found)


def _loss(found: dict[str, Any]) -> Loss:
    for name in ("own_worst", "shared_worst"):
        if found[name] is not None:
            found[name] = LossMoment(**found[name])
    found["reserves"] = tuple(GasReserve(**one) for one in found["reserves"])
    return Loss(**found)


def _listed(divers: Any) -> list[Diver]:
    if not _messages.is_a(divers, list, tuple):
        raise _core.wrong_type(
            "divers", _core.shown(divers), "an upline.Diver, or a list of them", "write [ada, ben]"
        )
    return list(divers)

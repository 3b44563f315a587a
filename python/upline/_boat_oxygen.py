"""Oxygen on the boat: how much casualties breathe until they are treated, and is it there."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from . import _core
from ._calls import checked
from ._html_supply import boat_oxygen_to_html
from ._results import data_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from ._core import Cylinder

__all__ = ["BoatOxygen", "boat_oxygen"]


@dataclass(frozen=True)
class BoatOxygen:
    """Oxygen on the boat; `boat_oxygen` finds it, and ``print`` shows it.

    Attributes
    ----------
    casualties : int
    flow : float
        To each of them [L/min or cu ft/min].
    minutes_to_treatment : float or None
    margin : float
        What is needed is multiplied by it [1].
    cylinders : tuple of Cylinder
        As given.
    needed : float or None
        Margin and all [L or cu ft]; None without a time.
    there : float or None
        In all cylinders, as real gas [L or cu ft]; None without one.
    lasts, lasts_with_margin : float or None
        For how long what is there gives this flow, and with the margin kept [min].
    short_by : float or None
        What is missing [L or cu ft], 0 where it is enough.
    enough : "yes", "no" or "unknown"
        Unknown where the time or the cylinders are not stated.
    table : tuple of tuple of str
        The cells that are printed: a head, its units, then a line each.
    verdict, text : str
    units : "metric" or "imperial"
    """

    casualties: int
    flow: float
    minutes_to_treatment: float | None
    margin: float
    cylinders: tuple[Cylinder, ...]
    needed: float | None
    there: float | None
    lasts: float | None
    lasts_with_margin: float | None
    short_by: float | None
    enough: str
    table: tuple[tuple[str, ...], ...]
    verdict: str
    text: str
    units: str

    def to_dict(self) -> dict[str, Any]:
        """Return plain data that JSON can hold, with ``"schema": 1``."""
        data = data_of(self, "boat_oxygen", without=("cylinders",))
        data["first_aid"] = _core.boat_oxygen_foot
        data["cylinders"] = [
            {name: getattr(one, name) for name in _OF_CYLINDERS} for one in self.cylinders
        ]
        return data

    def _repr_html_(self) -> str:
        return boat_oxygen_to_html(self)

    def __str__(self) -> str:
        """Return the table, the answer, and what it is not."""
        return self.text

    def __repr__(self) -> str:
        """Return whether it is enough."""
        return f"<upline.BoatOxygen enough: {self.enough}>"


_OF_CYLINDERS = ("water_volume", "joined", "pressure", "temperature")


@checked
def boat_oxygen(
    *,
    casualties: int,
    flow: float,
    margin: float,
    minutes_to_treatment: float | None = None,
    cylinders: Sequence[Cylinder] | None = None,
    units: str = "metric",
) -> BoatOxygen:
    """Tell how much oxygen casualties need until they are treated, and whether it is there.

    First aid, not treatment.

    Parameters
    ----------
    casualties : int
        Who may have to breathe oxygen at the same time, 1 to 50.
    flow : float
        To each of them [L/min, or cu ft/min if imperial], 1 to 200 L/min; what the equipment
        gives.
    margin : float
        Factor on what is needed, 1 to 5; 1 adds nothing. 1.25 to 1.5 is common practice, no
        source; there is no default.
    minutes_to_treatment : float, optional
        Until somebody else's oxygen takes over [min], 1 to 10 000. Left out: unknown.
    cylinders : sequence of Cylinder, optional
        Of oxygen on the boat, in `units`, at their temperature; none of it may be needed by the
        dive. Left out or empty: unknown.
    units : "metric" or "imperial"

    Returns
    -------
    BoatOxygen
        Its `enough` is "unknown" as long as the time or the cylinders are not stated.

    Raises
    ------
    InvalidInput
        For what is out of range, a cylinder that holds something else than oxygen, or two systems
        of units. `WrongType` for what is no number or no cylinder.

    Notes
    -----
    Needed are casualties x flow x minutes x margin; there is the content as real gas until the
    gauges read 0, in litres at 1 bar. A flow meter's litre, at one atmosphere, is 1.3 % more.

    Examples
    --------
    Two casualties, two hours from treatment, with the boat of the *Quince Blossom* (invented):

    >>> import upline
    >>> two = [upline.Cylinder(20, 190, "O2", 15), upline.Cylinder(10, 150, "O2", 15)]
    >>> oxygen = upline.boat_oxygen(
    ...     casualties=2, flow=15, margin=1.25, minutes_to_treatment=120, cylinders=two
    ... )
    >>> oxygen.needed, oxygen.enough
    (4500.0, 'yes')
    """
    found = _core.boat_oxygen(casualties, flow, minutes_to_treatment, margin, cylinders, units)
    return BoatOxygen(**found)

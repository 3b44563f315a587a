"""The best mix for a depth under stated limits."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from . import _core
from ._calls import checked
from ._html_station import best_mix_to_html
from ._results import data_of, frame_of

if TYPE_CHECKING:
    import pandas as pd

    from ._core import Environment, Gas

__all__ = ["BestMix", "best_mix"]


@dataclass(frozen=True)
class BestMix:
    """The mix with the most oxygen and the least helium that limits allow; `best_mix` finds it.

    Attributes
    ----------
    mix : Gas or None
        In whole per cent, oxygen rounded down and helium up; None where no mix keeps the limits.
    exact : Gas or None
        Not rounded.
    most_oxygen : float
        The share of oxygen that all limits together allow [1].
    oxygen_by, helium_by : "po2", "narcotic_depth", "density" or "nothing"
        The limit that decides each.
    helium_for_narcosis, helium_for_density : float or None
        What each limit asks for beside `most_oxygen` [1]; None where it is not stated.
    shallowest : float or None
        Least depth at which `mix` holds the least oxygen pressure [m or ft]; 0 where the surface
        will do.
    nitrogen_rise, helium_fall : float or None
        From `mix` to the next gas, as fractions [1]; None where none is stated.
    within_one_fifth : bool or None
        Whether nitrogen rises by no more than a fifth of the fall of helium (common practice, no
        source).
    table : tuple of tuple of str
        The cells that are printed: a head, then one line for each limit.
    notes : tuple of str
        What the mix does.
    title, verdict, assumptions, text : str
    units : "metric" or "imperial"
    """

    mix: Gas | None
    exact: Gas | None
    most_oxygen: float
    oxygen_by: str
    helium_for_narcosis: float | None
    helium_for_density: float | None
    helium_by: str
    shallowest: float | None
    nitrogen_rise: float | None
    helium_fall: float | None
    within_one_fifth: bool | None
    table: tuple[tuple[str, ...], ...]
    title: str
    verdict: str
    notes: tuple[str, ...]
    assumptions: str
    text: str
    units: str

    def to_frame(self) -> pd.DataFrame:
        """Return the answer as a pandas DataFrame of one line, units in the names of the columns.

        So that the answers to many depths can be put under one another.

        Raises
        ------
        Error
            If pandas is not installed; the message says how to get it.
        """
        columns = {
            "mix": "mix",
            "most_oxygen": "most_oxygen",
            "oxygen_by": "oxygen_by",
            "helium_for_narcosis": "helium_for_narcosis",
            "helium_for_density": "helium_for_density",
            "helium_by": "helium_by",
            "shallowest": "shallowest_{length}",
            "nitrogen_rise": "nitrogen_rise",
            "helium_fall": "helium_fall",
            "within_one_fifth": "within_one_fifth",
        }
        frame = frame_of([self], columns, self.units, "BestMix.to_frame")
        frame.attrs.update(assumptions=self.assumptions)
        return frame

    def to_dict(self) -> dict[str, Any]:
        """Return plain data that JSON can hold, with ``"schema": 1``."""
        return data_of(self, "best_mix")

    def _repr_html_(self) -> str:
        return best_mix_to_html(self)

    def __str__(self) -> str:
        """Return the mix, the limits that decide it, and what it does not promise."""
        return self.text

    def __repr__(self) -> str:
        """Return the depth and the mix."""
        return f"<upline.BestMix {self.title}: {self.mix or 'none'}>"


@checked
def best_mix(
    depth: float,
    *,
    max_po2: float,
    narcotic_depth: float | None = None,
    oxygen_narcotic: bool | None = None,
    max_density: float | None = None,
    density_temperature: float = 0.0,
    min_po2: float = 0.18,
    next_gas: str | Gas | None = None,
    environment: Environment | None = None,
    units: str = "metric",
) -> BestMix:
    """Find the mix with the most oxygen that limits allow at a depth, and the least helium.

    Parameters
    ----------
    depth : float
        Where it is breathed [m or ft].
    max_po2 : float
        Most oxygen there [bar].
    narcotic_depth : float, optional
        Deepest equivalent narcotic depth [m or ft]; left out, narcosis asks for nothing.
    oxygen_narcotic : bool
        Whether oxygen counts in it; needed with `narcotic_depth`, because the two conventions give
        different mixes.
    max_density : float, optional
        Densest gas [g/L]; published limits are 5.2 and 6.2. Left out, density asks for nothing.
    density_temperature : float
        At which that limit counts [degrees C, whatever the units].
    min_po2 : float
        Below it the mix counts as hypoxic [bar].
    next_gas : str or Gas, optional
        Breathed after it on the way up; nitrogen and helium at the change are then told.
    environment : Environment, optional
    units : "metric" or "imperial"

    Returns
    -------
    BestMix

    Raises
    ------
    InvalidInput
        For what is out of range, or a narcotic depth without its convention.

    Notes
    -----
    One mix for one depth under these limits, not a judgement: other limits, the gases at hand and
    the ascent may ask for another.

    Examples
    --------
    >>> import upline
    >>> found = upline.best_mix(57, max_po2=1.4, narcotic_depth=30, oxygen_narcotic=True)
    >>> str(found.mix), found.helium_by
    ('20/41', 'narcotic_depth')
    """
    given: dict[str, object] = {
        "depth": depth,
        "max_po2": max_po2,
        "narcotic_depth": narcotic_depth,
        "oxygen_narcotic": oxygen_narcotic,
        "max_density": max_density,
        "density_temperature": density_temperature,
        "min_po2": min_po2,
        "next_gas": next_gas,
        "environment": environment,
        "units": units,
    }
    return BestMix(**_core.best_mix(given))

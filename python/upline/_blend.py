"""A mix blended into a cylinder, or why it cannot be and what can."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from . import _core
from ._calls import checked
from ._html_station import blend_to_html
from ._results import data_of, frame_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    import pandas as pd

    from ._core import Cylinder, Gas

__all__ = ["Addition", "Alternative", "Blend", "FillSheet", "Obstacle", "blend"]


@dataclass(frozen=True)
class Addition:
    """One gas that goes into the cylinder.

    Attributes
    ----------
    gas : str
        As it is read aloud: "helium", "oxygen", "air", "32 %".
    oxygen, helium : float
        Its fractions [1].
    moles : float
        How much of it [mol].
    volume : float
        The same at 1 bar and the temperature of the cylinder [L or cu ft].
    from_pressure, to_pressure : float
        What the gauge reads before and after, at the filling temperature [bar or psi].
    ideal_to : float or None
        After it, if all were ideal gas; None where there is no such fill.
    bank : float or None
        What its bank reads, where that was stated [bar or psi].
    """

    gas: str
    oxygen: float
    helium: float
    moles: float
    volume: float
    from_pressure: float
    to_pressure: float
    ideal_to: float | None
    bank: float | None


@dataclass(frozen=True)
class _Line(Addition):
    """An addition with the fill that it belongs to."""

    fill: str
    mix_oxygen: float
    mix_helium: float


@dataclass(frozen=True)
class FillSheet:
    """One way to fill, reading by reading.

    Attributes
    ----------
    start, pressure : float
        What is left in the cylinder, and what is in it at the end, both at the temperature of the
        cylinder [bar or psi].
    oxygen, helium : float
        Of the mix at the end: what the analysis should read [1].
    residual_moles, moles : float
        What is left, below gauge 0 included, and all at the end [mol].
    additions : tuple of Addition
        In their order; gases that are not needed are left out.
    inlet : tuple of float or None
        Shares of air, oxygen and helium that flow into the inlet, where gases are mixed there.
    ideal_oxygen, ideal_helium : float or None
        What real gas would become if it were filled to the ideal readings.
    table : tuple of tuple of str
        The cells that are printed: a head, its units, then one line for each addition.
    notes : tuple of str
        What stands under them.
    """

    start: float
    pressure: float
    oxygen: float
    helium: float
    residual_moles: float
    moles: float
    additions: tuple[Addition, ...]
    inlet: tuple[float, float, float] | None
    ideal_oxygen: float | None
    ideal_helium: float | None
    table: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...]


@dataclass(frozen=True)
class Obstacle:
    """One reason why a target is not reached.

    Attributes
    ----------
    code : str
        "residual_too_full", "residual_holds_too_much", "station_lacks", "station_holds_too_much",
        "no_combination", "inlet_limit" or "bank_pressure".
    component : "oxygen", "helium", "nitrogen" or None
        Of which gas, where it is one.
    value, limit : float
        What it would take and what there is: shares [1], or readings [bar or psi] for
        "residual_too_full" and "bank_pressure"; for "no_combination" the oxygen and the helium
        that what is added would need.
    gas : str or None
        The bank, or the nearest gas at hand.
    text : str
        In a sentence.
    """

    code: str
    component: str | None
    value: float
    limit: float
    gas: str | None
    text: str


@dataclass(frozen=True)
class Alternative:
    """A fill that can be done instead.

    Attributes
    ----------
    kind : "bleed", "nearest_mix", "other_order" or "lower_pressure"
        What differs from what was asked.
    sheet : FillSheet
    keep : float or None
        Where it is to be bled: the least that has to stay in [bar or psi].
    text : str
        In a sentence.
    """

    kind: str
    sheet: FillSheet
    keep: float | None
    text: str


@dataclass(frozen=True)
class Blend:
    """A fill as it was asked for and answered; `blend` makes one, and ``print`` shows it.

    Attributes
    ----------
    cylinder : Cylinder
        As given.
    target : Gas
    reachable : bool
        Whether what was asked can be filled.
    sheet : FillSheet or None
        The fill; None where it cannot.
    obstacles : tuple of Obstacle
        Why not.
    alternatives : tuple of Alternative
        What can be done instead; may be empty.
    title, verdict, assumptions, text : str
    cautions : tuple of str
        What a blender has to watch.
    units : "metric" or "imperial"
        Those of the cylinder.
    """

    cylinder: Cylinder
    target: Gas
    reachable: bool
    sheet: FillSheet | None
    obstacles: tuple[Obstacle, ...]
    alternatives: tuple[Alternative, ...]
    title: str
    verdict: str
    cautions: tuple[str, ...]
    assumptions: str
    text: str
    units: str

    def to_frame(self) -> pd.DataFrame:
        """Return every addition as a line of a pandas DataFrame, units in the names of the columns.

        The column ``fill`` says of which sheet: "asked", or the kind of an alternative.

        Raises
        ------
        Error
            If pandas is not installed; the message says how to get it.
        """
        sheets = [("asked", self.sheet)] if self.sheet else []
        sheets += [(one.kind, one.sheet) for one in self.alternatives]
        lines = [
            _Line(**vars(one), fill=kind, mix_oxygen=sheet.oxygen, mix_helium=sheet.helium)
            for kind, sheet in sheets
            for one in sheet.additions
        ]
        pressure, volume = ("bar", "l") if self.units == "metric" else ("psi", "cuft")
        columns = {
            "fill": "fill",
            "mix_oxygen": "mix_oxygen",
            "mix_helium": "mix_helium",
            "gas": "gas",
            "moles": "amount_mol",
            "volume": f"volume_{volume}",
            "from_pressure": f"from_{pressure}",
            "to_pressure": f"to_{pressure}",
            "ideal_to": f"ideal_to_{pressure}",
            "bank": f"bank_{pressure}",
        }
        frame = frame_of(lines, columns, self.units, "Blend.to_frame")
        frame.attrs.update(assumptions=self.assumptions, caution=_core.blending_caution)
        return frame

    def to_dict(self) -> dict[str, Any]:
        """Return plain data that JSON can hold, with ``"schema": 1``."""
        data = data_of(self, "blend", without=("cylinder",))
        cylinder = {
            "water_volume": self.cylinder.water_volume,
            "joined": self.cylinder.joined,
            "pressure": self.cylinder.pressure,
            "gas": str(self.cylinder.gas),
            "temperature": self.cylinder.temperature,
        }
        return {**data, "cylinder": cylinder, "caution": _core.blending_caution}

    def _repr_html_(self) -> str:
        return blend_to_html(self)

    def __str__(self) -> str:
        """Return the fill sheet or what stands in its way, then what it does not promise."""
        return self.text

    def __repr__(self) -> str:
        """Return what is asked, and whether it can be filled."""
        verdict = "can be filled" if self.reachable else "cannot be filled"
        return f"<upline.Blend {self.title}: {verdict}>"


@checked
def blend(
    cylinder: Cylinder,
    target: str | Gas,
    pressure: float,
    gases: Sequence[str | Gas | tuple[str | Gas, float]],
    *,
    inlet_limit: float | None = None,
    filling_temperature: float | None = None,
    tolerance: float | None = None,
) -> Blend:
    """Blend a mix into a cylinder from what a fill station has.

    Arithmetic for qualified blenders. Analyse every fill before it is labelled, and again before
    it is breathed.

    Parameters
    ----------
    cylinder : Cylinder
        As it is now: what its gauge reads, the mix that is left, and the temperature. An empty one
        is at 0 and still holds an atmosphere of something.
    target : str or Gas
        The mix that is wanted.
    pressure : float
        To fill to, at the temperature of the cylinder [bar, or psi if it is imperial].
    gases : sequence
        One to three gases in the order in which they are filled, the top gas last: "He", "O2",
        "air", "32", "18/45"; or pairs of a gas and what its bank reads [bar or psi].
    inlet_limit : float, optional
        Given, the gases (air, oxygen, and helium if there is any) are mixed at the inlet of the
        compressor, which may carry up to this fraction of oxygen. In the trade often 0.40 (common
        practice, no source); it is the compressor's maker who states it. Left out, they are filled
        into the cylinder one after the other.
    filling_temperature : float, optional
        Of the gas while the gauge is read between additions [degrees C or F]; left out, that of
        the cylinder.
    tolerance : float, optional
        By how much an analysis may differ, as a fraction: 0.01 is one per cent of the gas. It has
        no default, and only widens what is printed.

    Returns
    -------
    Blend
        The fill sheet; or why the target is not reached, and what can be done instead: bleed the
        cylinder first, the nearest mix, another order, a lower pressure.

    Raises
    ------
    InvalidInput
        For what is out of range, a gas named twice, or three gases of which one can be made of the
        other two. `WrongType` for a value of the wrong kind.

    Notes
    -----
    Real gas, in a rigid cylinder at one temperature; amounts do not depend on the order. The
    ideal readings beside it are the same balance with an ideal gas, and ``ideal_oxygen`` is what
    they would make of real gas. A bank is taken to keep its reading while it gives.

    Examples
    --------
    The station at Skerry Point (invented), 50 % into a cylinder with some air left:

    >>> import upline
    >>> left = upline.Cylinder(7, 20, "air", 20)
    >>> fill = upline.blend(left, "50", 200, ["O2", "air"])
    >>> [(one.gas, round(one.to_pressure, 1)) for one in fill.sheet.additions]
    [('oxygen', 90.3), ('air', 200.0)]
    """
    found = _core.blend(
        cylinder, target, pressure, gases, inlet_limit, filling_temperature, tolerance
    )
    sheet = found.pop("sheet")
    obstacles = tuple(Obstacle(**one) for one in found.pop("obstacles"))
    alternatives = tuple(
        Alternative(**{**one, "sheet": _sheet(one["sheet"])}) for one in found.pop("alternatives")
    )
    return Blend(
        cylinder=cylinder,
        sheet=None if sheet is None else _sheet(sheet),
        obstacles=obstacles,
        alternatives=alternatives,
        **found,
    )


def _sheet(found: dict[str, Any]) -> FillSheet:
    additions = tuple(Addition(**one) for one in found.pop("additions"))
    return FillSheet(additions=additions, **found)

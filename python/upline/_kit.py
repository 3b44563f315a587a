"""Kit: items with the ratings somebody read from them, and sets of them with a gas."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import TYPE_CHECKING, Any

from . import _core, _messages
from ._calls import checked_class

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import date

    from ._core import Gas

__all__ = ["KitItem", "KitSet"]

_LABEL = ("mix", "largest_depth", "date", "analyst", "one_unit")


@checked_class
@dataclass(frozen=True)
class KitItem:
    """An item of kit with what is known of it. What is left out is unknown, and stays unknown.

    Parameters
    ----------
    kind : str
        "cylinder", "valve", "first stage", "high-pressure hose", "gauge", "low-pressure hose",
        "second stage" or "seals".
    name : str
        As its owner calls it, 1 to 60 characters.
    largest_oxygen : float, optional
        Largest share of oxygen that the plate names, 0.40 for 40 %.
    largest_pressure : float, optional
        Largest at the inlet in ordinary service [bar or psi].
    oxygen_pressures : sequence of (float, float)
        Largest pressures tied to a share of oxygen: ``[(1.0, 180)]`` is 180 up to 100 %.
    largest_depth : float or "no limit", optional
        On the plate [m or ft]; "no limit" where its maker sets none.
    lowest_temperature : float or "no limit", optional
        The coldest water [degrees C or F].
    materials : sequence of str, optional
        All that gas wets, by chemical short names: "brass", "PTFE", "FKM", "titanium".
    oxygen_clean : date or str, optional
        The day on which it was cleaned for oxygen.
    cleaned_by : str, optional
        By whom.
    ordinary_air_since : bool, optional
        Has ordinary compressed air been through it since?
    balanced, turning_outlet, adapter : bool, optional
        Of a first stage: balanced, with an outlet that turns, on an adapter.
    connector : "yoke", "G 5/8" or "M26x2", optional
        Outlet of a valve, or what a first stage fits.
    intermediate_pressure : float, optional
        Of a first stage, above that of the water [bar or psi].
    hose_length : float, optional
        Of a hose [m or ft].
    colour : str, optional
        Of a hose.
    gauge_kind : "full" or "small", optional
        Of a gauge.
    mouthpiece_retained : bool, optional
        Of a second stage: is its mouthpiece held on?
    slow_opening : bool, optional
        Of a valve.
    within : str, optional
        Of seals: the kind of item that they are in.
    service, intermediate_check, leak_check, cylinder_test : date or str, optional
        When it was last done.
    units : "metric" or "imperial"
        System of the numbers.

    Raises
    ------
    InvalidInput
        For a rating that cannot be, contradicts another or belongs to another kind of item.
        `WrongType` for a value of a kind that the field does not take.

    Examples
    --------
    First stage A (invented), 100 % to 180 bar:

    >>> import upline
    >>> a = upline.KitItem(
    ...     "first stage", "first stage A", largest_oxygen=1.0, oxygen_pressures=[(1.0, 180)]
    ... )
    """

    kind: str
    name: str
    largest_oxygen: float | None = None
    largest_pressure: float | None = None
    oxygen_pressures: Sequence[tuple[float, float]] = ()
    largest_depth: float | str | None = None
    lowest_temperature: float | str | None = None
    materials: Sequence[str] | None = None
    oxygen_clean: date | str | None = None
    cleaned_by: str | None = None
    ordinary_air_since: bool | None = None
    balanced: bool | None = None
    turning_outlet: bool | None = None
    connector: str | None = None
    adapter: bool | None = None
    intermediate_pressure: float | None = None
    hose_length: float | None = None
    colour: str | None = None
    gauge_kind: str | None = None
    mouthpiece_retained: bool | None = None
    slow_opening: bool | None = None
    within: str | None = None
    service: date | str | None = None
    intermediate_check: date | str | None = None
    leak_check: date | str | None = None
    cylinder_test: date | str | None = None
    units: str = "metric"

    def __post_init__(self) -> None:
        """Check it, and keep dates as dates and sequences as tuples."""
        kept = _core.kit_item(stated(self), self.units)
        for key, value in kept.items():
            object.__setattr__(self, key, value)


@checked_class
@dataclass(frozen=True)
class KitSet:
    """A cylinder with what hangs on it, its gas, and where it goes. What is left out is unknown.

    Parameters
    ----------
    name : str
        As the team calls it, 1 to 60 characters.
    gas : str or Gas
        What is meant to be in it.
    items : sequence of KitItem
        The cylinder and all that hangs on it, 1 to 40, in the same units.
    fill_pressure : float, optional
        The highest that it will see [bar or psi].
    filling : "premixed" or "oxygen added", optional
        How it was filled; where oxygen is added in the cylinder, it and its valve are judged at
        100 %.
    breathed, carried : (float, float), optional
        From the shallowest to the deepest depth [m or ft]. `fitness` takes what is left out from a
        plan.
    going_down : "open" or "shut", optional
        The valve until the set is breathed; shut means charged, then shut.
    without : sequence of str
        What the set does not have: "gauge", "high-pressure hose", "low-pressure hose".
    analysed : float, optional
        Share of oxygen that the analyser read. The richer of this and the gas is judged.
    analysed_on : date or str, optional
        On this day.
    label : dict, optional
        What stands on the cylinder: ``mix``, ``largest_depth``, ``date``, ``analyst`` and
        ``one_unit``, which says whether all depths are in the unit of the team.
    cues : sequence of str, optional
        By what the team tells it from the others: "side", "depth marking", "touch", "mouthpiece
        cover", "hose routing", "cylinder shape", "colour".
    colour_by_team : bool, optional
        Did the team choose the colours?
    hose_needed : float, optional
        Length to reach from either side, measured on the diver [m or ft].
    units : "metric" or "imperial"
        System of the numbers.

    Raises
    ------
    InvalidInput
        For what cannot be or contradicts itself. `WrongType` for a value of a kind that the field
        does not take.
    """

    name: str
    gas: str | Gas
    items: Sequence[KitItem]
    fill_pressure: float | None = None
    filling: str | None = None
    breathed: tuple[float, float] | None = None
    carried: tuple[float, float] | None = None
    going_down: str | None = None
    without: Sequence[str] = ()
    analysed: float | None = None
    analysed_on: date | str | None = None
    label: Mapping[str, Any] | None = None
    cues: Sequence[str] | None = None
    colour_by_team: bool | None = None
    hose_needed: float | None = None
    units: str = "metric"

    def __post_init__(self) -> None:
        """Check it, and keep the gas as a Gas, dates as dates and sequences as tuples."""
        items = _core.items(
            self.items, "items", "a list of KitItem", 'write items=[upline.KitItem("valve", ...)]'
        )
        for item in items:
            _require_item(item, self.units)
        object.__setattr__(self, "items", tuple(items))
        object.__setattr__(self, "label", _label(self.label))
        kept = _core.kit_set(stated(self), self.units)
        for key, value in kept.items():
            object.__setattr__(self, key, value)


def stated(one: KitItem | KitSet) -> dict[str, Any]:
    """Return the fields of an item or a set by name, without its units."""
    data = {key.name: getattr(one, key.name) for key in fields(one) if key.name != "units"}
    if "items" in data:
        data["items"] = tuple(stated(item) for item in data["items"])
    return data


def _require_item(item: object, units: object) -> None:
    if not _messages.is_a(item, KitItem):
        raise _core.wrong_type(
            "items",
            f"given with {_core.shown(item)}",
            "a list of KitItem",
            'write upline.KitItem("valve", "valve A", ...)',
        )
    if _messages.is_none_of(units, (item.units,)):
        raise _core.invalid_input(
            "items",
            f'stated with units="{item.units}" in a set in {_core.shown(units)}',
            "one system of units",
            "state the items in the units of their set",
        )


def _label(label: object) -> dict[str, Any] | None:
    if label is None:
        return None
    given = _messages.table(
        "label", label, "a dict of what stands on it", 'write {"mix": "50", "analyst": "Ada"}'
    )
    for key in given:
        if key not in _LABEL:
            raise _messages.unknown_key("label", key, _LABEL)
    return given

"""A diver: what they carry, and how much they breathe."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from . import _core, _messages
from ._calls import checked_class

if TYPE_CHECKING:
    from collections.abc import Sequence

    from ._core import Cylinder

__all__ = ["Diver"]


@checked_class
@dataclass(frozen=True)
class Diver:
    """A diver, what they carry or have waiting for them, and how much they breathe.

    Parameters
    ----------
    name : str
        For what is printed; one line of up to 60 characters.
    cylinders : sequence of Cylinder
        Up to 20, at the temperature of the water. Those of one mix are emptied in this order.
    working, resting, stress : float
        What this diver breathes a minute at the surface [L/min, or cu ft/min beside a plan in
        feet]: until the bottom is left, from then on, and once something has gone wrong. None has
        a default: they are this diver's own.

    Raises
    ------
    WrongType
        For what is no text, no cylinder or no number. `InvalidInput` for a name that is too long
        and for too many cylinders; rates are checked beside the plan, whose units they have.

    Examples
    --------
    >>> import upline
    >>> twin = upline.Cylinder(12, 200, "18/45", 10, joined=2)
    >>> ada = upline.Diver("Ada", [twin], working=20, resting=15, stress=40)  # (invented)
    """

    name: str
    cylinders: Sequence[Cylinder]
    working: float
    resting: float
    stress: float

    def __post_init__(self) -> None:
        """Keep numbers as numbers and cylinders as a tuple."""
        found = _core.diver(self.name, self.cylinders, self.working, self.resting, self.stress)
        for key, value in zip(self.__dataclass_fields__, found, strict=True):
            object.__setattr__(self, key, value)


def fields_of(diver: object, field: str = "diver") -> tuple[Any, ...]:
    """Return the fields of a diver, in their order, for the compiled part."""
    if not _messages.is_a(diver, Diver):
        raise _core.wrong_type(
            field,
            _core.shown(diver),
            "an upline.Diver",
            'write upline.Diver("Ada", cylinders, working=20, resting=15, stress=40)',
        )
    return tuple(getattr(diver, key) for key in Diver.__dataclass_fields__)

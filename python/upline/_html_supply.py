"""Gas in cylinders as HTML for notebooks; the words and cells are those of the text."""

from __future__ import annotations

from typing import TYPE_CHECKING

from . import _core
from ._html import bullets, caution, cautions, foot, fragment, paragraph, table

if TYPE_CHECKING:
    from ._boat_oxygen import BoatOxygen
    from ._consumption import Consumption


def consumption_to_html(found: Consumption) -> str:
    """Return what one diver breathes as a fragment of HTML."""
    parts = [paragraph(_core.refusal, strong=True)] if found.plan.refused else []
    parts += [paragraph(line, strong=True) for line in found.empty]
    names, units, *lines = found.table
    parts.append(table(found.title, names, units, lines, {"breathe"}))
    parts += bullets("Cylinders", found.sums)
    parts.append(paragraph(found.verdict, strong=not found.closes))
    parts.append(paragraph(f"Breathing: {found.breathing}"))
    parts += cautions(found.plan.cautions)
    parts += foot(found.plan.assumptions)
    return fragment(parts)


def boat_oxygen_to_html(found: BoatOxygen) -> str:
    """Return oxygen on the boat as a fragment of HTML."""
    names, units, *lines = found.table
    parts = [table("Oxygen on the boat", names, units, lines, {"oxygen", "how"})]
    parts.append(paragraph(found.verdict, strong=found.enough != "yes"))
    parts += [paragraph(_core.boat_oxygen_foot), caution()]
    return fragment(parts)

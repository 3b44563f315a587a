"""Reserves, deadlines and turn pressures as HTML for notebooks; words and cells of the text."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

from . import _core
from ._html import bullets, cautions, foot, fragment, paragraph, table

if TYPE_CHECKING:
    from ._reserve_results import Deadlines, Reserves, TurnPressures


def reserves_to_html(found: Reserves) -> str:
    """Return reserves as a fragment of HTML: what limits the dive, then the table and the ways."""
    parts = [paragraph(found.verdict, strong=True)]
    names, units, *lines = found.table
    title = f"Reserves: {_core.schedule_title(found.plan)}"
    parts.append(table(title, names, units, lines, {"diver", "gas", "for"}))
    unknown = [f"{one.diver}, {one.gas}, {one.purpose}: {one.reason}"
               for one in found.requirements if one.needed is None]  # fmt: skip
    parts += bullets("Unknown", unknown) + bullets("Sharing", found.ways)
    parts.append(paragraph(found.legend))
    parts += cautions(found.plan.cautions)
    for way in (found.with_next, found.without_next):
        if way is not None and way.plan is not None:
            gone = "" if way.without is None else f" without {way.without}"
            worse = [one for one in way.plan.cautions if one.severity != "note"]
            parts += bullets(
                f"Cautions when sharing{gone}", [f"{one.severity}: {one.text}" for one in worse]
            )
    parts += foot(found.assumptions)
    return fragment(parts)


def deadlines_to_html(found: Deadlines) -> str:
    """Return deadlines as a fragment of HTML."""
    names, units, *lines = found.table
    title = f"Latest run times of leaving the bottom: {_core.schedule_title(found.plan)}"
    parts = [table(title, names, units, lines, {"", "diver", "what ends it"})]
    parts += bullets("In short", found.sentences)
    parts.append(paragraph(found.legend))
    parts += cautions(found.plan.cautions)
    parts += foot(found.assumptions)
    return fragment(parts)


def turn_pressures_to_html(found: TurnPressures) -> str:
    """Return turn pressures as a fragment of HTML."""
    names, units, *lines = found.table
    words = {"diver", "cylinder", "two back, by litres"}
    parts = [table(found.title, names, units, lines, words), paragraph(found.legend)]
    parts.append(f'<p class="foot">{escape(_core.foot)}</p>')
    return fragment(parts)

"""Fills and mixes as HTML for notebooks; the words and cells are those of the text."""

from __future__ import annotations

from typing import TYPE_CHECKING

from . import _core
from ._html import bullets, fragment, last_words, paragraph, table

if TYPE_CHECKING:
    from ._best_mix import BestMix
    from ._blend import Blend, FillSheet
    from ._cascade import Cascade
    from ._trip_demand import TripDemand


def blend_to_html(found: Blend) -> str:
    """Return a fill as a fragment of HTML: the sheet, or what stands in its way and what can be."""
    parts = [paragraph(found.verdict, strong=True)]
    parts += bullets("Why not", [one.text for one in found.obstacles])
    if found.sheet is not None:
        parts += _sheet(f"Blend: {found.title}", found.sheet)
    else:
        parts.insert(0, paragraph(f"Blend: {found.title}", strong=True))
    for one in found.alternatives:
        parts += _sheet(f"Instead: {one.text}", one.sheet)
    parts += bullets("Cautions", found.cautions)
    parts += last_words(found.assumptions, _core.blending_caution)
    return fragment(parts)


def _sheet(caption: str, sheet: FillSheet) -> list[str]:
    names, units, *lines = sheet.table
    parts = [table(caption, names, units, lines, {names[0]})] if lines else [paragraph(caption)]
    return parts + [paragraph(note) for note in sheet.notes]


def best_mix_to_html(found: BestMix) -> str:
    """Return a best mix as a fragment of HTML."""
    names, *lines = found.table
    parts = [
        paragraph(found.verdict, strong=True),
        table(found.title, names, ["" for _ in names], lines, set(names)),
    ]
    parts += [paragraph(note) for note in found.notes]
    parts += last_words(found.assumptions)
    return fragment(parts)


def cascade_to_html(found: Cascade) -> str:
    """Return fills from banks as a fragment of HTML."""
    names, units, *lines = found.table
    parts = [paragraph(found.verdict, strong=True)]
    parts.append(table(found.title, names, units, lines, {names[0]}))
    parts += last_words(found.assumptions, _core.blending_caution)
    return fragment(parts)


def demand_to_html(found: TripDemand) -> str:
    """Return what a trip takes as a fragment of HTML."""
    names, units, *lines = found.table
    words = {names[0], names[-1]}
    parts = [paragraph(found.verdict, strong=True)]
    parts.append(table(f"What {found.days} days take", names, units, lines, words))
    parts += last_words(found.assumptions)
    return fragment(parts)

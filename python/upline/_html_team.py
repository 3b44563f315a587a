"""A team's common schedule, and rows chosen for a slate, as HTML for notebooks.

The words and cells are those of the text.
"""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

from . import _core
from ._html import bullets, cautions, foot, fragment, paragraph, table

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from ._row_choice import RowChoice
    from ._team import CommonSchedule


def team_to_html(found: CommonSchedule) -> str:
    """Return a common schedule as a fragment of HTML."""
    parts = [paragraph(line, strong=True) for line in found.refusals]
    names, units, *lines = found.schedule
    parts.append(table(found.title, names, units, lines, {"breathe", "waits for"}))
    parts.append(_without_units("Gases as analysed", found.gases, found.gases[0]))
    parts.append(_without_units("Ready to leave (run time), after the stops above it", found.ready))
    parts.append(_without_units("Members, doses rounded up", found.sums, {""}))
    parts.append(paragraph(found.legend))
    for one in found.members:
        parts += bullets(
            f"Cautions for {one.name}", [f"{c.severity}: {c.text}" for c in one.plan.cautions]
        )
    parts += bullets(
        "Assumptions", [f"for {one.name}: {one.plan.assumptions}" for one in found.members]
    )
    parts.append(paragraph(_core.no_time_to_fly))
    parts.append(f'<p class="foot">{escape(_core.foot)}</p>')
    return fragment(parts)


def row_choice_to_html(found: RowChoice) -> str:
    """Return rows chosen for a slate as a fragment of HTML."""
    parts = [_without_units(found.title, found.row_table, {""}), paragraph(found.verdict)]
    parts.append(_without_units("Which row for which dive (extra minutes)", found.dive_table, {""}))
    parts += bullets("Without a row", found.unserved)
    parts.append(paragraph(found.legend))
    parts += cautions(found.planned.cautions)
    parts += foot(found.planned.assumptions)
    return fragment(parts)


def _without_units(caption: str, cells: Sequence[Sequence[str]], words: Iterable[str] = ()) -> str:
    names, *lines = cells
    return table(caption, names, ["" for _ in names], lines, words)

"""What may go otherwise as HTML for notebooks; the words and cells are those of the text."""

from __future__ import annotations

from typing import TYPE_CHECKING

from . import _core
from ._html import bullets, cautions, foot, fragment, paragraph, table

if TYPE_CHECKING:
    from ._analysis import AnalysedPlan
    from ._contingency import Contingencies, Contingency
    from ._lost_gas import LostGas
    from ._stock import StockChoice
    from ._swell import Swell
    from ._wrong_gas import WrongGases


def contingencies_to_html(found: Contingencies) -> str:
    """Return contingencies as a fragment of HTML: two tables, then what belongs to each row."""
    title = f"If it comes otherwise: {_core.schedule_title(found.planned)}"
    names, *lines = found.times
    units = ["" for _ in names]
    parts = [table(f"{title}. Leave at (run time), by depth", names, units, lines, {""})]
    names, *lines = found.doses
    parts.append(
        table("Ascent, oxygen and gas", names, ["" for _ in names], lines, {"", "switches"})
    )
    parts += cautions(found.planned.cautions)
    for row in found.rows:
        parts += _of_row(row)
    parts += foot(found.planned.assumptions)
    return fragment(parts)


def _of_row(row: Contingency) -> list[str]:
    if row.plan is None:
        return [paragraph(f"No schedule {row.name}: {row.reason}")]
    if row.plan.refused:
        reasons = [one.text for one in row.plan.cautions if one.severity == "refuses"]
        return [paragraph(f"Refused {row.name}: {' '.join(reasons)}")]
    return bullets(f"Cautions {row.name}", [f"{one.severity}: {one.text}" for one in row.cautions])


def wrong_gases_to_html(found: WrongGases) -> str:
    """Return wrong mouthpieces as a fragment of HTML: the pairs, then every place."""
    parts = bullets("If the wrong mouthpiece is taken", [pair.text for pair in found.pairs])
    if not found.pairs:
        parts = [paragraph("Only one gas is carried.")]
    names, units, *lines = found.table
    words = {"meant", "taken", "what it means"}
    if lines:
        parts.append(table("Place by place", names, units, lines, words))
    parts += foot(found.plan.assumptions)
    return fragment(parts)


def swell_to_html(found: Swell) -> str:
    """Return swell at the last stop as a fragment of HTML."""
    names, units, *lines = found.table
    parts = [table(found.title, names, units, lines), paragraph(found.legend)]
    parts += foot(found.plan.assumptions)
    return fragment(parts)


def stock_to_html(found: StockChoice) -> str:
    """Return a choice from stock as a fragment of HTML: sets that none beats, then the dropped."""
    names, *lines = found.table
    words = {"bottom gas", "for the ascent", "oxygen handling", "saved by carrying it"}
    if lines:
        parts = [table(found.title, names, ["" for _ in names], lines, words)]
        parts.append(paragraph(_core.stock_criteria))
    else:
        parts = [paragraph(f"{found.title}: no set of these gases makes this dive.", strong=True)]
    parts += bullets("Dropped", [f"{sets}: {reason}" for sets, reason in found.reasons])
    parts += [paragraph(_core.no_time_to_fly), f'<p class="foot">{_core.foot}</p>']
    return fragment(parts)


def analyses_to_html(found: AnalysedPlan) -> str:
    """Return a plan judged by analyses as a fragment of HTML: the gases, then what was found."""
    names, units, *lines = found.table
    title = f"Analysed: {_core.schedule_title(found.plan)}"
    parts = [paragraph(found.findings[0], strong=True)]
    parts.append(table(title, names, units, lines, {"label", "read"}))
    parts += bullets("Found", found.findings[1:])
    parts += foot(found.plan.assumptions)
    return fragment(parts)


def lost_gas_to_html(found: LostGas) -> str:
    """Return lost gas as a fragment of HTML: what does not close, then a table for each diver."""
    parts = [paragraph(found.title, strong=True)]
    if found.plan.refused:
        parts.append(paragraph(_core.refusal, strong=True))
    parts += bullets("Does not close", found.said)
    if found.closes:
        parts.append(paragraph(_core.lost_gas_all_close))
    for diver, (names, units, *lines) in zip(found.divers, found.tables, strict=True):
        parts.append(table(diver.name, names, units, lines, {"of"}))
    parts += bullets("Limits broken on the way up", found.broken)
    parts += bullets(_core.lost_gas_reserves, found.reserve_lines)
    parts += bullets(_core.lost_gas_sequels, found.sequel_lines)
    parts.append(paragraph(found.assumed))
    parts += foot(found.plan.assumptions)
    return fragment(parts)

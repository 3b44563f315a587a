"""Plans as HTML for notebooks.

A plain fragment without script. It takes its colours from the page around it, so that it reads on
a light ground and on a dark one, and says nothing by colour. The words and the cells are those of
the printed plan: both come from the same functions of the compiled part.
"""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

from . import _core

if TYPE_CHECKING:
    from collections.abc import Iterable

    from ._core import Plan

# A notebook may strip the style sheet; what is left is a plain table that reads as well.
_STYLE = """<style>
.upline-plan { max-width: 46em; color: inherit; }
.upline-plan table { border-collapse: collapse; margin: 0.5em 0; color: inherit; }
.upline-plan caption { caption-side: top; text-align: left; font-weight: bold; color: inherit;
  padding: 0 0 0.5em; }
.upline-plan tr { background: none; }
.upline-plan th, .upline-plan td { text-align: right; vertical-align: bottom; color: inherit;
  padding: 0.2em 0.8em; font-weight: normal; font-variant-numeric: tabular-nums; }
.upline-plan thead th { font-weight: bold; vertical-align: top; }
.upline-plan thead th { border-bottom: 1px solid currentColor; }
.upline-plan tbody th { font-weight: bold; }
.upline-plan tbody tr:last-child > * { border-bottom: 1px solid currentColor; }
.upline-plan .words { text-align: left; }
.upline-plan .unit { font-weight: normal; }
.upline-plan ul { margin: 0.25em 0; padding-left: 1.5em; }
.upline-plan .foot { border-top: 1px solid currentColor; padding-top: 0.5em; }
</style>"""
_WORDS = "breathe"  # the column that holds words; all others hold numbers


def plan_to_html(plan: Plan) -> str:
    """Return a plan as a fragment of HTML."""
    parts = [_STYLE, '<div class="upline-plan">']
    if plan.refused:
        parts.append(f"<p><strong>{escape(_core.refusal)}</strong></p>")
    parts.append(_table(plan))
    parts.append(f"<p>{_lines(_core.schedule_sums(plan))}</p>")
    parts += _cautions(plan)
    parts.append(f"<p>Assumptions: {escape(plan.assumptions)}<br>")
    parts.append(f"{escape(_core.no_time_to_fly)}</p>")
    parts.append(f'<p class="foot">{escape(_core.foot)}</p>')
    parts.append("</div>")
    return "\n".join(parts)


def _table(plan: Plan) -> str:
    names, units, *lines = _core.schedule_table(plan)
    words = names.index(_WORDS)
    heads = [
        f"{escape(name)} {_unit(unit)}".rstrip() for name, unit in zip(names, units, strict=True)
    ]
    parts = ["<table>", f"<caption>{escape(_core.schedule_title(plan))}</caption>", "<thead>"]
    parts.append(_row((_cell("th", head, j == words, "col") for j, head in enumerate(heads))))
    parts += ["</thead>", "<tbody>"]
    for line in lines:
        cells = [escape(cell) for cell in line]
        first = _cell("th", cells[0], words == 0, "row")
        rest = (_cell("td", cell, j == words) for j, cell in enumerate(cells[1:], start=1))
        parts.append(_row([first, *rest]))
    parts += ["</tbody>", "</table>"]
    return "\n".join(parts)


def _unit(unit: str) -> str:
    return f'<br><span class="unit">{escape(unit)}</span>' if unit else ""


def _row(cells: Iterable[str]) -> str:
    return f"<tr>{''.join(cells)}</tr>"


def _cell(tag: str, content: str, words: bool, scope: str | None = None) -> str:
    attributes = f' scope="{scope}"' if scope else ""
    attributes += ' class="words"' if words else ""
    return f"<{tag}{attributes}>{content}</{tag}>"


def _lines(text: str) -> str:
    return "<br>\n".join(escape(line) for line in text.splitlines())


def _cautions(plan: Plan) -> list[str]:
    if not plan.cautions:
        return []
    items = [
        f"<li><strong>{escape(caution.severity)}:</strong> {escape(caution.text)}</li>"
        for caution in plan.cautions
    ]
    return ["<p><strong>Cautions</strong></p>", "<ul>", *items, "</ul>"]

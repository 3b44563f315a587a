"""Results as HTML for notebooks: what they share, and the plan.

A plain fragment without script. It takes its colours from the page around it, so that it reads on
a light ground and on a dark one, and says nothing by colour. The words and the cells are those of
the printed result: they come from the same functions of the compiled part.
"""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

from . import _core

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from ._core import Caution, Plan

# A notebook may strip the style sheet; what is left is a plain table that reads as well. A caption
# takes no part in the width of its table, and is as wide as its words up to that of the text.
_STYLE = """<style>
.upline { max-width: 46em; color: inherit; }
.upline table { border-collapse: collapse; margin: 0.5em 0 1em; color: inherit; }
.upline caption { caption-side: top; width: 0; text-align: left; font-weight: bold;
  color: inherit; padding: 0 0 0.5em; overflow: visible; }
.upline caption span { display: block; width: max-content; max-width: min(46em, 90vw); }
.upline tr { background: none; }
.upline th, .upline td { text-align: right; vertical-align: baseline; color: inherit;
  padding: 0.2em 0.8em; font-weight: normal; font-variant-numeric: tabular-nums; }
.upline thead th { font-weight: bold; vertical-align: top; }
.upline thead th { border-bottom: 1px solid currentColor; }
.upline tbody th { font-weight: bold; }
.upline tbody tr:last-child > * { border-bottom: 1px solid currentColor; }
.upline .words { text-align: left; }
.upline .unit { font-weight: normal; }
.upline ul { margin: 0.25em 0 1em; padding-left: 1.5em; }
.upline .foot { border-top: 1px solid currentColor; padding-top: 0.5em; }
</style>"""
_WORDS = "breathe"  # the column of a schedule that holds words; all others hold numbers


def plan_to_html(plan: Plan) -> str:
    """Return a plan as a fragment of HTML."""
    parts = [paragraph(_core.refusal, strong=True)] if plan.refused else []
    names, units, *lines = _core.schedule_table(plan)
    parts.append(table(_core.schedule_title(plan), names, units, lines, {_WORDS}))
    parts.append(f"<p>{_lines(_core.schedule_sums(plan))}</p>")
    parts += cautions(plan.cautions)
    parts += foot(plan.assumptions)
    return fragment(parts)


def fragment(parts: Iterable[str]) -> str:
    """Return a whole fragment with its style."""
    return "\n".join([_STYLE, '<div class="upline">', *parts, "</div>"])


def table(
    caption: str,
    names: Sequence[str],
    units: Sequence[str],
    lines: Iterable[Sequence[str]],
    words: Iterable[str] = (),
) -> str:
    """Return a table whose first column names its rows; columns of words stand left."""
    left = [name in words for name in names]
    heads = [
        f"{escape(name)} {_unit(unit)}".rstrip() for name, unit in zip(names, units, strict=True)
    ]
    parts = ["<table>", f"<caption><span>{escape(caption)}</span></caption>", "<thead>"]
    parts.append(_row(_cell("th", head, left[j], "col") for j, head in enumerate(heads)))
    parts += ["</thead>", "<tbody>"]
    for line in lines:
        cells = [escape(cell) for cell in line]
        first = _cell("th", cells[0], left[0], "row")
        rest = (_cell("td", cell, left[j]) for j, cell in enumerate(cells[1:], start=1))
        parts.append(_row([first, *rest]))
    parts += ["</tbody>", "</table>"]
    return "\n".join(parts)


def paragraph(text: str, *, strong: bool = False) -> str:
    """Return a paragraph."""
    return f"<p><strong>{escape(text)}</strong></p>" if strong else f"<p>{escape(text)}</p>"


def bullets(heading: str, texts: Sequence[str]) -> list[str]:
    """Return a list under its heading, or nothing."""
    return _list(heading, [escape(text) for text in texts])


def cautions(given: Sequence[Caution]) -> list[str]:
    """Return cautions, their severity in words, or nothing."""
    return _list(
        "Cautions",
        [f"<strong>{escape(one.severity)}:</strong> {escape(one.text)}" for one in given],
    )


def foot(assumptions: str) -> list[str]:
    """Return what every result carries."""
    return [
        f"<p>Assumptions: {escape(assumptions)}<br>\n{escape(_core.no_time_to_fly)}</p>",
        caution(),
    ]


def caution() -> str:
    """Return the caution alone, for what has no assumptions of a plan."""
    return f'<p class="foot">{escape(_core.foot)}</p>'


def last_words(*texts: str) -> list[str]:
    """Return what a result that is no ascent carries: its lines, and the caution."""
    return [*(paragraph(text) for text in texts), caution()]


def _list(heading: str, items: Sequence[str]) -> list[str]:
    if not items:
        return []
    shown = [f"<li>{item}</li>" for item in items]
    return [paragraph(heading, strong=True), "<ul>", *shown, "</ul>"]


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

"""A slate as HTML and as Markdown; the words and cells are those of the text."""

from __future__ import annotations

import re
from html import escape
from typing import TYPE_CHECKING

from .. import _core
from .._html import bullets, fragment, paragraph, table

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .results import Slate, SlateBlock

# A page of its own is black on white, whatever the reader's screen prefers.
_PAGE = """<style>
html { color-scheme: light; }
body { color: #000; background: #fff; font: 18px/1.4 sans-serif; margin: 1.5em; }
.upline td, .upline th { white-space: nowrap; }
@media print { .upline h2:nth-of-type(2) { break-before: page; } body { margin: 0; } }
</style>"""


def slate_to_html(slate: Slate) -> str:
    """Return a slate as a fragment of HTML: front, then back."""
    return fragment([*_front(slate), *_back(slate)])


def slate_to_document(slate: Slate) -> str:
    """Return a slate as a page of HTML."""
    title = escape(slate.parts.heading[0])
    head = f'<meta charset="utf-8">\n<title>{title}</title>\n{_PAGE}'
    return (
        f'<!doctype html>\n<html lang="en">\n<head>\n{head}\n</head>\n<body>\n'
        f"{slate_to_html(slate)}\n</body>\n</html>\n"
    )


def _front(slate: Slate) -> list[str]:
    parts = slate.parts
    names, units, *lines = parts.table
    rows = table(parts.valid, names, units, lines, {"breathe"})
    rows = re.sub(r"(SWITCH to [^<]*)", r"<strong>\1</strong>", rows)
    said = "<br>\n".join(escape(line) for line in parts.heading)
    shown = ["<h2>Front</h2>", f"<p>{said}</p>"]
    if parts.way_down:
        shown.append(paragraph(parts.way_down))
    shown += [rows, paragraph(parts.legend)]
    shown += [paragraph(line) for line in parts.pressures]
    return [*shown, paragraph(parts.caution, strong=True)]


def _back(slate: Slate) -> list[str]:
    parts = slate.parts
    shown = ["<h2>Back</h2>"]
    for block in parts.blocks:
        shown += _block(block, _length(slate))
    if parts.blocks:
        shown.append(paragraph(parts.rule, strong=True))
    names, *lines = parts.gases
    shown.append(table("Gases", names, ["" for _ in names], lines, set(names)))
    shown.append(_broken(parts.facts))
    shown += bullets("Cautions", parts.cautions)
    shown.append(_broken(parts.signatures))
    shown.append(paragraph(parts.caution, strong=True))
    return [
        *shown,
        f"<p>{escape(_core.no_time_to_fly)}</p>",
        f'<p class="foot">{escape(_core.foot)}</p>',
    ]


def _block(block: SlateBlock, length: str) -> list[str]:
    shown = []
    if block.depths:
        names = [f"depth {length}", *block.depths]
        lines = [("leave at", *block.leaves)]
        shown.append(table(block.title, names, ["" for _ in names], lines, {names[0]}))
    else:
        shown.append(paragraph(block.title, strong=True))
    shown.append(paragraph(block.words))
    return [*shown, *bullets("Cautions", block.cautions)]


def _broken(lines: Sequence[str]) -> str:
    return f"<p>{'<br>'.join(escape(line) for line in lines)}</p>"


def _length(slate: Slate) -> str:
    return slate.parts.table[1][0]


# ---- Markdown ------------------------------------------------------------------------------------


def slate_to_markdown(slate: Slate) -> str:
    """Return a slate as Markdown: front, then back."""
    parts = slate.parts
    names, units, *lines = parts.table
    heads = [f"{name} [{unit}]" if unit else name for name, unit in zip(names, units, strict=True)]
    shown = ["## Front", "\\\n".join(map(_plain, parts.heading)), f"**{_plain(parts.valid)}**"]
    if parts.way_down:
        shown.append(_plain(parts.way_down))
    shown.append(_grid(heads, lines, left=3))
    shown += [_plain(parts.legend), *map(_plain, parts.pressures), f"**{parts.caution}**"]
    shown.append("## Back")
    for block in parts.blocks:
        shown.append(f"**{_plain(block.title)}**")
        if block.depths:
            names = (f"depth {_length(slate)}", *block.depths)
            shown.append(_grid(names, [("leave at", *block.leaves)], left=None))
        shown.append(_plain(block.words))
        shown += _bullets(block.cautions)
    if parts.blocks:
        shown.append(f"**{parts.rule}**")
    head, *mixes = parts.gases
    shown += [_grid(head, mixes, left=0), *_bullets(parts.facts), "Cautions"]
    shown += _bullets(parts.cautions)
    shown += ["\\\n".join(map(_plain, parts.signatures)), f"**{parts.caution}**"]
    return "\n\n".join([*shown, _core.no_time_to_fly, _core.foot]) + "\n"


def _plain(text: str) -> str:
    """Return a text in which nothing is read as markup."""
    return re.sub(r"([\\`*_{}\[\]<>#|~!$&])", r"\\\1", text)


def _bullets(lines: Sequence[str]) -> list[str]:
    return ["\n".join(f"- {_plain(line)}" for line in lines)] if lines else []


def _grid(head: Sequence[str], lines: Sequence[Sequence[str]], left: int | None) -> str:
    """Return a table; columns from `left` on stand left, all others right."""
    marks = ["---" if left is not None and j >= left else "---:" for j in range(len(head))]
    rows = [head, marks, *([_plain(cell) for cell in line] for line in lines)]
    return "\n".join(f"| {' | '.join(row)} |" for row in rows)

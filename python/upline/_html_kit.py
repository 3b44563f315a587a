"""Verdicts on kit as HTML for notebooks; the words and cells are those of the text."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

from . import _core
from ._html import bullets, fragment, paragraph, table

if TYPE_CHECKING:
    from ._fitness import Fitness, SetFitness


def fitness_to_html(found: Fitness) -> str:
    """Return verdicts as a fragment of HTML: a table for each set, then advice."""
    parts = [paragraph(f"Kit: {found.verdict}", strong=True)]
    head, *lines = found.table
    for number, one in enumerate(found.sets):
        own = _lines_of(found, number, lines)
        parts += _of_set(one, head, own)
    parts.append(paragraph(f"Assumptions: {found.assumptions}."))
    parts.append(f'<p class="foot">{escape(_core.foot)}</p>')
    return fragment(parts)


def _lines_of(found: Fitness, number: int, lines: list[tuple[str, ...]]) -> list[tuple[str, ...]]:
    """Return the lines of one set; two sets may have the same name."""
    before = sum(len(one.findings) for one in found.sets[:number])
    return lines[before : before + len(found.sets[number].findings)]


def _of_set(one: SetFitness, head: tuple[str, ...], lines: list[tuple[str, ...]]) -> list[str]:
    names = head[1:]
    units = ["" for _ in names]
    caption = f"{one.name}: {one.verdict}. {one.judged_at} {one.line}."
    advice = [f"{each.followed}: {each.text}" for each in one.advice]
    return [
        table(caption, names, units, [line[1:] for line in lines], set(names)),
        *bullets("Advice, which changes no verdict", advice),
        paragraph(one.sentence),
    ]

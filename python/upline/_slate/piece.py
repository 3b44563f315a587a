"""Pieces of the pages of a slate: texts that stay together. Lengths are points."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from .type import wrapped

if TYPE_CHECKING:
    from collections.abc import Sequence

WIDTH, HEIGHT = 105.0 / 25.4 * 72.0, 148.0 / 25.4 * 72.0  # A6
MARGIN = 11.0
ACROSS = WIDTH - 2.0 * MARGIN
LINE = 1.25  # distance of lines, in heights of the type
WORDS = 11.0


@dataclass(frozen=True)
class Text:
    """One line of text; `across` is its left end, or its right end where `right`."""

    across: float
    down: float
    text: str
    size: float
    bold: bool = False
    right: bool = False


@dataclass
class Piece:
    """What stays together: texts from its top down, its height, and whether a rule ends it."""

    height: float = 0.0
    texts: list[Text] = field(default_factory=list)
    ruled: bool = False
    head: Piece | None = None  # goes before it at the top of a page


def paragraph(
    text: str, size: float, *, bold: bool = False, ruled: bool = False, above: float = 0.0
) -> Piece:
    """Return a text broken into lines."""
    piece = Piece(above, ruled=ruled)
    for line in wrapped(text, size, ACROSS, bold=bold):
        piece.texts.append(Text(0.0, piece.height, line, size, bold))
        piece.height += LINE * size
    return piece


def together(pieces: Sequence[Piece], *, ruled: bool = False) -> Piece:
    """Return pieces one below the other as one."""
    whole = Piece(ruled=ruled)
    for piece in pieces:
        whole.texts += [lower(text, whole.height) for text in piece.texts]
        whole.height += piece.height
    whole.height += 5.0
    return whole


def lower(text: Text, by: float) -> Text:
    """Return a line of text further down."""
    return Text(text.across, text.down + by, text.text, text.size, text.bold, text.right)

"""A slate as pages: black on white, in large type, the front first.

A page is filled from the top with pieces that are not torn apart: a row, a contingency, a
paragraph. What does not fit goes on on a further page, under the same heading. Lengths are points.
"""

from __future__ import annotations

import io
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from .. import _core, _optional
from .._dive_file import path_of
from .piece import (
    ACROSS,
    HEIGHT,
    LINE,
    MARGIN,
    WIDTH,
    WORDS,
    Piece,
    Text,
    lower,
    paragraph,
    together,
)
from .type import cut, drawable, font, width

if TYPE_CHECKING:
    import os
    from collections.abc import Callable, Iterator, Sequence

    from .results import Slate, SlateBlock

_ROWS = (16.0, 15.0, 14.0, 13.0, 12.0, 11.0)  # of schedules, the largest that fits is taken
_ON_ONE_PAGE = 14.0  # no smaller to keep a schedule on one page
_SPREADS = (
    1.7,
    1.6,
    1.5,
    1.4,
    1.3,
    1.2,
    1.15,
)  # distance of the lines of a schedule where there is room
_TITLE = 13.0


@dataclass
class _Page:
    """Pieces with the distances of their tops from that of the page."""

    label: str
    placed: list[tuple[float, Piece]] = field(default_factory=list)


def write_pdf(slate: Slate, path: str | os.PathLike[str]) -> None:
    """Write a page of PDF for each page of the slate."""
    where = path_of(path, "path")
    matplotlib = _optional.imported("matplotlib", "Slate.to_pdf", "plot")
    backend = _optional.imported("matplotlib.backends.backend_pdf", "Slate.to_pdf", "plot")
    data = io.BytesIO()
    facts = {"Title": drawable(slate.parts.heading[0]), "Creator": None, "CreationDate": None}
    with matplotlib.rc_context({"pdf.fonttype": 42}), backend.PdfPages(data, metadata=facts) as pdf:
        for page in pages(slate):
            pdf.savefig(_figure([page], slate.parts.caution))
    _write(where, data.getvalue())


def write_png(slate: Slate, path: str | os.PathLike[str]) -> None:
    """Write all pages beside one another."""
    where = path_of(path, "path")
    data = io.BytesIO()
    _optional.imported("matplotlib", "Slate.to_png", "plot")
    _figure(pages(slate), slate.parts.caution).savefig(data, format="png", dpi=200)
    _write(where, data.getvalue())


def _write(path: str, data: bytes) -> None:
    try:
        Path(path).write_bytes(data)
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) else str(error)
        raise _core.invalid_input(
            "path", f"a file that cannot be written ({reason})", "a file in a folder that exists",
            "choose another path",
        ) from None  # fmt: skip


def pages(slate: Slate) -> list[_Page]:
    """Return the pages: the front, then the back."""
    front = _filled(slate, "Front", _front)
    return [*front, *_filled(slate, "Back", lambda slate: list(_back(slate)))]


# ---- what stands on them -------------------------------------------------------------------------


def _front(slate: Slate) -> list[Piece]:
    parts = slate.parts
    top = [paragraph(line, WORDS) for line in parts.heading]
    top.append(paragraph(parts.valid, _TITLE, bold=True))
    if parts.way_down:
        top.append(paragraph(parts.way_down, WORDS, bold=True))
    below = [paragraph(line, WORDS) for line in (parts.legend, *parts.pressures)]
    room = _room(parts.caution) - sum(piece.height for piece in (*top, *below))
    schedule = _Schedule(parts.table, parts.valid)
    size = next((size for size in _ROWS if schedule.width(size) <= ACROSS), _ROWS[-1])
    while size > _ON_ONE_PAGE and schedule.height(size, LINE) > room:
        size -= 1.0
    spread = next((one for one in _SPREADS if schedule.height(size, one) <= room), LINE)
    return [*top, *schedule.pieces(size, spread), *below]


class _Schedule:
    """The lines of the front in one size of type; the names of the columns are smaller."""

    def __init__(self, cells: Sequence[Sequence[str]], valid: str) -> None:
        self._names = [[*name.split(), unit] for name, unit in zip(*cells[:2], strict=True)]
        self._lines = cells[2:]
        self._valid = valid

    def width(self, size: float) -> float:
        """Return how wide the lines are."""
        return self._left(size) + max(
            width(line[3], size, bold=_is_switch(line)) for line in self._lines
        )

    def height(self, size: float, spread: float) -> float:
        """Return how high all of it is."""
        return self._heads(size).height + len(self._lines) * spread * size

    def pieces(self, size: float, spread: float) -> list[Piece]:
        """Return the names of the columns, and a piece for each line."""
        heads = self._heads(size)
        again = together([paragraph(self._valid, _TITLE, bold=True), heads])
        found = [heads]
        for line in self._lines:
            piece = Piece(spread * size, ruled=True, head=again)
            bold = _is_switch(line)
            down = (spread - LINE) * size / 2.0
            for end, cell in zip(self._ends(size), line[:3], strict=True):
                piece.texts.append(Text(end, down, cell, size, bold, right=True))
            piece.texts.append(Text(self._left(size), down, line[3], size, bold))
            found.append(piece)
        return found

    def _heads(self, size: float) -> Piece:
        lowest = max(len(names) for names in self._names) * LINE * WORDS
        piece = Piece(lowest + 2.0, ruled=True)
        places = [*self._ends(size), self._left(size)]
        for j, (names, across) in enumerate(zip(self._names, places, strict=True)):
            for k, name in enumerate(names):
                down = lowest - (len(names) - k) * LINE * WORDS
                piece.texts.append(Text(across, down, name, WORDS, bold=True, right=j < 3))
        return piece

    def _ends(self, size: float) -> list[float]:
        """Return where the columns of numbers end."""
        widths = [
            max(
                *(width(name, WORDS, bold=True) for name in self._names[j]),
                *(width(line[j], size, bold=_is_switch(line)) for line in self._lines),
            )
            for j in range(3)
        ]
        return [sum(widths[: j + 1]) + 0.6 * size * j for j in range(3)]

    def _left(self, size: float) -> float:
        """Return where the column of mixes begins."""
        return self._ends(size)[2] + 0.9 * size


def _is_switch(line: Sequence[str]) -> bool:
    return line[3].startswith("SWITCH")


def _back(slate: Slate) -> Iterator[Piece]:
    parts = slate.parts
    length = parts.table[1][0]
    if parts.blocks:  # first, so that it never stands on another page than all of its rows
        yield together([paragraph(parts.rule, WORDS, bold=True)], ruled=True)
    for block in parts.blocks:
        yield _block(block, length)
    yield _mixes(parts.gases)
    yield from (paragraph(line, WORDS) for line in parts.facts)
    first, *others = (paragraph(f"- {line}", WORDS) for line in parts.cautions)
    yield together([paragraph("Cautions", WORDS, bold=True, above=6.0), first])
    yield from others
    yield together([paragraph(line, WORDS, above=5.0) for line in parts.signatures])
    yield together([paragraph(line, WORDS) for line in (_core.no_time_to_fly, _core.foot)])


def _block(block: SlateBlock, length: str) -> Piece:
    pieces = [paragraph(block.title, _TITLE, bold=True)]
    size = 14.0
    cells = [*block.depths, *block.leaves]
    names = (f"depth {length}", "leave at")
    first = max(width(name, WORDS, bold=False) for name in names)
    cell = max((width(text, size, bold=True) for text in cells), default=0.0) + 0.55 * size
    most = max(1, int((ACROSS - first) / cell))
    many = -(-len(block.depths) // max(1, -(-len(block.depths) // most)))  # as many in each line
    for begin in range(0, len(block.depths), max(1, many)):
        for name, line, bold in zip(
            names, (block.depths, block.leaves), (False, True), strict=True
        ):
            piece = Piece(LINE * size, [Text(0.0, size - WORDS, name, WORDS)])
            piece.texts += [
                Text(first + cell * (j + 1), 0.0, text, size, bold, right=True)
                for j, text in enumerate(line[begin : begin + many])
            ]
            pieces.append(piece)
        pieces[-1].height += 4.0  # so that nobody reads across two pairs of lines
    pieces.append(paragraph(block.words, WORDS))
    pieces += [paragraph(f"- {line}", WORDS) for line in block.cautions]
    return together(pieces, ruled=True)


def _mixes(cells: Sequence[Sequence[str]]) -> Piece:
    size = WORDS + 1.0
    widths = [max(width(line[j], size, bold=True) for line in cells) for j in range(3)]
    pieces = []
    for k, line in enumerate(cells):
        piece = Piece(LINE * size)
        for j in range(3):
            across = sum(widths[:j]) + 12.0 * j
            piece.texts.append(Text(across, 0.0, line[j], size, bold=k == 0))
        pieces.append(piece)
    return together(pieces, ruled=True)


# ---- from pieces to pages ------------------------------------------------------------------------


def _room(caution: str) -> float:
    """Height between the label of a page and the caution at its foot."""
    foot = paragraph(caution, WORDS, bold=True).height
    return HEIGHT - 2.0 * MARGIN - LINE * WORDS - foot - 8.0


def _filled(slate: Slate, side: str, content: Callable[[Slate], list[Piece]]) -> list[_Page]:
    room = _room(slate.parts.caution)
    found: list[_Page] = []
    down = room
    for piece in _torn(content(slate), room):
        if down + piece.height > room:
            found.append(_Page(side))
            down = 0.0
            if piece.head is not None:
                found[-1].placed.append((down, piece.head))
                down += piece.head.height
        found[-1].placed.append((down, piece))
        down += piece.height
    if len(found) > 1:
        for j, page in enumerate(found, start=1):
            page.label = f"{side} {j} of {len(found)}"
    dive, date = slate.parts.heading[:2]
    name = ", ".join(text for text in (date, dive) if "____" not in text)
    for page in found:
        page.label = cut(
            f"{page.label}  {name}" if page.label != "Front" else page.label, WORDS, ACROSS
        )
    return found


def _torn(pieces: Sequence[Piece], room: float) -> Iterator[Piece]:
    """Return pieces none of which is higher than a page."""
    for piece in pieces:
        if piece.height <= room:
            yield piece
            continue
        rest = sorted(piece.texts, key=lambda text: text.down)
        top = 0.0
        while rest and piece.height - top > room:
            here = [text for text in rest if text.down + LINE * text.size - top <= room]
            rest = rest[len(here) :]
            below = rest[0].down if rest else piece.height
            yield Piece(below - top, [lower(text, -top) for text in here])
            top = below
        if rest:
            yield Piece(piece.height - top, [lower(one, -top) for one in rest], piece.ruled)


def _figure(shown: Sequence[_Page], caution: str) -> Any:
    """Return a figure with pages beside one another."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure
    from matplotlib.lines import Line2D

    wide = WIDTH * len(shown)
    figure = Figure(figsize=(wide / 72.0, HEIGHT / 72.0), facecolor="white")
    FigureCanvasAgg(figure)

    def rule(left: float, right: float, top: float, bottom: float, thick: float) -> None:
        x, y = (left / wide, right / wide), (1.0 - top / HEIGHT, 1.0 - bottom / HEIGHT)
        figure.add_artist(Line2D(x, y, color="black", linewidth=thick))

    def write(text: Text, left: float, top: float) -> None:
        figure.text(
            (left + text.across) / wide,
            1.0 - (top + text.down + text.size) / HEIGHT,
            text.text,
            fontproperties=font(text.size, bold=text.bold),
            horizontalalignment="right" if text.right else "left",
            verticalalignment="baseline",
            color="black",
            usetex=False,
            parse_math=False,
        )

    for j, page in enumerate(shown):
        left = WIDTH * j + MARGIN
        top = MARGIN + LINE * WORDS + 4.0
        write(Text(0.0, 0.0, page.label, WORDS), left, MARGIN)
        rule(left, left + ACROSS, top - 2.0, top - 2.0, 1.0)
        for down, piece in page.placed:
            for text in piece.texts:
                write(text, left, top + down)
            if piece.ruled:
                end = top + down + piece.height - 1.0
                rule(left, left + ACROSS, end, end, 0.5)
        foot = paragraph(caution, WORDS, bold=True)
        for text in foot.texts:
            write(text, left, HEIGHT - MARGIN - foot.height + 2.0)
        if j > 0:
            rule(WIDTH * j, WIDTH * j, 0.0, HEIGHT, 1.0)
    return figure

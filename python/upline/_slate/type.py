"""Type on the pages of a slate: how wide words are and where they break. Lengths are points."""

from __future__ import annotations

import bisect
import re
from functools import lru_cache
from typing import Any

_FONT = "DejaVu Sans"  # comes with matplotlib, so that a page is the same everywhere


def font(size: float, *, bold: bool) -> Any:
    from matplotlib.font_manager import FontProperties

    return FontProperties(family=_FONT, size=size, weight="bold" if bold else "normal")


@lru_cache(maxsize=4096)
def width(text: str, size: float, *, bold: bool) -> float:
    """Return how wide a text is."""
    from matplotlib.textpath import text_to_path

    return float(
        text_to_path.get_text_width_height_descent(text, font(size, bold=bold), ismath=False)[0]
    )


def drawable(text: str) -> str:
    """Return a text without characters that the type does not have."""
    from matplotlib.font_manager import findfont, get_font

    face = get_font(findfont(font(11.0, bold=False)))
    return "".join(c if face.get_char_index(ord(c)) else "?" for c in text)


def cut(text: str, size: float, across: float) -> str:
    """Return as much of a text as a line holds."""
    text = drawable(text)
    if width(text, size, bold=False) <= across:
        return text
    dots = width("...", size, bold=False)
    return f"{text[: _fitting(text, size, across - dots, bold=False)].rstrip()}..."


def _fitting(text: str, size: float, across: float, *, bold: bool) -> int:
    """Return how many characters of a text a line holds."""

    def end(many: int) -> float:
        return width(text[:many], size, bold=bold)

    return bisect.bisect_right(range(1, len(text) + 1), across, key=end)


def wrapped(text: str, size: float, across: float, *, bold: bool) -> list[str]:
    """Break a paragraph into lines; a number stays with its unit, a long word is broken."""
    across *= 0.98  # types are a little wider on a screen than they are drawn
    text = re.sub(r"(?<=\d) (?=(?:m|ft|min|bar|psi|g/L)\b|%)", "\N{NO-BREAK SPACE}", drawable(text))
    lines: list[str] = []
    line = ""
    for word in text.split(" "):
        longer = f"{line} {word}" if line else word
        if line and width(longer, size, bold=bold) > across:
            lines.append(line)
            longer = word
        while width(longer, size, bold=bold) > across:
            fits = max(1, _fitting(longer, size, across, bold=bold))
            lines.append(longer[:fits])
            longer = longer[fits:]
        line = longer
    return [*lines, line]

"""Type on the pages of a slate: how wide words are and where they break. Lengths are points."""

from __future__ import annotations

import re
from typing import Any

_FONT = "DejaVu Sans"  # comes with matplotlib, so that a page is the same everywhere


def font(size: float, *, bold: bool) -> Any:
    from matplotlib.font_manager import FontProperties

    return FontProperties(family=_FONT, size=size, weight="bold" if bold else "normal")


def width(text: str, size: float, *, bold: bool) -> float:
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
    while text and width(f"{text}...", size, bold=False) > across:
        text = text[:-1]
    return f"{text.rstrip()}..."


def wrapped(text: str, size: float, across: float, *, bold: bool) -> list[str]:
    """Break a paragraph into lines; a number stays with its unit, a long word is broken."""
    text = re.sub(r"(?<=\d) (?=(?:m|ft|min|bar|psi|g/L)\b|%)", "\N{NO-BREAK SPACE}", drawable(text))
    lines: list[str] = []
    line = ""
    for word in text.split(" "):
        longer = f"{line} {word}" if line else word
        if line and width(longer, size, bold=bold) > across:
            lines.append(line)
            longer = word
        while width(longer, size, bold=bold) > across:
            fits = len(longer) - 1
            while width(longer[:fits], size, bold=bold) > across:
                fits -= 1
            lines.append(longer[:fits])
            longer = longer[fits:]
        line = longer
    return [*lines, line]

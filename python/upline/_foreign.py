"""Texts that others wrote: files of bounded size, lines of bounded length, printable characters."""

from __future__ import annotations

import os
import re
import unicodedata
from pathlib import Path
from typing import NamedTuple

from . import _core, _messages

_LONGEST_LINE = 1000  # characters

# Typographic forms of what a keyboard has; how a row was read is shown, so this hides nothing.
_KEYBOARD = {
    ord(typographic): plain
    for plain, forms in {
        "'": "‘’‛′´`",
        "descend ": "↓",
        '"': "“”‟″",
        "-": "‐‑‒–—−",
        " ": "\u00a0\u2007\u2009\u202f\f\v",
        "->": "→➔➜⇒↑⟶⟹",
        "x": "×",
        "...": "…",
    }.items()
    for typographic in forms
}
_MARKS = {
    b"\xff\xfe": "UTF-16",
    b"\xfe\xff": "UTF-16",
    b"\x00\x00\xfe\xff": "UTF-32",
}

_FRACTIONS = {"½": ".5", "¼": ".25", "¾": ".75"}
_FRACTION = re.compile(r"(?<=\d) ?([½¼¾])")
_JOINERS = "\ufe0e\ufe0f\u200d"  # of pictures, which say nothing


class Line(NamedTuple):
    """A line of a text: where it stands, as written, and in the characters of a keyboard."""

    number: int
    written: str
    text: str


def file_text(path: str | os.PathLike[str], what: str, largest: int) -> tuple[str, list[str]]:
    """Return the text of a file, and notes on how it was decoded."""
    name = _messages.word(os.fspath(path))
    try:
        if Path(path).is_file():
            with Path(path).open("rb") as file:
                data = file.read(largest + 1)
        else:
            raise OSError(0, "not a file" if Path(path).exists() else "no such file")
    except (OSError, TypeError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) else None
        raise _core.invalid_input(
            what,
            f"{name}, which cannot be read" + (f" ({reason})" if reason else ""),
            "a file that can be read",
            "check its path; a text given in place of a path holds more than one line",
        ) from None
    if len(data) > largest:
        raise _core.invalid_input(
            what,
            f"{name}, which is larger than {largest // 1000} kB",
            f"up to {largest // 1000} kB",
            "cut it into parts",
        )
    return _decoded(data, name, what)


def _decoded(data: bytes, name: str, what: str) -> tuple[str, list[str]]:
    for mark, encoding in _MARKS.items():
        if data.startswith(mark):
            raise _core.invalid_input(
                what, f"{name}, which is {encoding}", "UTF-8 text", "save it again as UTF-8"
            )
    try:
        return data.decode("utf-8"), []
    except UnicodeDecodeError:
        pass
    try:
        return data.decode("cp1252"), ["the file is no UTF-8 and was read as Windows-1252"]
    except UnicodeDecodeError:
        raise _core.invalid_input(
            what, f"{name}, which is no text", "UTF-8 text", "save it again as UTF-8"
        ) from None


def keyboard(text: str) -> str:
    """Return a text in the characters of a keyboard."""
    text = _FRACTION.sub(lambda match: _FRACTIONS[match[1]], text.translate(_KEYBOARD))
    if text.isascii():
        return text
    return "".join(" " if c in _JOINERS or unicodedata.category(c) == "So" else c for c in text)


def lines_of(text: str, what: str, largest: int) -> list[Line]:
    """Return the lines of a text that are not blank, in whichever way they end.

    Raises
    ------
    InvalidInput
        For a text or a line that is too long, and for characters that belong to no text.
    """
    if len(text) > largest:
        raise _core.invalid_input(
            what,
            f"a text of {len(text)} characters",
            f"up to {largest} characters",
            "cut it into parts",
        )
    if text.startswith("\ufeff"):
        text = text[1:]
    ended = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    return [_line(number, line, what) for number, line in enumerate(ended, 1) if line.strip()]


def _line(number: int, written: str, what: str) -> Line:
    if len(written) > _LONGEST_LINE:
        raise _core.invalid_input(
            f"line {number} of the {what}",
            f"{len(written)} characters long",
            f"lines of up to {_LONGEST_LINE} characters",
            "break it, or leave it out",
        )
    text = keyboard(written)
    for character in text:
        if not character.isprintable() and character != "\t":
            raise _core.invalid_input(
                f"line {number} of the {what}",
                f"{_messages.word(written)}, with the character U+{ord(character):04X}",
                "printable text",
                "save it again as plain text in UTF-8",
            )
    return Line(number, written.strip(), text.rstrip())

"""What stands around a row and is no part of it: bullets, labels, marks of quoting and of chats."""

from __future__ import annotations

import re

from .words import FEET, METRES, MINUTES, NUMBER

# Who said it when, in front of a message: [12:31] Ada:
_STAMP = re.compile(
    r"[ \t]*\[[\d.,/ -]{0,14}\d{1,2}:\d\d(?::\d\d)?(?: ?[ap]m)?(?:, ?[\d./-]{6,10})?\]"
    r"[ ]?[^\W\d][^\d:\[\]]{0,30}:[ ]",
    re.IGNORECASE,
)
_DEPTH = rf"{NUMBER}[ ]?(?:{METRES}|{FEET})"
_BULLET = re.compile(
    r"[ \t]*(?:[-*+][ \t]+(?=[a-z\d])|[•‣·][ \t]*"
    rf"|\d{{1,2}}[.)][ \t]+(?=(?:stop[ ]|at[ ])?{_DEPTH}|{NUMBER}[ ]?(?:/|x[ ]))"
    r"|\d?(?:1st|2nd|3rd|\dth)[ ](?:deco[ ])?stop:?[ \t]+)",
    re.IGNORECASE,
)
_LABEL = re.compile(
    r"(?:deco[ ])?(?:stop|row)[ ]?(?:#|no\.?|nr\.?)?[ ]?(?P<number>\d{1,2})"
    rf"(?P<mark>[ ]?[:.)-][ \t]{{0,9}}[:-]?[ \t]{{0,9}}|[ ]+)(?P<depth>{_DEPTH})?(?=.)",
    re.IGNORECASE,
)
_NUMBERED = re.compile(
    r"(?:#(\d{1,2})[ \t]?[ \t:.)-][ \t]{0,9}|(\d{1,2})[.)][ \t]{1,9})(?=\d.{0,40}\d)"
)
_QUOTED = re.compile(r"^[ \t]*(?:>[ \t]?)+")
# A time for the whole ascent or dive, in a line of its own.
_TOTAL = re.compile(
    r"(?:(?:total|sum|tts|time to (?:the )?surface|run[ -]?time|deco(?:mpression)? time)\b"
    rf"[a-z ]{{0,30}}[:=]?[ ]?(?:\d{{1,4}}(?::\d\d){{1,2}}|{NUMBER})(?:[ ]?{MINUTES}|[ ]?')?)\.?$",
    re.IGNORECASE,
)

_PAGE = re.compile(r"page[ ]\d{1,3}(?:[ ]?(?:of|/)[ ]?\d{1,3})?\.?$", re.IGNORECASE)
_DATE = re.compile(
    r"(?:date[ ]?:?[ ]?)?(?:\d{1,2}([./-])\d{1,2}\1\d{4}|\d{4}-\d\d-\d\d)"
    r"(?:,?[ ]\d{1,2}:\d\d(?::\d\d)?)?$",
    re.IGNORECASE,
)
_TOTAL_NAME = re.compile(
    r"(?:total|sum|tts|time to surface|run[ -]?time|deco(?:mpression)? time)\b[a-z ]{0,30}$",
    re.IGNORECASE,
)
_PAIR = r"[(\[][ ]?(\d{1,3}(?:\.\d{1,6})?)[ ]?,[ ]?(\d{1,3}(?:\.\d{1,6})?)[ ]?[)\]]"
_PAIRS = re.compile(rf"\[?{_PAIR}(?:[ ]?,?[ ]?{_PAIR}){{1,200}}\]?$")


def is_page_or_date(text: str) -> bool:
    """Return whether a line is the number of a page, or a date."""
    return bool(_PAGE.match(text) or _DATE.match(text))


def is_total_name(cell: str) -> bool:
    """Return whether a cell names a time for the whole."""
    return _TOTAL_NAME.match(cell.strip()) is not None


def without_brackets(text: str) -> str:
    """Return (24, 2), (21, 1) as 24/2 21/1, and any other line as it is."""
    if not _PAIRS.match(text):
        return text
    return " ".join(f"{depth}/{minutes}" for depth, minutes in re.findall(_PAIR, text))


def unmarked(text: str, labels: int = 0) -> tuple[str, int]:
    """Return a line without the stamp of a chat, a bullet, or the number of its stop.

    `labels` counts the stops that were numbered so far; it is returned with what this line adds.
    """
    for mark in (_STAMP, _BULLET):
        match = mark.match(text)
        text = text[match.end() :] if match else text
    label = _LABEL.match(text.strip())
    if label is None:
        return text.strip(), labels
    number, is_counted = int(label["number"]), bool(label["mark"].strip())
    # Stop 24: 2 31 is no stop with the number 24.
    if not label["depth"] and (not is_counted or number != labels + 1):
        return text.strip(), labels
    start = label.start("depth") if label["depth"] else label.end()
    return text.strip()[start:], number


def is_total(text: str) -> bool:
    """Return whether a line holds nothing but a time for the whole."""
    return _TOTAL.match(text) is not None


def unquoted(text: str) -> str:
    """Return a line without the marks of a quoted message."""
    return _QUOTED.sub("", text, count=1)


def without_number(text: str, labels: int) -> str:
    """Return 1. 24 2 or #1 24 2 without the number of its stop, if that is the next one."""
    match = _NUMBERED.match(text)
    if match is None or int(match[1] or match[2]) != labels + 1:
        return text
    return text[match.end() :]

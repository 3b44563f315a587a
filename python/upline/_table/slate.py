"""Headings as they stand on slates, in the form in which the reader of words knows them."""

from __future__ import annotations

import re

from .words import FEET, METRES, MINUTES, NUMBER, gas_of

_UNIT = rf"(?:{METRES}|{FEET})"
_NAMED = (
    r"(?:air|oxygen|o2|(?:eanx?|nitrox|nx) ?\d{2,3}|(?:trimix|tx) ?\d{1,2} ?/ ?\d{1,2}"
    r"|\d{2,3} ?%)"
)
_MIX = rf"(?:{_NAMED}|\d{{1,2}} ?/ ?\d{{1,2}}|\d{{2,3}})(?![\d/'])"
_ITEM = rf"(?:{_MIX})(?: ?@ ?{NUMBER} ?(?:{_UNIT})?)?"
_TRIMIX = r"(?:(?:trimix|tx) ?)?\d{1,2} ?/ ?[1-9]\d"
_MORE = rf"(?: ?[,;+] ?(?:deco(?: gas(?:es)?)? ?:? ?)?{_ITEM}){{1,9}}"
_LIST = rf"(?P<gases>(?:{_TRIMIX}|{_NAMED})(?: ?@ ?{NUMBER})?{_MORE})"
_DIVE = re.compile(
    rf"(?P<depth>{NUMBER}) ?(?P<unit>{_UNIT})?(?P<mark> ?[,/x] ?| for | )"
    rf"(?P<time>{NUMBER}) ?(?:{MINUTES})[ ,:]{{1,3}}(?:on )?{_LIST}",
    re.IGNORECASE,
)
_GASES = re.compile(_LIST, re.IGNORECASE)
_DECO = re.compile(r"deco(?: gas(?:es)?)? ?:? ?", re.IGNORECASE)


def heading_of(text: str) -> str | None:
    """Return a line in the words that are read, where these differ from its own."""
    text = re.sub(r"[ \t]+", " ", text.strip())
    found = _in_words(text)
    return None if found is None or found.lower() == text.lower() else found


def _in_words(text: str) -> str | None:
    """Return a heading or a list of gases as words that are read; None if a line is neither.

    Both name more than one mix, which no row does. A list begins with helium, and one of its mixes
    is named (O2, EAN50, 50 %): "18/45, 15/55" may be rows.
    """
    dive = _DIVE.fullmatch(text)
    if dive:
        gases = _gases(dive["gases"])
        if gases is None:
            return None
        if dive["unit"]:
            return f"{dive['depth']} {dive['unit']} for {dive['time']} min on {gases}"
        if dive["mark"] == " for ":
            return f"depth {dive['depth']}, bottom time {dive['time']} min, gases {gases}"
        return None
    if _GASES.fullmatch(text) and re.match(_TRIMIX, text, re.IGNORECASE):
        gases = _gases(text)
        is_named = any(re.match(_NAMED, one.strip(), re.IGNORECASE) for one in text.split(","))
        return f"gases: {gases}" if gases and is_named else None
    return None


def _gases(text: str) -> str | None:
    """Return a list of mixes parted by commas; None where one of them is no mix."""
    items = [one.strip() for one in re.split(r"[,;+]", _DECO.sub("", text))]
    mixes = [one.partition("@")[0].strip() for one in items]
    return ", ".join(items) if all(gas_of(mix) for mix in mixes) else None

"""Reads HTML as a reader of a page meets it."""

from __future__ import annotations

from html.parser import HTMLParser

VOID = {"br"}


class Reader(HTMLParser):
    """Collects what a reader of a page meets; fails on a tag that is not closed in order."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.rows: list[list[tuple[str, dict[str, str | None], str]]] = []
        self.style = ""
        self.caption = ""
        self.words = ""  # all but the style sheet
        self.after_table = ""
        self.before_table = ""
        self.items: list[str] = []
        self._table_seen = False
        self.feed(html)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)
        if tag == "table":
            self._table_seen = True
        if tag == "tr":
            self.rows.append([])
        if tag in ("td", "th"):
            self.rows[-1].append((tag, dict(attrs), ""))
        if tag == "li":
            self.items.append("")
        if tag == "br":
            self.handle_data(" ")

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if "style" in self.open:
            self.style += data
            return
        self.words += data
        if "caption" in self.open:
            self.caption += data
        if {"td", "th"} & set(self.open):
            tag, attrs, text = self.rows[-1][-1]
            self.rows[-1][-1] = (tag, attrs, text + data)
        if "li" in self.open:
            self.items[-1] += data
        if "table" not in self.open:
            if self._table_seen:
                self.after_table += data
            else:
                self.before_table += data


def squeezed(text: str) -> str:
    return " ".join(text.split())

"""Check the links of a built site: every page, file and anchor it refers to is in it.

    python tests/check_site.py build/docs

Nothing is fetched: links to other sites are left alone, but a page must not load anything from one.
"""

from __future__ import annotations

import sys
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote, urlsplit

LOADED = {("script", "src"), ("img", "src"), ("link", "href"), ("source", "src"), ("iframe", "src")}
PAGES_AT_LEAST = 20


class Page(HTMLParser):
    """What a page can be pointed at by, and what it points at."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.anchors: set[str] = set()
        self.links: list[tuple[str, bool]] = []  # the address, and whether it is loaded
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        for name, value in attrs:
            if value is None:
                continue
            if name == "id" or (tag == "a" and name == "name"):
                self.anchors.add(value)
            if name in ("href", "src"):
                self.links.append((value, (tag, name) in LOADED))


def faults(site: Path) -> list[str]:
    """Return what is wrong with the links of a site."""
    pages = {
        path.resolve(): Page(path.read_text(encoding="utf-8"))
        for path in sorted(site.rglob("*.html"))
        if "_static" not in path.parts
    }
    found = []
    if len(pages) < PAGES_AT_LEAST:
        found.append(f"{site} holds {len(pages)} pages, fewer than {PAGES_AT_LEAST}")
    if not (site / "_static" / "mathjax" / "tex-chtml.js").is_file():
        found.append("the site has no copy of MathJax")
    checked = 0
    for path, page in pages.items():
        for address, loaded in page.links:
            parts = urlsplit(address)
            if parts.scheme or parts.netloc:
                if loaded and parts.scheme != "data":
                    found.append(f"{path.name} loads {address} from another place")
                continue
            checked += 1
            target = (path.parent / unquote(parts.path)).resolve() if parts.path else path
            if not target.is_file():
                found.append(f"{path.name} refers to {address}, which is not there")
            elif parts.fragment and target in pages:
                anchor = unquote(parts.fragment)
                if anchor not in pages[target].anchors:
                    found.append(f"{path.name} refers to {address}, where there is no such anchor")
    print(f"{len(pages)} pages, {checked} links inside the site, {len(found)} faults")
    return found


def main() -> int:
    """Print the faults of the site named on the command line."""
    found = faults(Path(sys.argv[1]))
    print("\n".join(found), file=sys.stderr)
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())

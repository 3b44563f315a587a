"""The report as Markdown."""

from __future__ import annotations

from upline._core import foot

from . import schedules, values
from .lines import Line, Section
from .tables import TABLES, confidences, rows

HEAD = """\
# upline against the record

What upline computes beside values of books, papers, manuals and workshops: how far apart, and
why. `python validation/report.py` writes this page from `validation/data` and the installed
package; nothing in it is typed by hand but the words.

**How sure a given value is** stands beside every one of them. *read*: in the source itself or its
abstract. *secondary*: on a page that quotes or copies it. *derived*: computed from a formula that
was read, or by an earlier calculation of its own. *from memory, to be confirmed*: recalled;
nobody has opened the page for this project yet. "Rows and model agree" behind it: the recalled
rows and the recalled model behind them come out together, which shows that they belong together
and not that each digit is as printed. No recalled row is a published value until somebody has
read the page.

**Verdicts.** *within*: inside the tolerance, which is half a unit of the last digit or has its
reason beside it. *outside*: not, and listed next. *shown*: beside each other without being
judged, because the convention behind the given value is not known."""


def table(head: list[str], body: list[list[str]]) -> str:
    """Rows in Markdown; the first column is text and the others are numbers or words."""
    lines = [head, ["---"] * len(head), *body]
    return "\n".join("| " + " | ".join(cell or " " for cell in line) + " |" for line in lines)


def line_cells(line: Line) -> list[str]:
    return [
        line.what, line.given, line.computed, line.difference_text, line.tolerance_text,
        line.confidence, line.verdict,
    ]  # fmt: skip


COLUMNS = ["what", "given", "computed", "difference", "tolerance", "how sure", "verdict"]


def summary(sections: list[Section]) -> str:
    return table(
        ["source", "lines", "equal as printed", "within", "outside", "shown", "furthest",
         "how sure"],
        [
            [
                one.title,
                *(str(x) for x in (len(one.lines), one.exact, *map(
                    one.count, ("within", "outside", "shown")))),
                one.furthest,
                one.tags,
            ]
            for one in sections
        ],
    )  # fmt: skip


def outside(sections: list[Section]) -> str:
    found = [
        [one.title, line.what, line.given, line.computed, line.difference_text,
         line.tolerance_text, line.confidence, line.because or "not known"]
        for one in sections
        for line in one.lines
        if line.verdict == "outside"
    ]  # fmt: skip
    if not found:
        return "None."
    return table(
        ["source", "what", "given", "computed", "difference", "tolerance", "how sure", "why"], found
    )


def stated_elsewhere() -> str:
    """Differences that stand in the tables themselves, beside the row they concern."""
    body = []
    for name, (_, where) in TABLES.items():
        if where.startswith("report"):
            continue
        for row in rows(name):
            known = [(column, text) for column, text in row.items()
                     if column.startswith("known") and text]  # fmt: skip
            if known:
                (column, text), *_ = known
                body.append([name, ", ".join(list(row.values())[:6]), column, text])
    return table(["table", "row", "column", "difference"], body)


def section_text(one: Section) -> str:
    unit = f" Stops as depth:minutes; differences in {one.unit}." if one.unit else ""
    parts = [
        f"## {one.title}",
        f"Source: {one.source}. Tolerance: {one.tolerance}.{unit}",
        one.meaning,
        "\n".join(one.notes),
        table(COLUMNS, [line_cells(line) for line in one.lines]),
    ]
    return "\n\n".join(part for part in parts if part)


def elsewhere() -> str:
    body = [
        [name, str(count), "; ".join(f"{n} {tag}" for tag, n in confidences(name).items()), where]
        for name, (count, where) in TABLES.items()
        if where != "report"
    ]
    return table(["table", "rows", "tags", "read by"], body)


def page() -> str:
    """The whole report."""
    sections = [*schedules.sections(), *values.sections()]
    return (
        "\n\n".join(
            [
                HEAD,
                "## Differences outside tolerance",
                outside(sections),
                "Beyond the tolerance of a table that the tests read, as the table itself states "
                "beside the row (of which the first cells are given here):",
                stated_elsewhere(),
                "## Overview",
                summary(sections),
                *map(section_text, sections),
                "## Tables that are read elsewhere",
                "*kept*: facts for which the library computes nothing; they are counted and carry "
                "their tags. The others are checked row by row by the tests named, within the "
                "tolerance at the head of each table.",
                elsewhere(),
                foot,
            ]
        )
        + "\n"
    )

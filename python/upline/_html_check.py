"""Checks and replays as HTML for notebooks; the words are those of their text."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING, NamedTuple, TypeVar

from . import _core
from ._html import bullets, cautions, foot, fragment, paragraph, table
from ._said import (
    QUESTIONS,
    answers,
    asked,
    at,
    bar,
    breathed,
    half_time,
    headline,
    length_of,
    pair,
    place,
    short,
    surfaced,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from ._check_results import Check, TableReading
    from ._replay import Replay

    T = TypeVar("T")

_FEW_READINGS = 6  # as the text
_CONSEQUENCES = 8  # as the text
_PAIRS = 12
_ROWS = 40  # of a longer table the ends and the tightest are shown
_MARGIN = "margin"


def check_to_html(check: Check) -> str:
    """Return a check as a fragment of HTML."""
    rows = _shown(check.rows, lambda row: row.margin)
    parts = [paragraph(check.sentence, strong=True)]
    parts += _readings(check)
    parts += bullets("Odd in its numbers", [one.text for one in check.findings])
    parts += _followed(check, rows)
    parts.append(paragraph(check.addition))
    parts += _repaired(check)
    parts += _pairs(check)
    parts += _consequences(check)
    parts += cautions(check.cautions)
    parts += bullets("Notes", check.table.notes)
    parts += _as_read(check, rows)
    parts += foot(check.assumptions)
    return fragment(parts)


def replay_to_html(replay: Replay) -> str:
    """Return a replay as a fragment of HTML."""
    parts = [paragraph(headline(replay), strong=True), paragraph(surfaced(replay))]
    parts.append(_tightest(replay))
    parts += _stops(replay)
    parts += cautions(replay.cautions)
    parts += bullets("Notes", replay.notes)
    parts += foot(replay.assumptions)
    return fragment(parts)


# ---- what is shown of much -----------------------------------------------------------------------


class _Shown(NamedTuple):
    """Which of many rows stand in a table, and what is said of the others."""

    which: list[int]
    others: str


def _shown(rows: Sequence[T], margin: Callable[[T], float]) -> _Shown:
    count = len(rows)
    if count <= _ROWS:
        return _Shown(list(range(count)), "")
    ends = _ROWS // 4
    tightest = sorted(range(count), key=lambda j: margin(rows[j]))[: _ROWS // 2]
    which = sorted({*range(ends), *range(count - ends, count), *tightest})
    left_out = sorted(set(range(count)) - set(which))
    lowest = bar(min(margin(rows[j]) for j in left_out))
    return _Shown(
        which,
        f"{len(left_out)} of {count} rows are left out here, none of them with a margin below "
        f"{lowest} bar; to_frame() has all.",
    )


# ---- check ---------------------------------------------------------------------------------------


def _readings(check: Check) -> list[str]:
    questions = asked(check)
    shown = [one for j, one in enumerate(check.readings) if _is_shown(check, j)]
    names = [*(QUESTIONS[name] for name in questions), "verdict"]
    lines = [_reading_line(one, questions) for one in shown]
    # Readings may be in different units: each depth says its own.
    numbers = ["surfacing fraction", _MARGIN, "tightest at", "run time"]
    units = [*([""] * len(names)), "", "bar", "", "min"]
    parts = [paragraph(check.tried)] if check.tried else []
    return [*parts, table("How it was read", [*names, *numbers], units, lines, names)]


def _reading_line(one: TableReading, questions: list[str]) -> list[str]:
    return [
        *(_answer(one, name) for name in questions),
        "satisfies" if one.satisfies else "does not",
        f"{one.surfacing_fraction:.3f}",
        bar(one.margin),
        place(one.tightest, one.units),
        _core.clock_text(one.run_time),
    ]


def _answer(one: TableReading, question: str) -> str:
    first = " (not to the first stop, which is too short for it)"
    full = question == "minutes" and one.first_in_full
    return str(getattr(one, question)) + (first if full else "")


def _is_shown(check: Check, j: int) -> bool:
    """Of many: the usual one, those that differ from it in one answer, and the strictest."""
    if len(check.readings) <= _FEW_READINGS or j == check.governing:
        return True
    usual, other = answers(check.readings[0]), answers(check.readings[j])
    return sum(x != y for x, y in zip(usual, other, strict=True)) <= 1


def _followed(check: Check, shown: _Shown) -> list[str]:
    names = ["depth", "leave at", "stay", "breathe", "po2", _MARGIN, "held by", "then", "add"]
    units = [length_of(check.units), "min", "min", "", "bar", "bar", "half-time", "half-time"]
    lines = []
    for j in shown.which:
        row = check.rows[j]
        left = check.rows[j - 1].departs if j else check.replay.judged_from
        lines.append(
            [
                short(row.depth, 2),
                _core.clock_text(row.departs),
                _core.clock_text(row.departs - left),
                breathed(row.arrives_on, row.gas),
                f"{row.po2:.2f}",
                bar(row.margin),
                half_time(row.held_by),
                half_time(row.runner_up),
                _core.clock_text(row.added) if row.added > 0.0 else "",
            ]
        )
    surface = ["0", _core.clock_text(check.replay.run_time), "", "surface", *[""] * 5]
    caption = "Rows as followed"
    if len(check.readings) > 1:
        caption += ", under the reading with the least margin"
    parts = [table(caption, names, [*units, "min"], [*lines, surface], {"breathe"})]
    return [*parts, paragraph(shown.others)] if shown.others else parts


def _repaired(check: Check) -> list[str]:
    if not check.missing_minutes or check.repaired is None:
        return []
    number = "leave at" if check.readings[check.governing].minutes == "leave at" else "minutes"
    followed = iter(check.rows)
    lines = []
    for one in check.repaired:
        added = 0.0 if one.new else next(followed).added
        change = f"{_core.clock_text(added)} more" if added > 0.0 else ""
        gas = one.gas.spoken if one.gas is not None else ""
        written = [short(one.depth, 2), _core.clock_text(one.number), gas]
        lines.append([*written, "a new stop" if one.new else change])
    caption = "The table with what is missing"
    if len(lines) > _ROWS:
        caption += ": the rows that change"
        lines = [line for line in lines if line[-1]][:_ROWS]
    names = ["depth", number, "breathe", "change"]
    units = [length_of(check.units), "min", "", "min"]
    if all(one.gas is None for one in check.repaired):
        names, units, *lines = ([*line[:2], line[3]] for line in (names, units, *lines))
    return [table(caption, names, units, lines, {"breathe", "change"})]


def _pairs(check: Check) -> list[str]:
    # Factors above 1 are beyond the published limits: data, and no advice.
    every = [one for one in check.factor_pairs if one.low <= 1.0 and one.high <= 1.0]
    if not every:
        return []
    # Of pairs with the same high factor the first is the strictest.
    found = [next(run) for _, run in groupby(every, lambda one: f"{one.high:.3f}")]
    count = min(len(found), _PAIRS)
    lines = [
        [
            pair(one.low, one.high),
            place(one.depth, check.units),
            _core.clock_text(one.run_time),
            half_time(one.half_time),
        ]
        for one in (found[round(k * (len(found) - 1) / max(count - 1, 1))] for k in range(count))
    ]
    caption = "Pairs it satisfies"
    if count < len(every):
        caption += f", {count} of {len(every)}"
    units = ["low/high", "", "min", "half-time"]
    return [table(caption, ["factors", "held at", "run time", "held by"], units, lines)]


def _consequences(check: Check) -> list[str]:
    if not check.consequences:
        return []
    lines = [
        [
            one.text,
            f"{one.surfacing_fraction:.3f}",
            bar(one.margin),
            "no addition suffices"
            if one.missing_minutes is None
            else _core.clock_text(one.missing_minutes),
        ]
        for one in check.consequences[:_CONSEQUENCES]
    ]
    names = ["done otherwise", "surfacing fraction", _MARGIN, "missing"]
    caption = "What carries it"
    if len(check.consequences) > _CONSEQUENCES:
        caption += f", the tightest {_CONSEQUENCES} of {len(check.consequences)}"
    return [table(caption, names, ["", "", "bar", "min"], lines, {"done otherwise"})]


def _as_read(check: Check, shown: _Shown) -> list[str]:
    names = ["row", "as written", "as read"]
    lines = [
        [str(j + 1), check.table.rows[j].text, check.table.rows[j].read_as] for j in shown.which
    ]
    return [table("Rows as read", names, ["", "", ""], lines, names[1:])]


# ---- replay --------------------------------------------------------------------------------------


def _tightest(replay: Replay) -> str:
    names = ["where", "run time", "breathe", _MARGIN, "as fraction", "below ceiling", "held by"]
    lines = [
        [
            at(one, replay),
            _core.clock_text(one.run_time),
            one.gas.spoken,
            bar(one.pressure),
            f"{one.fraction:.3f}",
            short(one.length, 2),
            half_time(one.half_time),
        ]
        for one in (replay.tightest, replay.surfacing)
    ]
    units = ["", "min", "", "bar", "", length_of(replay.units), "half-time"]
    return table("How close it comes", names, units, lines, {"where", "breathe"})


def _stops(replay: Replay) -> list[str]:
    if not replay.stops:
        return []
    shown = _shown(replay.stops, lambda stop: stop.margin)
    names = ["depth", "arrive", "leave at", "breathe", _MARGIN, "held by", "then", "gap"]
    units = [length_of(replay.units), "min", "min", "", "bar", "half-time", "half-time", "bar"]
    lines = [
        [
            short(stop.depth, 2),
            _core.clock_text(stop.arrives),
            _core.clock_text(stop.departs),
            stop.gas.spoken,
            bar(stop.margin),
            half_time(stop.held_by),
            half_time(stop.runner_up),
            bar(stop.gap),
        ]
        for stop in (replay.stops[j] for j in shown.which)
    ]
    parts = [table("Stops", names, units, lines, {"breathe"})]
    return [*parts, paragraph(shown.others)] if shown.others else parts

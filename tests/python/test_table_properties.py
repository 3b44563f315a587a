"""Tables that are written in many ways and read back, and broken ones."""

from __future__ import annotations

from functools import partial
from typing import Any

import pytest
import upline
from fuzz_table import alarm, inputs, outcome
from hypothesis import assume, given
from hypothesis import strategies as st
from readers import clock, seconds_taken
from upline._table import read_table, table_from_text

ROWS = st.lists(
    st.tuples(
        st.integers(3, 120),
        st.integers(0, 400).map(lambda quarters: quarters / 4),
        st.sampled_from([None, "50", "18/45", "O2", "air"]),
    ),
    min_size=1,
    max_size=12,
    unique_by=lambda row: row[0],
).map(lambda rows: sorted(rows, reverse=True, key=lambda row: row[0]))


def prime(minutes: float) -> str:
    return f"{int(minutes)}'" + (f'{round(minutes % 1 * 60)}"' if minutes % 1 else "")


MINUTES = {
    "plain": lambda minutes: f"{minutes:g}",
    "unit": lambda minutes: f"{minutes:g} min",
    "clock": lambda minutes: clock(round(minutes * 60)),
    "prime": prime,
}
WAYS = {
    "commas": ("depth,stop,gas", "{0},{1},{2}"),
    "semicolons": ("Depth (m); Minutes; Mix", "{0}; {1}; {2}"),
    "tabs": ("DEPTH\tSTOP TIME\tGAS", "{0} m\t{1}\t{2}"),
    "bars": ("| depth | stop | gas |\n|---|---|---|", "| {0} | {1} | {2} |"),
    "spaces": ("depth  stop  gas", "{0}  {1}  {2}"),
    "words": ("", "{0} m for {1} on {2}"),
    "bare": ("", "{0} {1} on {2}"),
    "bare bars": ("", "{0} | {1} | on {2}"),
}


@given(ROWS, st.sampled_from(list(WAYS)), st.sampled_from(list(MINUTES)))
def test_what_is_written_is_read_back(rows: Any, way: str, style: str) -> None:
    # Times such as 0:45 alone may be hours and minutes, which is asked.
    assume(style != "clock" or any(minutes >= 1 for _, minutes, _ in rows))
    head, form = WAYS[way]
    lines = [head] if head else []
    for depth, minutes, gas in rows:
        line = form.format(depth, MINUTES[style](minutes), gas or "-")
        lines.append(line if gas or head else line.replace(" on -", "").rstrip("| "))
    table = read_table("\n".join(lines) + "\n", depth=300)
    assert [(row.depth, row.minutes, row.gas) for row in table.rows] == rows


@given(ROWS, st.sampled_from([";", "\t", "|"]))
def test_decimal_commas_are_read_back(rows: Any, separator: str) -> None:
    lines = [separator.join(("depth", "stop", "leave at"))]
    for depth, minutes, _ in rows:
        cells = (f"{depth},5", f"{minutes}".replace(".", ","), f"{minutes + 1}".replace(".", ","))
        lines.append(separator.join(cells))
    table = read_table("\n".join(lines) + "\n", depth=300)
    assert [(row.depth, row.minutes, row.leave_at) for row in table.rows] == [
        (depth + 0.5, minutes, minutes + 1) for depth, minutes, _ in rows
    ]
    assert "commas between figures are read as decimal commas" in table.notes


@given(ROWS, st.sampled_from([" ", ", ", "; ", ",", "\n"]), st.sampled_from(["/", " x ", "m "]))
def test_rows_in_one_line_are_read_back(rows: Any, between: str, inside: str) -> None:
    whole = [(depth, int(minutes)) for depth, minutes, _ in rows]
    written = between.join(f"{depth}{inside}{minutes}" for depth, minutes in whole) + "\n"
    try:
        table = read_table(written, depth=300)
    except upline.InvalidInput as error:
        # Two pairs may be a row and its mix; a comma between figures may be a decimal comma.
        is_asked = "may be a" in str(error) or "parted" in str(error) or "second" in str(error)
        assert is_asked
        assert len(whole) == 2 or between == "," or inside == "m "
        return
    assert [(row.depth, row.minutes) for row in table.rows] == whole


# ---- fuzzing -------------------------------------------------------------------------------------


def test_four_thousand_broken_inputs() -> None:
    seen = {"read": 0, "refused": 0}
    for number, (text, read) in enumerate(inputs(4)):
        if number == 4000:
            break
        with alarm(2.0):
            seen[outcome(text, read)] += 1
    assert seen["read"] > 200
    assert seen["refused"] > 2000


@pytest.mark.parametrize(
    "atom",
    ["1 ", "50 from ", "24/2 ", "1,", "5'", "x ", "24 m 2 min ", "(", "a", "on 18/45, ", "-> ",
     "57 m for 25 min ", "trimix ", "1 x ", "\t", "'", "depth stop ", "1h", "1:05 ", "(1, 2), ",
     "2@24 ", "stop 1: ", "> ", "l0/", "switch to 50 % ", ", then 50 % from 21 m", "24-",
     "gas 1: 18/45 ", "[12:31] ", "total time ", "9 m/min deeper than 20 m, ", "1 min", "[[1,"],
)  # fmt: skip
def test_no_line_takes_long(atom: str) -> None:
    line = (atom * 1000)[:990]
    for before in (
        "", "# ", "24 2 # ", "depth stop\n", "24/2 ", "depth leave at stay breathe po2 held by\n",
        "57 m for 25 min on 18/45",
        "depth,leave at,stay,breathe,po2,held by\n0,1,1,,,\nAssumptions: A, ",
    ):  # fmt: skip
        text = before + line[: 1000 - len(before)]
        assert seconds_taken(partial(outcome, text, table_from_text)) < 0.3

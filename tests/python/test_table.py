"""Tables as people write them: what is read, what is asked for, what is refused."""

from __future__ import annotations

import tomllib
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import upline
from hostile.values import HOSTILE
from hypothesis import given
from hypothesis import strategies as st
from readers import refusal_of, refusal_of_ten_megabytes, refused_hostile, seconds_taken
from upline._table import CutTable, read_table, table_from_text

TABLES = Path(__file__).parent / "tables"
EXPECTED: dict[str, dict[str, Any]] = tomllib.loads((TABLES / "expected.toml").read_text("utf-8"))
FILES = sorted(path for path in TABLES.iterdir() if path.name != "expected.toml")
INLINE = "24/2 21/1 18/2 15/2 12/4 9/5 6/20"


def read_as(source: Any, **kwargs: Any) -> list[str]:
    return [row.read_as for row in read_table(source, **kwargs).rows]


refusal = partial(refusal_of, read_table)


# ---- files ---------------------------------------------------------------------------------------


def test_every_file_is_expected() -> None:
    assert [path.name for path in FILES] == sorted(EXPECTED)
    assert len(FILES) >= 140
    assert sum("error" in one for one in EXPECTED.values()) >= 60
    assert all("(invented)" in path.read_text("utf-8") for path in FILES)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.name)
def test_files(path: Path) -> None:
    """The notes are compared whole: nothing is read, decided or left out without one."""
    expected = EXPECTED[path.name]
    if "error" in expected:
        assert str(refusal(path)) == expected["error"]
        return
    table = read_table(path)
    assert [row.read_as for row in table.rows] == expected["rows"]
    fields = {key: value for key, value in vars(table).items() if value not in (None, (), {})}
    for key in ("rows", "notes", "missing"):
        fields.pop(key, None)
    if "gases" in fields:
        fields["gases"] = list(fields["gases"])
    assert fields == expected["says"]
    assert list(table.missing) == expected["missing"]
    assert list(table.notes) == expected["notes"]


@pytest.mark.parametrize(
    "change",
    [
        lambda data: data.replace(b"\n", b"\r\n"),
        lambda data: data.replace(b"\n", b"\r"),
        lambda data: b"\xef\xbb\xbf" + data,
        lambda data: data.replace(b"\n", b"\n\n"),
        lambda data: data.replace(b"\n", b"  \n"),
        lambda data: data.rstrip(b"\n"),
    ],
    ids=["CRLF", "CR", "byte order mark", "blank lines", "trailing spaces", "no last newline"],
)
@pytest.mark.parametrize("path", FILES, ids=lambda path: path.name)
def test_how_lines_end_changes_nothing(path: Path, change: Any, tmp_path: Path) -> None:
    if "error" in EXPECTED[path.name]:
        return
    copy = tmp_path / path.name
    copy.write_bytes(change(path.read_bytes()))
    assert read_as(copy) == EXPECTED[path.name]["rows"]


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"\xff\xfe2\x004\x00", "UTF-16"),
        (b"\x89PNG\r\n\x1a\n\0\0\0", "with the character U+"),
        (b"24 2\n21\0 1\n", "line 2 of the table"),
        (b"24 2\n21 \x1b[2J1\n", "U+001B"),
        (b"24 2\n\x81\x8d 1\n", "which is no text"),
        (b"24 2" + b" " * 1000 + b"\n", "1004 characters long"),
        (b"24 2\n" * 201, "longer than 200 rows"),
        (b"24/2 21/1 18/2 " * 60 + b"\n" + b"9/2 6/2 3/2 " * 60, "longer than 200 rows"),
        (b"#\n" * 1001, "1001 lines long"),
        (b"24 2\n" * 20_001, "larger than 100 kB"),
        (b"", "without a row"),
    ],
)
def test_bytes_that_are_no_table(data: bytes, says: str, tmp_path: Path) -> None:
    path = tmp_path / "table.txt"
    path.write_bytes(data)
    assert says in str(refusal(path))


def test_ten_megabytes_are_refused_at_once(tmp_path: Path) -> None:
    error = refusal_of_ten_megabytes(read_table, tmp_path / "large.csv", b"24,2\n")
    assert '/large.csv"' in str(error) or "..." in str(error)
    assert "larger than 100 kB" in str(error)
    text = "24,2\n" * 2_000_000
    assert seconds_taken(lambda: refusal(text)) < 0.5
    assert "100000 characters" in str(refusal(text))
    assert "100000 characters" in str(refusal("[" * 10_000_000))


def test_windows_1252_is_told(tmp_path: Path) -> None:
    path = tmp_path / "table.txt"
    path.write_bytes("24 m 5’\n21 m 5’30”\n".encode("cp1252"))
    table = read_table(path)
    assert [row.minutes for row in table.rows] == [5.0, 5.5]
    assert "the file is no UTF-8 and was read as Windows-1252" in table.notes


def test_paths_and_texts(tmp_path: Path) -> None:
    path = tmp_path / "table 1"
    path.write_text(INLINE)
    assert read_table(path) == read_table(str(path)) == read_table(INLINE)
    assert read_table(INLINE) == table_from_text(INLINE)
    for nowhere in ("none.csv", tmp_path, "a\0b", "x" * 5000):
        assert "cannot be read" in str(refusal(nowhere))
    assert "third" not in str(refusal("24 2 31"))
    assert refusal("24 2 31").field == "line 1"  # no path has such a name, so the row is told


# ---- frames and lists ----------------------------------------------------------------------------


def test_lists_and_frames_of_the_same_table() -> None:
    pd = pytest.importorskip("pandas")
    pairs = [(24, 2), (21, 1.5), (6, 20)]
    expected = ["24 for 2 min", "21 for 1:30 min", "6 for 20 min"]
    names = ["depth", "stop"]
    frame = pd.DataFrame(pairs, columns=names)
    for source in (
        pairs,
        [list(pair) for pair in pairs],
        tuple(pairs),
        np.array(pairs),
        [("24", "2"), ("21", "1:30"), ("6", "20 min")],
        [dict(zip(names, pair, strict=True)) for pair in pairs],
        [names, *pairs],
        frame,
        frame.set_index("depth"),
        pd.DataFrame(pairs),
        frame.assign(stop=pd.to_timedelta(frame.stop, unit="min")),
    ):
        assert read_as(source) == expected
    assert read_as(frame.rename(columns={"depth": "depth (ft)"}))[0] == "24 ft for 2 min"


def test_mixes_in_lists() -> None:
    rows: list[Any] = [(24, 2, None), (21, 1, "50"), (6, 20, upline.Gas("O2"))]
    assert [row.gas for row in read_table(rows).rows] == [None, "50", "O2"]
    dicts = [{"depth": 24, "leave at": 31}, {"depth": 21, "leave at": 33, "gas": "EAN50"}]
    assert read_as(dicts) == ["24, leave at 31", "21, leave at 33, on 50"]


@given(st.lists(st.floats(1e-6, 1e5), min_size=1, max_size=5))
def test_numbers_are_read_to_the_last_bit(minutes: list[float]) -> None:
    table = read_table([(6.0, value) for value in minutes])
    assert [row.minutes for row in table.rows] == minutes


@pytest.mark.parametrize(
    ("source", "says"),
    [
        ([(24, 2, 31)], "a third number that nothing explains"),
        ([(24,)], "1 cells"),
        ([(24, 2, "50", 1)], "4 cells"),
        ([(-24, 2)], "minus sign"),
        ([(float("nan"), 2)], "no depth"),
        ([(24, float("inf"))], "no time"),
        ([(24, 2), "24 2"], "row 2 of the table"),
        ([(24, True)], "row 1 of the table"),
        ([(24, [2])], "row 1 of the table"),
        ([(24, "2\0")], "printable"),
        ([{"depth": 24, "Zeit": 2}], "not known"),
        ([{"depth": 24, "stop": 2, 3: 4}], "keys that are texts"),
        ([(24, 2)] * 201, "longer than 200 rows"),
        ([], "without a row"),
        ({}, "the path of a file"),
        (57, "the path of a file"),
        (b"24 2\n", "the path of a file"),
        (None, "the path of a file"),
    ],
)
def test_lists_that_are_no_table(source: Any, says: str) -> None:
    assert says in str(refusal(source))


def test_a_table_is_returned_as_it_is() -> None:
    table = read_table(INLINE)
    assert read_table(table) is table


def test_hostile_values_are_refused_or_read() -> None:
    refused = refused_hostile(
        lambda value: (
            partial(read_table, value),
            partial(read_table, [value]),
            partial(read_table, [(24, value)]),
            partial(read_table, [(24, 2, value)]),
            partial(read_table, [{"depth": 24, "stop": value}]),
            partial(read_table, {"kind": "plan", "input": value}),
            partial(read_table, INLINE, units=value),
            partial(read_table, INLINE, depth=value),
        ),
        CutTable,
    )
    assert refused > len(HOSTILE) * 6


# ---- arguments -----------------------------------------------------------------------------------


def test_units_of_the_caller() -> None:
    assert read_table("80 2\n70 1\n", units="imperial").rows[0].read_as == "80 ft for 2 min"
    assert "the argument units" in str(refusal("24 m 2\n21 m 1\n", units="imperial"))
    assert refusal(INLINE, units="feet").field == "units"


def test_two_units_in_a_list_of_gases() -> None:
    error = refusal("# gases: 18/45, 50 from 70 ft, oxygen from 6 m\n24 2\n")
    assert error.field == "units of the table"


def test_the_depth_of_the_caller_tells_the_bottom_row() -> None:
    text = "depth;leave at\n36;25\n21;33\n18;35\n"
    assert len(read_table(text).rows) == 3
    assert read_table(text).missing[:2] == ("depth", "bottom_time")
    table = read_table(text, depth=36)
    assert (len(table.rows), table.depth, table.bottom_time) == (2, 36.0, 25.0)
    assert table.bottom_from == "surface"
    assert len(read_table("57 25\n24 2\n21 1\n", depth=60).rows) == 3
    assert read_table("190 ft 25 min\n80 2 min\n70 1 min\n").depth == 190
    assert read_table("57 m 25 min\n24 2 min\n21 1 min\n").depth == 57
    assert read_table("105 ft 12 min\n80 ft 2 min\n").depth is None
    with pytest.raises(upline.WrongType):
        read_table(text, depth="36")  # type: ignore[arg-type]


def test_a_heading_with_digits_of_another_script_is_told_in_ascii() -> None:
    table = read_table("57 m /\u06635 min, 18/45, EAN50, O2\n24 2\n")
    assert table.bottom_time == 35
    assert all(note.isascii() for note in table.notes)

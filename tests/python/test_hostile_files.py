"""Hostile dive files, records and command lines: mutants of what is valid, seeded and fast.

As for calls: a result, or an error of the library that says what to do, within a second.
"""

from __future__ import annotations

import copy
import json
import random
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import upline
from hostile.allowed import Tally, answered
from hostile.surface import QUINCE
from upline._cli import main

MUTANTS = 2_000  # of each kind
SEED = 20_251_126
PLAN = upline.plan(
    [(42, 15), (30, 40)],
    gases=["21/35", "50@21", "O2"],
    gf=(0.4, 0.8),
    travel=("50", 17),
    environment=upline.Environment(altitude=640, acclimatised_to="here", water="fresh"),
    start=upline.rest(upline.plan(30, 20, "32", gf="40/80").end, 90),
    rmv=20,
)

DIVE = """name = "Tarn Hollow (invented)"
notes = \"\"\"two
lines\"\"\"
units = "metric"

[dive]
levels = [[42, 15], [30, 40]]
gases = ["21/35", "50@21", "O2"]
travel = ["50", 17]

[rules]
gf = "40/80"
model = "ZH-L16C"
max_po2 = 1.4
max_deco_po2 = 1.6
po2_tolerance = 0.03
min_po2 = 0.16

[ascent]
ladder = [21, 18, 15, 12, 9, 6]
descent_rate = 18
ascent_rate = [[21, 9], [0, 6]]
surfacing_rate = 3
rounding = "departure"
resolution = 1
min_stop = 0
switch_time = 1

[breathing]
rmv = 20
deco_rmv = 15

[place]
altitude = 640
acclimatised_to = "here"
water = "fresh"
vapour = 0.0627

[earlier]
file = "first.json"
rest = 90
gas = "air"
"""
TOML_VALUES = [
    "nan", "inf", "-inf", "-1", "0", "1e308", "1e-320", "1e999", "9" * 900, "9" * 5000, "true",
    '""', '"' + "x" * 900 + '"', '"' + "x" * 90_000 + '"', "[]", "{}", "[[]]", "[" * 900,
    "[\n" * 12_000, "[" * 400 + "]" * 400, "{a = " * 190, "1979-05-27", "07:32:00", '"\\u0000"',
    '"\\ud800"', '"\\u202e"', "0x7fffffffffffffffff", '"50@21"', '["O2"]', "[[57, 20], [42, 45]]",
    "{ depth = 1 }", '"no/such/file"', '"/dev/zero"', '"."', '"first.json\\u0000"', "'''", '"""',
    "[" + "1," * 490 + "]", "[\n" + "1,\n" * 9_000 + "]", '"imperial"', "300", "57.5",
]  # fmt: skip
TOML_LINES = [
    "[dive]", "[[dive]]", "[x]", "depth = 57", "bottom_time = 25", "a." * 450 + "b = 1",
    "[" + "a." * 450 + "b]", "=", "# " + "x" * 900, "# " + "x" * 1100, "\0", "units = 3",
    'lifejacket = "yes"', "gf = [0.4, 0.8]", "dive.depth = 3", "spacing = 3", "name = 5", "\ufeff",
    "\n".join(["a" * 90 + f"{j}." + "b." * 400 + "c = 1" for j in range(30)]),
    "\n".join([f"[{'c.' * 440}d{j}]" for j in range(30)]), '"" = 1', '"\\ud83d" = 1', "x = [" * 90,
]  # fmt: skip
JSON_VALUES: list[Any] = [
    None, True, False, 0, -1, 1, 3.5, 57, 1e308, 1e-320, 10**400, float("nan"), float("inf"),
    -float("inf"), "", "x" * 100_000, "\ud800", "a\0b", "18/45", "metric", "imperial", [], {}, [[]],
    [1] * 100_000, [[1, 2]] * 3, [0.8] * 16, [float("nan")] * 16, {"a": 1}, {"schema": 1}, [None],
]  # fmt: skip


# ---- mutation ------------------------------------------------------------------------------------


def garbled(rng: random.Random, data: bytes) -> bytes:
    """Drop, double, swap or overwrite some bytes."""
    kind = rng.choice(["drop", "double", "byte", "cut", "swap", "bit"])
    begin = rng.randrange(len(data))
    end = min(len(data), begin + rng.choice([1, 1, 2, 10, 100]))
    if kind == "drop":
        return data[:begin] + data[end:]
    if kind == "double":
        return data[:end] + data[begin:end] * rng.choice([1, 1, 50]) + data[end:]
    if kind == "byte":
        return data[:begin] + rng.choice([b"\0", b"\xff", b'"', b"[", b"9", b"-"]) + data[end:]
    if kind == "cut":
        return data[:begin]
    if kind == "swap":
        return data[end:] + data[:end]
    return data[:begin] + bytes([data[begin] ^ 1 << rng.randrange(8)]) + data[begin + 1 :]


def other_dive(rng: random.Random) -> bytes:
    """Replace, add, move or drop lines of a dive file, or garble its bytes."""
    lines = DIVE.splitlines()
    for _ in range(rng.choice([1, 1, 1, 2, 3])):
        at = rng.randrange(len(lines))
        kind = rng.random()
        if kind < 0.5 and " = " in lines[at]:
            lines[at] = f"{lines[at].partition(' = ')[0]} = {rng.choice(TOML_VALUES)}"
        elif kind < 0.6:
            lines.insert(at, rng.choice(TOML_LINES))
        elif kind < 0.7:
            lines.insert(at, lines.pop(rng.randrange(len(lines))))
        elif kind < 0.8:
            lines.pop(at)
        else:
            break
    text = ("\r\n" if rng.random() < 0.1 else "\n").join(lines).encode("utf-8", "surrogatepass")
    return text if kind < 0.8 else garbled(rng, text)


def places_in(data: Any) -> list[tuple[Any, Any]]:
    """Return every table or list of a record with each of its keys."""
    inside = data.items() if isinstance(data, dict) else enumerate(data)
    found = []
    for key, value in inside:
        found.append((data, key))
        if isinstance(value, dict | list):
            found += places_in(value)
    return found


def other_record(rng: random.Random, text: str) -> Any:
    """Replace, drop or add values of a record."""
    data = json.loads(text)
    for _ in range(rng.choice([1, 1, 2, 3])):
        home, key = rng.choice(places_in(data["input"] if rng.random() < 0.7 else data)
                               if "input" in data else places_in(data))  # fmt: skip
        kind = rng.random()
        if kind < 0.7:
            home[key] = copy.deepcopy(rng.choice(JSON_VALUES))
        elif kind < 0.8:
            del home[key]
        elif isinstance(home, dict):
            home[rng.choice(["", "x", "\ud800", "x" * 1000, "depht", "1"])] = home[key]
        else:
            home.insert(0, copy.deepcopy(rng.choice(JSON_VALUES)))
        if not data:
            break
    return data


# ---- files ---------------------------------------------------------------------------------------


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "first.json").write_text(upline.plan(30, 20, "32", gf="40/80").to_json())
    return tmp_path


def recorded(record_property: Callable[[str, object], None], tally: Tally) -> tuple[int, int]:
    record_property("results and errors", tally.totals())
    record_property("slowest [s]", tally.slowest)
    return tally.totals()


def test_dive_files(folder: Path, record_property: Callable[[str, object], None]) -> None:
    rng = random.Random(SEED)
    file = folder / "dive.toml"
    file.write_text(DIVE)
    assert answered(lambda: upline.read_dive(file).plan())[1]
    tally = Tally()
    for number in range(MUTANTS):
        data = other_dive(rng)
        file.write_bytes(data)
        tally.take(f"{number}: {data[:200]!r}", lambda: upline.read_dive(file).plan())
    results, errors = recorded(record_property, tally)
    assert results > MUTANTS / 20
    assert errors > MUTANTS / 2


@pytest.mark.parametrize("line", TOML_LINES)
def test_lines_alone(folder: Path, line: str) -> None:
    file = folder / "dive.toml"
    for text in (line, f"{line}\n{DIVE}", f"{DIVE}\n{line}", "\n".join([line] * 99)):
        file.write_text(text[:30_000], encoding="utf-8")
        Tally().take(line[:100], lambda: upline.read_dive(file).plan())


@pytest.mark.parametrize(
    "make",
    [
        lambda path: path.mkdir(),
        lambda path: path.symlink_to(path),
        lambda path: path.symlink_to("/dev/zero"),
        lambda path: path.write_bytes(b"\xff\xfe" + DIVE.encode("utf-16")),
        lambda path: path.write_bytes(b"#" * 200_000),
        lambda path: path.write_bytes(b""),
        lambda path: None,
    ],
)
def test_files_that_are_no_dives(tmp_path: Path, make: Callable[[Path], object]) -> None:
    make(tmp_path / "dive.toml")
    assert not answered(lambda: upline.read_dive(tmp_path / "dive.toml").plan())[1]


# ---- records -------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", ["plan", "state"])
def test_records(kind: str, record_property: Callable[[str, object], None]) -> None:
    rng = random.Random(SEED)
    of = {"plan": upline.Plan, "state": upline.State}[kind]
    text = (PLAN if kind == "plan" else PLAN.end).to_json()
    assert answered(lambda: of.from_json(text))[1]
    tally = Tally()
    for number in range(MUTANTS):
        if number % 3 == 0:
            mutant = garbled(rng, text.encode()).decode("utf-8", "surrogateescape")
            tally.take(f"{number} bytes", lambda mutant=mutant: of.from_json(mutant))
            continue
        data = other_record(rng, text)
        tally.take(f"{number} dict", lambda data=data: of.from_dict(data))
        if number % 3 == 1:
            written = json.dumps(data)
            tally.take(f"{number} text", lambda written=written: of.from_json(written))
    results, errors = recorded(record_property, tally)
    assert results > 20
    assert errors > MUTANTS / 2


@pytest.mark.parametrize("text", ["[" * 1_000_000, '{"a":' * 100_000, "1" * 4_000_000, "x" * 10**7,
                                  " " * 10**7 + "x", "", "null", "\0", '"\\ud800"'])  # fmt: skip
@pytest.mark.parametrize("of", [upline.Plan, upline.State])
def test_texts_that_are_no_records(of: Any, text: str) -> None:
    tally = Tally()
    assert not tally.take("from_json", lambda: of.from_json(text))


# ---- command line --------------------------------------------------------------------------------

FLAGS = [
    "--depth", "--bottom-time", "--gas", "--level", "--travel", "--gf", "--model", "--rounding",
    "--resolution", "--min-stop", "--switch-time", "--spacing", "--last-stop", "--ladder",
    "--descent-rate", "--ascent-rate", "--surfacing-rate", "--max-po2", "--max-deco-po2",
    "--po2-tolerance", "--min-po2", "--rmv", "--deco-rmv", "--altitude", "--surface-pressure",
    "--water", "--acclimatised-to", "--vapour", "--earlier", "--rest", "--units",
]  # fmt: skip
FINE = [
    ["--altitude", "640"], ["--water", "fresh"], ["--units", "metric"], ["--surface-pressure", "1"],
]  # fmt: skip
WORDS = [
    "", " ", "nan", "inf", "-inf", "-1", "0", "1e308", "1e-320", "1e999", "57", "25", "6", "0.5",
    "9" * 100_000, "x" * 100_000, "\ud800", "a\0b", "\u202e", "\x1b[31m", "18/45", "50@21", "O2",
    "40/80", "(0.4, 0.8)", "21:9,0:3", "21:", ":", ",", "3,6,9", "nan:nan", "50@nan", "here",
    "fresh", "imperial", "exact", "%s", "%(prog)s", "{}", "--", "-", "@x", "--gf", "-9", "١٢",
    "/dev/zero", ".", "no/such/file", "--depth=57=3", "--no-such-flag", "--json", "--gf=",
]  # fmt: skip


def hostile_line(rng: random.Random) -> list[str]:
    if rng.random() < 0.1:
        return [rng.choice([*WORDS, "plan", "gas"]) for _ in range(rng.choice([0, 1, 2, 3, 50]))]
    line = rng.choice([
        ["plan", str(QUINCE)],
        ["plan", str(QUINCE), "--json"],
        ["plan", "--depth", "57", "--bottom-time", "25", "--gas", "18/45", "--gf", "40/80"],
        ["gas", "18/45", "--depth", "57"],
        ["gas", "32", "--json"],
    ])  # fmt: skip
    for _ in range(rng.choice([1, 1, 2, 3])):
        line += rng.choice(FINE) if rng.random() < 0.6 else [rng.choice(FLAGS), rng.choice(WORDS)]
    if rng.random() < 0.1:
        line.insert(rng.randrange(len(line)), rng.choice(WORDS))
    return line


def test_command_lines(
    capsys: pytest.CaptureFixture[str], record_property: Callable[[str, object], None]
) -> None:
    rng = random.Random(SEED)
    tally = Tally()
    codes = dict.fromkeys((0, 1, 2), 0)
    for number in range(MUTANTS):
        line = hostile_line(rng)
        tally.take(f"{number}: {ascii(line)[:300]}", lambda line=line: main(line))
        capsys.readouterr()
        code = main(line)
        out, err = capsys.readouterr()
        codes[code] += 1
        if code == 2:
            assert out == ""
            assert err.startswith("upline: ")
            assert err.count("\n") == 1
            assert " Remedy: " in err
        else:
            assert "does not make a dive safe" in " ".join(out.split())
        assert all(sign.isprintable() or sign == "\n" for sign in out + err)
    recorded(record_property, tally)
    record_property("exit codes", codes)
    assert codes[0] > MUTANTS / 20
    assert codes[2] > MUTANTS / 2

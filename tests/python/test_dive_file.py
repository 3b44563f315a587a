"""The dive file, and that its documentation is right."""

from __future__ import annotations

import re
import time
from pathlib import Path

import pytest
import upline
from hypothesis import example, given
from hypothesis import strategies as st
from upline._dive_file import TABLES, TOP_LEVEL, dive_from_toml

DOCS = Path(__file__).parents[2] / "docs"
MANUAL = (DOCS / "dive-file.md").read_text(encoding="utf-8")
NOWHERE = Path("no-such-folder")
SHORTEST = """
[dive]
depth = 57
bottom_time = 25
gases = ["18/45", "50", "O2"]
[rules]
gf = "40/80"
[ascent]
last_stop = 6
"""


def read(text: str) -> upline.DiveFile:
    return dive_from_toml(text, NOWHERE)


def refusal(text: str) -> upline.InvalidInput:
    with pytest.raises(upline.InvalidInput) as caught:
        read(text).plan()
    return caught.value


# ---- what is read --------------------------------------------------------------------------------


def test_the_demo_file(quince: upline.Plan) -> None:
    dive = upline.read_dive(DOCS / "examples" / "quince.toml")
    assert dive.plan() == quince
    assert dive.name is not None
    assert dive.name.startswith("Quince Blossom (invented)")
    first = (DOCS / "examples" / "quince.toml").read_text().index("Quince Blossom")
    assert (
        (DOCS / "examples" / "quince.toml")
        .read_text()[first:]
        .startswith("Quince Blossom (invented)")
    )


def test_every_key_reaches_the_plan() -> None:
    dive = read(
        """
        name = "a dive"
        notes = "none"
        units = "metric"
        [dive]
        levels = [[57, 20], [42, 45]]
        gases = ["18/45", ["50", 21], "O2@6"]
        travel = ["50", 17]
        [rules]
        gf = [0.35, 0.75]
        model = "ZH-L16B"
        max_po2 = 1.35
        max_deco_po2 = 1.61
        po2_tolerance = 0.02
        min_po2 = 0.17
        [ascent]
        ladder = [24, 21, 12, 9, 6]
        descent_rate = 20
        ascent_rate = [[21, 9], [6, 6], [0, 3]]
        surfacing_rate = 2
        rounding = "duration"
        resolution = 0.5
        min_stop = 1
        switch_time = 2
        [breathing]
        rmv = 20
        deco_rmv = 15
        [place]
        altitude = 640
        acclimatised_to = "here"
        water = "fresh"
        vapour = 0.0567
        """
    )
    assert (dive.name, dive.notes) == ("a dive", "none")
    assert dive.plan() == upline.plan(
        [(57, 20), (42, 45)],
        gases=["18/45", ("50", 21), ("O2", 6)],
        travel=("50", 17),
        gf="35/75",
        model="ZH-L16B",
        max_po2=1.35,
        max_deco_po2=1.61,
        po2_tolerance=0.02,
        min_po2=0.17,
        ladder=[24, 21, 12, 9, 6],
        descent_rate=20,
        ascent_rate=[(21, 9), (6, 6), (0, 3)],
        surfacing_rate=2,
        rounding="duration",
        resolution=0.5,
        min_stop=1,
        switch_time=2,
        rmv=20,
        deco_rmv=15,
        environment=upline.Environment(
            altitude=640, acclimatised_to="here", water="fresh", vapour=0.0567
        ),
    )


def test_units_hold_for_the_place_too() -> None:
    dive = read(
        'units = "imperial"\n[dive]\ndepth = 100\nbottom_time = 20\ngases = ["32"]\n'
        '[rules]\ngf = "40/80"\n[place]\naltitude = 2100\n'
    )
    assert dive.plan() == upline.plan(
        100,
        20,
        ["32"],
        gf="40/80",
        units="imperial",
        environment=upline.Environment(altitude=2100, units="imperial"),
    )


@pytest.mark.parametrize("kind", ["plan", "state"])
def test_an_earlier_dive(tmp_path: Path, quince: upline.Plan, kind: str) -> None:
    saved = quince.to_json() if kind == "plan" else quince.end.to_json()
    (tmp_path / "first.json").write_text(saved)
    file = tmp_path / "second.toml"
    file.write_text(SHORTEST + '[earlier]\nfile = "first.json"\nrest = 240\ngas = "O2"\n')
    assert upline.read_dive(file).arguments["start"] == upline.rest(quince.end, 240, "O2")


# ---- what is refused -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[dive]\ndepht = 57", 'write "depth"'),
        ("[dive]\nlast_stop = 6", "move it to [ascent]"),
        ("depth = 57", "move it to [dive]"),
        ('[dive]\nunits = "metric"', "move it to the top of the file"),
        ("[rules]\nGF = 3", 'write "gf"'),
        ("[rules]\nlaststop = 3", 'write "last_stop" in [ascent]'),
        ("[asent]\nlast_stop = 6", 'write "[ascent]"'),
        ("[environment]\naltitude = 6", "unknown key"),
        ("dive = 57", "write [dive] on a line of its own"),
        ("[[dive]]\ndepth = 57", "a table"),
        ("name = 57", "name is 57"),
        ("notes = []", "notes is"),
        ("[dive]\ndepth = [[57, 20]]", "write levels"),
        ("[dive]\nlevels = 57", "levels is 57"),
        ("[dive]\nlevels = [[57, 20]]\ndepth = 57", "given beside levels"),
        ("[dive]\nlevels = [[57, 20]]\nbottom_time = 57", "given beside levels"),
        ("[dive]\ndepth = 57 m", "write 57, without a unit"),
        ("[dive]\ndepth = 57,5", "write 57.5, with a decimal point"),
        ("[dive]\ndepth = 57.5 abc", "mend that line"),
        ('{"schema": 1}', "dive file is JSON"),
        ("[dive]\ndepth = 57\ndepth = 58", "no TOML"),
        ("[earlier]\nrest = 90", "[earlier] file is missing"),
        ('[earlier]\nfile = "first.json"', "[earlier] rest is missing"),
        ('[earlier]\nfile = "first.json"\nrest = 90', "cannot be read"),
        ("[earlier]\nfile = 3\nrest = 90", "put it in quotes"),
        ("", "depth is missing"),
    ],
)
def test_wrong_keys_and_values_say_what_is_right(text: str, says: str) -> None:
    assert says in str(refusal(text))


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ("depth = 57 -> depth = '57'", "depth"),
        ("depth = 57 -> depth = true", "depth"),
        ("depth = 57 -> depth = 1979-05-27", "depth"),
        ("depth = 57 -> depth = nan", "depth"),
        ("depth = 57 -> depth = {}", "depth"),
        ("bottom_time = 25 -> bottom_time = 'long'", "bottom_time"),
        ('gases = ["18/45", "50", "O2"] -> gases = 18', "gas"),
        ('gases = ["18/45", "50", "O2"] -> ', "gases"),
        ('gf = "40/80" -> gf = 40', "gf"),
        ('gf = "40/80" -> gf = [40, 80]', "gf"),
        ('gf = "40/80" -> ', "gf"),
        ("last_stop = 6 -> last_stop = [6]", "last_stop"),
        ("last_stop = 6 -> rounding = 'up'", "rounding"),
        ("last_stop = 6 -> ascent_rate = [[9]]", "ascent_rate"),
    ],
)
def test_wrong_kinds_of_value_name_their_key(changed: str, field: str) -> None:
    before, after = changed.split(" -> ")
    assert before in SHORTEST
    assert refusal(SHORTEST.replace(before, after)).field == field


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    broken = tmp_path / "broken.toml"
    broken.write_bytes(b"\xff\xfe")
    large = tmp_path / "large.toml"
    large.write_bytes(b"#\n" * 50_001)
    for path, says in (
        (tmp_path / "none.toml", "cannot be read"),
        (tmp_path, "cannot be read"),
        ("a\0b", "cannot be read"),
        (broken, "UTF-8"),
        (large, "larger than 30 kB"),
    ):
        with pytest.raises(upline.InvalidInput, match=says):
            upline.read_dive(path)
    for path in (None, 0, b"quince.toml"):
        with pytest.raises(upline.WrongType):
            upline.read_dive(path)


@given(st.text())
@example("[" * 100_000)
@example("a = " + "[" * 50_000)
@example("a." * 50_000 + "b = 1")
@example("depth = " + "9" * 10_000)
@example("a = \ud800")
@example(("a." * 499 + "b = 1\n") * 100)
def test_any_text_is_read_or_refused(text: str) -> None:
    message = "read"
    began = time.perf_counter()
    try:
        read(text)
    except upline.Error as error:
        message = str(error)
    assert 0 < len(message) < 1000
    assert time.perf_counter() - began < 1.0


keys = st.sampled_from([(table, key) for table, keys_ in TABLES.items() for key in keys_])
words = st.sampled_from(
    ["1", "-1", "6", "57", "nan", "inf", "1e308", '"air"', '"40/80"', '"here"', "true", "[]",
     "[[]]", '["air", "50"]', "[[57, 20], [42, 45]]", "{}", "{a = 1}", '"\\u0000"', "1979-05-27"]
)  # fmt: skip


@given(st.dictionaries(keys, words, min_size=1, max_size=3))
def test_any_values_are_planned_or_refused(changes: dict[tuple[str, str], str]) -> None:
    stated = {
        ("dive", "depth"): "57",
        ("dive", "bottom_time"): "25",
        ("dive", "gases"): '["18/45", "50", "O2"]',
        ("rules", "gf"): '"40/80"',
        **changes,
    }
    text = "".join(
        f"[{table}]\n" + "".join(f"{k} = {word}\n" for (t, k), word in stated.items() if t == table)
        for table in TABLES
        if any(t == table for t, _ in stated)
    )
    try:
        run_time = read(text).plan().run_time
    except upline.Error:
        return
    assert run_time > 0


# ---- the manual ----------------------------------------------------------------------------------


def test_the_manual_lists_every_key_under_its_table() -> None:
    sections = dict(re.findall(r"^## (.+?)\n(.*?)(?=^## |\Z)", MANUAL, re.MULTILINE | re.DOTALL))
    for heading, table in (
        ("Top of the file", TOP_LEVEL),
        *((f"`[{name}]`", keys_) for name, keys_ in TABLES.items()),
    ):
        listed = re.findall(r"^\| `(\w+)` \|", sections[heading], re.MULTILINE)
        assert sorted(listed) == sorted(table)


def test_the_examples_of_the_manual_are_dives(quince: upline.Plan) -> None:
    examples = re.findall(r"^```toml\n(.*?)^```", MANUAL, re.MULTILINE | re.DOTALL)
    assert len(examples) == 2
    plans = [read(text).plan() for text in examples]
    assert plans[0] == quince
    assert plans[1].run_time > 35


def test_the_defaults_of_the_manual_are_those_of_plan() -> None:
    given_ = upline.plan(30, 20, "32", gf="40/80").arguments
    stated = dict(re.findall(r"^\| `(\w+)` \| `?\"?([\w./-]+)\"?`? \|", MANUAL, re.MULTILINE))
    compared = 0
    for key, text in stated.items():
        if key in given_ and given_[key] is not None and key not in ("environment", "gases"):
            value = given_[key]
            assert text == value if isinstance(value, str) else float(text) == value, key
            compared += 1
    assert compared >= 8

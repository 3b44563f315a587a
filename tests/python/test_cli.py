"""The command line: what it prints, where, and with which exit code."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
import upline
from upline._cli import main

QUINCE = str(Path(__file__).parents[2] / "docs" / "examples" / "quince.toml")
FLAGS = ["--depth", "57", "--bottom-time", "25", "--gas", "18/45", "--gas", "50", "--gas", "O2"]
RULES = ["--gf", "40/80", "--last-stop", "6"]
FOOT = "It does not make a dive safe"


class Ran:
    """One run of the command line."""

    def __init__(self, capsys: pytest.CaptureFixture[str], *arguments: str) -> None:
        self.code = main(arguments)
        self.out, self.err = capsys.readouterr()

    @property
    def data(self) -> dict[str, object]:
        return json.loads(self.out, parse_constant=lambda name: pytest.fail(f"{name} is no JSON"))


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]):
    return lambda *arguments: Ran(capsys, *arguments)


def one_line(text: str) -> str:
    assert text.count("\n") == 1
    assert text.startswith("upline: ")
    return text


# ---- plan ----------------------------------------------------------------------------------------


def test_the_demo_file_prints_the_plan(run, quince: upline.Plan) -> None:
    ran = run("plan", QUINCE)
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.startswith("Quince Blossom (invented)")
    assert ran.out.endswith(str(quince))
    assert FOOT in " ".join(ran.out.split())


def test_flags_say_the_same_as_the_file(run, quince: upline.Plan) -> None:
    assert run("plan", *FLAGS, *RULES).out == str(quince)


def test_json_is_the_record_of_the_plan(run, quince: upline.Plan) -> None:
    ran = run("plan", QUINCE, "--json")
    assert ran.code == 0
    assert ran.data["name"].startswith("Quince Blossom (invented)")
    assert upline.Plan.from_json(ran.out) == quince
    assert FOOT in ran.data["foot"]
    assert ran.data["no_time_to_fly"] == "No time to fly is computed here."


def test_every_flag_reaches_the_plan(run) -> None:
    ran = run(
        "plan", "--json", *FLAGS, "--gf", "35/75", "--model", "ZH-L16B", "--rounding", "duration",
        "--resolution", "0.5", "--min-stop", "1", "--switch-time", "2",
        "--ladder", "27,24,21,12,9,6", "--descent-rate", "20", "--ascent-rate", "21:9,6:6,0:3",
        "--surfacing-rate", "2", "--travel", "50@17", "--max-po2",
        "1.35", "--max-deco-po2", "1.61", "--po2-tolerance",
        "0.02", "--min-po2", "0.17", "--rmv", "20", "--deco-rmv", "15", "--altitude", "640",
        "--acclimatised-to", "here", "--water", "fresh", "--vapour", "0.0567",
    )  # fmt: skip
    place = upline.Environment(altitude=640, acclimatised_to="here", water="fresh", vapour=0.0567)
    assert upline.Plan.from_json(ran.out) == upline.plan(
        57,
        25,
        ["18/45", "50", "O2"],
        gf="35/75",
        model="ZH-L16B",
        rounding="duration",
        resolution=0.5,
        min_stop=1,
        switch_time=2,
        ladder=[27, 24, 21, 12, 9, 6],
        descent_rate=20,
        ascent_rate=[(21, 9), (6, 6), (0, 3)],
        surfacing_rate=2,
        travel=("50", 17),
        max_po2=1.35,
        max_deco_po2=1.61,
        po2_tolerance=0.02,
        min_po2=0.17,
        rmv=20,
        deco_rmv=15,
        environment=place,
    )


def test_flags_replace_keys_of_the_file(run) -> None:
    base = upline.read_dive(QUINCE).arguments

    def expect(flags: str, **changed: object) -> None:
        arguments = {**base, **changed}
        if "ladder" in changed:
            arguments.pop("last_stop")
        assert upline.Plan.from_json(
            run("plan", QUINCE, "--json", *flags.split()).out
        ) == upline.plan(**arguments)

    expect("--depth 60", depth=60)
    expect("--bottom-time 30 --gf 30/70", bottom_time=30, gf="30/70")
    expect("--ladder 27,24,21,12,9,6", ladder=[27, 24, 21, 12, 9, 6])
    expect("--level 57:20 --level 42:45", depth=[(57, 20), (42, 45)], bottom_time=None)
    expect("--gas 18/45 --gas 50@18", gases=["18/45", "50@18"])
    expect("--water fresh", environment=upline.Environment(water="fresh"))


def test_place_flags_are_added_to_the_place_of_the_file(run, tmp_path: Path) -> None:
    file = tmp_path / "dive.toml"
    file.write_text(
        '[dive]\ndepth=30\nbottom_time=20\ngases=["32"]\n[rules]\ngf="40/80"\n'
        '[place]\nsurface_pressure=0.9\nwater="fresh"\n'
    )
    plan = upline.Plan.from_json(run("plan", str(file), "--altitude", "640", "--json").out)
    assert plan.arguments["environment"] == upline.Environment(altitude=640, water="fresh")


def test_imperial(run) -> None:
    ran = run(
        "plan", "--units", "imperial", "--depth", "190", "--bottom-time", "25", "--gas", "18/45",
        "--gas", "50@70", "--gas", "O2", "--gf", "40/80",
    )  # fmt: skip
    assert ran.code == 0
    assert "190 ft for 25 min" in ran.out
    assert "ft/min" in ran.out


def test_an_earlier_dive(run, tmp_path: Path, quince: upline.Plan) -> None:
    first = tmp_path / "first.json"
    first.write_text(run("plan", QUINCE, "--json").out)
    second = run("plan", QUINCE, "--earlier", str(first), "--rest", "180", "--json")
    expected = upline.plan(
        57,
        25,
        ["18/45", "50", "O2"],
        gf="40/80",
        last_stop=6,
        start=upline.rest(quince.end, 180),
    )
    assert upline.Plan.from_json(second.out) == expected
    assert second.code == (1 if expected.refused else 0)
    half = run("plan", QUINCE, "--earlier", str(first))
    assert half.code == 2
    assert "rest is missing" in half.err


def test_a_refused_plan_is_printed_and_exits_1(run) -> None:
    ran = run("plan", QUINCE, "--gf", "40/120")
    assert ran.code == 1
    assert "refuses: The high gradient factor is 120 %" in " ".join(ran.out.split())
    assert "refused" in one_line(ran.err)
    assert run("plan", QUINCE, "--gf", "40/120", "--json").data["refused"] is True


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        ("", "a command is missing"),
        ("plna", "write upline plan; there are plan, slate, check, supply, kit, gas and blend."),
        ("frobnicate", "'plan', 'slate', 'check', 'supply', 'kit', 'gas', 'blend'"),
        ("plan", "depth, bottom_time, gases and gf are missing"),
        ("plan --depth 57 --gf 40/80", "bottom_time and gases are missing"),
        ("plan --depth 57 --bottom-time 25 --gf 40/80", "gases is missing"),
        ("plan --depth 57 --bottom-time 25 --gas 18/45", "gf is missing"),
        ("plan --depht 57", "Remedy: write --depth."),
        ("plan --bottomtime=25", "Remedy: write --bottom-time."),
        ("plan --bottom 25", "Remedy: write --bottom-time."),
        ("plan --depth deep", '"deep" is no number'),
        ("plan --depth", "expected one argument"),
        ("plan --depth nan --bottom-time 25 --gas air --gf 40/80", "depth is not a number"),
        ("plan --level 57 --gas 18/45 --gf 40/80", "no pair of numbers"),
        ("plan --depth 57 --level 57:25", "one of them"),
        ("plan --travel 50", "no mix with a depth"),
        (f"plan {QUINCE} --water salt", 'water is "salt"'),
        ("plan no-such-file.toml", "cannot be read"),
        ("plan .", "cannot be read"),
        ("gas", "MIX"),
        ("gas 3", "4 to 100 per cent oxygen"),
        ("gas 32 --depth 999", "depth is 999 m"),
        ("gas 32 --gf 40/80", '"--gf" is no argument'),
    ],
)
def test_unusable_input_exits_2_with_one_line(run, arguments: str, says: str) -> None:
    ran = run(*arguments.split())
    assert (ran.code, ran.out) == (2, "")
    assert says in one_line(ran.err)


def test_a_dive_that_cannot_be_dived_exits_2(run) -> None:
    ran = run("plan", "--depth", "57", "--bottom-time", "25", "--gas", "32", "--gf", "40/80")
    assert ran.code == 2
    assert "name a higher max_po2" in one_line(ran.err)


# ---- gas -----------------------------------------------------------------------------------------


def test_gas_says_every_number_with_its_convention(run) -> None:
    ran = run("gas", "18/45", "--depth", "57")
    assert (ran.code, ran.err) == (0, "")
    lines = [" ".join(line.split()) for line in ran.out.splitlines()]
    for line in (
        "18/45: 18 % oxygen, 45 % helium, 37 % nitrogen",
        "gauge metres, 1.01325 bar at the surface",
        "maximum operating depth 67.6 m at 1.4 bar of oxygen, rounded down",
        "maximum operating depth 78.7 m at 1.6 bar of oxygen, rounded down",
        "minimum depth 0.0 m at 0.18 bar of oxygen, rounded up",
        "oxygen pressure 1.21 bar at 57 m",
        "equivalent narcotic depth 26.8 m at 57 m, oxygen counted as narcotic",
        "equivalent narcotic depth 21.3 m at 57 m, nitrogen alone",
        "equivalent air depth 21.3 m at 57 m",
        "density 5.30 g/L at 57 m, gas at 0 degrees C (published limits 5.2 and 6.2)",
    ):
        assert line in lines
    assert FOOT in " ".join(lines)


def test_gas_rounds_to_the_safe_side(run) -> None:
    data = run("gas", "10/50", "--json").data
    for one in data["maximum_operating_depth"]:
        assert 0 <= one["depth"] - one["rounded_down"] < 0.1
    assert 0 <= data["minimum_depth"]["rounded_up"] - data["minimum_depth"]["depth"] < 0.1
    assert data["minimum_depth"]["rounded_up"] == 7.9
    assert FOOT in data["foot"]
    # 1.4 bar of 28 % is at 39.8675 m, and of oxygen at 3.8675 m: never rounded to 39.9 and 3.9
    assert " 39.8 m " in run("gas", "28").out
    assert " 3.8 m " in run("gas", "O2").out


def test_gas_at_a_place_in_feet(run) -> None:
    ran = run("gas", "50", "--depth", "80", "--units", "imperial", "--altitude", "2000")
    assert "gauge feet, 0.94213 bar at the surface" in ran.out
    assert "80 ft is deeper than the maximum operating depth at 1.6 bar." in ran.out
    assert (
        run("gas", "50", "--water", "sea")
        .out.splitlines()[1]
        .startswith("true metres of sea water")
    )
    shallow = run("gas", "10/70", "--depth", "3")
    assert "3 m is shallower than the minimum depth." in shallow.out
    assert "less than 0" in shallow.out


# ---- as a program --------------------------------------------------------------------------------


def program(*arguments: str, **options: object) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "upline", *arguments],
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
        **options,
    )


def test_it_runs_as_a_program() -> None:
    ran = program("--version")
    assert (ran.returncode, ran.stdout, ran.stderr) == (0, f"upline {upline.__version__}\n", "")
    ran = program("plan", "no-such-file.toml")
    assert ran.returncode == 2
    assert "Traceback" not in ran.stderr
    ran = program("plan", "--help")
    assert ran.returncode == 0
    assert "--bottom-time MIN" in ran.stdout


def test_a_terminal_without_unicode_is_no_obstacle(tmp_path: Path) -> None:
    file = tmp_path / "dive.toml"
    file.write_text(
        'name = "Löwe \\u001b[2J 潜 (invented)"\n[dive]\ndepth=30\nbottom_time=20\ngases=["32"]\n'
        '[rules]\ngf="40/80"\n',
        encoding="utf-8",
    )
    ran = program("plan", str(file), env={**os.environ, "PYTHONIOENCODING": "ascii"})
    assert ran.returncode == 0, ran.stderr
    assert ran.stdout.startswith("L?we ?[2J ? (invented)")


def test_a_reader_that_stops_early_gets_no_traceback() -> None:
    with subprocess.Popen(
        [sys.executable, "-m", "upline", "plan", QUINCE],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        assert "Traceback" not in process.stderr.read()


def test_a_file_is_not_read_in_the_other_system(run) -> None:
    """57 m must never become 57 ft."""
    refused = run("plan", QUINCE, "--units", "imperial")
    assert refused.code == 2
    assert "--units" in one_line(refused.err)
    assert run("plan", QUINCE, "--units", "metric").code == 0

"""Slips on the command line: what a newcomer types, and the way out that the message names."""

from __future__ import annotations

import inspect
import re
import shlex
from pathlib import Path

import pytest
import upline
from upline._cli import gas as gas_command
from upline._cli import main

QUINCE = str(Path(__file__).parents[2] / "docs" / "examples" / "quince.toml")
DIVE = "--depth 57 --bottom-time 25 --gas 18/45 50 O2"


def refusal(capsys: pytest.CaptureFixture[str], arguments: list[str]) -> str:
    """Return the one line that a command ends with which could not be run."""
    code = main(arguments)
    out, err = capsys.readouterr()
    assert (code, out) == (2, "")
    assert re.fullmatch(r"upline: .*\. Remedy: .*\.\n", err), err
    return err


# ---- what was meant is proposed ------------------------------------------------------------------


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        # nothing, or not enough
        ("plan", "name a dive file, upline plan FILE.toml, or write --depth D --bottom-time MIN"),
        ("plan --gas 18/45 50 O2", "depth, bottom_time and gf are missing"),
        ("plan --gas 18/45", "Remedy: add --depth D --bottom-time MIN --gf LOW/HIGH"),
        (f"plan {DIVE}", "gf is missing; gradient factors decide"),
        (f"plan {DIVE}", "Remedy: add --gf LOW/HIGH (such as --gf 40/80)."),
        ("check 24/2_21/1", "--bottom-time MIN --gas MIX ..., or write it into the table"),
        (f"check 24/2_21/1_6/20 {DIVE}", "Remedy: add --gf LOW/HIGH (such as --gf 40/80)"),
        ("check", "upline check TABLE"),
        ("check --gas 18/45 50", "upline check TABLE"),
        ("plan QUINCE --rest 90", "--earlier is missing"),
        ("plan QUINCE --earlier QUINCE", "--rest is missing"),
        # words without a flag
        ("plan 57 25 18/45 50 O2 40/80",
         "write --depth 57 --bottom-time 25 --gas 18/45 50 O2 --gf 40/80."),
        ("plan 18/45 50", "write --gas 18/45 50."),
        ("plan --depth 57 18/45 50@21 O2", "write --gas 18/45 50@21 O2."),
        ("plan --level 57:20 42:45", "write --level 42:45."),
        ("plan --depth 57 --gf 40 80", "write --gf 40/80."),
        ("plan QUINCE 18/45", "18/45 stands without a flag. Remedy: write --gas 18/45."),
        ("plan QUINCE QUINCE", "give one file, and everything else by flags"),
        ("plan --depth 57 --bottom-time 25 18/45 50", "write --gas 18/45 50."),
        ("plan 25 --depth 57 --gas 18/45", "write --bottom-time 25."),
        ("plan QUINCE --ladder 21 12 6", "write --ladder 21,12,6."),
        ("check 24/2 21/1 6/20", "write upline check '24/2 21/1 6/20'."),
        ("check 24/2_21/1 57 25", "write --depth 57 --bottom-time 25."),
        ("gas trimix 18/45", 'upline gas "trimix 18/45"'),
        ("gas 18/45 57", "write --depth 57"),
        ("gas 18/45 50", "write --depth 50"),
        ("gas 18/45 O2", "one mix at a time"),
        # the wrong place, or the wrong name
        ("QUINCE", "Remedy: write upline plan "),
        ("--depth 57 plan", "name the command first"),
        ("plan --time 25", "write --bottom-time."),
        ("plan --feet", "write --units imperial."),
        ("gas 32 --time 25", "see upline gas --help"),
        ("plan QUINCE --sac 20", "write --rmv."),
        ("chek QUINCE", "write upline check"),
        ("plan QUINCE --gas 45/18 50 O2", "18/45 if that is meant"),
        ("gas 1845", 'write "18/45" if that is meant'),
        # numbers
        ("plan QUINCE --depth 57,5", "write 57.5, with a decimal point"),
        ("plan QUINCE --depth 57m", "write 57, without a unit)"),
        ("plan QUINCE --depth 190ft", "write 190, without a unit, and --units imperial"),
        ("plan QUINCE --ascent-rate 9m/min", "write 9, without a unit"),
        ("plan QUINCE --bottom-time 0:25", "write minutes as one number"),
        ("plan QUINCE --ladder 21_12_6", "several only to --ladder, as 21,12,6"),
        ("plan QUINCE --depth deep", "write it as 57.5"),
        ("plan QUINCE --gas 50 18/45", "the bottom gas stands first"),
        ("plan QUINCE --depth 190", 'for feet state units="imperial"'),
        # words
        ("plan QUINCE --water freshwater", 'Remedy: write "fresh".'),
        ("plan QUINCE --water salt", 'Remedy: write "sea".'),
        ("plan QUINCE --water Seawater", 'Remedy: write "sea".'),
        ("plan QUINCE --water mud", "or a density [kg/m3]"),
        ("plan QUINCE --acclimatised-to sea", "write 0, the height of the sea"),
        (f"plan {DIVE} --gf 40/80 --units feet", 'write "imperial", which is feet'),
        (f"plan {DIVE} --gf 40/80 --units meters", 'write "metric", which is metres'),
        ("plan QUINCE --gf 80/40", 'write the low one first: "40/80"'),
        ("plan QUINCE --gf 40-80", 'write "40/80"'),
        ("plan QUINCE --gf 40", "write both factors, low and high"),
        ("plan QUINCE --gas 18/45,50,O2", 'give each mix by itself: "18/45", "50", "O2"'),
        ("plan QUINCE --gas nitrox 32", 'write the numbers in the same text: "nitrox32"'),
        # the wrong file
        ("plan QUINCE --earlier QUINCE --rest 90", "upline plan quince.toml --json > earlier.json"),
        ("check QUINCE --gf 40/80", "is a dive file"),
    ],
)  # fmt: skip
def test_a_slip_is_answered_with_the_right_form(
    capsys: pytest.CaptureFixture[str], arguments: str, says: str
) -> None:
    words = [QUINCE if word == "QUINCE" else word.replace("_", " ") for word in arguments.split()]
    assert says in refusal(capsys, words)


def test_a_plan_as_data_is_no_dive_file(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], quince: upline.Plan
) -> None:
    saved = tmp_path / "quince.json"
    saved.write_text(quince.to_json())
    assert "dive file is JSON" in refusal(capsys, ["plan", str(saved)])


def test_the_file_of_an_earlier_dive_that_is_no_json(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "earlier.txt").write_text("57 m for 25 min on 18/45\n")
    given = ["plan", QUINCE, "--earlier", str(tmp_path / "earlier.txt"), "--rest", "90"]
    message = refusal(capsys, given)
    assert '--earlier is "earlier.txt", which is no JSON' in message
    assert "upline plan FILE.toml --json > earlier.json" in message


# ---- what is meant is taken ----------------------------------------------------------------------


@pytest.mark.parametrize(
    "arguments",
    [
        f"plan {DIVE} --gf 40/80 --last-stop 6",
        "plan --gas 18/45 --gas 50 O2 --depth 57 --bottom-time 25 --gf 40/80 --last-stop 6",
        "plan QUINCE --gas Tx18/45 EAN50 oxygen",
        "plan --gas 18/45 50 O2 QUINCE",
    ],
)
def test_gases_stand_behind_one_flag_or_several(
    capsys: pytest.CaptureFixture[str], arguments: str, quince: upline.Plan
) -> None:
    words = [QUINCE if word == "QUINCE" else word for word in arguments.split()]
    assert main([*words, "--json"]) == 0
    assert upline.Plan.from_json(capsys.readouterr().out) == quince


def test_a_table_behind_gases_is_found(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    table = tmp_path / "table.txt"
    table.write_text("27/2 24/2 21/2 18/2 15/3 12/5 9/7 6/24\n")
    given = ["--depth", "57", "--bottom-time", "25", "--gf", "40/80", "--gas", "18/45", "50", "O2"]
    codes = [main(["check", *given, str(table)]), main(["check", str(table), *given])]
    first, second = capsys.readouterr().out.split("\n\n", 1)[0], codes[0]
    assert codes == [second, second]
    assert second in (0, 1, 3)
    assert "40/80" in first


# ---- help ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("command", ["plan", "check", "gas"])
def test_help_shows_an_example_that_runs(
    command: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(Path(__file__).parents[2])
    with pytest.raises(SystemExit):
        main([command, "--help"])
    shown = capsys.readouterr().out
    examples = re.findall(
        r"^  upline (.*)$", shown.partition("example:")[2].replace("\\\n", " "), re.M
    )
    assert examples
    for example in examples:
        assert main(shlex.split(example)) in (0, 1, 3), example
    assert "It does not make a dive safe" in " ".join(shown.split())


def test_the_least_oxygen_of_a_plan_is_the_one_that_the_sheet_of_a_gas_names(
    capsys: pytest.CaptureFixture[str],
) -> None:
    least = inspect.signature(upline.plan).parameters["min_po2"].default
    assert least == gas_command.PLAN_MIN_PO2
    assert main(["gas", "12/60"]) == 0
    shown = capsys.readouterr().out
    assert (
        f"A plan cautions below 0.18 bar; the least it lets anybody breathe, min_po2, is {least}"
        in shown
    )


def test_a_mix_that_may_be_nitrox_is_asked_about(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["gas", "50/50"]) == 0
    assert "caution: 50/50 is read as 50 % oxygen and 50 % helium" in capsys.readouterr().out
    assert main(["gas", "50"]) == 0
    assert "caution:" not in capsys.readouterr().out

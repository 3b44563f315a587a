"""Kit files and the command ``kit``."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import upline
from upline._cli import main

ROOT = Path(__file__).parents[2]
KIT = ROOT / "docs" / "examples" / "quince_kit.toml"
DIVE = ROOT / "docs" / "examples" / "quince.toml"
CHOSEN = ["--oxygen-line", "40", "--day", "2026-11-25"]
SHORT = """
[choice]
oxygen_line = 40
day = 2026-11-25
[[set]]
name = "rich"
gas = "50"
[[set.item]]
kind = "valve"
name = "valve A"
"""


def refusal(tmp_path: Path, text: str) -> str:
    path = tmp_path / "kit.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(upline.InvalidInput) as caught:
        upline.read_kit(path)
    return str(caught.value)


def test_a_file_is_what_its_keys_say(tmp_path: Path) -> None:
    path = tmp_path / "kit.toml"
    path.write_text(SHORT, encoding="utf-8")
    kit = upline.read_kit(path)
    assert kit.sets == (upline.KitSet("rich", "50", [upline.KitItem("valve", "valve A")]),)
    assert kit.choice["oxygen_line"] == 40
    assert upline.fitness(kit.sets, **kit.choice).verdict == "unknown"


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("", "add [[set]]"),
        ("= 1", "no TOML"),
        ("colour = 1", "unknown key"),
        (SHORT.replace("gas =", "gaz ="), 'write "gas"'),
        (SHORT.replace('gas = "50"\n', ""), "add gas"),
        (SHORT.replace('kind = "valve"\n', ""), "add kind"),
        (SHORT.replace("[[set.item]]", "[[set.items]]"), 'write "item"'),
        (SHORT.replace("[[set]]", "[set]").replace("[[set.item]]", "[set.item]"), "two brackets"),
        (SHORT.replace("oxygen_line", "oxygen_lime"), 'write "oxygen_line"'),
        (SHORT + "largest_oxigen = 1.0\n", 'write "largest_oxygen"'),
        (SHORT + "largest_oxygen = 40\n", "largest_oxygen of"),
        (SHORT + 'materials = ["kryptonite"]\n', "write one of these words"),
        ("units = 3\n" + SHORT, "units"),
        ("choice = 3\n" + SHORT.replace("[choice]", ""), "unknown key"),
        ("# " + "x" * 1001 + SHORT, "1000 characters"),
    ],
)
def test_slips_are_answered(tmp_path: Path, text: str, part: str) -> None:
    assert part in refusal(tmp_path, text)


def test_the_command_exits_by_the_worst(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    assert main(["kit", str(KIT), "--dive", str(DIVE), *CHOSEN]) == 1
    shown = " ".join(capsys.readouterr().out.split())
    assert "Kit: not fit" in shown
    assert "Nothing was inspected; this certifies no equipment." in shown
    assert "It does not make a dive safe" in shown

    text = KIT.read_text(encoding="utf-8")
    starts = [at for at in range(len(text)) if text.startswith("[[set]]", at)]
    head, back, rich = text[: starts[0]], text[starts[0] : starts[1]], text[starts[1] : starts[2]]
    path = tmp_path / "kit.toml"
    path.write_text(head + back, encoding="utf-8")
    assert main(["kit", str(path), "--dive", str(DIVE), *CHOSEN]) == 0
    path.write_text(head + back + rich, encoding="utf-8")
    assert main(["kit", str(path), "--dive", str(DIVE), *CHOSEN]) == 3
    assert main(["kit", str(path), *CHOSEN]) == 3  # no dive: where it is breathed is unknown


def test_the_command_refuses_what_it_cannot_use(capsys: pytest.CaptureFixture[str]) -> None:
    def error(*argv: str) -> str:
        assert main(["kit", *argv]) == 2
        return capsys.readouterr().err

    assert "oxygen_line is missing" in error(str(KIT), "--day", "2026-11-25")
    assert "day is missing" in error(str(KIT), "--oxygen-line", "40")
    assert "22, 23.5, 25 or 40" in error(str(KIT), "--oxygen-line", "30", "--day", "2026-11-25")
    assert "cannot be read" in error("missing.toml", *CHOSEN)
    assert "cannot be read" in error(str(KIT), "--dive", "missing.toml", *CHOSEN)
    assert "--oxygen-line" in error(str(KIT), "--oxygen-lin", "40")
    assert "FILE.toml" in error()


def test_the_command_gives_data(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["kit", str(KIT), "--dive", str(DIVE), *CHOSEN, "--json"]) == 1
    data = json.loads(capsys.readouterr().out)
    assert data["verdict"] == "not fit"
    assert [one["verdict"] for one in data["sets"]] == ["fit", "unknown", "not fit"]
    assert data["foot"]
    assert "invented" in data["name"]


def test_flags_replace_what_the_file_chose(capsys: pytest.CaptureFixture[str]) -> None:
    flags = [*CHOSEN, "--water-temperature", "1", "--json"]
    main(["kit", str(KIT), "--dive", str(DIVE), *flags])
    data = json.loads(capsys.readouterr().out)
    assert [one["verdict"] for one in data["sets"]] == ["not fit"] * 3

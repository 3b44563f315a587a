"""The command ``slate``."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import upline
from test_cli import QUINCE, Ran, one_line

D = upline.Deviation
FLAGS = ["--depth", "57", "--bottom-time", "25", "--gas", "18/45", "50", "O2", "--gf", "40/80"]


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]):
    return lambda *arguments: Ran(capsys, *arguments)


def test_the_demo_file_is_cut_under_its_name(run, quince: upline.Plan) -> None:
    ran = run("slate", QUINCE)
    assert (ran.code, ran.err) == (0, "")
    assert ran.out == upline.slate(quince, dive="Quince Blossom (invented), along the keel").text


def test_every_flag_reaches_the_slate(run, quince: upline.Plan) -> None:
    ran = run(
        "slate", *FLAGS, "--last-stop", "6", "--if-late", "5", "--if-deeper", "3",
        "--if-deeper-and-late", "3:5", "--if-lost", "50", "--if-lost", "50,O2",
        "--lost-last-stop", "3", "--if-switch-late", "2", "--if-slow", "6", "--dive", "a",
        "--date", "b", "--team", "c", "--surface-support", "yes", "--analysis", "50=50.4",
        "--analysis", "18/45=18.2/44.6", "--turn-pressure", "120", "--reserve", "60",
    )  # fmt: skip
    assert ran.code == 0
    assert ran.out == str(
        upline.slate(
            quince,
            [
                D(later=5),
                D(deeper=3),
                D(deeper=3, later=5),
                D(lost="50", last_stop=3),
                D(lost=["50", "O2"], last_stop=3),
                D(late_switch=2),
                D(ascent_rate=6),
            ],
            dive="a",
            date="b",
            team="c",
            surface_support="yes",
            analysis={"50": 50.4, "18/45": (18.2, 44.6)},
            turn_pressure=120,
            reserve=60,
        )
    )


def test_a_file_that_names_its_team_names_it_on_the_slate(run) -> None:
    team = [QUINCE.replace("quince.toml", "quince_team.toml"), "--bottom-time", "11"]
    assert "\nAda, Ben, Cleo\n" in run("slate", *team).out
    assert "\nDora (invented)\n" in run("slate", *team, "--team", "Dora (invented)").out


def test_the_turn_pressure_of_a_diver_is_that_of_the_reserve(run) -> None:
    path = QUINCE.replace("quince.toml", "quince_team.toml")
    file = upline.read_dive(path)
    plan = upline.plan(57, 11, ["18/45", "50", "O2"], gf="40/80", last_stop=6)
    kept = upline.reserves(plan, file.divers, **file.reserve)
    turn = max(
        one.reading for one in kept.requirements if (one.diver, one.what) == ("Cleo", "sharing")
    )
    ran = run("slate", path, "--bottom-time", "11", "--diver", "Cleo")
    assert f"Turn pressure, 18/45: {-(-turn // 1):.0f} bar" in ran.out
    assert "\nCleo\n" in ran.out
    low = run("slate", path, "--bottom-time", "11", "--diver", "Cleo", "--turn-pressure", "60")
    assert low.code == 2
    assert "--turn-pressure is 60; allowed: 135 or more" in one_line(low.err)
    own = run("slate", path, "--bottom-time", "11", "--diver", "Cleo", "--turn-pressure", "200")
    assert "Turn pressure, 18/45: 200 bar" in own.out
    assert "Turn pressure, 18/45: ____" in run("slate", path, "--bottom-time", "11").out
    wrong = run("slate", path, "--bottom-time", "11", "--diver", "Dora")
    assert wrong.code == 2
    assert "Ada, Ben, Cleo" in one_line(wrong.err)


def test_a_reserve_that_does_not_close_forbids_the_slate(run, tmp_path: Path) -> None:
    path = QUINCE.replace("quince.toml", "quince_team.toml")
    ran = run("slate", path)
    assert (ran.code, ran.out) == (1, "")
    assert "does not close on this dive; it does up to 11 min" in one_line(ran.err)
    late = run("slate", path, "--bottom-time", "11", "--if-late", "3")
    assert (late.code, late.out) == (1, "")
    assert "does not close on the row 'if 3 min late'" in one_line(late.err)
    both = run("slate", path, "--bottom-time", "11", "--if-lost", "50,O2")
    assert both.code == 1
    assert "takes more gas than Ada, Ben, Cleo will have" in one_line(both.err)
    assert run("slate", path, "--bottom-time", "11", "--if-lost", "50").code == 0
    exact = run("slate", path, "--bottom-time", "11", "--rounding", "exact")
    assert exact.code == 2
    assert "whole minutes" in one_line(exact.err)
    text = Path(path).read_text(encoding="utf-8")
    lacking = tmp_path / "team.toml"
    lacking.write_text(text.replace("sharing = 2", "# sharing"), encoding="utf-8")
    ran = run("slate", str(lacking), "--bottom-time", "11")
    assert (ran.code, ran.out) == (3, "")
    assert "[reserve] does not state sharing" in one_line(ran.err)


def test_other_forms(run, quince: upline.Plan, tmp_path: Path) -> None:
    page = tmp_path / "slate.html"
    ran = run("slate", QUINCE, "--markdown", "--html", str(page))
    assert ran.out.startswith("## Front")
    assert page.read_text(encoding="utf-8").startswith("<!doctype html>")
    assert run("slate", QUINCE, "--json").data["input_code"] == upline.slate(quince).input_code
    both = run("slate", QUINCE, "--json", "--markdown")
    assert both.code == 2
    assert "beside" in one_line(both.err)


def test_files(run, tmp_path: Path) -> None:
    pytest.importorskip("matplotlib")
    pdf, png = tmp_path / "slate.pdf", tmp_path / "slate.png"
    assert run("slate", QUINCE, "--pdf", str(pdf), "--png", str(png)).code == 0
    assert pdf.read_bytes().startswith(b"%PDF")
    assert png.read_bytes().startswith(b"\x89PNG")


def test_a_refused_dive_has_no_slate_and_exits_1(run, tmp_path: Path) -> None:
    file = tmp_path / "slate.html"
    ran = run("slate", QUINCE, "--gf", "40/120", "--html", str(file))
    assert (ran.code, ran.out) == (1, "")
    assert "refused (factor_above_one)" in one_line(ran.err)
    assert not file.exists()


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        ("slate", "depth, bottom_time, gases and gf are missing"),
        (f"slate {QUINCE} --if-deeper deep", '"deep" is no number'),
        (f"slate {QUINCE} --if-deeper-and-late 3", "no pair of numbers"),
        (f"slate {QUINCE} --if-lost 32", "lost is 32, which the dive does not have"),
        (f"slate {QUINCE} --if-lots 50", "Remedy: write --if-lost."),
        (f"slate {QUINCE} --lost-last-stop 3", "without --if-lost"),
        (f"slate {QUINCE} --analysis 50", "no mix with its reading"),
        (f"slate {QUINCE} --analysis 50=50.1 --analysis 50=50.2", "names a mix twice"),
        (f"slate {QUINCE} --analysis 50=60", "analysis of 50 is 60 % oxygen"),
        (f"slate {QUINCE} --surface-support perhaps", 'surface_support is "perhaps"'),
        (f"slate {QUINCE} --html no/such/folder.html", "cannot be written"),
        (f"slate {QUINCE} --gf 40", "gf"),
        ("slate 57 25 18/45 --gf 40/80", "--depth 57 --bottom-time 25"),
    ],
)
def test_unusable_input_exits_2_with_one_line(run, arguments: str, says: str) -> None:
    ran = run(*arguments.split())
    assert ran.code == 2
    assert says in one_line(ran.err)


def test_the_help_has_an_example(run, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as left:
        run("slate", "--help")
    assert left.value.code == 0
    shown = capsys.readouterr().out
    assert "--if-lost 50 --pdf slate.pdf" in shown
    assert "It does not make a dive safe" in " ".join(shown.split())


def test_json_is_json(run) -> None:
    data = json.loads(run("slate", QUINCE, "--json", "--if-late", "5").out)
    assert data["kind"] == "slate"
    assert [row["name"] for row in data["contingencies"]] == ["if 5 min late"]

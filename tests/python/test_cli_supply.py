"""The command ``supply``: what it prints of each diver, and with which exit code."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import upline
from upline._cli import main

EXAMPLES = Path(__file__).parents[2] / "docs" / "examples"
TEAM, ALONE = str(EXAMPLES / "quince_team.toml"), str(EXAMPLES / "quince.toml")
FOOT = "It does not make a dive safe"


class Ran:
    """One run of the command line."""

    def __init__(self, capsys: pytest.CaptureFixture[str], *arguments: str) -> None:
        self.code = main(arguments)
        self.out, self.err = capsys.readouterr()
        self.words = " ".join(self.out.split())

    @property
    def data(self) -> dict[str, object]:
        return json.loads(self.out, parse_constant=lambda name: pytest.fail(f"{name} is no JSON"))


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]):
    return lambda *arguments: Ran(capsys, *arguments)


def asking_nothing_more() -> str:
    """Return the team's file without what must stay in the cylinders and what may be lost."""
    text = Path(TEAM).read_text(encoding="utf-8")
    before, _, rest = text.partition("# What must stay in the cylinders.")
    return before + rest[rest.index("# ---- the team") :]


@pytest.fixture
def team(tmp_path: Path) -> str:
    path = tmp_path / "asking_nothing_more.toml"
    path.write_text(asking_nothing_more(), encoding="utf-8")
    return str(path)


@pytest.fixture
def changed(tmp_path: Path):
    """Return the path of the team's file with some of its text replaced."""

    def write(*changes: tuple[str, str], asking: bool = False) -> str:
        text = Path(TEAM).read_text(encoding="utf-8") if asking else asking_nothing_more()
        for before, after in changes:
            assert before in text
            text = text.replace(before, after, 1)
        path = tmp_path / "team.toml"
        path.write_text(text, encoding="utf-8")
        return str(path)

    return write


# ---- plan ----------------------------------------------------------------------------------------


def test_plan_says_that_a_file_names_a_team(run, quince: upline.Plan) -> None:
    ran = run("plan", TEAM)
    assert (ran.code, ran.err) == (0, "")
    assert str(quince) in ran.out
    assert ran.words.endswith(
        f"The file also names a team (Ada, Ben, Cleo) and a reserve: upline supply {TEAM} "
        "answers for its gas."
    )
    assert "also names" not in run("plan", ALONE).out
    data = run("plan", TEAM, "--json")
    assert upline.Plan.from_json(data.out) == quince
    assert data.err.startswith("The file also names a team (Ada, Ben, Cleo)")


# ---- yes, no, cannot tell ------------------------------------------------------------------------


def test_it_closes_for_everyone(run, team: str, quince: upline.Plan) -> None:
    ran = run("supply", team)
    assert (ran.code, ran.err) == (0, "")
    for diver in upline.read_dive(TEAM).divers:
        assert f"{diver.name}: the gas is there; nothing is kept in reserve in that." in ran.out
        table = str(upline.consumption(quince, diver)).rpartition("\n\n")[0]
        assert table in ran.out
    assert ran.words.count(FOOT) == 1
    assert ran.words.endswith("Have a second person recompute it before it is dived.")
    assert "Nothing is kept in reserve in these answers: the file has neither" in ran.words
    assert quince.assumptions in ran.words
    assert "The plan has more to say (5): see upline plan." in ran.out


def test_it_does_not_close_for_one(run, changed, quince: upline.Plan) -> None:
    path = changed(("pressure = 225", "pressure = 150"))  # Ben's
    ran = run("supply", path)
    assert ran.code == 1
    ben = upline.consumption(quince, upline.read_dive(path).divers[1])
    assert not ben.closes
    assert f"Ben: {ben.verdict}" in ran.words
    assert ran.words.index("Ben:") < ran.words.index("Gas of Ada")
    data = run("supply", path, "--json").data
    assert data["closes"] is False
    assert [one["closes"] for one in data["divers"]] == [True, False, True]
    first = next(row for row in ben.rows if row.short_by > 0)
    assert data["divers"][1]["first_short"]["begins"] == first.begins
    assert data["divers"][1]["first_short"]["gas"] == "18/45"


def test_without_divers_it_cannot_tell(run) -> None:
    ran = run("supply", ALONE)
    assert ran.code == 3
    assert "Cannot tell: the file names no diver." in ran.words
    assert "the gas is there" not in ran.words
    assert FOOT in ran.words
    data = run("supply", ALONE, "--json").data
    assert (data["closes"], data["divers"]) == (None, [])
    assert data["missing"] == ["the file names no diver"]
    flags = ["--depth", "30", "--bottom-time", "20", "--gas", "32", "--gf", "40/80"]
    assert run("supply", *flags).code == 3


def test_a_gas_without_a_cylinder_cannot_be_told(run, changed) -> None:
    path = changed(('gas = "O2"', 'gas = "99"'))  # Ada's, as analysed
    ran = run("supply", path)
    assert ran.code == 3
    assert "Ada: cannot tell, no cylinder of oxygen is stated." in ran.out
    assert "Ben: the gas is there" in ran.out
    data = run("supply", path, "--json").data
    assert data["closes"] is None
    assert data["missing"] == ["Ada: no cylinder of oxygen is stated"]
    assert data["divers"][0]["consumption"] is None
    # What is known to be missing weighs more than what is not known.
    short = changed(('gas = "O2"', 'gas = "99"'), ("pressure = 225", "pressure = 150"))
    assert run("supply", short).code == 1
    assert run("supply", short, "--json").data["closes"] is False


@pytest.mark.parametrize(
    ("before", "after", "says"),
    [
        ("resting = 15\n", "", "[[diver]] Ada: resting is missing"),
        ("pressure = 190\n", "", "[[diver]] Ada, cylinder 2: pressure is missing"),
        ('name = "Cleo"\n', "", "[[diver]] 3: name is missing"),
    ],
)
def test_what_is_not_stated_cannot_be_told(
    run, changed, before: str, after: str, says: str
) -> None:
    path = changed((before, after))
    ran = run("supply", path)
    assert ran.code == 3
    assert f"Cannot tell: {says}" in ran.words
    assert "the gas is there" not in ran.words
    assert FOOT in ran.words
    data = run("supply", path, "--json").data
    assert data["closes"] is None
    assert data["missing"][0].startswith(says)
    assert run("plan", path).code == 2


def test_a_refused_plan_is_no(run) -> None:
    ran = run("supply", TEAM, "--gas", "21/20", "50")
    assert ran.code == 1
    assert "refuses" in ran.err
    plan = upline.plan(57, 25, ["21/20", "50"], gf="40/80", last_stop=6)
    assert plan.refused
    for one in plan.cautions:
        if one.severity == "refuses":
            assert one.text in ran.words
    assert run("supply", TEAM, "--gas", "21/20", "50", "--json").data["refused"] is True


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["--stress-from", "1000"], "--stress-from is 1000"),
        (["--stress-from", "-1"], "--stress-from is -1"),
        (["--stress-from", "nan"], "--stress-from is"),
        (["--stress-from", "later"], "no number"),
        (["--stres-from", "10"], "write --stress-from"),
        (["57"], "stands without a flag"),
        (["--units", "imperial"], "beside a file in metric units"),
    ],
)
def test_unusable_input(run, arguments: list[str], says: str) -> None:
    ran = run("supply", TEAM, *arguments)
    assert (ran.code, ran.out) == (2, "")
    assert says in ran.err


def test_a_wrong_key_is_unusable_too(run, changed) -> None:
    path = changed(("working = 20", "wroking = 20"))
    ran = run("supply", path)
    assert ran.code == 2
    assert 'write "working"' in ran.err


# ---- flags ---------------------------------------------------------------------------------------


def test_stress_counts_from_its_moment(run, team: str) -> None:
    ran = run("supply", team, "--stress-from", "20", "--json")
    plan = upline.read_dive(TEAM).plan()
    for diver, data in zip(upline.read_dive(TEAM).divers, ran.data["divers"], strict=True):
        wanted = upline.consumption(plan, diver, stress_from=20)
        assert data["consumption"]["volume"] == wanted.volume
        assert data["closes"] == wanted.closes
    assert run("supply", team, "--stress-from", "0").code == 1


def test_flags_replace_keys_of_the_file(run) -> None:
    data = run("supply", TEAM, "--bottom-time", "20", "--json").data
    plan = upline.plan(57, 20, ["18/45", "50", "O2"], gf="40/80", last_stop=6)
    ada = upline.read_dive(TEAM).divers[0]
    assert data["divers"][0]["consumption"]["volume"] == upline.consumption(plan, ada).volume
    assert data["assumptions"] == plan.assumptions
    assert (data["schema"], data["kind"]) == (1, "supply")
    assert "does not make a dive safe" in data["foot"]


# ---- beyond the dive as planned ------------------------------------------------------------------


def test_what_the_file_asks_beyond_the_plan_is_answered(run) -> None:
    dive = upline.read_dive(TEAM)
    plan = dive.plan()
    kept = upline.reserves(plan, dive.divers, **dive.reserve)
    lost = upline.lost_gas(plan, dive.divers, **dive.lost_gas)
    assert not kept.closes
    ran = run("supply", TEAM)
    assert (ran.code, ran.err) == (1, "")
    for answer in (kept, upline.deadlines(plan, dive.divers, **dive.reserve), lost):
        first = " ".join(str(answer).split("\n\n")[0].split())
        assert first in ran.words
    assert ran.words.count(FOOT) == 1
    data = run("supply", TEAM, "--json").data
    assert (data["closes"], data["closes_as_planned"]) == (False, True)
    assert data["reserves"]["closes"] is False
    assert data["lost_gas"]["closes"] == lost.closes
    assert len(data["deadlines"]["sentences"]) > 2


def test_what_is_asked_and_not_stated_cannot_be_told(run, changed) -> None:
    path = changed(("minutes_at_depth = 2", "# minutes"), ("stress_for = 5", "# for"), asking=True)
    ran = run("supply", path)
    assert ran.code == 3
    assert "Cannot tell: [reserve] does not state minutes_at_depth." in ran.words
    assert "Cannot tell: [lost_gas] does not state stress_for." in ran.words
    data = run("supply", path, "--json").data
    assert (data["closes"], data["closes_as_planned"]) == (None, True)
    assert (data["reserves"], data["lost_gas"]) == (None, None)
    assert len(data["missing"]) == 2


@pytest.mark.parametrize(
    ("before", "after", "says"),
    [
        ("stress_for = 5 ", "stress_fro = 5 ", 'write "stress_for"'),
        ("stress_for = 5 ", 'stress_for = "5" ', "stress_for"),
        ("last_stops = [3]", "last_stops = 3", "last_stops"),
        ("last_stops = [3]", "last_stops = [-3]", "last_stop"),
        ("last_stops = [3]", "sharing = 2", "move it to [reserve]"),
        ("sharing = 2 ", "sharing = 200 ", "sharing"),
    ],
)
def test_a_wrong_question_is_unusable(run, changed, before: str, after: str, says: str) -> None:
    ran = run("supply", changed((before, after), asking=True))
    assert ran.code == 2
    assert says in ran.err


def test_the_help_shows_the_caution(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(["supply", "--help"])
    out = " ".join(capsys.readouterr().out.split())
    assert "--stress-from" in out
    assert FOOT in out

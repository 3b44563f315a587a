"""The team of a dive file: divers with cylinders, the reserve, and what is refused of them."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import upline
from upline import Cylinder
from upline._dive_file import dive_from_toml
from upline._dive_team import COVERS, CYLINDER, DIVER

DOCS = Path(__file__).parents[2] / "docs"
MANUAL = (DOCS / "dive-file.md").read_text(encoding="utf-8")
TEAM = DOCS / "examples" / "quince_team.toml"
DIVE = """
[dive]
depth = 57
bottom_time = 25
gases = ["18/45", "50", "O2"]
[rules]
gf = "40/80"
[ascent]
last_stop = 6
"""
ADA = """
[[diver]]
name = "Ada"
working = 20
resting = 15
stress = 40
"""
TWIN = """
[[diver.cylinder]]
gas = "18/45"
water_volume = 12
joined = 2
pressure = 200
temperature = 10
"""
BEN = ADA.replace("Ada", "Ben")


def read(text: str) -> upline.DiveFile:
    return dive_from_toml(text, Path("no-such-folder"))


def refusal(text: str) -> str:
    with pytest.raises(upline.InvalidInput) as caught:
        read(text)
    return str(caught.value)


# ---- what is read --------------------------------------------------------------------------------


def test_the_demo_team(quince: upline.Plan) -> None:
    dive = upline.read_dive(TEAM)
    assert dive.plan() == quince
    assert [diver.name for diver in dive.divers] == ["Ada", "Ben", "Cleo"]
    assert dive.reserve == {
        "sharing": 2, "minutes_at_depth": 2, "next_gas_gone": False, "decompression": COVERS,
    }  # fmt: skip
    text = TEAM.read_text(encoding="utf-8")
    for name in ("Quince Blossom", "Skerry Point"):
        assert text[text.index(name) :].startswith(f"{name} (invented)")
    assert text.index("Ada, Ben and Cleo (invented)") < text.index('"Ada')
    # No two breathe or carry the same.
    assert len({diver.working for diver in dive.divers}) == 3
    assert len({diver.cylinders for diver in dive.divers}) == 3
    for diver in dive.divers:
        assert [str(one.gas) for one in diver.cylinders] == ["18/45", "50", "O2"]
        assert 200 <= diver.cylinders[0].pressure <= 230
        assert upline.consumption(quince, diver).closes


def test_a_file_without_a_team() -> None:
    dive = read(DIVE)
    assert (dive.divers, dive.reserve) == ((), None)


def test_every_key_reaches_the_diver() -> None:
    rated = """
[[diver.cylinder]]
gas = "O2"
rated = [77.4, 3000]
rating = "ideal"
pressure = 180
temperature = 12
"""
    (ada,) = read(DIVE + ADA + TWIN + rated).divers
    assert ada == upline.Diver(
        "Ada",
        [
            Cylinder(12, 200, "18/45", 10, joined=2),
            Cylinder(rated=(77.4, 3000), rating="ideal", pressure=180, gas="O2", temperature=12),
        ],
        working=20,
        resting=15,
        stress=40,
    )


def test_units_hold_for_cylinders_too() -> None:
    text = 'units = "imperial"\n' + DIVE.replace("57", "190").replace("= 6", "= 20")
    cylinder = TWIN.replace("12", "0.42").replace("= 200", "= 2900").replace("= 10", "= 50")
    dive = read(
        text + ADA.replace("20", "0.7").replace("15", "0.5").replace("40", "1.4") + cylinder
    )
    (ada,) = dive.divers
    assert ada.cylinders == (Cylinder(0.42, 2900, "18/45", 50, joined=2, units="imperial"),)
    assert ada.working == 0.7


# ---- what is refused -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[diver]\nname = 'Ada'", "write [[diver]] on a line of its own for each diver"),
        ("diver = 3", "write [[diver]] on a line of its own"),
        (ADA.replace("working", "wroking"), 'write "working"'),
        (ADA + "depth = 3\n" + TWIN, "[[diver]] Ada is given the unknown key"),
        (ADA + "pressure = 200\n" + TWIN, "move it to [[diver.cylinder]]"),
        (ADA + 'units = "metric"\n' + TWIN, "move it to the top of the file"),
        (ADA + TWIN + 'units = "imperial"', "move it to the top of the file"),
        (ADA + TWIN + "working = 20", "move it to [[diver]]"),
        (ADA + TWIN.replace("joined", "jointed"), 'write "joined"'),
        (ADA + "cylinder = 3", "write [[diver.cylinder]] on a line of its own"),
        ("working = 20\n" + DIVE, "move it to [[diver]]"),
        (ADA + TWIN + ADA + TWIN, '[[diver]] is given "Ada" twice'),
        (ADA + TWIN + ADA.replace("Ada", "ADA ") + TWIN, "twice"),
        (ADA.replace("20", '"20"') + TWIN, "[[diver]] Ada: working is"),
        (ADA.replace('"Ada"', "7") + TWIN, "[[diver]] 1: name is 7"),
        (ADA.replace('"Ada"', '""') + TWIN, "name is"),
        (ADA + TWIN.replace("200", "700"), "[[diver]] Ada, cylinder 1: pressure is 700 bar"),
        (ADA + TWIN.replace("200", "-1"), "[[diver]] Ada, cylinder 1: pressure is -1 bar"),
        (ADA + TWIN.replace("200", '"200"'), "[[diver]] Ada, cylinder 1: pressure is"),
        (ADA + TWIN.replace("18/45", "1845"), "[[diver]] Ada, cylinder 1: gas is"),
        (ADA + TWIN + TWIN.replace("= 2\n", "= 17\n"), "cylinder 2: joined is 17"),
        (BEN + TWIN + "rated = [80, 3000]", "given a water volume and a rating"),
        ("[reserve]\nshairing = 2", 'write "sharing"'),
        ("[reserve]\nworking = 2", "move it to [[diver]]"),
        ("[reserve]\nsharing = 2.5", "[reserve] sharing is"),
        ("[reserve]\nsharing = true", "[reserve] sharing is"),
        ("[reserve]\nminutes_at_depth = 'two'", "[reserve] minutes_at_depth is"),
        ("[reserve]\nnext_gas_gone = 1", "write true or false"),
        ("[reserve]\ndecompression = 'all of it'", f'write "{COVERS}"'),
        ("[reserve]\ndecompression = true", "the fraction that is kept"),
        ("[[reserve]]\nsharing = 2", "a table"),
        ("sharing = 2\n" + DIVE, "move it to [reserve]"),
    ],
)
def test_wrong_keys_and_kinds_say_what_is_right(text: str, says: str) -> None:
    before = "" if text.endswith(DIVE) or text.startswith("diver =") else DIVE
    assert says in refusal(before + text)


@pytest.mark.parametrize(
    ("text", "missing"),
    [
        (ADA.replace("resting = 15\n", "") + TWIN, "[[diver]] Ada: resting"),
        (ADA.replace("name", "#") + TWIN, "[[diver]] 1: name"),
        (ADA, "[[diver]] Ada: cylinder"),
        (ADA + "cylinder = []", "[[diver]] Ada: cylinder"),
        ("[[diver]]\nname = 'Ada'", "[[diver]] Ada: working, resting, stress, cylinder"),
        (ADA + TWIN.replace("pressure = 200\n", ""), "[[diver]] Ada, cylinder 1: pressure"),
        (ADA + TWIN.replace("temperature = 10", ""), "[[diver]] Ada, cylinder 1: temperature"),
        (ADA + TWIN.replace('gas = "18/45"', ""), "[[diver]] Ada, cylinder 1: gas"),
        (ADA + TWIN.replace("water_volume = 12", ""), "cylinder 1: water_volume"),
    ],
)
def test_what_is_missing_is_named(text: str, missing: str) -> None:
    assert f"{missing} is missing; " in refusal(DIVE + text)


def test_what_a_dive_file_of_python_takes() -> None:
    ada = read(DIVE + ADA + TWIN).divers[0]
    assert upline.DiveFile(divers=[ada]).divers == (ada,)
    for divers in ("Ada", ada, [ada, "Ben"], None):
        with pytest.raises(upline.WrongType, match="divers"):
            upline.DiveFile(divers=divers)
    with pytest.raises(upline.InvalidInput, match="twice"):
        upline.DiveFile(divers=[ada, ada])
    for reserve in ("two", [2], {"sharing": "2"}, {3: 4}):
        with pytest.raises(upline.WrongType, match="reserve"):
            upline.DiveFile(reserve=reserve)
    for kept in (0.33, 1, COVERS):
        assert upline.DiveFile(reserve={"decompression": kept}).reserve == {"decompression": kept}


# ---- the manual ----------------------------------------------------------------------------------


def test_the_manual_lists_every_key() -> None:
    sections = dict(re.findall(r"^## (.+?)\n(.*?)(?=^## |\Z)", MANUAL, re.MULTILINE | re.DOTALL))
    for heading, keys in (("`[[diver]]`", DIVER), ("`[[diver.cylinder]]`", CYLINDER)):
        listed = re.findall(r"^\| `(\w+)` \|", sections[heading], re.MULTILINE)
        assert sorted(listed) == sorted(keys)

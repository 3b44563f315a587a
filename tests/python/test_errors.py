"""Errors: one tree, one form of message, whatever is handed in."""

from __future__ import annotations

import inspect
import pickle
import re
from collections.abc import Callable

import numpy as np
import pytest
import upline
from upline import _core


def test_the_tree() -> None:
    assert issubclass(upline.Error, ValueError)
    assert issubclass(upline.InvalidInput, upline.Error)
    assert issubclass(upline.NoAscent, upline.Error)
    assert issubclass(upline.WrongType, upline.InvalidInput)
    assert issubclass(upline.WrongType, TypeError)
    for error in (upline.Error, upline.InvalidInput, upline.WrongType, upline.NoAscent):
        assert error.__module__ == "upline"
        assert error.__doc__


def test_a_message_names_field_value_range_and_remedy() -> None:
    with pytest.raises(upline.InvalidInput) as caught:
        upline.plan(400, 25, ["18/45"], gf="40/80")
    error = caught.value
    assert (error.field, error.value) == ("depth", "400 m (1312.3 ft)")
    assert error.allowed.endswith("350 m (1148.3 ft)")
    assert error.remedy == "give a depth in that range; it is in metres unless units are imperial"
    assert str(error) == (
        f"depth is {error.value}; allowed: {error.allowed}. Remedy: {error.remedy}."
    )
    again = pickle.loads(pickle.dumps(error))
    assert (str(again), again.field, again.remedy) == (str(error), "depth", error.remedy)


def test_no_ascent_says_where_and_why() -> None:
    with pytest.raises(upline.NoAscent, match=r"no wait at 57 m .* Remedy: ") as caught:
        upline.plan(57, 60, ["air"], gf="10/10", max_po2=2, ladder=[2])
    assert "half-time" in str(caught.value)


@pytest.mark.parametrize(
    "argument",
    ["depth", "bottom_time", "spacing", "last_stop", "rmv", "descent_rate", "max_po2"],
)
@pytest.mark.parametrize("value", ["57", b"57", True, np.True_, {}, [[1]], 1j, object()])
def test_what_is_no_number_is_a_wrong_type(argument: str, value: object) -> None:
    arguments = {"depth": 57, "bottom_time": 25, "gases": ["18/45"], "gf": "40/80"}
    with pytest.raises((upline.WrongType, upline.InvalidInput)) as caught:
        upline.plan(**{**arguments, argument: value})
    if not isinstance(value, list):
        assert isinstance(caught.value, upline.WrongType)
        assert caught.value.field == argument


@pytest.mark.parametrize("value", [float("nan"), float("inf"), -float("inf"), -1, 10**400, 1e308])
@pytest.mark.parametrize("argument", ["depth", "bottom_time", "spacing", "switch_time", "rmv",
                                      "surfacing_rate", "po2_tolerance", "min_stop"])  # fmt: skip
def test_numbers_out_of_range_are_refused_by_name(argument: str, value: float) -> None:
    arguments = {"depth": 57, "bottom_time": 25, "gases": ["18/45"], "gf": "40/80"}
    with pytest.raises(upline.InvalidInput) as caught:
        upline.plan(**{**arguments, argument: value})
    assert caught.value.field == argument


class NoFloat:
    def __float__(self) -> float:
        raise RuntimeError("no float")


class NoItems:
    def __len__(self) -> int:
        raise RuntimeError("no length")

    def __getitem__(self, index: int) -> object:
        raise RuntimeError("no item")


class Interrupts:
    def __float__(self) -> float:
        raise KeyboardInterrupt


def test_errors_of_foreign_objects_become_ours_but_interrupts_pass() -> None:
    with pytest.raises(upline.WrongType):
        upline.plan(NoFloat(), 25, ["18/45"], gf="40/80")
    with pytest.raises(upline.WrongType):
        upline.plan(57, 25, NoItems(), gf="40/80")
    with pytest.raises(KeyboardInterrupt):
        upline.plan(Interrupts(), 25, ["18/45"], gf="40/80")


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        (None, "None"),
        (True, "True"),
        (57, "57"),
        (10**400, "an integer of more than 18 digits"),
        (1.5, "1.5"),
        ("57", 'the text "57"'),
        ("\ud800\0\x1b", 'the text "???"'),
        ("é" * 1000, 'the text "' + "?" * 40 + '..."'),
        ([1] * 1000, 'a value of type "list"'),
        (upline.Environment(), 'a value of type "Environment"'),
        (type("é" * 100, (), {})(), 'a value of type "' + "?" * 40 + '..."'),
    ],
)
def test_foreign_values_are_shown_short_and_in_ascii(value: object, shown: str) -> None:
    assert _core.shown(value) == shown


# ---- calls that do not fit -----------------------------------------------------------------------

FITS = {"depth": 57, "bottom_time": 25, "gases": ["18/45"], "gf": "40/80"}
PLAN = upline.plan(30, 20, "32", gf="40/80")


@pytest.mark.parametrize(
    ("call", "field", "says"),
    [
        (lambda: upline.plan(**FITS, gff=3), "plan", 'unknown keyword "gff"'),
        (lambda: upline.plan(**FITS, laststop=6), "plan", "Remedy: write last_stop."),
        (lambda: upline.plan(**FITS, zzz=6), "plan", "Remedy: use these names."),
        (lambda: upline.plan(gf="40/80"), "plan", "given no depth"),
        (lambda: upline.plan(57, 25, ["18/45"], "40/80"), "plan", "4 arguments by position"),
        (lambda: upline.plan(57, **FITS), "plan", "given depth twice"),
        (lambda: upline.no_stop_limit(30, gas="32"), "no_stop_limit", "Remedy: write gases."),
        (lambda: upline.rest(PLAN.end, minute=3), "rest", "Remedy: write minutes."),
        (lambda: upline.cns_share(1, 1), "cns_share", "Remedy: add end_po2."),
        (lambda: upline.read_dive(), "read_dive", "Remedy: add path."),
        (lambda: upline.DiveFile(nam="a"), "DiveFile", "Remedy: write name."),
        (lambda: upline.DiveFile().plan(3), "DiveFile.plan", "Remedy: leave them out."),
        (lambda: upline.Gas(helum=0.1), "Gas", "Remedy: write helium."),
        (lambda: upline.Gas("32").mod(pO2=1.4), "Gas.mod", "Remedy: write po2."),
        (lambda: upline.Gas("32").end(), "Gas.end", "Remedy: add depth."),
        (lambda: upline.Gas("32").mod(1, None, "metric", 4), "Gas.mod", "4 arguments by position"),
        (lambda: upline.Gas("32").mod(1.4, po2=1.6), "Gas.mod", "given po2 twice"),
        (lambda: upline.Environment(altitud=640), "Environment", "Remedy: write altitude."),
        (lambda: upline.Environment().pressure(dept=3), "Environment.pressure", "write depth."),
        (lambda: PLAN.trace(steps=1), "Plan.trace", "Remedy: write step."),
        (lambda: PLAN.to_frame(off=1), "Plan.to_frame", "Remedy: write of."),
        (lambda: PLAN.plot(axes=None), "Plan.plot", "Remedy: write ax."),
        (lambda: PLAN.to_json(indent=2), "Plan.to_json", "Remedy: leave it out."),
        (lambda: upline.Plan.from_dict(date={}), "Plan.from_dict", "Remedy: write data."),
        (lambda: upline.Plan(), "Plan", "Remedy: make it with upline.plan(...)."),
    ],
)
def test_arguments_that_do_not_fit(call: Callable[[], object], field: str, says: str) -> None:
    with pytest.raises(upline.WrongType, match=re.escape(says)) as caught:
        call()
    assert caught.value.field == field
    assert caught.value.__cause__ is None


@pytest.mark.parametrize(
    ("call", "field", "remedy"),
    [
        (lambda: upline.plan("18/45,50,O2"), "depth", "give the depth first"),
        (lambda: upline.plan("air", 57, 25, gf="40/80"), "depth", "give the depth first"),
        (lambda: upline.plan(["18/45", "50"], 57, 25), "depth", "give the depth first"),
        (lambda: upline.plan(upline.Gas("32"), 30, 25), "depth", "give the depth first"),
        (lambda: upline.plan(57, ["18/45", "50"], 25), "bottom_time", "give the depth first"),
        (lambda: upline.plan(57, "18/45", 25), "bottom_time", "give the depth first"),
        (lambda: upline.plan("57", 25, "32", gf="40/80"), "depth", "give a plain number"),
        (lambda: upline.plan(**FITS, altitude=640), "plan",
         "write environment=upline.Environment(altitude=...)"),
        (lambda: upline.plan(**FITS, water="fresh"), "plan",
         "write environment=upline.Environment(water=...)"),
        (lambda: upline.plan(**FITS, acclimatised_to="here"), "plan",
         "write environment=upline.Environment(acclimatised_to=...)"),
        (lambda: upline.no_stop_limit(30, "32", gf="40/80", vapour=0.06), "no_stop_limit",
         "write environment=upline.Environment(vapour=...)"),
        (lambda: upline.plan(57, time=25, gases=["18/45"]), "plan", "write bottom_time"),
        (lambda: upline.plan(57, 25, ["18/45"], "40/80"), "plan",
         "name the others, such as gf=..."),
        (lambda: upline.plan(**FITS, units="feet"), "units", 'write "imperial", which is feet'),
        (lambda: upline.plan(**FITS, units="ft"), "units", 'write "imperial", which is feet'),
        (lambda: upline.plan(**FITS, units="m"), "units", 'write "metric", which is metres'),
        (lambda: upline.plan(**FITS, units="meters"), "units", 'write "metric", which is metres'),
        (lambda: upline.plan(**FITS, units="Metric"), "units", 'write "metric"'),
        (lambda: upline.Environment(water="sea water"), "water", 'write "sea"'),
        (lambda: upline.Environment(water="Freshwater"), "water", 'write "fresh"'),
        (lambda: upline.Environment(acclimatised_to="sea level"), "acclimatised_to",
         "write 0, the height of the sea"),
        (lambda: upline.plan(57, 25, "18/45", gf="80/40"), "gf",
         'write the low one first: "40/80"'),
        (lambda: upline.plan(57, 25, "18/45", gf=(0.8, 0.4)), "gf",
         "write the low one first: (0.4, 0.8)"),
        (lambda: upline.plan(57, 25, "18/45,50,O2", gf="40/80"), "gas",
         'give each mix by itself: "18/45", "50", "O2"'),
    ],
)  # fmt: skip
def test_what_was_probably_meant_is_proposed(
    call: Callable[[], object], field: str, remedy: str
) -> None:
    with pytest.raises(upline.InvalidInput) as caught:
        call()
    assert caught.value.field == field
    assert caught.value.remedy.startswith(remedy)


def test_a_remedy_is_not_buried_under_a_list_of_names() -> None:
    def allowed(*args: object, **keywords: object) -> str:
        with pytest.raises(upline.WrongType) as caught:
            upline.plan(*args, **keywords)
        return caught.value.allowed

    short = "the 25 names in help(upline.plan)"
    assert allowed(**FITS, laststop=6) == short
    assert allowed(**FITS, altitude=640) == short
    # Nothing is like it: the list is the remedy.
    assert allowed(**FITS, zzz=6).startswith("depth, bottom_time, gases, gf, model, ")
    by_position = allowed(57, 25, ["18/45"], "40/80")
    assert by_position == f"up to 3 by position (depth, bottom_time, gases); {short}"


def test_a_fault_inside_is_not_taken_for_a_wrong_call(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(_core, "rest", lambda: None)  # called with four arguments
    with pytest.raises(TypeError) as caught:
        upline.rest(PLAN.end, 90)
    assert not isinstance(caught.value, upline.Error)


def test_signatures_stay_visible() -> None:
    assert list(inspect.signature(upline.plan).parameters) == list(_core.plan_arguments)
    assert str(inspect.signature(upline.Gas("32").mod)) == "(po2, environment=None, units='metric')"
    assert str(inspect.signature(upline.Gas)) == "(text=None, *, oxygen=None, helium=0.0)"
    assert upline.plan.__doc__.startswith("Compute the schedule")

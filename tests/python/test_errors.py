"""Errors: one tree, one form of message, whatever is handed in."""

from __future__ import annotations

import decimal
import fractions
import pickle
import random
import time
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
    assert (error.field, error.value) == ("depth", "400 m (1312.34 ft)")
    assert error.allowed.endswith("350 m (1148.29 ft)")
    assert error.remedy == "give a depth below the surface"
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


# ---- many wrong calls ----------------------------------------------------------------------------

HOSTILE: list[object] = [
    float("nan"), float("inf"), -float("inf"), 0, -0.0, -1, 1e308, -1e308, 1e-320, 5e-324, 10**400,
    -(10**5000), True, None, "", "x" * 100_000,
    "57", "\ud800", "a\0b", "18/45", "50@21", "@", "air@",
    "0/0", "O2", b"57", bytearray(b"1"), memoryview(b"ab"), [], (), {}, set(), [[]], [None],
    [[57, 20], [42]], [(57, 20), (42, 45)], range(10**9), range(3), object(), NoFloat(), NoItems(),
    np.float32(3), np.int64(7), np.True_, np.array(3.0), np.zeros((2, 2)), np.array("x"),
    decimal.Decimal(3), decimal.Decimal("NaN"), fractions.Fraction(1, 3), 1j, len, int,
    upline.Gas("32"), upline.Environment(altitude=640), upline.plan(30, 20, "32", gf="40/80"),
    upline.plan(30, 20, "32", gf="40/80").end, "imperial", "exact", "ZH-L16B", 1, 3, 6, 9, 57, 1.4,
    0.03, 350, [3, 6, 9], [(21, 9), (0, 3)], ("50", 17), (0.4, 0.8), (40, 80), [1] * 20_000,
]  # fmt: skip
STATE = upline.plan(30, 20, "32", gf="40/80").end
EMPTY = [0.0] * 16


def answered(call: Callable[[], object]) -> bool:
    """Whether a call gives a result; if not, it must be an error of ours, readable and soon."""
    began = time.perf_counter()
    try:
        call()
    except upline.Error as error:
        message = str(error)
        assert message.isascii(), message
        assert 10 < len(message) < 1000, message[:1000]
        return False
    else:
        return True
    finally:
        assert time.perf_counter() - began < 1.0


def test_hostile_plans() -> None:
    draw = random.Random(57)
    results = 0
    for _ in range(10_000):
        arguments: dict[str, object] = {
            "depth": 57, "bottom_time": 25, "gases": ["18/45", "50", "O2"], "gf": "40/80",
        }  # fmt: skip
        for name in draw.sample(_core.plan_arguments, draw.randint(1, 3)):
            arguments[name] = draw.choice(HOSTILE)
        results += answered(lambda arguments=arguments: str(upline.plan(**arguments)))
    assert 100 < results < 9_000  # else the calls are not what they are meant to be


@pytest.mark.parametrize(
    "call",
    [
        lambda x: upline.no_stop_limit(x, "32", gf="40/80"),
        lambda x: upline.no_stop_limit(30, x, gf="40/80"),
        lambda x: upline.no_stop_limit(30, "32", gf=x),
        lambda x: upline.no_stop_limit(30, "32", gf="40/80", start=x),
        lambda x: upline.rest(x, 90),
        lambda x: upline.rest(STATE, x),
        lambda x: upline.rest(STATE, 90, x),
        lambda x: upline.Gas(x),
        lambda x: upline.Gas(oxygen=x),
        lambda x: upline.Gas(oxygen=0.2, helium=x),
        lambda x: upline.Gas("32").mod(x),
        lambda x: upline.Gas("32").mod(1.4, x),
        lambda x: upline.Gas("32").mod(1.4, None, x),
        lambda x: upline.Gas("32").min_depth(x),
        lambda x: upline.Gas("32").end(x),
        lambda x: upline.Gas("32").end(30, x),
        lambda x: upline.Gas("32").ead(x),
        lambda x: upline.Gas("32").density(30, x),
        lambda x: upline.Gas("32").po2(x),
        lambda x: upline.Environment(altitude=x),
        lambda x: upline.Environment(acclimatised_to=x),
        lambda x: upline.Environment(surface_pressure=x),
        lambda x: upline.Environment(water=x),
        lambda x: upline.Environment(vapour=x),
        lambda x: upline.Environment(units=x),
        lambda x: upline.Environment().pressure(x),
        lambda x: upline.Environment().depth(x),
        lambda x: upline.State.from_dict(x),
        lambda x: upline.State.from_json(x),
        lambda x: upline.Plan.from_dict(x),
        lambda x: upline.Plan.from_json(x),
        lambda x: upline.compartments(x),
        lambda x: upline.advance(x, EMPTY, minutes=1, pressure=1, rate=0, gas="air"),
        lambda x: upline.advance([x] * 16, EMPTY, minutes=1, pressure=1, rate=0, gas="air"),
        lambda x: upline.advance(EMPTY, EMPTY, minutes=x, pressure=1, rate=0, gas="air"),
        lambda x: upline.advance(EMPTY, EMPTY, minutes=1, pressure=x, rate=0, gas="air"),
        lambda x: upline.advance(EMPTY, EMPTY, minutes=1, pressure=1, rate=x, gas="air"),
        lambda x: upline.advance(EMPTY, EMPTY, minutes=1, pressure=1, rate=0, gas=x),
        lambda x: upline.advance(
            EMPTY, EMPTY, minutes=1, pressure=1, rate=0, gas="air", set_point=x
        ),
        lambda x: upline.tolerated_pressure(EMPTY, x, 1.0),
        lambda x: upline.tolerated_pressure(EMPTY, EMPTY, x),
        lambda x: upline.tolerated_pressure(EMPTY, EMPTY, 1.0, model=x),
        lambda x: upline.supersaturation_fraction(EMPTY, EMPTY, x),
        lambda x: upline.equilibrium_with_air(x),
        lambda x: upline.equilibrium_with_air(1.0, x),
        lambda x: upline.cns_share(x, 1, 1),
        lambda x: upline.cns_share(1, x, 1),
        lambda x: upline.cns_share(1, 1, 1, x),
        lambda x: upline.pulmonary_dose(1, 1, x),
        lambda x: upline.read_dive(x),
        lambda x: upline.plan(30, 20, "32", gf="40/80").to_frame(x),
    ],
)
def test_hostile_values_everywhere(call: Callable[[object], object]) -> None:
    results = [answered(lambda value=value: call(value)) for value in HOSTILE]
    assert not all(results), "nothing was refused"

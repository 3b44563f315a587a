"""Ten thousand hostile calls over the whole public surface, seeded and fast.

Every one gives a result or an error of the library that says what to do, within a second. The
calls are made of those listed in `hostile.surface`: some arguments, or the keywords themselves,
are replaced by what nobody should hand in.
"""

from __future__ import annotations

import inspect
import random
from collections.abc import Callable
from typing import Any

import pytest
import upline
from hostile.allowed import Tally, answered
from hostile.surface import BESIDE, CALLS, PICTURES, RESULTS, Call, public_callables
from hostile.values import HOSTILE, KEYWORDS, drawn

CALLS_MADE = 10_000
SEED = 20_251_125
EVERY = {**CALLS, **BESIDE}


# ---- the list is whole ---------------------------------------------------------------------------


def test_everything_public_is_listed() -> None:
    listed = {*CALLS, *PICTURES, *RESULTS}
    missing = set(public_callables()) - listed
    assert not missing, f"list in tests/python/hostile/surface.py: {sorted(missing)}"
    assert not listed - set(public_callables()), "listed, but not public any more"


@pytest.mark.parametrize("name", [*CALLS, *PICTURES])
def test_every_parameter_is_listed(name: str) -> None:
    call = {**CALLS, **PICTURES}[name]
    parameters = inspect.signature(call.function).parameters
    assert set(call.arguments) == set(parameters), f"{name} in tests/python/hostile/surface.py"
    needed = {key for key, one in parameters.items() if one.default is one.empty}
    assert needed <= set(call.given)


@pytest.mark.parametrize("name", EVERY)
def test_what_is_listed_as_fine_is_fine(name: str) -> None:
    if name.endswith("to_frame"):
        pytest.importorskip("pandas")
    call = EVERY[name]
    assert answered(lambda: call.function(**call.arguments))[1]


# ---- many calls ----------------------------------------------------------------------------------


def hostile_arguments(rng: random.Random, call: Call) -> tuple[list[Any], dict[str, Any]]:
    """Draw arguments by position and by name, of which some are not what they should be."""
    names = [name for name in call.arguments if name in call.given or rng.random() < 0.3]
    arguments = {name: call.arguments[name] for name in names}
    for name in rng.sample(list(call.arguments), min(len(call.arguments), rng.choice([1, 1, 2]))):
        arguments[name] = drawn(rng)
    kind = rng.random()
    if kind < 0.05:
        arguments[rng.choice(KEYWORDS)] = drawn(rng)
    elif kind < 0.1 and arguments:
        arguments.pop(rng.choice(list(arguments)))
    elif kind < 0.15:
        return [drawn(rng) for _ in range(rng.choice([1, 2, 3, 30]))], arguments
    elif kind < 0.2:
        return [*arguments.values(), *([drawn(rng)] * (not arguments))], {}
    return [], arguments


def test_ten_thousand_calls(record_property: Callable[[str, object], None]) -> None:
    rng = random.Random(SEED)
    tally = Tally()
    names = [name for name, call in EVERY.items() for _ in range(call.share)]
    for number in range(CALLS_MADE):
        # Each in turn first, so that none is left out.
        name = list(EVERY)[number] if number < len(EVERY) else rng.choice(names)
        call = EVERY[name]
        args, kwargs = hostile_arguments(rng, call)
        tally.take(name, lambda call=call, args=args, kwargs=kwargs: call.function(*args, **kwargs))
    results, errors = tally.totals()
    record_property("hostile calls", {"results": results, "errors": errors})
    record_property("slowest call [s]", tally.slowest)
    # Else the calls are not what they are meant to be.
    assert results > CALLS_MADE / 20
    assert errors > CALLS_MADE / 2
    assert [name for name in EVERY if not tally.errors.get(name)] == []


def test_every_value_for_every_parameter() -> None:
    tally = Tally()
    for name, call in EVERY.items():
        given = {key: call.arguments[key] for key in call.given}
        for key in call.arguments:
            for value in HOSTILE:
                tally.take(
                    f"{name} {key}",
                    lambda call=call, given=given, key=key, value=value: call.function(
                        **{**given, key: value}
                    ),
                )
    everywhere = [f"{name} {key}" for name, call in EVERY.items() for key in call.arguments]
    assert [key for key in everywhere if not tally.errors.get(key)] == []


# ---- the rest of the surface ---------------------------------------------------------------------


@pytest.mark.parametrize("name", RESULTS)
def test_results_are_not_made_by_hand(name: str) -> None:
    of = getattr(upline, name)
    tally = Tally()
    for value in HOSTILE:
        tally.take("called", lambda value=value: of(value))
        tally.take("named", lambda value=value: of(stops=value))
    tally.take("allocated", lambda: of.__new__(of))
    assert tally.totals() == (0, 2 * len(HOSTILE) + 1)


def test_results_have_no_kin() -> None:
    for name in (*RESULTS, "Gas", "Environment"):
        with pytest.raises(TypeError):
            type("Kin", (getattr(upline, name),), {})


@pytest.mark.parametrize("name", PICTURES)
def test_pictures(name: str) -> None:
    call = PICTURES[name]
    tally = Tally()
    for value in (one for one in HOSTILE if one is not None):
        tally.take("ax", lambda value=value: call.function(ax=value))
        tally.take("keyword", lambda value=value: call.function(axes=value))
        if "run_time" in call.arguments:
            tally.take("run_time", lambda value=value: call.function(run_time=value, ax=0))
    assert tally.totals()[0] == 0
    for args, kwargs in (((None,) * 5, {}), ((None,), {"ax": None, "depth": 3})):
        assert not answered(lambda args=args, kwargs=kwargs: call.function(*args, **kwargs))[1]


def test_equality_and_hash_with_anything() -> None:
    for one, again in zip(some_of_each(), some_of_each(), strict=True):
        assert one == again
        assert not isinstance(one, upline.Gas | upline.Environment) or hash(one) == hash(again)
        for value in HOSTILE:
            assert answered(lambda one=one, value=value: type(one).__eq__(one, value))[1]


def some_of_each() -> list[Any]:
    plan = upline.plan(57, 25, ["18/45", "50", "O2"], gf="40/80", last_stop=6)
    return [
        plan,
        plan.end,
        plan.rows[0],
        plan.stops[0],
        plan.switches[0],
        plan.extremes,
        plan.extremes.highest_po2,
        upline.Gas("21/35"),
        upline.Environment(altitude=600),
    ]

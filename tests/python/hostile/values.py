"""Values that nobody should hand in, among some that are fine elsewhere."""

from __future__ import annotations

import datetime
import decimal
import fractions
import random
from collections import OrderedDict, UserDict
from typing import Any

import numpy as np
import upline


class Raises:
    """Every question it is asked is answered with an error that is none of ours."""

    def _refuse(self, *_: object) -> Any:
        raise RuntimeError("a foreign error")

    __float__ = __int__ = __index__ = __bool__ = __len__ = __iter__ = __getitem__ = _refuse
    __contains__ = __call__ = __eq__ = __hash__ = __lt__ = __str__ = __repr__ = _refuse
    __fspath__ = __array__ = __complex__ = __round__ = _refuse
    __class__ = property(_refuse)  # type: ignore[assignment]

    def __getattr__(self, name: str) -> Any:
        raise RuntimeError(name)


class Lies:
    """Says that it is of another class."""

    def __init__(self, of: type) -> None:
        self._of = of

    @property
    def __class__(self) -> type:  # type: ignore[override]
        return self._of


class Wrong:
    """Answers with what is no answer."""

    def __float__(self) -> Any:
        return "57"

    def __index__(self) -> Any:
        return None

    def __len__(self) -> int:
        return -1

    def __getitem__(self, index: int) -> Any:
        return self

    def __fspath__(self) -> Any:
        return 57

    def __iter__(self) -> Any:
        return self


class Endless(Wrong):
    def __len__(self) -> int:
        return 2**62


class Short(Wrong):
    """Says two and has none."""

    def __len__(self) -> int:
        return 2

    def __getitem__(self, index: int) -> Any:
        raise IndexError(index)


class Number(Wrong):
    def __float__(self) -> Any:
        return float("nan")


class Text(str):
    """A text that refuses to be read as one."""

    __slots__ = ()

    def _refuse(self, *_: object, **__: object) -> Any:
        raise RuntimeError("a foreign error")

    __len__ = __iter__ = __getitem__ = __eq__ = __hash__ = __str__ = __contains__ = _refuse
    lower = strip = split = encode = isascii = partition = startswith = _refuse  # type: ignore[assignment]


class Integer(int):
    def __float__(self) -> Any:
        raise RuntimeError("a foreign error")

    def __eq__(self, other: object) -> Any:
        raise RuntimeError("a foreign error")

    __hash__ = int.__hash__


class Table(dict):  # type: ignore[type-arg]
    def _refuse(self, *_: object) -> Any:
        raise RuntimeError("a foreign error")

    __len__ = __iter__ = __getitem__ = __contains__ = get = items = keys = values = _refuse  # type: ignore[assignment]


class Key:
    """A key that is in a table and can never be found there."""

    def __hash__(self) -> int:
        return 57

    def __eq__(self, other: object) -> bool:
        raise RuntimeError("a foreign error")


SELF: list[Any] = []
SELF.append(SELF)
SELF_TABLE: dict[str, Any] = {"schema": 1, "kind": "plan"}
SELF_TABLE["input"] = SELF_TABLE
NESTED: list[Any] = []
for _ in range(10_000):
    NESTED = [NESTED]

PLAN = upline.plan(30, 20, "32", gf="40/80")
RECORD = PLAN.to_dict()

NUMBERS: list[Any] = [
    float("nan"), float("inf"), -float("inf"), 0, 0.0, -0.0, -1, -1e-9, 1e308, -1e308, 1e-320,
    5e-324, 10**400, -(10**400), 2**63, 2**64, True, False, 1, 3, 6, 9, 18, 57, 350, 1e5, 1.4, 0.03,
    0.0627, 0.5, 0.18, 1e-6, np.float32(3), np.float64("nan"), np.int64(7), np.uint8(255), np.True_,
    np.array(3.0), decimal.Decimal(3), decimal.Decimal("sNaN"), fractions.Fraction(1, 3), 1j,
    Integer(3),
]  # fmt: skip
TEXTS: list[Any] = [
    "", " ", "x" * 100_000, "9" * 100_000, "1" + "/1" * 50_000, "57", "-1", "nan", "inf/inf",
    "1e308", "\ud800", "a\0b", "\u202e18/45", "١٨/٤٥", "18/45", "18/45\0", "50@21", "@", "air@",
    "air@nan", "50@-1", "50@1e999", "0/0", "1", "4", "100/1", "-18/45", "O2", "air", "32", "40/80",
    "80/40", "0/0", "1e400/1", "100/150", "metric", "imperial", "exact", "ZH-L16B", "rows", "here",
    "fresh", "sea", "day", "{}", "[" * 100_000, "1" * 5000, '{"schema": 1, "kind": "plan"}',
    "/dev/null", "/dev/zero", "/", "no/such/file", Text("18/45"), b"57", b"\xff" * 100_000,
    bytearray(b"1"), memoryview(b"ab"), np.array("x"), np.str_("32"), Text("O2"),
]  # fmt: skip
LISTS: list[Any] = [
    [], (), {}, set(), frozenset({3}), [[]], [None], [[], []], ["32"], ["32", "50", "O2"],
    [("50", 21)], ["18/45"] * 30, [(57, 20), (42, 45)], [(57, 20), (42,)], [(57, "20")],
    [(0, 9)], [(21, 9), (0, 3)], [(21, 9), (21, 3)], [(float("nan"), 9), (0, 3)], [3, 6, 9],
    [9.5, 3.2], [float("nan")], ("50", 17), ("50", None), ("50", [17]), (0.4, 0.8), (40, 80),
    (0.4,), (0.4, 0.8, 0.9), [0.8] * 16, [1e308] * 16, [float("nan")] * 16, [[1.0]] * 16,
    [0.0] * 15, np.zeros(16), np.ones(16, dtype=complex), np.array(["x"] * 16), np.zeros((16, 16)),
    np.zeros((2, 2)), np.ma.masked_all(16), [1] * 100_000, [(3, 1)] * 100_000, ["O2"] * 100_000,
    range(10**9), range(3), SELF, NESTED, [SELF, SELF], [Raises(), Raises()], [Number()] * 16,
    iter([1, 2]), (x for x in (1, 2)), OrderedDict(a=1), UserDict(), SELF_TABLE, Table(schema=1),
    Table(RECORD), {1: 2}, {None: 1}, {Key(): 1}, {"depth": 1}, {"schema": 1, "kind": "state"},
    {"schema": True, "kind": "plan"}, {**RECORD, Key(): 1}, {**RECORD, "rows": SELF},
    {**RECORD, "input": {**RECORD["input"], Key(): 1}}, {**RECORD, "stops": NESTED},
    {**RECORD, "run_time": Integer(3)}, {**RECORD, "refused": Raises()},
]  # fmt: skip
OBJECTS: list[Any] = [
    None, object(), len, int, type, ..., NotImplemented, Raises(), Wrong(), Endless(), Short(),
    Number(), upline, upline.plan, upline.Plan, Lies(float), Lies(str), Lies(dict), Lies(list),
    Lies(upline.Gas), Lies(upline.State), Lies(upline.Environment), Lies(upline.Plan), Lies(bool),
    upline.Gas("32"), upline.Environment(altitude=640), PLAN, PLAN.end, PLAN.stops,
    upline.Environment(altitude=2000, units="imperial"), upline.DiveFile(), ValueError("x"),
    datetime.date(2000, 1, 1), datetime.timedelta(minutes=3), np.datetime64("NaT"), np.ndarray,
]  # fmt: skip
HOSTILE = [*NUMBERS, *TEXTS, *LISTS, *OBJECTS]
KEYWORDS = ["", "gff", "Depth", "self", "x" * 100_000, "\ud800", "a b", "units ", "__class__"]


def drawn(rng: random.Random) -> Any:
    """Draw a value, each kind as often as the others; at times a list of such values."""
    value = rng.choice(rng.choice([NUMBERS, TEXTS, LISTS, OBJECTS]))
    if rng.random() < 0.1:
        return [rng.choice(HOSTILE) for _ in range(rng.choice([1, 2, 2, 3, 16]))]
    return value

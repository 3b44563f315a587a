"""What a call may do: give a result, or raise an error of the library that says what to do."""

from __future__ import annotations

import math
import os
import time
from collections.abc import Callable
from typing import Any

import numpy as np
import upline

# A second, as promised; the sanitizers make the compiled part many times slower.
LONGEST = 10.0 if "asan" in os.environ.get("LD_PRELOAD", "") else 1.0


class Tally:
    """Results and errors of many calls, and the slowest of them."""

    def __init__(self) -> None:
        self.results: dict[str, int] = {}
        self.errors: dict[str, int] = {}
        self.slowest: tuple[float, str] = (0.0, "")

    def take(self, name: str, call: Callable[[], Any]) -> bool:
        """Make a call and return whether it gave a result."""
        seconds, fine = answered(call)
        for _ in range(2):  # a busy machine is no fault of the call
            if seconds < LONGEST:
                break
            seconds = min(seconds, answered(call)[0])
        assert seconds < LONGEST, name
        self.slowest = max(self.slowest, (seconds, name))
        count = self.results if fine else self.errors
        count[name] = count.get(name, 0) + 1
        return fine

    def totals(self) -> tuple[int, int]:
        return sum(self.results.values()), sum(self.errors.values())


def answered(call: Callable[[], Any]) -> tuple[float, bool]:
    """Return how long a call took, and whether it gave a result."""
    began = time.perf_counter()
    try:
        result = call()
    except upline.Error as error:
        seconds = time.perf_counter() - began
        require_helpful(error)
        return seconds, False
    seconds = time.perf_counter() - began
    require_sound(result)
    return seconds, True


def require_helpful(error: upline.Error) -> None:
    message = str(error)
    assert message.isascii(), message[:1000]
    assert message.isprintable(), message[:1000]
    assert len(message) < 1000, message[:1000]
    # Raised without the error it was made of: a traceback of foreign code helps nobody.
    assert error.__cause__ is None
    reason, found, remedy = message.partition(" Remedy: ")
    assert found, message
    assert len(reason) > 10, message
    assert len(remedy) > 5, message
    if isinstance(error, upline.InvalidInput):
        for part in (error.field, error.value, error.allowed, error.remedy):
            assert part.strip(), message
            assert part in message
        assert message.startswith(error.field)
        assert isinstance(error, TypeError) == isinstance(error, upline.WrongType)


def require_sound(result: Any) -> None:
    """No result may be a NaN in disguise, and whatever is shown can be shown."""
    if isinstance(result, float):
        assert not math.isnan(result)
    elif isinstance(result, np.ndarray):
        assert np.isfinite(result).all()
    elif isinstance(result, tuple):
        for one in result:
            require_sound(one)
    elif not isinstance(result, upline.DiveFile):  # it shows what it was given, whatever it is
        assert repr(result)
    if isinstance(result, upline.Plan):
        assert all(math.isfinite(row.ends) for row in result.rows)
        assert "does not make a dive safe" in str(result)
    if isinstance(result, upline.Trace):
        assert np.isfinite(result.tolerated).all()

"""What the tests of the readers of tables and of logs share."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

import pytest
import upline
from hostile.values import HOSTILE


def refusal_of(read: Callable[..., object], source: Any, **kwargs: Any) -> upline.InvalidInput:
    """Return the error with which a source is refused."""
    with pytest.raises(upline.InvalidInput) as caught:
        read(source, **kwargs)
    return caught.value


def refused_hostile(calls_with: Callable[[Any], Iterable[Callable[[], object]]], kind: type) -> int:
    """Return how many calls with hostile values are refused; all others must give this kind."""
    refused = 0
    for value in HOSTILE:
        for call in calls_with(value):
            try:
                assert isinstance(call(), kind)
            except upline.Error:
                refused += 1
    return refused


def seconds_taken(call: Callable[[], object]) -> float:
    """Return how long a call takes on the processor, which others may keep busy.

    The least of three: Python may collect garbage of a whole test run in one of them.
    """

    def once() -> float:
        began = time.process_time()
        call()
        return time.process_time() - began

    return min(once() for _ in range(3))


def refusal_of_ten_megabytes(
    read: Callable[..., object], path: Path, line: bytes
) -> upline.InvalidInput:
    """Return the error for a file of 10 MB, which must come at once."""
    path.write_bytes(line * (10_000_000 // len(line)))
    began = time.process_time()
    error = refusal_of(read, path)
    assert time.process_time() - began < 0.5
    return error


def clock(seconds: int, hours: bool = False) -> str:
    """Return seconds as m:ss, or as h:mm:ss."""
    if hours:
        return f"{seconds // 3600}:{seconds // 60 % 60:02d}:{seconds % 60:02d}"
    return f"{seconds // 60}:{seconds % 60:02d}"

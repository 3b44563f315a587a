"""Microseconds of one plan, in one run: C++ as built twice, Python, and a plain NumPy planner.

    python tests/bench/bench_plan.py [folder with upline_bench and upline_bench_v3]

Python is timed on the exact plan of row 1 of the reference rows and on the whole-minute plan of
row 2, which is what the NumPy planner computes (without oxygen, gas and cautions).
"""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import upline

sys.path.insert(0, str(Path(__file__).parents[1] / "python"))
from reference import notebook

DIVE = {"depth": 57, "bottom_time": 25, "gases": ["18/45", "50", "O2"], "last_stop": 6}
FRACTIONS = [(0.18, 0.45), (0.5, 0.0), (1.0, 0.0)]


def microseconds(call: Callable[[], object], calls: int, batches: int) -> float:
    """Least time of one call: the best of many batches, so that other work is left out."""
    best = float("inf")
    for _ in range(batches):
        begun = time.perf_counter()
        for _ in range(calls):
            call()
        best = min(best, (time.perf_counter() - begun) / calls)
    return best * 1e6


def exact() -> upline.Plan:
    """Plan row 1."""
    return upline.plan(**DIVE, gf="40/80", rounding="exact", switch_time=0)


def whole_minutes() -> upline.Plan:
    """Plan row 2."""
    return upline.plan(**DIVE, gf="40/80", rounding="departure", switch_time=0)


def by_numpy() -> tuple[list[tuple[float, float]], float, float]:
    """Plan row 2 as one would in a notebook."""
    return notebook.plan(57, 25, FRACTIONS, (0.4, 0.8), last_stop=6.0)


def check() -> None:
    """Time nothing that is not right."""
    assert abs(exact().run_time - 67.145731) <= 5e-7
    stops, run_time, _ = by_numpy()
    assert [(stop.depth, stop.departs) for stop in whole_minutes().stops] == stops
    assert abs(whole_minutes().run_time - run_time) <= 1e-9


def main() -> None:
    """Print one line for each."""
    check()
    for folder in sys.argv[1:2]:
        for name in ("upline_bench", "upline_bench_v3"):
            print(f"{name} (C++)", flush=True)
            subprocess.run([str(Path(folder) / name)], check=True)
    print("Python")
    ours = microseconds(exact, calls=200, batches=100)
    rounded = microseconds(whole_minutes, calls=200, batches=100)
    numpy = microseconds(by_numpy, calls=1, batches=400)
    print(f"upline.plan, exact (row 1):            {ours:8.1f} us")
    print(f"upline.plan, whole minutes (row 2):    {rounded:8.1f} us")
    print(f"plain NumPy, whole minutes (row 2):    {numpy:8.1f} us")
    print(
        f"NumPy to upline.plan: {numpy / ours:.0f} (exact), {numpy / rounded:.0f} (whole minutes)"
    )


if __name__ == "__main__":
    main()

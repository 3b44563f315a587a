"""Plans, checks and replays as data frames."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from . import _core, _messages
from ._optional import imported
from ._said import length_of

if TYPE_CHECKING:
    import pandas as pd
    from numpy.typing import NDArray

    from ._check_results import Check
    from ._core import Plan
    from ._replay import Replay

_SHORTEST, _LONGEST = 1.0 / 60.0, 1e5  # step of samples [min]
_MOST = 1e5  # of them


def plan_to_frame(plan: Plan, of: str = "rows") -> pd.DataFrame:
    """Return the rows or the stops of a plan, units in the names of the columns."""
    columns = {"rows": _rows, "stops": _stops}
    _require_table(of, "rows", "stops")
    return _frame("to_frame", columns[of](plan), plan.units, plan.assumptions)


def check_to_frame(check: Check) -> pd.DataFrame:
    """Return the rows of a table as they are followed."""
    rows = check.rows
    columns = {
        f"depth_{length_of(check.units)}": [row.depth for row in rows],
        "arrives_min": [row.arrives for row in rows],
        "departs_min": [row.departs for row in rows],
        "arrives_on": [str(row.arrives_on) for row in rows],
        "gas": [str(row.gas) for row in rows],
        "po2_bar": [row.po2 for row in rows],
        "margin_bar": [row.margin for row in rows],
        "held_by_min": [row.held_by for row in rows],
        "runner_up_min": [row.runner_up for row in rows],
        "gap_bar": [row.gap for row in rows],
        "added_min": [row.added for row in rows],
    }
    return _frame("Check.to_frame", columns, check.units, check.replay.assumptions)


def replay_to_frame(replay: Replay, of: object, step: object) -> pd.DataFrame:
    """Return a path moment by moment, or its stops."""
    _require_table(of, "samples", "stops")
    every = _core.number(step, "step", "min")
    columns = _loads(replay) if of == "stops" else _samples(replay, every)
    return _frame("Replay.to_frame", columns, replay.units, replay.assumptions)


def _require_table(of: object, *names: str) -> None:
    if _messages.is_none_of(of, names):
        allowed = " or ".join(f'"{name}"' for name in names)
        raise _core.invalid_input("of", _core.shown(of), allowed, "name one of the two tables")


def _frame(caller: str, columns: dict[str, Any], units: str, assumptions: str) -> pd.DataFrame:
    frame: pd.DataFrame = imported("pandas", caller, "pandas").DataFrame(columns)
    frame.attrs.update(units=units, assumptions=assumptions, foot=_core.foot)
    return frame


# ---- plan ----------------------------------------------------------------------------------------


def _rows(plan: Plan) -> dict[str, list[Any]]:
    length = length_of(plan.units)
    return {
        "phase": [row.phase for row in plan.rows],
        f"from_depth_{length}": [row.from_depth for row in plan.rows],
        f"to_depth_{length}": [row.to_depth for row in plan.rows],
        "begins_min": [row.begins for row in plan.rows],
        "ends_min": [row.ends for row in plan.rows],
        "duration_min": [row.minutes for row in plan.rows],
        "gas": [str(row.gas) for row in plan.rows],
        "po2_begins_bar": [row.po2_begins for row in plan.rows],
        "po2_ends_bar": [row.po2_ends for row in plan.rows],
        "held_by_min": [_number(row.held_by) for row in plan.rows],
    }


def _stops(plan: Plan) -> dict[str, list[Any]]:
    return {
        f"depth_{length_of(plan.units)}": [stop.depth for stop in plan.stops],
        "arrives_min": [stop.arrives for stop in plan.stops],
        "leave_at_min": [stop.departs for stop in plan.stops],
        "at_depth_min": [stop.minutes for stop in plan.stops],
        "stay_min": [stop.stay for stop in plan.stops],
        "arrives_on": [str(stop.arrives_on) for stop in plan.stops],
        "breathe": [str(stop.gas) for stop in plan.stops],
        "po2_bar": [stop.po2 for stop in plan.stops],
        "held_by_min": [_number(stop.held_by) for stop in plan.stops],
    }


def _number(half_time: float | None) -> float:
    return float("nan") if half_time is None else half_time


# ---- replay --------------------------------------------------------------------------------------


def _loads(replay: Replay) -> dict[str, list[Any]]:
    stops = replay.stops
    return {
        f"depth_{length_of(replay.units)}": [stop.depth for stop in stops],
        "arrives_min": [stop.arrives for stop in stops],
        "leave_at_min": [stop.departs for stop in stops],
        "breathe": [str(stop.gas) for stop in stops],
        "margin_bar": [stop.margin for stop in stops],
        "held_by_min": [stop.held_by for stop in stops],
        "runner_up_min": [stop.runner_up for stop in stops],
        "gap_bar": [stop.gap for stop in stops],
    }


def _samples(replay: Replay, step: float) -> dict[str, Any]:
    if not _SHORTEST <= step <= _LONGEST or replay.run_time / step > _MOST:
        least = max(_SHORTEST, replay.run_time / _MOST)
        raise _core.invalid_input(
            "step",
            _core.shown(step),
            f"{least:.4g} to {_LONGEST:g} min for a path of {replay.run_time:.6g} min",
            "give the minutes between samples",
        )
    path = replay._path
    grid = np.arange(0.0, replay.run_time, step)
    times = np.union1d(path.corners()["time"], grid)
    found = path.moments(times)
    length = length_of(replay.units)
    return {
        "run_time_min": times,
        f"depth_{length}": found["depth"],
        "gas": _gases(replay, found["row"]),
        "ambient_bar": found["ambient"],
        f"ceiling_{length}": found["ceiling"],
        "margin_bar": found["margin"],
        "margin_fraction": found["factor"] - found["fraction"],
        f"margin_{length}": found["depth"] - found["ceiling"],
        "fraction": found["fraction"],
        "factor": found["factor"],
        "held_by_min": found["half_time"],
        "counts": times >= replay.judged_from,
    }


def _gases(replay: Replay, rows: NDArray[Any]) -> NDArray[Any]:
    """Return the mix of each row, as `Gas` writes it."""
    stretches = replay._path.gases()
    first = [start for start, *_ in stretches]
    names = np.array([str(gas) for *_, gas in stretches], dtype=object)
    which: NDArray[Any] = names[np.searchsorted(first, rows, side="right") - 1]
    return which

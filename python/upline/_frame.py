"""Plans as data frames."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from . import _core, _messages

if TYPE_CHECKING:
    import pandas as pd

    from ._core import Plan


def plan_to_frame(plan: Plan, of: str = "rows") -> pd.DataFrame:
    """Return the rows or the stops of a plan, units in the names of the columns."""
    columns = {"rows": _rows, "stops": _stops}
    if _messages.is_none_of(of, columns):
        raise _core.invalid_input(
            "of", _core.shown(of), '"rows" or "stops"', "name one of the two tables"
        )
    try:
        import pandas as pd
    except ImportError:
        raise _core.Error(
            'to_frame needs pandas, which is not installed. Remedy: pip install "upline[pandas]".'
        ) from None
    frame = pd.DataFrame(columns[of](plan))
    frame.attrs.update(units=plan.units, assumptions=plan.assumptions, foot=_core.foot)
    return frame


def _rows(plan: Plan) -> dict[str, list[Any]]:
    length = _length(plan)
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
        f"depth_{_length(plan)}": [stop.depth for stop in plan.stops],
        "arrives_min": [stop.arrives for stop in plan.stops],
        "leave_at_min": [stop.departs for stop in plan.stops],
        "at_depth_min": [stop.minutes for stop in plan.stops],
        "stay_min": [stop.stay for stop in plan.stops],
        "arrives_on": [str(stop.arrives_on) for stop in plan.stops],
        "breathe": [str(stop.gas) for stop in plan.stops],
        "po2_bar": [stop.po2 for stop in plan.stops],
        "held_by_min": [_number(stop.held_by) for stop in plan.stops],
    }


def _length(plan: Plan) -> str:
    return "m" if plan.units == "metric" else "ft"


def _number(half_time: float | None) -> float:
    return float("nan") if half_time is None else half_time

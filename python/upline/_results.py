"""What results have in common: plain data, and frames of like things."""

from __future__ import annotations

from dataclasses import fields, is_dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from . import _core
from ._optional import imported

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping

    import pandas as pd


def plain(value: Any) -> Any:
    """Return results as what JSON holds: mixes as text, cautions by their words."""
    if isinstance(value, dict):
        return {name: plain(one) for name, one in value.items()}
    if isinstance(value, tuple | list):
        return [plain(one) for one in value]
    if is_dataclass(value):
        shown = (field.name for field in fields(value) if not field.name.startswith("_"))
        return {name: plain(getattr(value, name)) for name in shown}
    if isinstance(value, _core.Gas):
        return str(value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, _core.Caution):
        return {"code": value.code, "severity": value.severity, "text": value.text}
    if isinstance(value, _core.State):
        return value.to_dict()
    if isinstance(value, _core.OxygenDose):
        names = ("cns", "cns_total", "cns_total_without_recovery", "day_share", "otu", "otu_day")
        return {name: getattr(value, name) for name in names}
    return value


def data_of(result: Any, kind: str, without: Collection[str] = ()) -> dict[str, Any]:
    """Return a result as plain data that JSON can hold, with its schema and the foot."""
    names = (field.name for field in fields(result) if field.name not in without)
    data = plain({name: getattr(result, name) for name in names})
    return {"schema": 1, "kind": kind, **data, "foot": _core.foot}


def frame_of(
    lines: Iterable[object], columns: Mapping[str, str], units: str, caller: str
) -> pd.DataFrame:
    """Return a pandas DataFrame with a line for each object.

    Parameters
    ----------
    lines : iterable of object
    columns : dict
        Attribute to column, with its unit; a ``{length}`` in it becomes m or ft.
    units : "metric" or "imperial"
    caller : str
        For the error if pandas is missing.
    """
    frames = imported("pandas", caller, "pandas")
    length = "m" if units == "metric" else "ft"
    kept = list(lines)
    frame = frames.DataFrame(
        {
            column.format(length=length): [_cell(getattr(line, name)) for line in kept]
            for name, column in columns.items()
        }
    )
    frame.attrs.update(units=units, foot=_core.foot)
    return frame


def _cell(value: Any) -> Any:
    if isinstance(value, _core.Gas):
        return str(value)
    return ", ".join(value) if isinstance(value, tuple) else value

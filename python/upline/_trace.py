"""Traces as data frames."""

from __future__ import annotations

from typing import TYPE_CHECKING

from . import _core, _optional

if TYPE_CHECKING:
    import pandas as pd

    from ._core import Trace


def trace_to_frame(trace: Trace) -> pd.DataFrame:
    """Return one line for each sample, units in the names of the columns."""
    pandas = _optional.imported("pandas", "to_frame", "pandas")
    length = "m" if trace.units == "metric" else "ft"
    columns = {
        "run_time_min": trace.time,
        f"depth_{length}": trace.depth,
        "ambient_bar": trace.ambient,
        f"ceiling_{length}": trace.ceiling,
        "factor": trace.factor,
    }
    by_compartment = {
        "nitrogen_{}_bar": trace.nitrogen,
        "helium_{}_bar": trace.helium,
        "tolerated_{}_bar": trace.tolerated,
        "allowed_{}_bar": trace.allowed,
        "fraction_{}": trace.fraction,
    }
    for name, values in by_compartment.items():
        columns |= {name.format(j + 1): values[:, j] for j in range(values.shape[1])}
    frame: pd.DataFrame = pandas.DataFrame(columns)
    frame.attrs.update(
        units=trace.units,
        half_time_min=trace.half_time.tolist(),
        assumptions=trace.assumptions,
        foot=_core.foot,
    )
    return frame

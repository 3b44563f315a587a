"""The reference values that the package carries, and what this installation makes of them."""

from __future__ import annotations

import csv
import math
from dataclasses import dataclass
from importlib import resources
from typing import TYPE_CHECKING, Any, Literal

from . import _core
from ._model import cns_share
from ._plan import no_stop_limit, plan, rest

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping
    from importlib.resources.abc import Traversable

Row = dict[str, str]
Tables = dict[str, list[Row]]

# Column of reference_rows.csv by argument of plan(), where an empty cell means the default.
_ARGUMENTS = {
    "descent_rate": "descent_rate_per_min",
    "surfacing_rate": "surfacing_rate_per_min",
    "spacing": "spacing",
    "last_stop": "last_stop",
    "min_stop": "min_stop_min",
    "switch_time": "switch_time_min",
    "max_po2": "max_po2_bar",
}
_PLACE = {"altitude": "altitude_m", "water": "water_kg_per_m3"}
_UNITS: dict[str, Literal["metric", "imperial"]] = {"m": "metric", "ft": "imperial"}
_METRES = {"m": 1.0, "ft": 0.3048}  # international foot, exact


@dataclass(frozen=True)
class Check:
    """One reference value and what was computed for it.

    Attributes
    ----------
    table, row, what : str
        Where the value stands, and what it is, with its unit.
    given : str
        The value as the table has it.
    tolerance : float
        Largest difference that is agreement, in the unit of the value.
    computed : float
        NaN where nothing could be computed; `problem` then says why.
    source, confidence : str
        As the table has them.
    problem : str
        Empty where a value was computed.
    """

    table: str
    row: str
    what: str
    given: str
    tolerance: float
    computed: float
    source: str
    confidence: str
    problem: str = ""

    @property
    def difference(self) -> float:
        """Computed minus given; NaN where one of them is no number."""
        try:
            return self.computed - float(self.given)
        except ValueError:
            return math.nan

    @property
    def agrees(self) -> bool:
        """Whether the difference is within the tolerance; NaN is not."""
        return not self.problem and abs(self.difference) <= self.tolerance < math.inf


# ---- tables --------------------------------------------------------------------------------------


def installed() -> Traversable:
    """Folder of the tables that were installed beside the compiled part."""
    return resources.files(__package__) / "reference_values"


def tables(folder: Traversable | None = None) -> Tables:
    """Read every table of reference values.

    Raises
    ------
    Error
        If a table is missing, holds no row, or a row lacks cells.
    """
    where = installed() if folder is None else folder
    return {name: _table(where, name) for name in _CHECKS}


def _table(folder: Traversable, name: str) -> list[Row]:
    file = folder / f"{name}.csv"
    try:
        lines = file.read_text(encoding="utf-8").splitlines()
        rows = [line for line in lines if not line.startswith("#")]
        found = list(csv.DictReader(rows, strict=True))
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise _damaged(name, f"cannot be read ({error})") from None
    if not found:
        raise _damaged(name, "holds no row")
    if any(None in row or None in row.values() for row in found):
        raise _damaged(name, "has a row with more or fewer cells than columns")
    return found


def _damaged(table: str, what: str) -> _core.Error:
    return _core.Error(f"{table}.csv {what}. Remedy: install upline again.")


def pairs(text: str) -> list[tuple[float, float]]:
    """Read "57:20 42:45"."""
    found = []
    for pair in text.split():
        first, second = pair.split(":")
        found.append((float(first), float(second)))
    return found


# ---- dives ---------------------------------------------------------------------------------------


def planned(rows: Mapping[str, Row], name: str) -> _core.Plan:
    """Plan one row of reference_rows.csv, after the row that it follows."""
    row = rows[name]
    arguments: dict[str, Any] = {
        argument: float(row[column]) for argument, column in _ARGUMENTS.items() if row[column]
    }
    arguments["rounding"] = row["rounding"]
    levels = pairs(row["levels"])
    if len(levels) == 1:
        arguments["depth"], arguments["bottom_time"] = levels[0]
    else:
        arguments["depth"] = levels
    if row["ascent_rates_per_min"]:
        arguments["ascent_rate"] = pairs(row["ascent_rates_per_min"])
    if row["before"]:
        before = planned({key: rows[key] for key in rows if key != name}, row["before"])
        arguments["start"] = rest(before.end, float(row["rest_min"]))
    return plan(
        **arguments,
        gases=row["gases"].split(),
        gf=row["gf_percent"],
        environment=_environment(row),
        units=_UNITS[row["length_unit"]],
    )


def _environment(row: Row) -> _core.Environment | None:
    stated: dict[str, Any] = {
        argument: float(row[column]) for argument, column in _PLACE.items() if row[column]
    }
    if row["acclimatised_to"]:
        stated["acclimatised_to"] = row["acclimatised_to"]
    return _core.Environment(**stated) if stated else None


def anchor_in_metres(row: Row, dive: _core.Plan) -> float:
    """Return the anchor of a plan in the unit of the table, NaN where the plan has none."""
    return math.nan if dive.anchor is None else dive.anchor * _METRES[row["length_unit"]]


def stop_value(row: Row, stop: _core.Stop) -> float:
    """Return what the row gives of a stop: its minutes, or the run time at which it is left."""
    return {"minutes": stop.minutes, "leave_at": stop.departs}[row["stops_give"]]


def exposure(dive: _core.Plan, quantity: str) -> float:
    """Return a quantity of reference_exposure.csv, breathing what the head of the table says."""
    stated = plan(**dive.arguments | {"rmv": 20.0, "deco_rmv": 15.0})
    kind, _, gas = quantity.partition(" ")
    if kind == "gas":
        return math.nan if stated.gas_use is None else stated.gas_use[gas]
    return {
        "cns": stated.oxygen.cns,
        "otu": stated.oxygen.otu,
        "surfacing_fraction": stated.surfacing_fraction,
    }[kind]


# ---- checks --------------------------------------------------------------------------------------


def checks(found: Tables) -> list[Check]:
    """Compare every value of the tables with what this installation computes.

    Parameters
    ----------
    found : dict of str to list of dict
        As `tables` returns it.

    Returns
    -------
    list of Check
        In the order of the tables. A row for which nothing can be computed is one check with a
        problem, not an error.

    Raises
    ------
    Error
        If a table states no value at all.
    """
    made: list[Check] = []
    for table, check in _CHECKS.items():
        before = len(made)
        for row in found[table]:
            try:
                made += check(found, row)
            except (LookupError, TypeError, ValueError) as error:  # upline.Error is a ValueError
                name = next(iter(row.values()))
                problem = f"{type(error).__name__}: {error}"
                made.append(_check(table, row, name, "the row", "", "nan", math.nan, problem))
        if len(made) == before:
            raise _damaged(table, "states no value")
    return made


def _check(
    table: str,
    row: Row,
    name: str,
    what: str,
    given: str,
    tolerance: str,
    computed: float,
    problem: str = "",
) -> Check:
    source, confidence = row.get("source", ""), row.get("confidence", "")
    return Check(table, name, what, given, float(tolerance), computed, source, confidence, problem)


def _schedule(found: Tables, row: Row) -> Iterator[Check]:
    table, name, unit = "reference_rows", row["id"], row["length_unit"]
    dive = planned({one["id"]: one for one in found[table]}, name)
    if row["stops"]:
        given = [pair.partition(":")[::2] for pair in row["stops"].split()]
        yield _check(table, row, name, "stops", str(len(given)), "0", len(dive.stops))
        made = {stop.depth: stop_value(row, stop) for stop in dive.stops}
        how = {"minutes": "stay", "leave_at": "leave at"}[row["stops_give"]]
        for depth, value in given:
            what = f"{depth} {unit}, {how} [min]"
            computed = made.get(float(depth), math.nan)
            problem = "" if float(depth) in made else "no stop there"
            yield _check(table, row, name, what, value, row["stop_tol_min"], computed, problem)
    if row["anchor_m"]:
        anchor = anchor_in_metres(row, dive)
        yield _check(table, row, name, "anchor [m]", row["anchor_m"], row["anchor_tol_m"], anchor)
    if row["run_time_min"]:
        given_time, tolerance = row["run_time_min"], row["run_time_tol_min"]
        yield _check(table, row, name, "run time [min]", given_time, tolerance, dive.run_time)


def _exposure(found: Tables, row: Row) -> Iterator[Check]:
    what, unit = row["quantity"], row["unit"]
    dive = planned({one["id"]: one for one in found["reference_rows"]}, "1")
    computed = exposure(dive, what)
    yield _check(
        "reference_exposure", row, "1", f"{what} [{unit}]", row["value"], row["tol"], computed
    )


def _no_stop(found: Tables, row: Row) -> Iterator[Check]:
    name = f"{row['depth_m']} m on {row['gas']}, {row['gf_percent']}"
    computed = no_stop_limit(float(row["depth_m"]), row["gas"], gf=row["gf_percent"])
    given, tolerance = row["limit_min"], row["tol_min"]
    yield _check("reference_no_stop", row, name, "limit [min]", given, tolerance, computed)


def _share(found: Tables, row: Row) -> Iterator[Check]:
    name = f"{row['minutes']} min at {row['po2_bar']} bar"
    po2 = float(row["po2_bar"])
    computed = 100.0 * cns_share(float(row["minutes"]), po2, po2)
    given, tolerance = row["share_percent"], row["tol_percent"]
    yield _check("cns_checks", row, name, "share [%]", given, tolerance, computed)


# By table, in the order in which they are shown. CMakeLists.txt installs the same tables.
_CHECKS: dict[str, Callable[[Tables, Row], Iterator[Check]]] = {
    "reference_rows": _schedule,
    "reference_exposure": _exposure,
    "reference_no_stop": _no_stop,
    "cns_checks": _share,
}

"""Decompression schedules for dives on several gases, solved exactly.

This is what a mathematical model allows. It does not make a dive safe: decompression illness and
oxygen convulsions happen inside every published limit.

The Quince Blossom (invented), 57 m for 25 min on trimix, 50 % and oxygen for the ascent:

>>> import upline
>>> p = upline.plan(57, 25, ["18/45", "50", "O2"], gf="40/80", last_stop=6)
>>> [(stop.depth, stop.departs) for stop in p.stops][:3]
[(27.0, 29.0), (24.0, 31.0), (21.0, 33.0)]

``print(p)`` shows the table with its cautions, its assumptions and what it does not promise.
"""

from __future__ import annotations

from ._analysis import Analysis, judge_analyses
from ._best_mix import best_mix
from ._blend import blend
from ._boat_oxygen import boat_oxygen
from ._cascade import cascade
from ._check import check
from ._check_card import check_card
from ._consumption import consumption
from ._contingency import Deviation, contingencies
from ._core import (
    Caution,
    CompartmentSet,
    Cylinder,
    Environment,
    Error,
    Extreme,
    Extremes,
    Gas,
    InvalidInput,
    NoAscent,
    OxygenDose,
    Plan,
    Row,
    State,
    Stop,
    Switch,
    Trace,
    WrongType,
    __version__,
    models,
)
from ._dive_file import DiveFile, read_dive
from ._diver import Diver
from ._fitness import fitness, kit_rules
from ._kit import KitItem, KitSet
from ._kit_file import KitFile, read_kit
from ._log import read_log
from ._lost_gas import lost_gas
from ._model import (
    advance,
    cns_share,
    compartments,
    equilibrium_with_air,
    pulmonary_dose,
    supersaturation_fraction,
    tolerated_pressure,
)
from ._plan import no_stop_limit, plan, rest
from ._replay import replay
from ._reserve import deadlines, reserves, turn_pressures
from ._row_choice import choose_rows
from ._slate import slate
from ._stock import choose_gases
from ._swell import swell
from ._table import read_table
from ._team import common_schedule
from ._trip_demand import trip_demand
from ._wrong_gas import wrong_gases

__all__ = [
    "Analysis",
    "Caution",
    "CompartmentSet",
    "Cylinder",
    "Deviation",
    "DiveFile",
    "Diver",
    "Environment",
    "Error",
    "Extreme",
    "Extremes",
    "Gas",
    "InvalidInput",
    "KitFile",
    "KitItem",
    "KitSet",
    "NoAscent",
    "OxygenDose",
    "Plan",
    "Row",
    "State",
    "Stop",
    "Switch",
    "Trace",
    "WrongType",
    "__version__",
    "advance",
    "best_mix",
    "blend",
    "boat_oxygen",
    "cascade",
    "check",
    "check_card",
    "choose_gases",
    "choose_rows",
    "cns_share",
    "common_schedule",
    "compartments",
    "consumption",
    "contingencies",
    "deadlines",
    "equilibrium_with_air",
    "fitness",
    "judge_analyses",
    "kit_rules",
    "lost_gas",
    "models",
    "no_stop_limit",
    "plan",
    "pulmonary_dose",
    "read_dive",
    "read_kit",
    "read_log",
    "read_table",
    "replay",
    "reserves",
    "rest",
    "slate",
    "supersaturation_fraction",
    "swell",
    "tolerated_pressure",
    "trip_demand",
    "turn_pressures",
    "wrong_gases",
]

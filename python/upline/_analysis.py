"""A plan judged by what the analyser read."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from . import _core, _messages
from ._calls import checked, checked_class
from ._html_what_if import analyses_to_html
from ._results import data_of, frame_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    import pandas as pd

    from ._core import Gas, Plan

__all__ = ["AnalysedGas", "AnalysedPlan", "Analysis", "MixTrial", "judge_analyses"]


@checked_class
@dataclass(frozen=True)
class Analysis:
    """What the analyser read of one gas.

    Parameters
    ----------
    label : str or Gas
        The mix as the plan and the cylinder name it.
    reading : str or Gas
        What was read: "49.6", "17.8/44".
    oxygen_error, helium_error : float
        Up and down from the reading, as fractions [1], 0 to 0.1: 0.01 is 1 % absolute. Neither has
        a default; that of helium may be left out where the reading has none.

    Raises
    ------
    InvalidInput
        For what is no mix. `WrongType` for what is no number.
    """

    label: str | Gas
    reading: str | Gas
    oxygen_error: float
    helium_error: float | None = None

    def __post_init__(self) -> None:
        """Keep gases as gases and numbers as numbers."""
        error = self.helium_error
        if error is None and _core.gas_has_helium(self.reading):
            raise _core.invalid_input(
                "helium_error",
                "missing beside a reading with helium",
                "a fraction, such as 0.01",
                "state how far the helium may be from what was read; 0 if it is exact",
            )
        found = _core.analysis(
            self.label, self.reading, self.oxygen_error, 0.0 if error is None else error
        )
        for key, value in zip(self.__dataclass_fields__, found, strict=True):
            object.__setattr__(self, key, value)


@dataclass(frozen=True)
class AnalysedGas:
    """One gas, each number on the side of the error on which it is worse.

    Attributes
    ----------
    label, reading : Gas
    deepest, shallowest : float
        Where the plan breathes it [m or ft].
    operating_depth, label_depth : float
        Greatest depth of its richest mix, and of the label: by the plan's limit, and inside its
        tolerance only as deep as planned [m or ft].
    minimum_depth : float
        Least depth of its leanest mix [m or ft].
    highest_po2, po2_limit : float
        Of its richest mix where it is breathed deepest, and what the plan allows [bar].
    density : float
        Of its heaviest mix there, at 0 degrees C [g/L].
    narcotic_depth, narcotic_depth_nitrogen : float
        Of its most narcotic mix there, oxygen counted and nitrogen alone [m or ft].
    within_oxygen_limit, oxygen_suffices : bool
    """

    label: Gas
    reading: Gas
    deepest: float
    shallowest: float
    operating_depth: float
    label_depth: float
    minimum_depth: float
    highest_po2: float
    po2_limit: float
    density: float
    narcotic_depth: float
    narcotic_depth_nitrogen: float
    within_oxygen_limit: bool
    oxygen_suffices: bool


@dataclass(frozen=True)
class MixTrial:
    """A schedule dived on mixes within the errors.

    Attributes
    ----------
    mixes : int
        Combinations tried.
    surfacing_fraction : float
        The largest [1].
    margin : float
        The least, on the line raised by the allowance [bar].
    worst : tuple of Gas
        The mixes with the least margin, bottom gas first.
    holds : bool
    """

    mixes: int
    surfacing_fraction: float
    margin: float
    worst: tuple[Gas, ...]
    holds: bool


@dataclass(frozen=True)
class AnalysedPlan:
    """A plan judged by what was read; `judge_analyses` makes one, and ``print`` shows it.

    Attributes
    ----------
    plan : Plan
        That of the labels.
    remedy : "accept", "relabel", "plan lean" or "re-blend"
    gases : tuple of AnalysedGas
    label : MixTrial
        The schedule of the labels on what may be in the cylinders.
    as_read, as_read_trial : Plan and MixTrial, or None
        The dive planned with the readings, and its schedule within the same errors.
    leanest : Plan or None
        With every oxygen at the low end of its error, taken up at the label's depths.
    reason : str
        Why it cannot be planned with the readings; empty where it can.
    table : tuple of tuple of str
        The cells that are printed: a head, its units, then a line for each gas.
    findings : tuple of str
        What was found in sentences, the remedy first.
    text : str
    units : "metric" or "imperial"
    """

    plan: Plan
    remedy: str
    gases: tuple[AnalysedGas, ...]
    label: MixTrial
    as_read: Plan | None
    as_read_trial: MixTrial | None
    leanest: Plan | None
    reason: str
    table: tuple[tuple[str, ...], ...]
    findings: tuple[str, ...]
    text: str
    units: str

    def to_frame(self) -> pd.DataFrame:
        """Return the gases as a pandas DataFrame, units in the names of the columns.

        Raises
        ------
        Error
            If pandas is not installed; the message says how to get it.
        """
        columns = {
            "label": "label",
            "reading": "reading",
            "deepest": "deepest_{length}",
            "operating_depth": "operating_depth_{length}",
            "label_depth": "label_depth_{length}",
            "minimum_depth": "minimum_depth_{length}",
            "highest_po2": "highest_po2_bar",
            "density": "density_g_l",
            "narcotic_depth": "narcotic_depth_{length}",
            "narcotic_depth_nitrogen": "narcotic_depth_nitrogen_{length}",
        }
        return frame_of(self.gases, columns, self.units, "AnalysedPlan.to_frame")

    def to_dict(self) -> dict[str, Any]:
        """Return plain data that JSON can hold, with ``"schema": 1``: every schedule whole."""
        data = data_of(self, "analyses", without=("plan", "as_read", "leanest"))
        for name in ("plan", "as_read", "leanest"):
            whole = getattr(self, name)
            data[name] = None if whole is None else whole.to_dict()
        return data

    def _repr_html_(self) -> str:
        return analyses_to_html(self)

    def __str__(self) -> str:
        """Return the gases, what was found, and what it does not promise."""
        return self.text

    def __repr__(self) -> str:
        """Return the remedy."""
        return f"<upline.AnalysedPlan of {len(self.gases)} gases: {self.remedy}>"


@checked
def judge_analyses(
    plan: Plan, analyses: Analysis | Sequence[Analysis], *, allowance: float
) -> AnalysedPlan:
    """Judge a plan by what was analysed: whether the label holds on what may be in the cylinder.

    Each quantity is taken on the side of the error on which it is worse. The schedule of the plan
    is replayed on the ends and middles of the errors of all gases together.

    Parameters
    ----------
    plan : Plan
        What the labels were planned for.
    analyses : Analysis or sequence of Analysis
        One for each gas that was analysed; the others are taken as labelled.
    allowance : float
        By how much both gradient factors may be exceeded on the worst mix [1], 0 to 0.2. A
        schedule without slack leaves none for an analyser, so there is no default.

    Returns
    -------
    AnalysedPlan

    Raises
    ------
    InvalidInput
        For a gas that the plan does not have, one analysed twice, errors above 0.1, or too many
        gases. `WrongType` for what is no plan or no analysis.

    Notes
    -----
    That the worst mix is among those tried is likely, not proved. Source: docs/theory.md.

    Examples
    --------
    >>> import upline
    >>> p = upline.plan(57, 25, ["18/45", "50", "O2"], gf="40/80", last_stop=6)
    >>> rich = upline.Analysis("50", "52", oxygen_error=0.01)
    >>> upline.judge_analyses(p, rich, allowance=0.02).remedy
    'relabel'
    """
    asked = _messages.listed(
        "analyses",
        analyses,
        Analysis,
        "a list of upline.Analysis",
        'write [upline.Analysis("50", "49.6", oxygen_error=0.01)]',
    )
    given = [tuple(getattr(one, key) for key in one.__dataclass_fields__) for one in asked]
    found = _core.judge_analyses(plan, given, allowance)
    trial = found["as_read_trial"]
    return AnalysedPlan(
        plan=plan,
        remedy=found["remedy"],
        gases=tuple(AnalysedGas(**one) for one in found["gases"]),
        label=MixTrial(**found["label"]),
        as_read=found["as_read"],
        as_read_trial=None if trial is None else MixTrial(**trial),
        leanest=found["leanest"],
        reason=found["reason"],
        table=found["table"],
        findings=found["findings"],
        text=found["text"],
        units=found["units"],
    )

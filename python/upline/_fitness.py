"""Whether kit is fit for a gas, a pressure, a depth and a day, by rules that are named."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from . import _core, _messages
from ._calls import checked
from ._html_kit import fitness_to_html
from ._kit import KitSet, stated
from ._optional import imported
from ._results import data_of

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    import pandas as pd

    from ._core import Gas, Plan

__all__ = [
    "Fitness",
    "FitnessRule",
    "KitAdvice",
    "KitFinding",
    "SetFitness",
    "fitness",
    "kit_rules",
]


@dataclass(frozen=True)
class KitFinding:
    """What one rule says of one item.

    Attributes
    ----------
    item : str
        Name of the item, or "the whole set".
    kind : str
        Of the item; "set" for the whole.
    rule : str
        Its code, such as "inlet_pressure".
    verdict : "fit", "not fit" or "unknown"
    share : float
        Of oxygen that the item is judged at.
    found, limit : float or None
        In the measure of the rule [share, bar or psi, m or ft, degrees C or F]; None where it has
        none, or where the maker sets no limit.
    done, due : date or None
        Where the rule is about a date: when it was done, and to when that is good.
    missing : str or None
        Where unknown: the field that would decide it.
    because : str
        What was found, in words.
    whose : str
        Whose rule it is, and how sure it is that it says so.
    remedy : str
        What to do; empty where fit.
    """

    item: str
    kind: str
    rule: str
    verdict: str
    share: float
    found: float | None
    limit: float | None
    done: date | None
    due: date | None
    missing: str | None
    because: str
    whose: str
    remedy: str


@dataclass(frozen=True)
class KitAdvice:
    """Advice beside the verdict, which changes nothing in it.

    Attributes
    ----------
    code : str
    followed : "followed", "not followed" or "unknown"
    text : str
    """

    code: str
    followed: str
    text: str


@dataclass(frozen=True)
class SetFitness:
    """What was found of one set.

    Attributes
    ----------
    name : str
    gas : Gas
    share : float
        Of oxygen that is judged: the richer of gas and analysis.
    verdict : "fit", "not fit" or "unknown"
        The worst of its findings.
    sentence : str
        The verdict, and what it is not.
    line : str
        The share against the line that was chosen, and against its neighbours.
    judged_at : str
        Gas, pressure, filling and depths in words.
    breathed, carried : (float, float) or None
        Depths that were judged [m or ft].
    items : tuple of (str, str, str)
        Name, kind and verdict of each item.
    findings : tuple of KitFinding
        Item by item, then those of the whole set.
    advice : tuple of KitAdvice
    """

    name: str
    gas: Gas
    share: float
    verdict: str
    sentence: str
    line: str
    judged_at: str
    breathed: tuple[float, float] | None
    carried: tuple[float, float] | None
    items: tuple[tuple[str, str, str], ...]
    findings: tuple[KitFinding, ...]
    advice: tuple[KitAdvice, ...]


@dataclass(frozen=True)
class Fitness:
    """What was found of all sets; `fitness` makes it, and ``print`` shows it.

    Attributes
    ----------
    verdict : "fit", "not fit" or "unknown"
        The worst of its sets.
    sets : tuple of SetFitness
    table : tuple of tuple of str
        The findings as cells: a head, then one line each, the worst of each set first.
    text : str
    assumptions : str
        By what was judged.
    units : "metric" or "imperial"
    """

    verdict: str
    sets: tuple[SetFitness, ...]
    table: tuple[tuple[str, ...], ...]
    text: str
    assumptions: str
    units: str

    def to_frame(self) -> pd.DataFrame:
        """Return the findings as a pandas DataFrame, a line each.

        Raises
        ------
        Error
            If pandas is not installed; the message says how to get it.
        """
        frames = imported("pandas", "Fitness.to_frame", "pandas")
        names = ("item", "kind", "rule", "verdict", "share", "found", "limit", "done", "due",
                 "missing", "because", "whose", "remedy")  # fmt: skip
        lines = [
            {"set": one.name, **{name: getattr(finding, name) for name in names}}
            for one in self.sets
            for finding in one.findings
        ]
        frame: pd.DataFrame = frames.DataFrame(lines, columns=["set", *names])
        frame.attrs.update(units=self.units, assumptions=self.assumptions, foot=_core.foot)
        return frame

    def to_dict(self) -> dict[str, Any]:
        """Return plain data that JSON can hold, with ``"schema": 1``; days as texts."""
        return data_of(self, "kit fitness")

    def _repr_html_(self) -> str:
        return fitness_to_html(self)

    def __str__(self) -> str:
        """Return each set with what is not fit, what is unknown and what is fit, then advice."""
        return self.text

    def __repr__(self) -> str:
        """Return the verdict, and that of each set."""
        sets = ", ".join(f"{one.name}: {one.verdict}" for one in self.sets)
        return f"<upline.Fitness {self.verdict} ({sets})>"


@dataclass(frozen=True)
class FitnessRule:
    """A rule by which kit is judged.

    Attributes
    ----------
    rule : str
        Its code.
    threshold : float or None
        In its unit; None where the plate or the diver sets it.
    whose : str
        Whose rule, and how sure it is that it says so.
    asks : str
        What it asks, in a sentence.
    """

    rule: str
    threshold: float | None
    whose: str
    asks: str


@checked
def kit_rules(units: str = "metric") -> tuple[FitnessRule, ...]:
    """Return every rule by which kit is judged.

    Parameters
    ----------
    units : "metric" or "imperial"
        Of the thresholds; some are whole feet.

    Returns
    -------
    tuple of FitnessRule
        In the order in which findings stand.

    Raises
    ------
    InvalidInput
        For another system of units.

    Examples
    --------
    >>> import upline
    >>> [(one.threshold, one.whose) for one in upline.kit_rules() if one.rule == "oxygen_depth"]
    [(6.0, 'common practice, no source')]
    """
    return tuple(FitnessRule(**one) for one in _core.kit_rules(units))


@checked
def fitness(
    sets: KitSet | Sequence[KitSet],
    *,
    oxygen_line: float,
    day: date | str,
    water_temperature: float | None = None,
    cleaning_every: str | None = None,
    service_every: str | None = None,
    intermediate_every: str | None = None,
    leak_every: str | None = None,
    cylinder_test_every: str | None = None,
    outlet_en_144_3: bool | None = None,
    plan: Plan | None = None,
    units: str = "metric",
) -> Fitness:
    """Judge sets of kit by the ratings that were entered and the rule that was chosen.

    Each rule says fit, not fit or unknown. An item and a set are fit only where every rule that is
    asked says so; what is unknown is never taken for fit. Nothing is inspected, and no equipment
    is certified.

    Parameters
    ----------
    sets : KitSet or sequence of KitSet
        1 to 40.
    oxygen_line : 22, 23.5, 25 or 40
        Above how many per cent of oxygen a set counts as in oxygen service. There is no default.
    day : date or str
        Of the dive; dates are judged against it. There is no default.
    water_temperature : float, optional
        The coldest [degrees C or F].
    cleaning_every, service_every, intermediate_every : str, optional
        How long cleaning for oxygen, service and a measured intermediate pressure are good for:
        "24 months", "7 days", "5 years".
    leak_every, cylinder_test_every : str, optional
        The same of a check for leaks and of the test of a cylinder.
    outlet_en_144_3 : bool, optional
        Is EN 144-3, the outlet M26x2 above 22 %, followed here?
    plan : Plan, optional
        Where a set does not say at which depths it is breathed and carried, they are the plan's.
    units : "metric" or "imperial"
        Those of the sets and of the plan.

    Returns
    -------
    Fitness

    Raises
    ------
    InvalidInput
        For a line that is none of the four, another system of units, a record that is younger than
        the day of the dive, a gas that the plan does not breathe, and a plan that a caution
        refuses. `WrongType` for a value of another kind.

    Notes
    -----
    Rules with their thresholds and sources: `kit_rules`, and docs/theory.md.

    Examples
    --------
    >>> import upline
    >>> valve = upline.KitItem("valve", "valve A (invented)", largest_oxygen=0.4)
    >>> f = upline.fitness(
    ...     upline.KitSet("rich", "50", [valve]), oxygen_line=40, day="2026-11-25"
    ... )
    >>> f.verdict, f.sets[0].findings[1].because
    ('not fit', '50 %, rated for no more than 40 %')
    """
    chosen = {
        "oxygen_line": oxygen_line,
        "day": day,
        "water_temperature": water_temperature,
        "cleaning_every": cleaning_every,
        "service_every": service_every,
        "intermediate_every": intermediate_every,
        "leak_every": leak_every,
        "cylinder_test_every": cylinder_test_every,
        "outlet_en_144_3": outlet_en_144_3,
    }
    found = _core.fitness([stated(one) for one in _sets(sets, units)], chosen, plan, units)
    return Fitness(
        verdict=found["verdict"],
        sets=tuple(_set_fitness(one) for one in found["sets"]),
        table=tuple(found["table"]),
        text=found["text"],
        assumptions=found["assumptions"],
        units=found["units"],
    )


def _sets(given: object, units: object) -> list[KitSet]:
    """Return the sets, each of which must be stated in these units."""
    if _messages.is_a(given, KitSet):
        listed: list[Any] = [given]
    else:
        listed = _core.items(
            given, "sets", "a KitSet or a list of them", 'write upline.KitSet("rich", "50", items)'
        )
    for one in listed:
        if not _messages.is_a(one, KitSet):
            raise _core.wrong_type(
                "sets",
                f"given with {_core.shown(one)}",
                "a KitSet or a list of them",
                'write upline.KitSet("rich", "50", items)',
            )
        if _messages.is_none_of(units, (one.units,)):
            raise _core.invalid_input(
                "sets",
                f'stated with units="{one.units}", judged with units={_core.shown(units)}',
                "one system of units",
                f'write units="{one.units}", or state the sets in the other',
            )
    return listed


def _set_fitness(found: dict[str, Any]) -> SetFitness:
    findings = tuple(KitFinding(**one) for one in found["findings"])
    advice = tuple(KitAdvice(*one) for one in found["advice"])
    return SetFitness(**{**found, "findings": findings, "advice": advice})

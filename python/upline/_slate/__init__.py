"""A plan as it is cut into a slate: `slate`."""

from __future__ import annotations

import datetime
import hashlib
import json
import unicodedata
from typing import TYPE_CHECKING, Any, Literal

from .. import _core, _messages
from .._calls import checked
from .._contingency import Contingencies, Deviation, fields_of, listed
from .results import Slate, SlateBlock, SlateContingency, SlateGas, SlateParts, SlateRow

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from .._core import Plan

__all__ = ["slate"]


@checked
def slate(
    plan: Plan,
    contingencies: Contingencies | Deviation | Sequence[Deviation] = (),
    *,
    dive: str | None = None,
    date: str | datetime.date | None = None,
    team: str | Sequence[str] | None = None,
    surface_support: Literal["unknown", "yes", "no"] = "unknown",
    analysis: Mapping[str, float | tuple[float, float]] | None = None,
    turn_pressure: float | None = None,
    reserve: float | None = None,
) -> Slate:
    """Make a slate of a plan.

    Times are whole minutes with travel included. Where those of the plan are not, the dive is
    computed again with leave times on whole minutes and no stop shorter than planned, and the slate
    says so; so is each contingency.

    Parameters
    ----------
    plan : Plan
        Not refused.
    contingencies : Contingencies, Deviation or sequence of Deviation
        What may come otherwise, up to 50; one that has no schedule gets words and no times.
    dive, date, team : str, optional
        Up to 200 bytes each. The date may be a ``datetime.date``, the team a sequence of names.
        What is left out is a blank to fill in.
    surface_support : "unknown", "yes" or "no"
    analysis : dict, optional
        Mix to what the analyser read [%]: oxygen, or oxygen and helium, ``{"50": 50.4,
        "18/45": (18.2, 44.6)}``. Within one point of the mix; otherwise plan with the mix as it is.
    turn_pressure, reserve : float, optional
        Of the bottom gas, on the gauge [bar or psi], rounded up; blanks if left out.

    Returns
    -------
    Slate

    Raises
    ------
    InvalidInput
        For a plan that a caution refuses, which is named; for a dive that does not last a minute or
        reach a metre; for a reading too far from its mix, or beyond its oxygen limits; for what is
        out of range. `WrongType` for a value of the wrong kind.
    NoAscent
        If the dive cannot be left on whole minutes.

    Examples
    --------
    >>> import upline
    >>> p = upline.plan(57, 25, ["18/45", "50", "O2"], gf="40/80", last_stop=6)
    >>> s = upline.slate(p, upline.Deviation(later=5), dive="Quince Blossom (invented)")
    >>> s, s.rows[-1].leave_at, s.surface
    (<upline.Slate to 57 m, leaving by 25 min>, 69, 70)
    """
    if _messages.is_a(contingencies, Contingencies):
        if contingencies.planned != plan:
            raise _core.invalid_input(
                "contingencies", "of another plan", "those of this plan", "compute them for it"
            )
        asked = [row.what for row in contingencies.rows]
    else:
        asked = listed("contingencies", contingencies)
    heading = [_clean("dive", dive), _date(date), _team(team)]
    code = input_code(plan) if _messages.is_a(plan, _core.Plan) else ""
    said: dict[str, Any] = {
        "surface_support": surface_support,
        "turn_pressure": turn_pressure,
        "reserve": reserve,
        "analysis": _readings(analysis),
        "input_code": code,
    }
    for name, text in zip(("dive", "date", "team"), heading, strict=True):
        said[name] = "".join(map(_in_ascii, text))
    found = _core.slate(plan, [fields_of(one) for one in asked], said)
    parts = found["parts"]
    blocks = tuple(SlateBlock(**_tuples(block)) for block in parts.pop("blocks"))
    shown = [mine or blank for mine, blank in zip(heading, parts.pop("heading"), strict=True)]
    return Slate(
        plan=plan,
        **_schedule(found["schedule"]),
        contingencies=tuple(
            _contingency(what, row) for what, row in zip(asked, found["contingencies"], strict=True)
        ),
        gases=tuple(SlateGas(**one) for one in found["gases"]),
        cautions=found["cautions"],
        input_code=code,
        text=found["text"],
        parts=SlateParts(heading=tuple(shown), blocks=blocks, **_tuples(parts)),
        units=found["units"],
    )


def input_code(plan: Plan) -> str:
    """Return eight digits that name the input of a plan."""
    data = json.dumps(
        plan.to_dict()["input"], sort_keys=True, separators=(",", ":"), allow_nan=False
    )
    digits = hashlib.sha256(data.encode()).hexdigest().upper()
    return f"{digits[:4]} {digits[4:8]}"


# ---- what people say -----------------------------------------------------------------------------


def _clean(field: str, value: object) -> str:
    """Return a text on one line, without what cannot be printed."""
    if value is None:
        return ""
    if not _messages.is_a(value, str):
        raise _core.wrong_type(field, _core.shown(value), "a text", "put it in quotes")
    text = " ".join(_messages.exact(value).split())
    return "".join(c if c.isprintable() else "?" for c in text)


def _date(value: object) -> str:
    if _messages.is_a(value, datetime.date):
        return datetime.date.isoformat(datetime.date(value.year, value.month, value.day))
    return _clean("date", value)


def _team(value: object) -> str:
    if _messages.is_a(value, list, tuple):
        return ", ".join(_clean("team", one) for one in list(value))
    return _clean("team", value)


def _in_ascii(c: str) -> str:
    """Return what is engraved for a character: never longer than its bytes."""
    plain = unicodedata.normalize("NFKD", c).encode("ascii", "ignore").decode("ascii")
    return plain if plain and len(plain) <= len(c.encode("utf-8", "replace")) else "?"


def _readings(analysis: object) -> list[tuple[Any, Any, Any]]:
    """Return mix, oxygen and helium of each reading."""
    if analysis is None:
        return []
    allowed, remedy = "a dict of mix to reading", 'write {"50": 50.4, "18/45": (18.2, 44.6)}'
    if not _messages.is_a(analysis, dict):
        raise _core.wrong_type("analysis", _core.shown(analysis), allowed, remedy)
    found = []
    for mix, read in dict.items(analysis):
        both = tuple(read) if _messages.is_a(read, list, tuple) else (read, None)
        if len(both) != 2:
            raise _core.wrong_type("analysis", _core.shown(read), "oxygen, or a pair", remedy)
        found.append((mix, *both))
    return found


# ---- what is found -------------------------------------------------------------------------------


def _tuples(data: dict[str, Any]) -> dict[str, Any]:
    return {name: _tuple(value) for name, value in data.items()}


def _tuple(value: Any) -> Any:
    return tuple(map(_tuple, value)) if isinstance(value, list) else value


def _schedule(data: dict[str, Any]) -> dict[str, Any]:
    return {**data, "rows": tuple(SlateRow(**row) for row in data["rows"])}


def _contingency(what: Deviation, row: dict[str, Any]) -> SlateContingency:
    none = {"rows": (), "surface": None, "valid_to": None, "leave_by": None}
    schedule = none if row["schedule"] is None else _schedule(row["schedule"])
    schedule.pop("recomputed", None)
    return SlateContingency(
        what=what,
        name=row["name"],
        reason=row["reason"],
        cautions=row["cautions"],
        **schedule,
    )

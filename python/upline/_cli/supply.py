"""The command ``supply``: whether the gas of each diver of a dive file closes."""

from __future__ import annotations

import sys
import textwrap
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from .. import _core, _dive_file, _messages
from .._consumption import Consumption, RowGas, consumption
from .._results import plain
from .flags import (
    CANNOT_TELL,
    REFUSED,
    WIDTH,
    YES,
    Parser,
    add_command,
    as_json,
    number,
)
from .kept import Kept, kept_of, unanswered
from .plan import FLAGS as PLAN_FLAGS
from .plan import add_dive, dive_of, heading

if TYPE_CHECKING:
    import argparse

    from .._core import Plan

FLAGS = [*PLAN_FLAGS, "--stress-from"]


@dataclass(frozen=True)
class Answer:
    """What is known of one diver: the consumption, or what is missing for it."""

    name: str
    found: Consumption | None
    missing: str | None = None

    @property
    def first_short(self) -> RowGas | None:
        """The first row in which gas is missing."""
        rows = self.found.rows if self.found else ()
        return next((row for row in rows if row.short_by > 0.0), None)


def add(commands: argparse._SubParsersAction[Parser]) -> None:
    """Add the command."""
    parser = add_command(
        commands,
        "supply",
        "whether the gas of each diver of a dive file closes",
        "Print what each diver of a dive file breathes, from which cylinder, and what is left; "
        "then, if the file has [reserve] or [lost_gas], what must stay in the cylinders and at "
        "which moment a lost cylinder still lets everyone come up. Exit code 0: all of it closes "
        "for everyone, 1: it does not, or the plan is refused, 2: unusable input, 3: cannot tell, "
        "because a diver, a rate, a cylinder or a key is not stated.",
        "upline supply docs/examples/quince_team.toml\n"
        "  upline supply docs/examples/quince_team.toml --bottom-time 20 --stress-from 15",
    )
    parser.add_argument(
        "--stress-from",
        type=number,
        metavar="MIN",
        help="run time from which the stress rates count; left out: all goes well",
    )
    add_dive(parser)
    parser.set_defaults(run=run, flags=FLAGS)


def run(given: dict[str, Any]) -> int:
    """Print the answers, and return the exit code."""
    json_wanted, stress_from = given.pop("json"), given.pop("stress_from")
    try:
        dive = dive_of(given)
    except _core.InvalidInput as error:
        if not _is_unstated(error):
            raise
        return _cannot_read(error, json_wanted)
    plan = dive.plan()
    _require_moment(plan, stress_from)
    answers = [_answer(plan, diver, stress_from) for diver in dive.divers]
    known = bool(answers) and all(one.found is not None for one in answers)
    kept = kept_of(dive, plan) if known and not plan.refused else unanswered(dive)
    if json_wanted:
        print(as_json(_data(dive, plan, answers, kept)))
    else:
        print(_text(dive, plan, answers, kept), end="")
    if plan.refused:
        print("upline: refused: see the cautions marked refuses", file=sys.stderr)
        return REFUSED
    return {True: YES, False: REFUSED, None: CANNOT_TELL}[_all_closes(answers, kept)]


def _closes(answers: list[Answer]) -> bool | None:
    """Whether it closes for everyone; None where that cannot be told."""
    known = [one.found for one in answers if one.found is not None]
    if not all(found.closes for found in known):
        return False
    return True if known and len(known) == len(answers) else None


def _all_closes(answers: list[Answer], kept: Kept) -> bool | None:
    """Whether the dive and all that is asked beyond it close."""
    parts = (_closes(answers), kept.closes)
    if False in parts:
        return False
    return None if None in parts else True


# ---- what is not stated --------------------------------------------------------------------------


def _is_unstated(error: _core.InvalidInput) -> bool:
    """Whether a file names a diver but leaves out what an answer needs."""
    return error.value == "missing" and error.field.startswith("[[diver]]")


def _cannot_read(error: _core.InvalidInput, json_wanted: bool) -> int:
    text = f"cannot tell: {error}"
    if json_wanted:
        data = {
            "schema": 1,
            "kind": "supply",
            "closes": None,
            "divers": [],
            "missing": [str(error)],
        }
        print(as_json({**data, "foot": _core.foot}))
    else:
        print(textwrap.fill(f"{text[0].upper()}{text[1:]}", WIDTH))
        print("\n" + textwrap.fill(_core.foot, WIDTH))
    return CANNOT_TELL


def _require_moment(plan: Plan, stress_from: float | None) -> None:
    """Refuse a run time here, where it is no fault of a diver's."""
    if stress_from is not None and not 0.0 <= stress_from <= plan.run_time:
        raise _core.invalid_input(
            "--stress-from",
            _core.shown(stress_from),
            f"0 to {plan.run_time:g} min",
            "give a run time of this plan",
        )


def _answer(plan: Plan, diver: Any, stress_from: float | None) -> Answer:
    try:
        return Answer(diver.name, consumption(plan, diver, stress_from=stress_from))
    except _core.InvalidInput as error:
        without = "given without one of "
        if error.field != "cylinders" or not error.value.startswith(without):
            raise
        gas = error.value.removeprefix(without)
        return Answer(diver.name, None, f"no cylinder of {gas} is stated")


# ---- what is printed -----------------------------------------------------------------------------


def _text(dive: _dive_file.DiveFile, plan: Plan, answers: list[Answer], kept: Kept) -> str:
    head = heading(dive).rstrip("\n")
    blocks = [head] if head else []
    if plan.refused:
        reasons = [one.text for one in plan.cautions if one.severity == "refuses"]
        blocks.append("\n".join(_filled(text) for text in (_core.refusal, *reasons)))
    blocks.append(
        "\n".join(map(_filled, [_core.schedule_title(plan), *kept.verdicts(), *_verdicts(answers)]))
    )
    blocks += [_block(one) for one in answers]
    blocks += kept.blocks() or _not_asked(dive)
    blocks.append(
        _filled(f"Assumptions of the schedule: {plan.assumptions}") + f"\n{_core.no_time_to_fly}"
    )
    others = sum(one.severity != "refuses" for one in plan.cautions)
    if others:
        blocks.append(_filled(f"The plan has more to say ({others}): see upline plan."))
    return "\n\n".join([*blocks, _filled(_core.foot)]) + "\n"


def _verdicts(answers: list[Answer]) -> list[str]:
    """Return the answers at a glance, and what they do not say."""
    if not answers:
        return [
            "Cannot tell: the file names no diver. Remedy: add a [[diver]] table for each, with "
            "rates and cylinders (docs/dive-file.md)."
        ]
    lines = []
    for one in answers:
        name = _messages.plain(one.name, 60)
        if one.found is None:
            lines.append(f"{name}: cannot tell, {one.missing}.")
        elif one.found.closes:
            lines.append(f"{name}: the gas is there; nothing is kept in reserve in that.")
        else:
            lines.append(f"{name}: {one.found.verdict}")
    return lines


def _block(answer: Answer) -> str:
    """Return the table of one diver; the caution stands once, at the end."""
    if answer.found is None:
        name = _messages.plain(answer.name, 60)
        return (
            f"Gas of {name}\n\n"
            + _filled(f"Cannot tell: {answer.missing}, and the plan breathes it.")
        )  # fmt: skip
    body, _, last = answer.found.text.rstrip("\n").rpartition("\n\n")
    return body if " ".join(last.split()) == _core.foot else answer.found.text.rstrip("\n")


def _not_asked(dive: _dive_file.DiveFile) -> list[str]:
    """Say that nothing is kept for others where the file does not ask."""
    if not dive.divers or dive.reserve is not None or dive.lost_gas is not None:
        return []
    return [
        _filled(
            "Nothing is kept in reserve in these answers: the file has neither [reserve] nor "
            "[lost_gas]."
        )
    ]


def _filled(text: str) -> str:
    return textwrap.fill(text, WIDTH)


def _data(
    dive: _dive_file.DiveFile, plan: Plan, answers: list[Answer], kept: Kept
) -> dict[str, Any]:
    return {
        "schema": 1,
        "kind": "supply",
        "name": dive.name,
        "notes": dive.notes,
        "closes": _all_closes(answers, kept),
        "closes_as_planned": _closes(answers),
        "refused": plan.refused,
        "divers": [_diver_data(one) for one in answers],
        "missing": [f"{one.name}: {one.missing}" for one in answers if one.missing]
        or ([] if answers else ["the file names no diver"])
        or list(kept.missing),
        **kept.to_dict(),
        "cautions": plain(plan.cautions),
        "assumptions": plan.assumptions,
        "no_time_to_fly": _core.no_time_to_fly,
        "foot": _core.foot,
    }


def _diver_data(answer: Answer) -> dict[str, Any]:
    first = answer.first_short
    return {
        "name": answer.name,
        "closes": None if answer.found is None else answer.found.closes,
        "missing": answer.missing,
        "first_short": None if first is None else plain(first),
        "consumption": None if answer.found is None else answer.found.to_dict(),
    }

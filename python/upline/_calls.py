"""Calls whose arguments do not fit: an error of the library that names the nearest keyword."""

from __future__ import annotations

import functools
from typing import TYPE_CHECKING, Any, ParamSpec, TypeVar

from . import _core, _messages

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Sequence

    P = ParamSpec("P")
    R = TypeVar("R")
    C = TypeVar("C")


def checked(function: Callable[P, R]) -> Callable[P, R]:
    """Turn Python's own error for arguments that do not fit into one of the library.

    For functions and methods. The signature stays visible; what it costs is one more call.
    """
    is_method = "." in function.__qualname__

    @functools.wraps(function)
    def call(*args: P.args, **kwargs: P.kwargs) -> R:
        try:
            return function(*args, **kwargs)
        except TypeError as error:
            # Where the traceback ends here, nothing of the function was run.
            if error.__traceback__ is None or error.__traceback__.tb_next is not None:
                raise
            raise misfit_of(
                function, function.__qualname__, args, kwargs, bound=1 if is_method else 0
            ) from None

    return call


def checked_class(cls: type[C]) -> type[C]:
    """Do the same for the constructor of a class."""
    made = cls.__init__

    @functools.wraps(made)
    def init(self: C, /, *args: Any, **kwargs: Any) -> None:
        try:
            made(self, *args, **kwargs)
        except TypeError as error:
            if error.__traceback__ is None or error.__traceback__.tb_next is not None:
                raise
            raise misfit_of(made, cls.__name__, (self, *args), kwargs, bound=1) from None

    cls.__init__ = init  # type: ignore[assignment]
    return cls


def misfit_of(
    function: Callable[..., object],
    callee: str,
    args: Sequence[object],
    kwargs: Collection[str],
    bound: int = 0,
) -> _core.WrongType:
    """Return the error for arguments that do not fit a function, whose first `bound` are given."""
    import inspect

    parameters = list(inspect.signature(function).parameters.values())[bound:]
    named = [one for one in parameters if one.kind is not one.VAR_KEYWORD]
    by_position = [one for one in named if one.kind is not one.KEYWORD_ONLY]
    return misfit(
        callee,
        [one.name for one in named],
        len(by_position),
        [one.name for one in named if one.default is one.empty],
        len(args) - bound,
        kwargs,
    )


#: What `plan` takes by way of an `Environment`.
_OF_PLACES = ("altitude", "acclimatised_to", "surface_pressure", "water", "vapour")
#: More names than these bury the remedy behind them.
_FEW = 6


def misfit(
    callee: str,
    names: Sequence[str],
    positional: int,
    required: Sequence[str],
    given: int,
    keywords: Collection[str],
) -> _core.WrongType:
    """Return the error for a call with `given` arguments by position, and these keywords."""
    every = ", ".join(names) if names else "no arguments"
    allowed = every if len(names) <= _FEW else f"the {len(names)} names in help(upline.{callee})"
    for key in keywords:
        if key not in names:
            remedy = _remedy_for(key, names, keywords, callee)
            return _core.wrong_type(
                callee,
                f"given the unknown keyword {_messages.word(key)}",
                allowed if remedy else every,
                remedy or ("use these names" if names else "leave it out"),
            )
    if given > positional:
        value = f"given {given} {'argument' if given == 1 else 'arguments'} by position"
        taken = f" ({', '.join(names[:positional])})" if len(names) > _FEW else ""
        most = f"up to {positional} by position{taken}" if positional else "none by position"
        others = (
            f"name the others, such as {names[positional]}=..."
            if positional < len(names)
            else "leave them out"
        )
        return _core.wrong_type(callee, value, f"{most}; {allowed}", others)
    for name in names[:given]:
        if name in keywords:
            return _core.wrong_type(
                callee, f"given {name} twice", allowed, "give it by position or by name"
            )
    for name in required:
        if name not in keywords and name not in names[:given]:
            return _core.wrong_type(callee, f"given no {name}", allowed, f"add {name}")
    return _core.wrong_type(callee, "given arguments that do not fit", every, "use these names")


#: Names for the breathing rate that are in use, and those of `plan`.
_RATES = {"sac": "rmv", "deco_sac": "deco_rmv", "bottom_sac": "rmv"}


def _remedy_for(
    key: str, names: Sequence[str], keywords: Collection[str], callee: str
) -> str | None:
    """Return what was probably meant by a keyword that is none of these names."""
    if key in _OF_PLACES and "environment" in names:
        return f"write environment=upline.Environment({key}=...)"
    if key == "time" and callee == "replay":
        return 'write upline.replay(upline.read_log(log, time="s"), ...)'
    if key in _RATES and _RATES[key] in names:
        return f"write {_RATES[key]}"
    if key == "time" and "bottom_time" in names:  # nearer to switch_time by its letters
        return "write bottom_time"
    meant = _messages.nearest(key, [name for name in names if name not in keywords])
    return f"write {meant}" if meant else None

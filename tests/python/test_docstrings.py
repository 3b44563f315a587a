"""The examples in the docstrings are run."""

from __future__ import annotations

import doctest
import importlib
import inspect
import pkgutil

import pytest
import upline

MODULES = [upline.__name__] + [
    f"upline.{module.name}"
    for module in pkgutil.iter_modules(upline.__path__)
    if module.name not in ("_core", "__main__")
]
CLASSES = [thing for _, thing in inspect.getmembers(upline, inspect.isclass)]


def examples() -> list[doctest.DocTest]:
    found: dict[str, doctest.DocTest] = {}
    for name in MODULES:
        for case in doctest.DocTestFinder(exclude_empty=True).find(importlib.import_module(name)):
            found[case.name] = case
    for one in CLASSES:
        case = doctest.DocTestParser().get_doctest(
            one.__doc__ or "", dict(vars(upline)), f"upline.{one.__name__}", None, 0
        )
        found.setdefault(case.name, case)
    return [case for case in found.values() if case.examples]


CASES = examples()


def test_there_are_examples() -> None:
    assert len(CASES) >= 12


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_examples(case: doctest.DocTest) -> None:
    runner = doctest.DocTestRunner()
    runner.run(case)
    assert runner.summarize(verbose=False).failed == 0


@pytest.mark.parametrize("name", upline.__all__)
def test_everything_public_is_described(name: str) -> None:
    thing = getattr(upline, name)
    if callable(thing):
        assert thing.__doc__, f"{name} has no docstring"
        assert thing.__module__.startswith("upline")

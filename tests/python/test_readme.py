"""README says what is true: its examples run and print what stands there."""

from __future__ import annotations

import doctest
import re
from pathlib import Path

import upline

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def blocks(language: str) -> list[str]:
    found = re.findall(rf"^```{language}\n(.*?)^```", README, re.MULTILINE | re.DOTALL)
    assert found, f"README has no {language} block"
    return found


def test_the_python_example_prints_what_stands_there() -> None:
    runner = doctest.DocTestRunner()
    tried = 0
    for block in blocks("python"):
        case = doctest.DocTestParser().get_doctest(block, {}, "README.md", "README.md", 0)
        tried += len(case.examples)
        runner.run(case)
    assert tried >= 5
    assert runner.failures == 0


def test_the_cpp_example_is_the_program_that_the_consumers_build() -> None:
    consumer = (ROOT / "tests" / "consumer" / "main.cpp").read_text(encoding="utf-8")
    code = consumer[consumer.index("#include") :]
    assert blocks("cpp") == [code]


def test_the_printed_schedule_is_the_one_computed() -> None:
    plan = upline.plan(57, 25, ["18/45", "50", "O2"], gf="40/80", last_stop=6)
    assert blocks("text") == [str(plan)]


def test_it_opens_with_the_job_and_carries_the_caution() -> None:
    first = README.split("\n\n")[1]
    assert first.startswith("A technical-diving instructor or trip leader")
    assert "decompression illness and oxygen convulsions happen inside every published limit" in (
        README
    )
    assert "licence" in README

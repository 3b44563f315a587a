"""What README and the documentation show is true: every block of code in them runs."""

from __future__ import annotations

import doctest
import os
import re
import shutil
import subprocess
import sys
import tomllib
from functools import cache
from pathlib import Path
from typing import NamedTuple

import pytest
import upline
from upline import _core, _dive_file, _kit_file

ROOT = Path(__file__).parents[2]
DOCS = ROOT / "docs"
PAGES = sorted([ROOT / "README.md", *DOCS.rglob("*.md")])

# Directives of the site that hold no code: Sphinx itself complains about what is wrong in them.
_DIRECTIVES = {
    "{admonition}",
    "{bibliography}",
    "{doxygenfile}",
    "{eval-rst}",
    "{include}",
    "{literalinclude}",
    "{py:module}",
    "{toctree}",
}


class Block(NamedTuple):
    """A fenced block of a page."""

    page: str
    language: str
    tags: str
    code: str


def text_of(path: Path) -> str:
    return path.read_text(encoding="utf-8")


@cache
def blocks() -> tuple[Block, ...]:
    fence = re.compile(r"^```(\S+)[^\n]*\n((?::[^\n]*\n)*)(.*?)^```$", re.MULTILINE | re.DOTALL)
    found = [
        Block(path.relative_to(ROOT).as_posix(), *match.groups())
        for path in PAGES
        for match in fence.finditer(text_of(path))
    ]
    assert len(found) > 100
    return tuple(found)


def blocks_in(language: str) -> list[Block]:
    found = [block for block in blocks() if block.language == language]
    assert found, f"no block of {language}"
    return found


def test_no_block_escapes() -> None:
    fences = sum(len(re.findall(r"^```\S", text_of(path), re.MULTILINE)) for path in PAGES)
    assert len(blocks()) == fences
    # text: README's printed schedule, compared in test_readme.py; cmake: built in tests/consumer.
    tried = {"{code-cell}", "python", "cpp", "sh", "toml", "text", "cmake"}
    assert {block.language for block in blocks()} <= tried | _DIRECTIVES
    assert {block.page for block in blocks_in("text")} == {"README.md"}


# ---- Python --------------------------------------------------------------------------------------


@pytest.mark.parametrize("page", sorted({block.page for block in blocks_in("{code-cell}")}))
def test_the_cells_of_a_page_run(page: str, capsys: pytest.CaptureFixture[str]) -> None:
    """In order and in one namespace, as the site runs them; what should fail does."""
    pyplot = pytest.importorskip("matplotlib.pyplot")
    pytest.importorskip("pandas")
    pyplot.switch_backend("Agg")
    namespace: dict[str, object] = {"__name__": page}
    ran = 0
    for block in blocks_in("{code-cell}"):
        if block.page != page or block.code.lstrip().startswith("!"):
            continue
        code = compile(block.code, page, "exec")
        if "raises-exception" in block.tags:
            with pytest.raises(upline.Error):
                exec(code, namespace)
        else:
            exec(code, namespace)
        ran += 1
    pyplot.close("all")
    assert ran or page == "docs/guide/command-line.md"


def test_examples_with_a_prompt_print_what_stands_there() -> None:
    runner = doctest.DocTestRunner()
    for block in blocks_in("python"):
        runner.run(doctest.DocTestParser().get_doctest(block.code, {}, block.page, block.page, 0))
    assert runner.tries >= 5
    assert runner.failures == 0


# ---- C++ -----------------------------------------------------------------------------------------


@pytest.mark.cpp
@pytest.mark.skipif(not (shutil.which("cmake") and shutil.which("g++")), reason="no C++ compiler")
def test_the_programs_in_cpp_build_and_run(tmp_path: Path) -> None:
    programs = [block for block in blocks_in("cpp") if "int main()" in block.code]
    assert len(programs) == len(blocks_in("cpp"))
    assert len(programs) >= 7
    lines = [
        "cmake_minimum_required(VERSION 3.24)",
        "project(docs LANGUAGES CXX)",
        f'add_subdirectory("{ROOT}" upline)',
        "find_package(Threads REQUIRED)",
    ]
    for number, block in enumerate(programs):
        (tmp_path / f"docs{number}.cpp").write_text(block.code, encoding="utf-8")
        lines.append(f"add_executable(docs{number} docs{number}.cpp)")
        lines.append(f"target_link_libraries(docs{number} PRIVATE upline::upline Threads::Threads)")
        lines.append(f"target_compile_options(docs{number} PRIVATE -Wall -Wextra -Werror)")
    (tmp_path / "CMakeLists.txt").write_text("\n".join(lines), encoding="utf-8")
    build = tmp_path / "build"
    for command in (
        ["cmake", "-S", tmp_path, "-B", build, "-DCMAKE_CXX_COMPILER=g++", "--log-level=WARNING"],
        ["cmake", "--build", build],
    ):
        done = subprocess.run(command, capture_output=True, text=True)
        assert done.returncode == 0, done.stdout + done.stderr
    for number, block in enumerate(programs):
        done = subprocess.run([build / f"docs{number}"], capture_output=True, text=True)
        assert done.returncode == 0, (block.page, done.stderr)
        assert done.stdout


# ---- command line --------------------------------------------------------------------------------

# Lines that are shown because they fail.
_EXIT_CODES = {
    "upline plan docs/examples/quince.toml --gf 40": 2,
    "upline plan docs/examples/quince.toml --gas 21/20 50": 1,
    "upline kit docs/examples/quince_kit.toml --dive docs/examples/quince.toml --oxygen-line 40 "
    "--day 2026-11-25": 1,
    "upline supply docs/examples/quince_team.toml --bottom-time 20 --stress-from 20": 1,
    "upline check '27/1 24/2 21/1 18/2 15/2 12/4 9/6 6/21' --depth 57 --bottom-time 25 "
    "--gas 18/45 50 O2 --gf 40/80 --switch-time 0": 3,
}


def shell_lines() -> list[tuple[str, str]]:
    return [
        (block.page, line.removeprefix(".venv/bin/"))
        for block in blocks_in("sh")
        for line in block.code.splitlines()
        if line.removeprefix(".venv/bin/").startswith("upline ")
    ]


def test_the_lines_of_the_shell_run(tmp_path: Path) -> None:
    (tmp_path / "docs").symlink_to(DOCS)
    path = os.pathsep.join([str(Path(sys.executable).parent), os.environ["PATH"]])
    lines = shell_lines()
    assert len(lines) >= 8
    assert set(_EXIT_CODES) <= {line for _, line in lines}
    for page, line in lines:  # in order: one writes the file that the next one reads
        done = subprocess.run(
            line,
            shell=True,
            cwd=tmp_path,
            env={**os.environ, "PATH": path},
            capture_output=True,
            text=True,
        )
        assert done.returncode == _EXIT_CODES.get(line, 0), (page, line, done.stderr)


def test_the_output_shown_is_that_of_the_line_above_it() -> None:
    """A hidden cell runs what the visible block before it says."""
    page = text_of(DOCS / "guide" / "command-line.md")
    pair = re.compile(r"^```sh\n([^`]*?)^```\n+^```\{code-cell\}[^\n]*\n[^`]*?^!([^\n]*)", re.M)
    pairs = pair.findall(page)
    assert len(pairs) == page.count("\n!") >= 5
    for shown, hidden in pairs:
        line = hidden.removeprefix("cd ../.. && ").removesuffix('; echo "exit code $?"')
        assert line == shown.splitlines()[-1]


# ---- dive files ----------------------------------------------------------------------------------


def test_the_dive_files_are_read_and_planned() -> None:
    for block in blocks_in("toml"):
        if "[dive]" in block.code:
            plan = _dive_file.dive_from_toml(block.code, DOCS / "examples").plan()
            assert plan.stops
        elif "[[set]]" in block.code:
            assert _kit_file.kit_from_toml(block.code).sets
        else:
            tomllib.loads(block.code)


# ---- cautions ------------------------------------------------------------------------------------


def test_every_caution_is_explained_and_shown() -> None:
    header = text_of(ROOT / "cpp" / "include" / "upline" / "caution.hpp")
    codes = set(re.findall(r"CodeName\{CautionCode::\w+, \"(\w+)\"\}", header))
    assert len(codes) >= 17

    page = text_of(DOCS / "guide" / "cautions.md")
    row = re.compile(r"^\| `(\w+)` \| ([a-z, ]+) \| [^|]{10,} \| [^|]{10,} \|$", re.MULTILINE)
    explained = {
        code: set(severities.split(", "))
        for code, severities in row.findall(page.partition("## Errors")[0])
    }
    assert set(explained) == codes
    theory = text_of(DOCS / "theory.md").partition("## Cautions")[2]
    assert set(re.findall(r"^\| `(\w+)` \|", theory, re.MULTILINE)) == codes

    namespace: dict[str, dict[tuple[str, str], str]] = {}
    for block in blocks_in("{code-cell}"):
        if block.page == "docs/guide/cautions.md" and "raises-exception" not in block.tags:
            exec(block.code, namespace)
    shown: dict[str, set[str]] = {code: set() for code in codes}
    for code, severity in namespace["said"]:
        shown[code].add(severity)
    assert shown == explained


def test_the_site_carries_the_caution() -> None:
    assert _core.foot in text_of(DOCS / "index.md")
    assert _core.no_time_to_fly in text_of(DOCS / "index.md")


# ---- reference -----------------------------------------------------------------------------------


def test_the_reference_is_complete() -> None:
    page = text_of(DOCS / "reference" / "python.md")
    listed = re.findall(r"^\.\. (?:auto\w+|py:data):: (\w+)$", page, re.MULTILINE)
    assert sorted(listed) == sorted(set(upline.__all__) - {"__version__"})
    for kind in (upline.Plan, upline.State, upline.Trace):
        members = re.search(rf"autoclass:: {kind.__name__}\n   :members: (.*)", page)
        assert members is not None
        methods = {
            name
            for name, value in vars(kind).items()
            if not name.startswith("_") and not isinstance(value, property)
        }
        assert set(members[1].split(", ")) == methods


def test_every_public_header_is_in_the_reference() -> None:
    headers = {path.name for path in (ROOT / "cpp" / "include" / "upline").glob("*.hpp")}
    listed = {
        line.split()[-1]
        for path in (DOCS / "reference" / "cpp").glob("*.md")
        for line in text_of(path).splitlines()
        if line.startswith("```{doxygenfile} ")
    }
    assert listed == headers - {"upline.hpp"}


def test_the_equations_are_numbered_in_order() -> None:
    numbers = [int(number) for number in re.findall(r"\\tag\{(\d+)\}", text_of(DOCS / "theory.md"))]
    assert numbers == list(range(1, len(numbers) + 1))
    assert len(numbers) >= 20
    # Sphinx puts a display with a double backslash into an environment that allows no tag.
    displays = re.findall(r"^\$\$(.*?)\$\$", text_of(DOCS / "theory.md"), re.MULTILINE | re.DOTALL)
    assert len(displays) == len(numbers)
    assert not [display for display in displays if r"\\" in display]

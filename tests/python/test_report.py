"""The report of validation/ is up to date, counts every table, and hides no difference."""

from __future__ import annotations

import re
import shutil
import sys
from pathlib import Path

import pytest

VALIDATION = Path(__file__).parents[2] / "validation"
sys.path.insert(0, str(VALIDATION))

from record import lines, page, schedules, tables, values  # noqa: E402

REPORT = VALIDATION / "report.md"


@pytest.fixture(scope="module")
def sections() -> list[lines.Section]:
    return [*schedules.sections(), *values.sections()]


def test_the_report_is_up_to_date() -> None:
    assert page.page() == REPORT.read_text("utf-8"), "run python validation/report.py"


def test_every_table_is_listed_and_none_is_missing() -> None:
    assert sorted(path.stem for path in tables.DATA.glob("*.csv")) == list(tables.TABLES)


@pytest.mark.parametrize("name", tables.TABLES)
def test_the_rows_of_every_table_are_counted(name: str) -> None:
    assert len(tables.rows(name)) == tables.TABLES[name][0]


def test_a_table_that_lost_a_row_or_is_gone_is_noticed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shutil.copytree(tables.DATA, tmp_path / "data")
    monkeypatch.setattr(tables, "DATA", tmp_path / "data")
    file = tmp_path / "data" / "haldane1908_limits.csv"
    file.write_text("\n".join(file.read_text("utf-8").splitlines()[:-1]), "utf-8")
    with pytest.raises(ValueError, match="holds 4 rows, listed are 5"):
        tables.rows("haldane1908_limits")
    file.unlink()
    with pytest.raises(FileNotFoundError):
        tables.rows("haldane1908_limits")


# Tables whose tags stand at their head, in their sources or in a table of columns.
WITHOUT_TAGS = {
    "compressibility", "fitness_cases", "limit_values", "segment_values", "zhl16_coefficients",
}  # fmt: skip
TAGS = ("read", "secondary", "derived", "definition", "from memory, to be confirmed", "row 1")


@pytest.mark.parametrize("name", sorted(set(tables.TABLES) - WITHOUT_TAGS))
def test_every_row_says_how_sure_it_is(name: str) -> None:
    for row in tables.rows(name):
        found = [tag for column, tag in row.items() if column.startswith("confidence")]
        assert any(found)
        assert all(tag.startswith(TAGS) for tag in found if tag)


@pytest.mark.parametrize("name", tables.TABLES)
def test_every_table_says_what_it_tolerates(name: str) -> None:
    head = (tables.DATA / f"{name}.csv").read_text("utf-8")
    assert head.startswith("# What:")
    assert "\n# Tol:" in head or name == "zhl16_columns"


def test_what_is_outside_its_tolerance_stands_at_the_top_with_its_reason(
    sections: list[lines.Section],
) -> None:
    outside = [line for one in sections for line in one.lines if line.verdict == "outside"]
    assert len(outside) == 10
    assert all(line.because for line in outside)
    top = REPORT.read_text("utf-8").partition("## Overview")[0]
    for line in outside:
        assert f"| {line.what} | {line.given} | {line.computed} |" in top
        assert line.because in top


def test_no_recalled_value_goes_without_its_tag(sections: list[lines.Section]) -> None:
    assert all(line.confidence.startswith(TAGS) for one in sections for line in one.lines)
    recalled = [line for line in sections[0].lines if "from memory" in line.confidence]
    assert len(recalled) == len(sections[0].lines) == 98


# ---- what the record shows -----------------------------------------------------------------------


def section(sections: list[lines.Section], title: str) -> lines.Section:
    (found,) = [one for one in sections if one.title.startswith(title)]
    return found


def test_french_navy_rows(sections: list[lines.Section]) -> None:
    french = section(sections, "French Navy")
    assert french.exact == 97
    assert french.count("within") == 98


def test_standard_air_rows(sections: list[lines.Section]) -> None:
    standard = section(sections, "Standard Air")
    assert standard.lines[0].difference < 1.0
    assert len(standard.lines) == 1 + 65
    assert standard.count("within") == 66


def test_swiss_rows(sections: list[lines.Section]) -> None:
    assert section(sections, "Swiss air table of 1986, 0").count("within") == 29
    assert section(sections, "Swiss air table of 1986: no-stop").count("shown") == 11


def test_linear_washout(sections: list[lines.Section]) -> None:
    navy = section(sections, "US Navy no-stop")
    assert navy.count("within") == 8
    trial = section(sections, "170 fsw")
    assert trial.exact == len(trial.lines) == 8


# ---- how differences are written ----------------------------------------------------------------


@pytest.mark.parametrize(
    ("value", "decimals", "text"),
    [(0.04, 1, "0.0"), (-0.04, 1, "0.0"), (-1.0, 0, "-1"), (2.0, 0, "+2"), (0.0, 2, "0.00")],
)
def test_signs(value: float, decimals: int, text: str) -> None:
    assert lines.signed(value, decimals) == text


def test_verdicts() -> None:
    def verdict(computed: float, tolerance: float | None) -> str:
        return lines.compared("x", "1.0", computed, tolerance, "read").verdict

    assert verdict(1.05, 0.05) == "within"
    assert verdict(1.051, 0.05) == "outside"
    assert verdict(0.949, 0.05) == "outside"
    assert verdict(7.0, None) == "shown"
    assert lines.compared("x", "1.0", 1.0 + 1e-12, 0.05, "read").computed == "1.0"
    assert lines.schedules("x", {3: 5}, {6: 1, 3: 5}, 1.0, "read").computed == "6:1 3:5"
    assert lines.schedules("x", {3: 5}, {}, 4.0, "read").verdict == "outside"
    assert lines.schedules("x", {3: 5}, {}, 5.0, "read").computed == "none"


# ---- sources ------------------------------------------------------------------------------------

BIBLIOGRAPHY = VALIDATION.parent / "docs" / "references.bib"
WITH_KEYS = sorted(
    name
    for name in tables.TABLES
    if "\n# Source:" in (tables.DATA / f"{name}.csv").read_text("utf-8")
)
# Sources that are no publication, or whose publication was not recorded.
WITHOUT_KEY = (
    "derived",
    "common advice",
    "rules of 1989, source not recorded",
    "NOAA newsletter of October 1999",
)


@pytest.mark.parametrize("name", WITH_KEYS)
def test_every_source_is_in_the_bibliography(name: str) -> None:
    keys = set(re.findall(r"^@\w+\{(\w+),", BIBLIOGRAPHY.read_text("utf-8"), re.M))
    for row in tables.rows(name):
        source = row.get("source", "derived")
        assert source.partition(",")[0] in keys or source.startswith(WITHOUT_KEY)


def test_the_tables_with_keys_are_found() -> None:
    assert len(WITH_KEYS) == 31

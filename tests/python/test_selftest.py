"""The check of an installation: it passes, and it fails on whatever is wrong."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
import upline
from reference.data import rows
from upline import _reference, selftest

DATA = Path(__file__).parents[2] / "validation" / "data"
TABLES = ["reference_rows", "reference_exposure", "reference_no_stop", "cns_checks"]
FOOT = "It does not make a dive safe"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A copy of the tables, to be spoilt."""
    for table in TABLES:
        shutil.copy(DATA / f"{table}.csv", tmp_path)
    return tmp_path


def spoil(folder: Path, table: str, old: str, new: str) -> None:
    file = folder / f"{table}.csv"
    text = file.read_text(encoding="utf-8")
    assert text.count(old) == 1
    file.write_text(text.replace(old, new), encoding="utf-8")


def one_error(capsys: pytest.CaptureFixture[str]) -> str:
    out, err = capsys.readouterr()
    assert out == ""
    assert err.count("\n") == 1
    assert err.startswith("upline.selftest: ")
    assert "Remedy: install upline again." in err
    return err


# ---- it passes -----------------------------------------------------------------------------------


def test_the_tables_installed_are_those_of_the_repository() -> None:
    for table in TABLES:
        file = f"{table}.csv"
        assert (_reference.installed() / file).read_bytes() == (DATA / file).read_bytes()


def test_the_command_passes_and_says_on_what(tmp_path: Path) -> None:
    command = [sys.executable, "-m", "upline.selftest"]
    done = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True)
    assert (done.returncode, done.stderr) == (0, "")
    said = " ".join(done.stdout.split())
    assert "DIFFERS" not in said
    for part in (f"upline {upline.__version__} (_core.", "Python 3.", f"NumPy {np.__version__}"):
        assert part in said
    assert FOOT in said


def test_every_value_of_the_tables_is_compared(capsys: pytest.CaptureFixture[str]) -> None:
    stops = sum(len(row["stops"].split()) + bool(row["stops"]) for row in rows("reference_rows"))
    others = [
        row[column]
        for table, columns in {
            "reference_rows": ("anchor_m", "run_time_min"),
            "reference_exposure": ("value",),
            "reference_no_stop": ("limit_min",),
            "cns_checks": ("share_percent",),
        }.items()
        for row in rows(table)
        for column in columns
        if row[column]
    ]
    assert selftest.main([]) == 0
    said = capsys.readouterr().out
    total = stops + len(others)
    assert total > 100
    assert said.count("agrees\n") == total
    assert f"{total} of {total} values agree." in said
    assert max(len(line) for line in said.splitlines()) <= 88
    for row in rows("cns_checks"):
        assert f"{row['source']} ({row['confidence']})" in said


def test_json_says_the_same(capsys: pytest.CaptureFixture[str]) -> None:
    assert selftest.main(["--json"]) == 0
    record = json.loads(capsys.readouterr().out)
    assert record["agrees"] is True
    assert FOOT in record["foot"]
    assert record["installation"]["upline"] == upline.__version__
    found = {(one["table"], one["row"], one["what"]): one for one in record["checks"]}
    assert len(found) == len(record["checks"]) > 100
    anchor = found["reference_rows", "1", "anchor [m]"]
    assert anchor["given"] == "24.911484"
    assert anchor["computed"] == pytest.approx(24.911484, abs=5e-7)
    assert anchor["difference"] == anchor["computed"] - 24.911484
    assert anchor["tolerance"] == 5e-7
    assert anchor["confidence"] == "derived"
    litres = found["reference_exposure", "1", "gas 18/45 [bar L]"]
    assert litres["computed"] == pytest.approx(3585.25, abs=5e-3)


# ---- it fails ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("table", "old", "new", "where"),
    [
        ("reference_rows", "27:29 24:31 21:33 18:34", "27:29 24:31 21:33 18:35", "18 m, leave at"),
        ("reference_rows", "1.111132,5e-7", "1.111134,5e-7", "anchor [m]"),
        ("reference_rows", "57.255946,5e-7", "57.255948,5e-7", "run time [min]"),
        ("reference_rows", "12:1.231486 ", "", "stops"),  # one stop more than the row has
        ("reference_rows", "12:1.231486", "13:1.231486", "no stop there"),
        ("reference_rows", "second,first,90", "second,first,91", "12 m, stay"),
        ("reference_rows", "second,first,90", "second,nobody,90", "KeyError: 'nobody'"),
        ("reference_rows", "air,100/100,", "air,100/205,", "InvalidInput: gf"),
        ("reference_exposure", "0.65118,5e-6", "0.65119,5e-6", "cns"),
        ("reference_exposure", "93.249,5e-4", "nan,5e-4", "otu"),
        ("reference_exposure", "3585.25,5e-3", "3585.25,nan", "gas 18/45"),
        ("reference_exposure", "511.34,5e-3", "a lot,5e-3", "gas 50"),
        ("reference_no_stop", "24.600792", "24.600794", "limit"),
        ("cns_checks", "20,1.4,13,", "20,1.4,14,", "share"),
    ],
)
def test_a_doctored_row_is_found(
    folder: Path, capsys: pytest.CaptureFixture[str], table: str, old: str, new: str, where: str
) -> None:
    spoil(folder, table, old, new)
    assert selftest.main([], folder) == 1
    differs = [
        line for line in capsys.readouterr().out.splitlines() if line.startswith("differs: ")
    ]
    assert differs
    assert any(where in line for line in differs)
    assert all(line.startswith(f"differs: {table}, ") for line in differs)
    assert selftest.main(["--json"], folder) == 1
    record = json.loads(capsys.readouterr().out)
    assert record["agrees"] is False
    assert len([one for one in record["checks"] if not one["agrees"]]) == len(differs)


@pytest.mark.parametrize("table", TABLES)
def test_a_missing_table_is_no_pass(
    folder: Path, capsys: pytest.CaptureFixture[str], table: str
) -> None:
    (folder / f"{table}.csv").unlink()
    assert selftest.main([], folder) == 1
    assert f"{table}.csv cannot be read" in one_error(capsys)


def test_a_missing_folder_is_no_pass(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert selftest.main(["--json"], tmp_path / "nothing") == 1
    assert "reference_rows.csv cannot be read" in one_error(capsys)


@pytest.mark.parametrize("table", TABLES)
def test_a_table_without_rows_is_no_pass(
    folder: Path, capsys: pytest.CaptureFixture[str], table: str
) -> None:
    file = folder / f"{table}.csv"
    lines = file.read_text(encoding="utf-8").splitlines()
    head = next(i for i, line in enumerate(lines) if not line.startswith("#"))
    file.write_text("\n".join(lines[: head + 1]), encoding="utf-8")
    assert selftest.main([], folder) == 1
    assert f"{table}.csv holds no row" in one_error(capsys)


def test_a_table_without_values_is_no_pass(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = folder / "reference_rows.csv"
    lines = file.read_text(encoding="utf-8").splitlines()
    kept = [line for line in lines if line.startswith(("#", "id,", "first,"))]
    file.write_text("\n".join(kept), encoding="utf-8")
    assert selftest.main([], folder) == 1
    assert "reference_rows.csv states no value" in one_error(capsys)


def test_a_row_cut_short_is_no_pass(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    spoil(folder, "cns_checks", "20,1.4,13,0.5,CNS sheet after the NOAA table,secondary", "20,1.4")
    assert selftest.main([], folder) == 1
    assert "cns_checks.csv has a row with more or fewer cells" in one_error(capsys)


def test_an_unknown_argument_is_unusable(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit, match="2"):
        selftest.main(["--jsn"])
    assert "--jsn" in capsys.readouterr().err


def test_a_reader_that_leaves_is_no_failure() -> None:
    with subprocess.Popen(
        [sys.executable, "-m", "upline.selftest"], stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as run:
        assert run.stdout is not None
        assert run.stderr is not None
        run.stdout.close()
        assert run.wait(timeout=60) == 0
        assert run.stderr.read() == b""

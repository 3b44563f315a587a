"""Tables of published and derived values in validation/data."""

from __future__ import annotations

import csv
from pathlib import Path

_DATA = Path(__file__).parents[3] / "validation" / "data"


def rows(table: str) -> list[dict[str, str]]:
    """Rows of a table without its comment lines; an empty table is an error."""
    lines = (_DATA / f"{table}.csv").read_text(encoding="utf-8").splitlines()
    found = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    assert found, f"{table}.csv holds no row"
    return found

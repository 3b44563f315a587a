"""Tables of validation/data, and which check reads which of them."""

from __future__ import annotations

import csv
from pathlib import Path

DATA = Path(__file__).parents[1] / "data"

# Of every table: its rows, and what reads it. A table that is not listed, or is gone, or has other
# rows fails the suite. "report": this report compares it row by row; "kept": nothing in the library
# computes such a figure, so it is kept as a fact and only counted.
TABLES: dict[str, tuple[int, str]] = {
    "altitude_groups": (10, "kept"),
    "blending_examples": (9, "tests/cpp/test_blend.cpp"),
    "closed_form_cases": (14, "tests/cpp/test_tissue.cpp, test_limit.cpp"),
    "cns_checks": (3, "report"),
    "compressibility": (1920, "test_supply.cpp, test_supply.py; validation/compressibility.md"),
    "compressibility_handbook": (57, "tests/cpp/test_supply.cpp"),
    "depth_pressures": (6, "tests/cpp/test_units.cpp"),
    "equivalent_air_depth": (10, "report"),
    "equivalent_depth_examples": (6, "report"),
    "fitness_cases": (228, "tests/cpp/test_fitness.cpp, tests/python/test_fitness.py"),
    "flying_intervals": (6, "kept"),
    "french_navy1990_examples": (8, "tests/cpp/test_record_tables.cpp"),
    "french_navy1990_limits": (12, "report"),
    "french_navy1990_rows": (98, "report"),
    "gas_density": (10, "report"),
    "gas_density_by_depth": (11, "tests/cpp/test_gas.cpp"),
    "haldane1908_limits": (5, "report"),
    "initial_nitrogen": (6, "tests/cpp/test_environment.cpp"),
    "limit_values": (112, "tests/cpp/test_limit.cpp"),
    "operating_depth": (14, "report"),
    "oxygen_exceptional_limits": (10, "kept"),
    "oxygen_limits": (14, "report"),
    "oxygen_navy_limits": (7, "kept"),
    "oxygen_power_laws": (25, "kept"),
    "oxygen_segments": (7, "tests/cpp/test_oxygen.cpp"),
    "pressure_units": (12, "tests/cpp/test_units.cpp"),
    "pulmonary_rate": (16, "report"),
    "pulmonary_rate_rounded": (16, "kept"),
    "reference_exposure": (6, "upline.selftest; this library's own definition"),
    "reference_no_stop": (2, "upline.selftest; this library's own definition"),
    "reference_rows": (11, "upline.selftest; this library's own definition"),
    "repex_allowance": (11, "kept"),
    "residual_nitrogen": (57, "kept"),
    "respiratory_quotients": (3, "kept"),
    "sea_level_equivalent": (180, "report"),
    "sea_level_equivalent_examples": (4, "report"),
    "sea_level_equivalent_unrounded": (30, "report"),
    "segment_values": (126, "tests/cpp/test_tissue.cpp"),
    "standard_air_fits": (3, "report"),
    "standard_air_limits": (6, "report"),
    "standard_air_rows": (65, "report"),
    "standard_atmosphere": (14, "report"),
    "swiss1986_no_stop": (11, "report"),
    "swiss1986_rows": (29, "report"),
    "test_schedule_facts": (12, "report; tests/python/test_published_schedules.py"),
    "test_schedules": (11, "tests/python/test_published_schedules.py"),
    "usnavy_examples": (9, "kept"),
    "usnavy_no_stop": (19, "report"),
    "usnavy_rev6_rows": (16, "kept"),
    "van_der_waals": (3, "kept"),
    "vval18_constants": (8, "tests/cpp/test_record_washout.cpp"),
    "vval18_limits": (9, "tests/cpp/test_record_washout.cpp"),
    "vval18_no_stop": (18, "report"),
    "vval18_schedules": (6, "report"),
    "water_density": (3, "tests/cpp/test_units.cpp"),
    "worked_examples": (4, "tests/cpp/test_limit.cpp, test_tissue.cpp"),
    "workman1965_limits": (9, "report"),
    "zhl12_limits": (16, "report"),
    "zhl16_coefficients": (17, "report"),
    "zhl16_columns": (8, "tests/cpp/test_compartments.cpp"),
    "zhl16_m_values": (17, "report"),
}


def rows(table: str) -> list[dict[str, str]]:
    """Rows of a table without its comment lines; their number must be the one listed."""
    lines = (DATA / f"{table}.csv").read_text(encoding="utf-8").splitlines()
    found = list(csv.DictReader((line for line in lines if not line.startswith("#")), strict=True))
    if len(found) != TABLES[table][0]:
        raise ValueError(f"{table}.csv holds {len(found)} rows, listed are {TABLES[table][0]}")
    return found


def confidences(table: str) -> dict[str, int]:
    """How many rows carry which tag, in every column of tags."""
    counts: dict[str, int] = {}
    for row in rows(table):
        for column, tag in row.items():
            if column.startswith("confidence") and tag:
                counts[tag] = counts.get(tag, 0) + 1
    return dict(sorted(counts.items()))

"""Single values: coefficients, limits, gas, oxygen, altitude."""

from __future__ import annotations

import upline
from upline import _core

from .lines import Line, Section, compared, whole
from .tables import rows

HALF_DIGIT = "half a unit of the last printed digit"
# 1 bar at the surface and 10 m a bar, and as well 1 atm and 33 ft an atm: the same arithmetic.
ROUND = upline.Environment(surface_pressure=1.0)
FEET_PER_TEN_METRES = 33.0


def half_digit(text: str) -> float:
    """Half a unit of the last digit of a number as printed."""
    return float(0.5 * 10.0 ** -len(text.partition(".")[2]))


def coefficients() -> Section:
    lines = []
    columns = {
        "n2_half_time_min": "n2_half_time", "n2_b": "n2_b", "he_half_time_min": "he_half_time",
        "he_a_bar": "he_a", "he_b": "he_b",
    }  # fmt: skip
    tags = {row["csv_column"]: row["confidence"] for row in rows("zhl16_columns")}
    table = rows("zhl16_coefficients")
    for letter in "ABC":
        for csv_column, ours in {**columns, f"n2_a_{letter}_bar": "n2_a"}.items():
            if letter != "C" and csv_column in columns:
                continue
            furthest = 0.0
            for first, skipped in (("", "1b"), ("/5min", "1")):
                values = getattr(upline.compartments(f"ZH-L16{letter}{first}"), ours)
                given = [float(row[csv_column]) for row in table if row["compartment"] != skipped]
                furthest = max(furthest, *(abs(x - y) for x, y in zip(values, given, strict=True)))
            what = f"{csv_column}: largest difference in {len(table)} rows"
            lines.append(Line(what, "0", f"{furthest:g}", furthest, 0.0, tags[csv_column]))
    return Section(
        "ZH-L16: coefficients",
        "`buehlmann2002`, table 25, p. 158, as columns of zhl16_columns.csv were seen",
        "none",
        lines,
        "What the library computes with is what the table says. It proves the transcription and "
        "nothing of the source.",
    )


def m_values() -> Section:
    lines = []
    for row in rows("zhl16_m_values"):
        for letter in "ABC":
            first = "/5min" if row["compartment"] == "1b" else ""
            name = row["compartment"].removesuffix("b")
            _, surfacing, slope = _core.historic_limits(f"ZH-L16{letter}{first}")[int(name) - 1]
            what = f"compartment {row['compartment']}"
            given = row[f"n2_M0_{letter}_msw"]
            lines.append(
                compared(f"{what}, M0, set {letter} [msw]", given, surfacing, 0.05,
                         row["confidence"])
            )  # fmt: skip
            if letter == "C":
                lines.append(
                    compared(f"{what}, slope", row["n2_slope"], slope, 5e-5, row["confidence"])
                )
    return Section(
        "ZH-L16: limits at the surface",
        "derived from `buehlmann2002` in the form of `workman1965` and `baker_mvalues`",
        HALF_DIGIT,
        lines,
        "The two forms of a linear limit are one: M = M0 + slope x depth, and (P - a) b.",
    )


def linear_limits() -> Section:
    lines = []
    for name, table, column, slope_column, tag in (
        ("Workman 1965", "workman1965_limits", "n2_M0_fsw", "n2_slope", "confidence_fsw"),
        ("Standard Air 1956", "standard_air_limits", "M0_fsw", "", "confidence"),
        ("ZH-L12", "zhl12_limits", "M0_msw", "slope", "confidence"),
    ):
        for row, (half_time, surfacing, slope) in zip(
            rows(table), _core.historic_limits(name), strict=True
        ):
            assert float(row["half_time_min"]) == half_time
            what = f"{name}, {half_time:g} min, M0 [{column.rpartition('_')[2]}]"
            lines.append(compared(what, row[column], surfacing, 1e-9, row[tag]))
            if slope_column:
                given = row[slope_column]
                what = f"{name}, {half_time:g} min, slope"
                lines.append(compared(what, given, slope, half_digit(given), row[tag]))
    for name, table, column, share in (
        ("French Navy 1990", "french_navy1990_limits", "critical_ratio", 1.0),
        ("Haldane 1908", "haldane1908_limits", "total_pressure_ratio", 0.79),
    ):
        for row, (half_time, _, slope) in zip(
            rows(table), _core.historic_limits(name), strict=True
        ):
            assert float(row["half_time_min"]) == half_time
            what = f"{name}, {half_time:g} min, ratio"
            lines.append(compared(what, row[column], slope / share, 1e-9, row["confidence"]))
    return Section(
        "Limits behind older tables",
        "`workman1965`, `standard_air1956`, `buehlmann1984`, `french_navy1990`, `haldane1908`",
        "none but for the arithmetic; slopes of ZH-L12: " + HALF_DIGIT,
        lines,
        "The sets are in the library for comparison alone and cannot be the model of a plan. "
        "ZH-L12's b are the round numbers whose inverses give the printed slopes; its a follow "
        "from surface values of one decimal and are known to 0.005 bar.",
    )


def atmosphere() -> Section:
    lines = [
        compared(
            f"{row['height_m']} m [bar]",
            row["pressure_bar"],
            upline.Environment(altitude=float(row["height_m"])).surface,
            5e-6,
            row["confidence"],
        )
        for row in rows("standard_atmosphere")
    ]
    return Section(
        "Standard atmosphere", "derived from the formula of `iso2533` (secondary)", HALF_DIGIT,
        lines, "The same formula.",
    )  # fmt: skip


UNCORRECTED_FT = "1000"
TABLE_DEPTHS = [*range(10, 40, 5), *range(40, 400, 10)]


def equivalent_depth(depth: float, altitude_ft: float) -> float:
    """Depth at sea level in the same ratio to the pressure at the surface."""
    place = upline.Environment(altitude=altitude_ft, units="imperial")
    return depth * upline.Environment().surface / place.surface


def table_depth(depth: float) -> float:
    return float(next(row for row in TABLE_DEPTHS if row >= depth - 1e-9))


def sea_level_equivalents() -> Section:
    lines = []
    agreeing = 0
    table = rows("sea_level_equivalent")
    lowest = 0
    for row in table:
        ours = table_depth(equivalent_depth(float(row["depth_fsw"]), float(row["altitude_ft"])))
        if row["altitude_ft"] == UNCORRECTED_FT:
            lowest += ours == float(row["equivalent_fsw"])
            continue
        if ours == float(row["equivalent_fsw"]) and not row["known_difference"]:
            agreeing += 1
            continue
        what = f"{row['depth_fsw']} fsw at {row['altitude_ft']} ft, next table depth"
        because = "the source prints one row deeper than the rule gives; read the page"
        lines.append(whole(what, row["equivalent_fsw"], ours, 0.0, row["confidence"], because))
    uncorrected = [row for row in table if row["altitude_ft"] == UNCORRECTED_FT]
    lines.append(
        whole(
            f"cells of {UNCORRECTED_FT} ft that the rule leaves as they are",
            str(len(uncorrected)), lowest, 0.0, uncorrected[0]["confidence"],
            "the source prints the depth itself at that height; the rule adds 4 % there and so "
            "comes to the next row",
        )
    )  # fmt: skip
    for row in rows("sea_level_equivalent_examples"):
        depth, altitude = float(row["depth_fsw"]), float(row["altitude_ft"])
        place = upline.Environment(altitude=altitude, units="imperial")
        ours = equivalent_depth(depth, altitude)
        if row["what"] == "stop on the gauge":
            ours = depth * place.surface / upline.Environment().surface
        if row["what"] == "table depth":
            ours = table_depth(ours)
        what = f"{row['what']}, {row['depth_fsw']} fsw at {row['altitude_ft']} ft"
        given = row["value_fsw"]
        tolerance = float(row["tol_fsw"])
        lines.append(
            compared(what, given, ours, tolerance, row["confidence"])
            if tolerance
            else whole(what, given, ours, tolerance, row["confidence"])
        )
    for row in rows("sea_level_equivalent_unrounded"):
        ours = equivalent_depth(float(row["depth_ft"]), float(row["altitude_ft"]))
        what = f"{row['depth_ft']} ft at {row['altitude_ft']} ft, cut to whole feet"
        lines.append(whole(what, row["equivalent_ft"], float(int(ours)), 1.0, row["confidence"]))
    return Section(
        "Equivalent depths at altitude",
        "`usnavy_manual`, revision 4, table 9-3 and worked examples",
        "none for table depths; half a unit for the examples; 1 ft for the truncated list, whose "
        "way of cutting is not known",
        lines,
        "The rule is depth times the ratio of surface pressures, rounded up to the next depth of "
        "the table. The worked examples that were read follow it.",
        [f"Of {len(table)} cells of the table {agreeing} come out and are not listed below."],
    )


def gas_depths() -> Section:
    lines = []
    for row in rows("operating_depth"):
        gas = upline.Gas(oxygen=float(row["oxygen"]))
        for po2 in ("1.4", "1.6"):
            metres = gas.mod(float(po2), ROUND)
            what = f"MOD of {float(row['oxygen']):.0%} at {po2}"
            lines.append(
                compared(f"{what} bar [m]", row[f"mod_m_{po2}"], metres, 0.005, row["confidence"])
            )
            feet = metres * FEET_PER_TEN_METRES / 10.0
            lines.append(
                compared(f"{what} atm [ft]", row[f"mod_ft_{po2}"], feet, 0.05, row["confidence"])
            )
    for row in rows("equivalent_air_depth"):
        for mix in ("32", "36"):
            metres = upline.Gas(mix).ead(float(row["depth_ft"]) * 10 / FEET_PER_TEN_METRES, ROUND)
            what = f"EAD of {mix} % at {row['depth_ft']} ft [ft]"
            feet = metres * FEET_PER_TEN_METRES / 10.0
            lines.append(compared(what, row[f"ead_{mix}_ft"], feet, 0.05, row["confidence"]))
    for row in rows("equivalent_depth_examples"):
        scale = FEET_PER_TEN_METRES / 10.0 if row["length_unit"] == "ft" else 1.0
        gas = upline.Gas(row["gas"])
        ours = scale * gas.end(
            float(row["depth"]) / scale, row["counted"] == "oxygen counted", ROUND
        )
        what = f"{row['gas']} at {row['depth']} {row['length_unit']}, {row['counted']}"
        because = "the text cuts digits off: 18.354 printed as 18.3"
        lines.append(
            compared(what, row["equivalent_depth"], ours, float(row["tol"]), row["confidence"],
                     because if row["known_difference"] else "")
        )  # fmt: skip
    return Section(
        "Operating and equivalent depths", "forms of `noaa_manual` (secondary); values derived, "
        "examples secondary",
        HALF_DIGIT, lines,
        "Convention alone: 1 bar at the surface and 10 m a bar, or 1 atm and 33 ft an atm.",
    )  # fmt: skip


def density() -> Section:
    lines = []
    for row in rows("gas_density"):
        given = row["density_0C_1atm_g_per_L"]
        ours = upline.Gas(row["mix"]).density(0.0)
        because = (
            "the handbook's air holds argon; here air is 21 % oxygen and 79 % nitrogen, 0.36 % "
            "lighter"
        )
        lines.append(
            compared(f"{row['mix']} [g/L]", given, ours, 5e-5, row["confidence"],
                     because if row["mix"] == "air" else "")
        )  # fmt: skip
    return Section(
        "Gas density at 0 degrees C and 1 atm",
        "derived from densities of `crc_handbook` (from memory, to be confirmed)",
        HALF_DIGIT,
        lines,
        "An ideal mix of the unit densities.",
    )


def oxygen() -> Section:
    lines = []
    for row in rows("oxygen_limits"):
        po2 = float(row["po2_bar"])
        tolerance = 0.0 if row["confidence"] == "secondary" else 0.5
        for column, which in (("single_min", "single"), ("day_min", "day")):
            if not row[column]:
                continue
            ours = 1.0 / upline.cns_share(1.0, po2, po2, which)  # type: ignore[arg-type]
            what = f"{'one exposure' if which == 'single' else '24 h'} at {po2:g} bar [min]"
            lines.append(compared(what, row[column], ours, tolerance, row["confidence"]))
    for row in rows("cns_checks"):
        po2 = float(row["po2_bar"])
        ours = 100.0 * upline.cns_share(float(row["minutes"]), po2, po2)
        what = f"{row['minutes']} min at {po2:g} bar [%]"
        lines.append(
            compared(what, row["share_percent"], ours, float(row["tol_percent"]), row["confidence"])
        )
    for row in rows("pulmonary_rate"):
        po2 = float(row["po2_bar"])
        ours = upline.pulmonary_dose(1.0, po2, po2)
        what = f"OTU a minute at {po2:g} bar"
        lines.append(compared(what, row["rate_otu_per_min"], ours, 5e-5, row["confidence"]))
        if row["tabulated_kp"]:
            because = "the recalled 1.92 is of the rounded exponent 0.83; with 5/6 it is 1.929"
            lines.append(
                compared(f"tabulated Kp at {po2:g} bar", row["tabulated_kp"], ours, 5e-3,
                         "from memory, to be confirmed", because if po2 == 1.6 else "")
            )  # fmt: skip
    return Section(
        "Oxygen: limits and doses",
        "`noaa_manual` (secondary, half steps recalled); `clark1971` (recalled)",
        "none at the tabulated pressures; half a unit of the last digit elsewhere",
        lines,
        "Linear between the rows of the table. The source's unit is atm and is read in bar here, "
        "the strict side by 1.3 %; at the tabulated numbers that makes no difference.",
    )


def sections() -> list[Section]:
    return [
        coefficients(),
        m_values(),
        linear_limits(),
        atmosphere(),
        sea_level_equivalents(),
        gas_depths(),
        density(),
        oxygen(),
    ]

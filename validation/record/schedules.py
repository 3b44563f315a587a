"""Whole tables, row by row, and the no-stop limits behind them."""

from __future__ import annotations

import math
from collections.abc import Iterable

from upline import _core

from .lines import Line, Section, Stops, compared, schedules, whole
from .tables import rows

FRENCH = "French Navy 1990"
STANDARD_AIR = "Standard Air 1956"
NOTHING_ADDED = (0.0, 0.0)
SWISS_ADDED = (0.03, 1.0)  # 3 % and 1 m: swiss1986_rows.csv
METRES = (9, 6, 3)
FEET = (50, 40, 30, 20, 10)


def row_stops(row: dict[str, str], name: str, depths: Iterable[int]) -> Stops:
    """Stops of a row in columns such as "stop_9m_min"."""
    found = {depth: int(row[name.format(depth)]) for depth in depths}
    return {depth: minutes for depth, minutes in found.items() if minutes}


def our_stops(
    model: str,
    rates: tuple[float, float],
    rung: float,
    depth: str,
    minutes: str,
    added: tuple[float, float] = NOTHING_ADDED,
    surface: float | None = None,
) -> Stops:
    found = _core.historic_schedule(
        model, rates, rung, added, surface, float(depth), float(minutes)
    )
    return {round(depth): round(minutes) for depth, minutes, _ in found}


def french_lines(rates: tuple[float, float]) -> list[Line]:
    return [
        schedules(
            f"{row['depth_m']} m, {row['bottom_time_min']} min",
            row_stops(row, "stop_{}m_min", METRES),
            our_stops(FRENCH, rates, 3.0, row["depth_m"], row["bottom_time_min"]),
            float(row["tol_total_min"]),
            row["confidence"],
        )
        for row in rows("french_navy1990_rows")
    ]


def french() -> Section:
    lines = french_lines((17.0, 17.0))
    notes = ["Rates of the ascent, to the first stop and from there [m/min], and what they give:"]
    for rates in ((17.0, 17.0), (15.0, 17.0), (17.0, 6.0), (15.0, 6.0)):
        other = french_lines(rates)
        exact = sum(line.given == line.computed for line in other)
        furthest = max(abs(line.difference) for line in other)
        notes.append(
            f"- {rates[0]:g} and {rates[1]:g}: {exact} of {len(other)} rows exactly, "
            f"totals within {furthest:g} min"
        )
    return Section(
        "French Navy table of 1990",
        "`french_navy1990`, rows recalled; limits of nitrogen tension as ratios to ambient "
        "pressure",
        "1 min of total stop time: neither the rows nor the rates of travel behind them are "
        "certain to the minute",
        lines,
        "The ratio limits run through the solver of every plan, as a = 0 and b = 1 / ratio, on a "
        "gas of 80 % nitrogen without vapour at 1.000 bar. That all but one of the recalled rows "
        "come out to the minute shows that rows, ratios and solver belong together; it is no blind "
        "test, since the rates were chosen on these rows. The row of 60 m for 5 min is a minute "
        "longer here; whether recall or recipe is wrong is not known. Under the rates that are "
        "stated officially the slower travel between stops takes the place of a part of them, and "
        "every total stays within a minute.",
        notes,
        "minutes",
    )


def standard_air() -> Section:
    lines = [
        schedules(
            f"{row['depth_fsw']} fsw, {row['bottom_time_min']} min",
            row_stops(row, "stop_{}fsw_min", FEET),
            our_stops(STANDARD_AIR, (60.0, 60.0), 10.0, row["depth_fsw"], row["bottom_time_min"]),
            8.0,
            row["confidence"],
        )
        for row in rows("standard_air_rows")
    ]
    differences = [line.difference for line in lines]
    mean = sum(differences) / len(lines)
    absolute = sum(map(abs, differences)) / len(lines)
    same = sum(len(line.given.split()) == len(line.computed.split()) for line in lines)
    lines.insert(
        0,
        Line(
            "mean of the absolute differences",
            "0",
            f"{absolute:.3f}",
            absolute,
            1.0,
            "derived",
            3,
        ),
    )
    return Section(
        "Standard Air Table, 1956 to 2008",
        "`standard_air1956`, rows recalled; six linear limits in fsw",
        "8 min of a single total, the widest difference of the fit; 1 min of their mean: the "
        "conventions behind the rows are not known",
        lines,
        "What is recalled is the limit at the surface; how it grows with depth (by a 46th of "
        "itself a fsw), the 78.5 % of nitrogen and that limits hold on arrival are fitted to "
        "these rows (standard_air_fits.csv). So the agreement is that of a fit: it shows that "
        "the rows are the real table, and that the solver does in feet what it does in metres; "
        "it cannot show which convention the table was made with. Most of our totals that differ "
        "are a minute shorter; the one that is 7 min off, 60 fsw for 200 min, has a stop at 20 fsw "
        "here and none in the table.",
        [
            f"The whole bottom time is spent at depth; 60 fsw/min up. Mean difference {mean:+.3f} "
            f"min; the same number of stops in {same} of {len(differences)} rows."
        ],
        "minutes",
    )


def swiss() -> Section:
    lines = []
    derived = {1.0: 0, 0.93: 0}
    first = {1.0: 0, 0.93: 0}
    exact = {1.0: 0, 0.93: 0}
    rungs = 0
    table = rows("swiss1986_rows")
    for row in table:
        given = row_stops(row, "stop_{}m_min", METRES)
        for surface, column in ((1.0, "model_1000_{}m_min"), (0.93, "model_930_{}m_min")):
            ours = our_stops(
                "ZH-L16B", (10.0, 10.0), 3.0, row["depth_m"], row["bottom_time_min"],
                SWISS_ADDED, surface,
            )  # fmt: skip
            derived[surface] += ours == row_stops(row, column, METRES)
            first[surface] += max(ours, default=0) == max(given, default=0)
            exact[surface] += ours == given
            rungs = max(rungs, abs(max(ours, default=0) - max(given, default=0)) // 3)
            if surface == 1.0:
                continue
            what = f"{row['depth_m']} m, {row['bottom_time_min']} min"
            lines.append(schedules(what, given, ours, 5.0, row["confidence"]))
    notes = [
        f"At {surface:g} bar: {exact[surface]} of {len(table)} rows exactly, the first stop of "
        f"{first[surface]}, and all stops of the earlier calculation (derived) in "
        f"{derived[surface]}."
        for surface in (1.0, 0.93)
    ]
    notes.append(f"No first stop is more than {rungs} rung off.")
    return Section(
        "Swiss air table of 1986, 0 to 700 m: stops",
        "`swiss1986`, rows recalled; ZH-L16B, depth times 1.03 plus 1 m (`buehlmann2002`, "
        "secondary)",
        "first stop one rung; 5 min of the total at 0.93 bar: the convention behind the table is "
        "not known",
        lines,
        "Below: the table beside ZH-L16B at 0.93 bar, about 700 m, the upper end of the table's "
        "range. The first stops agree but for one row; our last stop is mostly shorter. The "
        "table holds more than set and surcharge: a convention that is not known here.",
        notes,
        "minutes",
    )


def swiss_no_stop() -> Section:
    lines = []
    equal = 0
    columns = 0
    plain = ((1.0, "plain_A_min", "A"), (1.0, "plain_B_min", "B"), (1.0, "plain_C_min", "C"))
    for row in rows("swiss1986_no_stop"):
        depth = float(row["depth_m"])
        for surface, column, letter in (
            (1.0, "model_1000_min", "B"),
            (0.93, "model_930_min", "B"),
            *plain,
        ):
            added = NOTHING_ADDED if column.startswith("plain") else SWISS_ADDED
            ours = _core.historic_no_stop_limit(
                f"ZH-L16{letter}", (10.0, 10.0), 3.0, added, surface, depth
            )
            columns += 1
            equal += ours == float(row[column])
            if column == "model_930_min":
                lines.append(whole(f"{depth:g} m", row["limit_min"], ours, None, row["confidence"]))
    return Section(
        "Swiss air table of 1986: no-stop limits",
        "`swiss1986`, recalled; ZH-L16B at 0.93 bar with the surcharge",
        "none: shown, not judged, since the convention behind the table is not known",
        lines,
        "From 15 m on the limits are within 3 min of each other; at 12 m the table stops 18 min "
        "earlier than the model.",
        [
            f"Of {columns} limits that were calculated earlier (derived), with and without the "
            f"surcharge, {equal} come out to the minute."
        ],
        "minutes",
    )


def navy_no_stop() -> Section:
    lines = []
    for row in rows("usnavy_no_stop"):
        depth = float(row["depth_fsw"])
        what = f"{depth:g} fsw, revision 7"
        if math.isinf(float(row["revision_7_min"])):
            continue
        ours = _core.washout_limit_at_bottom(75.0, depth)
        tolerance = 2.0 if depth <= 90 else None
        lines.append(compared(what, row["revision_7_min"], ours, tolerance, row["confidence_7"]))
    for row in rows("usnavy_no_stop"):
        if not row["from_1956_min"]:
            continue
        depth = float(row["depth_fsw"])
        ours = _core.historic_no_stop_limit(
            STANDARD_AIR, (60.0, 60.0), 10.0, NOTHING_ADDED, None, depth
        )
        lines.append(
            whole(f"{depth:g} fsw, from 1956", row["from_1956_min"], ours, None,
                  row["confidence_1956"])
        )  # fmt: skip
    return Section(
        "US Navy no-stop limits for air",
        "`usnavy_manual`, revision 7, recalled; VVal-18. `standard_air1956`; six-compartment model",
        "2 min from 25 to 90 fsw: the constants of VVal-18 are recalled, and the convention moves "
        "the limit by up to 2 min. Deeper, and from 1956: shown, not judged",
        lines,
        "Linear washout, limits on leaving the bottom, 75 fsw/min down. Deeper than 90 fsw the "
        "manual keeps shorter limits than the set allows (from memory, to be confirmed): a "
        "choice of the manual, and nothing that the model could confirm. With the ascent at 30 "
        "fsw/min counted in, the limit at 25 fsw is "
        f"{_core.washout_no_stop_limit(75.0, 30.0, 'on leaving', 25.0):.1f} min for 1102. The "
        "limits from 1956 stand beside the fitted model of the Standard Air Table.",
        unit="minutes",
    )


def washout_limits() -> Section:
    lines = []
    for row in rows("vval18_no_stop"):
        depth = float(row["depth_fsw"])
        if row["closed_form_min"]:
            ours = _core.washout_limit_at_bottom(75.0, depth)
            what = f"{depth:g} fsw, on leaving the bottom"
            lines.append(compared(what, row["closed_form_min"], ours, 0.05, row["confidence"]))
        if row["with_ascent_min"]:
            ours = math.floor(_core.washout_no_stop_limit(75.0, 30.0, "on arrival", depth))
            what = f"{depth:g} fsw, with the ascent"
            lines.append(whole(what, row["with_ascent_min"], ours, 0.0, row["confidence"]))
    return Section(
        "VVal-18: no-stop limits as calculated before",
        "derived, by a calculation of its own in minute steps and in closed form",
        "half a unit of the last digit; none for whole minutes",
        lines,
        "Two programs, one that stepped and this one that solves, agree. That says nothing of the "
        "set, which is recalled.",
        unit="minutes",
    )


def washout_schedules() -> Section:
    lines = []
    for row in rows("vval18_schedules"):
        descent = float(row["descent_fsw_per_min"])
        tested = row["tested"]
        assert tested in ("on leaving", "on arrival")
        found = _core.washout_schedule(descent, 30.0, tested, 170.0, 30.0)  # type: ignore[arg-type]
        lines.append(
            schedules(
                f"limits {tested}, {descent:g} fsw/min down",
                row_stops(row, "stop_{}fsw_min", (40, 30, 20, 10)),
                {round(depth): round(minutes) for depth, minutes in found},
                0.0,
                row["confidence"],
            )
        )
    facts = {(row["schedule"], row["what"]): row for row in rows("test_schedule_facts")}
    stops = _core.washout_schedule(57.0, 30.0, "on leaving", 170.0, 30.0)
    for what, ours in (
        ("total stop time [min]", sum(minutes for _, minutes in stops)),
        ("first stop [fsw]", stops[0][0]),
    ):
        fact = facts["gas content", what]
        lines.insert(0, whole(f"the trial: {what}", fact["value"], ours, 0.0, fact["confidence"]))
    return Section(
        "170 fsw for 30 min: VVal-18 and a published trial",
        "`nedu_tr11_06`, abstract, for total and first stop; the single stops derived",
        "none: whole minutes",
        lines,
        "Total and first stop were read in the abstract of the trial; VVal-18 with its rate of "
        "descent returns both. The single stops are those of an earlier calculation. The trial's "
        "own row as recalled (test_schedules.csv) has 9 for 10 min at 40 fsw and 52 for 51 at 20.",
        unit="minutes",
    )


def sections() -> list[Section]:
    return [
        french(),
        standard_air(),
        swiss(),
        swiss_no_stop(),
        navy_no_stop(),
        washout_limits(),
        washout_schedules(),
    ]

"""Facts for which the library computes nothing: that they are whole and fit each other."""

from __future__ import annotations

import pytest
from reference.data import rows


def test_allowances_are_their_averages_times_the_days() -> None:
    *table, longer = rows("repex_allowance")
    assert [row["days"] for row in table] == [str(day) for day in range(1, 11)]
    for row in table:
        assert int(row["days"]) * int(row["average_otu_per_day"]) == int(row["total_otu"])
    assert (longer["days"], longer["average_otu_per_day"]) == ("11+", "300")
    averages = [int(row["average_otu_per_day"]) for row in rows("repex_allowance")]
    assert averages == sorted(averages, reverse=True)


def test_residual_times_grow_with_the_group_and_shrink_with_depth() -> None:
    times: dict[tuple[str, int], set[int]] = {}
    for row in rows("residual_nitrogen"):
        times.setdefault((row["group"], int(row["depth_fsw"])), set()).add(int(row["residual_min"]))
    for (group, depth), found in times.items():
        (minutes,) = found  # where two sources give one, it is the same
        for (other, deeper), (less,) in times.items():
            if other == group and deeper > depth:
                assert less <= minutes
            if deeper == depth and other > group:
                assert less > minutes


def test_navy_limits_are_no_longer_than_the_tabulated_ones() -> None:
    longest = {row["po2_bar"]: float(row["single_min"]) for row in rows("oxygen_limits")}
    navy = rows("oxygen_navy_limits")
    assert len(navy) == 7
    for row in navy:
        assert float(row["limit_min"]) <= longest[row["po2_bar"]]
    exceptional = rows("oxygen_exceptional_limits")
    for row in exceptional:
        assert float(row["limit_min"]) >= longest.get(row["po2_bar"], 0.0)
    minutes = [float(row["limit_min"]) for row in exceptional]
    assert minutes == sorted(minutes, reverse=True)


def test_the_rounded_exponent_gives_its_rates() -> None:
    for row in rows("pulmonary_rate_rounded"):
        excess = max(0.0, (float(row["po2_bar"]) - 0.5) / 0.5)
        assert float(row["rate_otu_per_min"]) == pytest.approx(excess**0.83, rel=0, abs=5e-5)


def test_power_laws_state_one_slope_in_two_units() -> None:
    laws = {(row["law"], row["role"]): float(row["value"]) for row in rows("oxygen_power_laws")}
    assert len(laws) == 25
    slope = laws["pulmonary recovery", "slope"] * 101.3
    assert slope == pytest.approx(laws["pulmonary recovery", "slope in bar"], rel=0, abs=5e-4)
    assert (
        laws["ESOT index", "exponent of po2"] == laws["pulmonary, dVC", "exponent of po2/101.3"] / 2
    )


def test_water_terms_follow_from_the_respiratory_quotient() -> None:
    for row in rows("respiratory_quotients"):
        quotient = float(row["quotient"])
        term = 0.0627 - 0.0534 * (1 - quotient) / quotient
        assert float(row["water_term_bar"]) == pytest.approx(term, rel=0, abs=5e-5)


def test_what_is_not_for_comparison_says_so() -> None:
    table = rows("usnavy_rev6_rows")
    assert {row["confidence"] for row in table} == {"from memory, to be confirmed"}
    assert [row["altitude_ft"] for row in rows("altitude_groups")] == [
        str(1000 * step) for step in range(1, 11)
    ]
    assert len(rows("flying_intervals")) == 6
    assert len(rows("usnavy_examples")) == 9
    assert len(rows("van_der_waals")) == 3

"""Logs of depth against time: what is read, what is asked for, what is refused."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hostile.values import HOSTILE
from hypothesis import given
from hypothesis import strategies as st
from readers import clock, refusal_of, refusal_of_ten_megabytes, refused_hostile, seconds_taken
from upline._log import Log, read_log

# The Quince Blossom (invented)
SHORT = "time [s],depth [m],gas\n0,0,18/45\n190,57,\n1500,57,\n1800,21,50 %\n"

refusal = partial(refusal_of, read_log)


def test_a_log_in_seconds_with_gas() -> None:
    log = read_log(SHORT)
    assert log.time.tolist() == [0, 190 / 60, 25, 30]
    assert log.depth.tolist() == [0, 57, 57, 21]
    assert log.gas == ((0.0, "18/45"), (30.0, "50"))
    every = read_log(SHORT.replace(",57,", ",57,18/45"))
    assert every.gas == log.gas  # changes alone
    assert (log.units, log.notes) == ("metric", ())
    assert not log.time.flags.writeable
    assert read_log(log) is log


@pytest.mark.parametrize(
    "text",
    [
        "time [min],depth [m]\n0,0\n2.5,57\n60,0\n",
        "time_min\tdepth_m\n0\t0\n2.5\t57\n60\t0\n",
        "Time (min);Depth (m)\n0;0\n2,5;57,0\n60;0\n",
        "time [min]  depth [m]\n0 0\n2.5 57\n60 0\n",
        "t (s),depth (metres),temperature\n0,0,9\n150,57,8\n3600,0,9\n",
        "time,depth m\n0:00,0\n2:30,57\n60:00,0\n",
        "time [h:mm:ss],depth [m]\n0:00:00,0\n0:02:30,57\n1:00:00,0\n",
        "# the Quince Blossom (invented)\r\ntime [min],depth [m]\r\n0,0\r\n\r\n2.5,57\r\n60,0\r\n",
        "\ufefftime [min],depth [m]\r0,0\r2.5,57\r60,0",
        "depth [m],time [min]\n0,0\n57,2.5\n0,60\n",
    ],
)
def test_ways_of_writing_a_log(text: str) -> None:
    log = read_log(text)
    assert log.time.tolist() == [0, 2.5, 60]
    assert log.depth.tolist() == [0, 57, 0]
    assert log.units == "metric"


def test_what_is_left_out_is_told() -> None:
    log = read_log("time [min],depth [ft],temperature\n0,0,9\n1,,9\n2,50,\n3,-,9\n")
    assert log.time.tolist() == [0, 2]
    assert log.units == "imperial"
    assert log.notes == (
        'the column "temperature" is left out',
        "line 3, without a depth or a time, is left out",
        "line 5, without a depth or a time, is left out",
    )
    comma = "commas between figures are read as decimal commas"
    assert comma in read_log("time [min];depth\n0;0\n1;5,5\n").notes


def test_what_is_not_said_is_asked_for() -> None:
    text = "0 0\n1 5\n"
    error = refusal(text)
    assert error.field == "unit of the times of the log"
    assert 'read_log(..., time="s") or time="min"' in error.remedy
    assert read_log(text, time="s").time.tolist() == [0, 1 / 60]
    assert read_log(text, time="min", units="imperial").units == "imperial"
    assert read_log(text, time="min").units is None


def test_arrays() -> None:
    pd = pytest.importorskip("pandas")
    pairs = [[0.0, 0.0], [2.5, 57.0]]
    times, depths = [0, 2.5], [0, 57]
    for source in (
        np.array(pairs),
        pairs,
        (times, depths),
        (np.array(times), np.array(depths)),
        (pd.Series(times), pd.Series(depths)),
        pd.DataFrame(pairs),
    ):
        log = read_log(source)
        assert log.time.tolist() == times
        assert log.depth.tolist() == depths
        assert log.notes == ("the times of an array are read as minutes",)
    given_ = np.array(pairs)
    read_log(given_)
    given_[0] = 3  # still the caller's own
    assert read_log(([0, 150], depths), time="s").time.tolist() == times
    assert read_log(([0, 150], depths), time="s").notes == ()


@pytest.mark.parametrize(
    ("source", "says"),
    [
        ("time [min],depth\n0,0\n1,5\n1,6\n", "time in line 4 of the log is 1"),
        ("time [min],depth\n0,0\n1,-5\n", "depth in line 3 of the log is -5"),
        ("time [min],depth\n0,0\n1,5,5\n", "3 cells under 2 columns"),
        ("time [min],depth\n0,0\n1,5 m\n", '"5 m" is no number'),
        ("time [min],depth\n0,0\n1:75,5\n", '"1:75" is no time in min'),
        ("time,depth\n0:00,0\n1:75,5\n", '"1:75" is no time'),
        ("time,depth\n0:00,0\n2,5\n", "no time as h:mm:ss"),
        ("time [min],depth,gas\n0,0,18/95\n1,5,\n", '"18/95" is no mix'),
        ("time [min],pressure\n0,0\n1,5\n", "0 columns of depth"),
        ("time [min],depth,depth\n0,0,0\n1,5,5\n", "2 columns of depth"),
        ("0 0 1\n1 5 1\n", "3 columns without names"),
        ("time [min],depth\n0,0\n", "of 1 samples"),
        ("time [min],depth\n", "of 0 samples"),
        ("\n\n", "empty"),
        ("time [min],depth\n0,0\n1,5\0\n", "U+0000"),
        ("time [min],depth\n0,0\n1,5" + " " * 1000 + "\n", "characters long"),
        ("time [min],depth\n" + "1,5\n" * 300_000, "1000000 characters"),
        (np.zeros((200_001, 2)), "200001 samples"),
        ([[0, 0]] * 200_001, "200001 samples"),
        (np.zeros((3, 3)), "of shape (3, 3)"),
        (np.zeros(3), "of shape (3,)"),
        (([0, 1], [0, 1, 2]), "of shape (2,) and (3,)"),
        (np.array([[0, 0], [1, np.nan]]), "depth in sample 2"),
        (np.array([[-1, 0], [1, 2]]), "time in sample 1"),
        (np.array([["0", "0"]]), "give numbers"),
        (np.zeros((2, 2), complex), "give numbers"),
        (np.ma.masked_all((2, 2)), "give numbers"),
        (57, "an array of shape (n, 2)"),
        (None, "an array of shape (n, 2)"),
        (b"0 0\n", "an array of shape (n, 2)"),
        ("none.csv", "cannot be read"),
    ],
)
def test_what_is_no_log(source: Any, says: str) -> None:
    assert says in str(refusal(source))


def test_units_that_contradict_the_log() -> None:
    assert refusal(SHORT, units="imperial").field == "units"
    assert refusal(SHORT, time="min").field == "time"
    assert refusal(SHORT, units="feet").field == "units"
    assert refusal(SHORT, time="h").field == "time"


def test_files(tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    path.write_text(SHORT)
    assert read_log(path).gas == read_log(str(path)).gas == read_log(SHORT).gas
    assert "larger than 1000 kB" in str(refusal_of_ten_megabytes(read_log, path, b"0,0\n"))


def test_a_long_log_is_read_in_time() -> None:
    text = "time [s],depth [m]\n" + "".join(f"{i},{i % 57}\n" for i in range(90_000))
    assert seconds_taken(lambda: read_log(text)) < 5.0
    assert len(read_log(text).time) == 90_000


SAMPLES = st.lists(
    st.tuples(st.integers(0, 20_000), st.floats(0, 350)),
    min_size=2,
    max_size=20,
    unique_by=lambda sample: sample[0],
).map(sorted)


@given(SAMPLES, st.sampled_from([",", ";", "\t", " "]), st.sampled_from(["s", "min", "h:mm:ss"]))
def test_what_is_written_is_read_back(samples: Any, separator: str, unit: str) -> None:
    lines = [f"time_{unit}{separator}depth_m" if unit != "h:mm:ss" else f"time{separator}depth_m"]
    for at, depth in samples:
        shown = clock(at, hours=True) if unit == "h:mm:ss" else at
        lines.append(f"{shown}{separator}{depth:.17g}")
    log = read_log("\n".join(lines))
    scale = 1 if unit == "min" else 60
    np.testing.assert_allclose(log.time, [at / scale for at, _ in samples], rtol=1e-15)
    assert log.depth.tolist() == [depth for _, depth in samples]


def test_hostile_values_are_refused_or_read() -> None:
    refused = refused_hostile(
        lambda value: (
            partial(read_log, value),
            partial(read_log, [value]),
            partial(read_log, (value, value)),
            partial(read_log, SHORT, units=value),
            partial(read_log, SHORT, time=value),
        ),
        Log,
    )
    assert refused > len(HOSTILE) * 4


def test_a_sensor_that_reads_less_than_nothing_at_the_surface() -> None:
    log = read_log("time [min],depth [m]\n0,-0.2\n3,57\n25,57\n40,-1\n")
    assert log.depth.tolist() == [0, 57, 57, 0]
    assert log.notes == ("2 depths of less than a metre above the surface are read as 0",)
    assert "down to -1" in str(refusal("time [min],depth [m]\n0,-1.1\n3,57\n"))

"""Feed the readers of tables and logs with broken input: `python fuzz_table.py MINUTES [SEED]`.

Every input must be read or refused by an `upline.Error` within a second. Prints how many inputs
were tried and what was found; exit code 1 if anything was.
"""

from __future__ import annotations

import argparse
import contextlib
import random
import signal
import sys
import time
import traceback
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import upline
from upline._log import Log, read_log
from upline._table import CutTable, table_from_text

TABLES = Path(__file__).parent / "tables"
LONGEST = 1.0  # seconds an input may take
PARTS = [
    *"0123456789", *" \t\n\r,;:|/'\"@#()-.%*=<>+", "24", "21", "57", "18/45", "50", "O2", "m", "ft",
    "min", "leave at", "run", "stop", "depth", "gas", "bottom", "surface", "ascend", "->", "on",
    "switch to", "24/2", "5:30", "5'30\"", "2,5", "air", "oxygen", "GF 40/80", "fresh water",
    "57 m for 25 min", "# ", "// ", "\n\n", "\r\n", "\x00", "\ufeff", "\u2028", "\u00a0", "é", "٣",
    "\x1b[2J", "\ud800", "9" * 30, "(" * 40, "|" * 40, " " * 200, "1e9", "nan", "inf", "-24",
    "50@21", "time [s],depth [m],gas\n", "depth,stop,gas\n", "depth  stop\n",
    "| depth | stop |\n|---|---|\n", "→ ", "• ", "½", "1h20", "0:31", "(yd)", "RT", "TTS 44",
    "[12:31] Ada: ", "> ", "2l", "O/6", "(24, 2), ", "[[24, 2], ", '[{"depth": 24, "stop": 2}]',
    "stop 1: ", "1:05 ", "2@24 ", "up to ", "stay ", "m min min\n", "Assumptions: ",
    "depth leave at stay breathe po2 held by\n", "57 m for 25 min on 18/45 (metric schedule)\n",
    "Gas 1: 18/45\n", "h:mm", "✅",
]  # fmt: skip


class Hang(Exception):
    """An input took too long."""


def seeds() -> list[str]:
    """Return the texts that are mutated: the tables of the tests, and logs."""
    tables = [path.read_text("utf-8") for path in sorted(TABLES.iterdir()) if path.is_file()]
    assert len(tables) >= 140
    return [
        *tables,
        "time [s],depth [m],gas\n0,0,18/45\n190,57,\n1500,57,\n1800,21,50\n",
        "time;depth (ft)\n0:00;0\n3:10;190,5\n1:00:00;0\n",
        "time_min depth_m\n0 0\n3.2 57\n25 57\n",
        '[{"depth": 24, "stop": 2, "gas": "18/45"}, {"depth": 21, "stop": 1.5}]',
    ]


def mutated(text: str, others: list[str], rng: random.Random) -> str:
    """Return a text with a few of its parts cut, doubled, moved or put in the place of others."""
    for _ in range(rng.choice((1, 1, 2, 3, 5, 8, 20))):
        a = rng.randrange(len(text) + 1)
        b = min(len(text), a + rng.choice((0, 1, 1, 2, 5, 30)))
        kind = rng.randrange(6)
        if kind == 0:
            text = text[:a] + text[b:]
        elif kind == 1:
            text = text[:a] + rng.choice(PARTS) + text[b:]
        elif kind == 2:
            text = text[:b] + text[a:b] * rng.choice((1, 2, 50)) + text[b:]
        elif kind == 3:
            text = (
                text[:a] + chr(rng.choice((rng.randrange(128), rng.randrange(0x3000)))) + text[b:]
            )
        elif kind == 4:
            other = rng.choice(others)
            c = rng.randrange(len(other) + 1)
            text = text[:a] + other[c : c + rng.choice((3, 20, 100))] + text[b:]
        else:
            lines = text.split("\n")
            rng.shuffle(lines)
            text = "\n".join(lines)
    return text[:20_000]


def made(rng: random.Random) -> str:
    """Return a text put together from parts."""
    return "".join(
        rng.choice(PARTS) + rng.choice(("", " ", "\n")) for _ in range(rng.randrange(1, 60))
    )


def outcome(text: str, read: Callable[[str], CutTable | Log]) -> str:
    """Return "read" or "refused"; anything else that happens is raised."""
    try:
        found = read(text)
    except upline.Error as error:
        _is_shown(str(error))
        return "refused"
    for note in found.notes:
        _is_shown(note)
    if isinstance(found, Log):
        assert np.isfinite(found.time).all()
        assert np.isfinite(found.depth).all()
    else:
        _is_table(found)
    return "read"


def _is_shown(message: str) -> None:
    assert 0 < len(message) < 1500, len(message)
    assert message.isascii(), message
    assert message.isprintable(), message


def _is_table(table: CutTable) -> None:
    assert len(table.rows) <= 200
    for row in table.rows:
        _is_shown(row.read_as)
        assert row.text.isascii()
        assert row.text.isprintable()
        assert 0 <= row.depth < 1e6
        assert all(t is None or 0 <= t < 1e9 for t in (row.minutes, row.leave_at))
        assert row.gas is None or str(upline.Gas(row.gas)) == row.gas
    for gas in table.gases or ():
        upline.Gas(gas.partition("@")[0])
    timed = [row for row in table.rows if (row.minutes, row.leave_at) != (None, None)]
    assert len(table.rows) - len(timed) == sum("minutes of row" in m for m in table.missing)


@contextlib.contextmanager
def alarm(seconds: float) -> Iterator[None]:
    """Raise `Hang` in what takes longer, counted on the processor: others may keep it busy."""

    def ring(*_: object) -> None:
        raise Hang

    before = signal.signal(signal.SIGPROF, ring)
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)


def inputs(seed: int) -> Iterator[tuple[str, Callable[[str], CutTable | Log]]]:
    """Return broken inputs without end, each with what is to read it."""
    rng = random.Random(seed)
    texts = seeds()
    while True:
        text = made(rng) if rng.random() < 0.2 else mutated(rng.choice(texts), texts, rng)
        yield text, read_log if rng.random() < 0.2 else table_from_text


def main() -> int:
    """Run for as many minutes as asked for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("minutes", type=float)
    parser.add_argument("seed", type=int, nargs="?", default=1)
    asked = parser.parse_args()
    ends = time.monotonic() + asked.minutes * 60
    counts: Counter[str] = Counter()
    slowest = 0.0
    for text, read in inputs(asked.seed):
        began = time.process_time()
        try:
            with alarm(LONGEST):
                counts[outcome(text, read)] += 1
        except Hang:
            counts["hang"] += 1
            print("HANG", repr(text[:2000]), flush=True)
        except Exception:
            counts["crash"] += 1
            print("CRASH", repr(text[:2000]), traceback.format_exc(), flush=True)
        slowest = max(slowest, time.process_time() - began)
        if time.monotonic() > ends:
            break
    print(f"{asked.minutes:g} min, seed {asked.seed}, {counts.total()} inputs: {dict(counts)}")
    print(f"slowest {slowest:.3f} s")
    return 1 if counts["hang"] + counts["crash"] else 0


if __name__ == "__main__":
    sys.exit(main())

"""A value given beside a value computed, and how they are written down."""

from __future__ import annotations

from dataclasses import dataclass, field

# Of the arithmetic of doubles: what lies on the border of a tolerance is within it.
ROUNDING = 1e-9


@dataclass(frozen=True)
class Line:
    """One comparison; without a tolerance it is shown and not judged."""

    what: str
    given: str
    computed: str
    difference: float
    tolerance: float | None
    confidence: str
    decimals: int = 0
    because: str = ""

    @property
    def verdict(self) -> str:
        """In one word: "within" or "outside" its tolerance, or "shown"."""
        if self.tolerance is None:
            return "shown"
        return "within" if abs(self.difference) <= self.tolerance + ROUNDING else "outside"

    @property
    def difference_text(self) -> str:
        return signed(self.difference, self.decimals)

    @property
    def tolerance_text(self) -> str:
        return "" if self.tolerance is None else f"{self.tolerance:g}"


@dataclass(frozen=True)
class Section:
    """The comparisons with one source, and what their differences mean."""

    title: str
    source: str
    tolerance: str
    lines: list[Line]
    meaning: str
    notes: list[str] = field(default_factory=list)
    unit: str = ""

    def count(self, verdict: str) -> int:
        return sum(line.verdict == verdict for line in self.lines)

    @property
    def exact(self) -> int:
        return sum(line.given == line.computed for line in self.lines)

    @property
    def furthest(self) -> str:
        judged = [line for line in self.lines if line.tolerance is not None]
        return max(judged, key=lambda line: abs(line.difference)).difference_text if judged else ""

    @property
    def tags(self) -> str:
        counts: dict[str, int] = {}
        for line in self.lines:
            counts[line.confidence] = counts.get(line.confidence, 0) + 1
        return "; ".join(f"{count} {tag}" for tag, count in sorted(counts.items()))


def signed(value: float, decimals: int) -> str:
    """A difference with its sign, and no sign for what rounds to nothing."""
    text = f"{value:+.{decimals}f}"
    return text[1:] if float(text) == 0.0 else text


def decimals_of(text: str) -> int:
    """Digits behind the point of a number as printed."""
    return len(text.partition(".")[2])


def compared(
    what: str,
    given: str,
    computed: float,
    tolerance: float | None,
    confidence: str,
    because: str = "",
) -> Line:
    """Compare a number with one as printed; what is outside is shown to more digits."""
    difference = computed - float(given)
    outside = tolerance is not None and abs(difference) > tolerance + ROUNDING
    decimals = decimals_of(given) + (2 if outside else 1)
    shown = f"{computed:.{decimals}f}"
    if float(shown) == float(given):
        shown = given
    return Line(what, given, shown, difference, tolerance, confidence, decimals, because)


def whole(
    what: str,
    given: str,
    computed: float,
    tolerance: float | None,
    confidence: str,
    because: str = "",
) -> Line:
    """Compare a number that is whole by definition."""
    shown = f"{computed:.0f}"
    return Line(what, given, shown, computed - float(given), tolerance, confidence, 0, because)


Stops = dict[int, int]


def stops_text(stops: Stops) -> str:
    """Minutes by depth, deepest first: "9:1 6:4 3:19"."""
    return " ".join(f"{depth}:{stops[depth]}" for depth in sorted(stops, reverse=True)) or "none"


def schedules(
    what: str,
    given: Stops,
    computed: Stops,
    tolerance: float | None,
    confidence: str,
    because: str = "",
) -> Line:
    """Compare two lists of stops; their difference is that of the totals [min]."""
    difference = sum(computed.values()) - sum(given.values())
    texts = stops_text(given), stops_text(computed)
    return Line(what, *texts, difference, tolerance, confidence, 0, because)

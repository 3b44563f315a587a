"""What the tests share: the demo dive, and how hypothesis draws."""

from __future__ import annotations

import pytest
import upline
from hypothesis import settings

# A slow machine is no failure; where time matters a test measures it itself.
settings.register_profile("upline", deadline=None)
settings.register_profile("few", deadline=None, max_examples=10)  # pytest --hypothesis-profile=few
settings.load_profile("upline")


@pytest.fixture(scope="session")
def quince() -> upline.Plan:
    """The Quince Blossom (invented), 57 m for 25 min; plans are immutable, so one serves all."""
    return upline.plan(57, 25, ["18/45", "50", "O2"], gf="40/80", last_stop=6)

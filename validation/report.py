"""Write validation/report.md: what upline computes beside the record, and how far apart.

    python validation/report.py

It reads validation/data and the upline that is installed. The same input gives the same bytes.
"""

from __future__ import annotations

from pathlib import Path

from record.page import page

REPORT = Path(__file__).with_name("report.md")


def main() -> None:
    """Write the page."""
    REPORT.write_text(page(), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()

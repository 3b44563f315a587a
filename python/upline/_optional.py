"""Packages that are needed for a part only, imported when that part is used."""

from __future__ import annotations

import importlib
from typing import Any

from . import _core


def imported(module: str, caller: str, extra: str) -> Any:
    """Return a module, or raise an error that says how to install it."""
    try:
        return importlib.import_module(module)
    except ImportError:
        package = module.partition(".")[0]
        raise _core.Error(
            f"{caller} needs {package}, which is not installed. Remedy: pip install {package}, or "
            f'pip install ".[{extra}]" in the folder of the source.'
        ) from None

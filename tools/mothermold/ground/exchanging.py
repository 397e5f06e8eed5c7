"""Exchanges two files in one step, where the system can: what lay there is not lost, and can be looked at afterwards."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Final

_HERE: Final = -100
"""Linux: paths are meant as they are given."""
_EXCHANGE: Final = 2
"""The same number on Linux (RENAME_EXCHANGE) and on macOS (RENAME_SWAP)."""


def exchange(one: Path, other: Path) -> bool:
    """Gives each of two files the name of the other, in one step.

    Returns:
        Whether it was done; else this system, or this disk, cannot, and nothing happened.

    Raises:
        FileNotFoundError: One of them is gone.
    """
    call = _call()
    if call is None:
        return False
    if call(os.fsencode(one), os.fsencode(other)) == 0:
        return True
    if not (one.exists() and other.exists()):
        raise FileNotFoundError(2, "No such file", str(other))
    return False


@cache
def _call() -> Callable[[bytes, bytes], int] | None:
    import ctypes  # noqa: PLC0415 - only who writes needs it

    try:
        system = ctypes.CDLL(None)
        if sys.platform == "darwin":
            swap = system.renamex_np
            return lambda one, other: int(swap(one, other, ctypes.c_uint(_EXCHANGE)))
        if sys.platform == "linux":
            rename = system.renameat2
            return lambda one, other: int(rename(_HERE, one, _HERE, other, ctypes.c_uint(_EXCHANGE)))
    except (OSError, AttributeError, TypeError):
        pass
    return None

"""Which of many alike cases the short run takes; the rest is a campaign, run by ``tools/test.py --all``."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import pytest


def short(cases: Iterable[Any], few: int) -> list[Any]:
    """All cases for ``parametrize``; those after the first few belong to the campaign."""
    return [
        case if place < few else pytest.param(*_values(case), marks=pytest.mark.campaign)
        for place, case in enumerate(cases)
    ]


def thinned(cases: Iterable[Any], step: int) -> list[Any]:
    """All cases for ``parametrize``, of which the short run takes every so many-th."""
    return [
        case if place % step == 0 else pytest.param(*_values(case), marks=pytest.mark.campaign)
        for place, case in enumerate(cases)
    ]


def seeds(few: int, every: int) -> list[Any]:
    """Numbers from 0, of which the short run takes few and the campaign every one."""
    return short(range(every), few)


def _values(case: Any) -> tuple[Any, ...]:
    return case if isinstance(case, tuple) else (case,)

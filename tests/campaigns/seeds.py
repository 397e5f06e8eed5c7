"""Which of many alike cases the short run takes; the rest is a campaign, run by ``tools/test.py --all``."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Final

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


def parts(few: int, every: int) -> list[Any]:
    """Numbers from 0 in two ranges, for what looks at many at once: the few of the short run, and all others."""
    rest = pytest.param(range(few, every), id=f"{few}-{every}", marks=pytest.mark.campaign)
    return [pytest.param(range(few), id=f"0-{few}"), rest]


REST: Final = [pytest.param(False, id="some"), pytest.param(True, id="the rest", marks=pytest.mark.campaign)]
"""For ``parametrize``: whether `divided` gives the others, which belong to the campaign."""


def divided(cases: Iterable[Any], step: int, rest: bool, first: int = 0) -> list[Any]:
    """Every so many-th of the cases, from one of the first on, or all the others."""
    return [case for place, case in enumerate(cases) if (place % step != first) == rest]


def seeds(few: int, every: int) -> list[Any]:
    """Numbers from 0, of which the short run takes few and the campaign every one."""
    return short(range(every), few)


def _values(case: Any) -> tuple[Any, ...]:
    return case if isinstance(case, tuple) else (case,)

"""One test that asks the same of many small things and names those that fail: a test of its own costs more than most of them."""

from __future__ import annotations

import functools
import inspect
import traceback
from collections.abc import Callable, Iterable
from typing import Any


def failing(cases: Iterable[Any], look: Callable[[Any], object], name: Callable[[Any], object] = str) -> str:
    """Which of the cases fail, and how; nothing where none does, and an error where there is no case at all.

    Args:
        cases: What is gone through, to its end whatever fails.
        look: Asserts what must be so of one.
        name: What one is called where it fails.
    """
    wrong, seen = [], 0
    for case in cases:
        seen += 1
        try:
            look(case)
        except Exception:
            wrong.append(f"{name(case)}:\n{traceback.format_exc()}")
    assert seen, "there is nothing to go through"
    return "\n".join(wrong)


def through(names: str | tuple[str, ...], cases: Iterable[Any], ids: Callable[[Any], object] = repr) -> Any:
    """What `parametrize` does, as a single test; what else the test asks for is the same for all cases.

    Args:
        names: Of the arguments a case gives.
        cases: Each the argument, or as many as there are names.
        ids: What a case is called where it fails.
    """

    def made(test: Callable[..., object]) -> Callable[..., None]:
        every = list(cases)
        asked = inspect.signature(test)

        @functools.wraps(test)
        def gone_through(**shared: Any) -> None:
            def look(case: Any) -> None:
                test(**shared, **({names: case} if isinstance(names, str) else dict(zip(names, case, strict=True))))

            wrong = failing(every, look, ids)
            assert not wrong, wrong

        kept = [
            each
            for name, each in asked.parameters.items()
            if name not in ([names] if isinstance(names, str) else names)
        ]
        gone_through.__signature__ = asked.replace(parameters=kept)  # type: ignore[attr-defined]
        return gone_through

    return made

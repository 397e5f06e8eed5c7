"""What is made to stay, and is not looked through for what could go while it is made."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import wraps
from typing import Any, Concatenate, ParamSpec, TypeVar
from weakref import finalize

_P = ParamSpec("_P")
_T = TypeVar("_T")
_R = TypeVar("_R")


@contextmanager
def all_stays() -> Iterator[None]:
    """While it lasts, Python does not search what there is for what nobody holds any more.

    A book is many small things that all stay; every such search goes through them for nothing. Afterwards it is as it was
    before, whatever happened. Nothing is frozen: a book that is served and read again must be able to go.
    """
    searching = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if searching:
            gc.enable()


def once_for_each(make: Callable[Concatenate[_T, _P], _R]) -> Callable[Concatenate[_T, _P], _R]:
    """Lets a function work once for each thing that never changes, and forgets what it made when the thing goes.

    Things are told apart by being the very same one, not by what they say. What is made must not hold the thing itself.
    """
    known: dict[int, dict[Any, _R]] = {}

    @wraps(make)
    def made(of: _T, /, *more: _P.args, **named: _P.kwargs) -> _R:
        mine = known.get(id(of))
        if mine is None:
            mine = known[id(of)] = {}
            finalize(of, known.pop, id(of))
        key = (more, *named.items())
        if key not in mine:
            mine[key] = make(of, *more, **named)
        return mine[key]

    return made

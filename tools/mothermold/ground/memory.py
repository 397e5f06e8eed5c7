"""What is made to stay, and is not looked through for what could go while it is made."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


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

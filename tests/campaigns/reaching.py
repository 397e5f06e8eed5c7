"""A plugin for pytest: writes down which functions each test reaches, or runs only the tests it is told, in their order.

``REACHED`` names the file to write, ``CHOSEN`` the file with the ids to run.
"""

from __future__ import annotations

import json
import os
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from types import FrameType

import pytest

_REACHED, _CHOSEN = os.environ.get("REACHED"), os.environ.get("CHOSEN")
_PACKAGE = f"{os.sep}mothermold{os.sep}"
_FLOORS = ("reckon", "trade", "view", "compare", "history")

_tests: dict[str, tuple[float, list[str]]] = {}
_failed: set[str] = set()
_here: set[str] = set()
_known: dict[object, str | None] = {}


def _enters(frame: FrameType, _event: str, _what: object) -> None:
    code = frame.f_code
    if code not in _known:
        _package, found, module = code.co_filename.rpartition(_PACKAGE)
        is_near = found and Path(module).parts[0] in _FLOORS
        _known[code] = f"{module}:{code.co_firstlineno}" if is_near else None
    if name := _known[code]:
        _here.add(name)


if _REACHED:

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(item: pytest.Item) -> Iterator[None]:
        _here.clear()
        # What one test has worked out is kept beside its book; the next would find it there and reach nothing.
        store = sys.modules.get("mothermold.ground.store")
        if store is not None:
            setattr(store, "_program", lambda: item.nodeid)  # noqa: B010 - the module is known by its name alone
        began = time.process_time()
        sys.settrace(_enters)
        try:
            return (yield)
        finally:
            sys.settrace(None)
            _tests[item.nodeid] = time.process_time() - began, sorted(_here)

    def pytest_runtest_logreport(report: pytest.TestReport) -> None:
        if not report.passed:
            _failed.add(report.nodeid)

    def pytest_sessionfinish() -> None:
        kept = {name: found for name, found in _tests.items() if name not in _failed}
        Path(str(_REACHED)).write_text(json.dumps(kept))


if _CHOSEN:

    @pytest.hookimpl(trylast=True)
    def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
        order = {name: place for place, name in enumerate(json.loads(Path(str(_CHOSEN)).read_text()))}
        items[:] = sorted((item for item in items if item.nodeid in order), key=lambda item: order[item.nodeid])

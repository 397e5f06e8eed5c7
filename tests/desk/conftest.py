"""What every test of the desk stands on: a home without any settings of git."""

from __future__ import annotations

from pathlib import Path

import pytest

from history.repositories import leave_home


@pytest.fixture(autouse=True)
def _nobodys_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    leave_home(tmp_path / "nobody", monkeypatch)

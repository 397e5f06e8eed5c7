"""What the tests of the desk's rooms share."""

from __future__ import annotations

from pathlib import Path

import pytest

from serve.desk_rooms.sitting_down import Desk


@pytest.fixture
def desk(own_sample_book: Path) -> Desk:
    """Somebody at the desk of a copy of the sample book."""
    return Desk(own_sample_book)

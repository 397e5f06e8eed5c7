"""The small good book of the test data, as a test changes its copy."""

from __future__ import annotations

from pathlib import Path

RUN = "recipes/builds/old-baker/runs/r-2026-03-10-cheek-1.yaml"


def change(book: Path, file: str, old: str, new: str) -> None:
    """Puts other words in a file, where the old ones stand."""
    text = (book / file).read_text(encoding="utf-8")
    assert old in text
    (book / file).write_text(text.replace(old, new), encoding="utf-8")

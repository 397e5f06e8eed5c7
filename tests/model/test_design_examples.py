"""Every example of the format's contract loads exactly as it is written there."""

from __future__ import annotations

from pathlib import Path

import pytest

from mothermold.book.document import Document, read_document
from mothermold.model.kinds import KINDS
from mothermold.reckon.formula import find_formula_faults
from mothermold.reckon.mixes import resolve

EXAMPLES = Path(__file__).parents[1] / "data" / "design"
NAMES = {"recipe": "cast/cheek-piece", "run": "r-2026-04-18-face-3"}


def load(kind: str, data: bytes | None = None) -> Document:
    data = (EXAMPLES / f"{kind}.yaml").read_bytes() if data is None else data
    return read_document(kind, NAMES.get(kind, kind), f"recipes/{kind}.yaml", data)


@pytest.mark.parametrize("kind", [path.stem for path in sorted(EXAMPLES.glob("*.yaml")) if path.stem != "scales"])
def test_an_example_loads_as_written(kind: str) -> None:
    document = load(kind)
    assert document.notices == ()
    assert isinstance(document.model, KINDS[kind].model)


def test_the_scales_load_as_written() -> None:
    document = load("book", b"title: A book\n" + (EXAMPLES / "scales.yaml").read_bytes())
    assert document.notices == ()
    assert document.model is not None


def test_the_examples_mixes_can_be_reckoned() -> None:
    model = load("recipe").model
    mixes = model.mixes  # type: ignore[union-attr]
    assert list(find_formula_faults(mixes)) == []
    masses = {part.name: part.mass for part in resolve(mixes, "base", {}).materials}
    # Part B is exactly as much as the part A inside the tinted premix, whatever else is in it.
    assert masses["gel-silicone-b"] == masses["gel-silicone-a"]
    assert masses["deadener"] == masses["gel-silicone-a"] * 12 / 10

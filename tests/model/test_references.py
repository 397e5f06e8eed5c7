"""References between documents: what they say of a version and a step, whatever stands there."""

from __future__ import annotations

import pytest

from mothermold.model.names import RecipeRef


@pytest.mark.parametrize(
    ("said", "version"),
    [
        ("cast/cheek@3#pour", 3),
        ("cast/cheek", None),
        ("cast/cheek@seven", None),
        ("cast/cheek@0", None),
        ("a/b@²", None),
    ],
)
def test_a_version_is_a_number_or_none_is_said(said: str, version: int | None) -> None:
    assert RecipeRef(said).version == version

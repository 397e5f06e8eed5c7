"""The tool's own drawings of the work, by name: sections through molds, castings, edges and head casts.

Each is a file by itself, with its title and its description in words. Every material has its own hatching, the same in all of
them, so that nothing hangs on color: common practice of drawing sections. Lines are drawn in the color of the text round
them (``currentColor``, black where there is none); what covers what lies behind is white unless a style sheet says otherwise.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Final

from markupsafe import Markup

_FOLDER: Final = Path(__file__).parents[1] / "templates" / "work"


@cache
def work_drawings() -> tuple[str, ...]:
    """The names of all of them."""
    return tuple(sorted(path.stem for path in _FOLDER.glob("*.svg")))


def work_drawing_file(name: str) -> Path:
    """Where a drawing lies, to be laid into a page of another making.

    Raises:
        KeyError: There is none of this name.
    """
    if name not in work_drawings():
        raise KeyError(name)
    return _FOLDER / f"{name}.svg"


@cache
def work_drawing(name: str) -> Markup:
    """A drawing as it stands within a page."""
    return Markup(work_drawing_file(name).read_text(encoding="utf-8").strip())  # noqa: S704 - one of our own files

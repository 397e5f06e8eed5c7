"""Where the book is that one stands in; asked before anything of it is read."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Final

RECIPES: Final = "recipes"
SETTINGS_FILE: Final = f"{RECIPES}/book.yaml"


def find_book(start: Path) -> Path | None:
    """The nearest folder upward that holds ``recipes/book.yaml``."""
    here = Path(os.path.realpath(start))
    return next((folder for folder in (here, *here.parents) if (folder / SETTINGS_FILE).is_file()), None)

"""Templates as Python keeps modules: compiled, beside their text, where that folder may be written."""

from __future__ import annotations

import os
import sys
from importlib.util import cache_from_source
from pathlib import Path
from typing import Final

import jinja2
from jinja2.bccache import Bucket

from mothermold.ground.store import digest

_FOLDER: Final = Path(cache_from_source(str(Path(__file__).with_name("templates") / "page.py"))).parent


class CompiledTemplates(jinja2.FileSystemBytecodeCache):
    """What was compiled of templates; a text that changed, and another Python, find nothing.

    Args:
        options: All else they are compiled by.
    """

    def __init__(self, *options: object) -> None:
        super().__init__(str(_FOLDER), f"%s-{digest(jinja2.__version__, *options)[:12]}.jinja")

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keeps what was compiled, where Python itself would keep a module and may write."""
        if sys.dont_write_bytecode:
            return
        try:
            _FOLDER.mkdir(parents=True, exist_ok=True)
        except OSError:
            return
        if os.access(_FOLDER, os.W_OK):
            super().dump_bytecode(bucket)

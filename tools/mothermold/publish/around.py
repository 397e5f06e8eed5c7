"""What stands around the pages of a book: the frames, what pages load, pages written by hand; and by what it is known again."""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Iterable
from dataclasses import astuple, dataclass
from pathlib import Path
from typing import Any, Final

from mothermold.ground.store import digest
from mothermold.pages.addresses import HUBS, leaves
from mothermold.pages.all_pages import addresses, deepest
from mothermold.publish.frames import Frame
from mothermold.publish.offline import KeptFile
from mothermold.view.view import View

_LOST: Final = Path(__file__).with_name("lost")


@dataclass(frozen=True, slots=True)
class BuiltAround:
    """What the site builder made.

    Attributes:
        made_of: By what it is known again.
        frames: The frames, by depth of folders.
        files: All else.
    """

    made_of: str
    frames: tuple[Frame, ...]
    files: tuple[KeptFile, ...]

    def as_data(self) -> dict[str, Any]:
        """As JSON gives it back."""
        return {
            "made_of": self.made_of,
            "frames": [list(astuple(each)) for each in self.frames],
            "files": [file.as_data() for file in self.files],
        }


def around_again(kept: Any) -> BuiltAround | None:
    """What was kept of it; None where nothing was."""
    if kept is None:
        return None
    frames = tuple(Frame(*each) for each in kept["frames"])
    return BuiltAround(kept["made_of"], frames, tuple(KeptFile.of_data(each) for each in kept["files"]))


def made_of(view: View, beside: str, files: Iterable[str]) -> str:
    """By what it is known again, in this edition as it is now.

    Args:
        view: The edition.
        beside: What the site is made of beside the book; see ``publish.beside``.
        files: The names of what was made around the pages before.
    """
    # Only a page written by hand may link to one of the book.
    links = any(file.endswith(".html") and file != "404.html" for file in files)
    pages = sorted(addresses(view)) if links else [str(deepest(view))]
    return digest(beside, json.dumps(told_to_frames(view), sort_keys=True), view.settings.title, *pages)


def told_to_frames(view: View) -> dict[str, Any]:
    """What every frame says of the book; where it says the same as before, the frames are the same."""
    style, script = ((_LOST / name).read_text(encoding="utf-8") for name in ("404.css", "404.js"))
    return {
        "edition": view.edition,
        "notice": view.settings.notice or "",
        "day": view.day.isoformat() if view.day else "",
        "hubs": [hub for kind, hub in HUBS.items() if view.on(kind) or (kind == "recipe" and view.recipes)],
        "leaves": leaves(view),
        "failures": bool(view.on("failure")),
        # It is shown at any address, so it brings its look along and finds the start by looking upward.
        "policy_404": f"default-src 'none'; style-src {_digest(style)}; script-src {_digest(script)}; connect-src 'self'",
        "style_404": style,
        "script_404": script,
    }


def _digest(text: str) -> str:
    """A text of the page itself, as a policy names it."""
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"

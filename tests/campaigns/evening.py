"""A new user's evening, in the browser and at the terminal: what it takes a person each way, part by part.

In ``tests``: ``python -m campaigns.evening``. What is counted, and by which model, says ``serve.desk_rooms.effort``.
"""

from __future__ import annotations

import os
import sys
import tempfile
from pathlib import Path

from browser import open_browser
from desk.counting import Counting
from mothermold.desk.founding import found_book
from serve.desk_rooms.effort import table
from serve.desk_rooms.in_a_window import opened
from serve.desk_rooms.test_an_evening import PARTS, at_the_terminal, the_evening


def main() -> int:
    """Goes through the evening both ways, and prints what each took."""
    os.environ.update(HOME="/nonexistent", XDG_CONFIG_HOME="/nonexistent")
    who = Counting()
    with tempfile.TemporaryDirectory(prefix="mothermold-evening-") as scratch:
        books = Path(scratch) / "browser", Path(scratch) / "terminal"
        around = Path(scratch) / "around"
        around.mkdir()
        for each in books:
            found_book(each)
        with open_browser() as browser, opened(browser, books[0], around) as window:
            the_evening(window)
        at_the_terminal(books[1], who)
    ways = {"in the browser": window.effort, "at the terminal": who.effort}
    sys.stdout.write(f"{table(ways, PARTS)}\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())

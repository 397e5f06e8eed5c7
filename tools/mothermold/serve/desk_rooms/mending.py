"""The way out where nothing can be saved: what is wrong, what would be done about it, and the deed."""

from __future__ import annotations

from mothermold.desk.heard import Heard
from mothermold.desk.mending import find_mishaps, mend_book
from mothermold.pages.desk.mending import NAMED, mend_page, name_of_mishap
from mothermold.pages.desk.paper import DeskPaper
from mothermold.pages.page import Page
from mothermold.serve.desk_rooms.room import Visit


class MendRoom:
    """What is wrong with git, folders and files."""

    def show(self, visit: Visit) -> Page | None:
        """What is wrong now."""
        return None if visit.at else mend_page(_paper(visit), find_mishaps(visit.view.root))

    def take(self, visit: Visit) -> Page | str:
        """Mends what was ticked, and nothing that only comes to light by it."""
        root, heard, meant = visit.view.root, Heard(agrees=True), visit.all(NAMED)
        mend_book(root, heard, agrees=lambda mishap: name_of_mishap(mishap) in meant)
        return mend_page(_paper(visit), find_mishaps(root), heard.lines)


def _paper(visit: Visit) -> DeskPaper:
    return visit.paper("desk/mend")

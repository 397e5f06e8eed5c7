"""The start of the desk, and the room where something new is begun."""

from __future__ import annotations

from mothermold.desk.bringing import in_inbox
from mothermold.desk.changed import unsaved
from mothermold.ground.errors import refused
from mothermold.pages.desk.paper import DESK
from mothermold.pages.desk.start import something_page, start_page
from mothermold.pages.page import Page
from mothermold.serve.desk_rooms.room import Visit


class ReadingRoom:
    """A room where nothing is sent."""

    def take(self, visit: Visit) -> Page | str:  # noqa: ARG002 - every room is asked alike
        """Refuses what is sent."""
        raise refused("not-written", "Nothing is written here.", "Go on from the links of the page.")


class StartRoom(ReadingRoom):
    """The short ways in, and what waits."""

    def show(self, visit: Visit) -> Page | None:
        """The start."""
        if visit.at:
            return None
        root, snapshot = visit.view.root, unsaved(visit.view.root)
        errors = sum(1 for each in visit.view.notices if each.severity == "error")
        waits = len(in_inbox(root))
        paper = visit.paper(DESK)
        return start_page(
            paper, unsaved=len(snapshot.changes) if snapshot is not None else None, waiting=waits, errors=errors
        )


class SomethingRoom(ReadingRoom):
    """What can be begun."""

    def show(self, visit: Visit) -> Page | None:
        """Every kind with what it is for."""
        return None if visit.at else something_page(visit.paper("desk/something"))

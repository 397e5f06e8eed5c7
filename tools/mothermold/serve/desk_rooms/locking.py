"""What a draft lacks before it can be locked, and the button where nothing does."""

from __future__ import annotations

from mothermold.desk.locking import lock, look_at_lock
from mothermold.ground.errors import RefusedError, refused
from mothermold.pages.desk.keeping import locking_page
from mothermold.pages.desk.paper import done_at
from mothermold.pages.page import Page
from mothermold.serve.desk_rooms.room import Visit


class LockingRoom:
    """A draft, and what it lacks."""

    def show(self, visit: Visit) -> Page | None:
        """What is missing."""
        if visit.at not in visit.view.on("recipe"):
            return None
        paper = visit.paper(f"desk/locking/{visit.at}")
        try:
            return locking_page(paper, visit.at, look_at_lock(visit.view, visit.at))
        except RefusedError as refusal:
            return locking_page(paper, visit.at, None, refusal.notices)

    def take(self, visit: Visit) -> Page | str:
        """Locks it."""
        found = look_at_lock(visit.view, visit.at)
        if visit.one("digest") != found.form.digest:
            file = found.form.file
            raise refused("changed-meanwhile", f"{file} was changed meanwhile, so it is not locked.", "Look again.")
        lock(visit.view, found)
        return done_at(found.form.file, f"desk/locking/{visit.at}")

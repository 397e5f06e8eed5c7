"""Takes in what the phone brought, each with its words, taken or left."""

from __future__ import annotations

from dataclasses import replace

from mothermold.desk.bringing import INBOX, bring_one, in_inbox, known_build, waiting
from mothermold.desk.bringing_photos import cleared, left_over
from mothermold.desk.brought import OtherWay
from mothermold.desk.heard import Heard
from mothermold.ground.errors import CannotRunError, MothermoldError, refused
from mothermold.pages.desk.inbox import CALLED, WAY, brought_page, inbox_page
from mothermold.pages.desk.paper import DeskPaper
from mothermold.pages.page import Page
from mothermold.serve.desk_rooms.room import Visit
from mothermold.view.view import open_view


class InboxRoom:
    """What waits in the inbox, and what becomes of it."""

    def show(self, visit: Visit) -> Page | None:
        """What waits."""
        if visit.at:
            return None
        chosen = visit.all("take") if visit.said else None
        root, view = visit.view.root, visit.view
        found = waiting(root, view)
        alone = {path.name: path.read_bytes() for path in left_over(root / INBOX, root, found).alone}
        return inbox_page(_paper(visit), found, alone, chosen, dict(visit.typed))

    def take(self, visit: Visit) -> Page | str:
        """Takes in what was ticked; each for itself, so that one that is wrong keeps no other out."""
        view, root, chosen = visit.view, visit.view.root, visit.all("take")
        to = visit.one("to") or None
        known_build(view, to)
        ways = {path: _way(visit, path.name) for path in in_inbox(root)}
        paths = [path for path, way in ways.items() if path.name in chosen or way != OtherWay()]
        if not paths:
            raise refused("not-written", "Nothing was taken in, because nothing was ticked.", "Tick one, or go back.")
        done = []
        for path in paths:
            # Only what was said to differ beside its tick was agreed to.
            heard = Heard(agrees=path.name in visit.all("differs"))
            try:
                done.append(bring_one(root, view, path, heard, to=to, way=ways[path]))
            except MothermoldError as problem:
                there = ", ".join(each.file for each in done if each.file)
                raise CannotRunError(f"{problem} Already in the book: {there or 'nothing'}.") from problem
            view = open_view(root, "private")
        cleared(root / INBOX, root, waiting(root, view))
        return brought_page(replace(_paper(visit), view=view), done, len(in_inbox(root)))


def _way(visit: Visit, name: str) -> OtherWay:
    """How somebody said that a file comes in whose name is taken."""
    called, said = visit.one(f"{CALLED}{name}").strip(), visit.one(f"{WAY}{name}")
    # The name is proposed, so of a note it counts only where it was chosen; a lot has nothing else to choose.
    return OtherWay(called if said in ("", "other") else "", same=said == "same")


def _paper(visit: Visit) -> DeskPaper:
    return visit.paper("desk/inbox")

"""Saves the book with a reason, by the same door as the terminal."""

from __future__ import annotations

from dataclasses import replace

from mothermold.desk.changed import unsaved
from mothermold.desk.heard import Heard
from mothermold.desk.numbering import Wish
from mothermold.desk.saving import Proposal, history_of, now, propose
from mothermold.ground.errors import RefusedError, refused
from mothermold.ground.notices import Notice
from mothermold.history.ledger import open_ledger
from mothermold.pages.desk.paper import DeskPaper
from mothermold.pages.desk.saving import save_page, saved_page
from mothermold.pages.page import Page
from mothermold.serve.desk_rooms.room import Visit
from mothermold.view.view import open_view


class SaveRoom:
    """What is not saved yet, the message it would be saved under, and the save."""

    def show(self, visit: Visit) -> Page | None:
        """What a save would do now."""
        if visit.at:
            return None
        root, heard, wish = visit.view.root, Heard(), _wish(visit)
        ledger = open_ledger(root)
        proposal: Proposal | None = None
        stops: tuple[Notice, ...] = ()
        try:
            proposal = propose(root, ledger, wish, heard, asks=False) if ledger is not None else None
        except RefusedError as refusal:
            stops = refusal.notices
        snapshot = proposal.snapshot if proposal is not None else unsaved(root)
        return save_page(_paper(visit), wish, snapshot=snapshot, proposal=proposal, heard=heard.lines, stops=stops)

    def take(self, visit: Visit) -> Page | str:
        """Saves, unless it is only to be looked at again."""
        if visit.one("look"):
            shown = self.show(visit)
            assert shown is not None
            return shown
        root, heard = visit.view.root, Heard()
        proposal = propose(root, history_of(root, heard), _wish(visit), heard, asks=False)
        if proposal is None:
            return "desk/save"
        if visit.one("tree") not in ("", proposal.snapshot.tree):
            raise refused(
                "changed-meanwhile",
                "Something in the book was changed since this page was made, so nothing was saved.",
                "Look at what is saved now, then save it.",
            )
        proposal.keep(root, now(proposal.view))
        return saved_page(replace(_paper(visit), view=open_view(root, "private")), proposal, heard.lines)


def _paper(visit: Visit) -> DeskPaper:
    return visit.paper("desk/save")


def _wish(visit: Visit) -> Wish:
    return Wish(
        visit.one("why").strip(),
        visit.all("fixes"),
        keep_number=bool(visit.one("keep_number")),
        with_errors=bool(visit.one("with_errors")),
    )

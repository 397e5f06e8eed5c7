"""Takes the last save back, or puts files back to it; what that would do stands there first."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from mothermold.desk.asking import StoppedError
from mothermold.desk.changed import unsaved
from mothermold.desk.heard import Heard
from mothermold.desk.putting_back import put_back
from mothermold.desk.undoing import undo_save
from mothermold.ground.errors import RefusedError, refused
from mothermold.ground.notices import Notice
from mothermold.history.ledger import open_ledger
from mothermold.pages.desk.paper import DeskPaper
from mothermold.pages.desk.saving import undo_page, undone_page
from mothermold.pages.page import Page
from mothermold.serve.desk_rooms.room import Visit


class UndoRoom:
    """The last save and what is not saved yet, with what taking either back would do."""

    def show(self, visit: Visit) -> Page | None:
        """What would be taken back."""
        if visit.at:
            return None
        root, chosen = visit.view.root, visit.all("file")
        snapshot = unsaved(root)
        can_go = [each for each in (snapshot.changes if snapshot else ()) if each.action in ("changed", "deleted")]
        undoing = _foretold(lambda heard: undo_save(root, heard, asks=True))
        back = _foretold(lambda heard: put_back(root, heard, asks=True))
        return undo_page(_paper(visit), _last(visit), undoing=undoing, back=back, unsaved=can_go, chosen=chosen)

    def take(self, visit: Visit) -> Page | str:
        """Takes it back."""
        root, heard = visit.view.root, Heard(agrees=True)
        if visit.one("what") == "unsaved":
            if not (files := visit.all("file")):
                raise refused(
                    "nothing-to-undo", "No file was chosen, so nothing was put back.", "Tick one, or go back."
                )
            put_back(root, heard, asks=False, only=files)
        else:
            if visit.one("last") != _last(visit):
                raise refused(
                    "changed-meanwhile",
                    "Something else was saved since this page was made, so nothing was taken back.",
                    "Look at what the last save is now.",
                )
            undo_save(root, heard, asks=False)
        return undone_page(_paper(visit), heard.lines)


def _foretold(deed: Callable[[Heard], None]) -> tuple[Sequence[str], Sequence[Notice]]:
    """What a deed says it would do, where nobody agrees to it; and what it is refused for."""
    heard = Heard()
    try:
        deed(heard)
    except StoppedError:
        return heard.lines, ()
    except RefusedError as refusal:
        return heard.lines, refusal.notices
    return heard.lines, ()


def _last(visit: Visit) -> str:
    ledger = open_ledger(visit.view.root)
    return (ledger.tip or "") if ledger is not None else ""


def _paper(visit: Visit) -> DeskPaper:
    return visit.paper("desk/undo")

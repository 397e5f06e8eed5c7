"""The desk: a table of rooms by the first part of their addresses, and their pages hung in the frame of the site."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from contextlib import AbstractContextManager
from dataclasses import replace
from http import HTTPStatus
from typing import Final
from urllib.parse import unquote

from mothermold.desk.broken_off import finish_broken_off
from mothermold.desk.heard import Heard
from mothermold.ground.errors import MothermoldError
from mothermold.model.kinds import KINDS
from mothermold.pages.desk.paper import DESK
from mothermold.pages.page import Page
from mothermold.serve.desk_door import Filled
from mothermold.serve.desk_rooms.document import NEW_ROOM, DocumentRoom
from mothermold.serve.desk_rooms.done import DoneRoom
from mothermold.serve.desk_rooms.editions import EditionsRoom
from mothermold.serve.desk_rooms.emergency import EmergencyRoom
from mothermold.serve.desk_rooms.inbox import InboxRoom
from mothermold.serve.desk_rooms.locking import LockingRoom
from mothermold.serve.desk_rooms.made import MadeRoom
from mothermold.serve.desk_rooms.mending import MendRoom
from mothermold.serve.desk_rooms.new_document import NewRoom
from mothermold.serve.desk_rooms.photo_room import PhotoRoom
from mothermold.serve.desk_rooms.room import DeskRoom, Visit
from mothermold.serve.desk_rooms.save import SaveRoom
from mothermold.serve.desk_rooms.start import SomethingRoom, StartRoom
from mothermold.serve.desk_rooms.undo import UndoRoom
from mothermold.serve.desk_rooms.wrong import NextRoom, WrongRoom
from mothermold.serve.replies import HTML, Reply, led_to
from mothermold.view.view import View

ROOMS: Final[Mapping[str, DeskRoom]] = {
    "": StartRoom(),
    "done": DoneRoom(),
    "editions": EditionsRoom(),
    "emergency": EmergencyRoom(),
    "inbox": InboxRoom(),
    "locking": LockingRoom(),
    "made": MadeRoom(),
    "mend": MendRoom(),
    "next": NextRoom(),
    "photo": PhotoRoom(),
    "save": SaveRoom(),
    "something": SomethingRoom(),
    "undo": UndoRoom(),
    "wrong": WrongRoom(),
    NEW_ROOM: NewRoom(),
    **{word: DocumentRoom(word) for word in KINDS},
}
"""Who answers, by what stands first in an address behind `desk/`; the start of the desk is under nothing."""


class DeskRooms:
    """Opens the rooms on one book.

    Args:
        now: Opens the owner's book as it is now, for one visit.
        hang: A page of the desk in its frame, as bytes.
        rooms: Who answers, as ``ROOMS``.
        start: Where its start is.
    """

    def __init__(
        self,
        now: Callable[[], AbstractContextManager[View]],
        hang: Callable[[Page], bytes],
        rooms: Mapping[str, DeskRoom] = ROOMS,
        start: str = DESK,
    ) -> None:
        self._now, self._hang, self._rooms, self._start = now, hang, rooms, start

    def show(self, form: Filled) -> Reply | None:
        """The page at an address; None where there is none."""
        with self._now() as view:
            room, visit = self._visit(view, form)
            try:
                page = room.show(visit) if room is not None else None
            except MothermoldError as problem:
                if self._start != DESK:
                    raise
                # The history cannot be opened, or the computer refuses: instead of the room the way out is shown.
                page = MendRoom().show(replace(visit, at="", said=form.said or str(problem)))
        return Reply(HTTPStatus.OK, self._hang(page), HTML) if page is not None else None

    def take(self, form: Filled) -> Reply:
        """Takes what was typed; on the desk itself what an earlier deed left half done is put in order first."""
        if self._start == DESK:
            with self._now() as view:
                finish_broken_off(view.root, Heard(agrees=True))
        with self._now() as view:
            room, visit = self._visit(view, form)
            found = room.take(visit) if room is not None else self._start
        return led_to(f"/{found}") if isinstance(found, str) else Reply(HTTPStatus.OK, self._hang(found), HTML)

    def _visit(self, view: View, form: Filled) -> tuple[DeskRoom | None, Visit]:
        name, _, at = unquote(form.path).partition("/")
        return self._rooms.get(name), Visit(view, at, form.typed, form.seal, form.said, form.files)

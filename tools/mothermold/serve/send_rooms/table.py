"""The rooms of a phone: all that can be written from there."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from mothermold.pages.desk.paper import SEND
from mothermold.pages.desk.sending import SENDABLE, SENT, send_page, sent_page
from mothermold.pages.page import Page
from mothermold.serve.desk_rooms.room import DeskRoom, Visit
from mothermold.serve.desk_rooms.start import ReadingRoom
from mothermold.serve.inbox import Inbox
from mothermold.serve.send_rooms.lot import LotRoom
from mothermold.serve.send_rooms.made import SendMadeRoom
from mothermold.serve.send_rooms.photo import SendPhotoRoom
from mothermold.serve.send_rooms.posting import Posting
from mothermold.serve.send_rooms.wrong import NoteRoom, SendWrongRoom


class SendStartRoom(ReadingRoom):
    """What can be sent."""

    def show(self, visit: Visit) -> Page | None:
        """The start."""
        return None if visit.at else send_page(visit.paper(SEND))


class SentRoom(ReadingRoom):
    """Where somebody is led once something lies in the inbox."""

    def show(self, visit: Visit) -> Page | None:
        """What lies there, and what becomes of it."""
        what = visit.one("what")
        if visit.at or what not in SENDABLE:
            return None
        return sent_page(visit.paper(SENT), what, before=visit.one("before") == "yes")


def send_rooms(inbox: Inbox, say: Callable[[str], None]) -> Mapping[str, DeskRoom]:
    """Who answers, by what stands first in an address behind `send/`.

    Args:
        inbox: Where all goes that is sent.
        say: Tells the person at the computer something.
    """
    posting = Posting(inbox, say)
    return {
        "": SendStartRoom(),
        "lot": LotRoom(posting),
        "made": SendMadeRoom(posting),
        "note": NoteRoom(posting),
        "photo": SendPhotoRoom(posting),
        "sent": SentRoom(),
        "wrong": SendWrongRoom(),
    }

"""What the rooms of a phone share: the inbox they write to, and what is said where it cannot be written."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from urllib.parse import urlencode

from mothermold.ground.errors import CannotRunError, RefusedError, refused
from mothermold.pages.desk.sending import SENT
from mothermold.serve.desk_rooms.room import Visit
from mothermold.serve.inbox import MOST_BYTES, Inbox


@dataclass(frozen=True, slots=True)
class Posting:
    """The way into the inbox.

    Attributes:
        inbox: The inbox.
        say: Tells the person at the computer something.
    """

    inbox: Inbox
    say: Callable[[str], None]

    def post(
        self, what: str, text: str | None, name: str, came_from: str, photos: Mapping[str, bytes] = MappingProxyType({})
    ) -> str:
        """Keeps a text in the inbox; hands back where it goes on.

        Args:
            what: What it is, as ``SENDABLE`` of the pages names it.
            text: The text.
            name: What its file is called, without its ending.
            came_from: Where it was typed; a browser lets go there what it kept.
            photos: The photos the text names, by their names.

        Raises:
            MothermoldError: It cannot be kept; nothing of the computer's folders is told.
        """
        assert text is not None
        if len(text.encode()) > MOST_BYTES:
            raise refused("too-large", "That is longer than a page can be, so it was not sent.", "Say it shorter.")
        try:
            kept = self.inbox.keep(text, name, what, photos)
        except (CannotRunError, RefusedError, OSError) as problem:
            self.say(f"A {what} sent from the phone could not be kept: {problem}")
            raise CannotRunError("The computer could not keep it; its screen says why.") from problem
        if kept.new:
            self.say(f"A {what} sent from the phone came in: {kept.name}.")
        return f"{SENT}?{urlencode({'what': what, 'before': '' if kept.new else 'yes', 'from': came_from})}"


def offered(visit: Visit, name: str, values: Collection[str]) -> str:
    """What was chosen of a list; empty for nothing.

    Raises:
        RefusedError: ``unknown-reference`` where it is not in the list; the same whether or not the book has it elsewhere.
    """
    chosen = visit.one(name).strip()
    if chosen and chosen not in values:
        raise refused("unknown-reference", f"`{chosen}` is not among what can be chosen here.", "Choose from the list.")
    return chosen

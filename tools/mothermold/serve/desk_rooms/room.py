"""What a room of the desk is: what it shows at an address, and what becomes of what was typed there."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

from mothermold.pages.desk.paper import DeskPaper
from mothermold.pages.page import Page
from mothermold.serve.forms import Pairs
from mothermold.serve.parts import SentFile
from mothermold.view.view import View


@dataclass(frozen=True, slots=True)
class Visit:
    """What a room is asked.

    Attributes:
        view: The owner's book as it is now.
        at: What stands in the address behind the room's name, as `cast/cheek`; empty for nothing.
        typed: Pairs of name and text as typed, in the order of the form; where only a page is asked for, what stood
            behind the question mark.
        seal: Makes the hidden fields each form of a page needs, of each form its own.
        said: Why what was typed was not taken, to be shown above the form; else empty.
        files: Files that were chosen in the form.
    """

    view: View
    at: str
    typed: Pairs
    seal: Callable[[], str]
    said: str = ""
    files: tuple[SentFile, ...] = ()

    def one(self, name: str) -> str:
        """The last text that was typed under a name; empty for none."""
        return next((text for key, text in reversed(self.typed) if key == name), "")

    def all(self, name: str) -> tuple[str, ...]:
        """Every text that was typed or ticked under a name."""
        return tuple(text for key, text in self.typed if key == name and text)

    def paper(self, address: str) -> DeskPaper:
        """A sheet of the desk for this visit, that lies at an address."""
        return DeskPaper(self.view, address, self.seal, self.said)


class DeskRoom(Protocol):
    """A room of the desk."""

    def show(self, visit: Visit) -> Page | None:
        """The page at an address below `desk/ROOM`, filled with what was typed; None where there is none. Writes nothing."""

    def take(self, visit: Visit) -> Page | str:
        """Takes what was typed.

        Returns:
            The address to go to now, from the start of the site like `desk/done?file=...`, or the page again with what is
            wrong beside its fields.

        Raises:
            MothermoldError: It cannot be done; the page is shown again with that sentence.
        """

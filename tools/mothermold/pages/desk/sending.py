"""The pages of a phone from which something is sent into the inbox, beside those it shares with the desk."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from mothermold.answers.troubles import HARMS
from mothermold.desk.asking import Offer
from mothermold.pages.desk.made import Blank
from mothermold.pages.desk.paper import DeskPaper
from mothermold.pages.desk.photo_fields import PhotoFields
from mothermold.pages.page import Page

SEND_MADE: Final = "send/made"
SEND_WRONG: Final = "send/wrong"
NOTE: Final = "send/note"
LOT: Final = "send/lot"
SEND_PHOTO: Final = "send/photo"
SENT: Final = "send/sent"
_WAYS: Final = (
    (SEND_MADE, "I made one", "Which recipe, when, how it came out."),
    (SEND_WRONG, "It went wrong", "What you would shout, and what to do now."),
    (LOT, "A new lot", "Of which material, and what stands on the label."),
    (SEND_PHOTO, "Photos", "Of a run, a mold, a piece, a step."),
)
SENDABLE: Final[Mapping[str, tuple[str, str]]] = {
    "run": (SEND_MADE, "I made another one"),
    "failure note": (SEND_WRONG, "Something else went wrong"),
    "lot": (LOT, "Another lot"),
    "set of photos": (SEND_PHOTO, "More photos"),
}
"""What can be sent: where the next is begun, and in which words."""


def send_page(paper: DeskPaper) -> Page:
    """What can be sent."""
    return paper.page("send_start.html", "Send", ways=_WAYS)


def sent_page(paper: DeskPaper, what: str, *, before: bool) -> Page:
    """What lies in the inbox now.

    Args:
        paper: The page.
        what: What was sent, of ``SENDABLE``.
        before: Whether the same lay there already.
    """
    return paper.page(
        "send_sent.html", "It is on the computer now, in the inbox", what=what, before=before, another=SENDABLE[what]
    )  # fmt: skip


def note_page(
    paper: DeskPaper,
    words: str,
    blank: Blank,
    stages: Sequence[str],
    recipes: Sequence[tuple[str, str]],
    *,
    photos: PhotoFields,
) -> Page:
    """A failure note, on one page.

    Args:
        paper: The page.
        words: What was shouted; it begins the note.
        blank: What was typed, and what is said of it.
        stages: The stages at which it may show.
        recipes: Addresses and titles of what it may show in.
        photos: The places for photos.
    """
    return paper.page(
        "send_note.html", "A failure note", words=words, blank=blank, harms=HARMS, begun=words[:1].upper() + words[1:],
        stages=[Offer(each) for each in stages], again="title" in blank.typed,
        recipes=[Offer(*each) for each in recipes], photos=photos,
    )  # fmt: skip


def lot_page(paper: DeskPaper, blank: Blank, materials: Sequence[Offer], day: str) -> Page:
    """A lot of a material.

    Args:
        paper: The page.
        blank: What was typed, and what is said of it.
        materials: The materials.
        day: Today, as a document writes it.
    """
    return paper.page(
        "send_lot.html", "A new lot", blank=blank, materials=materials, day=day, again="lot" in blank.typed
    )

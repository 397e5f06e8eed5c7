"""Asks what a document says of a photo, with what is known offered; what was told already is not asked."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final, get_args

from mothermold.book.document import Document
from mothermold.desk.asking import Asking, Offer
from mothermold.desk.photo_places import PhotoPlace
from mothermold.desk.photos import NewPhoto
from mothermold.model.pictures import Picture, SeenFrom
from mothermold.view.editions import admits, visibility_of

VIEWS: Final = [Offer(each) for each in get_args(SeenFrom)]
_FACES: Final = [
    Offer("no", "nobody's face: whoever reads the document sees the photo"),
    Offer("yes", "somebody's face: only you see it, unless you say who else"),
]
_READERS: Final = [
    Offer("private", "only you"),
    Offer("class", "a class, where it may read the document"),
    Offer("public", "everybody, where they may read the document"),
]
SHOWS: Final[Mapping[str, tuple[Offer, ...]]] = {
    "failure": (Offer("bad", "like this it looks when it went wrong"), Offer("good", "so it should look")),
    "recipe": (Offer("good", "so it should look"), Offer("bad", "so it should not")),
    "run": (Offer("before"), Offer("after")),
}
"""By the kind of what is photographed: what a photo may be one of."""


def known_of(place: PhotoPlace, photo: NewPhoto, told: Mapping[str, str]) -> dict[str, str]:
    """What can be said of a photo without asking anybody: what was told, when the camera took it, and words for its picture."""
    says = {"taken": photo.made.taken, **told}
    return {"alt": place.alt(says.get("view", ""), says["taken"]), **{key: each for key, each in says.items() if each}}


def who_sees(document: Document, picture: Picture) -> str:
    """Who sees a photo now, as a sentence: never more than see its document."""
    around = visibility_of(document)
    if not admits("class", picture.seen_by):
        return "Only you see it."
    if not admits("class", around):
        return f"Only you see it, for {document.address} is private."
    seen_by_all = admits("public", picture.seen_by, around)
    return f"{'Everybody' if seen_by_all else 'A class'} sees it who may read {document.address}."


def asked_of(asking: Asking, place: PhotoPlace, photo: NewPhoto, told: Mapping[str, str]) -> dict[str, str]:
    """What somebody says of a photo.

    Args:
        asking: Whom to ask.
        place: Where it goes.
        photo: The photo.
        told: What was told before, by the keys of ``Picture``; it is not asked.

    Raises:
        StoppedError: Nobody answers any more.
    """
    made = photo.made
    when = f", taken {made.taken}" if made.taken else ""
    asking.say(f"{photo.name}: {made.width} × {made.height} points{when}")
    says = dict(told)
    if "view" not in told:
        says["view"] = asking.choose("From where is it seen (Enter for none)", VIEWS)
    if "alt" not in told:
        offered = place.alt(says.get("view", ""), made.taken)
        says["alt"] = asking.text("What can be seen, for who cannot see it", default=offered)
    if "caption" not in told:
        says["caption"] = asking.text("A caption (Enter for none)")
    if "as" not in told and (offers := SHOWS.get(place.document.kind)):
        says["as"] = asking.choose("Is it one of these (Enter for none)", offers)
    if made.taken:
        says["taken"] = asking.text("When was it taken", default=made.taken)
    if "face" not in told:
        says["face"] = asking.choose("Can somebody's face be seen (Enter: not decided, only you see it)", _FACES)
    if says.get("face") == "yes" and "visibility" not in told:
        says["visibility"] = asking.choose("Who agreed to be seen by whom", _READERS, default="private")
    for key, question in (("light", "The light it was taken in"), ("camera", "What it was taken with")):
        if key not in told:
            says[key] = asking.text(f"{question} (Enter for none)")
    return {key: each for key, each in says.items() if each}

"""Writes a form together with the photos that were chosen in it: the text names them from the first, and either all of it stands or nothing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace

from mothermold.book.document import Document, read_document
from mothermold.desk.editing import edited
from mothermold.desk.forms.form import Form
from mothermold.desk.forms.keeping import Conflict, keep
from mothermold.desk.forms.sending import Sent, sent
from mothermold.desk.forms.trees import Pairs
from mothermold.desk.photo_places import place_in
from mothermold.desk.photo_questions import known_of
from mothermold.desk.photos import NewPhoto, TakenPhoto, laid, named_in
from mothermold.ground.errors import RefusedError, refused
from mothermold.view.view import View


@dataclass(frozen=True, slots=True)
class ChosenPhoto:
    """A photo that was chosen in a form.

    Attributes:
        photo: The photo, rebuilt.
        says: What is said of it, by the keys of ``Picture``.
        part: The step or thing it shows; empty for the whole document.
    """

    photo: NewPhoto
    says: Mapping[str, str]
    part: str = ""


@dataclass(frozen=True, slots=True)
class HungPhotos:
    """A text that names photos, and the photos by their names in the book; nothing is written yet."""

    text: str
    taken: tuple[TakenPhoto, ...]

    @property
    def files(self) -> tuple[str, ...]:
        """Their names in the book."""
        return tuple(each.file for each in self.taken)


class _ChangedError(Exception):
    """The file says something else by now."""


def keep_with(view: View, form: Form, found: Sent, hung: HungPhotos) -> Conflict | None:
    """Writes the new text of a form that was sent, and the photos it then names; None where all of it stands in the book.

    Args:
        view: The owner's book.
        form: The form as it was made.
        found: What became of it.
        hung: Its text with the photos.

    Raises:
        RefusedError: The name of a new document was taken meanwhile; nothing is written.
        CannotRunError: The disk refused; likewise.
    """
    conflict: Conflict | None = None
    with suppress(_ChangedError), laid(view.root, hung.taken):
        conflict = keep(view, form, replace(found, typed=hung.text))
        if conflict is not None:
            raise _ChangedError
    return conflict


def hang(view: View, document: Document, text: str, chosen: Sequence[ChosenPhoto]) -> HungPhotos:
    """A document's text with photos named in it, no other line touched; nothing is written.

    Args:
        view: The owner's book.
        document: The document; one that is not written yet may be meant.
        text: Its text, with its own line ends.
        chosen: The photos.

    Raises:
        RefusedError: They cannot stand there, or something said of them is no such thing.
    """
    taken: list[TakenPhoto] = []
    for part, photos in _by_part(chosen):
        document = read_document(document.kind, document.address, document.file, text.encode())
        place = place_in(view, document, part)
        said = [(each.photo, known_of(place, each.photo, each.says)) for each in photos]
        changes, found = named_in(view.root, view, place, said, taken)
        text = edited(document, changes, original=text) if changes else text
        taken += found
    return HungPhotos(text, tuple(taken))


def keep_fields(view: View, form: Form, pairs: Pairs, chosen: Sequence[ChosenPhoto] = ()) -> tuple[str, ...]:
    """Writes fields that nobody looks over again, with photos: all of them, or none; the names of the photos in the book.

    Args:
        view: The owner's book.
        form: The form as it was made.
        pairs: What the fields are to say.
        chosen: The photos.

    Raises:
        RefusedError: What they would say cannot stand, or the file was changed meanwhile.
        CannotRunError: The disk refused.
    """
    found = sent(view, form, pairs)
    if found.text is None:
        raise RefusedError(*(each for held in found.notices.values() for each in held if each.severity == "error"))
    document = read_document(found.kind, found.address, found.file, found.text.encode())
    hung = hang(view, document, found.text, chosen)
    if keep_with(view, form, found, hung) is not None:
        raise refused(
            "changed-meanwhile", f"{form.file} was changed meanwhile, so nothing was written.", "Do it again."
        )
    return hung.files


def _by_part(chosen: Sequence[ChosenPhoto]) -> Iterator[tuple[str, list[ChosenPhoto]]]:
    for part in dict.fromkeys(each.part for each in chosen):
        yield part, [each for each in chosen if each.part == part]

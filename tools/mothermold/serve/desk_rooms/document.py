"""The rooms in which a document of the book is written, and a new one: its form shown, looked over, written."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from mothermold.book.document import read_document
from mothermold.desk.forms.ahead import ahead
from mothermold.desk.forms.carried import unpacked
from mothermold.desk.forms.deeds import after, deed_of
from mothermold.desk.forms.form import BUILD, NAME, Form
from mothermold.desk.forms.keeping import keep
from mothermold.desk.forms.making import filled, form_of, new_form
from mothermold.desk.forms.sending import Sent, sent, sent_text
from mothermold.desk.forms.trees import Pairs, name_of, path_of
from mothermold.desk.forms.with_photos import hang, keep_with
from mothermold.desk.photo_places import SHOW_PHOTOS
from mothermold.ground.errors import CannotRunError, RefusedError
from mothermold.model.kinds import KINDS
from mothermold.pages.desk.beside_forms import TAKE, TEXT, conflict_page, text_page, written_page
from mothermold.pages.desk.form_page import DO, OPENED, Ahead, FormSheet, ahead_of, form_page
from mothermold.pages.desk.paper import done_at
from mothermold.pages.desk.photo_fields import AGAIN, PhotoFields, fields_for, photo_fields
from mothermold.pages.page import Page
from mothermold.serve.desk_rooms.photos import SentPhotos, photos_of
from mothermold.serve.desk_rooms.room import Visit

NEW_ROOM: Final = "new"
_OF_THE_FORM: Final = frozenset(map(name_of, (NAME, BUILD)))
_GONE: Final = "{} is not there any more, so nothing was written. What you typed stands here: write it as a new one."
_GONE_TEXT: Final = (
    "{} is not there any more, so nothing was written. What you typed stands here, and only here: copy it."
)
_CHOOSE: Final = "It was not said of every field whose text is to stand. Here stands what you typed; look it over."
_WRITING: Final = ("write", "choose")
_NEWS: Final = {
    "add": "One more. Nothing is written yet.",
    "double": "Doubled. Nothing is written yet.",
    "up": "Moved up. Nothing is written yet.",
    "down": "Moved down. Nothing is written yet.",
    "remove": "Taken out here. It stands in the book until you write it.",
}


class DocumentRoom:
    """Where a document of a kind is written.

    Args:
        kind: The kind; without one a new document is written, of the kind the address names.
    """

    def __init__(self, kind: str = "") -> None:
        self._kind = kind

    def show(self, visit: Visit) -> Page | None:
        """The form with what was typed."""
        found = self._laid_out(visit)
        if not isinstance(found, Form):
            return found
        sheet, typed = self._sheet(visit, found, photos_of(visit)), _pairs(visit)
        if self._kind and (not found.sections or visit.one("_as")):
            return text_page(visit.view, found, sheet, visit.one(TEXT) if visit.said else None)
        return form_page(visit.view, filled(visit.view, found, typed) if typed else found, sheet)

    def take(self, visit: Visit) -> Page | str:
        """Writes what was typed, or gives the page again."""
        form = self._laid_out(visit)
        if not isinstance(form, Form):
            return form or "desk/"
        photos = photos_of(visit)
        sheet, typed, pressed = self._sheet(visit, form, photos), _pairs(visit), visit.one(DO)
        if visit.one("_as"):
            return self._text_taken(visit, form, sheet)

        def again(sheet: FormSheet) -> Page:
            return form_page(visit.view, filled(visit.view, form, typed), sheet)

        if pressed == "again":
            return again(sheet)
        if pressed.startswith("more "):
            return again(replace(sheet, touched=path_of(pressed[5:])))
        if (deed := deed_of(pressed)) is not None:
            typed, touched = after(typed, deed)
            return again(replace(sheet, touched=touched, news=_NEWS[deed.word]))
        if pressed == "choose" and not _is_decided(visit, typed):
            return again(replace(sheet, said=_CHOOSE))
        found = sent(visit.view, form, typed)
        known = tuple(each for held in form.notices.values() for each in held)
        sheet = replace(sheet, told=found.notices, known=known, elsewhere=found.elsewhere, sent=True)
        if pressed not in _WRITING or not found.stands or not photos.stands:
            shown = filled(visit.view, form, typed)
            if pressed == "look" and found.kind == "recipe" and not form.new:
                sheet = replace(sheet, ahead=_ahead(visit, shown, found))
            return form_page(visit.view, shown, sheet)
        return self._kept(visit, form, found, sheet, photos)

    def _kept(self, visit: Visit, form: Form, found: Sent, sheet: FormSheet, photos: SentPhotos) -> Page | str:
        typed = _pairs(visit)

        def again(sheet: FormSheet) -> Page:
            return form_page(visit.view, filled(visit.view, form, typed), sheet)

        assert found.text is not None
        try:
            document = read_document(found.kind, found.address, found.file, found.text.encode())
            hung = hang(visit.view, document, found.text, photos.chosen)
        except RefusedError as refusal:
            return again(replace(sheet, photos=_photo_fields(visit, form, photos.refused(refusal))))
        try:
            conflict = keep_with(visit.view, form, found, hung)
        except RefusedError as refusal:
            return again(replace(sheet, told={**found.notices, NAME: refusal.notices}))
        if conflict is not None and conflict.now is not None:
            return conflict_page(visit.view, form, conflict, sheet)
        if conflict is not None:
            return self._unreadable(visit, form, typed, found)
        return _onward(visit, sheet.address, found, hung.files)

    def _unreadable(self, visit: Visit, form: Form, typed: Pairs, found: Sent) -> Page:
        """What was typed where the file is gone, or cannot be read any more."""
        if (there := _there(visit, form)) is None:
            return self._written_anew(visit, form.text, typed)
        sheet = FormSheet(f"desk/{self._room}/{visit.at}", visit.seal)
        return text_page(visit.view, replace(form, sections=()), sheet, found.typed, there=there)

    def _written_anew(self, visit: Visit, opened: str, typed: Pairs) -> Page:
        """The form of a new document with all that was typed into one that was taken away."""
        form = new_form(visit.view, self._kind, text=opened)
        fields = _photo_fields(visit, form, photos_of(visit))
        sheet = FormSheet(f"desk/{NEW_ROOM}/{self._kind}", visit.seal, _GONE.format(visit.at), photos=fields)
        return form_page(visit.view, filled(visit.view, form, [*typed, (NAME, visit.at.rpartition("/")[2])]), sheet)

    def _text_taken(self, visit: Visit, form: Form, sheet: FormSheet) -> Page | str:
        typed = visit.one(TEXT)
        found = sent_text(visit.view, form, typed)
        sheet = replace(sheet, told=found.notices, sent=True)
        if not found.stands or visit.one(DO) not in _WRITING:
            return text_page(visit.view, form, sheet, typed)
        if keep(visit.view, form, found) is not None:
            there = _there(visit, form)
            lost = sheet if there is not None else replace(sheet, said=_GONE_TEXT.format(form.file))
            return text_page(visit.view, form, lost, typed, there=there or "")
        return _onward(visit, sheet.address, found)

    @property
    def _room(self) -> str:
        return self._kind or NEW_ROOM

    def _sheet(self, visit: Visit, form: Form, photos: SentPhotos) -> FormSheet:
        began = "typed" if visit.one(OPENED) else "asked" if _pairs(visit) else "opened"
        fields = _photo_fields(visit, form, photos)
        return FormSheet(
            f"desk/{self._room}/{visit.at}".rstrip("/"), visit.seal, visit.said, began=began, photos=fields
        )

    def _laid_out(self, visit: Visit) -> Form | Page | None:
        """The form as it was made; another page where its file was taken away meanwhile, None where there never was one."""
        opened = _opened(visit)
        if not self._kind:
            return new_form(visit.view, visit.at, text=opened or "") if visit.at in KINDS else None
        try:
            return form_of(visit.view, self._kind, visit.at or self._kind, opened)
        except RefusedError:
            base = visit.one(TEXT) or opened
            return self._written_anew(visit, base, _pairs(visit)) if base is not None else None


def _opened(visit: Visit) -> str | None:
    """The text the form was made of, as the page carried it; None where no page was sent."""
    try:
        return unpacked(letters) if (letters := visit.one(OPENED)) else None
    except CannotRunError:
        # It was said already, and is shown above the form as its file is.
        if visit.said:
            return None
        raise


def _there(visit: Visit, form: Form) -> str | None:
    """What the file says now, as far as it is text; None where it is gone."""
    try:
        return (visit.view.root / form.file).read_bytes().decode("utf-8", "replace")
    except FileNotFoundError:
        return None


def _pairs(visit: Visit) -> Pairs:
    """What was typed into fields of the document; where it was chosen between two texts, what was chosen."""
    theirs = {name.removeprefix(TAKE) for name, text in visit.typed if name.startswith(TAKE) and text != "mine"}
    return [
        (path_of(name), text)
        for name, text in visit.typed
        if name not in theirs and (not name.startswith("_") or name in _OF_THE_FORM)
    ]


def _is_decided(visit: Visit, typed: Pairs) -> bool:
    """Whether it was said of every field whose text stands."""
    chosen = {name.removeprefix(TAKE) for name, _text in visit.typed if name.startswith(TAKE)}
    return {name_of(path) for path, _text in typed} <= chosen


def _ahead(visit: Visit, form: Form, found: Sent) -> Ahead:
    try:
        return ahead_of(visit.view, form, ahead(visit.view, found))
    except RefusedError as refusal:
        return Ahead(refusal=" ".join(f"{each.message} {each.help}" for each in refusal.notices))


def _photo_fields(visit: Visit, form: Form, photos: SentPhotos) -> PhotoFields | None:
    """The places for photos, where the kind of document has any."""
    if form.kind not in SHOW_PHOTOS:
        return None
    document = visit.view.on(form.kind).get(form.address) if not form.new else None
    if document is None or document.model is None:
        return replace(photo_fields(form.kind, photos.slots), again=AGAIN in visit.typed)
    return fields_for(visit.view, document, photos.slots)


def _onward(visit: Visit, address: str, found: Sent, photos: Sequence[str] = ()) -> Page | str:
    onward = done_at(found.file, address, photos)
    if any(each.severity == "error" for each in found.elsewhere):
        return written_page(visit.view, found, address, onward)
    return onward

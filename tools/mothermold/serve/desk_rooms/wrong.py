"""*It went wrong* and *next version, because of this*."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final
from urllib.parse import urlencode

from mothermold.answers.find import find_documents
from mothermold.desk.forms.making import form_of
from mothermold.desk.forms.trees import Listed, Pairs, name_of
from mothermold.desk.forms.with_photos import ChosenPhoto, keep_fields
from mothermold.desk.next_version import begun, reason
from mothermold.desk.shop import Shop
from mothermold.desk.worked import trouble_sent, workable
from mothermold.ground.errors import RefusedError, refused
from mothermold.model.recipe import Recipe
from mothermold.model.run import Run
from mothermold.pages.desk.paper import DeskPaper, done_at
from mothermold.pages.desk.photo_fields import AGAIN
from mothermold.pages.desk.wrong import NEXT, WRONG, next_page, wrong_page
from mothermold.pages.page import Page
from mothermold.serve.desk_rooms.document import DocumentRoom
from mothermold.serve.desk_rooms.photos import photos_of
from mothermold.serve.desk_rooms.room import Visit
from mothermold.serve.desk_rooms.start import ReadingRoom
from mothermold.view.view import View

_LONGEST: Final = 500
"""Characters that are looked for; a few words will do, and others wait while many are looked up."""


class WrongRoom:
    """The words, whether it is one of these, and a run that comes to say so.

    Attributes:
        at: Where it lies.
    """

    at: str = WRONG

    def show(self, visit: Visit) -> Page | None:
        """What the words may mean."""
        if visit.at:
            return None
        words = " ".join(visit.one("words")[:_LONGEST].split())
        found = find_documents(visit.view, [words]).data if words else {"results": [], "unknown": []}
        chosen = {visit.one("failure"): photos_of(visit).slots}
        return wrong_page(visit.paper(self.at), words, found["results"], found["unknown"], chosen)

    def take(self, visit: Visit) -> Page | str:
        """Notes in a run that it happened."""
        view, failure, run = visit.view, visit.one("failure"), visit.one("run")
        if failure not in view.on("failure"):
            raise refused("unknown-reference", f"No failure note is called `{failure}`.", "Say it in words below.")
        photos = photos_of(visit)
        if not run:
            return f"desk/made?{urlencode([('_what', failure), *([AGAIN] if photos.slots else [])])}"
        if not photos.stands:
            told = next(each.told for each in photos.slots if each.told)
            raise RefusedError(*told)
        file, files = note_in_run(view, run, failure, visit.one("harm"), photos.chosen)
        return done_at(file, WRONG, files)


def note_in_run(
    view: View, name: str, failure: str, harm: str, photos: Sequence[ChosenPhoto] = ()
) -> tuple[str, tuple[str, ...]]:
    """Writes into a run that a failure happened in it, with photos; hands back its file, and the names of the photos.

    Raises:
        RefusedError: There is no such run, it says so already, or it cannot be written.
    """
    run = view.models(Run).get(name)
    if run is not None and any(str(each.failure) == failure for each in run.went_wrong):
        raise refused("not-written", f"`{name}` says so already, so nothing was written.", "Open it to say more.")
    form = form_of(view, "run", name)
    rows = form.tree.get("went_wrong")
    pairs: Pairs = [
        *((("went_wrong",), str(token)) for token in (rows if isinstance(rows, Listed) else ())),
        *trouble_sent(Shop(view), failure, harm=harm),
    ]
    return form.file, keep_fields(view, form, pairs, photos)


class NextRoom(ReadingRoom):
    """The next version of a recipe, begun from what it is because of: its form takes it from there."""

    def show(self, visit: Visit) -> Page | None:
        """The recipe's form with the next version begun, or which recipe it is of."""
        said, because = visit.said, visit.one("because")
        try:
            told = reason(visit.view, because)[0]
        except RefusedError as refusal:
            said, because, told = str(refusal), "", ""
        if not visit.at:
            recipes = visit.view.models(Recipe)
            order = dict.fromkeys([each.pin.partition("@")[0] for each in workable(Shop(visit.view))] + sorted(recipes))
            rows = [(each, recipes[each].title) for each in order if each in recipes]
            return next_page(DeskPaper(visit.view, NEXT, visit.seal, said), rows, because, told)
        pairs = begun(visit.view, visit.at, because)
        if pairs is None:
            return None
        typed = tuple((name_of(path), text) for path, text in pairs)
        return DocumentRoom("recipe").show(replace(visit, typed=typed, said=said))

"""*I made one*: a run on one page, written by the same door as its whole form."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Final

from mothermold.book.document import read_document
from mothermold.desk.forms.form import BUILD
from mothermold.desk.forms.layouts import asks
from mothermold.desk.forms.making import new_form
from mothermold.desk.forms.sending import sent
from mothermold.desk.forms.trees import Pairs, name_of, path_of
from mothermold.desk.forms.with_photos import hang, keep_with
from mothermold.desk.question import Said
from mothermold.desk.shop import Shop
from mothermold.desk.worked import Likely, likely, lots_sent, trouble_sent, workable
from mothermold.ground.errors import RefusedError, refused
from mothermold.ground.notices import Notice
from mothermold.model.walk import KeyPath
from mothermold.pages.desk.made import MADE, blank, kept_at, made_page, which_page
from mothermold.pages.desk.paper import done_at, new_at
from mothermold.pages.desk.photo_fields import AGAIN, photo_fields
from mothermold.pages.page import Page
from mothermold.serve.desk_rooms.photos import SentPhotos, photos_of
from mothermold.serve.desk_rooms.room import Visit

_PLAIN: Final = ("started", "mold", "outcome", "finished", "conditions.room")


class MadeRoom:
    """Which recipe it was, then the run.

    Attributes:
        at: Where it lies.
        sends: Whether it goes into the inbox.
    """

    at: str = MADE
    sends: bool = False

    def show(self, visit: Visit) -> Page | None:
        """The recipes, or the run of the one that was chosen."""
        if visit.at:
            return None
        shop = Shop(visit.view)
        found = self._likely(shop, visit)
        if found is None:
            failure = visit.one("_what")
            note = next((each.words for each in shop.titled("failure") if each.value == failure), failure)
            return which_page(visit.paper(self.at), workable(shop), failure, note, again=AGAIN in visit.typed)
        return self._page(visit, shop, found, {})

    def take(self, visit: Visit) -> Page | str:
        """Writes the run."""
        shop = Shop(visit.view)
        found = self._likely(shop, visit)
        if found is None:
            raise refused("unknown-reference", "It was not said which recipe was worked.", "Choose one below.")
        pairs = _pairs(visit, shop, found)
        if visit.one("_do") == "again":
            return self._page(visit, shop, found, {})
        return self._write(visit, shop, found, pairs)

    def _likely(self, shop: Shop, visit: Visit) -> Likely | None:
        return likely(shop, visit.one("recipe"))

    def _write(self, visit: Visit, shop: Shop, found: Likely, pairs: Pairs) -> Page | str:
        photos = photos_of(visit)
        if (do := visit.one("_do")) == "more":
            said = [(name_of(path), text) for path, text in pairs]
            return new_at("run", [*said, *([AGAIN] if photos.slots else [])])
        form = new_form(visit.view, "run")
        made = sent(visit.view, form, pairs)
        if do != "write" or made.text is None or not photos.stands:
            return self._page(visit, shop, found, made.notices, photos)
        try:
            document = read_document("run", made.address, made.file, made.text.encode())
            hung = hang(visit.view, document, made.text, photos.chosen)
        except RefusedError as refusal:
            return self._page(visit, shop, found, made.notices, photos.refused(refusal))
        keep_with(visit.view, form, made, hung)
        return done_at(made.file, kept_at(found.pin), hung.files)

    def _page(
        self,
        visit: Visit,
        shop: Shop,
        found: Likely,
        told: Mapping[KeyPath, Sequence[Notice]],
        photos: SentPhotos | None = None,
    ) -> Page:
        names = {each: each for each in _PLAIN} | {
            "lots": "_lots",
            "went_wrong": "_what",
            "changed": "_note",
            "_build": "_for",
            "thing": "_for",
        }
        names |= {f"batch.{row}": f"_weighed.{mix}" for row, mix, _said in _weighed(visit, found)}
        paper = visit.paper(self.at)
        slots = (photos or photos_of(visit)).slots
        fields = replace(photo_fields("run", slots), again=AGAIN in visit.typed, sends=self.sends)
        return made_page(
            paper, found, blank(visit.typed, told, names), fields, moment=shop.moment, failures=shop.titled("failure")
        )


def _pairs(visit: Visit, shop: Shop, found: Likely) -> Pairs:
    """What the whole form would be sent."""
    build, _, thing = visit.one("_for").partition("/")
    pairs: list[tuple[KeyPath, str]] = [(("recipe",), found.pin), (BUILD, build), (("thing",), thing)]
    pairs += [(("kind",), "test")] if found.draft else []
    pairs += [(path_of(name), _said(name, visit.one(name))) for name in _PLAIN if visit.one(name)]
    for row, mix, weighed in _weighed(visit, found):
        at = ("batch", row)
        pairs += [(("batch",), row), ((*at, "mix"), mix), ((*at, "weighed"), _said("batch.weighed", weighed))]
    pairs += trouble_sent(shop, visit.one("_what"), visit.one("_step"))
    pairs += lots_sent(shop, found.recipe, visit.all("_lots"))
    if note := visit.one("_note").strip():
        pairs += [(("changed",), "+1"), (("changed", "+1", "note"), note)]
    return pairs


def _weighed(visit: Visit, found: Likely) -> Iterator[tuple[str, str, str]]:
    """The mixes of which a weight was typed: the row of the batch each becomes, its name, and what was typed."""
    typed = ((str(mix.id), visit.one(f"_weighed.{mix.id}").strip()) for mix in found.mixes)
    for number, (mix, said) in enumerate((each for each in typed if each[1]), start=1):
        yield f"+{number}", mix, said


def _said(place: str, typed: str) -> str:
    """A number without a unit in the one that its question at the terminal means."""
    ask = asks("run").get(place)
    return str(ask.value(typed, Said())) if ask is not None and ask.unit else typed

"""*I made one* on a phone: a run, for the inbox."""

from __future__ import annotations

from dataclasses import replace

from mothermold.desk.forms.trees import Pairs
from mothermold.desk.noted import noted_run, with_photos
from mothermold.desk.shop import Shop
from mothermold.desk.worked import Likely
from mothermold.ground.errors import RefusedError
from mothermold.pages.desk.made import kept_at
from mothermold.pages.desk.sending import SEND_MADE
from mothermold.pages.page import Page
from mothermold.serve.desk_rooms.made import MadeRoom
from mothermold.serve.desk_rooms.photos import photos_of
from mothermold.serve.desk_rooms.room import Visit
from mothermold.serve.send_rooms.posting import Posting, offered


class SendMadeRoom(MadeRoom):
    """Which recipe it was, then the run."""

    at = SEND_MADE
    sends = True

    def __init__(self, posting: Posting) -> None:
        self._posting = posting

    def _likely(self, shop: Shop, visit: Visit) -> Likely | None:
        found = super()._likely(shop, visit)
        if found is None:
            return None
        # A run says of which thing it is, and its build follows from that; alone a build stands nowhere in it.
        things = tuple(each for each in found.things if "/" in each.value)
        thing = found.thing if found.thing in [each.value for each in things] else ""
        return replace(found, things=things, thing=thing)

    def _write(self, visit: Visit, shop: Shop, found: Likely, pairs: Pairs) -> Page | str:
        offered(visit, "_for", [each.value for each in found.things])
        offered(visit, "mold", [each.value for each in found.molds])
        offered(visit, "_step", [str(each.id) for each in found.recipe.steps])
        made, photos = noted_run(visit.view, found.pin, pairs), photos_of(visit)
        if visit.one("_do") != "write" or not made.stands or not photos.stands:
            return self._page(visit, shop, found, made.notices, photos)
        try:
            kept = with_photos(made.text, photos.chosen)
        except RefusedError as refusal:
            return self._page(visit, shop, found, made.notices, photos.refused(refusal))
        return self._posting.post("run", kept.text, made.address, kept_at(found.pin, self.at), kept.files)

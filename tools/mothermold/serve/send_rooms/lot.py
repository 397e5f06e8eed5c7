"""*A new lot* on a phone: which material, and what stands on the label, for the inbox."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from mothermold.desk.matching import plain_name
from mothermold.desk.noted import noted_lot
from mothermold.desk.shop import Shop
from mothermold.ground.errors import refused
from mothermold.ground.notices import Notice
from mothermold.model.material import Material
from mothermold.model.walk import KeyPath
from mothermold.pages.desk.made import blank
from mothermold.pages.desk.sending import LOT, lot_page
from mothermold.pages.page import Page
from mothermold.serve.desk_rooms.room import Visit
from mothermold.serve.send_rooms.posting import Posting, offered

_KEYS = ("lot", "got", "held", "opened", "use_by")


class LotRoom:
    """A lot of a material."""

    def __init__(self, posting: Posting) -> None:
        self._posting = posting

    def show(self, visit: Visit) -> Page | None:
        """Which material, and its label."""
        return None if visit.at else _page(visit, {})

    def take(self, visit: Visit) -> Page | str:
        """Sends the lot."""
        if visit.one("_do") == "again":
            return _page(visit, {})
        material = offered(visit, "material", list(visit.view.models(Material)))
        lot = {key: visit.one(key) for key in _KEYS}
        if not material or not lot["lot"].strip():
            missing = "material" if not material else "number"
            raise refused("not-written", f"Its {missing} is not said yet, so nothing was sent.", "Say which it is.")
        made = noted_lot(visit.view, material, lot)
        if visit.one("_do") != "write" or not made.stands:
            return _page(visit, made.notices)
        return self._posting.post("lot", made.text, plain_name(f"lot-{material}-{lot['lot']}")[:60].strip("-"), LOT)


def _page(visit: Visit, told: Mapping[KeyPath, Sequence[Notice]]) -> Page:
    names = {f"lots.+1.{key}": key for key in _KEYS}
    paper, shop = visit.paper(LOT), Shop(visit.view)
    return lot_page(paper, blank(visit.typed, told, names), shop.titled("material"), shop.day)

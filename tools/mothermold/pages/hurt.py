"""Somebody is hurt: the page of first aid, and what its script needs to show the same anywhere in two taps.

The numbers to call are the book's own; the tool shows none of its own. The public edition never holds them.
"""

from __future__ import annotations

from typing import Any, Final

from mothermold.find.shouted import shouted_words
from mothermold.find.thesaurus import thesaurus
from mothermold.model.settings import Emergency
from mothermold.pages.addresses import HURT, Links, LinksOf
from mothermold.pages.batching import as_block
from mothermold.pages.page import Page, render
from mothermold.trade.hurt import Hurt, hurts
from mothermold.view.view import View

FILE: Final = "assets/hurt-rows.js"
_NUMBERS: Final = (
    ("call", "Emergency number"), ("poison", "Poison center"), ("address", "We are at"), ("nearest", "Nearest emergency room"),
)  # fmt: skip


def hurt_page(view: View, linked: LinksOf = Links) -> Page:
    """What to do first, a section for each kind of hurt; on paper one sheet for the wall."""
    rows, told = list(hurts().values()), numbers(view.settings.emergency)
    return render(view, "hurt.html", HURT[0], HURT[1], linked, rows=rows, numbers=told)


def hurt_script(view: View) -> str:
    """The rows, the words that call them and the numbers of this place, laid down so that they load from a folder."""
    common = thesaurus()
    data = {
        "page": HURT[0],
        "numbers": [
            {"key": key, "title": title, "said": said} for key, title, said in numbers(view.settings.emergency)
        ],
        "public": view.edition == "public",
        "rows": [_row(row) for row in hurts().values()],
        "words": shouted_words().carried(),
        "spellings": dict(common.spellings),
        "forms": dict(common.forms),
        "negations": sorted(common.negations),
        "helpers": sorted(common.helpers),
        "small": sorted(common.small),
    }
    return f"window.mothermoldHurt = {as_block(data)};\n"


def numbers(emergency: Emergency | None) -> list[tuple[str, str, str]]:
    """Whom to call from this place: of each line its key, what it is and what it says."""
    told = [(key, title, getattr(emergency, key, None)) for key, title in _NUMBERS]
    return [(key, title, str(said)) for key, title, said in told if said]


def _row(row: Hurt) -> dict[str, Any]:
    return {
        "id": row.id,
        "title": row.title,
        "acts": [each.words for each in row.acts],
        "clock": {"minutes": row.clock.minutes, "what": row.clock.what} if row.clock else None,
        "never": [each.words for each in row.never],
        "call": [each.words for each in row.call],
        "more": row.more.words if row.more else None,
        "sources": [list(each.sources) for each in row.acts],
    }

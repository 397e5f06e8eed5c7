"""What is noted on a phone, as the text of the document it is: judged by itself, and of names only those an edition holds.

Nothing here asks the book's folder, so nothing of what the edition leaves out can show in an answer.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Final

from mothermold.book.document import read_document
from mothermold.desk.drafts.moments import said_moment
from mothermold.desk.forms.making import new_form
from mothermold.desk.forms.sending import Sent, sent
from mothermold.desk.forms.trees import Pairs, name_of
from mothermold.desk.forms.with_photos import ChosenPhoto
from mothermold.desk.founding import modelines
from mothermold.desk.matching import plain_name
from mothermold.desk.photos import entry_of
from mothermold.desk.shop import Shop
from mothermold.desk.written import group_lines
from mothermold.ground.errors import RefusedError
from mothermold.ground.store import digest
from mothermold.model.material import Lot, Material
from mothermold.model.names import RecipeRef
from mothermold.view.view import View


@dataclass(frozen=True, slots=True)
class WithPhotos:
    """A text for the inbox, and the photos it names, by their names."""

    text: str
    files: Mapping[str, bytes]


HEAD: Final = "# Noted on the phone.\n"
_MOMENT: Final = re.compile(r"(\d{4}-\d\d-\d\d) (\d\d):(\d\d)")


def noted_run(view: View, pin: str, pairs: Pairs, now: datetime | None = None) -> Sent:
    """A run of a recipe version.

    Its id holds the minute it began and a mark of what was typed: the same run sent twice is one, and another of the same
    minute is another, whatever runs the edition leaves out.

    Args:
        view: The edition.
        pin: The version.
        pairs: What was typed, as the form of a run is sent it.
        now: The time it is; the clock's unless given.
    """
    shop = Shop(view, now, apart=True)
    moment = said_moment(dict(pairs).get(("started",), ""), shop.now, view.settings)
    when = _MOMENT.fullmatch(moment) or _MOMENT.fullmatch(shop.moment)
    assert when is not None
    stem = plain_name(RecipeRef(pin).address.rpartition("/")[2])[:34].strip("-") or "run"
    mark = digest(json.dumps([(name_of(path), text) for path, text in pairs]))[:4]
    name = f"r-{when[1]}-{stem}-{when[2]}{when[3]}-{mark}"
    return _noted(view, "run", [*pairs, (("id",), name)], now)


def noted_failure(view: View, pairs: Pairs, now: datetime | None = None) -> Sent:
    """A failure note, named by its title.

    Args:
        view: The edition.
        pairs: What was typed, as the form of a failure note is sent it.
        now: The time it is; the clock's unless given.
    """
    return _noted(view, "failure", pairs, now)


def noted_lot(view: View, material: str, lot: dict[str, str], now: datetime | None = None) -> Sent:
    """A lot of a material: a small text that names both.

    Args:
        view: The edition.
        material: The material; one the edition holds.
        lot: What was typed, by the key of the lot.
        now: The time it is; the clock's unless given.
    """
    shop = Shop(view, now, apart=True)
    said = {key: text.strip() if key in ("lot", "held") else _day(shop, text) for key, text in lot.items()}
    told = view.models(Material)[material]
    pairs: Pairs = [
        (("title",), str(told.title)),
        *((("families",), str(family)) for family in told.families),
        (("lots",), "+1"),
        *((("lots", "+1", key), text) for key, text in said.items()),
    ]
    found = _noted(view, "material", pairs, now)
    kept = {key: said[key] for key in Lot.model_fields if said.get(key)}
    return replace(found, typed=HEAD + "\n".join([*group_lines({"material": material, **kept}, 0), ""]))


def noted_photos(to: str, part: str, chosen: Sequence[ChosenPhoto]) -> WithPhotos:
    """Photos of a document of the book, and nothing else: a small text that names both.

    Args:
        to: The document, by the folder of its kind and its name; a recipe by its address.
        part: The step or thing they show; empty for the whole.
        chosen: The photos.

    Raises:
        RefusedError: Something said of them is no such thing.
    """
    said = {"to": to, **({"part": part} if part else {})}
    return _with_photos(HEAD + "\n".join(group_lines(said, 0)) + "\n", chosen)


def with_photos(text: str | None, chosen: Sequence[ChosenPhoto]) -> WithPhotos:
    """A text that was noted, with photos that will lie beside it.

    Args:
        text: The text.
        chosen: The photos.

    Raises:
        RefusedError: Something said of them is no such thing.
    """
    assert text is not None
    return _with_photos(text, chosen) if chosen else WithPhotos(text, {})


def _with_photos(text: str, chosen: Sequence[ChosenPhoto]) -> WithPhotos:
    files: dict[str, bytes] = {}
    entries = []
    for each in chosen:
        data = each.photo.made.data
        # The same photo beside another text is another file, so that none is missing where the other was taken in.
        file = f"photo-{digest(text)[:8]}{digest(data)[:8]}.jpg"
        if file not in files:
            entries.append(
                entry_of(file, {"taken": each.photo.made.taken, **{k: v for k, v in each.says.items() if v}})
            )
        files[file] = data
    lines = "\n".join([*group_lines({"photos": entries}, 0), ""])
    # Any document that shows photos reads what is said of one alike; a mold needs the fewest words beside.
    told = read_document("mold", "", "", f"title: As if\nmade: 2026-01-01\n{lines}".encode())
    if wrong := [each for each in told.notices if each.severity == "error"]:
        raise RefusedError(*(replace(each, line=None, column=None, excerpt="") for each in wrong))
    return WithPhotos(text + lines, files)


def _day(shop: Shop, typed: str) -> str:
    """A day as a document writes it, also one that is said as `today`."""
    when = _MOMENT.fullmatch(said_moment(typed, shop.now, shop.view.settings))
    return when[1] if when is not None else typed.strip()


def _noted(view: View, kind: str, pairs: Pairs, now: datetime | None) -> Sent:
    found = sent(view, new_form(view, kind, now=now), pairs, now, apart=True)
    assert found.typed is not None
    # Where it will lie only the book knows, and with that where its schema is.
    return replace(found, typed=HEAD + found.typed.removeprefix(modelines(kind, found.file)))

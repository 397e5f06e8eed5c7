"""Begins a document: asks in plain words, shows the whole file, and writes it where nothing lies yet."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime
from pathlib import Path
from typing import Final

from mothermold.book.document import read_document
from mothermold.book.inside import find_inside_faults
from mothermold.desk.asking import Asking, Offer
from mothermold.desk.drafts.plain import ask_plainly
from mothermold.desk.drafts.questions import Draft
from mothermold.desk.drafts.recipe import ask_recipe
from mothermold.desk.founding import program
from mothermold.desk.linking import name_in_run, runs_to_name, shown_in_run
from mothermold.desk.retracing import with_a_way_back
from mothermold.desk.shop import Shop
from mothermold.ground.errors import CannotRunError
from mothermold.ground.notices import Notice
from mothermold.ground.rendering import as_text
from mothermold.ground.writing import write_text
from mothermold.model.kinds import KINDS, Kind, own_module
from mothermold.view.view import open_view

STARTED: Final[Mapping[str, str]] = {word: kind.begun for word, kind in KINDS.items() if kind.begun}


def start(
    root: Path, asking: Asking, kind: str | None = None, *, source: str | None = None, now: datetime | None = None
) -> Path | None:
    """Asks for a new document and writes it.

    Args:
        root: The book's folder.
        asking: Whom to ask.
        kind: The kind of document; asked for unless given.
        source: The recipe a new recipe starts from.
        now: The time it is; the clock's unless given.

    Returns:
        The file, or None where it was not wanted after all.

    Raises:
        RefusedError: The source is not there, or the file's name was taken meanwhile.
        StoppedError: Whoever was asked stopped; nothing was written.
    """
    if kind is not None and kind not in STARTED:
        raise CannotRunError(f"KIND cannot be `{kind}`; it is one of {', '.join(STARTED)}.")
    if source is not None and kind not in (None, "recipe"):
        raise CannotRunError(
            f"`--from` begins a recipe from another one; type `mothermold new recipe --from {source}`."
        )
    shop = Shop(open_view(root, "private"), now)
    draft = with_a_way_back(asking, lambda trail: _drafted(trail, shop, kind, source))
    if draft is None:
        asking.say("Nothing was written.")
        return None
    path = root / draft.file
    write_text(path, draft.text)
    call = program() if Path.cwd().is_relative_to(root) else f"{program()} -C {root}"
    asking.say(f"{draft.file} is written.")
    for run in runs_to_name(draft, shop):
        asking.say(name_in_run(draft, run, root))
    asking.say(f"Type `{call} check`, and `{call} save` when it is right.")
    return path


def _drafted(asking: Asking, shop: Shop, kind: str | None, source: str | None) -> Draft | None:
    """Asks for a document and shows it; None where it is not wanted after all."""
    if kind is None:
        offers = [Offer(word, told) for word, told in STARTED.items()]
        kind = "recipe" if source is not None else asking.choose("What is new", offers, needed=True)
    draft = _asked(asking, shop, KINDS[kind], source)
    asking.say(f"\n{draft.file}\n\n{draft.text}")
    for run in runs_to_name(draft, shop):
        asking.say(shown_in_run(draft, run))
    faults = list(_faults(draft, shop))
    for fault in faults:
        asking.say(as_text(fault))
    wanted = asking.agree("Write it? (yes, no, or back)", default=not faults)
    return draft if wanted else None


def _asked(asking: Asking, shop: Shop, kind: Kind, source: str | None) -> Draft:
    """Asks by the kind's own questions, which lie in the module of its name; by its fields where it has none."""
    if source is not None:
        return ask_recipe(asking, shop, source)
    own = own_module(f"mothermold.desk.drafts.{kind.word}")
    if own is None:
        return ask_plainly(asking, shop, kind)
    asked: Draft = getattr(own, f"ask_{kind.word}")(asking, shop)
    return asked


def _faults(draft: Draft, shop: Shop) -> Iterator[Notice]:
    document = read_document(draft.kind, draft.address, draft.file, draft.text.encode("utf-8"))
    for notice in (*document.notices, *find_inside_faults(document, shop.view.words)):
        if notice.severity == "error":
            yield notice

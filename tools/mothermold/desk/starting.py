"""Begins a document: asks in plain words, shows the whole file, and writes it where nothing lies yet."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from itertools import starmap
from pathlib import Path
from typing import Any, Final

from mothermold.book.document import read_document
from mothermold.book.inside import find_inside_faults
from mothermold.desk.asking import Asking, Offer
from mothermold.desk.drafts.plain import plain_questions
from mothermold.desk.drafts.questions import Draft, drafted
from mothermold.desk.founding import program
from mothermold.desk.linking import name_in_run, runs_to_name, shown_in_run
from mothermold.desk.question import Ask, Inset, Know, Node, Said, Tell
from mothermold.desk.shop import Shop
from mothermold.desk.walking import walk
from mothermold.ground.errors import CannotRunError
from mothermold.ground.rendering import as_text
from mothermold.ground.writing import write_text
from mothermold.model.kinds import KINDS, own_module
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
    said = walk(asking, SITTING, shop, _kind="recipe" if source is not None else kind, _source=source or "")
    if not said["_wanted"]:
        asking.say("Nothing was written.")
        return None
    draft: Draft = said["_draft"]
    path = root / draft.file
    write_text(path, draft.text)
    call = program() if Path.cwd().is_relative_to(root) else f"{program()} -C {root}"
    asking.say(f"{draft.file} is written.")
    for run in runs_to_name(draft, shop):
        asking.say(name_in_run(draft, run, root))
    asking.say(f"Type `{call} check`, and `{call} save` when it is right.")
    return path


def questions_of(word: str) -> tuple[Node, ...]:
    """What is asked for a kind: its own questions, which lie in the module of its name; its fields where it has none."""
    own = own_module(f"mothermold.desk.drafts.{word}")
    questions: tuple[Node, ...] = own.QUESTIONS if own else plain_questions(KINDS[word])
    return questions


def _made(said: Said) -> Mapping[str, Any]:
    """The draft, and what keeps it from being right."""
    draft = drafted(said)
    document = read_document(draft.kind, draft.address, draft.file, draft.text.encode("utf-8"))
    notices = (*document.notices, *find_inside_faults(document, said.shop.view.words))
    return {"_draft": draft, "_faults": [notice for notice in notices if notice.severity == "error"]}


def _shown(said: Said) -> str:
    draft = said["_draft"]
    runs = [shown_in_run(draft, run) for run in runs_to_name(draft, said.shop)]
    return "\n".join([f"\n{draft.file}\n\n{draft.text}", *runs, *map(as_text, said["_faults"])])


SITTING: Final[tuple[Node, ...]] = (
    Ask(
        "_kind",
        "What is new",
        "choice",
        list(starmap(Offer, STARTED.items())),
        needed=True,
        when=lambda said: not said["_kind"],
    ),
    Inset(lambda said: questions_of(said["_kind"])),
    Know(_made),
    Tell(_shown),
    Ask("_wanted", "Write it? (yes, no, or back)", "agree", default=lambda said: not said["_faults"]),
)

"""A failure note and the runs that told of it in free words: their entries come to name the note."""

from __future__ import annotations

from difflib import SequenceMatcher
from pathlib import Path

from mothermold.book.document import Document
from mothermold.desk.drafts.questions import Draft
from mothermold.desk.editing import Changes, edited, write_changes
from mothermold.desk.shop import Shop
from mothermold.ground.errors import CannotRunError, RefusedError


def runs_to_name(draft: Draft, shop: Shop) -> list[Document]:
    """The runs whose entries are to name a draft, each once."""
    return [shop.view.on("run")[name] for name in dict.fromkeys(each.name for each in draft.names)]


def shown_in_run(draft: Draft, run: Document) -> str:
    """What a run is going to say: the lines that change, as they will stand."""
    try:
        after = edited(run, _changes(draft, run)).split("\n")
    except RefusedError as refusal:
        return _by_hand(draft, run, refusal)
    before = run.text.split("\n")
    changes = SequenceMatcher(None, before, after, autojunk=False).get_opcodes()
    lines = [line for tag, _a, _b, start, end in changes if tag != "equal" for line in after[start:end]]
    return "\n".join([f"{run.file} will name it:", "", *lines, ""])


def name_in_run(draft: Draft, run: Document, root: Path) -> str:
    """Writes the name into the run's entries and says so, or why not; the run may have changed meanwhile."""
    try:
        write_changes(root, run, _changes(draft, run))
    except (RefusedError, CannotRunError) as refusal:
        return _by_hand(draft, run, refusal)
    return f"{run.file} names it now."


def _changes(draft: Draft, run: Document) -> Changes:
    places = [each.place for each in draft.names if each.name == run.address]
    return {("went_wrong", place, "failure"): draft.address for place in places}


def _by_hand(draft: Draft, run: Document, refusal: RefusedError | CannotRunError) -> str:
    is_stiff = isinstance(refusal, RefusedError) and refusal.notices[0].code == "not-edited"
    why = "cannot be changed without touching more" if is_stiff else "was changed meanwhile, so it was left as it is"
    return f"{run.file} {why}. Type `failure: {draft.address}` in its entry under `went_wrong`."

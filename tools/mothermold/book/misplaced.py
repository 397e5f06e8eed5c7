"""Documents that lie in the folder of another kind: what one is by what it says, and where it belongs."""

from __future__ import annotations

from pathlib import PurePosixPath
from typing import Final

from mothermold.book.document import Document
from mothermold.book.files import RECIPES, Place, place_of
from mothermold.ground.notices import Notice
from mothermold.model.kinds import KINDS
from mothermold.model.names import name_fault

_ANY_STAGE: Final = "cast"


def home_of(document: Document) -> str | None:
    """Where a document belongs that says all that one other kind says and its own does not; None where it lies well."""
    keys = set(document.raw)
    if document.model is not None or document.kind == "book" or _fits(document.kind, keys):
        return None
    fitting = [word for word in KINDS if word not in ("book", document.kind) and _fits(word, keys)]
    return _home(fitting[0], document) if len(fitting) == 1 else None


def find_misplaced(document: Document) -> Notice | None:
    """What is said in place of everything else about a document in the folder of another kind."""
    home = home_of(document)
    if home is None:
        return None
    place = place_of(home)
    assert isinstance(place, Place)
    reads, lies = (KINDS[word].called for word in (place.kind, document.kind))
    return Notice(
        "wrong-folder",
        "error",
        f"This reads like a {reads}, and it lies in the folder of a {lies}.",
        f"Move it back to `{home}`; its text can stay as it is.",
        file=document.file,
    )


def _fits(kind: str, keys: set[str]) -> bool:
    """Whether a kind knows all these keys, and needs no other."""
    fields = KINDS[kind].model.model_fields
    known = {field.alias or name for name, field in fields.items()}
    needed = {field.alias or name for name, field in fields.items() if field.is_required()}
    return needed <= keys <= known


def _home(kind: str, document: Document) -> str:
    name, stage = PurePosixPath(document.file).stem, document.raw.get("stage")
    if kind == "recipe":
        name = f"{stage if isinstance(stage, str) and not name_fault(stage) else _ANY_STAGE}/{name}"
    return f"{RECIPES}/{KINDS[kind].file_of(name)}"

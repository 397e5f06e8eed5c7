"""Words of the trade that a book does not know: what is said of them, and where the author's own go."""

from __future__ import annotations

from collections.abc import Collection

from mothermold.book.document import Document
from mothermold.book.tree import Path
from mothermold.ground.notices import Notice
from mothermold.ground.words import offer


def unknown_word(
    document: Document, path: Path, word: str, what: str, known: Collection[str], *, addition: str
) -> Notice:
    """The notice of a use, a stage, equipment or an action that is not known."""
    otherwise = f"Type one of {', '.join(f'`{each}`' for each in known)}, or add it to `adds: {{{addition}: [{word}]}}` in book.yaml."
    return document.notice(
        "unknown-word", f"`{word}` is not known here as {what}.", offer(word, known, otherwise), path
    )


def unknown_family(document: Document, path: Path, family: str, known: Collection[str]) -> Notice:
    """The notice of a family that is not known."""
    otherwise = f"Add it to `adds: {{families: [{family}]}}` in book.yaml; `mothermold about unknown-family` lists those that are known."
    advice = offer(family, known, otherwise)
    return document.notice("unknown-family", f"No family is called `{family}`.", advice, path, severity="warning")

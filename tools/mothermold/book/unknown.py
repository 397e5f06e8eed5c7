"""Words of the trade and names that a book does not know: what is said of them, and where the author's own go."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from mothermold.book.document import Document
from mothermold.ground.notices import Notice
from mothermold.ground.words import offer
from mothermold.model.names import LocalName
from mothermold.model.parts import Part
from mothermold.model.walk import KeyPath, walk


def unknown_word(
    document: Document, path: KeyPath, word: str, what: str, known: Collection[str], *, addition: str
) -> Notice:
    """The notice of a use, a stage, equipment or an action that is not known."""
    otherwise = f"Type one of {', '.join(f'`{each}`' for each in known)}, or add it to `adds: {{{addition}: [{word}]}}` in book.yaml."
    return document.notice(
        "unknown-word", f"`{word}` is not known here as {what}.", offer(word, known, otherwise), path
    )


def unknown_family(document: Document, path: KeyPath, family: str, known: Collection[str]) -> Notice:
    """The notice of a family that is not known."""
    otherwise = f"Add it to `adds: {{families: [{family}]}}` in book.yaml; `mothermold about unknown-family` lists those that are known."
    advice = offer(family, known, otherwise)
    return document.notice("unknown-family", f"No family is called `{family}`.", advice, path, severity="warning")


def unknown_names(
    document: Document, said: Part, known: Mapping[type[LocalName], Collection[str]], of: str, at: KeyPath = ()
) -> Iterator[Notice]:
    """The notices of local names nobody bears, in whichever field of a document or group they stand."""
    for path, name in walk(said, at):
        if isinstance(name, LocalName) and name not in (names := known.get(type(name), (name,))):
            message = f"No {name.WORD} of {of} is called `{name}`."
            yield document.notice(f"unknown-{name.WORD}", message, offer(name, names), path)

"""Questions that several kinds share: names, values with units, lists that end with an empty line."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from mothermold.book.document import read_document
from mothermold.book.tree import Path
from mothermold.desk.asking import Asking
from mothermold.desk.laying import laid_out
from mothermold.desk.shop import Shop
from mothermold.model.names import mended_name, name_fault

Check = Callable[[str], str]


@dataclass(frozen=True, slots=True)
class Draft:
    """A document to be written.

    Attributes:
        kind: Its kind.
        address: What others will call it.
        file: Where it will lie, relative to the book.
        text: Its whole text.
    """

    kind: str
    address: str
    file: str
    text: str


def draft(kind: str, address: str, file: str, tree: dict[str, Any]) -> Draft:
    """A draft whose text is laid out from what was answered."""
    return Draft(kind, address, file, laid_out(kind, file, tree))


def fits(kind: str, *path: str | int) -> Check:
    """A check that an answer may stand at this path of a document: it is read there as it would be in a file."""

    def check(answer: str) -> str:
        document = read_document(
            kind, "x", "recipes/x.yaml", laid_out(kind, "recipes/x.yaml", _nested(path, answer)).encode()
        )
        wrong = [each for each in document.notices if each.severity == "error" and each.code != "missing-key"]
        return f"{wrong[0].message} {wrong[0].help}" if wrong else ""

    return check


def _nested(path: Path, answer: str) -> Any:
    if not path:
        return answer
    inner = _nested(path[1:], answer)
    return {path[0]: inner} if isinstance(path[0], str) else [inner]


def measured(asking: Asking, question: str, unit: str, check: Check) -> str:
    """Asks for an amount; a bare number is taken in the unit everybody means, and shown with it before it is written."""

    def with_unit(answer: str) -> str:
        return f"{answer} {unit}" if re.fullmatch(r"\d+(\.\d+)?", answer) else answer

    return with_unit(asking.text(question, check=lambda answer: check(with_unit(answer))))


def lines(asking: Asking, question: str, *, more: str = "And then", check: Check | None = None) -> list[str]:
    """Asks for lines until one is empty."""
    found: list[str] = []
    while answer := asking.text(f"{more if found else question} (Enter when done)", check=check):
        found.append(answer)
    return found


def name_for(
    asking: Asking, shop: Shop, kind: str, title: str, *, file_of: Callable[[str], str], prefix: str = ""
) -> str:
    """Asks what a document is to be called, proposing a free name.

    Args:
        asking: Whom to ask.
        shop: The book.
        kind: The kind of document.
        title: What the proposal is made from.
        file_of: Where the file of a name would lie.
        prefix: What stands before the name where others call it, such as the stage and a slash.
    """

    def check(answer: str) -> str:
        if fault := name_fault(answer):
            return f"`{answer}` cannot be a name: it {fault}. Type `{mended_name(answer)}`."
        if shop.is_taken(kind, prefix + answer, file_of(answer)):
            return f"Another one is called `{answer}` already, or was. Type another name."
        return ""

    proposed = mended_name(title)
    number = 2
    while check(proposed):
        proposed = f"{mended_name(title)[:55].rstrip('-')}-{number}"
        number += 1
    return asking.text("Its name, as others will call it", default=proposed, check=check)


def short_id(words: str, taken: list[str], otherwise: str) -> str:
    """An id from the first words of a title, told apart from those that are taken."""
    stem = mended_name("-".join(re.findall(r"[a-z0-9]+", words.casefold())[:4]) or otherwise)
    number, found = 2, stem
    while found in taken:
        found = f"{stem[:55].rstrip('-')}-{number}"
        number += 1
    return found

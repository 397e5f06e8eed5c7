"""Questions that several kinds share: names, values with units, lists that end with an empty line."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from mothermold.book.document import read_document
from mothermold.desk.asking import Asking
from mothermold.desk.drafts.likely import Doubt
from mothermold.desk.matching import plain_name
from mothermold.desk.new_text import laid_out
from mothermold.desk.shop import Shop, UnnotedTrouble
from mothermold.model.names import name_fault
from mothermold.model.walk import KeyPath

Check = Callable[[str], str]


@dataclass(frozen=True, slots=True)
class Draft:
    """A document to be written.

    Attributes:
        kind: Its kind.
        address: What others will call it.
        file: Where it will lie, relative to the book.
        text: Its whole text.
        names: The entries of runs that are to name it.
    """

    kind: str
    address: str
    file: str
    text: str
    names: tuple[UnnotedTrouble, ...] = ()


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


def _nested(path: KeyPath, answer: str) -> Any:
    if not path:
        return answer
    inner = _nested(path[1:], answer)
    return {path[0]: inner} if isinstance(path[0], str) else [inner]


def measured(asking: Asking, question: str, unit: str, check: Check, is_far_from: Doubt | None = None) -> str:
    """Asks for an amount; a bare number is taken in the unit everybody means, and shown with it before it is written.

    An unlikely one is asked about.
    """

    def with_unit(answer: str) -> str:
        return f"{answer} {unit}" if re.fullmatch(r"\d+(\.\d+)?", answer) else answer

    while True:
        answer = with_unit(asking.text(question, check=lambda answer: check(with_unit(answer))))
        far = is_far_from(answer) if answer and is_far_from else ""
        if not far or asking.agree(f"{answer} is far from {far}. Keep it?", default=False):
            return answer


def lines(asking: Asking, question: str, *, more: str = "And then", check: Check | None = None) -> list[str]:
    """Asks for lines until one is empty."""

    def is_wrong(answer: str) -> str:
        return unworded(answer) or (check(answer) if check else "")

    found: list[str] = []
    while answer := asking.text(f"{more if found else question} (Enter when done)", check=is_wrong):
        found.append(answer)
    return found


def is_yes_or_no(answer: str) -> bool:
    """Whether an answer is a yes or a no, where neither was asked for."""
    return answer.casefold() in ("y", "yes", "n", "no")


def unworded(answer: str) -> str:
    """Why an answer cannot stand where words are wanted: who answers a list with a no means that it is done."""
    return "Type it in words, or Enter." if is_yes_or_no(answer) else ""


def unnamable(answer: str) -> str:
    """Why an answer cannot be a name, with what to type; nothing where it can."""
    if is_yes_or_no(answer):
        return "Type a name, or Enter for what is proposed."
    fault = name_fault(answer)
    return f"`{answer}` cannot be a name: it {fault}. Type `{plain_name(answer)}`." if fault else ""


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
        if fault := unnamable(answer):
            return fault
        if shop.is_taken(kind, prefix + answer, file_of(answer)):
            return f"Another one is called `{answer}` already, or was. Type another name."
        return ""

    proposed = plain_name(title)
    number = 2
    while check(proposed):
        proposed = f"{plain_name(title)[:55].rstrip('-')}-{number}"
        number += 1
    return asking.text("Its name, as others will call it", default=proposed, check=check)


def short_id(words: str, taken: list[str], otherwise: str) -> str:
    """An id from the first words of a title, told apart from those that are taken."""
    stem = plain_name(" ".join(re.findall(r"[^\W_]+", words)[:4])) if re.search(r"[a-zA-Z0-9]", words) else otherwise
    number, found = 2, stem
    while found in taken:
        found = f"{stem[:55].rstrip('-')}-{number}"
        number += 1
    return found

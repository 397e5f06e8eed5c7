"""What several kinds share: the name, the build, lists that end with an empty line; and the draft that answers come to."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

from mothermold.book.files import RECIPES
from mothermold.desk.asking import Offer
from mothermold.desk.founding import modelines
from mothermold.desk.matching import plain_name
from mothermold.desk.new_text import laid_out
from mothermold.desk.question import Ask, Doubt, Repeat, Said, Words
from mothermold.desk.shop import UnnotedTrouble
from mothermold.model.kinds import KINDS
from mothermold.model.names import name_fault


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


def drafted(said: Said) -> Draft:
    """The draft that answers come to.

    Its text is laid out from them, but where they say all of it (``_text``); ``_names`` are the entries that are to name it.
    """
    kind, (address, file) = said["_kind"], _place(said, said["_name"] or said["id"])
    text = modelines(kind, file) + said["_text"] if said["_text"] else laid_out(kind, file, said.maps[-1])
    return Draft(kind, address, file, text, tuple(said["_names"]))


def _place(said: Said, name: str) -> tuple[str, str]:
    """What others call a document of a name, and where it lies: in the folder of its build where it has one."""
    address = f"{said['stage']}/{name}" if said["_kind"] == "recipe" else name
    folder = f"{RECIPES}/builds/{said['_build']}" if said["_build"] else RECIPES
    return address, f"{folder}/{KINDS[said['_kind']].file_of(address)}"


def is_yes_or_no(answer: str) -> bool:
    """Whether an answer is a yes or a no, where neither was asked for."""
    return answer.casefold() in ("y", "yes", "n", "no")


def unworded(answer: str, _said: Said) -> str:
    """Why an answer cannot stand where words are wanted: who answers a list with a no means that it is done."""
    return "Type it in words, or Enter." if is_yes_or_no(answer) else ""


def unnamable(answer: str, _said: Said | None = None) -> str:
    """Why an answer cannot be a name, with what to type; nothing where it can."""
    if is_yes_or_no(answer):
        return "Type a name, or Enter for what is proposed."
    fault = name_fault(answer)
    return f"`{answer}` cannot be a name: it {fault}. Type `{plain_name(answer)}`." if fault else ""


def no_name(answer: str, said: Said) -> str:
    """Why an answer cannot be the name of the document, with what to type; nothing where it can."""
    if (fault := unnamable(answer)) or not said.shop.is_taken(said["_kind"], *_place(said, answer)):
        return fault
    return f"Another one is called `{answer}` already, or was. Type another name."


def _free_name(said: Said) -> str:
    return unlike(plain_name(said["title"] or said["_title"]), lambda name: bool(no_name(name, said)))


NAME: Final = Ask("_name", "Its name, as others will call it", default=_free_name, refuse=no_name)


def unlike(stem: str, is_another: Callable[[str], bool]) -> str:
    """A name told apart by a number where it is another's already."""
    number, name = 2, stem
    while is_another(name):
        name, number = f"{stem[:55].rstrip('-')}-{number}", number + 1
    return name


def short_id(words: str, taken: Sequence[str], otherwise: str) -> str:
    """An id from the first words of a title, told apart from those that are taken."""
    stem = plain_name(" ".join(re.findall(r"[^\W_]+", words)[:4])) if re.search(r"[a-zA-Z0-9]", words) else otherwise
    return unlike(stem, taken.__contains__)


def build(meaning: str = "") -> Ask:
    """Asks which build it is for, the first unless another or none is chosen.

    Args:
        meaning: What it means to choose none.
    """

    def offers(said: Said) -> list[Offer]:
        builds = said.shop.titled("build")
        return builds and [*builds, Offer("none", meaning)]

    return Ask(
        "_build", "For which build", "choice", offers, lambda said: offers(said)[0].value,
        read=lambda chosen, _said: "" if chosen == "none" else chosen,
    )  # fmt: skip


def pins(stage: str = "") -> Callable[[Said], list[Offer]]:
    """Offers the locked recipe versions, of one stage where asked."""
    return lambda said: said.shop.pins(stage=stage)


def first_then(first: str, then: str, behind: str = " (Enter when done)") -> Words:
    """A question in one way for the first entry of a list and in another for the rest."""
    return lambda said: f"{then if said.before else first}{behind}"


def lines(key: str, first: str, then: str = "And then", *, inside: str = "", needed: str = "") -> Repeat:
    """Asks for lines until one is empty.

    Args:
        key: Where they go.
        first: The question.
        then: The question for each after the first.
        inside: The key of a line, where each is an entry of its own.
        needed: What is told to whoever gives none, where one is needed.
    """
    missed: Words = lambda said: "" if said.before else needed  # noqa: E731
    return Repeat(key, (Ask(inside, first_then(first, then), refuse=unworded, needed=missed),))


def keep(answer: str, far: str) -> Doubt | None:
    """Doubts an answer that is far from something."""
    return Doubt(f"{answer} is far from {far}. Keep it?") if far else None


def far_from(is_far: Callable[[str], str]) -> Callable[[str, Said], Doubt | None]:
    """Doubts an answer that a function finds far from something."""
    return lambda answer, _said: keep(answer, is_far(answer))


def names_of(offers: Sequence[Offer]) -> list[str]:
    """The values that can be chosen."""
    return [offer.value for offer in offers]

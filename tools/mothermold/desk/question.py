"""Questions as data: what is asked and when, with which offers, and how an answer is read. Nobody is asked here.

What begins a document is a tuple of these. ``desk.walking`` puts the open one to somebody at the terminal; a page can lay
out all of them. A key is the place in the document that an answer goes to, like ``lots.0.got``, and the model says what
may stand there; a key that begins with ``_`` is a name for the other questions and goes nowhere. Whatever depends on other
answers is a function of ``Said`` and of nothing else.
"""

from __future__ import annotations

import re
from collections import ChainMap
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final, Literal, NamedTuple, TypeAlias

from mothermold.book.document import read_document
from mothermold.desk.asking import Offer
from mothermold.desk.new_text import laid_out
from mothermold.desk.shop import Shop
from mothermold.model.walk import KeyPath

Typed: TypeAlias = "str | bool | tuple[str, ...]"
"""An answer as it was given: a text as typed, the offers chosen, a yes or a no."""
AnswerKind = Literal["text", "moment", "choice", "several", "agree"]
_BARE_NUMBER: Final = re.compile(r"\d+(\.\d+)?")


class Said(ChainMap[str, Any]):
    """What the answers so far say, by key; empty for what was not asked or left out.

    Within an entry of a list (``maps[0]``) its own answers come first, then those around it; ``maps[-1]`` is the document.
    """

    def __missing__(self, _key: str) -> str:
        return ""

    @property
    def shop(self) -> Shop:
        """The book the document is begun in."""
        shop: Shop = self["_shop"]
        return shop

    @property
    def before(self) -> Sequence[Mapping[str, Any]]:
        """The entries of the same list before this one."""
        before: Sequence[Mapping[str, Any]] = self["_before"]
        return before


Words: TypeAlias = "str | Callable[[Said], str]"
When: TypeAlias = "str | Callable[[Said], Any]"
"""Whether something is asked: a function, or the keys that must have been answered; ``""`` for always."""


class Doubt(NamedTuple):
    """An answer that is hardly meant: what is asked before it is taken, and what is told to whoever takes it back."""

    asks: str
    otherwise: str = ""


@dataclass(frozen=True, slots=True)
class Ask:
    """One question.

    Attributes:
        key: Where its answer goes; ``""`` where the entry of a list is the answer itself.
        words: The question.
        kind: What answers it.
        offers: What can be chosen; without any, it is asked only where own words may answer.
        default: What no answer means.
        unit: The unit a bare number is taken in.
        own: Whether a choice may be answered in own words.
        needed: Whether it must be answered, or what is told to whoever does not.
        when: Whether it is asked.
        read: What an answer as typed means; default: itself.
        refuse: Why what it means cannot stand there, with what to type; asked before the model.
        doubt: Whether it is hardly meant; of several, asked of each.
    """

    key: str
    words: Words
    kind: AnswerKind = "text"
    offers: Sequence[Offer] | Callable[[Said], Sequence[Offer]] = ()
    default: Any = ""
    unit: str = ""
    own: bool = False
    needed: bool | Words = False
    when: When = ""
    read: Callable[[Any, Said], Any] | None = None
    refuse: Callable[[Any, Said], str] | None = None
    doubt: Callable[[Any, Said], Doubt | None] | None = None

    def value(self, typed: Typed, said: Said) -> Any:
        """What an answer means."""
        if self.unit and isinstance(typed, str) and _BARE_NUMBER.fullmatch(typed):
            return f"{typed} {self.unit}"
        return self.read(typed, said) if self.read and typed else typed


@dataclass(frozen=True, slots=True)
class Tell:
    """What is told on the way; nothing where its words are empty."""

    words: Words
    when: When = ""


@dataclass(frozen=True, slots=True)
class Know:
    """What the answers so far come to, without being asked: more keys and what they say."""

    facts: Callable[[Said], Mapping[str, Any]]
    when: When = ""


@dataclass(frozen=True, slots=True)
class Repeat:
    """Questions asked for one entry of a list after the other.

    It ends where the first of its questions is answered with nothing, where ``more`` says so, or with the last of ``each``.

    Attributes:
        key: Where the list goes.
        questions: What is asked for an entry.
        when: Whether it is asked at all.
        more: Whether another entry is asked for, seen from that entry.
        each: What there is an entry for, which the entry knows as ``_each``.
    """

    key: str
    questions: tuple[Node, ...]
    when: When = ""
    more: Callable[[Said], Any] | None = None
    each: Callable[[Said], Iterable[Any]] | None = None


@dataclass(frozen=True, slots=True)
class Inset:
    """Questions that other answers decide on."""

    questions: Callable[[Said], Sequence[Node]]
    when: When = ""


Node: TypeAlias = "Ask | Tell | Know | Repeat | Inset"


class Turn(NamedTuple):
    """The question that is open: its path, what was said and told before it, and how it is put."""

    ask: Ask
    path: KeyPath
    said: Said
    told: tuple[str, ...]
    words: str
    offers: Sequence[Offer]
    default: Any
    needed: bool | str

    def refusal(self, typed: Typed) -> str:
        """Why an answer cannot stand, with what to type; nothing where it can."""
        if not typed:
            missed = self.needed if isinstance(self.needed, str) else "An answer is needed here."
            return missed if self.needed else ""
        ask, known = self.ask, [offer.value for offer in self.offers]
        value = ask.value(typed, self.said)
        if wrong := ask.refuse(value, self.said) if ask.refuse else "":
            return wrong
        if ask.kind in ("choice", "several") and not ask.own:
            chosen = typed if isinstance(typed, tuple) else (typed,)
            return next(
                (f"Nothing here is called `{each}`. Choose from the list." for each in chosen if each not in known), ""
            )
        is_local = any(isinstance(step, str) and step.startswith("_") for step in self.path)
        is_read = not is_local and ask.kind not in ("several", "agree") and value not in known
        return fits(self.said["_kind"], *self.path)(value) if is_read else ""


def next_question(
    questions: Iterable[Node], answers: Mapping[KeyPath, Typed], shop: Shop | None = None, **known: object
) -> Turn | Said:
    """The question that is open next, or all that was said where none is.

    Args:
        questions: What is asked.
        answers: The answers so far, as they were given, by the paths of their questions.
        shop: The book; None where there is none yet.
        known: What is known before anything is asked, by key; ``_kind`` is the kind of document.
    """
    said = Said({"_shop": shop, **known})
    return _Pass(answers).through(questions, said, ()) or said


class _Pass:
    """One way through questions, as far as they are answered."""

    def __init__(self, answers: Mapping[KeyPath, Typed]) -> None:
        self._answers = answers
        self._told: list[str] = []

    def through(self, nodes: Iterable[Node], said: Said, at: KeyPath) -> Turn | None:
        passed = (self._at(node, said, at) for node in nodes if _holds(node.when, said))
        return next((turn for turn in passed if turn is not None), None)

    def _at(self, node: Node, said: Said, at: KeyPath) -> Turn | None:
        match node:
            case Tell():
                self._told += filter(None, [_of(node.words, said)])
            case Know():
                said.update(node.facts(said))
            case Inset():
                return self.through(node.questions(said), said, at)
            case Repeat():
                return self._repeat(node, said, (*at, *_steps(node.key)))
            case Ask():
                return self._ask(node, said, (*at, *_steps(node.key)))
        return None

    def _ask(self, ask: Ask, said: Said, path: KeyPath) -> Turn | None:
        if path in self._answers:
            said[ask.key] = ask.value(self._answers[path], said)
            self._told.clear()
            return None
        offers = _of(ask.offers, said)
        if ask.kind in ("choice", "several") and not (offers or ask.own):
            return None
        return Turn(
            ask, path, said, tuple(self._told), _of(ask.words, said), offers, _of(ask.default, said), _of(ask.needed, said)
        )  # fmt: skip

    def _repeat(self, group: Repeat, said: Said, path: KeyPath) -> Turn | None:
        first, rest = group.questions[0], group.questions[1:]
        left = list(group.each(said)) if group.each else None
        before: list[Any] = []
        while left is None or len(before) < len(left):
            own = {"_before": before, "_each": left and left[len(before)]}
            entry, here = said.new_child(own), (*path, len(before))
            if group.more and not group.more(entry):
                break
            if turn := self.through((first,), entry, here):
                return turn
            if left is None and isinstance(first, Ask) and not own.get(first.key):
                break
            if turn := self.through(rest, entry, here):
                return turn
            before.append(own.get("", own))
        said[group.key] = tuple(before)
        return None


def fits(kind: str, *path: str | int) -> Callable[[str], str]:
    """A check that an answer may stand at this path of a document: it is read there as it would be in a file."""

    def check(answer: str) -> str:
        tree: Any = answer
        for step in reversed(path):
            tree = {step: tree} if isinstance(step, str) else [tree]
        document = read_document(kind, "x", "recipes/x.yaml", laid_out(kind, "recipes/x.yaml", tree).encode())
        wrong = [each for each in document.notices if each.severity == "error" and each.code != "missing-key"]
        return f"{wrong[0].message} {wrong[0].help}" if wrong else ""

    return check


def _steps(key: str) -> KeyPath:
    return tuple(int(step) if step.isdecimal() else step for step in key.split(".") if step)


def _holds(when: When, said: Said) -> bool:
    return all(said[key] for key in when.split()) if isinstance(when, str) else bool(when(said))


def _of(value: Any, said: Said) -> Any:
    return value(said) if callable(value) else value

# ruff: noqa: ARG002
"""A draft's questions are data: listed without a terminal, walked by answers alone, and taken back without a trace."""

from __future__ import annotations

import random
import re
import sys
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Any

import pytest

from campaigns.seeds import seeds
from desk.sitting import NOW, Answers, small_shop
from desk.test_starting import EACH, answers_for
from mothermold.cli.asking import Terminal
from mothermold.desk.asking import BackError, Offer
from mothermold.desk.drafts.questions import drafted
from mothermold.desk.founding import found_book
from mothermold.desk.question import Ask, Inset, Node, Repeat, Said, Turn, next_question
from mothermold.desk.shop import Shop
from mothermold.desk.starting import SITTING, STARTED, questions_of, start
from mothermold.desk.walking import NONE, walk
from mothermold.model.expected import type_at
from mothermold.model.kinds import KINDS
from mothermold.model.walk import KeyPath
from mothermold.view.view import open_view

Given = Any


@pytest.fixture(scope="module")
def books(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """A small book with a history and an empty one; nothing is written to either."""
    folder = tmp_path_factory.mktemp("books")
    found_book(folder / "empty")
    return {"shop": small_shop(folder / "shop"), "empty": folder / "empty"}


@pytest.fixture(scope="module")
def shops(books: dict[str, Path]) -> dict[str, Shop]:
    return {where: Shop(open_view(book, "private"), NOW) for where, book in books.items()}


class Heard:
    """A terminal, and what each of its questions was answered with."""

    def __init__(self) -> None:
        self.terminal = Terminal()
        self.answers: list[tuple[str, Given]] = []

    def say(self, text: str) -> None:
        self.terminal.say(text)

    def text(self, question: str, **more: Any) -> str:
        return self._noted(question, self.terminal.text(question, **more))

    def choose(self, question: str, offers: Sequence[Offer], **more: Any) -> str:
        return self._noted(question, self.terminal.choose(question, offers, **more))

    def several(self, question: str, offers: Sequence[Offer], **more: Any) -> tuple[str, ...]:
        return self._noted(question, self.terminal.several(question, offers, **more))

    def agree(self, question: str, **more: Any) -> bool:
        return self._noted(question, self.terminal.agree(question, **more))

    def _noted(self, question: str, answer: Given) -> Given:
        self.answers.append((question, answer))
        return answer


def heard(book: Path, where: str, kind: str, monkeypatch: pytest.MonkeyPatch) -> list[tuple[str, Given]]:
    """What the questions for a kind were answered with at the terminal; the last, with not to write it."""
    monkeypatch.setattr(sys, "stdin", Answers([*answers_for(where, kind)[:-1], "no"]))
    ear = Heard()
    assert start(book, ear, kind, now=NOW) is None
    return ear.answers


def turns(kind: str, shop: Shop, answers: Sequence[Given]) -> Iterator[Turn | Said]:
    """Each question as it is open once the answers before it are given; then all that was said."""
    given: dict[KeyPath, Given] = {}
    for answer in (*answers, None):
        turn = next_question(questions_of(kind), given, shop, _kind=kind)
        yield turn
        if isinstance(turn, Turn):
            given[turn.path] = answer


def asks(nodes: Sequence[Node], at: tuple[str, ...] = ()) -> Iterator[tuple[str, Ask]]:
    """All questions of some, however their conditions stand, by where their answers go."""
    for node in nodes:
        if isinstance(node, Ask):
            yield ".".join([*at, node.key]).rstrip("."), node
        elif isinstance(node, Repeat):
            yield from asks(node.questions, (*at, node.key, "0"))
        elif isinstance(node, Inset):
            yield from asks(node.questions(Said()), at)


# Data


@pytest.mark.parametrize("kind", STARTED)
def test_every_question_has_words_and_a_key_that_leads_into_the_document_or_says_it_does_not(kind: str) -> None:
    listed = list(asks(questions_of(kind)))
    keys = [key for key, _ask in listed]
    assert len(keys) == len(set(keys)) > 3
    for key, ask in listed:
        assert callable(ask.words) or re.fullmatch(r"[A-Z].*[^:.]", ask.words), key
        path: KeyPath = tuple(int(step) if step.isdecimal() else step for step in key.split("."))
        is_local = any(step.startswith("_") for step in key.split("."))
        assert is_local or type_at(KINDS[kind].model, path) is not None, key


def test_the_open_question_follows_from_the_answers_alone(shops: dict[str, Shop]) -> None:
    answers: dict[KeyPath, Given] = {
        ("title",): "Wax", ("_name",): "wax", ("families",): ("wax",), ("density",): "1", ("packs", 0, "size"): "1 kg",
    }  # fmt: skip
    turn = next_question(questions_of("material"), answers, shops["empty"], _kind="material")
    assert isinstance(turn, Turn)
    assert (turn.path, turn.words) == (
        ("packs", 0, "price"),
        "Its price, in EUR as book.yaml says (like 24.50)",
    )
    assert turn.said["density"] == "1 g/ml", "as it will be written"
    assert turn.refusal("cheap").startswith("`cheap` ")
    assert turn.refusal("24.50") == ""
    rest = {("packs", 0, "size"): "", ("lots", 0, "lot"): "20E5", ("lots", 0, "got"): "2026-02-03"}
    rest |= dict.fromkeys([("lots", 0, "opened"), ("lots", 0, "use_by"), ("sds", "where")], "")
    said = next_question(questions_of("material"), answers | rest, shops["empty"], _kind="material")
    assert isinstance(said, Said)
    draft = drafted(said)
    assert (draft.file, draft.text.split("\n", 2)[2]) == (
        "recipes/materials/wax.yaml",
        "title: Wax\nfamilies: [wax]\ndensity: 1 g/ml\nlots:\n  - {lot: 20E5, got: 2026-02-03}\n",
    )


@pytest.mark.parametrize(("where", "kind"), EACH)
def test_answers_as_data_come_to_what_the_terminal_writes(
    where: str,
    kind: str,
    books: dict[str, Path],
    shops: dict[str, Shop],
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    answers = heard(books[where], where, kind, monkeypatch)[:-1]
    *asked, said = turns(kind, shops[where], [answer for _words, answer in answers])
    assert [turn.words for turn in asked if isinstance(turn, Turn)] == [words for words, _answer in answers]
    assert isinstance(said, Said)
    draft = drafted(said)
    assert f"\n{draft.file}\n\n{draft.text}" in capsys.readouterr().out


NONSENSE = ("\x07", "no", "a b c", "-3", "x" * 700, "2026-02-30", "../x", "400")


@pytest.mark.parametrize(("where", "kind"), EACH)
def test_what_cannot_stand_is_refused_at_its_question_in_a_sentence(
    where: str, kind: str, books: dict[str, Path], shops: dict[str, Shop], monkeypatch: pytest.MonkeyPatch
) -> None:
    answers = [answer for _words, answer in heard(books[where], where, kind, monkeypatch)[:-1]]
    *asked, _said = turns(kind, shops[where], answers)
    for turn, answer in zip(asked, answers, strict=True):
        assert isinstance(turn, Turn)
        if turn.ask.kind == "agree":
            continue
        assert turn.refusal(answer) == "", "what was answered can stand"
        refusals = [turn.refusal((each,) if turn.ask.kind == "several" else each) for each in NONSENSE]
        # Free words can always stand.
        assert any(refusals) or turn.ask.own or (turn.ask.kind == "text" and not turn.ask.unit), turn.words
        for refusal in filter(None, refusals):
            assert re.fullmatch(r"(?s)[A-Z`].* .*[.?]", refusal.strip()), refusal
            assert not re.search(r"Traceback|pydantic|Error|None\b", refusal)


# Taking back


def is_doubt(question: str) -> bool:
    return bool(re.search(r"Keep it\?$|Was somebody hurt\?$|of your own\?$|outside the arithmetic\?$", question))


class Fickle:
    """Answers what somebody else answered, but goes wrong here and there and takes it back; notes what it typed."""

    def __init__(self, right: Sequence[tuple[str, Given]], chance: random.Random) -> None:
        self.right = right
        self.chance = chance
        self.place = 0
        self.astray = False
        self.typed: list[str] = []
        self.backs = 0

    def say(self, text: str) -> None:
        pass

    def text(
        self, question: str, *, default: str = "", needed: bool = False, check: Callable[[str], str] | None = None
    ) -> str:
        wrong = [
            "zebra",
            "7",
            "2026-05-20",
            "W9",
            "21 degC",
            "10 %",
            "9 min",
            "0.9 g/ml",
            *[""] * (not needed and not default),
        ]
        return self._typed(self._answer(question, [each for each in wrong if not (check and check(each))]), default)

    def choose(
        self, question: str, offers: Sequence[Offer], *, default: str = "", own: bool = False, needed: bool = False
    ) -> str:
        # What is in a list already would be refused there, and never be an answer to take back.
        known = {offer.value for offer in offers} - {answer for _words, answer in self.right if isinstance(answer, str)}
        return self._typed(
            self._answer(question, [*sorted(known - {NONE}), *[""] * (not needed and not default)]), default
        )

    def several(self, question: str, offers: Sequence[Offer], *, own: bool = False) -> tuple[str, ...]:
        wrong = [()] if "of what" in question else [(offer.value,) for offer in offers]
        chosen: tuple[str, ...] = self._answer(question, wrong)
        self.typed.append(", ".join(chosen))
        return chosen

    def agree(self, question: str, *, default: bool) -> bool:
        # Who doubts what is wrong is told that it is meant.
        is_doubt = re.search(r"(Keep it|somebody hurt|of your own|the arithmetic)\?$", question)
        agreed = bool(is_doubt or self._answer(question, [True, False]))
        self.typed.append("y" if agreed else "n")
        return agreed

    def _typed(self, answer: str, default: str) -> str:
        """What is typed for an answer: where something is offered for Enter, a dash says nothing."""
        self.typed.append(NONE if not answer and default else answer)
        return self.typed[-1]

    def _answer(self, question: str, wrong: Sequence[Given]) -> Given:
        if self.astray or (self.place and self.chance.random() < 0.25):
            self.astray = False
            self.place -= 1
            self.backs += 1
            self.typed.append("<")
            raise BackError
        words, right = self.right[self.place]
        assert question == words
        self.place += 1
        is_last = self.place == len(self.right)
        self.astray = bool(wrong) and not is_last and self.backs < 60 and self.chance.random() < 0.25
        return self.chance.choice(wrong) if self.astray else right


@pytest.mark.parametrize("seed", seeds(1, 40))
@pytest.mark.parametrize(("where", "kind"), EACH)
def test_what_was_taken_back_leaves_no_trace(
    where: str,
    kind: str,
    seed: int,
    books: dict[str, Path],
    shops: dict[str, Shop],
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    right = heard(books[where], where, kind, monkeypatch)
    *_asked, straight = turns(kind, shops[where], [answer for _words, answer in right[:-1]])
    assert isinstance(straight, Said)
    fickle = Fickle(right, random.Random(f"{where} {kind} {seed}"))
    said = walk(fickle, SITTING, shops[where], _kind=kind)
    assert said["_draft"] == drafted(straight)
    # The same at the terminal, letter by letter.
    capsys.readouterr()
    monkeypatch.setattr(sys, "stdin", keyboard := Answers(fickle.typed))
    assert start(books[where], Terminal(), kind, now=NOW) is None
    assert keyboard.read() == ""
    assert f"\n{drafted(straight).text}\n" in capsys.readouterr().out


def test_one_goes_wrong_and_back_often_enough_to_tell(
    books: dict[str, Path], shops: dict[str, Shop], monkeypatch: pytest.MonkeyPatch
) -> None:
    right = heard(books["shop"], "shop", "recipe", monkeypatch)
    backs = 0
    for seed in range(3):
        fickle = Fickle(right, random.Random(seed))
        walk(fickle, SITTING, shops["shop"], _kind="recipe")
        backs += fickle.backs
    assert backs > 20


def test_an_answer_that_is_refused_or_doubted_is_none_and_back_leads_to_the_question_before(
    books: dict[str, Path], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    mold = ["Mold 1", "", "", "nobody", "<", "mold-one", "", *[""] * 5, "no"]
    material = ["Wax", "", "wax", "1060", "no", "<", "wax", "", "", "", "", "no"]
    for kind, typed, again in (("mold", mold, "Its name"), ("material", material, "Which family")):
        monkeypatch.setattr(sys, "stdin", keyboard := Answers(typed))
        assert start(books["shop" if kind == "mold" else "empty"], Terminal(), kind, now=NOW) is None
        assert keyboard.read() == ""
        assert capsys.readouterr().out.count(again) == 2


def test_a_doubt_leads_back_to_its_own_question_with_the_answer_at_hand(
    books: dict[str, Path], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(
        sys, "stdin", Answers(["Wax", "", "wax", "1060", "<", "1.06", "", "", "", "no"])
    )  # fmt: skip
    start(books["empty"], Terminal(), "material", now=NOW)
    told = capsys.readouterr().out
    assert "Density (like 1.06 g/ml) [1060]: " in told
    assert "density: 1.06 g/ml" in told

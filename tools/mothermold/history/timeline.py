"""The history of a whole book: every recipe's versions, renames followed, deleted ones kept."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from functools import cached_property

from mothermold.book.document import Document, read_document
from mothermold.book.files import RECIPES, Place, place_of
from mothermold.book.library import Book
from mothermold.ground.looking import not_looking, saw
from mothermold.ground.notices import Notice
from mothermold.ground.store import digest
from mothermold.ground.words import nearest
from mothermold.history.log import Commit, Log
from mothermold.history.repository import read_log
from mothermold.history.versions import State, Versions, list_versions, said_version
from mothermold.model.recipe import Recipe


@dataclass
class History:
    """Every recipe's versions, each read when it is asked for.

    Attributes:
        book: The working tree.
        log: What git knows.
        renamed: For each earlier address, the recipe that claims it.
        notices: What is missing, and what is wrong with claims of earlier addresses.
        read: The saved documents that were read, by blob and address.
    """

    book: Book
    log: Log
    renamed: Mapping[str, str]
    notices: tuple[Notice, ...]
    read: dict[tuple[str, str], Document] = field(default_factory=dict)
    _versions: dict[str, Versions] = field(default_factory=dict)
    _learned: bool = False

    def __post_init__(self) -> None:
        self.book.made.knows("saved", self.state)
        self.book.made.knows("now-at", lambda address: self.renamed.get(address, address))
        self.book.made.knows("log", lambda _: self.log.name)

    @property
    def newest(self) -> datetime | None:
        """The time of the newest commit that touched the book."""
        return next((commit.moment for commit in self.log.commits), None)

    def addresses(self) -> list[str]:
        """All recipes there are or ever were, a renamed one only by its name of today."""
        saw("log ")
        here = self.book.documents.on("recipe")
        places = map(place_of, self.log.files)
        saved = {each.address for each in places if isinstance(each, Place) and each.kind == "recipe"}
        gone = saved - self.renamed.keys() - here.keys()
        return sorted([*here, *(address for address in gone if self.versions(address).rows)])

    def versions(self, address: str) -> Versions:
        """The versions of one recipe; none where it never was. An earlier address leads to the present one."""
        saw(f"saved {address}")
        address = self.renamed.get(address, address)
        if address not in self._versions:
            with not_looking():
                self._versions[address] = self._list(address)
        return self._versions[address]

    def address(self, address: str) -> str:
        """The address a recipe has today, by any it ever had."""
        saw(f"now-at {address}")
        return self.renamed.get(address, address)

    def state(self, address: str) -> str:
        """What the versions of a recipe are known by."""
        address = self.renamed.get(address, address)
        files = [address, *(earlier for earlier, today in self.renamed.items() if today == address)]
        working = self.book.documents.on("recipe").get(address)
        saved = [each for file in files for each in self.log.of(_file(file))]
        saved.sort(key=lambda each: self.log.order[each[0].sha])
        return digest(
            address,
            working.state if working is not None else "",
            *(f"{commit.sha} {blob} {commit.first_parent}" for commit, blob in saved),
        )

    def near(self, address: str) -> str | None:
        """The recipe probably meant by an address nothing answers to."""
        return nearest(address, self.addresses())

    def saved(self, kind: str) -> dict[str, list[tuple[datetime, Document | None]]]:
        """Every text documents of a kind were saved with on the main line, by address, newest first; None where deleted."""
        found: dict[str, list[tuple[datetime, Document | None]]] = {}
        for commit in self.log.commits:
            for file, blob in commit.changed.items() if commit.first_parent else ():
                place = place_of(file)
                if isinstance(place, Place) and place.kind == kind:
                    text = self.parsed(blob, place.address, file, kind) if blob is not None else None
                    found.setdefault(place.address, []).append((commit.moment, text))
        return found

    def parsed(self, blob: str, address: str, file: str, kind: str = "recipe") -> Document:
        """The document in a blob; the same blob at the same address is read once."""
        key = (blob, address)
        if key not in self.read:
            self.read[key] = read_document(kind, address, file, self.log.blobs.get(blob, b""))
        return self.read[key]

    def hold(self, before: History) -> None:
        """Takes over the versions of recipes whose text here is the same as before; nothing was saved or renamed since."""
        now, then = (each.book.documents.on("recipe") for each in (self, before))
        self._versions |= {
            address: versions for address, versions in before._versions.items() if now.get(address) is then.get(address)
        }

    def _list(self, address: str) -> Versions:
        working = self.book.documents.on("recipe").get(address)
        states = self._states(address, _file(address))
        if working is not None and isinstance(working.model, Recipe):
            states = self._with_earlier_addresses(address, working.model, states)
        line = [state for state in states if state.commit.first_parent]
        side = [state for state in states if not state.commit.first_parent]
        return list_versions(address, line, side, working, self.log.parents)

    def _states(self, address: str, file: str) -> list[State]:
        saved = self.log.of(file)
        self.log.blobs.want(blob for _commit, blob in saved if blob is not None)
        return [self._state(commit, blob, address, file) for commit, blob in saved]

    def _state(self, commit: Commit, blob: str | None, address: str, file: str) -> State:
        if blob is None:
            return State(commit, None, None, None)
        document = self.parsed(blob, address, file)
        if blob not in self._numbers:
            # A text whose lines cannot be read says nothing about any version.
            self._numbers[blob], self._learned = said_version(document), True
        version, status = self._numbers[blob]
        return State(commit, document, version, status)

    @cached_property
    def _numbers(self) -> dict[str, tuple[int | None, str | None]]:
        """The number and status each saved text carries: kept, so that nobody reads a text to know its number."""
        kept = self.log.store.get("numbers", "") or {}
        return {blob: (version, status) for blob, (version, status) in kept.items()}

    def keep_numbers(self) -> None:
        """Keeps what is known of numbers, where more is known than was kept."""
        if self._learned:
            told = {blob: list(self._numbers[blob]) for blob in self.log.blobs if blob in self._numbers}
            self.log.store.put("numbers", "", told, most=1)
            self._learned = False

    def _with_earlier_addresses(self, address: str, recipe: Recipe, states: list[State]) -> list[State]:
        order = self.log.order
        own_line = [state for state in states if state.commit.first_parent and state.document is not None]
        own = own_line or [state for state in states if state.document is not None]
        appeared = order[own[-1].commit.sha] if own else -1
        for earlier in recipe.formerly:
            if self.renamed.get(earlier.address) != address:
                continue
            states = states + [
                state for state in self._states(address, _file(earlier.address)) if order[state.commit.sha] > appeared
            ]
        return sorted(states, key=lambda state: order[state.commit.sha])


def _file(address: str) -> str:
    return f"{RECIPES}/{address}.yaml"


def open_history(book: Book, before: History | None = None) -> History:
    """Reads what git knows of a book and how its recipes were renamed.

    Args:
        book: The book.
        before: Its history as it was read before: what holds still is not read again.
    """
    log = read_log(book.root, book.files)
    renamed, notices = _renames(book)
    told = (*log.notices, *notices)
    if before is None:
        return History(book, log, renamed, told)
    same = bool(log.name) and log.name == before.log.name
    history = History(book, replace(log, blobs=before.log.blobs) if same else log, renamed, told, before.read)
    if same and renamed == before.renamed:
        history.hold(before)
    return history


def _renames(book: Book) -> tuple[dict[str, str], list[Notice]]:
    claimed: dict[str, str] = {}
    notices: list[Notice] = []
    recipes = book.documents.on("recipe")
    for address, document in sorted(recipes.items()):
        if not document.may_say("formerly") or not isinstance(document.model, Recipe):
            continue
        for index, earlier in enumerate(document.model.formerly):
            path = ("formerly", index)
            if earlier.address in recipes:
                notices.append(
                    document.notice(
                        "formerly-alive",
                        f"`{earlier}` is still there as a recipe of its own.",
                        "Delete it from `formerly`, or delete the other file.",
                        path,
                    )
                )
            elif earlier.address in claimed:
                notices.append(
                    document.notice(
                        "formerly-twice",
                        f"`{claimed[earlier.address]}` also says it was `{earlier}`.",
                        "Keep it in the `formerly` of the one that carries on its history.",
                        path,
                    )
                )
            else:
                claimed[earlier.address] = address
    return claimed, notices

"""The page on which a document is written: its form as HTML that works with scripts off, and what is said about it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Final

from mothermold.answers.result import Result, title_words
from mothermold.compare.fields import KIND_WORDS
from mothermold.compare.words import changed_words
from mothermold.desk.asking import Offer
from mothermold.desk.forms.carried import packed
from mothermold.desk.forms.form import (
    Form,
    FormEntry,
    FormField,
    FormGroup,
    FormList,
    FormPart,
    digest_of,
    fields_of,
    lists_of,
)
from mothermold.desk.forms.trees import NEW, Listed, name_of
from mothermold.ground.notices import Notice
from mothermold.model.kinds import KINDS
from mothermold.model.walk import KeyPath
from mothermold.pages.addresses import page_of
from mothermold.pages.compare import moved
from mothermold.pages.desk.locked import locked_number
from mothermold.pages.desk.photo_fields import PhotoFields
from mothermold.pages.page import Page, render
from mothermold.quantities.wording import plain_number
from mothermold.view.view import View

OPENED: Final = "_opened"
"""Under which name a page carries the text its form was made of."""
DO: Final = "_do"
"""Under which name it is sent which button was pressed."""


@dataclass(frozen=True, slots=True)
class FormSheet:
    """What a page of a form says beside the fields.

    Attributes:
        address: Where it lies, and where its form is sent.
        seal: Makes the hidden fields of the form.
        said: Why what was typed was not taken; else empty.
        told: What `check` would say of it, by field; what it says of the file as it is unless given.
        known: Notices that were there before anything was typed, and keep nothing from being written.
        elsewhere: What it would bring about in other files.
        sent: Whether something was typed and looked at.
        began: What stands in its fields: what was ``opened``, what was ``asked`` in the address, what was ``typed``.
        touched: The entry or list a button was pressed for.
        news: What that did.
        ahead: What the change of a recipe makes, where somebody looked.
        photos: The places for photos; None where the kind of document shows none.
    """

    address: str
    seal: Callable[[], str]
    said: str = ""
    told: Mapping[KeyPath, tuple[Notice, ...]] | None = None
    known: Sequence[Notice] = ()
    elsewhere: tuple[Notice, ...] = ()
    sent: bool = False
    began: str = "typed"
    touched: KeyPath | None = None
    news: str = ""
    ahead: Ahead | None = None
    photos: PhotoFields | None = None


@dataclass(frozen=True, slots=True)
class Ahead:
    """What a change of a recipe makes, as its page shows it; ``refusal`` says why nothing can be shown."""

    since: str = ""
    changes: Sequence[Mapping[str, Any]] = ()
    consequences: Sequence[Mapping[str, Any]] = ()
    at_ml: str = ""
    refusal: str = ""


@dataclass(frozen=True, slots=True)
class PlacedNotice:
    """A notice with the place on the page that it is about."""

    notice: Notice
    id: str
    place: str
    label: str
    stops: bool


def form_page(view: View, form: Form, sheet: FormSheet) -> Page:
    """The page of a form.

    Args:
        view: The owner's book.
        form: The form, as it was made or with what was typed.
        sheet: What is said beside its fields.
    """
    title = title_of(form)
    return render(
        view, "desk_form.html", sheet.address, title, form=form, sheet=sheet, shown=_Shown(form, sheet), book=book_mark(view),
        locked=locked_number(view, form), kinds=KIND_WORDS, changed_words=changed_words,
        opened=packed(form.text), document=page_of(form.kind, form.address) if form.address and KINDS[form.kind].plural else "",
    )  # fmt: skip


def ahead_of(view: View, form: Form, answer: Result) -> Ahead:
    """What a change makes, from the answer to what differs.

    Args:
        view: The owner's book.
        form: The recipe's form with what was typed.
        answer: The answer of ``diff``.
    """
    data = answer.data
    mixes = form.tree.get("mixes")
    own = (
        {each["id"]: each["title"] for each in mixes.values() if isinstance(each, dict)}
        if isinstance(mixes, Listed)
        else {}
    )
    titles = title_words(view) | {name: title for name, title in own.items() if isinstance(title, str) and title}
    since = f"version {data['from']}"
    return Ahead(since, data["changes"], moved(data["consequences"], titles), plain_number(data["at_ml"]))


def book_mark(view: View, *, sends: bool = False) -> str:
    """What tells the books apart that a browser has seen at one address: it keeps what was typed for each.

    Args:
        view: The book.
        sends: Whether the page goes to a phone, which is told nothing of the computer's folders.
    """
    return digest_of(view.settings.title if sends else str(view.root))[:12]


def title_of(form: Form) -> str:
    """What the page of a form is called."""
    if form.new:
        return f"A new {KINDS[form.kind].called}"
    said = form.tree.get("title")
    return f"Write: {said if isinstance(said, str) and said else form.address}"


@dataclass
class _Shown:
    """What the template asks of a form."""

    form: Form
    sheet: FormSheet
    _placed: dict[KeyPath, list[PlacedNotice]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._labels = {(): "The whole document"} | dict(_labels(self.form))
        listed = [each for section in self.form.sections for each in lists_of(section.parts)]
        entries = [*(entry for each in listed for entry in each.entries), *(entry for entry, _what in self.blanks)]
        self._entries = {entry.path for entry in entries if entry.path != entry.parts[0].path}
        told = self.form.notices if self.sheet.told is None else self.sheet.told
        before = {(each.code, each.message) for each in self.sheet.known}
        number = 0
        for path, held in told.items():
            place = path
            while place not in self._labels:
                place = place[:-1]
            for each in held:
                number += 1
                stops = self.sheet.sent and each.severity == "error" and (each.code, each.message) not in before
                row = PlacedNotice(each, f"told-{number}", self.id(place), self._labels[place], stops)
                self._placed.setdefault(place, []).append(row)

    @property
    def all(self) -> list[PlacedNotice]:
        """Every notice, in the order of the form, those that keep it from being written first."""
        order = list(self._labels)
        rows = [row for place in sorted(self._placed, key=order.index) for row in self._placed[place]]
        return sorted(rows, key=lambda row: not row.stops)

    def at(self, path: KeyPath) -> list[PlacedNotice]:
        """The notices of a place."""
        return self._placed.get(path, [])

    @staticmethod
    def name(path: KeyPath) -> str:
        """What a field is sent as."""
        return name_of(path)

    def id(self, path: KeyPath) -> str:
        """What a part is found by on the page, and an entry that is more than one part."""
        return f"{'e' if path in self._entries else 'f'}-{name_of(path)}" if path else "desk-form"

    def sort(self, part: FormPart) -> str:
        """Which of the shapes a part has."""
        return "list" if isinstance(part, FormList) else "group" if isinstance(part, FormGroup) else "field"

    @staticmethod
    def help(part: FormPart) -> str:
        """What belongs there, and in which units; nothing where that is what it is called."""
        same = part.help.strip(" .").casefold().removeprefix("the ") == part.label.casefold().removeprefix("the ")
        units = f"In {', '.join(part.units)}." if isinstance(part, FormField) and part.units else ""
        return f"{'' if same else part.help} {units}".strip()

    def offers(self, part: FormField) -> tuple[Offer, ...]:
        """What can be chosen, where only that may be: what stands there too, were it something else."""
        return self.form.offers.get(part.offers, ()) if not part.own or part.kind == "choice" else ()

    def others(self, part: FormField) -> str:
        """The id of the list of what is offered, where something else may be typed too."""
        return f"offers-{part.offers.replace(' ', '-')}" if part.offers and not self.offers(part) else ""

    @property
    def lists(self) -> dict[str, tuple[Offer, ...]]:
        """Those lists, by id."""
        fields = [part for part in self.every if part.offers]
        return {self.others(part): self.form.offers.get(part.offers, ()) for part in fields if self.others(part)}

    @property
    def every(self) -> Iterable[FormField]:
        """Every field, those of entries there are not yet too."""
        yield from self.form.fields
        for blank, _what in self.blanks:
            yield from fields_of(blank.parts)

    @cached_property
    def blanks(self) -> list[tuple[FormEntry, str]]:
        """A new entry of each list of the kind with what one is called, below that of the list it stands in."""
        found: dict[KeyPath, tuple[FormEntry, str]] = {}
        for section in self.form.sections:
            _blanks(section.parts, found)
        return list(found.values())

    def filled(self, parts: Iterable[FormPart]) -> int:
        """How many of the fields say something."""
        return sum(bool(each.value) or each.stiff for each in fields_of(parts))

    def speaks(self, path: KeyPath) -> bool:
        """Whether something was touched or is told there or below."""
        places = [*self._placed, *([self.sheet.touched] if self.sheet.touched else [])]
        return any(place[: len(path)] == path for place in places)

    def any_speaks(self, parts: Iterable[FormPart]) -> bool:
        """The same of several parts."""
        return any(self.speaks(part.path) for part in parts)

    @staticmethod
    def lines(text: str) -> int:
        """How many lines a text needs on the page."""
        return min(18, max(2, sum(1 + len(line) // 60 for line in text.split("\n"))))


def _labels(form: Form) -> Iterable[tuple[KeyPath, str]]:
    for section in form.sections:
        yield from _labels_of(section.parts, "")


def _labels_of(parts: Iterable[FormPart], before: str) -> Iterable[tuple[KeyPath, str]]:
    for part in parts:
        label = f"{before}, {part.label}" if before else part.label
        yield part.path, label
        if isinstance(part, FormGroup):
            yield from _labels_of(part.parts, label)
        elif isinstance(part, FormList):
            one = (part.one or "row").capitalize()
            for number, entry in enumerate(part.entries, start=1):
                each = f"{before}, {one} {number}" if before else f"{one} {number}"
                yield entry.path, each
                yield from _labels_of(entry.parts, each)


def _blanks(parts: Iterable[FormPart], found: dict[KeyPath, tuple[FormEntry, str]]) -> None:
    for part in parts:
        if isinstance(part, FormGroup):
            _blanks(part.parts, found)
        elif isinstance(part, FormList):
            # The entries of a list in an entry are all alike, whichever entry it is.
            path = tuple(NEW if isinstance(step, int) or NEW in step else step for step in part.blank.path)
            if path == part.blank.path:
                found.setdefault(path, (part.blank, part.one))
            _blanks(part.blank.parts, found)

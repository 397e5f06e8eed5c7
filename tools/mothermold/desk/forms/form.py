"""A form as data: sections of fields, groups and lists, each field with its path, its label, how it is typed, and what it says."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from hashlib import sha256
from typing import Any, TypeAlias

from mothermold.desk.asking import Offer
from mothermold.desk.forms.shapes import InputKind
from mothermold.ground.notices import Notice
from mothermold.model.walk import KeyPath

FormPart: TypeAlias = "FormField | FormGroup | FormList"
NAME: KeyPath = ("_name",)
"""Where a new document's name is typed; it goes into no file."""
BUILD: KeyPath = ("_build",)
"""Where it is said for which build a new run or mold is."""


@dataclass(frozen=True, slots=True)
class FormField:
    """A field.

    Attributes:
        path: Its place in the document; entries of lists by their tokens, see ``trees``.
        label: What it is called.
        kind: How it is typed.
        value: What it says, as the file has it; of a field of several texts all of them.
        help: What belongs in it.
        example: What may be typed; empty where nothing short can be.
        offers: Under which key of the form its offers stand; empty without any.
        own: Whether anything else than an offer may be typed.
        needed: Whether it must be said.
        units: Units an amount is usually written in.
        folded: Whether it is rarely needed, and opened only when asked for.
        stiff: Whether the file says something here that no field can hold; it stays, and is changed in the file.
    """

    path: KeyPath
    label: str
    kind: InputKind
    value: str | tuple[str, ...] = ""
    help: str = ""
    example: str = ""
    offers: str = ""
    own: bool = True
    needed: bool = False
    units: tuple[str, ...] = ()
    folded: bool = False
    stiff: bool = False

    @property
    def many(self) -> bool:
        """Whether it holds several texts."""
        return isinstance(self.value, tuple)


@dataclass(frozen=True, slots=True)
class FormGroup:
    """Fields that belong together, as the room and its temperatures."""

    path: KeyPath
    label: str
    help: str
    parts: tuple[FormPart, ...]
    folded: bool = False


@dataclass(frozen=True, slots=True)
class FormEntry:
    """An entry of a list; ``called`` is what it is known by."""

    path: KeyPath
    called: str
    parts: tuple[FormPart, ...]


@dataclass(frozen=True, slots=True)
class FormList:
    """Entries that are added, doubled, moved and removed.

    Attributes:
        path: Its place in the document.
        label: What it is called.
        help: What belongs in it.
        one: What one entry is called.
        entries: The entries, in order.
        blank: A new one, under the token ``+``.
        needed: Whether there must be one.
        folded: Whether it is rarely needed.
    """

    path: KeyPath
    label: str
    help: str
    one: str
    entries: tuple[FormEntry, ...]
    blank: FormEntry
    needed: bool = False
    folded: bool = False


@dataclass(frozen=True, slots=True)
class FormSection:
    """A part of a form under a title; a folded one holds what is rarely needed."""

    title: str
    parts: tuple[FormPart, ...]
    folded: bool = False


@dataclass(frozen=True, slots=True)
class Form:
    """A document to be filled in.

    Attributes:
        kind: Its kind.
        address: What others call it; empty of a new one.
        file: Where it lies; empty of a new one.
        text: The text it was made of, with its own line ends; of a new one what it begins with, empty for nothing.
        sections: What it shows; without any the file cannot be read, and is mended as text.
        offers: What can be chosen, by key.
        notices: What is said of the file as it is, by field; under ``()`` what belongs to none.
        tree: What the text says, as ``trees`` has it.
    """

    kind: str
    address: str
    file: str
    text: str
    sections: tuple[FormSection, ...]
    offers: Mapping[str, tuple[Offer, ...]] = field(default_factory=dict)
    notices: Mapping[KeyPath, tuple[Notice, ...]] = field(default_factory=dict)
    tree: dict[str, Any] = field(default_factory=dict)

    @property
    def new(self) -> bool:
        """Whether there is no such document yet."""
        return not self.file

    @property
    def digest(self) -> str:
        """By what the text it was made of is known again."""
        return digest_of(self.text)

    @property
    def fields(self) -> tuple[FormField, ...]:
        """Every field of every entry, in order."""
        return tuple(fields_of(part for section in self.sections for part in section.parts))


def digest_of(text: str) -> str:
    """By what a text is known again."""
    return sha256(text.encode("utf-8", "surrogatepass")).hexdigest()


def fields_of(parts: Iterable[FormPart]) -> Iterator[FormField]:
    """The fields of parts, of their groups and entries."""
    for part in parts:
        match part:
            case FormField():
                yield part
            case FormGroup():
                yield from fields_of(part.parts)
            case FormList():
                for entry in part.entries:
                    yield from fields_of(entry.parts)


def lists_of(parts: Iterable[FormPart]) -> Iterator[FormList]:
    """The lists among parts and below them, each before those in its entries."""
    for part in parts:
        match part:
            case FormGroup():
                yield from lists_of(part.parts)
            case FormList():
                yield part
                for entry in part.entries:
                    yield from lists_of(entry.parts)

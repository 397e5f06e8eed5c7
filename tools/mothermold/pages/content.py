"""What a page shows of a document, as data: sections of blocks of words, each word with the field it says.

A module of a kind says what is shown and in which order; ``templates/content.html`` says how, the same for every kind. What no
section says stands at the foot of the page: a field nobody thought of is shown all the same.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, ClassVar, TypeAlias

from mothermold.model.walk import KeyPath

Span: TypeAlias = "str | Marked | Lead | Icon | Tag | When | Remark | FieldWords | Fold"
Words: TypeAlias = "tuple[Span, ...]"
Block: TypeAlias = "Para | Sign | Story | Heading | Labels | Points | Table | Fold | Widget | Section"


@dataclass(frozen=True, slots=True)
class Marked:
    """Words that stand out, or back: ``strong``, ``bold``, ``quiet``, ``plain``, and on a line of their own ``below``, ``quiet below``, ``record``."""

    shape: ClassVar = "marked"
    mark: str
    words: Words


@dataclass(frozen=True, slots=True)
class Lead:
    """Words that lead somewhere where the edition holds it; elsewhere they are words.

    Attributes:
        to: The kind of a document; ``reference``, ``mix``, ``pair`` or ``here``, see ``Links.where``.
        name: What is meant, as the document says it.
        words: What stands there; default: what it is called, see ``Links.called``.
    """

    shape: ClassVar = "lead"
    to: str
    name: str
    words: str = ""


@dataclass(frozen=True, slots=True)
class Icon:
    """A small drawing, of those in ``templates/icons``."""

    shape: ClassVar = "icon"
    name: str


@dataclass(frozen=True, slots=True)
class Tag:
    """A word on a strip of tape, and which tape."""

    shape: ClassVar = "tag"
    words: str
    tape: str = ""


@dataclass(frozen=True, slots=True)
class When:
    """A moment, and what stands for it where that is shorter."""

    shape: ClassVar = "when"
    moment: str
    words: str


@dataclass(frozen=True, slots=True)
class Remark:
    """The author's prose, within a line."""

    shape: ClassVar = "remark"
    text: str


@dataclass(frozen=True, slots=True)
class FieldWords:
    """Words that say a field of the document."""

    shape: ClassVar = "said"
    path: KeyPath
    words: Words


@dataclass(frozen=True, slots=True)
class Para:
    """A paragraph, and what sort of one: ``quiet``, ``notice warning``, ``banner error``."""

    shape: ClassVar = "para"
    words: Words
    style: str = ""


@dataclass(frozen=True, slots=True)
class Sign:
    """What is set apart under a drawing: ``sheet``."""

    shape: ClassVar = "sign"
    style: str
    drawing: str
    words: Words


@dataclass(frozen=True, slots=True)
class Story:
    """The author's prose as paragraphs."""

    shape: ClassVar = "story"
    path: KeyPath
    text: str
    style: str = ""


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading within a section."""

    shape: ClassVar = "heading"
    words: Words


@dataclass(frozen=True, slots=True)
class Labels:
    """Labels, each with what it is: ``glance`` for those a page begins with."""

    shape: ClassVar = "labels"
    rows: tuple[tuple[Words, Words], ...]
    style: str = "said"


@dataclass(frozen=True, slots=True)
class Points:
    """A list: ``plain``, ``runs``, ``fixes``, ``facts``, ``changes``, ``numbered``."""

    shape: ClassVar = "points"
    items: tuple[Words, ...]
    style: str = ""


@dataclass(frozen=True, slots=True)
class Row:
    """A row of a table; the first cell heads it. Others lead to its anchor."""

    cells: tuple[Words, ...]
    anchor: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """A table.

    Attributes:
        label: What it is called where it scrolls.
        columns: The heads, each with the style of its cells: ``number``, ``across``, ``day``.
        rows: The rows.
    """

    shape: ClassVar = "table"
    label: str
    columns: Mapping[str, str]
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Fold:
    """Blocks that open below some words."""

    shape: ClassVar = "fold"
    words: Words
    blocks: tuple[Block, ...]
    style: str = ""


@dataclass(frozen=True, slots=True)
class Widget:
    """What is more than words (a calculator, a chart): a macro of ``templates/widgets.html``, and what it is given."""

    shape: ClassVar = "widget"
    macro: str
    data: Any
    paths: tuple[KeyPath, ...] = ()


@dataclass(frozen=True, slots=True)
class Section:
    """A section of a page, or one within a section.

    Attributes:
        key: What it is called by whoever moves or hides it.
        title: Its heading; without one its blocks stand free.
        blocks: What it shows.
        style: How it stands out.
        anchor: Where others lead to.
    """

    shape: ClassVar = "section"
    key: str
    title: Words
    blocks: tuple[Block, ...]
    style: str = ""
    anchor: str = ""

    @property
    def paths(self) -> tuple[KeyPath, ...]:
        """The fields it says, in order."""
        return tuple(paths_in(self.title, self.blocks))


@dataclass(frozen=True, slots=True)
class Content:
    """What the page of a document shows.

    Attributes:
        title: What the document is called.
        called: What it is, leading to the list of its kind.
        beside: What stands beside that.
        sections: What it shows, in order.
        rest: What stands over all that no section says.
    """

    title: str
    called: Words
    beside: Words
    sections: tuple[Section, ...] = ()
    rest: str = ""

    @property
    def paths(self) -> tuple[KeyPath, ...]:
        """The fields it says, in order; who says one twice shows it twice."""
        return (("title",), *paths_in(self.called, self.beside, self.sections))


def paths_in(*shown: Any) -> Iterator[KeyPath]:
    """The fields said by words, blocks or sections, in order."""
    for each in shown:
        match each:
            case str() | None:
                pass
            case tuple():
                yield from paths_in(*each)
            case FieldWords(path) | Story(path):
                yield path
            case Widget(paths=paths):
                yield from paths
            case Row(cells):
                yield from paths_in(cells)
            case Table(rows=rows) | Labels(rows):
                yield from paths_in(rows)
            case Points(items):
                yield from paths_in(items)
            case Section(title=title, blocks=blocks) | Fold(title, blocks):
                yield from paths_in(title, blocks)
            case Marked(words=words) | Sign(words=words) | Para(words) | Heading(words):
                yield from paths_in(words)


def flat(words: Words) -> Iterator[Span]:
    """The words alone, without what they say."""
    for each in words:
        if isinstance(each, FieldWords):
            yield from flat(each.words)
        else:
            yield each


def shows(block: Block) -> bool:
    """Whether a block has something in it; a section within another stands for an entry, and is one by its heading."""
    match block:
        case Labels(inner) | Points(inner) | Para(inner) | Table(rows=inner):
            return bool(inner)
    return True


def unsaid(document: Any, paths: Iterable[KeyPath], at: KeyPath = ()) -> Iterator[tuple[KeyPath, Any]]:
    """What a document says and no path covers: the largest groups of it, each with its place.

    Args:
        document: What it says, as written: groups of keys, lists and texts.
        paths: The fields that are said elsewhere. One entry may stand where a list may: it is its first.
        at: Where in the document this is.
    """
    inner = set(paths)
    if () in inner or _is_empty(document):
        return
    if not inner:
        yield at, document
    elif isinstance(document, dict):
        if all(path[0] == 0 for path in inner):
            yield from unsaid(document, {path[1:] for path in inner}, at)
            return
        for key, value in document.items():
            yield from unsaid(value, (path[1:] for path in inner if path[:1] == (key,)), (*at, key))
    elif isinstance(document, list):
        for number, value in enumerate(document):
            yield from unsaid(value, (path[1:] for path in inner if path[0] == number), (*at, number))


def _is_empty(document: Any) -> bool:
    if not isinstance(document, dict | list):
        return False
    return all(map(_is_empty, document.values() if isinstance(document, dict) else document))

"""How the content of a page is put together: words of fields, lists of words, sections of what is there."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import date, time
from itertools import starmap
from typing import Literal, TypeAlias, TypeVar

from mothermold.model.names import Reference
from mothermold.model.parts import Part
from mothermold.model.scalars import Prose
from mothermold.model.walk import KeyPath
from mothermold.pages.content import (
    Block,
    FieldWords,
    Labels,
    Lead,
    Marked,
    Para,
    Points,
    Remark,
    Row,
    Section,
    Span,
    Table,
    When,
    Words,
    shows,
)
from mothermold.quantities import Quantity
from mothermold.quantities.wording import as_read

Loose: TypeAlias = "Span | date | time | Quantity | int | tuple[Loose, ...] | None"
"""Words before they are put together."""
Each = TypeVar("Each")


def words(*spans: Loose) -> Words:
    """Spans in a row: each value as what it is, a name of another document as words that lead there; None and False say nothing."""
    found: list[Span] = []
    for each in spans:
        match each:
            case None | False | "":
                pass
            case tuple():
                found += words(*each)
            case Prose():
                found.append(Remark(each))
            case Reference():
                found.append(Lead("reference" if each.KIND == "recipe" else each.KIND, each))
            case date():
                found.append(When(each.isoformat(), each.isoformat()))
            case time():
                found.append(f"{each:%H:%M}")
            case Quantity() | int():
                found.append(as_read(each))
            case _:
                found.append(each)
    return tuple(found)


def said(*at: str | int, **fields: Loose) -> Words:
    """Words of the fields that stand at a place, in the order given; of a field nobody filled in, none."""
    return tuple(FieldWords((*at, key.rstrip("_")), shown) for key, each in fields.items() if (shown := words(each)))


def joined(parts: Iterable[Loose], between: str) -> Words:
    """Words one after the other, with something between."""
    found = [shown for each in parts if (shown := words(each))]
    return words(*((between, each) if number else each for number, each in enumerate(found)))


def numbered(entries: Iterable[Each], *at: str | int) -> Iterator[tuple[KeyPath, Each]]:
    """The entries of a list, each with its place in the document."""
    return (((*at, number), each) for number, each in enumerate(entries))


def lined(entries: Iterable[Loose], *at: str | int) -> Iterator[Words]:
    """The entries of a list, each as words of its own."""
    return ((FieldWords(here, words(each)),) for here, each in numbered(entries, *at))


def listed(entries: Iterable[Loose], between: str, *at: str | int) -> Words:
    """The entries of a list one after the other."""
    return joined(lined(entries, *at), between)


def cells(at: KeyPath, each: Part, *keys: str) -> tuple[Words, ...]:
    """The cells of a row: some fields of an entry as they are."""
    return tuple(said(*at, **{key: getattr(each, key)}) for key in keys)


def framed(before: Loose, inner: Loose, after: Loose = "") -> Words:
    """Words between others; where there are none the others are left out."""
    return words(before, inner, after) if words(inner) else ()


def marked(mark: str, *spans: Loose) -> Words:
    """Words that stand out or back; none where none are given."""
    return (Marked(mark, shown),) if (shown := words(*spans)) else ()


def quiet(*spans: Loose) -> Words:
    """Words that stand back."""
    return marked("quiet", *spans)


def labels(*rows: tuple[Loose, Loose], style: str = "said") -> Labels:
    """Labels with what each is; one of which nothing is known falls out."""
    return Labels(tuple((words(label), shown) for label, each in rows if (shown := words(each))), style)


def pairs(rows: Iterable[tuple[Words, ...]]) -> Labels:
    """Labels that stand whatever is known of each."""
    return Labels(tuple((label, each) for label, each in rows))


def para(*spans: Loose, style: str = "") -> Para:
    """A paragraph."""
    return Para(words(*spans), style)


def points(items: Iterable[Loose], style: str = "") -> Points:
    """A list of those that say something."""
    return Points(tuple(shown for each in items if (shown := words(each))), style)


def table(label: str, columns: Mapping[str, str], rows: Iterable[Row]) -> Table:
    """A table."""
    return Table(label, columns, tuple(rows))


def section(key: str, title: Loose, *blocks: Block | Literal[""] | None, style: str = "", anchor: str = "") -> Section:
    """A section of the blocks that show something."""
    return Section(key, words(title), tuple(each for each in blocks if each and shows(each)), style, anchor)


def listing(key: str, title: str, entries: Iterable[Each], how: Callable[[KeyPath, Each], Loose]) -> Section:
    """A section that says a list of the document, each entry as a point; how gets its place and the entry."""
    return section(key, title, points(starmap(how, numbered(entries, key))))


def tabled(
    key: str, title: str, columns: Mapping[str, str], entries: Iterable[Each], how: Callable[[KeyPath, Each], Row]
) -> Section:
    """A section that says a list of the document as a table, each entry as a row."""
    return section(key, title, table(title, columns, starmap(how, numbered(entries, key))))

"""Lays out on paper what a page says as data: the same sections, blocks and words, so that nothing is said twice and differently."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final

from mothermold.handouts.pen import TICK, Pen
from mothermold.handouts.prose import Block, Letters
from mothermold.pages.content import (
    Block as Shown,
)
from mothermold.pages.content import (
    Fold,
    Heading,
    Labels,
    Para,
    Points,
    Section,
    Story,
    Table,
    Widget,
    Words,
)
from mothermold.pages.saying import Loose, joined, marked

_COLUMNS: Final = {"day": "auto", "number": "number", "across": "across"}


def sections_on_paper(pen: Pen, sections: Iterable[Section], level: int = 2) -> Iterator[Block]:
    """Sections of a page as blocks of a sheet, tables over its width first, then lists down two columns; one that shows nothing falls out.

    Args:
        pen: What writes.
        sections: The sections.
        level: The rank of their headings.
    """
    every = list(sections)
    for each in every:
        if _is_wide(each):
            yield from _section(pen, each, level)
    narrow = [block for each in every if not _is_wide(each) for block in _section(pen, each, level)]
    if narrow:
        yield pen.columns(narrow, small=True)


def _section(pen: Pen, each: Section, level: int) -> Iterator[Block]:
    blocks = [block for shown in each.blocks for block in _laid_out(pen, shown, level + 1)]
    if blocks and each.title:
        yield pen.heading(each.title, level=level)
    yield from blocks


def _is_wide(each: Section) -> bool:
    # Of a long table of short rows two stand side by side.
    return not each.title or ("wide" in each.style and "by-clock" not in each.style)


def _laid_out(pen: Pen, shown: Shown, level: int) -> Iterator[Block]:
    match shown:
        case Para(words, style):
            yield pen.para(words, style="banner" if style.startswith("banner") else "")
        case Heading(words):
            yield pen.heading(words, level=level)
        case Labels(rows, "glance"):
            # What a page begins with is one line of a sheet.
            yield pen.para(joined(((label, " ", marked("strong", words)) for label, words in rows), "; "), ".")
        case Labels(rows):
            yield from pen.labels([(_plain(pen, label), words) for label, words in rows])
        case Points(items, "numbered"):
            yield from pen.points((f"{number}. ", item) for number, item in enumerate(items, start=1))
        case Points(items, style):
            yield from pen.points(items, "ticks" if style == "ticks" else "")
        case Table():
            yield from _table(pen, shown)
        case Widget("cautions", all_cautions):
            yield from (pen.caution(each, brief=True) for each in all_cautions)
        case Widget("pictures", groups):
            yield from pen.pictures((each for group in groups for each in group), 480, across=3)
        case Section():
            yield from _section(pen, shown, level)
        case Fold(_words, blocks):
            for each in blocks:
                yield from _laid_out(pen, each, level)
        case Story(_path, text):
            yield from pen.story(text)
        case _:
            # What asks for a device, such as the keys of the day, is not for paper.
            return


def _table(pen: Pen, shown: Table) -> Iterator[Block]:
    heads = {head: _COLUMNS.get(style, "") for head, style in shown.columns.items()}
    clocked = next(iter(heads)) == "At"
    # A step is ticked off on paper.
    columns = ({"": "tick"} if clocked else {}) | heads
    rows: list[list[Loose | Letters]] = [
        [*([TICK] if clocked else ()), *(_cell(cell) for cell in row.cells)] for row in shown.rows
    ]
    yield from pen.table(columns, rows)


def _cell(words: Words) -> Loose:
    return words


def _plain(pen: Pen, words: Words) -> str:
    return "".join(each if isinstance(each, str) else "" for each in pen.line(words))

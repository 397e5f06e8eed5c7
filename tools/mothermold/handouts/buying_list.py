"""The list a class buys by, on paper: what every table takes, what all take, and where the edition holds lots what is in hand."""

from __future__ import annotations

from collections.abc import Iterator

from mothermold.answers.buy_text import pack_words
from mothermold.answers.class_materials import MaterialForClass, class_materials, materials_for_class
from mothermold.answers.packs_to_buy import pack_row
from mothermold.handouts.pen import TICK, Pen
from mothermold.handouts.prose import Block, Letters
from mothermold.model.course import Course
from mothermold.pages.content import Remark
from mothermold.pages.saying import Loose, marked, quiet
from mothermold.view.view import View


def buying_blocks(view: View, pen: Pen, course: Course) -> Iterator[Block]:
    """The list of a course, below its title.

    Args:
        view: The edition.
        pen: What writes.
        course: A course of it.
    """
    told = class_materials(view, course)
    rows, unsure = materials_for_class(view, told)
    yield pen.para(
        "Each recipe a session teaches, done once at every table, with what stays in cups by its own word. "
        "What is weighed once for a build is weighed once for the class. Nothing is added for what goes wrong."
    )
    if not course.students:
        yield pen.para("The course does not say how many students there are.", style="banner")
    tables = f"{told.tables} tables" if told.tables != 1 else "One table"
    columns = {"": "tick", "Material": "wide", "One table": "sum"} | ({tables: "sum"} if told.tables != 1 else {})
    if owns := any(each.packs for each in rows):
        columns |= {"In hand": "number", "To buy": ""}
    if rows:
        yield pen.heading("Materials")
        yield from pen.table(columns, (_row(each, several=told.tables != 1, owns=owns) for each in rows))
    if unsure:
        yield pen.heading("Not counted, and why")
        yield from pen.points(map(Remark, unsure))
    if told.needs:
        yield pen.heading("At hand at every table")
        yield from pen.points(told.needs, "ticks")
    yield pen.para(quiet("The makers' safety sheets are bought along."))


def _row(each: MaterialForClass, *, several: bool, owns: bool) -> list[Loose | Letters]:
    have = pack_words(pack_row(each.packs))[1:] if each.packs else ("", "")
    return [
        TICK, marked("strong", each.title), each.one, *([each.whole] if several else ()), *(have if owns else ()),
    ]  # fmt: skip

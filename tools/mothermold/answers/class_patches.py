"""Whose patch test the book knows of in a class: of each code its runs name what is read and clear, and what is not on record.

Consent, and whatever anybody says of their health, stands on paper or in ``private/``, and never here. What nobody wrote down
is told as not on record: silence is no all-clear.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from mothermold.answers.class_runs import runs_in
from mothermold.model.build import Build
from mothermold.model.course import Course
from mothermold.trade.vocabulary import ON_A_FACE
from mothermold.view.patch_cover import patches_on_record, products_on_a_body
from mothermold.view.view import View

ON_SOMEBODY = frozenset({*ON_A_FACE, "lifecast"})
"""The stages at which something comes onto somebody."""


@dataclass(frozen=True, slots=True)
class StudentPatches:
    """What the book knows of one code.

    Attributes:
        code: The code.
        runs: How many runs of the course name it.
        clear: What a patch test covers that was read and clear in time, each with the day it was read.
        lacking: Of what nothing is on record, or not that it was read 48 hours after it was put on and before the day.
    """

    code: str
    runs: int
    clear: tuple[tuple[str, date], ...]
    lacking: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ClassPatches:
    """What the book knows of the patch tests of a class.

    Attributes:
        products: What the recipes taught put on skin and hair.
        by: The first day something of it goes on; None where no day is written.
        students: The codes that runs of the course name, in order.
        unnamed: How many more take part whom no run names.
    """

    products: tuple[str, ...]
    by: date | None
    students: tuple[StudentPatches, ...]
    unnamed: int


def class_patches(view: View, name: str) -> ClassPatches | None:
    """What the book knows of the patch tests of a class; None where nothing that is taught comes onto anybody.

    Args:
        view: The owner's edition: who is cleared is told to nobody else.
        name: A course of it.
    """
    course = view.models(Course)[name]
    if not is_on_somebody(course):
        return None
    products = tuple(products_on_a_body(view.ruling, course.pins))
    named = Counter(str(code) for _name, run in runs_in(view, name) for code in run.who)
    by = min(_days(course), default=None)
    records = [each for build in view.models(Build).values() for each in patches_on_record(build, view.ruling)]
    students = []
    for code, runs in sorted(named.items()):
        read: dict[str, date] = {}
        for each in records:
            if each.wearer == code and each.on is not None and (by is None or each.on < by):
                read |= {product: max(each.on, read.get(product, each.on)) for product in each.products}
        clear = tuple((product, read[product]) for product in products if product in read)
        students.append(StudentPatches(code, runs, clear, tuple(each for each in products if each not in read)))
    return ClassPatches(products, by, tuple(students), max(int(course.students or 0) - len(students), 0))


def is_on_somebody(course: Course) -> bool:
    """Whether anything a course teaches comes onto somebody."""
    return any(pin.address.split("/")[0] in ON_SOMEBODY for pin in course.pins)


def _days(course: Course) -> Iterator[date]:
    for session in course.sessions:
        if session.day and any(ref.address.split("/")[0] in ON_SOMEBODY for ref in session.covers):
            yield session.day

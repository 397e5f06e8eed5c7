"""What a course takes of each material: every recipe a session teaches, done once at each table."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from mothermold.answers.recipes import pinned_recipe
from mothermold.model.course import Course, Session
from mothermold.model.material import Material
from mothermold.model.names import RecipeRef
from mothermold.reckon.taking import Taken, doing_takes
from mothermold.view.view import View


@dataclass(frozen=True, slots=True)
class ClassMaterials:
    """What a course takes.

    Attributes:
        taken: Of each material, for all tables together; and of which nobody can say how much.
        tables: At how many tables each recipe is done, where a session teaches it at the most.
        unread: The recipes that cannot be read.
    """

    taken: Taken
    tables: int
    unread: tuple[RecipeRef, ...]


def class_materials(view: View, course: Course) -> ClassMaterials:
    """What a course takes, at the versions it pins.

    Args:
        view: The edition.
        course: A course of it.
    """
    materials: Mapping[str, Material] = view.models(Material)
    taken, unread = Taken(), dict[RecipeRef, None]()
    for session in course.sessions:
        times = tables_of(course, session)
        for ref in session.covers:
            if (recipe := pinned_recipe(view, ref)) is None:
                unread[ref] = None
                continue
            doing = doing_takes(recipe, materials)
            taken.take(Taken(doing.each.amounts, unknown=doing.each.unknown), Fraction(times))
            taken.take(doing.once)
            for jar, grams in doing.each.jars.items():
                taken.take(doing.pots[jar], grams * times)
    return ClassMaterials(taken, max((tables_of(course, each) for each in course.sessions), default=1), tuple(unread))


def tables_of(course: Course, session: Session) -> int:
    """At how many places a session's recipes are done: its tables, else one for each student, else one."""
    return int(session.tables or course.students or 1)

"""A course: recipes pinned to versions for a class."""

from __future__ import annotations

from mothermold.model.names import CourseRef
from mothermold.model.parts import DocumentModel, Part, RecipeRefs, many, must, some
from mothermold.model.scalars import Day, Positive, Prose, Text


class Question(Part):
    """A question for the class, with its answer for the teacher."""

    question: Prose = must("The question.", "Why is the release stippled?")
    answer: Prose | None = some("The answer.", "Wiping leaves strokes that print into the film.", own=True)


class Session(Part):
    """One meeting of the class."""

    title: Text | None = some("What it is about.", "Encapsulating and casting")
    day: Day | None = some("When it is held.", "2026-10-13")
    prepares: RecipeRefs = many("What must be ready beforehand.", ["mold/face-mold@2"])
    covers: RecipeRefs = many("What is taught.", ["cast/cheek-piece@3"])
    tables: Positive | None = some("At how many tables.", 4)
    questions: tuple[Question, ...] = many("Questions and answers.", [{"question": "Why stipple?"}])


class Course(DocumentModel):
    """Recipes pinned to versions for a class."""

    title: Text = must("What the course is called.", "Silicone pieces, first term")
    term: Text | None = some("When it is given.", "fall 2026")
    pins: RecipeRefs = must("The recipe versions taught.", ["cast/cheek-piece@3"], pinned=True)
    sessions: tuple[Session, ...] = many("Its meetings.", [{"title": "Encapsulating and casting"}])
    students: Positive | None = some("How many take part.", 12)
    previous: CourseRef | None = some("The course it continues or repeats.", "silicone-spring-2026")

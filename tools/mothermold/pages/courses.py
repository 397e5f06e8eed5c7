"""The page of a course: what is taught at which version, session by session."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from mothermold.answers.changes import changes_since
from mothermold.book.document import Document
from mothermold.model.course import Course, Question, Session
from mothermold.model.names import RecipeRef
from mothermold.model.walk import KeyPath
from mothermold.pages.content import Block, Content, FieldWords, Fold, Heading, Icon, Lead, Remark, Section, Words
from mothermold.pages.pinned import newer_version, pinned_title, to_pair
from mothermold.pages.saying import framed, labels, listed, marked, numbered, para, points, quiet, said, section, words
from mothermold.quantities.wording import as_read
from mothermold.view.needs import not_open
from mothermold.view.view import View


def content(view: View, document: Document[Course]) -> Content:
    """What the page of a course shows."""
    course, name = document.model, document.address
    since = changes_since(view, name).data
    after = [
        Lead("course", each, told.title) for each, told in sorted(view.models(Course).items()) if told.previous == name
    ]
    before = said(previous=course.previous and Lead("course", course.previous, course.previous))
    glance = (
        ("Term", said(term=course.term)),
        ("Students", said(students=course.students)),
        ("Sessions", len(course.sessions) or None),
    )
    return Content(
        course.title,
        words("Course"),
        words(name),
        (
            section("glance", "", labels(*glance, style="glance")),
            section("previous", "", para(framed("Continues or repeats ", before, "."))),
            section("follows", "", *(para("Continued by ", each, ".") for each in after)),
            section("pins", "What is taught", *_taught(view, document)),
            section("since", "What changed since", *_changed(since), anchor="since"),
            section("sessions", "Sessions", *(_session(*each) for each in numbered(course.sessions, "sessions"))),
        ),
    )


def _taught(view: View, document: Document[Course]) -> Iterator[Block]:
    pins, counts = document.model.pins, view.pins.get(document.address)
    yield para("Each recipe is pinned to the version it is taught at, and stays so.", style="quiet")
    if not pins:
        yield para(not_open(*counts, view.edition) if counts else "No recipe is pinned yet", ".")
    yield points((FieldWords(at, _pin(view, pin)) for at, pin in numbered(pins, "pins")), "plain")


def _pin(view: View, pin: RecipeRef) -> Words:
    """A recipe pinned to a version, and the newer version in use, where there is one."""
    newer, told = newer_version(view, pin), None
    if newer and pin.version:
        pair = to_pair(view, pin.address, pin.version, newer, "what changed since")
        told = marked("quiet below", f"Version {newer} is in use now", pair and (": ", pair), ".")
    recipe = Lead("reference", pin, pinned_title(view, pin))
    return words(Icon(pin.address.split("/")[0]), " ", recipe, " ", quiet(str(pin)), told)


def _changed(since: Mapping[str, Any]) -> Iterator[Block]:
    recipes, failures = since["recipes"], since["failures"]
    if recipes or failures:
        rest = f"; everything else, since {since['day']}, when this course was first saved" if since["day"] else ""
        yield para(f"What is taught here, since the version it is taught at{rest}.", style="quiet")
    yield from map(_changed_recipe, recipes)
    if failures:
        yield Heading(("Failure notes",))
        yield points((Lead("failure", note["failure"], note["title"]), f": {note['what']}") for note in failures)


def _changed_recipe(row: dict[str, Any]) -> Fold:
    before, now, sentences = row["from"], row["to"], [as_read(line.replace("*", "")) for line in row["sentences"]]
    so = f"version {before} to {now}" if before and now else f"new, version {now}" if now else row["sentences"][0]
    told = (
        para(Remark(row["why"])) if row["why"] else None,
        points(sentences) if before and now else None,
        para(Lead("recipe", row["recipe"], "To the recipe")),
    )
    return Fold((f"{row['title']}: {so}",), tuple(block for block in told if block))


def _session(at: KeyPath, session: Session) -> Section:
    title = said(*at, title=session.title) or "Session"
    facts = (
        said(*at, tables=session.tables and f"{session.tables} tables"),
        marked("plain", framed("covers ", listed(session.covers, "; ", *at, "covers"))),
        marked("plain", framed("ready beforehand: ", listed(session.prepares, "; ", *at, "prepares"))),
    )
    questions = (_question(here, each) for here, each in numbered(session.questions, *at, "questions"))
    number = int(at[-1]) + 1
    return section(f"session_{number}", (f"{number}. ", title), points(facts, "facts"), points(questions, "numbered"))


def _question(at: KeyPath, each: Question) -> Words:
    answer = each.answer and marked("quiet below", each.answer)
    return said(*at, question=each.question, answer=answer)

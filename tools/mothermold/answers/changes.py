"""What changed in the whole book since a day, or since what a course teaches, in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from typing import Annotated, Any, Final

from mothermold.answers.changes_text import changes_text
from mothermold.answers.difference_words import changes_between
from mothermold.answers.question import option, question
from mothermold.answers.result import Result
from mothermold.book.document import Document
from mothermold.compare.sentences import lines_said
from mothermold.compare.showing import capital
from mothermold.ground.errors import refused
from mothermold.ground.words import nearest
from mothermold.history.versions import Version, Versions, as_text, said_version
from mothermold.model.course import Course
from mothermold.model.expected import keys_of
from mothermold.model.failure import Failure
from mothermold.model.traits import traits_of
from mothermold.view.view import View

EMPTY: dict[str, Any] = {"since": None, "day": None, "course": None, "recipes": [], "failures": []}

SavedTexts = Sequence[tuple[datetime, Document | None]]


@dataclass(frozen=True, slots=True)
class Since:
    """From when on.

    Attributes:
        day: The day asked for, or that of the course's first save; None for a course that was never saved.
        last: The last moment that still counts as before.
        course: The course that was asked for.
        pins: By recipe, the version the course teaches: for these it counts, not the day.
    """

    day: date | None
    last: datetime | None
    course: Course | None = None
    pins: Mapping[str, int] = field(default_factory=dict)


@question("changes", empty=EMPTY, text=changes_text, page="courses/COURSE.html")
def changes_since(
    view: View,
    since: Annotated[str, option("DAY|COURSE", "a day, like 2026-04-18, or a course, like silicone-spring-2026")],
) -> Result:
    """What changed since, recipe by recipe and failure note by failure note.

    Args:
        view: The book.
        since: A day as ``2026-04-18``, or the name of a course: then recipes are compared with the versions it pins,
            all else with the day the course was first saved.

    Raises:
        RefusedError: ``unknown-since``.
    """
    start = _since(view, since.strip())
    recipes = [row for address in view.recipes if (row := _recipe(view, address, start))]
    failures = list(_failures(view, start))
    data = {
        "since": since.strip(),
        "day": start.day.isoformat() if start.day else None,
        "course": str(start.course.title) if start.course else None,
        "recipes": recipes,
        "failures": failures,
    }
    files = {f"recipes/{row['recipe']}.yaml" for row in recipes}
    return Result(data, view.touching(files | {f"recipes/failures/{row['failure']}.yaml" for row in failures}))


def _since(view: View, asked: str) -> Since:
    try:
        day = date.fromisoformat(asked)
    except ValueError:
        return _since_course(view, asked)
    # The day itself is told: what was saved before its midnight is not.
    midnight = datetime.combine(day, time.min, view.settings.zone)
    return Since(day, midnight - timedelta(microseconds=1))


def _since_course(view: View, asked: str) -> Since:
    name = asked.removeprefix("recipes/").removeprefix("courses/").removesuffix(".yaml")
    course = view.models(Course).get(name)
    if course is None:
        near = nearest(name, view.on("course"))
        raise refused(
            "unknown-since",
            f"`{asked}` is neither a day nor a course of this book.",
            f"Did you mean the course `{near}`?" if near else "Type a day as `2026-04-18`, or the name of a course.",
        )
    pins = {
        versions.address: pin.version
        for pin in course.pins
        if pin.version and (versions := view.versions(pin.address)) is not None
    }
    shown = [moment for moment, text in view.past("course").get(name, ()) if text is not None]
    if not shown:
        return Since(None, None, course, pins)
    return Since(shown[-1].astimezone(view.settings.zone).date(), shown[-1], course, pins)


# Recipes.


def _recipe(view: View, address: str, since: Since) -> dict[str, Any] | None:
    versions = view.versions(address)
    if versions is None or not versions.rows:
        return None
    pinned = since.pins.get(address)
    before = versions.get(pinned) if pinned is not None else _row_then(versions, since.last)
    now = versions.current
    if pinned is None and since.day is None:
        return None
    if now is None:
        return _gone(view, versions, before, since)
    now = now.as_saved()
    if before is None and pinned is not None:
        missing = (
            f"Version {pinned}, which the course teaches, is not in the book, so what changed since cannot be told."
        )
        return _row(now, (pinned, now.number), None, [missing])
    if before is None:
        return _row(now, (None, now.number), now.why, ["New since then."])
    if now.number > before.number:
        crossed = [
            row for row in versions.rows if before.number < row.number <= now.number and row.status != "withdrawn"
        ]
        why = " ".join(row.why for row in crossed if row.why) or None
        return _row(now, (before.number, now.number), why, *_sentences(view, before.document, now.document))
    then = _text_then(view.past("recipe").get(address, ()), since.last)
    if now.number == before.number and pinned is None and then and said_version(then)[0] == now.number:
        told, wording = _sentences(view, then, now.document)
        return _row(now, (now.number, now.number), None, told, wording) if told else None
    return None


def _row(
    row: Version, numbers: tuple[int | None, int | None], why: str | None, told: list[str], wording: int = 0
) -> dict[str, Any]:
    """One recipe; of its sentences the last ``wording`` are of words, pictures and what to watch out for."""
    return {
        "recipe": row.document.address,
        "from": numbers[0],
        "to": numbers[1],
        "why": why,
        "sentences": told,
        "title": str(row.recipe.title) if row.recipe else row.document.address,
        "wording": wording,
    }


def _row_then(versions: Versions, last: datetime | None) -> Version | None:
    """The version in use then."""
    rows = [
        row
        for row in versions.rows
        if last is not None and row.moment is not None and row.moment <= last and row.status != "withdrawn"
    ]
    return rows[-1] if rows else None


def _gone(view: View, versions: Versions, before: Version | None, since: Since) -> dict[str, Any] | None:
    """A recipe that was in use and is no longer."""
    last = versions.rows[-1]
    if before is None or last.status not in ("retired", "deleted"):
        return None
    then = _text_then(view.past("recipe").get(versions.address, ()), since.last)
    if then is None or said_version(then)[1] != "locked":
        return None
    return _row(
        last, (before.number, None), last.why, ["Deleted." if last.status == "deleted" else "No longer in use."]
    )


def _text_then(texts: SavedTexts, last: datetime | None) -> Document | None:
    """The text a document had then."""
    return next((text for moment, text in texts if last is not None and moment <= last), None)


def _sentences(view: View, old: Document, new: Document) -> tuple[list[str], int]:
    a, b = as_text(old), as_text(new)
    if a is None or b is None:
        return ["One of the two texts can no longer be read, so what changed cannot be told."], 0
    changes = changes_between(view, a, b)
    return [said for _change, said in changes], sum(change.kind == "wording" for change, _said in changes)


# Failure notes.

_WORDS: Final = {
    "title": "title",
    "symptoms": "what you would shout",
    "now": "what to do now",
    "do_not": "what makes it worse",
    "happened": "what was seen",
    "causes": "why it happened",
    "fixes": "what helps",
    "prevent": "how to keep it from happening",
    "harm": "the worst it can cost",
    "noticed": "where it shows",
    "seen_at": "the stage where you meet it",
    "caused_at": "the stage that causes it",
}
"""What the fields of a failure note are called, in the order they are told; any other goes by its name."""

_KEYS: Final = [key for key, field in keys_of(Failure).items() if traits_of(field).change != "never"]


def _failures(view: View, since: Since) -> Iterator[dict[str, Any]]:
    past = view.past("failure")
    # Without any history nothing can be called new; that it is missing is told as a notice.
    if since.day is None or view.newest is None:
        return
    held = view.on("failure")
    for name in sorted({*held, *past}):
        then = _text_then(past.get(name, ()), since.last)
        now = held.get(name)
        if now is None or now.model is None:
            if then is not None and now is None:
                yield {"failure": name, "what": "Deleted.", "title": _title(then)}
        elif then is None or then.model is None:
            yield {"failure": name, "what": "New since then.", "title": _title(now)}
        elif told := [said for key in dict.fromkeys([*_WORDS, *_KEYS]) if (said := _field(key, then, now))]:
            yield {"failure": name, "what": " ".join(told), "title": _title(now)}


def _title(document: Document) -> str:
    return str(document.said.get("title") or document.address)


def _field(key: str, then: Document, now: Document) -> str:
    before, after = _lines(then.said.get(key)), _lines(now.said.get(key))
    if before == after:
        return ""
    told = lines_said(before, after) or "the same lines in another order"
    return f"{capital(_WORDS.get(key, key.replace('_', ' ')))}: {told}."


def _lines(value: Any) -> list[str]:
    if value is None:
        return []
    return [_line(each) for each in value] if isinstance(value, list) else [_line(value)]


def _line(value: Any) -> str:
    """One line; of a cause or a fix its text, with what else it says: how sure it is, in which version it is carried."""
    if not isinstance(value, Mapping):
        return str(value)
    if "file" in value:
        return _picture(value)
    said = str(value.get("what") or value.get("do") or "").rstrip(".")
    beside = [
        str(each) if key == "sure" else f"{key} {each}" for key, each in value.items() if key not in ("what", "do")
    ]
    return f"{said} ({', '.join(beside)})" if beside else said


def _picture(value: Mapping[str, Any]) -> str:
    """A photo by what is said under it, with what else is noted; who may see it is no news of the failure."""
    called = str(value.get("caption") or value.get("alt") or value["file"])
    noted = [str(value[key]) for key in ("alt", "as", "view", "taken", "light", "camera") if value.get(key)]
    beside = [each for each in noted if each != called]
    return f"{called.rstrip('.')} ({', '.join(beside)})" if beside else called.rstrip(".")

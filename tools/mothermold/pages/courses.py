"""The page of a course: what is taught at which version, session by session."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from mothermold.answers.buy_text import pack_words
from mothermold.answers.changes import changes_since
from mothermold.answers.class_materials import MaterialForClass, class_materials, materials_for_class
from mothermold.answers.class_patches import StudentPatches, class_patches
from mothermold.answers.class_runs import TrippedStep, class_runs
from mothermold.answers.packs_to_buy import pack_row
from mothermold.answers.recipes import pinned_recipe
from mothermold.answers.sessions import ReadyForMeeting, ready_for_meetings
from mothermold.book.document import Document
from mothermold.model.course import Course, Question, Session
from mothermold.model.failure import Failure
from mothermold.model.names import RecipeRef
from mothermold.model.run import Run
from mothermold.model.walk import KeyPath
from mothermold.pages.content import (
    Block,
    Content,
    FieldWords,
    Fold,
    Heading,
    Icon,
    Lead,
    Remark,
    Row,
    Section,
    When,
    Words,
)
from mothermold.pages.pinned import newer_version, pinned_title, to_pair
from mothermold.pages.saying import (
    Loose,
    framed,
    joined,
    labels,
    listed,
    marked,
    numbered,
    para,
    points,
    quiet,
    said,
    section,
    table,
    words,
)
from mothermold.pages.wording import spoken
from mothermold.quantities.wording import as_read
from mothermold.trade.skin import PATCH_TEST_HOURS
from mothermold.view.needs import not_open
from mothermold.view.view import View


def content(view: View, document: Document[Course]) -> Content:
    """What the page of a course shows."""
    course, name = document.model, document.address
    ready = ready_for_meetings(view, course)
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
            section("begin", "To begin beforehand", *_begin(view, ready)),
            section(
                "sessions",
                "Sessions",
                *(_session(view, ready, *each) for each in numbered(course.sessions, "sessions")),
            ),
            section("take", "Materials for all tables", *_materials(view, course)),
            section("patches", "Consent and patch tests, by code", *_patches(view, name)),
            section("class", "What the runs of the class say", *_class_runs(view, name)),
            section("since", "What changed since", *_changed(since), anchor="since"),
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
        yield from map(_changed_note, failures)


def _changed_note(note: Mapping[str, Any]) -> Fold:
    return Fold((str(note["title"]),), (para(note["what"]), para("The note: ", Lead("failure", note["failure"]))))


def _changed_recipe(row: dict[str, Any]) -> Fold:
    before, now, sentences = row["from"], row["to"], [as_read(line.replace("*", "")) for line in row["sentences"]]
    so = f"version {before} to {now}" if before and now else f"new, version {now}" if now else row["sentences"][0]
    told = (
        para(Remark(row["why"])) if row["why"] else None,
        points(sentences) if before and now else None,
        para("The recipe: ", Lead("recipe", row["recipe"])),
    )
    return Fold((f"{row['title']}: {so}",), tuple(block for block in told if block))


def _days(count: int | None) -> str:
    return f"{count} day{'' if count == 1 else 's'}"


def _takes(each: ReadyForMeeting) -> str:
    more = f", {_days(each.longest)} at the longest" if each.longest != each.usual else ""
    return f"it takes {_days(each.usual)}{more}"


def _begin(view: View, ready: Sequence[ReadyForMeeting]) -> Iterator[Block | None]:
    """What no meeting makes, and by when to begin it."""
    rows = [each for each in ready if each.begin is not None]
    lines = (
        (
            When(each.begin.isoformat(), each.begin.isoformat()),
            ": ",
            Lead("reference", each.recipe, pinned_title(view, each.recipe)),
            quiet(f" for session {each.meeting + 1}; {_takes(each)}"),
        )
        for each in sorted(rows, key=lambda each: (str(each.begin), each.meeting))
        if each.begin is not None
    )
    yield points(lines, "plain")


def _ready_line(view: View, each: ReadyForMeeting) -> Loose:
    """Whether what an earlier meeting makes is there for this one."""
    what = Lead("reference", each.recipe, pinned_title(view, each.recipe))
    if each.ready == "that day":
        return what, " is on the face that same day; nobody wears it from one session to the next."
    if each.made_in is None or each.usual is None:
        return None
    made = f" from session {each.made_in + 1}"
    if each.between is None:
        return what, f"{made}: {_takes(each)}; when the sessions are held is not written."
    between = f"and {_days(each.between)} lie between"
    if each.ready == "is ready":
        return what, f"{made} is ready: {_takes(each)}, {between}."
    if each.ready == "may be ready":
        until = f" only if in {_days(each.between)} " + " and ".join(each.until)
        return marked("strong", what, f"{made} is ready{until}."), quiet(f" {_takes(each).capitalize()}.")
    late = f"{made} will not be ready:"
    return marked("strong", what, late), f" {_takes(each)}, {between}. Make it earlier, or meet later."


def _session(view: View, ready: Sequence[ReadyForMeeting], at: KeyPath, session: Session) -> Section:
    number = int(at[-1])
    title = said(*at, title=session.title) or "Session"
    facts = (
        said(*at, day=session.day and ("on ", session.day)),
        said(*at, tables=session.tables and f"{session.tables} tables"),
        marked("plain", framed("covers ", listed(session.covers, "; ", *at, "covers"))),
        marked("plain", framed("ready beforehand: ", listed(session.prepares, "; ", *at, "prepares"))),
    )
    lines = points(_ready_line(view, each) for each in ready if each.meeting == number)
    watch = list(_watch(view, session))
    questions = (_question(here, each) for here, each in numbered(session.questions, *at, "questions"))
    return section(
        f"session_{number + 1}",
        (f"{number + 1}. ", title),
        points(facts, "facts"),
        lines,
        Fold(words("Watch for"), (points(watch),)) if watch else None,
        points(questions, "numbered"),
    )


_MOST_WATCHED: Final = 8


def _watch(view: View, session: Session) -> Iterator[Loose]:
    """What goes wrong in what is taught, the most frequent first, with how often it did at that version."""
    notes, found = view.models(Failure), list[tuple[int, int, str, RecipeRef]]()
    for ref in session.covers:
        if (recipe := pinned_recipe(view, ref)) is None:
            continue
        named = {str(name) for step in recipe.steps for name in step.watch}
        for name in sorted(each for each in named if each in notes):
            tally = view.evidence.at(name, view.today(ref.address), recipe.version)
            found.append((-tally.failed, -tally.runs, name, ref))
    for failed, runs, name, _ref in sorted(found, key=lambda each: each[:3])[:_MOST_WATCHED]:
        often = f": {-failed} of {-runs} runs at this version" if runs else ": no run at this version yet"
        yield Lead("failure", name), quiet(often)


def _materials(view: View, course: Course) -> Iterator[Block | None]:
    """What the sessions take together, what to buy for it, and of which nobody can say how much."""
    told = class_materials(view, course)
    rows, unsure = materials_for_class(view, told)
    if rows:
        yield para(
            f"Each recipe a session teaches, done once at each of {told.tables} tables, with what stays in cups by its own word. "
            "What is weighed once for a build is weighed once for the class. Nothing is added for what goes wrong.",
            style="quiet",
        )
    columns = {"Material": "", "At one table": "number", "In all": "number"}
    if any(each.packs for each in rows):
        columns |= {"In hand": "number", "To buy": ""}
    yield table("Materials for all tables", columns, (_material(each, len(columns)) for each in rows))
    if unsure:
        # Not folded: on paper a fold stays shut.
        yield Heading(words("Not counted, and why"))
        yield points(map(Remark, unsure))


def _material(each: MaterialForClass, columns: int) -> Row:
    have = pack_words(pack_row(each.packs))[1:] if each.packs else ("", "")
    told = (Lead("material", each.name), each.one, each.whole, *have)
    return Row(tuple(map(words, told[:columns])))


def _patches(view: View, course: str) -> Iterator[Block | None]:
    """What the owner's book knows of who is patch tested; of consent and health it knows nothing."""
    told = class_patches(view, course) if view.edition == "private" else None
    if told is None:
        return
    day = f" before {told.by}, the first day something goes on" if told.by else ""
    yield para(
        "Agreed or not, and whatever anybody says of their health, stands on paper or in ", Remark("`private/`"),
        f", never here. What counts is a patch read {PATCH_TEST_HOURS} hours or more after it was put on{day}. "
        "A clear one is no promise.",
        style="quiet",
    )  # fmt: skip
    yield table(
        "Patch tests on record, by code",
        {"Code": "", "Runs": "number", "Read and clear": "", "Nothing on record": ""},
        (Row(tuple(map(words, _patched(each)))) for each in told.students),
    )
    if told.unnamed or not told.students:
        count = f"{told.unnamed} of {told.unnamed + len(told.students)}" if told.unnamed else "How many"
        yield para(
            f"{count} students are named by no run of this course yet, so of them nothing is known: "
            "nobody is cleared by not standing here.",
            style="notice warning",
        )


def _patched(each: StudentPatches) -> Iterator[Loose]:
    yield each.code
    yield each.runs
    yield joined(((Lead("material", product), quiet(f" {day}")) for product, day in each.clear), ", ") or "nothing"
    yield joined((Lead("material", product) for product in each.lacking), ", ") or "all is on record"


def _class_runs(view: View, course: str) -> Iterator[Block | None]:
    """Which step tripped how many, by version; and what somebody did otherwise that went well."""
    for each in class_runs(view, course):
        pin = f"{each.recipe}@{each.version}" if each.version else each.recipe
        well, scrapped = each.ended
        yield Heading(
            words(Lead("reference", pin, pin), quiet(f" {each.runs} runs: {well} good or usable, {scrapped} scrapped"))
        )
        yield points(_tripped(pin, each.runs, step) for step in each.tripped)
        for name, who in each.finds:
            run = view.models(Run)[name]
            yield para(
                quiet(f"Found by {who}: " if who else "Done otherwise: "),
                joined((Remark(change.note) for change in run.changed), " "),
                " ",
                Lead("run", run.id, "the run"),
            )


def _tripped(pin: str, runs: int, each: TrippedStep) -> Loose:
    step = Lead("reference", f"{pin}#{each.step}", spoken(each.step)) if each.step else "No step named"
    what = Lead("failure", each.failure) if each.failure else each.what
    return (step, ": ", what, quiet(f", {each.runs} of {runs} runs"))


def _question(at: KeyPath, each: Question) -> Words:
    answer = each.answer and marked("quiet below", each.answer)
    return said(*at, question=each.question, answer=answer)

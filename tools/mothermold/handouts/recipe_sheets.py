"""A recipe on paper: for students, who tick off, weigh and write down; for the teacher, with times and what goes wrong how often."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from mothermold.answers.evidence import tally_words
from mothermold.answers.records import runs_of, went_wrong_in
from mothermold.handouts.mix_blocks import MixBlocks
from mothermold.handouts.prose import Block, Letters
from mothermold.handouts.recipe_text import RecipeOnPaper
from mothermold.handouts.run_form import run_form
from mothermold.handouts.sheaf import SheetLeaf
from mothermold.model.failure import Failure
from mothermold.model.recipe import Use
from mothermold.pages.content import Lead, Remark
from mothermold.pages.evidence import fixes_shown, watch_records
from mothermold.pages.saying import Loose, joined, marked, quiet
from mothermold.pages.steps import StepShown
from mothermold.pages.wording import Rows
from mothermold.quantities.wording import minutes_in_words


def student_leaf(text: RecipeOnPaper, batch: MixBlocks) -> SheetLeaf:
    """A student's sheet: what can hurt first, what is at hand, what is weighed, the steps, and lines for the run."""
    blocks = [
        *text.head(), *text.why(), *text.glance(), *text.before(), *text.at_hand(), *text.surfaces(), *batch.blocks(),
        *_steps(text), *text.rest(), *run_form(text),
    ]  # fmt: skip
    return text.leaf("Student sheet", blocks)


def teacher_leaf(text: RecipeOnPaper, batch: MixBlocks) -> SheetLeaf:
    """What the teacher needs beside the students' sheet: times from the first minute on, how each step is seen to be right, and what goes wrong how often."""
    blocks = [
        *text.head(), *text.why(), *text.glance(), *_record(text), *text.before(), *_timing(text), *_troubles(text), *batch.blocks(),
        *_checks(text),
    ]  # fmt: skip
    return text.leaf("Teacher sheet", blocks)


# The steps.


def _steps(text: RecipeOnPaper) -> Iterator[Block]:
    if not text.shown:
        yield text.pen.para("No step is written down yet.", style="banner")
        return
    yield text.pen.heading("Steps")
    watched = watch_records(text.view, text.address, text.row.number)
    phase = ""
    for number, each in enumerate(text.shown, start=1):
        if each.step.phase and each.step.phase != phase:
            phase = str(each.step.phase)
            yield text.pen.para(marked("strong", phase.capitalize()), style="lead")
        yield text.pen.step(number, each.step.title, list(_step(text, each, watched)))


def _step(text: RecipeOnPaper, each: StepShown, watched: Callable[[str], str]) -> Iterator[Block]:
    pen, step = text.pen, each.step
    yield from (pen.caution(caution, brief=True) for caution in each.cautions)
    if step.with_ and not each.cautions:
        yield pen.para("The maker's instructions, the safety data sheets and the rules of your place come first.")
    if facts := text.facts(each):
        yield pen.para(quiet(facts))
    yield from pen.story(step.do)
    yield from pen.points(_use(text, *use) for use in each.uses)
    yield from pen.labels((key, quiet(str(value))) for key, value in each.rest)
    yield from (pen.para(told) for told in text.ruled.get(str(step.id), ()))
    yield from pen.pictures(step.pictures, across=3)
    if step.check:
        yield pen.framed([pen.para(marked("strong", "Right when: "), step.check)], "calm")
    if step.watch:
        yield pen.para(
            marked("strong", "Watch out: "), joined((_watch(str(name), watched) for name in step.watch), "; ")
        )
    if each.since:
        yield pen.para(
            quiet(marked("strong", f"Since version {each.since.version}: "), each.since.why or each.since.words)
        )


def _use(text: RecipeOnPaper, use: Use, words: str, rest: Rows) -> Loose:
    more = "; ".join(f"{key} {value}" for key, value in rest)
    return (marked("strong", text.titles.get(use.name, use.name)), f", {words}", f" ({more})" if more else None)


def _watch(name: str, watched: Callable[[str], str]) -> Loose:
    often = watched(name)
    return (Lead("failure", name), quiet(f" ({often})") if often else None)


# What the teacher knows besides.


def _record(text: RecipeOnPaper) -> list[Block]:
    return text.pen.labels([("Runs of this version", text.record())])


def _timing(text: RecipeOnPaper) -> Iterator[Block]:
    rows = [
        (
            str(each.place + 1),
            each.step.title,
            minutes_in_words(each.starts),
            minutes_in_words(each.hands_on) if each.hands_on else "not written",
            minutes_in_words(each.minutes - each.hands_on) if each.minutes > each.hands_on else "",
            minutes_in_words(each.ends),
        )
        for each in text.work.order
    ]
    if rows:
        yield text.pen.heading("Timing, from the first minute on")
        heads = {"": "auto", "Step": "", "Starts": "number", "Hands-on": "number", "Waits": "number", "Over": "number"}
        yield from text.pen.table(heads, rows)
        yield text.pen.para(quiet("With hands enough for everything; what nobody wrote a time for counts as none."))


def _checks(text: RecipeOnPaper) -> Iterator[Block]:
    """How each step is seen to be right, and why it is done so since when."""
    rows: list[list[Loose | Letters]] = []
    for number, each in enumerate(text.shown, start=1):
        since = f"since version {each.since.version}: " if each.since and each.since.why else ""
        why: Loose = (quiet(since), each.since.why) if since and each.since else None
        if each.step.check or why or text.ruled.get(str(each.step.id)):
            rows.append(
                [
                    f"{number}. {each.step.title}",
                    each.step.check,
                    joined((why, *text.ruled.get(str(each.step.id), ())), " "),
                ]
            )
    if rows:
        yield text.pen.heading("Right when, and why so")
        yield from text.pen.table({"Step": "", "Right when": "", "Why so": "wide"}, rows)


def _troubles(text: RecipeOnPaper) -> Iterator[Block]:
    """What goes wrong, how often, the first thing to do and what helps; what was seen in runs of this version comes first."""
    view, runs = text.view, runs_of(text.view, text.address, text.row.number)
    names = dict.fromkeys(went_wrong_in(runs)) | dict.fromkeys(
        str(name) for step in text.recipe.steps for name in step.watch
    )
    often, known = watch_records(view, text.address, text.row.number), view.models(Failure)
    rows = [(name, known[name]) for name in names if name in known]
    yield text.pen.heading("What goes wrong, and how often")
    if not rows:
        yield text.pen.para(
            "No failure note is named here and no run of this version tells of one. That is no all-clear."
        )
    for name, note in rows:
        pen = text.pen
        count = often(name) or "no run of this version counts yet"
        facts = joined((count, _before(text, name), note.harm and f"at worst: {note.harm}"), "; ")
        helps = joined(
            (Remark(fix.do) for fix in fixes_shown(view, view.evidence.of(name), note.fixes) if fix.do), "; "
        )
        yield pen.whole(
            [
                pen.heading(note.title, level=3),
                pen.para(quiet(facts)),
                *pen.points(note.now, "numbered"),
                *([pen.para(marked("strong", "What helps: "), helps)] if helps else []),
            ]
        )


def _before(text: RecipeOnPaper, name: str) -> str:
    """How often it was seen at other versions of the recipe, where runs of them count."""
    others = [
        f"version {each.version}: {tally_words(each.tally)}"
        for each in text.view.evidence.of(name).by_version
        if each.recipe == text.address and each.version != text.row.number and each.tally.runs
    ]
    return ", ".join(others)

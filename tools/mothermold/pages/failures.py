"""The page of a failure note: what to do now, where it happened, and whether its fixes held."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from typing import Final

from mothermold.answers.evidence import CAUTIONS, suspect_data
from mothermold.answers.findable import findable
from mothermold.answers.records import runs_with
from mothermold.answers.troubles import ANSWER_WORDS
from mothermold.book.document import Document
from mothermold.find.related import related
from mothermold.model.failure import Cause, Failure
from mothermold.model.walk import KeyPath
from mothermold.pages.content import Block, Content, Fold, Lead, Remark, Row, Section, Story, Tag, Widget, Words
from mothermold.pages.evidence import FixShown, fixes_shown, runs_chart
from mothermold.pages.pictures import pictures_widget
from mothermold.pages.pinned import to_pair
from mothermold.pages.runs import entries, run_line
from mothermold.pages.saying import (
    Loose,
    framed,
    labels,
    lined,
    listed,
    listing,
    marked,
    para,
    points,
    quiet,
    said,
    section,
    table,
    words,
)
from mothermold.quantities.wording import as_read
from mothermold.view.by_condition import AtCondition, by_condition
from mothermold.view.evidence import FailureRecord
from mothermold.view.sums import entry_by_entry
from mothermold.view.view import View


def content(view: View, document: Document[Failure]) -> Content:
    """What the page of a failure note shows."""
    failure, name = document.model, document.address
    record = view.evidence.of(name)
    happened = Story(("happened",), failure.happened) if failure.happened else None
    return Content(
        failure.title,
        words("Failure note"),
        said(seen_at=f"seen at {failure.seen_at}", caused_at=failure.caused_at and f", caused at {failure.caused_at}"),
        (
            _now(failure),
            section("do_not", "Do not", points(lined(failure.do_not, "do_not")), style="do-not"),
            section("symptoms", "What it looks like", *_looks(failure)),
            section("photos", "Photos", pictures_widget(failure.photos, "photos")),
            listing("causes", "Why", failure.causes, _cause),
            _helps(view, failure, record),
            section("happened", "What happened", happened),
            section("often", "How often", *_often(view, name, record)),
            section("began", "Where it may have started", *_began(view, record)),
            section("runs", "Where it happened", points(_happened(view, name), "plain runs")),
            section("like_it", "Notes like it", points(_like_it(view, name), "plain")),
        ),
    )


def _now(failure: Failure) -> Section:
    if not failure.now:
        return section("now", "", para("Nobody has written down yet what to do now.", style="banner error"))
    return section("now", "Do this now", points(lined(failure.now, "now"), "numbered"), style="rescue")


def _looks(failure: Failure) -> Iterator[Block]:
    yield points(lined(failure.symptoms, "symptoms"))
    yield para(framed("Noticed in ", listed(failure.noticed, "; ", "noticed"), "."), style="quiet")
    yield para(said(harm=failure.harm and f"At worst: {failure.harm}."), style="quiet")


def _cause(at: KeyPath, cause: Cause) -> Words:
    return said(*at, what=cause.what, sure=cause.sure and (" ", quiet(f"({cause.sure})")))


# What helps.


def _helps(view: View, failure: Failure, record: FailureRecord) -> Section:
    fixes = fixes_shown(view, record, failure.fixes)
    failed = fixes and all(fix.verdict in ("worse", "no better") for fix in fixes)
    none_yet = None if fixes else para(Tag("no fix yet", "open"), " No fix is known yet.")
    held = "Counted over the runs this edition holds." if record.fixes and view.edition != "private" else ""
    prevent = failure.prevent and said(prevent=(marked("strong", "To prevent it:"), " ", failure.prevent))
    return section(
        "fixes",
        "What was tried" if failed else "What helps",
        points((_fix(fix, number, len(failure.fixes)) for number, fix in enumerate(fixes)), "plain fixes"),
        none_yet,
        para(held, style="quiet"),
        points(CAUTIONS, _CAUTIONS) if record.fixes else None,
        para(prevent),
    )


_CAUTIONS: Final = "quiet small-samples"
_METHODS: Final = (
    "Rates with Wilson's 95 % interval, their difference with Newcombe's, p by Fisher's exact test, one-sided."
)


def _fix(fix: FixShown, number: int, noted: int) -> Words:
    """A fix, its record, and the working; those after the note's own are said by a recipe alone."""
    where = (" ", quiet("in " if fix.do else "", Lead("reference", fix.recipe))) if fix.recipe else None
    working = Fold(("Show the working",), (labels(*fix.working), para(_METHODS, style="quiet")), "working")
    return words(
        Tag(ANSWER_WORDS[fix.verdict], fix.verdict) if fix.verdict else None,
        said("fixes", number, do=fix.do and Remark(fix.do), in_=where) if number < noted else where,
        marked("record", fix.words, ".") if fix.words else None,
        working if fix.working else None,
    )


# What the runs say.


def _often(view: View, name: str, record: FailureRecord) -> Iterator[Block | None]:
    if not record.by_version:
        return
    runs, hurt = view.evidence.runs_of(name), record.is_hurt
    chart = None if hurt else runs_chart(view, record, runs)
    yield Widget("chart", chart) if chart else None
    counted = {"Runs": "number"} if not hurt else {}
    rows = (
        Row(
            (
                words(Lead("recipe", each.recipe)),
                words(Lead("reference", f"{each.recipe}@{each.version}", f"v{each.version}")),
                *([words(each.tally.runs)] if counted else []),
                words(each.tally.failed),
            )
        )
        for each in record.by_version
    )
    yield table("How often, by version", {"Recipe": "", "Version": "number", **counted, "Went wrong": "number"}, rows)
    held = "" if view.edition == "private" else " that this edition holds"
    proof = "Somebody was hurt: clean faces are not counted, for they prove nothing for the next one."
    few = "A few runs prove little."
    yield para(
        f"Runs with an outcome{held}; first pulls and tests are left out. {proof if hurt else few}", style="quiet"
    )
    if not hurt and (conditions := by_condition(runs)):
        yield _by_condition(conditions)


def _by_condition(conditions: Sequence[AtCondition]) -> Fold:
    rows = (
        Row(
            (
                words(each.what, " ", marked("bold", as_read(each.value))),
                words(each.tally.runs),
                words(each.tally.failed),
            )
        )
        for each in conditions
    )
    counts = table("How often, by what was noted", {"Noted": "", "Runs": "number", "Went wrong": "number"}, rows)
    both = para("Counts only. A run with two lots stands with both.", style="quiet")
    return Fold(("By room, mold, lot and hands",), (counts, both, points(CAUTIONS, _CAUTIONS)), "working")


def _began(view: View, record: FailureRecord) -> Iterator[Block | None]:
    for each in map(partial(suspect_data, view), record.beginnings):
        recipe, before, clean = each["recipe"], each["last_clean_version"], each["clean_runs_before"]
        some = f"{clean} {'run' if clean == 1 else 'runs'} up to v{before} did not"
        so = f", v{before} does not show it" if record.is_hurt else f"; {some}"
        one = ", and one clean run is no proof" if clean == 1 and not record.is_hurt else ""
        lead = Lead("reference", f"{recipe}@{each['version']}")
        yield para(lead, f" has it{so}{one}. What changed between the two may have brought it:")
        yield points((as_read(line.replace("*", "")) for line in each["changes"]), "changes")
        if not each["changes"]:
            yield para("Only wording changed, or a text cannot be read.", style="quiet")
        pair = to_pair(view, recipe, before, each["version"], "Compare the two versions")
        yield para(pair) if pair else None


def _happened(view: View, name: str) -> Iterator[Loose]:
    happened = runs_with(view, name)
    for entry, (_, went) in zip(entries(view, [run for run, _ in happened]), happened, strict=True):
        note = went.note and marked("below", went.note)
        yield run_line(entry), went.harm and (" ", quiet(went.harm)), note


def _like_it(view: View, name: str) -> list[Loose]:
    return [Lead("failure", each) for each in _neighbors(view).get(name, ())]


@entry_by_entry("like-it")
def _neighbors(view: View) -> Mapping[str, list[str]]:
    return {name: [each.id for each in near] for name, near in related(findable(view).index, "failure").items()}

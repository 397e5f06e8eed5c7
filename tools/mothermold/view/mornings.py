"""What was said on the morning after a day in the chair, before somebody is glued again.

The book keeps two words, *available* or *not available*, and they stay with the owner. How the skin was is no business of a book;
it is written, where the wearer agrees, in the closed folder. Asking by nine the next morning is common practice, no source; why
a reaction is looked for after the day itself is told in ``trade.skin``. That nobody said anything is said, and is never an answer.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from datetime import date

from mothermold.book.document import Document
from mothermold.book.files import build_of
from mothermold.ground.notices import Notice
from mothermold.model.build import Build, WornDay
from mothermold.model.run import MorningAfter, Run
from mothermold.view.ruling import Ruling


def morning_after(runs: Iterable[Run], looks: Collection[str], day: date) -> MorningAfter | None:
    """What the runs of a day say of the morning after; where they disagree, that somebody was not available.

    Args:
        runs: The runs of a build.
        looks: The looks of the wearer who is asked about.
        day: The day that was worn.
    """
    said = {each.morning_after for each in runs if each.day == day and str(each.look) in looks}
    return "not available" if "not available" in said else "available" if "available" in said else None


def worn_before(build: Build, runs: Sequence[Run], wearer: str, day: date) -> date | None:
    """The last day before this one on which a wearer had a look of the build on, as runs say; None where none did."""
    looks = looks_of(build, wearer)
    return max((each.day for each in runs if each.day and each.day < day and str(each.look) in looks), default=None)


def looks_of(build: Build, wearer: str) -> frozenset[str]:
    """The looks of a wearer."""
    return frozenset(str(each.id) for each in build.looks if build.wearer_of(each) == wearer)


def cleared_since(build: Build, wearer: str, since: date, before: date) -> bool:
    """Whether a patch test of a wearer was read after a day and before another."""
    return any(each.wearer == wearer and each.on and since < each.on < before for each in build.cleared)


def find_morning_faults(document: Document, ruling: Ruling, faulty: Collection[str | None]) -> Iterator[Notice]:
    """A next day in the chair after a morning of which nobody said anything, or on which the wearer was not available.

    What was worn since is past: only the next day that no run tells of yet is spoken of.

    Args:
        document: A build; of nothing else anything is said.
        ruling: Knows the documents of the book.
        faulty: Files with a slip in them: that comes first.
    """
    build = document.model
    if not isinstance(build, Build) or document.file in faulty or not build.days:
        return
    runs = [
        each.model
        for each in ruling.documents.on("run").values()
        if isinstance(each.model, Run) and build_of(each.file) == document.address
    ]
    told = set[str]()
    for place, day in sorted(enumerate(build.days), key=lambda each: each[1].day):
        wearer = _wearer(build, day)
        if wearer is None or wearer in told or any(each.day and each.day >= day.day for each in runs):
            continue
        told.add(wearer)
        before = worn_before(build, runs, wearer, day.day)
        if before is not None:
            said = morning_after(runs, looks_of(build, wearer), before)
            is_answered = said == "not available" and cleared_since(build, wearer, before, day.day)
            if said != "available" and not is_answered:
                yield _notice(document, (place, day.day), said, f"`{before}`", f"`{wearer}`")


def _wearer(build: Build, day: WornDay) -> str | None:
    look = next((each for each in build.looks if each.id == day.look), None)
    return build.wearer_of(look) if look is not None else None


def _notice(document: Document, when: tuple[int, date], said: MorningAfter | None, before: str, wearer: str) -> Notice:
    path, day = ("days", when[0], "day"), when[1]
    if said is None:
        return document.notice(
            "morning-not-asked",
            f"Nobody said whether {wearer} was available on the morning after {before}, and is in the chair again on `{day}`.",
            "Ask the wearer alone; type `morning_after: available` or `not available` in a run of that day, and no reason.",
            path,
            severity="advice",
        )
    return document.notice(
        "not-available",
        f"On the morning after {before} {wearer} was not available, and is in the chair again on `{day}`.",
        "Nothing is glued before a doctor has looked and a new patch test is read and clear; type that under `cleared:`.",
        path,
        severity="warning",
    )

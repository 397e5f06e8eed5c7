"""What became of a day in the chair: its times beside the planned ones, what was mended where and when, what held, what is to change.

Nothing is added up that runs do not say. Where a run noted no time, none stands there.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time

from mothermold.answers.day_sheet import DaySheet, LookDay
from mothermold.answers.pieces import Piece, pieces_of
from mothermold.model.failure import Failure
from mothermold.model.names import FailureRef
from mothermold.model.pictures import Picture
from mothermold.model.run import DayMoment, Run, TouchUp, UsedPiece, WentWrong
from mothermold.view.mornings import looks_of, morning_after
from mothermold.view.view import View


@dataclass(frozen=True, slots=True)
class TimeRow:
    """A moment of the day as planned and as it was.

    Attributes:
        what: What.
        planned: When it was to be.
        real: When it was.
    """

    what: str
    planned: datetime | None
    real: datetime | None

    @property
    def late(self) -> int | None:
        """By how many minutes it was later than planned; less than nought where earlier, None where either is not known."""
        if self.planned is None or self.real is None:
            return None
        return round((self.real.replace(tzinfo=None) - self.planned.replace(tzinfo=None)).total_seconds() / 60)


@dataclass(frozen=True, slots=True)
class WornPiece:
    """A piece that was worn.

    Attributes:
        run: The run that says so.
        used: What it says.
        piece: The piece, with the run it was cast in; None where no casting is known.
    """

    run: Run
    used: UsedPiece
    piece: Piece | None


@dataclass(frozen=True, slots=True)
class ToChange:
    """What is to change before the next day, after a failure.

    Attributes:
        failure: The note.
        title: What it is called.
        prevent: What it says prevents it; empty where it says nothing.
        answered: The recipe versions that answer it and that the look does not name yet.
    """

    failure: FailureRef
    title: str
    prevent: str
    answered: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class DayRecord:
    """The record of a look on a day.

    Attributes:
        runs: What was done, oldest first.
        is_over: Whether the pieces are off, or the day has a run with an outcome and a later day has begun.
        times: Moments of the day.
        steps: The steps as planned and as they were done.
        mended: Touch-ups, with the run, by the clock.
        moments: Meals, breaks, photos, notes, likewise.
        wrong: What went wrong, with the run.
        pieces: The pieces worn.
        photos: The photos of the runs.
        change: What is to change.
        changed: What was done differently from the recipes.
        morning: What was said on the morning after; None where nobody said anything.
    """

    runs: tuple[Run, ...]
    is_over: bool
    times: tuple[TimeRow, ...]
    steps: tuple[TimeRow, ...]
    mended: tuple[tuple[Run, TouchUp], ...]
    moments: tuple[tuple[Run, DayMoment], ...]
    wrong: tuple[tuple[Run, WentWrong], ...]
    pieces: tuple[WornPiece, ...]
    photos: tuple[Picture, ...]
    change: tuple[ToChange, ...]
    changed: tuple[tuple[Run, str, str], ...]
    morning: str | None


def day_record(view: View, sheet: DaySheet, look: LookDay, today: date | None) -> DayRecord | None:
    """What became of a look on a day; None where no run tells of it.

    Args:
        view: The edition.
        sheet: The day.
        look: The look.
        today: The day it is; None where nobody knows.
    """
    runs = tuple(each for each in sheet.runs if each.look in (None, look.look.id))
    if not runs:
        return None
    stages = {id(each): _stage(view, each) for each in runs}
    off = [each for each in runs if stages[id(each)] == "removal"]
    known = {str(each.kept.piece): each for each in pieces_of(view, sheet.name)}
    mended = sorted(((run, each) for run in runs for each in run.touch_ups), key=lambda each: _order(look, each[1].at))
    moments = sorted(((run, each) for run in runs for each in run.moments), key=lambda each: _order(look, each[1].at))
    every = view.evidence.lineage.of_build(sheet.name)
    return DayRecord(
        runs,
        bool(off and all(each.outcome or each.finished for each in off)) or (today is not None and sheet.day < today),
        tuple(_times(sheet, look, runs, stages)),
        tuple(_steps(view, sheet, look, runs)),
        tuple(mended),
        tuple(moments),
        tuple((run, each) for run in runs for each in run.went_wrong),
        tuple(WornPiece(run, each, known.get(str(each.piece))) for run in runs for each in run.used),
        tuple({str(each.file): each for run in runs for each in run.photos}.values()),
        tuple(_to_change(view, sheet, look, runs)),
        tuple((run, str(each.step or ""), str(each.note)) for run in runs for each in run.changed),
        morning_after(every, looks_of(sheet.build, look.wearer) or {str(look.look.id)}, sheet.day),
    )


def _stage(view: View, run: Run) -> str:
    return view.today(run.recipe.address).partition("/")[0] if run.recipe is not None else ""


def _order(look: LookDay, at: time | None) -> tuple[bool, time]:
    """By the clock from the chair on: what is earlier than the chair was after midnight."""
    return at is None or (look.day.chair is not None and at < look.day.chair), at or time.max


def _times(sheet: DaySheet, look: LookDay, runs: Sequence[Run], stages: dict[int, str]) -> Iterator[TimeRow]:
    on, wear, off = (
        [each for each in runs if stages[id(each)] == stage] for stage in ("application", "wear", "removal")
    )
    clock, rows = look.clock, [row for row in sheet.clock.rows if row.look == look.look.id]
    last = max((row.end for row in rows if row.stage == "removal"), default=None)
    wrap = next((row.end for row in rows if row.stage == "wear"), None)
    yield TimeRow("In the chair", clock.chair, min((each.started for each in on), default=None))
    yield TimeRow("Ready", clock.ready, max((each.finished for each in on if each.finished), default=None))
    begun = min((each.started for each in off), default=None)
    worn_to = max(
        (each.finished for each in wear if each.finished and each.finished.date() == each.started.date()), default=None
    )
    yield TimeRow("Wrap", wrap if look.day.wrap else None, begun or worn_to)
    yield TimeRow("All off, skin washed", last, max((each.finished for each in off if each.finished), default=None))


def _steps(view: View, sheet: DaySheet, look: LookDay, runs: Iterable[Run]) -> Iterator[TimeRow]:
    """The steps of which somebody noted when they were done, beside when they were to be."""
    planned = {}
    for row in sheet.clock.rows:
        if row.look == look.look.id and row.step is not None:
            address, _, step = row.recipe.partition("#")
            planned[(view.today(address.partition("@")[0]), step)] = row
    for run in runs:
        address = view.today(run.recipe.address) if run.recipe is not None else ""
        for each in run.took:
            at = planned.get((address, str(each.step)))
            if each.done is not None and at is not None:
                yield TimeRow(at.title, at.end, each.done)


def _to_change(view: View, sheet: DaySheet, look: LookDay, runs: Iterable[Run]) -> Iterator[ToChange]:
    """What the notes of the day's failures say, and the versions that answer them and that the look does not name as it stands."""
    named = {
        view.today(ref.address): int(ref.version or 0)
        for each in sheet.build.looks
        if each.id == look.look.id
        for ref in each.recipes.values()
    }
    for ref in dict.fromkeys(each.failure for run in runs for each in run.went_wrong if each.failure):
        note = view.models(Failure).get(str(ref))
        if note is None:
            continue
        newer = [
            f"{address}@{row.number}"
            for address, number in named.items()
            if (versions := view.versions(address)) is not None
            for row in versions.rows
            if row.number > number and row.status == "locked" and row.recipe and str(ref) in map(str, row.recipe.fixes)
        ]
        yield ToChange(ref, str(note.title), str(note.prevent or ""), tuple(newer))

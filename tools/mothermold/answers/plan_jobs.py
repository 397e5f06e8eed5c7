"""What is left to do for a build, as jobs: each the making of one thing, or of one piece's share of it, by its recipe.

What runs say is done is done. A thing that ended good or usable is not made again, unless it is a mold and nothing can be cast in it
any more; a sculpture goes with the mold that was made over it (common practice, no source). Of a run under way the steps that
are noted as done are left out.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from mothermold.answers.done_things import WELL, DoneThings
from mothermold.answers.molds import DRYING
from mothermold.answers.pieces_wanted import (
    Castings,
    WantedPiece,
    castings_needed,
    chain_of,
    is_per_piece,
    stage_of,
)
from mothermold.model.build import Build, Thing, WornDay
from mothermold.model.mold import Mold
from mothermold.model.recipe import Recipe
from mothermold.model.run import Run
from mothermold.reckon.work import Work, work_of
from mothermold.view.view import View


@dataclass(frozen=True, slots=True)
class Job:
    """Making one thing, or one piece's share of it.

    Attributes:
        id: Its name in the plan.
        thing: The thing of the build.
        recipe: The recipe and version, as the build names it.
        work: The recipe's work.
        done: Steps that are done, or done by another job.
        after: The jobs it waits for.
        ready: When it can begin, where that is later than now.
        due: The day in the chair it is for; None where nothing is made of it that is worn.
        look: The look it is for.
        mold: The mold it is cast in; empty where it is cast in none.
        piece: The label of the piece that is worked on, where it exists already.
        kind: Which kind of piece.
        wearer: For whom.
        once: By step that is done once: the job that does it.
        is_spare: Whether it is only for a spare.
    """

    id: str
    thing: str
    recipe: str
    work: Work
    done: frozenset[str] = frozenset()
    after: tuple[str, ...] = ()
    ready: datetime | None = None
    due: WornDay | None = None
    look: str = ""
    mold: str = ""
    piece: str = ""
    kind: str = ""
    wearer: str = ""
    once: tuple[tuple[str, str], ...] = ()
    is_spare: bool = False


@dataclass(frozen=True, slots=True)
class Jobs:
    """All that is left to do.

    Attributes:
        jobs: By name.
        unread: Things whose recipe no text is known of.
        begun: Runs under way of which nothing says which steps are done.
        castings: What must be cast.
    """

    jobs: Mapping[str, Job]
    unread: tuple[str, ...]
    begun: tuple[str, ...]
    castings: tuple[Castings, ...]


def job_of(task: str) -> str:
    """The name of the job a task belongs to: tasks are called by their job and their sitting, ``face 1/fill``."""
    return task.rpartition("/")[0] or task


def jobs_of(
    view: View, name: str, today: date, spares: Mapping[str, int] | None = None, molds: Mapping[str, int] | None = None
) -> Jobs:
    """The jobs a build has left.

    Args:
        view: The book.
        name: The build.
        today: Days before it are past, and runs after it are not known.
        spares: Other numbers of spare sets than the looks say, by look.
        molds: How many further molds there shall be, by thing.
    """
    return _Jobs(view, name, today, spares or {}, molds or {}).found()


class _Jobs:
    def __init__(self, view: View, name: str, today: date, spares: Mapping[str, int], molds: Mapping[str, int]) -> None:
        self._view, self._name, self._today, self._more = view, name, today, molds
        self._build: Build = view.models(Build)[name]
        self._things = {str(each.id): each for each in self._build.things}
        self._castings = castings_needed(view, name, today, spares)
        self._done = DoneThings(view, name, today)
        self._jobs: dict[str, Job] = {}
        self._unread: dict[str, None] = {}
        self._begun: dict[str, None] = {}
        self._pieces: set[str] = set()
        self._for: dict[tuple[str, str, int], str] = {}
        """By thing, casting and number of the piece, the job that makes it."""

    def found(self) -> Jobs:
        for each in self._castings:
            self._of_pieces(each)
        for name in self._things:
            if name not in self._pieces:
                self._single(name)
        self._wire()
        return Jobs(self._once(), tuple(self._unread), tuple(self._begun), self._castings)

    def _work(self, thing: Thing) -> Work | None:
        recipe: Recipe | None = self._view.ruling.text(thing.recipe)
        if recipe is None:
            self._unread[str(thing.id)] = None
            return None
        return work_of(recipe)

    # Pieces.

    def _of_pieces(self, castings: Castings) -> None:
        """A job for each casting, and one for each piece at each thing that is made of it."""
        root = castings.thing
        chain = [each for each in chain_of(self._build, root) if each != root]
        self._pieces |= {root, *chain}
        under_way = [each for each in self._done.of_thing(root) if each.outcome is None and each.kind != "test"]
        told: dict[str, int] = {}
        for number, wanted in enumerate(castings.wanted):
            piece, casting = castings.in_hand[number], castings.casting[number]
            if casting is not None:
                self._for[root, root, number] = name = f"{root} {casting + 1}"
                run = under_way[casting] if casting < len(under_way) else None
                self._add(name, root, wanted, run=run, mold=self._mold_for(root, casting))
                label = f"{casting + 1} {wanted.kind}".strip()
                told[label] = told.get(label, 0) + 1
                label += (
                    f" {'abcdefghijklmnopqrstuvwxyz'[(told[label] - 1) % 26]}" if castings.yields != {"": 1} else ""
                )
            else:
                label = str(piece.kept.piece) if piece is not None else ""
            for thing in chain:
                if piece is None or not self._done.has_been(piece, self._things[thing]):
                    self._for[thing, root, number] = name = f"{thing} {label}"
                    self._add(name, thing, wanted, piece=str(piece.kept.piece) if piece is not None else "")

    def _add(
        self,
        name: str,
        thing: str,
        wanted: WantedPiece | None,
        *,
        run: Run | None = None,
        mold: str = "",
        piece: str = "",
    ) -> None:
        told = self._things[thing]
        if name in self._jobs or (work := self._work(told)) is None:
            return
        done, ready = self._left_of(run, work) if run is not None else (frozenset[str](), None)
        self._jobs[name] = Job(
            name, thing, str(told.recipe), work, done, (), ready, wanted.day if wanted else None, wanted.look if wanted else "",
            mold, piece, wanted.kind if wanted else "", str(told.wearer or ""), (), wanted is not None and wanted.is_spare,
        )  # fmt: skip

    # What is made once.

    def _single(self, name: str) -> None:
        if self._done.is_done(name):
            self._after_drying(name)
            return
        begun = [each for each in self._done.of_thing(name) if each.outcome is None and each.kind != "test"]
        self._add(name, name, None, run=begun[-1] if begun else None)
        for number in range(self._more.get(name, 0)):
            self._add(f"{name} {number + 2}", name, None)

    def _after_drying(self, name: str) -> None:
        """What is left of a mold that was made and is still drying."""
        run = next((each for each in reversed(self._done.of_thing(name)) if each.outcome in WELL), None)
        molds = self._done.molds(name)
        if run is None or not molds or any(self._view.models(Mold)[each].state != DRYING for each in molds):
            return
        work = self._work(self._things[name])
        until = [each for each in work.order if each.step.until is not None] if work is not None else []
        if work is None or not until:
            return
        done = frozenset(each.step.id for each in work.order if until[-1].step.id not in each.before)
        ended = run.finished or run.started
        self._jobs[name] = Job(
            name,
            name,
            str(self._things[name].recipe),
            work,
            done,
            (),
            ended + timedelta(minutes=float(until[-1].waits)),
        )

    def _mold_for(self, thing: str, casting: int) -> str:
        """The mold of a casting: where there are several each gets the next."""
        source = next(
            (
                each
                for each in map(str, self._things[thing].from_)
                if each in self._things and not is_per_piece(self._things[each])
            ),
            "",
        )
        if not source or stage_of(self._things[source].recipe) != "mold":
            return ""
        named = self._done.molds(source) or [source]
        named += [f"{source} {number + 2}" for number in range(self._more.get(source, 0))]
        return named[casting % len(named)]

    def _left_of(self, run: Run, work: Work) -> tuple[frozenset[str], datetime | None]:
        """The steps of a run under way that are done, and when the waiting of the last of them is over."""
        noted = {str(each.step): each.done for each in run.took if each.done is not None}
        if not noted:
            self._begun[str(run.id)] = None
        done = frozenset(noted) | {name for each in noted if each in work.named for name in work.named[each].before}
        over = [
            moment + timedelta(minutes=float(work.named[name].waits))
            for name, moment in noted.items()
            if name in work.named
        ]
        return done, max(over, default=None)

    # What waits for what.

    def _wire(self) -> None:
        """Lets each job wait for those that make what it is made from; what nothing left is made from is left out."""
        after: dict[str, dict[str, None]] = {name: {} for name in self._jobs}
        for (thing, root, number), name in self._for.items():
            for source in map(str, self._things[thing].from_):
                if name in after and self._for.get((source, root, number)) in after:
                    after[name][self._for[source, root, number]] = None
        for name, job in self._jobs.items():
            for source in map(str, self._things[job.thing].from_):
                if source not in self._pieces:
                    # A casting waits for its own mold, everything else for all there are.
                    own = [job.mold] if job.mold in self._jobs and self._jobs[job.mold].thing == source else []
                    after[name] |= dict.fromkeys(
                        own or [key for key, other in self._jobs.items() if other.thing == source]
                    )
        jobs = {name: replace(job, after=tuple(after[name])) for name, job in self._jobs.items()}
        sources = {str(source) for thing in self._things.values() for source in thing.from_}
        needed = {name for name, job in jobs.items() if job.due is not None or job.thing not in sources}
        while more := {each for name in needed for each in jobs[name].after} - needed:
            needed |= more
        self._jobs = {name: job for name, job in jobs.items() if name in needed}

    def _once(self) -> dict[str, Job]:
        """What is done once is done by the first job that has it, and by no other; what a run did is not done again."""
        by: dict[tuple[str, ...], str] = {}
        order = sorted(
            self._jobs.values(), key=lambda each: (each.due.day if each.due else date.min, each.is_spare, each.id)
        )
        found = dict(self._jobs)
        for job in order:
            mine: list[tuple[str, str]] = []
            for each in job.work.order:
                if each.step.once is None or each.step.id in job.done:
                    continue
                of = {"wearer": job.wearer, "mold": job.mold or job.id, "build": ""}[each.step.once]
                key = (job.recipe.partition("@")[0], str(each.step.id), of)
                if self._done.was_done_once(job.recipe, job.mold if each.step.once == "mold" else None):
                    mine.append((str(each.step.id), ""))
                elif by.setdefault(key, job.id) != job.id:
                    mine.append((str(each.step.id), by[key]))
            found[job.id] = replace(job, once=tuple(mine), done=job.done | {step for step, _by in mine})
        return found

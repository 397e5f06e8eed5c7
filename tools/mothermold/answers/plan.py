"""When what is done for a build: backward from its days in the chair, or forward from a moment."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime, timedelta
from typing import Annotated, Any, Final

from mothermold.answers.best_plan import BestPlan, LateThing, best_plan, shortest_plan, what_is_late
from mothermold.answers.plan_calendar import calendar_text
from mothermold.answers.plan_project import Assumed, BuildProject
from mothermold.answers.plan_rows import PlanRow, assumed_words, plan_rows
from mothermold.answers.plan_text import plan_text
from mothermold.answers.plannable import FEWER, MOST_SITTINGS, unplannable
from mothermold.answers.question import Typed, argument, option, question
from mothermold.answers.result import Result
from mothermold.book.document import Document
from mothermold.ground.errors import CannotRunError, RefusedError, refused
from mothermold.ground.notices import Notice
from mothermold.ground.words import in_words, nearest
from mothermold.model.build import Build, WornDay
from mothermold.model.run import Run
from mothermold.reckon.solved_plan import has_solver
from mothermold.view.view import View

EMPTY: dict[str, Any] = {
    "build": None, "start": None, "end": None, "makespan_h": None, "tasks": [], "late": [], "title": None, "today": None,
    "castings": [], "assumes": [],
}  # fmt: skip
INSTALL: Final = (
    "A plan needs the part for planning, which is not installed. Type `pip install 'mothermold[plan]'`, then ask again."
)
_NAMED: Final = 4


@question("plan", empty=EMPTY, text=plan_text, page="plans/BUILD.html", also={"ics": calendar_text})
def plan_build(
    view: View,
    build: Annotated[str, argument("BUILD", "the build, like saltpan-keeper")],
    start: Annotated[
        Typed,
        option(
            "MOMENT", "forward from here, as soon as can be, like '2026-03-02 09:00'; default: backward from the days"
        ),
    ] = None,
    today: Annotated[Typed, option("DAY", "as if it were this day; default: the day of the newest save")] = None,
    move: Annotated[
        Typed, option("DAY=DAY", "as if a day in the chair were on another, like 2026-06-18=2026-06-25")
    ] = None,
) -> Result:
    """The plan of a build, or what in it comes too late and what would mend that.

    Args:
        view: The book.
        build: The build's name.
        start: From when on, forward.
        today: The day it is.
        move: A day in the chair, and the day it is moved to.

    Raises:
        CannotRunError: The extra for planning is not installed.
        RefusedError: ``unknown-build``, ``bad-moment``, ``no-days``, ``only-private``; its own notices where it cannot be read.
    """
    if not has_solver():
        raise CannotRunError(INSTALL)
    if view.edition != "private":
        raise refused(
            "only-private",
            "A plan is made from everything the book knows, so it is for the owner alone.",
            "Ask without `--for`.",
        )
    document = _build(view, build)
    moment = _moment(start) if start is not None else None
    day = _day("--today", today) if today is not None else day_of(view)
    if moment is not None:
        day = moment.date()
    return planned(view, document, day, moment, _moved(document, move) if move is not None else Assumed())


def planned(
    view: View,
    document: Document[Build],
    day: date,
    moment: datetime | None = None,
    assumed: Assumed | None = None,
    *,
    says_why: bool = True,
) -> Result:
    """The same for whoever has the build at hand.

    Args:
        view: The book, in the private edition.
        document: The build.
        day: Today.
        moment: Where it is planned forward from.
        assumed: What is assumed beyond the book.
        says_why: Whether it is worked out what is late, and what would help, where there is no plan: that takes many plans.
    """
    assumed = assumed or Assumed()
    if (why := unplannable(document.model, day)) is not None:
        raise refused("not-plannable", f"This build cannot be planned: {why[0]}.", why[1])

    def planning(other: Assumed) -> BuildProject:
        return BuildProject(view, document, day, other)

    made = planning(assumed)
    head = {
        **EMPTY, "build": document.address, "title": str(document.model.title), "today": day.isoformat(),
        "castings": [{"thing": each.thing, "cast": each.to_cast, "in_hand": sum(1 for piece in each.in_hand if piece)} for each in made.jobs.castings],
    }  # fmt: skip
    notices = [*view.touching({document.file}), *_about(document, made)]
    if not made.days and moment is None:
        return Result(head, (*notices, *_nothing_left(document, made)))
    if sum(len(each.every) for each in made.sittings.values()) > MOST_SITTINGS:
        raise refused(
            "not-plannable", "This build cannot be planned: it has more work left than a plan can hold.", FEWER
        )
    plan = shortest_plan(made, made.hours.at(moment)) if moment is not None else best_plan(made)
    if plan is None:
        late = list(map(_late, what_is_late(planning, assumed))) if says_why else []
        return Result({**EMPTY, "late": late}, tuple(notices), ok=False)
    late = list(_supplied_late(document, made)) if moment is None else []
    if late:
        return Result({**EMPTY, "late": late}, tuple(notices), ok=False)
    rows = plan_rows(plan) if moment is None else [row for row in plan_rows(plan) if not row.get("chair")]
    return Result(
        {**head, **_ends(rows), "tasks": rows, "assumes": assumed_words(plan, rows, forward=moment is not None)},
        (*notices, *(_too_late_forward(document, plan) if moment is not None else ())),
    )


def day_of(view: View) -> date:
    """Today, as far as a book knows: the day of its newest save; where nothing is saved, of its newest run.

    Raises:
        RefusedError: ``today-not-known``.
    """
    if view.day is not None:
        return view.day
    names = view.evidence.lineage.names
    if names:
        return view.models(Run)[names[-1]].started.date()
    raise refused(
        "today-not-known",
        "Nothing of this book is saved and no run is written, so which day it is cannot be told.",
        "Ask with `--today 2026-03-02`, or save the book first.",
    )


def _build(view: View, asked: str) -> Document[Build]:
    name = asked.strip().removeprefix("recipes/").removeprefix("builds/").removesuffix(".yaml").removesuffix("/build")
    document = view.on("build").get(name)
    if document is None:
        near = nearest(name, view.on("build"))
        every = in_words(sorted(view.on("build"))[:_NAMED]) if view.on("build") else ""
        raise refused(
            "unknown-build",
            f"No build is called `{name}` here.",
            f"Did you mean `{near}`?"
            if near
            else f"Type one of {every}."
            if every
            else "Type `mothermold new build` to begin one.",
        )
    if document.model is None:
        raise RefusedError(*document.notices)
    return view.of(Build)[name]


def _day(option_name: str, text: str) -> date:
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        raise refused("bad-moment", f"`{text}` after `{option_name}` is no day.", "Type it as `2026-03-02`.") from None


def _moment(text: str) -> datetime:
    try:
        found = datetime.fromisoformat(text.strip())
    except ValueError:
        raise refused(
            "bad-moment", f"`{text}` after `--start` is no moment.", "Type it as `'2026-03-02 09:00'`."
        ) from None
    return found.replace(tzinfo=None)


def _moved(document: Document[Build], text: str) -> Assumed:
    before, equals, after = text.partition("=")
    if not equals:
        raise refused(
            "bad-moment",
            f"`{text}` after `--move` does not say what becomes what.",
            "Type it as `2026-06-18=2026-06-25`.",
        )
    day, other = _day("--move", before), _day("--move", after)
    if day not in {each.day for each in document.model.days}:
        days = (
            in_words([each.day.isoformat() for each in document.model.days][:_NAMED]) if document.model.days else "none"
        )
        raise refused(
            "bad-moment", f"On {day.isoformat()} nobody sits in the chair in this build.", f"Its days are {days}."
        )
    return Assumed(moved={day: other})


def _ends(rows: Sequence[PlanRow]) -> PlanRow:
    if not rows:
        return {}
    start, end = min(row["start"] for row in rows), max(row["waits_until"] or row["end"] for row in rows)
    length = datetime.fromisoformat(end) - datetime.fromisoformat(start)
    return {"start": start, "end": end, "makespan_h": length / timedelta(hours=1)}


def _late(each: LateThing) -> PlanRow:
    return {"thing": each.thing, "by_min": each.by_min, "remedy": each.remedy, "what_for": each.what_for}


# What the plan cannot know, and what it leaves out.


def _about(document: Document[Build], made: BuildProject) -> Iterator[Notice]:
    build, jobs = made.build, made.jobs
    if not made.hours.is_known:
        yield Notice(
            "hours-not-known", "advice", "The book does not say when anybody works, so the plan takes Monday to Friday, 09:00 to 18:00.",
            "Type `hours:` in the settings, such as `mon: 09:00-18:00`.", file="recipes/book.yaml",
        )  # fmt: skip
    silent = [
        f"{job.recipe}#{each.step.id}"
        for job in jobs.jobs.values()
        for each in job.work.order
        if each.step.id not in job.done
        and (each.step.hands_on is None or (each.step.until is not None and each.step.until.usual is None))
    ]
    if silent:
        yield document.notice(
            "time-not-known",
            f"How long {_some(silent)} takes is not written, so the plan has no time for it.",
            "Type `hands_on` at the step, and where it waits for something what is `usual`; locked recipes get it in their next version.",
            (),
            severity="advice",
        )  # fmt: skip
    told = [f"the thing `{each}`: the book has no text of its recipe" for each in jobs.unread]
    told += [f"the run `{each}` counts as not begun: it does not say which steps are done" for each in jobs.begun]
    things = {str(each.id) for each in build.things}
    told += [
        f"the sign-off of `{each.what}`: no thing is called so"
        for each in build.approvals
        if str(each.what).strip().casefold() not in things and made.days and each.due
    ]
    told += [
        f"the chair of the look `{look.id}`: it names no application"
        for look in build.looks
        if not look.application and _is_worn(look.id, made.days)
    ]
    told += [
        f"the removal on {each.day.isoformat()} follows at once: when it is wrapped is not written"
        for each in made.days
        if each.wrap is None
    ]
    for words in told:
        yield document.notice(
            "not-planned",
            f"Not as you may expect in the plan: {words}.",
            "Write it in the build or the run, or keep it in mind beside the plan.",
            (),
            severity="advice",
        )


def _is_worn(look: str, days: Sequence[WornDay]) -> bool:
    return any(each.look == look for each in days)


def _some(names: Sequence[str]) -> str:
    every = list(dict.fromkeys(names))
    rest = f" and {len(every) - _NAMED} more" if len(every) > _NAMED else ""
    return ", ".join(f"`{each}`" for each in every[:_NAMED]) + rest


def _nothing_left(document: Document[Build], made: BuildProject) -> Iterator[Notice]:
    build = document.model
    if not build.days:
        raise refused(
            "no-days",
            "The build has no day in the chair to plan backward from.",
            "Type `days:` in the build, or ask forward: `--start '2026-03-02 09:00'`.",
        )
    last = max(each.day for each in build.days)
    yield document.notice(
        "days-past",
        f"All days of this build are past on {made.hours.moment(made.begin).date().isoformat()}; the last was {last.isoformat()}. Nothing is planned.",
        "Type the next day under `days:`, or ask as of another day with `--today`.",
        ("days",),
        severity="advice",
    )  # fmt: skip


def _supplied_late(document: Document[Build], made: BuildProject) -> Iterator[PlanRow]:
    """What others bring on or after the first day it is worn."""
    for look in document.model.looks:
        days = [each.day for each in made.days if each.look == look.id]
        for each in look.supplied if days else ():
            if each.due is not None and each.due >= min(days):
                chair = next(c.chair for c in made.chairs if c.look == look.id and c.day.day == min(days))
                by = made.hours.minutes(each.due + timedelta(days=1)) - chair
                yield {
                    "thing": str(each.what), "by_min": by, "what_for": f"the chair on {min(days).isoformat()}",
                    "remedy": f"Have it by {(min(days) - timedelta(days=1)).isoformat()} (`due:`).",
                }  # fmt: skip


def _too_late_forward(document: Document[Build], plan: BestPlan) -> Iterator[Notice]:
    late = {
        words: max(0, plan.starts[name] + plan.project.tasks[name].total - due)
        for name, (due, words) in plan.made.deadlines.items()
        if plan.starts[name] + plan.project.tasks[name].total > due
    }
    for words, by in sorted(late.items()):
        yield document.notice(
            "plan-too-late",
            f"Begun there, something comes {by} min too late for {words}.",
            "Begin earlier, or move the day; asked without `--start` the plan says what would help.",
            ("days",),
            severity="warning",
        )

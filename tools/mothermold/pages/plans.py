"""The page of a plan, and what of the plans is for today; in the private edition only.

A plan takes seconds, so it is made once for all that was looked at for it, and again only when something of that changed. What
would make an impossible one possible takes many plans, and is worked out for the plan's own page alone.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import partial
from itertools import groupby
from typing import Any, Final

from mothermold.answers.day_sheet import days_of
from mothermold.answers.plan import INSTALL, day_of, planned
from mothermold.answers.plan_text import Sat, gone_to, slack_words
from mothermold.ground.errors import RefusedError
from mothermold.model.build import Build
from mothermold.pages.addresses import plan_page as address_of
from mothermold.pages.drawn.plan_weeks import PlanBar, PlanWeeks, plan_weeks
from mothermold.pages.page import Page, render
from mothermold.pages.wording import spoken
from mothermold.reckon.sittings import SHORT_WAIT
from mothermold.reckon.solved_plan import has_solver
from mothermold.view.view import View

_A_DAY: Final = 24 * 60
FAULT: Final = "This build could not be planned, and that is a fault of the program."
_MOST_TODAY: Final = 8


@dataclass(frozen=True, slots=True)
class PlanLine:
    """What somebody sits down to.

    Attributes:
        start: When.
        end: Until when.
        job: What it is for.
        what: What is done.
        people: How many pairs of hands where more than one.
        recipe: The recipe with its version and first step; empty where there is none.
        slack: How much later it may begin, in words.
        is_tight: Whether a day lost here makes something late.
        waits: Until when it waits afterwards, and what for; empty where nobody waits long.
        risk: What comes if that takes its longest; empty where nothing is late then.
    """

    start: str
    end: str
    job: str
    what: str
    people: int
    recipe: str
    slack: str
    is_tight: bool
    waits: str
    risk: str


@dataclass(frozen=True, slots=True)
class TodayOf:
    """What the plan of a build has for today.

    Attributes:
        name: The build.
        title: Its title.
        lines: What is to be done.
        is_late: Whether it cannot be ready for its days at all.
    """

    name: str
    title: str
    lines: tuple[PlanLine, ...]
    is_late: bool


def _kept_plan(view: View, name: str, *, says_why: bool) -> Mapping[str, Any]:
    """The plan of a build as of today, kept with all that was looked at for it.

    Args:
        view: The private edition.
        name: The build.
        says_why: Whether ``late`` is filled where there is no plan.

    Returns:
        Its data; ``why`` and ``help`` say why nothing could be planned, ``is_late`` that it is too late for that, and ``notices`` what the
        plan says beside.
    """
    document = view.of(Build).get(name)
    if document is None:
        return {
            "why": "This build cannot be read, so nothing of it is planned.",
            "help": "Its own page says what is wrong in it.",
        }
    try:
        day = day_of(view)
    except RefusedError as refusal:
        return _refused(refusal)
    if all(each.day < day for each in document.model.days):
        when = (
            f"All its days are past on {day.isoformat()}" if document.model.days else "It has no day in the chair yet"
        )
        return {"why": f"{when}, so nothing is planned.", "help": "Type the next day under `days:` of the build."}
    if not has_solver():
        return {"why": INSTALL, "help": ""}
    room = f"build/{name}: plan {day.isoformat()}"
    made: Mapping[str, Any] = view.made.of(room, partial(_planned, view, name, day))
    if says_why and made.get("is_late") and not made["late"]:
        made = view.made.of(f"{room}, why it is late", partial(_planned, view, name, day, says_why=True))
    return made


def _planned(view: View, name: str, day: date, *, says_why: bool = False) -> dict[str, Any]:
    try:
        result = planned(view, view.of(Build)[name], day, says_why=says_why)
    except RefusedError as refusal:
        return _refused(refusal)
    except Exception:
        return {
            "why": FAULT,
            "help": f"`mothermold plan {name}` says where; nothing else of the book is touched by it.",
        }
    own = [each for each in result.notices if each.code in ("hours-not-known", "time-not-known", "not-planned")]
    head = {**result.data, "today": day.isoformat(), "is_late": not result.ok}
    return {**head, "notices": [[each.code, each.message, each.help] for each in own]}


def _refused(refusal: RefusedError) -> dict[str, Any]:
    return {
        "why": " ".join(each.message for each in refusal.notices),
        "help": " ".join(each.help for each in refusal.notices),
    }


def plan_page(view: View, name: str) -> Page:
    """The page of a build's plan."""
    data = {"why": "", "help": "", **_kept_plan(view, name, says_why=True)}
    tasks = data.get("tasks", [])
    title = str(getattr(view.on("build")[name].model, "title", None) or name)
    return render(
        view,
        "plan.html",
        address_of(name),
        f"Plan: {title}",
        name=name,
        chairs=days_of(view.models(Build)[name]) if name in view.models(Build) else (),
        build=title,
        plan=data,
        drawn=_drawn(view, name, data) if tasks else None,
        days=[(day, list(lines)) for day, lines in _days(tasks)],
        late=[(row["thing"], slack_words(row["by_min"]), row["what_for"]) for row in data.get("late", ())],
        remedies=list(dict.fromkeys(row["remedy"] for row in data.get("late", ()))),
    )


def today_at_the_bench(view: View) -> list[TodayOf]:
    """By build, what its plan has for today; nothing of builds that have nothing and are in time."""
    found: list[TodayOf] = []
    for name, document in sorted(view.of(Build).items()):
        data = _kept_plan(view, name, says_why=False)
        today = data.get("today")
        lines = [line for day, lines in _days(data.get("tasks", ())) if day.isoformat() == today for line in lines]
        is_late = data.get("is_late", False)
        if lines or is_late:
            found.append(TodayOf(name, str(document.model.title), tuple(lines[:_MOST_TODAY]), is_late))
    return found


def _days(tasks: Sequence[dict[str, Any]]) -> Iterator[tuple[date, Iterator[PlanLine]]]:
    for day, sittings in groupby(gone_to(tasks), key=lambda each: each[0][0].date()):
        yield day, map(_line, sittings)


def _line(sitting: Sequence[Sat]) -> PlanLine:
    rows = [each[2] for each in sitting]
    first, last, end, is_last = rows[0], rows[-1], sitting[-1][1], sitting[-1][3]
    titles = list(dict.fromkeys(each["title"] for each in rows))
    slacks = [each["slack_min"] for each in rows if each["slack_min"] is not None]
    until = datetime.fromisoformat(last["waits_until"] or last["end"])
    waits = risk = ""
    if is_last and until - end > timedelta(minutes=SHORT_WAIT):
        waits = f"{until:%a} {until.day} {until:%b, %H:%M}" + (f": {last['waits_for']}" if last["waits_for"] else "")
        if last["risk"]:
            longest = datetime.fromisoformat(last["risk"]["until"])
            risk = f"at the longest until {longest:%a} {longest.day} {longest:%b}"
            risk += (
                f", and then something is {slack_words(last['risk']['late_by_min'])} late"
                if last["risk"]["late_by_min"]
                else ""
            )
    return PlanLine(
        f"{sitting[0][0]:%H:%M}", f"{end:%H:%M}", str(first["job"]), "; ".join(titles), max(each["people"] for each in rows),
        f"{first['recipe']}#{first['step']}" if first["recipe"] and first["step"] else "",
        slack_words(min(slacks)) if slacks else "", any(each["critical"] for each in rows), waits, risk,
    )  # fmt: skip


def _drawn(view: View, name: str, data: Mapping[str, Any]) -> PlanWeeks | None:
    """The weeks of a plan; what each thing has of slack begins where its last work ends."""
    shop = [row for row in data["tasks"] if not row.get("chair")]
    order = [str(each.id) for each in view.models(Build)[name].things]
    rows = {each: spoken(each).capitalize() for each in order if any(row["thing"] == each for row in shop)}
    rows |= {"patch": "Patch test"} if any(row["recipe"] is None for row in shop) else {}
    bars: list[PlanBar] = []
    for row in shop:
        where = row["thing"] if row["recipe"] is not None else "patch"
        for part in row["parts"]:
            day = datetime.fromisoformat(part["start"]).date()
            bars.append(PlanBar(where, day, day, "tight" if row["critical"] else "work"))
        end = datetime.fromisoformat(row["end"]).date()
        if row["waits_until"] and (over := datetime.fromisoformat(row["waits_until"]).date()) > end:
            bars.append(PlanBar(where, end, over, "waits"))
    for _job, mine in groupby(sorted(shop, key=lambda each: str(each["job"])), key=lambda each: each["job"]):
        last = max(mine, key=lambda each: str(each["end"]))
        if (last["slack_min"] or 0) >= _A_DAY:
            end = datetime.fromisoformat(last["waits_until"] or last["end"]).date() + timedelta(days=1)
            where = last["thing"] if last["recipe"] is not None else "patch"
            bars.append(PlanBar(where, end, end + timedelta(minutes=last["slack_min"]), "slack"))
    chairs = {date.fromisoformat(row["day"]) for row in data["tasks"] if row.get("chair")}
    return plan_weeks(list(rows.items()), list(dict.fromkeys(bars)), chairs, date.fromisoformat(data["today"]))

"""A plan as one pins it to the wall: day by day, what is done when, on what, and what waits through the night."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta
from itertools import groupby
from typing import Any, Final

from mothermold.answers.result import Result, notices_text
from mothermold.reckon.sittings import SHORT_WAIT

_DAY: Final = 24 * 60
_SHORT: Final = timedelta(minutes=SHORT_WAIT)


def plan_text(result: Result) -> str:
    """The plan, or what comes too late."""
    data = result.data
    if not result.ok:
        return "\n".join(_late(data["late"])) + f"\n{notices_text(result)}"
    lines = [f"{data['title']} ({data['build']}), as of {data['today']}"]
    for each in data["castings"]:
        hand = f", {each['in_hand']} in hand" if each["in_hand"] else ""
        lines.append(f"  {each['thing']}: {each['cast']} to cast{hand}")
    for day, rows in groupby(gone_to(data["tasks"]), key=lambda each: each[0][0].date()):
        lines += ["", f"{day:%a %d %b %Y}"]
        lines += map(_line, rows)
    if data["tasks"]:
        lines += [
            "",
            "! A day lost here makes something late. Slack: how much later it may begin, with all that follows moving along.",
        ]
    lines += [f"- {each}" for each in data["assumes"]]
    return "\n".join(lines) + f"\n{notices_text(result)}"


Sat = tuple[datetime, datetime, dict[str, Any], bool]
"""From when until when somebody is at a task, the task, and whether it is the last time."""


def sat(tasks: Sequence[dict[str, Any]]) -> list[Sat]:
    """Every time somebody sits down to a task, in order."""
    found = [
        (datetime.fromisoformat(part["start"]), datetime.fromisoformat(part["end"]), row, part is row["parts"][-1])
        for row in tasks
        for part in row["parts"]
    ]
    return sorted(found, key=lambda each: (each[0], each[1], each[2]["id"]))


def gone_to(tasks: Sequence[dict[str, Any]]) -> list[list[Sat]]:
    """The same with what is done at one go put together: steps of one job that follow each other without a longer wait."""
    found: list[list[Sat]] = []
    last: dict[str, list[Sat]] = {}
    for each in sat(tasks):
        before = last.get(each[2]["job"])
        if (
            before is not None
            and each[0] - before[-1][1] <= _SHORT
            and each[0].date() == before[0][0].date()
            and not each[2].get("chair")
        ):
            before.append(each)
        else:
            last[each[2]["job"]] = [each]
            found.append(last[each[2]["job"]])
    return found


def slack_words(minutes: int | None) -> str:
    """How much something may slip."""
    if minutes is None:
        return ""
    if minutes >= _DAY:
        return f"{minutes // _DAY} d"
    return f"{minutes // 60} h {minutes % 60:02}" if minutes >= 60 else f"{minutes} min"


def _line(sitting: Sequence[Sat]) -> str:
    start, end, row, is_last = *sitting[0][:2], *sitting[-1][2:]
    rows = [each[2] for each in sitting]
    titles = list(dict.fromkeys(each["title"] for each in rows))
    what = titles[0] if len(titles) == 1 else f"{titles[0]} ... {titles[-1]} ({len(titles)} steps)"
    most = max(each["people"] for each in rows)
    slacks = [each["slack_min"] for each in rows if each["slack_min"] is not None]
    told = f"  {'!' if any(each['critical'] for each in rows) else ' '} {start:%H:%M}-{sitting[-1][1]:%H:%M}  {row['job']:<20} {what}"
    told += f" ({most} people)" if most > 1 else ""
    told += f"   [slack {slack_words(min(slacks))}]" if slacks else ""
    end = sitting[-1][1]
    until = datetime.fromisoformat(row["waits_until"] or row["end"])
    if is_last and until - end > _SHORT:
        for_what = f" for: {row['waits_for']}" if row["waits_for"] else ""
        told += f"\n{'':>17}waits until {until:%a %d %b %H:%M}{for_what}"
        risk = row["risk"]
        if risk is not None:
            late = f", and something is {slack_words(risk['late_by_min'])} late then" if risk["late_by_min"] else ""
            told += f"; at the longest until {datetime.fromisoformat(risk['until']):%a %d %b}{late}"
    return told


def _late(rows: Sequence[dict[str, Any]]) -> Iterator[str]:
    yield "It cannot be done in time:"
    for row in rows:
        by = f" is {slack_words(row['by_min'])} late for" if row["by_min"] else " cannot be, for"
        yield f"  {row['thing']}{by} {row['what_for']}"
    yield ""
    yield "What would make it possible:"
    yield from (f"  {each}" for each in dict.fromkeys(row["remedy"] for row in rows))

"""A plan as one pins it to the wall: day by day, what is done when, on what, and what waits through the night."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime
from itertools import groupby
from typing import Any, Final

from mothermold.answers.result import Result, notices_text

_DAY: Final = 24 * 60


def plan_text(result: Result) -> str:
    """The plan, or what comes too late."""
    data = result.data
    if not result.ok:
        return "\n".join(_late(data["late"])) + f"\n{notices_text(result)}"
    lines = [f"{data['title']} ({data['build']}), as of {data['today']}"]
    for each in data["castings"]:
        hand = f", {each['in_hand']} in hand" if each["in_hand"] else ""
        lines.append(f"  {each['thing']}: {each['cast']} to cast{hand}")
    for day, rows in groupby(sat(data["tasks"]), key=lambda each: each[0].date()):
        lines += ["", f"{day:%a %d %b %Y}"]
        lines += [_line(*each) for each in rows]
    if data["tasks"]:
        lines += ["", "! least room of all between today and its day. Slack: how much later it may begin, all after it moving along."]
    lines += [f"- {each}" for each in data["assumes"]]
    return "\n".join(lines) + f"\n{notices_text(result)}"


def sat(tasks: Sequence[dict[str, Any]]) -> list[tuple[datetime, datetime, dict[str, Any], bool]]:
    """Every time somebody sits down to a task, in order: from when until when, the task, and whether it is its last."""
    found = [
        (datetime.fromisoformat(part["start"]), datetime.fromisoformat(part["end"]), row, part is row["parts"][-1])
        for row in tasks
        for part in row["parts"]
    ]
    return sorted(found, key=lambda each: (each[0], each[1], each[2]["id"]))


def slack_words(minutes: int | None) -> str:
    """How much something may slip."""
    if minutes is None:
        return ""
    if minutes >= _DAY:
        return f"{minutes // _DAY} d"
    return f"{minutes // 60} h {minutes % 60:02}" if minutes >= 60 else f"{minutes} min"


def _line(start: datetime, end: datetime, row: dict[str, Any], is_last: bool) -> str:  # noqa: FBT001 - one row of `sat`
    people = f" ({row['people']} people)" if row["people"] > 1 else ""
    slack = slack_words(row["slack_min"])
    told = f"  {'!' if row['critical'] else ' '} {start:%H:%M}-{end:%H:%M}  {row['job']:<20} {row['title']}{people}"
    told += f"   [slack {slack}]" if slack and is_last else ""
    waits = row["waits_until"] if is_last else None
    if waits:
        until = datetime.fromisoformat(waits)
        what = f" for: {row['waits_for']}" if row["waits_for"] else ""
        told += f"\n{'':>17}waits until {until:%a %d %b %H:%M}{what}"
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

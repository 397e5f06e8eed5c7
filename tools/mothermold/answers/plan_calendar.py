"""A plan as a calendar file, for whatever shows appointments: one event for each time somebody sits down to a task.

As RFC 5545 has it: lines end in CR LF and are folded at 75 bytes, text is escaped, times are in UTC. The same plan gives the same bytes:
what is said to be the time of writing is the day the plan is made for.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Any, Final

from mothermold.answers.plan_text import sat, slack_words
from mothermold.answers.result import Result

_WIDE: Final = 75


def calendar_text(result: Result) -> str:
    """The plan as a calendar; one without events where there is no plan."""
    return calendar_of(result.data)


def calendar_of(data: Any) -> str:
    """The same from the data of a plan."""
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//mothermold//plan//EN", "CALSCALE:GREGORIAN"]
    stamp = f"{(data['today'] or '1970-01-01').replace('-', '')}T000000Z"
    for start, end, row, _is_last in sat(data["tasks"]):
        if end > start:
            lines += _event(data["build"], stamp, start, end, row)
    lines.append("END:VCALENDAR")
    return "".join(f"{part}\r\n" for line in lines for part in _folded(line))


def _event(build: str, stamp: str, start: datetime, end: datetime, row: dict[str, Any]) -> Iterator[str]:
    part = next(place for place, each in enumerate(row["parts"]) if datetime.fromisoformat(each["start"]) == start)
    yield "BEGIN:VEVENT"
    name = f"{build}/{row['id']}/{part}".replace(" ", "-")
    yield f"UID:{_escaped(name)}@mothermold"
    yield f"DTSTAMP:{stamp}"
    yield f"DTSTART:{start.astimezone(UTC):%Y%m%dT%H%M%SZ}"
    yield f"DTEND:{end.astimezone(UTC):%Y%m%dT%H%M%SZ}"
    summary = f"{row['job']}: {row['title']}"
    yield f"SUMMARY:{_escaped(summary)}"
    told = [f"{row['recipe']}#{row['step']}" if row["recipe"] and row["step"] else ""]
    told.append(f"slack {slack_words(row['slack_min'])}" if row["slack_min"] is not None else "")
    if row["waits_until"]:
        told.append(f"waits until {datetime.fromisoformat(row['waits_until']):%Y-%m-%d %H:%M}")
    if any(told):
        yield f"DESCRIPTION:{_escaped(', '.join(filter(None, told)))}"
    yield "END:VEVENT"


def _escaped(text: str) -> str:
    return text.replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,").replace("\n", "\\n")


def _folded(line: str) -> Iterator[str]:
    """A line in parts of at most 75 bytes, no letter cut; those after the first begin with a space."""
    part, size = "", 0
    for letter in line:
        wide = len(letter.encode())
        if size + wide > _WIDE:
            yield part
            part, size = " ", 1
        part, size = part + letter, size + wide
    yield part

"""What changed since, as text to be read out in front of a class."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterator, Mapping
from typing import Any, Final

from mothermold.answers.result import Result, notices_text

# A title set apart by stars on a page stands in quotes where it is read out.
_ALOUD: Final = re.compile(r"\*([^*]+)\*")


def changes_text(result: Result) -> str:
    """The whole answer."""
    return "\n".join(_lines(result.data)) + f"\n{notices_text(result)}"


def _lines(data: Mapping[str, Any]) -> Iterator[str]:
    yield from textwrap.wrap(_heading(data), 96)
    for row in data["recipes"]:
        yield from ("", f"{row['title']} ({row['recipe']}){_versions(row)}")
        if row["why"]:
            yield from textwrap.wrap(f"Why: {row['why']}", 96, initial_indent="  ", subsequent_indent="  ")
        aloud = row["sentences"][: len(row["sentences"]) - row["wording"]]
        for said in aloud:
            yield from textwrap.wrap(_ALOUD.sub(r"“\1”", said), 96, initial_indent="  - ", subsequent_indent="    ")
        if row["wording"]:
            words = "1 change" if row["wording"] == 1 else f"{row['wording']} changes"
            said = f"{words} of words, pictures and what to watch out for{_where(row)}"
            yield f"  - {'and ' if aloud else ''}{said}"
    if data["failures"]:
        yield from ("", "Failure notes")
    for note in data["failures"]:
        said = f"{note['title']} ({note['failure']}): {note['what']}"
        yield from textwrap.wrap(said, 96, initial_indent="  - ", subsequent_indent="    ")
    if not data["recipes"] and not data["failures"]:
        yield from ("", "Nothing changed since then in what this edition shows.")


def _heading(data: Mapping[str, Any]) -> str:
    if data["course"] is None:
        return f"What changed since {data['day']}, that day included."
    if data["day"] is None:
        return (
            f"What changed since the versions taught in “{data['course']}”. The course was never saved, so there is no day "
            "to count from for what else is new: save it first."
        )
    return f"What changed since the versions taught in “{data['course']}”, and in everything else since {data['day']}, when the course was first saved."


def _versions(row: Mapping[str, Any]) -> str:
    if row["to"] is None:
        return f", version {row['from']}"
    if row["from"] is None:
        return f", version {row['to']}"
    if row["from"] == row["to"]:
        return f", version {row['to']} corrected"
    return f", version {row['from']} to {row['to']}"


def _where(row: Mapping[str, Any]) -> str:
    return f": mothermold diff {row['recipe']} {row['from']} {row['to']}" if row["from"] != row["to"] else "."

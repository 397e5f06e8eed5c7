"""Which versions a recipe has, since when, and why."""

from __future__ import annotations

import textwrap
from typing import Annotated, Any

from mothermold.answers.question import RECIPE, question
from mothermold.answers.recipes import find_versions
from mothermold.answers.result import Result, notices_text
from mothermold.history.versions import Version
from mothermold.view.view import View

EMPTY: dict[str, Any] = {"recipe": None, "current": None, "versions": []}


def _text(result: Result) -> str:
    data = result.data
    lines = [str(data["recipe"])]
    for row in data["versions"]:
        mark = "*" if row["version"] == data["current"] else " "
        day = (row["date"] or ("not saved" if row["working_tree"] else "not locked yet"))[:14]
        day = day[:10] if row["date"] else day
        extra = (
            f", amended {row['amended']} times" if row["amended"] > 1 else ", amended once" if row["amended"] else ""
        )
        extra += ", changed since it was saved" if row["working_tree"] and row["date"] else ""
        why = row["why"] or ("The first." if row["version"] == 1 else "No reason is written.")
        lines.append(f"{mark} {row['version']:>3}  {row['status']:<9}  {day}{extra}")
        lines += textwrap.wrap(why, 96, initial_indent=" " * 7, subsequent_indent=" " * 7)
        if row["fixes"]:
            lines.append(f"       answers {', '.join(row['fixes'])}")
    lines += ["", "* in use" if data["current"] else "None is in use."]
    return "\n".join(lines) + "\n" + notices_text(result)


@question("versions", empty=EMPTY, text=_text, page="recipes/RECIPE.html")
def list_versions(view: View, recipe: Annotated[str, RECIPE]) -> Result:
    """All numbers of a recipe, ascending."""
    versions = find_versions(view, recipe)
    current = versions.current
    rows = [row_data(view, row) for row in versions.rows]
    data = {"recipe": versions.address, "current": current.number if current else None, "versions": rows}
    return Result(
        data, view.touching({f"recipes/{versions.address}.yaml", *(row.document.file for row in versions.rows)})
    )


def row_data(view: View, row: Version) -> dict[str, Any]:
    """One version in the promised shape."""
    return {
        "version": row.number,
        "status": row.status,
        "date": row.moment.astimezone(view.settings.zone).isoformat() if row.moment else None,
        "commit": row.commit,
        "why": row.why,
        "fixes": list(row.fixes),
        "amended": len(row.amendments),
        "working_tree": row.working_tree,
    }

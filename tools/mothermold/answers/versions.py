"""Which versions a recipe has, since when, and why."""

from __future__ import annotations

from typing import Any

from mothermold.answers.recipes import find_versions
from mothermold.answers.result import Result
from mothermold.history.versions import Version
from mothermold.view.view import View

EMPTY: dict[str, Any] = {"recipe": None, "current": None, "versions": []}


def list_versions(view: View, recipe: str) -> Result:
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

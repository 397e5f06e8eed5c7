"""What changed between two versions of a recipe, what it leads to, and why."""

from __future__ import annotations

import textwrap
from dataclasses import replace
from typing import Annotated, Any, Final

from mothermold.answers.consequences import Versus, common_fill, consequences, figure, name_of
from mothermold.answers.difference_words import changes_between
from mothermold.answers.evidence import CAUTIONS, evidence_crossed, verdict_text
from mothermold.answers.question import RECIPE, Typed, argument, question
from mothermold.answers.recipes import WORKING, choose, find_versions, readable
from mothermold.answers.result import Result, notices_text, number
from mothermold.compare.differences import Change
from mothermold.compare.fields import KIND_WORDS
from mothermold.compare.words import rewordings
from mothermold.ground.errors import refused
from mothermold.history.versions import Version, Versions, as_text
from mothermold.model.material import Material
from mothermold.view.view import View

EMPTY: dict[str, Any] = {
    "recipe": None, "from": None, "to": None, "changes": [], "at_ml": None, "consequences": [], "reasons": [],
    "evidence": [],
}  # fmt: skip


_SIDE: Final = "a number, or working"


def _text(result: Result) -> str:
    data = result.data
    lines = [f"{data['recipe']}, version {data['from']} to {data['to']}", ""]
    for change in data["changes"]:
        lines.append(f"  {KIND_WORDS[change['kind']]:<14} {change['sentence']}")
        if change["kind"] == "wording" and change["action"] == "changed" and "→" not in change["sentence"]:
            for was, now in rewordings(change["before"], change["after"]):
                lines += textwrap.wrap(f"“{was}” → “{now}”", 96, initial_indent=" " * 17, subsequent_indent=" " * 17)
    if not data["changes"]:
        lines.append("  Nothing changed.")
    moved = [row for row in data["consequences"] if row["before"] != row["after"]]
    if moved:
        lines += [
            "",
            f"What it leads to, both filled with {data['at_ml']:g} ml, a mix of fixed size as each version says:",
        ]
        lines += [
            f"  {row['sentence']}"
            if row["sentence"]
            else f"  {name_of(row['what'], row['title']):<44} {figure(row['before'], row['unit']):>10} → {figure(row['after'], row['unit'])}"
            for row in moved
        ]
    for reason in data["reasons"]:
        answered = f" (answers {', '.join(reason['fixes'])})" if reason["fixes"] else ""
        why = f"Why version {reason['version']}: {reason['why'] or 'no reason is written'}{answered}"
        lines += ["", *textwrap.wrap(why, 100)]
    for row in data["evidence"]:
        lines += ["", *textwrap.wrap(f"{row['title']}: {row['words']}{verdict_text(' ({})', row)}.", 100)]
    if data["evidence"]:
        lines += ["", *(line for each in CAUTIONS for line in textwrap.wrap(each, 96))]
    return "\n".join(lines) + "\n" + notices_text(result)


@question("diff", empty=EMPTY, text=_text, page="compare/RECIPE.html")
def explain_difference(
    view: View,
    recipe: Annotated[str, RECIPE],
    a: Annotated[Typed, argument("A", _SIDE)] = None,
    b: Annotated[Typed, argument("B", _SIDE)] = None,
) -> Result:
    """The difference of two versions of a recipe.

    Args:
        view: The book.
        recipe: Its address.
        a: A number or ``working``; without it the last but one locked version. ``working`` alone is compared with the
            last locked version, so that it says what was changed since; a draft above none with its own last save.
        b: A number or ``working``; without it the last locked version, or the draft above the only one, or its file
            where that was changed since.

    Raises:
        RefusedError: The recipe or a version is not there, or there is nothing to compare with.
    """
    versions = find_versions(view, recipe)
    a, b = _asked(versions, a, b)
    before, after = _side(versions, a, b), _side(versions, b, a)
    old, new = as_text(readable(versions, before)), as_text(readable(versions, after))
    assert old is not None
    assert new is not None
    broken = (view.ruling.alone(versions.address, old.recipe), view.ruling.alone(versions.address, new.recipe))
    cautions = (view.ruling.cautions(old.recipe), view.ruling.cautions(new.recipe))
    fill = common_fill(old.recipe, new.recipe)
    sides = Versus(old.recipe, new.recipe, view.models(Material), fill, broken, cautions)
    lower, higher = sorted((before.number, after.number))
    data = {
        "recipe": versions.address,
        "from": WORKING if a == WORKING else before.number,
        "to": WORKING if b == WORKING else after.number,
        "changes": [_change(change, said) for change, said in changes_between(view, old, new)],
        "at_ml": number(sides.fill),
        "consequences": [
            {
                "what": row.what,
                "before": number(row.before),
                "after": number(row.after),
                "unit": row.unit,
                "title": row.title,
                "sentence": row.sentence,
            }
            for row in consequences(sides)
        ],
        "reasons": _reasons(versions, lower, higher),
        "evidence": list(evidence_crossed(view, versions.address, lower, higher)),
    }
    return Result(data, view.touching({before.document.file, after.document.file}))


def _side(versions: Versions, asked: str, other: str) -> Version:
    """One side; beside ``working`` the number of a draft means its text as it was last saved."""
    row = choose(versions, asked)
    if other == WORKING != asked and row.saved_draft is not None:
        return replace(row, document=row.saved_draft)
    return row


def _asked(versions: Versions, a: str | None, b: str | None) -> tuple[str, str]:
    """Both sides as one would type them, the earlier first."""
    if a is not None and b is not None:
        return a, b
    locked = [str(row.number) for row in versions.rows if row.status == "locked"]
    if a is not None and a != WORKING:
        return a, locked[-1] if locked and locked[-1] != a else WORKING
    drafts = [str(row.number) for row in versions.rows if row.status == "draft"]
    if a == WORKING:
        saved = [str(row.number) for row in versions.rows if row.saved_draft is not None]
        sides = [*(locked or saved)[-1:], WORKING]
    elif len(locked) > 1:
        sides = locked[-2:]
    else:
        changed = any(row.working_tree and row.saved for row in versions.rows)
        sides = [*locked, *(drafts or [WORKING] * changed)]
    if len(sides) < 2:
        raise refused(
            "nothing-to-compare",
            f"`{versions.address}` has only one version.",
            "Compare again when a second one is written.",
        )
    return sides[0], sides[-1]


def _change(change: Change, said: str) -> dict[str, Any]:
    return {
        "kind": change.kind,
        "action": change.action,
        "path": list(change.path),
        "before": change.before,
        "after": change.after,
        "sentence": said,
        "place": change.place,
    }


def _reasons(versions: Versions, lower: int, higher: int) -> list[dict[str, Any]]:
    return [
        {"version": row.number, "why": row.why, "fixes": list(row.fixes)}
        for row in versions.rows
        if lower < row.number <= higher
    ]

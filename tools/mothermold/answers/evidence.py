"""What the runs say of a failure: how often, at which version, and whether each fix held."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Annotated, Any, Final

from mothermold.answers.difference_words import change_sentences
from mothermold.answers.question import argument, question
from mothermold.answers.result import Result, cautions_text, notices_text
from mothermold.answers.troubles import ANSWER_WORDS
from mothermold.ground.errors import RefusedError, refused
from mothermold.ground.notices import Notice
from mothermold.ground.words import nearest
from mothermold.history.versions import as_text
from mothermold.model.failure import Failure
from mothermold.quantities.wording import times_words
from mothermold.reckon.proportions import Tally, chance_of_fewer, difference, wilson
from mothermold.view.by_condition import by_condition
from mothermold.view.evidence import Beginning, FailureRecord, FixRecord
from mothermold.view.view import View

EMPTY: dict[str, Any] = {
    "failure": None, "title": None, "hurt": None, "by_version": [], "fixes": [], "by_condition": [], "suspects": [], "cautions": [],
}  # fmt: skip
CAUTIONS: Final = (
    "Castings of one batch or out of one mold go well or badly together; three of them tell little more than one.",
    "Where several things were changed at once, the runs cannot say which of them it was.",
    "The first good run settles nothing.",
    "Decide beforehand how many runs you will count; if you check after every one, you will see changes that are mere chance.",
)
"""Said with every verdict; common practice of small samples (trade reference, section 1.6)."""
_NAMED: Final = 5
MOST_RUNS_TOLD: Final = 30
"""More clean runs than this nobody waits for: a mold is worn out or the recipe changed before (common practice, no source)."""


def _text(result: Result) -> str:
    data = result.data
    lines = [f"{data['title']} ({data['failure']})", ""]
    for row in data["by_version"]:
        at = f"{row['recipe']}@{row['version']}"
        of = "" if data["hurt"] else f" of {row['runs']}"
        lines.append(f"  {at:<28} went wrong in {row['failed']:>2}{of}")
    if not data["by_version"]:
        lines.append("  No run counts yet: it takes one of kind run, with an outcome, where this can be noticed.")
    for fix in data["fixes"]:
        lines += ["", f"  {fix['recipe']}@{fix['version']}{verdict_text(': {}', fix)}", f"    {fix['words']}."]
        if fix["difference"] is not None and not fix["hurt"]:
            change = (
                f"{fix['difference'] * 100:+.0f} points, between {fix['low'] * 100:+.0f} and {fix['high'] * 100:+.0f}"
            )
            chance = fix["p_worse" if fix["verdict"] == "worse" else "p_one_sided"]
            lines.append(f"    the working: p = {chance:.3f} one-sided; {change}")
    if data["by_version"] and not data["fixes"]:
        lines += ["", "  No fix is known yet."]
    if data["by_condition"] and not data["hurt"]:
        lines += ["", "  By what the runs noted (counts only):"]
        lines += [
            f"    {row['what']:<6} {row['value']:<34} {row['failed']:>2} of {row['runs']}"
            for row in data["by_condition"]
        ]
    for each in data["suspects"]:
        count = each["clean_runs_before"]
        clean = "one clean run, which is no proof" if count == 1 else f"{count} clean runs"
        after = "" if data["hurt"] else f", after {clean}"
        lines += ["", f"  It may have started at {each['recipe']}@{each['version']}{after}:"]
        lines += [f"    {said}" for said in each["changes"] or ["only wording changed, or the text cannot be read"]]
    return "\n".join(lines) + f"\n{cautions_text(result)}{notices_text(result)}"


def verdict_text(frame: str, fix: Mapping[str, Any]) -> str:
    """Whether a fix held, framed; where somebody was hurt no count says so."""
    return "" if fix["hurt"] else frame.format(ANSWER_WORDS[fix["verdict"]])


@question("evidence", empty=EMPTY, text=_text, page="failures/FAILURE.html")
def weigh_evidence(
    view: View, failure: Annotated[str, argument("FAILURE", "the failure note, like cracked-mold")]
) -> Result:
    """The runs with and without a failure, by version, and before and after each fix.

    Args:
        view: The book.
        failure: The note's name.

    Raises:
        RefusedError: ``unknown-failure``; where the note cannot be read, its own notices.
    """
    name = failure.strip().removeprefix("recipes/").removeprefix("failures/").removesuffix(".yaml")
    document = view.on("failure").get(name)
    if document is None:
        near = nearest(name, view.on("failure"))
        raise refused(
            "unknown-failure",
            f"No failure note is called `{name}` here.",
            f"Did you mean `{near}`?"
            if near
            else f"Search by what you see: `mothermold find {name.replace('-', ' ')}`.",
        )
    if document.model is None:
        raise RefusedError(*document.notices)
    record = view.evidence.of(name)
    conditions = by_condition(view.evidence.runs_of(name))
    data = {
        "failure": name,
        "title": str(view.of(Failure)[name].model.title),
        "hurt": record.is_hurt,
        "by_version": [
            {"recipe": each.recipe, "version": each.version, "runs": each.tally.runs, "failed": each.tally.failed}
            | _rate(each.tally)
            for each in record.by_version
        ],
        "fixes": [fix_data(fix) for fix in record.fixes],
        "by_condition": [
            {"what": each.what, "value": each.value, "failed": each.tally.failed, "runs": each.tally.runs}
            for each in conditions
        ],
        "suspects": [suspect_data(view, each) for each in record.beginnings],
        "cautions": list(CAUTIONS) if record.fixes or conditions else [],
    }
    runs = view.on("run").values()
    counted = {str(run.id) for run, _failed in view.evidence.runs_of(name)}
    # A run that cannot be read may be one that counts.
    used = {each.file for each in runs if each.model is None or each.address in counted}
    return Result(data, (*view.touching({document.file, *used}), *_left_out(record, document.file)))


def _rate(tally: Tally) -> dict[str, float]:
    low, high = wilson(tally)
    return {"rate": float(tally.rate), "low": low, "high": high}


def fix_data(fix: FixRecord) -> dict[str, Any]:
    """A fix as the command tells it; what cannot be reckoned without runs is null.

    ``p_one_sided`` is that of fewer failures since, ``p_worse`` that of more.
    """
    change = difference(fix.before, fix.after)
    return {
        "recipe": fix.recipe,
        "version": fix.version,
        "before": [fix.before.failed, fix.before.runs],
        "after": [fix.after.failed, fix.after.runs],
        "p_one_sided": float(chance_of_fewer(fix.before, fix.after)),
        "p_worse": float(chance_of_fewer(fix.after, fix.before)),
        "difference": change[0] if change else None,
        "low": change[1] if change else None,
        "high": change[2] if change else None,
        "verdict": fix.verdict,
        "clean_runs_to_settle": fix.clean_runs_to_settle,
        "hurt": fix.is_hurt,
        "words": fix_words(fix),
    }


def fix_words(fix: FixRecord) -> str:
    """The record of a fix as one says it: ``2 of 4 before, none of 4 since; 8 more clean runs would settle it``.

    Where somebody was hurt no clean run is counted: the next face is another person's.
    """
    if fix.is_hurt:
        told = ", ".join(
            f"{times_words(tally.failed)} {when}"
            for tally, when in ((fix.before, "before"), (fix.after, "since"))
            if tally.failed
        )
        happened = f"it happened {told}" if told else "no run that counts shows it"
        return (
            f"{happened}{_uncounted(fix.uncounted)}; somebody was hurt, and clean faces prove nothing for the next one"
        )
    before, after = (_makings(fix.recipe, count) for count in fix.makings)
    told = f"{tally_words(fix.before)} before{before}, {tally_words(fix.after)} since{after}"
    if fix.verdict in ("held", "worse"):
        return told
    if not fix.before.failed:
        never = "it never failed before" if fix.before.runs else "nothing was counted before"
        return f"{told}; {never}, so runs cannot settle it{_uncounted(fix.uncounted)}"
    more = fix.clean_runs_to_settle
    if more is None or more > MOST_RUNS_TOLD:
        return f"{told}; the runs will not tell"
    return f"{told}; {more} more clean {'run' if more == 1 else 'runs'} would settle it"


_UNCOUNTED: Final = {
    "pull": ("first pull", "first pulls"), "test": ("test", "tests"), "run": ("run under way", "runs under way"),
}  # fmt: skip


def _uncounted(kinds: Sequence[str]) -> str:
    """The runs in which it happened and which do not count, behind a record: `` (it did in 1 first pull, not counted)``."""
    told = [f"{count} {nouns[count > 1]}" for kind, nouns in _UNCOUNTED.items() if (count := list(kinds).count(kind))]
    are = "is" if len(kinds) == 1 else "are"
    return f" (it happened in {' and '.join(told)}, which {are} not counted)" if told else ""


_MADE: Final = {
    "lifecast": ("cast of the head", "casts of the head"), "sculpt": ("sculpture", "sculptures"), "core": ("core", "cores"),
    "mold": ("mold", "molds"),
}  # fmt: skip
"""What a recipe of these stages makes that many runs may come of, one and several."""


def _makings(recipe: str, count: int) -> str:
    """Of how many molds the runs are, where the fix is in a mold: ``(2 molds)``."""
    nouns = _MADE.get(recipe.partition("/")[0])
    return f" ({count} {nouns[count > 1]})" if count and nouns else ""


def tally_words(tally: Tally) -> str:
    """How many of how many failed: ``2 of 4``, ``none of 4``, ``no run``."""
    if not tally.runs:
        return "no run"
    return f"{tally.failed or 'none'} of {tally.runs}"


def suspect_data(view: View, beginning: Beginning) -> dict[str, Any]:
    """A version at which a failure begins, with what that version changed."""
    versions = view.versions(beginning.recipe)
    rows = [versions.get(number) if versions else None for number in (beginning.before, beginning.version)]
    old, new = (as_text(row.document) if row is not None else None for row in rows)
    return {
        "recipe": beginning.recipe,
        "version": beginning.version,
        "clean_runs_before": beginning.clean,
        "last_clean_version": beginning.before,
        "changes": change_sentences(view, old, new) if old and new else [],
    }


def evidence_crossed(view: View, recipe: str, lower: int, higher: int) -> Iterator[dict[str, Any]]:
    """The records of all fixes in a recipe above one version and up to another, each with its failure."""
    crossed = {failure for number, failure in view.evidence.fixed_in(recipe) if lower < number <= higher}
    for failure in sorted(crossed):
        for fix in view.evidence.of(failure).fixes:
            if fix.recipe == recipe and lower < fix.version <= higher:
                note = view.on("failure").get(failure)
                title = str(getattr(note.model if note else None, "title", failure))
                yield {"failure": failure, "title": title, **fix_data(fix)}


def _left_out(record: FailureRecord, file: str) -> Iterator[Notice]:
    for fix in record.fixes:
        if fix.unknown:
            count, named = len(fix.unknown), [f"`{name}`" for name in fix.unknown[:_NAMED]]
            more = f" and {count - _NAMED} more" if count > _NAMED else ""
            yield Notice(
                "unknown-origin",
                "advice",
                f"{count} {'run is' if count == 1 else 'runs are'} left out of the fix in `{fix.recipe}@{fix.version}`: nobody "
                f"knows which version of it {'it was' if count == 1 else 'they were'} made by. "
                f"{'It is' if count == 1 else 'They are'} {', '.join(named)}{more}.",
                "Type in the run what it came from, `from: [r-...]`, or in its mold the run that made it, `made: r-...`.",
                file=file,
            )

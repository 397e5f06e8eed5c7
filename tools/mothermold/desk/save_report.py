"""What a save says beside its message: what it writes into files first, and what is wrong or doubtful in what goes in."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from mothermold.desk.answered_notes import Answered
from mothermold.desk.editing import Value
from mothermold.desk.numbering import Plan
from mothermold.ground.notices import Notice, count, in_order
from mothermold.model.walk import KeyPath


def written(plans: Iterable[Plan], notes: Iterable[Answered]) -> Iterator[str]:
    """What is written into recipes and failure notes before they are saved, a line a file."""
    for made in plans:
        if made.changes:
            yield f"{made.changed.document.file}: {_becomes(made.changes)}."
    for note in notes:
        yield from (f"{note.file}: {deed}" for deed in note.deeds)


def _becomes(changes: Mapping[KeyPath, Value]) -> str:
    said = {str(path[0]): value for path, value in changes.items()}
    put = [key for key in ("why", "fixes") if said.get(key)]
    parts = [f"version becomes {said['version']}"] if "version" in said else []
    parts += [f"{' and '.join(put)} {'is' if put == ['why'] else 'are'} written"] if put else []
    parts += ["the fixes of the version before are taken out"] if "fixes" in said and not said["fixes"] else []
    parts += [f"status becomes {said['status']}"] if "status" in said else []
    return ", ".join(parts)


def answers(notes: Iterable[Answered]) -> Iterator[str]:
    """Which failure notes say from now on what answers them."""
    for note in notes:
        for _address, number in note.by:
            yield f"{note.file} says now that version {number} answers it."


def doubts(notices: Sequence[Notice], *, broken: bool) -> Iterator[str]:
    """What is wrong or doubtful in what is saved.

    Args:
        notices: What there is to say about the files that are saved.
        broken: Whether files with errors are saved all the same.
    """
    errors = [each for each in in_order(notices) if each.severity == "error"] if broken else []
    for file in dict.fromkeys(each.file for each in errors):
        yield _goes_in([each for each in errors if each.file == file])
    warnings = count([each for each in notices if each.code != "locked-changed"], "warning")
    if warnings:
        told = "one warning" if warnings == 1 else f"{warnings} warnings"
        yield f"There {'is' if warnings == 1 else 'are'} {told} on what is saved; `mothermold check` says more."


def _goes_in(errors: Sequence[Notice]) -> str:
    first = errors[0]
    place = f"line {first.line}, {first.message}" if first.line else first.message
    if len(errors) == 1:
        return f"{first.file} goes in with an error: {place}"
    return f"{first.file} goes in with {len(errors)} errors, first: {place}"

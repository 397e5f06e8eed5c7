"""What keeps a save from being made: errors in what is saved, and those it would bring about elsewhere."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from pathlib import Path

from mothermold.desk.changed import Item
from mothermold.desk.check_ahead import foresee
from mothermold.ground.errors import RefusedError
from mothermold.ground.notices import Notice, in_order

Key = tuple[object, ...]


def _key(notice: Notice) -> Key:
    return notice.code, notice.file, notice.line, notice.message


def _errors(notices: Iterable[Notice]) -> list[Notice]:
    return [each for each in notices if each.severity == "error"]


def standing(root: Path, items: Sequence[Item], notices: Iterable[Notice]) -> frozenset[Key]:
    """The errors in documents that are not being saved that stood there before what is saved was changed.

    They are no fault of this save and never stand in its way; looked for only where there are errors elsewhere.

    Args:
        root: The book's folder.
        items: What is saved.
        notices: What there is to say about the book.
    """
    files = {each.file for each in items}
    if not [each for each in _errors(notices) if each.file not in files]:
        return frozenset()
    texts: dict[str, str | None] = {each.file: None for each in items if each.changed.action in ("new", "renamed")}
    texts |= {each.changed.earlier: each.old.text for each in items if each.old is not None}
    return frozenset(_key(each) for each in _errors(foresee(root, texts)) if each.file not in files)


def refuse_errors(notices: Iterable[Notice], before: Collection[Key], settled: Collection[str]) -> None:
    """Refuses a save over errors.

    Args:
        notices: What there is to say about the book.
        before: The errors that are no fault of this save.
        settled: Codes the save itself puts in order, or cannot make worse.

    Raises:
        RefusedError: ``not-saved``, behind the errors.
    """
    errors = [each for each in _errors(notices) if _key(each) not in before and each.code not in settled]
    if errors:
        raise RefusedError(
            *in_order(errors),
            Notice(
                "not-saved",
                "error",
                "Nothing was saved, because the book would have errors from this save on.",
                "Mend them first, or type `mothermold save --with-errors` to save it all the same.",
            ),
        )


def remaining(notices: Iterable[Notice], before: Collection[Key], numbered: Collection[str]) -> list[Notice]:
    """The errors `check` goes on to tell of after a save that they do not stand in the way of.

    Args:
        notices: What there is to say about the book.
        before: The errors that are no fault of this save.
        numbered: The recipes that get a number, which settles two texts under an earlier one.
    """
    return [
        each
        for each in in_order(_errors(notices))
        if _key(each) in before or (each.code == "version-clash" and each.file not in numbered)
    ]


def still_wrong(errors: Sequence[Notice]) -> Iterator[str]:
    """Says after a save which errors stand in the book all the same."""
    if errors:
        first = errors[0]
        place = f"{first.file}, line {first.line}" if first.line else str(first.file)
        stands = "An error is still" if len(errors) == 1 else f"{len(errors)} errors are still"
        yield f"{stands} in the book as before; `mothermold check` says how to mend {'it' if len(errors) == 1 else 'them'}. {place}: {first.message}"

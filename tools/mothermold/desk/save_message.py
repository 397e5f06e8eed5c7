"""What a save is called: its first line, its reasons, and what changed, in words of the bench."""

from __future__ import annotations

import re
import textwrap
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import PurePosixPath
from typing import Final, Literal

from mothermold.answers.difference_words import changes_between
from mothermold.book.document import Document
from mothermold.history.saving import FileAction
from mothermold.history.versions import as_text
from mothermold.model.kinds import KINDS
from mothermold.view.view import View

WIDTH: Final = 72
# A message is read, a list of files is not.
_MOST_LINES: Final = 60

SaveStep = Literal["number", "corrected", "draft", "notes", "none"]
"""What a save does to a recipe: gives it a number, keeps one for other words, or none of these."""

# What is saved beside documents comes last.
_KINDS: Final = {word: (kind.called, kind.several) for word, kind in KINDS.items()} | {
    "picture": ("picture", "pictures"),
    "file": ("other file", "other files"),
}
# What `init` lays out beside the artist's own documents.
_OWN: Final = re.compile(r"\.gitignore|\.gitattributes|\.vscode/settings\.json|schema/[a-z]+\.schema\.json")
_OWN_WORDS: Final = "book's own settings and schemas"
_PICTURES: Final = frozenset({".jpg", ".jpeg", ".png", ".webp", ".svg", ".gif", ".tif", ".tiff"})
_NUMBERS: Final = (
    "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Told:
    """One thing that is saved, as it is told.

    Attributes:
        action: new, changed, deleted or renamed.
        kind: The kind of document; ``picture``, ``file``, or ``own`` for what `init` laid out, for what is none.
        file: Its path relative to the book.
        title: What it is called.
        address: What others call it; empty for what is no document.
        earlier: Its address or path before, where it was renamed.
        step: Of a recipe, what the save does to it.
        version: Of a recipe, its number.
        why: Of a recipe that gets a number, its reason.
        sentences: What changed in a recipe.
        more: Further words on it, such as what a run did.
        retired: Whether a recipe is no longer used from now on.
    """

    action: FileAction
    kind: str
    file: str
    title: str
    address: str = ""
    earlier: str = ""
    step: SaveStep = "none"
    version: int = 0
    why: str = ""
    sentences: tuple[str, ...] = ()
    more: str = ""
    retired: bool = False


def kind_of(file: str) -> str:
    """What a file that is no document is called."""
    if _OWN.fullmatch(file):
        return "own"
    return "picture" if PurePosixPath(file).suffix.casefold() in _PICTURES else "file"


def title_of(document: Document | None, otherwise: str) -> str:
    """What a document is called, also where it cannot be read."""
    said = document.raw.get("title") if document is not None else None
    return " ".join(said.split()) if isinstance(said, str) and said.strip() else otherwise


def sentences_between(view: View, old: Document | None, new: Document | None) -> tuple[str, ...]:
    """What changed between two texts of a recipe; none where one of them cannot be read."""
    a, b = (as_text(each) if each is not None else None for each in (old, new))
    if a is None or b is None:
        return ()
    return tuple(said for _change, said in changes_between(view, a, b))


def message(told: Sequence[Told], why: str, *, first: bool) -> str:
    """The whole message of a save.

    Args:
        told: What is saved.
        why: The reason given for the whole save.
        first: Whether it is the first save of the book.
    """
    reasons = {each.why for each in told if each.why}
    # A single reason stands at the top, where it is looked for.
    reason = why or (reasons.pop() if len(reasons) == 1 else "")
    heading = cut(why.split("\n\n", maxsplit=1)[0]) if why else first_line(told, first=first)
    blocks = [heading]
    if reason and heading != " ".join(reason.split()):
        blocks.append(_paragraphs(reason))
    blocks += _sections(told, reason, first=first)
    return "\n\n".join(blocks) + "\n"


def first_line(told: Sequence[Told], *, first: bool = False) -> str:
    """The most important thing of a save, in one line."""
    told, own = _set_apart(told, first=first)
    if not told:
        return f"The first save: the {_OWN_WORDS}" if first else f"The {_OWN_WORDS} {own}"
    if first:
        return cut(f"The first save: {_counted(told)}")
    recipes = sorted((each for each in told if each.kind == "recipe"), key=_rank)
    if recipes and (_rank(recipes[0]) < _UNNUMBERED or len(told) == 1):
        return cut("; ".join(_recipe_line(each) for each in recipes if _rank(each) == _rank(recipes[0])))
    notes = [each for each in told if each.kind == "failure" and each.action == "new"]
    if len(notes) == 1 or len(told) == 1:
        only = notes[0] if notes else told[0]
        return cut(_document_line(only))
    actions = {each.action for each in told}
    counted = _counted(told)
    return cut(f"Deleted: {counted}" if actions == {"deleted"} else counted[:1].upper() + counted[1:])


def cut(line: str, width: int = WIDTH) -> str:
    """A line of at most this width, cut at a word."""
    line = " ".join(line.split())
    if len(line) <= width:
        return line
    kept = line[: width - 1].rsplit(" ", 1)[0] if " " in line[: width - 1] else line[: width - 2]
    return f"{kept.rstrip(' ,;:–-')} …"[:width]


_UNNUMBERED: Final = 4


def _rank(told: Told) -> int:
    ranks: dict[SaveStep, int] = {"number": 0, "corrected": 1, "draft": _UNNUMBERED, "notes": 5, "none": 6}
    return 2 if told.action == "deleted" else 3 if told.action == "renamed" or told.retired else ranks[told.step]


def _recipe_line(told: Told) -> str:
    name = _short(told.title)
    if told.action == "deleted":
        return f"{name} deleted"
    if told.retired:
        return f"{name} retired"
    if told.action == "renamed" and not told.sentences:
        return f"{name} moved to {told.address}"
    if told.step in ("notes", "none"):
        return f"{name}: {told.sentences[0].rstrip('.')}" if told.sentences else f"{name}: notes"
    if told.step == "draft":
        head = f"{'New draft' if told.action == 'new' else 'Draft'} of {name}, version {told.version}"
    else:
        head = f"{name}, version {told.version}{' corrected' if told.step == 'corrected' else ''}"
    return _with_change(head, told.sentences[0].rstrip(".")) if told.sentences else head


def _with_change(head: str, change: str) -> str:
    """What became of a recipe and its first change; in which mix or step, only where there is room to say it."""
    line = f"{head}: {change}"
    place, colon, what = change.partition(": ")
    return f"{head}: {_capital(what)}" if len(line) > WIDTH and colon and "“" not in place else line


def _short(title: str) -> str:
    """A long title without what only explains it."""
    return re.split(r", |: | \(", title, maxsplit=1)[0] if len(title) > 30 else title


def _document_line(told: Told) -> str:
    if told.kind == "file":
        return f"{told.file} {told.action}"
    word = _KINDS[told.kind][0]
    if told.kind == "book":
        return f"The book's settings {'written' if told.action == 'new' else told.action}"
    head = f"New {word}" if told.action == "new" else f"{_capital(word)} {told.action}"
    return f"{head}: {told.title}{f', {told.more}' if told.more else ''}"


def _counted(told: Iterable[Told]) -> str:
    counts = Counter(each.kind for each in told)
    return ", ".join(
        f"{_NUMBERS[counts[kind]] if counts[kind] < len(_NUMBERS) else counts[kind]} {words[counts[kind] > 1]}"
        for kind, words in _KINDS.items()
        if counts[kind]
    )


def _set_apart(told: Sequence[Told], *, first: bool) -> tuple[list[Told], str]:
    """What is the artist's, and of the files that `init` laid out, where there are several, what was done to them."""
    own = [each for each in told if each.kind == "own" or (first and each.kind == "book")]
    if len(own) < 2:
        return [replace(each, kind="file") if each.kind == "own" else each for each in told], ""
    done = {each.action for each in own}
    return [each for each in told if each not in own], done.pop() if len(done) == 1 else "changed"


def _sections(told: Sequence[Told], reason: str, *, first: bool) -> Iterator[str]:
    told, own = _set_apart(told, first=first)
    recipes = [each for each in told if each.kind == "recipe"]
    for each in sorted(recipes, key=_rank):
        lines = [f"{_recipe_head(each)} ({each.address})"]
        if each.why and each.why != reason:
            lines.append(_paragraphs(f"Why: {each.why}"))
        lines += [_item(line) for line in each.sentences]
        yield "\n".join(lines)
    order = list(_KINDS)
    others = sorted((each for each in told if each.kind != "recipe"), key=lambda each: order.index(each.kind))
    lines = [_item(_other(each)) for each in others[:_MOST_LINES]]
    if len(others) > _MOST_LINES:
        lines.append(f"- and {len(others) - _MOST_LINES} more files")
    if own:
        lines.append(f"- {'and the' if told else 'The'} {_OWN_WORDS}{'' if own == 'new' else f' {own}'}")
    if lines:
        yield "\n".join(lines)


def _recipe_head(told: Told) -> str:
    if told.action == "deleted":
        return f"Recipe deleted: {told.title}"
    moved = f", moved here from {told.earlier}" if told.earlier and told.action == "renamed" else ""
    word = {"number": "", "corrected": " corrected", "draft": ", a draft", "notes": "", "none": ""}[told.step]
    number = f", version {told.version}{word}" if told.version else ""
    return f"{told.title}{number}{', retired' if told.retired else ''}{moved}"


def _other(told: Told) -> str:
    if told.kind in ("file", "picture"):
        moved = f" (was {told.earlier})" if told.action == "renamed" else ""
        return f"{told.file} {told.action}{moved}"
    moved = f", was {told.earlier}" if told.action == "renamed" else ""
    return f"{_document_line(told)} ({told.file.removeprefix('recipes/')}{moved})"


def _item(text: str) -> str:
    return textwrap.fill(text, WIDTH, initial_indent="- ", subsequent_indent="  ", break_long_words=False)


def _paragraphs(text: str) -> str:
    said = (" ".join(piece.split()) for piece in text.split("\n\n"))
    return "\n\n".join(textwrap.fill(piece, WIDTH, break_long_words=False, break_on_hyphens=False) for piece in said)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]

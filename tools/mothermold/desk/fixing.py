"""Writes the other side of a fix: the failure note says which version answers it."""

from __future__ import annotations

import copy
import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from mothermold.answers.result import refused
from mothermold.book.document import Document, read_document
from mothermold.desk.editing import edited
from mothermold.desk.numbering import Plan
from mothermold.desk.scalars import entry_lines
from mothermold.desk.standing import Standing
from mothermold.desk.telling import sentences_between
from mothermold.find.stems import folded
from mothermold.ground.errors import CannotRunError, RefusedError
from mothermold.model.failure import Failure
from mothermold.view.editions import admits, visibility_of
from mothermold.view.view import View

_FIXES: Final = "fixes"
_LINE_END: Final = re.compile(r"(\r\n|\r|\n)")


@dataclass(frozen=True, slots=True)
class Answered:
    """A failure note that is told which versions answer it.

    Attributes:
        document: What it says from now on.
        original: Its file's text before.
        text: Its file's text from now on.
        by: Of each version that answers it, the recipe and the number.
        deeds: What is written, in words.
    """

    document: Document
    original: str
    text: str
    by: tuple[tuple[str, int], ...] = ()
    deeds: tuple[str, ...] = ()

    @property
    def file(self) -> str:
        """Its path relative to the book."""
        return self.document.file


def answer_notes(root: Path, view: View, plans: Iterable[Plan]) -> tuple[list[Answered], list[str]]:
    """The failure notes that shall say which version answers them, and what is left to be typed by hand.

    Args:
        root: The book's folder.
        view: The book as it lies there.
        plans: How its recipes are saved.

    Raises:
        CannotRunError: A note cannot be read.
    """
    found: dict[str, Answered] = {}
    by_hand: list[str] = []
    for made in plans:
        for name in dict.fromkeys(made.answers):
            document = view.documents["failure"].get(name)
            if document is None or _is_answered(document, view, made):
                continue
            try:
                found[name] = _answer(found.get(name) or _untouched(root, document, view), view, made)
            except RefusedError:
                by_hand.append(f"Type `in: {_pin(made)}` at the fix in {document.file}; it cannot be written there.")
    return list(found.values()), by_hand


def _pin(made: Plan) -> str:
    return f"{made.weighed.document.address}@{made.version}"


def _is_answered(document: Document, view: View, made: Plan) -> bool:
    fixes = document.model.fixes if isinstance(document.model, Failure) else ()
    pins = [fix.in_ for fix in fixes if fix.in_ is not None and fix.in_.version == made.version]
    named = [versions.address for pin in pins if (versions := view.versions(pin.address)) is not None]
    return made.weighed.document.address in named


def _untouched(root: Path, document: Document, view: View) -> Answered:
    # A number that is still to come may be named in it already.
    faults = [each for each in view.notices if each.severity == "error" and each.code != "version-missing"]
    if any(each.file == document.file for each in faults):
        raise _not_edited(document)
    try:
        original = (root / document.file).read_bytes().decode("utf-8")
    except (OSError, UnicodeDecodeError) as problem:
        raise CannotRunError(f"{root / document.file} could not be read: {problem}.") from problem
    return Answered(document, original, original)


def _answer(note: Answered, view: View, made: Plan) -> Answered:
    document, pin = note.document, _pin(made)
    assert isinstance(document.model, Failure)
    said = " ".join([made.why, *sentences_between(view, made.weighed.before, made.weighed.document)])
    fixes = document.model.fixes
    fitting = [place for place, fix in enumerate(fixes) if fix.in_ is None and _fits(fix.do, said)]
    if len(fitting) == 1:
        do = " ".join(fixes[fitting[0]].do.split())
        text = edited(document, {(_FIXES, fitting[0], "in"): pin}, original=note.text)
        deed = f"the fix “{do}” is in {pin} now."
    elif not admits(visibility_of(document), visibility_of(made.weighed.document)):
        # A reason is never copied to where more people read it.
        raise _not_edited(document)
    else:
        do = " ".join((made.why or made.weighed.recipe.title).split())
        text = _with_fix(document, note.text, do, pin)
        deed = f"a fix is written, “{do}”, in {pin}."
    by = (*note.by, (made.weighed.document.address, made.version))
    return replace(note, document=_read(document, text), text=text, by=by, deeds=(*note.deeds, deed))


def _fits(fix: str, said: str) -> bool:
    """Whether what changed speaks of a fix: of at least half of its longer words."""
    words, others = _words(fix), _words(said)
    shared = [word for word in words if any(word.startswith(each) or each.startswith(word) for each in others)]
    return bool(words) and 2 * len(shared) >= len(words)


def _words(text: str) -> set[str]:
    return set(re.findall(r"\w{4,}", folded(text)))


def _with_fix(document: Document, original: str, do: str, pin: str) -> str:
    """The file's text with one more fix behind the others, and nothing else touched."""
    expected = copy.deepcopy(document.raw)
    expected[_FIXES] = [*(expected.get(_FIXES) or []), {"do": do, "in": pin}]
    if not document.raw.get(_FIXES):
        original = edited(document, {(_FIXES,): []}, original=original)
        document = _read(document, original)
    standing = Standing(document.text)
    path = (_FIXES,)
    if not document.raw[_FIXES]:
        line, column = standing.line(path), 2
    elif standing.is_braced(path):
        # Prose does not stand inside braces.
        raise _not_edited(document)
    else:
        last = (_FIXES, len(document.raw[_FIXES]) - 1)
        line, column = standing.last_own_line(last), standing.column(last)
    pieces = _LINE_END.split(original)
    end = pieces[1] if len(pieces) > 1 else "\n"
    head = pieces[2 * line] if document.raw[_FIXES] else re.sub(r":\s*\[\s*\]", ":", pieces[2 * line], count=1)
    lines = entry_lines("do: ", do, column + 2)
    lines[0] = f"{' ' * column}- {lines[0].lstrip(' ')}"
    pieces[2 * line] = end.join([head, *lines, f"{' ' * (column + 2)}in: {pin}"])
    text = "".join(pieces)
    if _read(document, text).raw != expected:
        raise _not_edited(document)
    return text


def _read(document: Document, text: str) -> Document:
    new = read_document(document.kind, document.address, document.file, text.encode("utf-8"))
    if new.model is None:
        raise _not_edited(document)
    return new


def _not_edited(document: Document) -> RefusedError:
    return refused("not-edited", f"{document.file} could not be changed here.", "Change it by hand in the file.")

"""Writes the other side of a fix: the failure note says which version answers it."""

from __future__ import annotations

import copy
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from mothermold.book.document import Document, read_document
from mothermold.desk.asking import Asking, Offer
from mothermold.desk.editing import edited
from mothermold.desk.entries import Standing
from mothermold.desk.numbering import Plan
from mothermold.desk.save_message import sentences_between
from mothermold.desk.scalars import entry_lines
from mothermold.find.stems import folded
from mothermold.ground.errors import CannotRunError, RefusedError, refused
from mothermold.model.failure import Failure
from mothermold.view.editions import admits, visibility_of
from mothermold.view.view import View

_FIXES: Final = "fixes"
_ANOTHER: Final = "another"
_TOLD: Final = 3
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


def answer_notes(
    root: Path, view: View, plans: Iterable[Plan], asking: Asking, *, asks: bool
) -> tuple[list[Answered], list[str]]:
    """The failure notes that shall say which version answers them, and what is left to be typed by hand.

    A fix is what one does, never why the recipe was changed: where a note has none that is meant, what changed in the recipe
    is offered for it.

    Args:
        root: The book's folder.
        view: The book as it lies there.
        plans: How its recipes are saved.
        asking: Whom to ask which fix is meant, where that may be asked.
        asks: Whether it may; else a fix is taken only where one alone can be meant.

    Raises:
        CannotRunError: A note cannot be read.
    """
    found: dict[str, Answered] = {}
    by_hand: list[str] = []
    for made in plans:
        for name in dict.fromkeys(made.answers):
            document = view.on("failure").get(name)
            if document is None or _is_answered(document, view, made):
                continue
            try:
                note = found.get(name) or _untouched(root, document, view)
                meant = _meant(note, view, made, asking if asks else None)
                if meant is None:
                    by_hand.append(
                        f"{document.file} has fixes that no version is named for, and it is not clear which one is meant: "
                        f"type `in: {_pin(made)}` at that one."
                    )
                else:
                    found[name] = _answer(note, made, meant)
            except RefusedError:
                by_hand.append(f"Type `in: {_pin(made)}` at the fix in {document.file}; it cannot be written there.")
    return list(found.values()), by_hand


def _pin(made: Plan) -> str:
    return f"{made.changed.document.address}@{made.version}"


def _is_answered(document: Document, view: View, made: Plan) -> bool:
    fixes = document.model.fixes if isinstance(document.model, Failure) else ()
    pins = [fix.in_ for fix in fixes if fix.in_ is not None and fix.in_.version == made.version]
    named = [versions.address for pin in pins if (versions := view.versions(pin.address)) is not None]
    return made.changed.document.address in named


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


@dataclass(frozen=True, slots=True)
class _Meant:
    """The fix of a note that a version answers: the place of one it has, or the words of a new one."""

    place: int | None = None
    do: str = ""


def _meant(note: Answered, view: View, made: Plan, asking: Asking | None) -> _Meant | None:
    """Which fix is meant; None where that is not plain and nobody can be asked."""
    model = note.document.model
    assert isinstance(model, Failure)
    changed = sentences_between(view, made.changed.before, made.changed.document)
    said = " ".join([made.why, *changed])
    # Of two in the same words the first is meant.
    still = {
        " ".join(fix.do.split()): place for place, fix in reversed(list(enumerate(model.fixes))) if fix.in_ is None
    }
    still = dict(sorted(still.items(), key=lambda each: each[1]))
    fitting = [do for do in still if _fits(do, said)]
    if len(fitting) == 1 and (asking is None or len(still) == 1):
        return _Meant(still[fitting[0]])
    if still and asking is None:
        return None
    if not still and not admits(visibility_of(note.document), visibility_of(made.changed.document)):
        # What a recipe says is never copied to where more people read it.
        raise _not_edited(note.document)
    deed = _deed(changed, made)
    if asking is None:
        return _Meant(do=deed)
    if still:
        offers = [*(Offer(do) for do in still), Offer(_ANOTHER, "a fix that is not in the note yet")]
        question = f"Which fix of “{model.title}” is in {_pin(made)}?"
        chosen = asking.choose(question, offers, default=fitting[0] if len(fitting) == 1 else "", needed=True)
        if chosen in still:
            return _Meant(still[chosen])
    if not admits(visibility_of(note.document), visibility_of(made.changed.document)):
        deed = ""
    return _Meant(do=asking.text(f"What to do now about “{model.title}”", default=deed, needed=True))


def _deed(changed: Sequence[str], made: Plan) -> str:
    """What was changed, as a fix says what to do; of a first version its title."""
    told = [each.replace("*", "").rstrip(".") for each in changed[:_TOLD]]
    more = f"; and {len(changed) - _TOLD} more" if len(changed) > _TOLD else ""
    words = "; ".join(told) + more if told else str(made.changed.recipe.title)
    return words[:1].upper() + words[1:]


def _answer(note: Answered, made: Plan, meant: _Meant) -> Answered:
    document, pin = note.document, _pin(made)
    assert isinstance(document.model, Failure)
    if meant.place is not None:
        do = " ".join(document.model.fixes[meant.place].do.split())
        text = edited(document, {(_FIXES, meant.place, "in"): pin}, original=note.text)
        deed = f"the fix “{do}” is in {pin} now."
    else:
        do = " ".join(meant.do.split())
        text = _with_fix(document, note.text, do, pin)
        deed = f"a fix is written, “{do}”, in {pin}."
    by = (*note.by, (made.changed.document.address, made.version))
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

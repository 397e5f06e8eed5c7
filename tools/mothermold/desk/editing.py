"""Changes single entries of a document and leaves every other character of its file as the author typed it.

Each change is a small cut in the text. What comes out is read again, and must say exactly what the document said,
with these changes and nothing else; otherwise nothing is written.
"""

from __future__ import annotations

import copy
import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from pathlib import Path as FilePath
from typing import Any, Final, TypeAlias

from mothermold.book.characters import find_character_faults
from mothermold.book.document import Document
from mothermold.book.tree import Raw
from mothermold.desk.entries import Standing
from mothermold.desk.splices import Splice, Written, add_item, add_key, arrange, copy_item, remove, set_value
from mothermold.ground.errors import CannotRunError, RefusedError, refused
from mothermold.ground.notices import Notice
from mothermold.ground.writing import write_text
from mothermold.model.expected import keys_of, model_in, type_at
from mothermold.model.kinds import KINDS
from mothermold.model.walk import KeyPath


@dataclass(frozen=True, slots=True)
class Arranged:
    """The entries of a list in another order: each the place one had, or what a new one says.

    A place that comes again is a copy; one that does not come is gone, with its comments.
    """

    entries: tuple[int | Written, ...]


Value: TypeAlias = "Written | Arranged | None"
Changes = Mapping[KeyPath, Value]
_LINE_END: Final = re.compile(r"\r\n|\r|\n")
_MARK: Final = "\ufeff"


def edited(document: Document, changes: Changes, *, original: str | None = None) -> str:
    """The document's text with values set at these paths.

    Args:
        document: As it was read.
        changes: By path of keys and list places: a text, a list, a group of keys, or None to take the entry out. A key
            that is not there is put at its place; the place behind a list's last entry adds one. ``Arranged`` is
            another order of a list, beside which nothing in that list is changed.
        original: The file's text with its own line ends and mark, where those must stay; the document's own text,
            whose line ends are unified, unless given.

    Raises:
        RefusedError: ``not-edited`` where the change cannot be made without touching more.
    """
    whole = document.text if original is None else original
    text = _EditedText(whole)
    if text.text != document.text:
        raise RefusedError(_refusal(document, ()))
    expected = copy.deepcopy(document.tree.raw)
    for path, value in _in_turn(document, changes):
        try:
            for splice_of, here, what in _deeds(expected, path, value):
                text.cut(_splice(document, Standing(text.text), splice_of, here, what))
            expected = _told(expected, path, value)
        except (LookupError, TypeError, ValueError):
            raise RefusedError(_refusal(document, path)) from None
    if not _says(text.text, expected, document):
        raise RefusedError(_refusal(document, next(iter(changes), ())))
    return text.whole


def write_changes(root: FilePath, document: Document, changes: Changes) -> bool:
    """Changes the document's file in its folder, its line ends and all else kept; tells whether anything changed.

    Raises:
        RefusedError: ``not-edited``, or ``changed-meanwhile`` where the file is no longer what was read.
        CannotRunError: The file cannot be read or written.
    """
    file = root / document.file
    try:
        original = file.read_bytes().decode("utf-8")
    except (OSError, UnicodeDecodeError) as problem:
        raise CannotRunError(f"{file} could not be read: {problem}.") from problem
    if _EditedText(original).text != document.text:
        raise refused(
            "changed-meanwhile",
            f"{file.name} was changed by someone else since it was read.",
            "Look at the file again, then repeat what you did; nothing was written.",
        )
    new = edited(document, changes, original=original)
    if new != original:
        write_text(file, new, replaces=original)
    return new != original


class _EditedText:
    """A text whose line ends are unified, and the ends its lines really have."""

    def __init__(self, whole: str) -> None:
        self.mark = _MARK if whole.startswith(_MARK) else ""
        body = whole.removeprefix(_MARK)
        self.ends = _LINE_END.findall(body)
        self.text = _LINE_END.sub("\n", body)
        self.usual = Counter(self.ends).most_common(1)[0][0] if self.ends else "\n"

    def cut(self, splice: Splice) -> None:
        """Makes one change."""
        first = self.text.count("\n", 0, splice.start)
        gone, come = self.text.count("\n", splice.start, splice.end), splice.text.count("\n")
        kept = self.ends[first : first + min(gone, come)]
        self.ends[first : first + gone] = kept + [self.usual] * (come - len(kept))
        self.text = self.text[: splice.start] + splice.text + self.text[splice.end :]

    @property
    def whole(self) -> str:
        """The text with its own line ends."""
        ends = iter(self.ends)
        return self.mark + re.sub("\n", lambda _match: next(ends), self.text)


_Deed = tuple[str, KeyPath, Any]


def _in_turn(document: Document, changes: Changes) -> list[tuple[KeyPath, Value]]:
    """What is set first, then what is added, then what goes, the last first: so that every path stays right."""
    there = [(path, value) for path, value in changes.items() if value is not None and _is_there(document, path)]
    new = [(path, value) for path, value in changes.items() if value is not None and not _is_there(document, path)]
    gone = [path for path, value in changes.items() if value is None and _is_there(document, path)]
    new.sort(key=lambda change: [step if isinstance(step, int) else -1 for step in change[0]])
    gone.sort(key=lambda path: [(isinstance(step, int), step if isinstance(step, int) else 0) for step in path])
    return [*there, *new, *((path, None) for path in reversed(gone))]


def _is_there(document: Document, path: KeyPath) -> bool:
    return path in document.tree.values


def _deeds(said: Raw, path: KeyPath, value: Value) -> Iterator[_Deed]:
    """The single cuts a change is made of."""
    holder = _at(said, path[:-1])
    step = path[-1]
    if value is None:
        yield "remove", path, None
    elif isinstance(value, Arranged) and not isinstance(holder[step], list):
        raise ValueError(path)
    elif isinstance(holder, dict) and step not in holder:
        yield "add_key", path, value
    elif isinstance(holder, list) and step == len(holder):
        yield "add_item", path, value
    else:
        old = holder[step]
        if isinstance(value, Arranged):
            yield from _arranging(len(old), value.entries, path)
        elif old == (new := _plain(value)):
            return
        elif isinstance(old, list) and isinstance(new, list) and old and new and _are_texts([*old, *new]):
            yield from _list_deeds(old, new, path)
        else:
            yield "set_value", path, value


def _are_texts(values: Sequence[Raw]) -> bool:
    return all(isinstance(each, str) for each in values)


def _arranging(count: int, entries: Sequence[int | Written], path: KeyPath) -> Iterator[_Deed]:
    # What goes goes first, what stays is put in order, then what is copied or new comes in from the front.
    kept = list(dict.fromkeys(each for each in entries if isinstance(each, int)))
    if not kept:
        yield "set_value", path, list(entries)
        return
    for place in reversed(range(count)):
        if place not in kept:
            yield "remove", (*path, place), None
    if kept != sorted(kept):
        yield "arrange", path, [sorted(kept).index(place) for place in kept]
    now: list[int | None] = [*kept]
    for place, each in enumerate(entries):
        if isinstance(each, int) and now[place : place + 1] == [each]:
            continue
        if isinstance(each, int):
            yield "copy_item", (*path, now.index(each)), place
        else:
            yield "add_item", (*path, place), each
        now.insert(place, None)


def _list_deeds(old: list[str], new: list[str], path: KeyPath) -> Iterator[_Deed]:
    # From the end, so that the places before stay what they are; what comes is put in before anything goes.
    for tag, first, last, start, end in reversed(SequenceMatcher(None, old, new, autojunk=False).get_opcodes()):
        if tag == "equal":
            continue
        common = min(last - first, end - start)
        for place in reversed(range(start + common, end)):
            yield "add_item", (*path, first + common), new[place]
        for place in range(common):
            yield "set_value", (*path, first + place), new[start + place]
        for place in reversed(range(first + common, last)):
            yield "remove", (*path, place), None


def _splice(document: Document, standing: Standing, deed: str, path: KeyPath, value: Any) -> Splice:
    match deed:
        case "remove":
            return remove(standing, path)
        case "add_key":
            return add_key(standing, path, value, _order(document, path[:-1]))
        case "add_item":
            return add_item(standing, path, value)
        case "copy_item":
            return copy_item(standing, path, value)
        case "arrange":
            return arrange(standing, path, value)
    return set_value(standing, path, value)


def _order(document: Document, owner: KeyPath) -> list[str]:
    """The order in which the keys of a group are written."""
    model = KINDS[document.kind].model
    group = model_in(type_at(model, owner)) if owner else model
    order = list(keys_of(group)) if group else []
    if "visibility" in order:
        # Who may read it is said after what it is, and in a recipe after its reason.
        order.remove("visibility")
        order.insert(order.index("fixes" if "fixes" in order else "title") + 1 if "title" in order else 1, "visibility")
    return order


def _told(said: Raw, path: KeyPath, value: Value) -> Raw:
    """What the document says after a change."""
    holder, step = _at(said, path[:-1]), path[-1]
    if value is None:
        del holder[step]
    elif isinstance(value, Arranged):
        old = holder[step]
        holder[step] = [copy.deepcopy(old[each]) if isinstance(each, int) else _plain(each) for each in value.entries]
    elif isinstance(holder, list) and step == len(holder):
        holder.append(_plain(value))
    else:
        holder[step] = _plain(value)
    return said


def _plain(value: Written) -> Raw:
    """A value as it is read back."""
    if isinstance(value, str):
        return value
    if isinstance(value, Mapping):
        return {key: _plain(each) for key, each in value.items()}
    return [_plain(each) for each in value]


def _at(said: Raw, path: KeyPath) -> Raw:
    for step in path:
        said = said[step]
    return said


def _says(text: str, expected: Raw, document: Document) -> bool:
    standing = Standing(text)
    if standing.tree.raw != expected:
        return False
    before = Counter(notice.code for notice in document.tree.notices)
    after = Counter(notice.code for notice in standing.tree.notices)
    return not after - before and not any(find_character_faults(text))


def _refusal(document: Document, path: KeyPath) -> Notice:
    where = ".".join(str(step + 1) if isinstance(step, int) else step for step in path)
    return document.notice(
        "not-edited",
        f"`{where or document.file}` could not be changed here without touching more than that.",
        "Change it by hand in the file; nothing was written.",
        path,
    )

"""One change of one entry as a cut in the text: which characters go, and which come in their place."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Any, Final, NamedTuple, TypeAlias

from mothermold.desk.entries import Standing
from mothermold.desk.scalars import ScalarPlace, as_block, is_long, on_a_line
from mothermold.desk.written import in_braces, item_lines, key_lines, value_written
from mothermold.model.walk import KeyPath

Written: TypeAlias = "str | Sequence[Any] | Mapping[str, Any]"
"""What is written at a place: a text, a list, a group of keys."""

_BLOCK_SIGN: Final = re.compile(r"([|>])[+-]?\d?[+-]?")


class Splice(NamedTuple):
    """The characters from ``start`` to ``end`` give way to ``text``."""

    start: int
    end: int
    text: str


def set_value(standing: Standing, path: KeyPath, value: Written) -> Splice:
    """Another value where one stands, or stands empty."""
    if standing.inside_braces(path):
        return _in_braces(standing, path, value)
    start, end = standing.value_start(path), standing.value_end(path)
    old = standing.text[start:end]
    if standing.is_group(path):
        return _instead_of_group(standing, path, value)
    if sign := _BLOCK_SIGN.match(old):
        return _instead_of_block(standing, path, sign, value)
    first, below = _kept_in_style(standing, path, value, old)
    return _with_rest(standing, start, end, first, below)


def _with_rest(standing: Standing, start: int, end: int, first: str, below: Sequence[str]) -> Splice:
    """A value and what is said behind it on its line, which stays there when the value goes on below."""
    line_end = standing.text.find("\n", end)
    line_end = len(standing.text) if line_end < 0 else line_end
    rest = standing.text[end:line_end]
    if not first:
        start = len(standing.text[:start].rstrip(" "))
    elif not standing.text[:start].endswith((" ", "\n")):
        first = f" {first}"
    return Splice(start, line_end, _joined(first, rest, below))


def _column(standing: Standing, start: int) -> int:
    return start - (standing.text.rfind("\n", 0, start) + 1)


def _place(standing: Standing, path: KeyPath) -> ScalarPlace:
    start = standing.value_start(path)
    if not standing.text[start - _column(standing, start) : start].strip():
        return "line"
    return "item" if isinstance(path[-1], int) else "key"


def _kept_in_style(standing: Standing, path: KeyPath, value: Written, old: str) -> tuple[str, list[str]]:
    quote = old[:1] if old[:1] in ("'", '"') else ""
    column = _column(standing, standing.value_start(path))
    if isinstance(value, str) and quote and not is_long(value.replace("\n", " "), column):
        return on_a_line(value, _place(standing, path), quote=quote), []
    return _as_written(standing, path, value, column)


def _as_written(standing: Standing, path: KeyPath, value: Written, column: int) -> tuple[str, list[str]]:
    return value_written(value, standing.column(path), column, _place(standing, path), _at(path))


def _at(path: KeyPath) -> str:
    """Where in a document a path leads, its places in lists left out."""
    return ".".join(step for step in path if isinstance(step, str))


def _joined(first: str, rest: str, below: Sequence[str]) -> str:
    if first.strip() and first.strip()[0] not in "[{\"'|>" and re.match(r" #", rest):
        # Behind a plain text one space makes no comment.
        rest = " " + rest
    if not first.strip() and not rest.strip():
        first = rest = ""
    return "\n".join([first + rest, *below])


def _in_braces(standing: Standing, path: KeyPath, value: Written) -> Splice:
    start, end = standing.value_start(path), standing.value_end(path)
    old = standing.text[start:end]
    if isinstance(value, str):
        new = on_a_line(value, "braces", quote=old[0] if old[:1] in ("'", '"') else "")
    else:
        new = in_braces(value)
    space = "" if old or standing.text[:start].endswith((" ", "\n", "[", "{")) else " "
    return Splice(start, end, space + new)


def _instead_of_block(standing: Standing, path: KeyPath, sign: re.Match[str], value: Written) -> Splice:
    indent = standing.column(path)
    old = Splice(standing.value_start(path), standing.value_end(path), "")
    head, *body = standing.text[old.start : old.end].split("\n")
    comment = head[sign.end() :]
    inner = next((len(line) - len(line.lstrip(" ")) for line in body if line.strip()), indent + 2)
    if isinstance(value, str) and (block := as_block(value, inner, style=sign[1])):
        return old._replace(text=_joined(block[0], comment, block[1]))
    first, below = _as_written(standing, path, value, _column(standing, old.start))
    start = old.start if first else len(standing.text[: old.start].rstrip(" "))
    return Splice(start, old.end, _joined(first, comment, below))


def _instead_of_group(standing: Standing, path: KeyPath, value: Written) -> Splice:
    indent = standing.column(path)
    if standing.is_braced(path):
        start, end = standing.value_start(path), standing.value_end(path)
        first, below = _as_written(standing, path, value, _column(standing, start))
        return _with_rest(standing, start, end, first, below)
    first, below = value_written(value, indent, indent, "item" if isinstance(path[-1], int) else "key", _at(path))
    return _emptied(standing, path, first, below)


def _emptied(standing: Standing, path: KeyPath, first: str, below: Sequence[str] = ()) -> Splice:
    """Something short instead of a group written below its key; what is said behind the key's colon stays."""
    mark = standing.behind_mark(path)
    inner = standing.below(path)
    line = standing.text.count("\n", 0, mark)
    begins_here = standing.line(inner[0]) == line
    rest = "" if begins_here else standing.text[mark : standing.line_end(line)]
    end = standing.line_end(max(standing.last_own_line(inner[-1]), standing.last_line(path)))
    # What was set apart above the first entry belongs to none of them and stays.
    apart = [] if begins_here else standing.lines[line + 1 : standing.first_own_line(inner[0])]
    kept = apart if any(each.strip() for each in apart) else []
    return Splice(mark, end, _joined(f" {first}" if first else "", rest, [*kept, *below]))


def add_key(standing: Standing, path: KeyPath, value: Written, order: Sequence[str]) -> Splice:
    """A key that is not there yet, at its place in the order its kind is written in."""
    owner, key = path[:-1], str(path[-1])
    siblings = standing.below(owner)
    gap = _gap([str(each[-1]) for each in siblings], key, order)
    if standing.is_braced(owner):
        return _into_braces(standing, owner, siblings, gap, f"{key}: {in_braces(value)}")
    column = standing.column(siblings[0])
    lines = key_lines(key, value, column, _at(path))
    if gap == 0:
        start = standing.key_start(siblings[0])
        return Splice(start, start, "\n".join(lines).lstrip(" ") + "\n" + " " * column)
    return _after(standing, siblings[gap - 1], lines)


def add_item(standing: Standing, path: KeyPath, value: Written) -> Splice:
    """An entry put into a list before the one that stands at its place, or behind the last."""
    owner, place = path[:-1], int(path[-1])
    siblings = standing.below(owner)
    if standing.is_braced(owner):
        return _into_braces(standing, owner, siblings, place, in_braces(value))
    return _put_in(standing, siblings, place, item_lines(value, standing.column(siblings[0]), _at(owner)))


def copy_item(standing: Standing, path: KeyPath, place: int) -> Splice:
    """An entry of a list once more, before the one that stands at a place, or behind the last; its comments inside too."""
    siblings = standing.below(path[:-1])
    if standing.is_braced(path[:-1]):
        written = standing.text[standing.key_start(path) : standing.value_end(path)]
        return _into_braces(standing, path[:-1], siblings, place, written)
    _alone(standing, siblings)
    return _put_in(standing, siblings, place, standing.lines[standing.line(path) : standing.last_line(path) + 1])


def arrange(standing: Standing, path: KeyPath, order: Sequence[int]) -> Splice:
    """The entries of a list in another order, each with its comments; what is set apart between them stays where it is.

    Raises:
        ValueError: They cannot be told apart so.
    """
    siblings = standing.below(path)
    if standing.is_braced(path):
        spans = [(standing.key_start(each), standing.value_end(each)) for each in siblings]
        between = [standing.text[one[1] : other[0]] for one, other in pairwise(spans)]
        if any("#" in each for each in between):
            raise ValueError(path)
        texts = [standing.text[start:end] for start, end in spans]
    else:
        _alone(standing, siblings)
        lines = [(standing.first_own_line(each), standing.last_own_line(each) + 1) for each in siblings]
        spans = [(standing.offset(first), standing.line_end(last - 1)) for first, last in lines]
        between = [standing.text[one[1] : other[0]] for one, other in pairwise(spans)]
        texts = [standing.text[start:end] for start, end in spans]
    pieces = [part for place, each in enumerate(order) for part in (texts[each], *between[place : place + 1])]
    return Splice(spans[0][0], spans[-1][1], "".join(pieces))


def _alone(standing: Standing, siblings: Sequence[KeyPath]) -> None:
    """Refuses entries that share a line with what stands around them."""
    if any(standing.lines[standing.line(each)][: standing.column(each)].strip() for each in siblings):
        raise ValueError(siblings)


def _put_in(standing: Standing, siblings: Sequence[KeyPath], place: int, lines: Sequence[str]) -> Splice:
    """Lines of an entry, set off by an empty one where all those beside it are."""
    gaps = [
        standing.lines[standing.last_own_line(one) + 1 : standing.first_own_line(other)]
        for one, other in pairwise(siblings)
    ]
    apart = [""] if gaps and all(gap == [""] for gap in gaps) else []
    if place > 0:
        return _after(standing, siblings[place - 1], [*apart, *lines])
    start = standing.offset(standing.first_own_line(siblings[0]))
    return Splice(start, start, "\n".join([*lines, *apart]) + "\n")


def _gap(there: Sequence[str], key: str, order: Sequence[str]) -> int:
    """Before which of the keys a new one stands with the fewest of them on the wrong side."""
    ranks = {word: rank for rank, word in enumerate(order)}
    if key not in ranks:
        return len(there)

    def wrong(gap: int) -> tuple[int, int]:
        before = sum(1 for word in there[:gap] if ranks.get(word, -1) > ranks[key])
        after = sum(1 for word in there[gap:] if word in ranks and ranks[word] < ranks[key])
        return before + after, gap

    return min(range(len(there) + 1), key=wrong)


def _after(standing: Standing, path: KeyPath, lines: Sequence[str]) -> Splice:
    end = standing.line_end(standing.last_own_line(path))
    return Splice(end, end, "".join(f"\n{line}" for line in lines))


def _into_braces(standing: Standing, owner: KeyPath, siblings: Sequence[KeyPath], gap: int, written: str) -> Splice:
    if not siblings:
        start = standing.value_start(owner) + 1
        return Splice(start, start, written)
    if gap == 0:
        start = standing.key_start(siblings[0])
        return Splice(start, start, f"{written}, ")
    end = standing.value_end(siblings[gap - 1])
    return Splice(end, end, f", {written}")


def remove(standing: Standing, path: KeyPath) -> Splice:
    """An entry goes, with the comments that belong to it."""
    owner = path[:-1]
    siblings = standing.below(owner)
    place = siblings.index(path)
    if standing.is_braced(owner):
        return _out_of_braces(standing, siblings, place)
    if len(siblings) == 1:
        return _emptied(standing, owner, "[]" if isinstance(path[-1], int) else "{}")
    line, last = standing.line(path), standing.last_own_line(path)
    start = standing.offset(line, standing.column(path))
    if standing.lines[line][: standing.column(path)].strip():
        # The dash of the entry around it stands in this line and has to stay.
        following = siblings[place + 1]
        if not any(each.strip() for each in standing.lines[last + 1 : standing.line(following)]):
            return Splice(start, standing.key_start(following), "")
        return Splice(len(standing.text[:start].rstrip(" ")), standing.line_end(last), "")
    first = standing.first_own_line(path)
    if last + 1 < len(standing.lines):
        return Splice(standing.offset(first), standing.offset(last + 1), "")
    # The file ends without a line end and goes on doing so, but for a block whose text ends with one.
    start = standing.offset(first) if standing.ends_open(first) else standing.line_end(first - 1)
    return Splice(start, standing.line_end(last), "")


def _out_of_braces(standing: Standing, siblings: Sequence[KeyPath], place: int) -> Splice:
    text, path = standing.text, siblings[place]
    start, end = standing.key_start(path), standing.value_end(path)
    line_start = text.rfind("\n", 0, start) + 1
    alone = re.match(r" *,? *(?:#[^\n]*)?(?:\n|$)", text[end:])
    if not text[line_start:start].strip() and alone:
        while (above := re.search(r"(?:^|\n)( *#[^\n]*\n)$", text[:line_start])) is not None:
            line_start = above.start(1)
        return Splice(line_start, end + alone.end(), "")
    before = standing.value_end(siblings[place - 1]) if place else start
    if place + 1 < len(siblings):
        following = standing.key_start(siblings[place + 1])
        if "#" not in text[end:following]:
            return Splice(start, following, "")
        own = re.match(r" *, *(?:#[^\n]*)?", text[end:])
        return Splice(start, end + (own.end() if own else 0), "")
    return Splice(start if "#" in text[before:start] else before, end, "")

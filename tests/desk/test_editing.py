"""Editing changes what was asked and nothing else: every other character of the file stays."""

from __future__ import annotations

import copy
import random
import re
from collections import Counter
from collections.abc import Callable, Iterator
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from campaigns.many import failing
from campaigns.seeds import REST, divided, seeds
from desk.nasty import nasty
from mothermold.book.document import Document, read_document
from mothermold.book.empties import close_ranks, find_empty
from mothermold.book.files import Place, place_of
from mothermold.book.library import read_book
from mothermold.book.tree import read_tree
from mothermold.desk.editing import Arranged, edited, write_changes
from mothermold.ground.errors import RefusedError
from mothermold.model.expected import is_list, keys_of, model_in, type_at
from mothermold.model.kinds import KINDS
from mothermold.model.walk import KeyPath as Steps
from view.books import make_book

ROOT = Path(__file__).resolve().parents[2]


def doc(text: str, kind: str = "recipe", mark: bytes = b"") -> Document:
    return read_document(kind, "cast/piece", f"recipes/cast/{kind}.yaml", mark + text.encode())


@cache
def written_books() -> list[Document]:
    found = [*read_book(ROOT).documents.every(), *read_book(ROOT / "tests" / "data" / "good").documents.every()]
    for seed in range(3):
        for file, text in make_book(seed).files.items():
            place = place_of(file)
            if isinstance(place, Place):
                found.append(read_document(place.kind, place.address, file, text.encode()))
    return [each for each in found if each.tree.raw is not None]


def of_each(look: Callable[[Document], None], rest: bool | None = None) -> str:
    """Of which documents it does not hold: of every fourth, of the others, or of all."""
    documents = written_books() if rest is None else divided(written_books(), 4, rest)
    return failing(documents, look, lambda document: document.file)


def entries(raw: Any, path: Steps = ()) -> Iterator[tuple[Steps, Any]]:
    """Every key and list entry below, with what it says."""
    for step, value in raw.items() if isinstance(raw, dict) else enumerate(raw) if isinstance(raw, list) else ():
        yield (*path, step), value
        yield from entries(value, (*path, step))


def scalars(document: Document) -> list[tuple[Steps, str]]:
    return [(path, value) for path, value in entries(document.tree.raw) if not isinstance(value, dict | list)]


def on_one_line(document: Document, path: Steps) -> bool:
    span = document.tree.values[path]
    return span.line == span.end_line


def changed(raw: Any, path: Steps, value: Any) -> Any:
    raw = copy.deepcopy(raw)
    holder = raw
    for step in path[:-1]:
        holder = holder[step]
    if value is None:
        del holder[path[-1]]
    else:
        holder[path[-1]] = value
    return raw


def raw_of(text: str) -> Any:
    tree = read_tree(text)
    close_ranks(tree, find_empty(tree.raw))
    return tree.raw


def comments(text: str) -> list[tuple[int, str]]:
    """Every comment with its line: what begins with `#` outside of all keys and single values."""
    tree = read_tree(text)
    letters = [list(line) for line in text.split("\n")]
    for path, value in entries(tree.raw):
        spans = [tree.keys.get(path)]
        spans.append(None if isinstance(value, dict | list) else tree.values[path])
        for span in filter(None, spans):
            is_block = letters[span.line - 1][span.column - 1 : span.column] in (["|"], [">"])
            for line in range(span.line - 1, span.end_line):
                start = span.column - 1 if line == span.line - 1 else 0
                end = span.end_column - 1 if line == span.end_line - 1 else len(letters[line])
                if is_block and line == span.line - 1:
                    end = start + 1  # a comment may stand behind the sign of a block
                letters[line][start:end] = "x" * (end - start)
    found = ((number, re.search("#.*", "".join(line))) for number, line in enumerate(letters))
    return [(number, match[0]) for number, match in found if match]


def told(text: str) -> Counter[str]:
    return Counter(comment for _line, comment in comments(text))


# Setting a value


def _another_value_changes_one_line_and_says_exactly_that(document: Document) -> None:
    before, said_beside = document.text.split("\n"), told(document.text)
    chosen = scalars(document)
    # Of the longest documents every few values, of the others all.
    most = 12 if "zq" in document.file else 40
    chosen = random.Random(document.file).sample(chosen, min(most, len(chosen)))
    for number, (path, value) in enumerate(chosen):
        after_text = edited(document, {path: "zq9"})
        after, span = after_text.split("\n"), document.tree.values[path]
        assert raw_of(after_text) == changed(document.tree.raw, path, "zq9"), path
        if not on_one_line(document, path):
            assert told(after_text) == said_beside, path
            continue
        line = span.line - 1
        assert after[:line] + after[line + 1 :] == before[:line] + before[line + 1 :], path
        # Before the value and behind it the line stays as it was, the comment there too.
        assert after[line].startswith(before[line][: span.column - 1]), path
        assert after[line].endswith(before[line][span.end_column - 1 :]), path
        if value is not None and len(value) < 100 and number % 2 == 0:
            again = read_document(document.kind, document.address, document.file, after_text.encode())
            assert edited(again, {path: value}) == document.text, path


@pytest.mark.parametrize("rest", REST)
def test_another_value_changes_one_line_and_says_exactly_that(rest: bool) -> None:
    assert of_each(_another_value_changes_one_line_and_says_exactly_that, rest) == ""


def _the_same_value_changes_nothing(document: Document) -> None:
    same = {path: value for path, value in entries(document.tree.raw) if isinstance(value, str)}
    assert edited(document, same) == document.text
    lists = {
        path: value
        for path, value in entries(document.tree.raw)
        if isinstance(value, list) and all(isinstance(each, str) for each in value)
    }
    assert edited(document, lists) == document.text


def test_the_same_value_changes_nothing() -> None:
    assert of_each(_the_same_value_changes_nothing) == ""


def _line_ends_and_a_mark_at_the_start_stay(document: Document) -> None:
    path, _value = next((path, value) for path, value in scalars(document) if value is not None)
    original = "\ufeff" + document.text.replace("\n", "\r\n")
    assert edited(document, {path: "zq9"}, original=original) == "\ufeff" + edited(document, {path: "zq9"}).replace(
        "\n", "\r\n"
    )


def test_line_ends_and_a_mark_at_the_start_stay() -> None:
    assert of_each(_line_ends_and_a_mark_at_the_start_stay) == ""


HOSTILE = [
    "a: b", "a #b", "# a", "- a", "-", "'", '"', "'a' b", '"a" b', "{a", "a}", "[a]", "a, b", "007", "20E5", "1:1",
    "no", "~", "null", "%", "@x", "`x`", "*x*", "&x", "!x", "|", ">", "? a", "a:", ":", "---", "...", "\\n", "  a ", "é ü 鋳",
    "🎭", "👩‍🎤", "a\nb", "a\n\nb", "a\n", "a\n\n", "a\u00a0b", "“a” b", "see, “a”", "tab\there", "<<", "=", "a  b", "",
    "long " * 60 + "end", "x" * 300, " lead\nb", "- a\n- b", "# a\n# b", "<<<<<<< a", "\u2028", "\x07",
]  # fmt: skip
SHAPES = {
    "key": ("title: a  # c\nstage: cast\n", ("title",)),
    "key of nothing": ("title:\nstage: cast\n", ("title",)),
    "key of nothing but a comment": ("title: # c\nstage: cast\n", ("title",)),
    "double": ('title: "a" # c\nstage: cast\n', ("title",)),
    "single": ("title: 'a'\nstage: cast\n", ("title",)),
    "folded": ("title: >-  # c\n  a\n  b\n\n# d\nstage: cast\n", ("title",)),
    "as it is": ("title: |\n  a\n\nstage: cast\n", ("title",)),
    "item": ("needs:\n  - a   # c\n  - b\n", ("needs", 0)),
    "item of a flat list": ("needs:\n- a\n- b   # c\n", ("needs", 1)),
    "braces": ("mixes:\n  - id: a\n    parts:\n      - {material: x,  # c\n         match: a}\n", ("mixes", 0, "parts", 0, "match")),
    "brackets": ("needs: [a, b]   # c\n", ("needs", 0)),
    "below its key": ("title:\n  a\n  b\nstage: cast\n", ("title",)),
    "last without a line end": ("stage: cast\ntitle: a", ("title",)),
}  # fmt: skip


@pytest.mark.parametrize("shape", SHAPES)
def test_any_value_is_read_back_exactly_wherever_it_stands(shape: str) -> None:
    text, path = SHAPES[shape]
    document = doc(text)
    for value in HOSTILE:
        after = edited(document, {path: value})
        assert raw_of(after) == changed(document.tree.raw, path, value), value
        assert told(after) == told(text), value


@given(st.text(min_size=1, max_size=80), st.sampled_from(sorted(SHAPES)))
@settings(max_examples=400, deadline=None, derandomize=True)
def test_any_text_at_all_is_read_back_exactly(value: str, shape: str) -> None:
    text, path = SHAPES[shape]
    value = value.encode("utf-8", "replace").decode()
    document = doc(text)
    after = edited(document, {path: value})
    assert raw_of(after) == changed(document.tree.raw, path, value)
    assert told(after) == told(text)


EXACT = [
    ("title:   old   # said\n", {("title",): "new"}, "title:   new   # said\n"),
    ('title: "a # b"   # said\n', {("title",): "a #c"}, 'title: "a #c"   # said\n'),
    ("title: it's\n", {("title",): "a: b"}, 'title: "a: b"\n'),
    ("title: a\n", {("title",): 'say "b": c'}, "title: 'say \"b\": c'\n"),
    ("title:\n", {("title",): "a"}, "title: a\n"),
    ("title: # said\n", {("title",): "a"}, "title: a  # said\n"),
    ("why: >-   # said\n  old words\n  over lines\n\n# next\nyields: 1\n", {("why",): "new"},
     "why: >-   # said\n  new\n\n# next\nyields: 1\n"),
    ("why: |\n     deep\n     lines\n", {("why",): "one\ntwo\n"}, "why: |\n     one\n     two\n"),
    ("gives: {what: piece,\n        surfaces: []}   # said\n", {("gives", "what"): "a, b"},
     'gives: {what: "a, b",\n        surfaces: []}   # said\n'),
    ("- a\n", {}, "- a\n"),
    ("fixes: [a, b]  # said\n", {("fixes",): ["a", "c", "d"]}, "fixes: [a, c, d]  # said\n"),
    ("fixes: a\n", {("fixes",): ["a", "b"]}, "fixes: [a, b]\n"),
    ("needs:\n  # one\n  - a\n  - b   # two\n", {("needs",): ["a", "c: d", "b"]},
     'needs:\n  # one\n  - a\n  - "c: d"\n  - b   # two\n'),
    ("needs: []\n", {("needs",): ["scale to 0.1 g", "bolts, 8"]}, "needs:\n  - scale to 0.1 g\n  - bolts, 8\n"),
    ("fixes:   # said\n  - a\n  - b\nyields: 1\n", {("fixes",): []}, "fixes: []   # said\nyields: 1\n"),
    ("stage: cast\nversion: 1", {("why",): "x"}, "stage: cast\nversion: 1\nwhy: x"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "changes", "after"), EXACT, ids=[repr(text) for text, _changes, _after in EXACT])
def test_only_the_place_itself_is_touched(text: str, changes: Any, after: str) -> None:
    assert edited(doc(text), changes) == after


def test_long_prose_becomes_a_folded_block_like_those_beside_it() -> None:
    why = "The silicone is degassed now and rolled up the sides. " * 5
    after = edited(doc("version: 2\nwhy: a   # said\nyields: 1\n"), {("why",): why.strip()})
    lines = after.split("\n")
    assert lines[1] == "why: >-   # said"
    assert all(line.startswith("  The ") or len(line) <= 120 for line in lines[2:-2])
    assert raw_of(after)["why"] == why.strip()


# Adding what is not there

RECIPE = """\
# top
format: 1
title: A piece   # its name
stage: cast
version: 1
status: draft
  # said of the status
# said of the needs
needs:
  - a

# set apart

visibility: class
"""


@pytest.mark.parametrize(
    ("key", "before"),
    [("why", "# said of the needs\nneeds:"), ("fixes", "# said of the needs\nneeds:"), ("yields", "# said of the needs"),
     ("format", "title: A piece"), ("title", "stage: cast")],
)  # fmt: skip
def test_a_new_key_stands_in_the_order_of_its_kind_and_behind_the_words_said_of_the_one_before(
    key: str, before: str
) -> None:
    without = re.sub(rf"(?m)^{key}: .*\n", "", RECIPE)
    after = edited(doc(without), {(key,): "x"})
    assert f"{key}: x\n{before}" in after
    assert after.replace(f"{key}: x\n", "") == without


def test_a_new_key_that_comes_last_stands_before_what_is_set_apart_below() -> None:
    text = "version: 1\nstatus: draft\n  # of it\n\n# set apart\n"
    assert edited(doc(text), {("needs",): "x"}) == "version: 1\nstatus: draft\n  # of it\nneeds: x\n\n# set apart\n"


def test_a_new_first_key_stands_below_the_lines_for_editors() -> None:
    after = edited(doc("# yaml-language-server: $schema=x\n# $schema: x\nstage: cast\nversion: 1\n"), {("title",): "a"})
    assert after.split("\n")[2:4] == ["title: a", "stage: cast"]


def test_a_new_key_of_a_step_and_one_inside_braces() -> None:
    text = "steps:\n  - id: a\n    title: x\n    # deep\n  # of b\n  - id: b\nmixes:\n  - {id: m, batch: 1 kg}\n"
    after = edited(doc(text), {("steps", 0, "hands_on"): "5 min", ("mixes", 0, "title"): "a, b"})
    assert after == (
        "steps:\n  - id: a\n    title: x\n    # deep\n    hands_on: 5 min\n  # of b\n  - id: b\n"
        'mixes:\n  - {id: m, title: "a, b", batch: 1 kg}\n'
    )


def test_a_key_before_the_one_on_the_dashs_line_takes_its_place_there() -> None:
    after = edited(doc("steps:\n  - title: x   # said\n    do: y\n"), {("steps", 0, "id"): "a"})
    assert after == "steps:\n  - id: a\n    title: x   # said\n    do: y\n"


def _adding_a_missing_key_adds_only_lines(document: Document) -> None:
    model = KINDS[document.kind].model
    groups = [(), *(path for path, value in entries(document.tree.raw) if isinstance(value, dict) and value)]
    for owner in random.Random(document.file).sample(groups, min(4, len(groups))):
        group = model_in(type_at(model, owner)) if owner else model
        holder = document.tree.raw
        for step in owner:
            holder = holder[step]
        missing = [key for key in keys_of(group) if key not in holder] if group else []
        for key in missing:
            path = (*owner, key)
            value: Any = ["zq9, a", "b"] if is_list(type_at(model, path)) else "zq9"
            after = edited(document, {path: value})
            assert raw_of(after) == changed(document.tree.raw, path, value), path
            assert told(after) == told(document.text), path
            if not is_braced(document, owner):
                assert is_within(bare_lines(document.text), bare_lines(after)), path


@pytest.mark.parametrize("rest", REST)
def test_adding_a_missing_key_adds_only_lines(rest: bool) -> None:
    assert of_each(_adding_a_missing_key_adds_only_lines, rest) == ""


def is_braced(document: Document, owner: Steps) -> bool:
    span = document.at_value(owner)
    return bool(owner) and document.text.split("\n")[span.line - 1][span.column - 1] == "{"


def bare_lines(text: str) -> list[str]:
    """The lines without the dash that passes from a first key to the one put before it."""
    return [re.sub(r"^( *)- ", r"\1  ", line) for line in text.split("\n")]


def is_within(fewer: list[str], more: list[str]) -> bool:
    """Whether lines were only added."""
    waiting = iter(more)
    return all(any(line == other for other in waiting) for line in fewer)


# Taking out


def _taking_out_an_entry_leaves_what_is_said_beside_the_others(document: Document) -> None:
    beside = comments(document.text)
    chosen = list(entries(document.tree.raw))
    for path, _value in random.Random(document.file).sample(chosen, min(12, len(chosen))):
        if len(path) == 1 and len(document.tree.raw) == 1:
            continue
        if any(isinstance(one, int) and isinstance(other, int) for one, other in pairwise(path)):
            continue  # a list in a list is refused, whole: nothing of the desk takes an entry out of one
        after = edited(document, {path: None})
        assert raw_of(after) == changed(document.tree.raw, path, None), path
        others = {
            span.line - 1
            for other, value in entries(document.tree.raw)
            if other[: len(path)] != path and not isinstance(value, dict | list)
            for span in (document.tree.values[other],)
            if path[: len(other)] != other
        }
        kept = Counter(comment for line, comment in beside if line in others)
        assert not kept - told(after), path


@pytest.mark.parametrize("rest", REST)
def test_taking_out_an_entry_leaves_what_is_said_beside_the_others(rest: bool) -> None:
    assert of_each(_taking_out_an_entry_leaves_what_is_said_beside_the_others, rest) == ""


LIST = """\
needs:   # of all
  # of a
  - a   # beside a
    # deeper, still of a
  # of b
  - b

  # set apart

  - c
yields: 1
"""


@pytest.mark.parametrize(
    ("gone", "after"),
    [
        ([0], "needs:   # of all\n  # of b\n  - b\n\n  # set apart\n\n  - c\nyields: 1\n"),
        ([1], LIST.replace("  # of b\n  - b\n", "")),
        ([2], LIST.replace("  - c\n", "")),
        ([0, 2], "needs:   # of all\n  # of b\n  - b\n\n  # set apart\n\nyields: 1\n"),
    ],
)
def test_an_entry_goes_with_its_own_comments(gone: list[int], after: str) -> None:
    assert edited(doc(LIST), {("needs", place): None for place in gone}) == after


def test_a_list_emptied_entry_by_entry_says_so() -> None:
    after = edited(doc(LIST), {("needs", place): None for place in range(3)})
    assert raw_of(after) == {"needs": [], "yields": "1"}
    assert "# of all" in after


TAKEN_OUT = [
    ("steps:\n  - id: a   # own\n    title: x\n", ("steps", 0, "id"), "steps:\n  - title: x\n"),
    ("steps:\n  - id: a\n    # of title\n    title: x\n", ("steps", 0, "id"), "steps:\n  -\n    # of title\n    title: x\n"),
    ("gives: {what: a, surfaces: []}  # said\n", ("gives", "what"), "gives: {surfaces: []}  # said\n"),
    ("gives: {what: a, surfaces: []}  # said\n", ("gives", "surfaces"), "gives: {what: a}  # said\n"),
    ("fixes: [a,   # of a\n        b,   # of b\n        c]   # of c\n", ("fixes", 1), "fixes: [a,   # of a\n        c]   # of c\n"),
    ("fixes: [a,   # of a\n        b]\n", ("fixes", 0), "fixes: [\n        b]\n"),
    ("fixes: [\n  a,   # of a\n  # above b\n  b,   # of b\n]\n", ("fixes", 1), "fixes: [\n  a,   # of a\n]\n"),
    ("title: a\nyields: 1", ("yields",), "title: a"),
    ("# top\ntitle: a\nyields: 1\n", ("title",), "# top\nyields: 1\n"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "path", "after"), TAKEN_OUT, ids=[repr(text) for text, _path, _after in TAKEN_OUT])
def test_what_stands_around_an_entry_closes_up(text: str, path: Steps, after: str) -> None:
    assert edited(doc(text), {path: None}) == after


# Documents written in every way there is

SEEDS = seeds(10, 150)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_document_written_in_any_way_keeps_every_word_beside_what_changes(seed: int) -> None:
    made = nasty(seed)
    document = doc(made.text)
    assert document.tree.raw == made.raw
    assert told(made.text) == Counter(list(made.owners))
    paths = [path for path, _value in entries(made.raw)]
    for path, value in entries(made.raw):
        if not isinstance(value, dict | list):
            assert told(edited(document, {path: "zq9"})) == told(made.text), path
        if path == ("k0",) and len(made.raw) == 1:
            continue
        left = told(edited(document, {path: None}))
        gone = {word for word, owner in made.owners.items() if owner is not None and owner[: len(path)] == path}
        assert Counter(list(made.owners)) - left == Counter(gone), path
    rng = random.Random(seed)
    for _ in range(3):
        chosen = rng.sample(paths, min(3, len(paths)))
        changes: dict[Steps, Any] = {path: rng.choice(["new", "a: b", None]) for path in chosen}
        if not any(one != other and other[: len(one)] == one for one in chosen for other in chosen):
            edited(document, {path: value for path, value in changes.items() if value or path != ("k0",)})


@pytest.mark.parametrize("seed", SEEDS)
def test_a_list_written_in_any_way_becomes_any_other(seed: int) -> None:
    made = nasty(seed)
    document = doc(made.text)
    for path, value in entries(made.raw):
        if not isinstance(value, list) or not all(isinstance(each, str) for each in value):
            continue
        new = [*value[:1], "a, b", *value[2:], "c"]
        after = edited(document, {path: new})
        assert raw_of(after) == changed(made.raw, path, new)
        kept = {
            word for word, owner in made.owners.items() if owner is None or owner[: len(path)] != path or owner == path
        }
        assert kept <= told(after).keys(), path


# Groups of keys, and lists in another order

STEPS = """\
steps:   # of all
  # of a
  - id: a   # beside a
    title: Pour
    # deep in a
    do: x

  # set apart

  # of b
  - id: b
    title: Open
yields: 1
"""
B = "  # of b\n  - id: b\n    title: Open\n"
A = "  # of a\n  - id: a   # beside a\n    title: Pour\n    # deep in a\n    do: x\n"
APART = "\n  # set apart\n\n"
TOP, END = "steps:   # of all\n", "yields: 1\n"
NEW = {"id": "c", "title": "Wash", "uses": [{"mix": "m", "as": "cast", "on": ["x"]}]}
NEW_LINES = "  - id: c\n    title: Wash\n    uses:\n      - {mix: m, as: cast, on: [x]}\n"


@pytest.mark.parametrize(
    ("entries_", "after"),
    [
        ((0, 1), STEPS),
        ((1, 0), TOP + B + APART + A + END),
        ((0, 1, NEW), TOP + A + APART + B + NEW_LINES + END),
        ((NEW, 0, 1), TOP + NEW_LINES + A + APART + B + END),
        ((0, 0, 1), TOP + A + A.replace("  # of a\n", "") + APART + B + END),
        ((1, 0, 1), TOP + B + APART + A + "  - id: b\n    title: Open\n" + END),
        ((1,), TOP + APART + B + END),
        ((1, NEW), TOP + APART + B + NEW_LINES + END),
        ((NEW,), TOP + NEW_LINES + END),
        ((), "steps: []   # of all\nyields: 1\n"),
    ],
    ids=repr,
)
def test_steps_are_moved_doubled_added_and_removed_with_their_comments(entries_: Any, after: str) -> None:
    assert STEPS == TOP + A + APART + B + END
    assert edited(doc(STEPS), {("steps",): Arranged(entries_)}) == after


def test_entries_set_off_by_empty_lines_stay_so() -> None:
    text = "needs:\n  - a\n\n  - b\nyields: 1\n"
    assert edited(doc(text), {("needs",): Arranged((0, "c", 1))}) == "needs:\n  - a\n\n  - c\n\n  - b\nyields: 1\n"
    assert edited(doc(text), {("needs",): Arranged((1, 0, "c"))}) == "needs:\n  - b\n\n  - a\n\n  - c\nyields: 1\n"
    assert edited(doc(text), {("needs",): Arranged(("c", 0, 1))}) == "needs:\n  - c\n\n  - a\n\n  - b\nyields: 1\n"


GROUPS = [
    ("mixes:\n  - id: m\n    parts: [{material: a, parts: 1}, {material: b, parts: 2}]  # said\n",
     {("mixes", 0, "parts"): Arranged((1, {"material": "c, d"}, 0, 1))},
     'mixes:\n  - id: m\n    parts: [{material: b, parts: 2}, {material: "c, d"}, {material: a, parts: 1}, {material: b, parts: 2}]  # said\n'),
    ("steps:\n  - id: a\n    wait: 30 min   # said\n", {("steps", 0, "wait"): {"demold": "base"}},
     "steps:\n  - id: a\n    wait:   # said\n      demold: base\n"),
    ("id: x\nconditions: {room: 21 degC}\n", {("conditions",): {"room": "21 degC", "humidity": "48 %"}},
     "id: x\nconditions: {room: 21 degC, humidity: 48 %}\n"),
    ("id: x\n", {("conditions",): {"room": "21 degC"}}, "id: x\nconditions: {room: 21 degC}\n"),
    ("id: x\nwent_wrong:   # said\n", {("went_wrong",): [{"what": "a, b"}, {"what": "c"}]},
     'id: x\nwent_wrong:   # said\n  - what: a, b\n  - what: c\n'),
    ("id: x\nlots: []\n", {("lots",): [{"material": "a", "lot": "20E5"}]}, "id: x\nlots:\n  - {material: a, lot: 20E5}\n"),
    ("adds:\n  same_words:\n    - [a, b]\n", {("adds", "same_words", 1): ["c", "d, e"]},
     'adds:\n  same_words:\n    - [a, b]\n    - [c, "d, e"]\n'),
    ("yields: 1\n", {("yields",): {"left": "3", "right": "3"}}, "yields:\n  left: 3\n  right: 3\n"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "changes", "after"), GROUPS, ids=[repr(text) for text, _changes, _after in GROUPS])
def test_groups_and_lists_of_them_are_written_as_by_hand(text: str, changes: Any, after: str) -> None:
    assert edited(doc(text, kind="run"), changes) == after


@pytest.mark.parametrize("text", ["needs: [a,   # of a\n        b]\n", "adds:\n  same_words:\n    - - a\n      - b\n"])
def test_an_order_that_would_part_words_from_what_they_are_said_of_is_refused(text: str) -> None:
    path: Steps = ("needs",) if text.startswith("needs") else ("adds", "same_words", 0)
    with pytest.raises(RefusedError) as refusal:
        edited(doc(text), {path: Arranged((1, 0))})
    assert [notice.code for notice in refusal.value.notices] == ["not-edited"]


def rearranged(rng: random.Random, count: int) -> tuple[Any, ...]:
    """Some order of a list, with entries that are gone, doubled and new."""
    kept = [place for place in range(count) if rng.random() < 0.8]
    rng.shuffle(kept)
    new: list[Any] = ["zq9", {"zq8": "a, b", "zq7": ["c"]}]
    for each in rng.sample([*new, *kept[:2]], rng.randint(0, 2)):
        kept.insert(rng.randint(0, len(kept)), each)
    return tuple(kept)


def check_rearranged(document: Document, path: Steps, old: list[Any], rng: random.Random) -> None:
    asked = rearranged(rng, len(old))
    told_before = told(document.text)
    after = edited(document, {path: Arranged(asked)})
    expected = [old[each] if isinstance(each, int) else each for each in asked]
    assert raw_of(after) == changed(document.tree.raw, path, expected), asked
    if {each for each in asked if isinstance(each, int)} == set(range(len(old))):
        assert not told_before - told(after), asked
    moved = list(range(len(old)))
    rng.shuffle(moved)
    after = edited(document, {path: Arranged(tuple(moved))})
    assert told(after) == told_before, moved
    assert sorted(after.split("\n")) == sorted(document.text.split("\n")) or is_flow(document, path), moved


def is_flow(document: Document, path: Steps) -> bool:
    span = document.at_value(path)
    return document.text.split("\n")[span.line - 1][span.column - 1] == "["


def _any_order_of_any_list_says_exactly_that_and_keeps_every_comment(document: Document) -> None:
    rng = random.Random(document.file)
    lists = [(path, value) for path, value in entries(document.tree.raw) if isinstance(value, list) and value]
    for path, value in rng.sample(lists, min(4, len(lists))):
        if len(path) > 1 and isinstance(path[-1], int):
            continue
        check_rearranged(document, path, value, rng)


@pytest.mark.parametrize("rest", REST)
def test_any_order_of_any_list_says_exactly_that_and_keeps_every_comment(rest: bool) -> None:
    assert of_each(_any_order_of_any_list_says_exactly_that_and_keeps_every_comment, rest) == ""


@pytest.mark.parametrize("seed", SEEDS)
def test_a_list_written_in_any_way_is_put_in_any_order_or_refused_whole(seed: int) -> None:
    made = nasty(seed)
    document = doc(made.text)
    rng = random.Random(seed)
    done = 0
    for path, value in entries(made.raw):
        if isinstance(value, list) and value:
            try:
                check_rearranged(document, path, value, rng)
            except RefusedError:
                continue
            done += 1
    lists = [path for path, value in entries(made.raw) if isinstance(value, list) and value]
    assert done >= len(lists) // 3, (done, len(lists))


# Several at once, files, and what cannot be done


def test_several_changes_at_once_keep_meaning_the_places_they_were_asked_for() -> None:
    text = "version: 1\nstatus: locked\nneeds:\n  - a\n  - b\n  - c\n"
    after = edited(
        doc(text),
        {("needs", 0): None, ("needs", 1): "B", ("needs", 3): "d", ("version",): "2", ("why",): "Air.", ("fixes",): ["x"]},
    )  # fmt: skip
    assert after == "version: 2\nstatus: locked\nwhy: Air.\nfixes: [x]\nneeds:\n  - B\n  - c\n  - d\n"


def test_a_file_keeps_its_line_ends_and_is_written_whole(tmp_path: Path) -> None:
    original = "\ufefftitle: a\r\nstage: cast\r\nversion: 1\rstatus: draft\n"
    document = read_document("recipe", "cast/piece", "piece.yaml", original.encode())
    (tmp_path / "piece.yaml").write_bytes(original.encode())
    assert write_changes(tmp_path, document, {("version",): "2", ("why",): "Air."})
    assert (tmp_path / "piece.yaml").read_bytes().decode() == (
        "\ufefftitle: a\r\nstage: cast\r\nversion: 2\rstatus: draft\r\nwhy: Air.\n"
    )


def test_nothing_is_written_where_nothing_changes_or_someone_else_wrote_meanwhile(tmp_path: Path) -> None:
    document = read_document("recipe", "cast/piece", "piece.yaml", b"version: 1\n")
    file = tmp_path / "piece.yaml"
    file.write_bytes(b"version: 1\n")
    assert not write_changes(tmp_path, document, {("version",): "1"})
    file.write_bytes(b"version: 3\n")
    with pytest.raises(RefusedError) as refusal:
        write_changes(tmp_path, document, {("version",): "2"})
    assert [notice.code for notice in refusal.value.notices] == ["changed-meanwhile"]
    assert file.read_bytes() == b"version: 3\n"


@pytest.mark.parametrize(
    ("text", "changes"),
    [
        ("version: [1\n", {("version",): "2"}),
        ("version: 1\n", {("steps", 0, "id"): "a"}),
        ("version: 1\n", {("version",): None}),
        ("needs: [a]\n", {("needs", 3): "b"}),
        ("", {("version",): "1"}),
    ],
)
def test_a_change_that_cannot_be_made_is_refused_in_one_notice(text: str, changes: Any) -> None:
    with pytest.raises(RefusedError) as refusal:
        edited(doc(text), changes)
    assert [notice.code for notice in refusal.value.notices] == ["not-edited"]


def test_a_document_its_model_refuses_can_be_changed_all_the_same() -> None:
    text = "title: a\nnonsense: {b: c, d}\nversion: x\nversion: y\n"
    assert edited(doc(text), {("title",): "z"}) == text.replace("title: a", "title: z")

"""The quick reader gives what the placing reader gives, to the last notice and place, or leaves the text to it."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path

import pytest
import yaml

from campaigns.many import through
from campaigns.seeds import seeds
from mothermold.book import reading
from mothermold.book.document import Document, read_document
from mothermold.book.files import Place, place_of
from mothermold.book.quick import read_quickly
from mothermold.book.tree import Tree, read_tree

ROOT = Path(__file__).parents[2]
DATA = ROOT / "tests/data"
EACH = 100
"""How many changed documents one seed makes."""

SIGNS = [
    *"\n\n  \t\"'#&*!%@`|>-:,?[]{}<=~.\\/x0é\u00a0\u2028\ufeff🎭", " #", "  # ", "#", ": ", "- ", "-", "\n- ", " - ", "<<: ", "---\n",
    "...\n", "&a ", "*a", "!x ", "! ", "|\n", ">\n", "[", "]", "{", "}", ", ", '"', "''", "? ", "\n\n", "\n ", "\r", "\x85", "\\x3c<",
]  # fmt: skip


def written_here() -> list[Path]:
    folders = (DATA, ROOT / "recipes", ROOT / "tools/mothermold/story")
    return sorted(path for folder in folders for path in folder.rglob("*.yaml"))


@cache
def documents() -> list[tuple[Place, str]]:
    """Every text in YAML that lies here, with the place it stands for; what stands for none is read as a recipe."""
    asked = yaml.safe_load((DATA / "bad/expected.yaml").read_text(encoding="utf-8"))
    expected = {each["file"]: each["at"] for each in asked if "file" in each}
    found = []
    for path in written_here():
        _, inside, rest = path.as_posix().rpartition("/recipes/")
        place = place_of(f"recipes/{rest}" if inside else expected.get(path.name, "recipes/cast/other.yaml"))
        text = path.read_bytes().decode("utf-8", "replace")
        found.append((place if isinstance(place, Place) else Place("recipe", "cast/other", None), text))
    return found


def read(place: Place, text: str) -> Document:
    return read_document(place.kind, place.address, "recipes/it.yaml", text.encode("utf-8", "surrogatepass"))


def told(said: Tree) -> tuple[object, ...]:
    return said.raw, said.notices, said.doubted, said.places


def assert_same(place: Place, text: str, monkeypatch: pytest.MonkeyPatch) -> None:
    ours = read(place, text)
    with monkeypatch.context() as slow:
        slow.setattr(reading, "read_quickly", lambda _text: None)
        theirs = read(place, text)
        assert not theirs.tree.usual
    for name in ("said", "model", "notices", "rest", "text"):
        assert getattr(ours, name) == getattr(theirs, name), (name, text)
    assert told(ours.tree) == told(theirs.tree), text


def test_every_document_written_here_is_read_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    for place, text in documents():
        assert_same(place, text, monkeypatch)


def test_nearly_every_good_document_is_read_quickly() -> None:
    texts = [path.read_text(encoding="utf-8") for path in (ROOT / "recipes").rglob("*.yaml")]
    assert len(texts) > 100
    assert sum(read_quickly(text) is not None for text in texts) > 0.95 * len(texts)


def test_a_sound_document_is_read_without_a_place_until_one_is_asked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    asked = []

    def placing(text: str) -> Tree:
        asked.append(text)
        return read_tree(text)

    monkeypatch.setattr(reading, "read_tree", placing)
    sound = read(Place("material", "thing", None), "title: A thing\nfamilies: [alcohol]\n")
    assert sound.model is not None
    assert asked == []
    assert [sound.at_value(("title",)), sound.at_key(("families",))] == [(1, 8, 1, 15), (2, 1, 2, 9)]
    assert asked == [sound.text]


@through(
    "text",
    [
        "a: &b c\n",
        "a: *b\n",
        "a: !b c\n",
        "a: ! b\n",
        "a: b\na: c\n",
        "{a, b: c}\n",
        "{a: 1,5}\n",
        "a: b\n---\nc: d\n",
        "a: mix #3\n",
        "a: mix  #3\n",
        "a: b]\n",
        "a:\n  -b\n",
        "a: b\n  - c\n",
        "a:\n  - b\n   c\n",
        "<<: b\n",
        '"\\x3c<": b\n',
        "a:\n",
        "- a\n",
        "a\n",
        "",
        "? [a]\n: b\n",
        "a: 'b\n",
        "[" * 40 + "]" * 40,
        "a: " + "[" * 40 + "b" + "]" * 40,
    ],
)
def test_whatever_may_deserve_a_word_is_left_to_the_reader_that_judges(text: str) -> None:
    assert read_quickly(text) is None


@pytest.mark.parametrize(
    "text",
    [
        "a: over\n  two - lines\n",
        "- over\n  two - lines\n",
        "- a: over\n    two\n",
        "a: [over\n  two, -5]\n",
        "a: cast/face@3#open  # see\n",
        "# so\na: R&D, 5*3, now!\n",
        "- -5\n",
    ],
)
def test_what_looks_odd_and_is_not_is_read_quickly_all_the_same(text: str) -> None:
    assert read_quickly(f"x:\n  {text.replace(chr(10), chr(10) + '  ')}") == {"x": read_tree(text).raw}


@pytest.mark.parametrize("seed", seeds(3, 200))
def test_a_document_changed_at_random_is_read_the_same(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    some = random.Random(seed)
    for place, text in some.choices(documents(), k=EACH):
        assert_same(place, changed(text, some), monkeypatch)


# -- what happens to a document --


def changed(text: str, some: random.Random) -> str:
    for change in some.choices(CHANGES, k=some.choice((1, 1, 1, 2, 3))):
        text = change(text, some)
    return text


def _a_sign_comes(text: str, some: random.Random) -> str:
    at = some.randrange(len(text) + 1)
    return text[:at] + some.choice(SIGNS) + text[at:]


def _signs_go(text: str, some: random.Random) -> str:
    at = some.randrange(len(text) + 1)
    return text[:at] + text[at + some.choice((1, 1, 1, 2, 5, 40)) :]


def _a_sign_is_another(text: str, some: random.Random) -> str:
    at = some.randrange(len(text) + 1)
    return text[:at] + some.choice(SIGNS) + text[at + 1 :]


def _line_by_line(change: Callable[[list[str], int, random.Random], None]) -> Callable[[str, random.Random], str]:
    def changed(text: str, some: random.Random) -> str:
        lines = text.split("\n")
        change(lines, some.randrange(len(lines)), some)
        return "\n".join(lines)

    return changed


def _doubled(lines: list[str], at: int, some: random.Random) -> None:
    lines.insert(some.choice((at, some.randrange(len(lines)))), lines[at])


def _moved(lines: list[str], at: int, some: random.Random) -> None:
    line = lines.pop(at)
    lines.insert(some.randrange(len(lines) + 1), line)


def _gone(lines: list[str], at: int, _some: random.Random) -> None:
    del lines[at]


def _indented(lines: list[str], at: int, some: random.Random) -> None:
    by = some.choice((-4, -2, -1, 1, 2, 4))
    for number in range(at, min(at + some.choice((1, 1, 2, 5)), len(lines))):
        lines[number] = " " * by + lines[number] if by > 0 else lines[number].removeprefix(" " * -by)


def _runs_over(lines: list[str], at: int, some: random.Random) -> None:
    begin, space, rest = lines[at].rpartition(" ")
    if space:
        lines[at : at + 1] = [begin, " " * some.randrange(8) + some.choice(("", "", "- ", "-")) + rest]


def _joined(lines: list[str], at: int, some: random.Random) -> None:
    lines[at : at + 2] = [some.choice(("", " ")).join(each.strip() for each in lines[at : at + 2])]


def _written_otherwise(lines: list[str], at: int, some: random.Random) -> None:
    key, colon, value = lines[at].partition(": ")
    if colon:
        frame = some.choice(
            (
                '"%s"',
                "'%s'",
                "[%s]",
                "{%s}",
                "{x: %s}",
                "[%s",
                "%s]",
                "%s}",
                "%s #3",
                "%s  # so",
                "&a %s",
                "%s: x",
                "-%s",
                "",
            )
        )
        lines[at] = key + colon + (frame % value if "%s" in frame else "")


CHANGES: list[Callable[[str, random.Random], str]] = [
    _a_sign_comes,
    _a_sign_comes,
    _signs_go,
    _a_sign_is_another,
    *map(
        _line_by_line, (_doubled, _moved, _gone, _indented, _runs_over, _joined, _written_otherwise, _written_otherwise)
    ),
]


def test_the_changes_leave_some_documents_usual_and_some_not() -> None:
    def outcomes() -> Iterator[bool]:
        some = random.Random(1)
        for _place, text in some.choices(documents(), k=EACH):
            yield read_quickly(changed(text, some)) is not None

    usual = sum(outcomes())
    assert 0.3 * EACH < usual < 0.9 * EACH

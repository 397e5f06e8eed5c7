"""Reading one document: texts as typed, places, limits, drafts, and never a crash."""

from __future__ import annotations

import copy
import random
import re
import time
from collections.abc import Iterator
from itertools import product
from pathlib import Path
from typing import Any

import pytest
import yaml

from book.test_bad_documents import PARSER_WORDS
from campaigns.many import through
from mothermold.book.document import Document, read_document
from mothermold.book.files import Place, document_files, place_of
from mothermold.book.tree import read_tree
from mothermold.ground.notices import SEVERITIES, count
from mothermold.model.recipe import Recipe

GOOD = Path(__file__).parents[1] / "data" / "good"
ALARM = 1.0
"""No document takes longer to read than this many seconds."""

AS_TYPED = [
    "no", "No", "yes", "on", "off", "true", "Null", "null", "1:1", "100:3", "2:30", "0:45", "10:30", "12:30:45", "0030", "08",
    "0x1F", "0b101", "20E5", "1e3", "1.10", "1_000", ".5", "+1", "-0", "2026-02-30", "2026-04-18 09:10", "=", ".inf", ".nan",
]  # fmt: skip


def read(text: str, kind: str = "material", address: str = "thing") -> Document:
    return read_document(kind, address, f"recipes/{address}.yaml", text.encode("utf-8"))


def codes(document: Document) -> list[str]:
    return [notice.code for notice in document.notices]


# -- texts arrive as typed --


@through("typed", AS_TYPED)
def test_a_plain_text_arrives_as_typed(typed: str) -> None:
    document = read(
        f"title: {typed}\nfamilies: [alcohol]\nlots:\n  - {{lot: {typed}}}\n  - lot: {typed}\n"
        f"  - lot: \"{typed}\"\n  - lot: '{typed}'\n"
    )
    assert document.notices == ()
    assert document.raw["title"] == typed
    assert [lot["lot"] for lot in document.raw["lots"]] == [typed] * 4
    assert document.model is not None
    assert document.model.title == typed  # type: ignore[attr-defined]


def test_a_decimal_comma_arrives_as_typed_and_is_asked_about_by_its_field() -> None:
    document = read("title: 1,5\nfamilies: [alcohol]\ndensity: 1,5 g/ml\n")
    assert document.raw["title"] == "1,5"
    assert codes(document) == ["decimal-comma"]


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("sds: {where: #ff0000}", "broken-layout"),
        ("title: #ff0000", "cut-by-hash"),
        ("title: mix A #3 now", "cut-by-hash"),
        ("title: &co", "anchor"),
        ("title: !careful", "tag"),
        ("title: *important*", "anchor"),
        ("title:hot", "broken-layout"),
        ("title: one\ntitle: two", "duplicate-key"),
        ("title: %5", "broken-layout"),
        ("title: @x", "broken-layout"),
        ("title: `x`", "broken-layout"),
        ("title: x\n\u00a0 density: 1 g/ml", "invisible-character"),
        ("title: x\ndensity:", "empty-value"),
    ],
)  # fmt: skip
def test_what_would_be_read_otherwise_than_it_looks_is_refused(line: str, code: str) -> None:
    document = read(f"families: [alcohol]\n{line}\n")
    assert codes(document) == [code]
    assert document.model is None


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("needs:\n - scale\n  - bolts\n", 3),
        ("needs:\n  - scale\n    - bolts\n", 3),
        ("needs:\n  - scale\n   bolts\n", 3),
        ("needs:\n  -scale\n", 2),
        ("needs:\n  -scale\n  - bolts\n", 2),
        ("needs: scale, bolts]\n", 1),
    ],
)
def test_a_list_that_ran_into_a_text_is_told_although_it_could_be_read(text: str, line: int) -> None:
    tree = read_tree(text)
    assert [(notice.code, notice.line) for notice in tree.notices] == [("broken-layout", line)]


@pytest.mark.parametrize(
    "text",
    [
        "a: the maker's own\n",
        "a: one\n  and on\n",
        "a:\n  one\n  and on\n",
        "- one\n  and on\n",
        '- "one\n  - two"\n',
        "- |\n  - one\n  - two\n",
        "- see [this]\n",
        "- -5\n",
        "a: -5\n",
        "a: [one,\n  two]\n",
        "a: {b: one,\n  c: two}\n",
    ],
)
def test_a_text_over_several_lines_is_left_in_peace(text: str) -> None:
    assert read_tree(text).notices == []


# -- places --

PLACED = """\
title: Ärger 🎭 in Größe
families: [alcohol, "süß 🧪", 'ö']
density: "0.97 g/ml"
sds: {where: "Mappe für 🎭", dated: 2025-11-02}
vapor:
  - {substance: Öl 🎭, cas: 67-64-1, share: 60 %}
keeps:
  closed: 24 months
lots:
  - lot: >-
      gefaltet über
      zwei Zeilen 🎭

    left: 640 g
  - {lot: x,
     left: 1 kg}
"""


@pytest.mark.parametrize(
    ("path", "key", "value"),
    [
        (("title",), (1, "title"), (1, "Ärger")),
        (("families", 1), None, (2, '"süß')),
        (("families", 2), None, (2, "'ö'")),
        (("density",), (3, "density"), (3, '"0.97')),
        (("sds",), (4, "sds"), (4, "{where")),
        (("sds", "dated"), (4, "dated"), (4, "2025")),
        (("vapor", 0), None, (6, "{substance")),
        (("vapor", 0, "share"), (6, "share"), (6, "60 %")),
        (("keeps", "closed"), (8, "closed"), (8, "24")),
        (("lots", 0), None, (10, "lot:")),
        (("lots", 0, "lot"), (10, "lot:"), (10, ">-")),
        (("lots", 0, "left"), (14, "left"), (14, "640")),
        (("lots", 1, "left"), (16, "left"), (16, "1 kg")),
    ],
)  # fmt: skip
@pytest.mark.parametrize("line_end", ["\n", "\r\n"])
def test_every_key_and_value_knows_its_place(
    path: tuple[Any, ...], key: tuple[int, str] | None, value: tuple[int, str], line_end: str
) -> None:
    document = read(PLACED.replace("\n", line_end))
    lines = PLACED.split("\n")
    span = document.at_value(path)
    assert (span.line, span.column) == (value[0], lines[value[0] - 1].index(value[1]) + 1)
    if key is not None:
        span = document.at_key(path)
        assert (span.line, span.column) == (key[0], lines[key[0] - 1].index(key[1]) + 1)


def test_a_span_ends_behind_its_last_character() -> None:
    document = read(PLACED)
    lines = PLACED.split("\n")
    for path in (("title",), ("density",), ("sds",), ("keeps", "closed"), ("vapor", 0, "share")):
        span = document.at_value(path)
        assert span.end_line == span.line
        written = lines[span.line - 1][span.column - 1 : span.end_column - 1]
        assert written.strip("\"'") == document.raw[path[0]] if len(path) == 1 and path != ("sds",) else written
    assert document.at_value(("sds",)).end_column == len(lines[3]) + 1


@pytest.mark.parametrize("line_end", ["\r\n", "\r"])
def test_line_ends_of_other_systems_make_no_difference(line_end: str) -> None:
    for file, text in good_files():
        place = place_of(file)
        assert isinstance(place, Place)
        ours = read_document(place.kind, place.address, file, text)
        theirs = read_document(place.kind, place.address, file, text.replace(b"\n", line_end.encode()))
        assert (theirs.text, theirs.said, theirs.model) == (ours.text, ours.said, ours.model)
        assert (theirs.notices, theirs.rest) == (ours.notices, ours.rest)
        assert theirs.tree.places == ours.tree.places


def test_a_byte_order_mark_is_advice_and_moves_nothing() -> None:
    document = read_document("material", "thing", "f", b"\xef\xbb\xbftitle: x\nfamilies: [alcohol]\n")
    assert [(notice.code, notice.severity) for notice in document.notices] == [("byte-order-mark", "advice")]
    assert document.at_key(("title",)).column == 1
    assert document.model is not None


# -- limits --


def test_a_file_over_a_megabyte_is_not_read() -> None:
    head = b"title: x\nfamilies: [alcohol]\n"
    fits = head + b"#" * (1_000_000 - len(head))
    assert codes(read_document("material", "thing", "f", fits)) == []
    assert codes(read_document("material", "thing", "f", fits + b"#")) == ["too-large"]


def test_thirty_levels_are_read_and_one_more_is_not() -> None:
    def nested(levels: int) -> str:
        return "a: " + "[" * (levels - 1) + "x" + "]" * (levels - 1) + "\n"

    assert read_tree(nested(30)).notices == []
    assert [notice.code for notice in read_tree(nested(31)).notices] == ["too-deep"]


@pytest.mark.parametrize(
    "text",
    [
        "a: " + "[" * 100_000,
        "a: " + "{a: " * 100_000,
        "- " * 100_000,
        "? " * 100_000,
        "a: &a [x, x, x, x, x, x, x, x, x]\n" + "".join(f"{c}: &{c} [{', '.join(['*' + p] * 9)}]\n" for p, c in zip("abcdefgh", "bcdefghi", strict=True)),
        "x: |\n" + " y\n" * 200_000,
        "- {a: b}\n" * 60_000 + "-c\n",
        "a: 'x\n" * 100_000,
        "a: b: c\n" * 100_000,
        "a\n" * 200_000,
        "a: [" + "b, " * 200_000,
    ],
    ids=["brackets", "braces", "dashes", "questions", "aliases", "block", "late", "quotes", "colons", "keyless", "list"],
)  # fmt: skip
def test_hostile_files_are_refused_soon(text: str) -> None:
    begun = time.perf_counter()
    document = read(text)
    assert time.perf_counter() - begun < 10 * ALARM
    assert document.model is None
    assert 1 <= len(document.notices) <= 3


def test_an_alias_bomb_is_refused_in_under_a_second() -> None:
    bomb = (GOOD.parent / "bad" / "alias-bomb.yaml").read_bytes()
    begun = time.perf_counter()
    document = read_document("recipe", "cast/bomb", "f", bomb)
    assert time.perf_counter() - begun < ALARM
    assert codes(document) == ["anchor"]


# -- drafts --


def draft() -> dict[str, Any]:
    raw: dict[str, Any] = yaml.load(
        (GOOD / "recipes" / "cast" / "cheek.yaml").read_text(encoding="utf-8"), Loader=yaml.BaseLoader
    )
    raw["status"] = "draft"
    return raw


def read_draft(raw: dict[str, Any]) -> Document:
    return read(yaml.safe_dump(raw, sort_keys=False, allow_unicode=True), "recipe", "cast/cheek")


def paths(raw: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    if path:
        yield path
    pairs = raw.items() if isinstance(raw, dict) else enumerate(raw) if isinstance(raw, list) else ()
    for key, value in pairs:
        yield from paths(value, (*path, key))


FIRST_THREE = ("stage", "version", "status")
REST = [path for path in paths(draft()) if path[0] not in FIRST_THREE]


@through(("path", "empty"), product(REST, [False, True]))
def test_what_a_draft_lacks_is_advice_and_the_rest_is_read(path: tuple[Any, ...], empty: bool) -> None:
    raw = copy.deepcopy(draft())
    holder: Any = raw
    for step in path[:-1]:
        holder = holder[step]
    if empty:
        holder[path[-1]] = None
    else:
        del holder[path[-1]]
    text = (
        yaml.safe_dump(raw, sort_keys=False, allow_unicode=True).replace(": null\n", ":\n").replace("- null\n", "-\n")
    )
    document = read(text, "recipe", "cast/cheek")
    assert isinstance(document.model, Recipe), document.notices
    assert {notice.severity for notice in document.notices} <= {"advice"}, document.notices
    assert len(document.notices) <= 2, document.notices
    if empty:
        assert "empty-value" in codes(document)


def test_a_draft_of_three_lines_is_a_to_do_list() -> None:
    document = read("stage: cast\nversion: 1\nstatus: draft\n", "recipe", "cast/new")
    assert isinstance(document.model, Recipe)
    assert [(notice.code, notice.severity) for notice in document.notices] == [("missing-key", "advice")]
    assert document.model.title


@pytest.mark.parametrize("key", FIRST_THREE)
def test_a_draft_needs_its_stage_version_and_status(key: str) -> None:
    raw = draft()
    del raw[key]
    document = read_draft(raw)
    assert document.model is None
    assert count(document.notices, "error") == 1


def test_a_wrong_number_is_wrong_in_a_draft_too() -> None:
    raw = draft()
    raw["mixes"][0]["batch"] = "80"
    document = read_draft(raw)
    assert document.model is None
    assert codes(document) == ["missing-unit"]


# -- anything at all --


def good_files() -> list[tuple[str, bytes]]:
    return [(file, path.read_bytes()) for file, path in document_files(GOOD) if isinstance(path, Path)]


ODD_BYTES = [
    b"\t",
    b"\r",
    b"\x00",
    b"\x85",
    b"\xff",
    b"\xc3",
    b"\xef\xbb\xbf",
    "\u00a0".encode(),
    "\u2028".encode(),
    "🎭".encode(),
    b"'",
    b'"',
    b"{",
    b"}",
    b"[",
    b"]",
    b"- ",
    b": ",
    b":",
    b"#",
    b"&a ",
    b"*a",
    b"!!x ",
    b"|",
    b">",
    b"%",
    b"@",
    b"`",
    b"? ",
    b"---\n",
    b"...\n",
    b"<<: ",
    b"\n",
    b"\\",
    b",",
    b"~",
]


def mutated(data: bytes, chance: random.Random) -> bytes:
    for _round in range(chance.choice((1, 1, 2, 5))):
        lines = data.split(b"\n")
        at, line = chance.randrange(len(data) + 1), chance.randrange(len(lines))
        match chance.randrange(8):
            case 0:
                data = data[:at] + bytes([chance.randrange(256)]) + data[at + 1 :]
            case 1:
                data = data[:at] + data[at + chance.randrange(1, 6) :]
            case 2:
                data = data[:at] + chance.choice(ODD_BYTES) + data[at:]
            case 3:
                data = data[:at]
            case 4:
                data = b"\n".join([*lines[:line], *lines[line + 1 :]])
            case 5:
                data = b"\n".join([*lines[:line], lines[chance.randrange(len(lines))], *lines[line:]])
            case 6:
                lines[line] = b" " * chance.randrange(9) + lines[line].lstrip()
                data = b"\n".join(lines)
            case _:
                chance.shuffle(lines)
                data = b"\n".join(lines)
    return data


def test_no_damage_makes_the_reader_fail_or_linger_or_speak_in_jargon() -> None:
    chance = random.Random(20_260_302)
    files = good_files()
    for number in range(2000):
        file, data = chance.choice(files)
        place = place_of(file)
        assert isinstance(place, Place)
        damaged = mutated(data, chance)
        begun = time.perf_counter()
        document = read_document(place.kind, place.address, file, damaged)
        assert time.perf_counter() - begun < ALARM, (number, file)
        assert document.model is not None or document.notices, (number, file)
        for notice in document.notices:
            assert notice.severity in SEVERITIES
            assert notice.line is None or 1 <= notice.line <= document.text.count("\n") + 1 or not document.text
            assert notice.column is None or notice.column >= 1
            for text in (notice.message, notice.help):
                # What was typed is quoted; the words around it are the reader's own.
                own = re.sub(r"`[^`]*`|\"[^\"]*\"", "", text).casefold()
                assert not [word for word in PARSER_WORDS if word.casefold() in own], (number, text)

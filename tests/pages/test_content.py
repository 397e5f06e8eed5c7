"""Pages of documents are data: every field is said once or stands at the foot, in the order of its kind, and leads where it may."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator
from datetime import date, time
from html import unescape
from pathlib import Path
from typing import Any, Final

import pytest

from campaigns.seeds import seeds
from history.repositories import FIRST, RECIPE, SECOND, empty_book, recipe, start_repository
from mothermold.book.document import Document
from mothermold.model.kinds import KINDS, PAGED
from mothermold.model.names import RunRef
from mothermold.model.walk import KeyPath, walk
from mothermold.pages.addresses import HOME, Links
from mothermold.pages.content import FieldWords, Lead, Section, When, unsaid
from mothermold.pages.documents import content_of, document_page
from mothermold.pages.saying import labels, listed, points, said, section, words
from mothermold.quantities import parse
from mothermold.view.editions import EDITIONS
from mothermold.view.view import View, open_view
from view.books import make_book
from view.reading import open_editions

PACKAGE: Final = Path(__file__).resolve().parents[2] / "tools" / "mothermold"
SHOWN: Final = tuple(kind.word for kind in PAGED if kind.word != "recipe")
ORDER: Final = {
    "run": "glance made_with tried went_wrong changed photos slots cups batch measured took lots used kept palette touch_ups moments",
    "mold": "glance cavity standing photos mix parts weighed repairs next rims cast",
    "material": "sheet cautions glance touch vapor kit lots stock packs used",
    "failure": "now do_not symptoms photos causes fixes happened often began runs like_it",
    "course": "glance previous follows pins begin sessions take patches class since",
    "build": "whole brief glance written story photos things pieces_seen molds looks days supply matching buying sets pieces approvals cleared rules runs write_up",
}

FOOT: Final = {"run": "who swatch cups"}
"""What no section says: of a cup that names a material and a mix one is shown."""


@pytest.fixture(scope="module", params=seeds(1, 12))
def full(request: pytest.FixtureRequest) -> dict[str, View]:
    """A book whose documents say all they may, in each edition."""
    return open_editions(make_book(request.param, fullness=1))


def documents(views: dict[str, View]) -> Iterator[tuple[View, str, Document[Any]]]:
    for view in views.values():
        for kind in SHOWN:
            yield from ((view, kind, document) for document in view.on(kind).values() if document.model is not None)


def test_every_field_is_said_once_or_stands_at_the_foot(full: dict[str, View]) -> None:
    for view, kind, document in documents(full):
        paths = content_of(view, KINDS[kind], document).paths
        assert [path for path, count in Counter(paths).items() if count > 1] == []
        foot = [path for path, _value in unsaid(document.said, paths)]
        assert {path[0] for path in foot} <= {"format", "visibility", *FOOT.get(kind, "").split()}
        for path, _value in walk(document.model):
            saying = [each for each in paths if each == path[: len(each)]]
            left = [each for each in foot if each == path[: len(each)]]
            assert len(saying) + len(left) == _is_written(document.said, path), (kind, path)


def _is_written(document: Any, path: KeyPath) -> bool:
    """Whether the author wrote a field; what is missing has a value of the model's own. One may stand where a list may."""
    for key in path:
        if isinstance(document, list) or isinstance(key, str):
            if isinstance(document, dict) and key not in document:
                return False
            document = document[key]
    return True


def test_every_word_an_edition_holds_of_a_document_stands_on_its_page(full: dict[str, View]) -> None:
    seen = 0
    for view, kind, document in documents(full):
        page = unescape(document_page(view, kind, document.address).body)
        # Of a citation the name of the run and what a browser would show beside it need not stand there.
        own = {word for text in texts(document.said) if "run:" not in text.lower() for word in WORD.findall(text)}
        assert {word for word in own if word not in page} == set(), (kind, document.said)
        seen += len(own)
    assert seen > 200


WORD: Final = re.compile(r"zq[a-z]+\d+w\d+")


def texts(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict | list):
        for each in value.values() if isinstance(value, dict) else value:
            yield from texts(each)


def test_each_kind_has_its_order(full: dict[str, View]) -> None:
    for view, kind, document in documents(full):
        content = content_of(view, KINDS[kind], document)
        assert [each.key for each in content.sections] == ORDER[kind].split()
        titles = ["".join(map(str, each.title)) for each in content.sections if each.title and each.blocks]
        shown = re.findall(r"<h2>([^<]*)</h2>", document_page(view, kind, document.address).body)
        told = ("What is wrong or doubtful here", "Also recorded", "What must not touch what")
        assert [each for each in shown if each not in told] == titles


def test_every_part_knows_its_fields(full: dict[str, View]) -> None:
    view = full["private"]
    (document,) = [each for each in view.on("build").values() if each.model is not None][:1]
    sections = {each.key: each for each in content_of(view, KINDS["build"], document).sections}
    assert {path[0] for path in sections["things"].paths} == {"things"}
    (look, *_) = [each for each in sections["looks"].blocks if isinstance(each, Section)]
    assert ("looks", 0, "id") in look.paths
    assert all(path[:2] == ("looks", 0) for path in look.paths)


def test_a_field_nobody_thought_of_is_shown(tmp_path: Path) -> None:
    tools = tmp_path / "tools"
    shutil.copytree(PACKAGE, tools / "mothermold", ignore=shutil.ignore_patterns("__pycache__", "story"))
    line = '    scent: Text | None = some("What it smelled of.", "vinegar")\n'
    for module, group in (
        ("run", "Cup"),
        ("run", "Run"),
        ("mold", "Cavity"),
        ("course", "Question"),
        ("parts", "Accept"),
    ):
        file = tools / "mothermold/model" / f"{module}.py"
        head, found, rest = file.read_text(encoding="utf-8").partition(f"class {group}(")
        assert found
        said_of, fields = rest.split('"""\n\n', 1)
        file.write_text(f'{head}{found}{said_of}"""\n\n{line}{fields}', encoding="utf-8")
    files = {
        "book.yaml": "title: A book\n",
        "runs/r-a.yaml": "id: r-a\nkind: test\nstarted: 2026-02-03 09:00\nscent: zqrun\ncups: [{note: dull}, {note: dry, scent: zqcup}]\n",
        "molds/m.yaml": "title: M\nmade: unknown\ncavity: {volume: 10 ml, scent: zqcavity}\n",
        "courses/c.yaml": "title: C\npins: []\nsessions: [{questions: [{question: Why, answer: So, scent: zqquestion}]}]\n",
        "builds/b/build.yaml": "title: B\nthings: []\naccepts: [{rule: x, where: y, because: z, scent: zqaccept}]\n",
    }
    for name, text in files.items():
        (tmp_path / "book/recipes" / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / "book/recipes" / name).write_text(text, encoding="utf-8")
    program = (
        "import sys; from pathlib import Path\n"
        "from mothermold.pages.documents import document_page; from mothermold.view.view import open_view\n"
        "view = open_view(Path(sys.argv[1]), 'private')\n"
        "for kind, name in (('run', 'r-a'), ('mold', 'm'), ('course', 'c'), ('build', 'b')):\n"
        "    print(document_page(view, kind, name).body)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program, str(tmp_path / "book")],
        env={**os.environ, "PYTHONPATH": str(tools)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    rows = re.findall(r"<dt>([^<]*)</dt><dd>(zq\w+)</dd>", done.stdout)
    assert rows == [
        ("scent", "zqrun"),
        ("cups 2 scent", "zqcup"),
        ("cavity scent", "zqcavity"),
        ("sessions 1 questions 1 scent", "zqquestion"),
        ("accepts 1 scent", "zqaccept"),
    ]


def test_what_an_edition_does_not_hold_stays_words(tmp_path: Path) -> None:
    files = {
        "book.yaml": "title: A book\n",
        "molds/m.yaml": "title: Left mold\nmade: r-lost\ncavity: {volume: 10 ml, run: r-b}\nvisibility: public\n",
        "runs/r-b.yaml": "id: r-b\nstarted: 2026-02-03 09:00\ntitle: The second\nmold: m\nvisibility: class\n",
    }
    for name, text in files.items():
        (tmp_path / "recipes" / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / "recipes" / name).write_text(text, encoding="utf-8")
    pages = {edition: document_page(open_view(tmp_path, edition), "mold", "m").body for edition in EDITIONS}
    for edition in ("private", "class"):
        assert ': <a href="../runs/r-b.html">The second, 2026-02-03</a>.</p>' in pages[edition]
    assert "<p>Made in the run r-lost.</p>" in pages["private"]
    assert not re.search(r'href="[^"]*r-lost', "".join(pages.values()))
    assert "<p>The cavity was found in a way nobody wrote down.</p>" in pages["public"]
    assert not re.search(r"r-b|The second", pages["public"])


@pytest.mark.parametrize(
    ("to", "name", "leads"),
    [
        ("reference", "cast/cheek@2", "./versions/cast/cheek@2.html"),
        ("reference", "cast/cheek@7", None),
        ("mix", "cast/cheek@1#base", "./versions/cast/cheek@1.html#mix-base"),
        ("mix", "cast/nose#base", None),
        ("pair", "cast/cheek@1@2", "./compare/cast/cheek.html#v1-v2"),
        ("pair", "cast/cheek@1@7", None),
        ("recipe", "cast/cheek", "./recipes/cast/cheek.html"),
        ("run", "r-lost", None),
        ("here", "thing-face", "#thing-face"),
    ],
)
def test_words_lead_where_the_edition_holds_something(tmp_path: Path, to: str, name: str, leads: str | None) -> None:
    book = start_repository(tmp_path / "book")
    book.save(FIRST, empty_book() | {RECIPE: recipe(1)})
    book.save(SECOND, {RECIPE: recipe(2, why="Softer.")})
    assert Links(open_view(book.folder, "private"), HOME).where(to, name) == leads


def test_words_are_put_together_as_they_are_read() -> None:
    assert words("a", None, "", (), ("b", (False, "c"))) == ("a", "b", "c")
    assert words(date(2026, 4, 18), time(6, 5), parse("20 degC", ("temperature",)), 0) == (
        When("2026-04-18", "2026-04-18"),
        "06:05",
        "20 °C",
        "0",
    )
    assert said("cups", 1, note="dull", from_=None, as_=("x", "")) == (
        FieldWords(("cups", 1, "note"), ("dull",)),
        FieldWords(("cups", 1, "as"), ("x",)),
    )
    assert listed([RunRef("a"), RunRef("b")], ", ", "from") == (
        FieldWords(("from", 0), (Lead("run", "a"),)),
        ", ",
        FieldWords(("from", 1), (Lead("run", "b"),)),
    )
    assert section("x", "", labels(("A", None)), points(["", None]), None).blocks == ()


def test_what_no_path_covers_is_what_is_left() -> None:
    told = {
        "title": "T",
        "cups": [{"note": "a", "x": "1"}, {"note": "b"}],
        "vapor": {"cas": "1", "y": "2"},
        "asks": "cure",
        "no": [{}],
    }
    paths: list[KeyPath] = [("title",), ("cups", 0, "note"), ("vapor", 0, "cas"), ("asks", 0)]
    assert list(unsaid(told, paths)) == [(("cups", 0, "x"), "1"), (("cups", 1), {"note": "b"}), (("vapor", "y"), "2")]
    assert list(unsaid(told, [(key,) for key in told])) == []

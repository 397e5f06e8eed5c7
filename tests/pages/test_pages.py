"""Pages are pure functions of a view: the same pages every time, each well-formed, each saying what it must."""

from __future__ import annotations

import re
import subprocess
import sys
from collections import Counter
from collections.abc import Callable, Mapping
from html import unescape
from itertools import combinations, pairwise
from pathlib import Path
from typing import Final

import pytest

from campaigns.seeds import parts, thinned
from crawl import Read, headings, read_page
from history.repositories import (
    FIFTH,
    FIRST,
    FOURTH,
    RECIPE,
    SECOND,
    SEVENTH,
    SIXTH,
    THIRD,
    Moment,
    Repository,
    empty_book,
    recipe,
    start_repository,
)
from mothermold.cli.commands import COMMANDS, question_of
from mothermold.compare.words import changed_words
from mothermold.model.failure import Failure
from mothermold.model.material import Material
from mothermold.pages.addresses import Links, chapter_page
from mothermold.pages.all_pages import addresses, all_pages, page_at
from mothermold.pages.guide import chapters
from mothermold.pages.page import Page
from mothermold.pages.plans import FAULT
from mothermold.pages.source import without_comments
from mothermold.view.editions import EDITIONS, Edition
from mothermold.view.view import View, open_view
from view.books import make_book
from view.reading import open_editions

ROOT: Final = Path(__file__).resolve().parents[2]
MOMENTS: Final = (FIRST, SECOND, THIRD, FOURTH, FIFTH, SIXTH, SEVENTH)


@pytest.fixture(scope="module", params=parts(2, 30))
def views(request: pytest.FixtureRequest, sample_view: Callable[[Edition], View]) -> dict[str, View]:
    """The sample book in each edition with the first of the generated books, and these in each."""
    found = {f"demo {edition}": sample_view(edition) for edition in EDITIONS} if 0 in request.param else {}
    for seed in request.param:
        found |= {f"{seed} {edition}": view for edition, view in open_editions(make_book(seed)).items()}
    return found


@pytest.fixture(scope="module")
def pages(
    views: Mapping[str, View], sample_pages: Callable[[Edition], tuple[Page, ...]]
) -> dict[str, tuple[Page, ...]]:
    found = {f"demo {edition}": sample_pages(edition) for edition in EDITIONS}
    return {name: found.get(name) or tuple(all_pages(view)) for name, view in views.items()}


@pytest.fixture(scope="module")
def owners(sample_pages: Callable[[Edition], tuple[Page, ...]]) -> dict[str, Page]:
    """The pages of the sample book's owner, by address."""
    return {page.address: page for page in sample_pages("private")}


@pytest.fixture(scope="module")
def read(pages: Mapping[str, tuple[Page, ...]]) -> dict[str, Read]:
    return {f"{name}: {page.address}": read_page(page.body) for name, every in pages.items() for page in every}


@pytest.fixture
def repository(tmp_path: Path) -> Repository:
    return start_repository(tmp_path)


def by_address(view: View) -> dict[str, Page]:
    return {page.address: page for page in all_pages(view)}


def words(page: Page) -> str:
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]*>", "", page.body)))


# All of them


def test_the_same_view_gives_the_same_pages(views: Mapping[str, View], pages: Mapping[str, tuple[Page, ...]]) -> None:
    for name in list(views)[::4]:
        assert tuple(all_pages(views[name])) == pages[name]


def test_an_edition_has_exactly_the_pages_it_must_have(
    views: Mapping[str, View], pages: Mapping[str, tuple[Page, ...]]
) -> None:
    for name, every in pages.items():
        made = [page.address for page in every]
        assert [address for address, times in Counter(made).items() if times > 1] == []
        assert set(made) == addresses(views[name]), name
        assert page_at(views[name], "recipes/cast/no-such-thing.html") is None
        assert page_at(views[name], "versions/cast/face-piece@99.html") is None


def test_the_page_a_question_names_is_one_of_the_site(view: View) -> None:
    known = addresses(view)
    assert len(known) > 60
    for name in COMMANDS:
        asked = question_of(name)
        named = set(re.findall(r"[A-Z]+", asked.page))
        assert named <= {word for option, _needed in asked.options().values() for word in option.metavar.split("|")}
        shape = re.compile(re.sub(r"[A-Z]+", ".+", asked.page))
        assert not asked.page or any(shape.fullmatch(address) for address in known), name


def test_making_pages_needs_no_site_builder_no_clock_and_no_network(sample_book: Path) -> None:
    program = f"""
import sys, time, socket, datetime
from pathlib import Path
from ortools.sat.python import cp_model # what it brings along looks at the clock when it is imported
from mothermold.view.view import open_view
view = open_view(Path({str(sample_book)!r}), "private")
from mothermold.pages import all_pages, compare, documents, hubs, recipes, finder
def refuse(*given, **named):
    raise AssertionError("a page asked the clock or the network")
class Alike(type):
    def __instancecheck__(cls, each):
        return isinstance(each, cls.__mro__[1])
class Date(datetime.date, metaclass=Alike):
    today = refuse
class Moment(datetime.datetime, metaclass=Alike):
    now = utcnow = today = refuse
for name, module in list(sys.modules.items()):
    if name.startswith("mothermold"):
        for key, value in list(vars(module).items()):
            if value is datetime.datetime: setattr(module, key, Moment)
            if value is datetime.date: setattr(module, key, Date)
time.time = time.localtime = time.gmtime = refuse
socket.socket = socket.create_connection = refuse
print(sum(1 for _ in all_pages.all_pages(view)), len(finder.find_index(view)) > 100)
print([name for name in sys.modules if name.split(".")[0] in ("mkdocs", "material", "urllib3", "requests")])
"""
    done = subprocess.run(
        [sys.executable, "-c", program], cwd=ROOT / "tools", capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    count, imported = done.stdout.strip().split("\n")
    assert count.endswith("True")
    assert imported == "[]"


def test_every_page_has_one_first_heading_and_leaves_no_level_out(read: Mapping[str, Read]) -> None:
    for name, page in read.items():
        levels = list(headings(page))
        assert levels.count(1) == 1, name
        assert levels[0] == 1, name
        assert all(after - before <= 1 for before, after in pairwise(levels)), f"{name}: {levels}"


def test_every_element_is_closed_and_every_id_is_there_once(read: Mapping[str, Read]) -> None:
    framed = {"content", "find", "found"}
    for name, page in read.items():
        assert page.unbalanced == [], name
        assert [each for each, times in Counter(page.ids).items() if times > 1 or each in framed] == [], name


def is_our_own(script: Mapping[str, str]) -> bool:
    """Whether a script is a file that lies beside the page's looks, or data that nothing runs."""
    if script.get("type") == "application/json":
        return "src" not in script
    return re.fullmatch(r"(\./|(\.\./)+)assets/[a-z-]+\.js", script.get("src", "")) is not None


def is_own_sheet(link: Mapping[str, str]) -> bool:
    """Whether a link is one of the style sheets that lie beside the page's looks."""
    sheet = re.fullmatch(r"(\./|(\.\./)+)assets/[a-z-]+\.css", link.get("href", ""))
    return link.get("rel") == "stylesheet" and sheet is not None


def test_no_element_carries_a_style_a_strange_script_or_an_address_outside(read: Mapping[str, Read]) -> None:
    for name, page in read.items():
        for tag, given in page.elements:
            assert tag not in ("style", "iframe", "object", "embed", "base"), name
            assert tag != "link" or is_own_sheet(given), f"{name}: {given}"
            assert tag != "script" or is_our_own(given), f"{name}: {given}"
            assert not [key for key in given if key == "style" or key.startswith("on")], name
            for key in ("href", "src", "action", "formaction", "srcset"):
                value = given.get(key, "")
                if re.match(r"\s*([a-z][a-z0-9+.-]*:|//)", value, re.IGNORECASE):
                    assert (tag, key) == ("a", "href"), f"{name}: {value}"
                    assert value.startswith(("https://", "http://", "mailto:")), f"{name}: {value}"
                    assert {"noopener", "noreferrer"} <= set(given.get("rel", "").split()), f"{name}: {value}"


# "None on the clay" is a sentence; "None ml" and "None," are not.
PYTHON: Final = re.compile(
    r"\bNone\b(?! (?!g\b|ml\b|min\b|h\b)[a-z])|Fraction\(|Quantity\(|<\w+ object at|datetime\.|[\[{]'"
)


def test_no_page_is_empty_or_shows_how_python_prints_things(
    pages: Mapping[str, tuple[Page, ...]], read: Mapping[str, Read]
) -> None:
    for name, every in pages.items():
        for page in every:
            assert page.title.strip(), page.address
            text = read[f"{name}: {page.address}"].text
            assert text.strip()
            assert not PYTHON.search(text), page.address
            assert FAULT not in text, page.address


# Versions


def test_every_version_has_an_address_for_good_and_an_old_one_leads_to_the_one_in_use(repository: Repository) -> None:
    repository.save(FIRST, empty_book())
    repository.save(SECOND, {RECIPE: recipe(1, title="The first text")})
    before = by_address(open_view(repository.folder, "private"))
    repository.save(THIRD, {RECIPE: recipe(2, title="The second text", why="Softer.")})
    repository.write({RECIPE: recipe(3, "draft", title="The third text")})
    after = by_address(open_view(repository.folder, "private"))

    assert before["versions/cast/cheek@1.html"].title == after["versions/cast/cheek@1.html"].title == "The first text"
    assert "older version" not in before["versions/cast/cheek@1.html"].body
    old = after["versions/cast/cheek@1.html"].body
    assert "This is an older version." in old
    assert '<a href="../../recipes/cast/cheek.html">Go to version 2, the one in use</a>' in old
    assert 'class="banner' not in after["versions/cast/cheek@2.html"].body
    assert "This is not the version in use." in after["versions/cast/cheek@3.html"].body
    main = after["recipes/cast/cheek.html"]
    assert main.title == "The second text"
    assert "A draft of version 3 is being written" in main.body


def _saved_versions(repository: Repository, count: int) -> View:
    repository.save(FIRST, empty_book())
    for number in range(1, count + 1):
        moment = Moment(f"2026-03-{number:02d}T10:00:00+0000", "")
        repository.save(moment, {RECIPE: recipe(number, why=f"Reason {number}.", hands_on=f"{number} min")})
    return open_view(repository.folder, "private")


def _pairs(page: Page) -> set[tuple[int, int]]:
    return {
        (int(match[1]), int(match[2]))
        for each in read_page(page.body).ids
        if (match := re.match(r"v(\d+)-v(\d+)", each))
    }


def test_up_to_five_versions_every_pair_can_be_compared(repository: Repository) -> None:
    page = by_address(_saved_versions(repository, 5))["compare/cast/cheek.html"]
    assert _pairs(page) == set(combinations(range(1, 6), 2))


def test_above_five_neighbors_and_each_with_the_one_in_use_can_be_compared(repository: Repository) -> None:
    page = by_address(_saved_versions(repository, 6))["compare/cast/cheek.html"]
    neighbors = {(number, number + 1) for number in range(1, 6)}
    assert _pairs(page) == neighbors | {(number, 6) for number in range(1, 6)}


def test_each_can_be_compared_with_what_a_course_teaches_and_a_pair_that_is_not_there_leads_to_the_page(
    repository: Repository,
) -> None:
    _saved_versions(repository, 6)
    repository.save(
        Moment("2026-03-09T10:00:00+0000", ""), {"recipes/courses/term.yaml": "title: A term\npins: [cast/cheek@2]\n"}
    )
    view = open_view(repository.folder, "private")
    assert {pair for pair in _pairs(by_address(view)["compare/cast/cheek.html"]) if 2 in pair} == {
        (1, 2), (2, 3), (2, 4), (2, 5), (2, 6),
    }  # fmt: skip
    links = Links(view, "index.html")
    assert links.compared("cast/cheek", 2, 5) == "./compare/cast/cheek.html#v2-v5"
    assert links.compared("cast/cheek", 1, 4) == "./compare/cast/cheek.html"


def test_a_comparison_says_what_changed_what_it_leads_to_and_why(repository: Repository) -> None:
    repository.save(FIRST, empty_book())
    repository.save(SECOND, {RECIPE: recipe(1)})
    repository.save(THIRD, {RECIPE: recipe(2, why="Softer at the edge.", deadener="80 %", fixes=["air-at-cheek"])})
    said = words(by_address(open_view(repository.folder, "private"))["compare/cast/cheek.html"])
    assert "Deadener fluid 60 % → 80 %" in said
    assert "Since version 2: Softer at the edge." in said
    assert "It answers Air at the cheek" in said
    assert "both filled with 100 ml" in said


def test_changed_wording_is_shown_word_by_word(repository: Repository) -> None:
    repository.save(FIRST, empty_book())
    step = "    do: Pour a {} thread into the lowest point.\n"
    repository.save(SECOND, {RECIPE: recipe(1, more=step.format("thick"))})
    repository.save(THIRD, {RECIPE: recipe(2, more=step.format("very thin"))})
    body = by_address(open_view(repository.folder, "private"))["compare/cast/cheek.html"].body
    spaced = re.sub(r"\s+", " ", body)
    assert "Pour a <del>thick</del> <ins>very thin</ins> thread into the lowest point." in spaced


def test_words_are_told_apart_as_same_gone_and_come() -> None:
    assert changed_words("one two three", "one 2 three four") == [
        ("same", "one"),
        ("gone", "two"),
        ("come", "2"),
        ("same", "three"),
        ("come", "four"),
    ]
    assert changed_words(None, "all new") == []


def test_a_version_deleted_retired_or_amended_stays_readable_and_says_so(repository: Repository) -> None:
    repository.save(FIRST, empty_book())
    repository.save(SECOND, {RECIPE: recipe(1, title="As it was", why="The first.")})
    repository.save(THIRD, {RECIPE: recipe(1, title="As it was", why="Said better.", hands_on="11 min")})
    page = by_address(open_view(repository.folder, "private"))["versions/cast/cheek@1.html"]
    assert f"locked, {SECOND.in_the_book[:10]}, amended once" in page.body
    assert "Earlier texts of version 1" in page.body
    # The book's zone, not the saver's.
    assert f"saved {SECOND.in_the_book[:10]}" in page.body
    assert "10 min" in page.body

    repository.save(FOURTH, {RECIPE: None})
    gone = by_address(open_view(repository.folder, "private"))
    assert "This recipe is deleted" in gone["recipes/cast/cheek.html"].body
    assert "No longer used" in gone["recipes.html"].body
    assert "recipes/cast/cheek.html" in gone["recipes.html"].body


def test_a_saved_draft_is_a_draft_and_an_unsaved_text_says_so(repository: Repository) -> None:
    repository.save(FIRST, empty_book() | {RECIPE: recipe(1, "draft")})
    page = "recipes/cast/cheek.html"
    assert "not saved yet" not in by_address(open_view(repository.folder, "private"))[page].body
    repository.write({RECIPE: recipe(1, "draft", hands_on="11 min")})
    assert "draft, not saved yet" in by_address(open_view(repository.folder, "private"))[page].body
    repository.save(SECOND, {RECIPE: recipe(1)})
    repository.write({RECIPE: recipe(1, hands_on="12 min")})
    assert "changed since it was saved" in by_address(open_view(repository.folder, "private"))[page].body


# What a page must say


def _shown(text: str) -> str:
    """What a notice says as a page's words: what is typed stands there as code, not between its marks."""
    return re.sub(r"\s+", " ", re.sub(r"`([^`]+)`", r"\1", text))


def test_a_recipes_page_holds_every_step_part_and_thing_to_watch(view: View, owners: Mapping[str, Page]) -> None:
    seen = Counter[str]()
    for address in view.recipes:
        versions = view.versions(address)
        assert versions is not None
        for row in versions.rows:
            assert row.recipe is not None
            said = words(owners[f"versions/{address}@{row.number}.html"])
            for step in row.recipe.steps:
                seen["steps"] += 1
                assert step.title in said
                for failure in step.watch:
                    model = view.documents.on("failure")[failure].model
                    assert isinstance(model, Failure)
                    assert model.title in said
                    seen["watched"] += 1
            for part in (part for mix in row.recipe.mixes for part in mix.parts):
                seen["parts"] += 1
                titles = {name: material.title for name, material in view.models(Material).items()}
                titles |= {mix.id: mix.title or mix.id for mix in row.recipe.mixes}
                assert titles[part.name] in said
    assert min(seen["steps"], seen["watched"], seen["parts"]) > 10


def test_a_failures_page_begins_with_the_rescue(view: View, owners: Mapping[str, Page]) -> None:
    rescued = 0
    for name, document in view.documents.on("failure").items():
        assert isinstance(document.model, Failure)
        if document.model.now:
            first = re.findall(r"<h2>(.*?)</h2>", owners[f"failures/{name}.html"].body)[0]
            assert first == "Do this now"
            rescued += 1
    assert rescued > 3


def test_the_page_of_notices_lists_every_notice(
    views: Mapping[str, View], pages: Mapping[str, tuple[Page, ...]]
) -> None:
    for name, view in views.items():
        said = words(next(page for page in pages[name] if page.address == "notices.html"))
        for notice in view.notices:
            assert _shown(notice.message) in said, name
            assert _shown(notice.help) in said, name


GAPS: Final = {
    "a step without words": "steps:\n  - id: fill\n  - title: Close it\n  -\n  - do: Wait.\n",
    "a mix without parts": "mixes:\n  - id: base\n  -\n  - title: Another\n    parts:\n      - material: deadener\n      -\n",
    "empty groups": "mixes:\nsteps:\nsurfaces:\ngives:\n",
    "nothing else": "",
}


@pytest.mark.parametrize("gap", GAPS)
def test_a_draft_with_gaps_has_its_pages(gap: str, tmp_path: Path) -> None:
    repository = Repository(tmp_path)
    draft = "title: Not done yet\nstage: cast\nversion: 1\nstatus: draft\n" + GAPS[gap]
    repository.write(empty_book() | {RECIPE: draft})
    for edition in EDITIONS:
        view = open_view(tmp_path, edition)
        assert by_address(view).keys() == addresses(view)
    page = by_address(open_view(tmp_path, "private"))["recipes/cast/cheek.html"]
    assert "Not done yet" in page.body
    assert "Close it" in page.body or "steps:" not in draft or gap == "empty groups"


# What cannot be read

BROKEN: Final = {
    "recipe": ("recipes/cast/second.yaml", "recipes/cast/second.html"),
    "material": ("recipes/materials/second.yaml", "materials/second.html"),
    "failure": ("recipes/failures/second.yaml", "failures/second.html"),
    "run": ("recipes/runs/r-second.yaml", "runs/r-second.html"),
    "mold": ("recipes/molds/second.yaml", "molds/second.html"),
    "build": ("recipes/builds/second/build.yaml", "builds/second.html"),
    "course": ("recipes/courses/second.yaml", "courses/second.html"),
}
DAMAGE: Final = {
    "no such key": "titel: Something\n",
    "no yaml": "title: [Something\n",
    "a word": "Something\n",
    "a tab": "title: A\n\tstage: B\n",
}


@pytest.mark.parametrize(("kind", "damage"), thinned([(kind, damage) for kind in BROKEN for damage in DAMAGE], 5))
def test_the_page_of_a_broken_document_says_what_is_wrong_and_the_rest_stands(
    kind: str, damage: str, tmp_path: Path
) -> None:
    repository = Repository(tmp_path)
    repository.write(empty_book() | {RECIPE: recipe(1)})
    whole = by_address(open_view(tmp_path, "private"))
    file, address = BROKEN[kind]
    repository.write({file: DAMAGE[damage] + "# mine alone\n"})
    view = open_view(tmp_path, "private")
    made = by_address(view)

    assert "cannot be read yet" in made[address].body
    notices = [notice for notice in view.notices if notice.file == file and notice.severity == "error"]
    assert notices
    for notice in notices:
        assert _shown(notice.message) in words(made[address])
    assert "Something" in made[address].body or "stage" in made[address].body
    assert "mine alone" not in made[address].body
    assert whole.keys() < made.keys()
    for name in ("recipes/cast/cheek.html", "materials/deadener.html", "failures/air-at-cheek.html"):
        assert made[name] == whole[name]
    assert address not in by_address(open_view(tmp_path, "public"))


def test_a_broken_file_of_a_saved_recipe_leaves_the_saved_version_standing(repository: Repository) -> None:
    repository.save(FIRST, empty_book() | {RECIPE: recipe(1)})
    repository.write({RECIPE: "title: Broken\nstag: cast\n# mine alone\n"})
    page = by_address(open_view(repository.folder, "private"))["recipes/cast/cheek.html"]
    said = words(page)
    assert "The file as it is now cannot be read; below is version 1 as it was saved." in said
    assert "Fill and close" in said
    assert "stag: cast" in said
    assert "mine alone" not in said
    notices = [each for each in open_view(repository.folder, "private").notices if each.file == RECIPE]
    assert notices
    assert all(_shown(notice.message) in said for notice in notices)


@pytest.mark.parametrize("text", ["titl: My book\n", "title: [\n", "just words\n", ""])
def test_a_broken_settings_file_leaves_every_page_standing(text: str, tmp_path: Path) -> None:
    repository = Repository(tmp_path)
    repository.write(empty_book() | {RECIPE: recipe(1)})
    whole = by_address(open_view(tmp_path, "private"))
    repository.write({"recipes/book.yaml": text})
    view = open_view(tmp_path, "private")
    made = by_address(view)
    assert made.keys() == whole.keys()
    for notice in (notice for notice in view.notices if notice.file == "recipes/book.yaml"):
        assert _shown(notice.message) in words(made["notices.html"])
    assert set(by_address(open_view(tmp_path, "public"))) == {
        "index.html",
        "notices.html",
        "offline.html",
        "rules.html",
        "find.html",
        "hurt.html",
        "sums.html",
        "touch.html",
        "guide.html",
        *map(chapter_page, chapters()),
    }


# Texts shown as they stand

COMMENTED: Final = """\
# all of this goes
title: Air # this too
why: "kept # as said"
where: 'it''s # kept'
do: |
  # kept, it is text
  and so on # kept
now: [one, # goes
  two] # goes
url: a#b
said: "over
  two # kept
  lines" # goes
"""
UNCOMMENTED: Final = """\

title: Air
why: "kept # as said"
where: 'it''s # kept'
do: |
  # kept, it is text
  and so on # kept
now: [one,
  two]
url: a#b
said: "over
  two # kept
  lines"
"""


def test_a_text_is_shown_without_its_comments_line_by_line() -> None:
    assert without_comments(COMMENTED) == UNCOMMENTED


def test_a_text_with_an_odd_quote_still_loses_its_comments() -> None:
    assert "secret" not in without_comments("title: it's # secret\nwhy: fine # secret\n")
    assert without_comments("") == ""

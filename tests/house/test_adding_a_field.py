"""Whoever adds a field touches the model and nothing else: on a throw-away copy of the package it is done."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from browser import watched
from history.repositories import FIRST, SECOND, THIRD, empty_book, recipe, start_repository
from mothermold.compare.fields import RECIPE_FIELDS, Entries, Group
from mothermold.model.expected import keys_of
from mothermold.model.failure import Failure
from mothermold.model.kinds import KINDS
from mothermold.model.parts import some
from mothermold.model.recipe import Recipe
from mothermold.model.traits import places, traits_of

PACKAGE = Path(__file__).resolve().parents[2] / "tools" / "mothermold"
RECIPE = "recipes/cast/cheek.yaml"

# What is typed into the model, by the class it is typed into.
ADDED = {
    "Step": (
        '    shine: Text | None = some("How it shines.", "dull")\n'
        '    rim: Surface | None = some("Its rim.", {"id": "rim", "material": "resin"})\n'
    ),
    "Use": '    grips: Annotated[tuple[Name, ...], ONE_OR_MANY] = many("What holds it.", ["tweezers"])\n',
    "Mix": '    stirred: Text | None = some("How it is stirred.", "slowly")\n',
    "MixPart": '    sifted: Text | None = some("How fine it is sifted.", "coarse")\n',
    "Allowance": '    spilled: Text | None = some("How much is spilled.", "none")\n',
    "Recipe": '    music: Text | None = some("What is played to it.", "slow")\n',
}

# What its new fields say alike in every version.
ALIKE = {
    "mixes:": "music: waltz\nmixes:",
    "    fills:": "    stirred: figure of eight\n    fills:",
    "{material: deadener, percent": "{sifted: twice, material: deadener, percent",
    "allowance: 10 %": "allowance: {percent: 10 %, spilled: a thimble}",
}
# How a page says all of them, each after its name.
SEEN = {
    "shine silky", "rim id lip material deadener", "grips tweezers, clamp", "stirred figure of eight", "sifted twice",
    "spilled a thimble", "music waltz",
}  # fmt: skip


@pytest.fixture(scope="module")
def tools(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the package whose one changed file is the model of a recipe."""
    folder = tmp_path_factory.mktemp("copy")
    shutil.copytree(PACKAGE, folder / "mothermold", ignore=shutil.ignore_patterns("__pycache__", "story"))
    file = folder / "mothermold/model/recipe.py"
    text = file.read_text(encoding="utf-8")
    for name, line in ADDED.items():
        head, found, rest = text.partition(f"class {name}(")
        assert found
        said, fields = rest.split('"""\n\n', 1)
        text = f'{head}{found}{said}"""\n\n{line}{fields}'
    file.write_text(text, encoding="utf-8")
    return folder


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A book whose recipe says the new fields: one number saved twice, differing in them alone, then the next."""
    repository = start_repository(tmp_path_factory.mktemp("book"))
    for version, moment, shine, grips, rim in (
        (1, FIRST, "dull", "tweezers", "edge"),
        (1, SECOND, "bright", "tweezers", "edge"),
        (2, THIRD, "silky", "[tweezers, clamp]", "lip"),
    ):
        text = recipe(version).replace("as: fill}", f"as: fill, grips: {grips}}}")
        text += f"    shine: {shine}\n    rim: {{id: {rim}, material: deadener}}\n"
        for old, new in ALIKE.items():
            assert old in text
            text = text.replace(old, new)
        repository.save(moment, (empty_book() if version == 1 else {}) | {RECIPE: text})
    return repository.folder


def asked(tools: Path, book: Path, *words: str) -> Any:
    """What the copy answers."""
    done = subprocess.run(
        [sys.executable, "-m", "mothermold", *words, "-C", str(book), "--format", "json"],
        env={**os.environ, "PYTHONPATH": str(tools)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return json.loads(done.stdout)


def test_a_number_saved_again_with_another_value_is_another_text(tools: Path, book: Path) -> None:
    first, _second = asked(tools, book, "versions", "cast/cheek")["versions"]

    assert first["amended"]


def test_a_difference_tells_it_by_its_name_and_it_counts(tools: Path, book: Path) -> None:
    changes = asked(tools, book, "diff", "cast/cheek", "1", "2")["changes"]

    told = {change["path"][-1]: (change["kind"], change["sentence"]) for change in changes}
    assert told == {
        "grips": ("material", "Fill and close: grips of Base silicone, new: clamp."),
        "shine": ("order", "Fill and close: shine bright → silky."),
        "id": ("order", "Fill and close: rim id edge → lip."),
    }


@pytest.fixture(scope="module")
def built(tools: Path, book: Path) -> Path:
    """The site the copy builds, with the one file in it."""
    site = book / "site" / "private"
    for more in ([], ["--one-file", "--out", str(site / "one.html")]):
        done = subprocess.run(
            [sys.executable, "-m", "mothermold", "build", "-C", str(book), "--for", "private", *more],
            env={**os.environ, "PYTHONPATH": str(tools)},
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.returncode == 0, done.stdout + done.stderr
    return site


def unseen(page: Page) -> set[str]:
    """What of the new fields cannot be read on what is open."""
    words = " ".join(page.locator("main").inner_text().split())
    return {each for each in SEEN if each not in words}


@pytest.mark.parametrize(
    "recipe", ["recipes/cast/cheek.html", "versions/cast/cheek@2.html", "one.html#recipe/cast/cheek"]
)
def test_it_stands_on_the_page_of_the_recipe_and_on_paper(chromium: Browser, built: Path, recipe: str) -> None:
    with watched(chromium, f"{built.as_uri()}/") as seen:
        assert seen.open(recipe) == []
        assert unseen(seen.page) == set()
        seen.page.emulate_media(media="print")
        assert unseen(seen.page) == set()


@pytest.mark.parametrize("bench", ["bench/cast/cheek@2.html", "one.html#bench/cast/cheek@2"])
def test_it_stands_at_the_bench_and_on_its_paper(chromium: Browser, built: Path, bench: str) -> None:
    with watched(chromium, f"{built.as_uri()}/") as seen:
        assert seen.open(bench) == []
        before = unseen(seen.page)
        seen.page.get_by_role("button", name="Begin", exact=True).click()
        assert before == SEEN - {"music waltz"}
        assert unseen(seen.page) == {"music waltz"}
        seen.page.emulate_media(media="print")
        assert unseen(seen.page) == set()


def test_an_editor_knows_it(tools: Path, book: Path) -> None:
    groups = asked(tools, book, "schema")["recipe"]["$defs"]

    assert groups["Step"]["properties"]["shine"]["description"] == "How it shines."
    assert "grips" in groups["Use"]["properties"]


def test_only_what_says_so_is_never_a_change() -> None:
    silent = {key for key in keys_of(Recipe) if key not in RECIPE_FIELDS}

    assert silent == {"format", "version", "status", "why", "fixes", "visibility", "formerly", "accepts"}
    assert {key for key, field in keys_of(Failure).items() if traits_of(field).change == "never"} == {
        "format",
        "visibility",
    }


def test_what_a_field_does_not_say_it_has_from_what_holds_it() -> None:
    steps, title = RECIPE_FIELDS["steps"], RECIPE_FIELDS["title"]
    assert isinstance(steps, Entries)
    pictures, coats = steps.fields["pictures"], steps.fields["coats"]
    assert isinstance(pictures, Entries)
    assert isinstance(coats, Group)

    assert (steps.kind, steps.fields["phase"].kind, coats.fields["between"].kind) == ("order", "order", "quantity")
    assert (title.note, steps.note, steps.fields["do"].note) == (True, False, False)
    assert all(node.note and node.kind == "wording" for node in pictures.fields.values())


@pytest.mark.parametrize("traits", [{"change": "tmie"}, {"chagne": "time"}, {"note": "maybe"}])
def test_a_slip_in_what_a_field_is_stops_the_model(traits: dict[str, Any]) -> None:
    with pytest.raises((TypeError, ValueError), match="Traits"):
        some("How it shines.", "dull", **traits)


def test_what_stays_with_the_owner_and_what_is_pinned_stands_at_the_fields() -> None:
    own = {word: set(found) for word, kind in KINDS.items() if (found := places(kind.model, "own"))}
    pinned = {word: set(found) for word, kind in KINDS.items() if (found := places(kind.model, "pinned"))}

    assert own == {
        "material": {("lots",), ("packs", "price")},
        "run": {("lots",), ("morning_after",)},
        "build": {("cleared", "lots")},
        "course": {("sessions", "questions", "answer")},
    }
    assert pinned == {
        "run": {("recipe",)},
        "build": {
            ("things", "recipe"),
            *((place, stage) for place in ("looks", "cleared") for stage in ("application", "wear", "removal")),
        },
        "course": {("pins",)},
        "failure": {("fixes", "in")},
    }

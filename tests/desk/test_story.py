"""The sample book's story replays to the same repository every time, and ends as the top-level recipes."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from campaigns.seeds import REST, divided
from mothermold.book.library import read_book
from mothermold.cli.main import main
from mothermold.desk.founding import modelines
from mothermold.desk.story import chapters, replay_story
from mothermold.model.build import Build
from mothermold.model.failure import Failure
from mothermold.model.material import Material
from mothermold.model.mold import Mold
from mothermold.model.recipe import Recipe
from mothermold.model.run import Run
from mothermold.reckon.times import minutes_to_close
from mothermold.trade.rules import rules
from mothermold.view.editions import EDITIONS, Edition
from mothermold.view.view import View, open_view

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def demo(sample_book: Path) -> Path:
    return sample_book


def texts(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def git(folder: Path, *words: str) -> str:
    return subprocess.run(["git", "-C", str(folder), *words], capture_output=True, text=True, check=True).stdout


def test_the_storys_end_equals_the_top_level_recipes(demo: Path) -> None:
    assert texts(demo / "recipes") == texts(ROOT / "recipes")


def test_two_replays_are_the_same_repository_whatever_the_users_settings(
    demo: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    home = tmp_path / "home"
    home.mkdir()
    hook = tmp_path / "hooks" / "commit-msg"
    hook.parent.mkdir()
    hook.write_text("#!/bin/sh\nexit 1\n")
    hook.chmod(0o755)
    (home / ".gitconfig").write_text(
        f"[user]\n\tname = Someone Else\n[core]\n\tautocrlf = true\n\thooksPath = {hook.parent}\n[commit]\n\tgpgSign = true\n"
        "[init]\n\tdefaultBranch = other\n\ttemplateDir = /nowhere\n"
    )
    monkeypatch.setenv("HOME", str(home))
    monkeypatch.setenv("GIT_DIR", str(tmp_path / "elsewhere"))
    monkeypatch.setenv("TZ", "Pacific/Auckland")
    replay_story(tmp_path / "again")
    monkeypatch.delenv("GIT_DIR")
    assert git(tmp_path / "again", "rev-parse", "HEAD") == git(demo, "rev-parse", "HEAD")
    assert git(tmp_path / "again", "status", "--porcelain") == ""


def test_every_chapter_is_saved_at_its_own_time_with_its_own_reason(demo: Path) -> None:
    told = chapters()
    log = git(demo, "log", "--reverse", "--format=%cI%x09%s").strip().split("\n")
    assert [line.split("\t")[0] for line in log] == [chapter.moment.isoformat() for chapter in told]
    assert [line.split("\t")[1] for line in log] == [chapter.message.split("\n")[0] for chapter in told]
    assert [chapter.moment for chapter in told] == sorted(chapter.moment for chapter in told)
    assert all(len(chapter.message) > 20 for chapter in told)


@pytest.mark.parametrize("edition", EDITIONS)
def test_the_demo_has_nothing_wrong_with_it(edition: Edition, sample_view: Callable[[Edition], View]) -> None:
    assert sample_view(edition).notices == ()


# What the book asks today and nobody asked then, and the chapter that mended it: a watch laid beside the sheets in September, an
# evening with a first-aid trainer in October. Before that it is told of the old texts, and rightly.
ASKED_LATER = {"pot-life-too-short": "2026-09-23-tonight-at-home", "no-way-off": "2026-10-05-the-worst-minute"}


@pytest.mark.parametrize("rest", REST)
def test_after_every_chapter_the_book_was_in_order(rest: bool, demo: Path, tmp_path: Path) -> None:
    commits = git(demo, "rev-list", "--reverse", "HEAD").split()
    for chapter, commit in divided(list(zip(chapters(), commits, strict=True))[::-1], 18, rest):
        folder = tmp_path / commit
        subprocess.run(["git", "clone", "--quiet", str(demo), str(folder)], check=True)
        subprocess.run(["git", "-C", str(folder), "checkout", "--quiet", "--detach", commit], check=True)
        # The first mold had no way to open it and backs were glued unwiped: that is the story, and the book said so then.
        then = rules().keys() | {"not-cleared"}  # a patch test takes its days
        then |= {code for code, mended in ASKED_LATER.items() if chapter.id < mended}
        notices = open_view(folder, "private").notices
        assert [each for each in notices if each.severity != "advice" and each.code not in then] == [], chapter.id


def test_the_sample_book_has_the_size_it_promises(sample_view: Callable[[Edition], View]) -> None:
    view = sample_view("private")
    sizes = {kind: len(documents) for kind, documents in view.documents.by_kind().items()}
    wanted = {"recipe": 16, "material": 25, "failure": 28, "run": 40, "mold": 5, "build": 2, "course": 1}
    assert {kind: number for kind, number in wanted.items() if sizes[kind] < number} == {}
    assert {address.split("/")[0] for address in view.recipes} == set(view.words.stages)
    runs = [each.model for each in view.documents.on("run").values() if isinstance(each.model, Run)]
    assert all(sum(1 for run in runs if run.kind == kind) >= 4 for kind in ("test", "pull"))
    lots = [each.model for each in view.documents.on("material").values() if isinstance(each.model, Material)]
    assert sum(1 for material in lots if material.lots) >= 25
    notes = [each.model for each in view.documents.on("failure").values() if isinstance(each.model, Failure)]
    assert all(note.now for note in notes)
    assert 1 <= sum(1 for note in notes if not note.fixes) <= 4
    for address in view.recipes:
        versions = view.versions(address)
        assert versions is not None
        assert 2 <= len([row for row in versions.rows if row.status == "locked"]) <= 5


@pytest.mark.parametrize("folder", [ROOT / "recipes"], ids=["recipes"])
def test_every_sample_file_tells_editors_its_schema_in_both_ways(folder: Path) -> None:
    for document in read_book(folder.parent).documents.every():
        text = (folder.parent / document.file).read_text(encoding="utf-8")
        assert text.startswith(modelines(document.kind, document.file)), document.file
        relative = re.search(r"\$schema=(\S+)", text)
        assert relative is not None
        assert ((folder.parent / document.file).parent / relative[1]).resolve().is_file()


def test_a_demo_does_not_go_into_a_folder_with_something_in_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "mine.txt").write_text("mine")
    assert main(["demo", str(tmp_path)]) == 1
    assert "is not empty" in capsys.readouterr().err


def test_the_two_builds_share_recipes_and_cast_them_in_cavities_of_their_own(
    sample_view: Callable[[Edition], View],
) -> None:
    view = sample_view("private")
    builds = [each.model for each in view.documents.on("build").values() if isinstance(each.model, Build)]
    shared = set.intersection(*({thing.recipe.address for thing in build.things} for build in builds))
    assert {"mold/face-mold", "cast/face-piece"} <= shared
    molds = {
        each.model.title: each.model for each in view.documents.on("mold").values() if isinstance(each.model, Mold)
    }
    cavities = {molds[name].cavity.volume.text for name in ("Face mold 2", "Face mold 3")}  # type: ignore[union-attr]
    assert len(cavities) == 2


def recipes_of(folder: Path) -> dict[str, Recipe]:
    """The recipes as they stand at the end of the story."""
    return {
        name: each.model
        for name, each in read_book(folder).documents.on("recipe").items()
        if isinstance(each.model, Recipe)
    }


def test_whatever_has_a_pot_life_is_closed_within_it(demo: Path) -> None:
    late = [
        (address, mix.id)
        for address, recipe in recipes_of(demo).items()
        for mix in recipe.mixes
        if mix.pot_life is not None and (minutes_to_close(recipe, mix.id) or 0) > mix.pot_life.time.value
    ]
    assert late == []


def test_the_eyes_are_kept_one_way_wherever_glue_or_remover_meets_a_face(demo: Path) -> None:
    on_a_face = {
        name: each for name, each in recipes_of(demo).items() if each.stage in ("application", "wear", "removal")
    }
    ways = {
        name: [str(need) for need in each.needs if "the eyes, one way" in str(need)] for name, each in on_a_face.items()
    }
    assert all(len(way) == 1 for way in ways.values()), ways
    assert len({way for (way,) in ways.values()}) == 1
    text = "".join((demo / "recipes" / f"{name}.yaml").read_text(encoding="utf-8") for name in on_a_face)
    assert not re.search(r"under (fresh )?damp pads|shield of card|shield over the eyes", text)


def test_nothing_of_a_wearers_skin_stands_in_a_run(demo: Path) -> None:
    runs = [each.model for each in read_book(demo).documents.on("run").values() if isinstance(each.model, Run)]
    assert not [run.id for run in runs for wrong in run.went_wrong if str(wrong.failure) == "skin-red-next-morning"]
    told = re.compile(r"\b(redness|rash|itch\w*|blister\w*|doctor|allerg\w*)\b")
    for file in (demo / "recipes" / "builds").rglob("*.yaml"):
        assert not told.search(file.read_text(encoding="utf-8")), file.name


def test_production_hears_whether_and_not_why(demo: Path) -> None:
    book = "".join(file.read_text(encoding="utf-8") for file in (demo / "recipes").rglob("*.yaml"))
    assert "production is told" not in book
    assert "tell production" not in book.lower()

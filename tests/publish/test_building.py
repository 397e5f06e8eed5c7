"""A site is built the same from the same book, published file by file, and never over what is not ours."""

from __future__ import annotations

import json
import multiprocessing
import os
import re
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable
from datetime import UTC, datetime
from itertools import count
from pathlib import Path
from typing import Final

import pytest

from campaigns.seeds import short
from crawl import files_below
from history.repositories import FIRST as SAVED
from history.repositories import RECIPE, Repository, clean_git_environment, empty_book, recipe, start_repository
from mothermold.cli.main import main
from mothermold.ground.errors import CannotRunError, RefusedError
from mothermold.pages.all_pages import addresses
from mothermold.publish import building
from mothermold.publish.building import build_site
from mothermold.publish.file_list import LIST
from mothermold.publish.offline import WORKER, forgetting_worker
from mothermold.view.editions import EDITIONS, Edition
from mothermold.view.view import View, open_view

ROOT: Final = Path(__file__).resolve().parents[2]
FONTS: Final = ("besley", "atkinson-hyperlegible-next")
OURS: Final = {
    *(
        f"assets/{name}"
        for name in (
            "icon.svg", "mothermold.css", "dark.css", "glare.css", "bench.css", "mothermold.js", "light.js", "larger.js", "offline.js",
            "units.js", "exact.js", "amounts.js", "batch.js", "calculator.js", "setting.js", "sums.js", "touch.js", "narrow.js", "bench.js",
            "bench-book.js", "bench-run.js", "bench-clock.js", "bench-room.js", "bench-keep.js", "bench-panels.js", "bench-time.js",
            "bench-cautions.js", "bench-aid.js", "bench-wall.js", "bench-hand.js", "bench-end.js",
            "bench-deliver.js", "day.css", "day.js", "find.js", "finder.js", "stems.js", "hurt.js", "hurt-rows.js", "hurt.css",
        )
    ),
    *(f"assets/fonts/{name}{end}" for name in FONTS for end in (".woff2", ".license.txt")),
    "assets/find-index.js", "assets/find-lines.js",
    WORKER,
}  # fmt: skip
PROGRAM: Final = [sys.executable, "-m", "mothermold"]


@pytest.fixture
def demo(sample_book: Path, tmp_path: Path) -> Path:
    """The sample book with its history, to be changed."""
    return Path(shutil.copytree(sample_book, tmp_path / "demo"))


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """A small book with one recipe, in no repository and without a mkdocs.yml."""
    repository = Repository(tmp_path / "book")
    repository.write(empty_book() | {RECIPE: recipe(1)})
    return repository.folder


def environment(**more: str) -> dict[str, str]:
    kept = {name: value for name, value in os.environ.items() if name not in ("TZ", "LC_ALL", "LANG", "PYTHONHASHSEED")}
    return kept | {"PYTHONPATH": str(ROOT / "tools")} | more


def run(*arguments: str, cwd: Path = ROOT, check: bool = True, **more: str) -> subprocess.CompletedProcess[str]:
    done = subprocess.run(
        arguments, cwd=cwd, env=environment(**more), capture_output=True, text=True, timeout=120, check=False
    )
    if check:
        assert done.returncode == 0, done.stdout + done.stderr
    return done


def build(book: Path, edition: str, out: Path, **more: str) -> None:
    run(*PROGRAM, "-C", str(book), "build", "--for", edition, "--out", str(out), **more)


# The same input, the same bytes


def test_the_same_book_gives_the_same_bytes_in_another_zone_language_umask_and_order_of_hashes(
    sample_book: Path, sample_site: Path, tmp_path: Path
) -> None:
    before = os.umask(0o077)
    try:
        elsewhere = shutil.copytree(sample_book, tmp_path / "somewhere" / "else")
        build(elsewhere, "private", tmp_path / "two", TZ="Pacific/Kiritimati", LC_ALL="C.UTF-8", PYTHONHASHSEED="77")
    finally:
        os.umask(before)
    one, two = files_below(sample_site), files_below(tmp_path / "two")
    assert one.keys() == two.keys()
    assert [name for name in one if one[name] != two[name]] == []
    assert {(tmp_path / "two" / name).stat().st_mode & 0o777 for name in two} == {0o644}


def test_no_file_tells_on_which_computer_or_when_it_was_built(sample_book: Path, sample_site: Path) -> None:
    built = datetime.fromtimestamp((sample_site / LIST).stat().st_mtime, UTC).date().isoformat().encode()
    told = {data for path in sample_book.rglob("*.yaml") if built in (data := path.read_bytes())}
    for name, data in files_below(sample_site).items():
        assert str(sample_book).encode() not in data, name
        assert b"/tmp/" not in data, name
        # The book itself may tell of this very day.
        assert told or built not in data, name


def test_a_second_build_changes_no_file(book: Path, tmp_path: Path) -> None:
    build_site(book, "private", tmp_path / "site")
    times = {path: path.stat().st_mtime_ns for path in (tmp_path / "site").rglob("*")}
    assert "(0 files new or changed)" in build_site(book, "private", tmp_path / "site").said
    assert {path: path.stat().st_mtime_ns for path in (tmp_path / "site").rglob("*")} == times


@pytest.mark.parametrize("edition", EDITIONS)
def test_a_site_holds_exactly_its_pages_its_own_assets_and_its_list(
    edition: Edition, sample_view: Callable[[Edition], View], built_sample: Callable[[Edition], Path]
) -> None:
    written = files_below(built_sample(edition))
    files = set(written)
    pages = addresses(sample_view(edition))
    text = "".join(data.decode() for name, data in written.items() if name.endswith(".html"))
    pictures = {f"pictures/{name}" for name in re.findall(r'src="(?:\.\./)*pictures/([^"]+)"', text)}
    photos = set(re.findall(r'(?<=[" /])photos/[^" ]+\.jpg', text))
    cards = {f"write-ups/{name}.jpg" for name in sample_view(edition).on("build")}
    assert pictures
    assert photos
    assert cards
    assert files == pages | pictures | photos | cards | OURS | {"404.html", LIST}
    listed = json.loads(written[LIST])
    assert listed == {"edition": edition, "files": sorted(files - {LIST})}


def test_a_build_told_to_forget_keeps_nothing_and_calls_back_what_was_kept(
    book: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "site"
    build_site(book, "private", out)
    kept = files_below(out)
    assert b"data-keeps" in kept["index.html"]
    assert kept[WORKER].startswith(b'const SITE = {"build":"')
    assert main(["-C", str(book), "build", "--for", "private", "--out", str(out), "--forget"]) == 0
    assert "a device that keeps the site deletes it at its next visit" in capsys.readouterr().out
    assert files_below(out)[WORKER] == forgetting_worker().encode()
    assert b"data-keeps" not in files_below(out)["index.html"]
    assert files_below(out).keys() == kept.keys()


# What changes


def test_an_edit_changes_only_the_pages_that_show_it(demo: Path, sample_site: Path, tmp_path: Path) -> None:
    out = Path(shutil.copytree(sample_site, tmp_path / "site"))
    before = files_below(out)
    note = demo / "recipes" / "failures" / "cracked-mold.yaml"
    text = note.read_text(encoding="utf-8")
    note.write_text(re.sub(r"(?m)^(prevent: .*)$", r"\1 Never in a hurry.", text), encoding="utf-8")
    build_site(demo, "private", out)
    after = files_below(out)
    assert {name for name in after if after[name] != before[name]} == {
        "failures/cracked-mold.html",
        # What changed since a course was held tells of notes, too.
        "courses/silicone-pieces-autumn-2026.html",
        "assets/find-index.js",
        "assets/find-lines.js",
        WORKER,
    }


def test_a_page_of_a_document_that_went_goes_with_its_empty_folder(book: Path, tmp_path: Path) -> None:
    out = tmp_path / "site"
    deep = book / "recipes" / "cast" / "deep" / "er" / "second.yaml"
    deep.parent.mkdir(parents=True)
    deep.write_text(recipe(1), encoding="utf-8")
    build_site(book, "private", out)
    assert (out / "recipes/cast/deep/er/second.html").is_file()
    whole = files_below(out).keys()
    deep.unlink()
    build_site(book, "private", out)
    assert not (out / "recipes/cast/deep").exists()
    assert not (out / "versions/cast/deep").exists()
    assert (out / "recipes/cast/cheek.html").is_file()
    gone = {
        "recipes/cast/deep/er/second.html",
        "versions/cast/deep/er/second@1.html",
        "bench/cast/deep/er/second@1.html",
    }
    assert whole - files_below(out).keys() == gone


# What is not ours


def test_a_folder_with_files_of_somebody_else_is_refused_and_left_alone(book: Path, tmp_path: Path) -> None:
    out = tmp_path / "site"
    out.mkdir()
    (out / "thesis.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(RefusedError, match="no edition was built into"):
        build_site(book, "private", out)
    assert files_below(out) == {"thesis.txt": b"mine"}


@pytest.mark.parametrize(
    "text", ["", "[]", '{"edition": "secret", "files": []}', '{"files": []}', '{"edition": "class"}']
)
def test_a_list_of_pages_that_makes_no_sense_is_no_list(text: str, book: Path, tmp_path: Path) -> None:
    (tmp_path / "site").mkdir()
    (tmp_path / "site" / LIST).write_text(text, encoding="utf-8")
    with pytest.raises(RefusedError, match="no edition was built into"):
        build_site(book, "private", tmp_path / "site")


def test_a_file_where_the_folder_should_be_is_refused(book: Path, tmp_path: Path) -> None:
    (tmp_path / "site").write_text("mine", encoding="utf-8")
    with pytest.raises(RefusedError, match="no edition was built into"):
        build_site(book, "private", tmp_path / "site")
    assert (tmp_path / "site").read_text(encoding="utf-8") == "mine"


def test_files_put_beside_our_pages_are_never_touched_nor_written_over(book: Path, tmp_path: Path) -> None:
    out = tmp_path / "site"
    build_site(book, "private", out)
    (out / "CNAME").write_text("example.invalid", encoding="utf-8")
    (out / "materials" / "mine.html").write_text("mine", encoding="utf-8")
    build_site(book, "private", out)
    assert (out / "CNAME").read_text(encoding="utf-8") == "example.invalid"
    before = files_below(out)
    material = book / "recipes" / "materials" / "mine.yaml"
    material.write_text("title: Mine\nfamilies: [wax]\n", encoding="utf-8")
    with pytest.raises(RefusedError, match="somebody else"):
        build_site(book, "private", out)
    assert files_below(out) == before


def test_a_list_that_names_files_outside_removes_none_of_them(book: Path, tmp_path: Path) -> None:
    out = tmp_path / "site"
    build_site(book, "private", out)
    (tmp_path / "precious.txt").write_text("mine", encoding="utf-8")
    listed = json.loads((out / LIST).read_text(encoding="utf-8"))
    listed["files"].append("../precious.txt")
    (out / LIST).write_text(json.dumps(listed), encoding="utf-8")
    build_site(book, "private", out)
    assert (tmp_path / "precious.txt").exists()


def test_a_folder_of_a_wider_edition_is_never_used_for_a_narrower_one(book: Path, tmp_path: Path) -> None:
    out = tmp_path / "site"
    build_site(book, "private", out)
    before = files_below(out)
    for edition in ("class", "public"):
        with pytest.raises(RefusedError, match="last built for the private edition"):
            build_site(book, edition, out)  # type: ignore[arg-type]
    assert files_below(out) == before


def test_a_folder_of_a_narrower_edition_may_become_a_wider_one(book: Path, tmp_path: Path) -> None:
    for edition in reversed(EDITIONS):
        build_site(book, edition, tmp_path / "site")
    build_site(book, "private", tmp_path / "fresh")
    assert files_below(tmp_path / "site") == files_below(tmp_path / "fresh")


# Killed in the middle

Deed = Callable[..., object]


def _killed_at(at: int, deed: Deed) -> Deed:
    """The same deed; when it is begun for the so many-th time, its program is killed before."""
    begun = count(1)

    def doing(*given: object, **named: object) -> object:
        if next(begun) == at:
            os.kill(os.getpid(), signal.SIGKILL)
        return deed(*given, **named)

    return doing


def _build_and_die(where: str, at: int, book: Path, out: Path) -> None:
    owner, name = {
        "before a file is placed": (building, "place_bytes"),
        "before a file is renamed": (Path, "replace"),
        "before a page is removed": (building, "_remove"),
    }[where]
    setattr(owner, name, _killed_at(at, getattr(owner, name)))
    build_site(book, "private", out)


def killed(where: str, at: int, book: Path, out: Path) -> None:
    """Builds in a program of its own, which does not come to its end."""
    child = multiprocessing.get_context("fork").Process(target=_build_and_die, args=(where, at, book, out))
    child.start()
    child.join()
    assert child.exitcode == -signal.SIGKILL


@pytest.mark.parametrize("at", short([2, 1, 9], 1))
@pytest.mark.parametrize("where", ["before a file is placed", "before a file is renamed"])
def test_a_first_build_killed_in_the_middle_is_finished_by_the_next(
    where: str, at: int, book: Path, tmp_path: Path
) -> None:
    out = tmp_path / "site"
    killed(where, at, book, out)
    build_site(book, "private", out)
    build_site(book, "private", tmp_path / "fresh")
    assert files_below(out) == files_below(tmp_path / "fresh")


@pytest.mark.parametrize(
    ("where", "at"),
    short(
        [
            ("before a file is placed", 4),
            ("before a file is renamed", 1),
            ("before a page is removed", 2),
            ("before a file is placed", 1),
            ("before a file is renamed", 3),
            ("before a page is removed", 1),
        ],
        3,
    ),
)
def test_a_later_build_killed_in_the_middle_leaves_nothing_behind_after_the_next(
    where: str, at: int, book: Path, tmp_path: Path
) -> None:
    out = tmp_path / "site"
    for name in ("first", "second", "third"):
        (book / f"recipes/failures/{name}.yaml").write_text(
            f"title: The {name}\nseen_at: cast\nsymptoms: [a hole]\n", encoding="utf-8"
        )
    build_site(book, "private", out)
    for name in ("first", "second"):
        (book / f"recipes/failures/{name}.yaml").unlink()
    (book / "recipes/failures/fourth.yaml").write_text(
        "title: The fourth\nseen_at: cast\nsymptoms: [a hole]\n", encoding="utf-8"
    )
    killed(where, at, book, out)
    # Whoever looks now sees whole pages, old or new.
    assert all(data.rstrip().endswith(b"</html>") for name, data in files_below(out).items() if name.endswith(".html"))
    if at > 1:
        # And what was asked for changes again before the next build.
        (book / "recipes/failures/fourth.yaml").unlink()
    build_site(book, "private", out)
    build_site(book, "private", tmp_path / "fresh")
    assert files_below(out) == files_below(tmp_path / "fresh")


def test_a_killed_build_of_a_wider_edition_is_not_taken_for_a_narrower_one(book: Path, tmp_path: Path) -> None:
    out = tmp_path / "site"
    build_site(book, "public", out)
    killed("before a file is placed", 3, book, out)
    with pytest.raises(RefusedError, match="private edition"):
        build_site(book, "public", out)


def test_a_build_that_fails_leaves_the_old_site_whole(
    book: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "site"
    build_site(book, "private", out)
    before = files_below(out)
    (book / "recipes/materials/new.yaml").write_text("title: New\nfamilies: [wax]\n", encoding="utf-8")
    (book / "mkdocs.yml").write_text("site_name: x\nplugins: [mothermold\n", encoding="utf-8")
    with pytest.raises(CannotRunError, match="could not be built"):
        build_site(book, "private", out)
    assert files_below(out) == before


# MkDocs by itself


@pytest.fixture(scope="module", params=short([ROOT / "tests" / "data" / "good", ROOT], 1), ids=["small", "whole"])
def clone(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A book with the project's hand-written pages, as a fresh clone has it, in a repository of its own; our own book too."""
    folder = tmp_path_factory.mktemp("clone")
    shutil.copytree(request.param / "recipes", folder / "recipes")
    shutil.copytree(ROOT / "site_src", folder / "site_src")
    shutil.copy(ROOT / "mkdocs.yml", folder)
    repository = start_repository(folder)
    repository.save(SAVED, {".gitignore": "site/\n"})
    return folder


def mkdocs(book: Path, *options: str, check: bool = True) -> subprocess.CompletedProcess[str]:
    return run(sys.executable, "-m", "mkdocs", "build", *options, cwd=book, check=check, NO_MKDOCS_2_WARNING="1")


def test_mkdocs_by_itself_makes_the_public_edition_byte_for_byte(clone: Path, tmp_path: Path) -> None:
    mkdocs(clone, "--strict", "--quiet")
    build_site(clone, "public", tmp_path / "ours")
    assert files_below(clone / "site" / "public") == files_below(tmp_path / "ours")
    # Either way of building may follow the other.
    assert "(0 files new or changed)" in build_site(clone, "public", None).said
    mkdocs(clone, "--strict", "--quiet")
    assert files_below(clone / "site" / "public") == files_below(tmp_path / "ours")


def test_mkdocs_by_itself_makes_no_narrower_edition_in_a_folder_of_a_wider_one(clone: Path, tmp_path: Path) -> None:
    build_site(clone, "private", tmp_path / "site")
    before = files_below(tmp_path / "site")
    done = mkdocs(clone, "--quiet", "--site-dir", str(tmp_path / "site"), check=False)
    assert done.returncode == 1
    assert "last built for the private edition" in done.stdout + done.stderr
    assert "Traceback" not in done.stdout + done.stderr
    assert files_below(tmp_path / "site") == before


def test_strict_fails_on_a_dead_link_of_a_hand_written_page(clone: Path, tmp_path: Path) -> None:
    book = Path(shutil.copytree(clone, tmp_path / "book"))
    (book / "site_src" / "more.md").write_text("# More\n\nSee [nothing](not-there.md).\n", encoding="utf-8")
    build_site(book, "public", tmp_path / "easy")
    assert (tmp_path / "easy" / "more.html").is_file()
    with pytest.raises(CannotRunError):
        build_site(book, "public", tmp_path / "hard", strict=True)
    assert main(["-C", str(book), "build", "--strict", "--out", str(tmp_path / "hard")]) == 2
    assert not (tmp_path / "hard").exists()
    assert mkdocs(book, "--strict", check=False).returncode == 1


def test_strict_does_not_fail_on_what_the_book_itself_has_to_say(book: Path, tmp_path: Path) -> None:
    (book / "recipes/materials/broken.yaml").write_text("titel: Broken\n", encoding="utf-8")
    assert [notice for notice in open_view(book, "private").notices if notice.severity == "error"]
    build_site(book, "private", tmp_path / "site", strict=True)
    assert (tmp_path / "site" / "materials" / "broken.html").is_file()


def test_a_book_without_a_mkdocs_file_has_its_hand_written_pages_too(book: Path, tmp_path: Path) -> None:
    (book / "site_src").mkdir()
    (book / "site_src" / "hello.md").write_text("# Hello\n\nTo [the recipe](recipes/cast/cheek.html).\n", "utf-8")
    build_site(book, "private", tmp_path / "site", strict=True)
    assert "Hello" in (tmp_path / "site" / "hello.html").read_text(encoding="utf-8")
    assert 'href="./hello.html"' in (tmp_path / "site" / "index.html").read_text(encoding="utf-8").replace(
        'href="hello.html"', 'href="./hello.html"'
    )


# Served


def test_a_build_that_lost_a_page_is_not_published(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    repository = Repository(tmp_path / "book")
    repository.folder.mkdir()
    repository.write(empty_book() | {RECIPE: recipe(1, "draft")})
    build_site(repository.folder, "private", None)
    site = repository.folder / "site" / "private"
    before = files_below(site)
    made = building.made_files
    monkeypatch.setattr(building, "made_files", lambda *asked: made(*asked) | {"recipes.html": lambda: None})
    repository.write({RECIPE: recipe(2, "draft")})
    with pytest.raises(CannotRunError, match=r"1 of the pages .* recipes\.html first"):
        build_site(repository.folder, "private", None)
    assert files_below(site) == before


def test_the_demo_lays_out_its_book_and_builds_its_site(tmp_path: Path) -> None:
    done = run(*PROGRAM, "demo", str(tmp_path / "demo"), "--no-serve")
    assert "The private edition has" in done.stdout
    assert "Traceback" not in done.stderr
    site = tmp_path / "demo" / "site" / "private"
    assert (site / "index.html").is_file()
    assert addresses(open_view(tmp_path / "demo", "private")) <= files_below(site).keys()
    # What is built is no part of the book.
    status = subprocess.run(
        ["git", "status", "--porcelain"],
        cwd=tmp_path / "demo",
        env=clean_git_environment(SAVED),
        capture_output=True,
        check=True,
    )
    assert status.stdout == b""

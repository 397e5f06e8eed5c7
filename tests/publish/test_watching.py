"""A book that is served is served on, whatever state it comes into; page and terminal say what is wrong."""

from __future__ import annotations

import shutil
import threading
from http import HTTPStatus
from pathlib import Path
from types import SimpleNamespace

import pytest

from mothermold.ground.errors import CannotRunError
from mothermold.ground.notices import Notice
from mothermold.publish.building import build_site
from mothermold.publish.watching import kept_through, slips, traces, trouble, watch, with_trouble
from mothermold.serve import serving
from mothermold.serve.shelf import Shelf

GOOD = Path(__file__).parents[1] / "data" / "good"


@pytest.fixture
def book(good_book: Path) -> Path:
    return good_book


def test_the_watch_goes_on_while_folders_go_and_come_back(book: Path) -> None:
    stop, seen, called = threading.Event(), [], threading.Event()

    def changed() -> None:
        seen.append((book / "recipes").is_dir())
        called.set()

    args = (book, traces(book), changed, stop)
    thread = threading.Thread(target=watch, args=args, kwargs={"every": 0.02}, daemon=True)
    thread.start()
    shutil.move(book / "recipes", book / "elsewhere")
    assert called.wait(20)
    called.clear()
    shutil.move(book / "elsewhere", book / "recipes")
    assert called.wait(20)
    stop.set()
    thread.join(20)
    assert (seen[0], seen[-1]) == (False, True)


def test_a_build_that_fails_half_way_leaves_the_old_pages_which_say_why(tmp_path: Path) -> None:
    page = tmp_path / "in" / "index.html"
    page.parent.mkdir()
    page.write_text("<html><body class='x'><h1>Old</h1></body></html>", encoding="utf-8")
    said: list[str] = []

    def half() -> None:
        shutil.rmtree(page.parent)
        raise ZeroDivisionError("<nothing> to divide")

    build = kept_through(half, tmp_path, said.append)
    build()
    build()
    text = page.read_text(encoding="utf-8")
    assert text.startswith('<html><body class=\'x\'><p class="notice error" role="alert">The pages could not be made')
    assert (text.count("&lt;nothing&gt; to divide"), "<h1>Old</h1>" in text, len(said)) == (1, True, 2)


def test_a_build_that_succeeds_is_left_alone(tmp_path: Path) -> None:
    said: list[str] = []
    kept_through(
        lambda: (tmp_path / "index.html").write_text("<body>New", encoding="utf-8") and None, tmp_path, said.append
    )()
    assert ((tmp_path / "index.html").read_text(encoding="utf-8"), said) == ("<body>New", [])


@pytest.mark.parametrize(
    "state", ["half written", "no settings", "broken settings", "no folder", "no prose", "bad prose"]
)
def test_the_phone_keeps_its_pages_in_any_state_of_the_book(book: Path, state: str) -> None:
    build_site(book, "private", None)
    server, said = SimpleNamespace(trouble=""), list[str]()
    if state == "half written":
        (book / "recipes/cast/cheek.yaml").write_text("title: Cheek\nsteps:\n  - {id: op", encoding="utf-8")
    elif state == "no settings":
        (book / "recipes/book.yaml").unlink()
    elif state == "broken settings":
        (book / "recipes/book.yaml").write_text("title: [", encoding="utf-8")
    elif state == "no folder":
        shutil.rmtree(book / "recipes")
    elif state == "no prose":
        (book / "mkdocs.yml").write_text("site_name: x\ndocs_dir: nowhere\nplugins: [mothermold]\n", encoding="utf-8")
    else:
        (book / "mkdocs.yml").write_text("site_name: [", encoding="utf-8")
    serving._again(book, "private", server, said.append)
    assert len(said) == 1
    reply = Shelf(book / "site/private", "private").reply("/index.html", None, server.trouble)
    assert reply.status == HTTPStatus.OK
    if state in ("half written", "broken settings"):
        assert "Built again" in said[0]
        assert "recipes/" in said[0]
        assert server.trouble == ""
    else:
        assert "could not be made again" in said[0]
        assert b"could not be made again" in reply.body
    shutil.rmtree(book / "recipes", ignore_errors=True)
    shutil.copytree(GOOD / "recipes", book / "recipes")
    (book / "mkdocs.yml").unlink(missing_ok=True)
    serving._again(book, "private", server, said.append)
    assert (server.trouble, said[1]) == ("", "Built again: something changed.")


def test_a_page_that_says_trouble_is_another_page_for_the_browser(book: Path) -> None:
    build_site(book, "private", None)
    shelf = Shelf(book / "site/private", "private")
    mark = dict(shelf.reply("/index.html", None).headers)["ETag"]
    assert shelf.reply("/index.html", mark).status == HTTPStatus.NOT_MODIFIED
    assert shelf.reply("/index.html", mark, "So it is.").status == HTTPStatus.OK


def test_trouble_is_said_in_a_few_words_and_never_as_markup() -> None:
    assert "no disk" in trouble(CannotRunError("no disk."))
    assert "KeyError" in trouble(KeyError())
    assert len(trouble(CannotRunError("a" * 9000))) < 1000
    assert with_trouble(b"bare", "<b>") == b'<p class="notice error" role="alert">&lt;b&gt;</p>bare'


def test_the_terminal_tells_the_first_slips_of_a_book_and_how_many_more_there_are() -> None:
    assert slips([Notice("tab", "advice", "A.", "B.")]) == ""
    told = slips([Notice("tab", "error", f"A{number}.", "B.") for number in range(8)])
    assert (told.count("error:"), "3 more" in told) == (5, True)

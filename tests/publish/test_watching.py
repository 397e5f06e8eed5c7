"""A book that is served is served on, whatever state it comes into; page and terminal say what is wrong."""

from __future__ import annotations

import shutil
import threading
from http import HTTPStatus
from pathlib import Path

import pytest

from mothermold.ground.errors import CannotRunError
from mothermold.ground.notices import Notice
from mothermold.publish.watching import slips, traces, trouble, watch, with_trouble
from mothermold.serve.living import LivingPages
from mothermold.serve.page_door import News, PageDoor
from serve.callers import Laid

GOOD = Path(__file__).parents[1] / "data" / "good"


@pytest.fixture
def book(good_book: Path) -> Path:
    return good_book


def test_the_watch_goes_on_while_folders_go_and_come_back(book: Path) -> None:
    stop, seen, called = threading.Event(), [traces(book)], threading.Event()

    def look() -> None:
        if (now := traces(book)) != seen[-1]:
            seen.append(now)
            called.set()

    thread = threading.Thread(target=watch, args=(look, stop), kwargs={"every": 0.02}, daemon=True)
    thread.start()
    shutil.move(book / "recipes", book / "elsewhere")
    assert called.wait(20)
    called.clear()
    shutil.move(book / "elsewhere", book / "recipes")
    assert called.wait(20)
    stop.set()
    thread.join(20)
    assert (seen[0] in seen[1:], len(seen[0] & seen[1]) < len(seen[0])) == (True, True)


@pytest.mark.parametrize(
    "state", ["half written", "no settings", "broken settings", "no folder", "no prose", "bad prose"]
)
def test_what_is_served_keeps_its_pages_in_any_state_of_the_book(book: Path, tmp_path: Path, state: str) -> None:
    said: list[str] = []
    (tmp_path / "around").mkdir()
    living = LivingPages(book, "private", tmp_path / "around", said.append)
    news, pages = living.news, PageDoor(living, living.news)
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
    reply = pages.reply("/index.html")
    assert len(said) == 1
    assert reply.status == HTTPStatus.OK
    if state in ("half written", "broken settings"):
        assert "The book changed" in said[0]
        assert "recipes/" in said[0]
        assert news.trouble == ""
    else:
        assert "could not be made again" in said[0]
        assert b"could not be made again" in reply.body
    shutil.rmtree(book / "recipes", ignore_errors=True)
    shutil.copytree(GOOD / "recipes", book / "recipes")
    (book / "mkdocs.yml").unlink(missing_ok=True)
    living.look()
    assert (news.trouble, news.turn, said[1]) == ("", 2, "The book changed.")


def test_a_page_that_says_trouble_is_another_page_for_the_browser(tmp_path: Path) -> None:
    news = News()
    (tmp_path / "index.html").write_text("<body>A page", encoding="utf-8")
    pages = PageDoor(Laid(tmp_path), news)
    mark = dict(pages.reply("/index.html").headers)["ETag"]
    assert pages.reply("/index.html", mark).status == HTTPStatus.NOT_MODIFIED
    news.trouble = "So it is."
    assert pages.reply("/index.html", mark).status == HTTPStatus.OK


def test_trouble_is_said_in_a_few_words_and_never_as_markup() -> None:
    assert "no disk" in trouble(CannotRunError("no disk."))
    assert "KeyError" in trouble(KeyError())
    assert len(trouble(CannotRunError("a" * 9000))) < 1000
    assert with_trouble(b"bare", "<b>") == b'<p class="notice error" role="alert">&lt;b&gt;</p>bare'


def test_the_terminal_tells_the_first_slips_of_a_book_and_how_many_more_there_are() -> None:
    assert slips([Notice("tab", "advice", "A.", "B.")]) == ""
    told = slips([Notice("tab", "error", f"A{number}.", "B.") for number in range(8)])
    assert (told.count("error:"), "3 more" in told) == (5, True)
